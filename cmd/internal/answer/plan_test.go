package answer

import (
	"fmt"
	"strings"
	"testing"

	"dewgap/window"
	"dewgap/window/plan"
	"dewgap/window/verdict"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// sealed is a plan made by hand: wash, then seal on the port side of the board.
func sealed(b *board) *window.Planned {
	state, limit := make([]verdict.State, 252), make([]verdict.Limit, 252)
	for i := range state {
		state[i] = verdict.Go
	}
	for i := 36; i < 40; i++ {
		state[i], limit[i] = verdict.Marginal, verdict.DewFree
	}
	task := plan.Task{Work: 6, State: state, Limit: limit}
	second := task
	second.After = []plan.After{{Task: 0, Hard: 6, Go: 12, Limit: "dry_off"}}
	return &window.Planned{
		Tasks: []window.PlanTask{
			{Row: 0, Step: 0, Zone: 0, Coat: 1, Coats: 1, Part: 1, Parts: 1, AreaM2: 18, PersonHours: 1},
			{Row: 1, Step: 1, Zone: 0, Coat: 1, Coats: 1, Part: 1, Parts: 1, AreaM2: 18, PersonHours: 4},
		},
		Input: plan.Input{Tasks: []plan.Task{task, second}, SetUp: 3, PackUp: 3, MachineSlots: 24},
		Result: plan.Result{
			Found: true, Confidence: 0.8, Proven: 3,
			Score: plan.Score{FivePoints: 16, Days: 1, Finish: 50}, Bound: plan.Score{FivePoints: 16, Days: 1, Finish: 44},
			Blocks: []plan.Block{
				{Task: 0, From: 12, To: 18, WorkTo: 18, People: []int{1}, State: verdict.Go, Confidence: 1, Dried: -1},
				{Task: 1, From: 30, To: 50, WorkTo: 48, People: []int{1, 2}, State: verdict.Go, Confidence: 0.8, Dried: 12},
			},
		},
	}
}

func planBoard(t *testing.T) *board {
	b := newBoard(t, "wash", "seal")
	b.row("wash", "port side", "g none end")
	b.row("seal", "port side", "g none end")
	return b
}

func TestPlanBlocks(t *testing.T) {
	b := planBoard(t)
	p := NewPlan(b.f, sealed(b))
	assert.Equal(t, Go, p.State)
	assert.InDelta(t, 0.8, p.Confidence, 0)
	assert.Equal(t, []string{"consent", "confidence", "days"}, p.Proven)
	assert.Equal(t, "finish", p.Open)
	assert.Equal(t, "no plan ends before Thu 10 Sep 13:20", p.Bound)
	assert.Equal(t, clock(t, "2026-09-10 14:20"), *p.Ends)
	require.Len(t, p.Blocks, 2)
	x := p.Blocks[1]
	assert.Equal(t, clock(t, "2026-09-10 11:00"), x.From)
	assert.Equal(t, clock(t, "2026-09-10 14:20"), x.To)
	assert.Equal(t, clock(t, "2026-09-10 14:00"), x.WorkTo)
	assert.Equal(t, []int{1, 2}, x.People)
	assert.InDelta(t, 18, *x.AreaM2, 0)
	assert.Equal(t, "in the shade of the port side, panel 20 °C, 8 K over dew point, dry 2 h since the wash", x.Reason)
	assert.False(t, x.NeedsConsent)
	assert.Contains(t, p.Why, "2 blocks on 1 day, done Thu 10 Sep 14:20")
	assert.Contains(t, p.Why, "proven best in consent, confidence, days; not proven in finish: no plan ends before Thu 10 Sep 13:20")
}

// A plan of many blocks hardly ever holds as a whole: how many would have to move tells
// more, the worse of the two in the middle.
func TestPlan_HowManyWouldHaveToMove(t *testing.T) {
	b := planBoard(t)
	for _, x := range []struct {
		misses []int
		want   *int
		told   string
	}{
		{[]int{0, 3, 1, 2}, ptrTo(2), "in half of the %s 2 blocks or more would have to move"},
		{[]int{5, 1, 0}, ptrTo(1), "in half of the %s 1 block or more would have to move"},
		{[]int{0, 0, 2}, ptrTo(0), ""},
		{[]int{2}, nil, ""},
		{nil, nil, ""},
	} {
		p := sealed(b)
		p.Misses = x.misses
		out := NewPlan(b.f, p)
		assert.Equal(t, x.want, out.Misses, "%v", x.misses)
		why := strings.Join(out.Why, "\n")
		if x.told == "" {
			assert.NotContains(t, why, "would have to move")
			continue
		}
		assert.Contains(t, why, fmt.Sprintf(x.told, newBuilder(b.f).kinds()))
	}
}

// What went on before is named for what it was: the second coat stands after the first
// one, be that in the plan or in the log, and no coat is a wash.
func TestPlanBlocks_CoatAfterCoat(t *testing.T) {
	reason := func(change func(p *window.Planned)) string {
		b := planBoard(t)
		made := sealed(b)
		made.Tasks[1].Coat, made.Tasks[1].Coats = 2, 2
		made.Blocks[1].Dried = -1
		change(made)
		return NewPlan(b.f, made).Blocks[1].Reason
	}
	planned := reason(func(p *window.Planned) {
		p.Tasks[0].Step, p.Tasks[0].Row = 1, 1
		p.Input.Tasks[1].After = []plan.After{{Task: 0, Hard: 6, Go: 6, Most: 36, Limit: "recoat"}}
	})
	assert.Equal(t, "in the shade of the port side, panel 20 °C, 8 K over dew point, 2 h after coat 1", planned)
	logged := reason(func(p *window.Planned) {
		p.Input.Tasks[1].After = []plan.After{{Task: -1, End: 21, Hard: 6, Go: 6, Most: 36, Limit: "recoat"}}
	})
	assert.Contains(t, logged, "1.5 h after coat 1")
	washed := reason(func(p *window.Planned) { p.Blocks[1].Dried = 12 })
	assert.Contains(t, washed, "dry 2 h since the wash")
	assert.NotContains(t, washed, "after coat", "a wash is no coat")
}

// A plan with a block that needs a yes is marginal and says why it does.
func TestPlanConsent(t *testing.T) {
	b := planBoard(t)
	made := sealed(b)
	made.Score.Consents = 1
	made.Blocks[1].State, made.Blocks[1].Consent = verdict.Marginal, true
	p := NewPlan(b.f, made)
	assert.Equal(t, Marginal, p.State)
	assert.Equal(t, 1, p.Consents)
	assert.True(t, p.Waits())
	assert.Equal(t, Marginal, p.Verdict())
	assert.Contains(t, p.Why, "1 block needs your yes: marginal, or sure in fewer than half of the forecasts")
	b.f.Job.AcceptMargin = true
	given := NewPlan(b.f, made)
	assert.Equal(t, []any{Marginal, true, false, Go}, []any{given.State, given.Accepted, given.Waits(), given.Verdict()}, "the job says yes")
	assert.Contains(t, given.Why, "1 block with the yes that the job gives: marginal, or sure in fewer than half of the forecasts")
	assert.Equal(t, NoGo, (&Plan{State: NoGo, Accepted: true}).Verdict(), "no yes makes lost hours good")
	b.f.Job.AcceptMargin = false
	assert.False(t, (&Plan{State: Go}).Waits())
	assert.Contains(t, p.Blocks[1].Reason, "marginal: dew follows too soon")
	made.Blocks[1].From, made.Blocks[1].Dried = 41, 7
	assert.Contains(t, NewPlan(b.f, made).Blocks[1].Reason, "marginal: it has not dried long enough")
	made.Blocks[1].State = verdict.Go
	assert.Contains(t, NewPlan(b.f, made).Blocks[1].Reason, "fewer than half of the forecasts")
	made.Blocks[1].Rewash = true
	assert.Contains(t, NewPlan(b.f, made).Blocks[1].Reason, "lay bare overnight")
}

// A block that begins at twenty to eight tells of the panel from then on: what it was
// like at seven, nearer the dew point, is no part of the work.
func TestPlanBlock_TellsOfItsOwnSlots(t *testing.T) {
	b := planBoard(t)
	made := sealed(b)
	x := made.Blocks[0]
	n := b.f.Result.To - b.f.Result.From
	met := &window.Met{Surface: make([]float32, n), OverDew: make([]float32, n), Known: make([]bool, n)}
	for i := range n {
		met.Surface[i], met.OverDew[i], met.Known[i] = 16, 2, true
		if i >= x.From {
			met.Surface[i], met.OverDew[i] = 17.5, 3.25
		}
	}
	b.f.Result.Rows[made.Tasks[x.Task].Row].Panel = met
	p := NewPlan(b.f, made)
	assert.Equal(t, &[2]float64{17.5, 17.5}, p.Blocks[0].SurfaceC)
	assert.Equal(t, &[2]float64{3.25, 3.25}, p.Blocks[0].SpreadK)
	assert.Contains(t, p.Blocks[0].Reason, "3.2 K over dew point")
}

// In the sun is said where the sun is, on the panel.
func TestPlanSun(t *testing.T) {
	b := planBoard(t)
	for h := range b.f.Result.Zones[0].Hours {
		b.f.Result.Zones[0].Hours[h].Sunlight = known(600)
	}
	assert.Contains(t, NewPlan(b.f, sealed(b)).Blocks[0].Reason, "in the sun of the port side")
}

// What no plan can beat is told in the words of the criterion that is open.
func TestPlanBounds(t *testing.T) {
	b := planBoard(t)
	for proven, want := range map[int]string{
		0: "at least 2 blocks must need a yes",
		1: "no plan holds in 75 % of the forecasts or more",
		2: "it takes at least 1 day",
		4: "a cooler plan was not looked for to the end",
		5: "",
	} {
		made := sealed(b)
		made.Proven, made.Bound = proven, plan.Score{Consents: 2, FivePoints: 14, Days: 1}
		p := NewPlan(b.f, made)
		assert.Equal(t, want, p.Bound, "%d", proven)
		assert.Len(t, p.Proven, proven)
	}
	made := sealed(b)
	made.Proven, made.Bound = 1, plan.Score{FivePoints: 20}
	assert.Equal(t, "whether another holds in more of the forecasts is not known", NewPlan(b.f, made).Bound, "none holds in more than all")
}

// No plan: which step, which zone, which limit.
func TestNoPlan(t *testing.T) {
	b := planBoard(t)
	for want, r := range map[string]plan.Refusal{
		"seal on port side has no place: rain follows too soon in 60 % of the crew's hours": {Certain: true, Task: 1, Limit: "rain_free", Share: 0.6},
		"seal on port side has no place: the longest stretch that can be worked in is 1 h, the block takes 2 h": {Certain: true, Task: 1,
			Limit: "block", Longest: 6, Needed: 12},
		"wash on port side has no place: the launch comes too soon":                                                                              {Certain: true, Limit: "launch"},
		"every step has a place alone, but not all together: there are too few people":                                                           {Certain: true, Task: -1, Limit: "people"},
		"no plan was found, which does not prove that there is none: the hours at the machine do not suffice, at most 4 h a day for each person": {Task: -1, Limit: "machines"},
		"every step has a place alone, but not all together: the visits would be shorter than the shortest useful one": {Certain: true,
			Task: -1, Limit: "block"},
	} {
		made := sealed(b)
		made.Result = plan.Result{Refusal: &r}
		p := NewPlan(b.f, made)
		assert.Equal(t, None, p.State)
		assert.Equal(t, []string{want}, p.Why)
		assert.Empty(t, p.Blocks)
		assert.Nil(t, p.Ends)
	}
	assert.Nil(t, NewPlan(b.f, nil))
}

// Where the bow alone is lacking, one sentence says so, and how to give it.
func TestNoPlan_NeedsTheBow(t *testing.T) {
	b := planBoard(t)
	made := sealed(b)
	made.Result = plan.Result{Refusal: &plan.Refusal{Certain: true, Task: -1, Limit: window.NoBow}}
	p := NewPlan(b.f, made)
	assert.Equal(t, None, p.State)
	assert.Equal(t, []string{"a plan needs the bow's bearing, to know which side lies in the sun and when: " +
		"give it as bow: NW under boat: in the job, or --bow NW beside --at"}, p.Why)
	b.f.Job.Swinging = true
	p = NewPlan(b.f, made)
	require.Len(t, p.Why, 1)
	assert.Contains(t, p.Why[0], "and she swings: give the one at which she will lie for the work, as bow: NW under boat:")
}

// Where the next coat comes too late, the answer says which key of the job, or else
// which help, would make room for it.
func TestNoPlan_RecoatSaysWhatHelps(t *testing.T) {
	const missed = "seal on port side has no place: the time to recoat is missed; "
	for _, c := range []struct {
		coats, perDay int
		sand          bool
		want          string
	}{
		{1, 0, false, "more people or longer hours let it follow sooner on the step before it"},
		{3, 1, false, "let more coats go on in a day (per_day: 3, or leave it out), or sand_between: true, which has the film abraded before the next coat"},
		{2, 0, false, "longer hours or more people let the coats follow each other, or sand_between: true, which has the film abraded before the next coat"},
		{2, 0, true, "longer hours or more people let the coats follow each other"},
	} {
		b := planBoard(t)
		made := sealed(b)
		made.Tasks[1].Coats = c.coats
		b.f.Job.Steps[made.Tasks[1].Step].PerDay, b.f.Job.Steps[made.Tasks[1].Step].Sand = c.perDay, c.sand
		made.Result = plan.Result{Refusal: &plan.Refusal{Certain: true, Task: 1, Limit: "recoat"}}
		assert.Equal(t, []string{missed + c.want}, NewPlan(b.f, made).Why)
	}
}

// With a coat on whose time has run out, more people are no help: the film is abraded.
func TestNoPlan_RecoatMissedAfterALoggedCoat(t *testing.T) {
	b := planBoard(t)
	made := sealed(b)
	made.Tasks[1].Coats = 2
	made.Result = plan.Result{Refusal: &plan.Refusal{Certain: true, Task: 1, Limit: "recoat", Share: 1}}
	assert.Equal(t, []string{"seal on port side has no place: the time to recoat is missed; sand_between: true has the film abraded before the next coat"},
		NewPlan(b.f, made).Why)
}

// A block that no stretch holds is told by the clock as the stretches are, and what
// it is made of: a part of the work, and the haze after it.
func TestNoPlan_BlockTooLong(t *testing.T) {
	b := planBoard(t)
	why := func(parts int, tail []uint8) string {
		made := sealed(b)
		made.Tasks[1].Parts, made.Input.Tasks[1].Tail = parts, tail
		made.Result = plan.Result{Refusal: &plan.Refusal{Certain: true, Task: 1, Limit: "block", Longest: 7, Needed: 9}}
		return NewPlan(b.f, made).Why[0]
	}
	const longest = "seal on port side has no place: the longest stretch that can be worked in is 1 h 10, the block takes 1 h 30"
	assert.Equal(t, longest, why(1, nil))
	assert.Equal(t, longest+": 1 h of work, and 30 min until it is wiped off", why(1, []uint8{5, 3, 4}))
	assert.Equal(t, longest+": 1 h for part 1 of 2, and 30 min until it is wiped off", why(2, []uint8{3, 3}))
	assert.Equal(t, longest+": 1 h 30 for part 1 of 2", why(2, nil))
}

// Every limit that a verdict can name has words for a plan.
func TestPlanWords(t *testing.T) {
	for l := verdict.None + 1; int(l) < verdict.Limits; l++ {
		assert.NotEmpty(t, planWords[l.String()], l.String())
	}
}
