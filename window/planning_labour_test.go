package window_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/forecast"
	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/plan"
)

// Work is measured in what the class's rate is given in: metres of rail or joint,
// repairs by the day of eight hours, square metres; an inspection looks over 60 m² an
// hour (common practice).
func TestPlanLabour(t *testing.T) {
	const washRate, slot = 40, 1.0 / 6 // m² an hour; nobody does less than ten minutes
	for name, x := range map[string]struct {
		do, with, on string
		change       func(z *boat.Zone)
		hours, rate  float64
	}{
		"eleven metres of rail at 3 to 8":      {"protect", "metal-polish", "stainless", func(z *boat.Zone) { z.LengthM = 11 }, 2, 5.5},
		"a joint as long":                      {"bed", "polysulfide-sealant", "white-gelcoat", func(z *boat.Zone) { z.LengthM = 11 }, 2, 5.5},
		"seven repairs at 2 to 5 a day":        {"coat", "gelcoat-repair", "white-gelcoat", func(z *boat.Zone) { z.Count = 7 }, 16, 0.4375},
		"an inspection of 15 m²":               {"inspect", "", "white-gelcoat", func(*boat.Zone) {}, 20.0 / 60, 60},
		"a hull afloat, from a float":          {"correct", "compound-dual-action", "white-gelcoat", func(z *boat.Zone) { z.Access, z.AreaM2 = boat.Float, 6 }, 3, 3 / 1.45},
		"the same ashore":                      {"correct", "compound-dual-action", "white-gelcoat", func(z *boat.Zone) { z.Access, z.AreaM2 = boat.Ashore, 6 }, 2, 3},
		"dark wants more passes":               {"correct", "compound-dual-action", "black-gelcoat", func(z *boat.Zone) { z.AreaM2 = 6 }, 2 + 4.0/6, 3 / 1.3},
		"of the machine, not of the sealant":   {"seal", "carnauba-wax", "black-gelcoat", func(z *boat.Zone) { z.AreaM2 = 6 }, 1, 6},
		"twenty metres of rail washed as 2 m²": {"wash", "soap-wash", "stainless", func(z *boat.Zone) { z.AreaM2, z.LengthM = 0, 20 }, slot, washRate},
		"three repairs washed as 0.3 m²":       {"wash", "soap-wash", "white-gelcoat", func(z *boat.Zone) { z.AreaM2, z.Count = 0, 3 }, slot, washRate},
		"a rail with an area goes by that":     {"wash", "soap-wash", "stainless", func(z *boat.Zone) { z.AreaM2, z.LengthM = 3, 20 }, slot, washRate},
		"wash without any size: two, assumed":  {"wash", "soap-wash", "stainless", func(z *boat.Zone) { z.AreaM2 = 0 }, 2, 0},
		"rail without a length: two, assumed":  {"protect", "metal-polish", "stainless", func(*boat.Zone) {}, 2, 0},
	} {
		t.Run(name, func(t *testing.T) {
			j := smallJob(t, x.with)
			j.Steps[0].Do, j.Zones[0].Finish = x.do, finish(t, x.on)
			x.change(&j.Zones[0])
			b := askedFor(t, calm(3), j, window.PlanSettings{})
			sum := 0.0
			for _, task := range b.Tasks {
				sum += task.PersonHours
				assert.InDelta(t, x.rate, task.Rate, 1e-9)
				assert.Equal(t, x.rate == 0, task.Assumed)
				assert.GreaterOrEqual(t, task.Access, 1.0)
			}
			assert.InDelta(t, x.hours, sum, 1e-9)
			z := j.Zones[0]
			assert.Equal(t, x.rate == 0 || x.do == "wash" && z.AreaM2 == 0, len(b.Notes) > 0, "what is assumed is said")
		})
	}
}

// A rail that is washed in ten minutes dries over night before it is varnished (twelve hours,
// four at the least with a yes; common practice). Neither is worth a visit of two hours, but
// both have to be come for: no yes is asked to spare one of them.
func TestPlan_ShortWorkDaysApartNeedsNoYes(t *testing.T) {
	j := smallJob(t, "")
	j.Zones[0] = boat.Zone{Name: "rail", Finish: finish(t, "varnished-wood"), LengthM: 12, Shelter: boat.Hardtop}
	j.Steps = []job.Step{
		{Name: "wash", Do: "wash", With: "soap-wash", On: []int{0}}, {Name: "varnish", Do: "coat", With: "varnish", On: []int{0}, Coats: 3},
	}
	j.People = 1
	b := planned(t, calm(9), j)
	require.True(t, b.Found, "%+v", b.Refusal)
	assert.Zero(t, b.Score.Consents)
	wash, first := b.one(t, "wash", "rail"), b.of("varnish", "rail")[0]
	assert.Less(t, b.day(wash.From), b.day(first.From))
	assert.Less(t, wash.To-wash.From, 12, "and it is no visit of two hours")
}

// A person's own hours for a step are for all of its coats and zones: split by size,
// and evenly where one has none.
func TestPlanOwnHoursAreShared(t *testing.T) {
	hours := func(change func(j *job.Job)) map[string]float64 {
		j := sealJob(t)
		j.Steps = j.Steps[3:]
		j.Steps[0].Hours, j.Zones[2].AreaM2 = 5, 6
		change(j)
		b := askedFor(t, calm(3), j, window.PlanSettings{})
		out := map[string]float64{}
		for _, x := range b.Tasks {
			out[j.Zones[x.Zone].Name] += x.PersonHours
			assert.Zero(t, x.Rate, "no rate is claimed")
			assert.InDelta(t, 1, x.Access, 0, "nor a ladder reckoned in twice")
			assert.False(t, x.Assumed)
		}
		return out
	}
	assert.Equal(t, map[string]float64{"port side": 2, "starboard side": 2, "foredeck": 1}, hours(func(*job.Job) {}))
	assert.Equal(t, map[string]float64{"port side": 2, "starboard side": 2, "foredeck": 2}, hours(func(j *job.Job) { j.Zones[2].AreaM2, j.Steps[0].Hours = 0, 6 }))
	assert.Equal(t, map[string]float64{"port side": 2, "starboard side": 2, "foredeck": 1},
		hours(func(j *job.Job) { j.Steps[0].Coats = 2; j.Zones[0].Access = boat.Harness }), "both coats together")
}

// What is done in part is left in part, coat by coat from the first; sanding between
// coats is work too, at 8 m² an hour (common practice).
func TestPlanCoatsLeft(t *testing.T) {
	left := func(done float64, sand bool) []float64 {
		j := smallJob(t, "varnish")
		j.Zones[0].Finish, j.Zones[0].AreaM2 = finish(t, "varnished-wood"), 9
		j.Steps[0].Do, j.Steps[0].Coats, j.Steps[0].PerDay, j.Steps[0].Sand = "coat", 3, 1, sand
		if done > 0 {
			j.Zones[0].Done = map[string]boat.Done{"seal": {Share: done}}
		}
		b := askedFor(t, calm(4), j, window.PlanSettings{})
		out := make([]float64, 3)
		for _, x := range b.Tasks {
			out[x.Coat-1] += x.PersonHours
			assert.Equal(t, 3, x.Coats)
		}
		return out
	}
	assert.InDeltaSlice(t, []float64{4, 4, 4}, left(0, false), 1e-9, "9 m² at 2.25")
	assert.InDeltaSlice(t, []float64{0, 4, 4}, left(1.0/3, false), 1e-9, "one coat is on")
	assert.InDeltaSlice(t, []float64{0, 2, 4}, left(0.5, false), 1e-9, "and half of the second")
	assert.InDeltaSlice(t, []float64{4, 5.17, 5.17}, left(0, true), 0.01, "1.1 h of sanding before the second and third")
	assert.InDeltaSlice(t, []float64{0, 0, 0}, left(1, true), 1e-9)
}

// Nobody has hours: the whole day may be worked in, and setting up takes nothing of
// it. Where there are hours, a day runs from their first slot to their last.
func TestPlanDaysAndHours(t *testing.T) {
	j := smallJob(t, "polymer-sealant")
	b := askedFor(t, calm(3), j, window.PlanSettings{})
	for d, x := range b.Input.Days {
		if x.Close > 0 {
			assert.Equal(t, "07:00", b.clock(x.Open), "day %d", d)
			assert.Equal(t, "18:00", b.clock(x.Close))
		}
	}
	assert.Equal(t, []int{3, 3}, []int{b.Input.SetUp, b.Input.PackUp}, "half an hour each is usual")
	assert.Equal(t, 24, b.Input.MachineSlots, "four hours at the machine")
	assert.Equal(t, 12, b.Input.Shortest)
	assert.Equal(t, 3, b.Input.Gap)

	j.Hours, j.ShortestH = job.Schedule{}, 0
	b = askedFor(t, calm(3), j, window.PlanSettings{SetUpMin: -1, PackUpMin: 45, MachineH: 2.5})
	assert.Equal(t, []int{0, 5, 15}, []int{b.Input.SetUp, b.Input.PackUp, b.Input.MachineSlots}, "none, 45 min in whole slots, two and a half hours")
	assert.Equal(t, 12, b.Input.Shortest, "two hours are usual")
	for _, x := range b.Input.Days {
		assert.LessOrEqual(t, x.Open+b.Input.SetUp, 0, "from the first slot on")
		assert.GreaterOrEqual(t, x.Close-b.Input.PackUp, len(b.Input.Day))
	}
	require.True(t, b.Found)

	j = smallJob(t, "polymer-sealant")
	first := time.Date(2026, 9, 1, 0, 0, 0, 0, eastern) // a Tuesday
	j.Days = map[time.Weekday]bool{time.Tuesday: true, time.Thursday: true}
	j.Away = map[job.Date]bool{job.DateOf(first): true}
	j.PeopleWeekday = map[time.Weekday]int{time.Thursday: 5}
	b = askedFor(t, calm(4), j, window.PlanSettings{})
	var people []int
	for _, x := range b.Input.Days {
		people = append(people, x.People)
	}
	assert.Equal(t, []int{0, 0, 5, 0}, people, "away, not a working day, five, not a working day")
	require.True(t, b.Found)
	assert.Equal(t, 3, b.day(b.Blocks[0].From))
}

// As many hands as there are on the day with most may be at a block, never fewer than
// the class takes, and one where its size is not known.
func TestPlanHands(t *testing.T) {
	hands := func(with string, change func(j *job.Job)) [2]int {
		j := smallJob(t, with)
		j.People = 3
		change(j)
		x := askedFor(t, calm(2), j, window.PlanSettings{}).Input.Tasks[0]
		return [2]int{x.Least, x.Most}
	}
	assert.Equal(t, [2]int{1, 3}, hands("polymer-sealant", func(*job.Job) {}))
	assert.Equal(t, [2]int{2, 3}, hands("professional-ceramic", func(*job.Job) {}), "one lays on, one levels")
	assert.Equal(t, [2]int{2, 2}, hands("professional-ceramic", func(j *job.Job) { j.People = 1 }), "two it takes, be they there or not")
	assert.Equal(t, [2]int{1, 1}, hands("polymer-sealant", func(j *job.Job) { j.Zones[0].AreaM2 = 0 }))
	assert.Equal(t, [2]int{1, 5}, hands("polymer-sealant", func(j *job.Job) {
		j.PeopleDates = map[job.Date]int{{Year: 2026, Month: 9, Day: 2}: 5}
	}))
}

// Moments that must be met: work ends by the earliest; one that is over binds
// nothing; a launch asks for the antifouling's hard hours of drying, and for a cured
// film where it is to be more than marginal.
func TestPlanMoments(t *testing.T) {
	f := calm(6)
	at := func(day, hour int) time.Time { return time.Date(2026, 9, day, hour, 0, 0, 0, eastern) }
	task := func(with string, must map[string]time.Time) plan.Task {
		j := smallJob(t, with)
		j.Steps[0].Do, j.Must = "coat", must
		return askedFor(t, f, j, window.PlanSettings{}).Input.Tasks[0]
	}
	slot := func(t time.Time) int { return int(t.Sub(f.Start) / (10 * time.Minute)) }

	x := task("spray-sealant", map[string]time.Time{"survey": at(3, 12), "sale": at(4, 12)})
	assert.Equal(t, slot(at(3, 12)), x.Until)
	assert.Equal(t, "survey", x.UntilLimit, "the name of the moment")
	assert.Less(t, x.UntilGo, x.Until, "cured by then, to be more than marginal")
	assert.Greater(t, x.UntilGo, slot(at(3, 12))-12*6*2, "twelve hours at 20 °C, and it is not that cold")

	x = task("compound-rotary", map[string]time.Time{"survey": at(3, 12), "sale": at(2, 12), "past": f.Start})
	assert.Equal(t, slot(at(2, 12)), x.Until)
	assert.Equal(t, "sale", x.UntilLimit)
	assert.Equal(t, x.Until, x.UntilGo, "a compound has nothing to cure")
	assert.Zero(t, task("compound-rotary", map[string]time.Time{"past": f.Start}).Until)

	launch := task("antifouling", map[string]time.Time{"launch": at(4, 12)})
	other := task("antifouling", map[string]time.Time{"survey": at(4, 12)})
	assert.Less(t, launch.Until, other.Until, "wet, it would be lost in the slings")
	assert.Less(t, launch.UntilGo, launch.Until, "twelve hours are usual, eight the least")
	assert.Equal(t, "launch", launch.UntilLimit)

	warm := calm(6)
	for i := range warm.N {
		v, _ := warm.Members[0].Columns[forecast.AirTemperature].At(i)
		warm.Members[0].Columns[forecast.AirTemperature].Set(i, v+10)
	}
	cool := launch
	f = warm
	launch = task("antifouling", map[string]time.Time{"launch": at(4, 12)})
	assert.Greater(t, launch.Until, cool.Until, "it dries sooner in the warm")
	assert.Greater(t, launch.UntilGo, cool.UntilGo)
}

// The minutes of a test patch, written into the job or read on the dock, outrank the
// haze that the class gives at 20 °C; under five minutes it is part of the work.
func TestPlanTestPatch(t *testing.T) {
	f := calm(3)
	tails := func(own float64, read float64) []uint8 {
		j := smallJob(t, "polymer-sealant")
		j.Steps[0].HazeMin = own
		in := window.Input{Forecast: f, Job: j, Classes: catalogue(t), Location: eastern, Now: f.Start.Add(12 * time.Hour)}
		if read > 0 {
			in.Readings = []job.Reading{{
				At: f.Start.Add(10 * time.Hour), Zone: "port side", Product: "polymer-sealant", HazeMin: job.Measured{V: read, Known: true},
			}}
		}
		r, err := window.Evaluate(in)
		require.NoError(t, err)
		p, err := window.Plan(r, j, window.PlanSettings{Budget: 1000})
		require.NoError(t, err)
		return p.Input.Tasks[0].Tail
	}
	all := func(n uint8, of []uint8) {
		t.Helper()
		require.NotEmpty(t, of)
		for _, x := range of {
			require.Equal(t, n, x)
		}
	}
	all(6, tails(55, 0))
	all(5, tails(50, 0))
	all(4, tails(55, 40))
	assert.Nil(t, tails(4, 0), "wiped off as one goes")
	all(1, tails(5, 0))
	differ := map[uint8]bool{}
	for _, x := range tails(0, 0) {
		differ[x] = true
	}
	assert.Greater(t, len(differ), 1, "without a patch as warm and damp as it is")
}

// What lies twelve hours or a night apart cannot share a day, so that each may make a
// visit of its own, however short; what lies an hour apart may not.
func TestPlanVisitsOfTheirOwn(t *testing.T) {
	alone := func(with string, coats int) []bool {
		j := smallJob(t, with)
		j.Steps[0].Coats, j.Steps[0].PerDay = coats, 3
		if coats == 1 {
			then := j.Steps[0]
			then.Name, then.With = "top", "cleaner-wax"
			j.Steps = append(j.Steps, then)
		}
		var out []bool
		for _, x := range askedFor(t, calm(3), j, window.PlanSettings{}).Input.Tasks {
			out = append(out, x.Alone)
		}
		return out
	}
	assert.NotContains(t, alone("polymer-sealant", 1), false, "a wax over a sealant: twelve hours")
	assert.NotContains(t, alone("polymer-sealant", 2), false)
	assert.NotContains(t, alone("cleaner-wax", 1), true, "an hour")
	assert.NotContains(t, alone("carnauba-wax", 2), true, "four hours")
}
