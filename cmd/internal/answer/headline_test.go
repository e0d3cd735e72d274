package answer

import (
	"slices"
	"strings"
	"testing"
	"time"

	"dewgap/products"
	"dewgap/window/boat"
	"dewgap/window/job"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestHeadStep(t *testing.T) {
	step := func(do ...string) *job.Job {
		j := &job.Job{}
		for _, d := range do {
			j.Steps = append(j.Steps, job.Step{Name: d, Do: d})
		}
		return j
	}
	assert.Equal(t, 2, HeadStep(step("wash", "correct", "seal", "seal")))
	assert.Equal(t, 1, HeadStep(step("wash", "correct")))
	assert.Equal(t, -1, HeadStep(step()))
}

func names(list []Window) []string {
	out := []string{}
	for _, w := range list {
		out = append(out, w.Zone+" "+w.From.Format("2 15:04")+" "+w.State)
	}
	return out
}

func TestHeadline(t *testing.T) {
	b := newBoard(t, "seal")
	b.row("seal", "port side", night+"m wind_max 09:00;g none 12:00;x hours +08:00;i none +12:00;x hours end")
	b.row("seal", "foredeck", night+"x film +07:00;m wind_max +08:00;g none +12:00;x hours end")
	h := headed(b.f)
	require.NotNil(t, h)
	assert.Equal(t, []string{"port side 11 08:00 ideal", "foredeck 11 08:00 go"}, names(h.Best), "no marginal ones beside good ones")
	assert.Equal(t, []string{"port side 10 09:00 go"}, names(h.Next))
	assert.Equal(t, []string{"Thu 10 Sep: water on the panel (foredeck)"}, h.WhyNot)
	assert.NotNil(t, h.Breaks)
}

// A window in which a block holds in fewer than half of the futures is left out beside a
// surer one of the same zone on that day, not where it is all that the zone has.
func TestHeadlineOfSureWindows(t *testing.T) {
	b := newBoard(t, "seal")
	b.row("seal", "port side", night+"g none 10:00;x film 12:00;g none 18:00;x hours end")
	b.row("seal", "foredeck", night+"g none 10:00;x hours end")
	set := func(port, later, deck float64) []string {
		for i, c := range []float64{port, later} {
			b.f.Result.Rows[0].Windows[i].BestConfidence = c
		}
		b.f.Result.Rows[1].Windows[0].BestConfidence = deck
		return names(headed(b.f).Best)
	}
	assert.Equal(t, []string{"port side 10 12:00 go", "foredeck 10 07:00 go"}, sorted(set(0.4, 0.8, 0.3)))
	assert.Len(t, set(0.5, 0.8, 0.9), 3)
	assert.Len(t, set(0.4, 0.3, 0.9), 3)
}

func sorted(list []string) []string {
	slices.SortFunc(list, func(a, b string) int { return strings.Compare(b, a) })
	return list
}

func TestHeadlineMarginalDay(t *testing.T) {
	b := newBoard(t, "seal")
	b.row("seal", "port side", night+"m wind_max 12:00;x hours end")
	b.row("seal", "foredeck", night+"m wind_max 10:00;x film 18:00;x hours end")
	h := headed(b.f)
	assert.Equal(t, []string{"port side 10 07:00 marginal", "foredeck 10 07:00 marginal"}, names(h.Best))
	assert.Empty(t, h.Next)
	assert.Empty(t, h.WhyNot, "the best day is the first")
}

func TestHeadlineWithoutWindows(t *testing.T) {
	b := newBoard(t, "seal")
	b.row("seal", "port side", night+"x rain_free 11:00;x film 13:00;x hours +07:00;x away +18:00;x hours end")
	h := headed(b.f)
	assert.Empty(t, h.Best)
	assert.Empty(t, h.Next)
	assert.Equal(t, []string{
		"Thu 10 Sep: rain 3 h after the work, needs 4 h (port side)", // four hours of it against two of water
		"Fri 11 Sep: nobody works that day",
	}, h.WhyNot)
	assert.Nil(t, headed(newBoard(t).f), "a job without steps has none")
}

// What decides a day is told by the time that it takes, over all zones.
func TestWhyNotCountsOverZones(t *testing.T) {
	b := newBoard(t, "seal")
	b.row("seal", "port side", night+"x wind_max 10:00;x film 18:00;x hours +07:00;g none end")
	b.row("seal", "foredeck", night+"x wind_max 14:00;x humidity_max 18:00;x hours +07:00;g none end")
	assert.Equal(t, []string{"Thu 10 Sep: wind 3 m/s at the panel, at most 4 (port side, foredeck)"}, headed(b.f).WhyNot)
}

// A day with marginal hours is decided by what keeps them from being go, however
// long the panel is wet on it; a zone with go hours has nothing against it.
func TestWhyNotOfTheBestHours(t *testing.T) {
	b := newBoard(t, "seal")
	b.row("seal", "port side", night+"x film 09:00;m rain_free 11:00;x film 18:00;x hours +07:00;g none end")
	b.row("seal", "foredeck", night+"x film 18:00;x hours +07:00;g none end")
	assert.Equal(t, []string{"Thu 10 Sep: rain 3 h after the work, needs 4 h (port side)"}, headed(b.f).WhyNot)

	b = newBoard(t, "seal")
	b.row("seal", "port side", night+"m wind_max 12:00;g none 14:00;x hours +07:00;i none end")
	b.row("seal", "foredeck", night+"x humidity_max 10:00;x film 18:00;x hours +07:00;i none end")
	assert.Equal(t, []string{"Thu 10 Sep: water on the panel (foredeck)"}, headed(b.f).WhyNot)

	b = newBoard(t, "seal")
	b.row("seal", "port side", "x hours +07:00;g none end")
	assert.Equal(t, []string{"Thu 10 Sep: no working hours"}, headed(b.f).WhyNot)
}

func TestWorst(t *testing.T) {
	b := newBoard(t, "seal")
	b.row("seal", "port side", night+"g none 09:00;m wind_max 10:00;x rain_free 12:00;x hours end")
	look := func(from, to string) (string, string) {
		s, why := Worst(b.f, "port side", clock(t, "2026-09-10 "+from), clock(t, "2026-09-10 "+to))
		return s.String(), why
	}
	for _, c := range []struct{ from, to, state, why string }{
		{"07:00", "09:00", "go", "nothing limits it"},
		{"07:30", "08:30", "go", ""},
		{"08:00", "10:00", "marginal", "wind 3 m/s at the panel, at most 4"},
		{"08:00", "09:30", "marginal", ""},
		{"08:00", "10:10", "no-go", "rain 3 h after the work, needs 4 h"},
	} {
		state, why := look(c.from, c.to)
		assert.Equal(t, c.state, state, "%+v", c)
		assert.Equal(t, c.why, why, "%+v", c)
	}
}

// Nobody seals at nine on the first morning what is not washed yet, and the wash has to dry:
// hours that are over before the work ahead of them can be done are none to promise.
func TestHeadlineWaitsForTheWorkBefore(t *testing.T) {
	b := newBoard(t, "wash", "seal")
	b.f.Classes = classes{
		"wash-class": {ID: "wash-class", Do: "wash", People: 1, RateUnit: "m2", RateM2H: products.Range{Given: true, Min: 18, Max: 18}},
		"seal-class": {ID: "seal-class", Do: "seal", People: 1, RateUnit: "m2", RateM2H: products.Range{Given: true, Min: 18, Max: 18},
			DryOff: products.Clock{Given: true, Default: 2, Hard: 1, HasHard: true}},
	}
	b.row("wash", "port side", night+"g none end") // an hour's work, from 07:00
	b.row("seal", "port side", night+"i none 09:00;x film +07:00;g none +12:00;x hours end")
	h := headed(b.f)
	assert.Equal(t, []string{"port side 11 07:00 go"}, names(h.Best), "dry by nine, when the first day's hours are over")
	assert.Empty(t, h.Next)
	assert.Equal(t, []string{"Thu 10 Sep: wash comes first (port side)"}, h.WhyNot)
	for _, w := range newBuilder(b.f).windows() {
		if early := w.Step == "seal" && w.From.Day() == 10; !early {
			assert.Nil(t, w.ReadyAt, "%s %v", w.Step, w.From)
		} else if assert.NotNil(t, w.ReadyAt) {
			assert.Equal(t, "10 09:00", w.ReadyAt.Format("2 15:04"))
		}
	}

	b.f.Job.Zones[0].Done = map[string]boat.Done{"wash": {At: clock(t, "2026-09-09 18:00"), Share: 1}}
	h = headed(b.f)
	assert.Equal(t, []string{"port side 10 07:00 ideal"}, names(h.Best), "washed the day before")
	assert.Equal(t, []string{"port side 11 07:00 go"}, names(h.Next))
	assert.Empty(t, h.WhyNot)

	b.f.Job.Zones[0].Done = nil
	b.f.Result.Rows = nil
	b.row("wash", "port side", night+"g none end")
	b.row("seal", "port side", night+"i none 11:00;x hours end")
	assert.Equal(t, []string{"port side 10 09:00 ideal"}, names(headed(b.f).Best), "told from when it may begin")
	b.f.Result.Rows = nil
	b.row("wash", "port side", night+"x water end")
	b.row("seal", "port side", night+"i none 11:00;x hours end")
	assert.Equal(t, []string{"port side 10 07:00 ideal"}, names(headed(b.f).Best), "its own hours where the work before has none at all")
}

// Zones stand in the boat's order, whatever the order in which a step names them: the same
// list is the same everywhere, and "all zones" can be said of it.
func TestWhyNotInTheBoatsOrder(t *testing.T) {
	b := newBoard(t, "seal")
	b.f.Job.Steps[0].On = []int{1, 0}
	b.row("seal", "foredeck", night+"x film 18:00;x hours end")
	b.row("seal", "port side", night+"x film 18:00;x hours end")
	assert.Contains(t, headed(b.f).WhyNot[0], "(port side, foredeck)")
}

// headed is the headline of a week without a plan.
func headed(f Facts) *Headline {
	w := &Week{Now: f.Now}
	newBuilder(f).takeHeadline(w)
	return w.Headline
}

// With a plan of the step the headline is about the plan's first day of it, by the plan's own
// blocks: the day that its own weather suits best is told beside it, and neither that nor
// another day of the plan is the next best.
func TestHeadlineOfAPlan(t *testing.T) {
	b := newBoard(t, "wash", "seal")
	b.row("wash", "port side", "g none end")
	b.row("seal", "port side", night+"i none 18:00;x film +07:00;g none +18:00;x wind_max +09:00;x hours end")
	block := func(step, from, to string) PlanBlock {
		return PlanBlock{Step: step, Zone: "port side", From: clock(t, from).UTC(), To: clock(t, to).UTC(), State: Go, Confidence: 0.9}
	}
	w := NewWeek(b.f)
	assert.Equal(t, "2026-09-10", w.Headline.Day, "without a plan its own best")
	assert.False(t, w.Headline.Planned)
	assert.Equal(t, []HeadHours{{Zone: "port side", From: clock(t, "2026-09-10 08:00"), To: clock(t, "2026-09-10 18:00"), State: "ideal", Confidence: w.Headline.Hours[0].Confidence}}, w.Headline.Hours)
	assert.Empty(t, w.Headline.OffBest)
	assert.Equal(t, []string{"port side 11 07:00 go"}, names(w.Headline.Next))

	w.TakePlan(b.f, &Plan{State: Go, Blocks: []PlanBlock{
		block("wash", "2026-09-10 08:00", "2026-09-10 10:00"), block("seal", "2026-09-11 10:00", "2026-09-11 11:00"), block("seal", "2026-09-11 11:00", "2026-09-11 12:00"),
	}})
	h := w.Headline
	assert.Equal(t, "2026-09-11", h.Day)
	assert.True(t, h.Planned)
	assert.Equal(t, []string{"port side 10 08:00 ideal"}, names(h.Best))
	assert.Empty(t, h.Next)
	assert.Empty(t, h.WhyNot, "of the day before it says that it would be better")
	assert.Equal(t, "Seal alone would do best on Thu 10 Sep; for the whole job this is the best plan found.", h.OffBest)
	hours, planned := w.Asked()
	assert.True(t, planned)
	assert.Equal(t, []string{"port side 11 10:00 go"}, names(hours), "parts that go on are one")
	assert.Equal(t, "11 12:00", hours[0].To.Format("2 15:04"), "by the clock at the place")
	assert.InDelta(t, 0.9, hours[0].Confidence, 0)

	w.TakePlan(b.f, &Plan{State: Go, Blocks: []PlanBlock{block("seal", "2026-09-10 10:00", "2026-09-10 12:00"), block("seal", "2026-09-11 10:00", "2026-09-11 12:00")}})
	assert.Equal(t, "2026-09-10", w.Headline.Day)
	assert.Len(t, w.Headline.Hours, 1)
	assert.Empty(t, w.Headline.OffBest)
	assert.Empty(t, w.Headline.Next)
	assert.Equal(t, []time.Time{clock(t, "2026-09-11 10:00")}, w.LaterDays())

	w.TakePlan(b.f, &Plan{State: None, Why: []string{"no room"}})
	assert.Equal(t, "2026-09-10", w.Headline.Day)
	assert.False(t, w.Headline.Planned)
}

// The state of the plan's hours is that in which work goes by them: a yes that they wait for
// makes them marginal, and hours of a plan that holds no longer are as the plan is.
func TestAsked_State(t *testing.T) {
	at := time.Date(2026, 5, 11, 8, 0, 0, 0, time.UTC)
	for name, x := range map[string]struct {
		plan, block string
		yes         bool
		want        string
	}{
		"as it is":            {Go, "ideal", false, "ideal"},
		"with a yes":          {Marginal, Go, true, Marginal},
		"lost":                {NoGo, NoGo, false, NoGo},
		"what it hangs on is": {NoGo, Go, true, NoGo},
		"not known":           {Unknown, Go, false, Unknown},
	} {
		w := &Week{Now: at, Headline: &Headline{Step: "seal"}, Plan: &Plan{State: x.plan, Blocks: []PlanBlock{
			{Step: "seal", From: at, To: at.Add(time.Hour), State: x.block, NeedsConsent: x.yes},
		}}}
		hours, planned := w.Asked()
		assert.True(t, planned, name)
		assert.Equal(t, x.want, hours[0].State, name)
	}
	_, planned := (&Week{}).Asked()
	assert.False(t, planned)
}
