package verdict

import (
	"math"
	"math/bits"
)

// inf is past every bound.
var inf = float32(math.Inf(1))

// Run gives the verdict on every asked slot of one member into out, in their order.
// The judge may be used for one member after another, not for two at once.
func (j *Judge) Run(x *Sight, out []Result) {
	j.look(x)
	for k, c := range x.asked.chunks {
		out := out[c.at : c.at+c.to-c.from]
		open := j.openSlots(k, c, out)
		if open == 0 {
			continue
		}
		j.worst = tally{}
		for at, b := range j.order {
			bd := &j.active[b]
			if !j.views[bd.col].outside(k, bd.least(j.worst.floor), bd.sign) {
				continue
			}
			j.hold(b, c.from, open)
			if j.worst.raise(open) > Go { // likely what binds in the next chunk too
				j.order[at], j.order[0] = j.order[0], b
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
	if len(j.order) != len(j.active) {
		j.order = j.order[:0]
		for b := range j.active {
			j.order = append(j.order, uint8(b))
		}
	}
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
// slots of chunk k that none refuses, a bit each from c.from on.
func (j *Judge) openSlots(k int, c chunk, out []Result) (open uint32) {
	calm := j.salt == nil && !j.sight.noisy[k] && (j.water == nil || !j.water.any[k]) && j.terms.LightMin <= 0
	for i := c.from; i < c.to; i++ {
		at := i - c.from
		switch {
		case !calm || j.terms.Fixed[i] != None:
			if out[at] = j.refused(i); out[at].State != NoGo {
				open |= 1 << at
			}
		default:
			open |= 1 << at
		}
	}
	return open
}

// refused is what the first broken yes/no limit makes of a slot; the zero Result
// where none is broken.
func (j *Judge) refused(i int) Result {
	if l := j.fixed(i); l != None {
		return Result{State: NoGo, Limit: l}
	}
	if j.water == nil {
		return Result{}
	}
	if j.water.wet[i] {
		if way := j.lies(i); !way.figure() {
			return Result{State: NoGo, Limit: Film, Way: way}
		}
		return Result{State: NoGo, Limit: Film, Value: j.series.Film[i], Bound: float32(j.class.FilmMaxGM2)}
	}
	if j.series.Fog[i] {
		return Result{State: NoGo, Limit: Fog}
	}
	return Result{}
}

// hold holds one bound against its column in the open slots of a chunk, and keeps
// the worst so far: of equal states the one further past its bound, of equals still
// the earlier in the list of limits. Most bounds never come to this: a chunk's least
// and most tell that they change nothing (see BenchmarkJudge).
func (j *Judge) hold(which uint8, from int, open uint32) {
	b, t := &j.active[which], &j.worst
	view := j.views[b.col]
	for ; open != 0; open &= open - 1 {
		at := bits.TrailingZeros32(open)
		i := from + at
		v := view.v[i]
		if !((v-b.ideal)*b.sign > 0) {
			continue
		}
		state := b.state(v)
		if state < t.state[at] || !j.knows(b, view, i) || b.coolSun && j.cool(i) || b.col == colRainSure && state <= j.stands(i) {
			continue
		}
		past := b.past(v, state)
		if state > t.state[at] || past > t.past[at] || past == t.past[at] && which+1 < t.by[at] {
			t.state[at], t.past[at], t.by[at] = state, past, which+1
		}
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
// and for an ideal slot the limit nearest its bound.
func (j *Judge) settle(k, from int, open uint32, out []Result) {
	doubt, cures := j.doubtful(k), j.curing != nil && !j.curesIn(from)
	for ; open != 0; open &= open - 1 {
		at := bits.TrailingZeros32(open)
		i := from + at
		var worst Result
		if which := j.worst.by[at]; which != 0 {
			b := &j.active[which-1]
			v := j.views[b.col].v[i]
			worst = Result{j.worst.state[at], b.limit, b.way(), v, b.least(j.worst.state[at]), j.worst.past[at]}
		}
		if cures {
			if r := j.cured(i); r.State > worst.State || (r.State == worst.State && r.Past > worst.Past) {
				worst = r
			}
		}
		switch {
		case doubt && worst.State != NoGo && j.missing(i):
			worst = Result{State: Unknown, Limit: Data}
		case worst.State == Ideal:
			worst = j.nearest(i)
		}
		out[at] = worst
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

// nearest finds the limit with the least room left in an ideal slot. A clock
// that the end of the data stopped has room of unknown length.
func (j *Judge) nearest(i int) Result {
	cool, most := j.cool(i), -far
	var by *bound
	for k := range j.active {
		b := &j.active[k]
		view := j.views[b.col]
		if (b.coolSun && cool) || b.col == colRainSure || b.col.ahead() && view.blind[i] {
			continue
		}
		if past := (view.v[i] - b.ideal) * b.sign / b.width; past > most {
			most, by = past, b
		}
	}
	if by == nil {
		return Result{State: Ideal, Past: most}
	}
	return Result{Ideal, by.limit, by.way(), j.views[by.col].v[i], by.ideal, most}
}
