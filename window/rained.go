package window

import (
	mathbits "math/bits"
	"slices"
	"time"

	"dewgap/window/job"
	"dewgap/window/surface"
)

// heard is what was told of rain, slot by slot of the grid.
type heard struct {
	mm       []float32 // that fell; 0: nobody saw any
	measured []bool    // the amount was read off, else it is a guess
	dry      []bool    // of a day of which somebody told, and none fell
}

// listen lays out what was told of rain; nil where nothing was. It is laid over the
// slots and not over the forecast's hours, so that what ended at twenty past does not
// wet the panel until the hour is full, and what the forecast has of the same rain is
// outranked and not added to.
func (e *evaluation) listen() *heard {
	spells := e.spells()
	if len(spells) == 0 {
		return nil
	}
	n := e.grid.N
	h := &heard{mm: make([]float32, n), measured: make([]bool, n), dry: make([]bool, n)}
	days, until := toldDays(e.Rained, e.Location), e.Now
	if !e.RainedUntil.IsZero() {
		until = e.RainedUntil
	}
	for i := range min(e.grid.Index(until), n) {
		h.dry[i] = len(days) > 0 && days[job.DateOf(e.local(i))]
	}
	for _, r := range spells {
		h.fall(e.grid, r)
	}
	return h
}

// spells are the rains that were told. Of the one that the job has under `since` only
// the end is known: it leaves on the panel, in its last slot, what an hour brings. That
// word was written at some moment of its day, so it outranks nothing of the forecast.
func (e *evaluation) spells() []Rain {
	out := slices.DeleteFunc(slices.Clone(e.Rained), func(r Rain) bool { return !r.Observed || !r.To.After(r.From) })
	since := e.Job.Since
	seen := slices.ContainsFunc(out, func(r Rain) bool { return !r.From.After(since.Rain) && !r.To.Before(since.Rain) })
	if since.HasRain && !seen && !since.Rain.After(e.Now) {
		out = append(out, Rain{From: since.Rain.Add(-surface.Slot), To: since.Rain, MM: unstatedRain, HasMM: true})
	}
	return out
}

// fall notes a spell of rain in the slots that it touches, with the amount measured or
// half a millimetre an hour.
func (h *heard) fall(g surface.Grid, r Rain) {
	rate := unstatedRain
	if r.HasMM {
		rate = r.MM / r.To.Sub(r.From).Hours()
	}
	for i := max(0, g.Index(r.From)); i < g.N && g.At(i).Before(r.To); i++ {
		from, to := g.At(i), g.At(i).Add(surface.Slot)
		if from.Before(r.From) {
			from = r.From
		}
		if to.After(r.To) {
			to = r.To
		}
		if !to.After(from) {
			continue
		}
		mm := max(rate*to.Sub(from).Hours(), leastWetMM*surface.Slot.Hours())
		h.mm[i] = max(h.mm[i], float32(mm))
		h.measured[i], h.dry[i] = h.measured[i] || r.HasMM, false
	}
}

// over lays it over a member's weather. Who saw the rain of a day outranks the forecast
// of that day up to now; where nobody measured it, the forecast's amount stands.
func (h *heard) over(w *surface.Weather) {
	const rains = surface.Wets | surface.KnownRain | surface.KnownAmount
	for i, mm := range h.mm {
		switch {
		case mm > 0:
			if w.Flags[i]&surface.Wets != 0 && !h.measured[i] {
				mm = max(mm, w.Rain[i])
			}
			w.Flags[i], w.Rain[i] = w.Flags[i]&^surface.Shifted|rains, mm
		case h.dry[i]:
			w.Flags[i], w.Rain[i] = w.Flags[i]&^(surface.Wets|surface.Shifted), 0
		}
	}
}

// toldWet has a bit for each slot of an hour in which at least half of the deciding members
// are wet; 0 where nobody told of any of them, and the hour is all that is known.
func (e *evaluation) toldWet(from, to int) uint8 {
	if e.told == nil {
		return 0
	}
	told, slots := false, uint8(0)
	for i := max(from, 0); i < to; i++ {
		told = told || e.told.mm[i] > 0 || e.told.dry[i]
		wet := 0
		for _, w := range e.weather[:e.result.Members] {
			if w.Flags[i]&surface.Wets != 0 {
				wet++
			}
		}
		if 2*wet >= e.result.Members {
			slots |= 1 << (i - from)
		}
	}
	if !told {
		return 0
	}
	return slots
}

// rains is from when to when rain falls in an hour: all of it, or the slots that were told.
func (h *Hour) rains() (from, to time.Time) {
	if h.wet == 0 {
		return h.At, h.At.Add(time.Hour)
	}
	return h.At.Add(time.Duration(mathbits.TrailingZeros8(h.wet)) * surface.Slot), h.At.Add(time.Duration(mathbits.Len8(h.wet)) * surface.Slot)
}

// RainFrom is when the rain of an hour still falls at t or after it; zero where it is over by
// then. The hour is all that is known of a forecast, which is the beginning of the hour; of
// one of which somebody told what is past is over, and what is to come begins in a slot to come.
func (h *Hour) RainFrom(t time.Time) time.Time {
	if h.wet == 0 {
		return h.At
	}
	for i := range surface.PerHour {
		if at := h.At.Add(time.Duration(i) * surface.Slot); h.wet>>i&1 == 1 && !at.Before(t) {
			return at
		}
	}
	return time.Time{}
}

// toldDays are the days of whose rain somebody told.
func toldDays(rain []Rain, loc *time.Location) map[job.Date]bool {
	days := map[job.Date]bool{}
	for _, r := range rain {
		if r.Observed {
			days[job.DateOf(r.From.In(loc))], days[job.DateOf(r.To.In(loc))] = true, true
		}
	}
	return days
}

// leastWetMM is the least rain an hour that wets (common practice).
const leastWetMM = 0.1

// ForecastRain lists the spells of rain of a result in [from, to): the hours in
// which the median of the members has at least 0.1 mm, joined. What somebody told of began
// and ended as it was told, and not with its hour.
func ForecastRain(r *Result, from, to time.Time) []Rain {
	var out []Rain
	for _, h := range r.Weather {
		begin, end := h.rains()
		if !begin.Before(to) || !end.After(from) || !h.Rain.Known || h.Rain.V < leastWetMM {
			continue
		}
		if n := len(out); n > 0 && out[n-1].To.Equal(begin) {
			out[n-1].To = end
			out[n-1].MM += h.Rain.V
			continue
		}
		out = append(out, Rain{From: begin, To: end, MM: h.Rain.V, HasMM: true})
	}
	return out
}
