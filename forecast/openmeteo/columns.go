package openmeteo

import (
	"slices"
	"strings"

	"dewgap/forecast"
	"dewgap/forecast/internal/reply"
)

// A timing says which time the value at a stamp is for.
type timing uint8

const (
	atStamp timing = iota // the moment of the stamp, or a label from it on
	before                // the step that ends at the stamp
)

// variable is one of the service's names. Its quantity gives unit, bounds and,
// unless part is set, the column that it fills.
type variable struct {
	name     string
	quantity forecast.Quantity
	timing   timing
	part     part
}

// A part goes into a quantity together with others or instead of another.
type part uint8

const (
	whole    part = iota // fills its quantity's column by itself
	seaLevel             // pressure reduced to sea level
	water                // liquid part of precipitation, mm
	snow                 // snow depth that fell, to be melted
)

var variables = []variable{
	{"temperature_2m", forecast.AirTemperature, atStamp, whole},
	{"dew_point_2m", forecast.DewPoint, atStamp, whole},
	{"relative_humidity_2m", forecast.Humidity, atStamp, whole},
	{"surface_pressure", forecast.Pressure, atStamp, whole},
	{"pressure_msl", forecast.Pressure, atStamp, seaLevel},
	{"wind_speed_10m", forecast.WindSpeed, atStamp, whole},
	{"wind_direction_10m", forecast.WindFrom, atStamp, whole},
	{"wind_gusts_10m", forecast.Gust, before, whole},
	{"cloud_cover", forecast.CloudCover, atStamp, whole},
	{"cloud_cover_low", forecast.CloudLow, atStamp, whole},
	{"cloud_cover_mid", forecast.CloudMiddle, atStamp, whole},
	{"cloud_cover_high", forecast.CloudHigh, atStamp, whole},
	{"precipitation", forecast.Precipitation, before, whole},
	{"rain", forecast.Precipitation, before, water},
	{"showers", forecast.Precipitation, before, water},
	{"snowfall", forecast.Precipitation, before, snow},
	{"precipitation_probability", forecast.PrecipitationProbability, before, whole},
	{"thunderstorm_probability", forecast.ThunderProbability, before, whole},
	{"weather_code", forecast.WeatherCode, atStamp, whole},
	{"visibility", forecast.Visibility, atStamp, whole},
	{"shortwave_radiation", forecast.GlobalRadiation, before, whole},
	{"direct_radiation", forecast.DirectRadiation, before, whole},
	{"diffuse_radiation", forecast.DiffuseRadiation, before, whole},
	{"uv_index", forecast.UVIndex, before, whole},
	{"uv_index_clear_sky", forecast.UVIndexClearSky, before, whole},
}

// former spellings, which the service still answers to.
var former = map[string]string{
	"dewpoint_2m": "dew_point_2m", "relativehumidity_2m": "relative_humidity_2m",
	"windspeed_10m": "wind_speed_10m", "winddirection_10m": "wind_direction_10m",
	"windgusts_10m": "wind_gusts_10m", "weathercode": "weather_code",
	"cloudcover": "cloud_cover", "cloudcover_low": "cloud_cover_low",
	"cloudcover_mid": "cloud_cover_mid", "cloudcover_high": "cloud_cover_high",
}

// spelling is one way to write a variable.
type spelling struct {
	text string
	of   int // index in variables
}

// spellings holds the longest first, so that uv_index_clear_sky is not taken
// for uv_index of a model called clear_sky.
var spellings = func() []spelling {
	var out []spelling
	for i, v := range variables {
		out = append(out, spelling{v.name, i})
		for old, now := range former {
			if now == v.name {
				out = append(out, spelling{old, i})
			}
		}
	}
	slices.SortFunc(out, func(a, b spelling) int {
		if len(a.text) != len(b.text) {
			return len(b.text) - len(a.text)
		}
		return strings.Compare(a.text, b.text)
	})
	return out
}()

// column is one column of the reply with its key taken apart.
type column struct {
	key    string
	of     int    // index in variables
	model  string // "" where the key has no suffix
	member string // "member01", "" for the control run or a single forecast
	raw    []byte
}

// named reports whether any value of the column is a number.
func (c column) named() bool {
	return slices.ContainsFunc(c.raw, func(b byte) bool { return b >= '0' && b <= '9' })
}

// list takes the keys apart and keeps the columns that dewgap reads.
func (b *block) list() ([]column, error) {
	var out []column
	for _, field := range b.columns {
		c, ok := splitKey(field.Key)
		if !ok {
			continue
		}
		c.raw = field.Value
		out = append(out, c)
	}
	out = dropStrangers(out)
	if len(out) == 0 {
		return nil, errorf("ask for hourly=temperature_2m,relative_humidity_2m,wind_speed_10m and the rest",
			"none of its %s columns is one that dewgap reads", b.name)
	}
	return out, nil
}

// splitKey reads keys such as temperature_2m, temperature_2m_member01,
// temperature_2m_icon_seamless and temperature_2m_member01_gfs025.
func splitKey(key string) (c column, ok bool) {
	for _, s := range spellings {
		rest, found := strings.CutPrefix(key, s.text)
		if !found || rest != "" && rest[0] != '_' {
			continue
		}
		c.key, c.of = key, s.of
		c.model, c.member = splitSuffix(strings.TrimPrefix(rest, "_"))
		return c, !notModel(c.model)
	}
	return c, false
}

// splitSuffix finds memberNN at either end of the suffix; the rest is a model.
func splitSuffix(suffix string) (model, member string) {
	head, tail, _ := strings.Cut(suffix, "_")
	if isMember(head) {
		return tail, head
	}
	if i := strings.LastIndexByte(suffix, '_'); i >= 0 && isMember(suffix[i+1:]) {
		return suffix[:i], suffix[i+1:]
	}
	return suffix, ""
}

func isMember(s string) bool {
	digits, ok := strings.CutPrefix(s, "member")
	return ok && len(digits) >= 2 && len(digits) <= 4 && strings.Trim(digits, "0123456789") == ""
}

// notModel recognises suffixes that make another variable of the name: a former
// run, the spread of an ensemble, the value at the stamp instead of the mean.
func notModel(suffix string) bool {
	for _, s := range []string{"previous_day", "spread", "instant", "mean", "min", "max", "sum", "anomaly"} {
		if strings.HasPrefix(suffix, s) {
			return true
		}
	}
	return false
}

// dropStrangers drops columns whose suffix is no model of this reply: a model
// always has a temperature, while cloud_cover_850hPa and the like do not.
func dropStrangers(columns []column) []column {
	models := map[string]bool{"": true}
	for _, c := range columns {
		if variables[c.of].quantity == forecast.AirTemperature {
			models[c.model] = true
		}
	}
	return slices.DeleteFunc(columns, func(c column) bool { return !models[c.model] })
}

// conversion gives the factor into the quantity's unit; for snow into
// millimetres of melted water: 7 cm of snow are 10 mm (the service's
// documentation).
func (b *block) conversion(c column) (reply.Linear, error) {
	unit, stated := b.units[c.key]
	l, ok := reply.Unit(variables[c.of].quantity, unit)
	if !stated || !ok {
		what := "an unknown unit: " + unit
		if !stated {
			what = "no unit"
		}
		return l, errorf("ask for the service's usual units (celsius, ms, mm)", "column %s has %s", c.key, what)
	}
	if variables[c.of].part == snow {
		l.A /= 7
	}
	return l, nil
}
