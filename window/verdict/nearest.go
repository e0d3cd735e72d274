package verdict

import (
	"math"
	"math/bits"
)

// mostBounds is how many bounds a judge may have: their codes end where others begin.
const mostBounds = codeLimit / codeStates

// nearest finds the limit with the least room left in the ideal slots of a word. A clock
// that the end of the data stopped has room of unknown length.
func (j *Judge) nearest(w int, ideal uint64, out sheet) {
	for ideal != 0 {
		place := w*64 + bits.TrailingZeros64(ideal)
		k := int(j.asked.in[j.asked.slot[place]])
		c := &j.asked.chunks[k]
		first := c.at - w*64 // below 0 where the word before has some of the chunk
		hour := ideal >> max(first, 0) << max(-first, 0) & c.all()
		ideal &^= hour >> max(-first, 0) << max(first, 0)
		j.nearestIn(k, c, hour, out)
	}
}

// nearestIn does so for slots of a chunk, a bit each from its first on. Its least and
// most tell of most bounds that another has less room left in all of them. What is left
// is compared without a branch, as in compare: an ideal slot is past no bound that counts,
// so that the bits of the room are in its order.
func (j *Judge) nearestIn(k int, c *chunk, ideal uint64, out sheet) {
	var most [mostBounds]float32 // −the room left, at least
	floor := -inf                // … of the one with the least room
	for which := range j.active {
		b := &j.active[which]
		v := j.views[b.col]
		near, wide := v.hi[k], v.lo[k]
		if b.sign < 0 {
			near, wide = wide, near
		}
		most[which] = b.less(near)
		if most[which] > floor && b.col != colRainSure && !j.excused(b, v) {
			floor = max(floor, b.less(wide))
		}
	}
	var least [chunkLen]uint64 // room, and which of the active bounds
	for r := range least {
		least[r] = uint64(math.Float32bits(far)) << 32
	}
	for which := range j.active {
		b := &j.active[which]
		if most[which] < floor || b.col == colRainSure {
			continue
		}
		v := j.views[b.col]
		counts := ideal
		if j.excused(b, v) {
			counts = j.unexcused(b, v, c, ideal)
		}
		for ; counts != 0; counts &= counts - 1 {
			r := bits.TrailingZeros64(counts)
			room := math.Float32bits(b.less(v.v[c.from+r])) &^ (1 << 31)
			least[r] = min(least[r], uint64(room)<<32|uint64(which))
		}
	}
	for ; ideal != 0; ideal &= ideal - 1 {
		r := bits.TrailingZeros64(ideal)
		if least[r]>>32 >= uint64(math.Float32bits(far)) {
			out.put(c.at+r, Result{State: Ideal, Past: -far})
			continue
		}
		b := &j.active[least[r]&0xff]
		out.measured(c.at+r, b, Ideal, j.views[b.col].v[c.from+r])
	}
}

// excused reports whether a bound's room may not count in some slots that are known:
// sun on a cool surface, and a clock that the end of the data stopped.
func (j *Judge) excused(b *bound, v *view) bool {
	return b.coolSun || b.col.ahead() && v.unseen != nil
}

// unexcused leaves the slots of a chunk in which it counts.
func (j *Judge) unexcused(b *bound, v *view, c *chunk, slots uint64) (out uint64) {
	for ; slots != 0; slots &= slots - 1 {
		i := c.from + bits.TrailingZeros64(slots)
		if !(b.coolSun && j.cool(i) || b.col.ahead() && v.blind[i]) {
			out |= slots & -slots
		}
	}
	return out
}

// less is minus the room that a value leaves to the end of a bound's ideal band, in the
// width of the band beyond.
func (b *bound) less(v float32) float32 { return (v - b.ideal) * b.sign / b.width }
