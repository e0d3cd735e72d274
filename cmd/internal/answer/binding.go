package answer

import (
	"math"
	"strconv"
	"time"

	"dewgap/window"
	"dewgap/window/verdict"
)

// binding words the limit that decides a run.
func (b *builder) binding(r *window.Row, run verdict.Run) Binding {
	x := run.Binding
	out := Binding{Limit: x.Limit.String(), Unit: x.Limit.Unit(), Source: b.provenance(x.Limit, r.Class)}
	if x.HasValue && math.Abs(x.Value) < endless {
		out.Value, out.Bound = some(x.Value, cent), some(x.Bound, cent)
	}
	out.Text = b.because(r, run)
	if out.Value != nil && out.Source != "" {
		out.Text += " (" + out.Source + ")"
	}
	return out
}

// endless stands for a clock that nothing in the data stops, hours.
const endless = 1e5

// because is the limit in plain words with its numbers, SI.
func (b *builder) because(r *window.Row, run verdict.Run) string {
	x := run.Binding
	switch x.Limit {
	case verdict.Data:
		return "not known: " + b.cause(r, run)
	case verdict.People:
		return "needs " + strconv.Itoa(r.Class.People) + " people"
	case verdict.Finish:
		return r.Class.Name + " does not suit " + b.Job.Zones[r.Zone].Finish.Name
	case verdict.None:
		return "nothing limits it"
	}
	if words, ok := plainWords[x.Limit]; ok && !x.HasValue {
		return words
	}
	m, ok := measures[x.Limit]
	if !ok {
		return x.Limit.String()
	}
	if math.Abs(x.Value) >= endless {
		return m.endless
	}
	if b.pastTheEnd(run) {
		return "the forecast ends " + m.number(x.Value) + " h later, before " + m.ends + "; " + m.bound(run)
	}
	before, after := m.before, m.after
	if x.Limit == verdict.SpreadMin && x.Value < 0 {
		return before + m.number(-x.Value) + " K under dew point, " + m.bound(run)
	}
	if r.Class.Equivalent && m.ends != "" {
		after = " h counted at 20 °C" + after[len(" h"):]
	}
	return before + m.number(x.Value) + after + ", " + m.bound(run)
}

// pastTheEnd reports whether an after-clock was stopped by the end of the
// forecast and not by water.
func (b *builder) pastTheEnd(run verdict.Run) bool {
	x := run.Binding
	if measures[x.Limit].ends == "" || run.State == verdict.NoGo {
		return false
	}
	stop := b.at(run.To).Add(time.Duration(x.Value * float64(time.Hour)))
	return !stop.Before(b.Forecast.End().Add(-time.Minute))
}

// plainWords are the limits that hold or do not.
var plainWords = map[verdict.Limit]string{
	verdict.Hours:    "outside the crew's hours",
	verdict.Away:     "nobody works that day",
	verdict.Daylight: "too dark without lamps",
	verdict.Machines: "outside the hours for machines",
	verdict.Reach:    "the zone cannot be reached then",
	verdict.Water:    "the place does not allow this water to run off",
	verdict.Order:    "an earlier step has to come first",
	verdict.Thunder:  "thunder, or less than 30 minutes after it",
	verdict.Salt:     "salt on the panel: wash it off first",
	verdict.Fog:      "fog wets the panel",
	verdict.Film:     "water on the panel",
}

// measure words a limit that is measured: the value between before and after.
type measure struct {
	before, after string
	least         bool   // the bound is a least, else a most
	digits        int    // behind the point
	clock         bool   // the bound is what the product wants, in hours
	ends          string // for after-clocks: what stops them
	endless       string // for clocks that nothing stops
}

var measures = map[verdict.Limit]measure{
	verdict.Film:        {before: "water on the panel, ", after: " g/m²"},
	verdict.AirMin:      {before: "air ", after: " °C", least: true, digits: 1},
	verdict.AirMax:      {before: "air ", after: " °C", digits: 1},
	verdict.SurfaceMin:  {before: "surface ", after: " °C", least: true, digits: 1},
	verdict.SurfaceMax:  {before: "surface ", after: " °C", digits: 1},
	verdict.HumidityMin: {before: "humidity ", after: " %", least: true},
	verdict.HumidityMax: {before: "humidity ", after: " %"},
	verdict.SpreadMin:   {before: "surface ", after: " K over dew point", least: true, digits: 1},
	verdict.WindMax:     {before: "wind ", after: " m/s", digits: 1},
	verdict.GustMax:     {before: "gusts ", after: " m/s", digits: 1},
	verdict.SunlightMax: {before: "sunlight on the panel ", after: " W/m²"},
	verdict.UVMax:       {before: "UV index on the panel ", digits: 1},
	verdict.DryOff:      {before: "dry for ", after: " h", least: true, digits: 1, clock: true, endless: "dry for long"},
	verdict.RainFree: {before: "rain ", after: " h after", least: true, digits: 1, clock: true, ends: "rain is seen",
		endless: "no rain after"},
	verdict.DewFree: {before: "dew ", after: " h after", least: true, digits: 1, clock: true, ends: "dew is seen",
		endless: "no dew after"},
	verdict.Cure:     {before: "surface down to ", after: " °C while it cures", least: true, digits: 1},
	verdict.Access:   {before: "gusts at the height of the work ", after: " m/s", digits: 1},
	verdict.Section:  {before: "a washed section of ", after: " m² dries before the towel", least: true, digits: 1},
	verdict.Moisture: {before: "wood moisture ", after: " %", endless: "no moisture reading holds then"},
	verdict.Block:    {before: "only ", after: " h at a stretch", least: true, digits: 1, clock: true},
}

// number rounds to the strict side: a least down, a most up, so that a value
// never looks better than it is.
func (m measure) number(v float64) string {
	scale := math.Pow10(m.digits)
	if m.least {
		v = math.Floor(v*scale+dustOf32) / scale
	} else {
		v = math.Ceil(v*scale-dustOf32) / scale
	}
	return strconv.FormatFloat(v+0, 'f', m.digits, 64)
}

// dustOf32 is what the engine's 32-bit numbers may leave of a round one.
const dustOf32 = 1e-4

// bound words the bound by what passing it means: ideal lost, default broken,
// hard limit broken.
func (m measure) bound(run verdict.Run) string {
	b := plain(run.Binding.Bound)
	ideal := run.State == verdict.Ideal || run.State == verdict.Go
	switch {
	case m.clock && ideal:
		return "ideal " + b
	case m.clock && run.State == verdict.NoGo && run.Limit != verdict.Block:
		return "needs " + b
	case m.clock:
		return "wants " + b
	case ideal && m.least:
		return "ideal from " + b
	case ideal:
		return "ideal to " + b
	case run.State == verdict.NoGo && m.least:
		return "never under " + b
	case run.State == verdict.NoGo:
		return "never over " + b
	case m.least:
		return "least " + b
	}
	return "most " + b
}

// plain writes a bound without needless digits.
func plain(v float64) string { return strconv.FormatFloat(round(v, cent), 'f', -1, 64) }
