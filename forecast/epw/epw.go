package epw

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"strconv"
	"strings"
	"time"

	"dewgap/forecast"
	"dewgap/forecast/internal/reply"
)

// Service is what the package is called in errors and answers.
const Service = "typical year"

// Hours is the number of hours of a typical year: 365 days.
const Hours = 8760

// again is the advice for a file that is damaged as a whole.
const again = "fetch the file again, or take the typical year of another station"

// Year is a typical year, hour by hour.
type Year struct {
	Station string         // the place in the file's own words, such as "Otter Quay, ME"
	Made    string         // the file's word for its data set, such as TMY3
	Place   forecast.Place // of the station
	Offset  time.Duration  // of local standard time from UTC, east positive
	hours   []hour
}

// reading is a value that may be missing.
type reading struct {
	v  float64
	ok bool
}

// hour is one line of data.
type hour struct {
	temp, dew, humidity, pressure reading // °C, °C, %, Pa
	global, normal, diffuse       reading // Wh/m² in the hour
	from, wind                    reading // degrees, m/s
	cloud, opaque, visibility     reading // tenths, tenths, km
	rain, rainHours               reading // mm over so many hours
	month                         time.Month
}

// column is one of the columns that are read: its index, where it goes, from
// which value on it means "missing", and the bounds of what can exist.
type column struct {
	name      string
	index     int
	missing   float64 // at or above: not measured
	low, high float64
	into      func(h *hour) *reading
}

// columns are those that dewgap uses. The values that mean "missing" are the data
// dictionary's.
var columns = [...]column{
	{"dry bulb temperature", 6, 99.9, -70, 70, func(h *hour) *reading { return &h.temp }},
	{"dew point temperature", 7, 99.9, -70, 70, func(h *hour) *reading { return &h.dew }},
	{"relative humidity", 8, 999, 0, 110, func(h *hour) *reading { return &h.humidity }},
	{"atmospheric pressure", 9, 999999, 31000, 120000, func(h *hour) *reading { return &h.pressure }},
	{"global horizontal radiation", 13, 9999, 0, 1600, func(h *hour) *reading { return &h.global }},
	{"direct normal radiation", 14, 9999, 0, 1600, func(h *hour) *reading { return &h.normal }},
	{"diffuse horizontal radiation", 15, 9999, 0, 1600, func(h *hour) *reading { return &h.diffuse }},
	{"wind direction", 20, 999, 0, 360, func(h *hour) *reading { return &h.from }},
	{"wind speed", 21, 999, 0, 120, func(h *hour) *reading { return &h.wind }},
	{"total sky cover", 22, 99, 0, 10, func(h *hour) *reading { return &h.cloud }},
	{"opaque sky cover", 23, 99, 0, 10, func(h *hour) *reading { return &h.opaque }},
	{"visibility", 24, 9999, 0, 1000, func(h *hour) *reading { return &h.visibility }},
	{"liquid precipitation depth", 33, 999, 0, 998, func(h *hour) *reading { return &h.rain }},
	{"liquid precipitation quantity", 34, 99, 0, 98, func(h *hour) *reading { return &h.rainHours }},
}

// leastColumns is the fewest columns of a line of data: up to visibility. The two
// of rain are missing in older files.
const leastColumns = 25

// header is the number of lines before the data.
const header = 8

// Is reports whether data look like a typical year.
func Is(data []byte) bool { return bytes.HasPrefix(data, []byte("LOCATION,")) }

// Parse reads a whole file. Its error is a *forecast.ReadError with line and
// column; nothing is read in part.
func Parse(data []byte) (*Year, error) {
	if !Is(data) {
		return nil, reply.Errorf(Service, "give a weather file whose first word is LOCATION", "line 1: this is no EPW file")
	}
	y := &Year{hours: make([]hour, 0, Hours)}
	r := csv.NewReader(bytes.NewReader(data))
	r.FieldsPerRecord, r.LazyQuotes, r.ReuseRecord = -1, true, true
	for n := 0; ; n++ {
		fields, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, reply.Errorf(Service, again, "%v", err)
		}
		line, _ := r.FieldPos(0)
		switch bad := y.take(n, line, fields, r); {
		case bad != nil:
			return nil, bad
		case len(y.hours) > Hours:
			return nil, reply.Errorf(Service, again, "line %d: more than the %d hours of a typical year", line, Hours)
		}
	}
	if len(y.hours) != Hours {
		return nil, reply.Errorf(Service, again, "%d hours of data, a typical year has %d", len(y.hours), Hours)
	}
	return y, nil
}

// take reads record n.
func (y *Year) take(n, line int, fields []string, r *csv.Reader) error {
	switch {
	case n == 0:
		return y.location(fields)
	case n < header:
		return nil
	}
	return y.hour(line, fields, r)
}

// location reads the first line: LOCATION, city, region, country, data set,
// station number, latitude, longitude, hours from UTC, elevation.
func (y *Year) location(fields []string) error {
	if len(fields) < 10 {
		return reply.Errorf(Service, again, "line 1: LOCATION has %d fields, needs 10", len(fields))
	}
	var v [4]float64
	for i, name := range [...]string{"latitude", "longitude", "time zone", "elevation"} {
		x, err := strconv.ParseFloat(strings.TrimSpace(fields[6+i]), 64)
		if err != nil {
			return reply.Errorf(Service, again, "line 1, field %d: %s %q is no number", 7+i, name, fields[6+i])
		}
		v[i] = x
	}
	y.Place = forecast.Place{Latitude: v[0], Longitude: v[1], ElevationM: v[3], HasElevation: true}
	if wrong := reply.CheckPlace(y.Place); wrong != "" {
		return reply.Errorf(Service, again, "line 1: %s", wrong)
	}
	if !(v[2] >= -12 && v[2] <= 14) {
		return reply.Errorf(Service, again, "line 1, field 9: time zone %v is outside -12 to 14", v[2])
	}
	y.Offset = time.Duration(v[2] * float64(time.Hour)).Round(time.Minute)
	y.Station = strings.TrimSpace(fields[1])
	if region := strings.TrimSpace(fields[2]); region != "" && region != "-" {
		y.Station += ", " + region
	}
	y.Made = strings.TrimSpace(fields[4])
	return nil
}

// hour reads a line of data, which must be the one that follows the last.
func (y *Year) hour(line int, fields []string, r *csv.Reader) error {
	if len(fields) < leastColumns {
		return reply.Errorf(Service, again, "line %d: %d columns, needs %d", line, len(fields), leastColumns)
	}
	want := time.Date(2001, 1, 1, 0, 0, 0, 0, time.UTC).Add(time.Duration(len(y.hours)) * time.Hour)
	for i, w := range [...]int{1: int(want.Month()), 2: want.Day(), 3: want.Hour() + 1} {
		got, err := strconv.Atoi(strings.TrimSpace(fields[i]))
		if i > 0 && (err != nil || got != w) {
			return reply.Errorf(Service, again, "line %d: %s, expected the hour %d of %d/%d: the hours must follow one another without a leap day",
				line, strings.Join(fields[1:4], "/"), want.Hour()+1, want.Month(), want.Day())
		}
	}
	h := hour{month: want.Month()}
	for i := range columns {
		if c := &columns[i]; c.index < len(fields) {
			x, bad := c.read(fields[c.index])
			if bad != "" {
				_, at := r.FieldPos(c.index)
				return reply.Errorf(Service, again, "line %d, column %d: %s %q %s", line, at, c.name, fields[c.index], bad)
			}
			*c.into(&h) = x
		}
	}
	y.hours = append(y.hours, h)
	return nil
}

// read reads one field: a value, or a missing one.
func (c *column) read(text string) (x reading, bad string) {
	text = strings.TrimSpace(text)
	if text == "" {
		return reading{}, ""
	}
	v, err := strconv.ParseFloat(text, 64)
	switch {
	case err != nil:
		return reading{}, "is no number"
	case v >= c.missing:
		return reading{}, ""
	case !(v >= c.low && v <= c.high):
		return reading{}, "cannot exist"
	}
	return reading{v, true}, ""
}
