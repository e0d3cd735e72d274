package window

import (
	"math"
	"slices"
	"time"

	"dewgap/products"
	"dewgap/window/boat"
	"dewgap/window/crew"
	"dewgap/window/job"
	"dewgap/window/surface"
	"dewgap/window/verdict"
)

// civilTwilight is how far below the horizon the sun may stand for work without
// lamps, degrees.
const civilTwilight = -6

// inspectionLight is the sunlight on the panel that shows its faults without a
// lamp, W/m² (common practice).
const inspectionLight = 400

// class is what a step works with; an inspection needs a dry panel only.
func (w *zoneWork) class(s job.Step) products.Class {
	c, ok := w.Classes.Class(s.With)
	if !ok {
		return products.Class{ID: "", Name: "inspection", Do: s.Do, HasFilmMax: true, FilmMaxGM2: 1, Towel: true, People: 1}
	}
	if w.conditional(c) && w.zone.Buffable == "yes" && c.PaintSurfaceC.Given {
		c.SurfaceC = c.PaintSurfaceC
	}
	return c
}

// conditional reports whether the finish may take the class only if the paint
// is known to be buffable.
func (w *zoneWork) conditional(c products.Class) bool {
	return slices.Contains(c.Conditional, w.zone.Finish.Name)
}

// terms gathers what a verdict on the zone depends on beside the class.
func (w *zoneWork) terms(step int, c products.Class) verdict.Terms {
	t := verdict.Terms{
		Towel: w.Job.Towel, Soaks: w.zone.Finish.Soaks,
		Height:  w.zone.AtHeight(),
		GustMax: crew.AccessGustMS, Fixed: w.keeping(step, &c, w.recoating(step, &c, w.fixed(step, c))), Wood: w.woodReading(c),
		Salt: w.saltRule(step), Dust: w.dusty != nil,
	}
	if w.Job.Steps[step].Do == "inspect" && !w.Job.Lamps {
		t.LightMin = inspectionLight
	}
	return t
}

// past is what the job tells of the water that has come on the zone already: rain
// and a wash of before the data, and every wash that is done. Rain of within the data
// has been laid over the weather, which knows whom a roof kept dry.
func (w *zoneWork) past() verdict.Past {
	p := verdict.Past{Roofed: w.roofed, RainedAt: math.MinInt32, WashedAt: math.MinInt32, Now: w.now}
	if s := w.Job.Since; s.HasRain {
		p.PastKnown = true
		if i := w.slotBefore(s.Rain.Add(-1)); i < 0 {
			p.RainedAt = i
		}
	}
	if s := w.Job.Since; s.HasWash {
		p.WashedAt = w.slotBefore(s.Wash.Add(-1))
	}
	if t, _ := w.lastWet(); !t.IsZero() {
		// The slot in which it ended is the last wet one: a wash until 07:00 has dried
		// for an hour at 08:00, as the plan counts it.
		p.WashedAt = max(p.WashedAt, w.slotBefore(t.Add(-1)))
	}
	return p
}

// lastWet is when the last work done on the zone that brings water ended, zero
// without any, and the share of the zone that it wetted. What is to be done at a
// moment yet to come has wetted nothing.
func (w *zoneWork) lastWet() (last time.Time, share float64) {
	for word, d := range w.zone.Done {
		s := job.Step{Do: word}
		if k, ok := w.Job.Step(word); ok {
			s = w.Job.Steps[k]
		}
		c, ok := w.Classes.Class(s.With)
		rinsed := wet(c, s.Do) || !ok && s.Do == "decontaminate" // with what is not told: cleaners are rinsed off
		switch {
		case !rinsed || d.At.IsZero() || d.At.After(w.Now) || d.At.Before(last):
		case d.At.After(last):
			last, share = d.At, d.Share
		default:
			share = max(share, d.Share)
		}
	}
	return last, share
}

// slotBefore is the slot, negative where before the grid, that holds t.
func (w *zoneWork) slotBefore(t interface{ Unix() int64 }) int {
	d := t.Unix() - w.grid.Start.Unix()
	return int(math.Floor(float64(d) / surface.Slot.Seconds()))
}

// fixed is, per slot, the first yes/no limit of the list that the people, the
// marina or the zone itself set. Nobody may write to it.
func (w *zoneWork) fixed(step int, c products.Class) []verdict.Limit {
	always, crew := w.always(step, c), w.crewLimits(c)
	if always == verdict.None {
		return crew
	}
	out := make([]verdict.Limit, len(crew))
	for i, l := range crew {
		if out[i] = always; l != verdict.None && l < always {
			out[i] = l
		}
	}
	return out
}

// crewKey is what of a class its hours hang on.
type crewKey struct {
	machine, wash bool
	people        int
}

// crewLimits is crewLimit of every slot. Classes that ask the same share it.
func (w *zoneWork) crewLimits(c products.Class) []verdict.Limit {
	key := crewKey{c.Machine, c.Do == "wash", c.People}
	if l, ok := w.crews[key]; ok {
		return l
	}
	out := make([]verdict.Limit, w.grid.N)
	for i := range out {
		out[i] = w.crewLimit(i, key)
	}
	w.crews[key] = out
	return out
}

// always is the limit that holds at any time of day.
func (w *zoneWork) always(step int, c products.Class) verdict.Limit {
	j := w.Job
	switch {
	case j.Afloat && w.zone.Access == boat.Ashore && len(w.zone.Reach) == 0: // nobody knows when she is lifted
		return verdict.Reach
	case !waterAllowed(j.Place.Water, c.Water):
		return verdict.Water
	case job.Forbidden(c, w.zone) != "", w.unasked && step == len(j.Steps)-1 && !job.Suits(c, w.zone):
		return verdict.Finish
	case w.salted(step):
		return verdict.Salt
	default:
		return verdict.None
	}
}

// waterAllowed compares what a step lets run off with what the marina allows.
func waterAllowed(allowed string, needs products.Water) bool {
	switch allowed {
	case "none":
		return needs <= products.WaterNone
	case "rinse":
		return needs <= products.WaterRinse
	case "soap":
		return needs <= products.WaterSoap
	default:
		return true
	}
}

// salted reports whether the zone carries salt that no earlier step of the job
// washes off: no pad or product may touch it then.
func (w *zoneWork) salted(step int) bool {
	if !w.zone.Salt || washes(w.Job.Steps[step]) {
		return false
	}
	for _, s := range w.Job.Steps[:step] {
		if washes(s) && slices.Contains(s.On, w.z) && !w.washedBefore(s) {
			return false
		}
	}
	return true
}

// washes reports whether a step floods the zone.
func washes(s job.Step) bool { return s.Do == "wash" || s.Do == "strip wash" }

// calendar is what the clock and the diary say of every slot, the same for all zones: whether
// the whole slot lies in the crew's, the machines' and the washing hours, whether
// anybody works on its day, and how many.
type calendar struct {
	crew, works, machines, washing []bool
	people                         []int
}

func (e *evaluation) newCalendar() *calendar {
	n := e.grid.N
	c := &calendar{make([]bool, n), make([]bool, n), make([]bool, n), make([]bool, n), make([]int, n)}
	j := e.Job
	var day job.Date // whose diary was read last
	for i := range n {
		from := e.local(i)
		last := from.Add(surface.Slot - 1)
		c.crew[i] = j.Hours.Open(from) && j.Hours.Open(last)
		if d := job.DateOf(from); i > 0 && d == day {
			c.works[i], c.people[i] = c.works[i-1], c.people[i-1]
		} else {
			day, c.works[i], c.people[i] = d, j.WorksOn(from), j.PeopleOn(from)
		}
		c.machines[i] = j.Place.Machines.Open(from) && j.Place.Machines.Open(last)
		c.washing[i] = j.Place.Washing.Open(from) && j.Place.Washing.Open(last)
	}
	return c
}

// dark tells per slot whether it is too dark to work without lamps; nil where the job has
// them.
func (e *evaluation) dark() []bool {
	if e.Job.Lamps {
		return nil
	}
	out := make([]bool, e.grid.N)
	for i := range out {
		out[i] = e.sky.Elevation[i] < civilTwilight
	}
	return out
}

// crewLimit is the first of hours, days off, daylight, machine hours and reach
// that forbids the slot.
func (w *zoneWork) crewLimit(i int, c crewKey) verdict.Limit {
	d := w.days
	switch {
	case !d.crew[i]:
		return verdict.Hours
	case !d.works[i]:
		return verdict.Away
	case w.result.Dark != nil && w.result.Dark[i]:
		return verdict.Daylight
	case c.machine && !d.machines[i]:
		return verdict.Machines
	case c.wash && !d.washing[i]:
		return verdict.Hours
	case !reached(w.zone.Reach, w.grid, i):
		return verdict.Reach
	case d.people[i] < c.people:
		return verdict.People
	default:
		return verdict.None
	}
}

func reached(spans []boat.Span, g surface.Grid, i int) bool {
	if len(spans) == 0 {
		return true
	}
	for _, s := range spans {
		if s.Holds(g.At(i)) && s.Holds(g.At(i).Add(surface.Slot-1)) {
			return true
		}
	}
	return false
}
