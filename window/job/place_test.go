package job

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
)

// atPlace is the place with some more keys.
func atPlace(keys string) string { return fmt.Sprintf(inPlace, keys) }

func TestPlace_Water(t *testing.T) {
	for text, want := range map[string][2]string{
		"water: none":            {"none", ""},
		"water: rinse":           {"rinse", ""},
		"water: [soap]":          {"soap", ""},
		"water: fresh":           {"all", "fresh"},
		"water: [brackish, all]": {"all", "brackish"},
		"water: [soap, salt]":    {"soap", "salt"},
		"name: Teal Pool":        {"all", ""},
	} {
		p := parse(t, jobWith(atPlace(text))).Place
		assert.Equal(t, want, [2]string{p.Water, p.WaterKind}, text)
	}
}

// Zero is a temperature and a height like any other, and not the same as not
// said.
func TestPlace_ZeroIsSaid(t *testing.T) {
	p := parse(t, jobWith(atPlace("water_c: 0, elevation_m: 0"))).Place
	assert.True(t, p.HasWaterC && p.HasElevation)
	assert.Zero(t, p.WaterC)
	assert.Zero(t, p.ElevationM)
	p = parse(t, jobWith(atPlace("water_f: 32, elevation_ft: 0"))).Place
	assert.True(t, p.HasWaterC && p.HasElevation)
	assert.InDelta(t, 0, p.WaterC, 1e-9)
	p = parse(t, jobWith()).Place
	assert.False(t, p.HasWaterC || p.HasElevation || p.HasOnshore || p.HasExposed || p.HasDust)
	p = parse(t, jobWith("place: {latitude: 0, longitude: 0, timezone: UTC}")).Place
	assert.Zero(t, p.Latitude, "the Gulf of Guinea is a place")
}

func TestPlace_Edges(t *testing.T) {
	for _, text := range []string{
		"place: {latitude: 90, longitude: 180, timezone: UTC}",
		"place: {latitude: -90, longitude: -180, timezone: UTC}",
		"place: {latitude: -36.85, longitude: 174.76, timezone: Pacific/Auckland}",
	} {
		assert.NotNil(t, parse(t, jobWith(text)), text)
	}
}

func TestPlace_Sectors(t *testing.T) {
	p := parse(t, jobWith(atPlace("onshore: {from: NW, to: NE}, exposed: {from: 0, to: 360}"))).Place
	assert.Equal(t, [2]float64{315, 45}, [2]float64{p.OnshoreFrom, p.OnshoreTo}, "may wrap north")
	assert.Equal(t, [2]float64{0, 360}, [2]float64{p.ExposedFrom, p.ExposedTo}, "the whole horizon")
}

func TestPlace_QuietWithMachinesByDay(t *testing.T) {
	j := parse(t, jobWith(atPlace(`quiet: [sat, 2026-09-09], machines: {default: "08:00-17:00", sat: "10:00-12:00", fri: none}`)))
	noon := func(day int) bool { return j.MachineHours(utc(2026, 9, day, 15, 0)) }
	assert.True(t, noon(8))
	assert.False(t, noon(9), "a quiet date")
	assert.False(t, noon(11), "Friday has none")
	assert.False(t, noon(12), "a quiet Saturday outranks its hours")
	assert.True(t, noon(14))
}

func TestPlace_Timezones(t *testing.T) {
	for _, name := range zones {
		j := parse(t, jobWith("place: {latitude: 1, longitude: 1, timezone: "+name+"}"))
		assert.Equal(t, name, j.Place.Timezone)
		assert.Equal(t, name, j.Location().String())
		assert.NoError(t, j.CheckTimezone())
	}
}

// Rinse may stand under the place or with the job, whichever a person thinks
// of first.
func TestPlace_RinseEitherWay(t *testing.T) {
	for _, word := range []string{"tap", "softened", "deionised"} {
		assert.Equal(t, word, parse(t, jobWith(atPlace("rinse: "+word))).Rinse)
		assert.Equal(t, word, parse(t, jobWith("rinse: "+word)).Rinse)
	}
}

func BenchmarkParse(b *testing.B) {
	set := catalogue(b)
	data := []byte(jobWith("boat: {kind: flybridge-cruiser, length_m: 13, bow: 200}"))
	for b.Loop() {
		if _, err := Parse("job.yaml", data, set, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
