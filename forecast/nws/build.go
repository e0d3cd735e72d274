package nws

import (
	"fmt"

	"dewgap/forecast"
	"dewgap/forecast/internal/reply"
)

// The layers that hold in their interval, with the quantity that they fill.
var layers = []struct {
	name     string
	quantity forecast.Quantity
}{
	{"temperature", forecast.AirTemperature},
	{"dewpoint", forecast.DewPoint},
	{"relativeHumidity", forecast.Humidity},
	{"pressure", forecast.Pressure},
	{"windSpeed", forecast.WindSpeed},
	{"windDirection", forecast.WindFrom},
	{"windGust", forecast.Gust},
	{"skyCover", forecast.CloudCover},
	{"probabilityOfPrecipitation", forecast.PrecipitationProbability},
	{"probabilityOfThunder", forecast.ThunderProbability},
	{"visibility", forecast.Visibility},
}

// The longest forecast that makes sense; the service gives some eight days.
const longestHours = 60 * 24

// layer is one layer of the grid.
type layer struct {
	UOM    *string `json:"uom"`
	Values []struct {
		ValidTime string   `json:"validTime"`
		Value     *float64 `json:"value"` // nil is null
	} `json:"values"`
}

// builder lays a grid onto hours.
type builder struct {
	properties reply.Object
	f          *forecast.Forecast
	axis       reply.Axis
	impossible reply.Impossible
	member     forecast.Member
}

func (b *builder) build() error {
	for i, l := range layers {
		spans, err := b.spans(l.name, l.quantity)
		if err != nil {
			return err
		}
		if i == 0 {
			if err := b.layAxis(spans); err != nil {
				return err
			}
		}
		b.put(l.quantity, b.axis.Hold(spans))
	}
	if err := b.rain(); err != nil {
		return err
	}
	if err := b.weather(); err != nil {
		return err
	}
	b.f.Members = []forecast.Member{b.member}
	b.f.Warnings = append(b.f.Warnings, b.impossible.Warnings()...)
	return nil
}

// put keeps a column that knows anything.
func (b *builder) put(q forecast.Quantity, c forecast.Column) {
	if c.Any() {
		b.member.Columns[q] = c
	}
}

// layAxis covers the temperature layer with whole UTC hours.
func (b *builder) layAxis(spans []reply.Span) error {
	if len(spans) == 0 {
		return errorf("fetch the grid again later; another service serves meanwhile", "its temperature layer is empty")
	}
	b.axis.Start = reply.FloorHour(spans[0].From)
	hours := (reply.CeilHour(spans[len(spans)-1].To) - b.axis.Start) / reply.Hour
	if hours > longestHours {
		return errorf(reply.Again, "its temperature layer is %d hours long", hours)
	}
	b.axis.N = int(hours)
	b.axis.Put(b.f)
	return nil
}

// spans reads a layer into spans in our unit and in order. A layer that states
// two values for the same time is left out, for neither can be trusted.
func (b *builder) spans(name string, q forecast.Quantity) ([]reply.Span, error) {
	raw := b.properties.Get(name)
	if raw == nil {
		return nil, nil
	}
	var in layer
	if err := unmarshal(raw, &in, name); err != nil {
		return nil, err
	}
	var out []reply.Span
	for _, x := range in.Values {
		from, to, ok := parseInterval(x.ValidTime)
		if !ok {
			return nil, badInterval(name, x.ValidTime)
		}
		if x.Value != nil {
			out = append(out, reply.Span{From: from, To: to, V: *x.Value})
		}
	}
	out, err := b.convert(name, q, in.UOM, out)
	if err != nil {
		return nil, err
	}
	if reply.Sort(out) {
		b.warn("layer %s states two values for the same time and is left out", name)
		return nil, nil
	}
	return out, nil
}

func badInterval(name, text string) error {
	return errorf(reply.Again, "%s: %.60q is no interval like \"2026-09-10T06:00:00+00:00/PT3H\"", name, text)
}

func (b *builder) warn(format string, args ...any) {
	b.f.Warnings = append(b.f.Warnings, fmt.Sprintf(format, args...))
}

// convert turns a layer's values into our unit and drops impossible ones.
func (b *builder) convert(name string, q forecast.Quantity, unit *string, spans []reply.Span) ([]reply.Span, error) {
	if len(spans) == 0 {
		return nil, nil // empty layers come without a unit
	}
	if unit == nil && q == forecast.Pressure {
		b.warn("layer pressure comes without a unit and is left out")
		return nil, nil
	}
	l, ok := unitOf(q, unit)
	if !ok && unit == nil {
		return nil, errorf("save the reply as the service sent it", "layer %s has no unit", name)
	}
	if !ok {
		return nil, errorf("save the reply as the service sent it", "layer %s has an unknown unit: %q", name, *unit)
	}
	kept := spans[:0]
	for _, s := range spans {
		v := l.Of(s.V)
		good, ok := reply.Possible(q, v)
		if !ok {
			b.impossible.Add(name, q, v)
			continue
		}
		s.V = good
		kept = append(kept, s)
	}
	return kept, nil
}

// unitOf is the conversion of a stated unit. The probability of thunder is a
// percentage that comes without one.
func unitOf(q forecast.Quantity, unit *string) (reply.Linear, bool) {
	switch {
	case unit != nil:
		return reply.Unit(q, *unit)
	case q == forecast.ThunderProbability:
		return reply.Unit(q, "percent")
	}
	return reply.Linear{}, false
}

// rain spreads the totals over their intervals. A total over more than six
// hours may be two equal ones merged; it is read as one total all the same,
// and its span says that the single hour is unknown.
func (b *builder) rain() error {
	spans, err := b.spans("quantitativePrecipitation", forecast.Precipitation)
	if err != nil {
		return err
	}
	amount, hours := b.axis.Sum(spans)
	b.put(forecast.Precipitation, amount)
	b.put(forecast.PrecipitationSpan, hours)
	return nil
}
