package openmeteo

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// many is a reply of so many members, each a degree warmer than the one before.
func many(members int, change func(units, hourly object)) []byte {
	return simple(func(_, units, hourly object) {
		for m := 1; m < members; m++ {
			for _, name := range []string{"temperature_2m", "relative_humidity_2m", "wind_speed_10m"} {
				key := fmt.Sprintf("%s_member%02d", name, m)
				units[key], hourly[key] = units[name], hourly[name]
			}
			hourly[fmt.Sprintf("temperature_2m_member%02d", m)] = []any{15 + m, 14 + m, 13 + m}
		}
		if change != nil {
			change(units, hourly)
		}
	})
}

// The members stand in their order however many there are, and so does what is left out
// of them.
func TestMembersInOrder(t *testing.T) {
	for members := 2; members < 9; members++ {
		f, err := Parse(many(members, func(_, hourly object) {
			for m := 1; m < members; m++ {
				hourly[fmt.Sprintf("wind_speed_10m_member%02d", m)] = []any{2, -5, 3}
			}
		}), Options{Near: &quay})
		require.NoError(t, err)
		require.Len(t, f.Members, members)
		var left []string
		for m := 1; m < members; m++ {
			name := fmt.Sprintf("member%02d", m)
			require.Equal(t, name, f.Members[m].Name)
			require.InDelta(t, 15+m, f.Members[m].Columns[0].Values[0], 1e-9)
			left = append(left, "column wind_speed_10m_"+name+": 1 impossible value left out")
		}
		require.Equal(t, "control", f.Members[0].Name)
		warnings := f.Warnings[len(f.Warnings)-len(left):]
		for i, text := range left {
			assert.Contains(t, warnings[i], text)
		}
	}
}

// Of several columns that are wrong, the first member's is named; what is said of the
// whole reply is said once.
func TestMembersWrong(t *testing.T) {
	_, err := Parse(many(6, func(_, hourly object) {
		for _, m := range []int{2, 5} {
			hourly[fmt.Sprintf("wind_speed_10m_member%02d", m)] = []any{1, 2}
		}
	}), Options{Near: &quay})
	assert.ErrorContains(t, err, "wind_speed_10m_member02 has 2 values for 3 times")

	f, err := Parse(many(6, func(units, hourly object) {
		for m := range 6 {
			key := "rain"
			if m > 0 {
				key = fmt.Sprintf("rain_member%02d", m)
			}
			units[key], hourly[key] = "mm", []any{0, 1, 0}
		}
	}), Options{Near: &quay})
	require.NoError(t, err)
	assertOne(t, f.Warnings, "the reply has no precipitation: the sum of rain is taken")
}
