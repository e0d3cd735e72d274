package answer

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"dewgap/window"
	"dewgap/window/plan"
	"dewgap/window/verdict"
)

// limited is a plan of one task with a limit in each slot, go where that is none and no-go
// where it is daylight, over days of so many slots.
func limited(slots int, limits ...verdict.Limit) *window.Planned {
	t := plan.Task{Limit: limits}
	in := plan.Input{}
	for i, l := range limits {
		if i%slots == 0 {
			in.Days = append(in.Days, plan.Day{People: 1, Open: i, Close: i + slots})
		}
		in.Day = append(in.Day, i/slots)
		state := verdict.Marginal
		switch l {
		case verdict.None:
			state = verdict.Go
		case verdict.Daylight:
			state = verdict.NoGo
		}
		t.State = append(t.State, state)
	}
	in.Tasks = []plan.Task{t}
	return &window.Planned{Tasks: []window.PlanTask{{}}, Input: in}
}

// A yes that is for many things is asked for in one readable list, what binds most slots
// first, and for the wind once; of three limits or more it is said that they are so many.
func TestMarginalByManyLimits(t *testing.T) {
	limits := []verdict.Limit{verdict.SunlightMax, verdict.WindMax, verdict.GustMax, verdict.UVMax, verdict.DewFree}
	p := limited(5, limits...)
	by := func(to int) string {
		return newBuilder(newBoard(t, "seal").f).marginalByText(p, plan.Block{To: to, Dried: -1})
	}
	assert.Equal(t, "marginal: 3 limits stand against it in its hours, longest first: too much sun, too windy and dew follows too soon", by(5))
	assert.Equal(t, "marginal: too windy and too much sun", by(3))
	limits[1] = verdict.GustMax
	assert.Equal(t, "marginal: too gusty and too much sun", by(3), "only the gusts are")
}

// What has lain bare for too long is to be looked at, besides what else its hours need a yes for.
func TestMarginalBy_LainBare(t *testing.T) {
	p := limited(4, verdict.Recoat, verdict.Recoat, verdict.SunlightMax, verdict.Recoat)
	by := func(from, to int) string {
		return newBuilder(newBoard(t, "seal").f).marginalByText(p, plan.Block{From: from, To: to, Dried: -1})
	}
	const look = "it has lain bare too long: look whether it has dulled, and polish it again where it has"
	p.Tasks[0].Dull = 1
	assert.Equal(t, "marginal: "+look, by(0, 2))
	assert.Equal(t, "marginal: "+look+" and too much sun", by(0, 4))
	p.Tasks[0].Dull = 3
	assert.Equal(t, "marginal: too much sun", by(2, 3), "it has not yet")
}

// Where a later day has hours for the work that stand against fewer limits, the first of the
// best of them is said: hours in which the crew is there, all of which can be worked in.
func TestMarginalBy_ALaterDay(t *testing.T) {
	const g, dark, sun, wind, dew, cold = verdict.None, verdict.Daylight, verdict.SunlightMax, verdict.WindMax, verdict.DewFree, verdict.AirMin
	made := newBuilder(newBoard(t, "seal").f)
	for _, x := range []struct {
		why   string
		later []verdict.Limit
		slot  int // −1: none
		many  string
	}{
		{"none", []verdict.Limit{g, g, g, g}, 4, "none"},
		{"in the afternoon", []verdict.Limit{dark, g, g, g}, 5, "none"},
		{"one, for three slots", []verdict.Limit{cold, cold, cold, cold}, 4, "only 1"},
		{"two", []verdict.Limit{cold, sun, cold, dark}, 4, "only 2"},
		{"the best, not the first", []verdict.Limit{cold, sun, sun, g}, 5, "only 1"},
		{"as many", []verdict.Limit{cold, sun, dew, dark}, -1, ""},
		{"no room", []verdict.Limit{g, g, dark, g}, -1, ""},
	} {
		p := limited(4, append([]verdict.Limit{sun, wind, dew, dark}, x.later...)...)
		want := ""
		if x.slot >= 0 {
			want = ", " + x.many + " in as many hours from " + made.at(made.Result.From+x.slot).Format(stamp)
		}
		block := plan.Block{To: 3, WorkTo: 3, Dried: -1}
		assert.Equal(t, "marginal: 3 limits stand against it in its hours"+want+", longest first: too much sun, too windy and dew follows too soon", made.marginalByText(p, block), x.why)
		for _, shut := range []func(in *plan.Input){
			func(in *plan.Input) { in.Days[1].People = 0 }, func(in *plan.Input) { in.Tasks[0].Until = 6 },
			func(in *plan.Input) { in.SetUp, in.PackUp = 1, 1 },
			func(in *plan.Input) {
				in.Taken = []plan.Taken{{Person: 1, From: 6, To: 7}, {Person: 1, From: 4, To: 5}}
			},
			func(in *plan.Input) {
				in.Tasks[0].Machine, in.Machines, in.Taken = true, 1, []plan.Taken{{Person: 2, From: 5, To: 7, ToolTo: 7}}
			},
		} {
			p := limited(4, append([]verdict.Limit{sun, wind, dew, dark}, x.later...)...)
			shut(&p.Input)
			assert.NotContains(t, made.marginalByText(p, block), " from ", x.why)
		}
	}
}

// A later day is offered to as many people as the block has, and what is counted against the
// block is counted against it: a wash before it has dried for longer by then, or not yet long
// enough.
func TestMarginalBy_LikeWithLike(t *testing.T) {
	const g, sun, wind, cold = verdict.None, verdict.SunlightMax, verdict.WindMax, verdict.AirMin
	made := newBuilder(newBoard(t, "seal").f)
	said := func(people int, later verdict.Limit) string {
		p := limited(4, sun, wind, g, g, cold, later, g, g)
		p.Input.Tasks[0].After = []plan.After{{Limit: verdict.DryOff.String(), Go: 5, Hard: 1}}
		p.Input.Days[1].People = 2
		return made.marginalByText(p, plan.Block{To: 3, Dried: 2, People: []int{1, 2, 3}[:people]})
	}
	assert.Contains(t, said(1, sun), "3 limits stand against it in its hours, only 1 in as many hours from ")
	assert.Contains(t, said(2, g), ", none in as many hours from ")
	assert.NotContains(t, said(3, g), " from ", "the third is not there")
	p := limited(3, sun, wind, g, sun, sun, wind)
	p.Input.Tasks[0].After = []plan.After{{Limit: verdict.DryOff.String(), Go: 5, Hard: 1}}
	assert.Contains(t, made.marginalByText(p, plan.Block{To: 3, Dried: 2}), "3 limits stand against it in its hours, only 2 in as many hours from ", "it is dry by then")
	p.Input.Tasks[0].After[0].Go = 6
	assert.NotContains(t, made.marginalByText(p, plan.Block{To: 3, Dried: 2}), " from ", "it is not dry long enough by then either")
}

// How many blocks stand against many limits is said of the plan as a whole, and nothing where
// none does: a person sees what to look at first.
func TestPlanSaysWhatToLookAtFirst(t *testing.T) {
	b := newBoard(t, "seal")
	b.row("seal", "port side", "m wind_max end")
	p := limited(4, verdict.SunlightMax, verdict.WindMax, verdict.DewFree, verdict.None)
	said := func(blocks ...plan.Block) string { p.Blocks = blocks; return lookFirst(p) }
	many, few := plan.Block{To: 3, State: verdict.Marginal, Dried: -1}, plan.Block{To: 2, State: verdict.Marginal, Dried: -1}
	assert.Empty(t, said())
	assert.Empty(t, said(few, plan.Block{To: 3, State: verdict.Go, Consent: true, Dried: -1}))
	assert.Equal(t, "1 of them stands against 3 limits or more in its hours: look at it first", said(few, many))
	assert.Equal(t, "2 of them stand against 3 limits or more in their hours: look at them first", said(many, many))

	p.Found, p.Blocks, p.Score = true, []plan.Block{many}, plan.Score{Consents: 1, Days: 1, Finish: 3}
	assert.Contains(t, NewPlan(b.f, p).Why, said(many))
}
