package answer

import (
	"strings"
	"testing"
	"time"

	"dewgap/window"
	"dewgap/window/plan"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// away is a block on another boat, "10 07:30-11:20" of September.
func away(t testing.TB, boat, hours string, people ...int) Away {
	t.Helper()
	day, span, _ := strings.Cut(hours, " ")
	from, to, _ := strings.Cut(span, "-")
	return Away{
		Job: "Wash and seal", Boat: boat, From: clock(t, "2026-09-"+day+" "+from), To: clock(t, "2026-09-"+day+" "+to),
		People: people, Step: "wash", Zone: "port side", Agreed: clock(t, "2026-09-09 18:00"),
	}
}

// crewed is the board's crew elsewhere, in the facts and in the result.
func (b *board) crewed(list ...Away) {
	b.f.Job.Crew, b.f.Crew = "Ada and Ben", nil
	b.f.Crew = NewCrew(b.f.Job, list)
	b.f.Result.Elsewhere = nil
	for _, x := range list {
		for _, p := range x.People {
			b.f.Result.Elsewhere = append(b.f.Result.Elsewhere, window.Elsewhere{Person: p, From: x.From, To: x.To})
		}
	}
}

// strangers is an hour at the machine, and what comes after, of people whom the job has not.
func strangers(t testing.TB, hours string, people ...int) Away {
	x := away(t, "Tern", hours)
	x.Machines, x.MachineH = people, 1
	return x
}

// People whom the job has not are missed by no word but that on the polishers; the engine is
// told of theirs.
func TestCrew_StrangersAreNoHands(t *testing.T) {
	b := newBoard(t, "seal")
	x := strangers(t, "10 09:00-11:20", 3)
	b.crewed(x)
	c := b.f.Crew
	assert.Equal(t, []window.Elsewhere{{Person: 3, From: x.From.UTC(), To: x.To.UTC(), MachineH: 1}}, c.Away[0].Elsewhere())
	assert.Empty(t, c.OwnerLine(x.To))
	assert.Empty(t, NextAway(c, x.From))
	c.Holds = true
	assert.Empty(t, c.HeldBy(x.From))
	assert.Empty(t, c.On(&PlanBlock{From: x.From, To: x.To, People: []int{1, 2, 3}}))
	x.Machines, x.People = x.People, x.Machines
	b.crewed(x)
	assert.NotEmpty(t, b.f.Crew.OwnerLine(x.To))
	assert.NotEmpty(t, b.f.Crew.On(&PlanBlock{From: x.From, To: x.To, People: []int{1, 2, 3}}))
}

// Blocks that leave no time to be here in between are told as one, people who are there
// together as one, and each other job by itself.
func TestCrewLines(t *testing.T) {
	for name, c := range map[string]struct {
		list []Away
		want []string
	}{
		"none": {nil, nil},
		"two blocks as one": {
			[]Away{away(t, "Tern", "10 07:30-08:00", 1, 2), away(t, "Tern", "10 09:00-11:20", 1, 2)},
			[]string{"Crew Ada and Ben on Tern (Wash and seal): Thu 10 Sep 07:30-11:20 (1+2). Not booked here then, nor for 30 min before and after."},
		},
		"time to come back": {
			[]Away{away(t, "Tern", "10 07:30-08:00", 1), away(t, "Tern", "10 09:10-11:20", 1)},
			[]string{"Crew Ada and Ben on Tern (Wash and seal): Thu 10 Sep 07:30-08:00 (1), 09:10-11:20 (1). Not booked here then, nor for 30 min before and after."},
		},
		"one stays longer, over two days": {
			[]Away{away(t, "Tern", "10 07:30-09:00", 2, 1), away(t, "Tern", "10 09:00-11:00", 2), away(t, "Tern", "11 08:00-09:00", 1)},
			[]string{"Crew Ada and Ben on Tern (Wash and seal): Thu 10 Sep 07:30-09:00 (1), 07:30-11:00 (2); Fri 11 Sep 08:00-09:00 (1). " +
				"Not booked here then, nor for 30 min before and after."},
		},
		"two boats": {
			[]Away{away(t, "Tern", "10 07:30-09:00", 1), away(t, "", "10 10:00-11:00", 1)},
			[]string{"Crew Ada and Ben on Tern (Wash and seal): Thu 10 Sep 07:30-09:00 (1).",
				"Crew Ada and Ben on Wash and seal: Thu 10 Sep 10:00-11:00 (1). Not booked here then, nor for 30 min before and after."},
		},
		"polishers in other hands": {
			[]Away{strangers(t, "10 07:30-09:00", 3), strangers(t, "10 09:30-11:00", 3, 4)},
			[]string{"Polisher of crew Ada and Ben on Tern (Wash and seal): Thu 10 Sep 07:30-11:00 (3), 09:30-11:00 (4). " +
				"Not to be had here while it is worked there, nor for 30 min before and after."},
		},
		"hands and a polisher": {
			[]Away{away(t, "Tern", "10 07:30-08:00", 1), strangers(t, "10 09:00-11:20", 3)},
			[]string{"Crew Ada and Ben on Tern (Wash and seal): Thu 10 Sep 07:30-08:00 (1). Not booked here then, nor for 30 min before and after.",
				"Polisher of crew Ada and Ben on Tern (Wash and seal): Thu 10 Sep 09:00-11:20 (3). Not to be had here while it is worked there, nor for 30 min before and after."},
		},
	} {
		b := newBoard(t, "seal")
		b.crewed(c.list...)
		assert.Equal(t, c.want, CrewLines(b.f.Crew), name)
	}
	far := away(t, "Tern", "10 07:30-09:00", 1)
	far.KM, far.WayMin = 12, 25
	b := newBoard(t, "seal")
	b.crewed(far)
	assert.Equal(t, []string{"Crew Ada and Ben on Tern (Wash and seal), 12 km away, about 25 min by road: Thu 10 Sep 07:30-09:00 (1). " +
		"Not booked here then, nor for 30 min and the way before and after."}, CrewLines(b.f.Crew))
}

// Between two blocks in another marina nobody is back for less than both ways.
func TestCrew_TheWayCounts(t *testing.T) {
	b := newBoard(t, "seal")
	list := []Away{away(t, "Tern", "10 07:30-09:00", 1), away(t, "Tern", "10 10:40-12:00", 1)}
	own := PlanBlock{From: list[0].To.Add(40 * time.Minute), To: list[0].To.Add(time.Hour), People: []int{1}}
	b.crewed(list...)
	assert.Len(t, b.f.Crew.stays("Tern (Wash and seal)"), 2)
	assert.Empty(t, b.f.Crew.On(&own))
	for i := range list {
		list[i].KM, list[i].WayMin = 12, 25
	}
	b.crewed(list...)
	assert.Len(t, b.f.Crew.stays("Tern (Wash and seal)"), 1)
	assert.Equal(t, "Tern (Wash and seal)", b.f.Crew.On(&own))
}

// A way of hours joins the work of a day, never that of two.
func TestCrew_TheNightIsNoStay(t *testing.T) {
	list := []Away{away(t, "Tern", "10 07:30-16:00", 1), away(t, "Tern", "11 07:30-12:00", 1)}
	for i := range list {
		list[i].KM, list[i].WayMin = 500, 8*60
	}
	b := newBoard(t, "seal")
	b.crewed(append(list, away(t, "Tern", "11 23:00-23:50", 2), away(t, "Tern", "12 00:10-02:00", 2))...)
	assert.Equal(t, "Thu 10 Sep 07:30-16:00 (1); Fri 11 Sep 07:30-12:00 (1), 23:00-02:00 (2)", b.f.Crew.hours("Tern (Wash and seal)"))
}

// The week says where its plan leaves the best day for want of hands, and only then.
func TestWeek_TheCrewIsElsewhereOnTheBestDay(t *testing.T) {
	b := newBoard(t, "seal")
	b.crewed(away(t, "Tern", "10 07:30-11:20", 1, 2))
	block := func(hours string) PlanBlock {
		x := away(t, "", hours, 1)
		return PlanBlock{Step: "seal", Zone: "port side", From: x.From, To: x.To, State: Go}
	}
	w := &Week{Crew: b.f.Crew, Now: b.f.Now, Headline: &Headline{Step: "seal", Best: []Window{{From: clock(t, "2026-09-10 07:00")}}}, Plan: &Plan{}}
	assert.Empty(t, w.OffBest(false), "no block of it")
	w.Plan.Blocks = []PlanBlock{block("11 08:00-09:00"), block("11 10:00-11:00"), block("12 08:00-09:00")}
	assert.Equal(t, "Seal alone would do best on Thu 10 Sep; the crew is on Tern (Wash and seal) then.", w.OffBest(false))
	assert.Equal(t, "Fri 11 Sep port side, Sat 12 Sep port side", w.InPlan(), "the plan's own days are said there, and once")
	w.Crew = &Crew{Away: []Away{strangers(t, "10 09:00-11:20", 3)}}
	assert.Equal(t, "Seal alone would do best on Thu 10 Sep; a polisher of the crew is on Tern (Wash and seal) then.", w.OffBest(false))
	w.Crew = b.f.Crew
	w.Headline.Best[0].From = clock(t, "2026-09-13 07:00")
	assert.Equal(t, "Seal alone would do best on Sun 13 Sep; for the whole job this is the best plan found.", w.OffBest(false), "that is not why")
	w.Headline.Best[0].From = clock(t, "2026-09-10 07:00")
	assert.Equal(t, "Seal alone would do best on Thu 10 Sep; the crew is on another boat then.", w.OffBest(true), "whose, an owner is not told")
	w.Plan.Held = &b.f.Now
	assert.Equal(t, "Seal alone would do best on Thu 10 Sep; the plan of Thu 10 Sep 06:00 stands.", w.OffBest(false))
	w.Plan.Held, w.Crew = nil, nil
	w.Plan.Blocks = append(w.Plan.Blocks, block("10 10:00-12:00"), block("11 06:00-07:00"))
	for k, step := range []string{"wash", "correct"} {
		w.Plan.Blocks[3+k].Step = step
	}
	assert.Equal(t, "Seal alone would do best on Thu 10 Sep; correct comes first, later in the plan.", w.OffBest(false), "of what comes first what is not over by then")
	w.Headline.Best[0].From = clock(t, "2026-09-12 07:00")
	assert.Empty(t, w.OffBest(false), "it is on the best day")
	w.Headline.Best = nil
	assert.Empty(t, w.OffBest(false))
	w.Headline = nil
	assert.Empty(t, w.OffBest(false))
	w.Crew = nil
	assert.Empty(t, w.OffBest(false))
}

// The owner hears on which days the crew is elsewhere, and of nobody else's boat.
func TestCrew_ForTheOwner(t *testing.T) {
	b := newBoard(t, "seal")
	var none *Crew
	assert.Empty(t, none.OwnerLine(b.f.Now))
	b.crewed(away(t, "Tern", "10 07:30-11:20", 1), away(t, "Plover", "10 12:30-13:20", 2), away(t, "Tern", "11 07:30-11:20", 1), away(t, "Tern", "12 07:30-11:20"), away(t, "Tern", "13 07:30-11:20", 1))
	assert.Equal(t, "The crew works on another boat on Thu 10 Sep and Fri 11 Sep.", b.f.Crew.OwnerLine(clock(t, "2026-09-12 18:00")))
	assert.Empty(t, b.f.Crew.OwnerLine(clock(t, "2026-09-09 18:00")))
	said := newBuilder(b.f).noHands(&plan.Refusal{Certain: true}, false)
	require.Contains(t, said, "it is on Tern (Wash and seal) and Plover (Wash and seal) until")
	owner := newBuilder(b.f).noHands(&plan.Refusal{Certain: true}, true)
	assert.Contains(t, owner, "it is on another boat until")
	p := NewPlan(b.f, &window.Planned{Result: plan.Result{Refusal: &plan.Refusal{Certain: true, Limit: window.NoHands, Task: -1}}})
	assert.Equal(t, said, p.Why[0])
	assert.Equal(t, []string{owner}, p.ForOwner)
	p = NewPlan(b.f, &window.Planned{Result: plan.Result{Refusal: &plan.Refusal{Certain: true, Limit: "rain", Task: -1}}})
	assert.Empty(t, p.ForOwner, "everybody may read that")
}

// On the dock today counts.
func TestMorning_CrewLines(t *testing.T) {
	b := newBoard(t, "seal")
	assert.Empty(t, (&Morning{Now: b.f.Now}).CrewLines())
	b.crewed(away(t, "Tern", "10 07:30-11:20", 1), away(t, "Tern", "11 07:30-11:20", 1), away(t, "Plover", "12 07:30-11:20", 1))
	assert.Equal(t, []string{"Crew Ada and Ben on Tern (Wash and seal): Thu 10 Sep 07:30-11:20 (1). Not booked here then, nor for 30 min before and after."},
		(&Morning{Now: b.f.Now, Crew: b.f.Crew}).CrewLines())
	assert.Empty(t, (&Morning{Now: clock(t, "2026-09-14 06:00"), Crew: b.f.Crew}).CrewLines())
}

// What the weather allows this morning waits for the hands: until they are back, for a day
// on which they are not, or not at all where one of them is enough.
func TestMorning_WaitsForHands(t *testing.T) {
	day := night + "g none 18:00" + tomorrow
	for name, c := range map[string]struct {
		now, row string
		people   int
		list     []Away
		want     string
		until    string
		holds    bool
		why      string
	}{
		"all of them, until they are back": {"07:30", day, 2, []Away{away(t, "Tern", "10 07:30-11:20", 1, 2)}, Wait, "11:50", true,
			"the crew is on Tern (Wash and seal) 07:30-11:20 (1+2)"},
		"soon off, with no time for a block before": {"07:30", day, 2, []Away{away(t, "Tern", "10 08:30-11:20", 1, 2)}, Wait, "11:50", true,
			"the crew is on Tern (Wash and seal) 08:30-11:20 (1+2)"},
		"one of two is here":          {"07:30", day, 2, []Away{away(t, "Tern", "10 07:30-11:20", 1)}, Go, "", false, ""},
		"nobody of this job's number": {"07:30", day, 2, []Away{away(t, "Tern", "10 07:30-11:20", 3, 4)}, Go, "", false, ""},
		"off later than a block":      {"07:30", day, 2, []Away{away(t, "Tern", "10 12:00-18:00", 1, 2)}, Go, "", false, ""},
		"all day": {"07:30", day, 2, []Away{away(t, "Tern", "10 07:00-17:40", 1, 2)}, NoGo, "", true,
			"the crew is on Tern (Wash and seal) 07:00-17:40 (1+2)"},
		"tomorrow only":            {"07:30", day, 2, []Away{away(t, "Tern", "11 07:00-17:40", 1, 2)}, Go, "", false, ""},
		"the weather waits longer": {"07:30", night + "x film 14:00;g none 18:00" + tomorrow, 2, []Away{away(t, "Tern", "10 07:30-11:20", 1, 2)}, Wait, "14:00", false, ""},
		"the weather forbids it":   {"07:30", night + "x film 18:00" + tomorrow, 2, []Away{away(t, "Tern", "10 07:30-11:20", 1, 2)}, NoGo, "", false, ""},
		"only with a yes, and nobody there": {"07:30", night + "m wind_max 11:00;x film 18:00" + tomorrow, 2,
			[]Away{away(t, "Tern", "10 07:30-11:20", 1, 2)}, NoGo, "", true, "the crew is on Tern (Wash and seal) 07:30-11:20 (1+2)"},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBoard(t, "seal")
			b.f.Now, b.f.Job.People = clock(t, "2026-09-10 "+c.now), c.people
			b.row("seal", "port side", c.row)
			plain := NewMorning(b.f)
			require.Nil(t, plain.Crew)
			b.crewed(c.list...)
			m := NewMorning(b.f)
			assert.Equal(t, c.want, m.Verdict)
			assert.Equal(t, c.holds, m.Crew.Holds)
			assert.Equal(t, c.why, m.Crew.HeldBy(m.Now))
			if c.until != "" {
				require.NotNil(t, m.WaitUntil)
				assert.Equal(t, c.until, m.WaitUntil.Format("15:04"))
				assert.True(t, m.Then(m.Steps[0]))
			} else {
				assert.Nil(t, m.WaitUntil)
			}
			x := &m.Steps[0]
			assert.Equal(t, c.holds, x.NoHands)
			x.Mind, x.NoHands, x.HandsAt = "", false, nil
			assert.Equal(t, plain.Steps, m.Steps, "what else is said of the panels is the weather's")
		})
	}
}

// Hands that are back when nothing put on can be wiped off any more are back too late, and
// so is an hour past the last section of a stretch.
func TestMorning_HandsBackTooLateToWipe(t *testing.T) {
	for back, want := range map[string]string{"15:50": Wait, "16:00": Wait, "16:30": NoGo, "17:00": NoGo} {
		b := newBoard(t, "seal")
		b.f.Now, b.f.Job.People, b.f.Job.Hours = clock(t, "2026-09-10 07:30"), 2, sevenToSix
		b.f.Job.Steps[0].HazeMin = 60
		// The last section goes on at 16:50, and the way back takes half an hour.
		b.row("seal", "port side", night+"g none 11:00;x film 14:00;g none 18:00"+tomorrow)
		b.crewed(away(t, "Tern", "10 07:30-"+back, 1, 2))
		m := NewMorning(b.f)
		assert.Equal(t, want, m.Verdict, back)
		assert.True(t, m.Crew.Holds, back)
	}
}

func TestMorning_ThenEndsWithTheLastSection(t *testing.T) {
	at := func(s string) time.Time { return clock(t, "2026-09-10 "+s) }
	last, back := at("16:50"), at("17:20")
	m := &Morning{WaitUntil: &back, Crew: &Crew{Holds: true}}
	c := Chance{From: at("14:00"), Last: at("17:50")}
	assert.True(t, m.Then(MorningStep{Chances: []Chance{c}}), "a wash")
	c.LastSection = &last
	assert.False(t, m.Then(MorningStep{Chances: []Chance{c}}), "nothing put on then is wiped off in time")
}

// Two plans that did not know of each other have the same people at the same hours: both
// boats are told, and the one whose plan was made first need not wait for the other.
func TestMorning_BookedTwice(t *testing.T) {
	for name, c := range map[string]struct {
		agreed, want string
	}{"ours is older": {"2026-09-09 12:00", Go}, "theirs is": {"2026-09-09 19:00", Wait}} {
		b := newBoard(t, "seal")
		b.f.Now, b.f.Job.People = clock(t, "2026-09-10 07:30"), 2
		b.row("seal", "port side", night+"g none 18:00"+tomorrow)
		b.f.Agreed = []PlanBlock{{Step: "seal", Zone: "port side", From: clock(t, "2026-09-10 07:30"), To: clock(t, "2026-09-10 10:00"), People: []int{1, 2}}}
		b.f.AgreedAt = clock(t, c.agreed)
		b.crewed(away(t, "Tern", "10 07:30-11:20", 1, 2))
		m := NewMorning(b.f)
		assert.Equal(t, c.want, m.Verdict, name)
		assert.Contains(t, m.Warnings, "seal on port side, Thu 10 Sep 07:30-10:00, has people whom the plan of Tern (Wash and seal) has as well: move one of the two plans", name)
	}
}

// The next block of each other boat is named for hours that are lost here.
func TestNextAway(t *testing.T) {
	b := newBoard(t, "seal")
	b.crewed(away(t, "Tern", "10 07:30-08:00", 1, 2), away(t, "Tern", "10 09:00-11:20", 1), away(t, "Plover", "11 08:00-09:00", 1))
	assert.Equal(t, []string{
		"Tern (Wash and seal): now by its plan: wash, port side, Thu 10 Sep 07:30-08:00 (1+2). Her weather was not looked at here: ask dewgap morning with her job.",
		"Plover (Wash and seal): next by its plan: wash, port side, Fri 11 Sep 08:00-09:00 (1). Her weather was not looked at here: ask dewgap morning with her job.",
	}, NextAway(b.f.Crew, clock(t, "2026-09-10 07:40")))
	assert.Nil(t, NextAway(nil, b.f.Now))
}

// A plan says what it costs that people are elsewhere in the first criterion that it does,
// and nothing where it costs nothing.
func TestPlan_WhatTheOtherBoatCosts(t *testing.T) {
	is := plan.Score{Consents: 1, FivePoints: 15, Days: 2, Finish: 80, Heat: 100}
	for want, change := range map[string]func(*plan.Score){
		"0 blocks would need your yes":                 func(s *plan.Score) { s.Consents = 0 },
		"the plan would hold in 90 % of the forecasts": func(s *plan.Score) { s.FivePoints = 18 },
		"it would take 1 day":                          func(s *plan.Score) { s.Days = 1 },
		"it would be done Thu 10 Sep 17:40":            func(s *plan.Score) { s.Finish = 70 },
		"the hours would be cooler":                    func(s *plan.Score) { s.Heat = 90 },
		"":                                             func(*plan.Score) {},
	} {
		b := newBoard(t, "seal")
		b.crewed(away(t, "Tern", "10 07:30-11:20", 1, 2))
		all := plan.Result{Found: true, Score: is, Confidence: 0.9}
		change(&all.Score)
		got := newBuilder(b.f).whyHands(&window.Planned{Result: plan.Result{Found: true, Score: is}, AllHands: &window.Planned{Result: all}})
		if want != "" {
			want = "the crew's hours on Tern (Wash and seal) count: with all of it here, " + want
		}
		assert.Equal(t, want, got)
	}
	b := newBoard(t, "seal")
	assert.Empty(t, newBuilder(b.f).whyHands(&window.Planned{}))
}

// Where there is no plan around them that is said with where they are and until when, as
// far as that lies within the days that are judged.
func TestPlan_NoHands(t *testing.T) {
	b := newBoard(t, "seal")
	b.crewed(away(t, "Tern", "10 07:30-11:20", 1, 2), away(t, "Plover", "20 07:30-11:20", 1, 2))
	p := &window.Planned{Result: plan.Result{Refusal: &plan.Refusal{Certain: true, Task: -1, Limit: window.NoHands}}}
	assert.Equal(t, []string{"there is no plan while the crew is elsewhere: it is on Tern (Wash and seal) until Thu 10 Sep 11:20; with all of it here there is a plan"},
		NewPlan(b.f, p).Why)
	p.Refusal.Certain = false
	assert.Equal(t, []string{"no plan was found around the crew's hours elsewhere, which does not prove that there is none: " +
		"it is on Tern (Wash and seal) until Thu 10 Sep 11:20; with all of it here there is a plan"}, NewPlan(b.f, p).Why)
	rungs := NewLadder(b.f, []window.Rung{{Way: window.WayHands, Tried: true, Whole: true, What: "…", Job: b.f.Job, Result: b.f.Result,
		Planned: &window.Planned{Result: plan.Result{Found: true}}}})
	assert.Equal(t, "the whole crew here, nobody on Tern (Wash and seal)", rungs[0].What)
	assert.True(t, rungs[0].Works)
	assert.Contains(t, rungs[0].Other, "the other plan has to move then: dewgap move with the other job")
	helped := NewLadder(b.f, []window.Rung{{Way: window.WayHelper, Tried: true, Whole: true, Job: b.f.Job, Result: b.f.Result,
		Planned: &window.Planned{Result: plan.Result{Found: true}}}})
	assert.Equal(t, []string{"write people in the job when the helper is found"}, helped[0].Other, "nobody elsewhere has to move for that")
}

// On the day on which the clock is put back the hours are those of the place.
func TestNewCrew_OnTheClockOfThePlace(t *testing.T) {
	b := newBoard(t, "seal")
	at := time.Date(2026, 11, 1, 5, 30, 0, 0, time.UTC) // 01:30, the first of the two
	b.crewed(Away{Boat: "Tern", From: at, To: at.Add(2 * time.Hour), People: []int{1}})
	assert.Equal(t, "Crew Ada and Ben on Tern: Sun 1 Nov 01:30-02:30 (1). Not booked here then, nor for 30 min before and after.", CrewLines(b.f.Crew)[0])
}
