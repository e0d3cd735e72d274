package answer

import (
	"time"

	"dewgap/forecast"
	"dewgap/products"
	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/crew"
	"dewgap/window/job"
)

// cautions are the words for the people over their working hours in slots
// [from, to), the warnings in force first.
func (b *builder) cautions(from, to int) []Caution {
	out := b.inForce(from, to)
	for _, c := range crew.Cautions(crew.Input{Slots: b.workingHours(from, to), Step: time.Hour, Job: b.hazards()}) {
		since, until := c.From.In(b.loc), c.To.In(b.loc)
		x := Caution{Kind: c.Kind, From: &since, To: &until, Level: c.Level, Unit: c.Unit, Text: c.Text, Source: c.Source}
		if c.HasValue {
			x.Value = some(c.Value, tenth)
			if c.Kind == crew.KindUV { // as the index is told, and its bands cut
				x.Value = some(c.Value, 1)
			}
		}
		if c.Level == crew.LevelUnknown {
			x.Unjudged = &Unjudged{Hazard: c.Hazard, Why: c.Why, Lacks: c.Lacks}
		}
		out = append(out, x)
	}
	return out
}

// workingHours are the hours in which the crew works, with their weather.
func (b *builder) workingHours(from, to int) []crew.Slot {
	var out []crew.Slot
	first, end := b.hours(from, to)
	for h := first; h < end; h++ {
		w := b.Result.Weather[h]
		if b.Job.WorksOn(w.At) && b.Job.CrewHours(w.At) && (b.Job.Lamps || w.SunElevation > civilTwilight) {
			out = append(out, b.crewSlot(w))
		}
	}
	return out
}

// civilTwilight is how far below the horizon the sun may stand for work without
// lamps, degrees.
const civilTwilight = -6

func (b *builder) crewSlot(w window.Hour) crew.Slot {
	s := crew.Slot{
		At: w.At, AirC: crew.Value(w.Air), HumidityPct: crew.Value(w.Humidity), WindDeckMS: crew.Value(w.Wind),
		GustMS: crew.Value(w.GustHigh), SunlightWM2: crew.Value(w.Global), CosZenith: crew.Some(w.CosZ),
		UVIndex: crew.Value(w.UV), Thunder: w.Thunder, Unseen: b.unseen(w.At),
	}
	if w.Global.Known && w.Global.V > 0 {
		s.DirectFraction = crew.Some(w.Direct)
	}
	m := &b.Forecast.Members[0]
	if i, ok := b.Forecast.Index(w.At); ok && s.Unseen == "" {
		_, code := m.Columns[forecast.WeatherCode].At(i)
		_, chance := m.Columns[forecast.ThunderProbability].At(i)
		s.ThunderKnown = code || chance
		if p, known := m.Columns[forecast.Pressure].At(i); known {
			s.PressureHPa = crew.Some(p)
		}
	}
	return s
}

// hazards are what the work itself brings along.
func (b *builder) hazards() crew.Job {
	j := b.Job
	out := crew.Job{
		Afloat: j.Afloat, Alone: j.People == 1, Salt: j.Since.Spray == "yes",
		WaterC: crew.Value{V: j.Place.WaterC, Known: j.Place.HasWaterC},
	}
	for _, c := range j.Covers {
		out.Enclosed = out.Enclosed || c.Tent || c.Kind == boat.Shed
	}
	for _, s := range j.Steps {
		c, ok := b.Classes.Class(s.With)
		if !ok {
			continue
		}
		out.Machine = out.Machine || c.Machine
		out.Wash = out.Wash || c.Water > products.WaterNone
		out.Soap = out.Soap || c.Water >= products.WaterSoap
		out.Products = append(out.Products, crew.Product{Name: c.Name, Cautions: c.Cautions})
		reachable(&out, j, s)
	}
	out.Mains = out.Machine && !out.Float
	return out
}

// reachable notes how the zones of a step are reached, and what they carry.
func reachable(out *crew.Job, j *job.Job, s job.Step) {
	for _, z := range s.On {
		zone := j.Zones[z]
		out.Ladder = out.Ladder || zone.Access == boat.Ladder || zone.Climbed
		out.Harness = out.Harness || zone.Access == boat.Harness
		out.Float = out.Float || zone.Access == boat.Float
		out.Enclosed = out.Enclosed || zone.Shelter == boat.Shed
		out.Salt = out.Salt || zone.Salt
	}
}
