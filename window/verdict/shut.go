package verdict

import (
	"math"
	"math/bits"
)

// salted is where salt lies on the panel for this work. After a spell it has to be
// washed once more, which takes a slot at least, and dry for as long as the class
// cannot do without.
func (j *Judge) salted(s *Series) []bool {
	switch {
	case j.terms.Salt == SaltLies:
		return s.SaltLies
	case j.terms.Salt == SaltWashed || s.SaltFalls == nil:
		return nil
	}
	wait := 1
	if j.dry.given {
		h := j.dry.normal
		if j.dry.hasHard {
			h = min(h, j.dry.hard)
		}
		wait += int(math.Ceil(float64(h)/SlotHours - 1e-6))
	}
	out, until := make([]bool, len(s.SaltFalls)), -1
	for i, falls := range s.SaltFalls {
		if falls {
			until = i + wait
		}
		out[i] = i <= until
	}
	return out
}

// shuts notes which asked slots the plan of the day shuts for all members alike, and
// writes the verdict on them once.
func (j *Judge) shuts(a *Asked) {
	if j.asked == a {
		return
	}
	j.asked, j.shut, j.shutCodes = a, make(plane, a.words), make([]uint8, a.n)
	for place, i := range a.slot {
		if l := j.terms.Fixed[i]; l != None {
			j.shut[place/64] |= 1 << (place % 64)
			j.shutCodes[place] = codeLimit + uint8(l)
		}
	}
}

// refusals are where yes/no limits refuse a member that the plan of the day does not
// set.
type refusals struct {
	always   []plane // those that may outrank what the plan sets
	wet, fog plane   // and those that never do
}

func (j *Judge) refusals() refusals {
	r := refusals{always: append(j.planes[:0], j.series.thunder)}
	if j.salt != nil {
		r.always = append(r.always, j.asked.marks(j.salt, &j.scratch))
	}
	if least := float32(j.terms.LightMin); least > 0 { // just above, for fixed asks in 64 bits
		r.always = append(r.always, j.sight.beyond(j.views[colSunlight], -1, math.Nextafter32(least, inf)))
	}
	if j.water != nil {
		r.wet, r.fog = j.water.wets, j.series.fog
	}
	j.planes = r.always
	return r
}

// open asks the yes/no limits, which outrank every measured one, and gives the slots of
// a word that none refuses.
func (j *Judge) open(w int, no *refusals, out sheet) uint64 {
	shut, ask := j.shut[w], uint64(0)
	for _, p := range no.always {
		ask |= p.word(w)
	}
	film := no.wet.word(w) &^ (shut | ask)
	for left := film; left != 0; left &= left - 1 {
		place := w*64 + bits.TrailingZeros64(left)
		i := int(j.asked.slot[place])
		out.film(place, j.lies(i), j.series.Film[i])
	}
	ask |= no.fog.word(w) &^ (shut | film)
	for left := ask; left != 0; left &= left - 1 {
		place := w*64 + bits.TrailingZeros64(left)
		i := int(j.asked.slot[place])
		switch l := j.refuses(i); l {
		case None: // too dark to see by, but for a surface that nobody knows
			ask &^= left & -left
		case Film:
			out.film(place, j.lies(i), j.series.Film[i])
		default:
			out.shut(place, l)
		}
	}
	out.alike[w] &= shut &^ ask
	return j.asked.valid(w) &^ (shut | film | ask)
}

// refuses is the first broken yes/no limit in a slot.
func (j *Judge) refuses(i int) Limit {
	switch l := j.fixed(i); {
	case l != None || j.water == nil:
		return l
	case j.water.wet[i]:
		return Film
	case j.series.Fog[i]:
		return Fog
	default:
		return None
	}
}

// fixed is the first broken yes/no limit, in the order of the list, but for
// water on the panel.
func (j *Judge) fixed(i int) Limit {
	l := j.terms.Fixed[i]
	if j.series.Thunder[i] && (l == None || l > Thunder) {
		l = Thunder
	}
	if j.salt != nil && j.salt[i] && (l == None || l > Salt) {
		l = Salt
	}
	if j.terms.LightMin > 0 && (l == None || l > Daylight) &&
		j.series.KnownSurface[i] && float64(j.series.Sunlight[i]) < j.terms.LightMin {
		l = Daylight
	}
	return l
}
