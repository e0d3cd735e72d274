package answer

import (
	"strings"
	"testing"
	"time"

	"dewgap/products"
	"dewgap/window"
	"dewgap/window/plan"
	"dewgap/window/verdict"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The last section is wiped after its longest haze, and before the panel is wet again
// or the crew has gone home, whichever comes first.
func TestPlanWipe(t *testing.T) {
	b := newBoard(t, "seal")
	row := b.row("seal", "port side", "g none 12:00;x hours end")
	made := newBuilder(b.f)
	wipe := func(at string, most float64) string {
		return made.planWipe(row, b.slot(at), hazing{said: &[2]float64{0, most}}).Format("15:04")
	}
	assert.Equal(t, "10:30", wipe("10:00", 30))
	row.Windows[0].WetAt, row.Windows[0].WetBy = b.slot("10:20"), "dew"
	assert.Equal(t, "10:20", wipe("10:00", 30), "wet before the haze is over")
	assert.Equal(t, "10:10", wipe("10:00", 10))
	row.Windows[0].WetAt = b.slot("12:10")
	assert.Equal(t, "12:10", wipe("12:00", 30), "a section worked in the window's last slot belongs to it")
	assert.Equal(t, "12:40", wipe("12:10", 30), "a later one does not")
	assert.Equal(t, "06:30", wipe("06:00", 30), "nor one before it")
	row.Windows[0].WetBy = ""
	assert.Equal(t, "12:30", wipe("12:00", 30), "nothing wets it")

	b.f.Job.Hours.Set = true
	row.Windows[0].WetBy = ""
	home := newBuilder(b.f).planWipe(row, b.slot("10:00"), hazing{said: &[2]float64{0, 30}})
	assert.Equal(t, "10:00", home.Format("15:04"), "nobody works at all on a day without hours")
}

// Why a block lies where it lies, in one line: sun, panel, dry-off, what it costs.
func TestPlanReason(t *testing.T) {
	b := newBoard(t, "seal")
	b.row("seal", "port side", "g none end")
	made := newBuilder(b.f)
	p := &window.Planned{Tasks: []window.PlanTask{{Zone: 0}}, Input: plan.Input{Tasks: []plan.Task{{
		State: []verdict.State{verdict.Go, verdict.Marginal, verdict.Marginal, verdict.Marginal}, Limit: []verdict.Limit{verdict.Film, verdict.WindMax, verdict.WindMax, verdict.RainFree},
		After: []plan.After{{Task: 0, Go: 12, Hard: 6, Limit: "dry_off"}},
	}}}}
	why := func(x plan.Block, panel panelIn) string {
		return made.planReason(x, p.Tasks[0], panel, reasonFor{made.consentFor(p, x), made.rainWords(p, x), dryWords(p, x), ""})
	}
	block := plan.Block{From: 1, To: 3, Dried: -1, State: verdict.Go}
	assert.Empty(t, why(block, panelIn{}), "nothing known, nothing told")
	var shade, sun panelIn
	shade.sunlight.add(known(250))
	shade.surface, shade.spread = &[2]float64{14.9, 20.1}, &[2]float64{3.9, 7}
	assert.Equal(t, "in the shade of the port side, panel 14 to 21 °C, 3.9 K over dew point", why(block, shade), "250 W/m² is the shade's last; least down, most up")
	shade.spread = &[2]float64{-0.34, 2}
	assert.Equal(t, "in the shade of the port side, panel 14 to 21 °C, 0.4 K below dew point", why(block, shade), "no minus over the dew point")
	sun.sunlight.add(known(250.1))
	sun.surface = &[2]float64{20, 20}
	assert.Equal(t, "in the sun of the port side, panel 20 °C", why(block, sun))

	block.Dried, block.Rewash = 17, true
	from := made.at(made.Result.From).Add(-2 * time.Hour)
	begins := made.at(made.Result.From + 1)
	p.Wetted = map[int]window.Wetting{0: {Rain: window.Rain{From: from, To: from.Add(time.Hour)}, WashH: 0.35, By: begins}}
	block.Rewash = false
	rained := "rain is likely on the bare panel " + from.Format(stamp) + " to " + from.Add(time.Hour).Format("15:04")
	assert.Equal(t, rained+": wash and dry it first, 30 min more", why(block, panelIn{}), "and nothing of dry hours")
	made.Job.Steps[0].Do = "strip wash"
	assert.Equal(t, strings.Replace(rained, "bare", "stripped", 1)+": strip wash it once more, 30 min", why(block, panelIn{}))
	p.Wetted[0] = window.Wetting{Rain: window.Rain{From: from, To: from.Add(30 * time.Hour)}, Often: true, By: begins}
	assert.Equal(t, "rain is likely on the stripped panel, the first "+from.Format(stamp)+" and the last until "+from.Add(30*time.Hour).Format(stamp)+": strip wash it once more", why(block, panelIn{}))
	require.NotNil(t, made.rainBefore(p, block))
	require.Nil(t, made.staleWash(p, block))
	for by, want := range map[time.Duration]string{90 * time.Minute: ", by " + begins.Add(-90*time.Minute).Format("15:04"), 9 * time.Hour: ", by " + begins.Add(-9*time.Hour).Format(stamp)} {
		p.Wetted[0] = window.Wetting{Waits: 50 * time.Hour, WashH: 0.35, By: begins.Add(-by)}
		assert.Equal(t, "stripped 50 h before: strip wash it once more, 30 min"+want, why(block, panelIn{}))
	}
	p.Tasks = append(p.Tasks, window.PlanTask{Zone: 1})
	p.Wetted[0] = window.Wetting{Waits: 50 * time.Hour, WashH: 0.35, By: begins}
	for task, want := range []string{"; then leave out the seal of " + made.at(made.Result.From).Format(stamp), ""} { // the fixture's step is called so
		p.Blocks = []plan.Block{{Task: task}}
		assert.Equal(t, "stripped 50 h before: strip wash it once more, 30 min"+want, why(block, panelIn{}), "its own panel's wash")
		p.Tasks[0].Parts = 2
		assert.NotContains(t, why(block, panelIn{}), "leave out", "the other part wants it")
		p.Tasks[0].Parts = 0
	}
	p.Blocks = []plan.Block{{Task: 0}}
	p.Wetted[0] = window.Wetting{Waits: 50 * time.Hour, WashH: 0.35, By: begins.Add(-2 * time.Hour), NoTime: true}
	assert.Equal(t, "stripped 50 h before: strip wash it once more, 30 min; no hours before this block allow that: begin it 2 h after that wash", why(block, panelIn{}))
	require.Nil(t, made.rainBefore(p, block))
	assert.Equal(t, &StaleWash{After: made.Job.Steps[0].Name, WaitsH: 50, WashMin: 30, WashBy: begins.Add(-2 * time.Hour), NoTime: true}, made.staleWash(p, block))
	p.Wetted[0] = window.Wetting{Rain: window.Rain{From: from, To: from.Add(time.Hour)}, Told: true}
	assert.Empty(t, why(block, panelIn{}), "told with an earlier part, and no dry hours across the rain")
	assert.Nil(t, made.rainBefore(p, block))
	p.Wetted, block.Rewash = nil, true
	assert.Equal(t, "dry 2.8 h since the wash, it lay bare overnight: wash and dry it first, the time is in the block", why(block, panelIn{}))
	p.SinceRain = map[int]int{0: 9, 1: 3}
	assert.Equal(t, "dry 1.5 h since the rain, it lay bare overnight: wash and dry it first, the time is in the block", why(block, panelIn{}), "its own task's")
	p.SinceDamp = map[int]window.Damp{0: {Slots: 6, Fog: true}, 1: {Slots: 1}}
	assert.Contains(t, why(block, panelIn{}), "dry 1 h since the fog", "which came after the rain")
	p.SinceDamp[0] = window.Damp{Slots: 12}
	assert.Contains(t, why(block, panelIn{}), "dry 1.5 h since the rain", "which came after the dew")
	p.SinceRain = nil
	assert.Contains(t, why(block, panelIn{}), "dry 2 h since water lay on it")
	p.SinceDamp = nil
	block = plan.Block{From: 1, To: 3, Dried: 0, State: verdict.Go, Consent: true}
	assert.Equal(t, "it holds in fewer than half of the forecasts, dry 0 h since the wash", why(block, panelIn{}))
	block.State, block.Dried = verdict.Marginal, -1
	assert.Equal(t, "marginal: too windy", why(block, panelIn{}), "each limit once, only those of its own slots")
	assert.Equal(t, "marginal: too windy, in the sun of the port side, panel 20 °C", why(block, sun), "what the yes hangs on comes first")
	block.To = 4
	assert.Equal(t, "marginal: too windy and rain follows too soon", why(block, panelIn{}))
	for dried, want := range map[int]string{0: "marginal: it has not dried long enough and too windy", 11: "marginal: too windy and it has not dried long enough", 12: "marginal: too windy", -1: "marginal: too windy"} {
		assert.Equal(t, want, made.marginalByText(p, plan.Block{From: 1, To: 3, Dried: dried}), dried)
	}
	p.Input.Tasks[0].After[0].Go = 6
	assert.Equal(t, "marginal: too windy", made.marginalByText(p, plan.Block{From: 1, To: 3, Dried: 5}), "a bound without a softer one before it is none of the marginal")
	p.Input.Tasks[0].After[0] = plan.After{Task: -1, Go: 12, Hard: 6, Limit: "dry_off"}
	assert.Equal(t, "marginal: too windy", made.marginalByText(p, plan.Block{From: 1, To: 3, Dried: 5}), "what the clock runs from is no task")
	b.f.Job.Must = map[string]time.Time{"launch": {}, "haul-out": {}}
	assert.Equal(t, "marginal: it is not cured through by the haul-out", newBuilder(b.f).marginalByText(p, plan.Block{From: 0, To: 1, Dried: -1}), "the same each time, whatever the order of a map")
}

func (b *builder) marginalByText(p *window.Planned, x plan.Block) string {
	return "marginal: " + b.marginalBy(p, x)
}

// As many figures as an instrument on the dock has.
func TestFiguresOfLimits(t *testing.T) {
	b := newBuilder(newBoard(t, "seal").f)
	for l, want := range map[verdict.Limit]string{
		verdict.Film: "water on the panel, 12.4 g/m², at most 10 (", verdict.AirMin: "air 12.3 °C, needs 14 (", verdict.AirMax: "air 12.4 °C, at most 10 (",
		verdict.SurfaceMin: "panel 12.3 °C, needs 14 (", verdict.SurfaceMax: "panel 12.4 °C, at most 10 (", verdict.HumidityMin: "humidity 12 %, needs 14 (",
		verdict.HumidityMax: "humidity 13 %, at most 10 (", verdict.SpreadMin: "panel 12.3 K over dew point, needs 14 (", verdict.WindMax: "wind 12.4 m/s at the panel, at most 10 (",
		verdict.GustMax: "gusts 12.4 m/s, at most 10 (", verdict.SunlightMax: "sunlight on the panel 13 W/m², at most 10 (", verdict.UVMax: "UV index on the panel 12.4, at most 10 (",
		verdict.Access: "gusts 12.4 m/s at height, at most 10 (",
	} {
		bound := 10.0
		if measures[l].least {
			bound = 14
		}
		run := verdict.Run{From: 40, To: 41, State: verdict.NoGo, Limit: l, Binding: verdict.Binding{Limit: l, Value: 12.34, Bound: bound, HasValue: true}}
		got := b.binding(&window.Row{Class: products.Class{Source: "s"}}, run).Text
		assert.Contains(t, got, want, l.String())
	}
}

// Hours on the panel before the rain: the least down, the most down too, for both are
// time that has surely passed, and shares to a hundredth.
func TestFateInNumbers(t *testing.T) {
	f := movedBoard(t)
	b := &moveBuilder{newBuilder(f.Facts), f}
	x := window.ZoneFate{Step: 1, Zone: 0, Fate: window.Inspect, Share: 0.33333, AreaM2: 17.96, LeastH: 2.19, MostH: 4.37, WantH: 6, HardH: 2}
	got := b.fate(x)
	assert.Equal(t, [2]float64{2.1, 4.3}, [2]float64{*got.HoursMin, *got.HoursMax})
	assert.Equal(t, [2]float64{6, 2}, [2]float64{*got.WantH, *got.HardH})
	assert.Equal(t, 0.33, got.Share)
	assert.Equal(t, 18.0, *got.AreaM2)
	assert.Equal(t, []string{"port side", "seal", "seal-class", "inspect"}, []string{got.Zone, got.Step, got.Product, got.Fate})
	x.Rain = -1
	got = b.fate(x)
	assert.Nil(t, got.HoursMin, "no rain, nothing passed before it")
	assert.NotNil(t, got.WantH)
	x.WantH, x.AreaM2 = 0, 0
	got = b.fate(x)
	assert.Nil(t, got.WantH)
	assert.Nil(t, got.AreaM2)
}

// Half an hour better is told as well as two hours.
func TestShiftsOfLessThanAnHour(t *testing.T) {
	assert.Equal(t, "0.5 h better than without what was learned", shiftText(LearnedShift{BetterH: 0.5}))
	assert.Equal(t, "0.5 h worse than without what was learned; 0.2 h can no longer be worked", shiftText(LearnedShift{WorseH: 0.5, LostH: 0.17}))
}

// Slot by slot: what was learned makes better, worse, and what it takes away.
func TestLearnedShifts(t *testing.T) {
	with, without := newBoard(t, "seal"), newBoard(t, "seal")
	for _, b := range []*board{with, without} {
		b.row("seal", "port side", "g none end")
		b.row("seal", "foredeck", "g none end")
	}
	states := func(b *board, row int, s ...verdict.State) { b.f.Result.Rows[row].Slots = &window.Slots{State: s} }
	i, g, m, x := verdict.Ideal, verdict.Go, verdict.Marginal, verdict.NoGo
	states(with, 0, i, g, x, x, m, g)
	states(without, 0, g, g, g, m, x, g)
	states(with, 1, g, g)
	states(without, 1, g, g)
	got := LearnedShifts(with.f, without.f)
	require.Len(t, got, 1, "what is alike is left out")
	assert.Equal(t, LearnedShift{Step: "seal", Product: "seal-class", Zone: "port side", BetterH: 0.33, WorseH: 0.33, LostH: 0.33,
		Text: "0.3 h better and 0.3 h worse than without what was learned; 0.3 h can no longer be worked"}, got[0])
	states(with, 1, x, u())
	states(without, 1, u(), x)
	got = LearnedShifts(with.f, without.f)
	require.Len(t, got, 2)
	assert.Zero(t, got[1].LostH, "what nobody could work in is not lost")
	assert.NotNil(t, LearnedShifts(Facts{Job: with.f.Job, Result: &window.Result{}, Forecast: with.f.Forecast}, Facts{Result: &window.Result{}}))
}

func u() verdict.State { return verdict.Unknown }
