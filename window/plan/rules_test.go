package plan

import (
	"github.com/stretchr/testify/require"

	"dewgap/window/verdict"
)

// holdRules holds a plan against every rule that a person could check with the
// plan on paper.
func holdRules(t require.TestingT, in *Input, r Result) {
	require.Len(t, r.Blocks, len(in.Tasks))
	at := make([]Block, len(in.Tasks))
	for _, x := range r.Blocks {
		at[x.Task] = x
	}
	consents, days, finish := 0, map[int]bool{}, 0
	for i, x := range at {
		require.Equal(t, i, x.Task)
		holdBlock(t, in, x)
		holdAfter(t, in, at, x)
		if x.Consent {
			consents++
		}
		days[in.Day[x.From]] = true
		finish = max(finish, x.To)
	}
	for _, a := range in.Apart {
		w, d := at[a.Wet], at[a.Dry]
		require.True(t, d.From >= w.To+a.Before || w.From >= d.To+a.Keep, "water kept off a zone below")
	}
	holdPeople(t, in, at)
	holdMachines(t, in, at)
	require.Equal(t, r.Score.Consents, consents)
	require.Len(t, days, r.Score.Days)
	require.Equal(t, r.Score.Finish, finish)
}

func holdBlock(t require.TestingT, in *Input, x Block) {
	task := in.Tasks[x.Task]
	day := in.Days[in.Day[x.From]]
	require.GreaterOrEqual(t, x.From, day.Open+in.SetUp)
	require.LessOrEqual(t, x.To, day.Close-in.PackUp)
	require.GreaterOrEqual(t, (x.WorkTo-x.From)*len(x.People), task.Work, "enough person-slots")
	require.GreaterOrEqual(t, len(x.People), task.Least)
	require.LessOrEqual(t, len(x.People), task.Most)
	if task.Until > 0 {
		require.LessOrEqual(t, x.To, task.Until)
	}
	for i := x.From; i < x.To; i++ {
		require.Truef(t, task.State[i].Workable(), "slot %d", i)
		require.Equal(t, in.Day[x.From], in.Day[i])
		if x.State == verdict.Go {
			require.LessOrEqual(t, task.State[i], verdict.Go)
		}
	}
	if x.State == verdict.Marginal || x.Confidence < 0.5 {
		require.True(t, x.Consent)
	}
}

func holdAfter(t require.TestingT, in *Input, at []Block, x Block) {
	for _, a := range in.Tasks[x.Task].After {
		end, day := a.End, a.EndDay
		if a.Task >= 0 {
			end, day = at[a.Task].To, in.Day[at[a.Task].From]
		}
		gap := x.From - end
		require.GreaterOrEqual(t, gap, a.Hard, "order and dry-off kept")
		if x.State == verdict.Go {
			require.GreaterOrEqual(t, gap, a.Go)
		}
		if a.Most > 0 {
			require.True(t, gap <= a.Most || (a.Anew > 0 && gap >= a.Anew), "recoated in time")
		}
		if a.Since != nil {
			require.GreaterOrEqual(t, end, int(a.Since[x.From]), "washed since the salt came")
		}
		if a.NextDay {
			require.Greater(t, in.Day[x.From], day)
		}
		if a.Overnight > 0 {
			require.Equal(t, in.Day[x.From] > day, x.Rewash)
		}
	}
}

// holdPeople: nobody works twice at once or too long at the machine, and only
// people who are there that day.
func holdPeople(t require.TestingT, in *Input, at []Block) {
	type personDay struct{ person, day int }
	machine := map[personDay]int{}
	busy := map[[2]int]int{}
	for _, x := range at {
		seen := map[int]bool{}
		for _, p := range x.People {
			require.False(t, seen[p])
			seen[p] = true
			require.GreaterOrEqual(t, p, 1)
			require.LessOrEqual(t, p, in.Days[in.Day[x.From]].People)
			for i := x.From; i < x.To; i++ {
				busy[[2]int{p, i}]++
				require.Equal(t, 1, busy[[2]int{p, i}], "person %d in slot %d", p, i)
			}
			if in.Tasks[x.Task].Machine {
				machine[personDay{p, in.Day[x.From]}] += x.WorkTo - x.From
			}
		}
	}
	if in.MachineSlots > 0 {
		for who, n := range machine {
			require.LessOrEqual(t, n, in.MachineSlots, "%+v", who)
		}
	}
}

// holdMachines: in no slot are more people at machines than there are machines.
func holdMachines(t require.TestingT, in *Input, at []Block) {
	if in.Machines == 0 {
		return
	}
	running := make([]int, len(in.Day))
	for _, x := range in.Taken {
		for i := x.From; i < x.ToolTo; i++ {
			running[i]++
		}
	}
	for _, x := range at {
		if !in.Tasks[x.Task].Machine {
			continue
		}
		for i := x.From; i < x.WorkTo; i++ {
			running[i] += len(x.People)
			require.LessOrEqual(t, running[i], in.Machines, "slot %d: task %d and others", i, x.Task)
		}
	}
}
