package metnorway

import (
	"dewgap/forecast"
	"dewgap/forecast/internal/reply"
)

// Stamps farther apart than this are a gap that nothing is drawn across.
const longestGap = 6 * reply.Hour

// The service's names of the instants that are drawn straight between stamps.
var instants = []struct {
	name     string
	quantity forecast.Quantity
}{
	{"air_temperature", forecast.AirTemperature},
	{"dew_point_temperature", forecast.DewPoint},
	{"relative_humidity", forecast.Humidity},
	{"air_pressure_at_sea_level", forecast.Pressure},
	{"wind_speed", forecast.WindSpeed},
	{"cloud_area_fraction", forecast.CloudCover},
	{"cloud_area_fraction_low", forecast.CloudLow},
	{"cloud_area_fraction_medium", forecast.CloudMiddle},
	{"cloud_area_fraction_high", forecast.CloudHigh},
}

// builder lays a reply onto hours.
type builder struct {
	in         *feature
	f          *forecast.Forecast
	elevation  *float64 // nil if unknown
	axis       reply.Axis
	impossible reply.Impossible
	unnamed    string // the first symbol that was not understood
	member     forecast.Member
}

func (b *builder) build() error {
	steps := b.in.Properties.Timeseries
	b.axis.Start = reply.FloorHour(steps[0].at)
	b.axis.N = int((reply.FloorHour(steps[len(steps)-1].at)-b.axis.Start)/reply.Hour) + 1
	b.axis.Put(b.f)
	for _, fill := range []func() error{b.instants, b.wind, b.clearSkyUV, b.rain, b.probabilities} {
		if err := fill(); err != nil {
			return err
		}
	}
	b.symbols()
	b.ground()
	for q := range b.member.Columns {
		if !b.member.Columns[q].Any() {
			b.member.Columns[q] = forecast.Column{}
		}
	}
	b.f.Members = []forecast.Member{b.member}
	b.f.Warnings = append(b.f.Warnings, b.impossible.Warnings()...)
	if b.unnamed != "" {
		b.f.Warnings = append(b.f.Warnings, "symbol "+b.unnamed+" is not known: the weather code is left out there")
	}
	return nil
}

// get reads one value in our unit; known is false if it is missing, null or
// impossible.
func (b *builder) get(d details, name string, q forecast.Quantity) (v float64, known bool, err error) {
	p := d[name]
	if p == nil {
		return 0, false, nil
	}
	unit, stated := b.in.Properties.Meta.Units[name]
	l, ok := reply.Unit(q, unit)
	if !stated || !ok {
		return 0, false, errorf("save the reply as the service sent it", "%s has an unknown unit: %q", name, unit)
	}
	v = l.Of(*p)
	good, ok := reply.Possible(q, v)
	if !ok {
		b.impossible.Add(name, q, v)
	}
	return good, ok, nil
}

// points collects an instant at every stamp.
func (b *builder) points(name string, q forecast.Quantity) ([]reply.Point, error) {
	var out []reply.Point
	for i := range b.in.Properties.Timeseries {
		s := &b.in.Properties.Timeseries[i]
		v, known, err := b.get(s.Data.Instant.Details, name, q)
		if err != nil {
			return nil, err
		}
		out = append(out, reply.Point{At: s.at, V: v, Known: known})
	}
	return out, nil
}

func (b *builder) instants() error {
	for _, x := range instants {
		points, err := b.points(x.name, x.quantity)
		if err != nil {
			return err
		}
		b.member.Columns[x.quantity] = b.axis.Linear(points, longestGap)
	}
	return nil
}

// wind holds direction and gust from their stamp to the next: the one turns
// through north, the other is the largest of the time that follows.
func (b *builder) wind() error {
	from, err := b.held("wind_from_direction", forecast.WindFrom)
	if err != nil {
		return err
	}
	gust, err := b.held("wind_speed_of_gust", forecast.Gust)
	if err != nil {
		return err
	}
	b.member.Columns[forecast.WindFrom] = b.axis.Hold(from)
	b.member.Columns[forecast.Gust] = b.axis.Maximum(gust)
	return nil
}

// held makes spans that run from each stamp to the next; the last lasts an hour.
func (b *builder) held(name string, q forecast.Quantity) ([]reply.Span, error) {
	points, err := b.points(name, q)
	if err != nil {
		return nil, err
	}
	var out []reply.Span
	for i, p := range points {
		if !p.Known {
			continue
		}
		to := p.At + reply.Hour
		if i+1 < len(points) {
			to = min(points[i+1].At, p.At+longestGap)
		}
		out = append(out, reply.Span{From: p.At, To: to, V: p.V})
	}
	return out, nil
}

// clearSkyUV averages the index over the hours both ends of which are known.
func (b *builder) clearSkyUV() error {
	points, err := b.points("ultraviolet_index_clear_sky", forecast.UVIndexClearSky)
	if err != nil {
		return err
	}
	var spans []reply.Span
	for i := 0; i+1 < len(points); i++ {
		p, next := points[i], points[i+1]
		if p.Known && next.Known && next.At-p.At <= reply.Hour {
			spans = append(spans, reply.Span{From: p.At, To: next.At, V: (p.V + next.V) / 2})
		}
	}
	b.member.Columns[forecast.UVIndexClearSky] = b.axis.Mean(spans)
	return nil
}

// covers gives the periods that follow stamp i and the end of the time that the
// six-hour one stands for: all of it, but not beyond the next stamp, which has a
// word of its own.
func (b *builder) covers(i int) (one, six *period, until int64) {
	s := &b.in.Properties.Timeseries[i]
	until = s.at + 6*reply.Hour
	if i+1 < len(b.in.Properties.Timeseries) {
		until = min(until, b.in.Properties.Timeseries[i+1].at)
	}
	return s.Data.Next1, s.Data.Next6, until
}

// rain spreads amounts. Where an hour has its own amount that counts; only
// where it has none does the six-hour total, in equal shares, with its span.
func (b *builder) rain() error {
	amount, span := forecast.NewColumn(b.axis.N), forecast.NewColumn(b.axis.N)
	for i := range b.in.Properties.Timeseries {
		one, six, until := b.covers(i)
		at := b.in.Properties.Timeseries[i].at
		v, known, err := b.amount(one)
		if err != nil {
			return err
		}
		if known {
			b.each(at, at+reply.Hour, func(k int) { amount.Set(k, v) })
			continue
		}
		if v, known, err = b.amount(six); err != nil {
			return err
		}
		if known {
			b.each(at, until, func(k int) {
				amount.Set(k, v/6)
				span.Set(k, 6)
			})
		}
	}
	b.member.Columns[forecast.Precipitation] = amount
	b.member.Columns[forecast.PrecipitationSpan] = span
	return nil
}

func (b *builder) amount(p *period) (float64, bool, error) {
	if p == nil {
		return 0, false, nil
	}
	return b.get(p.Details, "precipitation_amount", forecast.Precipitation)
}

// each calls f for the intervals that begin in [from, to).
func (b *builder) each(from, to int64, f func(k int)) {
	for t := reply.CeilHour(max(from, b.axis.Start)); t < to; t += reply.Hour {
		if k := int((t - b.axis.Start) / reply.Hour); k < b.axis.N {
			f(k)
		}
	}
}

// probabilities holds the likelihood of rain and thunder, where the region has
// them.
func (b *builder) probabilities() error {
	for _, x := range []struct {
		name     string
		quantity forecast.Quantity
	}{
		{"probability_of_precipitation", forecast.PrecipitationProbability},
		{"probability_of_thunder", forecast.ThunderProbability},
	} {
		c := forecast.NewColumn(b.axis.N)
		err := b.label(c, func(p *period) (float64, bool, error) { return b.get(p.Details, x.name, x.quantity) })
		if err != nil {
			return err
		}
		b.member.Columns[x.quantity] = c
	}
	return nil
}

// label fills a column with what the next hour, else the next six, say.
func (b *builder) label(c forecast.Column, read func(*period) (float64, bool, error)) error {
	for i := range b.in.Properties.Timeseries {
		one, six, until := b.covers(i)
		at := b.in.Properties.Timeseries[i].at
		for _, p := range []struct {
			period *period
			to     int64
		}{{one, at + reply.Hour}, {six, until}} {
			if p.period == nil {
				continue
			}
			v, known, err := read(p.period)
			if err != nil {
				return err
			}
			if known {
				b.each(at, p.to, func(k int) { c.Set(k, v) })
				break
			}
		}
	}
	return nil
}

// symbols turns the symbols into weather codes.
func (b *builder) symbols() {
	c := forecast.NewColumn(b.axis.N)
	_ = b.label(c, func(p *period) (float64, bool, error) {
		if p.Summary.SymbolCode == "" {
			return 0, false, nil
		}
		code, ok := weatherCode(p.Summary.SymbolCode)
		if !ok && b.unnamed == "" {
			b.unnamed = p.Summary.SymbolCode
		}
		return float64(code), ok, nil
	})
	b.member.Columns[forecast.WeatherCode] = c
}

// ground takes the pressure from sea level to the ground, or away where nobody
// knows how high the ground is.
func (b *builder) ground() {
	c := b.member.Columns[forecast.Pressure]
	if b.elevation == nil && c.Any() {
		b.f.Warnings = append(b.f.Warnings, "pressure is for sea level and the elevation is unknown: it is left out")
	}
	for k := range c.Known {
		v, known := c.At(k)
		if known && b.elevation != nil {
			c.Set(k, reply.GroundPressure(v, *b.elevation))
		} else {
			c.Known[k] = false
		}
	}
}
