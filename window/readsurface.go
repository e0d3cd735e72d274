package window

import (
	"math"
	"slices"
	"time"

	"dewgap/products"
	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/surface"
	"dewgap/window/verdict"
)

// skyWithin is how long before or after a surface was read the sky told with
// another reading still holds.
const skyWithin = time.Hour

// panelReads is what was read on one zone while its tracks are made.
type panelReads struct {
	*evaluation
	zone  boat.Zone
	panel surface.Panel
	x     *surface.Exposure
	own   bool // the readings were taken on this finish: not on a part's
	uses  []int
}

// measured gives what the tracks of a zone, or of a part of it, take over from
// what was read there, in the order of the slots. Water counts on all of a zone,
// a temperature only on the finish that it was read on.
func (e *evaluation) measured(z int, zone boat.Zone, p surface.Panel, x *surface.Exposure) []surface.Measured {
	r := e.reads
	if r == nil {
		return nil
	}
	c := panelReads{evaluation: e, zone: zone, panel: p, x: x, own: zone.Finish.Name == e.Job.Zones[z].Finish.Name}
	for u := range r.uses {
		use := &r.uses[u]
		if kind := use.Kind; use.Zone == zone.Name && (kind == ReadSurface || kind == ReadWet) && (use.Reason == "" || use.Used) {
			c.uses = append(c.uses, u)
		}
	}
	if len(c.uses) == 0 {
		return nil
	}
	models := c.models()
	var out []surface.Measured
	for k, u := range c.uses {
		if m, ok := c.take(u, models[k]); ok {
			out = append(out, m)
		}
	}
	return out
}

// model is what was worked out for the slot of a reading before it was taken over.
type model struct {
	surface Value // °C, median over the deciding members
	beam    float64
	wets    bool // water from above arrives
}

// models runs the tracks of the deciding members without the readings.
func (c *panelReads) models() []model {
	out := make([]model, len(c.uses))
	values := make([][]float32, len(c.uses))
	t := surface.NewTrack(c.grid.N)
	for m := range c.result.Members {
		w := c.weather[m]
		t.Run(c.panel, c.x, w, c.Model)
		for k, u := range c.uses {
			i := c.grid.Index(c.reads.uses[u].At)
			if i >= c.grid.N || w.Flags[i]&surface.KnownSurface == 0 {
				continue
			}
			if t.Settled[i] {
				values[k] = append(values[k], t.Surface[i])
			}
			if m == 0 {
				out[k].beam, out[k].wets = float64(w.Normal[i]*c.x.Beam[i]), t.Wets[i]
			}
		}
	}
	for k, v := range values {
		if len(v) > 0 {
			slices.Sort(v)
			out[k].surface = Value{float64(v[(len(v)-1)/2]+v[len(v)/2]) / 2, true}
		}
	}
	return out
}

// take judges one reading and gives what the track takes over of it.
func (c *panelReads) take(u int, was model) (out surface.Measured, ok bool) {
	use := &c.reads.uses[u]
	note := use
	if !c.own {
		note = &ReadingUse{At: use.At} // the zone's own finish speaks of it
	}
	slot, ok := c.readSlot(note)
	switch {
	case !ok:
		return out, false
	case c.weather[0].Flags[slot]&surface.KnownSurface == 0:
		note.Reason = "the forecast lacks what the panel hangs on then"
		return out, false
	}
	out.Slot = slot
	if use.Kind == ReadWet {
		out.Film = surface.SeenDry
		if c.reads.list[c.reads.of[u]].Wet == job.Yes {
			out.Film = surface.SeenWet
		} else if was.wets {
			note.Reason = "by the forecast water falls on it then"
		}
		note.Used = true
		return out, true
	}
	if !c.own {
		return out, false
	}
	return out, c.takeSurface(u, was, &out)
}

// takeSurface judges a temperature.
func (c *panelReads) takeSurface(u int, was model, out *surface.Measured) bool {
	use := &c.reads.uses[u]
	if was.surface.Known && !use.Forecast.Known {
		use.foresaw(was.surface.V, " °C")
	}
	s := c.surfaceRead(u, was)
	how, reason := s.judge()
	out.HasSurface, out.SurfaceC = true, use.Value.V
	use.Reason = reason
	switch how {
	case asRead:
		use.Used = true
	case atMost:
		out.AtMost, out.SurfaceC = true, use.Value.V+glareMostK
		use.Used = s.hasModel && s.model > out.SurfaceC
	}
	return use.Used
}

// surfaceRead gathers what the truth of a reading hangs on.
func (c *panelReads) surfaceRead(u int, was model) surfaceRead {
	use, m := &c.reads.uses[u], c.reads.list[c.reads.of[u]]
	slot := c.grid.Index(use.At)
	return surfaceRead{
		finish: c.zone.Finish, by: m.By, tilt: c.zone.Tilt, openSky: c.x.SkyLight[slot] > 0,
		clear: c.clear(c.reads.of[u], slot), sun: m.Sun, beam: was.beam,
		c: use.Value.V, model: was.surface.V, hasModel: was.surface.Known, confirmed: c.confirmed(u),
	}
}

// clear reports whether the sky was clear when reading k was taken: as was said
// with it, else with the nearest reading within the hour, else by the forecast.
func (c *panelReads) clear(k, slot int) bool {
	list := c.reads.list
	said, nearest := list[k].Sky, skyWithin+1
	if said == job.SkyNotTold {
		for _, m := range list {
			if d := m.At.Sub(list[k].At).Abs(); m.Sky != job.SkyNotTold && d <= skyWithin && d < nearest {
				said, nearest = m.Sky, d
			}
		}
	}
	if said != job.SkyNotTold {
		return said == job.SkyClear
	}
	w := c.weather[0]
	return w.Flags[slot]&surface.KnownSun != 0 && w.Cloud[slot] < clearSky
}

// confirmed reports whether another temperature of the zone agrees.
func (c *panelReads) confirmed(u int) bool {
	var at []time.Time
	var v []float64
	self := 0
	for _, o := range c.uses {
		if use := &c.reads.uses[o]; use.Kind == ReadSurface {
			if o == u {
				self = len(v)
			}
			at, v = append(at, use.At), append(v, use.Value.V)
		}
	}
	return confirmed(at, v, self)
}

// woodReading is the moisture that was read in the wood of the zone, for classes
// that ask for dry wood.
func (w *zoneWork) woodReading(c products.Class) verdict.WoodReading {
	if w.reads == nil || c.Surface != products.SurfaceDry || !wooden(w.zone.Finish) {
		return verdict.WoodReading{}
	}
	u, ok := w.reads.wood[w.z]
	if !ok {
		return verdict.WoodReading{}
	}
	use := &w.reads.uses[u]
	return verdict.WoodReading{Read: true, Slot: w.grid.Index(use.At), Pct: float32(math.Min(use.Value.V, 100))}
}
