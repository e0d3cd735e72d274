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

// sunlit reports whether the sun is on the panel for half of a window at least.
func (w *zoneWork) sunlit(win *Window) bool {
	sunny, known := 0, 0
	for i := win.From; i < win.To; i++ {
		if w.weather[0].Flags[i]&surface.KnownSun != 0 {
			known++
			if w.tracks[0].Sunlight[i] > inSunWM2 {
				sunny++
			}
		}
	}
	return known > 0 && 2*sunny >= known
}

// Met is what a step meets on the panel, by slot of the horizon: the median of the
// members that are known. It is kept for the slots of windows alone.
type Met struct {
	Surface, OverDew []float32 // °C, K over the dew point
	Known            []bool
}

// Extents are the least and the most in slots [from, to) of the horizon.
func (m *Met) Extents(from, to int) (panel, overDew Extent) {
	if m == nil {
		return Extent{}, Extent{}
	}
	from, to = max(from, 0), min(to, len(m.Known))
	if to <= from {
		return Extent{}, Extent{}
	}
	return m.extent(m.Surface, from, to), m.extent(m.OverDew, from, to)
}

func (m *Met) extent(values []float32, from, to int) Extent {
	var x Extent
	for i := from; i < to; i++ {
		if !m.Known[i] {
			continue
		}
		v := float64(values[i])
		if !x.Known {
			x = Extent{Least: v, Most: v, Known: true}
		}
		x.Least, x.Most = min(x.Least, v), max(x.Most, v)
	}
	return x
}

// met adds what is met in the slots of some windows to what is known of the zone.
func (w *zoneWork) met(windows []Window, towelled bool) *Met {
	k := 0
	if towelled {
		k = 1
	}
	from, n := w.result.From, w.result.To-w.result.From
	if w.meeting[k] == nil {
		w.meeting[k] = &Met{Surface: make([]float32, n), OverDew: make([]float32, n), Known: make([]bool, n)}
	}
	out := w.meeting[k]
	temps, spreads := make([]float32, 0, w.deciding()), make([]float32, 0, w.deciding())
	for i := range windows {
		for at := windows[i].From; at < windows[i].To; at++ {
			if out.Known[at-from] {
				continue
			}
			temps, spreads = temps[:0], spreads[:0]
			for m := range w.deciding() {
				switch {
				case !w.ready[m][at]:
				case towelled:
					temps, spreads = append(temps, w.tracks[m].Bare[at]), append(spreads, w.bare[m][at])
				default:
					temps, spreads = append(temps, w.tracks[m].Surface[at]), append(spreads, w.spread[m][at])
				}
			}
			if len(temps) > 0 {
				out.Surface[at-from], out.OverDew[at-from] = nth(temps, len(temps)/2), nth(spreads, len(spreads)/2)
				out.Known[at-from] = true
			}
		}
	}
	return out
}
