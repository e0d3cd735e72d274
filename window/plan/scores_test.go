package plan

import (
	"bufio"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/window/verdict"
)

// drawn is an invented job of the usual kind, always the same for a number: a few
// zones with wash, machine, wash and seal on each, dry-off, recoat and bare nights
// between them, doubtful hours, and water that runs from one zone onto another.
func drawn(number uint64) *Input {
	r := lcg(number*2654435761 + 17)
	n := func(k int) int { return int(r.next(uint32(k))) }
	in := &Input{Gap: 3, Shortest: 6 * n(2), MachineSlots: 10 + 2*n(8), SetUp: 1, PackUp: 1, Voters: []uint64{1<<(5+n(6)) - 1}}
	people := 1 + n(3)
	for d := range 3 + n(4) {
		first := len(in.Day)
		for range 30 {
			in.Day = append(in.Day, d)
		}
		in.Days = append(in.Days, Day{People: people, Open: first, Close: len(in.Day)})
	}
	for zone := range 2 + n(4) {
		drawnZone(in, zone, n)
	}
	if n(2) == 0 {
		in.Apart = append(in.Apart, Apart{Wet: 4, Dry: 3, Before: 6, Keep: 12})
	}
	return in
}

// drawnZone adds the four steps of a zone.
func drawnZone(in *Input, zone int, n func(int) int) {
	size := 2 + n(5)
	for step, work := range []int{1 + size/3, 3 * size, 1 + size/3, 2 * size} {
		x := Task{Step: step, Zone: zone, Work: work, Least: 1, Most: max(1, in.Days[0].People), Machine: step == 1}
		drawnSlots(in, &x, step, n)
		before := len(in.Tasks) - 1
		if step > 0 {
			x.After = []After{{Task: before, Limit: "order"}}
		}
		switch step {
		case 1:
			x.After = append(x.After, After{Task: before, Go: 2, Limit: "dry_off", Overnight: n(2)})
		case 2:
			x.After = append(x.After, After{Task: before, Most: 60, Limit: "recoat"})
		case 3:
			x.After = append(x.After, After{Task: before, Hard: 3, Go: 6, Limit: "dry_off"})
		}
		in.Tasks = append(in.Tasks, x)
	}
}

// drawnSlots gives a task its hours: whole mornings and afternoons out, some
// doubtful, sealing the most, with a haze that is longer in the morning.
func drawnSlots(in *Input, x *Task, step int, n func(int) int) {
	state, members := verdict.Go, in.Voters[0]
	for s := range in.Day {
		if s%5 == 0 {
			state, members = verdict.Go, in.Voters[0]
			switch c := n(12 - 2*step); {
			case c == 0:
				state, members = verdict.NoGo, 0
			case c == 1:
				state = verdict.Marginal
			case c == 2:
				members &= uint64(n(1 << 11))
			}
		}
		goes := members
		if state == verdict.Marginal {
			goes = 0
		}
		x.State, x.Limit = append(x.State, state), append(x.Limit, verdict.RainFree)
		x.Go, x.Marginal = append(x.Go, goes), append(x.Marginal, members)
		x.Heat = append(x.Heat, int32(max(0, 5-abs(s%30-18))))
		if step == 3 {
			x.Tail = append(x.Tail, uint8(3+(30-s%30)/6))
		}
	}
}

func abs(x int) int { return max(x, -x) }

// TestScores holds plans against those of an earlier search without packing, of 5
// million steps: never worse in consents, members, days or finish, and in no more than
// one of ten in cooler hours. Each search is fortunate at times where the jobs are as
// tight as these.
func TestScores(t *testing.T) {
	t.Parallel()
	f, err := os.Open("../../testdata/plan/scores")
	require.NoError(t, err)
	defer f.Close()
	all, better, worse := 0, 0, 0
	for lines := bufio.NewScanner(f); lines.Scan(); {
		if strings.HasPrefix(lines.Text(), "#") {
			continue
		}
		var number uint64
		var was Score
		_, err := fmt.Sscan(lines.Text(), &number, &was.Consents, &was.FivePoints, &was.Days, &was.Finish, &was.Heat)
		require.NoError(t, err, lines.Text())
		in := drawn(number)
		got, err := Solve(*in)
		require.NoError(t, err)
		require.True(t, got.Found, "job %d", number)
		holdRules(t, in, got)
		all++
		assert.False(t, was.lessIn(got.Score, 4), "job %d: %+v, was %+v", number, got.Score, was)
		switch {
		case got.Score.Less(was):
			better++
		case was.Less(got.Score):
			worse++
			t.Logf("job %d: %+v, was %+v", number, got.Score, was)
		}
	}
	t.Logf("%d jobs: %d better, %d worse", all, better, worse)
	require.Greater(t, better, worse)
	require.LessOrEqual(t, worse*10, all)
}
