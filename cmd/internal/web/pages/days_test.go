package pages

import (
	"testing"
	"time"

	"dewgap/cmd/internal/answer"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// In Chile the clocks skip midnight in spring (6 September 2026, IANA rules Chile). The
// days of a week over that night are each there once, in order, and come to an end.
func TestDaysOf_SkippedMidnight(t *testing.T) {
	loc, err := time.LoadLocation("America/Santiago")
	require.NoError(t, err)
	from := time.Date(2026, time.September, 4, 9, 0, 0, 0, loc)
	w := &answer.Week{From: from, To: time.Date(2026, time.September, 8, 0, 0, 0, 0, loc)}
	var days []string
	for _, d := range si.daysOf(w, stepIn{Name: "seal"}) {
		days = append(days, day(d.At))
	}
	assert.Equal(t, []string{tied("Fri 4 Sep"), tied("Sat 5 Sep"), tied("Sun 6 Sep"), tied("Mon 7 Sep")}, days)

	sunday, err := dayIn("2026-09-06", loc)
	require.NoError(t, err)
	assert.Equal(t, "Sunday 6 September", longDay(sunday))
	page := si.dayOf(w, sunday)
	assert.Equal(t, "Saturday 5 September", longDay(page.Prior))
	assert.Equal(t, "Monday 7 September", longDay(page.Next))
	assert.Equal(t, "20:00–24:00", hours(time.Date(2026, time.September, 5, 20, 0, 0, 0, loc), sunday))
	_, err = dayIn("2026-02-30", loc)
	assert.Error(t, err)
}
