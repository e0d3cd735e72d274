package app

import (
	"slices"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/forecast"
	"dewgap/forecast/air"
	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/verdict"
)

// blow is one way in which the weather may turn out worse than forecast.
type blow struct {
	name string
	turn func(f *forecast.Forecast, m *forecast.Member, from int) // on a copy, from that interval on
}

// blows are the three that a practitioner asks about.
var blows = []blow{
	{"rain 2 h earlier", rainEarlier},
	{"dew point 2 K (3.6 °F) higher", damper},
	{"wind 2 m/s (4 kn) stronger", windier},
}

// breaks tells which blows bring hours of the day that a week's headline is about below go, and to
// what: each is dealt to the first member of the forecast, for the zones of that day alone.
// in is the input of that week.
func breaks(f answer.Facts, in window.Input, w *answer.Week) []string {
	out := []string{}
	step, known := f.Job.Step(w.Headline.Step)
	blocks := blocksOf(f, step, w)
	if !known || len(blocks) == 0 {
		return out
	}
	small := reduced(in, step, blocks)
	if w.Headline.Planned {
		small.Job.ShortestH = verdict.SlotHours // its visit is long enough, with the work beside it
	}
	calm, ok := judged(f, small, nil)
	if !ok {
		return out
	}
	for i := range blows {
		hit, ok := judged(f, small, &blows[i])
		if !ok {
			continue
		}
		if fallen := compare(blocks, calm, hit); fallen != "" {
			out = append(out, blows[i].name+": "+fallen)
		}
	}
	return out
}

// block is a stretch of work on a zone that is looked at.
type block struct {
	zone     int // index into the job's zones
	name     string
	from, to time.Time
}

// blocksOf are the hours of a headline's step that are looked at: the plan's blocks, without
// one the best block of each window, as far as the window itself is of it.
func blocksOf(f answer.Facts, step int, w *answer.Week) []block {
	var out []block
	add := func(zone string, redo bool, from, to time.Time) {
		for _, r := range f.Result.Rows {
			name, part := f.Part(r.Zone)
			if own := f.Job.Zones[r.Zone].Name; r.Step == step && (own == zone || name == zone && part && redo) {
				out = append(out, block{zone: r.Zone, name: own, from: from, to: to})
				return
			}
		}
	}
	if w.Headline.Planned {
		for _, x := range w.AskedBlocks() {
			add(x.Zone, x.Redo, x.From, x.To)
		}
		return out
	}
	for _, x := range w.Headline.Best {
		from, to := x.From, x.To
		if b := x.Best; b != nil && b.From.Before(to) && b.To.After(from) {
			from, to = answer.Later(from, b.From), answer.Earlier(to, b.To)
		}
		add(x.Zone, false, from, to)
	}
	return out
}

// reduced is the input with the step, the zones and the days that matter alone,
// and one member.
func reduced(in window.Input, step int, blocks []block) window.Input {
	j := *in.Job
	s := j.Steps[step]
	s.On = nil
	zones := []boat.Zone{}
	seen := map[int]bool{}
	last := blocks[0].to
	for _, b := range blocks {
		if b.to.After(last) {
			last = b.to
		}
		if seen[b.zone] {
			continue
		}
		seen[b.zone] = true
		z := in.Job.Zones[b.zone]
		z.Salt = false // there is a window, so that an earlier step washes it off
		s.On = append(s.On, len(zones))
		zones = append(zones, z)
	}
	j.Place.HasOnshore, j.Place.HasExposed = false, false // likewise
	j.Zones, j.Steps = zones, []job.Step{s}
	j.By = job.DateOf(last.Add(-1).In(in.Location))
	f := *in.Forecast
	f.Members = f.Members[:1:1]
	in.Job, in.Forecast, in.Dressed = &j, &f, nil
	return in
}

// judged evaluates the input after a blow, nil for none.
func judged(f answer.Facts, in window.Input, b *blow) (answer.Facts, bool) {
	if b != nil {
		from, _ := in.Forecast.Index(in.Now)
		g := *in.Forecast
		m := clone(g.Members[0])
		b.turn(&g, &m, from)
		g.Members = []forecast.Member{m}
		in.Forecast = &g
	}
	r, err := window.Evaluate(in)
	if err != nil {
		return f, false
	}
	f.Job, f.Forecast, f.Result = in.Job, in.Forecast, r
	return f, true
}

// fall is a block that is go as forecast, and what a blow makes of it.
type fall struct {
	block
	is  verdict.State
	why string
}

// compare words the blocks that were at least go before and are not after,
// gathered by what they fall to.
func compare(blocks []block, before, after answer.Facts) string {
	var falls []fall
	fates := map[string]verdict.State{}
	apart := map[string]bool{} // zones of which one block falls deeper than another
	for _, b := range blocks {
		if was, _ := answer.Worst(before, b.name, b.from, b.to); was > verdict.Go {
			continue
		}
		is, why := answer.Worst(after, b.name, b.from, b.to)
		if is <= verdict.Go {
			continue
		}
		if other, seen := fates[b.name]; seen && other != is {
			apart[b.name] = true
		}
		fates[b.name] = is
		falls = append(falls, fall{b, is, why})
	}
	var parts []string
	for _, state := range []verdict.State{verdict.NoGo, verdict.Unknown, verdict.Marginal} {
		var zones []string
		why := ""
		for _, f := range falls {
			if f.is != state {
				continue
			}
			name := f.name
			if apart[name] {
				name += f.from.In(before.Result.Location).Format(" 15:04")
			}
			if !slices.Contains(zones, name) {
				zones = append(zones, name)
			}
			if why == "" {
				why = f.why
			}
		}
		if len(zones) > 0 {
			part := state.String() + " on " + strings.Join(zones, ", ")
			if why != "" {
				part += " (" + why + ")"
			}
			parts = append(parts, part)
		}
	}
	return strings.Join(parts, "; ")
}

// clone copies the columns that a blow may change.
func clone(m forecast.Member) forecast.Member {
	for q, c := range m.Columns {
		m.Columns[q] = forecast.Column{
			Values: append([]float64(nil), c.Values...), Known: append([]bool(nil), c.Known...),
		}
	}
	return m
}

// rainEarlier brings the rain forward by two hours, with its thunder; the last two hours of
// the data stay as they are, and so does fog, which comes under roofs that keep rain off.
func rainEarlier(f *forecast.Forecast, m *forecast.Member, from int) {
	k := int(2 * time.Hour / f.Step)
	for _, q := range []forecast.Quantity{
		forecast.Precipitation, forecast.PrecipitationSpan, forecast.PrecipitationProbability,
		forecast.WeatherCode, forecast.ThunderProbability,
	} {
		c := m.Columns[q]
		for i := from; i+k < len(c.Known); i++ {
			if q == forecast.WeatherCode && (forecast.Fog(c.Values[i]) || forecast.Fog(c.Values[i+k])) {
				continue
			}
			c.Values[i], c.Known[i] = c.Values[i+k], c.Known[i+k]
		}
	}
}

// damper raises the dew point by 2 K, up to saturation, and the humidity with it.
func damper(_ *forecast.Forecast, m *forecast.Member, from int) {
	temp, dew, rh := m.Columns[forecast.AirTemperature], m.Columns[forecast.DewPoint], m.Columns[forecast.Humidity]
	for i := from; i < len(temp.Known); i++ {
		t, ok := temp.At(i)
		if !ok {
			continue
		}
		d, hasDew := dew.At(i)
		h, hasRH := rh.At(i)
		if !hasDew && !hasRH {
			continue
		}
		if !hasDew {
			d = air.DewPoint(t, h)
		}
		d = min(d+2, t)
		if hasDew {
			dew.Set(i, d)
		}
		if hasRH {
			rh.Set(i, air.Humidity(t, d))
		}
	}
}

// windier adds 2 m/s to wind and gusts.
func windier(_ *forecast.Forecast, m *forecast.Member, from int) {
	for _, q := range []forecast.Quantity{forecast.WindSpeed, forecast.Gust} {
		c := m.Columns[q]
		for i := from; i < len(c.Known); i++ {
			if v, ok := c.At(i); ok {
				c.Set(i, v+2)
			}
		}
	}
}
