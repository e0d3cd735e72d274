package plan

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A plan has no gap that a person would wonder at: no single block could begin earlier,
// with as many people, and leave the plan as good in everything and as neat.
func TestNoGapForNothing(t *testing.T) {
	all := jobs(size{zones: 2, steps: 3, people: 2, days: 3, slots: 7, members: 4})
	tried := 0
	for number := range 200 {
		in := all.Example(number)
		r := plans(t, in)
		if !r.Found {
			continue
		}
		sure := onPaper(t, in, r)
		for _, x := range r.Blocks {
			for s := 0; s < x.From; s++ {
				b := &brute{in: in, from: append([]int(nil), sure.from...), with: append([]int(nil), sure.with...)}
				b.from[x.Task] = s
				ok := true
				for i := range in.Tasks {
					ok = ok && b.sound(i)
				}
				if !ok {
					continue
				}
				tried++
				if b.whole(); !b.found {
					continue
				}
				_, _, taken := messOnPaper(in, slices.Clone(r.Blocks))
				_, _, then := messOnPaper(in, b.blocks())
				require.True(t, r.Score.Less(b.best) || b.holds() < r.Confidence-1e-9 || then > taken,
					"job %d: task %d at %d instead of %d: %+v, was %+v", number, x.Task, s, x.From, b.best, r.Score)
			}
		}
	}
	assert.Greater(t, tried, 50, "some could stand earlier, at a cost")
}

// blocks are the plan on paper, as far as order and days go.
func (b *brute) blocks() []Block {
	var out []Block
	for t := range b.in.Tasks {
		work, end := b.end(t)
		out = append(out, Block{Task: t, From: b.from[t], WorkTo: work, To: end})
	}
	return out
}

// holds is the share of voters in which the plan on paper holds as a whole.
func (b *brute) holds() float64 {
	joint := append([]uint64(nil), b.in.Voters...)
	for t := range b.in.Tasks {
		_, end := b.end(t)
		own := heldIn(b.in, Block{Task: t, From: b.from[t], To: end}, b.marginal(t, end))
		for w := range joint {
			joint[w] &= own[w]
		}
	}
	return float64(count(joint)) / float64(count(b.in.Voters))
}
