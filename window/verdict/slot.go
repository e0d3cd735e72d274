package verdict

// Run gives the verdict on every slot of one member into out, which has the
// series' length. The judge may be used for one member after another, not for
// two at once.
func (j *Judge) Run(s *Series, out []Result) {
	j.prepare(s)
	open := j.work.open[:0]
	for i := range out {
		if j.terms.Fixed[i] == Hours { // the first in the list: most of the night
			out[i] = Result{State: NoGo, Limit: Hours}
			continue
		}
		if out[i] = j.refused(s, i); out[i].State != NoGo {
			open = append(open, int32(i))
		}
	}
	j.work.open = open
	for k := range j.active {
		j.hold(&j.active[k], open, out)
	}
	for _, i := range open {
		out[i] = j.settle(s, int(i), out[i])
	}
}

// refused asks the yes/no limits, which outrank every measured one; the zero
// Result where none is broken.
func (j *Judge) refused(s *Series, i int) Result {
	if l := j.fixed(s, i); l != None {
		return Result{State: NoGo, Limit: l}
	}
	if j.work.wet[i] {
		return Result{State: NoGo, Limit: Film, Value: s.Film[i], Bound: float32(j.class.FilmMaxGM2)}
	}
	if s.Fog[i] && j.class.HasFilmMax {
		return Result{State: NoGo, Limit: Fog}
	}
	return Result{}
}

// hold holds one bound against its column in the slots that are open, and keeps
// in out the worst so far: of equal states the one further past its bound, of
// equals still the earlier in the list of limits. One bound after another down
// the columns is four times as fast as one slot after another across them (see
// BenchmarkJudge).
func (j *Judge) hold(b *bound, open []int32, out []Result) {
	col, avail := j.work.cols[b.col], j.work.avail
	ideal, sign, bit := b.ideal, b.sign, uint32(1)<<b.col
	surface := j.work.cols[colSurface]
	for _, i := range open {
		v := col[i]
		if (v-ideal)*sign <= 0 || avail[i]&bit == 0 {
			continue
		}
		if b.coolSun && avail[i]&(1<<colSurface) != 0 && surface[i] <= j.coolMax {
			continue
		}
		r := b.judge(v)
		if o := out[i]; r.State > o.State || (r.State == o.State && r.Past > o.Past) {
			out[i] = r
		}
	}
}

// settle ends a slot's verdict: the cure, what is not known, and for an ideal
// slot the limit nearest its bound.
func (j *Judge) settle(s *Series, i int, worst Result) Result {
	if j.class.HasCureMin {
		if r := j.cured(i); r.State > worst.State || (r.State == worst.State && r.Past > worst.Past) {
			worst = r
		}
	}
	if worst.State != NoGo && j.missing(s, i) {
		return Result{State: Unknown, Limit: Data}
	}
	if worst.State == Ideal {
		return j.nearest(i)
	}
	return worst
}

// fixed is the first broken yes/no limit, in the order of the list, but for
// water on the panel.
func (j *Judge) fixed(s *Series, i int) Limit {
	l := j.terms.Fixed[i]
	if s.Thunder[i] && (l == None || l > Thunder) {
		l = Thunder
	}
	if j.terms.LightMin > 0 && (l == None || l > Daylight) &&
		s.KnownSurface[i] && float64(s.Sunlight[i]) < j.terms.LightMin {
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
func (j *Judge) missing(s *Series, i int) bool {
	return j.work.avail[i]&j.reads != j.reads || j.work.maybe[i] ||
		!s.KnownSurface[i] || !s.KnownAir[i] || !s.KnownRain[i]
}

// judge tells by how much a value outside the ideal band is past its bound.
func (b *bound) judge(v float32) Result {
	switch {
	case b.hasHard && (v-b.hard)*b.sign > 0:
		return Result{NoGo, b.limit, false, v, b.hard, (v - b.hard) * b.sign / b.hardWidth}
	case (v-b.normal)*b.sign > 0:
		return Result{Marginal, b.limit, false, v, b.normal, (v - b.normal) * b.sign / b.hardWidth}
	default:
		return Result{Go, b.limit, false, v, b.ideal, (v - b.ideal) * b.sign / b.width}
	}
}

// nearest finds the limit with the least room left in an ideal slot. A clock
// that the end of the data stopped has room of unknown length.
func (j *Judge) nearest(i int) Result {
	best := Result{State: Ideal, Past: -far}
	cool := j.work.cols[colSurface][i] <= j.coolMax
	for k := range j.active {
		b := &j.active[k]
		if (b.coolSun && cool) || j.work.avail[i]&(endless<<b.col) != 0 {
			continue
		}
		v := j.work.cols[b.col][i]
		if past := (v - b.ideal) * b.sign / b.width; past > best.Past {
			best = Result{Ideal, b.limit, false, v, b.ideal, past}
		}
	}
	return best
}

// cured asks whether the surface stays warm enough, and the air not too dry,
// while the longer default after-clock runs: any slot outside is marginal, more
// than half of them no-go. What there is more of, cold or dryness, gives the
// value. Slots that nobody knows, or that lie past the data, make it unknown
// unless enough of the others refuse it already.
func (j *Judge) cured(i int) Result {
	w := &j.work
	slots := j.cureSlots()
	if slots == 0 {
		return Result{}
	}
	end := min(i+1+slots, len(w.below)-1)
	out := float32(w.below[end]-w.below[i+1]) / float32(slots)
	r := Result{Marginal, Cure, false, w.low[i], float32(j.class.CureMinC), out / 0.5}
	if w.lean[end] > w.lean[i+1] {
		r.Value, r.Bound, r.Dry = w.arid[i], float32(j.class.CureHumid.Min), true
	}
	switch {
	case out > 0.5:
		r.State, r.Past = NoGo, (out-0.5)/0.5
	case end < i+1+slots || w.blind[end] > w.blind[i+1]:
		return Result{State: Unknown, Limit: Data}
	case out == 0:
		return Result{}
	}
	return r
}
