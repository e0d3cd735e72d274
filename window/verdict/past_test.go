package verdict

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/products"
)

// What the person said of the last rain or wash outranks what the data saw
// before it, and no gap before the word was given undoes it.
func TestToldPast(t *testing.T) {
	c := class(t, "polymer-sealant") // dry-off 2 h, hard 1
	s := day(40 * hours)
	s.Wets[5*hours] = true
	tm := terms(s.Len())
	tm.RainedAt, tm.Now = 10*hours, 10*hours+3
	got := run(c, tm, s)
	assert.Equal(t, Result{State: NoGo, Limit: DryOff}, just(got[10*hours+3]), "the data's own rain is older")
	assert.Equal(t, Ideal, got[12*hours+1].State)
	s.KnownRain[8*hours] = false
	assert.Equal(t, got[10*hours+3:], run(c, tm, s)[10*hours+3:], "a gap that the word covers")
	edge := *s
	edge.KnownRain = append([]bool(nil), s.KnownRain...)
	edge.KnownRain[tm.Now] = false // the word holds up to now and not beyond
	assert.Equal(t, Unknown, run(c, tm, &edge)[tm.Now+1].State, "a gap that begins now")
	s.KnownRain[11*hours] = false
	after := run(c, tm, s)
	assert.Equal(t, Unknown, after[11*hours+1].State, "a gap after it")
	assert.Equal(t, Ideal, after[13*hours+1].State)
	washed := terms(s.Len())
	washed.PastKnown, washed.WashedAt = false, 20*hours
	assert.Equal(t, Result{State: NoGo, Limit: DryOff}, just(run(c, washed, s)[20*hours+3]))
	washed.Roofed = true
	assert.Equal(t, Result{State: NoGo, Limit: DryOff}, just(run(c, washed, s)[20*hours+3]), "a roof keeps no wash off")
}

// Dew before the data, or in a gap, is seen by nobody: a class whose dry-off it
// restarts has to wait until the known past is long enough.
func TestUnseenDew(t *testing.T) {
	c := class(t, "varnish") // dew restarts 4 h, hard 2
	s := day(60 * hours)
	got := run(c, terms(s.Len()), s)
	assert.Equal(t, Result{State: Unknown, Limit: Data}, just(got[0]))
	assert.Equal(t, Unknown, got[4*hours-1].State)
	assert.Equal(t, Ideal, got[4*hours].State)
	s.KnownSurface[10*hours] = false
	got = run(c, terms(s.Len()), s)
	assert.Equal(t, Unknown, got[10*hours+1].State)
	assert.Equal(t, Ideal, got[14*hours+1].State)
}

// Water that may lie on the panel makes it unknown until a towel takes it off.
func TestDoubtfulWater(t *testing.T) {
	s := day(40 * hours)
	s.Doubt = make([]bool, s.Len())
	for i := range 6 * hours {
		s.Doubt[i] = true
		s.Spread[i] = 1 + float32(i)*0.1
	}
	c := class(t, "polymer-sealant")
	got := run(c, terms(s.Len()), s)
	assert.Equal(t, Result{State: Unknown, Limit: Data}, just(got[19]), "2.9 K")
	assert.Equal(t, Go, got[21].State, "3.1 K and rising")
	tm := terms(s.Len())
	tm.Towel = false
	assert.Equal(t, Unknown, run(c, tm, s)[21].State)
	assert.True(t, run(class(t, "soap-wash"), terms(s.Len()), s)[0].State.Workable(), "water does no harm")
	_, held := NewJudge(c, tm.Terms).Explain(tm.sees(s), 19)
	assert.Equal(t, Held{Limit: Film, State: Unknown, Ideal: 1, Default: 1, Hard: 1, HasHard: true}, held[0])
}

// What was towelled off before a gap may have come back in it.
func TestTowelForgottenInGap(t *testing.T) {
	s := day(40 * hours)
	for i := range 20 * hours {
		s.Film[i] = 40
		s.Spread[i] = 3 + min(float32(i)*0.01, 0.5)
	}
	got := run(class(t, "polymer-sealant"), terms(s.Len()), s)
	assert.True(t, got[10*hours].State.Workable())
	s.KnownSurface[9*hours] = false
	assert.Equal(t, Film, run(class(t, "polymer-sealant"), terms(s.Len()), s)[10*hours].Limit)
}

// The cure asks for every slot of the longer default clock: one that nobody
// knows makes it unknown, unless the others refuse it already.
func TestCureUnknown(t *testing.T) {
	c := class(t, "professional-ceramic") // rain-free 12 h, dew-free 6 h
	s := day(80 * hours)
	i := 20 * hours
	require.Equal(t, Ideal, run(c, terms(s.Len()), s)[i].State)
	s.KnownSurface[i+9*hours] = false
	assert.Equal(t, Result{State: Unknown, Limit: Data}, just(run(c, terms(s.Len()), s)[i]))
	for k := i + 1; k <= i+8*hours; k++ {
		s.Surface[k] = 5
	}
	assert.Equal(t, Result{State: NoGo, Limit: Cure}, just(run(c, terms(s.Len()), s)[i]))
}

// Equivalent hours end where the surface is no longer known, though the rain is.
func TestEquivalentHoursEnd(t *testing.T) {
	s := day(80 * hours)
	for i := 25 * hours; i < s.Len(); i++ {
		s.KnownSurface[i] = false
	}
	got := run(class(t, "varnish"), terms(s.Len()), s)[20*hours]
	assert.Equal(t, Result{State: Unknown, Limit: Data}, just(got))
}

// Of several broken yes/no limits the first of the list is named; a panel on
// which it rains is wet even where wood drinks it up.
func TestFirstOfTheList(t *testing.T) {
	s := day(60 * hours)
	i := 50 * hours
	s.Thunder[i], s.Wets[i+1] = true, true
	tm := terms(s.Len())
	for limit, want := range map[Limit]Limit{Salt: Thunder, Water: Water, None: Thunder} {
		tm.Fixed[i] = limit
		got := run(class(t, "polymer-sealant"), tm, s)[i]
		assert.Equal(t, Result{State: NoGo, Limit: want}, just(got))
	}
	tm.Soaks = true
	assert.Equal(t, Film, run(class(t, "teak-oil"), tm, s)[i+1].Limit)
	tm.Fixed[i] = Salt
	broken, _ := NewJudge(class(t, "polymer-sealant"), tm.Terms).Explain(tm.sees(s), i)
	assert.Equal(t, []Held{{Limit: Salt, State: NoGo}, {Limit: Thunder, State: NoGo}}, broken)
}

// An inspection needs sun on the panel, or a lamp.
func TestInspectionLight(t *testing.T) {
	s := day(40 * hours)
	s.Sunlight[60], s.Sunlight[61] = 399, 400
	tm := terms(s.Len())
	tm.LightMin = 400
	got := run(class(t, "polymer-sealant"), tm, s)
	assert.Equal(t, Result{State: NoGo, Limit: Daylight}, just(got[60]))
	assert.NotEqual(t, Daylight, got[61].Limit)
}

// A clock that the data's end stopped after its ideal hours is not the limit
// with the least room: how much room it has nobody knows.
func TestEndlessClockNeverNearest(t *testing.T) {
	s := day(40 * hours)
	c := class(t, "polymer-sealant") // ideal 12 h of dew clock
	i := s.Len() - 1 - 12*hours
	got := run(c, terms(s.Len()), s)[i]
	assert.Equal(t, Ideal, got.State)
	assert.NotContains(t, []Limit{RainFree, DewFree}, got.Limit)
	s.Spread[s.Len()-1] = 0
	assert.Equal(t, DewFree, run(c, terms(s.Len()), s)[i-1].Limit, "water at 12 h and a slot is near")

	rain := products.Class{ID: "invented", RainFree: products.Clock{Given: true, Ideal: 1, Default: 1}}
	s = day(3 * hours)
	assert.Equal(t, Result{State: Ideal}, just(run(rain, terms(s.Len()), s)[s.Len()-1-hours]), "it has run for its hour to the end")
	s.Wets[s.Len()-1] = true
	assert.Equal(t, Result{State: Ideal, Limit: RainFree}, just(run(rain, terms(s.Len()), s)[s.Len()-2-hours]))
}

// Taking away anything that has no substitute, the past, the rain or the
// surface too, never turns a slot that was refused into one to work in.
func TestNoGapMakesWorkable(t *testing.T) {
	ids := []string{"polymer-sealant", "varnish", "professional-ceramic", "teak-oil", "compound-rotary", "moisture-cure-sealant"}
	rapid.Check(t, func(t *rapid.T) {
		c := class(t, rapid.SampledFrom(ids).Draw(t, "class"))
		n := 60 * hours
		s := day(n)
		for range 20 {
			i, k := rapid.IntRange(0, n-1).Draw(t, "slot"), rapid.IntRange(1, 3*hours).Draw(t, "slots")
			surface := float32(rapid.Float64Range(-5, 45).Draw(t, "surface"))
			spread := float32(rapid.Float64Range(-3, 15).Draw(t, "spread"))
			wets := rapid.IntRange(0, 9).Draw(t, "wets") == 0
			for m := i; m < min(i+k, n); m++ {
				s.Surface[m], s.Spread[m], s.Wets[m] = surface, spread, wets
			}
		}
		tm := terms(n)
		tm.Towel = rapid.Bool().Draw(t, "towel")
		full := run(c, tm, s)
		tm.PastKnown = rapid.Bool().Draw(t, "told")
		for range rapid.IntRange(1, 4).Draw(t, "gaps") {
			i := rapid.IntRange(0, n-1).Draw(t, "gap")
			rain := rapid.Bool().Draw(t, "rain")
			for m := i; m < min(i+rapid.IntRange(1, 12).Draw(t, "long"), n); m++ {
				s.KnownSurface[m] = false
				s.KnownRain[m] = s.KnownRain[m] && !rain
			}
		}
		for i, r := range run(c, tm, s) {
			if r.State.Workable() {
				require.True(t, full[i].State.Workable(), "slot %d was %v", i, full[i])
			}
		}
	})
}

// A refusal's confidence is the share of members that are in that state in
// every one of its slots; what the shortest block refuses has no doubt.
func TestRefusalConfidence(t *testing.T) {
	m := [][]Result{}
	for _, word := range []string{"xxxx", "xxgx", "gxxx", "xxxx", "gggg"} {
		m = append(m, shownRow(word).board.of(0))
	}
	r := joined(m, 0.8, false)
	_, refusals := r.Runs(0, 4)
	require.Len(t, refusals, 1)
	assert.InDelta(t, 0.4, refusals[0].Confidence, 1e-6)
	short := shownRow("xxggxx")
	short.BlockShort(0, 6, 12)
	_, refusals = short.Runs(0, 6)
	require.Len(t, refusals, 3)
	for _, x := range refusals {
		assert.InDelta(t, 1, x.Confidence, 1e-6)
	}
}

// The bound shown is one of the class's, though some members have passed the
// next one too; and "at least that share" is not spoiled by arithmetic dust.
func TestBindingBound(t *testing.T) {
	m := futures(Marginal, Marginal, NoGo, NoGo, NoGo)
	for i := range m {
		m[i][0].Bound = 32
		if m[i][0].State == NoGo {
			m[i][0].Bound = 36
		}
	}
	b := joined(append(m[:2:2], m[2]), 0.6, false).Binding(0)
	assert.InDelta(t, 32, b.Bound, 1e-9)
	b = joined(m, 0.8, false).Binding(0)
	assert.InDelta(t, 36, b.Bound, 1e-9)
	states := make([]State, 20)
	for i := range states {
		states[i] = Go
		if i >= 11 {
			states[i] = Unknown
		}
	}
	assert.Equal(t, Go, joined(futures(states...), 0.55, false).Shown[0].State, "11 of 20 are 55 %")
}

// Joint counts members one by one, however many words of bits they take.
func TestJointCounts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 200).Draw(t, "members")
		m := make([][]Result, n)
		for i := range m {
			for range 4 {
				m[i] = append(m[i], Result{State: State(rapid.IntRange(0, 4).Draw(t, "state"))})
			}
		}
		dressed := rapid.Bool().Draw(t, "dressed") && n > 1
		r := joined(m, 0.8, dressed)
		voters := m
		if dressed {
			voters = m[1:]
		}
		for s := Ideal; s <= Marginal; s++ {
			hit := 0
			for _, v := range voters {
				if max(v[1].State, v[2].State) <= s {
					hit++
				}
			}
			require.InDelta(t, float64(hit)/float64(len(voters)), r.Joint(1, 3, s), 1e-6)
		}
	})
}

// Nothing that a judge says is NaN, and only clocks without an end are large.
func TestNumbersAreNumbers(t *testing.T) {
	s := day(40 * hours)
	s.Surface[30], s.Spread[40], s.Humidity[50] = -40, -20, 100
	cat, err := catalogue()
	require.NoError(t, err)
	for _, id := range cat.IDs() {
		for _, r := range run(class(t, id), terms(s.Len()), s) {
			for _, v := range []float32{r.Value, r.Bound, r.Past} {
				require.False(t, math.IsNaN(float64(v)) || math.IsInf(float64(v), 0), "%s: %+v", id, r)
			}
		}
	}
}
