package text

import (
	"bytes"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/cmd/internal/answer"
)

func shown[T any](t must, show func(*bytes.Buffer, T) error, a T) string {
	var b bytes.Buffer
	require.NoError(t, show(&b, a))
	return b.String()
}

// madeMorning is a morning of one step on a few zones, each with its own state and hours.
func madeMorning(rt *rapid.T) *answer.Morning {
	a := early()
	a.Cautions, a.Warnings, a.Readings, a.ReadingsUsed, a.Steps = nil, nil, nil, nil, nil
	today := func(name string) *time.Time {
		return ptr(at("10 06:10").Add(time.Duration(rapid.IntRange(1, 90).Draw(rt, name)) * 10 * time.Minute))
	}
	for _, z := range madeZones[:rapid.IntRange(1, 4).Draw(rt, "zones")] {
		x := answer.MorningStep{Step: "seal", Do: "seal", Product: "polymer-sealant", Zone: z, Asked: true,
			State:   rapid.SampledFrom([]string{"ideal", "go", "marginal", "no-go", "unknown"}).Draw(rt, "state"),
			Binding: bind(rapid.SampledFrom([]string{"spread_min 1.2/2", "wind_max 10.6/6", "rain_free 1.5/4", "surface_max 36.1/32"}).Draw(rt, "limit"))}
		if answer.Workable(x.State) || rapid.Bool().Draw(rt, "later") {
			x.First, x.Last, x.Best = today("first"), today("last"), "go"
			if answer.Workable(x.State) {
				x.First, x.Best = &a.Now, x.State
			}
		}
		a.Steps = append(a.Steps, x)
	}
	return a
}

// Each zone of a morning has its own sentence: its state by shape and word, from when it
// may begin, its last start, and what stands against it now, with value and bound.
func TestMorningsReadBack(t *testing.T) {
	entry := regexp.MustCompile(`(?m)^  ([*+!x?>]) (IDEAL|GO|MARGINAL|NO-GO|UNKNOWN|WAIT) +`)
	rapid.Check(t, func(rt *rapid.T) {
		a := madeMorning(rt)
		a.Verdict = rapid.SampledFrom([]string{"go", "wait", "marginal", "no-go", "unknown"}).Draw(rt, "verdict")
		page := shown(rt, func(b *bytes.Buffer, a *answer.Morning) error { return Morning(b, a, metric) }, a)
		keepsTheRules(rt, page, metric)
		section, _, _ := strings.Cut(page[strings.Index(page, "SEAL with"):], "\n\n")
		var all []string
		for _, x := range a.Steps {
			all = append(all, x.Zone)
		}
		marks := entry.FindAllStringSubmatchIndex(section, -1)
		told := map[string]string{}
		for i, m := range marks {
			end := len(section)
			if i+1 < len(marks) {
				end = marks[i+1][0]
			}
			zones, said, ok := strings.Cut(flat(section[m[1]:end]), ": ")
			require.True(rt, ok, section)
			for _, z := range namedBy(zones, all) {
				require.Empty(rt, told[z], "%s is told twice", z)
				told[z] = section[m[2]:m[3]] + " " + section[m[4]:m[5]] + ": " + said
			}
		}
		for _, x := range a.Steps {
			said := told[x.Zone]
			state := x.State
			if !answer.Workable(state) && x.First != nil {
				state = "wait"
			}
			require.True(rt, strings.HasPrefix(said, untie(lookOf(state).shape+" "+strings.ToUpper(lookOf(state).word)+": ")), "%s: %s", x.Zone, said)
			if !answer.Workable(x.State) && x.First != nil {
				require.Contains(rt, said, "from "+x.First.Format("15:04")+" (")
			}
			if x.Last != nil {
				require.Contains(rt, said, "ast start "+x.Last.Format("15:04"))
			}
			if !answer.Workable(x.State) || x.State == "marginal" {
				require.Contains(rt, said, Because(x.Binding, metric))
			}
			require.True(rt, strings.HasSuffix(said, "."), said)
			require.NotContains(rt, said, "..")
		}
	})
}

// The verdict of a morning stands first, alone on its line's head, by shape and word, and
// ends as a sentence; whatever the steps say.
func TestVerdictStandsFirst(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		a := madeMorning(rt)
		if rapid.Bool().Draw(rt, "nothing left") {
			a.Steps = nil
		}
		for verdict, head := range map[string]string{"go": "+ GO now", "wait": "> WAIT until 08:40", "marginal": "! MARGINAL: needs your yes", "no-go": "x NO-GO today: ", "unknown": "? UNKNOWN: "} {
			a.Verdict = verdict
			page := shown(rt, func(b *bytes.Buffer, a *answer.Morning) error { return Morning(b, a, us) }, a)
			require.True(rt, strings.HasPrefix(page, head), "%q", page)
			first, _, _ := strings.Cut(flat(page), " Kittiwake at ")
			require.True(rt, strings.HasSuffix(first, "."), first)
			require.NotRegexp(rt, `: \.|  |\.\.`, first)
		}
	})
}

// The screen of a season says what its marks are where it has them, and only there.
func TestSeasonExplainsItsMarks(t *testing.T) {
	const words = "Where a question mark stands the data say too little of some days."
	page := func(a *answer.Season) string {
		return shown(t, func(b *bytes.Buffer, a *answer.Season) error { return Season(b, a, metric) }, a)
	}
	a := typicalYear()
	got := page(a)
	assert.Contains(t, flat(got), words)
	row := strings.Fields(got[strings.Index(got, "starboard superstructure side"):])[3:15]
	assert.Equal(t, []string{"0", "0", "4", "18", "29", "30", "27", "25", "24?", "?", "0", "0"}, row, "some days unknown, and all of them")
	for i := range a.Rows {
		for m, x := range a.Rows[i].Months {
			if x != nil && x.UnknownDays > 0 {
				a.Rows[i].Months[m] = &answer.SeasonMonth{}
			}
		}
	}
	got = page(a)
	assert.NotContains(t, flat(got), words)
	assert.NotContains(t, got, "?")
	a.Rows[0].Suits = false // what is not judged is not in doubt
	a.Rows[0].Months[3] = &answer.SeasonMonth{UnknownDays: 30}
	assert.NotContains(t, flat(page(a)), words)
}

// A check of a job tells all of its hours and people, also those of single dates, and
// when something must be done by.
func TestCheckOfDatesAndWashing(t *testing.T) {
	got := checkOf(t, metric, strings.NewReplacer("timezone: UTC}", `timezone: UTC, wash: {default: "09:00-11:00", 2026-12-31: none, 2027-01-01: "10:00-12:00"}}`,
		"steps:", "people: {default: 2, 2026-12-31: 1, 2027-01-01: 0}\nmust: {launch: 2027-01-01T08:00, survey: 2026-12-31T23:30}\nsteps:").Replace(plainJob))
	assert.Contains(t, got, "washing 09:00-11:00, Thu 31 Dec none, Fri 1 Jan 10:00-12:00")
	assert.Contains(t, got, "people 2, other numbers on Thu 31 Dec, Fri 1 Jan")
	assert.Contains(t, got, "must launch Fri 1 Jan 08:00 must survey Thu 31 Dec 23:30")
}

// Many stretches that all clear at once tell it once.
func TestManyStretchesThatClearAtOnce(t *testing.T) {
	var lines []string
	for i, z := range []string{"a", "b", "c", "d", "e", "f", "g"} {
		lines = append(lines, "seal | "+z+" | 10 0"+string(rune('1'+i))+":00 x wind_max 8/7; 12:00 + 0.9 wind_max 4/3; 16:00")
	}
	assert.Contains(t, flat(daysOf(t, metric, lines...)), "within 01:00-12:00 all zones, clears 12:00.")
}

// Panels that stand alike are named together however long that is, and then their
// temperature has a line of its own.
func TestPanelsOfLongNames(t *testing.T) {
	a := early()
	for i := range a.Steps {
		a.Steps[i].Zone = []string{"starboard superstructure side", "port superstructure side", "helm", "foredeck", "transom", "swim platform"}[i]
		a.Steps[i].SurfaceC, a.Steps[i].SpreadK = ptr(-12.3), ptr(-0.2)
		if i > 1 {
			a.Steps[i].SurfaceC, a.Steps[i].SpreadK = nil, nil
		}
	}
	assert.Contains(t, morningPage(t, a, metric), "PANELS NOW\n  starboard superstructure side, port superstructure side\n                                    -12.3 °C, 0.2 °C below dew point\n")
	assert.Contains(t, morningPage(t, a, us), "                                    10 °F, 0.4 °F below dew point\n", "-12.3 °C are 9.86 °F")
}

// A note without a plan says so, why, and nothing that would change what there is not.
func TestNoteWithoutAPlan(t *testing.T) {
	a := lateSummer(t)
	a.Plan = &answer.Plan{State: "none", Why: []string{"seal on foredeck has no place: wind over 6 m/s in all hours", "and more"}}
	n := NoteOfWeek(a, ToOwner, us)
	assert.Equal(t, []string{"At the moment there is no plan that the weather allows."}, n.What)
	assert.Equal(t, []string{"Seal on foredeck has no place: wind over 13 mph in all hours."}, []string{untie(n.Why[0])})
	assert.Len(t, n.Why, 1)
	assert.Empty(t, n.Change)
	assert.Empty(t, n.Asks)

	a.Verdict = "unknown"
	n = NoteOfWeek(a, ToOwner, us)
	assert.Equal(t, []string{"The forecast at hand tells too little of these days to plan by. What was agreed stands until a newer one tells more."}, n.What, "what nobody knows is not the weather's no")
}

// A plan of a part of the job is told as one wherever it is told: nobody is to take the rest
// for planned.
func TestPlanOfAPart(t *testing.T) {
	a := lateSummer(t)
	a.Plan = &answer.Plan{
		State: "go", Why: []string{"a part of the job, all but seal on foredeck"}, Part: &answer.Part{What: "all but seal on foredeck", Why: "wind over 6 m/s"},
		Blocks: []answer.PlanBlock{*blockOn("11 09:00", "10:00", "seal", "transom", "polymer-sealant", 1)},
	}
	page := weekPage(t, a, metric)
	assert.True(t, strings.HasPrefix(page, "+ GO in part  Seal Fri 11 Sep: "), firstLines(page, 1)[0])
	assert.Contains(t, flat(page), "Planned is a part of the job, all but seal on foredeck.")
	assert.Contains(t, page, "THE PLAN OF A PART  + GO")

	rest := []string{"At the moment there is no plan of the whole job. This is for a part of it, all but seal on foredeck.", "Seal: Fri 11 Sep.", "That part is done Fri 11 Sep 10:00."}
	assert.Equal(t, rest, untied(NoteOfWeek(a, ToOwner, us).What), "one step without a place is no reason to send the owner nothing")
	assert.Equal(t, "Planned is a part of the job, all but seal on foredeck.", untie(NoteOfWeek(a, ToCrew, us).What[0]))

	a.Plan.Blocks[0].Step, a.Plan.Blocks[0].Do = "wash", "wash"
	page = weekPage(t, a, us)
	assert.Contains(t, firstLines(page, 1)[0], "GO, no plan  Seal")
	assert.Contains(t, flat(page), "But no plan of the whole job leads there: wind over 13 mph.")
}

// The step that the headline answers comes first on the page, the others in the order of
// the work.
func TestAskedStepComesFirst(t *testing.T) {
	a := lateSummer(t)
	a.Headline.Step, a.Headline.Best, a.Headline.Next, a.Headline.WhyNot = "correct", pick(a, "correct", 9), nil, nil
	page := weekPage(t, a, metric)
	correct, wash, seal := strings.Index(page, "CORRECT with"), strings.Index(page, "WASH with"), strings.Index(page, "SEAL with")
	assert.True(t, 0 < correct && correct < wash && wash < seal, "%d %d %d", correct, wash, seal)
	assert.True(t, strings.HasPrefix(page, "+ GO  Correct Wed 9 Sep: port side 08:30-16:00"), firstLines(page, 1)[0])
}

// Of the two ends of one quantity the worse is told.
func TestWorseEndOfAQuantity(t *testing.T) {
	a := whyNine()
	a.Limits = a.Limits[5:7] // humidity, too dry and too damp
	a.Limits[0].State = "go"
	got := flat(shown(t, func(b *bytes.Buffer, a *answer.Why) error { return Why(b, a, metric) }, a))
	assert.Contains(t, got, "! marginal humidity 89 %, at most 85 %")
	assert.NotContains(t, got, "ideal from 40")
	a.Limits[0].State, a.Limits[1].State = "no-go", "marginal"
	got = flat(shown(t, func(b *bytes.Buffer, a *answer.Why) error { return Why(b, a, metric) }, a))
	assert.NotContains(t, got, "at most 85 % [2]", "the lower end stands against it now")
}

// Services side by side without a step that may go, or without a day in common, leave no
// line empty and no sentence out.
func TestSourcesWithLittleInCommon(t *testing.T) {
	a := twoServices(t)
	for i := range a.Steps[0].First {
		a.Steps[0].First[i].At, a.Steps[0].First[i].State = nil, "no-go"
	}
	got := sourcesText(t, a, metric)
	assert.Contains(t, got, "FIRST GO\n<> seal         x NO-GO                 x NO-GO\n\nThu 10 Sep\n")
	a.Days, a.Steps = nil, nil
	assert.Contains(t, sourcesText(t, a, metric), "\nThey have no day in common: there is nothing to compare.\n")
}

// Where midnight is skipped a day ends at 24:00 all the same, and the next is named by
// its own date.
func TestHoursWhereMidnightIsSkipped(t *testing.T) {
	for zone, day := range map[string]string{"America/Santiago": "2026-09-05", "America/Havana": "2026-03-07"} {
		loc, err := time.LoadLocation(zone)
		require.NoError(t, err)
		evening, err := time.ParseInLocation("2006-01-02 15:04", day+" 20:00", loc)
		require.NoError(t, err)
		morning := evening.Add(4 * time.Hour)
		require.Equal(t, "01:00", clock(morning))
		assert.Equal(t, "20:00-24:00", hours(evening, morning), zone)
		assert.Equal(t, "20:00-"+untie(when(evening, morning.Add(time.Hour))), untie(hours(evening, morning.Add(time.Hour))), zone)
		assert.Contains(t, untie(hours(evening, morning.Add(time.Hour))), "-Sun ", zone)
		assert.Equal(t, "01:00-03:00", hours(morning, morning.Add(2*time.Hour)))
	}
}
