package window

import (
	"dewgap/products"
	"dewgap/window/job"
	"dewgap/window/surface"
)

// inSunWM2 is the sunlight on a panel above which it counts as in the sun.
const inSunWM2 = 250

// towelledBy reports whether work with the class meets the panel as a towel
// leaves it.
func towelledBy(j *job.Job, c products.Class) bool { return j.Towel && c.Towel && c.HasFilmMax }

// meets fills in what the step meets on the panel in the window.
func (w *zoneWork) meets(win *Window, towelled bool) {
	voters := w.deciding()
	surfaces, spreads := make([]Extent, 0, voters), make([]Extent, 0, voters)
	sunny, known := 0, 0
	for m := range voters {
		temps, over := w.tracks[m].Surface, w.spread[m]
		if towelled {
			temps, over = w.tracks[m].Bare, w.bare[m]
		}
		surfaces = appendExtent(surfaces, temps[win.From:win.To], w.ready[m][win.From:win.To])
		spreads = appendExtent(spreads, over[win.From:win.To], w.ready[m][win.From:win.To])
	}
	for i := win.From; i < win.To; i++ {
		if w.weather[0].Flags[i]&surface.KnownSun != 0 {
			known++
			if w.tracks[0].Sunlight[i] > inSunWM2 {
				sunny++
			}
		}
	}
	win.Panel, win.OverDew = medianExtent(surfaces), medianExtent(spreads)
	win.Sunlit = known > 0 && 2*sunny >= known
}

// appendExtent adds the least and the most of the values that are ready.
func appendExtent(to []Extent, values []float32, ready []bool) []Extent {
	var x Extent
	for i, v := range values {
		if !ready[i] {
			continue
		}
		f := float64(v)
		if !x.Known {
			x = Extent{Least: f, Most: f, Known: true}
		}
		x.Least, x.Most = min(x.Least, f), max(x.Most, f)
	}
	if x.Known {
		to = append(to, x)
	}
	return to
}

func medianExtent(all []Extent) Extent {
	if len(all) == 0 {
		return Extent{}
	}
	n := len(all) / 2
	ends := make([]float64, 2*len(all))
	least, most := ends[:len(all)], ends[len(all):]
	for i, x := range all {
		least[i], most[i] = x.Least, x.Most
	}
	return Extent{Least: nth(least, n), Most: nth(most, n), Known: true}
}
