package ensemble

import (
	"math"
	"time"

	"dewgap/forecast"
)

// How long what was learned holds ahead of now, in hours: whole at first, then in a
// straight line to nothing, where the weather itself is less sure than the place's
// habits (common practice, no source).
const (
	WholeLeadH = 6.0
	GoneLeadH  = 96.0
)

// LeadWeight is the share of what was learned that is used for a moment lead ahead
// of now, 0–1: whole in the past and for six hours, nothing from four days on.
func LeadWeight(lead time.Duration) float64 {
	return math.Max(0, math.Min(1, (GoneLeadH-lead.Hours())/(GoneLeadH-WholeLeadH)))
}

// At is what is taken as the forecast's error at no lead, measured less forecast in
// the variable's unit; 0 where nothing is used.
func (l Learned) At(v Variable, r Regime) float64 { return l.Biases[v][r].Size(v) }

// Empty reports whether nothing of it is used.
func (l Learned) Empty() bool {
	for v, by := range l.Biases {
		if !by.Empty(Variable(v)) {
			return false
		}
	}
	for _, s := range l.Spreads {
		if s.Factor() != 1 {
			return false
		}
	}
	return true
}

// Empty reports whether nothing of it is used, the errors being of v.
func (b ByRegime) Empty(v Variable) bool {
	for r := range b {
		if b[r].Size(v) != 0 {
			return false
		}
	}
	return true
}

// Supported is the part of it that may make a verdict better: see Bias.Enough.
func (l Learned) Supported() Learned {
	for v := range l.Biases {
		l.Biases[v] = l.Biases[v].Supported()
	}
	for v, s := range l.Spreads {
		if !s.Enough() {
			l.Spreads[v] = Spread{}
		}
	}
	return l
}

// Supported is the part of it that may make a verdict better.
func (b ByRegime) Supported() ByRegime {
	for r := range b {
		if !b[r].Enough() {
			b[r] = Bias{}
		}
	}
	return b
}

// Correct takes what was learned from a forecast and from the futures that it was
// dressed into: air and dew point are moved, humidity follows, wind and gust go by
// one factor, and the dew point never rises above the air temperature. All
// members are moved alike; then they are brought as far apart as they ought to be, the
// futures about the forecast, the members of an ensemble about their mean. Before now
// it counts whole, after now by LeadWeight. Where the forecast does not know the cloud
// nothing is moved.
//
// f and dressed are only read; what is not touched is shared with them. Where
// nothing of it is used they come back as they are.
func (l Learned) Correct(f *forecast.Forecast, dressed []forecast.Member, now time.Time) (*forecast.Forecast, []forecast.Member) {
	if f == nil || len(f.Members) == 0 || l.Empty() {
		return f, dressed
	}
	moves := l.moves(f, now)
	out := *f
	out.Members = moved(f, f.Members, moves)
	l.part(&out, out.Members, nil, now)
	futures := moved(f, dressed, moves)
	l.part(&out, futures, &out.Members[0], now)
	return &out, futures
}

// moves are the errors by interval and variable.
func (l Learned) moves(f *forecast.Forecast, now time.Time) [][Variables]float64 {
	out := make([][Variables]float64, f.N)
	for i := range out {
		w := LeadWeight(f.Start.Add(time.Duration(i) * f.Step).Sub(now))
		if w == 0 {
			break
		}
		r, ok := regimeOf(f, i)
		if !ok {
			continue
		}
		for v := range Variables {
			out[i][v] = w * l.At(Variable(v), r)
		}
	}
	return out
}

func moved(f *forecast.Forecast, members []forecast.Member, moves [][Variables]float64) []forecast.Member {
	if len(members) == 0 {
		return members
	}
	out := make([]forecast.Member, len(members))
	for k := range members {
		m := members[k]
		c := corrector{f: f, m: &m}
		for _, q := range []forecast.Quantity{
			forecast.AirTemperature, forecast.DewPoint, forecast.Humidity, forecast.WindSpeed, forecast.Gust,
		} {
			c.own(q)
		}
		for i, by := range moves {
			if by[AirError] != 0 || by[DewError] != 0 {
				shift(c.m, i, by[AirError], by[DewError])
			}
			if by[WindError] == 0 {
				continue
			}
			for _, q := range []forecast.Quantity{forecast.WindSpeed, forecast.Gust} {
				if v, ok := m.Columns[q].At(i); ok {
					m.Columns[q].Set(i, v*math.Exp(by[WindError]))
				}
			}
		}
		out[k] = m
	}
	return out
}
