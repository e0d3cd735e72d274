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
	assert.Contains(t, made.mind(&b.f.Result.Rows[0], made.at(made.Result.From+30), made.filmsBefore(p, p.Blocks[0])...), "sealed Thu 10 Sep: mask it")
	p.Blocks[1].To = 31
	assert.Empty(t, made.filmsBefore(p, p.Blocks[0]), "it comes later")
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

// Suds and slurry from above that dry on a stripped panel would be sealed in (common
// practice, no source): whoever lets them run rinses it at once. Until it is stripped, and
// once its film is on, there is nothing of that kind to mind.
func TestMind_RunsOntoAStrippedPanel(t *testing.T) {
	const told = "its run-off reaches port side, stripped already: rinse that with clean water at once"
	at := clock(t, "2026-09-09 14:00")
	for _, do := range []string{"wash", "strip wash", "correct", "decontaminate", "inspect"} {
		steps := []string{do, "strip wash", "seal"}
		if do == "strip wash" {
			steps = steps[1:]
		}
		b := filmBelow(t, steps...)
		b.row(do, "foredeck", night+"g none 18:00"+tomorrow)
		mind := func(done map[string]boat.Done) string {
			b.f.Job.Zones[0].Done = done
			return NewMorning(b.f).Steps[0].Mind
		}
		want := told
		if do == "inspect" {
			want = ""
		}
		assert.Equal(t, want, mind(map[string]boat.Done{"strip wash": {Share: 1, At: at}}), do)
		assert.Empty(t, mind(nil), "%s: not stripped yet", do)
		assert.Empty(t, mind(map[string]boat.Done{"strip wash": {Share: 0.5, At: at}}), "%s: not all of it", do)
		if do != "correct" { // which minds the film
			assert.Empty(t, mind(map[string]boat.Done{"strip wash": {Share: 1, At: at}, "seal": {Share: 1, At: at}}), do)
		}
		b.f.Job.Zones[1].RunsOnto = nil
		assert.Empty(t, mind(map[string]boat.Done{"strip wash": {Share: 1, At: at}}), "%s: it runs elsewhere", do)
	}
}

// A plan minds what it strips itself: from the end of the last part on, until the film.
func TestMind_RunsOntoWhatThePlanStrips(t *testing.T) {
	b := filmBelow(t, "strip wash", "seal")
	b.row("strip wash", "foredeck", night+"g none 18:00"+tomorrow)
	deck := &b.f.Result.Rows[0]
	p := &window.Planned{Tasks: []window.PlanTask{{Step: 0, Zone: 1}, {Step: 0, Zone: 0, Part: 1}, {Step: 0, Zone: 0, Part: 2}, {Step: 1, Zone: 0}}}
	p.Blocks = []plan.Block{{Task: 0, From: 30, To: 36}, {Task: 1, From: 10, To: 20}, {Task: 2, From: 20, To: 30}, {Task: 3, From: 50, To: 60}}
	made := newBuilder(b.f)
	for by, want := range map[int]bool{20: false, 29: false, 30: true, 59: true, 60: false} {
		assert.Equal(t, want, made.runsOntoStripped(deck, p, by) != "", "at slot %d", by)
	}
	assert.Empty(t, made.runsOntoStripped(deck, nil, 30), "without a plan the log alone counts")
}
