package answer

import (
	"testing"
	"time"

	"dewgap/products"
	"dewgap/window/boat"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// With everything done, a film that wears off is due again after the catalogue's months:
// of the open air on an open panel, of a roof under one.
func TestLasts(t *testing.T) {
	b := sealing(t, "16:40")
	c := b.f.Classes.(classes)["seal-class"]
	c.LifeSunMo = products.Range{Given: true, Min: 2, Max: 4, Source: "common practice; about 3"}
	c.LifeMildMo = products.Range{Given: true, Min: 4, Max: 6, Source: "common practice"}
	c.LifeRoofMo = products.Range{Given: true, Min: 8, Max: 12, Source: "common practice"}
	for i := range b.f.Result.Rows {
		if r := &b.f.Result.Rows[i]; r.Class.ID == c.ID {
			r.Class = c
		}
	}
	on := clock(t, "2026-09-10 10:30")
	assert.Empty(t, NewWeek(b.f).Lasts, "nothing is done")
	for z := range b.f.Job.Zones {
		b.f.Job.Zones[z].Done = map[string]boat.Done{"wash": {At: on.Add(-2 * time.Hour), Share: 1}, "seal": {At: on, Share: 1}}
	}
	b.f.Job.Zones[1].Shelter = boat.Hardtop
	w := NewWeek(b.f)
	require.Len(t, w.Lasts, 2)
	assert.Equal(t, w.Lasts, NewMorning(b.f).Lasts)
	assert.Equal(t, "10 Nov 2026", w.Lasts[0].From.Format("2 Jan 2006"))
	assert.Equal(t, []string{
		"Seal again about Nov 2026 to Mar 2027 on port side: seal-class lasts 2 to 4 months in full subtropical sun (common practice; about 3), " +
			"4 to 6 months in temperate sun (common practice).",
		"Seal again about May to Sep 2027 on foredeck: seal-class lasts 8 to 12 months under a roof (common practice).",
	}, LastsLines(w.Lasts, w.Now))
	assert.Contains(t, LastsLines(w.Lasts, w.Now.AddDate(0, 8, 0))[0], "Seal again, due since Mar 2027 on port side")

	b.f.Job.Zones[1].Shelter = boat.Open
	assert.Len(t, LastsLines(NewWeek(b.f).Lasts, w.Now), 1, "alike")
	w.Lasts[0].To = nil
	assert.Contains(t, LastsLines(w.Lasts[:1], w.Now)[0], "Seal again not before Nov 2026 on port side")
	b.f.Job.Zones[0].Done["seal"] = boat.Done{At: on, Share: 0.5}
	assert.Empty(t, NewWeek(b.f).Lasts, "a half is left")
}

func TestLives(t *testing.T) {
	months := func(least, most float64) products.Range { return products.Range{Given: true, Min: least, Max: most} }
	assert.Empty(t, lives(products.Class{}, false))
	assert.Len(t, lives(products.Class{LifeSunMo: months(60, 180)}, true), 1, "no word of a roof")
	assert.Empty(t, lives(products.Class{LifeRoofMo: months(8, 12)}, false), "a word of roofs alone")
	assert.Equal(t, "4 months", monthsWord(months(4, 4)))
	assert.Equal(t, "120 months or more", monthsWord(products.Range{Given: true, Min: 120, Max: 120, NoMax: true}))
}
