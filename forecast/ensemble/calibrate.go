package ensemble

import (
	"cmp"
	"errors"
	"math"
	"slices"

	"dewgap/forecast/score"
)

// Past is one forecast of the past, and what was measured when its time came.
type Past struct {
	Place    string    // of the instrument; cases of one place share a bias
	Members  []float64 // at least one
	Observed float64   // in the members' unit
}

// Calibration brings the members of an ensemble to where measurements were and as
// far apart as they ought to be. The zero Calibration is no use; [Calibrate] fits
// one. It holds for the quantity and the lead that it was fitted on.
//
// The calibrated forecast is the normal of non-homogeneous Gaussian regression
// (Gneiting et al. 2005), with the mean m and the variance S² of the members:
//
//	mean m + Bias + ByPlace,  variance Floor² + Stretch² S²
//
// fitted for the least CRPS. The members are then spread over that normal, each at
// the place that it has among them: the coolest stays the coolest (ensemble copula
// coupling, Schefzik, Thorarinsdottir and Gneiting 2013). So a future keeps its
// front and its hour, and goes on hanging together with its wind and its rain. To
// stretch each member by its own distance from the mean instead would keep the
// shape of the ensemble too, but a handful of members have a shape by chance: it
// gained two thirds as much where it was tried, on eight.
type Calibration struct {
	Bias    float64            // mean of what was measured less the members' mean, all places
	ByPlace map[string]float64 // on top of it, shrunk by n/(n + 5)
	Floor   float64            // spread that is there though all members agree, ≥ 0
	Stretch float64            // share of the members' own spread that counts, ≥ 0
	Cases   int                // that it was fitted on
}

// biasHalf is how many cases of a place it takes to believe half of what they say
// of it (common practice; as n/(n + 5) it is a prior of five cases without bias).
const biasHalf = 5

// leastCases is how many cases a spread can be fitted on at all (common practice,
// no source).
const leastCases = 10

// ErrTooFew is that there are too few cases of the past to fit anything.
var ErrTooFew = errors.New("too few forecasts of the past to calibrate by")

// Calibrate fits a calibration to the past. Whoever wants to know how good it is
// must give it none of what it is scored on: for a forecast made at t only cases
// measured by t. Cases without members do not count; fewer than ten that do are
// ErrTooFew.
func Calibrate(past []Past) (Calibration, error) {
	var list []fitCase
	for _, p := range past {
		if len(p.Members) == 0 {
			continue
		}
		m, s := meanAndSpread(p.Members)
		list = append(list, fitCase{p.Place, p.Observed - m, s})
	}
	if len(list) < leastCases {
		return Calibration{}, ErrTooFew
	}
	c := Calibration{ByPlace: map[string]float64{}, Cases: len(list)}
	sums := c.fitBias(list)
	c.fitSpread(list, sums)
	return c, nil
}

// fitCase is a case of the past as the fit needs it.
type fitCase struct {
	place       string
	off, spread float64 // measured less the mean; standard deviation of the members
}

// ofPlace is what is off at one place, besides the bias of all.
type ofPlace struct{ n, sum float64 }

func (c *Calibration) fitBias(list []fitCase) map[string]ofPlace {
	for _, x := range list {
		c.Bias += x.off / float64(len(list))
	}
	sums := map[string]ofPlace{}
	for _, x := range list {
		s := sums[x.place]
		sums[x.place] = ofPlace{s.n + 1, s.sum + x.off - c.Bias}
	}
	for place, s := range sums {
		c.ByPlace[place] = s.sum / (s.n + biasHalf)
	}
	return sums
}

// fitSpread finds floor and stretch of the least mean CRPS. Each case is scored
// with the bias that the other cases of its place give, or the spread would be
// too small by what the bias has learned by heart.
func (c *Calibration) fitSpread(list []fitCase, sums map[string]ofPlace) {
	left := make([]float64, len(list))
	for i, x := range list {
		s := sums[x.place]
		own := x.off - c.Bias
		left[i] = own - (s.sum-own)/(s.n-1+biasHalf)
	}
	mean := func(floor, stretch float64) (sum float64) {
		for i, x := range list {
			sum += score.CRPSNormal(left[i], 0, math.Hypot(floor, stretch*x.spread))
		}
		return sum
	}
	most := 0.0
	for _, e := range left {
		most = math.Max(most, math.Abs(e))
	}
	floorAt := func(stretch float64) float64 {
		return least(0, most, func(floor float64) float64 { return mean(floor, stretch) })
	}
	c.Stretch = least(0, mostStretch, func(stretch float64) float64 { return mean(floorAt(stretch), stretch) })
	c.Floor = floorAt(c.Stretch)
}

// mostStretch bounds the search: no ensemble in use lacks more than four fifths of
// its spread (common practice, no source).
const mostStretch = 5

// least finds where a function with one valley is least, to a thousandth of the
// way, by golden section.
func least(lo, hi float64, f func(float64) float64) float64 {
	const ratio = 0.6180339887498949
	eps := (hi - lo) / 1000
	a, b := hi-ratio*(hi-lo), lo+ratio*(hi-lo)
	fa, fb := f(a), f(b)
	for hi-lo > eps {
		if fa <= fb {
			hi, b, fb = b, a, fa
			a = hi - ratio*(hi-lo)
			fa = f(a)
		} else {
			lo, a, fa = a, b, fb
			b = lo + ratio*(hi-lo)
			fb = f(b)
		}
	}
	return (lo + hi) / 2
}

// meanAndSpread is the mean and the standard deviation (over n) of members.
func meanAndSpread(x []float64) (mean, sd float64) {
	for _, v := range x {
		mean += v / float64(len(x))
	}
	for _, v := range x {
		sd += (v - mean) * (v - mean) / float64(len(x))
	}
	return mean, math.Sqrt(sd)
}

// Normal is the calibrated forecast as a normal: its mean and its standard
// deviation. A place that the past does not know has the bias of all. Members
// must not be empty.
func (c Calibration) Normal(place string, members []float64) (mean, sd float64) {
	m, s := meanAndSpread(members)
	return m + c.Bias + c.ByPlace[place], math.Hypot(c.Floor, c.Stretch*s)
}

// Below is the calibrated probability that what comes is less than x.
func (c Calibration) Below(place string, members []float64, x float64) float64 {
	mean, sd := c.Normal(place, members)
	if sd <= 0 {
		if mean < x {
			return 1
		}
		return 0
	}
	return score.Below((x - mean) / sd)
}

// Members are the calibrated members, in the order of those given: the middles of
// equal shares of the normal, which are the members of least CRPS (Bröcker 2012).
// Members that agree are parted in their order; a single one is only moved, and
// [Dress] is what makes futures of it.
func (c Calibration) Members(place string, members []float64) []float64 {
	n := len(members)
	if n == 0 {
		return nil
	}
	mean, sd := c.Normal(place, members)
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(members[a], members[b]) })
	out := make([]float64, n)
	for rank, i := range order {
		share := (float64(rank) + 0.5) / float64(n)
		out[i] = mean + sd*math.Sqrt2*math.Erfinv(2*share-1)
	}
	return out
}
