package draw

import (
	"slices"
)

// apartFrom moves places so that they stand a gap apart within [low, high],
// keeping their order, each as near to where it was as its group allows (the pool
// adjacent violators of isotonic regression). Where there is no room for all they
// are set evenly. The result is in the order of the input.
func apartFrom(places []float64, gap, low, high float64) []float64 {
	n := len(places)
	if n == 0 {
		return nil
	}
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case places[a] < places[b]:
			return -1
		case places[a] > places[b]:
			return 1
		}
		return 0
	})
	if n > 1 {
		gap = min(gap, (high-low)/float64(n-1))
	}
	type group struct {
		sum   float64
		count int
	}
	var groups []group
	for k, i := range order { // with k gaps taken off, places need only not fall
		groups = append(groups, group{places[i] - gap*float64(k), 1})
		for len(groups) > 1 {
			a, b := groups[len(groups)-2], groups[len(groups)-1]
			if a.sum/float64(a.count) <= b.sum/float64(b.count) {
				break
			}
			groups = append(groups[:len(groups)-2], group{a.sum + b.sum, a.count + b.count})
		}
	}
	out := make([]float64, n)
	k := 0
	for _, g := range groups {
		at := min(max(g.sum/float64(g.count), low), high-gap*float64(n-1))
		for range g.count {
			out[order[k]] = at + gap*float64(k)
			k++
		}
	}
	return out
}
