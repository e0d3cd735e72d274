package verdict

import "math"

// inf is past every bound.
var inf = float32(math.Inf(1))

// Run puts one member's verdict on every asked slot on the board, 64 of them at a time:
// a limit is held against all of them at once, and only which of several limits binds is
// asked slot by slot. The judge may be used for one member after another, not for two at
// once.
func (j *Judge) Run(x *Sight, board *Board, member int) {
	j.look(x)
	j.scratch.reset()
	j.reaches()
	board.kinds = j.kinds
	out := board.sheet(member)
	copy(out.codes, j.shutCodes)
	no := j.refusals()
	absent, uncured := j.absent(), j.uncured()
	for w := range x.asked.words {
		open := j.open(w, &no, out)
		s := j.weigh(w, open)
		if cure := uncured.word(w) & open; cure != 0 || s.bad() != 0 {
			j.decide(w, &s, cure, absent.word(w), out)
		}
		s.unknown |= absent.word(w) & open &^ s.noGo
		out.unknown(w, s.unknown)
		if ideal := open &^ s.bad(); ideal != 0 {
			j.nearest(w, ideal, out)
		}
		out.mark(w, open, &s)
	}
}

// states tells slots by their state, a bit each; those that are none of these are ideal.
type states struct{ good, marginal, unknown, noGo uint64 }

func (s *states) bad() uint64 { return s.good | s.marginal | s.unknown | s.noGo }

// of is the state of the slots of one bit.
func (s *states) of(bit uint64) State {
	switch {
	case s.noGo&bit != 0:
		return NoGo
	case s.unknown&bit != 0:
		return Unknown
	case s.marginal&bit != 0:
		return Marginal
	case s.good&bit != 0:
		return Go
	}
	return Ideal
}

// add adds the verdict of one more limit to the slot of one bit, and tells whether it
// is worse than the others, by which the slot is so far past.
func (s *states) add(bit uint64, r Result, past float32) bool {
	if was := s.of(bit); r.State < was || r.State == was && !(r.Past > past) {
		return false
	}
	s.good, s.marginal = s.good&^bit, s.marginal&^bit
	switch r.State {
	case Marginal:
		s.marginal |= bit
	case Unknown:
		s.unknown |= bit
	case NoGo:
		s.noGo |= bit
	}
	return true
}

// look turns to a sight: which columns it has for the bounds, what lies on the
// panel, and how it cures.
func (j *Judge) look(x *Sight) {
	j.sight, j.series = x, x.series
	j.active = j.bounds
	if x.series.Shifted == nil { // nothing to doubt: the stated rain says it all
		j.active = j.stated
	}
	j.views = [columns]*view{colSurface: x.view(colSurface), colSunlight: x.view(colSunlight)}
	for k := range j.active {
		if c := j.active[k].col; !j.class.Equivalent || !c.ahead() {
			j.views[c] = x.view(c)
		}
	}
	j.shuts(x.asked)
	j.salt = j.salted(x.series)
	if j.class.Equivalent {
		perK := j.class.HalvesPerK
		if perK <= 0 {
			perK = 10
		}
		w := x.warmth(perK)
		j.views[colRainFree], j.views[colRainSure], j.views[colDewFree] = &w.rainFree, &w.rainSure, &w.dews
	}
	j.water, j.curing = nil, nil
	if j.class.HasFilmMax { // else water on the panel does no harm
		by := wiping{towel: j.towelling(), soaks: j.terms.Soaks, most: float32(j.class.FilmMaxGM2)}
		if by.towel && j.class.SpreadK.Given {
			by.need = float32(j.class.SpreadK.Default.Min)
		}
		j.water = x.water(by)
	}
	if j.class.HasCureMin {
		humidity := float32(0)
		if j.class.CureHumid.HasMin {
			humidity = float32(j.class.CureHumid.Min)
		}
		j.curing, j.blind = x.curing(float32(j.class.CureMinC), humidity), x.blindTo()
	}
	j.moisture()
}

// Worse is the worse of two verdicts on the same slot: by state, then yes/no
// limits first, then the one further past its bound.
func Worse(a, b Result) Result {
	switch {
	case a.State != b.State:
		if b.State > a.State {
			return b
		}
	case a.Limit.YesNo() != b.Limit.YesNo():
		if b.Limit.YesNo() {
			return b
		}
	case b.Past > a.Past:
		return b
	}
	return a
}

// state is what a value outside the ideal band allows.
func (b *bound) state(v float32) State {
	switch {
	case b.hasHard && (v-b.hard)*b.sign > 0:
		return NoGo
	case (v-b.normal)*b.sign > 0:
		return Marginal
	default:
		return Go
	}
}

// way is how the bound holds its limit.
func (b *bound) way() Way {
	if b.col == colRainSure {
		return Chance
	}
	return Plain
}

// band is where the band of a state begins, to which side it lies, and how wide it is.
func (b *bound) band(s State) (edge, sign, width float32) {
	if s <= Go {
		return b.ideal, b.sign, b.width
	}
	return b.least(s), b.sign, b.hardWidth
}

// least is the bound that a value is past in a state or a worse one: what lies
// within it is better.
func (b *bound) least(s State) float32 {
	switch {
	case s <= Go:
		return b.ideal
	case s < NoGo:
		return b.normal
	case b.hasHard:
		return b.hard
	default:
		return b.sign * inf
	}
}

// cool reports whether the surface is known to be so cool that the sun on it does
// not count.
func (j *Judge) cool(i int) bool {
	return j.sight.avail[i]&(1<<colSurface) != 0 && j.views[colSurface].v[i] <= j.coolMax
}

// knows reports whether a bound's value counts in a slot. A clock that is blind
// counts once it has run for as long as the class asks.
func (j *Judge) knows(b *bound, v *view, i int) bool {
	if b.col.clock() {
		return v.blind == nil || !v.blind[i] || v.v[i] >= b.normal
	}
	return j.sight.avail[i]&(1<<b.col) != 0
}
