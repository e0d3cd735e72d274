package verdict

// unknown marks the asked slots of which any of so much is not known, a bit each as in
// avail; nil where all is.
func (j *Judge) unknown(needed uint32) plane {
	x := j.sight
	if x.surely&needed == needed {
		return nil
	}
	out := plane(j.scratch.take(x.asked.words))
	for k := range x.asked.chunks {
		c := &x.asked.chunks[k]
		if x.sure[k]&needed == needed {
			continue
		}
		var bits uint64
		for at, f := range x.avail[c.from:c.to] {
			bits |= one(f&needed != needed) << at
		}
		out.put(c.at, bits)
	}
	return out
}

// absent marks the slots in which a needed value is absent; nil where none is.
func (j *Judge) absent() plane {
	out := j.unknown(j.needed)
	add := func(marks func(w int) uint64) {
		if out == nil {
			out = j.scratch.take(j.asked.words)
		}
		for w := range out {
			out[w] |= marks(w)
		}
	}
	if j.water != nil && j.series.Doubt != nil {
		add(j.water.may.word)
	}
	for k := range j.active {
		b := &j.active[k]
		if v := j.views[b.col]; v.unseen != nil {
			short := j.beyond(b, b.normal)
			add(func(w int) uint64 { return v.unseen[w] & short[w] })
		}
	}
	return out
}

// uncured marks the slots after which a film does not plainly cure; nil where it always
// does.
func (j *Judge) uncured() plane {
	c := j.curing
	if c == nil || j.span == 0 {
		return nil
	}
	n, span := j.series.Len(), j.span
	spoilt := func(count []int32, from, to int) bool { return count != nil && count[min(to, n)] > count[min(from, n)] }
	var out plane
	for k := range j.asked.chunks {
		x := &j.asked.chunks[k]
		if x.to+span <= n && !spoilt(c.below, x.from+1, x.to+span) && !spoilt(j.blind, x.from+1, x.to+span) {
			continue
		}
		var bits uint64
		for i := x.from; i < x.to; i++ {
			from, to := i+1, i+1+span
			bits |= one(to > n || spoilt(c.below, from, to) || spoilt(j.blind, from, to)) << (i - x.from)
		}
		if out == nil {
			out = j.scratch.take(j.asked.words)
		}
		out.put(x.at, bits)
	}
	return out
}
