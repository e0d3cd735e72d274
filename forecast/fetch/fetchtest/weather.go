package fetchtest

import (
	"encoding/json"
	"fmt"
	"math"
	"time"
)

// Weather is invented: fair, dry and the same every day, warmest at 19:00 UTC. It
// is good for sealing in the daytime of the American east coast.
type Weather struct {
	Latitude, Longitude float64
	Start               time.Time // first hour, on a whole hour
	Hours               int
	Updated             time.Time // when it was made, where the format tells
	Timezone            string    // as the service names it, where the format tells
	AirC                float64   // mean of the day; 0 is 17.5
	DewC                float64   // 0 is 6
	WindMS              float64   // 0 is 2
	RainFrom, RainTo    int       // hours with 1.5 mm each, counted from Start
}

// OtterQuay is weather for an invented place, from three days before now's
// midnight (UTC) on.
func OtterQuay(now time.Time) Weather {
	return Weather{
		Latitude: 43.07, Longitude: -70.74, Start: now.UTC().Truncate(24 * time.Hour).Add(-72 * time.Hour), Hours: 24 * 10,
		Updated: now, Timezone: "America/New_York",
	}
}

func orElse(v, otherwise float64) float64 {
	if v == 0 {
		return otherwise
	}
	return v
}

func (w Weather) at(i int) time.Time { return w.Start.Add(time.Duration(i) * time.Hour) }
func (w Weather) dew() float64       { return orElse(w.DewC, 6) }
func (w Weather) wind() float64      { return orElse(w.WindMS, 2) }

// air is the temperature at the beginning of hour i.
func (w Weather) air(i int) float64 {
	h := float64(w.at(i).UTC().Hour())
	return math.Round(10*(orElse(w.AirC, 17.5)+3.5*math.Cos(2*math.Pi*(h-19)/24))) / 10
}

// humidity by the Magnus form (Alduchov and Eskridge 1996).
func (w Weather) humidity(i int) float64 {
	e := func(t float64) float64 { return math.Exp(17.625 * t / (243.04 + t)) }
	return math.Round(100 * e(w.dew()) / e(w.air(i)))
}

// rain in hour i, mm.
func (w Weather) rain(i int) float64 {
	if i >= w.RainFrom && i < w.RainTo {
		return 1.5
	}
	return 0
}

// object is JSON under construction.
type object = map[string]any

// encode writes JSON; what is built here always can be.
func encode(v any) []byte {
	data, err := json.Marshal(v)
	if err != nil {
		panic(err)
	}
	return data
}

// OpenMeteo is the weather as Open-Meteo tells it: amounts are those of the hour
// before the stamp.
func (w Weather) OpenMeteo() []byte {
	units := object{"time": "unixtime"}
	hourly := object{}
	times := []any{}
	for name, unit := range map[string]string{
		"temperature_2m": "°C", "dew_point_2m": "°C", "relative_humidity_2m": "%", "wind_speed_10m": "m/s", "wind_gusts_10m": "m/s",
		"precipitation": "mm", "cloud_cover": "%", "weather_code": "wmo code",
	} {
		units[name], hourly[name] = unit, []any{}
	}
	for i := range w.Hours {
		times = append(times, w.at(i).Unix())
		for name, v := range map[string]float64{
			"temperature_2m": w.air(i), "dew_point_2m": w.dew(), "relative_humidity_2m": w.humidity(i), "wind_speed_10m": w.wind(),
			"wind_gusts_10m": 1.5 * w.wind(), "precipitation": w.rain(i - 1), "cloud_cover": 50, "weather_code": w.code(i),
		} {
			hourly[name] = append(hourly[name].([]any), v)
		}
	}
	hourly["time"] = times
	return encode(object{
		"latitude": w.Latitude, "longitude": w.Longitude, "elevation": 3, "timezone": w.Timezone, "utc_offset_seconds": 0,
		"hourly_units": units, "hourly": hourly,
	})
}

// code is the WMO code of hour i.
func (w Weather) code(i int) float64 {
	if w.rain(i) > 0 {
		return 61
	}
	return 2
}

// MetNorway is the weather as MET Norway tells it, hourly all along.
func (w Weather) MetNorway() []byte {
	series := []any{}
	for i := range w.Hours {
		series = append(series, object{"time": w.at(i).Format(time.RFC3339), "data": object{
			"instant": object{"details": object{
				"air_pressure_at_sea_level": 1015, "air_temperature": w.air(i), "relative_humidity": w.humidity(i), "dew_point_temperature": w.dew(),
				"cloud_area_fraction": 50, "wind_from_direction": 230, "wind_speed": w.wind(), "wind_speed_of_gust": 1.5 * w.wind(),
			}},
			"next_1_hours": object{"summary": object{"symbol_code": "partlycloudy_day"}, "details": object{"precipitation_amount": w.rain(i)}},
		}})
	}
	return encode(object{
		"type": "Feature", "geometry": object{"type": "Point", "coordinates": []float64{w.Longitude, w.Latitude, 3}},
		"properties": object{
			"meta": object{"updated_at": w.Updated.UTC().Format(time.RFC3339), "units": object{
				"air_pressure_at_sea_level": "hPa", "air_temperature": "celsius", "cloud_area_fraction": "%", "dew_point_temperature": "celsius",
				"precipitation_amount": "mm", "relative_humidity": "%", "wind_from_direction": "degrees", "wind_speed": "m/s", "wind_speed_of_gust": "m/s",
			}},
			"timeseries": series,
		},
	})
}

// NWSPoint is the index of the place as NWS tells it.
func (w Weather) NWSPoint() []byte {
	return encode(object{
		"type": "Feature", "geometry": object{"type": "Point", "coordinates": []float64{w.Longitude, w.Latitude}},
		"properties": object{"gridId": "OTQ", "gridX": 12, "gridY": 34, "forecastGridData": "https://api.weather.gov/gridpoints/OTQ/12,34",
			"timeZone": w.Timezone},
	})
}

// NWSGrid is the weather as NWS tells it, an interval for each hour.
func (w Weather) NWSGrid() []byte {
	layers := object{"updateTime": w.Updated.UTC().Format(time.RFC3339), "elevation": object{"unitCode": "wmoUnit:m", "value": 3}}
	for name, layer := range map[string]struct {
		unit  string
		value func(i int) float64
	}{
		"temperature": {"wmoUnit:degC", w.air}, "dewpoint": {"wmoUnit:degC", func(int) float64 { return w.dew() }},
		"relativeHumidity": {"wmoUnit:percent", w.humidity}, "skyCover": {"wmoUnit:percent", func(int) float64 { return 50 }},
		"windSpeed": {"wmoUnit:km_h-1", func(int) float64 { return 3.6 * w.wind() }}, "windGust": {"wmoUnit:km_h-1", func(int) float64 { return 5.4 * w.wind() }},
		"windDirection": {"wmoUnit:degree_(angle)", func(int) float64 { return 230 }}, "quantitativePrecipitation": {"wmoUnit:mm", w.rain},
		"probabilityOfPrecipitation": {"wmoUnit:percent", func(i int) float64 { return 60 * w.rain(i) }},
	} {
		values := []any{}
		for i := range w.Hours {
			values = append(values, object{"validTime": w.at(i).Format("2006-01-02T15:04:05+00:00") + "/PT1H", "value": layer.value(i)})
		}
		layers[name] = object{"uom": layer.unit, "values": values}
	}
	lat, lon := w.Latitude, w.Longitude
	ring := [][2]float64{{lon - .01, lat + .01}, {lon - .01, lat - .01}, {lon + .01, lat - .01}, {lon + .01, lat + .01}, {lon - .01, lat + .01}}
	return encode(object{
		"type": "Feature", "geometry": object{"type": "Polygon", "coordinates": [][][2]float64{ring}}, "properties": layers,
	})
}

// NWSAlerts are alerts in force, each an event from a moment to another.
func NWSAlerts(events ...Event) []byte {
	features := []any{}
	for _, e := range events {
		features = append(features, object{"type": "Feature", "properties": object{
			"event": e.Name, "severity": e.Severity, "status": "Actual", "messageType": "Alert", "senderName": "NWS Otter Quay",
			"onset": e.From.Format(time.RFC3339), "ends": e.To.Format(time.RFC3339), "headline": fmt.Sprintf("%s issued for Otter Quay", e.Name),
		}})
	}
	return encode(object{"type": "FeatureCollection", "features": features})
}

// Event is what is warned of.
type Event struct {
	Name, Severity string
	From, To       time.Time
}
