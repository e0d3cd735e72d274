package window_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/verdict"
)

// drawJob is a small job of usual steps on one to three zones, some above others,
// some partly done.
func drawJob(t *rapid.T) *job.Job {
	j := smallJob(t, "polymer-sealant")
	j.People = rapid.IntRange(1, 3).Draw(t, "people")
	j.Polishers = rapid.IntRange(0, 3).Draw(t, "polishers")
	j.ShortestH = float64(rapid.IntRange(1, 3).Draw(t, "shortest"))
	j.Zones, j.Steps = nil, nil
	zones := rapid.IntRange(1, 3).Draw(t, "zones")
	for i := range zones {
		z := boat.Zone{
			Name: string(rune('a' + i)), Finish: finish(t, "white-gelcoat"), Tilt: float64(90 * (i % 2)), Faces: float64(90 * i),
			AreaM2: float64(rapid.IntRange(0, 20).Draw(t, "area")),
			Access: rapid.SampledFrom([]boat.Access{boat.Deck, boat.Ladder}).Draw(t, "access"),
		}
		for k := i + 1; k < zones; k++ {
			if rapid.Bool().Draw(t, "drains") {
				z.DrainsTo = append(z.DrainsTo, string(rune('a'+k)))
			}
		}
		j.Zones = append(j.Zones, z)
	}
	for _, s := range []struct{ do, with string }{
		{"wash", "soap-wash"}, {"correct", "compound-rotary"}, {"strip wash", "soap-wash"}, {"seal", "spray-sealant"},
	} {
		step := job.Step{Name: s.do, Do: s.do, With: s.with, Coats: 1, PerDay: 1}
		for i := range zones {
			if rapid.IntRange(0, 3).Draw(t, "on") > 0 {
				step.On = append(step.On, i)
			}
		}
		if len(step.On) > 0 {
			j.Steps = append(j.Steps, step)
		}
	}
	return j
}

// Whatever the job, a plan keeps to the rows, to the order of the steps on each
// zone, to the people who are there and to their time at the machine; and where
// there is none, it says by what.
func TestPlanLaws(t *testing.T) {
	t.Parallel()
	found := 0
	rapid.Check(t, func(t *rapid.T) {
		j := drawJob(t)
		f := ensemble(5, rapid.IntRange(1, 3).Draw(t, "members"))
		r := evaluate(t, f, j, f.Start)
		p, err := window.Plan(r, j, window.PlanSettings{Budget: 30_000})
		require.NoError(t, err)
		if !p.Found {
			require.NotEmpty(t, p.Refusal.Limit)
			return
		}
		found++
		areas := map[int]float64{}
		for _, x := range p.Blocks {
			task := p.Tasks[x.Task]
			areas[task.Row] += task.AreaM2
			row := r.Rows[task.Row]
			for i := x.From; i < x.To; i++ {
				require.LessOrEqual(t, row.Slots.State[i], max(x.State, verdict.Go))
			}
			require.LessOrEqual(t, len(x.People), j.People)
		}
		for i, row := range r.Rows {
			require.InDelta(t, j.Zones[row.Zone].AreaM2, areas[i], 1e-9)
		}
		holdOrder(t, p)
		holdCrew(t, p)
		holdPolishers(t, booked{p, r, j}, nil)
	})
	require.Positive(t, found)
}

// holdOrder: on one zone each step ends before the next begins.
func holdOrder(t require.TestingT, p *window.Planned) {
	for _, x := range p.Blocks {
		for _, y := range p.Blocks {
			a, b := p.Tasks[x.Task], p.Tasks[y.Task]
			if a.Zone == b.Zone && a.Step < b.Step {
				require.LessOrEqual(t, x.To, y.From)
			}
		}
	}
}

func holdCrew(t require.TestingT, p *window.Planned) {
	busy, machine := map[string]bool{}, map[string]int{}
	for _, x := range p.Blocks {
		for _, person := range x.People {
			for i := x.From; i < x.To; i++ {
				key := fmt.Sprint(person, " ", i)
				require.False(t, busy[key])
				busy[key] = true
			}
			if p.Input.Tasks[x.Task].Machine {
				key := fmt.Sprint(person, " ", p.Input.Day[x.From])
				machine[key] += x.WorkTo - x.From
				require.LessOrEqual(t, machine[key], 24)
			}
		}
	}
}

// holdPolishers: no more people are at machines at once than there are machines, with those
// elsewhere.
func holdPolishers(t require.TestingT, b booked, taken []window.Elsewhere) {
	if n := b.Input.Machines; n > 0 {
		require.LessOrEqual(t, atMachines(b, taken), n)
	}
	for _, x := range b.Blocks { // what is planned may begin: enough is there for it
		from := b.r.From + x.From
		require.GreaterOrEqual(t, b.r.Hands(b.j, from, b.r.From+x.To), len(x.People))
		if b.j.Polishers > 0 && b.Input.Tasks[x.Task].Machine {
			require.GreaterOrEqual(t, b.r.Polishers(b.j, from, b.r.From+x.WorkTo), len(x.People))
		}
	}
}

// A day more to work in, with the forecast as it was, never makes a plan worse
// that is proven best.
func TestPlanWithADayMore(t *testing.T) {
	j := smallJob(t, "polymer-sealant")
	f := calm(8)
	j.By = job.DateOf(f.Start.Add(30 * time.Hour).In(eastern))
	less := planned(t, f, j)
	j.By = j.By.Next()
	more := planned(t, f, j)
	require.True(t, less.Found)
	require.Equal(t, 5, more.Proven)
	require.False(t, less.Score.Less(more.Score))
}
