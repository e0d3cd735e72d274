package ensemble

import (
	"math"
	"slices"
)

// RainPast is one forecast of rain of the past, and whether it rained.
type RainPast struct {
	Members []float64 // amounts of one span, mm, at least one
	Rained  bool      // measurable, 0.1 mm or more, in that span
}

// RainCalibration turns the members' amounts into a probability of rain that is
// borne out by the past:
//
//	log(p/(1−p)) = Base + Share log((k + ½)/(n − k + ½)) + Amount √(mean mm)
//
// for k of n members with measurable rain (0.1 mm or more): a logistic regression, the usual form
// for this (after Hamill, Whitaker and Wei 2004, who take roots of the amounts).
// It holds for the span and the lead that it was fitted on.
type RainCalibration struct {
	Base, Share, Amount float64
	Cases               int // that it was fitted on
}

// prior is what stands for the members as they are, and priorWeight how it holds
// the coefficients there: as a normal prior of standard deviation 1, so that few
// cases move little and cases that can be told apart wholly do not move them
// without end (common practice, no source).
var prior = [3]float64{0, 1, 0}

const (
	priorWeight = 1
	boldest     = 2 // longest step of a coefficient, so that Newton's method does not leap over the valley
)

// CalibrateRain fits a calibration of rain to the past; as for [Calibrate], the
// caller sees to it that the past is past. Cases without members do not count;
// fewer than ten that do are ErrTooFew.
func CalibrateRain(past []RainPast) (RainCalibration, error) {
	past = slices.DeleteFunc(slices.Clone(past), func(p RainPast) bool { return len(p.Members) == 0 })
	if len(past) < leastCases {
		return RainCalibration{}, ErrTooFew
	}
	w := prior
	for range 50 {
		step := newtonStep(past, w)
		size := 0.0
		for i := range w {
			w[i] += math.Min(math.Max(step[i], -boldest), boldest)
			size = math.Max(size, math.Abs(step[i]))
		}
		if size < 1e-10 {
			break
		}
	}
	return RainCalibration{w[0], w[1], w[2], len(past)}, nil
}

// newtonStep is the step that Newton's method takes to the greatest likelihood
// of the past under the prior.
func newtonStep(past []RainPast, w [3]float64) [3]float64 {
	var slope [3]float64
	var curve [3][3]float64
	for i := range w {
		slope[i] = priorWeight * (prior[i] - w[i])
		curve[i][i] = priorWeight
	}
	for _, c := range past {
		x := features(c.Members)
		p := logistic(w, x)
		off := -p
		if c.Rained {
			off++
		}
		for i := range x {
			slope[i] += off * x[i]
			for k := range x {
				curve[i][k] += p * (1 - p) * x[i] * x[k]
			}
		}
	}
	return solve3(curve, slope)
}

// features of a forecast of rain: see RainCalibration.
func features(members []float64) [3]float64 {
	var wet, sum float64
	for _, mm := range members {
		if mm >= wetMM {
			wet++
		}
		sum += math.Max(mm, 0)
	}
	n := float64(len(members))
	return [3]float64{1, math.Log((wet + 0.5) / (n - wet + 0.5)), math.Sqrt(sum / n)}
}

func logistic(w, x [3]float64) float64 {
	return 1 / (1 + math.Exp(-(w[0]*x[0] + w[1]*x[1] + w[2]*x[2])))
}

// solve3 solves a·x = b for a symmetric, positive definite a (Cholesky).
func solve3(a [3][3]float64, b [3]float64) (x [3]float64) {
	var l [3][3]float64
	for i := range 3 {
		for k := 0; k <= i; k++ {
			s := a[i][k]
			for m := range k {
				s -= l[i][m] * l[k][m]
			}
			if i == k {
				l[i][i] = math.Sqrt(s)
			} else {
				l[i][k] = s / l[k][k]
			}
		}
	}
	var y [3]float64
	for i := range 3 {
		y[i] = b[i]
		for k := range i {
			y[i] -= l[i][k] * y[k]
		}
		y[i] /= l[i][i]
	}
	for i := 2; i >= 0; i-- {
		x[i] = y[i]
		for k := i + 1; k < 3; k++ {
			x[i] -= l[k][i] * x[k]
		}
		x[i] /= l[i][i]
	}
	return x
}

// Probability of measurable rain, 0–1; ok is false without members.
func (c RainCalibration) Probability(members []float64) (p float64, ok bool) {
	if len(members) == 0 {
		return 0, false
	}
	return logistic([3]float64{c.Base, c.Share, c.Amount}, features(members)), true
}
