package app

import (
	"testing"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/book"
	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// clock is a moment of Thursday 10 September, UTC; d days later.
func clockAt(d, h, m int) time.Time { return time.Date(2026, 9, 10+d, h, m, 0, 0, time.UTC) }

// blockAt is a block of two hours with its share of a zone's area.
func blockAt(step, zone string, d, h int) answer.PlanBlock {
	area := 10.0
	return answer.PlanBlock{Step: step, Zone: zone, From: clockAt(d, h, 0), To: clockAt(d, h+2, 0), Part: 1, Parts: 1, Coat: 1, Coats: 1, AreaM2: &area}
}

// agreedDay is a day at 18:00 with a plan made the day before.
func agreedDay(blocks ...answer.PlanBlock) *plannedDay {
	d := &plannedDay{past: &past{}, at: clockAt(0, 18, 0), shut: map[string]string{}}
	d.loc, d.now = time.UTC, clockAt(0, 18, 0)
	d.agreed = []agreement{{at: clockAt(-1, 12, 0), blocks: blocks}}
	d.job = &job.Job{Zones: []boat.Zone{{Name: "port"}, {Name: "deck"}, {Name: "rail"}}}
	for _, step := range []string{"wash", "correct", "seal", "varnish"} {
		d.job.Steps = append(d.job.Steps, job.Step{Name: step, On: []int{0, 1, 2}})
	}
	return d
}

// told is each work of the day with what keeps it from being recorded.
func (d *plannedDay) told(t *testing.T) map[string]string {
	list, err := d.list("", nil)
	require.NoError(t, err)
	out := map[string]string{}
	for _, w := range list {
		if x, ok := d.loggedAs(w); ok {
			out[w.Step+" "+w.Zone] = "done " + string(rune('0'+x.ID))
		} else {
			out[w.Step+" "+w.Zone] = d.unclear(w)
		}
	}
	return out
}

func doneAt(id int64, step, zone string, at time.Time, share float64) book.Done {
	x := book.Done{Step: step, Zone: zone, At: at, Share: share}
	x.ID = id
	return x
}

// What went as planned is clear; what may have gone otherwise is not, nor what comes after it
// on its zone.
func TestPlannedDayLeavesOutWhatIsUnclear(t *testing.T) {
	wash, seal, deck := blockAt("wash", "port", 0, 8), blockAt("seal", "port", 0, 12), blockAt("seal", "deck", 0, 15)
	rain := true
	fell := func(from, to time.Time) func(*plannedDay) {
		return func(d *plannedDay) { d.readings = []book.Reading{{At: from, Until: to, Rain: &rain}} }
	}
	for name, c := range map[string]struct {
		change                func(*plannedDay)
		wash, seal, otherSeal string
	}{
		"as planned":        {func(*plannedDay) {}, "", "", ""},
		"rain in its hours": {fell(clockAt(0, 9, 50), clockAt(0, 11, 0)), "rain in its hours, 09:50-11:00", "it comes after the wash", ""},
		"the job has another product": {func(d *plannedDay) { d.job.Steps[0].With = "degreaser" },
			"planned with , and the job has degreaser", "it comes after the wash", ""},
		"the job has it no more": {func(d *plannedDay) { d.job.Steps[2].On = []int{1} }, "", "the job does not have it any more", ""},
		"rain between them":      {fell(clockAt(0, 10, 0), clockAt(0, 12, 0)), "", "", ""},
		"under way": {func(d *plannedDay) { d.at = clockAt(0, 16, 0) }, "", "",
			"under way by the plan; --at says when it was over"},
		"under way, and over": {func(d *plannedDay) { d.at, d.over = clockAt(0, 16, 0), true }, "", "", ""},
		"hardly begun, and over": {func(d *plannedDay) { d.at, d.over = clockAt(0, 15, 50), true }, "", "",
			"planned to take more than twice as long as it had by then"},
		"half of it logged": {func(d *plannedDay) { d.done = []book.Done{doneAt(1, "wash", "port", clockAt(0, 9, 0), 0.5)} },
			"50 % of it logged at 09:00", "it comes after the wash", ""},
		"logged": {func(d *plannedDay) { d.done = []book.Done{doneAt(1, "wash", "port", clockAt(0, 9, 0), 1)} }, "done 1", "", ""},
		"logged before it was to be begun": {func(d *plannedDay) { d.done = []book.Done{doneAt(2, "wash", "port", clockAt(0, 7, 0), 1)} },
			"done 2", "", ""},
		"done before the plan was made": {func(d *plannedDay) { d.done = []book.Done{doneAt(1, "wash", "port", clockAt(-2, 9, 0), 1)} }, "", "", ""},
		"found bad since it was logged": {func(d *plannedDay) {
			d.done = []book.Done{doneAt(1, "wash", "port", clockAt(0, 9, 0), 1)}
			d.looked = []redo{{"wash", "port", clockAt(0, 9, 30)}}
		}, "looked at since", "it comes after the wash", ""},
		"moved": {func(d *plannedDay) {
			d.agreed = append(d.agreed, agreement{at: clockAt(0, 11, 0), moved: true, blocks: []answer.PlanBlock{blockAt("wash", "port", 1, 8), deck}})
		}, "moved to Fri 11 Sep 08:00", "missing", ""},
		"planned anew unlogged": {func(d *plannedDay) {
			d.agreed = append(d.agreed, agreement{at: clockAt(0, 11, 0), blocks: []answer.PlanBlock{blockAt("wash", "port", 1, 8), seal, deck}})
		}, "", "", ""},
		"no plan since": {func(d *plannedDay) { d.agreed = append(d.agreed, agreement{at: clockAt(0, 11, 0), moved: true}) },
			"no plan has been found since", "missing", "missing"},
	} {
		t.Run(name, func(t *testing.T) {
			d := agreedDay(wash, seal, deck)
			c.change(d)
			got := d.told(t)
			for key, want := range map[string]string{"wash port": c.wash, "seal port": c.seal, "seal deck": c.otherSeal} {
				why, is := got[key]
				assert.Equal(t, want != "missing", is, key)
				if is {
					assert.Equal(t, want, why, key)
				}
			}
		})
	}
}

// A zone in two parts, and coats, are recorded as far as the plan tells.
func TestPlannedDayShares(t *testing.T) {
	part := func(d, n int, area float64) answer.PlanBlock {
		b := blockAt("correct", "port", d, 8)
		b.Part, b.Parts, b.AreaM2 = n, 2, &area
		return b
	}
	coat := func(d, n int) answer.PlanBlock {
		b := blockAt("varnish", "rail", d, 8)
		b.Coat, b.Coats, b.AreaM2 = n, 3, nil
		return b
	}
	first := func(d *plannedDay) (share float64, why string) {
		list, err := d.list("", nil)
		require.NoError(t, err)
		require.Len(t, list, 1)
		return list[0].share, d.unclear(list[0])
	}
	share, why := first(agreedDay(part(0, 1, 6), part(1, 2, 2)))
	assert.InDelta(t, 0.75, share, 1e-9)
	assert.Empty(t, why)

	late := agreedDay(part(-1, 1, 6), part(0, 2, 2))
	late.agreed[0].at = clockAt(-2, 12, 0)
	share, why = first(late)
	assert.InDelta(t, 1, share, 1e-9)
	assert.Equal(t, "what the plan had of it on the days before is not logged", why)
	late.shut, late.done = map[string]string{}, []book.Done{doneAt(1, "correct", "port", clockAt(-1, 10, 0), 0.75)}
	_, why = first(late)
	assert.Empty(t, why)

	begun := agreedDay(part(0, 1, 6), part(1, 2, 2)) // the plan was made for the rest of the zone
	begun.done = []book.Done{doneAt(1, "correct", "port", clockAt(-2, 10, 0), 0.5)}
	_, why = first(begun)
	assert.Contains(t, why, "give --share")

	share, why = first(agreedDay(coat(0, 1), coat(1, 2), coat(2, 3)))
	assert.InDelta(t, 1.0/3, share, 1e-9)
	assert.Empty(t, why)

	both := agreedDay(part(0, 1, 6), func() answer.PlanBlock {
		b := part(0, 2, 2)
		b.From, b.To = clockAt(0, 13, 0), clockAt(0, 14, 0)
		return b
	}())
	list, err := both.list("", nil)
	require.NoError(t, err)
	require.Len(t, list, 1, "one entry for both parts of a day")
	assert.Equal(t, clockAt(0, 14, 0), list[0].end(both.at))
}

// Another day, a block that is not begun and a zone that is left out are no work of the day.
func TestPlannedDayLists(t *testing.T) {
	d := agreedDay(blockAt("wash", "port", 0, 8), blockAt("wash", "deck", 0, 9), blockAt("seal", "port", 0, 18), blockAt("wash", "transom", -1, 8))
	names := func(step string, but ...string) (out []string) {
		list, err := d.list(step, but)
		require.NoError(t, err)
		for _, w := range list {
			out = append(out, w.Step+" "+w.Zone)
		}
		return out
	}
	assert.Equal(t, []string{"wash port", "wash deck"}, names(""))
	assert.Equal(t, []string{"wash deck"}, names("wash", "port"))
	_, err := d.list("", []string{"mast"})
	assert.ErrorContains(t, err, "nothing on a zone mast on Thu 10 Sep")
	_, err = d.list("seal", nil)
	assert.ErrorContains(t, err, "no seal on Thu 10 Sep that begins before 18:00")
	d.agreed = nil
	_, err = d.list("", nil)
	assert.ErrorContains(t, err, "no plan of this job")
	assert.ErrorContains(t, d.nothing(nil), "nothing is left to be recorded of Thu 10 Sep")
	assert.ErrorContains(t, d.nothing([]answer.LeftOut{{Step: "wash", Zone: "port", Why: "rain"}, {Done: 3}}), "Thu 10 Sep: wash on port, rain")
}

// Rain that a move was told counts as that which is logged.
func TestPlannedDayHeardOfRain(t *testing.T) {
	d := agreedDay(blockAt("wash", "port", 0, 8))
	d.heard.Rain = []window.Rain{{From: clockAt(0, 9, 0), To: clockAt(0, 9, 10), Observed: true}}
	assert.Equal(t, map[string]string{"wash port": "rain in its hours, 09:00-09:10"}, d.told(t))
}
