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
	e.result.Weather = make([]Hour, n)
	e.each(n, func(h int) { e.result.Weather[h] = e.hour(h) })
}

func (e *evaluation) hour(h int) Hour {
	from, to := e.hourSlots(h)
	mid := min(max((from+to)/2, 0), e.grid.N-1)
	var air, wind, sun, amount, uv known = func(m int) []bool { return e.known[m].air },
		func(m int) []bool { return e.known[m].wind }, func(m int) []bool { return e.known[m].sun },
		func(m int) []bool { return e.known[m].amount }, func(m int) []bool { return e.known[m].uv }
	temperature := func(m int) []bool { return e.known[m].temperature }
	x := Hour{
		At:           e.grid.At(from),
		Air:          e.over(from, to, meanOf, temperature, func(w *surface.Weather) []float32 { return w.Air }),
		Dew:          e.over(from, to, meanOf, air, func(w *surface.Weather) []float32 { return w.Dew }),
		Humidity:     e.over(from, to, meanOf, air, func(w *surface.Weather) []float32 { return w.Humidity }),
		Wind:         e.over(from, to, meanOf, wind, func(w *surface.Weather) []float32 { return w.Wind }),
		Gust:         e.over(from, to, mostOf, wind, func(w *surface.Weather) []float32 { return w.Gust }),
		GustHigh:     e.over(from, to, mostOf, wind, func(w *surface.Weather) []float32 { return w.GustHigh }),
		Cloud:        e.over(from, to, meanOf, sun, func(w *surface.Weather) []float32 { return w.Cloud }),
		Global:       e.over(from, to, meanOf, sun, func(w *surface.Weather) []float32 { return w.Global }),
		UV:           e.over(from, to, meanOf, uv, func(w *surface.Weather) []float32 { return w.UV }),
		Rain:         e.over(from, to, sumOf, amount, func(w *surface.Weather) []float32 { return w.Rain }),
		SunElevation: e.sky.Elevation[mid], SunAzimuth: e.sky.Azimuth[mid], CosZ: e.sky.CosZ[mid],
	}
	w := e.weather[0]
	if g := float64(w.Global[mid]); g > 0 {
		x.Direct = max(0, 1-float64(w.Diffuse[mid])/g)
	}
	for i := max(from, 0); i < to; i++ {
		x.Thunder = x.Thunder || e.known[0].thunder[i]
	}
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

func lastOf(v []float32) float64 { return float64(v[len(v)-1]) }

// known gives the slots in which a quantity of one member is known.
type known func(m int) []bool

// over folds one quantity of the deciding members over [from, to) and takes
// their median. It is absent unless the share of members that must agree knows
// every slot of it.
func (e *evaluation) over(from, to int, f fold, k known, col func(*surface.Weather) []float32) Value {
	return e.medianOf(from, to, f, k, func(m int) []float32 { return col(e.weather[m]) })
}

func (e *evaluation) medianOf(from, to int, f fold, k known, col func(m int) []float32) Value {
	voters := e.result.Members
	if from < 0 || from >= to {
		return Value{}
	}
	values := make([]float64, 0, voters)
	for m := range voters {
		if !slices.Contains(k(m)[from:to], false) {
			values = append(values, f(col(m)[from:to]))
		}
	}
	if len(values) == 0 || float64(len(values)) < 0.8*float64(voters) {
		return Value{}
	}
	return Value{V: middle(values), Known: true}
}

// hours gives the zone's own hours.
func (w *zoneWork) hours() Zone {
	z := Zone{Name: w.zone.Name, Hours: make([]ZoneHour, w.hourCount())}
	ready := func(m int) []bool { return w.ready[m] }
	sun := func(m int) []bool { return w.known[m].sun }
	uv := func(m int) []bool { return w.known[m].uv }
	film := w.sureOfFilm()
	for h := range z.Hours {
		from, to := w.hourSlots(h)
		z.Hours[h] = ZoneHour{
			Surface:  w.medianOf(from, to, meanOf, ready, func(m int) []float32 { return w.tracks[m].Surface }),
			Spread:   w.medianOf(from, to, meanOf, ready, func(m int) []float32 { return w.spread[m] }),
			Film:     w.medianOf(max(from, to-1), to, lastOf, film, func(m int) []float32 { return w.tracks[m].Film }),
			Sunlight: w.medianOf(from, to, meanOf, sun, func(m int) []float32 { return w.tracks[m].Sunlight }),
			UV:       w.medianOf(from, to, meanOf, uv, func(m int) []float32 { return w.tracks[m].UV }),
		}
	}
	return z
}

// sureOfFilm is where the water on the panel is known.
func (w *zoneWork) sureOfFilm() known {
	sure := make([][]bool, len(w.members))
	for m, ready := range w.ready {
		sure[m] = ready
		if doubt := w.tracks[m].Doubt; slices.Contains(doubt, true) {
			sure[m] = slices.Clone(ready)
			for i, d := range doubt {
				sure[m][i] = ready[i] && !d
			}
		}
	}
	return func(m int) []bool { return sure[m] }
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
