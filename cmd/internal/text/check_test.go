package text

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/window/boat"
	"dewgap/window/job"
)

// checkOf parses a job and gives its check in one line.
func checkOf(t *testing.T, o Options, file string) string {
	t.Helper()
	j, err := job.Parse("job.yaml", []byte(file), nil, job.Options{})
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, Check(&b, j, o))
	keepsTheRules(t, b.String(), o)
	return strings.Join(strings.Fields(b.String()), " ")
}

const plainJob = `job: Clean
place: {name: Otter Quay, latitude: 43.07, longitude: -70.74, timezone: UTC}
boat: {name: Kittiwake}
zones:
  - {name: foredeck, tilt: 0, finish: white-gelcoat}
steps:
  - {do: wash, with: soap-wash, on: [foredeck]}
`

func TestCheckOfLittle(t *testing.T) {
	got := checkOf(t, metric, plainJob)
	for _, s := range []string{
		"boat Kittiwake, bow not said,", "place Otter Quay, 43.07, -70.74, UTC,", "days as far as the forecast goes",
		"hours at any time, in daylight", "marginal waits for your yes", "foredeck level, white-gelcoat", "1 wash with soap-wash: foredeck",
	} {
		assert.Contains(t, got, s)
	}
	for _, s := range []string{"machines", "washing", "launch", "PLEASE NOTE"} {
		assert.NotContains(t, got, s, "not said, not shown")
	}
}

// What work on a zone is reckoned by is shown with it: an area, a length, or how many.
func TestCheckTellsEverySize(t *testing.T) {
	j := &job.Job{Zones: []boat.Zone{{Name: "hull", AreaM2: 12}, {Name: "rail", LengthM: 22}, {Name: "dings", Count: 3}, {Name: "ding", Count: 1}}}
	for o, want := range map[string][]string{
		"metric": {", 12 m²", ", 22 m", ", 3 repairs", ", 1 repair"},
		"us":     {", 129 sq ft", ", 72 ft", ", 3 repairs", ", 1 repair"},
	} {
		var b bytes.Buffer
		require.NoError(t, Check(&b, j, Options{Units: o}))
		for _, w := range want {
			assert.Contains(t, untie(b.String()), w+"\n")
		}
	}
}

// What is put up, what is another finish and what is done already is told too: each of them
// changes answers, and a slip in it would be seen nowhere else.
func TestCheckOfWhatIsSaidOfZones(t *testing.T) {
	got := checkOf(t, metric, `job: Clean
place: {name: Otter Quay, latitude: 43.07, longitude: -70.74, timezone: America/New_York}
boat: {name: Kittiwake}
zones:
  - {name: foredeck, tilt: 0, finish: white-gelcoat, done: {wash: 2026-09-06T10:30, seal: {at: 2026-09-06T14:00, share: 0.5}}}
  - {name: mask, tilt: 0, finish: black-paint, buffable: yes, parts: [{name: lip, finish: stainless}]}
covers:
  - {kind: tent, from: 2026-09-08T09:00}
  - {zones: [foredeck], kind: sheet, to: 2026-09-08T17:00}
  - {zones: [mask], kind: shed}
steps:
  - {do: coat, with: varnish, on: [foredeck], coats: 3, per_day: 1, sand_between: true}
`)
	for _, s := range []string{
		"cover a tent over foredeck, mask, from Tue 8 Sep 09:00", "cover canvas over foredeck, until Tue 8 Sep 17:00",
		"foredeck level, white-gelcoat, seal done Sun 6 Sep 14:00, 50 % of it, wash done Sun 6 Sep 10:30",
		"mask level, black-paint, in a shed, stands buffing, lip of stainless", "3 coats, at most 1 a day, sanded between: foredeck",
	} {
		assert.Contains(t, got, s)
	}
}

func TestCheckOfSchedules(t *testing.T) {
	got := checkOf(t, metric, strings.Replace(plainJob, "steps:", `hours: {default: "07:00-12:00", sat: "08:00-12:00", sun: none, 2026-09-10: "09:00-10:00"}
away: [2026-09-11, 2026-09-09]
days: [sat, mon]
lamps: true
accept: marginal
people: {default: 2, sat: 1}
from: 2026-09-07
steps:`, 1))
	for _, s := range []string{
		"hours 07:00-12:00, Sat 08:00-12:00, Sun none, Thu 10 Sep 09:00-10:00, with lamps",
		"days from Mon 7 Sep on, on Mon Sat, not on Wed 9 Sep, Fri 11 Sep",
		"marginal is accepted",
		"people 2, Sat 1",
	} {
		assert.Contains(t, got, s)
	}
}

// Polishers are told with what they are too few for, on the day with most people.
func TestCheckOfPolishers(t *testing.T) {
	with := func(keys string) string {
		return checkOf(t, metric, strings.Replace(plainJob, "steps:", keys+"\nsteps:", 1))
	}
	assert.NotContains(t, with("people: 3"), "polishers")
	assert.Contains(t, with("people: 3\npolishers: 1"), "polishers 1: no more than one person at a time works a machine asks")
	assert.Contains(t, with("people: 3\npolishers: 2"), "polishers 2: no more than 2 people at a time work a machine asks")
	assert.Contains(t, with("people: 3\npolishers: 3"), "polishers 3, enough for all people asks")
	assert.Contains(t, with("people: {default: 1, sat: 2}\npolishers: 1"), "polishers 1: no more than one person")
	assert.Contains(t, with("people: {default: 1, 2026-09-10: 3}\npolishers: 2"), "polishers 2: no more than 2 people")
	assert.Contains(t, with("people: {default: 1, sat: 2}\npolishers: 2"), "polishers 2, enough for all people")
}

// Winds that bring salt or dust, and what is known of spray, are told with what they
// do, so that nobody thinks a key idle.
func TestCheckOfSaltAndDust(t *testing.T) {
	with := func(place, since string) string {
		job := strings.Replace(plainJob, "timezone: UTC", "timezone: UTC, "+place, 1)
		return strings.Replace(job, "steps:", since+"\nsteps:", 1)
	}
	got := checkOf(t, metric, with("onshore: {from: 60, to: 150}, exposed: {from: 330, to: 20}, dust: {from: 180, to: 270}", "since: {spray: true}"))
	for _, s := range []string{
		"salt wind off the sea, from 60° to 150°, of 8 m/s or more makes what lies open to it salty, until it is washed",
		"salt wind that brings spray, from 330° to 20°, of 8 m/s or more",
		"salt spray has come over: a wash comes before any pad or product",
		"dust wind from 180° to 270° brings dust: its bounds are one step lower then",
	} {
		assert.Contains(t, got, s)
	}
	assert.Contains(t, checkOf(t, metric, with(`dust: {hours: "10:00-15:00"}`, "")), "dust any wind brings dust or pollen 10:00-15:00: its bounds")
	assert.Contains(t, checkOf(t, us, with("onshore: {from: 60, to: 150}", "")), "of 18 mph or more")
	assert.Contains(t, checkOf(t, metric, with("onshore: {from: 60, to: 150}", "since: {spray: false}")), "no spray has come over so far")
	assert.Contains(t, checkOf(t, metric, with("water: fresh, onshore: {from: 60, to: 150}", "")),
		"salt the water is fresh: neither wind nor spray leaves any")
	assert.NotContains(t, checkOf(t, metric, plainJob), "salt")
}

func TestCheckWarns(t *testing.T) {
	j := &job.Job{Name: "x", Warnings: []string{"the water is taken as 12 °C"}}
	var b bytes.Buffer
	require.NoError(t, Check(&b, j, us))
	keepsTheRules(t, b.String(), us)
	assert.Contains(t, b.String(), "PLEASE NOTE\n  - the water is taken as 54 °F.\n")
}

func TestCheckOfOddNames(t *testing.T) {
	for _, n := range []string{"", "\x1b[31mred", strings.Repeat("long name ", 20), "⛵ Möwe"} {
		j := &job.Job{
			Name:  n,
			Boat:  n,
			Kind:  n,
			Place: job.Place{Name: n, Timezone: n},
			Must:  map[string]time.Time{n: at("10 08:00")},
			Zones: []boat.Zone{{Name: n, Finish: boat.Finish{Name: n}}},
			Steps: []job.Step{{Name: n, Do: "seal", With: n, On: []int{0, 7, -1}, Coats: 3}},
		}
		var b bytes.Buffer
		require.NoError(t, Check(&b, j, metric))
		keepsTheRules(t, b.String(), metric)
		assert.Contains(t, b.String(), "3 coats")
	}
}

func TestDaysOfAJob(t *testing.T) {
	from, by := job.Date{Year: 2026, Month: 9, Day: 7}, job.Date{Year: 2026, Month: 9, Day: 14}
	for want, j := range map[string]job.Job{
		"as far as the forecast goes": {},
		"from Mon 7 Sep on":           {From: from},
		"up to Mon 14 Sep":            {By: by},
		"Mon 7 Sep to Mon 14 Sep":     {From: from, By: by},
	} {
		assert.Equal(t, want, untie(days(&j)))
	}
}

func TestTilt(t *testing.T) {
	for deg, want := range map[float64]string{
		0:   "level",
		4:   "level",
		30:  "sloping 30°",
		80:  "upright",
		90:  "upright",
		100: "upright",
		135: "overhanging 135°",
	} {
		assert.Equal(t, want, tilt(deg))
	}
}

// Where a zone faces: from the bow, or by the compass where the bow is not known.
func TestFacing(t *testing.T) {
	j := &job.Job{HasBow: true, Berths: []job.Berth{{Bow: 200}}}
	assert.Equal(t, ", facing E (110°)", facing(j, boat.Zone{Faces: 270}))
	assert.Equal(t, ", facing W (270°)", facing(j, boat.Zone{Faces: 270, FacesTrue: true}))
	assert.Equal(t, ", facing not known", facing(&job.Job{}, boat.Zone{Faces: 270}), "never a guessed side")
}

func TestBoatOfAJob(t *testing.T) {
	p := newPage(us)
	loc := time.FixedZone("EDT", -4*3600)
	j := &job.Job{Boat: "Kittiwake", LengthM: 13, HasBow: true, Afloat: true, Place: job.Place{Location: loc},
		Berths: []job.Berth{{Bow: 200}, {Bow: 20, From: at("10 12:00").UTC()}}}
	assert.Equal(t, "Kittiwake, 13 m (43 ft), bow 200°, bow 20° from Thu 10 Sep 12:00, afloat", untie(p.boat(j)))
	assert.Equal(t, "Kittiwake, swinging to the wind, ashore", untie(p.boat(&job.Job{Boat: "Kittiwake", Swinging: true})))
	j.Place.Location = nil
	assert.Contains(t, untie(p.boat(j)), "from Thu 10 Sep 16:00 UTC", "no zone known yet")
}

// A length is told as the job has it and, where the screen has another unit, in
// that as well. 36 ft are 10.97 m.
func TestLengthOfABoat(t *testing.T) {
	feet, metres := &job.Job{LengthM: 36 * 0.3048, LengthFt: 36}, &job.Job{LengthM: 13}
	assert.Equal(t, "36 ft", untie(newPage(us).length(feet)))
	assert.Equal(t, "36 ft (11 m)", untie(newPage(metric).length(feet)))
	assert.Equal(t, "13 m", untie(newPage(metric).length(metres)))
	assert.Equal(t, "13 m (43 ft)", untie(newPage(us).length(metres)))
}

func TestZoneOfAJob(t *testing.T) {
	p := newPage(metric)
	p.zone(&job.Job{}, boat.Zone{
		Name:      "mast",
		Tilt:      90,
		FacesTrue: true,
		Faces:     180,
		Finish:    boat.Finish{Name: "aluminium"},
		Access:    boat.Harness,
		Shelter:   boat.Shed,
		AreaM2:    4.5,
		Salt:      true,
	})
	assert.Equal(t, "mast upright, facing S (180°), aluminium, in a shed, in a harness, 4.5 m², salty", strings.Join(strings.Fields(p.b.String()), " "))
}
