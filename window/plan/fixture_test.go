package plan

import (
	"bufio"
	"fmt"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"dewgap/window/verdict"
)

// fixture is a job on paper with the best score that CBC found for it; the
// README beside the files tells the format.
type fixture struct {
	Input
	best    Score
	members int
}

func readFixture(t testing.TB, file string) *fixture {
	t.Helper()
	f, err := os.Open(file)
	require.NoError(t, err)
	defer f.Close()
	x := &fixture{members: 1}
	x.Gap = 3
	in := bufio.NewScanner(f)
	for n := 1; in.Scan(); n++ {
		text, _, _ := strings.Cut(in.Text(), "#")
		if w := strings.Fields(text); len(w) > 0 {
			require.NoErrorf(t, x.line(w), "%s:%d", file, n)
		}
	}
	require.NoError(t, in.Err())
	x.Voters = []uint64{1<<x.members - 1}
	return x
}

func (x *fixture) line(w []string) error {
	n, err := numbers(w[1:])
	last := len(x.Tasks) - 1
	switch w[0] {
	case "members":
		x.members = n[0]
	case "machine":
		x.MachineSlots = n[0]
	case "polishers":
		x.Machines = n[0]
	case "visit":
		x.Shortest = n[0]
	case "day":
		first := len(x.Day)
		for range n[1] {
			x.Day = append(x.Day, len(x.Days))
		}
		x.Days = append(x.Days, Day{People: n[0], Open: first, Close: len(x.Day)})
	case "task":
		x.Tasks = append(x.Tasks, Task{Step: n[0], Zone: n[1], Work: n[2], Least: n[3], Most: n[4]})
	case "tool":
		x.Tasks[last].Machine = true
	case "haze":
		x.Tasks[last].Tail = make([]uint8, len(x.Day))
		for i := range x.Tasks[last].Tail {
			x.Tasks[last].Tail[i] = uint8(n[0])
		}
	case "state":
		return x.states(&x.Tasks[last], strings.Join(w[1:], ""))
	case "go", "marginal":
		x.mask(&x.Tasks[last], w)
		return nil
	case "heat":
		x.Tasks[last].heat(len(x.Day), n)
	case "after":
		x.Tasks[last].After = append(x.Tasks[last].After, After{Task: n[0], Hard: n[1], Go: n[2]})
	case "within":
		x.Tasks[last].After[len(x.Tasks[last].After)-1].Most = n[0]
	case "next-day":
		x.Tasks[last].After[len(x.Tasks[last].After)-1].NextDay = true
	case "rewash":
		x.Tasks[last].After[len(x.Tasks[last].After)-1].Overnight = n[0]
	case "apart":
		x.Apart = append(x.Apart, Apart{Wet: n[0], Dry: n[1], Before: n[2], Keep: n[3]})
	case "best":
		x.best = Score{Consents: n[0], FivePoints: n[1], Days: n[2], Finish: n[3], Heat: int64(n[4])}
	default:
		return fmt.Errorf("unknown word %q", w[0])
	}
	return err
}

func numbers(w []string) ([]int, error) {
	var out []int
	for _, s := range w {
		if v, err := strconv.Atoi(s); err == nil {
			out = append(out, v)
		}
	}
	return out, nil
}

// states reads "x6g20m4": so many slots of no-go, go and marginal.
func (x *fixture) states(t *Task, text string) error {
	letters := map[byte]verdict.State{'x': verdict.NoGo, 'g': verdict.Go, 'm': verdict.Marginal}
	for len(text) > 0 {
		state, ok := letters[text[0]]
		end := strings.IndexAny(text[1:]+"x", "xgm") + 1
		n, err := strconv.Atoi(text[1:end])
		if !ok || err != nil {
			return fmt.Errorf("not a state: %s", text)
		}
		all := uint64(1)<<x.members - 1
		for range n {
			goes, marginal := uint64(0), uint64(0)
			if state <= verdict.Marginal {
				goes, marginal = all, all
			}
			t.State, t.Limit = append(t.State, state), append(t.Limit, verdict.RainFree)
			t.Go, t.Marginal = append(t.Go, goes), append(t.Marginal, marginal)
		}
		text = text[end:]
	}
	if len(t.State) != len(x.Day) {
		return fmt.Errorf("%d slots, not %d", len(t.State), len(x.Day))
	}
	return nil
}

// mask reads "go 12 30 3f": in these slots only these members are that good.
func (x *fixture) mask(t *Task, w []string) {
	from, _ := strconv.Atoi(w[1])
	to, _ := strconv.Atoi(w[2])
	set, _ := strconv.ParseUint(w[3], 16, 64)
	for i := from; i < to; i++ {
		if t.Go[i] &= set; w[0] == "marginal" {
			t.Marginal[i] &= set
		}
	}
}

// heat reads "heat 10 14 30": from slot 10 to 14 so much.
func (t *Task) heat(slots int, n []int) {
	if t.Heat == nil {
		t.Heat = make([]int32, slots)
	}
	for i := n[0]; i < n[1]; i++ {
		t.Heat[i] = int32(n[2])
	}
}
