package score

import (
	"math"
	"slices"
)

// CRPS is the continuous ranked probability score of members against what came,
//
//	mean |xᵢ − y| − Σᵢⱼ |xᵢ − xⱼ| / (2 n²)
//
// (Gneiting and Raftery 2007, "Strictly proper scoring rules", eq. 21, its number
// from memory, with the members for the distribution), in their unit, 0 at best. It takes the members
// as they are for the whole forecast: of two sets drawn from the same truth the
// larger scores better. ok is false without members.
func CRPS(y float64, members []float64) (crps float64, ok bool) {
	n := float64(len(members))
	return ensemble(y, members, n*n)
}

// CRPSFair is CRPS with n (n − 1) in place of n²: the score that the members
// would have on average if there were endlessly many of their kind (Ferro 2014,
// "Fair scores for ensemble forecasts"). It serves to compare ensembles of
// different size and may be below 0 in a single case. One member scores its
// absolute error. ok is false without members.
func CRPSFair(y float64, members []float64) (crps float64, ok bool) {
	n := float64(len(members))
	return ensemble(y, members, math.Max(n*(n-1), 1))
}

// ensemble is the mean distance to y less half the members' distances to each
// other over pairs.
func ensemble(y float64, members []float64, pairs float64) (float64, bool) {
	if len(members) == 0 {
		return 0, false
	}
	x := slices.Sorted(slices.Values(members))
	n := len(x)
	var off, apart float64
	for i, v := range x {
		off += math.Abs(v - y)
		apart += float64(2*i-n+1) * (v - y) // Σᵢⱼ |xᵢ−xⱼ| = 2 Σ (2i − n + 1) x₍ᵢ₎, from y on for small numbers
	}
	return off/float64(n) - apart/pairs, true
}

// CRPSNormal is the score of a normal with a mean and a standard deviation,
//
//	s [z (2 Φ(z) − 1) + 2 φ(z) − 1/√π],  z = (y − mean)/s
//
// (Gneiting, Raftery, Westveld and Goldman 2005, eq. 5, its number from memory). An sd of 0 or less is a
// forecast without doubt and scores its absolute error.
func CRPSNormal(y, mean, sd float64) float64 {
	if sd <= 0 {
		return math.Abs(y - mean)
	}
	z := (y - mean) / sd
	return sd * (z*(2*Below(z)-1) + 2*Density(z) - 1/math.Sqrt(math.Pi))
}

// Below is the share of a standard normal below z.
func Below(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }

// Density is that of a standard normal at z.
func Density(z float64) float64 { return math.Exp(-z*z/2) / math.Sqrt(2*math.Pi) }

// Pinball is the loss of a quantile q that a share tau of what comes should lie
// below: tau (y − q) where y lies above it, (1 − tau) (q − y) where below. Its
// mean is least at the true quantile (Koenker and Bassett 1978).
func Pinball(y, q, tau float64) float64 {
	if y >= q {
		return tau * (y - q)
	}
	return (1 - tau) * (q - y)
}

// Quantile is that of members for a share tau, 0–1: linear between the sorted
// members, the least at 0 and the most at 1 (type 7 of Hyndman and Fan 1996). ok
// is false without members.
func Quantile(members []float64, tau float64) (q float64, ok bool) {
	if len(members) == 0 {
		return 0, false
	}
	x := slices.Sorted(slices.Values(members))
	at := math.Min(math.Max(tau, 0), 1) * float64(len(x)-1)
	i := min(int(at), len(x)-1)
	if i == len(x)-1 {
		return x[i], true
	}
	return x[i] + (at-float64(i))*(x[i+1]-x[i]), true
}

// Between is the span between members that holds what comes in a share of cases,
// 0–1, if it and the members are drawn alike: of n + 1 numbers in any order each
// place is as likely, so the bounds lie at the (n + 1)(1 ± share)/2-th of the sorted
// members (type 6 of Hyndman and Fan 1996), linear in between and never beyond the
// outermost, which for few members hold less than was asked. Two [Quantile] would
// hold too seldom: of thirty members those of 10 and 90 % hold 75 %. ok is false
// without members.
func Between(members []float64, share float64) (low, high float64, ok bool) {
	if len(members) == 0 {
		return 0, 0, false
	}
	x := slices.Sorted(slices.Values(members))
	last := float64(len(x) - 1)
	at := func(tau float64) float64 {
		k := math.Min(math.Max(tau*float64(len(x)+1)-1, 0), last)
		i := min(int(k), max(len(x)-2, 0))
		j := min(i+1, len(x)-1)
		return x[i] + (k-float64(i))*(x[j]-x[i])
	}
	tail := (1 - math.Min(math.Max(share, 0), 1)) / 2
	return at(tail), at(1 - tail), true
}

// Skill is how much better a score is than that of a reference, as a share: 1 at
// best, 0 for no better, below 0 for worse. ok is false where the reference
// leaves nothing to gain.
func Skill(mean, reference float64) (skill float64, ok bool) {
	if !(reference > 0) {
		return 0, false
	}
	return 1 - mean/reference, true
}
