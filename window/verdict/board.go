package verdict

import (
	"math"
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
}

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
			width := b.hardWidth
			if s <= Go {
				width = b.width
			}
			kinds[k*codeStates+int(s)] = kind{s, b.limit, b.way(), true, b.least(s), b.sign, width}
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
}

// sheet is a chunk of a board for one member, on which a judge writes.
type sheet struct {
	*Board
	from int // place of the chunk's first slot
}

func (s sheet) measured(at int, b *bound, state State, value float32) {
	s.codes[s.from+at], s.values[s.from+at] = b.code+uint8(state), value
}

func (s sheet) shut(at int, l Limit) { s.codes[s.from+at] = codeLimit + uint8(l) }

func (s sheet) film(at int, w Way, gM2 float32) {
	s.codes[s.from+at], s.values[s.from+at] = codeFilm+uint8(w), gM2
}

func (s sheet) unknown(at int) { s.codes[s.from+at] = codeUnknown }

func (s sheet) put(at int, r Result) { s.keep(s.from+at, r) }

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
}

// stateOf is the state of a verdict.
func (b *Board) stateOf(code uint8, value float32) State {
	if code == codeWhole {
		return b.whole[math.Float32bits(value)].State
	}
	return b.kinds[code].state
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
