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
// members that are known. It is kept for the slots of windows and the first slot alone.
type Met struct {
	Surface, OverDew []float32 // °C, K over the dew point
	Film             []float32 // g/m² of water that lies there, until it is towelled off where it is
	Known            []bool
	towelled         bool // before work
}

// Towel is the water, g/m², that has to be towelled off before the row's work in a slot
// of the horizon; false where it needs no towel, or gets none.
func (r *Row) Towel(slot int) (gm2 float64, needed bool) {
	m := r.Panel
	if m == nil || !m.towelled || slot < 0 || slot >= len(m.Film) || !m.Known[slot] {
		return 0, false
	}
	gm2 = float64(m.Film[slot])
	return gm2, gm2 > r.Class.FilmMaxGM2
}

// Wet reports whether water is known to lie on the panel in a slot of the horizon, as a
// finger feels it.
func (m *Met) Wet(slot int) bool {
	return m != nil && slot >= 0 && slot < len(m.Film) && m.Known[slot] && m.Film[slot] > dryGM2
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

// met adds what is met in the slots of some windows, and in the first, to what is known
// of the zone.
func (w *zoneWork) met(windows []Window, towelled bool) *Met {
	k := 0
	if towelled {
		k = 1
	}
	from, n := w.result.From, w.result.To-w.result.From
	if w.meeting[k] == nil {
		w.meeting[k] = &Met{
			Surface: make([]float32, n), OverDew: make([]float32, n), Film: make([]float32, n), Known: make([]bool, n),
			towelled: towelled && !w.zone.Finish.Soaks,
		}
	}
	out := w.meeting[k]
	c := w.meets(towelled)
	c.meet(out, from, from)
	for i := range windows {
		for at := windows[i].From; at < windows[i].To; at++ {
			c.meet(out, at, from)
		}
	}
	return out
}

// meets are the deciding members' columns of what work meets, and room for one slot of
// each.
type meets struct {
	ready                 [][]bool
	panel, over, film     [][]float32
	temps, spreads, films []float32
}

func (w *zoneWork) meets(towelled bool) *meets {
	n := w.deciding()
	block := make([]float32, 3*n)
	c := &meets{ready: w.ready[:n], over: w.spread[:n], temps: block[:n], spreads: block[n : 2*n], films: block[2*n:]}
	if towelled {
		c.over = w.bare[:n]
	}
	for _, t := range w.tracks[:n] {
		panel := t.Surface
		if towelled {
			panel = t.Bare
		}
		c.panel, c.film = append(c.panel, panel), append(c.film, t.Film)
	}
	return c
}

// meet notes what is met in one slot of a horizon that begins in slot from.
func (c *meets) meet(out *Met, at, from int) {
	i, n := at-from, 0
	if out.Known[i] {
		return
	}
	for m, ready := range c.ready {
		if ready[at] {
			c.temps[n], c.spreads[n], c.films[n] = c.panel[m][at], c.over[m][at], c.film[m][at]
			n++
		}
	}
	if n == 0 {
		return
	}
	out.Surface[i], out.OverDew[i], out.Known[i] = nth(c.temps[:n], n/2), nth(c.spreads[:n], n/2), true
	out.Film[i] = nth(c.films[:n], n/2)
}
