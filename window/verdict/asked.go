package verdict

// chunkLen is how many slots are judged in one go: an hour, over which the weather
// changes so little that most limits hold for all of it or for none.
const chunkLen = 6

// Asked is which slots are judged: those of the horizon in which anybody works at
// all. The others are no-go by the hours, and have no verdict of their own.
type Asked struct {
	chunks []chunk
	at     []int32 // by slot of the grid: its place among the asked; −1: not asked …
	in     []int32 // … and its chunk
	slot   []int32 // by place: the slot
	n      int
	words  int   // of a plane
	none   plane // marks nothing
}

// chunk is at most chunkLen slots [from, to), the first of which has place at among
// the asked.
type chunk struct{ from, to, at int }

// all marks the slots of a chunk, a bit each from its first on.
func (c *chunk) all() uint64 { return 1<<(c.to-c.from) - 1 }

// NewAsked asks for the slots of [from, to) that are open; open has the grid's
// length.
func NewAsked(open []bool, from, to int) *Asked {
	a := &Asked{at: make([]int32, len(open)), in: make([]int32, len(open))}
	for i := range a.at {
		a.at[i], a.in[i] = -1, -1
	}
	for i := from; i < to; i++ {
		if !open[i] {
			continue
		}
		a.at[i], a.slot = int32(a.n), append(a.slot, int32(i))
		if k := len(a.chunks) - 1; k >= 0 && a.chunks[k].to == i && i-a.chunks[k].from < chunkLen {
			a.chunks[k].to++
		} else {
			a.chunks = append(a.chunks, chunk{i, i + 1, a.n})
		}
		a.in[i] = int32(len(a.chunks) - 1)
		a.n++
	}
	a.words = (a.n + 63) / 64
	a.none = make(plane, a.words)
	return a
}

// valid marks the places of a word.
func (a *Asked) valid(w int) uint64 {
	if end := a.n - 64*w; end < 64 {
		return 1<<end - 1
	}
	return ^uint64(0)
}

// Each calls f with the asked slots, stretch by stretch in order of time.
func (a *Asked) Each(f func(from, to int)) {
	for _, c := range a.chunks {
		f(c.from, c.to)
	}
}

// look finds between which values a column moves in every chunk, and in all of them.
func (a *Asked) look(v []float32, blind []bool, mem *slabs) view {
	n := len(a.chunks)
	block := mem.floats.take(2 * n)
	out := view{v: v, lo: block[:n], hi: block[n:], blind: blind, past: &mem.passes.take(1)[0], least: inf, most: -inf}
	for k, c := range a.chunks {
		lo, hi := v[c.from], v[c.from]
		for _, y := range v[c.from+1 : c.to] {
			if y < lo { // the built-in min and max take thrice as long for the sake of NaN and −0
				lo = y
			}
			if y > hi {
				hi = y
			}
		}
		out.lo[k], out.hi[k] = lo, hi
		if lo < out.least {
			out.least = lo
		}
		if hi > out.most {
			out.most = hi
		}
	}
	if blind != nil {
		out.unseen = a.marks(blind, &mem.planes)
	}
	return out
}
