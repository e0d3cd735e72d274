package answer

import (
	"cmp"
	"math"
	"slices"
	"time"

	"dewgap/window/verdict"
)

// atLeast are the limits by name whose bound has to be reached; no other's may be passed.
var atLeast = func() map[string]bool {
	out := map[string]bool{"haze": true}
	for l, m := range measures {
		if m.least {
			out[l.String()] = true
		}
	}
	return out
}()

// Further reports whether a binding lies further past its bound than another of the same
// limit, or less far within it. Figures go before none, and two units are not compared.
func (x Binding) Further(than Binding) bool {
	past, ok := x.past()
	of, had := than.past()
	switch {
	case !ok || had && x.Unit != than.Unit:
		return false
	case !had:
		return true
	}
	return past > of
}

// Worse is the one of two bindings of one limit that is further past its bound, the first
// where neither is.
func (x Binding) Worse(y Binding) Binding {
	if y.Further(x) {
		return y
	}
	return x
}

// past is how far past its bound a binding lies, below 0 within it; false without figures.
func (x Binding) past() (float64, bool) {
	if x.Value == nil || x.Bound == nil {
		return 0, false
	}
	d := *x.Value - *x.Bound
	if math.IsNaN(d) || math.IsInf(d, 0) {
		return 0, false
	}
	if atLeast[x.Limit] {
		return -d, true
	}
	return d, true
}

// Tally sums up by limit for how long each stands against work.
type Tally struct{ sums []Hindrance }

// Hindrance is one limit of a [Tally].
type Hindrance struct {
	// Binding is what is told of it: the one furthest past its bound; of missing data, which
	// has many causes and no figure, the cause that takes the longest.
	Binding Binding
	For     time.Duration
	byText  map[string]time.Duration
}

// Add counts in that a binding stands against work for some time.
func (t *Tally) Add(b Binding, d time.Duration) {
	k := slices.IndexFunc(t.sums, func(x Hindrance) bool { return x.Binding.Limit == b.Limit })
	if k < 0 {
		k = len(t.sums)
		t.sums = append(t.sums, Hindrance{Binding: b, byText: map[string]time.Duration{}})
	}
	x := &t.sums[k]
	x.For += d
	x.byText[b.Text] += d
	if b.Limit != verdict.Data.String() {
		x.Binding = x.Binding.Worse(b)
	} else if x.byText[b.Text] > x.byText[x.Binding.Text] {
		x.Binding = b
	}
}

// Longest are the limits by the time that they take, as they came where it is the same.
func (t *Tally) Longest() []Hindrance {
	out := slices.Clone(t.sums)
	slices.SortStableFunc(out, func(a, b Hindrance) int { return cmp.Compare(b.For, a.For) })
	return out
}
