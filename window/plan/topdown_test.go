package plan

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// storeys is a job for some people on one day: so many panels to be washed by the same step,
// listed from the lowest, each of which runs down onto all those before it.
func storeys(people, panels int) *Input {
	in := job(people, "............")
	for k := range panels {
		in.add(1, "gggggggggggg").Zone = k
		for below := range k {
			in.Downs = append(in.Downs, Down{Above: k, Below: below})
		}
	}
	return in
}

// wrongWay is a solver whose best plan has the panels washed from the lowest up.
func wrongWay(t *testing.T, in *Input) *solver {
	m := newModel(in)
	require.Negative(t, m.propagate())
	s := newSolver(m)
	for task := range in.Tasks {
		s.b.book.place(task, slices.IndexFunc(m.options[task], func(o option) bool { return int(o.start) == task && o.people == 1 }))
	}
	require.True(t, s.x.offer(s.b.book, Criteria))
	return s
}

// Common practice, no source: a boat is washed from the top down. What is booked the other
// way round is put right at once, however many panels there are, and ends no later.
func TestTopDown(t *testing.T) {
	for panels := 2; panels <= 12; panels++ {
		in := storeys(1, panels)
		s := wrongWay(t, in)
		was := s.x.score
		s.topDown()
		r := s.result()
		_, down, _ := messOnPaper(in, r.Blocks)
		assert.Zero(t, down, "%d panels: %+v", panels, r.Blocks)
		assert.Equal(t, was, r.Score)
		for k, x := range r.Blocks {
			assert.Equal(t, panels-1-k, x.Task)
		}
	}
}

// Where the highest cannot be washed until noon all is done as before but for the others; a
// search for any plan at all leaves everything as it is.
func TestTopDown_WhatCanBe(t *testing.T) {
	in := storeys(1, 4)
	late := job(1, "............")
	in.Tasks[3].State = late.add(1, "rrrggggggggg").State
	s := wrongWay(t, in)
	s.topDown()
	_, down, _ := messOnPaper(in, s.result().Blocks)
	assert.Equal(t, 3, down, "the highest runs down onto all of them, and nothing else does")

	s = wrongWay(t, in)
	s.one = true
	s.topDown()
	_, down, _ = messOnPaper(in, s.result().Blocks)
	assert.Equal(t, 6, down)
}

// Plans are built from the top down, whatever the list says, but for what must come first.
func TestOrdered_FromTheTop(t *testing.T) {
	in := storeys(1, 3)
	in.Tasks[2].After = []After{{Task: 0}}
	m := newModel(in)
	assert.Equal(t, []int{0, 2, 1}, m.ordered([]int64{0, 1, 2}))
	in.Tasks[2].After = nil
	assert.Equal(t, []int{2, 1, 0}, newModel(in).ordered([]int64{0, 1, 2}))
	in.Downs = nil
	assert.Equal(t, []int{0, 1, 2}, newModel(in).ordered([]int64{0, 1, 2}))
}
