package surface

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// benchTrack is a track of a panel under the benchmark's summer weather, with
// what was measured.
func benchTrack(t require.TestingT, p Panel, measured ...Measured) *Track {
	f := benchForecast(3)
	w, s := bring(f, Site{WindShare: 0.89})
	e := benchExposed()
	e.Tilt = p.Tilt
	x := NewExposure(e, s, Model{})
	tr := NewTrack(w.Grid.N)
	tr.RunFrom(p, x, w, Model{}, measured)
	require.Len(t, tr.Surface, 3*24*PerHour)
	return tr
}

// dawnSlot is six in the morning of the second day at 70.74 W.
const dawnSlot = (24 + 11) * PerHour

func same32(t require.TestingT, a, b *Track, from, to int) {
	for i := from; i < to; i++ {
		require.Equal(t, [4]float32{a.Surface[i], a.Film[i], a.Bare[i], a.Sunlight[i]},
			[4]float32{b.Surface[i], b.Film[i], b.Bare[i], b.Sunlight[i]}, "slot %d", i)
		require.Equal(t, [3]bool{a.Settled[i], a.Doubt[i], a.Wets[i]}, [3]bool{b.Settled[i], b.Doubt[i], b.Wets[i]}, "slot %d", i)
	}
}

// The slot of the reading shows what was read, the slots before it stay to the
// bit, and the difference dies away: by more than half within the panel's time
// constant (capacity over exchange, here 5760 J/m²K over at least 10 W/m²K: 10
// minutes), to nothing within four hours.
func TestRunFrom_Surface(t *testing.T) {
	plain := benchTrack(t, benchPanel())
	read := float64(plain.Surface[dawnSlot]) - 4
	got := benchTrack(t, benchPanel(), Measured{Slot: dawnSlot, SurfaceC: read, HasSurface: true})
	assert.InDelta(t, read, got.Surface[dawnSlot], 1e-5)
	same32(t, plain, got, 0, dawnSlot)
	off := func(i int) float64 { return float64(plain.Surface[dawnSlot+i] - got.Surface[dawnSlot+i]) }
	assert.Greater(t, off(1), 0.1)
	assert.Less(t, off(1), 2.0)
	for i := 1; i < 12; i++ {
		assert.LessOrEqual(t, math.Abs(off(i)), math.Abs(off(i-1))+0.02, "after %d slots", i)
	}
	assert.InDelta(t, 0, off(4*PerHour), 0.05)
}

// A thick skin keeps what was read for longer than a thin one.
func TestRunFrom_ThickSkinRemembers(t *testing.T) {
	left := func(capacity float64) float64 {
		p := benchPanel()
		p.Capacity = capacity
		plain := benchTrack(t, p)
		got := benchTrack(t, p, Measured{Slot: dawnSlot, SurfaceC: float64(plain.Surface[dawnSlot]) - 4, HasSurface: true})
		return float64(plain.Surface[dawnSlot+PerHour] - got.Surface[dawnSlot+PerHour])
	}
	assert.Less(t, left(5760), 0.5)
	assert.Greater(t, left(38400), 0.7)
}

// A bound from above cools a panel that is warmer and leaves a colder one.
func TestRunFrom_AtMost(t *testing.T) {
	plain := benchTrack(t, benchPanel())
	was := float64(plain.Surface[dawnSlot])
	above := benchTrack(t, benchPanel(), Measured{Slot: dawnSlot, SurfaceC: was + 1, HasSurface: true, AtMost: true})
	same32(t, plain, above, 0, len(plain.Surface))
	below := benchTrack(t, benchPanel(), Measured{Slot: dawnSlot, SurfaceC: was - 1, HasSurface: true, AtMost: true})
	assert.InDelta(t, was-1, below.Surface[dawnSlot], 1e-5)
}

// Seen wet: at least a dew, no more than the panel holds, and it dries by itself.
// Seen dry: no film, and the temperature that the panel would have had.
func TestRunFrom_Film(t *testing.T) {
	for holding, want := range map[float64]float32{50: 50, 100: 50, 250: 125, 30: 30} {
		p := benchPanel()
		p.HoldingGM2 = holding
		got := benchTrack(t, p, Measured{Slot: dawnSlot, Film: SeenWet})
		assert.InDelta(t, want, got.Film[dawnSlot], 1e-3, "holding %v", holding)
		assert.Less(t, got.Film[dawnSlot+3*PerHour], want)
	}
	p := benchPanel()
	p.HoldingGM2 = 250
	wet := Measured{Slot: dawnSlot, Film: SeenWet}
	dried := benchTrack(t, p, wet, Measured{Slot: dawnSlot + 2, Film: SeenDry})
	assert.Greater(t, dried.Film[dawnSlot+1], float32(50))
	assert.Zero(t, dried.Film[dawnSlot+2])
	assert.Equal(t, dried.Bare[dawnSlot+2], dried.Surface[dawnSlot+2])
	more := benchTrack(t, p, wet, Measured{Slot: dawnSlot + 1, Film: SeenWet})
	assert.LessOrEqual(t, more.Film[dawnSlot+1], float32(126), "wet again is no wetter")
}

// Rain in the weather wets a panel that was seen dry.
func TestRunFrom_DryUntilTheRain(t *testing.T) {
	plain := benchTrack(t, benchPanel())
	rain := 39 * PerHour
	require.True(t, plain.Wets[rain])
	got := benchTrack(t, benchPanel(), Measured{Slot: rain - 1, Film: SeenDry})
	assert.Greater(t, got.Film[rain+3], float32(0))
}

// What nobody saw arrive is no longer in doubt once the panel was seen dry, and a
// temperature that was read has no start left to forget.
func TestRunFrom_SettlesDoubt(t *testing.T) {
	p := benchPanel()
	p.Capacity = 400000
	plain := benchTrack(t, p)
	require.True(t, plain.Doubt[2])
	require.False(t, plain.Settled[2])
	dry := benchTrack(t, p, Measured{Slot: 2, Film: SeenDry})
	assert.True(t, dry.Doubt[1])
	assert.False(t, dry.Doubt[2] || dry.Doubt[3])
	assert.False(t, dry.Settled[2])
	read := benchTrack(t, p, Measured{Slot: 2, SurfaceC: 15, HasSurface: true})
	assert.True(t, read.Settled[2] && read.Settled[3])
	assert.True(t, read.Doubt[2])
	bound := benchTrack(t, p, Measured{Slot: 2, SurfaceC: 15, HasSurface: true, AtMost: true})
	assert.False(t, bound.Settled[2])
}

// Readings outside the grid, or where the weather is not known, change nothing.
func TestRunFrom_LeftOut(t *testing.T) {
	plain := benchTrack(t, benchPanel())
	n := len(plain.Surface)
	got := benchTrack(t, benchPanel(), Measured{Slot: -1, SurfaceC: 50, HasSurface: true}, Measured{Slot: n, SurfaceC: 50, HasSurface: true})
	same32(t, plain, got, 0, n)

	f := benchForecast(2)
	f.Members[0].Columns[0].Known[20] = false
	w, s := bring(f, Site{WindShare: 1})
	x := NewExposure(benchExposed(), s, Model{})
	a, b := NewTrack(w.Grid.N), NewTrack(w.Grid.N)
	a.Run(benchPanel(), x, w, Model{})
	b.RunFrom(benchPanel(), x, w, Model{}, []Measured{{Slot: 20 * PerHour, SurfaceC: 50, HasSurface: true, Film: SeenWet}})
	same32(t, a, b, 0, w.Grid.N)
}

// Two readings in one slot: both count, the later last.
func TestRunFrom_TwiceInOneSlot(t *testing.T) {
	got := benchTrack(t, benchPanel(), Measured{Slot: dawnSlot, SurfaceC: 10, HasSurface: true},
		Measured{Slot: dawnSlot, SurfaceC: 11, HasSurface: true})
	assert.InDelta(t, 11, got.Surface[dawnSlot], 1e-5)
	one := benchTrack(t, benchPanel(), Measured{Slot: dawnSlot, SurfaceC: 11, HasSurface: true})
	for i := dawnSlot; i < len(one.Surface); i++ {
		require.InDelta(t, one.Surface[i], got.Surface[i], 0.01)
	}
}

// A reading equal to the model changes nothing to speak of, wherever it falls.
func TestRunFrom_AgreementChangesNothing(t *testing.T) {
	plain := benchTrack(t, benchPanel())
	rapid.Check(t, func(t *rapid.T) {
		i := rapid.IntRange(PerHour, len(plain.Surface)-1).Draw(t, "slot")
		m := Measured{Slot: i, SurfaceC: float64(plain.Surface[i]), HasSurface: true}
		got := benchTrack(t, benchPanel(), m)
		for k := range plain.Surface {
			require.InDelta(t, plain.Surface[k], got.Surface[k], 1e-3, "slot %d", k)
			require.InDelta(t, plain.Bare[k], got.Bare[k], 1e-3, "slot %d", k)
			require.InDelta(t, plain.Film[k], got.Film[k], 0.05, "slot %d", k)
		}
	})
}

// Nothing is allocated for readings.
func TestRunFrom_Allocates(t *testing.T) {
	f := benchForecast(2)
	w, s := bring(f, Site{WindShare: 1})
	x := NewExposure(benchExposed(), s, Model{})
	tr, p := NewTrack(w.Grid.N), benchPanel()
	read := []Measured{{Slot: 40, SurfaceC: 15, HasSurface: true, Film: SeenWet}}
	assert.Zero(t, testing.AllocsPerRun(5, func() { tr.Run(p, x, w, Model{}) }))
	assert.Zero(t, testing.AllocsPerRun(5, func() { tr.RunFrom(p, x, w, Model{}, read) }))
}
