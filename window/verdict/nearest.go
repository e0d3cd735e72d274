package verdict

import "math/bits"

// mostBounds is how many bounds a judge may have: their codes end where others begin.
const mostBounds = codeLimit / codeStates

// nearest finds the limit with the least room left in the ideal slots of a word. A clock
// that the end of the data stopped has room of unknown length.
func (j *Judge) nearest(w int, ideal uint64, out sheet) {
	for ideal != 0 {
		place := w*64 + bits.TrailingZeros64(ideal)
		k := int(j.asked.in[j.asked.slot[place]])
		c := &j.asked.chunks[k]
		hour := ideal
		if end := c.at + c.to - c.from - w*64; end < 64 {
			hour &= 1<<end - 1
		}
		ideal &^= hour
		j.nearestIn(k, w, hour, out)
	}
}

// nearestIn does so for slots of a word that are of one chunk. Its least and most tell
// of most bounds that another has less room left in all of them.
func (j *Judge) nearestIn(k, w int, ideal uint64, out sheet) {
	var most [mostBounds]float32 // −the room left, at least
	floor := -inf                // … of the one with the least room
	for which := range j.active {
		b := &j.active[which]
		v := j.views[b.col]
		close, loose := v.hi[k], v.lo[k]
		if b.sign < 0 {
			close, loose = loose, close
		}
		most[which] = b.less(close)
		if most[which] > floor && !b.coolSun && b.col != colRainSure && !(b.col.ahead() && v.unseen != nil) {
			floor = max(floor, b.less(loose))
		}
	}
	var past [64]float32
	var by [64]uint8 // 1 + which of the active bounds; 0: none
	for which := range j.active {
		b := &j.active[which]
		if most[which] < floor || b.col == colRainSure {
			continue
		}
		v := j.views[b.col]
		for left := ideal; left != 0; left &= left - 1 {
			at := bits.TrailingZeros64(left)
			i := int(j.asked.slot[w*64+at])
			if b.coolSun && j.cool(i) || b.col.ahead() && v.blind[i] {
				continue
			}
			if p := b.less(v.v[i]); p > -far && (by[at] == 0 || p > past[at]) {
				past[at], by[at] = p, uint8(which+1)
			}
		}
	}
	for ; ideal != 0; ideal &= ideal - 1 {
		at := bits.TrailingZeros64(ideal)
		if by[at] == 0 {
			out.put(w*64+at, Result{State: Ideal, Past: -far})
			continue
		}
		b := &j.active[by[at]-1]
		out.measured(w*64+at, b, Ideal, j.views[b.col].v[j.asked.slot[w*64+at]])
	}
}

// less is minus the room that a value leaves to the end of a bound's ideal band, in the
// width of the band beyond.
func (b *bound) less(v float32) float32 { return (v - b.ideal) * b.sign / b.width }
