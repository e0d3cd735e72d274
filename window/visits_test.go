package window_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/window"
	"dewgap/window/job"
	"dewgap/window/verdict"
)

// shortDays are hours of a crew too short for a visit: half past ten until noon.
func shortDays(t require.TestingT, shortestH float64) *job.Job {
	j := smallJob(t, "soap-wash")
	j.Steps[0].Name, j.Steps[0].Do = "wash", "wash"
	j.Hours.Default = []job.ClockSpan{{From: 10*60 + 30, To: 12 * 60}}
	j.ShortestH = shortestH
	return j
}

// A stretch that is too short for a visit of its own is a window again where a block of
// a plan lies in it, as it would be if visits might be that short; the other days, and the
// result itself, stay as they are.
func TestVisited(t *testing.T) {
	f := calm(4)
	r := evaluate(t, f, shortDays(t, 2), f.Start)
	row := &r.Rows[0]
	require.Empty(t, row.Windows)
	require.NotEmpty(t, row.Short)
	w := row.Short[len(row.Short)-1]
	assert.Equal(t, 9, w.WorkTo-w.WorkFrom, "an hour and a half")
	assert.Equal(t, []int{w.From, w.To}, []int{w.BestFrom, w.BestTo})

	v := r.Visited([]window.RowBlock{{Row: 0, From: w.From + 1, To: w.From + 2}})
	assert.Empty(t, row.Windows)
	assert.Empty(t, r.Ranked[0])
	all := evaluate(t, f, shortDays(t, 1.5), f.Start)
	var want, got [][2]int
	for _, x := range all.Rows[0].Windows {
		if x.WorkFrom == w.WorkFrom {
			want = append(want, [2]int{x.From, x.To})
			assert.Equal(t, x.Panel, v.Rows[0].Windows[len(want)-1].Panel)
			assert.Equal(t, x.WetAt, v.Rows[0].Windows[len(want)-1].WetAt)
		}
	}
	covered := 0
	for _, x := range v.Rows[0].Windows {
		got = append(got, [2]int{x.From, x.To})
		covered += x.Len()
	}
	assert.Equal(t, want, got)
	assert.Len(t, v.Ranked[0], len(got))
	for _, x := range v.Rows[0].Refusals {
		covered += x.Len()
		assert.False(t, x.From < w.WorkTo && w.WorkFrom < x.To && x.Limit == verdict.Block)
	}
	assert.Equal(t, r.To-r.From, covered)

	none := r.Visited(nil)
	assert.Equal(t, r.Rows[0].Refusals, none.Rows[0].Refusals)
	assert.Empty(t, none.Rows[0].Windows)
	beside := r.Visited([]window.RowBlock{{Row: 0, From: w.WorkTo, To: w.WorkTo + 3}})
	assert.Empty(t, beside.Rows[0].Windows, "a block that lies elsewhere")
}

// What refuses such a slot is the length alone, and what it is like in a longer visit is told.
func TestExplain_Within(t *testing.T) {
	f := calm(4)
	in := window.Input{Forecast: f, Job: shortDays(t, 2), Classes: catalogue(t), Location: eastern, Now: f.Start}
	r := evaluate(t, f, in.Job, in.Now)
	w := r.Rows[0].Short[0]
	x, err := window.Explain(in, 0, "soap-wash", r.Grid.At(w.From))
	require.NoError(t, err)
	assert.Equal(t, []any{verdict.NoGo, verdict.Block, w.State}, []any{x.State, x.Binding.Limit, x.Within})
	x, err = window.Explain(in, 0, "soap-wash", r.Grid.At(w.WorkTo+1))
	require.NoError(t, err)
	assert.Equal(t, verdict.NoGo, x.Within, "outside the hours")
}
