package verdict

import "math"

// workspace is what a judge reuses from member to member.
type workspace struct {
	cols  [columns][]float32
	avail []uint32  // per slot: the columns that are known, a bit each
	wet   []bool    // water on the panel that no towel takes off
	maybe []bool    // water may lie on it: nobody knows
	eq    []float64 // running sum of equivalent hours: 32 bits would turn on dust
	below []int32   // running count of slots in which it does not cure
	lean  []int32   // running count of those that are only too dry, less those only too cold
	blind []int32   // running count of slots in which nobody knows whether it does
	low   []float32 // coldest surface while it cures
	arid  []float32 // driest air while it cures
	queue []int32
	open  []int32 // slots that no yes/no limit refuses
}

func (w *workspace) fit(n int) {
	if len(w.avail) == n {
		return
	}
	for _, c := range []column{colDryOff, colDewDry, colRainFree, colRainSure, colDewFree} {
		w.cols[c] = make([]float32, n)
	}
	w.avail, w.wet, w.maybe = make([]uint32, n), make([]bool, n), make([]bool, n)
	w.eq, w.low, w.arid = make([]float64, n+1), make([]float32, n), make([]float32, n)
	w.below, w.lean, w.blind = make([]int32, n+1), make([]int32, n+1), make([]int32, n+1)
	w.queue, w.open = make([]int32, 0, n), make([]int32, 0, n)
}

const (
	bitsAir     = 1<<colAir | 1<<colHumidity
	bitsWind    = 1<<colWind | 1<<colGust | 1<<colHeight
	bitsSurface = 1<<colSurface | 1<<colSpread | 1<<colSunlight | 1<<colSection
	// endless, shifted like a column's own bit, marks a clock that the end of the
	// data stopped after its ideal hours.
	endless uint32 = 1 << 16
)

// prepare fills the columns that hang on more than one slot.
func (j *Judge) prepare(s *Series) {
	w := &j.work
	w.fit(s.Len())
	w.cols[colAir], w.cols[colHumidity] = s.Air, s.Humidity
	w.cols[colWind], w.cols[colGust], w.cols[colHeight] = s.Wind, s.Gust, s.GustHigh
	w.cols[colSurface], w.cols[colSpread], w.cols[colSunlight] = s.Surface, s.Spread, s.Sunlight
	w.cols[colUV], w.cols[colSection] = s.UV, s.Section
	if s.Known == nil {
		s.know(w.avail)
	} else {
		copy(w.avail, s.Known)
	}
	j.active, j.reads = j.bounds, j.needed
	if s.Shifted == nil { // nothing to doubt: the stated rain says it all
		j.active, j.reads = j.stated, j.needed&^(1<<colRainSure)
	}
	if j.class.Equivalent || j.class.HasCureMin {
		j.equivalents(s)
	}
	if j.dry.given {
		j.drying(s)
	}
	if j.class.HasFilmMax { // else water on the panel does no harm
		j.water(s)
	}
	if j.dewDry.given {
		j.dewDrying(s)
	}
	j.moisture(s)
	if j.rain.given {
		known := s.KnownRain
		if j.rain.equivalents { // its hours hang on the surface too
			known = s.KnownSurface
		}
		j.until(w.cols[colRainFree], colRainFree, &j.rain, s.Wets, known)
		if s.Shifted != nil {
			j.until(w.cols[colRainSure], colRainSure, &j.rain, s.Shifted, known)
		}
	}
	if j.dew.given {
		j.dewUntil(s)
	}
	if j.class.HasCureMin {
		j.lowest(w.low, s.Surface, s.KnownSurface)
		if j.class.CureHumid.HasMin {
			j.lowest(w.arid, s.Humidity, s.KnownAir)
		}
	}
}

// Knowledge works out which of the series' columns are known in each slot, a bit
// each, for whoever judges the same member by many classes: see Series.Known.
func (s *Series) Knowledge() []uint32 {
	out := make([]uint32, s.Len())
	s.know(out)
	return out
}

func (s *Series) know(out []uint32) {
	for i := range out {
		out[i] = s.knownAt(i)
	}
}

func (s *Series) knownAt(i int) uint32 {
	var a uint32
	if s.KnownAir[i] {
		a |= bitsAir
	}
	if s.KnownWind[i] {
		a |= bitsWind
	}
	if s.KnownSurface[i] {
		a |= bitsSurface
	}
	if s.KnownUV[i] {
		a |= 1 << colUV
	}
	return a
}

// far stands for "longer than any clock".
const far = float32(1e6)

// never is a slot before all slots.
const never = math.MinInt32

// drying counts back to the end of the slot in which water last arrived. Where
// nobody knows what fell before the data begin, or in a gap, the clock is
// unknown until the known past is as long as the class asks. What the person
// said holds up to now, and no gap before then undoes it.
func (j *Judge) drying(s *Series) {
	w, t := &j.work, &j.terms
	out := w.cols[colDryOff]
	told := t.WashedAt
	last, since := told, 0 // last wet slot; first slot of the known past
	if t.Roofed {
		since = never
	}
	if t.PastKnown {
		told, since = max(told, t.RainedAt), never
		last = told
	}
	for i := range out {
		switch {
		case last > never && last >= since-1:
			out[i] = float32(max(i-last-1, 0)) * SlotHours
			w.avail[i] |= 1 << colDryOff
		case since == never:
			out[i] = far
			w.avail[i] |= 1 << colDryOff
		default:
			out[i] = float32(i-since) * SlotHours
			if out[i] >= j.dry.normal {
				w.avail[i] |= 1 << colDryOff
			}
		}
		switch {
		case s.KnownRain[i]:
			if s.Wets[i] {
				last = max(last, i)
			}
		case t.PastKnown && i < t.Now, t.Roofed:
		default:
			since = i + 1
			if last <= i {
				last = never
			}
		}
	}
}

// water follows what lies on the panel: it is towelled off once the spread is at
// least the class's default and has risen for 30 minutes, until new water comes.
// Water that only may lie there makes the slot unknown until then.
func (j *Judge) water(s *Series) {
	w := &j.work
	towel := j.towelling()
	need := float32(0)
	if j.class.SpreadK.Given {
		need = float32(j.class.SpreadK.Default.Min)
	}
	most := float32(j.class.FilmMaxGM2)
	cleared := false
	film, spread, known, wets := s.Film, s.Spread, s.KnownSurface, s.Wets
	for i := range w.wet {
		wet := known[i] && film[i] > most
		doubt := s.Doubt != nil && s.Doubt[i]
		if !known[i] || wets[i] || spread[i] < 0 {
			cleared = false
		} else if towel && (wet || doubt) && spread[i] >= need && i >= 3 && known[i-3] && spread[i] > spread[i-3] {
			cleared = true
		}
		bare := !cleared && !j.terms.Soaks
		w.wet[i] = wets[i] && !s.Fog[i] || wet && bare || s.Dripped != nil && s.Dripped[i]
		w.maybe[i] = doubt && bare
	}
}

// dewDrying counts back to the last slot with dew, for classes whose dry-off it
// restarts. Dew that nobody could see, before the data or in a gap, leaves the
// clock unknown until the known past is as long as the class asks.
func (j *Judge) dewDrying(s *Series) {
	w := &j.work
	out := w.cols[colDewDry]
	last, since := never, 0
	for i := range out {
		out[i] = float32(i-max(since, last+1)) * SlotHours
		if last > never || out[i] >= j.dewDry.normal {
			w.avail[i] |= 1 << colDewDry
		}
		switch {
		case !s.KnownSurface[i] || s.Doubt != nil && s.Doubt[i]:
			last, since = never, i+1
		case s.Film[i] > 1:
			last = i
		}
	}
}

// clockSeen says for the span that a clock covers from slot i whether it counts:
// where it was stopped by water, or the hours that the data cover are enough for
// the default. Where they are enough for the ideal too, nobody knows how much
// longer it would have run, so it is never the limit nearest its bound.
func (j *Judge) clockSeen(i int, c column, k *clock, hours float32, blind bool) {
	if !blind || hours >= k.normal {
		j.work.avail[i] |= 1 << c
	}
	if blind && hours >= k.ideal {
		j.work.avail[i] |= endless << c
	}
}

// until counts forward from the end of each slot to the first wet one. Where
// the data end first, the hours that they cover count if they are enough.
func (j *Judge) until(out []float32, c column, k *clock, wets, known []bool) {
	next, blind := len(out), true
	for i := len(out) - 1; i >= 0; i-- {
		out[i] = j.span(k, i+1, next)
		j.clockSeen(i, c, k, out[i], blind)
		if !known[i] {
			next, blind = i, true
		} else if wets[i] {
			next, blind = i, false
		}
	}
}

// dewUntil counts forward to the first slot with less than 1 K of spread.
func (j *Judge) dewUntil(s *Series) {
	out := j.work.cols[colDewFree]
	next, blind := len(out), true
	for i := len(out) - 1; i >= 0; i-- {
		out[i] = j.span(&j.dew, i+1, next)
		j.clockSeen(i, colDewFree, &j.dew, out[i], blind)
		if !s.KnownSurface[i] {
			next, blind = i, true
		} else if s.Spread[i] < 1 {
			next, blind = i, false
		}
	}
}

// span is the time from slot a to slot b on the clock's own hours.
func (j *Judge) span(k *clock, a, b int) float32 {
	if a >= b {
		return 0
	}
	if k.equivalents {
		return float32(j.work.eq[b] - j.work.eq[a])
	}
	return float32(b-a) * SlotHours
}

// equivalents sums equivalent hours at 20 °C, Σ 2^((T−20)/k)·Δt, and counts the
// slots that are too cold, or too dry, to cure, and which of both prevails.
func (j *Judge) equivalents(s *Series) {
	w := &j.work
	k := j.class.HalvesPerK
	if k <= 0 {
		k = 10
	}
	least := float32(j.class.CureMinC)
	for i := range s.Surface {
		e, out, lean, blind := 0.0, int32(0), int32(0), int32(1)
		if s.KnownSurface[i] {
			blind = 0
			if j.class.Equivalent {
				e = math.Exp2((float64(s.Surface[i])-20)/k) * SlotHours
			}
			if s.Surface[i] < least {
				out, lean = 1, -1
			}
			if j.tooDry(s, i) {
				out, lean = 1, lean+1
			}
		}
		w.eq[i+1], w.below[i+1], w.blind[i+1] = w.eq[i]+e, w.below[i]+out, w.blind[i]+blind
		w.lean[i+1] = w.lean[i] + lean
	}
}

// tooDry: only the low side of the cure's humidity band spoils a film that
// needs the air's water. Above the band the air is merely slow or, for moisture
// cures, quick; water itself is the business of the dew and rain clocks.
func (j *Judge) tooDry(s *Series, i int) bool {
	return j.class.CureHumid.HasMin && s.KnownAir[i] &&
		float64(s.Humidity[i]) < j.class.CureHumid.Min
}

// cureSlots is how long the surface must stay warm: the longer of the default
// after-clocks.
func (j *Judge) cureSlots() int {
	return int(math.Ceil(float64(max(j.rain.normal, j.dew.normal)) / SlotHours))
}

// lowest finds the least value in the time that the cure takes after each slot.
func (j *Judge) lowest(out, values []float32, known []bool) {
	span := j.cureSlots()
	q := j.work.queue[:0]
	for i := len(out) - 1; i >= 0; i-- {
		for len(q) > 0 && int(q[0]) > i+span {
			q = q[1:]
		}
		out[i] = far
		if len(q) > 0 {
			out[i] = values[q[0]]
		}
		if !known[i] {
			continue
		}
		for len(q) > 0 && values[q[len(q)-1]] >= values[i] {
			q = q[:len(q)-1]
		}
		q = append(q, int32(i))
	}
}
