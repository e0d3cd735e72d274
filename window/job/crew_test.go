package job

import (
	"testing"
	"time"

	"dewgap/window/boat"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestPeople_Forms(t *testing.T) {
	monday, saturday, sunday := utc(2026, 9, 7, 16, 0), utc(2026, 9, 12, 16, 0), utc(2026, 9, 13, 16, 0)
	for _, c := range []struct {
		text                     string
		monday, saturday, sunday int
	}{
		{"people: 3", 3, 3, 3},
		{"people: {default: 2}", 2, 2, 2},
		{"people: {sat: 4}", 1, 4, 1},
		{"people: {default: 2, sat: 1, sun: 0}", 2, 1, 0},
		{"people: {default: 2, saturday: 1, 2026-09-12: 5}", 2, 5, 2},
		{"sure: 0.8", 1, 1, 1},
	} {
		j := parse(t, jobWith(c.text))
		got := []int{j.PeopleOn(monday), j.PeopleOn(saturday), j.PeopleOn(sunday)}
		assert.Equal(t, []int{c.monday, c.saturday, c.sunday}, got, c.text)
		assert.Equal(t, c.sunday > 0, j.WorksOn(sunday), c.text)
	}
}

// A crew is a name in one line of text; a bare number or word of YAML is a slip.
func TestCrew_Forms(t *testing.T) {
	for text, want := range map[string]string{
		"crew: Ada and Ben": "Ada and Ben", `crew: "2"`: "2", "crew:   the   first ": "the first", "people: 2": "",
	} {
		assert.Equal(t, want, parse(t, jobWith(text)).Crew, text)
	}
	for text, want := range map[string]string{
		"crew: 2":            "`crew` is no name: 2",
		"crew: true":         "`crew` is no name: true",
		"crew: [Ada, Ben]":   "`crew` cannot be a list",
		"crew: {first: Ada}": "`crew` cannot have keys of its own",
		"crew:":              "`crew` has no value",
		`crew: "  "`:         "`crew` is empty",
	} {
		_, err := Parse("job.yaml", []byte(jobWith(text)), nil, Options{})
		var all Errors
		require.ErrorAs(t, err, &all, text)
		require.Len(t, all, 1, text)
		assert.Equal(t, want, all[0].Message, text)
		assert.NotEmpty(t, all[0].Fix, text)
		assert.Positive(t, all[0].Line, text)
		assert.Positive(t, all[0].Column, text)
	}
}

func TestDays_Forms(t *testing.T) {
	for text, want := range map[string]map[time.Weekday]bool{
		"days: mon":                 {time.Monday: true},
		"days: [mon, tue]":          {time.Monday: true, time.Tuesday: true},
		"days: [Monday, MON]":       {time.Monday: true},
		"days: [sun, saturday]":     {time.Sunday: true, time.Saturday: true},
		"shortest_block_h: 1":       nil,
		"days:\n  - wed\n  - thu\n": {time.Wednesday: true, time.Thursday: true},
	} {
		assert.Equal(t, want, parse(t, jobWith(text)).Days, text)
	}
}

func TestAway_Forms(t *testing.T) {
	one := parse(t, jobWith("away: 2026-09-10"))
	assert.Equal(t, map[Date]bool{{2026, 9, 10}: true}, one.Away)
	assert.False(t, one.WorksOn(utc(2026, 9, 10, 16, 0)))
	assert.True(t, one.WorksOn(utc(2026, 9, 10, 3, 0)), "still the ninth, there")
	assert.False(t, one.WorksOn(utc(2026, 9, 11, 3, 0)), "still the tenth, there")
	two := parse(t, jobWith("away: [2026-09-10, 2026-09-12]"))
	assert.Len(t, two.Away, 2)
}

func TestMust_Forms(t *testing.T) {
	j := parse(t, jobWith("must:\n  launch: 2026-09-14T08:00\n  owner comes: 2026-09-12T18:00+02:00"))
	assert.Equal(t, map[string]time.Time{"launch": utc(2026, 9, 14, 12, 0), "owner comes": utc(2026, 9, 12, 16, 0)}, j.Must)
	assert.Nil(t, parse(t, jobWith()).Must)
}

func TestSince_Forms(t *testing.T) {
	s := parse(t, jobWith("since: {rain: 2026-09-05T16:00}")).Since
	assert.True(t, s.HasRain)
	assert.False(t, s.HasWash)
	assert.Empty(t, s.Spray)
	for word, want := range map[string]string{"yes": "yes", "no": "no", "true": "yes", "false": "no", "unknown": ""} {
		assert.Equal(t, want, parse(t, jobWith("since: {spray: "+word+"}")).Since.Spray, word)
	}
	_, err := Parse("job.yaml", []byte(jobWith("since: {}")), catalogue(t), Options{})
	assert.NoError(t, err, "nothing said is nothing wrong")
}

func TestAccept_OnlyMarginal(t *testing.T) {
	assert.True(t, parse(t, jobWith("accept: marginal")).AcceptMargin)
	assert.False(t, parse(t, jobWith()).AcceptMargin, "consent is never taken for granted")
}

func TestDates_OneAlone(t *testing.T) {
	j := parse(t, jobWith("from: 2026-09-07"))
	_, ok := j.Opens()
	assert.True(t, ok)
	_, ok = j.Closes()
	assert.False(t, ok)
	j = parse(t, jobWith("from: 2026-09-07\nby: 2026-09-07"))
	from, _ := j.Opens()
	to, _ := j.Closes()
	assert.Equal(t, 24*time.Hour, to.Sub(from), "one whole day")
}

func TestShortest_Zero(t *testing.T) {
	assert.Zero(t, parse(t, jobWith("shortest_block_h: 0")).ShortestH)
}

func TestVessel_Defaults(t *testing.T) {
	j := parse(t, jobWith("boat:!"))
	assert.True(t, j.Afloat)
	assert.Equal(t, "ambient", j.Inside)
	assert.False(t, j.HasBow || j.Swinging)
	assert.Zero(t, j.LengthM)
	assert.Len(t, j.Zones, 4, "the one side, by the compass")
	require.Len(t, j.Warnings, 1)
	assert.Contains(t, j.Warnings[0], "job.yaml:1:1: the bow is not given")
}

func TestVessel_KindWithOwnZones(t *testing.T) {
	j := parse(t, jobWith("boat: {kind: centre-console, length: 27ft, bow: 0}", "zones:\n  - {name: outboard cowl, tilt: 0, finish: black-paint}"))
	last := j.Zones[len(j.Zones)-1]
	assert.Equal(t, "outboard cowl", last.Name, "own zones come after those of the preset")
	assert.Equal(t, "port side", j.Zones[0].Name)
	assert.Equal(t, "centre-console", j.Kind)
}

func TestBerths_NeedNoOrderOfZones(t *testing.T) {
	j := parse(t, jobWith("berths:\n  - {from: 2026-09-08T06:00, bow: {magnetic: 34, variation: -14}}\n  - {from: 2026-09-09T06:00, bow: 0}"))
	require.Len(t, j.Berths, 3)
	assert.Equal(t, []float64{200, 20, 0}, []float64{j.Berths[0].Bow, j.Berths[1].Bow, j.Berths[2].Bow})
	assert.True(t, j.Berths[0].From.IsZero())
}

func TestCovers_Kinds(t *testing.T) {
	for word, want := range map[string]string{"canvas": "canvas", "sheet": "canvas", "tent": "canvas", "shed": "shed", "hardtop": "hardtop"} {
		c := parse(t, jobWith("covers: [{zones: [port side], kind: "+word+", from: 2026-09-08}]")).Covers[0]
		assert.Equal(t, want, c.Kind.String(), word)
		assert.Equal(t, word == "tent", c.Tent, word)
		assert.False(t, c.UpAt(utc(2026, 9, 7, 12, 0)), word)
		assert.True(t, c.UpAt(utc(2099, 1, 1, 0, 0)), "without an end it stays up")
	}
}

// What stands over a zone at all times is its own shelter, for whatever looks at roofs; a
// tent stays what somebody has put up. Without zones it is all of her.
func TestCovers_ForGood(t *testing.T) {
	cruiser := "boat: {kind: flybridge-cruiser, length_m: 13, bow: 0, afloat: false}"
	j := parse(t, jobWith(cruiser, "zones:!", "covers: [{kind: shed}]", "steps:\n  - {do: wash, with: soap-wash}"))
	assert.Empty(t, j.Covers)
	for _, z := range j.Zones {
		assert.Equal(t, boat.Shed, z.Shelter, z.Name)
		assert.Equal(t, 1.0, z.RoofView, z.Name)
	}
	j = parse(t, jobWith(cruiser, "zones:!", "covers: [{kind: hardtop, zones: [foredeck, helm]}, {kind: tent}, {kind: sheet, to: 2026-09-08}]",
		"steps:\n  - {do: wash, with: soap-wash}"))
	require.Len(t, j.Covers, 2)
	for _, c := range j.Covers {
		assert.Len(t, c.Zones, len(j.Zones))
	}
	for _, z := range j.Zones {
		switch z.Name {
		case "foredeck", "helm", "helm seats", "cockpit sole", "cockpit seats":
			assert.Equal(t, boat.Hardtop, z.Shelter, z.Name)
		default:
			assert.Equal(t, boat.Open, z.Shelter, z.Name)
		}
	}
}

// A roof for good over a zone that says less itself is told: else whoever writes shelter: open
// wonders why nothing changes. A zone that is as well sheltered, and one of the kind's, is not.
func TestCovers_ForGoodOverTheZonesOwnWord(t *testing.T) {
	j := parse(t, jobWith("boat: {kind: flybridge-cruiser, length_m: 13, bow: 0, afloat: false}",
		"zones:\n  - {name: foredeck, shelter: open}\n  - {name: transom, shelter: shed}\n  - {name: port side, salt: true}",
		"covers: [{kind: shed}]", "steps:\n  - {do: wash, with: soap-wash}"))
	require.Len(t, j.Warnings, 1, "%v", j.Warnings)
	assert.Contains(t, j.Warnings[0], "zone `foredeck` says shelter: open, but `covers` has a shed over it always, which counts: ")
	j = parse(t, jobWith("boat: {kind: flybridge-cruiser, length_m: 13, bow: 0, afloat: false}",
		"zones:\n  - {name: foredeck, shelter: open}", "covers: [{kind: shed, to: 2026-09-08}]", "steps:\n  - {do: wash, with: soap-wash}"))
	assert.Empty(t, j.Warnings)
}

func TestCovers_TheMostShelterHolds(t *testing.T) {
	j := parse(t, jobWith("covers:\n  - {zones: [port side], kind: hardtop}\n  - {zones: [port side], kind: canvas, to: 2026-09-08}\n"+
		"  - {zones: [port side], kind: hardtop, from: 2026-09-07}"))
	assert.Equal(t, "canvas", j.ZoneAt(0, utc(2026, 9, 7, 16, 0)).Shelter.String())
	assert.Equal(t, "hardtop", j.ZoneAt(0, utc(2026, 9, 9, 16, 0)).Shelter.String())
}
