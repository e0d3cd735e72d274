package job

import (
	"testing"
	"time"

	"dewgap/window/boat"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The example of the design, every value of it.
func TestParse_Example(t *testing.T) {
	j, err := Parse("kittiwake.yaml", fixture(t, "kittiwake.yaml"), catalogue(t), Options{})
	require.NoError(t, err)

	assert.Equal(t, "Late-summer clean and seal", j.Name)
	assert.Equal(t, "Otter Quay", j.Place.Name)
	assert.Equal(t, 43.07, j.Place.Latitude)
	assert.Equal(t, -70.74, j.Place.Longitude)
	assert.Equal(t, "America/New_York", j.Place.Timezone)
	assert.Equal(t, "America/New_York", j.Location().String())
	assert.Equal(t, Schedule{Set: true, Default: []ClockSpan{{8 * 60, 17 * 60}}}, j.Place.Machines)
	assert.Equal(t, "Kittiwake", j.Boat)
	assert.Equal(t, "flybridge-cruiser", j.Kind)
	assert.Equal(t, 13.0, j.LengthM)
	assert.True(t, j.HasBow)
	assert.Equal(t, []Berth{{Bow: 200}}, j.Berths)
	assert.True(t, j.Afloat)
	assert.Equal(t, 2, j.People)
	assert.Equal(t, []ClockSpan{{7 * 60, 18 * 60}}, j.Hours.Default)
	assert.Equal(t, Date{2026, time.September, 7}, j.From)
	assert.Equal(t, Date{2026, time.September, 14}, j.By)
	assert.Empty(t, j.Warnings)
	assert.False(t, j.NeedsTimezone)
}

func TestParse_ExampleZonesAndSteps(t *testing.T) {
	j, err := Parse("kittiwake.yaml", fixture(t, "kittiwake.yaml"), catalogue(t), Options{})
	require.NoError(t, err)

	preset, err := boat.Preset("flybridge-cruiser", 13)
	require.NoError(t, err)
	ashore := 0
	for _, z := range preset {
		if z.Access == boat.Ashore {
			ashore++
		}
	}
	assert.Len(t, j.Zones, len(preset)-ashore, "afloat, what is under water is left out")

	port := zone(t, j, "port side")
	assert.Equal(t, 18.0, port.AreaM2, "the file overrides the preset")
	assert.Equal(t, boat.Solid, port.Skin, "and leaves what it does not mention")
	assert.Equal(t, []string{"wash", "correct", "strip wash", "seal"}, stepNames(j))
	assert.Equal(t, []string{"soap-wash", "compound-dual-action", "soap-wash", "polymer-sealant"},
		[]string{j.Steps[0].With, j.Steps[1].With, j.Steps[2].With, j.Steps[3].With})
	assert.Len(t, j.Steps[0].On, len(j.Zones), "soap suits every finish")
	assert.Equal(t, []string{"port side", "starboard side"}, zoneNames(j, j.Steps[1].On))
	sealed := zoneNames(j, j.Steps[3].On)
	assert.Contains(t, sealed, "foredeck")
	assert.NotContains(t, sealed, "rails")
	assert.NotContains(t, sealed, "port side deck")
}

func zone(t require.TestingT, j *Job, name string) boat.Zone {
	i, ok := j.Zone(name)
	require.True(t, ok, "zone %s", name)
	return j.Zones[i]
}

func stepNames(j *Job) []string {
	var names []string
	for _, s := range j.Steps {
		names = append(names, s.Name)
	}
	return names
}

func zoneNames(j *Job, on []int) []string {
	var names []string
	for _, i := range on {
		names = append(names, j.Zones[i].Name)
	}
	return names
}

func everyKey(t *testing.T) *Job {
	j, err := Parse("every-key.yaml", fixture(t, "every-key.yaml"), catalogue(t), Options{})
	require.NoError(t, err)
	return j
}

func TestParse_EveryKey_Place(t *testing.T) {
	p := everyKey(t).Place
	assert.InDelta(t, 3.048, p.ElevationM, 1e-9)
	assert.True(t, p.HasElevation)
	assert.Equal(t, []ClockSpan{{480, 720}, {780, 1020}}, p.Machines.Default)
	assert.Equal(t, []ClockSpan{{540, 720}}, p.Machines.Weekday[time.Saturday])
	assert.Contains(t, p.Machines.Weekday, time.Sunday)
	assert.Empty(t, p.Machines.Weekday[time.Sunday])
	assert.Contains(t, p.Machines.Dates, Date{2026, 9, 8})
	assert.Equal(t, []ClockSpan{{480, 1200}}, p.Washing.Default)
	assert.Equal(t, []ClockSpan{{270, 300}}, p.Sprinklers.Default)
	assert.Equal(t, "soap", p.Water)
	assert.Equal(t, "salt", p.WaterKind)
	assert.Equal(t, WindLee, p.Wind)
	assert.InDelta(t, 18, p.WaterC, 1e-9)
	assert.True(t, p.HasWaterC && p.HasOnshore && p.HasExposed && p.HasDust)
	assert.Equal(t, []float64{60, 150, 315, 30, 270, 315},
		[]float64{p.OnshoreFrom, p.OnshoreTo, p.ExposedFrom, p.ExposedTo, p.DustFrom, p.DustTo})
}

func TestParse_EveryKey_Boat(t *testing.T) {
	j := everyKey(t)
	assert.InDelta(t, 36*0.3048, j.LengthM, 1e-9)
	assert.Equal(t, "cooled", j.Inside)
	assert.Equal(t, []Berth{
		{Bow: 200}, // 214 magnetic, 14 west
		{From: utc(2026, 9, 9, 16, 0), Bow: 20},
		{From: utc(2026, 9, 11, 4, 0), Bow: 90}, // a day begins at midnight, four hours behind
	}, j.Berths)
	assert.Equal(t, []Cover{
		{Zones: []string{"foredeck", "port side"}, Kind: boat.Canvas, From: utc(2026, 9, 8, 13, 0), To: utc(2026, 9, 8, 21, 0)},
		{Zones: []string{"transom"}, Kind: boat.Canvas, From: utc(2026, 9, 10, 4, 0), Tent: true},
	}, j.Covers)
}

func TestParse_EveryKey_PortSide(t *testing.T) {
	j := everyKey(t)
	z := zone(t, j, "port side")
	assert.Equal(t, "navy-gelcoat", z.Finish.Name)
	assert.Equal(t, 0.9, z.Finish.Absorptance)
	assert.Equal(t, "your job file", z.Finish.Source)
	assert.Equal(t, boat.Solid, z.Skin, "another colour leaves the build alone")
	assert.InDelta(t, 9.290304, z.AreaM2, 1e-9)
	assert.Equal(t, boat.Float, z.Access)
	assert.Equal(t, boat.Tank, z.Behind)
	assert.Equal(t, []boat.Sector{
		{From: 300, To: 40, UpTo: 25, Until: utc(2026, 9, 10, 4, 0), HasUntil: true}, // the day is included
		{From: 170, To: 190, UpTo: 40, Relative: true},
	}, z.Shade)
	assert.Equal(t, []boat.Span{
		{From: utc(2026, 9, 7, 12, 0), To: utc(2026, 9, 7, 20, 0)}, {From: utc(2026, 9, 9, 12, 0)},
	}, z.Reach)
	assert.True(t, z.Salt && z.NearWater)
	assert.Equal(t, "yes", z.Buffable)
	assert.Equal(t, map[string]boat.Done{
		"wash":    {At: utc(2026, 9, 6, 14, 30), Share: 1},
		"correct": {At: utc(2026, 9, 6, 20, 0), Share: 0.5},
	}, z.Done)
	require.Len(t, z.Parts, 1)
	assert.Equal(t, "boot-top", z.Parts[0].Name)
	assert.Equal(t, "navy-paint", z.Parts[0].Finish.Name)
	assert.Equal(t, 1.5, z.Parts[0].AreaM2)
}

// What is told as over is noted in the order of the file, each with its place, so that
// whoever knows now can say which line dates it too late.
func TestParse_PastMomentsHaveTheirPlace(t *testing.T) {
	j := everyKey(t)
	assert.Equal(t, []Past{
		{What: "`wash` under `done` of port side", At: utc(2026, 9, 6, 14, 30), Line: 45, Column: 18},
		{What: "`correct` under `done` of port side", At: utc(2026, 9, 6, 20, 0), Line: 45, Column: 50},
		{What: "`rain` under `since`", At: utc(2026, 9, 5, 20, 0), Line: 79, Column: 15},
		{What: "`wash` under `since`", At: utc(2026, 9, 4, 14, 0), Line: 79, Column: 45},
	}, j.Past)
}

func TestParse_EveryKey_OtherZones(t *testing.T) {
	j := everyKey(t)
	deck := zone(t, j, "shelter deck")
	assert.Equal(t, boat.Shed, deck.Shelter)
	assert.Equal(t, []float64{135, 180}, deck.OpenSide)
	assert.Equal(t, 0.8, deck.RoofView)
	assert.Equal(t, []string{"port side"}, deck.DrainsTo)
	assert.Equal(t, boat.Solid, deck.Skin)
	assert.Equal(t, 0.93, deck.Finish.Emissivity)
	assert.Equal(t, "unknown", deck.Buffable)
	rail := zone(t, j, "grab rail")
	assert.InDelta(t, 6.096, rail.LengthM, 1e-9)
	assert.Equal(t, boat.Plate, rail.Skin)
	dings := zone(t, j, "dings")
	assert.Equal(t, 4, dings.Count)
	assert.Equal(t, 115.0, dings.Faces, "NW is 315 true, 115 from a bow at 200")
	assert.False(t, dings.FacesTrue)
}

func TestParse_EveryKey_Steps(t *testing.T) {
	j := everyKey(t)
	assert.Equal(t, []string{"wash", "cutting", "finishing", "strip wash", "inspect", "seal"}, stepNames(j))
	assert.Equal(t, "correct", j.Steps[1].Do)
	assert.Equal(t, "correct", j.Steps[2].Do)
	assert.Equal(t, 3.5, j.Steps[1].Hours)
	assert.Empty(t, j.Steps[4].With)
	seal := j.Steps[5]
	assert.Equal(t, []string{"port side", "transom"}, zoneNames(j, seal.On))
	assert.Equal(t, Step{Name: "seal", Do: "seal", With: "polymer-sealant", On: seal.On, Coats: 2, PerDay: 1, Sand: true, Tape: true,
		HazeMin: 42}, seal)
}

func TestParse_EveryKey_Crew(t *testing.T) {
	j := everyKey(t)
	assert.Equal(t, 2, j.People)
	assert.Equal(t, map[time.Weekday]int{time.Saturday: 1}, j.PeopleWeekday)
	assert.Equal(t, 1, j.Polishers)
	assert.Equal(t, map[Date]int{{2026, 9, 9}: 3}, j.PeopleDates)
	assert.Len(t, j.Days, 6)
	assert.True(t, j.Days[time.Tuesday])
	assert.False(t, j.Days[time.Sunday])
	assert.Equal(t, map[Date]bool{{2026, 9, 10}: true}, j.Away)
	assert.True(t, j.Lamps)
	assert.False(t, j.Towel)
	assert.Equal(t, "deionised", j.Rinse)
	assert.Equal(t, 0.9, j.Sure)
	assert.Equal(t, 1.5, j.ShortestH)
	assert.True(t, j.AcceptMargin)
	assert.Equal(t, map[string]time.Time{"launch": utc(2026, 9, 14, 12, 0)}, j.Must)
	assert.Equal(t, Since{Rain: utc(2026, 9, 5, 20, 0), Wash: utc(2026, 9, 4, 14, 0), HasRain: true, HasWash: true, Spray: "no"}, j.Since)
}

func TestParse_Defaults(t *testing.T) {
	j := parse(t, jobWith())
	assert.Equal(t, 1, j.People)
	assert.Zero(t, j.Polishers, "one for each person")
	assert.Equal(t, 0.8, j.Sure)
	assert.Equal(t, 2.0, j.ShortestH)
	assert.Equal(t, "tap", j.Rinse)
	assert.Equal(t, "ambient", j.Inside)
	assert.Equal(t, "all", j.Place.Water)
	assert.Equal(t, WindOpen, j.Place.Wind)
	assert.True(t, j.Towel && j.Afloat)
	assert.False(t, j.Lamps || j.AcceptMargin || j.Hours.Set || j.Place.Machines.Set || j.Place.HasWaterC)
	assert.Empty(t, j.Since.Spray)
	assert.Nil(t, j.Days)
	assert.True(t, j.From.IsZero() && j.By.IsZero())
	assert.Equal(t, 1, j.Steps[0].Coats)
}

// Shares of the 10 m wind that blows at 3 m: open 0.89, lee 0.7, basin 0.5, at
// the work itself 1.
func TestParse_Wind(t *testing.T) {
	for word, share := range map[string]float64{"open": 0.89, "lee": 0.7, "basin": 0.5, "at-work": 1} {
		j := parse(t, jobWith("place: {latitude: 43.07, longitude: -70.74, timezone: America/New_York, wind: "+word+"}"))
		assert.Equal(t, share, j.Place.Wind.Share(), word)
	}
}

func TestParse_RinseUnderPlace(t *testing.T) {
	j := parse(t, jobWith("place: {latitude: 43.07, longitude: -70.74, timezone: America/New_York, rinse: softened}"))
	assert.Equal(t, "softened", j.Rinse)
}

func TestParse_WithoutCatalogue(t *testing.T) {
	j, err := Parse("job.yaml", []byte(jobWith("steps:\n  - {do: seal, with: whatever, on: port side}")), nil, Options{})
	require.NoError(t, err)
	assert.Equal(t, "whatever", j.Steps[0].With)
}

const zoneless = "place: {latitude: 43.07, longitude: -70.74}"

func TestParse_TimezoneOfTheOptions(t *testing.T) {
	text := []byte(jobWith(zoneless, "since: {rain: 2026-09-05T16:00}"))
	j, err := Parse("job.yaml", text, catalogue(t), Options{Timezone: "Europe/London"})
	require.NoError(t, err)
	assert.Equal(t, "Europe/London", j.Place.Timezone)
	assert.Equal(t, utc(2026, 9, 5, 15, 0), j.Since.Rain)
	assert.NoError(t, j.CheckTimezone())

	j = parse(t, jobWith("since: {rain: 2026-09-05T16:00}"))
	assert.Equal(t, utc(2026, 9, 5, 20, 0), j.Since.Rain)
	j, err = Parse("job.yaml", []byte(jobWith()), catalogue(t), Options{Timezone: "Europe/London"})
	require.NoError(t, err)
	assert.Equal(t, "America/New_York", j.Place.Timezone, "the job outranks the flag")
}

func TestParse_TimezoneUnknown(t *testing.T) {
	j := parse(t, jobWith(zoneless, "since: {rain: 2026-09-05T16:00}"))
	assert.True(t, j.NeedsTimezone)
	assert.Nil(t, j.Place.Location)
	assert.Equal(t, time.UTC, j.Location())
	require.Error(t, j.CheckTimezone())
	assert.Contains(t, j.CheckTimezone().Error(), "--timezone")

	j = parse(t, jobWith(zoneless, "since: {rain: 2026-09-05T16:00-04:00}"))
	assert.False(t, j.NeedsTimezone, "an offset says it all")
}

func TestParse_TimezoneOfTheFlagWrong(t *testing.T) {
	for _, name := range []string{"Mars/Olympus", "Local", "../etc/passwd"} {
		_, err := Parse("job.yaml", []byte(jobWith(zoneless)), catalogue(t), Options{Timezone: name})
		require.Error(t, err, name)
		assert.Contains(t, err.Error(), "--timezone")
	}
}

func TestErrors_AllAtOnceInOrder(t *testing.T) {
	errs := mistakes(t, jobWith("sure: 2", "boat: {bow: 400}", "people: none"))
	require.Len(t, errs, 3)
	assert.Equal(t, []int{2, 7, 8}, []int{errs[0].Line, errs[1].Line, errs[2].Line})
	assert.Equal(t, "job.yaml:2:13", errs[0].Where())
	assert.Equal(t, "job.yaml:2:13: `bow` 400 is out of range: give degrees from 0 to 360", errs[0].Error())
	var one Error
	require.ErrorAs(t, errs, &one)
	assert.Equal(t, errs[0], one)
	assert.Contains(t, errs.Error(), errs[2].Error())
}

func TestError_WithoutAPlace(t *testing.T) {
	assert.Equal(t, "job.yaml: broken", Error{File: "job.yaml", Message: "broken"}.Error())
	assert.Equal(t, "broken: mend it", Error{Message: "broken", Fix: "mend it"}.Error())
}
