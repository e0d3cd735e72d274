package verdict

import (
	"math/bits"
	"slices"
)

// Shown is the state of one slot over all members.
type Shown struct {
	State      State
	Limit      Limit
	Confidence float32 // share of members, 0–1
	Past       float32 // of the binding limit, in the width of its band
	cut        bool    // refused by the shortest block alone
}

// Binding is the limit that decides, with the value that it met and its bound.
type Binding struct {
	Limit        Limit
	Value, Bound float64
	// HasValue is false for yes/no limits and missing data.
	HasValue bool
	Way      Way
}

// Unit is the SI unit of value and bound, "" for yes/no limits.
func (b Binding) Unit() string {
	if b.Way == Arid {
		return HumidityMin.Unit()
	}
	return b.Limit.Unit()
}

// Row is one product on one zone through time, all members together.
type Row struct {
	Shown   []Shown
	board   *Board
	judged  int  // members that decide the state: all, or the first alone
	dressed bool // the first decides; the others say how sure it is

	// Members, a bit each, in so many words a slot.
	words  int
	all    []uint64
	voters []uint64 // those whose share is the confidence
	marked []marks  // slot by slot

	deciding []Result // scratch of Binding
	values   []float64
}

// marks are of one word of members, in one slot, those that are at least so good, and
// those of which it is known at all.
type marks struct {
	atLeast [3]uint64 // ideal, go, marginal
	known   uint64
}

// NewRow joins the members' verdicts on the asked slots. sure is the share of members,
// 0–1, that must agree on a state. Where dressed, the first member is the forecast
// itself and decides the state; the others are the same forecast with plausible errors
// and give the confidence.
func NewRow(b *Board, sure float64, dressed bool) *Row {
	n := len(b.asked.at)
	r := &Row{board: b, judged: b.members, dressed: dressed && b.members > 1, words: (b.members + 63) / 64}
	if r.dressed {
		r.judged = 1
	}
	r.all, r.marked = make([]uint64, r.words), make([]marks, n*r.words)
	for m := range b.members {
		r.all[m/64] |= 1 << (m % 64)
	}
	r.voters = slices.Clone(r.all)
	if r.dressed {
		r.voters[0] &^= 1
	}
	r.Shown = make([]Shown, n)
	for i := range r.Shown {
		if b.asked.at[i] < 0 {
			r.Shown[i] = Shown{State: NoGo, Limit: Hours, Confidence: 1}
			for w, all := range r.all {
				r.marked[i*r.words+w].known = all
			}
		}
	}
	r.mark()
	for w := range b.asked.words {
		r.show(w, sure)
	}
	return r
}

// mark notes which members are how good in the asked slots: a board has it by member,
// a row by slot.
func (r *Row) mark() {
	b := r.board
	var by [levels][64]uint64
	for word := range r.words {
		for w := range b.asked.words {
			for level := range by {
				copy(by[level][:], b.planes[b.plane(w, level, 64*word):])
				transpose(&by[level])
			}
			for at, i := range b.asked.slot[64*w : min(64*w+64, b.asked.n)] {
				r.marked[int(i)*r.words+word] = marks{
					[3]uint64{by[Ideal][at], by[Go][at], by[Marginal][at]}, by[levelKnown][at],
				}
			}
		}
	}
}

// show fills in the slots of a word of the asked ones: the best state that enough members
// reach, and what keeps them from a better one.
func (r *Row) show(w int, sure float64) {
	for at, i := range r.board.asked.slot[64*w : min(64*w+64, r.board.asked.n)] {
		i, place := int(i), 64*w+at
		if r.judged == 1 {
			c := r.board.at(0, place)
			r.Shown[i] = Shown{State: c.State, Limit: c.Limit, Past: c.Past, Confidence: r.share(i, c.State)}
			continue
		}
		s := Shown{State: r.reached(i, sure)}
		s.Confidence = r.share(i, s.State)
		switch {
		case s.State == Unknown:
			s.Limit = Data
		case r.board.alike[w]&(1<<at) != 0:
			s.Limit, s.Past = r.board.past(0, place)
		default:
			s.Limit, s.Past = r.denier(i, place, s.State)
		}
		r.Shown[i] = s
	}
}

// reached is the best state that enough members reach in a slot; unknown where too few
// are known.
func (r *Row) reached(i int, sure float64) State {
	known, good := r.count(i)
	if float64(known) < sure*float64(r.board.members)-1e-9 {
		return Unknown
	}
	for k := Ideal; k <= Marginal; k++ {
		if float64(good[k]) >= sure*float64(known)-1e-9 {
			return k
		}
	}
	return NoGo
}

// count is the number of members that are known in a slot, and that are at least so
// good.
func (r *Row) count(i int) (known int, good [3]int) {
	for w := range r.words {
		x := &r.marked[i*r.words+w]
		known += bits.OnesCount64(x.known)
		for k, m := range x.atLeast {
			good[k] += bits.OnesCount64(m)
		}
	}
	return known, good
}

// share is the part of the voters that reach a workable state, among those that
// are known, or that are in exactly an unworkable one, among all.
func (r *Row) share(i int, s State) float32 {
	hit, known, all := 0, 0, 0
	for w, voters := range r.voters {
		hit += bits.OnesCount64(r.in(i, w, s) & voters)
		known += bits.OnesCount64(r.marked[i*r.words+w].known & voters)
		all += bits.OnesCount64(voters)
	}
	if s == Unknown || known == 0 {
		known = all
	}
	return float32(hit) / float32(known)
}

// in is, of one word of a slot, the members that reach a workable state, or that are
// in exactly an unworkable one.
func (r *Row) in(i, word int, s State) uint64 {
	x := &r.marked[i*r.words+word]
	switch s {
	case NoGo:
		return x.known &^ x.atLeast[Marginal]
	case Unknown:
		return r.all[word] &^ x.known
	default:
		return x.atLeast[s]
	}
}

// denied are, of one word of a slot that is shown in a state, the members that keep it from
// a better one. An ideal slot is held by whatever lies nearest its bound.
func (r *Row) denied(i, word int, s State) uint64 {
	x := &r.marked[i*r.words+word]
	switch s {
	case Unknown:
		return 0
	case Ideal:
		return x.atLeast[Ideal]
	case NoGo:
		return x.known &^ x.atLeast[Marginal]
	default:
		return x.known &^ x.atLeast[s-1]
	}
}

// denier is the limit that most often denies the next better state in a slot that has a
// place among the asked, and how far past its bound it is on average there.
func (r *Row) denier(i, place int, s State) (most Limit, past float32) {
	var count [Limits]int32
	var sum [Limits]float32
	var seen uint64 // limits, a bit each
	for w := range r.words {
		for left := r.denied(i, w, s); left != 0; left &= left - 1 {
			l, p := r.board.past(64*w+bits.TrailingZeros64(left), place)
			seen |= 1 << l
			count[l]++
			sum[l] += p
		}
	}
	for ; seen != 0; seen &= seen - 1 {
		if l := Limit(bits.TrailingZeros64(seen)); count[l] > count[most] {
			most = l
		}
	}
	return most, sum[most] / float32(max(count[most], 1))
}

// exactly is the share of the voters that are in one unworkable state in every slot of
// [from, to), but for those that only the shortest block refuses: that rule acts
// on what is shown.
func (r *Row) exactly(from, to int, s State) float32 {
	hit, voters := 0, 0
	for w, all := range r.voters {
		voters += bits.OnesCount64(all)
		for i := from; i < to; i++ {
			if !r.Shown[i].cut {
				all &= r.in(i, w, s)
			}
		}
		hit += bits.OnesCount64(all)
	}
	return float32(hit) / float32(voters)
}

// Binding gives the binding limit of a slot: the median value over the members
// that it denies, and the bound that keeps it from the next better state. Where it
// holds in several ways, as a cure that some find too cold and others too dry, of
// those in which it mostly does.
func (r *Row) Binding(i int) Binding {
	s := r.Shown[i]
	b := Binding{Limit: s.Limit}
	if r.board.asked.at[i] < 0 {
		return b
	}
	deciders := r.deciders(i)
	b.Way = Most(func(yield func(Way) bool) {
		for _, x := range deciders {
			if !yield(x.Way) {
				return
			}
		}
	})
	values := r.values[:0]
	bound, state := 0.0, NoGo+1
	for _, x := range deciders {
		if x.Way != b.Way {
			continue
		}
		values = append(values, float64(x.Value))
		if x.State < state { // the others have passed this bound too
			bound, state = float64(x.Bound), x.State
		}
	}
	r.values = values
	if len(values) == 0 || !b.Way.figure() || s.Limit == Data || s.Limit == None || (s.Limit.YesNo() && s.Limit != Film) {
		return b
	}
	b.Value, b.Bound, b.HasValue = median(values), bound, true
	return b
}

// deciders are the verdicts of the members that decide a slot by the limit shown; the
// next call writes over them.
func (r *Row) deciders(i int) []Result {
	at, s := int(r.board.asked.at[i]), r.Shown[i]
	out := r.deciding[:0]
	defer func() { r.deciding = out }()
	if r.judged == 1 {
		if x := r.board.at(0, at); x.Limit == s.Limit {
			out = append(out, x)
		}
		return out
	}
	for w := range r.words {
		for left := r.denied(i, w, s.State); left != 0; left &= left - 1 {
			if x := r.board.at(64*w+bits.TrailingZeros64(left), at); x.Limit == s.Limit {
				out = append(out, x)
			}
		}
	}
	return out
}

func median(v []float64) float64 {
	slices.Sort(v)
	n := len(v)
	if n%2 == 1 {
		return v[n/2]
	}
	return (v[n/2-1] + v[n/2]) / 2
}

// Joint is the share of the voters in which every slot of [from, to) is at least
// as good as a workable state.
func (r *Row) Joint(from, to int, s State) float32 {
	if from >= to || s > Marginal {
		return 0
	}
	hit, voters := 0, 0
	for w, all := range r.voters {
		voters += bits.OnesCount64(all)
		for i := from; i < to; i++ {
			all &= r.marked[i*r.words+w].atLeast[s]
		}
		hit += bits.OnesCount64(all)
	}
	return float32(hit) / float32(voters)
}
