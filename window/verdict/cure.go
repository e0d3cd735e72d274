package verdict

// curing counts, from the data's beginning to each slot, the slots in which a film
// does not cure, for classes that cure alike.
type curing struct {
	least    float32 // surface, °C, from which it cures
	humidity float32 // % of the air from which it cures; 0: any
	below    []int32 // slots in which it does not cure; nil: none
	lean     []int32 // those that are only too dry, less those only too cold
}

// curing counts the slots that are too cold, or too dry, to cure, and which of both
// prevails. Only the low side of the cure's humidity band spoils a film that needs
// the air's water. Above the band the air is merely slow or, for moisture cures,
// quick; water itself is the business of the dew and rain clocks.
func (x *Sight) curing(least, humidity float32) *curing {
	for i := range x.memo.cures {
		if c := &x.memo.cures[i]; c.least == least && c.humidity == humidity {
			return c
		}
	}
	c := curing{least: least, humidity: humidity}
	s := x.series
	if !(x.allFrom(colSurface, least) && x.allFrom(colHumidity, humidity)) {
		n := s.Len() + 1
		block := x.mem.ints.take(2 * n)
		c.below, c.lean = block[:n], block[n:]
		for i, t := range s.Surface {
			out, lean := int32(0), int32(0)
			if s.KnownSurface[i] {
				if t < least {
					out, lean = 1, -1
				}
				if s.KnownAir[i] && s.Humidity[i] < humidity {
					out, lean = 1, lean+1
				}
			}
			c.below[i+1], c.lean[i+1] = c.below[i]+out, c.lean[i]+lean
		}
	}
	x.memo.cures = append(x.memo.cures, c)
	return &x.memo.cures[len(x.memo.cures)-1]
}

// blindTo counts, from the data's beginning to each slot, those in which the surface
// is not known; nil where it always is.
func (x *Sight) blindTo() []int32 {
	if !x.memo.looked {
		x.memo.looked = true
		if x.all&(1<<colSurface) == 0 {
			x.memo.blind = x.mem.ints.take(x.series.Len() + 1)
			for i, known := range x.series.KnownSurface {
				x.memo.blind[i+1] = x.memo.blind[i]
				if !known {
					x.memo.blind[i+1]++
				}
			}
		}
	}
	return x.memo.blind
}

// allFrom reports whether all values of a column, known or not, are at least so much.
func (x *Sight) allFrom(c column, least float32) bool {
	if !x.memo.hasLeast[c] {
		lowest := inf
		for _, v := range x.values(c) {
			if v < lowest {
				lowest = v
			}
		}
		x.memo.least[c], x.memo.hasLeast[c] = lowest, true
	}
	return x.memo.least[c] >= least
}

// values are what a film cures by.
func (x *Sight) values(c column) []float32 {
	if c == colSurface {
		return x.series.Surface
	}
	return x.series.Humidity
}

// cured asks whether the surface stays warm enough, and the air not too dry,
// while the longer default after-clock runs: any slot outside is marginal, more
// than half of them no-go. What there is more of, cold or dryness, gives the
// value. Slots that nobody knows, or that lie past the data, make it unknown
// unless enough of the others refuse it already.
func (j *Judge) cured(i int) Result {
	if j.span == 0 {
		return Result{}
	}
	w, n := j.curing, j.series.Len()
	end := min(i+1+j.span, n)
	spoilt := float32(0)
	if w.below != nil {
		spoilt = float32(w.below[end]-w.below[i+1]) / float32(j.span)
	}
	r := Result{State: Marginal, Limit: Cure, Past: spoilt / 0.5}
	switch {
	case spoilt > 0.5:
		r.State, r.Past = NoGo, (spoilt-0.5)/0.5
	case end < i+1+j.span || j.blind != nil && j.blind[end] > j.blind[i+1]:
		return Result{State: Unknown, Limit: Data}
	case spoilt == 0:
		return Result{}
	}
	if w.lean[end] > w.lean[i+1] {
		r.Value, r.Bound, r.Way = j.sight.arid(j.span)[i], w.humidity, Arid
	} else {
		r.Value, r.Bound = j.sight.coldest(j.span)[i], w.least
	}
	return r
}

// lowest is the least known value of a column in so many slots after each.
type lowest struct {
	of    column
	span  int
	least []float32
}

func (x *Sight) coldest(span int) []float32 { return x.lowest(colSurface, span, x.series.KnownSurface) }
func (x *Sight) arid(span int) []float32    { return x.lowest(colHumidity, span, x.series.KnownAir) }

func (x *Sight) lowest(of column, span int, known []bool) []float32 {
	for _, l := range x.memo.lowest {
		if l.of == of && l.span == span {
			return l.least
		}
	}
	values := x.values(of)
	out, queue := x.mem.floats.take(len(values)), x.mem.ints.take(len(values))[:0]
	for i := len(out) - 1; i >= 0; i-- {
		for len(queue) > 0 && int(queue[0]) > i+span {
			queue = queue[1:]
		}
		out[i] = far
		if len(queue) > 0 {
			out[i] = values[queue[0]]
		}
		if !known[i] {
			continue
		}
		for len(queue) > 0 && values[queue[len(queue)-1]] >= values[i] {
			queue = queue[:len(queue)-1]
		}
		queue = append(queue, int32(i))
	}
	x.memo.lowest = append(x.memo.lowest, lowest{of, span, out})
	return out
}
