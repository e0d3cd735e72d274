package job

import (
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// What a job means does not hang on how it is laid out.

// sections cuts a job file into its top-level blocks.
func sections(text string) []string {
	var blocks []string
	for _, line := range strings.Split(strings.TrimRight(text, "\n"), "\n") {
		if len(blocks) == 0 || line != "" && line[0] != ' ' && line[0] != '#' && line[0] != '-' {
			blocks = append(blocks, line)
			continue
		}
		blocks[len(blocks)-1] += "\n" + line
	}
	return blocks
}

// withoutPlaces is the job without the warnings, which hold line numbers, and without
// the places and the order of what it tells as over.
func withoutPlaces(j *Job) *Job {
	j.Warnings = nil
	for i := range j.Past {
		j.Past[i].Line, j.Past[i].Column = 0, 0
	}
	slices.SortFunc(j.Past, func(a, b Past) int { return strings.Compare(a.What, b.What) })
	return j
}

func TestLayout_OrderOfTheSections(t *testing.T) {
	for _, name := range []string{"kittiwake.yaml", "every-key.yaml", "moored.yaml"} {
		text := string(fixture(t, name))
		want := withoutPlaces(parse(t, text))
		rapid.Check(t, func(t *rapid.T) {
			blocks := rapid.Permutation(sections(text)).Draw(t, "order")
			assert.Equal(t, want, withoutPlaces(parse(t, strings.Join(blocks, "\n")+"\n")))
		})
	}
}

func TestLayout_BlankLinesAndComments(t *testing.T) {
	text := string(fixture(t, "every-key.yaml"))
	want := withoutPlaces(parse(t, text))
	loose := strings.ReplaceAll(text, "\n", "   # a remark: of no [account]\n\n")
	assert.Equal(t, want, withoutPlaces(parse(t, loose)))
	assert.Equal(t, want, withoutPlaces(parse(t, "---\n"+text)))
	assert.Equal(t, want, withoutPlaces(parse(t, text+"...\n")))
}

func TestLayout_BlockAndFlow(t *testing.T) {
	flow := `place: {latitude: 43.07, longitude: -70.74, timezone: America/New_York, onshore: {from: 60, to: 150}}
boat: {name: Teal, bow: {magnetic: 214, variation: -14}}
zones: [{name: port side, tilt: 90, faces: 270, finish: teak, shade: [{from: 1, to: 2, up_to: 3}], done: {wash: 2026-09-06T10:30}}]
steps: [{do: wash, with: soap-wash, on: [port side], clock: {haze_min: 4}}]
hours: {default: "07:00-18:00", sat: none}
`
	block := `place:
  latitude: 43.07
  longitude: -70.74
  timezone: America/New_York
  onshore:
    from: 60
    to: 150
boat:
  name: Teal
  bow:
    magnetic: 214
    variation: -14
zones:
- name: port side
  tilt: 90
  faces: 270
  finish: teak
  shade:
  - from: 1
    to: 2
    up_to: 3
  done:
    wash: 2026-09-06T10:30
steps:
- do: wash
  with: soap-wash
  on:
  - port side
  clock:
    haze_min: 4
hours:
  default: "07:00-18:00"
  sat: none
`
	assert.Equal(t, withoutPlaces(parse(t, flow)), withoutPlaces(parse(t, block)))
}

func TestLayout_OneOrAListOfOne(t *testing.T) {
	single := jobWith("steps:\n  - {do: wash, with: soap-wash, on: port side}", "days: mon", "away: 2026-09-10",
		"covers: {zones: port side, kind: tent}", "berths: {from: 2026-09-09, bow: 20}")
	lists := jobWith("steps:\n  - {do: wash, with: soap-wash, on: [port side]}", "days: [mon]", "away: [2026-09-10]",
		"covers: [{zones: [port side], kind: tent}]", "berths: [{from: 2026-09-09, bow: 20}]")
	assert.Equal(t, parse(t, lists), parse(t, single))
}

func TestLayout_SpacesInNames(t *testing.T) {
	j := parse(t, jobWith("zones:\n  - {name: '  port   side ', faces: 270, tilt: 90, finish: teak}",
		"steps:\n  - {do: wash, with: soap-wash, on: port  side}"))
	assert.Equal(t, "port side", j.Zones[0].Name)
	assert.Equal(t, []int{0}, j.Steps[0].On)
}

// The local clock of the crew on the days of the change: London 2026-03-29 has
// 23 hours, 2026-10-25 has 25. Hours are those of the clock, so that 00:00 to
// 06:00 are five and seven hours long.
func TestHours_OnDaysOfTheChange(t *testing.T) {
	j := parse(t, jobWith("place: {latitude: 51, longitude: 0, timezone: Europe/London}", `hours: "00:00-06:00"`))
	for _, c := range []struct {
		month time.Month
		day   int
		hours int
	}{{3, 28, 6}, {3, 29, 5}, {10, 24, 6}, {10, 25, 7}} {
		open, day := 0, Date{2026, c.month, c.day}
		for at := day.Begins(j.Location()); at.Before(day.Next().Begins(j.Location())); at = at.Add(10 * time.Minute) {
			if j.CrewHours(at) {
				open++
			}
		}
		assert.Equal(t, 6*c.hours, open, "%s", day)
	}
}

// The days from and by are whole, and as long as the clock makes them.
func TestHorizon_OnDaysOfTheChange(t *testing.T) {
	for day, hours := range map[string]int{"2026-03-28": 24, "2026-03-29": 23, "2026-10-25": 25} {
		j := parse(t, jobWith("place: {latitude: 51, longitude: 0, timezone: Europe/London}", "from: "+day+"\nby: "+day))
		from, ok := j.Opens()
		require.True(t, ok)
		to, ok := j.Closes()
		require.True(t, ok)
		assert.Equal(t, time.Duration(hours)*time.Hour, to.Sub(from), day)
	}
}

// A quiet day closes its own day and no other.
func TestSchedule_ClosedOnIsClosedThatDayOnly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		_, text := drawClock(t)
		j := parse(t, jobWith(`hours: "`+text+`"`))
		shut := DateOf(time.Date(2026, 9, rapid.IntRange(1, 30).Draw(t, "day"), 0, 0, 0, 0, time.UTC))
		closed := j.Hours.closedOn(dayKey{isDate: true, date: shut})
		at := time.Date(2026, 9, rapid.IntRange(1, 30).Draw(t, "at"), 0, rapid.IntRange(0, 1439).Draw(t, "minute"), 0, 0, j.Location())
		if DateOf(at) == shut {
			assert.False(t, closed.Open(at))
		} else {
			assert.Equal(t, j.Hours.Open(at), closed.Open(at))
		}
	})
}
