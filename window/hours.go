package window

import (
	"slices"
	"time"

	"dewgap/window/crew"
	"dewgap/window/surface"
)

// hourSlots gives the slots of hour h of the answer within the grid.
func (e *evaluation) hourSlots(h int) (from, to int) {
	from = e.firstHour() + h*surface.PerHour
	return from, min(from+surface.PerHour, e.grid.N)
}

// firstHour is the slot on the hour at or before the horizon's start.
func (e *evaluation) firstHour() int {
	t := e.grid.At(e.result.From).Truncate(time.Hour)
	return int(t.Sub(e.grid.Start) / surface.Slot)
}

// hourCount is the number of hours from firstHour to the horizon's end.
func (e *evaluation) hourCount() int {
	return (e.result.To - e.firstHour() + surface.PerHour - 1) / surface.PerHour
}

// hours fills the weather of every hour: the median over the members of each
// one's own hour.
func (e *evaluation) hours() {
	n := e.hourCount()
	hours := make([]Hour, n)
	for h := range hours {
		hours[h] = e.hour(h)
	}
	all, _ := e.spans()
	by := func(known func(k *knowledge) []bool) [][]bool {
		return e.throughout(all, func(m int) []bool { return known(&e.known[m]) })
	}
	e.sunny, e.burning = by(func(k *knowledge) []bool { return k.sun }), by(func(k *knowledge) []bool { return k.uv })
	air, wind := by(func(k *knowledge) []bool { return k.air }), by(func(k *knowledge) []bool { return k.wind })
	temperature, amount := by(func(k *knowledge) []bool { return k.temperature }), by(func(k *knowledge) []bool { return k.amount })
	quantities := []struct {
		of    func(w *surface.Weather) []float32
		fold  fold
		known [][]bool
		put   func(h *Hour) *Value
	}{
		{func(w *surface.Weather) []float32 { return w.Air }, meanOf, temperature, func(h *Hour) *Value { return &h.Air }},
		{func(w *surface.Weather) []float32 { return w.Dew }, meanOf, air, func(h *Hour) *Value { return &h.Dew }},
		{func(w *surface.Weather) []float32 { return w.Humidity }, meanOf, air, func(h *Hour) *Value { return &h.Humidity }},
		{func(w *surface.Weather) []float32 { return w.Wind }, meanOf, wind, func(h *Hour) *Value { return &h.Wind }},
		{func(w *surface.Weather) []float32 { return w.Gust }, mostOf, wind, func(h *Hour) *Value { return &h.Gust }},
		{func(w *surface.Weather) []float32 { return w.GustHigh }, mostOf, wind, func(h *Hour) *Value { return &h.GustHigh }},
		{func(w *surface.Weather) []float32 { return w.Cloud }, meanOf, e.sunny, func(h *Hour) *Value { return &h.Cloud }},
		{func(w *surface.Weather) []float32 { return w.Global }, meanOf, e.sunny, func(h *Hour) *Value { return &h.Global }},
		{func(w *surface.Weather) []float32 { return w.UV }, meanOf, e.burning, func(h *Hour) *Value { return &h.UV }},
		{func(w *surface.Weather) []float32 { return w.Rain }, sumOf, amount, func(h *Hour) *Value { return &h.Rain }},
	}
	e.each(len(quantities), func(k int) {
		q := &quantities[k]
		e.medians(all, q.fold, q.known, func(m int) []float32 { return q.of(e.weather[m]) },
			func(h int, v Value) { *q.put(&hours[h]) = v })
	})
	e.result.Weather = hours
}

// hour gives what of an hour is no median.
func (e *evaluation) hour(h int) Hour {
	from, to := e.hourSlots(h)
	mid := min(max((from+to)/2, 0), e.grid.N-1)
	x := Hour{
		At: e.grid.At(from), SunElevation: e.sky.Elevation[mid], SunAzimuth: e.sky.Azimuth[mid], CosZ: e.sky.CosZ[mid],
	}
	w := e.weather[0]
	if g := float64(w.Global[mid]); g > 0 {
		x.Direct = max(0, 1-float64(w.Diffuse[mid])/g)
	}
	for i := max(from, 0); i < to; i++ {
		x.Thunder = x.Thunder || e.known[0].thunder[i]
	}
	x.wet = e.toldWet(from, to)
	return x
}

// fold makes one number of an hour's slots.
type fold func(v []float32) float64

func meanOf(v []float32) float64 { return sumOf(v) / float64(len(v)) }

func sumOf(v []float32) float64 {
	s := 0.0
	for _, x := range v {
		s += float64(x)
	}
	return s
}

func mostOf(v []float32) float64 { return float64(slices.Max(v)) }

// span is the slots [from, to).
type span struct{ from, to int }

// spans gives the slots of every hour, and the last one of each. One that begins
// before the grid is empty.
func (e *evaluation) spans() (all, ends []span) {
	all, ends = make([]span, e.hourCount()), make([]span, e.hourCount())
	for h := range all {
		from, to := e.hourSlots(h)
		if from >= 0 && from < to {
			all[h] = span{from, to}
		}
		if last := max(from, to-1); last >= 0 && last < to {
			ends[h] = span{last, to}
		}
	}
	return all, ends
}

// throughout tells, by deciding member and span, whether a member knows all slots of a
// span that is not empty.
func (e *evaluation) throughout(spans []span, known func(m int) []bool) [][]bool {
	out := make([][]bool, e.result.Members)
	block := make([]bool, len(out)*len(spans))
	for m := range out {
		k := known(m)
		out[m] = block[m*len(spans) : (m+1)*len(spans)]
		for h, s := range spans {
			out[m][h] = s.from < s.to && !slices.Contains(k[s.from:s.to], false)
		}
	}
	return out
}

// hoursAtOnce is how many hours medians are taken of together: the members' columns
// are read in the order in which they lie, and what is folded of them stays at hand.
const hoursAtOnce = 24

// medians folds one quantity of every deciding member over every span and gives the
// members' medians. One is absent unless the share of members that must agree knows
// every slot of it.
func (e *evaluation) medians(spans []span, f fold, known [][]bool, col func(m int) []float32, give func(h int, v Value)) {
	voters := e.result.Members
	values, placed := make([]float64, hoursAtOnce*voters), make([]int, hoursAtOnce)
	for first := 0; first < len(spans); first += hoursAtOnce {
		some := spans[first:min(first+hoursAtOnce, len(spans))]
		clear(placed)
		for m := range voters {
			values32, knows := col(m), known[m][first:first+len(some)]
			for k, s := range some {
				if knows[k] {
					values[k*voters+placed[k]] = f(values32[s.from:s.to])
					placed[k]++
				}
			}
		}
		for k := range some {
			v := Value{}
			if n := placed[k]; n > 0 && float64(n) >= 0.8*float64(voters) {
				v = Value{V: middle(values[k*voters : k*voters+n]), Known: true}
			}
			give(first+k, v)
		}
	}
}

// hours gives the zone's own hours.
func (w *zoneWork) hours() []ZoneHour {
	out := make([]ZoneHour, w.hourCount())
	all, ends := w.spans()
	ready := w.throughout(all, func(m int) []bool { return w.ready[m] })
	film := w.throughout(ends, func(m int) []bool { return w.ready[m] })
	for m, sure := range film { // of the water on the panel as well
		for h, s := range ends {
			sure[h] = sure[h] && !w.tracks[m].Doubt[s.from]
		}
	}
	track := func(of func(t *surface.Track) []float32) func(m int) []float32 {
		return func(m int) []float32 { return of(w.tracks[m]) }
	}
	w.medians(all, meanOf, ready, track(func(t *surface.Track) []float32 { return t.Surface }),
		func(h int, v Value) { out[h].Surface = v })
	w.medians(all, meanOf, ready, func(m int) []float32 { return w.spread[m] },
		func(h int, v Value) { out[h].Spread = v })
	w.medians(ends, meanOf, film, track(func(t *surface.Track) []float32 { return t.Film }),
		func(h int, v Value) { out[h].Film = v })
	w.medians(all, meanOf, w.sunny, track(func(t *surface.Track) []float32 { return t.Sunlight }),
		func(h int, v Value) { out[h].Sunlight = v })
	w.medians(all, meanOf, w.burning, track(func(t *surface.Track) []float32 { return t.UV }),
		func(h int, v Value) { out[h].UV = v })
	return out
}

// heat is the mean heat index over [from, to) above the screening line, K, in
// the member that decides; 0 where the air is not known.
func (w *zoneWork) heat(from, to int) float64 {
	sum, n := 0.0, 0
	for i := from; i < to; i++ {
		if w.known[0].air[i] {
			sum += float64(w.heatIndex[i])
			n++
		}
	}
	if n == 0 {
		return 0
	}
	return max(0, sum/float64(n)-screeningHeatC)
}

// screeningHeatC is the heat index at which a working day needs a word, 85 °F
// (CDC, MMWR 67(26), 2018).
const screeningHeatC = 29.4

// heatIndices is the heat index by slot, worked out once for all zones.
func (e *evaluation) heatIndices() {
	w := e.weather[0]
	e.heatIndex = make([]float32, e.grid.N)
	for i := range e.heatIndex {
		if e.known[0].air[i] {
			e.heatIndex[i] = float32(crew.HeatIndex(float64(w.Air[i]), float64(w.Humidity[i])))
		}
	}
}
