package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// large is an invented job of more tasks than are packed, always the same for a number.
func large(number uint64, people int) *Input {
	r := lcg(number*2654435761 + 17)
	n := func(k int) int { return int(r.next(uint32(k))) }
	in := &Input{Gap: 3, Shortest: 6, MachineSlots: 24, SetUp: 1, PackUp: 1, Voters: []uint64{1<<9 - 1}}
	for d := range 16 {
		first := len(in.Day)
		for range 60 {
			in.Day = append(in.Day, d)
		}
		in.Days = append(in.Days, Day{People: people, Open: first, Close: len(in.Day)})
	}
	for zone := range 17 {
		drawnZone(in, zone, n)
	}
	return in
}

// What some of the people can do keeps to the rules of all of them, and no more than
// those are at work; looking harder never claims that it is the best.
func TestHarder(t *testing.T) {
	t.Parallel()
	found := 0
	for number := range uint64(3) {
		in := large(number, 4)
		in.Machines = int(number) // no limit, one, two
		require.Greater(t, len(in.Tasks), mostPacked)
		if some := with(*in, 2); some.Found {
			found++
			holdRules(t, in, some)
			for _, b := range some.Blocks {
				assert.LessOrEqual(t, len(b.People), 2)
			}
		}
		why := Refusal{Task: -1, Limit: "order"}
		got, err := harder(*in, Result{Steps: 7, Refusal: &why})
		require.NoError(t, err)
		assert.Greater(t, got.Steps, 7)
		if !got.Found {
			assert.Equal(t, &why, got.Refusal, "the reason is told as it was found")
			continue
		}
		assert.Nil(t, got.Refusal)
		holdRules(t, in, got)
		assert.False(t, got.Score.Less(got.Bound), "no plan beats the bound: %+v, %+v", got.Score, got.Bound)
	}
	assert.Positive(t, found)
	pinned := large(1, 4)
	pinned.Tasks[0].Held, pinned.Tasks[0].Pinned = Held{From: 1, People: 3}, true
	assert.False(t, with(*pinned, 2).Found, "what is pinned with three cannot be done by two")
}
