package answer

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/products"
	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/plan"
)

// filmBelow has the given film on the port side, with the foredeck above it.
func filmBelow(t *testing.T, steps ...string) *board {
	b := newBoard(t, steps...)
	b.f.Classes = classes{"seal-class": {ID: "seal-class", Do: "seal", People: 1, RainFree: products.Clock{Given: true, Default: 4}}}
	b.f.Job.Zones[1].RunsOnto = []string{"port side"}
	return b
}

// Rule of the trade (common practice, no source): nothing is compounded above a zone that
// is sealed. Where it has to be, the slurry is kept off it.
func TestMind_SlurryAboveAFilm(t *testing.T) {
	b := filmBelow(t, "correct", "seal")
	b.row("correct", "port side", night+"g none 18:00"+tomorrow)
	b.row("correct", "foredeck", night+"g none 18:00"+tomorrow)
	at := clock(t, "2026-09-08 14:00")
	b.f.Job.Zones[0].Done = map[string]boat.Done{"correct": {Share: 1, At: at}, "seal": {Share: 1, At: at}}
	m := NewMorning(b.f)
	assert.Empty(t, m.Steps[0].Mind, "done")
	assert.Equal(t, "slurry would run onto port side, sealed Tue 8 Sep: mask it and rinse at once", m.Steps[1].Mind)
	b.f.Job.Zones[1].RunsOnto = nil
	assert.Empty(t, NewMorning(b.f).Steps[1].Mind)
}

// A plan minds the films that it puts on itself, from their end on.
func TestMind_SlurryAboveAPlannedFilm(t *testing.T) {
	b := filmBelow(t, "correct", "seal")
	b.row("correct", "foredeck", night+"g none 18:00"+tomorrow)
	b.row("seal", "port side", night+"g none 18:00"+tomorrow)
	p := &window.Planned{Tasks: []window.PlanTask{{Row: 0, Step: 0, Zone: 1}, {Row: 1, Step: 1, Zone: 0}}}
	p.Input.Tasks = make([]plan.Task, 2)
	p.Blocks = []plan.Block{{Task: 0, From: 30, To: 36, Dried: -1}, {Task: 1, From: 20, To: 30, Dried: -1}}
	made := newBuilder(b.f)
	require.Len(t, made.filmsBefore(p, p.Blocks[0]), 1)
	assert.Contains(t, made.mind(&b.f.Result.Rows[0], made.at(made.Result.From+30), nil, made.filmsBefore(p, p.Blocks[0])...), "sealed Thu 10 Sep: mask it")
	p.Blocks[1].To = 31
	assert.Empty(t, made.filmsBefore(p, p.Blocks[0]), "it comes later")
}

// What is stripped for its seal is kept clean until it has it: the morning minds what is
// logged, a plan what it books itself, with the day where it is another one.
func TestMind_AboveAStrippedSide(t *testing.T) {
	b := filmBelow(t, "wash", "correct", "strip wash", "seal")
	for _, step := range []string{"wash", "correct", "strip wash", "seal"} {
		b.row(step, "foredeck", night+"g none 18:00"+tomorrow)
	}
	b.f.Job.Zones[0].Done = map[string]boat.Done{}
	for _, step := range []string{"wash", "correct", "strip wash"} {
		b.f.Job.Zones[0].Done[step] = boat.Done{Share: 1, At: clock(t, "2026-09-09 14:00")}
	}
	said := func() (out []string) {
		for _, s := range NewMorning(b.f).Steps {
			out = append(out, s.Mind)
		}
		return out
	}
	assert.Equal(t, []string{
		"its water would run over port side, washed for its film Wed 9 Sep 14:00: rinse that with clean water at once",
		"slurry would run onto port side, washed for its film Wed 9 Sep 14:00: mask it and rinse at once",
		"its water would run over port side, washed for its film Wed 9 Sep 14:00: rinse that with clean water at once", "",
	}, said())
	b.f.Job.Zones[0].Done["seal"] = boat.Done{Share: 1, At: clock(t, "2026-09-09 17:00")}
	assert.NotContains(t, said()[1], "washed for its film", "it has its film")

	made := newBuilder(b.f)
	p := &window.Planned{Tasks: []window.PlanTask{{Row: 1, Step: 1, Zone: 1}}}
	p.Input.Tasks = make([]plan.Task, 1)
	p.Blocks = []plan.Block{{Task: 0, From: 30, To: 36, WorkTo: 36, Dried: -1}}
	p.Soiled = map[int][]window.Clean{0: {{Step: 2, Zone: 0, At: made.at(made.Result.From + 20)}}}
	at := made.at(made.Result.From + 20).In(made.loc).Format("15:04")
	assert.Contains(t, made.planBlock(p, p.Blocks[0]).Reason, "slurry would run onto port side, washed for its film "+at+": mask it")
}

// A panel that lay bare overnight is washed before its film, and that water runs down too:
// over a side that is washed for its own, in the plan or by the log, and not over one that has
// it or gets none.
func TestMind_TheWashBeforeABlock(t *testing.T) {
	b := filmBelow(t, "wash", "seal")
	for _, step := range []string{"wash", "seal"} {
		b.row(step, "port side", night+"g none 18:00"+tomorrow)
		b.row(step, "foredeck", night+"g none 18:00"+tomorrow)
	}
	made := newBuilder(b.f)
	port, deck := []int{0, 2}, 3 // rows: the side's wash and seal, the deck's seal
	p := &window.Planned{Tasks: []window.PlanTask{{Row: port[0], Step: 0, Zone: 0}, {Row: port[1], Step: 1, Zone: 0}, {Row: deck, Step: 1, Zone: 1}}}
	p.Input.Tasks = make([]plan.Task, 3)
	wash, side := plan.Block{Task: 0, From: 6, To: 12, WorkTo: 12, Dried: -1}, plan.Block{Task: 1, From: 40, To: 50, WorkTo: 50, Dried: -1}
	top := plan.Block{Task: 2, From: 20, To: 30, WorkTo: 30, Dried: -1, Rewash: true}
	mind := func(blocks ...plan.Block) string {
		p.Blocks = append(blocks, top)
		return made.planBlock(p, top).Mind
	}
	const rinse = "the wash before it runs over port side, washed for its film "
	assert.Contains(t, mind(wash, side), rinse+made.at(made.Result.From+12).Format("15:04")+": rinse that with clean water at once")
	assert.Empty(t, mind(wash), "no film is to come")
	side.From, side.To = 14, 18
	assert.Empty(t, mind(wash, side), "it has its film by then")
	side.From, side.To = 40, 50
	top.Rewash = false
	assert.Empty(t, mind(wash, side), "nobody washes before it")
	top.Rewash = true
	assert.Empty(t, mind(side), "the side is not washed yet")
	b.f.Job.Zones[0].Done = map[string]boat.Done{"wash": {Share: 1, At: clock(t, "2026-09-09 14:00")}}
	assert.Contains(t, mind(side), rinse+"Wed 9 Sep 14:00", "as logged")
	b.f.Job.Zones[1].RunsOnto = nil
	assert.Empty(t, mind(side))
}

// Half a side is sealed and the other half is to be stripped again: suds on all of it
// would take the film off.
func TestMind_WashesTheBarePartOnly(t *testing.T) {
	b := filmBelow(t, "strip wash", "seal")
	b.row("strip wash", "port side", night+"g none 18:00"+tomorrow)
	at := clock(t, "2026-09-09 14:00")
	done := func(strip, seal float64) string {
		b.f.Job.Zones[0].Done = map[string]boat.Done{"strip wash": {Share: strip, At: at}, "seal": {Share: seal, At: at.Add(time.Hour)}}
		return NewMorning(b.f).Steps[0].Mind
	}
	assert.Equal(t, "the 9 m² not yet sealed only, no suds on the rest", done(0.5, 0.5))
	assert.Empty(t, done(0, 0))
	assert.Empty(t, done(0.5, 0), "nothing is sealed yet")
	b.f.Job.Zones[0].AreaM2 = 0
	assert.Equal(t, "the part not yet sealed only, no suds on the rest", done(0.5, 0.5))
}

// A washed panel waits two days for its film: on the day on which they are over the morning
// says at what hour.
func TestMind_TheWashTurnsStaleToday(t *testing.T) {
	b := filmBelow(t, "strip wash", "seal")
	b.row("seal", "port side", night+"g none 18:00"+tomorrow)
	said := func(washed string) string {
		b.f.Job.Zones[0].Done = map[string]boat.Done{"strip wash": {Share: 1, At: clock(t, washed)}}
		return NewMorning(b.f).Steps[0].Mind
	}
	assert.Equal(t, "the wash is two days old at 10:00: from then on wash it once more first", said("2026-09-08 10:00"))
	assert.Empty(t, said("2026-09-09 10:00"), "it lasts the day")
	assert.Empty(t, said("2026-09-08 05:00"), "it is asked again by now")
	b.f.Job.Zones[0].Done["seal"] = boat.Done{Share: 0.3, At: clock(t, "2026-09-09 10:00")}
	assert.Empty(t, NewMorning(b.f).Steps[0].Mind, "a coat is on since")
	b.f.Classes = classes{"seal-class": {ID: "seal-class", Do: "seal", People: 1}}
	assert.Empty(t, said("2026-09-08 10:00"), "nothing is put on that shuts it in")
}

// A coat onto one that is sanded says so, and whether its hours have room for it.
func TestMind_SandFirst(t *testing.T) {
	b := planBoard(t)
	made := sealed(b)
	mind := func(coat int, sand bool, area float64) string {
		x := &made.Tasks[1]
		x.Coat, x.Coats, x.AreaM2 = coat, 3, area
		b.f.Job.Steps[x.Step].Sand = sand
		for _, y := range NewPlan(b.f, made).Blocks {
			if y.Step == "seal" {
				return y.Mind
			}
		}
		return "no block"
	}
	assert.Empty(t, mind(1, true, 9), "nothing is under the first coat")
	assert.Empty(t, mind(2, false, 9))
	assert.Equal(t, "sand coat 2 first and wipe the dust off, within these hours", mind(3, true, 9))
	assert.Equal(t, "sand coat 1 first and wipe the dust off: no area is known, and no time for it is in these hours", mind(2, true, 0))
}
