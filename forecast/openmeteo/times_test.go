package openmeteo

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/forecast"
)

// hoursFrom is wall clock stamps without a change of the clock.
func hoursFrom(start string, n int, step time.Duration) []any {
	t, err := time.Parse("2006-01-02T15:04", start)
	if err != nil {
		panic(err)
	}
	var out []any
	for i := range n {
		out = append(out, t.Add(time.Duration(i)*step).Format("2006-01-02T15:04"))
	}
	return out
}

// New York: the clock goes back at 06:00 UTC on 1 November 2026 and forward at
// 07:00 UTC on 8 March 2026 (second Sunday of March, first of November; Energy
// Policy Act of 2005).
func TestClockChangeInTheStamps(t *testing.T) {
	f := parse(t, file(t, "openmeteo_autumn.json"), Options{})
	assert.Equal(t, utc("2026-11-01T04:00:00Z"), f.Start)
	assert.Equal(t, 4, f.N, "the repeated hour counts twice")
	near(t, []any{8., 7., 6., 5.}, values(f, 0, forecast.AirTemperature))
	near(t, []any{0.1, 0.2, 0.3, nil}, values(f, 0, forecast.Precipitation))

	f = parse(t, file(t, "openmeteo_spring.json"), Options{})
	assert.Equal(t, utc("2026-03-08T05:00:00Z"), f.Start)
	assert.Equal(t, 4, f.N, "the hour that the clock skips is no gap")
	near(t, []any{1., 2., 3., 4.}, values(f, 0, forecast.AirTemperature))
	near(t, []any{0.1, 0.2, 0.3, nil}, values(f, 0, forecast.Precipitation))
}

func TestStartInTheRepeatedHour(t *testing.T) {
	reply := func(stamps ...any) []byte {
		return simple(func(top, _, hourly object) {
			top["timezone"], top["utc_offset_seconds"] = "America/New_York", -14400
			hourly["time"] = stamps
		})
	}
	f := parse(t, reply("2026-11-01T01:00", "2026-11-01T01:00", "2026-11-01T02:00"), Options{})
	assert.Equal(t, utc("2026-11-01T05:00:00Z"), f.Start, "first the daylight hour")

	// 02:00 and on are after the change, 01:00 twice; a start at the second
	// 01:00 leaves even stamps, which mean the fixed offset of the reply.
	f = parse(t, reply("2026-11-01T01:00", "2026-11-01T02:00", "2026-11-01T03:00"), Options{})
	assert.Equal(t, utc("2026-11-01T05:00:00Z"), f.Start)
}

// The service itself keeps the offset of the day of asking through a change of
// the clock (open-meteo/open-meteo issues 261 and 1764), so that even stamps
// stay even.
func TestEvenStampsKeepTheirOffset(t *testing.T) {
	f := parse(t, simple(func(top, _, hourly object) {
		top["timezone"], top["utc_offset_seconds"] = "America/New_York", -14400
		hourly["time"] = hoursFrom("2026-11-01T00:00", 12, time.Hour)
		for _, name := range []string{"temperature_2m", "relative_humidity_2m", "wind_speed_10m"} {
			hourly[name] = []any{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12}
		}
	}), Options{})
	assert.Equal(t, utc("2026-11-01T04:00:00Z"), f.Start)
	assert.Equal(t, utc("2026-11-01T16:00:00Z"), f.End())
}

func TestOffsetFromTheZoneAlone(t *testing.T) {
	f := parse(t, simple(func(top, _, _ object) {
		top["timezone"] = "America/New_York"
		delete(top, "utc_offset_seconds")
	}), Options{})
	assert.Equal(t, utc("2026-09-10T04:00:00Z"), f.Start)
}

// The service reads at whole UTC hours and labels them with the broken offset
// (ApiQueryParameter.getTimerange2 in its source rounds towards zero).
func TestBrokenOffsets(t *testing.T) {
	for _, c := range []struct {
		zone   string
		offset int
		start  string
	}{
		{"Asia/Kolkata", 19800, "2026-09-09T19:00:00Z"},         // +5:30, read as +5
		{"America/St_Johns", -9000, "2026-09-10T02:00:00Z"},     // −2:30, read as −2
		{"Asia/Kathmandu", 20700, "2026-09-09T19:00:00Z"},       // +5:45, read as +5
		{"Australia/Adelaide", 34200, "2026-09-09T15:00:00Z"},   // +9:30, read as +9
		{"Pacific/Marquesas", -34200, "2026-09-10T09:00:00Z"},   // −9:30, read as −9
		{"America/New_York", -14400, "2026-09-10T04:00:00Z"},    // whole
		{"Pacific/Kiritimati", 50400, "2026-09-09T10:00:00Z"},   // +14
		{"America/Los_Angeles", -25200, "2026-09-10T07:00:00Z"}, // −7
	} {
		local := simple(func(top, _, _ object) {
			top["timezone"], top["utc_offset_seconds"] = c.zone, c.offset
		})
		f := parse(t, local, Options{})
		assert.Equal(t, utc(c.start), f.Start, c.zone)
		assert.Equal(t, 3, f.N)
		near(t, []any{15., 14.5, 14.}, values(f, 0, forecast.AirTemperature))
		assert.Equal(t, c.offset%3600 != 0, len(f.Warnings) > 0, "%s: %q", c.zone, f.Warnings)

		epoch := int(utc("2026-09-10T00:00:00Z").Unix()) - c.offset
		f = parse(t, simple(func(top, units, hourly object) {
			top["timezone"], top["utc_offset_seconds"] = c.zone, c.offset
			hourly["time"], units["time"] = []any{epoch, epoch + 3600, epoch + 7200}, "unixtime"
		}), Options{})
		assert.Equal(t, utc(c.start), f.Start, "%s as seconds", c.zone)
	}
}

func TestQuarterHours(t *testing.T) {
	f := parse(t, file(t, "openmeteo_quarter_hours.json"), Options{})

	assert.Equal(t, utc("2026-09-10T14:00:00Z"), f.Start)
	near(t, []any{18., 18.4, 18.8}, values(f, 0, forecast.AirTemperature))
	near(t, []any{3., 3.4, 3.8}, values(f, 0, forecast.WindSpeed))
	// Stamps 14:15 to 15:00 end the four quarters of the first hour.
	near(t, []any{9., 5., nil}, values(f, 0, forecast.Gust))
	near(t, []any{0.4, nil, nil}, values(f, 0, forecast.Precipitation))
	near(t, []any{250., 130., nil}, values(f, 0, forecast.GlobalRadiation))
	near(t, []any{61., 95., nil}, values(f, 0, forecast.WeatherCode))
	assert.Nil(t, f.Members[0].Columns[forecast.PrecipitationSpan].Known)
}

func TestHourlyBeforeQuarterHours(t *testing.T) {
	f := parse(t, simple(func(top, _, _ object) {
		top["minutely_15"] = object{"time": []any{"2026-09-10T00:00"}, "temperature_2m": []any{99}}
	}), Options{})
	near(t, []any{15., 14.5, 14.}, values(f, 0, forecast.AirTemperature))
}

func TestThreeHourly(t *testing.T) {
	f := parse(t, simple(func(_, units, hourly object) {
		hourly["time"] = hoursFrom("2026-09-10T00:00", 3, 3*time.Hour)
		hourly["temperature_2m"] = []any{15, 12, nil}
		hourly["precipitation"], units["precipitation"] = []any{0, 1.5, 0}, "mm"
		hourly["shortwave_radiation"], units["shortwave_radiation"] = []any{0, 60, 300}, "W/m²"
		hourly["weather_code"], units["weather_code"] = []any{3, 61, 0}, "wmo code"
	}), Options{})

	require.Equal(t, 7, f.N)
	near(t, []any{15., 14., 13., 12., nil, nil, nil}, values(f, 0, forecast.AirTemperature))
	near(t, []any{0.5, 0.5, 0.5, 0., 0., 0., nil}, values(f, 0, forecast.Precipitation))
	near(t, []any{3., 3., 3., 3., 3., 3., nil}, values(f, 0, forecast.PrecipitationSpan))
	near(t, []any{60., 60., 60., 300., 300., 300., nil}, values(f, 0, forecast.GlobalRadiation))
	near(t, []any{3., 3., 3., 61., 61., 61., 0.}, values(f, 0, forecast.WeatherCode))
	assertOne(t, f.Warnings, "the reply has one value for 3 hours")
}

func TestOneHourOnly(t *testing.T) {
	f := parse(t, simple(func(_, _, hourly object) {
		hourly["time"] = []any{"2026-09-10T00:00"}
		for _, name := range []string{"temperature_2m", "relative_humidity_2m", "wind_speed_10m"} {
			hourly[name] = []any{10}
		}
	}), Options{})
	assert.Equal(t, 1, f.N)
}

// A reply in local time, the same in seconds, and the same in UTC are the same
// forecast.
func TestTimeFormatsAgree(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		n := rapid.IntRange(1, 60).Draw(r, "hours")
		offset := rapid.IntRange(-12, 14).Draw(r, "offset") * 3600
		start := utc("2026-01-01T00:00:00Z").Add(time.Duration(rapid.IntRange(0, 8000).Draw(r, "start")) * time.Hour)
		var local, seconds, gmt, temperature []any
		for i := range n {
			at := start.Add(time.Duration(i) * time.Hour)
			local = append(local, at.Add(time.Duration(offset)*time.Second).Format("2006-01-02T15:04"))
			gmt = append(gmt, at.Format("2006-01-02T15:04"))
			seconds = append(seconds, at.Unix())
			temperature = append(temperature, rapid.Float64Range(-20, 40).Draw(r, "temperature"))
		}
		read := func(stamps []any, offset int) *forecast.Forecast {
			f, err := Parse(simple(func(top, _, hourly object) {
				top["utc_offset_seconds"], top["timezone"] = offset, ""
				hourly["time"], hourly["temperature_2m"] = stamps, temperature
				delete(hourly, "relative_humidity_2m")
				delete(hourly, "wind_speed_10m")
			}), Options{})
			if err != nil {
				r.Fatal(err)
			}
			return f
		}
		a, b, c := read(local, offset), read(seconds, offset), read(gmt, 0)
		if !a.Start.Equal(start) || a.N != n {
			r.Fatalf("%v, %d hours", a.Start, a.N)
		}
		if fmt.Sprint(a.Start, a.Members) != fmt.Sprint(b.Start, b.Members) ||
			fmt.Sprint(a.Start, a.Members) != fmt.Sprint(c.Start, c.Members) {
			r.Fatal("they differ")
		}
	})
}
