package verdict

// Run gives the verdict on every slot of one member into out, which has the
// series' length. The judge may be used for one member after another, not for
// two at once.
func (j *Judge) Run(s *Series, out []Result) {
	j.prepare(s)
	for i := range out {
		if l := j.fixed(s, i); l != None {
			out[i] = Result{State: NoGo, Limit: l}
			continue
		}
		out[i] = j.slot(s, i)
	}
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

// slot is the worst of the other limits; the yes/no ones are asked first, for a
// broken one outranks every measured limit.
func (j *Judge) slot(s *Series, i int) Result {
	if j.work.wet[i] {
		return Result{State: NoGo, Limit: Film, Value: s.Film[i], Bound: float32(j.class.FilmMaxGM2)}
	}
	if s.Fog[i] && j.class.HasFilmMax {
		return Result{State: NoGo, Limit: Fog}
	}
	worst := j.measured(i)
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

// measured holds every bound that is known against its value.
func (j *Judge) measured(i int) Result {
	var worst Result
	avail := j.work.avail[i]
	cool := avail&(1<<colSurface) != 0 && j.work.cols[colSurface][i] <= j.coolMax
	for k := range j.active {
		b := &j.active[k]
		if avail&(1<<b.col) == 0 {
			continue
		}
		v := j.work.cols[b.col][i]
		if (v-b.ideal)*b.sign <= 0 || (b.coolSun && cool) {
			continue
		}
		r := b.judge(v)
		if r.State > worst.State || (r.State == worst.State && r.Past > worst.Past) {
			worst = r
		}
	}
	return worst
}

// judge tells by how much a value outside the ideal band is past its bound.
func (b *bound) judge(v float32) Result {
	switch {
	case b.hasHard && (v-b.hard)*b.sign > 0:
		return Result{NoGo, b.limit, v, b.hard, (v - b.hard) * b.sign / b.hardWidth}
	case (v-b.normal)*b.sign > 0:
		return Result{Marginal, b.limit, v, b.normal, (v - b.normal) * b.sign / b.hardWidth}
	default:
		return Result{Go, b.limit, v, b.ideal, (v - b.ideal) * b.sign / b.width}
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
			best = Result{Ideal, b.limit, v, b.ideal, past}
		}
	}
	return best
}

// cured asks whether the surface stays warm enough, and the air not too dry,
// while the longer default after-clock runs: any slot outside is marginal, more
// than half of them no-go. Slots that nobody knows, or that lie past the data,
// make it unknown unless enough of the others refuse it already.
func (j *Judge) cured(i int) Result {
	w := &j.work
	slots := j.cureSlots()
	if slots == 0 {
		return Result{}
	}
	end := min(i+1+slots, len(w.below)-1)
	out := float32(w.below[end]-w.below[i+1]) / float32(slots)
	r := Result{Marginal, Cure, w.low[i], float32(j.class.CureMinC), out / 0.5}
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
