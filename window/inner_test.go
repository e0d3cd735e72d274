package window

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/products"
	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/plan"
	"dewgap/window/verdict"
)

// What the skins hold and let through, added up by hand from the layers that their
// builds name: 1600 kg/m³ × 1200 J/kgK of laminate at 0.25 W/mK, 20 mm of foam at
// 0.035 (CIBSE Guide A), an inner air film of 0.13 m²K/W (ISO 6946) or a liquid one of
// 0.005, teak of 650 kg/m³ and 2000 J/kgK at 0.17 W/mK.
func TestSkins_HoldAndLetThrough(t *testing.T) {
	for skin, x := range map[boat.Skin]struct{ holds, through, wet float64 }{
		boat.Cored: {5760, 1.426, 1.735}, // 0.571 + 0.13 or 0.005
		boat.Solid: {19200, 5.882, 22.22},
		boat.Thick: {38400, 4.762, 11.76},
		boat.Plank: {19500, 4.582, 10.73},
		boat.Plate: {4000, 0, 0},
		boat.Keel:  {648000, 0, 0},
	} {
		b := builds[skin]
		assert.InEpsilon(t, x.holds, b.capacity, 1e-3, "%v", skin)
		assert.InDelta(t, x.through, b.through, 1e-3, "%v", skin)
		assert.InDelta(t, x.wet, b.wet, 1e-2, "%v", skin)
		assert.Equal(t, skin == boat.Plate, b.twoSided)
	}
}

// Damp air slows what dries: not at all to 60 %, half as long again at 80 %, twice as
// long from 90 % on, never less for more (common practice).
func TestHazeInDamp(t *testing.T) {
	for humidity, want := range map[float64]float64{0: 1, 60: 1, 70: 1.25, 80: 1.5, 85: 1.75, 90: 2, 100: 2} {
		assert.InDelta(t, want, hazeInDamp(humidity), 1e-12, "%v %%", humidity)
	}
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.Float64Range(0, 100).Draw(t, "a"), rapid.Float64Range(0, 100).Draw(t, "b")
		require.LessOrEqual(t, hazeInDamp(min(a, b)), hazeInDamp(max(a, b)))
		require.LessOrEqual(t, hazeInDamp(a), 2.0)
	})
}

// A haze given at 20 °C runs twice as fast for so many kelvins more, slower in damp and
// a fifth quicker in wind; where nothing is known of the hour it is as given.
func TestHazeByTheHour(t *testing.T) {
	at := time.Date(2026, 9, 2, 12, 0, 0, 0, time.UTC)
	haze := func(surface, humidity, wind Value) float64 {
		r := &Result{
			Weather: []Hour{{At: at, Humidity: humidity, Wind: wind}},
			Zones:   []Zone{{Hours: []ZoneHour{{Surface: surface}}}},
		}
		r.Grid.Start, r.Grid.N, r.To = at, 6, 6
		c := products.Class{HalvesPerK: 10, HazeInDamp: true}
		c.HazeMin.Given, c.HazeMin.Min = true, 30
		p := planner{r: r}
		return p.hazeMin(&work{class: c}, 3)
	}
	of := func(v float64) Value { return Value{V: v, Known: true} }
	none := Value{}
	assert.InDelta(t, 30, haze(none, none, none), 1e-9)
	assert.InDelta(t, 30, haze(of(20), none, none), 1e-9)
	assert.InDelta(t, 15, haze(of(30), none, none), 1e-9)
	assert.InDelta(t, 60, haze(of(10), none, none), 1e-9)
	assert.InDelta(t, 45, haze(of(20), of(80), none), 1e-9)
	assert.InDelta(t, 30, haze(of(20), of(50), of(4)), 1e-9, "a light air does not dry it")
	assert.InDelta(t, 24, haze(of(20), of(50), of(4.1)), 1e-9)
	p := planner{r: &Result{}}
	c := products.Class{HalvesPerK: 10}
	c.HazeMin.Min = 30
	assert.InDelta(t, 30, p.hazeMin(&work{class: c}, 0), 1e-9, "no hour, no weather")
}

// Hours in whole slots: none too few, and no slot for a rounding error.
func TestSlotsOfHours(t *testing.T) {
	for hours, slots := range map[float64]int{
		0: 0, 0.001: 1, 10.0 / 60: 1, 0.17: 2, 0.5: 3, 1: 6, 1.01: 7, 2: 12, 24: 144, 12.0 / 60: 2, 100.0 / 3: 200,
	} {
		assert.Equal(t, slots, slotsOfHours(hours), "%v h", hours)
	}
	for minutes, slots := range map[float64]int{-1: 0, 0: 3, 1: 1, 10: 1, 11: 2, 45: 5} {
		assert.Equal(t, slots, slotsOfMinutes(minutes, 30), "%v min", minutes)
	}
}

// What is no-go or unknown without anything learned is never lifted by it; else it is
// lifted only by what has readings enough; and all that was learned may make it worse.
func TestHeldAgainst(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string) verdict.Result {
			return verdict.Result{
				State: verdict.State(rapid.IntRange(0, 4).Draw(t, name)), Limit: verdict.Limit(rapid.IntRange(0, verdict.Limits-1).Draw(t, name+" limit")),
				Past: rapid.Float32Range(-1, 2).Draw(t, name+" past"),
			}
		}
		plain, supported, learned := draw("plain"), draw("supported"), draw("learned")
		got := heldAgainst(learned, []verdict.Result{plain, supported})
		require.GreaterOrEqual(t, got.State, learned.State, "never better than what was learned says")
		require.Contains(t, []verdict.Result{plain, supported, learned}, got, "and always the word of one of them")
		if plain.State.Workable() {
			require.Equal(t, max(supported.State, learned.State), got.State)
		} else {
			require.Equal(t, max(plain.State, learned.State), got.State, "a hard limit stays hard")
		}
	})
}

// The limits of an explanation are held in the same way, one by one.
func TestHeldLimits(t *testing.T) {
	held := func(states ...verdict.State) []verdict.Held {
		var out []verdict.Held
		for i, s := range states {
			out = append(out, verdict.Held{Limit: verdict.AirMin + verdict.Limit(i), State: s, Known: true})
		}
		return out
	}
	got := heldLimits(
		held(verdict.NoGo, verdict.Go, verdict.Go, verdict.Unknown, verdict.Marginal),
		held(verdict.Go, verdict.Marginal, verdict.Ideal, verdict.Ideal, verdict.Go),
		held(verdict.Ideal, verdict.Ideal, verdict.Go, verdict.Marginal, verdict.Ideal))
	var states []verdict.State
	for i, h := range got {
		states = append(states, h.State)
		assert.Equal(t, verdict.AirMin+verdict.Limit(i), h.Limit)
	}
	assert.Equal(t, []verdict.State{verdict.NoGo, verdict.Marginal, verdict.Go, verdict.Unknown, verdict.Go}, states)
	one, two := held(verdict.Go), held(verdict.NoGo, verdict.NoGo)
	assert.Equal(t, one, heldLimits(two, one, one), "where they do not speak of the same, what was learned stands by itself")
	assert.Equal(t, one, heldLimits(one, two, one))
}

// Blocks rank by state (ideal counts as go), then confidence in whole five points, then
// cooler hours, then the earlier.
func TestBetterBlocks(t *testing.T) {
	order := []block{
		{state: verdict.Ideal, confidence: 0.96, heat: 0.5, from: 5},
		{state: verdict.Go, confidence: 0.95, heat: 0.5, from: 6},
		{state: verdict.Ideal, confidence: 0.99, heat: 0.6, from: 1},
		{state: verdict.Go, confidence: 0.94, heat: 0, from: 0},
		{state: verdict.Go, confidence: 0.2, heat: 0, from: 0},
		{state: verdict.Marginal, confidence: 1, heat: 0, from: 0},
		{state: verdict.NoGo},
	}
	for i, a := range order {
		for k, b := range order {
			assert.Equal(t, i < k, better(a, b), "%d before %d", i, k)
		}
	}
	for share, points := range map[float64]int{0: 0, 0.049: 0, 0.05: 1, 0.7: 14, 0.7999: 15, 0.8: 16, 1: 20} {
		assert.Equal(t, points, fivePoints(share), "%v", share)
	}
	assert.Equal(t, 14, fivePoints(7.0/10), "seven of ten are 70 %, whatever the last bit says")
	assert.InDelta(t, 0.12, round2(0.1249), 1e-12)
}

// How cold and how warm a panel is over a window is told by what is known of it.
func TestExtents(t *testing.T) {
	m := &Met{Surface: []float32{5, 3, 9, 1}, OverDew: []float32{2, 4, 3, 0}, Known: []bool{true, true, true, false}}
	panel, over := m.Extents(0, 4)
	assert.Equal(t, Extent{Least: 3, Most: 9, Known: true}, panel, "what is not known does not count")
	assert.Equal(t, Extent{Least: 2, Most: 4, Known: true}, over)
	panel, _ = m.Extents(-3, 1)
	assert.Equal(t, Extent{Least: 5, Most: 5, Known: true}, panel, "nor what lies outside the horizon")
	for _, x := range [][2]int{{3, 9}, {2, 2}, {7, 9}} {
		panel, over = m.Extents(x[0], x[1])
		assert.Equal(t, []Extent{{}, {}}, []Extent{panel, over}, "%v", x)
	}
	panel, _ = (*Met)(nil).Extents(0, 4)
	assert.Equal(t, Extent{}, panel, "nothing is known where nothing was worked out")
}

// Of several moments that must be met the first is named; of two at once the one that
// comes first by name.
func TestFirstMust(t *testing.T) {
	at := time.Date(2026, 9, 3, 8, 0, 0, 0, time.UTC)
	name := func(must map[string]time.Time) string { return firstMust(&job.Job{Must: must}) }
	assert.Empty(t, name(nil))
	assert.Equal(t, "launch", name(map[string]time.Time{"launch": at}))
	assert.Equal(t, "survey", name(map[string]time.Time{"launch": at, "survey": at.Add(-time.Minute), "sale": at.Add(time.Hour)}))
	for range 20 { // a map gives its keys in any order
		assert.Equal(t, "a", name(map[string]time.Time{"b": at, "a": at, "c": at}))
	}
}

// How many square metres may be wetted at once and how soon they must be wetted again
// are two sides of one thing: at the pace of Rewet a film lasts exactly as long as the
// section that its life allows takes.
func TestSectionAndRewet(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var c products.Class
		c.RateM2H.Given, c.RateM2H.Min, c.RateM2H.Max = true, 20, rapid.Float64Range(20, 80).Draw(t, "rate")
		people := rapid.IntRange(1, 4).Draw(t, "people")
		life := rapid.Float64Range(3, 60).Draw(t, "minutes of life")
		m2 := float64(people) * math.Max(0, math.Min(dryRate*(0.7*life-1), washRate(c)/60*0.7*life))
		require.InDelta(t, 0.7*life, Rewet(m2, people, c), 1e-9)
	})
	assert.InDelta(t, 40, washRate(products.Class{}), 0, "m² an hour where a class says nothing")
	assert.InDelta(t, Rewet(10, 1, products.Class{}), Rewet(10, 0, products.Class{}), 0, "nobody is one")
}

// What the panel is dry for after rain is the next step that looks at the dew point; a
// step that does not, or that is on other zones, is passed over.
func TestNextDryStep(t *testing.T) {
	cat, err := products.Catalogue()
	require.NoError(t, err)
	next := func(steps ...job.Step) string {
		s := spoiler{SpoilInput{Job: &job.Job{Steps: steps}, Classes: cat}}
		return s.next(&ZoneFate{Zone: 0, Step: 0}).ID
	}
	on := func(with string, zones ...int) job.Step { return job.Step{With: with, On: zones} }
	assert.Equal(t, "cleaner-wax", next(on("cleaner-wax", 0)))
	assert.Equal(t, "cleaner-wax", next(on("soap-wash", 0), on("cleaner-wax", 0), on("spray-sealant", 0)))
	assert.Equal(t, "spray-sealant", next(on("soap-wash", 0), on("cleaner-wax", 1), on("spray-sealant", 0, 1)))
	assert.Empty(t, next(on("soap-wash", 0)), "nothing asks: a towel will do")
}

// Cure runs twice as fast for every 10 K: of twelve hours at 20 °C, six at 30 and a day
// at 10; past the answer's hours the last goes on, and what the horizon does not hold
// was needed before it.
func TestCuredBy(t *testing.T) {
	by := func(surface float64, slot int, need float64) int {
		at := time.Date(2026, 9, 2, 0, 0, 0, 0, time.UTC)
		r := &Result{Zones: []Zone{{}}}
		for h := range 48 {
			r.Weather = append(r.Weather, Hour{At: at.Add(time.Duration(h) * time.Hour)})
			r.Zones[0].Hours = append(r.Zones[0].Hours, ZoneHour{Surface: Value{V: surface, Known: surface > -99}})
		}
		r.Grid.Start, r.Grid.N, r.To = at, 48*6, 48*6
		p := planner{r: r, n: 48 * 6}
		return p.curedBy(0, slot, need)
	}
	const slot = 40 * 6
	assert.Equal(t, slot-12*6, by(20, slot, 12))
	assert.Equal(t, slot-6*6, by(30, slot, 12))
	assert.Equal(t, slot-24*6, by(10, slot, 12))
	assert.Equal(t, slot-12*6, by(-100, slot, 12), "what is not known is taken for 20 °C")
	assert.Equal(t, slot, by(20, slot, 0))
	assert.Equal(t, 0, by(20, slot, 41), "it would have to have been laid before the answer begins")
	assert.Equal(t, 0, by(20, slot, 40), "just")
	assert.Equal(t, 60*6-24*6, by(10, 60*6, 12), "a launch past the forecast")
}

// Work is cut into as few parts as there is a place for without a yes; where none is to
// be had so, as few as there is any place for; and never into parts of less than an
// hour of one person.
func TestFewestParts(t *testing.T) {
	parts := func(work int, days ...string) (few int, place bool) {
		p := planner{in: plan.Input{Voters: []uint64{1}}}
		task := plan.Task{Work: work, Least: 1, Most: 1}
		for d, text := range days {
			first := len(p.in.Day)
			for _, c := range text {
				p.in.Day = append(p.in.Day, d)
				state := map[rune]verdict.State{'g': verdict.Go, 'm': verdict.Marginal, 'x': verdict.NoGo}[c]
				task.State, task.Limit = append(task.State, state), append(task.Limit, verdict.None)
				task.Go = append(task.Go, map[rune]uint64{'g': 1}[c])
				task.Marginal = append(task.Marginal, map[rune]uint64{'g': 1, 'm': 1}[c])
			}
			p.in.Days = append(p.in.Days, plan.Day{People: 1, Open: first, Close: len(p.in.Day)})
		}
		return p.fewestParts(task), p.hasPlace(task)
	}
	for name, x := range map[string]struct {
		work  int
		days  []string
		few   int
		place bool
	}{
		"whole, where it goes whole":            {12, []string{"gggggggggggggggg"}, 1, true},
		"in two, where whole it asks for a yes": {12, []string{"ggggggmmmmmmmmmm", "gggggggggxxxxxxx"}, 2, true},
		"in three, where two are too long":      {18, []string{"ggggggxxxxxxxxx", "xxggggggxxx", "ggggggx"}, 3, true},
		"whole with a yes, where nothing goes":  {12, []string{"mmmmmmmmmmmmmmmm"}, 1, true},
		"in two with a yes":                     {12, []string{"mmmmmmxxxxxx", "xxxxxxmmmmmm"}, 2, true},
		"not in scraps of under an hour":        {12, []string{"gggggxgggggxggggg"}, 1, false},
		"an hour is no scrap":                   {12, []string{"ggggggxggggggxggggg"}, 2, true},
		"five hours in five":                    {30, []string{"ggggggxggggggx"}, 5, true},
		"in six parts at most":                  {42, []string{"ggggggxggggggx"}, 1, false},
		"less than an hour stays whole":         {5, []string{"ggggxggggx"}, 1, false},
	} {
		few, place := parts(x.work, x.days...)
		assert.Equal(t, x.few, few, name)
		assert.Equal(t, x.place, place, name)
	}
}

// What would be with the whole crew here is told besides: where that cannot be worked out,
// the move stands, and says so.
func TestHandsLack_IsToldBesides(t *testing.T) {
	refused := func() *Planned {
		return &Planned{Result: plan.Result{Refusal: &plan.Refusal{Task: -1, Limit: "order"}}, Notes: []string{"as before"}}
	}
	gone := []Elsewhere{{Person: 1}}
	for name, c := range map[string]struct {
		in   Input
		p    *Planned
		want []string
	}{
		"no forecast any longer": {Input{Elsewhere: gone}, refused(), []string{"as before", handsUntold + ErrNoForecast.Error()}},
		"nobody elsewhere":       {Input{}, refused(), []string{"as before"}},
		"no bow":                 {Input{Elsewhere: gone}, (&planner{r: &Result{}, j: &job.Job{}}).noBow(), nil},
		"there is a plan":        {Input{Elsewhere: gone}, &Planned{Result: plan.Result{Found: true}}, nil},
	} {
		c.in.Job = &job.Job{}
		m := &mover{in: MoveInput{Input: c.in}, out: Moved{Planned: c.p}}
		m.handsLack()
		assert.Equal(t, c.want, m.out.Planned.Notes, name)
		assert.Nil(t, m.out.Planned.AllHands, name)
		if r := m.out.Planned.Refusal; r != nil {
			assert.NotEqual(t, NoHands, r.Limit, "%s: nobody knows", name)
		}
	}
}
