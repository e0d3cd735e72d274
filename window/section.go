package window

import (
	"dewgap/products"
	"dewgap/window/boat"
	"dewgap/window/surface"
	"dewgap/window/verdict"
)

// Hand-drying speed in m² a minute and person, and the film that a wash leaves
// in g/m² (common practice, no source).
const (
	dryRate     = 1.0
	sideFilmGM2 = 50.0
	deckFilmGM2 = 100.0
)

// leastSection is the smallest section worth washing, m²: below it the panel
// dries before the towel comes. Softened or deionised water leaves less behind.
func leastSection(rinse string) float64 {
	if rinse == "softened" || rinse == "deionised" {
		return 1
	}
	return 2
}

// sections gives, per member and slot, the largest section that may be washed
// at once: what the people can towel off, or wash, before the film is gone,
// with t its life in minutes: the smaller of rate_dry·(0.7 t − 1) and
// rate_wash·0.7 t.
// Slots in which nobody may work anyway are left at 0.
func (w *zoneWork) sections(c products.Class, fixed []verdict.Limit) [][]float32 {
	asked := make([]bool, w.grid.N)
	w.asked.Each(func(from, to int) {
		for i := from; i < to; i++ {
			asked[i] = fixed[i] == verdict.None || fixed[i] == verdict.Order
		}
	})
	wash := washRate(c) / 60
	people := w.people()
	film := washFilm(w.zone)
	out := make([][]float32, len(w.members))
	for m := range w.members {
		life := w.column()
		surface.FilmLife(life, asked, film, w.panel, w.exposure, w.weather[m], w.tracks[m], w.Model)
		for i, minutes := range life {
			t := 0.7 * float64(minutes)
			life[i] = float32(people[i] * max(0, min(dryRate*(t-1), wash*t)))
		}
		out[m] = life
	}
	return out
}

// washFilm is the film that a wash leaves on a zone, g/m².
func washFilm(z boat.Zone) float64 {
	if z.Tilt > 45 {
		return sideFilmGM2
	}
	return deckFilmGM2
}

// washed is what the last wash that is told of leaves on the panel as it ends. The
// trade dries at once: a section is no larger than a hand with a towel keeps up with,
// so nothing lies on a panel that was washed all over, be it from the wash or from the
// dew or rain before, and for what is left in seams the dry-off clock runs. Where the
// job has no towels the film of the wash has to go by itself, which is also so of what
// was told of a part of the zone alone. Bare wood has no film: the clock alone tells.
func (w *zoneWork) washed() (m surface.Measured, ok bool) {
	at, share := w.lastWet()
	if s := w.Job.Since; s.HasWash && s.Wash.After(at) && !s.Wash.After(w.Now) {
		at, share = s.Wash, 1
	}
	m.Slot = w.slotBefore(at.Add(-1))
	switch {
	case at.IsZero() || m.Slot < 0 || m.Slot >= w.grid.N || w.zone.Finish.Soaks:
		return m, false
	case !w.Job.Towel:
		m.Film, m.FilmGM2 = surface.LeftWet, washFilm(w.zone)
	case share < 1:
		return m, false
	default:
		m.Film = surface.SeenDry
	}
	return m, true
}

// people is, per slot, how many work that day, at least one.
func (w *zoneWork) people() []float64 {
	out := make([]float64, w.grid.N)
	for i := range out {
		out[i] = float64(max(w.days.people[i], 1))
	}
	return out
}

// washRate is m² washed in an hour by one person, the middle of the class's
// range.
func washRate(c products.Class) float64 {
	if !c.RateM2H.Given {
		return 40
	}
	return (c.RateM2H.Min + c.RateM2H.Max) / 2
}

// medianOver is the median of members' values in [from, to).
func medianOver(members [][]float32, from, to int) []float32 {
	out := make([]float32, to-from)
	buf := make([]float32, len(members))
	for i := range out {
		some := false
		for m := range members {
			buf[m] = members[m][from+i]
			some = some || buf[m] != 0
		}
		if some {
			out[i] = nth(buf, len(buf)/2)
		}
	}
	return out
}
