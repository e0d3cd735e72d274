package verdict

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/products"
)

// plainly is a verdict's state as the rules say it, one slot and one limit at a time,
// from the class alone: what Judge.Run does an hour at a time with what it remembers.
type plainly struct {
	c  products.Class
	tm setting
	s  *Series
}

// state is the worst that any limit gives: no-go before unknown before the rest.
func (p plainly) state(i int) State {
	s, c := p.s, p.c
	if p.tm.Fixed[i] != None || s.Thunder[i] || p.salty(i) || c.HasFilmMax && (p.wet(i) || s.Fog[i]) {
		return NoGo
	}
	worst := Ideal
	if !s.KnownAir[i] || !s.KnownSurface[i] || !s.KnownRain[i] || c.HasFilmMax && p.mayBeWet(i) {
		worst = Unknown
	}
	sunCounts := !c.CoolSun || !s.KnownSurface[i] || !c.SurfaceC.Ideal.HasMax || s.Surface[i] > float32(c.SurfaceC.Ideal.Max)
	for _, m := range []struct {
		l     products.Limit
		v     float32
		known bool
		soft  bool
	}{
		{c.AirC, s.Air[i], s.KnownAir[i], false},
		{c.HumidityPct, s.Humidity[i], s.KnownAir[i], false},
		{c.SurfaceC, s.Surface[i], s.KnownSurface[i], false},
		{c.SpreadK, s.Spread[i], s.KnownSurface[i], false},
		{c.WindMS, s.Wind[i], s.KnownWind[i], false},
		{c.GustMS, s.Gust[i], s.KnownWind[i], false},
		{p.dusty(c.WindMS), s.DustWind[i], s.KnownWind[i], false},
		{p.dusty(c.GustMS), s.DustGust[i], s.KnownWind[i], false},
		{c.SunlightWM2, s.Sunlight[i], s.KnownSurface[i], c.CoolSun},
		{c.UVIndex, s.UV[i], s.KnownUV[i], c.CoolSun},
	} {
		if !m.l.Given {
			continue
		}
		got := Unknown
		if m.known {
			got = inBands(m.l, m.v)
			if m.soft { // cool sun never blocks, and does not count on a cool panel
				got = min(got, Marginal)
				if !sunCounts {
					got = Ideal
				}
			}
		}
		worst = max(worst, got)
	}
	return max(worst, p.clocks(i), p.cure(i))
}

// dusty is a limit of the wind with dust upwind: what is usual is hard, what is ideal
// usual.
func (p plainly) dusty(l products.Limit) products.Limit {
	half := products.Band{Max: l.Ideal.Max / 2, HasMax: l.Ideal.HasMax}
	return products.Limit{Given: l.Given && p.tm.Dust, Hard: l.Default, Default: l.Ideal, Ideal: half}
}

// salty reports whether salt lies on the panel: since any came, or, with a wash to
// come, since less than it takes to wash it off and to dry.
func (p plainly) salty(i int) bool {
	for k := i; k >= 0; k-- {
		if !p.s.SaltFalls[k] {
			continue
		}
		dry := 0.0
		if d := p.c.DryOff; d.Given {
			dry = d.Default
			if d.HasHard {
				dry = min(dry, d.Hard)
			}
		}
		switch p.tm.Salt {
		case SaltLies:
			return true
		case SaltFalls:
			return float64(i-k-1) <= math.Ceil(dry/SlotHours-1e-6)
		default:
			return false
		}
	}
	return false
}

func inBands(l products.Limit, v float32) State {
	outside := func(b products.Band) bool {
		return b.HasMin && v < float32(b.Min) || b.HasMax && v > float32(b.Max)
	}
	switch {
	case outside(l.Hard):
		return NoGo
	case outside(l.Default):
		return Marginal
	case outside(l.Ideal):
		return Go
	}
	return Ideal
}

// since is what a clock allows that has run for so many hours; where it is blind,
// more may have passed than it shows.
func since(k products.Clock, hours float32, blind bool) State {
	switch {
	case !k.Given || hours >= float32(max(k.Ideal, k.Default)):
		return Ideal
	case hours >= float32(k.Default):
		return Go
	case blind:
		return Unknown
	case k.HasHard && hours < float32(k.Hard):
		return NoGo
	}
	return Marginal
}

// clocks asks how long it has been dry, and stays dry.
func (p plainly) clocks(i int) State {
	s, c := p.s, p.c
	dry, blind := p.dryFor(i)
	worst := since(c.DryOff, dry, blind)
	if dewDry := c.DewDryOff; !p.towels() {
		if !dewDry.Given && c.DryOff.Given && !p.tm.Towel {
			dewDry = c.DryOff
		}
		dewless, unseen := p.dewlessFor(i)
		worst = max(worst, since(dewDry, dewless, unseen))
	}
	known := s.KnownRain
	if c.Equivalent {
		known = s.KnownSurface
	}
	hours, unseen := p.until(i, known, func(k int) bool { return s.Wets[k] })
	worst = max(worst, since(c.RainFree, hours, unseen))
	if s.Shifted != nil {
		sure := c.RainFree
		sure.HasHard = false
		hours, unseen = p.until(i, known, func(k int) bool { return s.Shifted[k] })
		worst = max(worst, since(sure, hours, unseen))
	}
	hours, unseen = p.until(i, s.KnownSurface, func(k int) bool { return s.Spread[k] < 1 })
	return max(worst, since(c.DewFree, hours, unseen))
}

// until is how long it is from the end of slot i to the first that stops the clock.
func (p plainly) until(i int, known []bool, stops func(int) bool) (hours float32, blind bool) {
	end := i + 1
	for end < p.s.Len() && known[end] && !stops(end) {
		end++
	}
	if !p.c.Equivalent {
		return float32(end-i-1) * SlotHours, end == p.s.Len() || !known[end]
	}
	// The difference of sums from the beginning, as floating-point sums are not
	// the same from elsewhere.
	sum := func(to int) float64 {
		x := 0.0
		for k := range to {
			if p.s.KnownSurface[k] {
				x += math.Exp2((float64(p.s.Surface[k])-20)/p.c.HalvesPerK) * SlotHours
			}
		}
		return x
	}
	return float32(sum(end) - sum(i+1)), end == p.s.Len() || !known[end]
}

// dryFor is how long it has been since water last arrived.
func (p plainly) dryFor(i int) (hours float32, blind bool) {
	for k := i - 1; k >= 0; k-- {
		if p.s.KnownRain[k] && p.s.Wets[k] {
			return float32(i-k-1) * SlotHours, false
		}
		if !p.s.KnownRain[k] && !p.tm.Roofed && !(p.tm.PastKnown && k < p.tm.Now) {
			if p.tm.WashedAt > k { // the wash is the last that is known
				break
			}
			return float32(i-k-1) * SlotHours, true
		}
	}
	if last := p.last(); last > math.MinInt32 {
		return float32(max(i-last-1, 0)) * SlotHours, false
	}
	if p.tm.PastKnown || p.tm.Roofed {
		return far, false
	}
	return float32(i) * SlotHours, true
}

// last is the slot before the data in which the person says that water arrived.
func (p plainly) last() int {
	if p.tm.PastKnown {
		return max(p.tm.WashedAt, p.tm.RainedAt)
	}
	return p.tm.WashedAt
}

// dewlessFor is how long it has been since dew last lay.
func (p plainly) dewlessFor(i int) (hours float32, blind bool) {
	for k := i - 1; k >= 0; k-- {
		if !p.s.KnownSurface[k] || p.s.Doubt != nil && p.s.Doubt[k] {
			return float32(i-k-1) * SlotHours, true
		}
		if p.s.Film[k] > 1 {
			return float32(i-k-1) * SlotHours, false
		}
	}
	return float32(i) * SlotHours, true
}

func (p plainly) towels() bool { return p.tm.Towel && p.c.Towel }

// towelled reports whether a towel has been over the panel since water last came.
func (p plainly) towelled(i int) bool {
	s := p.s
	for k := i; k >= 0; k-- {
		if !s.KnownSurface[k] || s.Wets[k] || s.Spread[k] < 0 {
			return false
		}
		lies := s.Film[k] > float32(p.c.FilmMaxGM2) || s.Doubt != nil && s.Doubt[k]
		if p.towels() && lies && s.Spread[k] >= float32(p.c.SpreadK.Default.Min) && k >= 3 && s.KnownSurface[k-3] && s.Spread[k] > s.Spread[k-3] {
			return true
		}
	}
	return false
}

func (p plainly) wet(i int) bool {
	s := p.s
	lies := s.KnownSurface[i] && s.Film[i] > float32(p.c.FilmMaxGM2)
	return s.Wets[i] && !s.Fog[i] || s.Dripped != nil && s.Dripped[i] || lies && !p.tm.Soaks && !p.towelled(i)
}

func (p plainly) mayBeWet(i int) bool {
	return p.s.Doubt != nil && p.s.Doubt[i] && !p.tm.Soaks && !p.towelled(i)
}

// cure counts the slots, while the longer after-clock runs, in which it does not.
func (p plainly) cure(i int) State {
	s, c := p.s, p.c
	slots := int(math.Ceil(float64(float32(max(c.RainFree.Default, c.DewFree.Default))) / SlotHours))
	if !c.HasCureMin || slots == 0 {
		return Ideal
	}
	spoilt, unknown := 0, false
	for k := i + 1; k <= i+slots; k++ {
		switch {
		case k >= s.Len() || !s.KnownSurface[k]:
			unknown = true
		case s.Surface[k] < float32(c.CureMinC), c.CureHumid.HasMin && s.KnownAir[k] && s.Humidity[k] < float32(c.CureHumid.Min):
			spoilt++
		}
	}
	switch {
	case 2*spoilt > slots:
		return NoGo
	case unknown:
		return Unknown
	case spoilt > 0:
		return Marginal
	}
	return Ideal
}

// weather draws a series with gaps, rain, dew and all else that a judge may meet.
func weather(t *rapid.T, n int) *Series {
	s := day(n)
	s.Doubt, s.Dripped, s.Shifted = make([]bool, n), make([]bool, n), make([]bool, n)
	s.SaltFalls, s.SaltLies = make([]bool, n), make([]bool, n)
	s.DustWind, s.DustGust = make([]float32, n), make([]float32, n)
	stretch := func(name string, least int, f func(i int)) {
		for range rapid.IntRange(least, least+6).Draw(t, name) {
			from, long := rapid.IntRange(0, n-1).Draw(t, "from"), rapid.IntRange(1, 4*hours).Draw(t, "long")
			for i := from; i < min(from+long, n); i++ {
				f(i)
			}
		}
	}
	for _, c := range []struct {
		name      string
		of        []float32
		low, high int
	}{
		{"air", s.Air, -2, 42}, {"humidity", s.Humidity, 5, 100}, {"wind", s.Wind, 0, 15}, {"gust", s.Gust, 0, 20},
		{"surface", s.Surface, -2, 60}, {"spread", s.Spread, -3, 12}, {"film", s.Film, 0, 60}, {"sun", s.Sunlight, 0, 1000}, {"uv", s.UV, 0, 11},
	} {
		stretch(c.name, 1, func(i int) { c.of[i] = float32(rapid.IntRange(c.low, c.high).Draw(t, c.name)) })
	}
	for _, c := range []struct {
		name string
		of   []bool
		to   bool
	}{
		{"wets", s.Wets, true}, {"shifted", s.Shifted, true}, {"doubt", s.Doubt, true}, {"drips", s.Dripped, true}, {"salt", s.SaltFalls, true},
		{"thunder", s.Thunder, true}, {"fog", s.Fog, true}, {"no wind", s.KnownWind, false}, {"no uv", s.KnownUV, false},
		{"no air", s.KnownAir, false}, {"no rain", s.KnownRain, false}, {"no surface", s.KnownSurface, false},
	} {
		stretch(c.name, 0, func(i int) { c.of[i] = c.to })
	}
	stretch("dust", 0, func(i int) { s.DustWind[i], s.DustGust[i] = s.Wind[i], s.Gust[i] })
	for i := range s.Wets {
		s.SaltLies[i] = s.SaltFalls[i] || i > 0 && s.SaltLies[i-1]
		s.Shifted[i] = s.Shifted[i] || s.Wets[i]
		s.KnownSurface[i] = s.KnownSurface[i] && s.KnownAir[i] && s.KnownRain[i]
	}
	if rapid.Bool().Draw(t, "no timing doubt") {
		s.Shifted = nil
	}
	return s
}

// pasts draws what is told of the time before the data.
func pasts(t *rapid.T, n int) setting {
	tm := terms(n)
	tm.Towel, tm.Soaks = rapid.Bool().Draw(t, "towel"), rapid.IntRange(0, 4).Draw(t, "soaks") == 0
	tm.PastKnown, tm.Roofed = rapid.Bool().Draw(t, "told"), rapid.IntRange(0, 4).Draw(t, "roofed") == 0
	if rapid.Bool().Draw(t, "rained") {
		tm.RainedAt = -rapid.IntRange(1, 40*hours).Draw(t, "rained at")
	}
	tm.Salt, tm.Dust = SaltRule(rapid.IntRange(0, 2).Draw(t, "salt rule")), rapid.Bool().Draw(t, "dusty")
	tm.Now = rapid.IntRange(0, n/2).Draw(t, "now")
	for i := range tm.Fixed {
		if i%17 == 0 {
			tm.Fixed[i] = rapid.SampledFrom([]Limit{Hours, Machines, Finish}).Draw(t, "fixed")
		}
	}
	return tm
}

// Judging an hour at a time gives what the rules give slot by slot, for every class
// of the catalogue and any weather; and a bare slot says the same whichever others
// are asked for, and whatever a sight saw before.
func TestRunKeepsToTheRules(t *testing.T) {
	cat, err := catalogue()
	require.NoError(t, err)
	used := &Sight{}
	rapid.Check(t, func(t *rapid.T) {
		const n = 30 * hours
		c := class(t, rapid.SampledFrom(cat.IDs()).Draw(t, "class"))
		s, tm := weather(t, n), pasts(t, n)
		full := run(c, tm, s)
		p := plainly{c, tm, s}
		for i, r := range full {
			require.Equal(t, p.state(i), r.State, "slot %d of %s: %v", i, c.ID, r)
		}
		open := make([]bool, n)
		for i := range open {
			open[i] = rapid.IntRange(0, 2).Draw(t, "open") > 0
		}
		from := rapid.IntRange(0, n/2).Draw(t, "horizon")
		asked := NewAsked(open, from, n-3)
		used.Look(s, tm.Past, asked)
		board := NewBoard(asked, 1)
		NewJudge(c, tm.Terms).Run(used, board, 0)
		some := board.of(0)
		var want []Result
		states := make([]State, n)
		for i, r := range full {
			states[i] = NoGo
			if open[i] && i >= from && i < n-3 {
				want, states[i] = append(want, r), r.State
			}
		}
		require.Len(t, some, len(want))
		for k := range want {
			require.Equal(t, want[k], some[k])
		}
		require.Equal(t, states, board.States(0))
	})
}

// One judge, one sight and one class after another: nothing is carried over.
func TestNothingIsCarriedOver(t *testing.T) {
	cat, err := catalogue()
	require.NoError(t, err)
	rapid.Check(t, func(t *rapid.T) {
		const n = 12 * hours
		tm := pasts(t, n)
		first, second := weather(t, n), weather(t, n)
		x := tm.sees(first)
		for _, id := range cat.IDs() {
			j := NewJudge(class(t, id), tm.Terms)
			require.Equal(t, run(class(t, id), tm, first), judged(j, x), id)
			require.Equal(t, run(class(t, id), tm, second), judged(j, tm.sees(second)), id)
		}
	})
}

// Chunks cover what is asked once, in order, and none is longer than an hour.
func TestAsked(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		open := rapid.SliceOfN(rapid.Bool(), 1, 200).Draw(t, "open")
		from := rapid.IntRange(0, len(open)).Draw(t, "from")
		to := rapid.IntRange(from, len(open)).Draw(t, "to")
		seen := make([]bool, len(open))
		last := 0
		NewAsked(open, from, to).Each(func(a, b int) {
			assert.True(t, a >= last && a < b && b-a <= chunkLen)
			last = b
			for i := a; i < b; i++ {
				seen[i] = true
			}
		})
		want := slices.Clone(open)
		for i := range want {
			want[i] = want[i] && i >= from && i < to
		}
		assert.Equal(t, want, seen)
	})
}
