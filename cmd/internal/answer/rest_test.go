package answer

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

// Under a sun that does not set a plan may have somebody come again after an hour. Nothing
// is forbidden, but it is told, the shortest rest of all; a night of eleven hours is one.
func TestRestWords(t *testing.T) {
	quay := time.FixedZone("quay", 2*3600)
	block := func(day int, from, to string, people ...int) PlanBlock {
		at := func(s string) time.Time {
			c, err := time.Parse("15:04", s)
			assert.NoError(t, err)
			return time.Date(2026, 6, day, c.Hour(), c.Minute(), 0, 0, quay)
		}
		return PlanBlock{From: at(from), To: at(to), People: people}
	}
	const usual = "; 11 h are usual"
	const fix = ": give the job hours that leave a night, or more people"
	for name, x := range map[string]struct {
		blocks []PlanBlock
		want   string
	}{
		"a night":               {[]PlanBlock{block(15, "07:00", "18:00", 1), block(16, "07:00", "18:00", 1)}, ""},
		"just a night":          {[]PlanBlock{block(15, "07:00", "20:00", 1), block(16, "07:00", "18:00", 1)}, ""},
		"a break is no night":   {[]PlanBlock{block(15, "07:00", "09:00", 1), block(15, "14:00", "18:00", 1)}, ""},
		"another's night":       {[]PlanBlock{block(15, "07:00", "23:00", 1), block(16, "01:00", "08:00", 2)}, ""},
		"an hour and a half":    {[]PlanBlock{block(15, "20:50", "22:50", 1, 2), block(16, "00:30", "02:30", 2, 1)}, "persons 1 and 2 have only 1 h 40 of rest from Mon 15 Jun 22:50 to Tue 16 Jun 00:30" + usual + fix},
		"in whatever order":     {[]PlanBlock{block(16, "05:00", "08:00", 3), block(15, "07:00", "20:00", 3)}, "person 3 has only 9 h of rest from Mon 15 Jun 20:00 to Tue 16 Jun 05:00" + usual + fix},
		"the shortest, and all": {[]PlanBlock{block(15, "07:00", "22:00", 1), block(16, "04:00", "21:00", 1), block(17, "04:00", "08:00", 1)}, "person 1 has only 6 h of rest from Mon 15 Jun 22:00 to Tue 16 Jun 04:00" + usual + ", and 1 more night is too short" + fix},
		"nobody":                {nil, ""},
	} {
		assert.Equal(t, x.want, restWords(x.blocks), name)
	}
}
