package plan

import (
	"reflect"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/window/verdict"
)

// notWorse holds a plan of a job that was made easier against the one before.
func notWorse(t *testing.T, number int, was, is Result) {
	t.Helper()
	if !was.Found {
		return
	}
	require.True(t, is.Found, "job %d: %+v", number, is.Refusal)
	require.False(t, was.Score.Less(is.Score), "job %d: %+v, made easier %+v", number, was.Score, is.Score)
}

// Better weather in one slot of one task never makes a plan worse: no-go to marginal,
// marginal to go, or one future more.
func TestBetterWeatherIsNoWorse(t *testing.T) {
	t.Parallel()
	all := jobs(few)
	better := 0
	for number := range 120 {
		in := all.Example(number)
		was := plans(t, in)
		for i := range in.Tasks {
			s := (7*number + 3*i) % len(in.Day)
			fair := cloned(in)
			x := &fair.Tasks[i]
			switch x.State[s] {
			case verdict.NoGo:
				x.State[s], x.Marginal[s] = verdict.Marginal, in.Voters[0]
			case verdict.Marginal:
				x.State[s] = verdict.Go
				x.Go[s] = x.Marginal[s]
			default:
				x.Go[s], x.Marginal[s] = in.Voters[0], in.Voters[0]
			}
			is := plans(t, fair)
			notWorse(t, number, was, is)
			better += one(is.Found && (!was.Found || is.Score.Less(was.Score)))
		}
	}
	assert.Positive(t, better, "some plans gain by it")
}

// looser are rules to be loosened by one, with what makes a job feel it.
func looser() map[string]struct{ before, loosen func(in *Input) } {
	anyVisit := func(in *Input) { in.Shortest = 0 } // less drying or haze leaves shorter visits
	split := func(in *Input) { in.Shortest, in.Gap = 4, 1 }
	agreed := func(in *Input) { // as sure of go as of marginal: else a yes may make it surer
		anyVisit(in)
		eachTask(in, func(x *Task) {
			for s := range x.Go {
				x.Go[s] = x.Marginal[s] * uint64(one(x.State[s] == verdict.Go))
			}
		})
	}
	launch := func(in *Input) {
		agreed(in)
		eachTask(in, func(x *Task) { x.Until, x.UntilGo = len(in.Day), x.Work+1 })
	}
	machines := func(in *Input) {
		in.MachineSlots = 2
		eachTask(in, func(x *Task) { x.Machine = true })
	}
	single := func(in *Input) {
		in.Machines = 1
		eachTask(in, func(x *Task) { x.Machine, x.Most = true, 2 })
	}
	again := func(in *Input) {
		eachAfter(in, func(a *After) { a.Most, a.Anew = a.Go+1, a.Go+4 })
	}
	return map[string]struct{ before, loosen func(in *Input) }{
		"half an hour longer":      {nil, func(in *Input) { in.PackUp, in.SetUp = max(0, in.PackUp-1), max(0, in.SetUp-1) }},
		"shorter visits will do":   {nil, func(in *Input) { in.Shortest = max(0, in.Shortest-1) }},
		"longer gaps will do":      {split, func(in *Input) { in.Gap++ }},
		"alone":                    {nil, func(in *Input) { eachTask(in, func(x *Task) { x.Alone = true }) }},
		"more hands at a block":    {nil, func(in *Input) { eachTask(in, func(x *Task) { x.Most++ }) }},
		"dries a slot sooner":      {nil, func(in *Input) { eachAfter(in, func(a *After) { a.Hard = max(0, a.Hard-1) }) }},
		"is as good a slot sooner": {agreed, func(in *Input) { eachAfter(in, func(a *After) { a.Go = max(a.Hard, a.Go-1) }) }},
		"may wait a slot longer":   {nil, func(in *Input) { eachAfter(in, func(a *After) { a.Most += one(a.Most > 0) }) }},
		"anew a slot sooner":       {again, func(in *Input) { eachAfter(in, func(a *After) { a.Anew-- }) }},
		"on the same day":          {nil, func(in *Input) { eachAfter(in, func(a *After) { a.NextDay = false }) }},
		"a smaller rewash":         {nil, func(in *Input) { eachAfter(in, func(a *After) { a.Overnight -= one(a.Overnight > 1) }) }},
		"done sooner": {nil, func(in *Input) {
			eachAfter(in, func(a *After) { a.End -= one(a.Task < 0 && a.Most == 0 && a.Since == nil) })
		}},
		"no salt to wash off":     {nil, func(in *Input) { eachAfter(in, func(a *After) { a.Since = nil }) }},
		"the launch a slot later": {nil, func(in *Input) { eachTask(in, func(x *Task) { x.Until += one(x.Until > 0) }) }},
		"cured for the launch":    {launch, func(in *Input) { eachTask(in, func(x *Task) { x.UntilGo += one(x.UntilGo > 0) }) }},
		"water is no matter":      {nil, func(in *Input) { in.Apart = nil }},
		"water runs less long": {nil, func(in *Input) {
			eachApart(in, func(a *Apart) { a.Before, a.Keep = max(0, a.Before-1), max(0, a.Keep-1) })
		}},
		"no machine":                {machines, func(in *Input) { eachTask(in, func(x *Task) { x.Machine = false }) }},
		"a machine more":            {single, func(in *Input) { in.Machines++ }},
		"a slot more at a machine":  {machines, func(in *Input) { in.MachineSlots++ }},
		"no haze":                   {anyVisit, func(in *Input) { eachTask(in, func(x *Task) { x.Tail = nil }) }},
		"no other task to wait for": {agreed, func(in *Input) { eachTask(in, func(x *Task) { x.After = nil }) }},
		"as cool as can be":         {nil, func(in *Input) { eachTask(in, func(x *Task) { x.Heat = nil }) }},
	}
}

// Every rule that is loosened by one leaves all the plans that there were.
func TestLooserRulesAreNoWorse(t *testing.T) {
	t.Parallel()
	const many = 150
	all := jobs(few)
	var given []*Input // most rules are loosened in these jobs as they are
	var planned []Result
	for number := range many {
		given = append(given, all.Example(number))
		planned = append(planned, plans(t, given[number]))
	}
	for name, x := range looser() {
		t.Run(name, func(t *testing.T) {
			better := 0
			for number := range many {
				in, was := given[number], planned[number]
				if x.before != nil {
					in = cloned(in)
					x.before(in)
					was = plans(t, in)
				}
				loose := cloned(in)
				x.loosen(loose)
				if reflect.DeepEqual(in, loose) {
					continue // the job has no such rule
				}
				is := plans(t, loose)
				notWorse(t, number, was, is)
				better += one(is.Found && (!was.Found || is.Score.Less(was.Score)))
			}
			assert.Positive(t, better, "some plans gain by it")
		})
	}
}

func eachTask(in *Input, change func(x *Task)) {
	for i := range in.Tasks {
		change(&in.Tasks[i])
	}
}

func eachAfter(in *Input, change func(a *After)) {
	eachTask(in, func(x *Task) {
		for k := range x.After {
			change(&x.After[k])
		}
	})
}

func eachApart(in *Input, change func(a *Apart)) {
	for k := range in.Apart {
		change(&in.Apart[k])
	}
}

// What has to be done by the moment at which the best plan is done anyhow costs
// nothing; a slot sooner, it costs something or cannot be.
func TestMustAtTheFinish(t *testing.T) {
	t.Parallel()
	all := jobs(few)
	costs, cannot := 0, 0
	for number := range 200 {
		in := cloned(all.Example(number))
		eachTask(in, func(x *Task) { x.Until, x.UntilGo = 0, 0 })
		was := plans(t, in)
		if !was.Found {
			continue
		}
		must := cloned(in)
		eachTask(must, func(x *Task) { x.Until = was.Score.Finish })
		require.Equal(t, was.Score, plans(t, must).Score, "job %d", number)
		eachTask(must, func(x *Task) { x.Until-- })
		switch is := plans(t, must); {
		case must.Tasks[0].Until == 0: // no bound any more
		case !is.Found:
			cannot++
		default:
			costs++
			require.True(t, was.Score.Less(is.Score), "job %d: %+v, sooner %+v", number, was.Score, is.Score)
			require.Less(t, is.Score.Finish, was.Score.Finish)
		}
	}
	assert.Positive(t, costs)
	assert.Positive(t, cannot)
}

// A film that is not cured by the launch is a thing for the owner's yes: no more
// blocks ask for it than end too late, and none that ends in time.
func TestCuredByTheLaunch(t *testing.T) {
	in := job(1, "......")
	in.add(2, "rrgggg").Until = 6
	assert.Zero(t, solved(t, in).Score.Consents)
	in.Tasks[0].UntilGo = 4
	assert.Zero(t, solved(t, in).Score.Consents, "it ends in slot 4")
	in.Tasks[0].UntilGo = 3
	r := solved(t, in)
	assert.Equal(t, 1, r.Score.Consents, "it cannot end by slot 3")
	assert.Equal(t, verdict.Marginal, r.Blocks[0].State)
	in.Tasks[0].Until, in.Tasks[0].UntilLimit = 3, "launch"
	assert.Equal(t, "launch", refused(t, in).Limit)
	in.Tasks[0].UntilLimit = ""
	assert.Equal(t, "must", refused(t, in).Limit, "a moment without a name of its own")
}

// A plan that has just been made stays: nothing has to move, and pinned all through it
// is the same plan with the same figures.
func TestWhatIsPlannedStays(t *testing.T) {
	t.Parallel()
	all := jobs(few)
	stayed := 0
	for number := range 200 {
		in := all.Example(number)
		was := plans(t, in)
		if !was.Found || slices.ContainsFunc(was.Blocks, func(x Block) bool { return x.Rewash }) {
			continue
		}
		held := cloned(in)
		for _, x := range was.Blocks {
			held.Tasks[x.Task].Held = Held{From: x.From, People: len(x.People)}
		}
		held.Stay = true
		r, err := Solve(*held)
		require.NoError(t, err)
		require.True(t, r.Found, "job %d: %+v", number, r.Refusal)
		require.Zero(t, r.Score.Consents, "job %d: nothing moves", number)
		require.Positive(t, r.Proven)

		held.Stay = false
		eachTask(held, func(x *Task) { x.Pinned = true })
		again := plans(t, held)
		require.Equal(t, was.Score, again.Score, "job %d", number)
		require.Len(t, again.Blocks, len(was.Blocks))
		for k, x := range again.Blocks {
			require.Equal(t, was.Blocks[k].From, x.From)
			require.Equal(t, was.Blocks[k].To, x.To)
			require.Equal(t, was.Blocks[k].State, x.State)
			require.Equal(t, was.Blocks[k].Dried, x.Dried)
		}
		stayed++
	}
	assert.Greater(t, stayed, 40)
}

// Pinned tasks never make a plan better, and where they are pinned to no place of
// theirs there is none.
func TestPinnedIsNoBetter(t *testing.T) {
	t.Parallel()
	all := jobs(few)
	worse, none := 0, 0
	for number := range 150 {
		in := all.Example(number)
		was := plans(t, in)
		pinned := cloned(in)
		x := &pinned.Tasks[number%len(in.Tasks)]
		x.Held, x.Pinned = Held{From: number % len(in.Day), People: 1}, true
		is := plans(t, pinned)
		if !is.Found {
			none++
			continue
		}
		require.True(t, was.Found)
		require.False(t, is.Score.Less(was.Score), "job %d: %+v, pinned %+v", number, was.Score, is.Score)
		worse += one(was.Score.Less(is.Score))
		for _, b := range is.Blocks {
			if b.Task == number%len(in.Tasks) {
				require.Equal(t, x.Held.From, b.From)
			}
		}
	}
	assert.Positive(t, worse)
	assert.Positive(t, none)
}

// The more often it is asked with less to spend, the less is proven, never the wrong
// thing: whatever the budget, the plan is no better than the best and the claims hold.
func TestBudgets(t *testing.T) {
	all := jobs(size{zones: 2, steps: 3, people: 2, days: 3, slots: 6, members: 4})
	stopped := 0
	for number := range 60 {
		in := all.Example(number)
		best := plans(t, in)
		for _, budget := range []int{1, 7, 30, 120, 600} {
			tight := cloned(in)
			tight.Budget = budget
			got, err := Solve(*tight)
			require.NoError(t, err)
			if !got.Found {
				require.False(t, best.Found && got.Refusal.Certain, "job %d, %d steps", number, budget)
				continue
			}
			require.True(t, best.Found)
			holdRules(t, tight, got)
			holdFigures(t, tight, got)
			holdBounds(t, got, best.Score)
			stopped += one(got.Proven < Criteria)
		}
	}
	assert.Positive(t, stopped)
}
