package verdict

import "math"

// workspace is what a judge reuses from member to member.
type workspace struct {
	cols  [columns][]float32
	avail []uint32 // per slot: the columns that are known, a bit each
	wet   []bool   // water on the panel that no towel takes off
	eq    []float32
	below []int32 // running count of slots in which it does not cure
	low   []float32
	queue []int32
}

func (w *workspace) fit(n int) {
	if len(w.avail) == n {
		return
	}
	for _, c := range []column{colDryOff, colDewDry, colRainFree, colRainSure, colDewFree} {
		w.cols[c] = make([]float32, n)
	}
	w.avail, w.wet = make([]uint32, n), make([]bool, n)
	w.eq, w.low = make([]float32, n+1), make([]float32, n)
	w.below, w.queue = make([]int32, n+1), make([]int32, 0, n)
}

const (
	bitsAir     = 1<<colAir | 1<<colHumidity
	bitsWind    = 1<<colWind | 1<<colGust | 1<<colHeight
	bitsSurface = 1<<colSurface | 1<<colSpread | 1<<colSunlight | 1<<colSection
)

// prepare fills the columns that hang on more than one slot.
func (j *Judge) prepare(s *Series) {
	w := &j.work
	w.fit(s.Len())
	w.cols[colAir], w.cols[colHumidity] = s.Air, s.Humidity
	w.cols[colWind], w.cols[colGust], w.cols[colHeight] = s.Wind, s.Gust, s.GustHigh
	w.cols[colSurface], w.cols[colSpread], w.cols[colSunlight] = s.Surface, s.Spread, s.Sunlight
	w.cols[colUV], w.cols[colSection] = s.UV, s.Section
	for i := range w.avail {
		w.avail[i] = known(s, i)
	}
	if j.class.Equivalent || j.class.HasCureMin {
		j.equivalents(s)
	}
	j.drying(s)
	j.water(s)
	if j.rain.given {
		j.until(w.cols[colRainFree], colRainFree, j.rain, s.Wets, s.KnownRain)
		wets := s.Wets
		if s.Shifted != nil {
			wets = s.Shifted
		}
		j.until(w.cols[colRainSure], colRainSure, j.rain, wets, s.KnownRain)
	}
	if j.dew.given {
		j.dewUntil(s)
	}
	if j.class.HasCureMin {
		j.curing(s)
	}
}

func known(s *Series, i int) uint32 {
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

// drying counts back to the end of the slot in which water last arrived. Where
// nobody knows what fell before the data begin, the clock is unknown until the
// known past is as long as the class asks.
func (j *Judge) drying(s *Series) {
	w := &j.work
	out := w.cols[colDryOff]
	last, since := math.MinInt32, 0 // last wet slot; first slot of the known past
	told := j.terms.PastKnown
	if told {
		last = j.terms.RainedAt
	}
	if j.terms.WashedAt > last {
		last = j.terms.WashedAt
	}
	for i := range out {
		switch {
		case last > math.MinInt32 && last >= since-1, told:
			out[i] = far
			if last > math.MinInt32 {
				out[i] = float32(i-last-1) * SlotHours
			}
			w.avail[i] |= 1 << colDryOff
		case j.terms.Roofed:
			out[i] = far
			w.avail[i] |= 1 << colDryOff
		default:
			out[i] = float32(i-since) * SlotHours
			if out[i] >= j.dry.normal {
				w.avail[i] |= 1 << colDryOff
			}
		}
		if !s.KnownRain[i] {
			since, told = i+1, false
			last = math.MinInt32
		} else if s.Wets[i] {
			last = i
		}
	}
}

// water follows what lies on the panel: dew is off once the spread is at least
// the class's default and has risen for 30 minutes, until new dew forms.
func (j *Judge) water(s *Series) {
	w := &j.work
	towel := j.towelling()
	need := float32(0)
	if j.class.SpreadK.Given {
		need = float32(j.class.SpreadK.Default.Min)
	}
	most := float32(j.class.FilmMaxGM2)
	cleared := false
	dry, lastDew := w.cols[colDewDry], math.MinInt32
	for i := range w.wet {
		wet := s.KnownSurface[i] && s.Film[i] > most
		if s.Wets[i] || s.Spread[i] < 0 {
			cleared = false
		}
		rising := i >= 3 && s.KnownSurface[i-3] && s.Spread[i] > s.Spread[i-3]
		if wet && towel && rising && !s.Wets[i] && s.Spread[i] >= need {
			cleared = true
		}
		drips := s.Dripped != nil && s.Dripped[i]
		w.wet[i] = (drips || wet && !cleared && !j.terms.Soaks) && j.class.HasFilmMax
		dry[i] = far
		if lastDew > math.MinInt32 {
			dry[i] = float32(i-lastDew-1) * SlotHours
		}
		if s.KnownSurface[i] {
			w.avail[i] |= 1 << colDewDry
		}
		if s.KnownSurface[i] && s.Film[i] > 1 {
			lastDew = i
		}
	}
}

// until counts forward from the end of each slot to the first wet one. Where
// the data end first, the hours that they cover count if they are enough.
func (j *Judge) until(out []float32, c column, k clock, wets, known []bool) {
	w := &j.work
	next, blind := len(out), true
	for i := len(out) - 1; i >= 0; i-- {
		out[i] = j.span(k, i+1, next)
		if !blind || out[i] >= k.normal {
			w.avail[i] |= 1 << c
		}
		if !known[i] {
			next, blind = i, true
		} else if wets[i] {
			next, blind = i, false
		}
	}
}

// dewUntil counts forward to the first slot with less than 1 K of spread.
func (j *Judge) dewUntil(s *Series) {
	w := &j.work
	out := w.cols[colDewFree]
	next, blind := len(out), true
	for i := len(out) - 1; i >= 0; i-- {
		out[i] = j.span(j.dew, i+1, next)
		if !blind || out[i] >= j.dew.normal {
			w.avail[i] |= 1 << colDewFree
		}
		if !s.KnownSurface[i] {
			next, blind = i, true
		} else if s.Spread[i] < 1 {
			next, blind = i, false
		}
	}
}

// span is the time from slot a to slot b on the clock's own hours.
func (j *Judge) span(k clock, a, b int) float32 {
	if a >= b {
		return 0
	}
	if k.equivalents {
		return j.work.eq[b] - j.work.eq[a]
	}
	return float32(b-a) * SlotHours
}

// equivalents sums equivalent hours at 20 °C, Σ 2^((T−20)/k)·Δt, and counts the
// slots that are too cold, or too dry, to cure.
func (j *Judge) equivalents(s *Series) {
	w := &j.work
	k := j.class.HalvesPerK
	if k <= 0 {
		k = 10
	}
	least := float32(j.class.CureMinC)
	for i := range s.Surface {
		e, out := float32(0), int32(0)
		if s.KnownSurface[i] {
			if j.class.Equivalent {
				e = float32(math.Exp2((float64(s.Surface[i])-20)/k)) * SlotHours
			}
			if s.Surface[i] < least || j.tooDry(s, i) {
				out = 1
			}
		}
		w.eq[i+1], w.below[i+1] = w.eq[i]+e, w.below[i]+out
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

// curing finds the coldest surface in the time after each slot.
func (j *Judge) curing(s *Series) {
	w := &j.work
	n, span := s.Len(), j.cureSlots()
	q := w.queue[:0]
	for i := n - 1; i >= 0; i-- {
		for len(q) > 0 && int(q[0]) > i+span {
			q = q[1:]
		}
		w.low[i] = far
		if len(q) > 0 {
			w.low[i] = s.Surface[q[0]]
		}
		if !s.KnownSurface[i] {
			continue
		}
		for len(q) > 0 && s.Surface[q[len(q)-1]] >= s.Surface[i] {
			q = q[:len(q)-1]
		}
		q = append(q, int32(i))
	}
}
