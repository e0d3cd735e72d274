package draw

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"dewgap/cmd/internal/answer"
)

// vec is a point of the boat's plan: x to starboard, y aft, within the unit
// circle whose middle is the boat's.
type vec struct{ x, y float64 }

// cell is one zone's place in the plan.
type cell struct {
	zone int
	poly []vec
}

// boatPlan is a boat seen from above. It is a diagram and no drawing of hers: sides
// and house are folded outwards and given the width that their figures need.
type boatPlan struct {
	cells   []cell
	outline []vec
	loose   []int // zones without a place on it, such as rails
	compass bool  // no bow is known: faces stand where they look to, and do not turn
}

// Tilts in degrees: less is level, more looks to a side.
const (
	levelTilt = 15
	steepTilt = 45
)

// The plan's measures, in half lengths of the boat before she is fitted into the
// circle.
const (
	stripWide = 0.155 // of a side, a side deck, a house side, where there are many
	stripMost = 0.23  // where there is one
	coreWide  = 0.17  // half of what is left amidships at least
	leastBeam = 0.34  // half of the beam at least
	rowDeep   = 0.17  // of a transom or platform
	mostTiers = 3     // of hull side, from the rail down
	deckFrom  = 0.32  // of the length: before it the foredeck goes from rail to rail
	houseFrom = 0.36
	houseTo   = 0.78
	tipWide   = 0.05 // half of the middle where its first zone begins
)

// sorted are the zones by their place: per side (0 port, 1 starboard) the hull's
// tiers, the deck and the house; along the middle; across the stern.
type sorted struct {
	hull, deck, house       [2][]int
	middle, transom, behind []int
	loose                   []int
}

// planOf lays the zones out. bow is where the boat points while the zones' faces
// are as given; known is false without one.
// fine is how many pieces a long side is drawn in.
func planOf(zones []answer.Zone, bow float64, known bool, fine int) boatPlan {
	if !known {
		return compassPlan(zones)
	}
	s := sortZones(zones, bow)
	l := newLines(s)
	l.fine = fine
	p := boatPlan{loose: s.loose}
	for side := range 2 {
		for tier, z := range s.hull[side] {
			p.cells = append(p.cells, cell{z, l.strip(side, float64(tier)*l.wide, 0, 1)})
		}
		p.cells = append(p.cells, l.along(zones, s.deck[side], side, l.deckAt(), deckFrom, 1)...)
		p.cells = append(p.cells, l.along(zones, s.house[side], side, l.houseAt(), houseFrom, houseTo)...)
	}
	p.cells = append(p.cells, l.centre(zones, s.middle)...)
	y := l.stern
	for _, z := range s.transom {
		p.cells = append(p.cells, cell{z, row4(l.beam*l.shape(1), y, rowDeep)})
		y += rowDeep
	}
	y += 0.02
	for _, z := range s.behind {
		p.cells = append(p.cells, cell{z, row4(l.beam*0.72, y, rowDeep)})
		y += rowDeep
	}
	p.outline = l.outline()
	p.fit()
	return p
}

// sortZones finds each zone's place by where it looks, and where it looks up by
// its name.
func sortZones(zones []answer.Zone, bow float64) sorted {
	var s sorted
	for i := range zones {
		z := &zones[i]
		side, sided := sideOf(z, bow)
		switch {
		case hasWord(z.Name, "rail", "rails", "mast", "tower", "legs", "boom"):
			s.loose = append(s.loose, i)
		case sided && hasWord(z.Name, "superstructure", "coachroof", "mask", "enclosure", "console", "arch", "window", "coaming", "cabin", "house", "sprayhood"):
			s.house[side] = append(s.house[side], i)
		case sided && z.Tilt < steepTilt:
			s.deck[side] = append(s.deck[side], i)
		case sided && len(s.hull[side]) < mostTiers:
			s.hull[side] = append(s.hull[side], i)
		case sided:
			s.house[side] = append(s.house[side], i)
		case hasWord(z.Name, "platform"):
			s.behind = append(s.behind, i)
		case looks(z, bow, 180) && len(s.transom) < mostTiers:
			s.transom = append(s.transom, i)
		default:
			s.middle = append(s.middle, i)
		}
	}
	slices.SortStableFunc(s.middle, func(a, b int) int { return cmp.Compare(fore(&zones[a], bow), fore(&zones[b], bow)) })
	return s
}

// hasWord reports whether a name has one of some words.
func hasWord(name string, words ...string) bool {
	for _, f := range strings.Fields(strings.ToLower(name)) {
		if slices.Contains(words, f) {
			return true
		}
	}
	return false
}

// sideOf is the side to which a zone belongs: where it looks, else by its name.
func sideOf(z *answer.Zone, bow float64) (side int, ok bool) {
	switch {
	case looks(z, bow, 270):
		return 0, true
	case looks(z, bow, 90):
		return 1, true
	case z.Tilt >= levelTilt:
		return 0, false
	case hasWord(z.Name, "port"):
		return 0, true
	}
	return 1, hasWord(z.Name, "starboard")
}

// looks reports whether a zone that is not level faces to within 45° of an angle
// from the bow.
func looks(z *answer.Zone, bow, angle float64) bool {
	if !finite(z.Faces) || z.Tilt < levelTilt {
		return false
	}
	return math.Cos((*z.Faces-bow-angle)*math.Pi/180) > math.Sqrt2/2
}

// fore orders what lies along the middle from the bow aft.
func fore(z *answer.Zone, bow float64) int {
	switch {
	case hasWord(z.Name, "foredeck", "bow", "anchor"):
		return 0
	case looks(z, bow, 0):
		return 1
	case hasWord(z.Name, "sprayhood", "coachroof", "cabin", "trunk", "roof"):
		return 2
	case hasWord(z.Name, "hardtop", "bimini"):
		return 3
	case hasWord(z.Name, "helm", "flybridge", "console"):
		return 4
	case hasWord(z.Name, "cockpit"):
		return 6
	case hasWord(z.Name, "aft", "stern", "transom"):
		return 7
	}
	return 5
}

// lines are the boat's lines while she is laid out: y from −1 at the bow to stern.
type lines struct {
	beam, stern       float64
	wide              float64 // of a strip
	tiers, fine       int
	hasDeck, hasHouse bool
}

func newLines(s sorted) lines {
	l := lines{stern: 1, tiers: max(len(s.hull[0]), len(s.hull[1]))}
	l.hasDeck = len(s.deck[0])+len(s.deck[1]) > 0
	l.hasHouse = len(s.house[0])+len(s.house[1]) > 0
	strips := float64(l.tiers)
	for _, has := range []bool{l.hasDeck, l.hasHouse} {
		if has {
			strips++
		}
	}
	l.wide = max(stripWide, stripMost-0.035*max(strips-1, 0))
	l.beam = max(leastBeam, coreWide+l.wide*strips)
	return l
}

func (l lines) width(has bool) float64 {
	if has {
		return l.wide
	}
	return 0
}

// deckAt and houseAt are how far in from the rail the deck's and the house's
// strips begin.
func (l lines) deckAt() float64  { return l.wide * float64(l.tiers) }
func (l lines) houseAt() float64 { return l.deckAt() + l.width(l.hasDeck) }

// shape is the half beam as a share of the greatest, at a share of the length from
// the bow.
func (l lines) shape(u float64) float64 {
	const full = 0.52
	if u < full {
		return math.Pow(math.Sin(math.Pi/2*max(u, 0)/full), 0.8)
	}
	aft := (u - full) / (1 - full)
	return 1 - 0.1*aft*aft
}

func (l lines) y(u float64) float64 { return -1 + u*(l.stern+1) }

// in is the half width at u, a distance in from the rail; 0 or more.
func (l lines) in(u, from float64) float64 { return max(0, l.beam*l.shape(u)-from) }

// samples divide a stretch of the length; more where the lines are round.
func (l lines) samples(from, to float64) []float64 {
	n := max(2, int(math.Ceil(float64(l.fine)*(to-from))))
	out := make([]float64, n+1)
	for i := range out {
		s := float64(i) / float64(n)
		out[i] = from + (to-from)*s*(0.45+0.55*s) // closer towards the bow
	}
	return out
}

// strip is the strip along a side that begins so far in from the rail, between
// two shares of the length.
func (l lines) strip(side int, from, u0, u1 float64) []vec {
	sign := float64(2*side - 1)
	var out, in []vec
	for _, u := range l.samples(u0, u1) {
		out = append(out, vec{sign * l.in(u, from), l.y(u)})
		in = append(in, vec{sign * l.in(u, from+l.wide), l.y(u)})
	}
	slices.Reverse(in)
	return append(out, in...)
}

// along divides a strip lengthwise among zones.
func (l lines) along(zones []answer.Zone, list []int, side int, from, u0, u1 float64) []cell {
	var out []cell
	for i, s := range shares(zones, list) {
		out = append(out, cell{list[i], l.strip(side, from, u0+(u1-u0)*s[0], u0+(u1-u0)*s[1])})
	}
	return out
}

// shares divide 1 among zones by the root of their areas, none less than two
// fifths of the even part.
func shares(zones []answer.Zone, list []int) [][2]float64 {
	weights, sum := make([]float64, len(list)), 0.0
	for i, z := range list {
		weights[i] = 1.5
		if finite(zones[z].AreaM2) {
			weights[i] = min(max(math.Sqrt(max(*zones[z].AreaM2, 0)), 1.4), 3)
		}
		sum += weights[i]
	}
	out, at := make([][2]float64, len(list)), 0.0
	for i := range list {
		next := at + weights[i]/sum
		out[i] = [2]float64{at, next}
		at = next
	}
	return out
}

// centre divides what is left amidships among zones, from the bow aft.
func (l lines) centre(zones []answer.Zone, list []int) []cell {
	tip := 0.0
	for tip < 0.5 && l.in(tip, l.deckAt()) < tipWide {
		tip += 0.01
	}
	var out []cell
	for i, s := range shares(zones, list) {
		from, to := tip+(1-tip)*s[0], tip+(1-tip)*s[1]
		for i == 0 && from > 0 && l.in(from, l.deckAt()) > 0 {
			from -= 0.01 // the first runs out into the bow
		}
		var port, starboard []vec
		for _, u := range l.corners(l.samples(from, to)) {
			x := l.in(u, l.taken(u))
			port, starboard = append(port, vec{-x, l.y(u)}), append(starboard, vec{x, l.y(u)})
		}
		slices.Reverse(starboard)
		out = append(out, cell{list[i], append(port, starboard...)})
	}
	return out
}

// taken is how far in from the rail the middle begins.
func (l lines) taken(u float64) float64 {
	switch {
	case l.hasHouse && u > houseFrom && u < houseTo:
		return l.houseAt() + l.wide
	case u > deckFrom:
		return l.houseAt()
	}
	return l.deckAt()
}

// corners adds to samples of the length where the middle changes its width.
func (l lines) corners(list []float64) []float64 {
	const beside = 1e-6
	out := slices.Clone(list)
	for _, edge := range []float64{deckFrom, houseFrom, houseTo} {
		if edge > list[0]+beside && edge < list[len(list)-1]-beside {
			out = append(out, edge-beside, edge+beside)
		}
	}
	slices.Sort(out)
	return out
}

// row4 is a row across the stern.
func row4(half, y, deep float64) []vec {
	return []vec{{-half, y}, {half, y}, {half * 0.97, y + deep}, {-half * 0.97, y + deep}}
}

func (l lines) outline() []vec {
	var port, starboard []vec
	for _, u := range l.samples(0, 1) {
		port, starboard = append(port, vec{-l.in(u, 0), l.y(u)}), append(starboard, vec{l.in(u, 0), l.y(u)})
	}
	slices.Reverse(port)
	return append(starboard, port...)
}

// fit brings the plan into the unit circle around its middle.
func (p *boatPlan) fit() {
	top, bottom := 0.0, 0.0
	each := func(do func(*vec)) {
		for i := range p.cells {
			for k := range p.cells[i].poly {
				do(&p.cells[i].poly[k])
			}
		}
		for k := range p.outline {
			do(&p.outline[k])
		}
	}
	each(func(v *vec) { top, bottom = min(top, v.y), max(bottom, v.y) })
	far := 0.0
	each(func(v *vec) { v.y -= (top + bottom) / 2; far = max(far, math.Hypot(v.x, v.y)) })
	each(func(v *vec) { v.x, v.y = v.x/far, v.y/far })
}
