package crew

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestUVBand(t *testing.T) {
	// WHO/WMO categories; the index is a whole number when it is reported.
	for index, want := range map[float64]string{
		0: "low", 2: "low", 2.49: "low", 2.5: "moderate", 3: "moderate", 5: "moderate",
		6: "high", 7: "high", 8: "very high", 10: "very high", 11: "extreme", 14: "extreme",
	} {
		assert.Equal(t, want, UVBand(index), "%v", index)
	}
}

func TestBeaufort(t *testing.T) {
	// Force and both ends of its range in m/s.
	rows := []struct {
		force    int
		from, to float64
	}{
		{0, 0, 0.2}, {1, 0.3, 1.5}, {2, 1.6, 3.3}, {3, 3.4, 5.4}, {4, 5.5, 7.9}, {5, 8.0, 10.7},
		{6, 10.8, 13.8}, {7, 13.9, 17.1}, {8, 17.2, 20.7}, {9, 20.8, 24.4}, {10, 24.5, 28.4},
		{11, 28.5, 32.6}, {12, 32.7, 80},
	}
	for _, r := range rows {
		assert.Equal(t, r.force, Beaufort(r.from), "%v m/s", r.from)
		assert.Equal(t, r.force, Beaufort(r.to), "%v m/s", r.to)
	}
}

func TestDeckShare(t *testing.T) {
	// The log law from 10 m to 3 m over water: 0.88872.
	assert.InDelta(t, 0.88872, DeckShare, 0.002)
}

func TestThunder(t *testing.T) {
	none := Value{}
	rows := []struct {
		code, probability Value
		thunder, known    bool
	}{
		{none, none, false, false},
		{Some(95), none, true, true},
		{Some(99), none, true, true},
		{Some(82), none, false, true},
		{none, Some(30), true, true},
		{none, Some(29), false, true},
		{Some(3), Some(60), true, true},
		{Value{V: 95}, none, false, false},
		{Value{V: 95}, Some(0), false, true},
	}
	for _, r := range rows {
		thunder, known := Thunder(r.code, r.probability)
		assert.Equal(t, r.thunder, thunder, "%+v", r)
		assert.Equal(t, r.known, known, "%+v", r)
	}
}

func TestHoldAfter(t *testing.T) {
	const x, o = true, false
	assert.Equal(t, []bool{o, x, x, x, x, o}, HoldAfter([]bool{o, x, o, o, o, o}, 10),
		"30 minutes are three slots of ten")
	assert.Equal(t, []bool{x, x, x, x, x, o}, HoldAfter([]bool{x, o, x, o, o, o}, 15),
		"a second thunder starts the wait anew")
	assert.Equal(t, []bool{x, x, o}, HoldAfter([]bool{x, o, o}, 60), "an hour that begins within")
	assert.Equal(t, []bool{x, x, x, o}, HoldAfter([]bool{x, o, o, o}, 20), "part of a slot counts")
	assert.Equal(t, []bool{x, o}, HoldAfter([]bool{x, o}, 0))
	assert.Empty(t, HoldAfter(nil, 10))
}

func TestHoldAfter_Properties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		flags := rapid.SliceOf(rapid.Bool()).Draw(t, "flags")
		step := rapid.IntRange(1, 180).Draw(t, "minutes")
		before := append([]bool(nil), flags...)
		held := HoldAfter(flags, step)
		require.True(t, slices.Equal(before, flags), "the argument stays as it was")
		require.Len(t, held, len(flags))
		for i := range flags {
			want := flags[i]
			for j := 0; j < i; j++ {
				if flags[j] && (i-j-1)*step < ThunderHoldMin {
					want = true
				}
			}
			require.Equal(t, want, held[i], "slot %d", i)
		}
	})
}
