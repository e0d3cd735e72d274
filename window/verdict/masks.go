package verdict

// Voters marks the members whose share is the confidence, a bit each, the first
// member lowest.
func (r *Row) Voters() []uint64 { return r.voters }

// AtLeast is, slot by slot of [from, to), the members that are at least as good
// as a workable state, in as many words a slot as Voters has.
func (r *Row) AtLeast(s State, from, to int) []uint64 {
	out := make([]uint64, 0, (to-from)*r.words)
	for _, x := range r.marked[from*r.words : to*r.words] {
		out = append(out, x.atLeast[s])
	}
	return out
}
