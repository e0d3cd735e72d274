package verdict

import (
	"math"
	"math/bits"
)

// reach is a bound that some asked slot is past: the slots past the end of its ideal
// band, of its default and of its hard one, of those in which it counts.
type reach struct {
	*bound
	v                   []float32
	outer, inner, limit plane // past ideal, default, hard

	// Of the word at hand: what the bound alone makes of it, and the slots in which no
	// other bound gives a worse state.
	alone states
	binds uint64
}

// reaches finds the bounds that any asked slot is past: the others change nothing. Most
// are not, as the least and most of their columns tell.
func (j *Judge) reaches() {
	j.reach = j.reach[:0]
	for k := range j.active {
		b := &j.active[k]
		v := j.views[b.col]
		outer := j.sight.beyond(v, b.sign, b.ideal)
		if outer == nil {
			continue
		}
		inner, limit := j.beyond(b, b.normal), j.asked.none
		if b.hasHard {
			limit = j.beyond(b, b.hard)
		}
		if !j.plain(b, v) {
			outer, inner = j.counted(b, v, outer, inner)
		}
		j.reach = append(j.reach, reach{bound: b, v: v.v, outer: outer, inner: inner, limit: limit})
	}
}

// beyond marks the slots past one of a bound's bands.
func (j *Judge) beyond(b *bound, edge float32) plane {
	if p := j.sight.beyond(j.views[b.col], b.sign, edge); p != nil {
		return p
	}
	return j.asked.none
}

// plain reports whether a bound counts in all slots, whatever its values are.
func (j *Judge) plain(b *bound, v *view) bool {
	switch {
	case b.coolSun || b.col == colRainSure:
		return false
	case b.col.clock():
		return v.unseen == nil
	default:
		return j.sight.surely&(1<<b.col) != 0
	}
}

// counted leaves, of the slots past a bound's ideal and default bands, those in which it
// counts.
func (j *Judge) counted(b *bound, v *view, outer, inner plane) (plane, plane) {
	outer = j.copied(outer)
	if b.col.clock() { // one that is blind counts once it has run for as long as the class asks
		outer.drop(func(w int) uint64 { return v.unseen.word(w) & inner[w] })
	} else if unknown := j.unknown(1 << b.col); unknown != nil {
		outer.drop(unknown.word)
	}
	if b.coolSun { // not while the surface is known to be so cool that the sun on it does no harm
		unknown, warm := j.unknown(1<<colSurface), j.sight.beyond(j.views[colSurface], 1, j.coolMax)
		outer.drop(func(w int) uint64 { return ^(unknown.word(w) | warm.word(w)) })
	}
	if b.col == colRainSure {
		return j.doubted(outer, inner)
	}
	return outer, inner
}

// copied is a plane that may be changed.
func (j *Judge) copied(p plane) plane {
	out := plane(j.scratch.take(len(p)))
	copy(out, p)
	return out
}

// doubted leaves the slots in which the doubt of when rain begins makes worse what the
// rain as stated allows; else the stated hours are the state's reason.
func (j *Judge) doubted(outer, inner plane) (plane, plane) {
	b := &j.stood
	ideal, worse := j.beyond(b, b.ideal), j.copied(j.beyond(b, b.normal))
	if b.hasHard {
		for w, past := range j.beyond(b, b.hard) {
			worse[w] |= past
		}
	}
	inner = j.copied(inner)
	inner.drop(worse.word)
	outer.drop(func(w int) uint64 { return ideal[w] &^ inner[w] })
	return outer, inner
}

// weigh finds the state that the bounds give the open slots of a word.
func (j *Judge) weigh(w int, open uint64) states {
	var s states
	for k := range j.reach {
		r := &j.reach[k]
		past := r.outer[w] & open
		noGo := r.limit[w] & past
		marginal := r.inner[w] & past &^ noGo
		r.alone = states{good: past &^ (noGo | marginal), marginal: marginal, noGo: noGo}
		s.good |= r.alone.good
		s.marginal |= marginal
		s.noGo |= noGo
	}
	s.marginal &^= s.noGo
	s.good &^= s.noGo | s.marginal
	return s
}

// decide finds which of the bounds gives each slot of a word its state, or that its cure
// does, and writes it on the board. Most slots have only one that can.
func (j *Judge) decide(w int, s *states, cure, absent uint64, out sheet) {
	var once, several uint64
	for k := range j.reach {
		r := &j.reach[k]
		r.binds = r.alone.noGo&s.noGo | r.alone.marginal&s.marginal | r.alone.good&s.good
		several |= once & r.binds
		once |= r.binds
	}
	several |= cure
	for k := range j.reach {
		r := &j.reach[k]
		if only := r.binds &^ several; only != 0 {
			out.fill(w, only&s.good, r, Go)
			out.fill(w, only&s.marginal, r, Marginal)
			out.fill(w, only&s.noGo, r, NoGo)
		}
	}
	if several != 0 {
		j.compare(w, s, several, cure, absent, out)
	}
}

// compare finds the bound that the value of a slot is furthest past, where several give
// it its state: of equals the first in the list of limits. Which one it is no processor
// guesses, so whole numbers that stand in the same order are compared without a branch:
// the bits of how far past, which is more than nothing, and below them the code, the
// first in the list greatest.
func (j *Judge) compare(w int, s *states, several, cure, absent uint64, out sheet) {
	var most [64]uint64 // 0: none
	slot := j.asked.slot[w*64:]
	for k := range j.reach {
		r := &j.reach[k]
		for state, level := range [...]uint64{Go: s.good, Marginal: s.marginal, NoGo: s.noGo} {
			left := r.binds & several & level
			if left == 0 {
				continue
			}
			edge, sign, width := r.band(State(state))
			code := uint64(codeUnknown - int(r.code) - state)
			for ; left != 0; left &= left - 1 {
				at := bits.TrailingZeros64(left)
				past := (r.v[slot[at]] - edge) * sign / width
				most[at] = max(most[at], uint64(math.Float32bits(past))<<32|code)
			}
		}
	}
	for left := several; left != 0; left &= left - 1 {
		at := bits.TrailingZeros64(left)
		if code := uint8(codeUnknown - most[at]&0xff); most[at] != 0 {
			out.codes[w*64+at] = code
			out.values[w*64+at] = j.views[j.bounds[code/uint8(codeStates)].col].v[slot[at]]
		}
	}
	for ; cure != 0; cure &= cure - 1 {
		at := bits.TrailingZeros64(cure)
		past := math.Float32frombits(uint32(most[at] >> 32))
		if r := j.cured(int(slot[at])); s.add(cure&-cure, r, past) && (r.State == NoGo || r.State == Marginal && absent&(cure&-cure) == 0) {
			out.put(w*64+at, r)
		}
	}
}
