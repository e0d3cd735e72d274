package demo

import (
	"bytes"
	_ "embed"
	"fmt"
	"math"
	"strings"
	"time"

	"dewgap/forecast/air"
)

//go:embed year.txt
var yearTable string

// month is one line of the table of the year.
type month struct{ low, high, dew, wind, cloud, wetDays, mm float64 }

// Year is an invented typical year for the demo's place as an EPW file: it is read
// by the same reader as a real one. The slice is the caller's own.
func Year() []byte {
	var table [12]month
	n := 0
	for line := range strings.Lines(yearTable) {
		if strings.HasPrefix(line, "#") || n == len(table) {
			continue
		}
		m := &table[n]
		if _, err := fmt.Sscan(line, &m.low, &m.high, &m.dew, &m.wind, &m.cloud, &m.wetDays, &m.mm); err != nil {
			panic(err) // embedded: any test finds it
		}
		n++
	}
	var b bytes.Buffer
	fmt.Fprintf(&b, "LOCATION,Otter Quay,ME,USA,invented,000000,%.2f,%.2f,-5.0,%.1f\n", place.Latitude, place.Longitude, place.ElevationM)
	b.WriteString("DESIGN CONDITIONS,0\nTYPICAL/EXTREME PERIODS,0\nGROUND TEMPERATURES,0\nHOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0\n" +
		"COMMENTS 1,invented\nCOMMENTS 2,\nDATA PERIODS,1,1,Data,Sunday,1/1,12/31\n")
	for h := range 365 * 24 {
		yearHour(&b, &table, h)
	}
	return b.Bytes()
}

// chance is a number in [0, 1) that hangs on the day alone (Weyl's sequence).
func chance(day int, stream float64) float64 {
	_, f := math.Modf(float64(day+1)*math.Phi + stream*float64((day+1)*(day+1)))
	return f
}

// yearHour writes the hour that ends h+1 hours after the year begins. Radiation is
// left out: it follows from the cloud.
func yearHour(b *bytes.Buffer, table *[12]month, h int) {
	at := time.Date(2001, 1, 1, 0, 0, 0, 0, time.UTC).Add(time.Duration(h) * time.Hour)
	m, day, hour := &table[at.Month()-1], h/24, h%24
	wet := chance(day, math.Sqrt2) < m.wetDays/30
	warm := 5 * (chance(day, math.E) - 0.5)
	cloud := m.cloud + 60*(chance(day, math.Pi)-0.5)
	dew := m.dew + warm
	mm := 0.0
	if begin := int(20 * chance(day, math.Ln2)); wet {
		cloud, dew = 90, dew+1.5
		if hour >= begin && hour < begin+4 {
			mm = m.mm
		}
	}
	swing := (1 - math.Cos(2*math.Pi*float64(hour-5)/24)) / 2
	if wet {
		swing *= 0.6
	}
	temp := m.low + warm + (m.high-m.low)*swing
	dew = min(dew, temp-0.3)
	cover := min(max(cloud/10, 0), 10)
	fmt.Fprintf(b, "2001,%d,%d,%d,0,?,%.1f,%.1f,%.0f,101300,9999,9999,9999,9999,9999,9999,999999,999999,999999,9999,%d,%.1f,%.0f,%.0f,16.0,77777,9,999999999,999,0.999,999,99,0.2,%.1f,1.0\n",
		at.Month(), at.Day(), hour+1, temp, dew, air.Humidity(temp, dew), 240, m.wind*daily(float64(hour)), cover, cover, mm)
}
