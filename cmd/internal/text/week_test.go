package text

import (
	"bytes"
	"errors"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/cmd/internal/answer"
)

func weekPage(t must, a *answer.Week, o Options) string {
	var b bytes.Buffer
	require.NoError(t, Week(&b, a, o))
	keepsTheRules(t, b.String(), o)
	return b.String()
}

func firstLines(page string, n int) []string { return strings.SplitN(page, "\n", n+1)[:n] }

// The first three lines answer: best day and hours and where first, the next
// best, what would break it.
func TestThreeLinesAnswer(t *testing.T) {
	for _, o := range []Options{metric, us} {
		l := firstLines(weekPage(t, lateSummer(t), o), 3)
		assert.Contains(t, l[0], "+ GO  Seal Thu 10 Sep: foredeck 08:00-09:30, then port side 08:20-11:40")
		assert.Contains(t, l[1], "Next best: ! marginal Sat 12 Sep, port side 08:10-11:30, 15 of 30 futures.")
		assert.Contains(t, l[2], "Breaks it: rain before 19:30 (1 in 7)")
	}
}

// What the three lines have no room for follows in full.
func TestWhatIsLeftOutFollows(t *testing.T) {
	page := strings.Join(strings.Fields(weekPage(t, lateSummer(t), us)), " ")
	assert.Contains(t, page, "Thu 10 Sep in full: foredeck 08:00-09:30, then port side 08:20-11:40, then starboard side 13:10-15:20; the best block of each in at least 24 of 30 futures.")
	assert.Contains(t, page, "dew point +3.6 °F makes the last start 13:50; wind +4 mph.")
	assert.NotContains(t, page, "Sat 12 Sep in full", "which had room enough")
}

func TestThreeLinesWithoutAWindow(t *testing.T) {
	l := firstLines(weekPage(t, wetWeek(t), metric), 3)
	assert.Equal(t, "x NO-GO  Seal: no hours on any zone up to Mon 14 Sep.", l[0])
	assert.Equal(t, "Mostly because: rain 18 min after the work, needs 2 h.", l[1])
	assert.Equal(t, "Else because: the forecast lacks a value that is needed.", l[2])
}

func TestThreeLinesWithoutData(t *testing.T) {
	b := builder{t, emptyWeek()}
	b.line("seal | port side | 9 00:00 x hours; 07:00 ? data; 18:00 x hours; 23:50")
	a := b.finish()
	a.Headline = &answer.Headline{Step: "seal"}
	l := firstLines(weekPage(t, a, metric), 3)
	assert.Equal(t, "? UNKNOWN  Seal: no hours on any zone up to Mon 14 Sep.", l[0])
	assert.Equal(t, "Nothing else stands against it. Look again with the next forecast.", l[2])
	a.Source.Stale, a.Source.AgeS = true, nil
	assert.Equal(t, "Say with --fetched when it was fetched: without that nothing is judged.", firstLines(weekPage(t, a, metric), 3)[2])
}

func TestThreeLinesOutsideHoursOnly(t *testing.T) {
	b := builder{t, emptyWeek()}
	b.line("seal | port side | 9 00:00 x hours; 23:50")
	a := b.finish()
	a.Headline = &answer.Headline{Step: "seal"}
	page := weekPage(t, a, metric)
	l := firstLines(page, 3)
	assert.Contains(t, l[0], "x NO-GO  Seal")
	assert.Equal(t, "Because: outside working hours.", l[1])
	assert.Equal(t, "Nothing else stands against it. A new forecast does not change that.", l[2])
	assert.Contains(t, page, "no working hours")
}

// What no weather takes away sends nobody to the next forecast; a short stretch does where
// weather cuts it.
func TestThreeLinesOfWhatLasts(t *testing.T) {
	third := func(line string) string {
		b := builder{t, emptyWeek()}
		b.line("seal | port side | 9 00:00 " + line)
		a := b.finish()
		a.Headline = &answer.Headline{Step: "seal"}
		return firstLines(weekPage(t, a, metric), 3)[2]
	}
	for _, line := range []string{"x hours; 08:00 x people; 18:00 x hours; 23:50", "x hours; 08:00 x block 1/2; 09:00 x hours; 23:50", "x water; 23:50"} {
		assert.Equal(t, "A new forecast does not change that.", third(line), line)
	}
	assert.Equal(t, "Nothing else stands against it. Look again with the next forecast.", third("x hours; 08:00 x wind_max 9/8; 18:00 x hours; 23:50"))
	assert.Contains(t, third("x hours; 08:00 x block 1/2; 09:00 x wind_max 9/8; 18:00 x hours; 23:50"), "Else because: ")
}

// Without a headline of its own the answer still gets one, for the step that
// seals; without any step it says so.
func TestOwnHeadline(t *testing.T) {
	a := lateSummer(t)
	a.Headline = nil
	l := firstLines(weekPage(t, a, us), 3)
	assert.Contains(t, l[0], "Seal Thu 10 Sep: foredeck")
	assert.Contains(t, l[1], "Sat 12 Sep, port side")
	assert.Equal(t, "Breaks it: nothing that was tried.", l[2])

	a = emptyWeek()
	assert.Contains(t, firstLines(weekPage(t, a, us), 1)[0], "? UNKNOWN  The job asks for no step")
}

// A best day that needs a yes says so in word and shape.
func TestMarginalHeadline(t *testing.T) {
	a := lateSummer(t)
	a.Headline.Best, a.Headline.Next = pick(a, "seal", 12), nil
	l := firstLines(weekPage(t, a, us), 2)
	assert.Contains(t, l[0], "! MARGINAL  Seal Sat 12 Sep: port side 08:10-11:30")
	assert.Equal(t, "Next best: no other day up to Mon 14 Sep.", l[1])
}

// The first line is of the day that will be worked: with a plan its own day and hours of the
// step, and the day that the weather alone would like better comes after it, with the reason.
func TestTheFirstLineIsOfThePlan(t *testing.T) {
	a := lateSummer(t)
	seal := func(from, to, zone string) answer.PlanBlock {
		return *blockOn(from, to, "seal", zone, "polymer-sealant", 1)
	}
	a.Plan = &answer.Plan{State: "go", Confidence: 1, Blocks: []answer.PlanBlock{*blockOn("10 08:00", "09:00", "wash", "foredeck", "soap-wash", 1), seal("12 08:10", "09:30", "foredeck")}}
	l := firstLines(weekPage(t, a, metric), 4)
	assert.Equal(t, "+ GO  Seal Sat 12 Sep: foredeck 08:10-09:30, 27 of 30 futures.", l[0])
	assert.Equal(t, "Seal alone would do best on Thu 10 Sep; for the whole job this is the best plan", l[1])
	assert.Equal(t, "  found.", l[2])

	a.Plan.Blocks[0].From, a.Plan.Blocks[0].To = at("11 08:00"), at("11 09:00")
	assert.Equal(t, "Seal alone would do best on Thu 10 Sep; wash comes first, later in the plan.", firstLines(weekPage(t, a, metric), 2)[1])

	a.Plan.Blocks = append(a.Plan.Blocks, seal("13 10:10", "11:00", "port side"), seal("13 11:10", "12:00", "starboard side"))
	l = firstLines(weekPage(t, a, metric), 3)
	assert.Equal(t, "+ GO  Seal Sat 12 Sep: foredeck 08:10-09:30, 27 of 30 futures; more Sun 13 Sep.", l[0])
	assert.Equal(t, "In the plan: Sat 12 Sep foredeck, Sun 13 Sep port side and starboard side; wash", l[1])
	a.Plan.Blocks = append(a.Plan.Blocks, seal("14 10:10", "11:00", "teak deck"))
	assert.Contains(t, firstLines(weekPage(t, a, metric), 1)[0], ", 27 of 30 futures; more on 2 days.")

	a.Headline.Best, a.Headline.Next = nil, nil
	a.Plan.Blocks = a.Plan.Blocks[:2]
	l = firstLines(weekPage(t, a, metric), 2)
	assert.Equal(t, "+ GO  Seal Sat 12 Sep: foredeck 08:10-09:30, 27 of 30 futures.", l[0])
	assert.Contains(t, l[1], "Outside the plan it has no hours up to Mon 14 Sep, mostly because: ")

	a.Plan.Blocks = a.Plan.Blocks[:1]
	page := weekPage(t, a, metric)
	assert.Contains(t, firstLines(page, 1)[0], "Seal: no hours on any zone")
	assert.NotContains(t, page, "In the plan")
}

// What holds in fewer than half of the forecasts asks for a yes, and no first line calls it
// more than that, or leaves out the count.
func TestTheFirstLineIsNoSurerThanItsHours(t *testing.T) {
	a := lateSummer(t)
	for i := range a.Headline.Best {
		a.Headline.Best[i].Confidence = 5.0 / 30
	}
	a.Plan = nil
	assert.Equal(t, "! MARGINAL  Seal Thu 10 Sep: foredeck 08:00-09:30 +2, in only 5 of 30 futures.", firstLines(weekPage(t, a, metric), 1)[0])

	block := *blockOn("12 08:10", "09:30", "seal", "foredeck", "polymer-sealant", 1)
	block.Confidence, block.NeedsConsent = 5.0/30, true
	later := block
	later.From, later.To = at("13 08:00"), at("13 09:00")
	a.Plan = &answer.Plan{State: "marginal", Blocks: []answer.PlanBlock{block, later}}
	l := firstLines(weekPage(t, a, metric), 2)
	assert.Equal(t, "! MARGINAL  Seal Sat 12 Sep: foredeck 08:10-09:30, in only 5 of 30 futures.", l[0], "the rest gives way")
	assert.Equal(t, "In the plan: Sat 12 Sep foredeck with your yes, Sun 13 Sep foredeck with your", l[1])

	block.State, block.NeedsConsent = "no-go", false
	a.Plan = &answer.Plan{State: "no-go", Blocks: []answer.PlanBlock{block}}
	l = firstLines(weekPage(t, a, metric), 2)
	assert.Contains(t, l[0], "x NO-GO  Seal Sat 12 Sep: foredeck 08:10-09:30")
	assert.Equal(t, "In the plan: Sat 12 Sep foredeck, no longer good.", l[1])
}

// Zones with the same hours are one line, and all of them "all zones".
func TestZonesAreMerged(t *testing.T) {
	b := builder{t, emptyWeek()}
	for _, z := range []string{"teak deck", "foredeck", "starboard side", "port side"} {
		b.line("seal | " + z + " | 10 07:00 x film 82/1; 08:20 + 0.9 humidity_max 72/70; 11:40 x dew_free 5/6; 18:00")
	}
	page := weekPage(t, b.finish(), metric)
	assert.Contains(t, page, "\n    all zones                 + go 08:20-11:40\n")
	assert.Contains(t, page, "x no-go because water on the panel, 82 g/m², at most 1: 07:00-08:20\n      all zones, clears 08:20.")
	assert.Contains(t, page, "+ GO        Thu 10 Sep 08:20-11:40  all zones\n")
	assert.Contains(t, firstLines(page, 1)[0], "Seal Thu 10 Sep: all zones 08:20-11:40, 27 of 30 futures.")

	b.a.Windows = b.a.Windows[1:] // all but the teak
	assert.Contains(t, weekPage(t, b.a, metric), "    all but teak deck         + go 08:20-11:40\n")
}

// Every refusal inside working hours is on the page with its own time to clear.
func TestEveryRefusalIsTold(t *testing.T) {
	a := lateSummer(t)
	page := strings.Join(strings.Fields(weekPage(t, a, us)), " ")
	for _, r := range a.Refusals {
		if scheduled(r.Binding.Limit) {
			continue
		}
		if r.Binding.Limit != "finish" { // told once for all days
			assert.Contains(t, page, untie(hours(r.From, r.To)))
		}
		if r.Clears != nil {
			assert.Contains(t, page, untie(when(r.From, *r.Clears)))
		}
	}
	assert.Equal(t, 3, strings.Count(page, "on every day: teak deck: the product does not suit the finish."), "once a step")
}

// Days that read the same are one paragraph.
func TestDaysAreMerged(t *testing.T) {
	b := builder{t, emptyWeek()}
	for _, d := range []string{"10", "11", "12"} {
		b.line("seal | port side | " + d + " 00:00 x hours; 07:00 x rain_free 1.5/2; 18:00 x hours; 23:50")
	}
	assert.Contains(t, weekPage(t, b.finish(), metric), "\n  Thu 10 Sep to Sat 12 Sep\n    x no-go because rain 1 h 30")
}

// A stretch over midnight is told on each of its days.
func TestNightIsCutAtMidnight(t *testing.T) {
	a := emptyWeek()
	a.Refusals = []answer.Refusal{{
		Step:    "seal",
		Do:      "seal",
		Zone:    "port side",
		From:    at("10 20:00"),
		To:      at("12 06:00"),
		State:   "no-go",
		Binding: bind("spread_min 0.2/2"),
	}}
	page := weekPage(t, a, metric)
	for _, s := range []string{"20:00-24:00 port side", "00:00-24:00 port side", "00:00-06:00 port side"} {
		assert.Contains(t, page, s)
	}
}

func TestMoreWindowsThanTheRankingShows(t *testing.T) {
	b := builder{t, emptyWeek()}
	for _, d := range []string{"8", "9", "10", "11", "12", "13", "14"} {
		b.line("seal | port side | " + d + " 08:00 + 0.9 wind_max 3/3; 12:00 x film 3/1; 13:00 + 0.9 wind_max 3/3; 17:00")
	}
	page := weekPage(t, b.finish(), metric)
	assert.Contains(t, page, "8 more, all among the days below: port side 8.")
}

// Adjoining ideal and go windows are one in the ranking, with the last start of
// the later and the best block of the better.
func TestJoined(t *testing.T) {
	b := builder{t, emptyWeek()}
	b.line("seal | port side | 10 08:00 + 0.9 wind_max 4/3; 10:00 * 0.8 wind_max 2/3; 12:00 + 0.7 wind_max 4/3; 14:00 ! 0.6 wind_max 7/6; 15:00 + 0.9 wind_max 4/3; 16:00")
	ws := b.finish().Windows
	ws[1].Best = &answer.Block{From: at("10 10:00"), To: at("10 12:00"), State: "ideal", Confidence: 0.8}
	ws[0].Rank, ws[1].Rank = 2, 1
	ws[1].SurfaceC, ws[1].SpreadK, ws[1].Sunlit = &[2]float64{12, 30}, nil, ptr(true)
	got := answer.Joined(ws)
	require.Len(t, got, 3)
	w := got[0]
	assert.Equal(t, 1, w.Rank)
	assert.Equal(t, "08:00-14:00", hours(w.From, w.To))
	assert.Equal(t, "go", w.State)
	assert.Equal(t, at("10 13:50"), w.LastStart)
	assert.Equal(t, 0.7, w.Confidence)
	assert.Equal(t, ws[1].Best, w.Best)
	assert.Equal(t, &[2]float64{12, 30}, w.SurfaceC)
	assert.Equal(t, ws[0].SpreadK, w.SpreadK, "an absent range does not count")
	assert.Nil(t, w.Sunlit, "partly in the sun")
	assert.Equal(t, "marginal", got[1].State, "what needs consent stays apart")
	assert.Equal(t, "15:00-16:00", hours(got[2].From, got[2].To))

	a := b.a
	a.Windows = ws
	assert.Contains(t, strings.Join(strings.Fields(weekPage(t, a, metric)), " "), "best block 10:00-12:00 in 24 of 30 futures")
	assert.Len(t, ws, 5, "the answer itself is left alone")
	assert.Equal(t, "ideal", ws[1].State)
}

// A step that reads like an earlier one is not written out again.
func TestSameHoursAsAnEarlierStep(t *testing.T) {
	b := builder{t, emptyWeek()}
	for _, s := range []string{"wash", "strip wash"} {
		b.line(s + " | port side | 10 07:00 x wind_max 9/8; 08:20 + 0.9 wind_max 4/3; 11:40 x wind_max 9/8; 18:00")
	}
	a := b.finish()
	for i := range a.Windows {
		a.Windows[i].SectionM2, a.Windows[i].RewetMin = nil, nil
	}
	page := weekPage(t, a, metric)
	assert.Contains(t, page, "WASH with soap-wash\n  The same hours, for the same reasons, as strip wash.\n", "the step asked for comes first")
	assert.Equal(t, 1, strings.Count(page, "By day"))
}

// What needs a yes says why, day by day.
func TestMarginalSaysWhy(t *testing.T) {
	page := weekPage(t, lateSummer(t), us)
	assert.Contains(t, page, "    ! marginal because panel 89 °F, at most 86: 11:40-12:30 port side.\n")
}

// Refusals that do not clear on their own day are told once, at its end.
func TestLaterClears(t *testing.T) {
	page := weekPage(t, lateSummer(t), us)
	assert.Contains(t, page, "    Clears: port side Sat 12 Sep 08:10; not in these days: starboard side,\n      foredeck.\n")
}

func TestCautionsGravestFirst(t *testing.T) {
	page := weekPage(t, lateSummer(t), us)
	danger, caution, note := strings.Index(page, "DANGER: Thunder"), strings.Index(page, "Caution: Heat"), strings.Index(page, "Note: Slips")
	assert.Positive(t, danger)
	assert.Less(t, danger, caution)
	assert.Less(t, caution, note)
	assert.Equal(t, 1, strings.Count(page, "Heat in the sun"), "the same words once, with both times")
	assert.Contains(t, strings.Join(strings.Fields(page), " "), "Thu 10 Sep 11:00-15:00 (WBGT 80 °F), Fri 11 Sep 12:00-14:30 (WBGT 79 °F). [NIOSH 2016-106]")
	assert.Equal(t, 1, strings.Count(page, "local rules and licensed\n  practice decide"), "said once, for each of them")
}

// What one product says is one caution.
func TestProductCautions(t *testing.T) {
	a := emptyWeek()
	a.Cautions = nil
	for _, s := range []string{"soap wash: decks get slippery.", "soap wash: mind the run-off", "wax: not on steps"} {
		a.Cautions = append(a.Cautions, answer.Caution{Kind: "product", Level: "note", Text: s, Source: "the label"})
	}
	page := weekPage(t, a, metric)
	assert.Contains(t, page, "  Note: soap wash: decks get slippery; mind the run-off. [the label]\n  Note: wax: not on steps. [the label]\n")
}

func TestColdIsRoundedToTheColdSide(t *testing.T) {
	a := emptyWeek()
	a.Cautions = []answer.Caution{{
		Kind:  "cold",
		Level: "warning",
		Text:  "Cold",
		Value: ptr(-8.31),
		Unit:  "°C",
		From:  ptr(at("9 07:00")),
		To:    ptr(at("9 09:00")),
	}}
	assert.Contains(t, weekPage(t, a, metric), "WARNING: Cold. Wed 9 Sep 07:00-09:00 (wind chill -8.4 °C).")
}

func TestColourIsAnExtra(t *testing.T) {
	plain := weekPage(t, lateSummer(t), us)
	o := us
	o.Colour = true
	coloured := weekPage(t, lateSummer(t), o)
	assert.Contains(t, coloured, "\x1b[32m+ GO\x1b[0m  Seal")
	assert.Equal(t, plain, uncoloured(coloured), "nothing is said by colour alone")
}

// Names cannot colour, break or widen a page.
func TestHostileNames(t *testing.T) {
	t.Parallel()
	long := strings.Repeat("Very Long Name of a Zone ", 8) // 200 characters
	for _, n := range []string{"\x1b[31mred\x1b[0m", "⛵🛥 Möwe 船", "קיטיווייק \u202eabc", strings.Repeat("x", 200), long, "a\nb\tc", "", "\xff\xfe"} {
		a := lateSummer(t)
		a.Boat, a.Place.Name, a.Job, a.Source.Name = n, n, n, n
		a.Headline.Breaks = append([]string{n + n}, a.Headline.Breaks...)
		a.Headline.WhyNot, a.Warnings = []string{n}, []string{n}
		for i := range a.Windows {
			if a.Windows[i].Zone == "port side" {
				a.Windows[i].Zone = n
			}
		}
		for i := range a.Refusals {
			if a.Refusals[i].Zone == "port side" {
				a.Refusals[i].Zone = n
			}
		}
		for i := range a.Headline.Best {
			a.Headline.Best[i].Zone = n
		}
		a.Zones[0].Name = n
		for _, o := range []Options{metric, us, {Hours: true}, {Colour: true, Width: 60}} {
			page := weekPage(t, a, o)
			assert.Contains(t, firstLines(page, 1)[0], "GO", "%q", n)
			assert.Contains(t, firstLines(page, 1)[0], "08:00-09:30", "%q", n)
		}
	}
}

type brokenPipe struct{}

func (brokenPipe) Write([]byte) (int, error) { return 0, errors.New("broken pipe") }

func TestErrorOfTheWriter(t *testing.T) {
	assert.ErrorContains(t, Week(brokenPipe{}, lateSummer(t), us), "writing the answer: broken pipe")
	assert.Error(t, Morning(brokenPipe{}, early(), us))
}

func TestSameAnswerSamePage(t *testing.T) {
	again := weekPage(t, lateSummer(t), us)
	assert.Equal(t, weekPage(t, lateSummer(t), us), again)
}

// Any week, however odd, becomes a page that keeps the rules.
func TestAnyWeek(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		a := anyWeek().Draw(t, "week")
		o := Options{
			Units:  rapid.SampledFrom([]string{"metric", "us", ""}).Draw(t, "units"),
			Wind:   rapid.SampledFrom([]string{"", "kn"}).Draw(t, "wind"),
			Colour: rapid.Bool().Draw(t, "colour"),
			Hours:  rapid.Bool().Draw(t, "hours"),
			Width:  rapid.SampledFrom([]int{0, 40, 48, 60, 72, 80, 132}).Draw(t, "width"),
		}
		weekPage(t, a, o)
	})
}

// Asked without the boat's bow, the screen says right below its answer what that
// costs; the three lines of the answer stay first.
func TestWeekWithoutABow(t *testing.T) {
	a := lateSummer(t)
	plain := strings.Split(weekPage(t, a, metric), "\n")
	a.Warnings = append(a.Warnings, "job.yaml:1:1: the bow is not given, so port and starboard cannot be told from sun and shade: port side is answered for as faces to N, E, S and W")
	page := strings.Split(weekPage(t, a, metric), "\n")
	const says = "Bow not given: sides are told by compass, without their size. Say --bow NW."
	assert.NotContains(t, plain, says)
	assert.Contains(t, page, says)
	assert.Equal(t, plain[:4], page[:4])
	assert.Less(t, slices.Index(page, says), slices.IndexFunc(page, func(l string) bool {
		return strings.HasPrefix(l, "Thu 10 Sep in full") || strings.HasPrefix(l, "Why not") || l == ""
	}))
}

// With everything done the page asks for nothing again: it says so, and what of the
// fresh work wants to stay dry.
func TestEverythingDone(t *testing.T) {
	film := []answer.KeepDry{
		{Step: "seal", Zone: "port side", On: at("10 10:30"), Until: ptr(at("10 14:30")), RainAt: ptr(at("10 12:00")), Spoils: true},
	}
	flat := func(s string) string { return strings.Join(strings.Fields(s), " ") }
	w := lateSummer(t)
	w.Done, w.Now, w.KeepDry = true, at("10 10:40"), film
	page := flat(weekPage(t, w, metric))
	const want = "Everything is done. Keep port side dry until 14:30 (seal, 10:30). Rain from 12:00 would spoil it: cover it in time. "
	assert.True(t, strings.HasPrefix(page, want), page)
	assert.NotContains(t, page, "GO")
	assert.NotContains(t, page, "Best first")

	soap := at("17 10:30")
	w.Care = []answer.Care{{Step: "seal", Zone: "port side", SoapAt: &soap}, {Step: "oil", Zone: "port side", SoapAt: &soap, Planned: true}}
	const spare = "No soap on the seal on port side before Fri 18 Sep: clean water alone. "
	assert.True(t, strings.HasPrefix(flat(weekPage(t, w, metric)), want+spare))
	w.Plan = &answer.Plan{State: "go", Blocks: []answer.PlanBlock{}}
	assert.Contains(t, tidied(NoteOfWeek(w, ToOwner, metric).What), strings.TrimSpace(spare), "the owner washes her next")
	w.Plan.Blocks = []answer.PlanBlock{*blockOn("11 08:30", "10:00", "oil", "port side", "teak-oil", 1)}
	oil := "No soap on the oil before Fri 18 Sep: clean water alone."
	assert.Subset(t, tidied(NoteOfWeek(w, ToOwner, metric).What), []string{strings.TrimSpace(spare), oil}, "what is on, and what is to come")
	assert.NotContains(t, tidied(NoteOfWeek(w, ToCrew, metric).What), oil)
	w.Plan = &answer.Plan{State: answer.None}
	assert.Contains(t, tidied(NoteOfWeek(w, ToOwner, metric).What), strings.TrimSpace(spare), "it is on whatever becomes of the rest")

	m := early()
	m.Care = w.Care
	assert.Contains(t, flat(morningPage(t, m, metric)), strings.TrimSpace(spare))
	m.Done, m.Now, m.Verdict, m.KeepDry = true, at("10 10:40"), "go", film
	page = flat(morningPage(t, m, metric))
	assert.True(t, strings.HasPrefix(page, want+spare), page)
	assert.NotContains(t, page, "Stop at")

	m.Done = false
	page = flat(morningPage(t, m, metric))
	assert.True(t, strings.HasPrefix(page, "+ GO now: "), page)
	assert.Contains(t, page, "Keep port side dry until 14:30 (seal, 10:30). Rain from 12:00 would spoil it")
}
