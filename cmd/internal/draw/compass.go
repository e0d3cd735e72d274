package draw

import (
	"math"

	"dewgap/cmd/internal/answer"
)

// The rings of a boat whose bow nobody knows: what looks to a side outside, what
// is level in the middle.
const (
	ringOut   = 0.98
	ringIn    = 0.46
	discOut   = 0.42
	mostRings = 4 // zones that one eighth of the compass can hold, and the middle
)

// compassPlan puts each face where it looks to by the compass.
func compassPlan(zones []answer.Zone) boatPlan {
	p := boatPlan{compass: true}
	var sectors [8][]int
	var level []int
	for i := range zones {
		z := &zones[i]
		if !finite(z.Faces) || z.Tilt < levelTilt {
			level = append(level, i)
			continue
		}
		k := int(math.Mod(math.Round(*z.Faces/45), 8)+8) % 8
		sectors[k] = append(sectors[k], i)
	}
	for k, list := range sectors {
		list = p.rest(list)
		deep := (ringOut - ringIn) / float64(max(len(list), 1))
		for i, z := range list {
			out := ringOut - deep*float64(i)
			p.cells = append(p.cells, cell{z, sector(float64(k)*45, out, out-deep)})
		}
	}
	level = p.rest(level)
	for i, z := range level {
		n := float64(len(level))
		p.cells = append(p.cells, cell{z, slab(-discOut+2*discOut*float64(i)/n, -discOut+2*discOut*float64(i+1)/n)})
	}
	return p
}

// rest keeps as many as have room; the others are loose.
func (p *boatPlan) rest(list []int) []int {
	n := min(len(list), mostRings)
	p.loose = append(p.loose, list[n:]...)
	return list[:n]
}

// sector is an eighth of a ring around a bearing, north being up.
func sector(bearing, out, in float64) []vec {
	const n = 8
	var outer, inner []vec
	for i := 0; i <= n; i++ {
		a := (bearing - 22 + 44*float64(i)/n) * math.Pi / 180
		outer = append(outer, vec{out * math.Sin(a), -out * math.Cos(a)})
		inner = append([]vec{{in * math.Sin(a), -in * math.Cos(a)}}, inner...)
	}
	return append(outer, inner...)
}

// slab is the part of the middle's disc between two heights.
func slab(top, bottom float64) []vec {
	const n = 10
	var left, right []vec
	for i := 0; i <= n; i++ {
		y := top + (bottom-top)*float64(i)/n
		x := math.Sqrt(max(0, discOut*discOut-y*y))
		right = append(right, vec{x, y})
		left = append([]vec{{-x, y}}, left...)
	}
	return append(right, left...)
}
