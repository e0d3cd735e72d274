package ensemble

import (
	"math"
	"time"

	"dewgap/forecast"
	"dewgap/forecast/air"
)

// Reading is what instruments at the place showed at one moment, in the
// forecast's own units and at its heights. A number counts only where its Has is
// true.
type Reading struct {
	At          time.Time
	AirC        float64 // °C
	HumidityPct float64 // % over water, 0–100
	WindMS      float64 // m/s at 10 m, not negative

	HasAir, HasHumidity, HasWind bool
}

// Hours after which what a reading corrects has fallen to 1/e: the middle of the
// spans over which such differences are known to last, 3–6 h in air temperature,
// 6–12 h in dew point, 2–3 h in wind (common practice, no source; nor has the
// exponential one).
const (
	AirPersistsH  = 4.5
	DewPersistsH  = 9.0
	WindPersistsH = 2.5
)

// Wind is corrected by a factor, within bounds: one minute's mean says little
// about calms and gales. Below calmMS neither a hand anemometer nor a model tells
// one breath from another (common practice, no source).
const (
	leastWindFactor = 0.3
	mostWindFactor  = 3
	calmMS          = 0.5
)

// negligible is the correction, in K or as the logarithm of a factor, below which
// a value stays as it is, to the bit.
const negligible = 1e-6

// Correct gives a forecast that agrees with what was read, and forgets it again
// with time. Of every variable the latest reading counts: air temperature and dew
// point (from humidity and air) by the difference, wind and gust by the factor
// between the reading and the forecast, each falling off exponentially from the
// reading onward. Every member is brought to the reading by its own difference,
// so that an ensemble agrees where it was measured and parts again as the reading
// loses its hold. Humidity follows from both; the dew point never rises above the
// air temperature.
//
// The interval that holds the reading is corrected as a whole, all before it
// stays as it is. A reading outside the forecast, or of something that a member
// does not know then, changes nothing in it. Humidity without air temperature is
// taken with the forecast's, corrected.
//
// f is only read. Columns that are not corrected are shared with it.
func Correct(f *forecast.Forecast, readings []Reading) *forecast.Forecast {
	if f == nil {
		return nil
	}
	out := *f
	out.Members = make([]forecast.Member, len(f.Members))
	temp := latest(f, readings, func(r Reading) bool { return r.HasAir })
	humid := latest(f, readings, func(r Reading) bool { return r.HasHumidity })
	wind := latest(f, readings, func(r Reading) bool { return r.HasWind })
	for i := range f.Members {
		m := f.Members[i]
		c := corrector{f: f, m: &m}
		c.air(temp, humid)
		c.wind(wind)
		out.Members[i] = m
	}
	return &out
}

// latest is the last reading within the forecast that has what is asked, nil
// where there is none. Of two at the same moment the second counts.
func latest(f *forecast.Forecast, readings []Reading, has func(Reading) bool) *Reading {
	var last *Reading
	for i := range readings {
		r := &readings[i]
		if _, inside := f.Index(r.At); !inside || !has(*r) {
			continue
		}
		if last == nil || !r.At.Before(last.At) {
			last = r
		}
	}
	return last
}

// corrector corrects one member, whose columns are the forecast's own until they
// are touched.
type corrector struct {
	f *forecast.Forecast
	m *forecast.Member
}

// Instant is a member's value of an instant quantity at a moment, on the line
// between two stamps; where the next is not known, the one before holds. ok is
// false where the member does not know it.
func Instant(f *forecast.Forecast, m *forecast.Member, q forecast.Quantity, t time.Time) (v float64, ok bool) {
	i, inside := f.Index(t)
	a, ok := m.Columns[q].At(i)
	if !inside || !ok {
		return 0, false
	}
	b, ok := m.Columns[q].At(i + 1)
	if !ok {
		return a, true
	}
	part := t.Sub(f.Start) - time.Duration(i)*f.Step
	return a + (b-a)*float64(part)/float64(f.Step), true
}

// InstantDew is a member's dew point at a moment, from its humidity where it has
// no dew point.
func InstantDew(f *forecast.Forecast, m *forecast.Member, t time.Time) (v float64, ok bool) {
	if dew, ok := Instant(f, m, forecast.DewPoint, t); ok {
		return dew, true
	}
	a, okA := Instant(f, m, forecast.AirTemperature, t)
	rh, okRH := Instant(f, m, forecast.Humidity, t)
	if !okA || !okRH {
		return 0, false
	}
	return air.DewPoint(a, rh), true
}

func (c corrector) at(q forecast.Quantity, t time.Time) (float64, bool) {
	return Instant(c.f, c.m, q, t)
}

// fading is a correction that is whole at one moment and falls off from there.
type fading struct {
	from    time.Time
	size    float64
	hours   float64
	present bool
}

// on is what is left of the correction at interval i of a forecast: none before
// the interval that holds the reading.
func (c fading) on(f *forecast.Forecast, i int) float64 {
	first, inside := f.Index(c.from)
	if !c.present || !inside || i < first {
		return 0
	}
	lead := f.Start.Add(time.Duration(i) * f.Step).Sub(c.from).Hours()
	left := c.size * math.Exp(-math.Max(lead, 0)/c.hours)
	if math.Abs(left) < negligible {
		return 0
	}
	return left
}

// air corrects temperature, dew point and humidity together.
func (c corrector) air(temp, humid *Reading) {
	var dT, dTd fading
	if temp != nil {
		if t, ok := c.at(forecast.AirTemperature, temp.At); ok {
			dT = fading{temp.At, temp.AirC - t, AirPersistsH, true}
		}
	}
	if humid != nil {
		dTd = c.dewOff(*humid, dT)
	}
	if !dT.present && !dTd.present {
		return
	}
	for _, q := range []forecast.Quantity{forecast.AirTemperature, forecast.DewPoint, forecast.Humidity} {
		c.own(q)
	}
	for i := range c.f.N {
		if t, td := dT.on(c.f, i), dTd.on(c.f, i); t != 0 || td != 0 {
			shift(c.m, i, t, td)
		}
	}
}

// dewOff is how far the dew point that was read lies from the member's.
func (c corrector) dewOff(r Reading, dT fading) fading {
	t := r.AirC
	if !r.HasAir {
		own, ok := c.at(forecast.AirTemperature, r.At)
		if !ok {
			return fading{}
		}
		t = own
		if dT.present && !r.At.Before(dT.from) {
			t += dT.size * math.Exp(-r.At.Sub(dT.from).Hours()/dT.hours)
		}
	}
	dew, ok := InstantDew(c.f, c.m, r.At)
	return fading{r.At, air.DewPoint(t, r.HumidityPct) - dew, DewPersistsH, ok}
}

// wind corrects wind and gust by one factor.
func (c corrector) wind(r *Reading) {
	if r == nil {
		return
	}
	v, ok := c.at(forecast.WindSpeed, r.At)
	if !ok {
		return
	}
	factor := math.Max(r.WindMS, calmMS) / math.Max(v, calmMS)
	factor = math.Min(math.Max(factor, leastWindFactor), mostWindFactor)
	grows := fading{r.At, math.Log(factor), WindPersistsH, true}
	for _, q := range []forecast.Quantity{forecast.WindSpeed, forecast.Gust} {
		c.own(q)
		for i := range c.f.N {
			left := grows.on(c.f, i)
			if v, ok := c.m.Columns[q].At(i); ok && left != 0 {
				c.m.Columns[q].Set(i, v*math.Exp(left))
			}
		}
	}
}

// own gives the member a column of its own, to be changed.
func (c corrector) own(q forecast.Quantity) {
	col := c.m.Columns[q]
	c.m.Columns[q] = forecast.Column{
		Values: append([]float64(nil), col.Values...), Known: append([]bool(nil), col.Known...),
	}
}
