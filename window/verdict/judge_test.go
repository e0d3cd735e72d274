package verdict

import (
	"math"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/products"
)

// day is a series of n slots in which everything suits: known, dry, mild.
func day(n int) *Series {
	s := &Series{
		Outdoors: &Outdoors{
			Thunder: make([]bool, n), Fog: make([]bool, n),
			KnownAir: yes(n), KnownWind: yes(n), KnownUV: yes(n), KnownRain: yes(n),
		},
		Wets: make([]bool, n), KnownSurface: yes(n),
	}
	for c, v := range map[*[]float32]float32{
		&s.Air: 20, &s.Humidity: 55, &s.Wind: 1, &s.Gust: 1.5, &s.GustHigh: 1.5, &s.Surface: 20,
		&s.Spread: 10, &s.Film: 0, &s.Sunlight: 50, &s.UV: 1, &s.Section: 10,
	} {
		*c = constant(n, v)
	}
	return s
}

func yes(n int) []bool {
	b := make([]bool, n)
	for i := range b {
		b[i] = true
	}
	return b
}

func constant(n int, v float32) []float32 {
	c := make([]float32, n)
	for i := range c {
		c[i] = v
	}
	return c
}

var catalogue = sync.OnceValues(products.Catalogue)

func class(t require.TestingT, id string) products.Class {
	cat, err := catalogue()
	require.NoError(t, err)
	c, ok := cat.Class(id)
	require.True(t, ok, id)
	return c
}

// setting is all that a verdict depends on beside class and series.
type setting struct {
	Terms
	Past
}

// terms are those of a person who towels, with nothing fixed and no rain so far.
func terms(n int) setting {
	return setting{
		Terms{Fixed: make([]Limit, n), Towel: true},
		Past{PastKnown: true, RainedAt: math.MinInt32, WashedAt: math.MinInt32},
	}
}

// run gives the verdict on every slot.
func run(c products.Class, tm setting, s *Series) []Result {
	x := tm.sees(s)
	return judged(NewJudge(c, tm.Terms), x)
}

// judged gives a judge's verdict on every asked slot of a sight.
func judged(j *Judge, x *Sight) []Result {
	b := NewBoard(x.asked, 1)
	j.Run(x, b, 0)
	return b.of(0)
}

// of gives a member's verdicts on the asked slots.
func (b *Board) of(member int) []Result {
	out := make([]Result, b.asked.n)
	for i := range out {
		out[i] = b.at(member, i)
	}
	return out
}

// boardOf is a board with members' verdicts on every slot.
func boardOf(members ...[]Result) *Board {
	b := NewBoard(all(len(members[0])), len(members))
	for m, results := range members {
		for i, r := range results {
			b.keep(m*b.asked.n+i, r)
		}
	}
	return b
}

// sees looks at all slots of a series.
func (tm setting) sees(s *Series) *Sight { return NewSight(s, tm.Past, all(s.Len())) }

// all asks for every slot.
func all(n int) *Asked { return NewAsked(yes(n), 0, n) }

// joined joins members' verdicts on every slot.
func joined(members [][]Result, sure float64, dressed bool) *Row {
	return NewRow(boardOf(members...), sure, dressed)
}

const hours = 6 // slots in an hour

// Every limit of the polymer sealant, value by value across its bands (the
// catalogue's own bounds, common practice). One slot is spoiled, the middle one
// of a long dry spell.
func TestBands(t *testing.T) {
	c := class(t, "polymer-sealant")
	set := map[Limit]func(*Series, int, float32){
		AirMin: func(s *Series, i int, v float32) { s.Air[i] = v }, AirMax: func(s *Series, i int, v float32) { s.Air[i] = v },
		SurfaceMin:  func(s *Series, i int, v float32) { s.Surface[i] = v },
		SurfaceMax:  func(s *Series, i int, v float32) { s.Surface[i] = v },
		HumidityMax: func(s *Series, i int, v float32) { s.Humidity[i] = v },
		HumidityMin: func(s *Series, i int, v float32) { s.Humidity[i] = v },
		SpreadMin:   func(s *Series, i int, v float32) { s.Spread[i] = v },
		WindMax:     func(s *Series, i int, v float32) { s.Wind[i] = v },
		GustMax:     func(s *Series, i int, v float32) { s.Gust[i] = v },
	}
	for _, x := range []struct {
		limit Limit
		value float32
		state State
		bound float32
	}{
		{AirMin, 15, Ideal, 15}, {AirMin, 14.9, Go, 15}, {AirMin, 10, Go, 15}, {AirMin, 9.9, Marginal, 10}, {AirMin, 7.9, NoGo, 8},
		{AirMax, 25.1, Go, 25}, {AirMax, 30, Go, 25}, {AirMax, 30.1, Marginal, 30}, {AirMax, 34.1, NoGo, 34},
		{SurfaceMax, 27.5, Go, 27}, {SurfaceMax, 33, Marginal, 32}, {SurfaceMax, 37, NoGo, 36},
		{SurfaceMin, 14, Go, 15}, {SurfaceMin, 9, Marginal, 10}, {SurfaceMin, 7, NoGo, 8},
		{HumidityMax, 75, Go, 70}, {HumidityMax, 88, Marginal, 85}, {HumidityMax, 91, NoGo, 90},
		{HumidityMin, 30, Go, 40}, {HumidityMin, 14, Marginal, 15},
		{SpreadMin, 3.5, Go, 4}, {SpreadMin, 2.5, Marginal, 3}, {SpreadMin, 1.5, NoGo, 2},
		{WindMax, 4, Go, 3}, {WindMax, 7, Marginal, 6}, {WindMax, 9.5, NoGo, 9},
		{GustMax, 5, Go, 4.5}, {GustMax, 10, Marginal, 9}, {GustMax, 14, NoGo, 13.5},
	} {
		s := day(40 * hours)
		i := 10 * hours
		set[x.limit](s, i, x.value)
		got := run(c, terms(s.Len()), s)[i]
		assert.Equal(t, x.state, got.State, "%s %g", x.limit, x.value)
		if x.state != Ideal {
			assert.Equal(t, x.limit, got.Limit, "%g", x.value)
			assert.InDelta(t, x.value, got.Value, 1e-4)
			assert.InDelta(t, x.bound, got.Bound, 1e-4)
		}
	}
}

// Sunlight and UV on a class that the cool sun does not harm: nothing while the
// panel is within its ideal, marginal above it, never a block by itself.
func TestCoolSun(t *testing.T) {
	s := day(40 * hours)
	s.Sunlight[60], s.UV[60] = 900, 9
	s.Sunlight[61], s.Surface[61] = 900, 30
	s.UV[62], s.Surface[62] = 9, 30
	got := run(class(t, "polymer-sealant"), terms(s.Len()), s)
	assert.Equal(t, Ideal, got[60].State)
	assert.Equal(t, Result{State: Marginal, Limit: SunlightMax}, just(got[61]))
	assert.Equal(t, Result{State: Marginal, Limit: UVMax}, just(got[62]))
	ceramic := run(class(t, "professional-ceramic"), terms(s.Len()), s)
	assert.Equal(t, NoGo, ceramic[60].State, "no waiver for films")
}

func just(r Result) Result { return Result{State: r.State, Limit: r.Limit} }

// The rain clock counts from the slot's end to the first wet slot.
func TestRainFree(t *testing.T) {
	s := day(40 * hours)
	rain := 20 * hours
	s.Wets[rain] = true
	got := run(class(t, "polymer-sealant"), terms(s.Len()), s)
	at := func(h float64) Result { return got[rain-1-int(h*hours)] }
	assert.Equal(t, Ideal, at(8).State)
	assert.Equal(t, Result{State: Go, Limit: RainFree}, just(at(7.9)))
	assert.Equal(t, Go, at(4).State)
	assert.Equal(t, Result{State: Marginal, Limit: RainFree}, just(at(3.9)))
	assert.Equal(t, Marginal, at(2).State)
	assert.Equal(t, Result{State: NoGo, Limit: RainFree}, just(at(1.8)))
	assert.InDelta(t, 3.8333, at(3.9).Value, 1e-3)
	// After the rain the drying clock: 1 h hard, 2 h default.
	assert.Equal(t, Result{State: NoGo, Limit: DryOff}, just(got[rain+1]))
	assert.Equal(t, Result{State: Marginal, Limit: DryOff}, just(got[rain+1+hours]))
	assert.Equal(t, Ideal, got[rain+1+2*hours].State)
}

// The timing doubt of a bare probability touches ideal and go, never marginal.
func TestTimingDoubt(t *testing.T) {
	s := day(40 * hours)
	rain := 20 * hours
	s.Shifted = make([]bool, s.Len())
	for i := rain - hours; i <= rain; i++ {
		s.Shifted[i] = true
	}
	s.Wets[rain] = true
	got := run(class(t, "polymer-sealant"), terms(s.Len()), s)
	assert.Equal(t, Marginal, got[rain-1-4*hours].State, "an hour earlier it would be under 4 h")
	assert.Equal(t, Go, got[rain-1-5*hours].State)
	assert.Equal(t, Marginal, got[rain-1-2*hours].State, "the doubt alone is no block")
}

// The hours told are those that the state follows from: the stated ones wherever they
// refuse as much, the doubtful ones only where they alone deny the better state.
func TestTimingDoubt_ValueOfTheState(t *testing.T) {
	s := day(40 * hours)
	rain := 20 * hours
	s.Shifted = make([]bool, s.Len())
	for i := rain - 2*hours; i <= rain; i++ {
		s.Shifted[i] = true
	}
	s.Wets[rain] = true
	got := run(class(t, "polymer-sealant"), terms(s.Len()), s) // rain-free: hard 2 h, default 4, ideal 8
	for _, c := range []struct {
		left  int // slots from the work's end to the stated rain
		state State
		value float32 // h
		way   Way
	}{
		{10*hours - 1, Go, 8 - 1.0/6, Chance}, // stated almost 10 h, ideal
		{8*hours - 1, Go, 8 - 1.0/6, Plain},
		{6 * hours, Go, 6, Plain},
		{6*hours - 1, Marginal, 4 - 1.0/6, Chance},
		{4 * hours, Marginal, 2, Chance},
		{4*hours - 1, Marginal, 4 - 1.0/6, Plain},
		{2 * hours, Marginal, 2, Plain},
		{2*hours - 1, NoGo, 2 - 1.0/6, Plain},
	} {
		r := got[rain-1-c.left]
		assert.Equal(t, Result{State: c.state, Limit: RainFree}, just(r), "%d", c.left)
		assert.InDelta(t, c.value, r.Value, 1e-4, "%d", c.left)
		assert.Equal(t, c.way, r.Way, "%d", c.left)
	}
	assert.InDelta(t, 1, got[rain-1-4*hours].Past, 1e-4, "2 h short of 4 h, in a band of 2 h")
}

// Rain is no-go at once, and without a figure while nothing lies there that would
// break the bound by itself, or nobody knows what does.
func TestFallingWater(t *testing.T) {
	s := day(40 * hours)
	rain := 20 * hours
	for i := rain; i < rain+4; i++ {
		s.Wets[i] = true
	}
	s.Film[rain], s.Film[rain+1], s.KnownSurface[rain+2] = 0.4, 30, false
	s.Dripped = make([]bool, s.Len())
	s.Dripped[rain+4] = true
	got := run(class(t, "polymer-sealant"), terms(s.Len()), s)
	assert.Equal(t, Result{State: NoGo, Limit: Film, Way: Raining}, got[rain], "0.4 g/m² refuse nothing, the rain does")
	assert.Equal(t, Result{State: NoGo, Limit: Film, Value: 30, Bound: 1}, got[rain+1])
	assert.Equal(t, Result{State: NoGo, Limit: Film, Way: Raining}, got[rain+2], "how much lies there is not known")
	assert.Equal(t, Result{State: NoGo, Limit: Film, Way: Dripping}, got[rain+4])

	row := joined([][]Result{{got[rain]}}, 0.8, false)
	assert.Equal(t, Binding{Limit: Film, Way: Raining}, row.Binding(0), "no figure, and none made up")
	row = joined([][]Result{{got[rain]}, {got[rain+1]}, {got[rain+1]}}, 0.8, false)
	assert.Equal(t, Binding{Limit: Film, Value: 30, Bound: 1, HasValue: true}, row.Binding(0), "what most members say")
}

// The dew clock has one line, 1 K, for all bands.
func TestDewFree(t *testing.T) {
	s := day(40 * hours)
	for i := 20 * hours; i < s.Len(); i++ {
		s.Spread[i] = 0.9
	}
	got := run(class(t, "polymer-sealant"), terms(s.Len()), s)
	assert.Equal(t, Result{State: Go, Limit: DewFree}, just(got[20*hours-1-6*hours]))
	assert.Equal(t, Result{State: Marginal, Limit: DewFree}, just(got[20*hours-2-5*hours]))
	assert.Equal(t, Result{State: NoGo, Limit: DewFree}, just(got[20*hours-2-2*hours]))
}

// Where the data end first, the hours that they cover count: enough for the
// default is go, never ideal; less is unknown.
func TestDataEnd(t *testing.T) {
	s := day(20 * hours)
	got := run(class(t, "polymer-sealant"), terms(s.Len()), s)
	assert.Equal(t, Ideal, got[0].State)
	assert.Equal(t, Go, got[s.Len()-1-7*hours].State, "between 6 and 12 h of dew clock are seen")
	assert.Equal(t, Result{State: Unknown, Limit: Data}, just(got[s.Len()-1-5*hours]))
	gap := day(40 * hours)
	gap.KnownRain[15*hours] = false
	after := run(class(t, "polymer-sealant"), terms(gap.Len()), gap)
	assert.Equal(t, Unknown, after[15*hours-2*hours].State)
	assert.Equal(t, Unknown, after[15*hours+1].State, "nobody knows what fell in the gap")
	assert.Equal(t, Ideal, after[15*hours+1+2*hours].State, "the known past is long enough again")
}

// The past: unknown before the data unless somebody said, and a roof needs no word.
func TestUnknownPast(t *testing.T) {
	s := day(40 * hours)
	c := class(t, "polymer-sealant")
	tm := terms(s.Len())
	tm.PastKnown = false
	got := run(c, tm, s)
	assert.Equal(t, Result{State: Unknown, Limit: Data}, just(got[0]))
	assert.Equal(t, Unknown, got[2*hours-1].State)
	assert.Equal(t, Ideal, got[2*hours].State)
	tm.Roofed = true
	assert.Equal(t, Ideal, run(c, tm, s)[0].State)
	told := terms(s.Len())
	told.RainedAt = -7 // the rain ended an hour before the data begin
	assert.Equal(t, Result{State: Marginal, Limit: DryOff}, just(run(c, told, s)[0]))
}

// Dew is towelled once the spread is at its default and rising for 30 minutes,
// and stays off until new dew forms; without towels it has to go by itself.
func TestTowel(t *testing.T) {
	s := day(40 * hours)
	for i := range 10 * hours {
		s.Film[i] = 40
		s.Spread[i] = -1 + float32(i)*0.1
	}
	got := run(class(t, "polymer-sealant"), terms(s.Len()), s)
	assert.Equal(t, Result{State: NoGo, Limit: Film}, just(got[39]))
	assert.Less(t, got[41].State, NoGo, "3.1 K and rising")
	tm := terms(s.Len())
	tm.Towel = false
	assert.Equal(t, Film, run(class(t, "polymer-sealant"), tm, s)[41].Limit)
	// Wood: no towel, and dew restarts a drying of 4 h, hard 2.
	oil := run(class(t, "varnish"), terms(s.Len()), s)
	assert.Equal(t, Film, oil[41].Limit)
	assert.Equal(t, Result{State: NoGo, Limit: DryOff}, just(oil[10*hours+hours]))
	assert.Equal(t, Result{State: Marginal, Limit: DryOff}, just(oil[10*hours+3*hours]))
	// A class's own time after dew holds for those who do not towel either.
	own := class(t, "polymer-sealant")
	own.DewDryOff = products.Clock{Given: true, Ideal: 3, Default: 3, Hard: 1, HasHard: true}
	require.NotEqual(t, own.DryOff.Default, own.DewDryOff.Default)
	s.Film[10*hours] = 40
	at := 10*hours + 1 + 2*hours // two hours after the last of it
	r := run(own, tm, s)[at]
	assert.Equal(t, Result{State: Marginal, Limit: DryOff}, just(r))
	assert.InDelta(t, 3, r.Bound, 1e-6)
}

// Cure: any cold slot in the six hours after is marginal, more than half no-go.
func TestCure(t *testing.T) {
	c := class(t, "polymer-sealant")
	s := day(60 * hours)
	for i := 20 * hours; i < s.Len(); i++ {
		s.Surface[i] = 7
	}
	got := run(c, terms(s.Len()), s)
	assert.Equal(t, Ideal, got[20*hours-1-6*hours].State)
	r := got[20*hours-6*hours]
	assert.Equal(t, Result{State: Marginal, Limit: Cure}, just(r))
	assert.InDelta(t, 7, r.Value, 1e-6)
	assert.InDelta(t, 8, r.Bound, 1e-6)
	assert.Equal(t, Marginal, got[20*hours-1-3*hours].State)
	assert.Equal(t, Result{State: NoGo, Limit: Cure}, just(got[20*hours-3*hours]))
}

// Equivalent hours: at 10 °C a varnish's clocks run at half speed.
func TestEquivalentHours(t *testing.T) {
	c := class(t, "varnish")
	s := day(80 * hours)
	rain := 60 * hours
	s.Wets[rain] = true
	got := run(c, terms(s.Len()), s)
	assert.Equal(t, Go, got[rain-1-12*hours].State, "12 h at 20 °C are 12 h")
	for i := range s.Surface {
		s.Surface[i] = 12
	}
	cold := run(c, terms(s.Len()), s)
	assert.Equal(t, RainFree, cold[rain-1-18*hours].Limit)
	assert.Equal(t, Marginal, cold[rain-1-18*hours].State, "18 h at 12 °C are 10.3 h")
}

// Yes/no limits outrank measured ones, in their order; missing values never
// make go; a broken hard limit outranks missing data.
func TestOutranking(t *testing.T) {
	c := class(t, "polymer-sealant")
	s := day(40 * hours)
	s.Surface[60], s.Thunder[60] = 60, true
	s.KnownUV[61] = false
	s.KnownWind[62], s.Surface[62] = false, 60
	tm := terms(s.Len())
	tm.Fixed[63] = Machines
	s.Fog[64] = true
	got := run(c, tm, s)
	assert.Equal(t, Result{State: NoGo, Limit: Thunder}, just(got[60]))
	assert.Equal(t, Result{State: Unknown, Limit: Data}, just(got[61]))
	assert.Equal(t, Result{State: NoGo, Limit: SurfaceMax}, just(got[62]))
	assert.Equal(t, Result{State: NoGo, Limit: Machines}, just(got[63]))
	assert.Equal(t, Result{State: NoGo, Limit: Fog}, just(got[64]))
}

// Gusts at height and too small a wash section block.
func TestAccessAndSection(t *testing.T) {
	s := day(40 * hours)
	s.GustHigh[60] = 12.5
	s.Section[61] = 1.5
	tm := terms(s.Len())
	tm.Height, tm.GustMax, tm.Section = true, 12, 2
	got := run(class(t, "soap-wash"), tm, s)
	assert.Equal(t, Result{State: NoGo, Limit: Access}, just(got[60]))
	assert.Equal(t, Result{State: NoGo, Limit: Section}, just(got[61]))
	assert.True(t, got[62].State.Workable())
}

// Of two limits in the same state the one further past its bound in its band's
// own width binds.
func TestFurthestPastBinds(t *testing.T) {
	s := day(40 * hours)
	s.Surface[60], s.Air[60] = 33, 33 // 1 of 4 K past 32; 3 of 4 K past 30
	got := run(class(t, "polymer-sealant"), terms(s.Len()), s)[60]
	assert.Equal(t, AirMax, got.Limit)
	assert.InDelta(t, 0.75, got.Past, 1e-6)

	c := class(t, "polymer-sealant")
	share := func(l products.Limit, of float64) float32 {
		return float32(l.Default.Max + of*(l.Hard.Max-l.Default.Max))
	}
	s = day(40 * hours)
	s.Humidity[60], s.Wind[60] = share(c.HumidityPct, 0.4), share(c.WindMS, 0.6)
	require.Greater(t, s.Humidity[60]-float32(c.HumidityPct.Default.Max), s.Wind[60]-float32(c.WindMS.Default.Max), "more by the figures")
	got = run(c, terms(s.Len()), s)[60]
	assert.Equal(t, WindMax, got.Limit, "less by the widths")
	assert.InDelta(t, 0.6, got.Past, 1e-3)
}

// Taking knowledge away never makes a slot better, whatever else holds.
func TestMissingNeverBetter(t *testing.T) {
	cat, err := catalogue()
	require.NoError(t, err)
	ids := cat.IDs()
	rapid.Check(t, func(t *rapid.T) {
		c := class(t, rapid.SampledFrom(ids).Draw(t, "class"))
		n := 30 * hours
		s := day(n)
		for range 30 {
			i := rapid.IntRange(0, n-1).Draw(t, "slot")
			s.Surface[i] = float32(rapid.Float64Range(-5, 50).Draw(t, "surface"))
			s.Spread[i] = float32(rapid.Float64Range(-3, 15).Draw(t, "spread"))
			s.Film[i] = float32(rapid.Float64Range(0, 100).Draw(t, "film"))
			s.Wets[i] = rapid.Bool().Draw(t, "wets")
			s.UV[i] = float32(rapid.Float64Range(0, 12).Draw(t, "uv"))
		}
		full := run(c, terms(n), s)
		for range 10 {
			i := rapid.IntRange(0, n-1).Draw(t, "gap")
			for _, k := range []*[]bool{&s.KnownAir, &s.KnownWind, &s.KnownUV} {
				if rapid.Bool().Draw(t, "drop") {
					(*k)[i] = false
				}
			}
		}
		for i, r := range run(c, terms(n), s) {
			if r.State.Workable() {
				require.LessOrEqual(t, full[i].State, r.State, "slot %d", i)
			}
		}
	})
}

// More wind alone never improves what the wind limit gives.
func TestWindMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := day(30 * hours)
		v := float32(rapid.Float64Range(0, 15).Draw(t, "wind"))
		s.Wind[60] = v
		before := run(class(t, "spray-sealant"), terms(s.Len()), s)[60]
		s.Wind[60] = v + float32(rapid.Float64Range(0, 5).Draw(t, "more"))
		require.GreaterOrEqual(t, run(class(t, "spray-sealant"), terms(s.Len()), s)[60].State, before.State)
	})
}

// A cure that the air is too dry for is told by the driest air, as long as there
// is more of dryness than of cold; what is both counts for neither.
func TestCureInDryAir(t *testing.T) {
	c := class(t, "polymer-sealant") // its cure: 8 °C, here with 30 % at least, for six hours
	c.CureHumid = products.Band{Min: 30, HasMin: true}
	c.HumidityPct.Given = false // else the air of the work itself is refused
	s := day(60 * hours)
	for i := 20 * hours; i < s.Len(); i++ {
		s.Humidity[i] = 25
	}
	s.Humidity[20*hours+1] = 12
	got := run(c, terms(s.Len()), s)
	assert.Equal(t, Ideal, got[20*hours-1-6*hours].State)
	for i, want := range map[int]Result{
		20*hours - 6*hours:     {State: Marginal, Limit: Cure, Way: Arid, Value: 25, Bound: 30},
		20*hours - 6*hours + 1: {State: Marginal, Limit: Cure, Way: Arid, Value: 12, Bound: 30},
		20*hours - 3*hours:     {State: NoGo, Limit: Cure, Way: Arid, Value: 12, Bound: 30},
		20*hours + 1:           {State: NoGo, Limit: Cure, Way: Arid, Value: 25, Bound: 30},
	} {
		is := got[i]
		is.Past = 0
		assert.Equal(t, want, is, "slot %d", i)
	}

	for i := 20 * hours; i < s.Len(); i++ { // as cold as dry: told as cold
		s.Surface[i] = 5
	}
	r := run(c, terms(s.Len()), s)[20*hours-3*hours]
	assert.NotEqual(t, Arid, r.Way)
	assert.InDelta(t, 5, r.Value, 0)
	assert.InDelta(t, 8, r.Bound, 0)
	for i := 20 * hours; i < 21*hours; i++ { // one hour is dry and not cold
		s.Surface[i] = 20
	}
	r = run(c, terms(s.Len()), s)[20*hours-3*hours]
	assert.Equal(t, Result{State: NoGo, Limit: Cure}, just(r))
	assert.Equal(t, Arid, r.Way)
	assert.InDelta(t, 12, r.Value, 0)
	for i := range s.Humidity { // cold alone
		s.Humidity[i] = 55
	}
	assert.Equal(t, Plain, run(c, terms(s.Len()), s)[20*hours-2*hours].Way)
}

// How far a slot is past a bound is told in widths of the band beyond it; where a
// class gives no such band, in the usual unit.
func TestPastInWidths(t *testing.T) {
	band := func(most float64) products.Band { return products.Band{Max: most, HasMax: true} }
	c := products.Class{
		ID: "invented", WindMS: products.Limit{Given: true, Ideal: band(2), Default: band(6), Hard: band(8)},
		GustMS: products.Limit{Given: true, Ideal: band(10), Default: band(10)},
	}
	for _, x := range []struct {
		wind, gust float32
		want       Result
	}{
		{3, 1, Result{State: Go, Limit: WindMax, Value: 3, Bound: 2, Past: 0.25}},
		{7, 1, Result{State: Marginal, Limit: WindMax, Value: 7, Bound: 6, Past: 0.5}},
		{11, 1, Result{State: NoGo, Limit: WindMax, Value: 11, Bound: 8, Past: 1.5}},
		{1, 13, Result{State: Marginal, Limit: GustMax, Value: 13, Bound: 10, Past: 3}},
		{1, 1, Result{State: Ideal, Limit: WindMax, Value: 1, Bound: 2, Past: -0.25}},
		{7, 10.5, Result{State: Marginal, Limit: WindMax, Value: 7, Bound: 6, Past: 0.5}},
	} {
		s := day(1)
		s.Wind[0], s.Gust[0] = x.wind, x.gust
		assert.Equal(t, x.want, run(c, terms(1), s)[0])
	}
}

// Working hours halve per so many kelvin as the class says, 10 where it does not:
// 10 h at 30 °C are 20 h at 20 °C by the one and 14.1 by 20 K (Arrhenius' rule of
// thumb, 2^(ΔT/k)).
func TestHalvesPerK(t *testing.T) {
	for k, want := range map[float64]float64{0: 20, 10: 20, 20: 10 * math.Sqrt2} {
		c := products.Class{ID: "invented", Equivalent: true, HalvesPerK: k, RainFree: products.Clock{Given: true, Ideal: 100, Default: 50}}
		s := day(20 * hours)
		for i := range s.Surface {
			s.Surface[i] = 30
		}
		s.Wets[11*hours] = true
		got := run(c, terms(s.Len()), s)[hours-1]
		assert.Equal(t, RainFree, got.Limit)
		assert.InDelta(t, want, got.Value, 1e-3, "k = %v", k)
	}
}
