package fetchtest

import "time"

// StationID is the station beside the place, in the lists below.
const StationID = "KOTQ"

// NWSStations lists the stations near the place as NWS tells them: one of them, some
// 6 km to the west.
func (w Weather) NWSStations() []byte {
	return encode(object{"type": "FeatureCollection", "features": []any{object{
		"type": "Feature", "geometry": object{"type": "Point", "coordinates": []float64{w.Longitude - 0.08, w.Latitude + 0.01}},
		"properties": object{"stationIdentifier": StationID, "name": "Otter Quay Airfield", "elevation": object{"unitCode": "wmoUnit:m", "value": 9}},
	}}})
}

// NWSObservations is what that station measured at these moments, given by time and
// told as NWS does, the newest first: the weather, its air warmer by offC, K.
func (w Weather) NWSObservations(offC float64, times ...time.Time) []byte {
	measure := func(unit string, v float64) object {
		return object{"unitCode": "wmoUnit:" + unit, "value": v, "qualityControl": "V"}
	}
	features := []any{}
	for i := len(times) - 1; i >= 0; i-- {
		hour := int(times[i].Sub(w.Start).Round(time.Hour) / time.Hour)
		features = append(features, object{
			"type": "Feature", "geometry": object{"type": "Point", "coordinates": []float64{w.Longitude - 0.08, w.Latitude + 0.01}},
			"properties": object{
				"station": "https://api.weather.gov/stations/" + StationID, "timestamp": times[i].UTC().Format(time.RFC3339),
				"elevation": object{"unitCode": "wmoUnit:m", "value": 9}, "rawMessage": "",
				"temperature": measure("degC", w.air(hour)+offC), "dewpoint": measure("degC", w.dew()),
				"relativeHumidity": measure("percent", w.humidity(hour)), "windSpeed": measure("km_h-1", 3.6*w.wind()),
			},
		})
	}
	return encode(object{"type": "FeatureCollection", "features": features})
}
