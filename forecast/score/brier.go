package score

import "math"

// Case is one thing that was said with a probability, and whether it came.
type Case struct {
	P    float64 // 0–1
	Came bool
}

// came is 1 or 0.
func (c Case) came() float64 {
	if c.Came {
		return 1
	}
	return 0
}

// Brier is the mean of (P − came)²: 0 at best, ¼ for saying one half always
// (Brier 1950, halved as is usual now). ok is false without cases.
func Brier(cases []Case) (brier float64, ok bool) {
	if len(cases) == 0 {
		return 0, false
	}
	var sum float64
	for _, c := range cases {
		sum += (c.P - c.came()) * (c.P - c.came())
	}
	return sum / float64(len(cases)), true
}

// Parts are what a Brier score is made of:
//
//	Brier = Reliability − Resolution + Uncertainty + Within
//
// (Murphy 1973; Within after Stephenson, Coelho and Jolliffe 2008). Each is a mean
// over cases.
type Parts struct {
	Brier       float64
	Reliability float64 // how far what was said lies from what came: 0 at best
	Resolution  float64 // how far the bins' shares lie from the share of all: more is better
	Uncertainty float64 // of the thing itself: the score of saying the share of all, always
	// Within is what the bins hide: the spread of what was said in a bin, less
	// twice its going together with what came. 0 where each bin has one P.
	Within float64
}

// Decompose takes a Brier score apart by bins equal bins of the probability; ok is
// false without cases or bins.
func Decompose(cases []Case, bins int) (parts Parts, ok bool) {
	table := Reliability(cases, bins)
	brier, ok := Brier(cases)
	if !ok || table == nil {
		return Parts{}, false
	}
	n := float64(len(cases))
	p := Parts{Brier: brier}
	var all float64
	for _, c := range cases {
		all += c.came() / n
	}
	p.Uncertainty = all * (1 - all)
	for _, b := range table {
		share := float64(b.N) / n
		p.Reliability += share * (b.Said - b.Came) * (b.Said - b.Came)
		p.Resolution += share * (b.Came - all) * (b.Came - all)
	}
	for _, c := range cases {
		b := table[bin(c.P, bins)]
		off := c.P - b.Said
		p.Within += (off*off - 2*off*(c.came()-b.Came)) / n
	}
	return p, true
}

// Bin is one row of a reliability table: all cases with a probability from From to
// below To (the last bin to To itself).
type Bin struct {
	From, To float64
	N        int
	Said     float64 // mean of what was said; 0 where N is
	Came     float64 // share that came; 0 where N is
}

// Reliability sorts cases into equal bins of the probability, all of them in
// order, the empty ones too; nil for a number of bins that is not positive.
func Reliability(cases []Case, bins int) []Bin {
	if bins <= 0 {
		return nil
	}
	table := make([]Bin, bins)
	for i := range table {
		table[i].From, table[i].To = float64(i)/float64(bins), float64(i+1)/float64(bins)
	}
	for _, c := range cases {
		b := &table[bin(c.P, bins)]
		b.N++
		b.Said += c.P
		b.Came += c.came()
	}
	for i := range table {
		if b := &table[i]; b.N > 0 {
			b.Said /= float64(b.N)
			b.Came /= float64(b.N)
		}
	}
	return table
}

// bin is the bin of a probability. A billionth above is forgiven, so that shares
// such as 7 of 10 fall where they are said to.
func bin(p float64, bins int) int {
	return min(max(int(math.Floor(p*float64(bins)+1e-9)), 0), bins-1)
}

// CalibrationError is the expected calibration error: the mean over cases of how
// far what was said lies from what came in their bin (Naeini, Cooper and
// Hauskrecht 2015). 0 at best; it shrinks with the number of cases, and with few
// it is mostly chance. ok is false without cases or bins.
func CalibrationError(cases []Case, bins int) (err float64, ok bool) {
	table := Reliability(cases, bins)
	if len(cases) == 0 || table == nil {
		return 0, false
	}
	for _, b := range table {
		err += float64(b.N) * math.Abs(b.Said-b.Came)
	}
	return err / float64(len(cases)), true
}
