package ensemble

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// The standard atmosphere has 15.0 °C at sea level and 8.5 °C at 1000 m (ICAO Doc
// 7488/3): measured up there, the same air is 6.5 K warmer at the shore.
func TestAtHeight_StandardAtmosphere(t *testing.T) {
	assert.InDelta(t, 15, AtHeight(8.5, 1000), 1e-9)
	assert.InDelta(t, 8.5, AtHeight(15, -1000), 1e-9)
	assert.InDelta(t, 20.65, AtHeight(20, 100), 1e-9)
	assert.Equal(t, 20.0, AtHeight(20, 0))
}

func TestStationShare_ByHand(t *testing.T) {
	assert.Equal(t, 1.0, StationShare(0))
	assert.InDelta(t, 1/math.E, StationShare(StationFadeKM), 1e-12)
	assert.InDelta(t, 0.2231, StationShare(FarthestStationKM), 1e-4)
	one, most := StationCounts(StationFadeKM)
	assert.InDelta(t, 0.25/math.E, one, 1e-12)
	assert.InDelta(t, 4/math.E, most, 1e-12)
	assert.Less(t, mostStations, float64(EnoughReadings))
}

// All of a station's observations together count four readings where it stands, by
// hand: five fresh readings of +1 K and any number of observations of −1 K leave
// (5 − 4)/9 K, a hundred observations alone are believed by 4/9, and those of a
// station 20 km off by (4/e)/(4/e + 5).
func TestBias_StationsTogetherAreBounded(t *testing.T) {
	now := start.Add(30 * 24 * time.Hour)
	fresh := func(n int, off float64, share float64) (out []Miss) {
		for k := range n {
			m := miss(AirError, ClearDay, now.Add(-time.Duration(k)*time.Hour), off)
			m.Station, m.Share = share > 0, share
			out = append(out, m)
		}
		return out
	}
	alone := Learn(fresh(100, -1, 1), now).Biases[AirError][ClearDay]
	assert.InDelta(t, 4.0/9, alone.Weight, 1e-9)
	assert.Equal(t, 100, alone.Stations)
	far := Learn(fresh(100, -1, StationShare(20)), now).Biases[AirError][ClearDay]
	assert.InDelta(t, 4/math.E/(4/math.E+5), far.Weight, 1e-9)
	both := Learn(append(fresh(100, -1, 1), fresh(5, 1, 0)...), now).Biases[AirError][ClearDay]
	assert.InDelta(t, 1.0/9, both.Mean, 0.01, "the readings' ages take a hundredth")
	few := Learn(fresh(8, -1, 1), now).Biases[AirError][ClearDay]
	assert.InDelta(t, 2.0/7, few.Weight, 0.01, "eight quarters, below the bound")
	none := fresh(9, -1, 1)
	for i := range none {
		none[i].Share = 0
	}
	assert.Equal(t, Learned{}, Learn(none, now), "one that counts nothing is not counted")
}

// Whatever stations say, five readings of today have the greater part of the mean.
func TestBias_ReadingsOutweighStations(t *testing.T) {
	now := start.Add(30 * 24 * time.Hour)
	rapid.Check(t, func(t *rapid.T) {
		var list []Miss
		for k := range EnoughReadings {
			list = append(list, miss(AirError, ClearDay, now.Add(-time.Duration(k)*time.Hour), 1))
		}
		for k := range rapid.IntRange(0, 150).Draw(t, "observations") {
			m := miss(AirError, ClearDay, now.Add(-time.Duration(k)*time.Hour), -1)
			m.Station, m.Share = true, rapid.Float64Range(0.01, 1).Draw(t, "share")
			list = append(list, m)
		}
		assert.Positive(t, Learn(list, now).Biases[AirError][ClearDay].Mean)
	})
}
