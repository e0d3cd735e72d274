package verdict

// slab hands out slices of one block of memory, which the next zone uses again. A
// sight is made for every member of every zone; without this the collector would
// have most of a week's work.
type slab[T any] struct {
	block []T
	used  int
}

// take gives n zeroed values.
func (s *slab[T]) take(n int) []T {
	if s.used+n > len(s.block) {
		s.block, s.used = make([]T, max(2*len(s.block), 4*n)), 0 // what was handed out lives on in the old block
	}
	out := s.block[s.used : s.used+n : s.used+n]
	s.used += n
	clear(out)
	return out
}

// slabs are what a sight takes its columns from.
type slabs struct {
	floats  slab[float32]
	doubles slab[float64]
	ints    slab[int32]
	words   slab[uint32]
	bools   slab[bool]
	bytes   slab[uint8]
}

func (s *slabs) reset() {
	s.floats.used, s.doubles.used, s.ints.used, s.words.used, s.bools.used, s.bytes.used = 0, 0, 0, 0, 0, 0
}
