package answer

import (
	"strings"
	"testing"
	"time"

	"dewgap/products"
	"dewgap/window"
	"dewgap/window/plan"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// atMachine is a block on another boat of people whom the job has, so many hours of it at
// machines.
func atMachine(t testing.TB, hours string, h float64, people ...int) Away {
	x := away(t, "Tern", hours, people...)
	x.MachineH = h
	return x
}

// compoundBoard is a board of a side to be compounded by two, with so many polishers.
func compoundBoard(t testing.TB, polishers int) *board {
	b := newBoard(t, "correct")
	b.f.Classes = classes{"correct-class": {ID: "correct-class", Machine: true, People: 1}}
	b.f.Now, b.f.Job.People, b.f.Job.Polishers = clock(t, "2026-09-10 07:30"), 2, polishers
	b.row("correct", "port side", night+"g none 18:00"+tomorrow)
	return b
}

// What the weather allows this morning waits for a polisher that another boat of the crew
// has in hand, as it waits for people, and says so.
func TestMorning_WaitsForPolishers(t *testing.T) {
	stranger := strangers(t, "10 07:30-11:20", 3)
	stranger.MachineH = 3
	for name, c := range map[string]struct {
		polishers   int
		list        []Away
		want, until string
		lacks       []string
		why         string
	}{
		"in the hand of one of ours": {1, []Away{atMachine(t, "10 07:30-11:20", 3, 1)}, Wait, "11:00", []string{LackPolishers},
			"a polisher of the crew is on Tern (Wash and seal) 07:30-11:20 (1)"},
		"in a stranger's hand":   {1, []Away{stranger}, Wait, "11:00", []string{LackPolishers}, "a polisher of the crew is on Tern (Wash and seal) 07:30-11:20 (3)"},
		"there is another":       {2, []Away{stranger}, Go, "", nil, ""},
		"they are not counted":   {0, []Away{stranger}, Go, "", nil, ""},
		"no machine in it":       {1, []Away{away(t, "Tern", "10 07:30-11:20", 1)}, Go, "", nil, ""},
		"later than a block":     {1, []Away{atMachine(t, "10 12:00-18:00", 4, 1)}, Go, "", nil, ""},
		"soon off":               {1, []Away{atMachine(t, "10 08:30-11:30", 3, 1)}, Wait, "12:00", []string{LackPolishers}, "a polisher of the crew is on Tern (Wash and seal) 08:30-11:30 (1)"},
		"tomorrow only":          {1, []Away{atMachine(t, "11 07:30-11:20", 3, 1)}, Go, "", nil, ""},
		"two in hand of two":     {2, []Away{stranger, atMachine(t, "10 07:30-09:30", 2, 1)}, Wait, "10:00", []string{LackPolishers}, "a polisher of the crew is on Tern (Wash and seal) 07:30-09:30 (1), 07:30-11:20 (3)"},
		"all day":                {1, []Away{atMachine(t, "10 07:00-17:40", 10.6, 1)}, NoGo, "", []string{LackPolishers}, "a polisher of the crew is on Tern (Wash and seal) 07:00-17:40 (1)"},
		"the hands first of all": {1, []Away{atMachine(t, "10 07:30-11:30", 1, 1, 2)}, Wait, "12:00", []string{LackHands}, "the crew is on Tern (Wash and seal) 07:30-11:30 (1+2)"},
		"both on one boat": {1, []Away{away(t, "Tern", "10 07:30-09:30", 1, 2), stranger}, Wait, "11:00", []string{LackHands, LackPolishers},
			"the crew is on Tern (Wash and seal) 07:30-09:30 (1+2), with a polisher 07:30-11:20 (3)"},
		"the hands, then the polisher": {1, []Away{away(t, "Plover", "10 07:30-09:30", 1, 2), stranger}, Wait, "11:00", []string{LackHands, LackPolishers},
			"the crew is on Plover (Wash and seal) 07:30-09:30 (1+2); a polisher of the crew is on Tern (Wash and seal) 07:30-11:20 (3)"},
	} {
		t.Run(name, func(t *testing.T) {
			b := compoundBoard(t, c.polishers)
			b.crewed(c.list...)
			m := NewMorning(b.f)
			assert.Equal(t, c.want, m.Verdict)
			assert.Equal(t, c.lacks, m.Crew.Lacks)
			assert.Equal(t, c.lacks != nil, m.Crew.Holds)
			assert.Equal(t, c.why, m.Crew.HeldBy(m.Now))
			if c.until != "" {
				require.NotNil(t, m.WaitUntil)
				assert.Equal(t, c.until, m.WaitUntil.Format("15:04"))
				assert.True(t, m.Then(m.Steps[0]))
			}
		})
	}
	b := newBoard(t, "seal")
	b.f.Now, b.f.Job.People, b.f.Job.Polishers = clock(t, "2026-09-10 07:30"), 2, 1
	b.row("seal", "port side", night+"g none 18:00"+tomorrow)
	b.crewed(stranger)
	assert.Equal(t, Go, NewMorning(b.f).Verdict, "nobody seals with a polisher")
}

// Where other work is asked beside it, that may begin and the polishing may not: what is
// named to begin with has what it takes.
func TestMorning_GoWithoutPolisher(t *testing.T) {
	two := func(polish string) *Morning {
		b := newBoard(t, "correct")
		b.f.Classes = classes{"correct-class": {ID: "correct-class", Machine: true, People: 1}, "hand": {ID: "hand", People: 1}}
		b.f.Now, b.f.Job.People, b.f.Job.Polishers = clock(t, "2026-09-10 07:30"), 2, 1
		b.row("correct", "port side", polish)
		b.row("correct", "foredeck", night+"g none 18:00"+tomorrow).Class.Machine = false
		b.crewed(atMachine(t, "10 07:30-11:20", 3, 1))
		return NewMorning(b.f)
	}
	m := two(night + "g none 18:00" + tomorrow)
	assert.Equal(t, Go, m.Verdict)
	assert.False(t, m.Crew.Holds)
	assert.Equal(t, []bool{false, true}, []bool{m.Steps[0].Able(), m.Steps[1].Able()})
	assert.Equal(t, Go, m.Steps[0].State, "by the weather")
	require.NotNil(t, m.Steps[0].PolisherAt)
	assert.Equal(t, "no polisher of the crew's is free for it before 11:00", m.Steps[0].Mind)
	assert.False(t, m.Steps[1].NoPolisher)
	assert.Empty(t, m.Steps[1].Mind)

	m = two(night + "g none 10:00;x film 18:00" + tomorrow)
	assert.True(t, m.Steps[0].NoPolisher)
	assert.Nil(t, m.Steps[0].PolisherAt)
	assert.Equal(t, "no polisher of the crew's is free for it today", m.Steps[0].Mind)
	until := clock(t, "2026-09-10 12:00")
	assert.False(t, (&Morning{WaitUntil: &until}).Then(m.Steps[0]))
	assert.False(t, two(night + "x film 13:00;g none 18:00" + tomorrow).Steps[0].NoPolisher, "it is back by then")
}

// Where too few of the crew are here for it, a step is not told to begin either, nor named
// where the verdict waits for another one.
func TestMorning_WithoutHands(t *testing.T) {
	board := func(port, foredeck string, list ...Away) *Morning {
		b := newBoard(t, "seal")
		b.f.Now, b.f.Job.People = clock(t, "2026-09-10 07:30"), 2
		b.row("seal", "port side", port).Class.People = 2
		b.row("seal", "foredeck", foredeck)
		b.crewed(list...)
		return NewMorning(b.f)
	}
	all := night + "g none 18:00" + tomorrow
	one := away(t, "Tern", "10 07:30-11:30", 1)
	m := board(all, all, one)
	assert.Equal(t, Go, m.Verdict)
	port, foredeck := m.Steps[0], m.Steps[1]
	assert.Equal(t, []bool{true, false, false}, []bool{port.NoHands, port.NoPolisher, port.Able()})
	require.NotNil(t, port.HandsAt)
	assert.Equal(t, "12:00", port.HandsAt.Format("15:04"), "with the way there")
	assert.Equal(t, "too few of the crew are free for it before 12:00", port.Mind)
	assert.Equal(t, "by the weather it may begin now", m.Begins(port))
	assert.Equal(t, []bool{false, true}, []bool{foredeck.NoHands, foredeck.Able()})
	assert.Empty(t, foredeck.Mind)

	m = board(all, night+"x film 09:00;g none 18:00"+tomorrow, one)
	require.NotNil(t, m.WaitUntil)
	assert.Equal(t, "09:00", m.WaitUntil.Format("15:04"))
	assert.Equal(t, []bool{false, true}, []bool{m.Then(m.Steps[0]), m.Then(m.Steps[1])})

	m = board(night+"x film 12:00;g none 18:00"+tomorrow, all, one)
	assert.False(t, m.Steps[0].NoHands, "they are back by then")
	m = board(all, all, away(t, "Tern", "10 07:00-17:40", 1))
	assert.Nil(t, m.Steps[0].HandsAt)
	assert.Equal(t, "too few of the crew are free for it today", m.Steps[0].Mind)
	m = board(night+"g none 10:00;m wind_max 18:00"+tomorrow, all, one)
	assert.True(t, m.Steps[0].NoHands)
	assert.Equal(t, "too few of the crew are free for it now", m.Steps[0].Mind, "later it takes a yes")
	assert.False(t, board(all, all).Steps[0].NoHands)
}

// A block that is booked until the polisher leaves for the other boat may begin, though it
// is wiped off after that.
func TestMorning_HazesWithoutPolisher(t *testing.T) {
	for workTo, want := range map[string]string{"10:00": Go, "10:10": Wait} {
		b := compoundBoard(t, 1)
		b.f.Planned = nil
		b.f.Agreed = []PlanBlock{{Step: "correct", Zone: "port side", Product: "correct-class", From: clock(t, "2026-09-10 07:30"),
			WorkTo: clock(t, "2026-09-10 "+workTo), To: clock(t, "2026-09-10 10:30"), People: []int{2}}}
		b.f.AgreedAt = clock(t, "2026-09-09 19:00")
		b.f.Now = clock(t, "2026-09-10 08:10")
		b.crewed(atMachine(t, "10 10:30-11:20", 0.5, 1))
		assert.Equal(t, want, NewMorning(b.f).Verdict, workTo)
	}
}

// Two plans that did not know of each other have the one polisher at the same hours: both
// boats are told, and the one whose plan was made first need not wait.
func TestMorning_PolisherBookedTwice(t *testing.T) {
	for name, c := range map[string]struct {
		agreed    string
		polishers int
		want      string
		told      bool
	}{"ours is older": {"2026-09-09 12:00", 1, Go, true}, "theirs is": {"2026-09-09 19:00", 1, Wait, true}, "two of them": {"2026-09-09 19:00", 2, Go, false}} {
		b := compoundBoard(t, c.polishers)
		b.f.Agreed = []PlanBlock{{Step: "correct", Zone: "port side", Product: "correct-class", From: clock(t, "2026-09-10 07:30"), To: clock(t, "2026-09-10 10:00"), People: []int{2}}}
		b.f.AgreedAt = clock(t, c.agreed)
		b.crewed(atMachine(t, "10 07:30-11:20", 3, 1))
		m := NewMorning(b.f)
		assert.Equal(t, c.want, m.Verdict, name)
		const line = "correct on port side, Thu 10 Sep 07:30-10:00, has a polisher that the plan of Tern (Wash and seal) has as well: move one of the two plans"
		if c.told {
			assert.Contains(t, m.Warnings, line, name)
		} else {
			assert.NotContains(t, m.Warnings, line, name)
		}
	}
}

// Of three boats with two polishers any two have enough: it is the plan that was made last
// which waits.
func TestMorning_ThreeBoatsTwoPolishers(t *testing.T) {
	for name, c := range map[string]struct {
		tern, plover string
		polishers    int
		want         string
		told         int
	}{
		"ours is the oldest":  {"19", "20", 2, Go, 1},
		"one is older":        {"12", "20", 2, Go, 1},
		"both are":            {"12", "13", 2, Wait, 1},
		"there are three":     {"12", "13", 3, Go, 0},
		"one for all of them": {"12", "13", 1, Wait, 1},
	} {
		b := compoundBoard(t, c.polishers)
		b.f.Agreed = []PlanBlock{{Step: "correct", Zone: "port side", Product: "correct-class", From: clock(t, "2026-09-10 07:30"), To: clock(t, "2026-09-10 10:00"), People: []int{2}}}
		b.f.AgreedAt = clock(t, "2026-09-09 15:00")
		tern, plover := atMachine(t, "10 07:30-11:20", 3, 1), strangers(t, "10 08:00-11:30", 3)
		plover.Boat, plover.MachineH = "Plover", 3
		tern.Agreed, plover.Agreed = clock(t, "2026-09-09 "+c.tern+":00"), clock(t, "2026-09-09 "+c.plover+":00")
		b.crewed(tern, plover)
		m := NewMorning(b.f)
		assert.Equal(t, c.want, m.Verdict, name)
		told := 0
		for _, w := range m.Warnings {
			if strings.HasSuffix(w, "has a polisher that the plans of Tern (Wash and seal) and Plover (Wash and seal) have as well: move this plan, or enough of the others") {
				told++
			}
			assert.NotContains(t, w, "one of the two")
		}
		assert.Equal(t, c.told, told, name)
	}
}

// Whoever is booked on more boats than one other is told once, and is free only when all but
// one of the plans have moved.
func TestMorning_PeopleOfThreeBoats(t *testing.T) {
	b := compoundBoard(t, 0)
	own := PlanBlock{Step: "correct", Zone: "port side", Product: "correct-class", From: clock(t, "2026-09-10 07:30"), To: clock(t, "2026-09-10 10:00"), People: []int{1}}
	b.f.Agreed, b.f.AgreedAt = []PlanBlock{own}, clock(t, "2026-09-09 15:00")
	const front = "correct on port side, Thu 10 Sep 07:30-10:00, has people whom the plan"
	for n, want := range []string{
		" of Tern (Wash and seal) has as well: move one of the two plans",
		"s of Tern (Wash and seal) and Plover (Wash and seal) have as well: move this plan, or both of the others",
		"s of Tern (Wash and seal), Plover (Wash and seal) and Dunlin (Wash and seal) have as well: move this plan, or all of the others",
	} {
		list := []Away{away(t, "Tern", "10 07:30-08:20", 1), away(t, "Tern", "10 08:30-11:20", 1), away(t, "Plover", "10 08:00-09:00", 1), away(t, "Dunlin", "10 08:00-09:00", 1)}
		b.crewed(list[:n+2]...)
		var got []string
		for _, w := range NewMorning(b.f).Warnings {
			if strings.HasPrefix(w, front) {
				got = append(got, strings.TrimPrefix(w, front))
			}
		}
		assert.Equal(t, []string{want}, got)
	}
}

// The boat that has a polisher is named though at the first moment at which there are too few
// none is on another.
func TestLentAway(t *testing.T) {
	at := func(from, to string, n int, on string) Lent {
		return Lent{From: clock(t, "2026-09-10 "+from), To: clock(t, "2026-09-10 "+to), N: n, On: on}
	}
	own := at("08:00", "12:00", 2, "")
	list := []Lent{own, at("08:00", "09:00", 1, ""), at("10:00", "11:00", 1, "Tern"), at("12:00", "13:00", 5, "Plover")}
	assert.Equal(t, "Tern", LentAway(list, own, 2))
	assert.Empty(t, LentAway(list, own, 3))
	assert.Empty(t, LentAway(list[:2], own, 2))
}

// What is said of a plan that waits for a polisher names the polisher and where it is, and
// of one that waits for people the people.
func TestPlan_SaysWhichIsElsewhere(t *testing.T) {
	stranger := strangers(t, "10 07:30-11:20", 3)
	crew, both := away(t, "Plover", "10 07:30-12:00", 1), atMachine(t, "10 07:30-11:20", 1, 1)
	for _, c := range []struct {
		polishers, machines int
		list                []Away
		counts, none, here  string
	}{
		{1, 1, []Away{stranger}, "the polisher on Tern (Wash and seal) counts: with it here, ", "there is no plan while the polisher is elsewhere: it is on Tern (Wash and seal) until Thu 10 Sep 11:20; with it here there is a plan", "the polisher here, not on Tern (Wash and seal)"},
		{2, 2, []Away{stranger}, "polishers on Tern (Wash and seal) count: with them here, ", "there is no plan while polishers are elsewhere: they are on Tern (Wash and seal) until Thu 10 Sep 11:20; with them here there is a plan", "polishers here, not on Tern (Wash and seal)"},
		{1, 1, []Away{stranger, crew}, "the crew's hours and the polisher on Tern (Wash and seal) and Plover (Wash and seal) count: with all of that here, ", "there is no plan while the polisher is elsewhere: it is on Tern (Wash and seal) until Thu 10 Sep 11:20; with it here there is a plan", "the whole crew here, nobody on Tern (Wash and seal) and Plover (Wash and seal)"},
		{1, 1, []Away{both}, "the crew's hours and the polisher on Tern (Wash and seal) count: with all of that here, ", "there is no plan while the polisher is elsewhere: it is on Tern (Wash and seal) until Thu 10 Sep 11:20; with it here there is a plan", "the whole crew here, nobody on Tern (Wash and seal)"},
		{2, 0, []Away{both}, "the crew's hours on Tern (Wash and seal) count: with all of it here, ", "", "the whole crew here, nobody on Tern (Wash and seal)"},
	} {
		b := compoundBoard(t, c.polishers)
		b.crewed(c.list...)
		p := &window.Planned{Result: plan.Result{Found: true, Score: plan.Score{Days: 2}}, AllHands: &window.Planned{Result: plan.Result{Found: true, Score: plan.Score{Days: 1}}}}
		p.Input.Machines = c.machines
		assert.Equal(t, c.counts+"it would take 1 day", newBuilder(b.f).whyHands(p))
		assert.Equal(t, c.here, newBuilder(b.f).allHere())
		refused := &window.Planned{Result: plan.Result{Refusal: &plan.Refusal{Certain: true, Task: -1, Limit: window.NoPolishers}}}
		if c.none != "" {
			out := NewPlan(b.f, refused)
			assert.Equal(t, c.none, out.Why[0])
			require.Len(t, out.ForOwner, 1)
			assert.NotContains(t, out.ForOwner[0], "Tern")
		}
	}
	b := compoundBoard(t, 1)
	b.crewed(stranger)
	assert.Equal(t, "no plan was found around the hours of the polisher elsewhere, which does not prove that there is none: it is on Tern (Wash and seal) until Thu 10 Sep 11:20; with it here there is a plan",
		newBuilder(b.f).noHands(&plan.Refusal{Limit: window.NoPolishers}, false))
}

// The stretches in which polishers are elsewhere count the way, and end when the machine has
// been put down, not when its haze is wiped off.
func TestCrew_Polishers(t *testing.T) {
	var none *Crew
	assert.Empty(t, none.Polishers())
	b := newBoard(t, "seal")
	x := strangers(t, "10 09:00-11:20", 3, 4)
	x.WayMin = 15
	b.crewed(x, away(t, "Plover", "10 12:00-13:00", 1))
	at := func(s string) time.Time { return clock(t, "2026-09-10 "+s).UTC() }
	assert.Equal(t, []Lent{{From: at("08:15"), To: at("10:45"), N: 2, On: "Tern (Wash and seal)"}}, b.f.Crew.Polishers())
	block := &PlanBlock{From: at("10:40"), To: at("12:00")}
	assert.Equal(t, ", for one is on Tern (Wash and seal)", b.f.Crew.lentThen(block))
	block.From = at("10:45")
	assert.Empty(t, b.f.Crew.lentThen(block))
}

// unknown is a catalogue without any class.
type unknown struct{}

func (unknown) Class(string) (c products.Class, ok bool) { return c, false }

// A block is worked with machines as its class says, else as its step does.
func TestPlanBlock_Machine(t *testing.T) {
	polish, pad := &PlanBlock{Product: "hand-polish", Do: "correct"}, &PlanBlock{Product: "pad", Do: "seal"}
	known := classes{"hand-polish": {ID: "hand-polish"}, "pad": {ID: "pad", Machine: true}}
	assert.False(t, polish.Machine(known))
	assert.True(t, pad.Machine(known))
	assert.True(t, polish.Machine(unknown{}))
	assert.False(t, pad.Machine(unknown{}))
}
