package window_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/forecast"
	"dewgap/products"
	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/verdict"
)

// holdPlanned holds a plan against what was asked of it, block by block, as a person
// would with both on paper.
func holdPlanned(t require.TestingT, p *window.Planned) {
	in := p.Input
	at := map[int]int{}
	for i, b := range p.Blocks {
		at[b.Task] = i
	}
	require.Len(t, at, len(in.Tasks), "each task once")
	consents := 0
	for _, b := range p.Blocks {
		task, day := in.Tasks[b.Task], in.Days[in.Day[b.From]]
		require.GreaterOrEqual(t, b.From, day.Open+in.SetUp)
		require.LessOrEqual(t, b.To, day.Close-in.PackUp)
		require.GreaterOrEqual(t, (b.WorkTo-b.From)*len(b.People), task.Work)
		require.True(t, task.Until == 0 || b.To <= task.Until)
		marginal := task.UntilGo > 0 && b.To > task.UntilGo
		for i := b.From; i < b.To; i++ {
			require.True(t, task.State[i].Workable())
			require.Equal(t, in.Day[b.From], in.Day[i])
			marginal = marginal || task.State[i] == verdict.Marginal
		}
		for _, a := range task.After {
			end, before := a.End, a.EndDay
			if a.Task >= 0 {
				end, before = p.Blocks[at[a.Task]].To, in.Day[p.Blocks[at[a.Task]].From]
			}
			gap := b.From - end
			require.GreaterOrEqual(t, gap, a.Hard, "%s", a.Limit)
			require.True(t, a.Most == 0 || gap <= a.Most || a.Anew > 0 && gap >= a.Anew, "%s", a.Limit)
			require.True(t, !a.NextDay || in.Day[b.From] > before)
			marginal = marginal || gap < a.Go
		}
		require.Equal(t, marginal, b.State == verdict.Marginal, "a block says that it is marginal, and only then")
		require.Equal(t, marginal || b.Confidence < 0.5, b.Consent)
		consents += one(b.Consent)
	}
	require.Equal(t, consents, p.Score.Consents, "as many consents as are asked for")
	for _, a := range in.Apart {
		w, d := p.Blocks[at[a.Wet]], p.Blocks[at[a.Dry]]
		require.True(t, d.From >= w.To+a.Before || w.From >= d.To+a.Keep, "water kept off")
	}
	holdCrew(t, p)
}

// However little the planner may look, a plan that it moves keeps every rule, says what
// it asks of the person and counts its own moves; what it calls proven is so.
func TestMoveOnASmallBudget(t *testing.T) {
	t.Parallel()
	for _, polishers := range []int{0, 1} {
		moveOnASmallBudget(t, polishers)
	}
}

func moveOnASmallBudget(t *testing.T, polishers int) {
	f, j := calm(5), sealJob(t)
	j.Polishers = polishers
	b := planned(t, f, j)
	require.True(t, b.Found)
	fewest := map[string]int{}
	ways := map[string]func(f *forecast.Forecast) (*forecast.Forecast, time.Time){
		"rain on the second day": func(f *forecast.Forecast) (*forecast.Forecast, time.Time) { return rainOn(f, 24+8, 24+18), f.Start },
		"a day lost":             func(f *forecast.Forecast) (*forecast.Forecast, time.Time) { return f, f.Start.Add(24 * time.Hour) },
		"rain in the afternoons": func(f *forecast.Forecast) (*forecast.Forecast, time.Time) { return afternoons(f, 14, 17), f.Start },
	}
	found, unproven := 0, 0
	for _, budget := range []int{400_000, 5_000, 600, 150, 40} {
		for name, way := range ways {
			g, now := way(calm(5))
			m := b.move(t, g, now, func(in *window.MoveInput) { in.Plan.Budget = budget })
			if !m.Planned.Found {
				continue
			}
			found++
			holdPlanned(t, m.Planned)
			holdPolishers(t, booked{m.Planned, m.Result, m.Job}, nil)
			shifted := changesOf(m)[window.Shifted]
			require.Equal(t, shifted, m.Moved, "%s on %d", name, budget)
			require.LessOrEqual(t, m.Least, m.Moved)
			if m.Proven {
				if least, known := fewest[name]; known {
					require.Equal(t, least, m.Moved, "%s on %d", name, budget)
				}
				fewest[name] = m.Moved
			}
			unproven += one(!m.Proven)
		}
	}
	assert.Greater(t, found, 6)
	assert.Positive(t, unproven, "some end before they know")
}

// Where there is no plan and nothing was promised, it says so and nothing else is tried.
func TestMoveNoPlanNoPromise(t *testing.T) {
	f := rainOn(calm(4), 0, 96)
	in := moving(t, f, stepsOn(t, on(1, 8, 0), 0, waxStep), on(2, 6, 0))
	in.Old = []window.Booked{{Step: "seal", Zone: "port side", Coat: 1, From: on(3, 10, 0), To: on(3, 11, 0), People: []int{1}}}
	m := moved(t, in)
	assert.False(t, m.Planned.Found)
	assert.True(t, m.Planned.Refusal.Certain)
	assert.Equal(t, []any{false, false, 0}, []any{m.Handover.Promised, m.Handover.Kept, m.Handover.Days})
	assert.True(t, m.Handover.By.Equal(on(4, 0, 0)), "the old plan's last day")
	require.Len(t, m.Changes, 1)
	assert.Equal(t, window.Homeless, m.Changes[0].Became)
}

// A block far less sure than it was is looked at also where another one before it has
// moved, or is new.
func TestMoveWeakAfterAMovedOne(t *testing.T) {
	quiet := func() *forecast.Forecast {
		f := ensemble(6, 10)
		for k := range f.Members {
			for i := range f.N {
				f.Members[k].Columns[forecast.Precipitation].Set(i, 0)
			}
		}
		return f
	}
	j := smallJob(t, "cleaner-wax")
	j.Zones = append(j.Zones, j.Zones[0])
	j.Zones[1].Name, j.Steps[0].On = "starboard side", []int{0, 1}
	j.Zones[1].Faces = 90
	f := quiet()
	for k := range 2 { // two of ten have rain on the fourth
		for i := 24*3 + 6; i < 24*3+20; i++ {
			f.Members[k].Columns[forecast.Precipitation].Set(i, 2)
		}
	}
	in := moving(t, f, j, on(3, 6, 0))
	in.Old = []window.Booked{
		{Step: "seal", Zone: "port side", Coat: 1, From: on(2, 14, 0), To: on(2, 15, 10), People: []int{1, 2}, Confidence: 1},
		{Step: "seal", Zone: "starboard side", Coat: 1, From: on(4, 9, 0), To: on(4, 10, 10), People: []int{1, 2}, Confidence: 1},
	}
	m := moved(t, in)
	require.True(t, m.Planned.Found)
	whys := map[window.Why]int{}
	for _, c := range m.Changes {
		whys[c.Why]++
	}
	assert.Equal(t, map[window.Why]int{window.WhyLost: 1, window.WhyWeak: 1}, whys)
	assert.Equal(t, 2, m.Moved)
}

// classesBut are those of the catalogue without one.
type classesBut struct {
	*products.Set
	id string
}

// Class finds a class, unless it is the one that is missing.
func (c classesBut) Class(id string) (products.Class, bool) {
	if id == c.id {
		return products.Class{}, false
	}
	return c.Set.Class(id)
}

// A strip wash that has to be put in is called so that no step of the job has its name;
// where no class of wash is known nothing is put in, and the film is laid on again.
func TestMovePutsAWashIn(t *testing.T) {
	f, now := calm(6), on(2, 14, 0)
	rain := []window.Rain{{From: now.Add(-time.Hour), To: now.Add(-showerMin), Observed: true}}
	named := waxStep
	named.Name = "strip wash" // whatever made the person call it so
	in := moving(t, f, stepsOn(t, now.Add(-100*time.Minute), 1, named), now)
	in.Rain = rain
	m := moved(t, in)
	assert.Equal(t, map[string]float64{"strip wash again on port side (redo)": 10, "strip wash on port side (redo)": 10}, taskNames(m))

	j := stepsOn(t, now.Add(-100*time.Minute), 1, waxStep)
	in = moving(t, f, j, now)
	in.Rain, in.Classes = rain, classesBut{catalogue(t), "soap-wash"}
	m = moved(t, in)
	assert.Equal(t, map[string]float64{"seal on port side (redo)": 10}, taskNames(m))
	require.Len(t, m.Undone, 1)
	assert.Equal(t, window.Undone{Step: 0, Zone: 0, Share: 1, Fate: window.Redo}, m.Undone[0])

	in.Classes = catalogue(t)
	m = moved(t, in)
	assert.Equal(t, map[string]float64{"strip wash on port side (redo)": 10, "seal on port side (redo)": 10}, taskNames(m))
	s, ok := m.Job.Step("strip wash")
	require.True(t, ok)
	assert.Equal(t, "soap-wash", m.Job.Steps[s].With, "soap, where the job has no wash of its own")
}

// Two spoiled zones share the one wash that is put in for them.
func TestMoveOneWashForAll(t *testing.T) {
	f, now := calm(6), on(2, 14, 0)
	j := stepsOn(t, now.Add(-100*time.Minute), 1, rotary, waxStep)
	z := j.Zones[0]
	z.Name = "starboard side"
	z.Done = map[string]boat.Done{"correct": j.Zones[0].Done["correct"]}
	j.Zones = append(j.Zones, z)
	j.Steps[0].On, j.Steps[1].On = []int{0, 1}, []int{0, 1}
	in := moving(t, f, j, now)
	in.Rain = []window.Rain{{From: now.Add(-time.Hour), To: now.Add(-showerMin), Observed: true}}
	m := moved(t, in)
	assert.Equal(t, map[string]float64{
		"rewash on port side": 10, "rewash on starboard side": 10, "seal on port side": 10, "seal on starboard side": 10,
	}, taskNames(m))
	var names []string
	for _, s := range m.Job.Steps {
		names = append(names, s.Name)
	}
	assert.Equal(t, []string{"correct", "rewash", "seal"}, names, "one step, on both")
}

// What is said to be done later than now, by a clock that is ahead, holds work up until
// then.
func TestPlanDoneAheadOfTheClock(t *testing.T) {
	f, now := calm(5), on(2, 14, 0)
	end := func(at time.Time) (slot, day int) {
		j := stepsOn(t, at, 1, washStep, waxStep)
		r := evaluate(t, f, j, now)
		p, err := window.Plan(r, j, window.PlanSettings{Budget: 1000})
		require.NoError(t, err)
		require.NotEmpty(t, p.Input.Tasks[0].After)
		a := p.Input.Tasks[0].After[0]
		return a.End, a.EndDay
	}
	for at, want := range map[time.Time][2]int{
		on(2, 15, 0): {6, 0}, on(3, 9, 0): {19 * 6, 1}, on(2, 13, 55): {0, 0}, on(1, 14, 0): {-144, -1},
		on(9, 9, 0): {(7*24 - 5) * 6, 3}, // past the forecast: its last day
	} {
		slot, day := end(at)
		assert.Equal(t, want, [2]int{slot, day}, "%v", at)
	}
}

// A product without a rate takes two hours a zone, and the answer says that this is
// assumed; a job that asks for no share of agreement asks for the usual four fifths.
func TestPlanUsualValues(t *testing.T) {
	f := ensemble(4, 5)
	bare, _ := catalogue(t).Class("cleaner-wax")
	bare.RateM2H.Given = false
	j := smallJob(t, "cleaner-wax")
	r, err := window.Evaluate(window.Input{Forecast: f, Job: j, Classes: only{bare}, Location: eastern, Now: f.Start})
	require.NoError(t, err)
	p, err := window.Plan(r, j, window.PlanSettings{Budget: 1000})
	require.NoError(t, err)
	require.Len(t, p.Tasks, 1)
	assert.True(t, p.Tasks[0].Assumed)
	assert.InDelta(t, 2, p.Tasks[0].PersonHours, 1e-9)
	require.Len(t, p.Notes, 1)
	assert.Contains(t, p.Notes[0], "2 h of work assumed")

	sure := evaluate(t, f, j, f.Start)
	j.Sure = 0
	assert.Equal(t, sure.Rows, evaluate(t, f, j, f.Start).Rows)
	j.ShortestH, j.Sure = 0, 0.8
	assert.Equal(t, sure.Rows, evaluate(t, f, j, f.Start).Rows, "and blocks of two hours")
}

// only is one class.
type only struct{ it products.Class }

// Class finds it.
func (o only) Class(id string) (products.Class, bool) { return o.it, id == o.it.ID }

// Rain that is no more than likely may come an hour early today, two tomorrow (common
// practice): what must stay dry is held against the earlier hour, under a roof it is
// not.
func TestRainInDoubt(t *testing.T) {
	f := calm(5)
	m := &f.Members[0]
	m.Columns[forecast.Precipitation] = forecast.Column{}
	p := forecast.NewColumn(f.N)
	for i := range f.N {
		p.Set(i, 10)
	}
	const wet = 24 + 14
	p.Set(wet, 80) // at 14:00 on the second
	m.Columns[forecast.PrecipitationProbability] = p
	last := func(now time.Time, shelter boat.Shelter) time.Time {
		j := smallJob(t, "spray-sealant")                                               // rain-free 2 h, hard half an hour
		j.Zones[0].Shelter, j.Zones[0].Faces, j.Zones[0].FacesTrue = shelter, 290, true // in the shade till noon
		r := evaluate(t, f, j, now)
		end := time.Time{}
		for i, s := range r.Rows[0].Slots.State {
			if at := r.Grid.At(r.From + i).In(eastern); at.Day() == 2 && at.Hour() < 14 && s <= verdict.Go {
				end = at
			}
		}
		return end
	}
	today, yesterday := last(on(2, 6, 0), boat.Open), last(on(1, 6, 0), boat.Open)
	assert.Equal(t, on(2, 10, 50), today, "two hours before an hour before two o'clock")
	assert.Equal(t, time.Hour, today.Sub(yesterday), "a day further ahead it may come an hour earlier still")
	assert.True(t, last(on(2, 6, 0), boat.Shed).After(on(2, 13, 0)), "a shed does not care")
}

// Water from above is named as the reason only where it would come: a seal that gives
// way to two other blocks gives way for want of hands, though a deck above is washed
// that week; one that stood in the way of a wash which can be at no other hour gives way
// to the wash.
func TestMoveWaterOrRoom(t *testing.T) {
	seal := func(washFrom, washTo time.Time, others bool) (window.Change, *window.Moved) {
		j := smallJob(t, "")
		z := j.Zones[0]
		deck, one, two := z, z, z
		deck.Name, deck.Tilt, deck.DrainsTo, one.Name, two.Name = "foredeck", 0, []string{"port side"}, "starboard side", "transom"
		deck.Reach = []boat.Span{{From: washFrom, To: washTo}}
		j.Zones, j.People, j.ShortestH = append(j.Zones, deck, one, two), 1, 0.1
		j.Steps = []job.Step{
			{Name: "wash", Do: "wash", With: "soap-wash", On: []int{1}, Hours: 1.0 / 3},
			{Name: "correct", Do: "correct", With: "compound-rotary", On: []int{2, 3}, Hours: 1},
			{Name: "seal", Do: "seal", With: "spray-sealant", On: []int{0}, Hours: 1},
		}
		old := func(step, zone string, from time.Time, minutes int) window.Booked {
			return window.Booked{
				Step: step, Zone: zone, Coat: 1, From: from, To: from.Add(time.Duration(minutes) * time.Minute), People: []int{1}, Confidence: 1,
				PersonHours: float64(minutes) / 60,
			}
		}
		in := moving(t, calm(5), j, on(2, 6, 0))
		in.Old = []window.Booked{old("seal", "port side", on(3, 13, 0), 60), old("wash", "foredeck", washFrom, 20)}
		if others {
			in.Old = append(in.Old, old("correct", "starboard side", on(3, 13, 0), 30), old("correct", "transom", on(3, 13, 30), 30))
		} else {
			in.Old = append(in.Old, old("correct", "starboard side", on(2, 14, 0), 30), old("correct", "transom", on(2, 14, 30), 30))
		}
		m := moved(t, in)
		require.True(t, m.Planned.Found, "%+v", m.Planned.Refusal)
		for _, c := range m.Changes {
			if c.Old == 0 {
				return c, m
			}
		}
		require.Fail(t, "nothing is said of the seal")
		return window.Change{}, m
	}
	c, m := seal(on(2, 16, 0), on(2, 16, 20), true)
	assert.Equal(t, []any{window.Shifted, window.WhyRoom, -1}, []any{c.Became, c.Why, c.Other}, "the deck was washed the day before")
	assert.Equal(t, 1, m.Moved)

	c, m = seal(on(3, 14, 30), on(3, 14, 50), false)
	require.Equal(t, []any{window.Shifted, window.WhyOrder}, []any{c.Became, c.Why}, "half an hour after it")
	assert.Equal(t, "wash", m.Job.Steps[m.Planned.Tasks[m.Planned.Blocks[c.Other].Task].Step].Name)
	assert.Equal(t, 1, m.Moved)

	c, _ = seal(on(3, 16, 0), on(3, 16, 20), false)
	assert.Equal(t, window.Shifted, c.Became, "the film stands rain by then, and no water that is let run on it")
	c, _ = seal(on(3, 17, 0), on(3, 17, 20), false)
	assert.Equal(t, window.Kept, c.Became, "three hours after it the film stands water")
}

// That no fewer will do is said of what cannot stand, and of work that cannot be cut up
// further: five hours around another's hour hold a work of four in two parts, though not in
// one piece.
func TestMoveProvesNothingOfWorkThatCouldBeCut(t *testing.T) {
	f := calm(5)
	j := smallJob(t, "soap-wash")
	j.People, j.By = 1, job.Date{Year: 2026, Month: 9, Day: 3}
	j.Zones = append(j.Zones, j.Zones[0])
	j.Zones[1].Name = "starboard side"
	j.Steps = []job.Step{
		{Name: "long", Do: "wash", With: "soap-wash", On: []int{0}, Hours: 4},
		{Name: "short", Do: "wash", With: "soap-wash", On: []int{1}, Hours: 1},
	}
	none := job.Schedule{Set: true}
	j.Hours = none
	j.Hours.Dates = map[job.Date][]job.ClockSpan{{Year: 2026, Month: 9, Day: 3}: {{From: 6*60 + 30, To: 12*60 + 30}}}
	in := moving(t, f, j, on(2, 12, 0))
	in.Old = []window.Booked{
		{Step: "long", Zone: "port side", Coat: 1, From: on(2, 13, 0), To: on(2, 17, 0), People: []int{1}, PersonHours: 4, Confidence: 1},
		{Step: "short", Zone: "starboard side", Coat: 1, From: on(3, 9, 0), To: on(3, 10, 0), People: []int{1}, PersonHours: 1, Confidence: 1},
	}
	m := moved(t, in)
	require.True(t, m.Planned.Found, "%+v", m.Planned.Refusal)
	assert.Equal(t, []any{2, false, 1}, []any{m.Moved, m.Proven, m.Least}, "in two parts the long one alone would move")

	j.Steps[0].Hours, in.Old[0].PersonHours = 1.5, 1.5
	in.Old[0].To = on(2, 14, 30)
	m = moved(t, in)
	assert.Equal(t, []any{1, true, 1}, []any{m.Moved, m.Proven, m.Least}, "it cannot stand, and nothing else moves")
}
