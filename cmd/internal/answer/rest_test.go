package answer

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
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
		assert.Equal(t, x.want, restWords(x.blocks, nil), name)
	}
}

// The same people have one night, whichever boat they come from and go to: it is told with
// that boat, and what lies between two days on others is for their plans to tell.
func TestRestWords_OnAnotherBoat(t *testing.T) {
	at := func(day, hour int) time.Time { return time.Date(2026, 6, day, hour, 0, 0, 0, time.UTC) }
	block := func(day, from, to int, people ...int) PlanBlock {
		return PlanBlock{From: at(day, from), To: at(day, to), People: people}
	}
	away := func(day, from, to int, people ...int) Away {
		return Away{Boat: "Tern", From: at(day, from), To: at(day, to), People: people}
	}
	const fix = "; 11 h are usual: move one of the two plans, or give the job hours that leave a night"
	for name, x := range map[string]struct {
		blocks []PlanBlock
		away   []Away
		want   string
	}{
		"from the other boat": {[]PlanBlock{block(16, 6, 9, 1, 2)}, []Away{away(15, 12, 22, 1, 2)}, "persons 1 and 2 have only 8 h of rest from Mon 15 Jun 22:00 on Tern to Tue 16 Jun 06:00" + fix},
		"to the other boat":   {[]PlanBlock{block(15, 12, 21, 1)}, []Away{away(16, 6, 9, 1, 2)}, "person 1 has only 9 h of rest from Mon 15 Jun 21:00 to Tue 16 Jun 06:00 on Tern" + fix},
		"a night between":     {[]PlanBlock{block(16, 9, 12, 1)}, []Away{away(15, 12, 22, 1)}, ""},
		"others' nights":      {[]PlanBlock{block(16, 6, 9, 2)}, []Away{away(15, 12, 22, 1)}, ""},
		"both on others":      {[]PlanBlock{block(18, 6, 9, 1)}, []Away{away(15, 12, 22, 1), away(16, 6, 9, 1)}, ""},
		"work in between":     {[]PlanBlock{block(15, 8, 9, 1), block(16, 7, 9, 1)}, []Away{away(15, 20, 22, 1)}, "person 1 has only 9 h of rest from Mon 15 Jun 22:00 on Tern to Tue 16 Jun 07:00" + fix},
		"in two places":       {[]PlanBlock{block(15, 20, 23, 1), block(16, 12, 14, 1)}, []Away{away(15, 21, 22, 1)}, ""},
		"over midnight":       {[]PlanBlock{block(16, 6, 9, 1)}, []Away{{Job: "Wash", From: at(15, 22), To: at(16, 1), People: []int{1}}}, "person 1 has only 5 h of rest from Tue 16 Jun 01:00 on Wash to Tue 16 Jun 06:00" + fix},
	} {
		assert.Equal(t, x.want, restWords(x.blocks, &Crew{Away: x.away}), name)
	}
}

// Whoever works within the same hours of every day, at most thirteen of them, has his night,
// however his days are cut up and whoever else is there.
func TestRestWords_OfHoursThatLeaveANight(t *testing.T) {
	quay := time.FixedZone("quay", -4*3600)
	rapid.Check(t, func(t *rapid.T) {
		opens := rapid.IntRange(0, 11*6).Draw(t, "opens") // slots of the day
		closes := opens + rapid.IntRange(1, 13*6).Draw(t, "hours")
		var blocks []PlanBlock
		for range rapid.IntRange(0, 12).Draw(t, "blocks") {
			day := time.Date(2026, 6, rapid.IntRange(1, 9).Draw(t, "day"), 0, 0, 0, 0, quay)
			from := rapid.IntRange(opens, closes-1).Draw(t, "from")
			to := rapid.IntRange(from+1, closes).Draw(t, "to")
			blocks = append(blocks, PlanBlock{
				From: day.Add(time.Duration(from) * 10 * time.Minute), To: day.Add(time.Duration(to) * 10 * time.Minute),
				People: rapid.SliceOfNDistinct(rapid.IntRange(1, 3), 1, 3, rapid.ID[int]).Draw(t, "people"),
			})
		}
		assert.Empty(t, restWords(blocks, nil))
		if len(blocks) == 0 {
			return
		}
		x := rapid.SampledFrom(blocks).Draw(t, "one")
		early := PlanBlock{From: x.To.Add(26 * time.Hour), To: x.To.Add(27 * time.Hour), People: x.People[:1]}
		late := PlanBlock{From: early.From.Add(-3 * time.Hour), To: early.From.Add(-2 * time.Hour), People: x.People[:1]}
		if !sameDate(late.From, early.From) { // two hours over midnight, with nobody else's work between
			assert.Contains(t, restWords([]PlanBlock{early, late}, nil), "only 2 h of rest")
		}
	})
}
