package plan

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Whether a task stands in too short a visit is told by the rule of the plans: some task
// does where the visits of a plan are not all long enough, and none where they are.
func TestTooShort(t *testing.T) {
	short, long := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		in := drawInput(t, size{zones: 2, steps: 2, people: 2, days: 2, slots: 7, members: 4})
		in.Shortest = 0
		r, err := Solve(*in)
		require.NoError(t, err)
		if in.Shortest = rapid.IntRange(2, 8).Draw(t, "shortest visit"); !r.Found {
			return
		}
		b := &brute{in: in, from: make([]int, len(in.Tasks)), with: make([]int, len(in.Tasks))}
		for _, x := range r.Blocks {
			b.from[x.Task], b.with[x.Task] = x.From, len(x.People)
		}
		some := false
		for _, x := range r.Blocks {
			some = some || in.TooShort(r.Blocks, x.Task, x.From, x.To)
		}
		require.Equal(t, !b.visits(), some)
		if some {
			short++
		} else {
			long++
		}
	})
	require.Positive(t, short)
	require.Positive(t, long)
}

// A task is asked where it would stand, whatever block it has: beside the others of that
// day, over what dries between them, and no longer than all that there is to do.
func TestTooShortElsewhere(t *testing.T) {
	in := job(1, strings.Repeat(".", 20), strings.Repeat(".", 20))
	in.Shortest, in.Gap = 6, 2
	free := strings.Repeat("g", 40)
	in.add(3, free)
	in.add(3, free).After = []After{{Task: 0, Go: 5, Hard: 5}}
	blocks := []Block{{Task: 0, From: 0, To: 3}, {Task: 1, From: 25, To: 28}}
	for _, c := range []struct {
		from   int
		short  bool
		reason string
	}{
		{8, false, "five slots of drying are no gap"},
		{9, false, "nor is one slot more"},
		{10, true, "two are"},
		{25, true, "a visit by itself on the next day"},
	} {
		assert.Equal(t, c.short, in.TooShort(blocks, 1, c.from, c.from+3), c.reason)
	}
	in.Tasks[1].Alone = true
	assert.False(t, in.TooShort(blocks, 1, 25, 28), "worth coming for by itself")

	in.Tasks[1].Alone, in.Days[1].People = false, 2
	assert.False(t, in.TooShort(blocks, 1, 25, 28), "two do the whole job in three slots: no visit need be longer")
}
