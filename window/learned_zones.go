package window

import (
	"time"

	"dewgap/forecast"
	"dewgap/forecast/ensemble"
	"dewgap/products"
	"dewgap/window/job"
	"dewgap/window/surface"
	"dewgap/window/surface/fit"
)

// PastReadings is what was read within some hours, and the forecast that held then.
type PastReadings struct {
	Forecast *forecast.Forecast
	Readings []job.Reading // air, humidity and wind correct the forecast; surfaces are learned from
}

// LearnInput is what the zones' panels are learned from.
type LearnInput struct {
	Job      *job.Job // its zones, berths, covers and place
	Location *time.Location
	Now      time.Time        // by which the readings are aged
	Weather  ensemble.Learned // of the forecasts at the place
	Past     []PastReadings
	Model    surface.Model
	Skies    *surface.Skies // as those of Input
}

// noClasses are those of a job without steps.
type noClasses struct{}

func (noClasses) Class(string) (products.Class, bool) { return products.Class{}, false }

// LearnZones learns what the readings of surfaces tell of the job's zones, in the
// order of the job; zones without a reading that can be used are left out.
//
// The weather of the time is the forecast's first member, corrected by what was
// learned of the place and by the air, humidity and wind that were read with the
// surfaces. Readings are judged as those of this morning are: what is not believed
// there, what only bounds a temperature (a glossy deck by infrared under a clear
// sky), and a panel that was seen to be wet, teach nothing. Readings of parts with
// another finish are not told apart from those of the zone.
func LearnZones(in LearnInput) []LearnedZone {
	lists := make([]zoneSpells, len(in.Job.Zones))
	for _, past := range in.Past {
		in.spell(past, lists)
	}
	var out []LearnedZone
	for z, l := range lists {
		if len(l.spells) > 0 {
			out = append(out, l.learn(in.Job.Zones[z].Name, in))
		}
	}
	return out
}

// zoneSpells are the spells in which one zone was read.
type zoneSpells struct {
	table  float64 // absorptance by the finish
	finish string
	spells []fit.Spell
	of     []*evaluation // per spell
	at     [][]time.Time // per spell and reading
}

// spell adds one spell to the lists of the zones that were read in it. A forecast
// that says nothing of its time adds nothing.
func (in LearnInput) spell(past PastReadings, lists []zoneSpells) {
	if past.Forecast == nil || len(past.Forecast.Members) == 0 || len(past.Readings) == 0 {
		return
	}
	last := past.Readings[0].At
	for _, m := range past.Readings {
		if m.At.After(last) {
			last = m.At
		}
	}
	f := *past.Forecast
	f.Members = f.Members[:1:1]
	corrected, _ := in.Weather.Correct(&f, nil, last)
	j := *in.Job
	j.Steps, j.From, j.By = nil, job.Date{}, job.DateOf(last.In(in.Location))
	e, err := newEvaluation(Input{
		Forecast: corrected, Job: &j, Classes: noClasses{}, Location: in.Location, Now: last, Readings: past.Readings, Model: in.Model, Skies: in.Skies,
	})
	if err != nil {
		return
	}
	e.weathers()
	for z := range j.Zones {
		e.learnFrom(z, in.Now, &lists[z])
	}
}

// learnFrom adds what was read on a zone to its list.
func (e *evaluation) learnFrom(z int, now time.Time, l *zoneSpells) {
	zone := e.Job.Zones[z]
	panel, x := panelOf(zone, e.Job, e.waterC), surface.NewExposure(e.exposed(zone), e.sky, e.Model)
	c := panelReads{evaluation: e, zone: zone, panel: panel, x: x, own: true}
	for u := range e.reads.uses {
		if use := &e.reads.uses[u]; use.Zone == zone.Name && use.Kind == ReadSurface && use.Reason == "" {
			c.uses = append(c.uses, u)
		}
	}
	if len(c.uses) == 0 {
		return
	}
	sp, at := fit.Spell{Panel: panel, Exposure: x, Weather: e.weather[0]}, []time.Time{}
	models := c.models()
	for k, u := range c.uses {
		use := &e.reads.uses[u]
		how, _ := c.surfaceRead(u, models[k]).judge()
		slot, inside := e.readSlot(use)
		if how != asRead || !inside || e.reads.list[e.reads.of[u]].Wet == job.Yes || e.weather[0].Flags[slot]&surface.KnownSurface == 0 {
			continue
		}
		sp.Readings = append(sp.Readings, fit.Reading{Slot: slot, SurfaceC: use.Value.V, Weight: ensemble.AgeWeight(now.Sub(use.At))})
		at = append(at, use.At)
	}
	if len(sp.Readings) > 0 {
		l.table, l.finish = panel.Absorptance, zone.Finish.Name
		l.spells, l.of, l.at = append(l.spells, sp), append(l.of, e), append(l.at, at)
	}
}

// learn fits the panel and learns what the fit leaves over.
func (l zoneSpells) learn(name string, in LearnInput) LearnedZone {
	r := fit.Fit(l.table, in.Model, l.spells)
	var misses []ensemble.Miss
	for _, o := range r.Offs {
		e, at := l.of[o.Spell], l.at[o.Spell][o.Reading]
		regime, ok := e.regime(l.spells[o.Spell].Readings[o.Reading].Slot)
		if ok && ensemble.Believed(ensemble.SurfaceError, o.K) {
			misses = append(misses, ensemble.Miss{At: at, Of: ensemble.SurfaceError, Regime: regime, Off: o.K})
		}
	}
	return LearnedZone{
		Zone: name, Absorptance: r.Absorptance, Sky: r.Sky, From: l.finish,
		Surface: ensemble.LearnOf(ensemble.SurfaceError, misses, in.Now),
	}
}
