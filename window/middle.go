package window

import "cmp"

// nth puts the value that would stand at place k, were they sorted, there, nothing
// greater before it and nothing less behind it (Hoare 1961, Algorithm 65: Find). A
// week takes some hundred thousand medians of its members; sorting them took twice as
// long.
func nth[T cmp.Ordered](values []T, k int) T {
	low, high := 0, len(values)-1
	for low < high {
		pivot := values[low+(high-low)/2]
		i, j := low, high
		for i <= j {
			for values[i] < pivot {
				i++
			}
			for pivot < values[j] {
				j--
			}
			if i <= j {
				values[i], values[j] = values[j], values[i]
				i, j = i+1, j-1
			}
		}
		switch {
		case k <= j:
			high = j
		case k >= i:
			low = i
		default:
			return values[k]
		}
	}
	return values[k]
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
