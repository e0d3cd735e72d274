package window

import (
	"fmt"
	"math"
	"time"

	"dewgap/forecast"
	"dewgap/forecast/air"
	"dewgap/forecast/ensemble"
	"dewgap/window/job"
)

// faded is how many times the hours of its persistence a reading may be old: it
// has 5 % of its hold left then, and is no longer used.
const faded = 3

// correct holds the air and the wind that were read against the forecast and
// corrects the forecast, and the futures it was dressed into, by what is believed.
func (r *readings) correct(in *Input) {
	if r == nil {
		return
	}
	var take []ensemble.Reading
	take = append(take, r.airs(in.Forecast)...)
	take = append(take, r.winds(in.Forecast, in.Job.Place.Wind.Share())...)
	if len(take) == 0 {
		return
	}
	in.Forecast = ensemble.Correct(in.Forecast, take)
	if len(in.Dressed) > 0 {
		f := *in.Forecast
		f.Members = in.Dressed
		in.Dressed = ensemble.Correct(&f, take).Members
	}
}

// expected is the median over the members of what they know at a moment.
func expected(f *forecast.Forecast, of func(m *forecast.Member) (float64, bool)) Value {
	v, known := ensemble.MedianOver(f, of)
	return Value{v, known}
}

// instant is what the members expect of a quantity at a moment.
func instant(f *forecast.Forecast, q forecast.Quantity, t time.Time) Value {
	return expected(f, func(m *forecast.Member) (float64, bool) { return ensemble.Instant(f, m, q, t) })
}

// candidates are the readings of one kind that may correct the forecast, with what
// is compared, in °C, as read and as expected.
type candidates struct {
	uses  []int
	at    []time.Time
	value []float64
	want  []Value
}

func (c *candidates) add(u int, at time.Time, value float64, want Value) {
	c.uses, c.at = append(c.uses, u), append(c.at, at)
	c.value, c.want = append(c.value, value), append(c.want, want)
}

// believed gives the last of the candidates that is not too old, within the
// forecast, and near it or confirmed; −1 where there is none. It alone is used,
// for it holds the most.
func (r *readings) believed(c candidates, hours float64) (last int) {
	last = -1
	for k, u := range c.uses {
		use := &r.uses[u]
		switch off := math.Abs(c.value[k] - c.want[k].V); {
		case !c.want[k].Known:
			use.Reason = notForeseen
		case r.now.Sub(use.At).Hours() > faded*hours:
			use.Reason = tooOld(hours)
		case off > airDoubtK && !confirmed(c.at, c.value, k):
			use.Reason = fmt.Sprintf("%.0f K off the forecast: check the unit and the instrument, shade it, and read again; "+
				"a second reading within the hour that agrees is believed", off)
		default:
			if last >= 0 {
				r.supersede(last)
			}
			last, use.Used = u, true
			if off > airDoubtK {
				use.Reason = "far off the forecast, but read twice"
			}
		}
	}
	return last
}

const notForeseen = "the forecast says nothing of that moment"

func tooOld(hours float64) string {
	return fmt.Sprintf("older than %.4g h: it has lost its hold", faded*hours)
}

// airs takes the air temperature and the humidity that are believed.
func (r *readings) airs(f *forecast.Forecast) []ensemble.Reading {
	var out []ensemble.Reading
	var c candidates
	r.each(ReadAir, func(u int, use *ReadingUse, _ job.Reading) {
		v := instant(f, forecast.AirTemperature, use.At)
		if v.Known {
			use.foresaw(v.V, " °C")
		}
		c.add(u, use.At, use.Value.V, v)
	})
	if u := r.believed(c, ensemble.AirPersistsH); u >= 0 {
		out = append(out, ensemble.Reading{At: r.uses[u].At, AirC: r.uses[u].Value.V, HasAir: true})
	}
	if damp, ok := r.damps(f); ok {
		out = append(out, damp)
	}
	return out
}

// damps takes the last humidity that is believed, by its dew point.
func (r *readings) damps(f *forecast.Forecast) (out ensemble.Reading, ok bool) {
	var c candidates
	r.each(ReadHumidity, func(u int, use *ReadingUse, m job.Reading) {
		airC := Value(m.AirC)
		switch {
		case !airC.Known:
			airC = instant(f, forecast.AirTemperature, use.At)
		case r.doubted(r.of[u]):
			use.Reason = "the air temperature read with it is not used"
			return
		}
		v := expected(f, func(m *forecast.Member) (float64, bool) { return ensemble.InstantDew(f, m, use.At) })
		v.Known = v.Known && airC.Known
		if v.Known {
			use.damp(airC.V, v)
		}
		c.add(u, use.At, use.Dew.V, v)
	})
	u := r.believed(c, ensemble.DewPersistsH)
	if u < 0 {
		return out, false
	}
	m := r.list[r.of[u]]
	return ensemble.Reading{At: m.At, HumidityPct: m.HumidityPct.V, HasHumidity: true, AirC: m.AirC.V, HasAir: m.AirC.Known}, true
}

// damp notes the dew point of a humidity that was read, and the one expected.
func (use *ReadingUse) damp(airC float64, want Value) {
	use.Dew = Value{air.DewPoint(airC, use.Value.V), true}
	use.DewError, use.Forecast = Value{HygrometerErrorK(airC, use.Value.V), true}, want
	use.Text += fmt.Sprintf(", dew point %.1f ± %.1f °C (forecast %.1f °C)", use.Dew.V, use.DewError.V, want.V)
}

// doubted reports whether the air temperature of a reading was refused.
func (r *readings) doubted(k int) bool {
	for u, of := range r.of {
		if of == k && r.uses[u].Kind == ReadAir {
			return !r.uses[u].Used && r.uses[u].Reason != laterCounts
		}
	}
	return false
}

// winds takes the last wind, brought from hand height to that of the forecast.
// No wind is implausible: the correction is bounded instead.
func (r *readings) winds(f *forecast.Forecast, share float64) []ensemble.Reading {
	last := -1
	r.each(ReadWind, func(u int, use *ReadingUse, _ job.Reading) {
		v := instant(f, forecast.WindSpeed, use.At)
		switch {
		case !v.Known:
			use.Reason = notForeseen
			return
		case r.now.Sub(use.At).Hours() > faded*ensemble.WindPersistsH:
			use.Reason = tooOld(ensemble.WindPersistsH)
			return
		}
		use.foresaw(v.V*share, " m/s")
		if last >= 0 {
			r.supersede(last)
		}
		last, use.Used = u, true
	})
	if last < 0 {
		return nil
	}
	use := &r.uses[last]
	return []ensemble.Reading{{At: use.At, WindMS: use.Value.V / share, HasWind: true}}
}
