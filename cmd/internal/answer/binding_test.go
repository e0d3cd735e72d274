package answer

import (
	"math"
	"testing"
	"time"

	"dewgap/forecast"
	"dewgap/products"
	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/verdict"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

func TestBindingWords(t *testing.T) {
	sealant := products.Class{ID: "polymer-sealant", Name: "polymer sealant", People: 2, Source: "common practice",
		UVIndex: products.Limit{Given: true, Source: "your label"}}
	coat := sealant
	coat.Equivalent = true
	for _, c := range []struct {
		limit        verdict.Limit
		state        verdict.State
		value, bound float64
		class        products.Class
		want         string
	}{
		{verdict.SurfaceMax, verdict.Marginal, 34.2, 32, sealant, "panel 34.2 °C, at most 32 (common practice)"},
		{verdict.SurfaceMax, verdict.NoGo, 36.04, 36, sealant, "panel 36.1 °C, at most 36 (common practice)"},
		{verdict.SurfaceMin, verdict.Go, 14.96, 15, sealant, "panel 14.9 °C, ideal from 15 (common practice)"},
		{verdict.SurfaceMin, verdict.Ideal, 15, 15, sealant, "panel 15 °C, ideal from 15 (common practice)"},
		{verdict.AirMin, verdict.NoGo, -0.04, 3, sealant, "air -0.1 °C, needs 3 (common practice)"},
		{verdict.AirMax, verdict.Marginal, 30.5, 30, sealant, "air 30.5 °C, at most 30 (common practice)"},
		{verdict.HumidityMax, verdict.Marginal, 85.2, 85, sealant, "humidity 86 %, at most 85 (common practice)"},
		{verdict.HumidityMin, verdict.Marginal, 14.8, 15, sealant, "humidity 14 %, needs 15 (common practice)"},
		{verdict.SpreadMin, verdict.NoGo, 1.2, 2, sealant, "panel 1.2 K over dew point, needs 2 (common practice)"},
		{verdict.SpreadMin, verdict.NoGo, -0.8, 2, sealant, "panel 0.8 K below dew point, needs 2 over it (common practice)"},
		{verdict.WindMax, verdict.Marginal, 6.31, 6, sealant, "wind 6.4 m/s at the panel, at most 6 (common practice)"},
		{verdict.GustMax, verdict.Go, 4.51, 4.5, sealant, "gusts 4.6 m/s, ideal up to 4.5 (common practice)"},
		{verdict.SunlightMax, verdict.Marginal, 430.1, 250, sealant, "sunlight on the panel 431 W/m², at most 250 (common practice)"},
		{verdict.UVMax, verdict.Marginal, 6.3, 6, sealant, "UV index on the panel 6.3, at most 6 (your label)"},
		{verdict.Film, verdict.NoGo, 34, 1, sealant, "water on the panel, 34 g/m², at most 1 (common practice)"},
		{verdict.DryOff, verdict.NoGo, 0.5, 1, sealant, "dry for only 30 min, needs 1 h (common practice)"},
		{verdict.DryOff, verdict.Ideal, 1e6, 2, sealant, "dry for long"},
		{verdict.RainFree, verdict.Marginal, 2.38, 4, sealant, "rain 2 h 22 after the work, needs 4 h (common practice)"},
		{verdict.RainFree, verdict.Marginal, 2.38, 4, coat, "rain 2 h 22 counted at 20 °C after the work, needs 4 h (common practice)"},
		{verdict.RainFree, verdict.Ideal, 500, 4, coat, "the forecast ends 500 h counted at 20 °C after the work, ideal from 4 h (common practice)"},
		{verdict.DewFree, verdict.Go, 9, 12, sealant, "dew 9 h after the work, ideal from 12 h (common practice)"},
		{verdict.DewFree, verdict.Ideal, 1e6, 12, sealant, "no dew after the work"},
		{verdict.Cure, verdict.Marginal, 6.2, 8, sealant, "panel down to 6.2 °C while it cures, needs 8 (common practice)"},
		{verdict.Access, verdict.NoGo, 13.2, 12, sealant, "gusts 13.2 m/s at height, at most 12 (common practice for ladders and harness)"},
		{verdict.Section, verdict.NoGo, 1.46, 2, sealant, "only 1.4 m² can be washed before it dries, needs 2 (common practice)"},
		{verdict.Section, verdict.Ideal, 47.8, 2, sealant, "47.8 m² can be washed before it dries, ideal from 2 (common practice)"},
		{verdict.Block, verdict.NoGo, 1, 2, sealant, "only 1 h in one stretch, needs 2 h (common practice)"},
		{verdict.RainFree, verdict.NoGo, 0, 2, sealant, "rain right after the work, needs 2 h (common practice)"},
		{verdict.RainFree, verdict.Ideal, 9.5, 8, sealant, "no rain for 9 h 30 after the work, ideal from 8 h (common practice)"},
		{verdict.DryOff, verdict.Ideal, 5, 2, sealant, "dry for 5 h, ideal from 2 h (common practice)"},
		{verdict.DryOff, verdict.NoGo, 0, 2, sealant, "dry only just now, needs 2 h (common practice)"},
	} {
		b := newBuilder(newBoard(t, "seal").f)
		run := verdict.Run{From: 40, To: 41, State: c.state, Limit: c.limit,
			Binding: verdict.Binding{Limit: c.limit, Value: c.value, Bound: c.bound, HasValue: true}}
		got := b.binding(&window.Row{Class: c.class}, run)
		assert.Equal(t, c.want, got.Text)
		assert.Equal(t, c.limit.String(), got.Limit)
		assert.Equal(t, c.limit.Unit(), got.Unit)
		if c.value < 1e5 {
			assert.InDelta(t, c.value, *got.Value, 0.005)
			assert.InDelta(t, c.bound, *got.Bound, 0.005)
		} else {
			assert.Nil(t, got.Value, "a clock that nothing stops has no number")
		}
	}
}

func TestBindingYesNo(t *testing.T) {
	b := newBuilder(newBoard(t, "seal").f)
	for limit, want := range map[verdict.Limit]struct{ text, source string }{
		verdict.Hours:    {"outside working hours", "your job"},
		verdict.Away:     {"nobody works that day", "your job"},
		verdict.Machines: {"the marina allows no machines then", "the place's rules in your job"},
		verdict.Water:    {"the marina does not allow that run-off", "the place's rules in your job"},
		verdict.Thunder:  {"thunder, and 30 minutes after it", "OSHA/NOAA fact sheet 3863"},
		verdict.People:   {"needs 2 people", "label"},
		verdict.Finish:   {"sealer does not suit teak", "label"},
		verdict.None:     {"nothing limits it", ""},
	} {
		b.Job.Zones[0].Finish.Name = "teak"
		class := products.Class{Name: "sealer", People: 2, Source: "label", Never: []string{"teak"}}
		got := b.binding(&window.Row{Class: class}, verdict.Run{State: verdict.NoGo, Limit: limit, Binding: verdict.Binding{Limit: limit}})
		assert.Equal(t, want.text, got.Text)
		assert.Equal(t, want.source, got.Source)
		assert.Nil(t, got.Value)
		assert.Nil(t, got.Bound)
	}
	paint := verdict.Run{State: verdict.NoGo, Limit: verdict.Finish, Binding: verdict.Binding{Limit: verdict.Finish}}
	got := b.binding(&window.Row{Class: products.Class{Name: "compound", Conditional: []string{"teak"}}}, paint)
	assert.Equal(t, "teak is not known to stand buffing (zone key buffable)", got.Text)
	b.Job.Zones[0].Parts = []boat.Part{{Finish: boat.Finish{Name: "canvas"}}}
	got = b.binding(&window.Row{Class: products.Class{Name: "compound", Never: []string{"canvas"}}}, paint)
	assert.Equal(t, "compound does not suit canvas", got.Text, "it is the part that forbids it")
}

// The time for the next coat is told from the coat that is on: when it may follow, or
// that it came too late and what that asks for.
func TestBindingOfTheNextCoat(t *testing.T) {
	b := newBuilder(newBoard(t, "seal").f)
	on := b.at(40)
	b.Job.Steps[0].Coats = 2
	b.Job.Zones[0].Done = map[string]boat.Done{"seal": {At: on, Share: 0.5}}
	class := products.Class{RecoatH: products.Range{Min: 1, Max: 3, Given: true}, RecoatEndH: 6, Source: "label"}
	text := func(slot int) string {
		return b.binding(&window.Row{Class: class}, verdict.Run{From: slot, To: slot + 1, State: verdict.NoGo, Limit: verdict.Recoat,
			Binding: verdict.Binding{Limit: verdict.Recoat}}).Text
	}
	assert.Equal(t, "too soon after coat 1: the next one from "+on.Add(time.Hour).Format(stamp), text(41))
	assert.Equal(t, "the time to recoat is missed: coat 1 went on "+on.Format(stamp)+"; abrade it first (sand_between: true)", text(80))
}

// films are classes that all want four hours without rain.
type films struct{}

func (films) Class(id string) (products.Class, bool) {
	return products.Class{ID: id, RainFree: products.Clock{Default: 4, Given: true}}, true
}

// What would wet a film below says which, since when it is on and until when to wait,
// with the day where that is another.
func TestBindingAboveAFilm(t *testing.T) {
	b := newBuilder(newBoard(t, "wash", "seal").f)
	b.Job.Zones[1].RunsOnto = []string{b.Job.Zones[0].Name}
	b.Classes = films{}
	text := func(do string) string {
		return b.binding(&window.Row{Zone: 1, Class: products.Class{Do: do}}, verdict.Run{From: 40, To: 41, State: verdict.NoGo,
			Limit: verdict.Order, Binding: verdict.Binding{Limit: verdict.Order}}).Text
	}
	assert.Equal(t, "another step must come first", text("wash"))
	day := job.DateOf(b.Now.In(b.loc)).Begins(b.loc)
	b.Now = day.Add(12 * time.Hour)
	seal := func(hour int) {
		b.Job.Zones[0].Done = map[string]boat.Done{"seal": {At: day.Add(time.Duration(hour) * time.Hour), Share: 1}}
	}
	seal(11)
	assert.Equal(t, "water would run onto port side, sealed 11:00: no water on it until 15:00", text("wash"))
	assert.Equal(t, "slurry would run onto port side, sealed 11:00: no slurry on it until 15:00", text("correct"))
	b.Now = day.Add(23 * time.Hour)
	seal(22)
	assert.Equal(t, "water would run onto port side, sealed 22:00: no water on it until "+day.Add(26*time.Hour).In(b.loc).Format(stamp), text("wash"))
}

// A cure that the air is too dry for is told in the air's humidity, whatever the
// panel's warmth.
func TestBindingOfADryCure(t *testing.T) {
	b := newBuilder(newBoard(t, "seal").f)
	run := verdict.Run{From: 40, To: 41, State: verdict.NoGo, Limit: verdict.Cure,
		Binding: verdict.Binding{Limit: verdict.Cure, Value: 12.4, Bound: 30, HasValue: true, Way: verdict.Arid}}
	got := b.binding(&window.Row{Class: products.Class{CureSource: "your label"}}, run)
	assert.Equal(t, "air down to 12 % while it cures, needs 30 % (your label)", got.Text)
	assert.Equal(t, "cure", got.Limit)
	assert.Equal(t, "%", got.Unit)
	assert.InDelta(t, 12.4, *got.Value, 1e-9)
	assert.InDelta(t, 30, *got.Bound, 1e-9)
}

// Water that comes down all the while is named by what it is and has no figure; what
// a towel takes off, or bare wood, says so beside its figure.
func TestBindingOfWater(t *testing.T) {
	b := newBuilder(newBoard(t, "seal").f)
	class := &window.Row{Class: products.Class{Source: "common practice"}}
	run := func(w verdict.Way, value float64) verdict.Run {
		return verdict.Run{From: 40, To: 41, State: verdict.NoGo, Limit: verdict.Film,
			Binding: verdict.Binding{Limit: verdict.Film, Value: value, Bound: 1, HasValue: value > 0, Way: w}}
	}
	for w, want := range map[verdict.Way]string{verdict.Raining: "rain wets the panel", verdict.Dripping: "water drips on the panel"} {
		got := b.binding(class, run(w, 0))
		assert.Equal(t, want, got.Text)
		assert.Nil(t, got.Value)
		assert.Nil(t, got.Bound)
	}
	assert.Equal(t, "water on the panel, 20.5 g/m²: towel it off first, at most 1 (common practice)", b.binding(class, run(verdict.Towelled, 20.5)).Text)
	assert.Equal(t, "water on the panel, 20.5 g/m²: bare wood soaks it up, its drying time tells (common practice)", b.binding(class, run(verdict.Soaking, 20.5)).Text)
	b.Job.Place.Sprinklers.Set = true
	b.Job.Place.Sprinklers.Default = []job.ClockSpan{{From: 0, To: 24 * 60}}
	assert.Equal(t, "sprinklers wet the panel", b.binding(class, run(verdict.Raining, 0)).Text)
}

// Rain that only its chance tells of is told as what may come, and never as the
// forecast's end.
func TestBindingOfADoubtfulRain(t *testing.T) {
	b := newBuilder(newBoard(t, "seal").f)
	text := func(value, bound float64, s verdict.State) string {
		return b.because(&window.Row{}, verdict.Run{From: 40, To: 41, State: s, Limit: verdict.RainFree,
			Binding: verdict.Binding{Limit: verdict.RainFree, Value: value, Bound: bound, HasValue: true, Way: verdict.Chance}})
	}
	assert.Equal(t, "rain may come 2 h after the work, needs 4 h", text(2, 4, verdict.Marginal))
	assert.Equal(t, "rain may come 5 h 50 after the work, ideal from 8 h", text(5.84, 8, verdict.Go))
	assert.Equal(t, "rain may come right after the work, needs 4 h", text(0, 4, verdict.Marginal))
	assert.Equal(t, "rain may come 41 h 10 after the work, needs 48 h", text(41.17, 48, verdict.Marginal), "at the last hour that is known")
}

// Every limit has words and a provenance of its own.
func TestEveryLimitHasWords(t *testing.T) {
	b := newBuilder(newBoard(t, "seal").f)
	seen := map[string]verdict.Limit{}
	for l := verdict.Hours; int(l) < verdict.Limits; l++ {
		run := verdict.Run{From: 40, To: 41, State: verdict.NoGo, Limit: l,
			Binding: verdict.Binding{Limit: l, Value: 1, Bound: 2, HasValue: !l.YesNo() || l == verdict.Film}}
		got := b.binding(&window.Row{Class: products.Class{Name: "x", Source: "s"}}, run)
		assert.NotEmpty(t, got.Text, l)
		assert.NotEqual(t, l.String(), got.Text, "%v has no words", l)
		assert.NotEmpty(t, got.Source, l)
		_, twice := seen[got.Text]
		assert.False(t, twice, "%v and %v are worded alike", l, seen[got.Text])
		seen[got.Text] = l
	}
}

// A shown value never looks better than it is.
func TestNumberIsStrict(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(-50, 900).Draw(t, "v")
		for l, m := range measures {
			if m.clock {
				continue // in words: TestDuration
			}
			shown := parse(m.number(v))
			if m.least {
				assert.LessOrEqual(t, shown, v+2e-4, l)
				assert.Greater(t, shown, v-1.001/math.Pow10(m.digits), l)
			} else {
				assert.GreaterOrEqual(t, shown, v-2e-4, l)
				assert.Less(t, shown, v+1.001/math.Pow10(m.digits), l)
			}
		}
	})
}

func parse(text string) float64 {
	v, sign := 0.0, 1.0
	scale := 0.0
	for _, r := range text {
		switch {
		case r == '-':
			sign = -1
		case r == '.':
			scale = 1
		default:
			v = v*10 + float64(r-'0')
			scale *= 10
		}
	}
	if scale > 0 {
		v /= scale
	}
	return sign * v
}

func TestPastTheEnd(t *testing.T) {
	board := newBoard(t, "seal")
	b := newBuilder(board.f)
	end := board.f.Result.Grid.Index(board.f.Forecast.End())
	run := verdict.Run{From: end - 31, To: end - 30, State: verdict.Go, Limit: verdict.RainFree,
		Binding: verdict.Binding{Limit: verdict.RainFree, Value: 5, Bound: 8, HasValue: true}}
	assert.Equal(t, "the forecast ends 5 h after the work, ideal from 8 h", b.because(&window.Row{}, run))
	run.Binding.Value = 4.5
	assert.Equal(t, "rain 4 h 30 after the work, ideal from 8 h", b.because(&window.Row{}, run))
}

func TestCause(t *testing.T) {
	const clocks = 4
	class := products.Class{
		RainFree: products.Clock{Given: true, Default: clocks}, DryOff: products.Clock{Given: true, Default: 24},
	}
	run := func(b *board, from, to string) verdict.Run {
		return verdict.Run{From: b.slot(from), To: b.slot(to), State: verdict.Unknown, Limit: verdict.Data, Binding: verdict.Binding{Limit: verdict.Data}}
	}
	for name, c := range map[string]struct {
		spoil    func(b *board)
		from, to string
		want     string
	}{
		"too old": {func(b *board) {
			b.f.Trust = Trust{Stale: true, From: b.f.Now, Why: "the forecast is 2 days old"}
		}, "09:00", "10:00", "not known: the forecast is 2 days old"},
		"too old for today, and tomorrow's surface with it": {func(b *board) {
			b.f.Trust = Trust{Stale: true, From: b.f.Now, Until: clock(b.t, "2026-09-11 00:00"), Why: "the forecast is 14 h old"}
			b.f.Job.Since.HasRain = true
		}, "+01:00", "+02:00", "not known: the forecast is 14 h old"},
		"ended": {func(b *board) { b.f.Forecast.N = 30 }, "+07:00", "+08:00", "not known: the forecast ends Fri 11 Sep 06:00"},
		"not begun": {func(b *board) { b.f.Forecast.Start = clock(b.t, "2026-09-10 12:00").UTC() }, "07:00", "08:00",
			"not known: the forecast begins Thu 10 Sep 12:00"},
		"a gap in the wind": {func(b *board) {
			b.f.Forecast.Members[0].Columns[forecast.WindSpeed].Known[9] = false
		}, "07:00", "08:00", "not known: the forecast lacks wind from Thu 10 Sep 09:00"},
		"the clocks reach past the end": {func(b *board) {}, "+20:30", "+21:00",
			"not known: the forecast ends Sat 12 Sep 00:00, too early for what must hold after the work"},
		"the past": {func(b *board) {}, "07:00", "08:00", "not known: when it last rained: say since: {rain: …} in the job"},
		"cold start": {func(b *board) { b.f.Job.Since.HasRain = true }, "07:00", "08:00",
			"not known: the forecast begins too late to tell how warm and dry the panel is by then"},
	} {
		t.Run(name, func(t *testing.T) {
			board := newBoard(t, "seal")
			c.spoil(board)
			b := newBuilder(board.f)
			assert.Equal(t, c.want, b.because(&window.Row{Class: class}, run(board, c.from, c.to)))
		})
	}
}

// A quantity that any of several columns can give is missed only when all are.
func TestLacking(t *testing.T) {
	board := newBoard(t, "seal")
	b := newBuilder(board.f)
	from, to := clock(t, "2026-09-10 00:00"), clock(t, "2026-09-11 00:00")
	assert.Empty(t, b.lacking(from, to))
	m := &board.f.Forecast.Members[0]
	m.Columns[forecast.DewPoint].Known[5] = false
	assert.Empty(t, b.lacking(from, to), "humidity will do")
	m.Columns[forecast.Humidity].Known[5] = false
	assert.Equal(t, "the forecast lacks humidity from Thu 10 Sep 05:00", b.lacking(from, to))
	assert.Empty(t, b.lacking(from.Add(6*time.Hour), to))
	m.Columns[forecast.DewPoint].Known[5] = true
	m.Columns[forecast.WindSpeed].Known[47] = false
	assert.Empty(t, b.lacking(from, to.Add(48*time.Hour)), "the last hour counts as the end")
	m.Columns[forecast.Humidity], m.Columns[forecast.DewPoint] = forecast.Column{}, forecast.Column{}
	assert.Equal(t, "the forecast lacks humidity", b.lacking(from, to), "days without it read alike")
}

// Hours in words never look longer than they are, to the minute.
func TestDuration(t *testing.T) {
	m := measures[verdict.RainFree]
	for hours, want := range map[float64]string{0: "0 min", 0.5: "30 min", 0.999: "59 min", 1: "1 h", 2.375: "2 h 22", 24.1: "24 h 06"} {
		assert.Equal(t, want, m.number(hours))
	}
	assert.Equal(t, "2 h 20", m.number(float64(float32(7)/3)), "what 32 bits leave of it")
}
