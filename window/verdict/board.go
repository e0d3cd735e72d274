package verdict

import (
	"math"
	"math/bits"
	"slices"
)

// Board is one class's verdicts on one zone: those of every member on every asked
// slot. A week has millions of them and most are only counted, so each is kept as
// small as can be: a code for the state and the bound that decides it, and the value
// that was held against the bound. The few that need more are kept whole.
type Board struct {
	asked   *Asked
	members int
	codes   []uint8 // member by member, of its asked slots
	values  []float32
	kinds   *[256]kind // what the codes mean
	whole   []Result   // of codeWhole; the value's bits are the place

	// Word by word of the asked slots, and of each word by level: member by member, how
	// good the slots are.
	planes []uint64
	stride int   // members there is room for
	alike  plane // slots that the plan of the day shuts, for all members by the same limit
}

// The levels of a board's planes: at least as good as a workable state, and known.
const (
	levelKnown = int(Marginal) + 1
	levels     = levelKnown + 1
)

// kind is what is the same in all verdicts of one code.
type kind struct {
	state              State
	limit              Limit
	way                Way
	measured           bool
	bound, sign, width float32
}

// The codes: five for each of a judge's bounds, one a state; one for each yes/no limit
// that has no figures; one for each way in which water lies there; and two more.
const (
	codeUnknown = 255
	codeWhole   = 254
	codeFilm    = 220 // and the way
	codeLimit   = 200 // and the limit
	codeStates  = int(NoGo) + 1
)

// kindsOf is what the codes mean for a judge of these bounds, to which so much water,
// g/m², does no harm.
func kindsOf(bounds []bound, film float32) *[256]kind {
	kinds := &[256]kind{codeUnknown: {state: Unknown, limit: Data}}
	for l := range Fog + 1 {
		kinds[codeLimit+int(l)] = kind{state: NoGo, limit: l}
	}
	for w := range ways { // yes or no, so that no water is further past than other water
		kinds[codeFilm+int(w)] = kind{NoGo, Film, w, w.figure(), film, 1, inf}
	}
	for k := range bounds {
		b := &bounds[k]
		for s := range NoGo + 1 {
			edge, sign, width := b.band(s)
			kinds[k*codeStates+int(s)] = kind{s, b.limit, b.way(), true, edge, sign, width}
		}
	}
	return kinds
}

// NewBoard is room for so many members' verdicts on the asked slots.
func NewBoard(a *Asked, members int) *Board {
	b := &Board{}
	b.Reset(a, members)
	return b
}

// Reset makes an old board new. What stands on it is to be written over: a judge
// writes all of a member's slots.
func (b *Board) Reset(a *Asked, members int) {
	n := a.n * members
	b.asked, b.members, b.whole = a, members, b.whole[:0]
	b.codes, b.values = slices.Grow(b.codes[:0], n)[:n], slices.Grow(b.values[:0], n)[:n]
	b.stride = (members + 63) / 64 * 64
	n = a.words * levels * b.stride
	b.planes = slices.Grow(b.planes[:0], n)[:n]
	clear(b.planes)
	b.alike = slices.Grow(b.alike[:0], a.words)[:a.words]
	for w := range b.alike {
		b.alike[w] = ^uint64(0)
	}
}

// plane is the place of one of a member's words.
func (b *Board) plane(w, level, member int) int { return (w*levels+level)*b.stride + member }

// sheet is one member's part of a board, on which a judge writes.
type sheet struct {
	*Board
	member int
	codes  []uint8
	values []float32
}

func (b *Board) sheet(member int) sheet {
	from, to := member*b.asked.n, (member+1)*b.asked.n
	return sheet{b, member, b.codes[from:to:to], b.values[from:to:to]}
}

func (s sheet) measured(place int, b *bound, state State, value float32) {
	s.codes[place], s.values[place] = b.code+uint8(state), value
}

// fill writes the verdicts of one bound in one state on slots of a word, stretch by
// stretch.
func (s sheet) fill(w int, marks uint64, r *reach, state State) {
	code, slot := r.code+uint8(state), s.asked.slot
	for marks != 0 {
		from := bits.TrailingZeros64(marks)
		long := bits.TrailingZeros64(^(marks >> from))
		marks &^= (1<<long - 1) << from
		place := w*64 + from
		i := int(slot[place])
		codes, values := s.codes[place:place+long], s.values[place:place+long]
		for k := range codes {
			codes[k] = code
		}
		if int(slot[place+long-1]) == i+long-1 {
			copy(values, r.v[i:])
			continue
		}
		for k := range values {
			values[k] = r.v[slot[place+k]]
		}
	}
}

func (s sheet) shut(place int, l Limit) { s.codes[place] = codeLimit + uint8(l) }

func (s sheet) film(place int, w Way, gM2 float32) {
	s.codes[place], s.values[place] = codeFilm+uint8(w), gM2
}

func (s sheet) unknown(w int, marks uint64) {
	for ; marks != 0; marks &= marks - 1 {
		s.codes[w*64+bits.TrailingZeros64(marks)] = codeUnknown
	}
}

func (s sheet) put(place int, r Result) {
	s.codes[place], s.values[place] = codeWhole, math.Float32frombits(uint32(len(s.whole)))
	s.whole = append(s.whole, r)
}

// mark notes how good the slots of a word are, of which so many are open.
func (s sheet) mark(w int, open uint64, x *states) {
	s.planes[s.plane(w, int(Ideal), s.member)] = open &^ x.bad()
	s.planes[s.plane(w, int(Go), s.member)] = open &^ (x.marginal | x.unknown | x.noGo)
	s.planes[s.plane(w, int(Marginal), s.member)] = open &^ (x.unknown | x.noGo)
	s.planes[s.plane(w, levelKnown, s.member)] = ^x.unknown
}

// at is a member's verdict on the asked slot with a place among them.
func (b *Board) at(member, place int) Result {
	place += member * b.asked.n
	code, v := b.codes[place], b.values[place]
	if code == codeWhole {
		return b.whole[math.Float32bits(v)]
	}
	k := &b.kinds[code]
	if !k.measured {
		return Result{State: k.state, Limit: k.limit, Way: k.way}
	}
	return Result{k.state, k.limit, k.way, v, k.bound, (v - k.bound) * k.sign / k.width}
}

// past is what decides a verdict and how far it is past its bound.
func (b *Board) past(member, place int) (Limit, float32) {
	place += member * b.asked.n
	code, v := b.codes[place], b.values[place]
	if code == codeWhole {
		r := &b.whole[math.Float32bits(v)]
		return r.Limit, r.Past
	}
	k := &b.kinds[code]
	if !k.measured {
		return k.limit, 0
	}
	return k.limit, (v - k.bound) * k.sign / k.width
}

// keep keeps a verdict whole.
func (b *Board) keep(place int, r Result) {
	b.codes[place], b.values[place] = codeWhole, math.Float32frombits(uint32(len(b.whole)))
	b.whole = append(b.whole, r)
	member, place := place/b.asked.n, place%b.asked.n
	w, shift := place/64, place%64
	for level := range levels {
		is := r.State <= State(level)
		if level == levelKnown {
			is = r.State != Unknown
		}
		p := &b.planes[b.plane(w, level, member)]
		*p = *p&^(1<<shift) | one(is)<<shift
	}
	b.alike[w] &^= 1 << shift
}

// Join takes on what join makes of the verdicts of this board and of others, of the
// same slots and members, slot by slot and member by member.
func (b *Board) Join(join func(own Result, others []Result) Result, others ...*Board) {
	theirs := make([]Result, len(others))
	for m := range b.members {
		for i := range b.asked.n {
			for k, o := range others {
				theirs[k] = o.at(m, i)
			}
			own := b.at(m, i)
			if r := join(own, theirs); r != own {
				b.keep(m*b.asked.n+i, r)
			}
		}
	}
}

// States spreads a member's verdicts over the slots of the grid.
func (b *Board) States(member int) []State {
	out := make([]State, len(b.asked.at))
	for i, at := range b.asked.at {
		out[i] = NoGo
		if at >= 0 {
			out[i] = b.at(member, int(at)).State
		}
	}
	return out
}
