package score

// Ranks counts where what came lies among the members: element k is how often k
// members were below it. In a reliable ensemble every rank is as frequent; a U
// says that the members lie too near together, a slope that they are biased
// (Hamill 2001). A case in which members equal what came is shared evenly among
// the ranks it may have, which is what drawing lots gives on average.
type Ranks struct {
	Counts []float64 // one more than members
	N      int       // cases
}

// NewRanks is an empty count for ensembles of a number of members, at least one.
func NewRanks(members int) *Ranks { return &Ranks{Counts: make([]float64, max(members, 1)+1)} }

// Add counts one case; one with another number of members is not counted, and
// Add tells so.
func (r *Ranks) Add(y float64, members []float64) (counted bool) {
	if len(members) != len(r.Counts)-1 {
		return false
	}
	below, equal := 0, 0
	for _, x := range members {
		switch {
		case x < y:
			below++
		case x == y:
			equal++
		}
	}
	for k := below; k <= below+equal; k++ {
		r.Counts[k] += 1 / float64(equal+1)
	}
	r.N++
	return true
}

// Outside is the share of cases that lay beyond all members; ok is false without
// cases. Fair members leave 2/(members + 1) outside.
func (r *Ranks) Outside() (share float64, ok bool) {
	if r.N == 0 {
		return 0, false
	}
	return (r.Counts[0] + r.Counts[len(r.Counts)-1]) / float64(r.N), true
}
