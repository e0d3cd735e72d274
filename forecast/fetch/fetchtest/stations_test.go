package fetchtest_test

import (
	"testing"
	"time"

	"dewgap/forecast/fetch/fetchtest"
	"dewgap/forecast/nws"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What the station tells is read as it was meant.
func TestStationReplies(t *testing.T) {
	now := time.Date(2026, 9, 10, 19, 0, 0, 0, time.UTC)
	w := fetchtest.OtterQuay(now)
	stations, err := nws.ParseStations(w.NWSStations())
	require.NoError(t, err)
	require.Len(t, stations, 1)
	assert.Equal(t, fetchtest.StationID, stations[0].ID)
	list, err := nws.ParseObservations(w.NWSObservations(2, now.Add(-12*time.Hour), now))
	require.NoError(t, err)
	require.Len(t, list, 2)
	assert.InDelta(t, 21+2, list[1].Air.V, 1e-9, "the day's warmest hour")
	assert.InDelta(t, 14+2, list[0].Air.V, 1e-9, "its coldest")
	assert.Equal(t, 6.0, list[1].DewPoint.V)
	assert.InDelta(t, 2, list[1].Wind.V, 1e-9)
	assert.Empty(t, list[1].Flags)
}
