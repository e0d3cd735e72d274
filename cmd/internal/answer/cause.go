package answer

import (
	"slices"
	"time"

	"dewgap/forecast"
	"dewgap/products"
	"dewgap/window"
	"dewgap/window/verdict"
)

// stamp is how a moment is written in words.
const (
	stamp    = "Mon 2 Jan 15:04"
	dayStamp = "Mon 2 Jan"
)

// cause says why a run cannot be judged: the forecast is too old, has ended or
// not begun, lacks a value, or does not reach far enough for a clock.
func (b *builder) cause(r *window.Row, run verdict.Run) string {
	f := b.Forecast
	from, to := b.at(run.From), b.at(run.To)
	if why := b.unseen(from); why != "" {
		return why
	}
	clocks := time.Duration(afterHours(r.Class) * float64(time.Hour))
	if lacks := b.lacking(from, to.Add(clocks)); lacks != "" {
		return lacks
	}
	if to.Add(clocks).After(b.told()) {
		return b.ends() + ", too early for what must hold after the work"
	}
	if b.Trust.Distrusts(to.Add(clocks)) || (!b.Trust.Until.IsZero() && from.Before(b.Trust.Until.Add(dryAgain))) {
		return b.Trust.Why
	}
	if hours := from.Sub(f.Start).Hours(); r.Class.DryOff.Given && !b.Job.Since.HasRain && hours < r.Class.DryOff.Default {
		return "when it last rained: say since: {rain: …} in the job"
	}
	if from.Sub(f.Start) < dryAgain {
		return "the forecast begins too late to tell how warm and dry the panel is by then"
	}
	return "too few of the forecasts have every value"
}

// unseen says why the forecast tells nothing of a moment, "" where it reaches it.
func (b *builder) unseen(t time.Time) string {
	f := b.Forecast
	switch {
	case b.Trust.Distrusts(t):
		return b.Trust.Why
	case !t.Before(f.End()):
		return b.ends()
	case t.Before(f.Start):
		return "the forecast begins " + f.Start.In(b.loc).Format(stamp)
	}
	return ""
}

// told is until when the forecast has all that is needed, if it has no gap: of the last
// interval many services know the instants only.
func (b *builder) told() time.Time {
	f := b.Forecast
	if slices.ContainsFunc(needs, func(n need) bool { return !n.met(&f.Members[0], f.N-1) }) {
		return f.End().Add(-f.Step)
	}
	return f.End()
}

func (b *builder) ends() string {
	return "the forecast ends " + b.Forecast.End().In(b.loc).Format(stamp)
}

// dryAgain is how long after a gap a panel may be unknown for the gap's sake.
const dryAgain = 36 * time.Hour

// afterHours is the longest default of the clocks after the work, in hours.
func afterHours(c products.Class) float64 {
	return max(c.RainFree.Default, c.DewFree.Default)
}

// need is something that a verdict cannot do without, and the quantities of
// which one is enough.
type need struct {
	name string
	any  []forecast.Quantity
}

var needs = []need{
	{"air temperature", []forecast.Quantity{forecast.AirTemperature}},
	{"humidity", []forecast.Quantity{forecast.DewPoint, forecast.Humidity}},
	{"wind", []forecast.Quantity{forecast.WindSpeed}},
	{"rain", []forecast.Quantity{forecast.Precipitation, forecast.PrecipitationProbability}},
	{"sunlight and cloud", []forecast.Quantity{
		forecast.GlobalRadiation, forecast.DirectRadiation, forecast.CloudCover,
		forecast.CloudLow, forecast.CloudMiddle, forecast.CloudHigh,
	}},
}

// lacking names the first thing that the forecast lacks within [from, to), and
// from when on, unless it never has it: then days read alike. The last interval
// counts as the forecast's end (see told).
func (b *builder) lacking(from, to time.Time) string {
	f := b.Forecast
	for t := from; t.Before(to); t = t.Add(f.Step) {
		i, ok := f.Index(t)
		if !ok || i == f.N-1 {
			continue
		}
		for _, n := range needs {
			if n.met(&f.Members[0], i) {
				continue
			}
			lacks := "the forecast lacks " + n.name
			if n.ever(&f.Members[0]) {
				lacks += " from " + f.Start.Add(time.Duration(i)*f.Step).In(b.loc).Format(stamp)
			}
			return lacks
		}
	}
	return ""
}

// blind reports whether the forecast never has something that is needed: no verdict can be
// reached by it, whatever is read on the dock.
func (b *builder) blind() bool {
	return slices.ContainsFunc(needs, func(n need) bool { return !n.ever(&b.Forecast.Members[0]) })
}

// ever reports whether a member has it at any time.
func (n need) ever(m *forecast.Member) bool {
	return slices.ContainsFunc(n.any, func(q forecast.Quantity) bool { return m.Columns[q].Any() })
}

func (n need) met(m *forecast.Member, i int) bool {
	for _, q := range n.any {
		if _, ok := m.Columns[q].At(i); ok {
			return true
		}
	}
	return false
}
