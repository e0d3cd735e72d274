package plan

import "math/bits"

// Sets of members are bits in one or more words, all of one length.

func count(a []uint64) int {
	n := 0
	for _, w := range a {
		n += bits.OnesCount64(w)
	}
	return n
}

// common is the number of members in both.
func common(a, b []uint64) int {
	n := 0
	for i, w := range a {
		n += bits.OnesCount64(w & b[i])
	}
	return n
}

// and writes the members in both a and b to out.
func and(out, a, b []uint64) {
	for i := range out {
		out[i] = a[i] & b[i]
	}
}

// within reports whether every member of a is in b.
func within(a, b []uint64) bool {
	for i, w := range a {
		if w&^b[i] != 0 {
			return false
		}
	}
	return true
}

// fivePoints rounds a share of n members down to five points of a hundred.
func fivePoints(hit, n int) int { return hit * 20 / n }

// needed is the fewest of n members that make so many five points.
func needed(points, n int) int { return (points*n + 19) / 20 }

// antichain keeps the sets that lie in no other, the largest first. It holds at
// most its limit; full tells that some were let go.
type antichain struct {
	sets [][]uint64
	most int
	full bool
}

func (c *antichain) add(s []uint64) {
	for _, have := range c.sets {
		if within(s, have) {
			return
		}
	}
	kept := c.sets[:0]
	for _, have := range c.sets {
		if !within(have, s) {
			kept = append(kept, have)
		}
	}
	at := len(kept)
	for at > 0 && count(kept[at-1]) < count(s) {
		at--
	}
	kept = append(kept, nil)
	copy(kept[at+1:], kept[at:])
	kept[at] = append([]uint64(nil), s...)
	if len(kept) > c.most {
		kept, c.full = kept[:c.most], true
	}
	c.sets = kept
}
