package ensemble

import (
	"cmp"
	"math"
	"slices"
	"time"

	"dewgap/forecast"
	"dewgap/forecast/air"
)

// How far apart the members lie is calibrated by the same errors that teach the
// biases: how large they were against how far apart the members lay, or the futures
// that Dress makes of a single forecast would have.

// Spreads is the number of variables whose spread is learned: of air temperature and
// of dew point, with the numbers AirError and DewError.
const Spreads = int(DewError) + 1

const (
	// caseHours parts the errors into cases: within so many hours an error is still
	// the same one, as the quick part of Errors.AirH has it. Common practice.
	caseHours = 6
	// EnoughCases is how many cases a spread needs to count whole; from LeastCases to
	// there its share grows in proportion. Common practice, no source.
	EnoughCases = 20
	// LeastCases is how many it takes to be fitted at all.
	LeastCases = leastCases
	// leastFactor is how much a spread must differ to be worth a word.
	leastFactor = 0.05
)

// Spread is how far apart the members ought to lie by what was measured. The zero
// Spread changes nothing.
type Spread struct {
	Cases    int       // of six hours each that hold an error
	Readings int       // of these, those with a reading at the place
	From, To time.Time // of the first and the last case
	// Said is how far apart the members lay in these cases, the root of the mean
	// square, and Found what comes of it by Floor and Stretch, both K.
	Said, Found float64
	// Floor, K, and Stretch are those of a Calibration; 0 with fewer than LeastCases.
	Floor, Stretch float64
}

// Weight is the share of the calibration that is believed, 0–1.
func (s Spread) Weight() float64 {
	if s.Cases < LeastCases {
		return 0
	}
	return math.Min(1, float64(s.Cases)/EnoughCases)
}

// Missing is how many cases are still missing for it to count whole.
func (s Spread) Missing() int { return max(0, EnoughCases-s.Cases) }

// Factor is how many times as far apart the members are taken in the mean, at no
// lead; 1 where nothing is done.
func (s Spread) Factor() float64 {
	w := s.Weight()
	if w == 0 || s.Said <= 0 {
		return 1
	}
	if by := w * (s.Found/s.Said - 1); math.Abs(by) >= leastFactor {
		return 1 + by
	}
	return 1
}

// Enough reports whether it may make a verdict better: see Bias.Enough.
func (s Spread) Enough() bool { return s.Readings >= EnoughReadings }

// apart is how far apart the members lie at a moment; a single one's futures stray by
// the errors that Dress assumes at its lead. 0 where it is not known.
func apart(f *forecast.Forecast, v Variable, at time.Time) float64 {
	if int(v) >= Spreads {
		return 0
	}
	if len(f.Members) == 1 {
		e := Default()
		lead := at.Sub(known(f, at)).Hours()
		if v == DewError {
			return e.dew(lead)
		}
		return e.air(lead, nightness(at, f.Place.Longitude))
	}
	var x []float64
	for k := range f.Members {
		m := &f.Members[k]
		value, ok := Instant(f, m, forecast.AirTemperature, at)
		if v == DewError {
			value, ok = InstantDew(f, m, at)
		}
		if ok {
			x = append(x, value)
		}
	}
	_, sd := meanAndSpread(x)
	return sd
}

// learnSpread fits the spread of one variable. What the errors have in common in one
// kind of weather is its bias, and no part of it.
func learnSpread(v Variable, misses []Miss, now time.Time) Spread {
	var out Spread
	var list []fitCase
	for _, m := range cases(v, misses, now) {
		if out.Cases == 0 {
			out.From = m.At
		}
		out.To = m.At
		out.Cases++
		if !m.Station {
			out.Readings++
		}
		list = append(list, fitCase{m.Regime.String(), m.Off, m.Apart})
	}
	if out.Cases < LeastCases {
		return out
	}
	c := Calibration{ByPlace: map[string]float64{}}
	c.fitSpread(list, c.fitBias(list))
	out.Floor, out.Stretch = c.Floor, c.Stretch
	for _, x := range list {
		out.Said += x.spread * x.spread / float64(len(list))
		out.Found += (c.Floor*c.Floor + c.Stretch*c.Stretch*x.spread*x.spread) / float64(len(list))
	}
	out.Said, out.Found = math.Sqrt(out.Said), math.Sqrt(out.Found)
	return out
}

// cases gives the errors by time, of every six hours of the day the first, one at the
// place before those of stations.
func cases(v Variable, misses []Miss, now time.Time) []Miss {
	var list []Miss
	for _, m := range misses {
		if m.counts(v, now) && m.Apart > 0 {
			list = append(list, m)
		}
	}
	block := func(m Miss) int64 { return m.At.Unix() / (caseHours * 3600) }
	elsewhere := func(m Miss) int {
		if m.Station {
			return 1
		}
		return 0
	}
	slices.SortFunc(list, func(a, b Miss) int {
		return cmp.Or(cmp.Compare(block(a), block(b)), elsewhere(a)-elsewhere(b), a.At.Compare(b.At), cmp.Compare(a.Off, b.Off))
	})
	return slices.CompactFunc(list, func(a, b Miss) bool { return block(a) == block(b) })
}

// part takes members further apart, or closer together, in place, by as much of what
// was learned as LeadWeight leaves. centre is the forecast that futures stray from,
// each keeping its share of the way; without one the members of an ensemble take the
// places that Calibration.Members gives them.
func (l Learned) part(f *forecast.Forecast, members []forecast.Member, centre *forecast.Member, now time.Time) {
	n := len(members)
	if n < 2 {
		return
	}
	x, by := make([]float64, n), [Spreads][]float64{make([]float64, n), make([]float64, n)}
	for i := range f.N {
		w := LeadWeight(f.Start.Add(time.Duration(i) * f.Step).Sub(now))
		if w == 0 {
			return
		}
		for v, s := range l.Spreads {
			clear(by[v])
			if s.Factor() != 1 && valuesAt(Variable(v), members, i, x) {
				s.apart(Variable(v), x, by[v], centre, i, w*s.Weight())
			}
		}
		for k := range members {
			if by[AirError][k] != 0 || by[DewError][k] != 0 {
				shift(&members[k], i, by[AirError][k], by[DewError][k])
			}
		}
	}
}

// apart says by how much each value of x is to move in slot i.
func (s Spread) apart(v Variable, x, by []float64, centre *forecast.Member, i int, weight float64) {
	if centre == nil {
		for k, to := range (Calibration{Floor: s.Floor, Stretch: s.Stretch}).Members("", x) {
			by[k] = weight * (to - x[k])
		}
		return
	}
	middle, ok := valueAt(v, centre, i)
	if !ok {
		return
	}
	square := 0.0
	for _, value := range x {
		square += (value - middle) * (value - middle) / float64(len(x))
	}
	sd := math.Sqrt(square)
	if sd == 0 {
		return
	}
	for k, value := range x {
		by[k] = weight * (math.Hypot(s.Floor, s.Stretch*sd)/sd - 1) * (value - middle)
	}
}

// valuesAt reads one variable of all members; ok is false where one does not know it.
func valuesAt(v Variable, members []forecast.Member, i int, into []float64) (ok bool) {
	for k := range members {
		if into[k], ok = valueAt(v, &members[k], i); !ok {
			return false
		}
	}
	return len(members) > 0
}

// valueAt is a member's air temperature or dew point in a slot, the dew point from
// humidity where it has none.
func valueAt(v Variable, m *forecast.Member, i int) (float64, bool) {
	t, okT := m.Columns[forecast.AirTemperature].At(i)
	if v == AirError {
		return t, okT
	}
	if dew, ok := m.Columns[forecast.DewPoint].At(i); ok {
		return dew, true
	}
	rh, okRH := m.Columns[forecast.Humidity].At(i)
	if !okT || !okRH {
		return 0, false
	}
	return air.DewPoint(t, rh), true
}
