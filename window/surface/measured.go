package surface

import "math"

// Measured is what was read on a panel in one slot. The track takes it over at
// the slot's end and goes on from there by the balance alone: the difference to
// what the balance had found dies away with the panel's own time constant, in
// minutes on a cored skin, in hours on a keel.
type Measured struct {
	Slot     int
	SurfaceC float64 // °C, where HasSurface
	// HasSurface: the surface was read. Where AtMost it is known to be no warmer
	// than SurfaceC, and a colder panel stays as it is.
	HasSurface, AtMost bool
	Film               WetOrDry
	FilmGM2            float64 // g/m², where the Film is LeftWet
}

// WetOrDry is what was seen, or felt, of water on a panel.
type WetOrDry uint8

// What was seen of water. Neither SeenWet nor LeftWet leaves more than the panel holds.
const (
	NotSeen WetOrDry = iota // nobody looked: the model's film stays
	SeenDry                 // none
	SeenWet                 // at least as much as a dew that shows
	LeftWet                 // at least FilmGM2
)

// dewGM2 is the least film on a panel that is seen to be wet, g/m², or half of
// what it holds where that is more; never more than it holds. A dew is 50 to 300
// g/m² (common practice, no source).
const dewGM2 = 50

// run is one track being computed.
type run struct {
	balance
	x       *Exposure
	w       *Weather
	started bool
	wait    int // slots until a start is forgotten
	left    int // of them
}

// RunFrom computes the track as Run does, and takes over what was measured, which
// must be in the order of its slots. What lies outside the grid, or where the
// weather is not known, is left out.
func (t *Track) RunFrom(p Panel, x *Exposure, w *Weather, m Model, measured []Measured) {
	r := run{balance: newBalance(p, m, stepS), x: x, w: w}
	r.wait = r.settleSlots()
	r.left = r.wait
	from := 0
	for _, q := range measured {
		if q.Slot < 0 || q.Slot >= w.Grid.N || w.Flags[q.Slot]&KnownSurface == 0 {
			continue
		}
		t.stretch(&r, from, q.Slot+1)
		from = max(from, q.Slot+1)
		t.takeOver(&r, q)
	}
	t.stretch(&r, from, w.Grid.N)
}

// takeOver puts the balance where it was measured. A panel whose temperature was
// read has no start left to forget.
func (t *Track) takeOver(r *run, q Measured) {
	b := &r.balance
	switch q.Film {
	case SeenDry:
		b.film, b.unseen = 0, 0
		b.temp = b.bare // as it would be had it never been wet
	case SeenWet:
		least := math.Max(dewGM2, b.p.HoldingGM2/2) / 1000
		b.film = math.Max(b.film, math.Min(least, b.holding))
	case LeftWet:
		b.film = math.Max(b.film, math.Min(q.FilmGM2/1000, b.holding))
	}
	if to := q.SurfaceC + kelvin; q.HasSurface && !(q.AtMost && b.temp <= to) {
		b.bare += to - b.temp
		b.temp, b.soaked = to, to
	}
	t.keep(q.Slot, b)
	if q.HasSurface && !q.AtMost {
		r.left = 0
		t.Settled[q.Slot] = true
	}
}
