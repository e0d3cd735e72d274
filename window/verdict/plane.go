package verdict

import "sync/atomic"

// plane marks asked slots, a bit each in their order, 64 a word: what holds in so many
// slots is then found at once. nil marks none.
type plane []uint64

// word is 64 of the marks.
func (p plane) word(w int) uint64 {
	if p == nil {
		return 0
	}
	return p[w]
}

// put adds marks from a place on, lowest bit first; no more than a chunk has.
func (p plane) put(place int, marks uint64) {
	w, shift := place/64, place%64
	p[w] |= marks << shift
	if over := marks >> (64 - shift); over != 0 {
		p[w+1] |= over
	}
}

// drop takes marks away, word by word.
func (p plane) drop(marks func(w int) uint64) {
	for w := range p {
		p[w] &^= marks(w)
	}
}

// one is the lowest bit where something holds. No processor guesses what the weather
// does, so what is marked slot by slot is marked without a branch.
func one(holds bool) uint64 {
	var bit uint64
	if holds {
		bit = 1
	}
	return bit
}

// marks makes a plane of what holds slot by slot on the grid; nil where it never does.
func (a *Asked) marks(holds []bool, mem *slab[uint64]) plane {
	var out plane
	for k := range a.chunks {
		c := &a.chunks[k]
		var bits uint64
		for at, h := range holds[c.from:c.to] {
			bits |= one(h) << at
		}
		if bits == 0 {
			continue
		}
		if out == nil {
			out = mem.take(a.words)
		}
		out.put(c.at, bits)
	}
	return out
}

// passed marks where a column is past a bound. Classes share many of their bounds, and
// zones the weather: each is worked out once.
type passed struct {
	sign, bound float32
	where       plane
	next        *passed
}

// passes are those of one column that were asked for, the last one first.
type passes struct{ last atomic.Pointer[passed] }

// find gives what is known of a bound; nil where it was not asked for yet.
func (p *passes) find(sign, bound float32) *passed {
	for x := p.last.Load(); x != nil; x = x.next {
		if x.bound == bound && x.sign == sign {
			return x
		}
	}
	return nil
}

// add adds one. Zones that are worked out side by side may add to the same weather; that
// one of them comes twice does no harm.
func (p *passes) add(x *passed) {
	for {
		x.next = p.last.Load()
		if p.last.CompareAndSwap(x.next, x) {
			return
		}
	}
}

// beyond marks the slots in which a column is past a bound, of which the sign tells the
// side; nil where none is.
func (x *Sight) beyond(v *view, sign, bound float32) plane {
	if edge := v.edge(sign); !((edge-bound)*sign > 0) {
		return nil
	}
	p := v.past.find(sign, bound)
	if p == nil {
		p = x.newPassed(v.shared)
		p.sign, p.bound = sign, bound
		x.asked.beyond(v, sign, bound, p.where)
		v.past.add(p)
	}
	return p.where
}

// newPassed takes memory for one: what zones share outlives the sight.
func (x *Sight) newPassed(shared bool) *passed {
	if shared {
		return &passed{where: make(plane, x.asked.words)}
	}
	p := &x.mem.passed.take(1)[0]
	p.where = x.mem.planes.take(x.asked.words)
	return p
}

// beyond marks the slots in which a column is past a bound. A chunk's least and most
// mostly tell of all of its slots at once.
func (a *Asked) beyond(v *view, sign, bound float32, out plane) {
	far, near := v.hi, v.lo
	if sign < 0 {
		far, near = near, far
	}
	for k := range a.chunks {
		c := &a.chunks[k]
		switch {
		case !((far[k]-bound)*sign > 0):
		case (near[k]-bound)*sign > 0:
			out.put(c.at, c.all())
		default:
			var bits uint64
			for at, y := range v.v[c.from:c.to] {
				bits |= one((y-bound)*sign > 0) << at
			}
			out.put(c.at, bits)
		}
	}
}

// edge is the value of a column that is furthest to one side.
func (v *view) edge(sign float32) float32 {
	if sign < 0 {
		return v.least
	}
	return v.most
}

// transpose turns a square of bits about its diagonal (Warren 2013, Hacker's Delight,
// 7-3): bit c of row r becomes bit r of row c.
func transpose(rows *[64]uint64) {
	mask := uint64(1<<32 - 1)
	for j := 32; j != 0; j, mask = j/2, mask^mask<<(j/2) {
		for k := 0; k < 64; k = (k + j + 1) &^ j {
			swap := (rows[k]>>j ^ rows[k+j]) & mask
			rows[k] ^= swap << j
			rows[k+j] ^= swap
		}
	}
}
