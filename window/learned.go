package window

import (
	"dewgap/forecast/ensemble"
	"dewgap/window/surface"
	"dewgap/window/surface/fit"
	"dewgap/window/verdict"
)

// Learned is what readings of the past have taught of a place and of a boat.
// nil knows nothing.
type Learned struct {
	Weather ensemble.Learned // of the forecast at the place
	Zones   []LearnedZone    // of the boat, by the names of the zones
}

// LearnedZone is what was learned of one zone's panel.
type LearnedZone struct {
	Zone string
	// Absorptance and Sky are properties of the panel and its berth: they hold at any
	// time ahead.
	Absorptance, Sky fit.Value
	// Surface is what they leave over of the errors of the surface temperature, K. As
	// the weather's it fades ahead of now.
	Surface ensemble.ByRegime
	From    string // the finish by whose table Absorptance was fitted
}

// Empty reports whether nothing of it is used.
func (l *Learned) Empty() bool {
	if l == nil {
		return true
	}
	for _, z := range l.Zones {
		if !z.Empty() {
			return false
		}
	}
	return l.Weather.Empty()
}

// Empty reports whether nothing of it is used.
func (z LearnedZone) Empty() bool {
	return z.Absorptance.Used == z.Absorptance.Prior && z.Sky.Used == z.Sky.Prior && z.Surface.Empty(ensemble.SurfaceError)
}

// Supported is the part of it that may make a verdict better: what comes from
// ensemble.EnoughReadings readings in its regime, which for the absorptance is the
// sun and for the sky the night.
func (l *Learned) Supported() *Learned {
	out := &Learned{Weather: l.Weather.Supported()}
	for _, z := range l.Zones {
		z.Absorptance, z.Sky = supported(z.Absorptance), supported(z.Sky)
		z.Surface = z.Surface.Supported()
		out.Zones = append(out.Zones, z)
	}
	return out
}

func supported(v fit.Value) fit.Value {
	if v.Readings < ensemble.EnoughReadings {
		v.Used, v.Weight = v.Prior, 0
	}
	return v
}

// same reports whether two make the same of everything.
func (l *Learned) same(o *Learned) bool {
	for v := range l.Weather.Biases {
		if !sameBy(ensemble.Variable(v), l.Weather.Biases[v], o.Weather.Biases[v]) {
			return false
		}
	}
	for v := range l.Weather.Spreads {
		if l.Weather.Spreads[v].Factor() != o.Weather.Spreads[v].Factor() {
			return false
		}
	}
	for i, z := range l.Zones {
		x := o.Zones[i]
		if z.Absorptance.Used != x.Absorptance.Used || z.Sky.Used != x.Sky.Used || !sameBy(ensemble.SurfaceError, z.Surface, x.Surface) {
			return false
		}
	}
	return true
}

func sameBy(v ensemble.Variable, a, b ensemble.ByRegime) bool {
	for r := range a {
		if a[r].Size(v) != b[r].Size(v) {
			return false
		}
	}
	return true
}

// compared are the evaluations that a learned one is held against, so that what
// was learned never relaxes a hard limit, and makes nothing better before it has
// readings enough.
type compared struct {
	plain     *evaluation // without anything learned
	supported *evaluation // with what has readings enough: the learned one itself, or plain, where that is the same
}

// compare makes the evaluations that e, which has something learned in it, is held
// against. in is e's input before anything was learned or corrected in it.
func (e *evaluation) compare(in Input) error {
	all, some := in.Learned, in.Learned.Supported()
	var err error
	in.Learned = nil
	if e.against.plain, err = newEvaluation(in); err != nil {
		return err
	}
	switch {
	case some.Empty():
		e.against.supported = e.against.plain
	case all.same(some):
		e.against.supported = e
	default:
		in.Learned = some
		e.against.supported, err = newVariant(in)
	}
	return err
}

// others are the evaluations besides e itself.
func (e *evaluation) others() []*evaluation {
	switch {
	case e.against.plain == nil:
		return nil
	case e.against.supported == e || e.against.supported == e.against.plain:
		return []*evaluation{e.against.plain}
	}
	return []*evaluation{e.against.plain, e.against.supported}
}

// alike is the same zone in the evaluations that its own is held against.
type alike struct{ plain, supported *zoneWork }

func (w *zoneWork) findAlike() {
	for _, o := range w.evaluation.others() {
		z := newZoneWork(o, w.z)
		if o == w.against.plain {
			w.alike.plain = z
		}
		if o == w.against.supported {
			w.alike.supported = z
		}
	}
	if w.against.supported == w.evaluation {
		w.alike.supported = w
	}
}

// others are the zone's works besides w itself.
func (w *zoneWork) others() []*zoneWork {
	switch {
	case w.alike.plain == nil:
		return nil
	case w.alike.supported == w || w.alike.supported == w.alike.plain:
		return []*zoneWork{w.alike.plain}
	}
	return []*zoneWork{w.alike.plain, w.alike.supported}
}

// drain notes the water that the zone lets drip, for the zones below it.
func (w *zoneWork) drain() {
	for _, x := range append(w.others(), w) {
		water := x.dripping()
		w.stands(w.z, func(z int) { x.drips[z] = water })
	}
}

// hold holds the verdicts of the learned evaluation against those of the others.
func (w *zoneWork) hold(trials []*trial) {
	if w.alike.plain == nil {
		return
	}
	plain := w.alike.plain.retry(trials)
	supported := plain
	switch w.alike.supported {
	case w.alike.plain:
	case w:
		supported = trials
	default:
		supported = w.alike.supported.retry(trials)
	}
	for k, t := range trials {
		t.board.Join(heldAgainst, plain[k].board, supported[k].board)
	}
	w.alike.plain.done(plain...)
	if w.alike.supported != w.alike.plain && w.alike.supported != w {
		w.alike.supported.done(supported...)
	}
}

// heldAgainst is what comes of one slot of one member, by its verdicts with all that
// was learned, and without: with nothing, and with what has readings enough. What is
// no-go or unknown with nothing learned stays so or gets worse. Else what has readings
// enough may make it better or worse, and all that was learned only worse.
func heldAgainst(learned verdict.Result, without []verdict.Result) verdict.Result {
	plain, supported := without[0], without[1]
	if !plain.State.Workable() {
		return verdict.Worse(plain, learned)
	}
	return verdict.Worse(supported, learned)
}

// heldLimits does the same for the limits of an explanation, which have the same
// order in all three.
func heldLimits(plain, supported, learned []verdict.Held) []verdict.Held {
	if len(plain) != len(learned) || len(supported) != len(learned) {
		return learned
	}
	out := make([]verdict.Held, len(learned))
	for k, h := range learned {
		other := supported[k]
		if !plain[k].State.Workable() {
			other = plain[k]
		}
		out[k] = h
		if other.State > h.State {
			out[k] = other
		}
	}
	return out
}

// learnedOf is what was learned of a zone; ok is false where nothing is used.
func (e *evaluation) learnedOf(zone string) (LearnedZone, bool) {
	if e.Learned == nil {
		return LearnedZone{}, false
	}
	for _, z := range e.Learned.Zones {
		if z.Zone == zone {
			return z, !z.Empty()
		}
	}
	return LearnedZone{}, false
}

// teach brings what was learned of the zone into its panel and exposure, and gives
// by how much the surface is off in every slot, K; nil where it is not. The
// absorptance is that of the zone's own finish, not of a part's.
func (w *zoneWork) teach() []float32 {
	l, ok := w.learnedOf(w.zone.Name)
	if !ok {
		return nil
	}
	own := w.zone.Finish.Name == w.Job.Zones[w.z].Finish.Name
	if own && l.Absorptance.Used != l.Absorptance.Prior {
		w.panel.Absorptance = l.Absorptance.Used
	}
	if l.Sky.Used != l.Sky.Prior {
		for i := range w.exposure.SkyView {
			w.exposure.SkyView[i] *= float32(l.Sky.Used)
		}
	}
	if !own || l.Surface.Empty(ensemble.SurfaceError) {
		return nil
	}
	return w.offsets(l.Surface)
}

// offsets are the errors of the surface by slot, by the regime of the first member.
func (e *evaluation) offsets(by ensemble.ByRegime) []float32 {
	out := make([]float32, e.grid.N)
	for i := range out {
		if r, ok := e.regime(i); ok {
			lead := ensemble.LeadWeight(e.grid.At(i).Sub(e.Now))
			out[i] = float32(lead * by[r].Size(ensemble.SurfaceError))
		}
	}
	return out
}

// regime is that of a slot by the first member; ok is false where its cloud is not
// known.
func (e *evaluation) regime(i int) (ensemble.Regime, bool) {
	w := e.weather[0]
	if w.Flags[i]&surface.KnownSun == 0 {
		return 0, false
	}
	return ensemble.RegimeAt(e.grid.Middle(i), e.Job.Place.Latitude, e.Job.Place.Longitude, 100*float64(w.Cloud[i])), true
}

// shifted moves what was read on a panel so that a track that is off by offsets
// shows, with them, what was read.
func shifted(read []surface.Measured, offsets []float32) []surface.Measured {
	if offsets == nil {
		return read
	}
	out := make([]surface.Measured, len(read))
	for k, m := range read {
		if m.Slot >= 0 && m.Slot < len(offsets) {
			m.SurfaceC -= float64(offsets[m.Slot])
		}
		out[k] = m
	}
	return out
}

// shift adds the errors to a track.
func shift(t *surface.Track, offsets []float32) {
	for i, d := range offsets {
		t.Surface[i] += d
		t.Bare[i] += d
	}
}
