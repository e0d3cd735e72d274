package nws

import (
	"slices"

	"dewgap/forecast"
	"dewgap/forecast/internal/reply"
)

// condition is one kind of weather in an interval; nil is null.
type condition struct {
	Coverage  *string `json:"coverage"`
	Weather   *string `json:"weather"`
	Intensity *string `json:"intensity"`
}

type weatherLayer struct {
	Values []struct {
		ValidTime string      `json:"validTime"`
		Value     []condition `json:"value"`
	} `json:"values"`
}

// likely holds the coverages that mean likely or more: from 55 % of probability
// or of the area on (the service's own scale: slight chance and isolated up to
// 20 %, chance and scattered up to 50 %; from memory), and those that say how
// often something happens that does happen.
var likely = []string{
	"likely", "definite", "numerous", "widespread",
	"occasional", "periods", "frequent", "intermittent", "brief",
}

// codes are WMO 4677 codes by intensity: light (or none given), moderate, heavy.
var codes = map[string][3]float64{
	"thunderstorms":    {95, 95, 95},
	"fog":              {45, 45, 45},
	"freezing_fog":     {48, 48, 48},
	"ice_fog":          {48, 48, 48},
	"drizzle":          {51, 53, 55},
	"freezing_drizzle": {56, 57, 57},
	"rain":             {61, 63, 65},
	"freezing_rain":    {66, 67, 67},
	"snow":             {71, 73, 75},
	"sleet":            {79, 79, 79}, // ice pellets
	"rain_showers":     {80, 81, 82},
	"snow_showers":     {85, 86, 86},
}

// code gives the condition's code; ok is false where it is not likely enough or
// of no kind that has one.
func (c condition) code() (code float64, ok bool) {
	kind := value(c.Weather)
	byIntensity, ok := codes[kind]
	if !ok {
		return 0, false
	}
	coverage := value(c.Coverage)
	foggy := forecast.Fog(byIntensity[0])
	if coverage != "" && !slices.Contains(likely, coverage) && !(foggy && coverage == "areas") {
		return 0, false
	}
	switch value(c.Intensity) {
	case "moderate":
		return byIntensity[1], true
	case "heavy":
		return byIntensity[2], true
	}
	return byIntensity[0], true
}

func value(s *string) string {
	if s == nil {
		return ""
	}
	return *s
}

// weather turns the weather layer into codes: the gravest, that is the highest,
// of an interval; where the layer names none, the sky cover's.
func (b *builder) weather() error {
	raw := b.properties.Get("weather")
	if raw == nil {
		return nil
	}
	var in weatherLayer
	if err := unmarshal(raw, &in, "weather"); err != nil {
		return err
	}
	var spans []reply.Span
	for _, x := range in.Values {
		from, to, ok := parseInterval(x.ValidTime)
		if !ok {
			return badInterval("weather", x.ValidTime)
		}
		if x.Value != nil {
			spans = append(spans, reply.Span{From: from, To: to, V: gravest(x.Value)})
		}
	}
	if reply.Sort(spans) {
		b.warn("layer weather states two values for the same time and is left out")
		return nil
	}
	c := b.axis.Hold(spans)
	for k := range c.Known {
		if v, known := c.At(k); known && v == nothing {
			b.skyCode(c, k)
		}
	}
	b.put(forecast.WeatherCode, c)
	return nil
}

// nothing stands for an interval in which no weather is likely.
const nothing = -1

func gravest(conditions []condition) float64 {
	worst := float64(nothing)
	for _, c := range conditions {
		if code, ok := c.code(); ok {
			worst = max(worst, code)
		}
	}
	return worst
}

// skyCode sets the code of a sky without weather: clear up to 1/8, mainly clear
// up to 3/8, partly cloudy up to 7/8, overcast above. Without sky cover it is
// unknown.
func (b *builder) skyCode(c forecast.Column, k int) {
	cover, known := b.member.Columns[forecast.CloudCover].At(k)
	c.Known[k] = known
	switch {
	case cover < 12.5:
		c.Values[k] = 0
	case cover < 37.5:
		c.Values[k] = 1
	case cover < 87.5:
		c.Values[k] = 2
	default:
		c.Values[k] = 3
	}
}
