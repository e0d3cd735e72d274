package reply

import (
	"fmt"
	"slices"

	"dewgap/forecast"
)

// bounds says what can exist. A value outside low to high is no measurement of
// anything and is taken as absent. A value inside, but past floor or ceiling,
// is rounding or model noise and is set to it.
type bounds struct {
	low, high      float64
	floor, ceiling float64
}

// The bounds lie a little outside the records that the World Meteorological
// Organization keeps (from memory: −89.2 and 56.7 °C, 1084.8 and 870 hPa, gust
// 113 m/s; UV index 43, Liley & McKenzie 2006), except the high pressure, which
// leaves room for a boat on a mountain lake.
var possible = [forecast.Quantities]bounds{
	forecast.AirTemperature:           {-90, 60, -90, 60},
	forecast.DewPoint:                 {-110, 45, -110, 45},
	forecast.Humidity:                 {0, 105, 0, 100},
	forecast.Pressure:                 {500, 1100, 500, 1100},
	forecast.WindSpeed:                {0, 120, 0, 120},
	forecast.WindFrom:                 {0, 360, 0, 360},
	forecast.Gust:                     {0, 150, 0, 150},
	forecast.CloudCover:               {-1, 105, 0, 100},
	forecast.CloudLow:                 {-1, 105, 0, 100},
	forecast.CloudMiddle:              {-1, 105, 0, 100},
	forecast.CloudHigh:                {-1, 105, 0, 100},
	forecast.Precipitation:            {0, 2000, 0, 2000},
	forecast.PrecipitationSpan:        {0, 1e6, 0, 1e6},
	forecast.PrecipitationProbability: {0, 100, 0, 100},
	forecast.ThunderProbability:       {0, 100, 0, 100},
	forecast.WeatherCode:              {0, 99, 0, 99},
	forecast.Visibility:               {0, 1e6, 0, 1e6},
	forecast.GlobalRadiation:          {-20, 1600, 0, 1600},
	forecast.DirectRadiation:          {-20, 1600, 0, 1600},
	forecast.DiffuseRadiation:         {-20, 1600, 0, 1600},
	forecast.UVIndex:                  {-1, 50, 0, 50},
	forecast.UVIndexClearSky:          {-1, 50, 0, 50},
}

// Possible gives the value to use, and false if it cannot exist. The unit is
// the quantity's own.
func Possible(q forecast.Quantity, v float64) (float64, bool) {
	b := possible[q]
	if !(v >= b.low && v <= b.high) { // written so that NaN fails
		return 0, false
	}
	return min(max(v, b.floor), b.ceiling) + 0, true // + 0 turns −0 into 0
}

// Impossible counts the values that were left out because they cannot exist,
// by the service's own name of the column.
type Impossible struct {
	names  []string
	counts []int
	texts  []string
}

// Add notes one value left out.
func (p *Impossible) Add(column string, q forecast.Quantity, v float64) {
	i := slices.Index(p.names, column)
	if i < 0 {
		i = len(p.names)
		p.names, p.counts = append(p.names, column), append(p.counts, 0)
		p.texts = append(p.texts, fmt.Sprintf("the first is %.4g, %s must lie in %v to %v",
			v, q, possible[q].low, possible[q].high))
	}
	p.counts[i]++
}

// Warnings is one line for each column, in the order in which they were seen.
func (p *Impossible) Warnings() []string {
	var out []string
	for i, name := range p.names {
		values := "values"
		if p.counts[i] == 1 {
			values = "value"
		}
		out = append(out, fmt.Sprintf("column %s: %d impossible %s left out (%s)",
			name, p.counts[i], values, p.texts[i]))
	}
	return out
}
