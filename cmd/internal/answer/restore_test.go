package answer_test

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/cmd/internal/answer"
)

// An answer read back is the answer: the same bytes again, and its times on the clock
// of the place, through the night in which the clock is put back.
func TestRestorePutsTimesOnTheClockOfThePlace(t *testing.T) {
	loc, err := time.LoadLocation("America/New_York")
	require.NoError(t, err)
	before := time.Date(2026, 11, 1, 0, 30, 0, 0, loc)
	after := before.Add(6 * time.Hour)
	wipe := after.Add(time.Minute)
	w := answer.Week{
		Format: answer.WeekFormat, Now: before, Place: answer.Place{Timezone: "America/New_York"}, Source: answer.Source{Issued: &after},
		Windows: []answer.Window{{From: before, To: after, WipeBy: &wipe}},
		Zones:   []answer.Zone{{Name: "port side", Hours: []answer.Hour{{At: after}}}},
	}
	var b bytes.Buffer
	require.NoError(t, answer.Write(&b, w))
	var read answer.Week
	require.NoError(t, answer.Restore(b.Bytes(), &read))
	for _, at := range []time.Time{read.Now, read.Windows[0].From, read.Windows[0].To, *read.Windows[0].WipeBy, *read.Source.Issued, read.Zones[0].Hours[0].At} {
		assert.Equal(t, loc.String(), at.Location().String())
	}
	assert.Equal(t, 1, read.Now.Add(24*time.Hour).Day(), "the day has 25 hours")
	assert.Equal(t, "05:30 EST", read.Windows[0].To.Format("15:04 MST"))
	var again bytes.Buffer
	require.NoError(t, answer.Write(&again, read))
	assert.Equal(t, b.String(), again.String())
}

// An answer of no place, or of one that this computer does not know, is read as it
// stands; what is no answer is an error.
func TestRestoreWithoutAPlace(t *testing.T) {
	const text = `{"place":{"timezone":"%"},"now":"2026-11-01T00:30:00-04:00"}`
	for _, zone := range []string{"", "Local", "Mars/Olympus"} {
		var w answer.Week
		require.NoError(t, answer.Restore([]byte(strings.Replace(text, "%", zone, 1)), &w))
		_, offset := w.Now.Zone()
		assert.Equal(t, -4*3600, offset, zone)
	}
	var list answer.Where
	require.NoError(t, answer.Restore([]byte(`{"format":"dewgap.where.v1","kept":[]}`), &list))
	var odd struct{ Place int }
	require.NoError(t, answer.Restore([]byte(`{"place":3}`), &odd))
	var w answer.Week
	require.Error(t, answer.Restore([]byte(`{"now":"soon"}`), &w))
	require.Error(t, answer.Restore(nil, &w))
}
