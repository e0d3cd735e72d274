package answer

import (
	"testing"
	"time"

	"dewgap/forecast"
	"dewgap/products"
	"dewgap/window"
	"dewgap/window/plan"
	"dewgap/window/verdict"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every reason for which a run cannot be judged has words of its own, and the gravest
// is told: age before the end, the end before a gap, a gap before a clock.
func TestCauses(t *testing.T) {
	class := products.Class{ID: "wax", RainFree: products.Clock{Given: true, Default: 4}, DewFree: products.Clock{Given: true, Default: 6}}
	dry := class
	dry.DryOff = products.Clock{Given: true, Default: 12}
	begins := clock(t, "2026-09-10 00:00")
	for name, c := range map[string]struct {
		from, to string
		class    products.Class
		change   func(f *Facts)
		want     string
	}{
		"too old": {"2026-09-10 08:00", "2026-09-10 09:00", class, func(f *Facts) {
			f.Trust = Trust{From: begins, Until: begins.Add(8*time.Hour + time.Second), Why: "the forecast is 13 h old"}
		}, "the forecast is 13 h old"},
		"past its end":                        {"2026-09-12 00:00", "2026-09-12 01:00", class, nil, "the forecast ends Sat 12 Sep 00:00"},
		"before it":                           {"2026-09-09 23:50", "2026-09-10 00:30", class, nil, "the forecast begins Thu 10 Sep 00:00"},
		"a gap in the work":                   {"2026-09-10 08:00", "2026-09-10 09:00", class, gap(forecast.WindSpeed, 8), "the forecast lacks wind from Thu 10 Sep 08:00"},
		"a gap in the last hour of the clock": {"2026-09-10 08:00", "2026-09-10 09:00", class, gap(forecast.AirTemperature, 14), "the forecast lacks air temperature from Thu 10 Sep 14:00"},
		"a gap after the clock":               {"2026-09-10 08:00", "2026-09-10 09:00", class, gap(forecast.AirTemperature, 15), "the forecast begins too late to tell how warm and dry the panel is by then"},
		"no rain and no chance of it": {"2026-09-10 08:00", "2026-09-10 09:00", class, func(f *Facts) {
			gap(forecast.Precipitation, 9)(f)
			gap(forecast.PrecipitationProbability, 9)(f)
		}, "the forecast lacks rain from Thu 10 Sep 09:00"},
		"a chance of rain will do": {"2026-09-10 08:00", "2026-09-10 09:00", class, gap(forecast.Precipitation, 9), "the forecast begins too late to tell how warm and dry the panel is by then"},
		"no sunlight and no cloud": {"2026-09-10 08:00", "2026-09-10 09:00", class, func(f *Facts) {
			for _, q := range needs[len(needs)-1].any {
				gap(q, 8)(f)
			}
		}, "the forecast lacks sunlight and cloud from Thu 10 Sep 08:00"},
		"cloud will do": {"2026-09-10 08:00", "2026-09-10 09:00", class, func(f *Facts) {
			gap(forecast.GlobalRadiation, 8)(f)
			gap(forecast.DirectRadiation, 8)(f)
		}, "the forecast begins too late to tell how warm and dry the panel is by then"},
		"the clock runs out of it": {"2026-09-11 17:00", "2026-09-11 18:10", class, nil, "the forecast ends Sat 12 Sep 00:00, too early for what must hold after the work"},
		"the clock just fits":      {"2026-09-11 17:00", "2026-09-11 18:00", class, nil, "too few of the forecasts have every value"},
		"into hours of which only the instant is told": {"2026-09-11 16:00", "2026-09-11 17:10", class, gap(forecast.WindSpeed, 47),
			"the forecast ends Sat 12 Sep 00:00, too early for what must hold after the work"},
		"up to that hour": {"2026-09-11 16:00", "2026-09-11 17:00", class, gap(forecast.WindSpeed, 47), "too few of the forecasts have every value"},
		"too old before the clock ends": {"2026-09-10 08:00", "2026-09-10 09:00", class, func(f *Facts) {
			f.Trust = Trust{From: begins.Add(12 * time.Hour), Why: "the forecast is too old for tonight"}
		}, "the forecast is too old for tonight"},
		"soon after an old stretch": {"2026-09-11 08:00", "2026-09-11 09:00", class, func(f *Facts) {
			f.Trust = Trust{From: begins.Add(-time.Hour), Until: begins, Why: "the forecast was too old yesterday"}
		}, "the forecast was too old yesterday"},
		"nobody knows of the last rain": {"2026-09-10 08:00", "2026-09-10 09:00", dry, nil, "when it last rained: say since: {rain: …} in the job"},
		"the job knows":                 {"2026-09-10 08:00", "2026-09-10 09:00", dry, func(f *Facts) { f.Job.Since.HasRain = true }, "the forecast begins too late to tell how warm and dry the panel is by then"},
		"long enough ago":               {"2026-09-10 12:00", "2026-09-10 13:00", dry, nil, "the forecast begins too late to tell how warm and dry the panel is by then"},
		"warmed up":                     {"2026-09-11 12:00", "2026-09-11 13:00", class, nil, "too few of the forecasts have every value"},
		"not yet warmed up":             {"2026-09-11 11:50", "2026-09-11 13:00", class, nil, "the forecast begins too late to tell how warm and dry the panel is by then"},
	} {
		b := newBoard(t, "seal")
		if c.change != nil {
			c.change(&b.f)
		}
		made := newBuilder(b.f)
		grid := b.f.Result.Grid
		run := verdict.Run{From: int(clock(t, c.from).Sub(grid.Start) / (10 * time.Minute)), To: int(clock(t, c.to).Sub(grid.Start) / (10 * time.Minute)), State: verdict.Unknown}
		assert.Equal(t, c.want, made.cause(&window.Row{Class: c.class}, run), name)
	}
}

// gap takes a quantity out of an hour of the forecast.
func gap(q forecast.Quantity, hour int) func(*Facts) {
	return func(f *Facts) { f.Forecast.Members[0].Columns[q].Known[hour] = false }
}

// Each change of a plan is told by why it came, and none by nothing.
func TestWordsOfChanges(t *testing.T) {
	f := movedBoard(t)
	b := &moveBuilder{newBuilder(f.Facts), f}
	plan := &Plan{Blocks: []PlanBlock{{Step: "wash", Zone: "helm", From: clock(t, "2026-09-10 08:00"), To: clock(t, "2026-09-10 09:00")}}}
	for want, c := range map[string]window.Change{
		"nothing forces it away": {Became: window.Kept},
		"done":                   {Became: window.Done},
		"its time is over and nobody logged it: taken as done for now, log it or it is asked for again": {Became: window.Kept, Why: window.WhyUnlogged},
		"the job has no such work any longer":                                                      {Became: window.Dropped},
		"a later step was logged over it: it is not asked any longer":                              {Became: window.Dropped, Why: window.WhyCovered},
		"no plan has a place for it":                                                               {Became: window.Homeless},
		"it was due before now and nobody logged it as done":                                       {Became: window.Shifted, Why: window.WhyLost},
		"it was stopped unfinished: the rest goes on here":                                         {Became: window.Shifted, Why: window.WhyUnderWay},
		"its old hours do not allow it: rain follows too soon":                                     {Became: window.Shifted, Why: window.WhyWeather, Limit: verdict.RainFree},
		"after wash on helm, Thu 10 Sep 08:00 to 09:00":                                            {Became: window.Shifted, Why: window.WhyOrder},
		"before wash on helm, Thu 10 Sep 08:00":                                                    {Became: window.Shifted, Why: window.WhyAhead},
		"far less sure at its old hours than it was":                                               {Became: window.Shifted, Why: window.WhyWeak},
		"spoiled by rain: to be done again":                                                        {Became: window.Added, Why: window.WhyRedo},
		"wetted by rain: washed anew before the next step":                                         {Became: window.Added, Why: window.WhyRewash},
		"left to do, and the old plan had no block for it":                                         {Became: window.Added, Why: window.WhyNew},
		"too soon after what is done: a clock of a kind that has no words":                         {Became: window.Shifted, Why: window.WhyClock, Clock: "a clock of a kind that has no words"},
		"its wash is more than two days old: washed anew before the next step":                     {Became: window.Added, Why: window.WhyStale},
		"done before the machine was last at it: done anew":                                        {Became: window.Added, Why: window.WhyEarly},
		"alone there it would be too short to come for: what stood beside it is done or elsewhere": {Became: window.Shifted, Why: window.WhyVisit},
		"at its old hours there are too few polishers":                                             {Became: window.Shifted, Why: window.WhyPolishers},
		"others take its hours or its people":                                                      {Became: window.Shifted, Why: window.WhyRoom},
	} {
		assert.Equal(t, want, b.whyText(c, plan))
	}
	for l := verdict.None + 1; int(l) < verdict.Limits; l++ {
		assert.NotEmpty(t, planWord(l), "limit %s", l)
		if l != verdict.Data {
			assert.NotContains(t, planWord(l), "_", "limit %s is told by its key", l)
		}
	}
}

// What rain made of a part of a zone, for each fate, with what to do.
func TestWordsOfFates(t *testing.T) {
	f := movedBoard(t)
	b := &moveBuilder{newBuilder(f.Facts), f}
	hours := window.ZoneFate{Step: 1, LeastH: 2.04, MostH: 2.96, WantH: 4, HardH: 3}
	with := func(fate window.Fate, change func(*window.ZoneFate)) window.ZoneFate {
		x := hours
		x.Fate = fate
		if change != nil {
			change(&x)
		}
		return x
	}
	for name, c := range map[string]struct {
		x    window.ZoneFate
		want string
	}{
		"under a roof":     {with(window.Good, func(x *window.ZoneFate) { x.Roofed = true }), "under a roof: the rain did not reach it"},
		"no rain":          {with(window.Good, func(x *window.ZoneFate) { x.Rain = -1 }), "no rain since"},
		"nothing to lose":  {with(window.Good, func(x *window.ZoneFate) { x.WantH = 0 }), "nothing lost"},
		"long enough":      {with(window.Good, func(x *window.ZoneFate) { x.LeastH = 4.99 }), "on for 4.9 h before the rain, 4 h wanted: nothing lost"},
		"a little early":   {with(window.Inspect, nil), "on for 2 h to 2.9 h before the rain (at least 3 h, want 4 h): dry it with a clean towel, look at it in the sun"},
		"one figure":       {with(window.Inspect, func(x *window.ZoneFate) { x.MostH = 2.09 }), "on for 2 h before the rain (at least 3 h, want 4 h): dry it with a clean towel, look at it in the sun"},
		"bare":             {with(window.Rewash, nil), "bare or clean when wetted: wash and dry it before the next step, nothing else is lost"},
		"far too early":    {with(window.Redo, nil), "on for 2 h to 2.9 h before the rain, at least 3 h wanted: blot it, rinse, strip and do it again; what is not wiped off yet is rinsed, never wiped"},
		"hazing":           {with(window.Redo, func(x *window.ZoneFate) { x.Hazing = true }), "still hazing when wetted: do not wipe it; rinse these sections only and keep the run-off off the buffed ones; then strip and do it again"},
		"driven, and salt": {with(window.Rewash, func(x *window.ZoneFate) { x.Driven, x.Rinsed = true, true }), "bare or clean when wetted: wash and dry it before the next step, nothing else is lost; under a roof, but the wind may have driven the rain in; the rain rinsed loose salt off"},
	} {
		assert.Equal(t, c.want, b.fateText(c.x), name)
	}
	b.Classes = classes{"seal-class": {ID: "seal-class", Own: true, IfViolated: "ask the maker"}}
	assert.Contains(t, b.fateText(with(window.Redo, nil)), "never wiped (ask the maker)", "your own label has the last word")
	b.Classes = classes{"seal-class": {ID: "seal-class", IfViolated: "sand and coat again"}}
	assert.NotContains(t, b.fateText(with(window.Redo, nil)), "sand")
	b.in.Given.Steps[1].Do = "coat"
	const again = "do it again (sand and coat again); to sand or take off what is spoiled is not in the plan: book the time for it"
	assert.Equal(t, "on for 2 h to 2.9 h before the rain, at least 3 h wanted: "+again, b.fateText(with(window.Redo, nil)))
	assert.Equal(t, "still fresh when wetted: "+again, b.fateText(with(window.Redo, func(x *window.ZoneFate) { x.Hazing = true })))
	assert.Contains(t, b.fateText(with(window.Inspect, nil)), "let it dry untouched")
}

// Hours told of time passed are never more than passed.
func TestHoursIn(t *testing.T) {
	for want, h := range map[string]float64{"0 h": 0.099, "2 h": 2, "2.9 h": 2.9999, "3 h": 2.99999999999, "0.1 h": 0.1} {
		assert.Equal(t, want, hoursIn(h))
	}
	assert.Equal(t, "3 h", hourSpan(3, 3.05))
	assert.Equal(t, "3 h to 3.1 h", hourSpan(3, 3.1))
}

// The crew's cautions read the sun and the thunder of the hour that is asked about,
// and nothing where the forecast does not reach.
func TestCrewSlot(t *testing.T) {
	b := newBoard(t, "seal")
	made := newBuilder(b.f)
	in, out := hourAt(clock(t, "2026-09-10 09:00")), hourAt(clock(t, "2026-09-09 09:00"))
	in.Direct = 0.7
	s := made.crewSlot(in)
	assert.True(t, s.ThunderKnown)
	assert.True(t, s.PressureHPa.Known)
	assert.Equal(t, 0.7, s.DirectFraction.V)
	assert.Equal(t, 18.0, s.AirC.V)
	assert.Equal(t, 6.0, s.GustMS.V, "gusts where people stand, not those at deck")

	s = made.crewSlot(out)
	assert.False(t, s.ThunderKnown, "before the forecast nobody knows of thunder")
	assert.False(t, s.PressureHPa.Known)
	assert.Equal(t, "the forecast begins Thu 10 Sep 00:00", s.Unseen)
	in.Air.Known = false
	s = made.crewSlot(in)
	assert.True(t, s.ThunderKnown, "thunder is told without the air's temperature")
	assert.Empty(t, s.Unseen)
	in.Air.Known = true
	made.Trust = Trust{From: in.At, Why: "the forecast is 13 h old"}
	s = made.crewSlot(in)
	assert.False(t, s.ThunderKnown, "too old to be believed")
	assert.Equal(t, "the forecast is 13 h old", s.Unseen)
	made.Trust = Trust{}
	b.f.Forecast.Members[0].Columns[forecast.WeatherCode].Known[9] = false
	assert.True(t, made.crewSlot(in).ThunderKnown, "a chance of thunder will do")
	b.f.Forecast.Members[0].Columns[forecast.ThunderProbability].Known[9] = false
	assert.False(t, made.crewSlot(in).ThunderKnown)
	in.Global = window.Value{}
	assert.False(t, made.crewSlot(in).DirectFraction.Known)
	in.Global = known(0)
	assert.False(t, made.crewSlot(in).DirectFraction.Known, "no share of no sunlight")
}

// What to measure first: three zones at most, each once, asked ones, and only where
// a reading can tell.
func TestMeasureFirst(t *testing.T) {
	b := newBuilder(newBoard(t, "seal").f)
	step := func(zone, limit string, asked bool) MorningStep {
		return MorningStep{Zone: zone, Asked: asked, Binding: Binding{Limit: limit}}
	}
	assert.Equal(t, []string{"a", "b", "c"}, b.measure([]MorningStep{
		step("a", "surface_min", true), step("a", "film", true), step("x", "wind_max", true), step("y", "film", false), step("b", "dry_off", true),
		step("c", "data", true), step("d", "film", true),
	}))
	assert.NotNil(t, b.measure(nil))
	want := map[string]bool{}
	for _, l := range []string{"surface_min", "surface_max", "spread_min", "humidity_min", "humidity_max", "air_min", "air_max", "film", "dry_off", "dew_free", "data"} {
		want[l] = true
	}
	for l := verdict.None; int(l) < verdict.Limits; l++ {
		assert.Equal(t, want[l.String()], len(b.measure([]MorningStep{step("a", l.String(), true)})) == 1, l.String())
	}
}

// Where the forecast never has something that is needed, nothing read on the dock makes up
// for it: the answer sends to another service, and nobody to a panel. A gap is no such lack.
func TestMeasureNothingOfABlindForecast(t *testing.T) {
	f := newBoard(t, "seal").f
	steps := []MorningStep{{Zone: "a", Asked: true, Binding: Binding{Limit: "data"}}}
	const another = "no reading makes up for what the forecast lacks: ask another service or model; dewgap sources shows what each has"
	m := &f.Forecast.Members[0]
	gap := forecast.NewColumn(f.Forecast.N)
	gap.Set(1, 10)
	m.Columns[forecast.WindSpeed] = gap
	assert.NotEmpty(t, newBuilder(f).measure(steps))
	assert.NotContains(t, newBuilder(f).warnings(), another)
	m.Columns[forecast.WindSpeed] = forecast.NewColumn(f.Forecast.N)
	assert.Equal(t, []string{}, newBuilder(f).measure(steps))
	assert.Contains(t, newBuilder(f).warnings(), another)
}

// How many zones, blocks and hours, told in words that fit one and several.
func TestCountsOfPlans(t *testing.T) {
	assert.Equal(t, "1 block", countOf(1, "block"))
	assert.Equal(t, "0 blocks", countOf(0, "block"))
	assert.Equal(t, "2 days", countOf(2, "day"))
	f := newBoard(t, "seal").f
	b := newBuilder(f)
	p := &window.Planned{}
	assert.Equal(t, []string{"everything is done"}, b.whyPlan(p, &Plan{}))
	p.Blocks = make([]plan.Block, 2)
	out := &Plan{Blocks: make([]PlanBlock, 2), Days: 1, Ends: ptrTo(clock(t, "2026-09-11 15:00"))}
	why := b.whyPlan(p, out)
	require.Len(t, why, 2)
	assert.Equal(t, "2 blocks on 1 day, done Fri 11 Sep 15:00", why[0])
	assert.Equal(t, "2 blocks on 1 day, and a wash alone on 1 more", (&Plan{Blocks: out.Blocks, Days: 1, WashDays: 1}).Extent())
	assert.Equal(t, "no plan is better: proven", why[1])
	out.Consents = 1
	assert.Equal(t, "1 block needs your yes: marginal, or sure in fewer than half of the forecasts", b.whyPlan(p, out)[1])
	out.Open, out.Bound = "fewest days", "at least 1"
	assert.Equal(t, "not proven best in fewest days: at least 1", b.whyPlan(p, out)[2])
	out.Proven = []string{"consent"}
	assert.Equal(t, "proven best in consent; not proven in fewest days: at least 1", b.whyPlan(p, out)[2])
}

func ptrTo[T any](v T) *T { return &v }

// Who works on a deck that a ladder leads up to is warned of the height.
func TestHazards_ClimbedDeck(t *testing.T) {
	b := newBoard(t, "seal")
	b.f.Classes = classes{"seal-class": {ID: "seal-class"}}
	assert.False(t, newBuilder(b.f).hazards().Ladder)
	b.f.Job.Zones[1].Climbed = true
	assert.True(t, newBuilder(b.f).hazards().Ladder)
}

// What a block asks for beyond its own work: a wash anew by some hour is told whatever
// became of the block; what is to be minded is told again only where it is new.
func TestDutiesOfABlock(t *testing.T) {
	block := func(again, mind string) *PlanBlock { return &PlanBlock{WashAgain: again, Mind: mind} }
	for _, x := range []struct {
		change        string
		before, after *PlanBlock
		want          []string
	}{
		{"kept", block("", ""), block("", ""), nil},
		{"kept", block("", ""), block("wash it", "rinse it"), []string{"wash it", "rinse it"}},
		{"kept", block("wash it", "rinse it"), block("wash it", "rinse it"), []string{"wash it"}},
		{"kept", nil, block("", "rinse it"), []string{"rinse it"}},
		{"moved", block("wash it", "rinse it"), block("wash it", "rinse it"), []string{"wash it", "rinse it"}},
		{"moved", block("wash it", "rinse it"), block("", ""), nil},
		{"done", block("wash it", "rinse it"), nil, nil},
	} {
		c := BlockChange{Change: x.change, Before: x.before, After: x.after}
		assert.Equal(t, x.want, c.Duties(), "%s: %+v", x.change, x.after)
	}
}
