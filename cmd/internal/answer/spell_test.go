package answer

import (
	"testing"
	"time"

	"dewgap/window/verdict"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// A reason that stands against a step today is told with its hours, where one stretch makes
// it: as a person on the dock wants them.
func TestSpell(t *testing.T) {
	for row, want := range map[string]string{
		night + "x film 10:00;x wind_max 18:00" + tomorrow:                                "wind_max, 10:00-18:00",
		night + "x film 13:00;x wind_max 18:00" + tomorrow:                                "film, 07:00-13:00",
		night + "x film 18:00" + tomorrow:                                                 "film, all day",
		night + "x film 12:00;x hours 13:00;x film 18:00" + tomorrow:                      "film, all day",
		night + "x film 08:00;x wind_max 12:00;x hours 13:00;x wind_max 18:00" + tomorrow: "wind_max, 08:00-18:00",
		night + "x wind_max 10:00;x film 11:00;x wind_max 18:00" + tomorrow:               "wind_max",
		night + "x machines 08:00;x film 18:00" + tomorrow:                                "film, 08:00-18:00",
		"x film 13:00;x spread_min 18:00" + tomorrow:                                      "film, until 13:00",
		"x film 18:00" + tomorrow:                                                         "film, for the rest of the day",
		"x film +02:00;x hours end":                                                       "film, for the rest of the day",
		night + "x salt 18:00" + tomorrow:                                                 "salt",
		night + "x finish 18:00" + tomorrow:                                               "finish",
		night + "x block 07:30;x hours 18:00" + tomorrow:                                  "block",
		"x hours 18:00" + tomorrow:                                                        "hours",
	} {
		b := newBoard(t, "seal")
		b.row("seal", "port side", row)
		m := NewMorning(b.f)
		require.Equal(t, NoGo, m.Verdict, row)
		against, _ := m.Steps[0].Stands()
		limit := against.Limit
		assert.Equal(t, want, limit+spellWords(m, limit), row)
	}
}

func spellWords(m *Morning, limit string) string {
	all := func(MorningStep) bool { return true }
	when := func(_, t time.Time) string { return t.Format("15:04") }
	return m.SpellOf(limit, all).Words(m.Now, func(from, to time.Time) string { return when(to, from) + "-" + when(from, to) }, when)
}

// Where a step may begin later today its lines tell the hours, and there is no spell.
func TestSpell_NoneWhereItMayBeginToday(t *testing.T) {
	b := newBoard(t, "seal")
	b.row("seal", "port side", "x film 10:00;g none 18:00"+tomorrow)
	b.row("seal", "foredeck", "x film 10:00;m wind_max 18:00"+tomorrow)
	for _, s := range NewMorning(b.f).Steps {
		assert.Nil(t, s.Today, s.Zone)
	}
}

// A step that is unknown now is told as that, whatever takes most of the day.
func TestStands_UnknownIsToldAsUnknown(t *testing.T) {
	b := newBoard(t, "seal")
	b.row("seal", "port side", "u data 07:00;x film 18:00"+tomorrow)
	s := NewMorning(b.f).Steps[0]
	require.Equal(t, Unknown, s.State)
	require.NotNil(t, s.Today)
	against, when := s.Stands()
	assert.Equal(t, "data", against.Limit)
	assert.Nil(t, when)
}

// Zones share a spell where theirs touch, and have none where one of them has none or they
// lie apart.
func TestSpellOf(t *testing.T) {
	for name, x := range map[string]struct{ port, deck, want string }{
		"alike":         {night + "x film 10:00;x wind_max 18:00", night + "x film 10:00;x wind_max 18:00", ", 10:00-18:00"},
		"overlapping":   {night + "x film 10:00;x wind_max 18:00", night + "x film 09:00;x wind_max 16:00;x film 18:00", ", 09:00-18:00"},
		"touching":      {night + "x wind_max 13:00;x film 18:00", night + "x film 12:20;x wind_max 18:00", ", 07:00-18:00"},
		"one all day":   {night + "x wind_max 18:00", night + "x film 10:00;x wind_max 18:00", ", 07:00-18:00"},
		"one in two":    {night + "x wind_max 18:00", night + "x wind_max 10:00;x film 11:00;x wind_max 18:00", ""},
		"another limit": {night + "x wind_max 18:00", night + "x film 18:00", ", all day"},
	} {
		b := newBoard(t, "seal")
		b.row("seal", "port side", x.port+tomorrow)
		b.row("seal", "foredeck", x.deck+tomorrow)
		assert.Equal(t, x.want, spellWords(NewMorning(b.f), "wind_max"), name)
	}
	at := func(h int) time.Time { return time.Date(2026, 9, 10, h, 0, 0, 0, time.UTC) }
	step := func(from, to int) MorningStep {
		return MorningStep{Asked: true, State: NoGo, Today: &Against{Binding{Limit: "wind_max"}, &Spell{From: at(from), To: at(to)}}}
	}
	assert.Empty(t, spellWords(&Morning{Now: at(6), Steps: []MorningStep{step(7, 9), step(10, 12)}}, "wind_max"), "they lie apart")
	assert.Equal(t, ", 07:00-12:00", spellWords(&Morning{Now: at(6), Steps: []MorningStep{step(7, 10), step(10, 12)}}, "wind_max"))
	assert.Empty(t, spellWords(&Morning{}, "wind_max"))
}

// Whatever the day, in every slot of a spell its limit or the closed hours stand against the
// step, and outside it that limit does not.
func TestSpell_IsAllOfItsLimit(t *testing.T) {
	limits := []string{"film", "wind_max", "hours"}
	rapid.Check(t, func(rt *rapid.T) {
		b := newBoard(t, "seal")
		text := ""
		for _, until := range []string{"07:00", "08:30", "10:00", "12:00", "13:00", "15:20", "18:00"} {
			text += "x " + rapid.SampledFrom(limits).Draw(rt, until) + " " + until + ";"
		}
		r := b.row("seal", "port side", text+"x hours end")
		x := newBuilder(b.f)
		today := x.today()
		s := x.spell(r, verdict.Film, today)
		in := func(i int) bool { return s != nil && !x.at(i).Before(s.From) && x.at(i).Before(s.To) }
		parts, was := 0, false
		for i := today.from; i < today.to; i++ {
			run, _, _ := x.runAt(r, i)
			is := run.Limit.String() == "film"
			if !closed(run.Limit) {
				if is && !was {
					parts++
				}
				was = is
			}
			if s != nil {
				assert.True(rt, !is || in(i))
				assert.True(rt, !in(i) || is || closed(run.Limit))
			}
		}
		assert.Equal(rt, parts == 1, s != nil)
	})
}
