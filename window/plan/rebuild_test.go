package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/window/verdict"
)

// sunnyJob invents a job that the sun walks round: zones that may each be worked at
// without a doubt in a few hours of a day only, in steps that dry between, where a visit
// must be a fifth of a day at least.
func sunnyJob(seed uint64, zones, steps, days, people int) *Input {
	const slots, members = 60, 10
	random := lcg(seed)
	in := &Input{Voters: []uint64{1<<members - 1}, Shortest: 12, Gap: 3}
	for d := range days {
		for range slots {
			in.Day = append(in.Day, d)
		}
		in.Days = append(in.Days, Day{People: people, Open: d * slots, Close: (d + 1) * slots})
	}
	for zone := range zones {
		from, long := int(random.next(slots-12)), 6+int(random.next(16)) // of the zone's good hours
		work := 1 + int(random.next(16))
		for step := range steps {
			x := Task{Step: step, Zone: zone, Work: work, Least: 1, Most: people, Machine: step == 1}
			if step%2 == 0 {
				x.Work = 1 + work/4
			}
			for range days {
				wet := random.next(8) == 0 // in the morning
				for s := range slots {
					x.sunny(s >= from && s < from+long, wet && s < slots/2, in.Voters[0])
				}
			}
			if step > 0 {
				x.After = []After{{Task: len(in.Tasks) - 1, Hard: 3 * (step % 2), Go: 6 * (step % 2)}}
			}
			in.Tasks = append(in.Tasks, x)
		}
	}
	return in
}

// sunny adds a slot that is good, or wet, or else marginal.
func (t *Task) sunny(good, wet bool, all uint64) {
	state, goes, marginal := verdict.Marginal, uint64(0), all
	switch {
	case wet:
		state, marginal = verdict.NoGo, 0
	case good:
		state, goes = verdict.Go, all
	}
	t.State, t.Limit = append(t.State, state), append(t.Limit, verdict.RainFree)
	t.Go, t.Marginal = append(t.Go, goes), append(t.Marginal, marginal)
}

// TestFewestConsentsOfVisits holds jobs of 18 to 56 tasks, whose good hours are a few on
// each of several days, against the fewest consents that any plan can need: a visit to
// such hours is worth while only with other blocks beside.
func TestFewestConsentsOfVisits(t *testing.T) {
	t.Parallel()
	for _, x := range []struct {
		name                       string
		seed                       uint64
		zones, steps, days, people int
	}{
		{"18 tasks", 1, 6, 3, 4, 1},
		{"24 tasks", 78, 8, 3, 4, 1},
		{"30 tasks", 1387, 10, 3, 7, 1},
		{"54 tasks", 2927, 18, 3, 6, 2},
		{"56 tasks", 309, 14, 4, 4, 3},
	} {
		t.Run(x.name, func(t *testing.T) {
			in := sunnyJob(x.seed, x.zones, x.steps, x.days, x.people)
			r, err := Solve(*in)
			require.NoError(t, err)
			require.True(t, r.Found)
			holdRules(t, in, r)
			assert.Positive(t, r.Proven, "%+v, no plan can beat %+v", r.Score, r.Bound)
			again, err := Solve(*in)
			require.NoError(t, err)
			assert.Equal(t, r, again)
		})
	}
}

// What an option is said to add to the cost of the visits is what it adds; where a
// surface dries between blocks, nearly always.
func TestAddsToVisits(t *testing.T) {
	for steps, percent := range map[int]int{1: 0, 3: 5} {
		m := newModel(sunnyJob(5, 14, steps, 3, 2))
		require.Negative(t, m.propagate())
		e := m.newRebuilder(m.newBest(), m.newBuilder(), 1)
		dearer, cheaper, wrong := 0, 0, 0
		for range 200 {
			e.begin(true)
			for d := range e.stale {
				e.stale[d] = true
			}
			for _, task := range e.out {
				i := int(e.random.next(uint32(len(m.options[task]))))
				if ok, _ := e.b.book.fits(task, i); !ok {
					continue
				}
				told, before := e.adds(task, &m.options[task][i]), e.owed()
				e.b.book.place(task, i)
				is := e.owed() - before
				switch {
				case told != is:
					wrong++
				case is > 0:
					dearer++
				case is < 0:
					cheaper++
				}
			}
		}
		assert.LessOrEqual(t, 100*wrong, percent*dearer, "%d steps", steps)
		assert.Greater(t, dearer, 100, "%d steps", steps)
		assert.Greater(t, cheaper, 100, "%d steps", steps)
	}
}
