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
	members [][]Result // of the asked slots
	asked   *Asked
	judged  int  // members that decide the state: all, or the first alone
	dressed bool // the first decides; the others say how sure it is
	words   int
	atLeast [3][]uint64 // per slot, for ideal, go, marginal: the members at least that good
	known   []int32
}

// NewRow joins the members' verdicts on the asked slots. sure is the share of members, 0–1, that must agree on a state. Where dressed, the first member is the forecast itself
// and decides the state; the others are the same forecast with plausible errors
// and give the confidence.
func NewRow(members [][]Result, asked *Asked, sure float64, dressed bool) *Row {
	n := len(asked.at)
	r := &Row{members: members, asked: asked, judged: len(members), dressed: dressed && len(members) > 1}
	if r.dressed {
		r.judged = 1
	}
	r.words = (len(members) + 63) / 64
	r.Shown, r.known = make([]Shown, n), make([]int32, n)
	for k := range r.atLeast {
		r.atLeast[k] = make([]uint64, n*r.words)
	}
	for i := range r.Shown {
		r.Shown[i], r.known[i] = Shown{State: NoGo, Limit: Hours, Confidence: 1}, int32(len(members))
	}
	for _, c := range asked.chunks {
		r.mark(c)
		for i := c.from; i < c.to; i++ {
			at := c.at + i - c.from
			if r.shut(at) {
				r.Shown[i].Limit = members[0][at].Limit
			} else {
				r.Shown[i] = r.show(i, at, sure)
			}
		}
	}
	return r
}

// mark notes for a chunk's slots which members are at least how good.
func (r *Row) mark(c chunk) {
	clear(r.known[c.from:c.to])
	for m, results := range r.members {
		word, bit := m/64, uint64(1)<<(m%64)
		for k := range c.to - c.from {
			i := c.from + k
			at := i*r.words + word
			switch results[c.at+k].State {
			case Ideal:
				r.atLeast[Ideal][at] |= bit
				fallthrough
			case Go:
				r.atLeast[Go][at] |= bit
				fallthrough
			case Marginal:
				r.atLeast[Marginal][at] |= bit
				fallthrough
			case NoGo:
				r.known[i]++
			}
		}
	}
}

// shut reports whether one yes/no limit shuts the asked slot at a place for all
// members, as the machine hours do.
func (r *Row) shut(at int) bool {
	first := r.members[0][at]
	if first.State != NoGo || !first.Limit.YesNo() {
		return false
	}
	for _, m := range r.members[1:] {
		if m[at].State != NoGo || m[at].Limit != first.Limit {
			return false
		}
	}
	return true
}

// voters are the members whose share is the confidence.
func (r *Row) voters() [][]Result {
	if r.dressed {
		return r.members[1:]
	}
	return r.members
}

// show picks the best state that enough members reach.
func (r *Row) show(i, at int, sure float64) Shown {
	if r.judged == 1 {
		c := r.members[0][at]
		return Shown{State: c.State, Limit: c.Limit, Past: c.Past, Confidence: r.share(at, c.State)}
	}
	known := int(r.known[i])
	if float64(known) < sure*float64(len(r.members))-1e-9 {
		return Shown{State: Unknown, Limit: Data, Confidence: r.share(at, Unknown)}
	}
	state := NoGo
	for k := Ideal; k <= Marginal; k++ {
		if float64(r.count(i, k)) >= sure*float64(known)-1e-9 {
			state = k
			break
		}
	}
	limit, past := r.denier(at, state)
	return Shown{State: state, Limit: limit, Past: past, Confidence: r.share(at, state)}
}

// count is the number of members at least that good.
func (r *Row) count(i int, s State) int {
	c := 0
	for w := range r.words {
		c += bits.OnesCount64(r.atLeast[s][i*r.words+w])
	}
	return c
}

// share is the part of the voters that reach a workable state, among those that
// are known, or that are in exactly an unworkable one, among all.
func (r *Row) share(at int, s State) float32 {
	voters := r.voters()
	hit, known := 0, 0
	for _, m := range voters {
		t := m[at].State
		if t != Unknown {
			known++
		}
		if t == s || (s <= Marginal && t < s) {
			hit++
		}
	}
	if s == Unknown || known == 0 {
		known = len(voters)
	}
	return float32(hit) / float32(known)
}

// denier is the limit that most often denies the next better state, and how far
// past its bound it is on average there.
func (r *Row) denier(at int, state State) (Limit, float32) {
	var count [Limits]int
	var past [Limits]float32
	best := None
	for _, m := range r.members {
		if x := &m[at]; denies(x, state) {
			l := x.Limit
			count[l]++
			past[l] += x.Past
		}
	}
	for l := None + 1; int(l) < Limits; l++ {
		if count[l] > count[best] {
			best = l
		}
	}
	if count[best] == 0 {
		return best, 0
	}
	return best, past[best] / float32(count[best])
}

// denies reports whether a member keeps the row from a state better than the
// one shown. An ideal row is held by whatever lies nearest its bound.
func denies(x *Result, shown State) bool {
	if shown == Ideal {
		return x.State == Ideal
	}
	return x.State >= shown && x.State != Unknown
}

// exactly is the share of the voters that are in one state in every slot of
// [from, to), but for those that only the shortest block refuses: that rule acts
// on what is shown.
func (r *Row) exactly(from, to int, s State) float32 {
	least, all := float32(1), true
	for i := from; i < to; i++ {
		least = min(least, r.Shown[i].Confidence)
		all = all && (s == Unknown || r.Shown[i].cut || int(r.known[i]) == len(r.members))
	}
	if least == 0 || (least == 1 && all) { // no need to ask every member
		return least
	}
	voters, hit := r.voters(), 0
	for _, m := range voters {
		i := from
		for i < to && (r.Shown[i].cut || r.stateOf(m, i) == s) {
			i++
		}
		if i == to {
			hit++
		}
	}
	return float32(hit) / float32(len(voters))
}

// stateOf is a member's state in a slot.
func (r *Row) stateOf(member []Result, i int) State {
	if at := r.asked.at[i]; at >= 0 {
		return member[at].State
	}
	return NoGo
}

// Binding gives the binding limit of a slot: the median value over the members
// that it denies, and the bound that keeps it from the next better state. Where it
// holds in several ways, as a cure that some find too cold and others too dry, of
// those in which it mostly does.
func (r *Row) Binding(i int) Binding {
	s := r.Shown[i]
	b := Binding{Limit: s.Limit}
	at := r.asked.at[i]
	if at < 0 {
		return b
	}
	var values []float64
	bound, state := 0.0, NoGo+1
	decides := func(x Result) bool { return x.Limit == s.Limit && (r.judged == 1 || denies(&x, s.State)) }
	b.Way = r.way(int(at), decides)
	for _, m := range r.members[:r.judged] {
		x := m[at]
		if !decides(x) || x.Way != b.Way {
			continue
		}
		values = append(values, float64(x.Value))
		if x.State < state { // the others have passed this bound too
			bound, state = float64(x.Bound), x.State
		}
	}
	if len(values) == 0 || !b.Way.figure() || s.Limit == Data || s.Limit == None || (s.Limit.YesNo() && s.Limit != Film) {
		return b
	}
	b.Value, b.Bound, b.HasValue = median(values), bound, true
	return b
}

// way is that in which most of the members that decide a slot find its limit to hold.
func (r *Row) way(at int, decides func(Result) bool) Way {
	return Most(func(yield func(Way) bool) {
		for _, m := range r.members[:r.judged] {
			if decides(m[at]) && !yield(m[at].Way) {
				return
			}
		}
	})
}

func median(v []float64) float64 {
	slices.Sort(v)
	n := len(v)
	if n%2 == 1 {
		return v[n/2]
	}
	return (v[n/2-1] + v[n/2]) / 2
}

// Joint is the share of members in which every slot of [from, to) is at least
// as good as a workable state.
func (r *Row) Joint(from, to int, s State) float32 {
	if from >= to || s > Marginal {
		return 0
	}
	hit, voters := 0, len(r.members)
	for w := range r.words {
		all := ^uint64(0)
		for i := from; i < to; i++ {
			all &= r.atLeast[s][i*r.words+w]
		}
		if w == 0 && r.dressed {
			all &^= 1
		}
		if left := len(r.members) - w*64; left < 64 {
			all &= 1<<left - 1
		}
		hit += bits.OnesCount64(all)
	}
	if r.dressed {
		voters--
	}
	return float32(hit) / float32(voters)
}
