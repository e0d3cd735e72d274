package products

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func between(low, high float64) Band { return Band{low, high, true, true} }
func atLeast(x float64) Band         { return Band{Min: x, HasMin: true} }
func atMost(x float64) Band          { return Band{Max: x, HasMax: true} }

func TestBandString(t *testing.T) {
	assert.Equal(t, "10–30", between(10, 30).String())
	assert.Equal(t, "24", between(24, 24).String())
	assert.Equal(t, "≤ 28.5", atMost(28.5).String())
	assert.Equal(t, "≥ 3", atLeast(3).String())
	assert.Equal(t, "any", Band{}.String())
	assert.Equal(t, "≤ 15.556", atMost(60.0/9*5-160.0/9).String(), "three decimals do")
}

func TestBandContains(t *testing.T) {
	b := between(10, 30)
	for x, want := range map[float64]bool{9.99: false, 10: true, 20: true, 30: true, 30.01: false} {
		assert.Equal(t, want, b.Contains(x), "%v", x)
	}
	assert.True(t, Band{}.Contains(-1e9))
	assert.False(t, atLeast(3).Contains(2))
	assert.True(t, atMost(3).Contains(2))
}

func TestMerge(t *testing.T) {
	p := func(b Band) *Band { return &b }
	class := Limit{Given: true, Ideal: between(15, 27), Default: between(10, 32), Hard: between(8, 36)}
	bare := Limit{Given: true, Ideal: between(10, 32), Default: between(10, 32)}
	tests := []struct {
		name  string
		base  Limit
		offer offer
		want  [3]Band // ideal, default, hard
		notes []string
		fails string
	}{
		{"nothing said", class, offer{}, [3]Band{between(15, 27), between(10, 32), between(8, 36)}, nil, ""},
		{"all said", class, offer{ideal: p(between(1, 2)), normal: p(between(0, 3)), hard: p(between(-1, 4))},
			[3]Band{between(1, 2), between(0, 3), between(-1, 4)}, nil, ""},
		{"narrow default clips ideal", class, offer{normal: p(between(18, 25))},
			[3]Band{between(18, 25), between(18, 25), between(8, 36)}, []string{"ideal clipped to 18–25 by your default"}, ""},
		{"wide default widens hard", class, offer{normal: p(between(5, 32))},
			[3]Band{between(15, 27), between(5, 32), between(5, 36)}, []string{"hard widened to 5–36 to hold your default"}, ""},
		{"narrow hard clips both", class, offer{hard: p(between(12, 20))},
			[3]Band{between(15, 20), between(12, 20), between(12, 20)},
			[]string{"default clipped to 12–20 by your hard", "ideal clipped to 15–20 by your default"}, ""},
		{"hard elsewhere takes all", class, offer{hard: p(between(40, 50))},
			[3]Band{between(40, 50), between(40, 50), between(40, 50)},
			[]string{"default clipped to 40–50 by your hard", "ideal clipped to 40–50 by your default"}, ""},
		{"wide ideal widens both", class, offer{ideal: p(between(5, 40))},
			[3]Band{between(5, 40), between(5, 40), between(5, 40)},
			[]string{"default widened to 5–40 to hold your ideal", "hard widened to 5–40 to hold your ideal"}, ""},
		{"open default takes hard's end", class, offer{normal: p(atMost(30))},
			[3]Band{between(15, 27), between(8, 30), between(8, 36)}, nil, ""},
		{"open hard opens it", class, offer{hard: p(atMost(36))},
			[3]Band{between(15, 27), between(10, 32), atMost(36)}, nil, ""},
		{"ideal that was default follows", bare, offer{normal: p(between(5, 40))},
			[3]Band{between(5, 40), between(5, 40), {}}, nil, ""},
		{"new limit", Limit{}, offer{normal: p(atMost(4))}, [3]Band{atMost(4), atMost(4), {}}, nil, ""},
		{"new limit without default", Limit{}, offer{hard: p(atMost(4))}, [3]Band{}, nil, "has no default band"},
		{"own bands do not nest", class, offer{normal: p(between(5, 40)), hard: p(between(8, 36))}, [3]Band{}, nil,
			"default 5–40 reaches outside hard 8–36"},
		{"own ideal outside own default", class, offer{ideal: p(between(5, 12)), normal: p(between(10, 30))}, [3]Band{}, nil,
			"ideal 5–12 reaches outside default 10–30"},
		{"own ideal outside own hard", class, offer{ideal: p(between(5, 12)), hard: p(between(9, 36))}, [3]Band{}, nil,
			"ideal 5–12 reaches outside hard 9–36"},
		{"none", class, offer{none: true}, [3]Band{}, nil, ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, notes, err := merge(tt.base, tt.offer)
			if tt.fails != "" {
				require.EqualError(t, err, tt.fails)
				assert.Equal(t, tt.base, got, "a refused offer changes nothing")
				return
			}
			require.NoError(t, err)
			assert.Equal(t, tt.want, [3]Band{got.Ideal, got.Default, got.Hard})
			assert.Equal(t, tt.notes, notes)
			assert.Equal(t, !tt.offer.none, got.Given)
		})
	}
}

// anyBand draws a band, open at any end where open is true.
func anyBand(t *rapid.T, label string) Band {
	low := rapid.Float64Range(-20, 60).Draw(t, label+" low")
	high := low + rapid.Float64Range(0, 40).Draw(t, label+" width")
	return Band{low, high, true, true}.opened(rapid.IntRange(0, 3).Draw(t, label+" open"))
}

// opened takes away the low end, the high end, or both.
func (b Band) opened(which int) Band {
	if which&1 != 0 {
		b.Min, b.HasMin = 0, false
	}
	if which&2 != 0 {
		b.Max, b.HasMax = 0, false
	}
	return b
}

// anyLimit draws three bands that nest.
func anyLimit(t *rapid.T) Limit {
	hard := anyBand(t, "hard")
	normal := anyBand(t, "default").clip(hard)
	if normal.empty() {
		normal = hard
	}
	ideal := anyBand(t, "ideal").clip(normal)
	if ideal.empty() {
		ideal = normal
	}
	return Limit{Given: true, Ideal: ideal, Default: normal, Hard: hard}
}

func anyOffer(t *rapid.T) offer {
	pick := func(label string) *Band {
		if !rapid.Bool().Draw(t, "has "+label) {
			return nil
		}
		b := anyBand(t, "own "+label)
		return &b
	}
	return offer{ideal: pick("ideal"), normal: pick("default"), hard: pick("hard")}
}

// TestMergeLaws: whatever a file says over whatever class, the bands nest, and
// what the file says stands but for its open ends.
func TestMergeLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		base, o := anyLimit(t), anyOffer(t)
		got, _, err := merge(base, o)
		if err != nil {
			conflict := o.hard != nil && (o.normal != nil || o.ideal != nil) || o.ideal != nil && o.normal != nil
			assert.True(t, conflict, "only two bands of the file itself can be refused: %v", err)
			return
		}
		for _, b := range []Band{got.Ideal, got.Default, got.Hard} {
			assert.False(t, b.empty())
		}
		assert.True(t, got.Ideal.Within(got.Default), "%v in %v", got.Ideal, got.Default)
		assert.True(t, got.Default.Within(got.Hard), "%v in %v", got.Default, got.Hard)
		stands := func(said *Band, now Band) {
			if said == nil {
				return
			}
			assert.True(t, now.Within(*said), "%v holds no more than %v", now, *said)
			assert.True(t, !said.HasMin || now.Min == said.Min)
			assert.True(t, !said.HasMax || now.Max == said.Max)
		}
		stands(o.ideal, got.Ideal)
		stands(o.normal, got.Default)
		stands(o.hard, got.Hard)
	})
}

// TestMergeTwice: the same words over the result change nothing more.
func TestMergeTwice(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := anyOffer(t)
		once, _, err := merge(anyLimit(t), o)
		if err != nil {
			return
		}
		twice, _, err := merge(once, o)
		require.NoError(t, err)
		assert.Equal(t, once.Hard, twice.Hard)
		assert.Equal(t, once.Default, twice.Default)
	})
}

// TestLooserLaw: a warning comes exactly where some value passes the new hard
// band and not the old one.
func TestLooserLaw(t *testing.T) {
	s := spec{label: "air", unit: "°C", shape: pair}
	rapid.Check(t, func(t *rapid.T) {
		base, now := anyLimit(t), anyLimit(t)
		assert.Equal(t, !now.Hard.Within(base.Hard), len(looser(s, base, now)) > 0)
	})
}

func TestClockIsALimit(t *testing.T) {
	k := Clock{Given: true, Ideal: 8, Default: 4, Hard: 2, HasHard: true, Source: "common practice"}
	assert.Equal(t, k, k.limit().clock())
	open := Clock{Given: true, Ideal: 8, Default: 4}
	assert.Equal(t, open, open.limit().clock())
	assert.Equal(t, Clock{}, Clock{}.limit().clock())
}
