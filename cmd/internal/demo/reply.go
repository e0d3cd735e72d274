package demo

import (
	"encoding/json"
	"fmt"
	"math"
	"time"

	"dewgap/forecast"
	"dewgap/forecast/air"
	"dewgap/forecast/sky"
	"dewgap/window/job"
)

// Where the demo's boat lies, as in its job.
const zoneName = "America/New_York"

var place = forecast.Place{Latitude: 43.07, Longitude: -70.74, ElevationM: 2, HasElevation: true}

// members is how many futures the ensemble has, the control run first.
const members = 11

// member is how far one future strays in each quantity, in standard deviations.
type member struct{ air, dew, wind, cloud, rain float64 }

// strays are ten evenly likely errors; each quantity deals them out in another
// order, so that they do not all go the same way.
var strays = [members]float64{0, -1.6, -1.0, -0.7, -0.4, -0.1, 0.1, 0.4, 0.7, 1.0, 1.6}

func newMember(k int) member {
	deal := func(stride int) float64 { return strays[k*stride%members] }
	return member{air: deal(1), dew: deal(3), wind: deal(4), cloud: deal(7), rain: deal(9)}
}

// columns are those of the reply, in the order in which [valuesAt] gives their values.
var columns = [...]struct{ name, unit string }{
	{"temperature_2m", "°C"}, {"dew_point_2m", "°C"}, {"relative_humidity_2m", "%"}, {"surface_pressure", "hPa"},
	{"precipitation", "mm"}, {"weather_code", "wmo code"}, {"cloud_cover", "%"}, {"wind_speed_10m", "m/s"},
	{"wind_gusts_10m", "m/s"}, {"wind_direction_10m", "°"},
	{"shortwave_radiation", "W/m²"}, {"direct_radiation", "W/m²"}, {"diffuse_radiation", "W/m²"},
	{"uv_index", ""}, {"uv_index_clear_sky", ""}, {"visibility", "m"},
}

// reply is the shape of Open-Meteo's ensemble service.
type reply struct {
	Latitude  float64              `json:"latitude"`
	Longitude float64              `json:"longitude"`
	Elevation float64              `json:"elevation"`
	Offset    int                  `json:"utc_offset_seconds"`
	Timezone  string               `json:"timezone"`
	Units     map[string]string    `json:"hourly_units"`
	Hourly    map[string][]float64 `json:"hourly"`
}

// Reply is the demo's weather around the day of now at the place, in the format
// of Open-Meteo's ensemble service. The same day gives the same bytes.
func Reply(now time.Time) ([]byte, error) {
	loc, err := time.LoadLocation(zoneName)
	if err != nil {
		return nil, fmt.Errorf("demo weather: %w", err)
	}
	w, err := readWeather(table)
	if err != nil {
		return nil, err
	}
	midnight := job.DateOf(now.In(loc)).Begins(loc)
	r := reply{
		Latitude: place.Latitude, Longitude: place.Longitude, Elevation: place.ElevationM, Timezone: zoneName,
		Units: map[string]string{"time": "unixtime"}, Hourly: map[string][]float64{},
	}
	first, n := 24*w.first, 24*len(w.days)
	for i := range n {
		t := midnight.Add(time.Duration(first+i) * time.Hour)
		r.Hourly["time"] = append(r.Hourly["time"], float64(t.Unix()))
	}
	for k := range members {
		r.fill(k, w, midnight, first, n)
	}
	return json.Marshal(r)
}

// fill adds the columns of one member.
func (r *reply) fill(k int, w weather, midnight time.Time, first, n int) {
	suffix := ""
	if k > 0 {
		suffix = fmt.Sprintf("_member%02d", k)
	}
	var series [len(columns)][]float64
	for c, x := range columns {
		series[c] = make([]float64, n)
		r.Units[x.name+suffix], r.Hourly[x.name+suffix] = x.unit, series[c]
	}
	m := newMember(k)
	before := w.hour(float64(first-1), m)
	for i := range n {
		now := w.hour(float64(first+i), m)
		for c, v := range valuesAt(now, before, midnight.Add(time.Duration(first+i)*time.Hour)) {
			series[c][i] = v
		}
		before = now
	}
}

// valuesAt are the values at a stamp: instants of the hour that begins there,
// amounts and means of the one that ends there.
func valuesAt(now, before hour, at time.Time) [len(columns)]float64 {
	middle := at.Add(-30 * time.Minute)
	cosZ := sky.Sun(middle, place.Latitude, place.Longitude, 1013, before.air).CosZenith()
	cloud := (now.cloud + before.cloud) / 200
	global := sky.Haurwitz(cosZ) * sky.CloudFactor(cloud)
	normal, diffuse := sky.Erbs(global, cosZ, sky.Extraterrestrial(middle.YearDay()))
	clear := sky.ClearUVI(cosZ, sky.DefaultOzone)
	return [...]float64{
		tenth(now.air), tenth(now.dew), tenth(air.Humidity(now.air, now.dew)), 1015,
		tenth(before.rain), code(now), math.Round(now.cloud), tenth(now.wind),
		tenth(1.6 * math.Max(now.wind, before.wind)), 230,
		tenth(global), tenth(normal * cosZ), tenth(diffuse),
		tenth(clear * sky.CloudUV(cloud)), tenth(clear), 20000,
	}
}

// code is the WMO code of the hour: rain, or how much cloud.
func code(h hour) float64 {
	switch {
	case h.rain > 0:
		return 61
	case h.cloud < 20:
		return 0
	case h.cloud < 60:
		return 2
	}
	return 3
}

func tenth(v float64) float64 { return math.Round(v*10)/10 + 0 }
