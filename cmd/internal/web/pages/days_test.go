package pages

import (
	"testing"
	"time"

	"dewgap/cmd/internal/answer"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// In Chile the clocks skip midnight in spring (6 September 2026, IANA rules Chile). The
// days of a week over that night are each there once, in order, and come to an end.
func TestDaysOf_SkippedMidnight(t *testing.T) {
	loc, err := time.LoadLocation("America/Santiago")
	require.NoError(t, err)
	from := time.Date(2026, time.September, 4, 9, 0, 0, 0, loc)
	w := &answer.Week{From: from, To: time.Date(2026, time.September, 8, 0, 0, 0, 0, loc)}
	var days []string
	for _, d := range si.daysOf(w, stepIn{Name: "seal"}) {
		days = append(days, day(d.At))
	}
	assert.Equal(t, []string{tied("Fri 4 Sep"), tied("Sat 5 Sep"), tied("Sun 6 Sep"), tied("Mon 7 Sep")}, days)

	sunday, err := dayIn("2026-09-06", loc)
	require.NoError(t, err)
	assert.Equal(t, "Sunday 6 September", longDay(sunday))
	page := si.dayOf(w, sunday)
	assert.Equal(t, "Saturday 5 September", longDay(page.Prior))
	assert.Equal(t, "Monday 7 September", longDay(page.Next))
	assert.Equal(t, "20:00–24:00", plainly(hours(time.Date(2026, time.September, 5, 20, 0, 0, 0, loc), sunday)))
	_, err = dayIn("2026-02-30", loc)
	assert.Error(t, err)
}

// A day whose good hours are too few for a block is not a go: on the screen its block needs
// a yes, and so it does on the page, with the hours beside them that it runs on into.
func TestDaysOf_GoodHoursTooFewForABlock(t *testing.T) {
	day := time.Date(2026, 3, 24, 0, 0, 0, 0, time.UTC)
	at := func(h, m int) time.Time { return day.Add(time.Duration(h)*time.Hour + time.Duration(m)*time.Minute) }
	w := func(state string, from, to time.Time, short bool) answer.Window {
		return answer.Window{Step: "seal", Zone: "transom", State: state, From: from, To: to, Short: short}
	}
	week := &answer.Week{From: day, To: day.AddDate(0, 0, 1), Windows: []answer.Window{
		w("marginal", at(8, 50), at(9, 30), false), w("go", at(9, 30), at(9, 40), true), w("marginal", at(9, 40), at(11, 0), false),
	}}
	days := si.daysOf(week, stepIn{Name: "seal", Zones: []string{"transom", "port side"}})
	require.Len(t, days, 1)
	assert.Equal(t, "marginal", days[0].State)
	require.Len(t, days[0].Stretches, 1)
	assert.Equal(t, [2]time.Time{at(8, 50), at(11, 0)}, [2]time.Time{days[0].Stretches[0].From, days[0].Stretches[0].To})
	week.Windows[1].Short = false
	days = si.daysOf(week, stepIn{Name: "seal", Zones: []string{"transom", "port side"}})
	assert.Equal(t, "go", days[0].State)
	assert.Equal(t, at(9, 30), days[0].Stretches[0].From)
}

// A day on which the plan has the step, within a visit, is no no-go, though the step has no
// hours of its own then: the week is go by that block.
func TestDaysOf_InThePlanAlone(t *testing.T) {
	from := time.Date(2026, 3, 24, 0, 0, 0, 0, time.UTC)
	block := answer.PlanBlock{Step: "seal", Zone: "transom", State: "go", From: from.Add(8 * time.Hour), To: from.Add(9 * time.Hour)}
	week := &answer.Week{Now: from, From: from, To: from.AddDate(0, 0, 1), Plan: &answer.Plan{State: "go"}}
	for name, x := range map[string]struct {
		change func(b *answer.PlanBlock)
		state  string
	}{
		"a block":                  {func(*answer.PlanBlock) {}, "go"},
		"one that waits for a yes": {func(b *answer.PlanBlock) { b.NeedsConsent = true }, "marginal"},
		"one that does not hold":   {func(b *answer.PlanBlock) { b.State = "no-go" }, "no-go"},
		"one of another step":      {func(b *answer.PlanBlock) { b.Step = "wash" }, "no-go"},
	} {
		b := block
		x.change(&b)
		week.Plan.Blocks = []answer.PlanBlock{b}
		days := si.daysOf(week, stepIn{Name: "seal", Zones: []string{"transom"}})
		require.Len(t, days, 1, name)
		assert.Equal(t, x.state, days[0].State, name)
		assert.Equal(t, x.state != "no-go", days[0].Why == "hours in the plan alone, beside other work", name)
	}
	week.Plan.State, week.Plan.Blocks = "no-go", []answer.PlanBlock{block}
	assert.Equal(t, "no-go", si.daysOf(week, stepIn{Name: "seal"})[0].State, "a plan that holds no longer")

	for _, state := range []string{"go", "unknown"} { // its own hours, or those of its visit
		week.Plan.State, week.Plan.Blocks[0].State = "unknown", state
		d := si.daysOf(week, stepIn{Name: "seal"})[0]
		assert.Equal(t, "unknown", d.State, "only missing data speak against it")
		assert.Equal(t, "too little is known of its hours in the plan", d.Why)
	}
	week.Plan.Blocks[0].State = "no-go"
	assert.Equal(t, "no-go", si.daysOf(week, stepIn{Name: "seal"})[0].State)
}

func TestLastDay(t *testing.T) {
	w := &weekPage{Week: &answer.Week{To: time.Date(2026, 3, 30, 0, 0, 0, 0, time.UTC)}}
	assert.Equal(t, 29, w.LastDay().Day(), "the week ends with the midnight before its To")
}

// A day of the list is called what a headline would call it: by the worst of the hours that
// are told, whatever better ones lie beside them and whatever the plan takes.
func TestDaysOf_AsTheHeadline(t *testing.T) {
	day := time.Date(2026, 3, 24, 0, 0, 0, 0, time.UTC)
	w := func(zone, state string, from, to int) answer.Window {
		return answer.Window{Step: "seal", Zone: zone, State: state, From: day.Add(time.Duration(from) * time.Hour), To: day.Add(time.Duration(to) * time.Hour)}
	}
	week := &answer.Week{Now: day, From: day, To: day.AddDate(0, 0, 1), Windows: []answer.Window{w("transom", "go", 7, 9), w("transom", "ideal", 9, 18), w("foredeck", "marginal", 7, 18)}}
	step := stepIn{Name: "seal", Zones: []string{"transom", "foredeck"}}
	assert.Equal(t, "go", si.daysOf(week, step)[0].State)
	week.Plan = &answer.Plan{State: "go", Blocks: []answer.PlanBlock{{Step: "seal", Zone: "transom", State: "ideal", From: day.Add(10 * time.Hour), To: day.Add(12 * time.Hour)}}}
	assert.Equal(t, "go", si.daysOf(week, step)[0].State)
	week.Headline = &answer.Headline{Step: "seal", Best: week.Windows[1:2]}
	page := si.weekPage(week)
	assert.Equal(t, []string{"ideal", "ideal"}, []string{page.State, page.Days[0].State}, "of the best day the headline's own hours count")
}
