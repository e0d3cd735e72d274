package answer

import (
	"cmp"
	"fmt"
	"math"
	"strconv"
	"time"

	"dewgap/products"
	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/verdict"
)

// binding words the limit that decides a run.
func (b *builder) binding(r *window.Row, run verdict.Run) Binding {
	x := run.Binding
	out := Binding{Limit: x.Limit.String(), Unit: x.Unit(), Source: b.provenance(x.Limit, r.Class)}
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

// unsuited says why a class may not touch the finish of a zone or of a part of it, or is not for it. Paint that
// takes it only where it may be buffed is not unsuited: the person may know, and say so; likewise where no
// class says anything of the finish.
func unsuited(c products.Class, z *boat.Zone) string {
	finish := cmp.Or(job.Forbidden(c, *z), z.Finish.Name)
	switch {
	case c.Fit(finish) == products.FitUnlisted:
		return c.Name + " is not for " + finish + ": name the zone in a step if you know better"
	case c.Fit(finish) != products.FitConditional:
		return c.Name + " does not suit " + finish
	case z.Buffable == "no":
		return finish + " must not be buffed here, says the job"
	default:
		return finish + " is not known to stand buffing (zone key buffable)"
	}
}

// because is the limit in plain words with its numbers, SI.
func (b *builder) because(r *window.Row, run verdict.Run) string {
	x := run.Binding
	switch x.Limit {
	case verdict.Data:
		return "not known: " + b.cause(r, run)
	case verdict.People:
		return "needs " + strconv.Itoa(r.Class.People) + " people"
	case verdict.Finish:
		return unsuited(r.Class, &b.Job.Zones[r.Zone])
	case verdict.Recoat:
		return b.recoat(r, run)
	case verdict.Order:
		return b.keptDry(r)
	case verdict.Reach:
		return b.beyondReach(r.Zone)
	case verdict.None:
		return "nothing limits it"
	}
	if words, ok := plainWords[x.Limit]; ok && !x.HasValue {
		return b.falling(run, words)
	}
	m, ok := measures[x.Limit]
	if !ok {
		return x.Limit.String()
	}
	if math.Abs(x.Value) >= endless {
		return m.endless
	}
	if b.pastTheEnd(run) {
		return "the forecast ends " + m.counted(x.Value, r.Class.Equivalent) + " after the work, " + m.bound(run)
	}
	switch {
	case x.Limit == verdict.SpreadMin && x.Value < 0:
		return m.before + measure{digits: m.digits}.number(-x.Value) + " K below dew point, " + m.bound(run) + " over it"
	case x.Way == verdict.Arid:
		return dryCure.before + dryCure.number(x.Value) + dryCure.after + ", " + dryCure.bound(run) + " %"
	case x.Way == verdict.Towelled:
		return m.before + m.number(x.Value) + m.after + ": towel it off first, at most " + plain(x.Bound)
	case x.Way == verdict.Soaking:
		return m.before + m.number(x.Value) + m.after + ": bare wood soaks it up, its drying time tells"
	case m.clock && m.least:
		return m.words(run, r.Class.Equivalent)
	}
	if x.Value < x.Bound { // what suffices is not "only"
		return m.only + m.before + m.number(x.Value) + m.after + ", " + m.bound(run)
	}
	return m.before + m.number(x.Value) + m.after + ", " + m.bound(run)
}

// recoat words the time for the next coat, counted from the last one that is logged.
func (b *builder) recoat(r *window.Row, run verdict.Run) string {
	s := b.step(r)
	d := b.doneOf(r.Zone, r.Step)
	on, _ := window.CoatsOn(s, d.Share)
	least := time.Duration(r.Class.RecoatH.Min * float64(time.Hour))
	from := d.At.Add(least)
	switch {
	case d.At.IsZero():
		return plainWords[verdict.Recoat]
	case b.at(run.From).Before(from):
		return fmt.Sprintf("too soon after coat %d: the next one from %s", on, from.In(b.loc).Format(stamp))
	}
	return fmt.Sprintf("the time to recoat is missed: coat %d went on %s; abrade it first (sand_between: true)", on, d.At.In(b.loc).Format(stamp))
}

// keptDry words that a film, on the panel or below it, may not be wetted yet: see
// [window.Film.NoWater].
func (b *builder) keptDry(r *window.Row) string {
	f, ok := window.Uncured(b.Result, b.Job, b.Classes, r.Zone, b.Now)
	if !ok {
		return plainWords[verdict.Order]
	}
	clock := func(t time.Time) string {
		if t = t.In(b.loc); job.DateOf(t) != job.DateOf(b.Now.In(b.loc)) {
			return t.Format(stamp)
		}
		return t.Format(hourMinute)
	}
	what := "water"
	if r.Class.Do == "correct" {
		what = "slurry"
	}
	done := putOr(b.Job.Steps[f.Step].Do)
	words := fmt.Sprintf("%s %s: no %s on it ", done, clock(f.On), what)
	if f.Zone != r.Zone {
		words = what + " would run onto " + b.Job.Zones[f.Zone].Name + ", " + words
	}
	until := f.NoWater()
	if until.IsZero() {
		return words + "for longer than this forecast reaches"
	}
	return words + "until " + clock(until)
}

// put is what has been done with a film.
var put = map[string]string{"seal": "sealed", "coat": "coated", "bed": "bedded"}

// putOr is put, or a word for any work.
func putOr(do string) string {
	if done := put[do]; done != "" {
		return done
	}
	return "treated"
}

// falling words a limit without a figure: of water on the panel, what brings it
// where it comes down all the while.
func (b *builder) falling(run verdict.Run, words string) string {
	switch {
	case run.Binding.Way == verdict.Dripping:
		return "water drips on the panel"
	case run.Binding.Way != verdict.Raining:
		return words
	case b.Job.Sprinkled(b.at(run.From)):
		return "sprinklers wet the panel"
	}
	return "rain wets the panel"
}

// words puts a clock into words: "rain 2 h 20 after the work, needs 4 h". Those after the
// work may count the hours as at 20 °C.
func (m measure) words(run verdict.Run, equivalent bool) string {
	x := run.Binding
	figure, before := m.counted(x.Value, equivalent), m.before
	switch broken := x.Value < x.Bound; {
	case broken && x.Way == verdict.Chance && x.Value*60 < 1:
		return "rain may come right after the work, " + m.bound(run)
	case broken && x.Way == verdict.Chance:
		before += "may come "
	case broken && x.Value*60 < 1 && m.atOnce != "":
		return m.atOnce + ", " + m.bound(run)
	case broken:
		before += m.only
	case m.ends != "":
		before = "no " + m.before + "for "
	}
	return before + figure + m.after + ", " + m.bound(run)
}

// beyondReach says why a zone cannot be reached: it is not one of its hours, or none are
// known of a zone that is worked on ashore of a boat that is afloat.
func (b *builder) beyondReach(zone int) string {
	if z := b.Job.Zones[zone]; b.Job.Afloat && z.Access == boat.Ashore && len(z.Reach) == 0 {
		return "it is reached only ashore, and she is afloat: give the hours of the lift as its reach"
	}
	return plainWords[verdict.Reach]
}

// counted is a figure that may be hours as at 20 °C.
func (m measure) counted(v float64, equivalent bool) string {
	if m.ends != "" && equivalent {
		return m.number(v) + " counted at 20 °C"
	}
	return m.number(v)
}

// pastTheEnd reports whether an after-clock was stopped by the end of the
// forecast and not by water.
func (b *builder) pastTheEnd(run verdict.Run) bool {
	x := run.Binding
	if measures[x.Limit].ends == "" || run.State == verdict.NoGo || x.Way == verdict.Chance {
		return false
	}
	stop := b.at(run.To).Add(time.Duration(x.Value * float64(time.Hour)))
	return !stop.Before(b.Forecast.End().Add(-time.Minute))
}

// plainWords are the limits that hold or do not.
var plainWords = map[verdict.Limit]string{
	verdict.Hours:    "outside working hours",
	verdict.Away:     "nobody works that day",
	verdict.Daylight: "too dark to work without lamps",
	verdict.Machines: "the marina allows no machines then",
	verdict.Reach:    "it cannot be reached then",
	verdict.Water:    "the marina does not allow that run-off",
	verdict.Order:    "another step must come first",
	verdict.Recoat:   "outside the time in which the next coat may follow",
	verdict.Thunder:  "thunder, and 30 minutes after it",
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
	only          string // stands before hours, or a section, that are too few
	atOnce        string // for clocks: said of no hours at all
}

var measures = map[verdict.Limit]measure{
	verdict.Film:        {before: "water on the panel, ", after: " g/m²", digits: 1},
	verdict.AirMin:      {before: "air ", after: " °C", least: true, digits: 1},
	verdict.AirMax:      {before: "air ", after: " °C", digits: 1},
	verdict.SurfaceMin:  {before: "panel ", after: " °C", least: true, digits: 1},
	verdict.SurfaceMax:  {before: "panel ", after: " °C", digits: 1},
	verdict.HumidityMin: {before: "humidity ", after: " %", least: true},
	verdict.HumidityMax: {before: "humidity ", after: " %"},
	verdict.SpreadMin:   {before: "panel ", after: " K over dew point", least: true, digits: 1},
	verdict.WindMax:     {before: "wind ", after: " m/s at the panel", digits: 1},
	verdict.GustMax:     {before: "gusts ", after: " m/s", digits: 1},
	verdict.DustWind:    {before: "wind ", after: " m/s with dust upwind", digits: 1},
	verdict.DustGust:    {before: "gusts ", after: " m/s with dust upwind", digits: 1},
	verdict.SunlightMax: {before: "sunlight on the panel ", after: " W/m²"},
	verdict.UVMax:       {before: "UV index on the panel ", digits: 1},
	verdict.DryOff: {before: "dry for ", only: "only ", least: true, clock: true, atOnce: "dry only just now",
		endless: "dry for long"},
	verdict.RainFree: {before: "rain ", after: " after the work", least: true, clock: true, ends: "rain is seen",
		atOnce: "rain right after the work", endless: "no rain after the work"},
	verdict.DewFree: {before: "dew ", after: " after the work", least: true, clock: true, ends: "dew is seen",
		atOnce: "dew right after the work", endless: "no dew after the work"},
	verdict.Cure:     {before: "panel down to ", after: " °C while it cures", least: true, digits: 1},
	verdict.Access:   {before: "gusts ", after: " m/s at height", digits: 1},
	verdict.Section:  {only: "only ", after: " m² can be washed before it dries", least: true, digits: 1},
	verdict.Moisture: {before: "wood moisture ", after: " %", endless: "no moisture reading holds then"},
	verdict.Block:    {only: "only ", after: " in one stretch", least: true, clock: true},
}

// dryCure words a cure that the air is too dry for.
var dryCure = measure{before: "air down to ", after: " % while it cures", least: true}

// number rounds to the strict side: a least down, a most up, so that a value
// never looks better than it is. Hours come in whole minutes.
func (m measure) number(v float64) string {
	if m.clock {
		return duration(math.Floor(v*60 + dustOf32))
	}
	scale := math.Pow10(m.digits)
	if m.least {
		v = math.Floor(v*scale+dustOf32) / scale
	} else {
		v = math.Ceil(v*scale-dustOf32) / scale
	}
	return strconv.FormatFloat(round(v, 1/scale), 'f', -1, 64)
}

// duration writes whole minutes: "40 min", "4 h", "2 h 40".
func duration(minutes float64) string {
	h, rest := math.Floor(minutes/60), math.Mod(minutes, 60)
	switch {
	case h == 0:
		return strconv.FormatFloat(rest+0, 'f', 0, 64) + " min"
	case rest == 0:
		return strconv.FormatFloat(h, 'f', 0, 64) + " h"
	}
	return fmt.Sprintf("%.0f h %02.0f", h, rest)
}

// dustOf32 is what the engine's 32-bit numbers may leave of a round one.
const dustOf32 = 1e-4

// bound words the bound by what passing it means: the ideal lost, or the limit
// that the state stands for, default or hard, broken.
func (m measure) bound(run verdict.Run) string {
	b := plain(run.Binding.Bound)
	if m.clock {
		b = duration(math.Ceil(run.Binding.Bound*60 - dustOf32))
	}
	ideal := run.State == verdict.Ideal || run.State == verdict.Go
	switch {
	case ideal && m.least:
		return "ideal from " + b
	case ideal:
		return "ideal up to " + b
	case m.least:
		return "needs " + b
	}
	return "at most " + b
}

// plain writes a bound without needless digits.
func plain(v float64) string { return strconv.FormatFloat(round(v, cent), 'f', -1, 64) }
