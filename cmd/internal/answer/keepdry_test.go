package answer

import (
	"strings"
	"testing"
	"time"

	"dewgap/products"
	"dewgap/window"
	"dewgap/window/boat"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// sealing is a board of wash and seal on both zones, all workable, with a film that wants
// four hours without rain, two at the least.
func sealing(t *testing.T, now string) *board {
	b := newBoard(t, "wash", "seal")
	b.f.Classes = classes{"seal-class": {
		ID: "seal-class", Name: "seal-class", Do: "seal", People: 1,
		RainFree: products.Clock{Given: true, Default: 4, Hard: 2, HasHard: true},
	}}
	b.f.Now = clock(t, "2026-09-10 "+now)
	for _, s := range []string{"wash", "seal"} {
		for _, z := range []string{"port side", "foredeck"} {
			b.row(s, z, night+"g none 18:00"+tomorrow)
		}
	}
	return b
}

func (b *board) rainAt(hour int) {
	for h := range b.f.Result.Weather {
		if b.f.Result.Weather[h].At.In(b.f.Result.Location).Hour() == hour {
			b.f.Result.Weather[h].Rain = known(2)
		}
	}
}

// With everything done nothing is asked again, on no screen: what is left is to keep
// the fresh film dry.
func TestAllDone(t *testing.T) {
	b := sealing(t, "10:40")
	for z := range b.f.Job.Zones {
		b.f.Job.Zones[z].Done = map[string]boat.Done{
			"wash": {At: clock(t, "2026-09-10 08:00"), Share: 1}, "seal": {At: clock(t, "2026-09-10 10:30"), Share: 1},
		}
	}
	m := NewMorning(b.f)
	assert.True(t, m.Done)
	assert.Equal(t, Go, m.Verdict)
	assert.Empty(t, m.AskedSteps())
	assert.Equal(t, []string{"Keep port side and foredeck dry until 14:30 (seal, 10:30)."}, KeepDryLines(m.KeepDry, m.Now))
	last, _ := m.LastStart(func(MorningStep) bool { return true })
	assert.Nil(t, last)

	w := NewWeek(b.f)
	assert.True(t, w.Done)
	assert.Equal(t, Go, w.Verdict)
	assert.Empty(t, w.Headline.Best)
	assert.Empty(t, w.Headline.Next)
	assert.Empty(t, w.Headline.WhyNot)
	assert.Equal(t, m.KeepDry, w.KeepDry)
}

// The headline is about what is left, and names no zone that is done.
func TestHeadlineOfWhatIsLeft(t *testing.T) {
	b := sealing(t, "10:40")
	done := func(z int, steps ...string) {
		b.f.Job.Zones[z].Done = map[string]boat.Done{}
		for _, s := range steps {
			b.f.Job.Zones[z].Done[s] = boat.Done{At: clock(t, "2026-09-10 10:30"), Share: 1}
		}
	}
	done(0, "wash", "seal")
	w := NewWeek(b.f)
	assert.False(t, w.Done)
	assert.Equal(t, "seal", w.Headline.Step)
	require.Len(t, w.Headline.Best, 1)
	assert.Equal(t, "foredeck", w.Headline.Best[0].Zone)

	done(1, "seal")
	w = NewWeek(b.f)
	assert.Equal(t, "wash", w.Headline.Step)
	require.Len(t, w.Headline.Best, 1)
	assert.Equal(t, "foredeck", w.Headline.Best[0].Zone)
}

func TestKeepDryLines(t *testing.T) {
	for name, c := range map[string]struct {
		now, sealed string
		rain        int
		want        []string
	}{
		"dry":                       {"10:40", "10:30", 0, []string{"Keep port side dry until 14:30 (seal, 10:30)."}},
		"rain in the hard hours":    {"10:40", "10:30", 12, []string{"Keep port side dry until 14:30 (seal, 10:30). Rain from 12:00 would spoil it: cover it in time."}},
		"a minute before it":        {"11:59", "10:30", 12, []string{"Keep port side dry until 14:30 (seal, 10:30). Rain from 12:00 would spoil it: cover it in time."}},
		"it rains":                  {"12:10", "10:30", 12, []string{"Keep port side dry until 14:30 (seal, 10:30). The forecast has rain now, and rain spoils it: cover it at once."}},
		"rain in the usual hours":   {"10:40", "10:30", 13, []string{"Keep port side dry until 14:30 (seal, 10:30). Rain from 13:00 may mark it: cover it in time, else dry it at once and look at it in the sun."}},
		"rain when it has stood":    {"10:40", "10:30", 15, []string{"Keep port side dry until 14:30 (seal, 10:30)."}},
		"it has stood":              {"14:30", "10:30", 16, []string{}},
		"into the night of one day": {"17:40", "17:30", 0, []string{"Keep port side dry until 21:30 (seal, 17:30)."}},
	} {
		t.Run(name, func(t *testing.T) {
			b := sealing(t, c.now)
			b.f.Job.Zones[0].Done = map[string]boat.Done{"seal": {At: clock(t, "2026-09-10 "+c.sealed), Share: 1}}
			if c.rain > 0 {
				b.rainAt(c.rain)
			}
			m := NewMorning(b.f)
			assert.Equal(t, c.want, KeepDryLines(m.KeepDry, m.Now))
		})
	}
	on := clock(t, "2026-09-10 17:30")
	rain, dew := on.Add(4*time.Hour), on.Add(6*time.Hour)
	film := []KeepDry{{Step: "seal", Zone: "helm", On: on, Until: &rain, DewUntil: &dew}}
	assert.Equal(t, []string{"Keep helm dry until 21:30, and free of dew and wash water until 23:30 (seal, 17:30)."}, KeepDryLines(film, on))
	assert.Equal(t, []string{"Keep helm free of dew and wash water until 23:30 (seal, 17:30)."}, KeepDryLines(film, rain))
	assert.Equal(t, []string{"Keep caprail dry for longer than this forecast reaches (varnish, Thu 10 Sep 17:30)."},
		KeepDryLines([]KeepDry{{Step: "varnish", Zone: "caprail", On: on}}, on.Add(24*time.Hour)))
}

// Rain that fewer than half of the futures bring onto a fresh film is told from a fifth of
// them on, before the film has stood its hours and under the open sky.
func TestKeepDryTellsOfRainInSomeFutures(t *testing.T) {
	at := func(b *board, rainy, of int, clockTime string) {
		b.f.Result.Futures = nil
		slot := b.f.Result.Grid.Index(clock(t, "2026-09-10 "+clockTime))
		for m := range of {
			x := make(window.Wet, (b.f.Result.Grid.N+63)/64)
			if m < rainy {
				x[slot/64] |= 1 << (slot % 64)
			}
			b.f.Result.Futures = append(b.f.Result.Futures, x)
		}
	}
	said := func(b *board) string {
		m := NewMorning(b.f)
		return strings.Join(KeepDryLines(m.KeepDry, m.Now), " ")
	}
	b := sealing(t, "10:40")
	b.f.Job.Zones[0].Done = map[string]boat.Done{"seal": {At: clock(t, "2026-09-10 10:30"), Share: 1}}
	dry := "Keep port side dry until 14:30 (seal, 10:30)."
	at(b, 6, 30, "12:00")
	assert.Equal(t, dry+" Rain in 6 of 30 futures before then: have a cover at hand.", said(b), "one forecast, dressed")
	b.f.Result.Members = 51
	at(b, 11, 51, "14:20")
	assert.Equal(t, dry+" Rain in 11 of 51 forecasts before then: have a cover at hand.", said(b))
	at(b, 10, 51, "14:20")
	assert.Equal(t, dry, said(b), "less than a fifth")
	at(b, 51, 51, "14:30")
	assert.Equal(t, dry, said(b), "it has stood by then")
	at(b, 51, 51, "10:20")
	assert.Equal(t, dry, said(b), "before now")
	at(b, 25, 51, "12:00")
	b.rainAt(12)
	assert.Equal(t, dry+" Rain from 12:00 would spoil it: cover it in time.", said(b), "the median has it")
	at(b, 12, 51, "11:50")
	assert.Equal(t, dry+" Rain from 12:00 would spoil it: cover it in time. Rain in 12 of 51 forecasts before 12:00: have a cover at hand.",
		said(b), "sooner than the median")
	at(b, 10, 51, "11:50")
	assert.NotContains(t, said(b), "Rain in", "less than a fifth")
	b.f.Now = clock(t, "2026-09-10 12:10")
	at(b, 51, 51, "12:20")
	assert.Equal(t, dry+" The forecast has rain now, and rain spoils it: cover it at once.", said(b))

	b = sealing(t, "10:40")
	b.f.Job.Zones[0].Done = map[string]boat.Done{"seal": {At: clock(t, "2026-09-10 10:30"), Share: 1}}
	b.f.Job.Zones[0].Shelter = boat.Hardtop
	at(b, 6, 30, "12:00")
	assert.Equal(t, dry, said(b), "under a roof")
	on := clock(t, "2026-09-10 17:30")
	assert.Equal(t, []string{"Keep caprail dry for longer than this forecast reaches (varnish, 17:30). Rain in 3 of 11 forecasts in its hours: have a cover at hand."},
		KeepDryLines([]KeepDry{{Step: "varnish", Zone: "caprail", On: on, RainIn: &RainIn{3, 11, "forecasts"}}}, on))
}

// Dew that at least a fifth of the futures bring onto a film in the hours in which its
// product minds dew is told as rain is: by zone, for it forms on each in its own time.
func TestKeepDryTellsOfDewInSomeFutures(t *testing.T) {
	b := sealing(t, "17:40")
	dewy := func(zone, some, of int, clockTime string) {
		slot := b.f.Result.Grid.Index(clock(t, "2026-09-10 "+clockTime))
		b.f.Result.Dewy[zone] = nil
		for m := range of {
			x := make(window.Wet, (b.f.Result.Grid.N+63)/64)
			if m < some {
				x[slot/64] |= 1 << (slot % 64)
			}
			b.f.Result.Dewy[zone] = append(b.f.Result.Dewy[zone], x)
		}
	}
	minds := func(hours float64) {
		c := b.f.Classes.(classes)["seal-class"]
		c.DewFree = products.Clock{Given: hours > 0, Default: hours}
		b.f.Classes.(classes)["seal-class"] = c
		for i := range b.f.Result.Rows {
			b.f.Result.Rows[i].Class.DewFree = c.DewFree
		}
	}
	said := func() string {
		m := NewMorning(b.f)
		return strings.Join(KeepDryLines(m.KeepDry, m.Now), "|")
	}
	b.f.Result.Dewy = make([][]window.Wet, 2)
	b.f.Job.Zones[0].Done = map[string]boat.Done{"seal": {At: clock(t, "2026-09-10 17:30"), Share: 1}}
	dry := "Keep port side dry until 21:30 (seal, 17:30)."
	dewy(0, 6, 30, "20:40")
	minds(0)
	assert.Equal(t, dry, said(), "its product minds none")
	minds(3)
	assert.Equal(t, dry, said(), "its hours for dew are over by then")
	dewy(0, 6, 30, "20:20")
	assert.Equal(t, dry+" Dew in 6 of 30 futures before 20:30: have a cover at hand.", said())
	dewy(0, 5, 30, "20:20")
	assert.Equal(t, dry, said(), "less than a fifth")
	dewy(0, 29, 30, "21:20")
	minds(4)
	assert.Equal(t, dry+" Dew in 29 of 30 futures before then: have a cover at hand.", said(), "nothing else tells of it")
	minds(6)
	dry = "Keep port side dry until 21:30, and free of dew and wash water until 23:30 (seal, 17:30)."
	assert.Equal(t, dry+" Dew in 29 of 30 futures before then: have a cover at hand.", said())
	b.f.Result.Futures = b.f.Result.Dewy[0]
	assert.Equal(t, dry+" Rain in 29 of 30 futures before 21:30, dew in 29 of 30 futures before then: have a cover at hand.", said())
	b.f.Result.Futures = nil
	b.rainAt(21)
	assert.Equal(t, dry+" Rain from 21:00 may mark it: cover it in time, else dry it at once and look at it in the sun."+
		" Dew in 29 of 30 futures before 23:30: have a cover at hand.", said())
	b.f.Now = clock(t, "2026-09-10 22:00")
	dewy(0, 29, 30, "22:30")
	assert.Equal(t, "Keep port side free of dew and wash water until 23:30 (seal, 17:30). Dew in 29 of 30 futures before then: have a cover at hand.", said())

	b.f.Job.Zones[1].Done = b.f.Job.Zones[0].Done
	dewy(1, 9, 30, "22:40")
	assert.Equal(t, "Keep port side and foredeck free of dew and wash water until 23:30 (seal, 17:30). Dew in up to 29 of 30 futures before then: have a cover at hand.",
		said(), "one line for what is alike but for its count")
	minds(1000)
	assert.Contains(t, said(), "in its hours", "longer than the forecast reaches")
	m := NewMorning(b.f)
	assert.Equal(t, [2]int{9, 30}, [2]int{m.KeepDry[1].DewIn.In, m.KeepDry[1].DewIn.Of})
	assert.Nil(t, m.KeepDry[1].DewIn.Before)
}
