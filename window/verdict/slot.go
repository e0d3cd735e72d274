package verdict

import (
	"math"
	"math/bits"
	"slices"
)

// inf is past every bound.
var inf = float32(math.Inf(1))

// Run puts one member's verdict on every asked slot on the board. The judge may be
// used for one member after another, not for two at once.
func (j *Judge) Run(x *Sight, board *Board, member int) {
	j.look(x)
	board.kinds = j.kinds
	for k := range x.asked.chunks {
		c := &x.asked.chunks[k]
		out := sheet{board, member*x.asked.n + c.at}
		open := j.openSlots(k, c, out)
		if open == 0 {
			continue
		}
		j.worst = tally{}
		reach := j.reach[k]
		if reach&(1<<j.last) != 0 { // what bound in the chunk before likely binds in this one too
			j.hold(j.last, k, c.from, open)
			reach &^= 1 << j.last
		}
		for ; reach != 0; reach &= reach - 1 {
			which := uint8(bits.TrailingZeros32(reach))
			if bd := &j.active[which]; j.worst.floor < Go || j.views[bd.col].outside(k, bd.least(j.worst.floor), bd.sign) {
				j.hold(which, k, c.from, open)
			}
		}
		j.settle(k, c.from, open, out)
	}
}

// tally is the worst so far in every slot of a chunk.
type tally struct {
	floor State // the best of the open slots: what makes none of them worse changes nothing
	state [chunkLen]State
	past  [chunkLen]float32
	by    [chunkLen]uint8 // 1 + which of the judge's active bounds; 0: none
}

// raise works out the floor anew.
func (t *tally) raise(open uint32) State {
	t.floor = NoGo
	for ; open != 0; open &= open - 1 {
		t.floor = min(t.floor, t.state[bits.TrailingZeros32(open)])
	}
	return t.floor
}

// look turns to a sight: which columns it has for the bounds, what lies on the
// panel, and how it cures.
func (j *Judge) look(x *Sight) {
	j.sight, j.series = x, x.series
	for c := range x.views {
		j.views[c] = &x.views[c]
	}
	j.active = j.bounds
	if x.series.Shifted == nil { // nothing to doubt: the stated rain says it all
		j.active = j.stated
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
	j.blinds, j.most = j.blinds[:0], j.most[:0]
	for k := range j.active {
		if b := &j.active[k]; j.views[b.col].murky != nil {
			j.blinds, j.most = append(j.blinds, j.views[b.col]), append(j.most, b.normal)
		}
	}
	j.reaches()
}

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

// openSlots asks the yes/no limits, which outrank every measured one, and gives the
// slots of chunk k that none refuses, a bit each from its first on.
func (j *Judge) openSlots(k int, c *chunk, out sheet) (open uint32) {
	if j.salt == nil && !j.series.noisy[k] && (j.water == nil || !j.water.any[k]) && j.terms.LightMin <= 0 {
		for shut := j.shut[k]; shut != 0; shut &= shut - 1 {
			at := bits.TrailingZeros32(shut)
			out.shut(at, j.terms.Fixed[c.from+at])
		}
		return c.all() &^ j.shut[k]
	}
	for at := range c.to - c.from {
		i := c.from + at
		switch l := j.refuses(i); l {
		case None:
			open |= 1 << at
		case Film:
			out.film(at, j.lies(i), j.series.Film[i])
		default:
			out.shut(at, l)
		}
	}
	return open
}

// shuts notes which asked slots the plan of the day shuts for all members alike.
func (j *Judge) shuts(a *Asked) {
	if j.asked == a {
		return
	}
	j.asked, j.shut = a, make([]uint32, len(a.chunks))
	for k, c := range a.chunks {
		for at, l := range j.terms.Fixed[c.from:c.to] {
			if l != None {
				j.shut[k] |= 1 << at
			}
		}
	}
}

// reaches notes for every chunk which of the active bounds any slot of it is past, a
// bit each: the others change nothing there.
func (j *Judge) reaches() {
	n := len(j.asked.chunks)
	j.reach = slices.Grow(j.reach[:0], n)[:n]
	clear(j.reach)
	for which := range j.active {
		b := &j.active[which]
		view, bit := j.views[b.col], uint32(1)<<which
		edge := view.hi
		if b.sign < 0 {
			edge = view.lo
		}
		if edge == nil { // every slot has to be looked at
			for k := range j.reach {
				j.reach[k] |= bit
			}
			continue
		}
		for k, v := range edge {
			if (v-b.ideal)*b.sign > 0 {
				j.reach[k] |= bit
			}
		}
	}
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

// hold holds one bound against its column in the open slots of a chunk, and keeps
// the worst so far: of equal states the one further past its bound, of equals still
// the earlier in the list of limits. Most bounds never come to this: a chunk's least
// and most tell that they change nothing (see BenchmarkJudge).
func (j *Judge) hold(which uint8, k, from int, open uint32) {
	b, t := &j.active[which], &j.worst
	view := j.views[b.col]
	plain := j.plain(b, view, k)
	for left := open; left != 0; left &= left - 1 {
		at := bits.TrailingZeros32(left)
		i := from + at
		v := view.v[i]
		if !((v-b.ideal)*b.sign > 0) {
			continue
		}
		state := b.state(v)
		if state < t.state[at] || !plain && !j.counts(b, view, i, state) {
			continue
		}
		past := b.past(v, state)
		if state > t.state[at] || past > t.past[at] || past == t.past[at] && which+1 < t.by[at] {
			t.state[at], t.past[at], t.by[at] = state, past, which+1
		}
	}
	if t.raise(open) > Go {
		j.last = which
	}
}

// plain reports whether a bound's values count in all of chunk k, whatever they are.
func (j *Judge) plain(b *bound, v *view, k int) bool {
	switch {
	case b.coolSun || b.col == colRainSure:
		return false
	case b.col.clock():
		return v.murky == nil || !v.murky[k]
	default:
		return j.sight.sure[k]&(1<<b.col) != 0
	}
}

// counts reports whether a bound's value counts in a slot that it gives a state.
func (j *Judge) counts(b *bound, v *view, i int, state State) bool {
	switch {
	case !j.knows(b, v, i), b.coolSun && j.cool(i):
		return false
	case b.col == colRainSure:
		return state > j.stands(i)
	default:
		return true
	}
}

// stands is what the rain as stated allows. The doubt of when it begins counts only
// where it makes that worse; else the stated hours are the state's reason.
func (j *Judge) stands(i int) State {
	if v := j.views[colRainFree].v[i]; (v-j.stood.ideal)*j.stood.sign > 0 {
		return j.stood.state(v)
	}
	return Ideal
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

// settle ends the verdicts of a chunk's open slots: the cure, what is not known,
// and for ideal slots the limit nearest its bound.
func (j *Judge) settle(k, from int, open uint32, out sheet) {
	doubt, cures := j.doubtful(k), j.curing != nil && !j.curesIn(from)
	ideal := uint32(0)
	for ; open != 0; open &= open - 1 {
		at := bits.TrailingZeros32(open)
		i := from + at
		state, by := j.worst.state[at], j.worst.by[at]
		var r Result
		if cures {
			if r = j.cured(i); r.State > state || r.State == state && r.Past > j.worst.past[at] {
				state = r.State
			} else {
				r = Result{}
			}
		}
		switch {
		case doubt && state != NoGo && j.missing(i), r.State == Unknown:
			out.unknown(at)
		case state == Ideal:
			ideal |= 1 << at
		case r.State != Ideal:
			out.put(at, r)
		default:
			b := &j.active[by-1]
			out.measured(at, b, state, j.views[b.col].v[i])
		}
	}
	if ideal != 0 {
		j.nearest(from, ideal, out)
	}
}

// doubtful reports whether a needed value may be absent in chunk k.
func (j *Judge) doubtful(k int) bool {
	if j.sight.sure[k]&j.needed != j.needed || j.water != nil && j.water.any[k] {
		return true
	}
	for _, v := range j.blinds {
		if v.murky[k] {
			return true
		}
	}
	return false
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

// missing reports whether a needed value is absent.
func (j *Judge) missing(i int) bool {
	if j.sight.avail[i]&j.needed != j.needed || j.water != nil && j.water.maybe[i] {
		return true
	}
	for k, v := range j.blinds {
		if v.blind[i] && v.v[i] < j.most[k] {
			return true
		}
	}
	return false
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

// past is how far a value is past the bound that gives it its state, in the width
// of the band it is in.
func (b *bound) past(v float32, s State) float32 {
	if s == Go {
		return (v - b.ideal) * b.sign / b.width
	}
	return (v - b.least(s)) * b.sign / b.hardWidth
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

// nearest finds the limit with the least room left in a chunk's ideal slots. A clock
// that the end of the data stopped has room of unknown length.
func (j *Judge) nearest(from int, ideal uint32, out sheet) {
	var past [chunkLen]float32 // −the room left
	var by [chunkLen]uint8     // as in a tally
	for which := range j.active {
		b := &j.active[which]
		view := j.views[b.col]
		if b.col == colRainSure {
			continue
		}
		for left := ideal; left != 0; left &= left - 1 {
			at := bits.TrailingZeros32(left)
			i := from + at
			if b.coolSun && j.cool(i) || b.col.ahead() && view.blind[i] {
				continue
			}
			if p := (view.v[i] - b.ideal) * b.sign / b.width; p > -far && (by[at] == 0 || p > past[at]) {
				past[at], by[at] = p, uint8(which+1)
			}
		}
	}
	for ; ideal != 0; ideal &= ideal - 1 {
		at := bits.TrailingZeros32(ideal)
		if by[at] == 0 {
			out.put(at, Result{State: Ideal, Past: -far})
			continue
		}
		b := &j.active[by[at]-1]
		out.measured(at, b, Ideal, j.views[b.col].v[from+at])
	}
}
