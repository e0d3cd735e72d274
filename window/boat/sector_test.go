package boat

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

func TestTurn(t *testing.T) {
	for _, c := range []struct{ in, want float64 }{
		{0, 0}, {360, 0}, {-90, 270}, {725, 5}, {-1e-20, 0}, {359.5, 359.5}, {-720, 0},
	} {
		got := Turn(c.in)
		assert.InDelta(t, c.want, got, 1e-9)
		assert.False(t, math.Signbit(got), "no negative zero for %v", c.in)
	}
}

func TestTurn_Range(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := Turn(rapid.Float64Range(-1e6, 1e6).Draw(t, "deg"))
		assert.GreaterOrEqual(t, d, 0.0)
		assert.Less(t, d, 360.0)
	})
}

func TestSector_WrapsNorth(t *testing.T) {
	s := Sector{From: 300, To: 40, UpTo: 25}
	for _, b := range []float64{300, 350, 0, 360, 40} {
		assert.True(t, s.Contains(b), "%v", b)
	}
	for _, b := range []float64{41, 180, 299} {
		assert.False(t, s.Contains(b), "%v", b)
	}
	assert.Equal(t, 100.0, s.Span())
	assert.Equal(t, 360.0, Sector{From: 0, To: 360}.Span())
}

func TestSector_Hides(t *testing.T) {
	s := Sector{From: 60, To: 130, UpTo: 25}
	assert.True(t, s.Hides(24.9, 100))
	assert.False(t, s.Hides(25, 100), "the edge itself is free")
	assert.False(t, s.Hides(10, 140))
}

func TestSector_ComplementCoversTheRest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from := rapid.Float64Range(0, 359).Draw(t, "from")
		to := rapid.Float64Range(0, 359).Draw(t, "to")
		b := rapid.Float64Range(0, 359).Draw(t, "bearing")
		if from == to {
			return
		}
		s, rest := Sector{From: from, To: to}, Sector{From: to, To: from}
		assert.True(t, s.Contains(b) || rest.Contains(b))
		assert.InDelta(t, 360, s.Span()+rest.Span(), 1e-9)
	})
}

func TestSector_TrueTurnsWithTheBow(t *testing.T) {
	own := Sector{From: 170, To: 190, UpTo: 30, Relative: true}
	s := own.True(200)
	assert.False(t, s.Relative)
	assert.True(t, s.Hides(10, 20), "astern of a bow at 200 is 20")
	assert.False(t, s.Hides(10, 180))
	true1 := Sector{From: 10, To: 20}
	assert.Equal(t, true1, true1.True(90))
}

func TestSector_Stands(t *testing.T) {
	t0 := time.Date(2026, 9, 7, 12, 30, 0, 0, time.UTC)
	s := Sector{Until: t0, HasUntil: true}
	assert.True(t, s.Stands(t0.Add(-time.Second)))
	assert.False(t, s.Stands(t0))
	assert.True(t, Sector{}.Stands(t0))
}

func TestSpan_Holds(t *testing.T) {
	a := time.Date(2026, 9, 7, 8, 0, 0, 0, time.UTC)
	b := a.Add(time.Hour)
	s := Span{a, b}
	assert.True(t, s.Holds(a))
	assert.False(t, s.Holds(b))
	assert.False(t, s.Holds(a.Add(-1)))
	assert.True(t, Span{To: b}.Holds(a.AddDate(-1, 0, 0)))
	assert.True(t, Span{From: a}.Holds(a.AddDate(1, 0, 0)))
}
