package text

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/cmd/internal/answer"
)

// Santiago goes forward at midnight of 6 September 2026 (IANA time zone database): the
// day before ends when the next begins, which is at one.
func TestTheMidnightThatIsSkipped(t *testing.T) {
	loc, err := time.LoadLocation("America/Santiago")
	require.NoError(t, err)
	eve := time.Date(2026, 9, 5, 20, 0, 0, 0, loc)
	assert.Equal(t, "2026-09-06 01:00", answer.NextMidnight(eve).Format("2006-01-02 15:04"))
	assert.Equal(t, 4*time.Hour, answer.NextMidnight(eve).Sub(eve))
	assert.Equal(t, "2026-09-07 00:00", answer.NextMidnight(answer.NextMidnight(eve)).Format("2006-01-02 15:04"))
	assert.Equal(t, "20:00-24:00", hours(time.Date(2026, 9, 6, 20, 0, 0, 0, loc), answer.NextMidnight(answer.NextMidnight(eve))))
}
