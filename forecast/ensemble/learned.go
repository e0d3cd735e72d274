package ensemble

import (
	"cmp"
	"math"
	"slices"
	"time"

	"dewgap/forecast"
	"dewgap/forecast/air"
	"dewgap/forecast/sky"
)

// A place has habits that no forecast of some kilometres' grid knows: the basin
// that stays warm on clear nights, the shed that takes the wind. What was measured
// there, held against what had been forecast for that hour, tells of them. This
// file learns the mean error by variable and regime, and learned_apply.go takes it
// from a forecast.
//
// All figures below are common practice without a source, but for the form of the
// shrinkage, n/(n+k), which is that of a mean of n errors towards a prior of none
// with k times the errors' own variance.

// Settings of learning.
const (
	// shrinkK is k of n/(n+k): so many readings count half.
	shrinkK = 5.0
	// HalfLifeDays is the age in days at which a reading counts half.
	HalfLifeDays = 30.0
	// LearnFrom is how far back readings are looked at: four half-lives, beyond
	// which they count less than a sixteenth.
	LearnFrom = 4 * HalfLifeDays * 24 * time.Hour
	// LearnLead is the longest lead time of a forecast that a reading is held
	// against: beyond two days the weather was another more often than the place.
	LearnLead = 48 * time.Hour
	// EnoughReadings is how many readings a regime needs before what it taught may
	// make a verdict better.
	EnoughReadings = 5
	// cloudyPct is the cloud cover from which a regime is cloudy, %.
	cloudyPct = 50.0
)

// Regime is a kind of weather in which a place has habits of its own. There are
// four, by the sun above the horizon and by the forecast's own cloud cover, half
// or more of the sky being cloudy: a few readings a month are too few for more.
type Regime uint8

// The regimes.
const (
	ClearNight Regime = iota
	CloudyNight
	ClearDay
	CloudyDay

	regimes
)

// Regimes is the number of regimes; they run from 0 to Regimes−1.
const Regimes = int(regimes)

var regimeNames = [Regimes]string{"clear night", "cloudy night", "clear day", "cloudy day"}

// String is the regime in words: "clear night".
func (r Regime) String() string { return regimeNames[r] }

// Variable is what an error is of.
type Variable uint8

// The variables, each with the unit of its error.
const (
	AirError  Variable = iota // of the air temperature, K
	DewError                  // of the dew point, K
	WindError                 // of the wind: the natural logarithm of measured ÷ forecast
	// SurfaceError is of a panel's temperature, K. It is no error of the forecast
	// but of what was worked out from it, zone by zone.
	SurfaceError

	variables
)

// Variables is the number of those that a forecast has, from 0 to Variables−1.
const Variables = int(SurfaceError)

var variableNames = [variables]string{"air temperature", "dew point", "wind", "surface temperature"}

// String is the variable in words.
func (v Variable) String() string { return variableNames[v] }

// Bounds of learning, by variable: an error beyond doubt is a slip of the hand or
// the instrument and is left out (8 K and 15 K as for this morning's readings, a
// factor of 5); one further than robust from the mean pulls no harder than at that
// distance; nothing learned is larger than most; and what is less than leastUsed
// is not worth a word and is left out.
var (
	doubt     = [variables]float64{8, 8, math.Log(5), 15}
	robust    = [variables]float64{1.5, 1.5, 0.4, 2}
	most      = [variables]float64{4, 4, math.Log(2), 4}
	leastUsed = [variables]float64{0.1, 0.1, 0.03, 0.2}
)

// Observed is what was measured at or near the place at one moment, in the
// forecast's own units and at its heights. A number counts only where its Has is
// true.
type Observed struct {
	At        time.Time
	AirC      float64 // °C
	DewPointC float64 // °C
	WindMS    float64 // m/s at 10 m, not negative

	HasAir, HasDewPoint, HasWind bool

	// Station: by a weather station near the place and not at it. Share is what it
	// counts by its distance, 0–1, see StationShare; at 0 it teaches nothing. A
	// reading at the place has none.
	Station bool
	Share   float64
}

// Miss is one error of one forecast.
type Miss struct {
	At      time.Time // when it was measured
	Of      Variable
	Regime  Regime
	Off     float64 // measured less forecast, in the variable's unit
	Station bool
	Share   float64 // of a station, see Observed
	// Apart is how far apart the forecast's members lay then, or how far its futures
	// would have: a standard deviation in the variable's unit, 0 where not known.
	Apart float64
}

// Misses holds what was measured against the forecast of its moment, the median
// over the members. What the forecast does not know then, cloud cover included,
// and what lies outside it gives no error; nor does an error that cannot be
// believed.
func Misses(f *forecast.Forecast, list []Observed) []Miss {
	var out []Miss
	for _, o := range list {
		i, inside := f.Index(o.At)
		if !inside {
			continue
		}
		regime, ok := regimeOf(f, i)
		if !ok {
			continue
		}
		for v, off := range o.offs(f) {
			if off.known && Believed(Variable(v), off.v) {
				out = append(out, Miss{o.At, Variable(v), regime, off.v, o.Station, o.Share, apart(f, Variable(v), o.At)})
			}
		}
	}
	return out
}

// Believed reports whether an error is small enough to be one.
func Believed(v Variable, off float64) bool { return math.Abs(off) <= doubt[v] }

// off is an error that may be absent.
type off struct {
	v     float64
	known bool
}

// offs are the errors by variable.
func (o Observed) offs(f *forecast.Forecast) (out [Variables]off) {
	if want, ok := MedianOver(f, func(m *forecast.Member) (float64, bool) { return Instant(f, m, forecast.AirTemperature, o.At) }); ok {
		out[AirError] = off{o.AirC - want, o.HasAir}
	}
	if want, ok := MedianOver(f, func(m *forecast.Member) (float64, bool) { return InstantDew(f, m, o.At) }); ok {
		out[DewError] = off{o.DewPointC - want, o.HasDewPoint}
	}
	if want, ok := MedianOver(f, func(m *forecast.Member) (float64, bool) { return Instant(f, m, forecast.WindSpeed, o.At) }); ok {
		// Below calmMS nobody tells one breath from another, see Correct.
		out[WindError] = off{math.Log(math.Max(o.WindMS, calmMS) / math.Max(want, calmMS)), o.HasWind}
	}
	return out
}

// MedianOver is the median over the members of a forecast that know a number; false
// where none does.
func MedianOver(f *forecast.Forecast, of func(m *forecast.Member) (float64, bool)) (float64, bool) {
	var all []float64
	for i := range f.Members {
		if v, ok := of(&f.Members[i]); ok {
			all = append(all, v)
		}
	}
	n := len(all)
	if n == 0 {
		return 0, false
	}
	slices.Sort(all)
	return (all[(n-1)/2] + all[n/2]) / 2, true
}

// regimeOf is the regime of an interval, for all members alike, so that they keep
// their distances; ok is false where the cloud is not known.
func regimeOf(f *forecast.Forecast, i int) (Regime, bool) {
	cloud, ok := MedianOver(f, func(m *forecast.Member) (float64, bool) { return m.Columns[forecast.CloudCover].At(i) })
	if !ok {
		return 0, false
	}
	return RegimeAt(f.Start.Add(time.Duration(i)*f.Step+f.Step/2), f.Place.Latitude, f.Place.Longitude, cloud), true
}

// RegimeAt is the regime of a moment at a place in degrees north and east, with a
// cloud cover in %, 0–100.
func RegimeAt(t time.Time, lat, lon, cloudPct float64) Regime {
	r := ClearNight
	if sky.Sun(t, lat, lon, air.StandardPa/100, 15).Elevation > 0 {
		r = ClearDay
	}
	if cloudPct >= cloudyPct {
		r++
	}
	return r
}

// Bias is the mean error of one variable in one regime.
type Bias struct {
	// Readings at the place and observations of stations that it comes from; those
	// of one hour count once.
	Readings, Stations int
	From, To           time.Time // of the first and the last of them
	Mean               float64   // error, by age and robust, in the variable's unit
	// Weight is n/(n+k) with n counted by age: the share of Mean that is believed,
	// 0–1.
	Weight float64
}

// Size is what is taken as the error of v: Mean × Weight, within bounds, and 0
// where that is too little to matter.
func (b Bias) Size(v Variable) float64 {
	s := math.Max(-most[v], math.Min(b.Mean*b.Weight, most[v]))
	if math.Abs(s) < leastUsed[v] {
		return 0
	}
	return s
}

// Enough reports whether what was learned may make a verdict better: after
// EnoughReadings readings at the place. Stations near it do not count here.
func (b Bias) Enough() bool { return b.Readings >= EnoughReadings }

// ByRegime is the mean error of one variable in all regimes.
type ByRegime [Regimes]Bias

// Learned is what is known of a forecast's errors at a place. The zero Learned
// knows nothing.
type Learned struct {
	Biases  [Variables]ByRegime
	Spreads [Spreads]Spread
}

// Learn makes of the errors up to now what they teach, each counted by its age at
// now. The order of the errors does not matter; those after now, and those before
// now − LearnFrom, do not count.
func Learn(misses []Miss, now time.Time) Learned {
	var out Learned
	for v := range out.Biases {
		out.Biases[v] = LearnOf(Variable(v), misses, now)
	}
	for v := range out.Spreads {
		out.Spreads[v] = learnSpread(Variable(v), misses, now)
	}
	return out
}

// LearnOf is Learn for one variable.
func LearnOf(v Variable, misses []Miss, now time.Time) ByRegime {
	var by [Regimes][]Miss
	for _, m := range misses {
		if m.counts(v, now) {
			by[m.Regime] = append(by[m.Regime], m)
		}
	}
	var out ByRegime
	for r, list := range by {
		out[r] = bias(v, byHour(list), now)
	}
	return out
}

// counts reports whether an error of v teaches anything at now.
func (m Miss) counts(v Variable, now time.Time) bool {
	age := now.Sub(m.At)
	return m.Of == v && age >= 0 && age <= LearnFrom && (!m.Station || m.Share > 0)
}

// byHour joins the errors of one hour into their mean, readings and stations
// apart: two readings in a minute are one look at the weather.
func byHour(list []Miss) []Miss {
	type hour struct {
		at      int64
		station bool
	}
	// Equal times in a fixed order, so that sums are the same to the bit.
	slices.SortFunc(list, func(a, b Miss) int { return cmp.Or(a.At.Compare(b.At), cmp.Compare(a.Off, b.Off)) })
	var out []Miss
	count, at := []float64{}, map[hour]int{}
	for _, m := range list {
		h := hour{m.At.Unix() / 3600, m.Station}
		i, seen := at[h]
		if !seen {
			at[h] = len(out)
			out, count = append(out, m), append(count, 1)
			continue
		}
		count[i]++
		out[i].Off += (m.Off - out[i].Off) / count[i]
	}
	return out
}

// AgeWeight is what a reading of that age still counts, 0–1: it halves in
// HalfLifeDays. A negative age counts whole.
func AgeWeight(age time.Duration) float64 {
	return math.Exp2(-math.Max(age.Hours(), 0) / 24 / HalfLifeDays)
}

// Shrink is n/(n+k): the share of a mean of n readings, which need not be whole,
// that is believed.
func Shrink(n float64) float64 { return n / (n + shrinkK) }

func bias(v Variable, list []Miss, now time.Time) Bias {
	b := Bias{}
	if len(list) == 0 {
		return b
	}
	b.From, b.To = list[0].At, list[len(list)-1].At
	values, weights := make([]float64, len(list)), make([]float64, len(list))
	stations := 0.0
	for i, m := range list {
		values[i], weights[i] = m.Off, AgeWeight(now.Sub(m.At))
		if m.Station {
			weights[i] *= stationWeight
			stations += weights[i]
			b.Stations++
		} else {
			b.Readings++
		}
	}
	sum := 0.0
	for i, m := range list {
		if m.Station {
			weights[i] *= m.Share * math.Min(1, mostStations/stations)
		}
		sum += weights[i]
	}
	b.Mean, b.Weight = RobustMean(values, weights, robust[v]), Shrink(sum)
	return b
}

// RobustMean is the weighted mean in which a value further than reach from the
// mean pulls no harder than at that distance (Huber 1964), begun at the weighted
// median. Weights are positive; 0 without values.
func RobustMean(values, weights []float64, reach float64) float64 {
	if len(values) == 0 {
		return 0
	}
	mean := weightedMedian(values, weights)
	for range 50 {
		sum, of := 0.0, 0.0
		for i, v := range values {
			w := weights[i]
			if d := math.Abs(v - mean); d > reach {
				w *= reach / d
			}
			sum, of = sum+w*v, of+w
		}
		next := sum / of
		if math.Abs(next-mean) < 1e-9 {
			return next
		}
		mean = next
	}
	return mean
}

func weightedMedian(values, weights []float64) float64 {
	order := make([]int, len(values))
	half := 0.0
	for i := range order {
		order[i] = i
		half += weights[i] / 2
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(values[a], values[b]) })
	for _, i := range order {
		if half -= weights[i]; half <= 0 {
			return values[i]
		}
	}
	return values[order[len(order)-1]]
}
