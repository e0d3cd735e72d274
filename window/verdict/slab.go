package verdict

// slab hands out slices of memory that the next zone uses again. A sight is made for
// every member of every zone; without this the collector would have most of a week's
// work.
type slab[T any] struct {
	blocks [][]T
	at     int // the block in use …
	used   int // … and how much of it
}

// A block holds so many values, where no more are asked for at once, the first ones
// less.
const (
	slabLen   = 4096
	slabLeast = 256
)

// take gives n zeroed values.
func (s *slab[T]) take(n int) []T {
	for ; s.at < len(s.blocks); s.at, s.used = s.at+1, 0 {
		if s.used+n <= len(s.blocks[s.at]) {
			break
		}
	}
	if s.at == len(s.blocks) {
		s.blocks = append(s.blocks, make([]T, max(n, min(slabLen, slabLeast<<len(s.blocks)))))
	}
	out := s.blocks[s.at][s.used : s.used+n : s.used+n]
	s.used += n
	clear(out)
	return out
}

func (s *slab[T]) reset() { s.at, s.used = 0, 0 }

// slabs are what a sight takes its columns from.
type slabs struct {
	floats slab[float32]
	ints   slab[int32]
	words  slab[uint32]
	bools  slab[bool]
	bytes  slab[uint8]
	planes slab[uint64]
	passed slab[passed]
	passes slab[passes]

	sum  []float64 // scratch of warmth
	damp []bool    // scratch of damp
}

func (s *slabs) reset() {
	s.floats.reset()
	s.ints.reset()
	s.words.reset()
	s.bools.reset()
	s.bytes.reset()
	s.planes.reset()
	s.passed.reset()
	s.passes.reset()
}
