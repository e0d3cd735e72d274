package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// fewestMoves looks at every plan for the one that leaves most tasks where they
// are held; many where there is none.
func (b *brute) fewestMoves(t, moved int, best *int) {
	if moved >= *best {
		return
	}
	if t == len(b.in.Tasks) {
		if b.visits() && b.machines() {
			*best = moved
		}
		return
	}
	x := &b.in.Tasks[t]
	for s := range b.in.Day {
		for p := x.Least; p <= x.Most; p++ {
			b.from[t], b.with[t] = s, p
			if !b.sound(t) {
				continue
			}
			own := 0
			if h := x.Held; h.People > 0 {
				work, _ := b.end(t)
				b.from[t], b.with[t] = s, h.People
				held, _ := b.end(t)
				b.with[t] = p
				if s != h.From || work != held {
					own = 1
				}
			}
			b.fewestMoves(t+1, moved+own, best)
		}
	}
	b.with[t] = 0
}

// drawHeld draws where an earlier plan had some of the tasks.
func drawHeld(t *rapid.T, in *Input) {
	for i := range in.Tasks {
		if rapid.IntRange(0, 3).Draw(t, "is held") > 0 {
			in.Tasks[i].Held = Held{
				From:   rapid.IntRange(-1, len(in.Day)-1).Draw(t, "held from"),
				People: rapid.IntRange(1, in.Tasks[i].Most).Draw(t, "held people"),
			}
		}
	}
}

// The fewest moves of a plan are those that looking at every plan finds.
func TestFewestMovesAgainstBruteForce(t *testing.T) {
	t.Parallel()
	found, moved := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		in := *drawInput(t, size{zones: 2, steps: 2, people: 2, days: 2, slots: 7, members: 3})
		drawHeld(t, &in)
		in.Stay = true
		r, err := Solve(in)
		require.NoError(t, err)
		best := many
		b := &brute{in: &in, from: make([]int, len(in.Tasks)), with: make([]int, len(in.Tasks))}
		b.fewestMoves(0, 0, &best)
		require.Equal(t, best < many, r.Found, "%+v", r.Refusal)
		if !r.Found {
			return
		}
		require.Equal(t, best, r.Score.Consents)
		require.Positive(t, r.Proven, "a job as small is proven")
		require.Equal(t, best, r.Bound.Consents, "what no plan can beat")
		found++
		moved += best
		pinStays(t, in, &r)
	})
	require.Positive(t, found)
	require.Positive(t, moved)
}

// pinStays pins what did not move: the plan is then found again, with every
// pinned task where it stood.
func pinStays(t *rapid.T, in Input, r *Result) {
	in.Stay = false
	for _, x := range r.Blocks {
		task := &in.Tasks[x.Task]
		task.Pinned = task.Held.People > 0 && x.From == task.Held.From && !task.Held.moves(x.From, x.WorkTo-x.From, task.Work) && !x.Rewash
	}
	again, err := Solve(in)
	require.NoError(t, err)
	require.True(t, again.Found, "%+v", again.Refusal)
	for _, x := range again.Blocks {
		if task := in.Tasks[x.Task]; task.Pinned {
			require.Equal(t, task.Held.From, x.From)
		}
	}
}

func TestHeldMoves(t *testing.T) {
	h := Held{From: 5, People: 2}
	assert.False(t, h.moves(5, 3, 6))
	assert.False(t, h.moves(5, 3, 5), "two people take three slots for five")
	assert.True(t, h.moves(6, 3, 6), "another start")
	assert.True(t, h.moves(5, 2, 6), "with more people it is shorter")
	assert.False(t, Held{}.moves(7, 3, 6), "it stood nowhere")
}
