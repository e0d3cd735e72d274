package answer

import (
	"math"
	"testing"
	"time"

	"dewgap/forecast/ensemble"
	"dewgap/window"
	"dewgap/window/surface/fit"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// taughtFacts is something learned of everything.
func taughtFacts() LearnedFacts {
	from := time.Date(2026, 9, 2, 9, 0, 0, 0, time.UTC)
	l := &window.Learned{}
	l.Weather.Biases[ensemble.AirError][ensemble.ClearNight] = ensemble.Bias{Readings: 7, From: from, To: from.Add(96 * time.Hour), Mean: 1.37, Weight: 7.0 / 12}
	l.Weather.Biases[ensemble.DewError][ensemble.CloudyDay] = ensemble.Bias{Readings: 1, Stations: 30, From: from, To: from, Mean: -2, Weight: 0.5}
	l.Weather.Biases[ensemble.WindError][ensemble.ClearDay] = ensemble.Bias{Readings: 6, From: from, To: from, Mean: math.Log(0.49), Weight: 0.5}
	l.Weather.Biases[ensemble.WindError][ensemble.CloudyDay] = ensemble.Bias{Readings: 6, From: from, To: from, Mean: 0.01, Weight: 0.5}
	z := window.LearnedZone{
		Zone: "port side", From: "white-gelcoat",
		Absorptance: fit.Value{Prior: 0.35, Fitted: 0.47, Used: 0.42, Weight: 0.583, Readings: 7},
		Sky:         fit.Value{Prior: 1, Fitted: 0.4, Used: 0.7, Weight: 0.5, Readings: 4},
	}
	z.Surface[ensemble.ClearDay] = ensemble.Bias{Readings: 5, From: from, To: from, Mean: -1, Weight: 0.5}
	l.Zones = []window.LearnedZone{z}
	l.Weather.Spreads[ensemble.AirError] = ensemble.Spread{Cases: 24, Readings: 24, From: from, To: from, Said: 2, Found: 2.8, Stretch: 1.4}
	l.Weather.Spreads[ensemble.DewError] = ensemble.Spread{Cases: 12, Readings: 3, From: from, To: from, Said: 2, Found: 1, Stretch: 0.5}
	return LearnedFacts{Job: "Seal", Boat: "Kittiwake", Loc: time.UTC, Now: from, FromHours: 36, Learned: l}
}

// A line for each thing that is used, with the readings that it comes from; what
// comes to too little has none.
func TestLearnedLines(t *testing.T) {
	assert.Equal(t, []string{
		"the forecast's air temperature is taken 0.8 K warmer here on clear nights: 7 readings",
		"the forecast's dew point is taken 1.0 K lower here on cloudy days: 1 reading and 30 observations of weather stations, too few to make a verdict better",
		"the forecast's wind is taken 30 % weaker here on clear days: 6 readings",
		"the forecast's air temperature is taken to be less sure here than it says, its futures 1.4 times as far apart: 24 cases of six hours",
		"the forecast's dew point is taken to be more sure here than it says, its futures 0.7 times as far apart: 12 cases of six hours, too few to make a verdict better",
		"port side is taken to absorb 42 % of the sunlight, not 35 %: 7 readings in the sun",
		"port side is taken to see 70 % of its sky: 4 readings by night, too few to make a verdict better",
		"port side is taken 0.5 K colder than worked out on clear days: 5 readings",
	}, LearnedLines(taughtFacts().Learned))
	assert.Empty(t, LearnedLines(nil))
	assert.Empty(t, LearnedLines(&window.Learned{}))
}

// Spreads are listed with what is still missing, also where nothing was measured, and
// stations with what they count.
func TestNewLearned_SpreadsAndStations(t *testing.T) {
	f := taughtFacts()
	high, rise, low := 212.4, -57.6, 9.0
	f.Stations = []LearnedStation{
		{ID: "KOTQ", Name: "Otter Quay Airfield", DistanceKM: 6.55, HeightM: &high, RiseM: &rise, Observations: 30, One: 0.1801, Most: 2.8817},
		{ID: "KLOW", DistanceKM: 12, HeightM: &low, Observations: 1, One: 0.1, Most: 2}, {ID: "KNIL", DistanceKM: 1, HeightM: &high, RiseM: &high},
		{ID: "KWHO", DistanceKM: 1, One: 0.2, Most: 3},
	}
	p := NewLearned(f)
	require.Len(t, p.Spreads, 2)
	air, dew := p.Spreads[0], p.Spreads[1]
	assert.Equal(t, [4]float64{2, 2.8, 1, 1.4}, [4]float64{air.SaidK, air.FoundK, air.Weight, air.Factor})
	assert.Equal(t, [3]int{24, 24, 0}, [3]int{air.Cases, air.Readings, air.Missing})
	assert.True(t, air.Improves && !dew.Improves)
	assert.Equal(t, [3]float64{0.6, 0.7, 8}, [3]float64{dew.Weight, dew.Factor, float64(dew.Missing)})
	assert.Contains(t, p.Rain, "not calibrated")
	var texts []string
	for _, s := range p.Stations {
		texts = append(texts, s.Text)
	}
	assert.Equal(t, []string{
		"KOTQ, Otter Quay Airfield, 7 km off, 58 m below the place: 30 observations, each counting 0.18 of a reading, all of one kind of weather at most 2.9 readings",
		"KLOW, 12 km off, 9 m above the sea (the place's height is not known): 1 observation, each counting 0.10 of a reading, all of one kind of weather at most 2.0 readings",
		"KNIL, 1 km off, 212 m above the place: too far above or below to teach",
		"KWHO, 1 km off, its height not known: 0 observations, each counting 0.20 of a reading, all of one kind of weather at most 3.0 readings",
	}, texts)
	none := NewLearned(LearnedFacts{Loc: time.UTC})
	require.Len(t, none.Spreads, 2)
	assert.Equal(t, LearnedSpread{Variable: "dew point", Missing: 20, Factor: 1}, none.Spreads[1])
	assert.NotNil(t, none.Stations)
}

func TestNewLearned(t *testing.T) {
	p := NewLearned(taughtFacts())
	assert.Equal(t, "dewgap.place.v1", p.Format)
	require.Len(t, p.Biases, 4, "the one that is not used is listed too")
	air, wind, idle := p.Biases[0], p.Biases[2], p.Biases[3]
	assert.Equal(t, [3]string{"air temperature", "clear night", "K"}, [3]string{air.Variable, air.Regime, air.Unit})
	assert.Equal(t, [3]float64{1.37, 0.583, 0.8}, [3]float64{air.Mean, air.Weight, air.Used})
	assert.True(t, air.Improves && !p.Biases[1].Improves)
	assert.Equal(t, [2]float64{0.49, 0.7}, [2]float64{wind.Mean, wind.Used}, "wind by a factor")
	assert.Equal(t, 1.0, idle.Used)
	assert.Empty(t, idle.Text)
	require.Len(t, p.Zones, 1)
	assert.Equal(t, "white-gelcoat", p.Zones[0].Finish)
	assert.True(t, p.Zones[0].Absorptance.Improves && !p.Zones[0].Sky.Improves)
	assert.Equal(t, 5, p.Rules.Enough)
	assert.Len(t, p.Lines, 8)
	assert.Nil(t, p.Changes)

	none := NewLearned(LearnedFacts{Loc: time.UTC, Changes: []LearnedShift{}})
	assert.NotNil(t, none.Biases)
	assert.NotNil(t, none.Zones)
	assert.NotNil(t, none.Readings)
	assert.NotNil(t, none.Changes)
	assert.NotNil(t, none.Warnings)
}

func TestShiftText(t *testing.T) {
	assert.Equal(t, "1.5 h better than without what was learned", shiftText(LearnedShift{BetterH: 1.5}))
	assert.Equal(t,
		"1.5 h better and 2.0 h worse than without what was learned; 0.5 h can no longer be worked",
		shiftText(LearnedShift{BetterH: 1.5, WorseH: 2, LostH: 0.5}))
	assert.Equal(t, "2.0 h worse than without what was learned", shiftText(LearnedShift{WorseH: 2}))
}
