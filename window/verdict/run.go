package verdict

// Run is a maximal stretch of slots [From, To) in one state, and for refusals
// of one limit. Its binding comes from the slot that is furthest past its bound.
type Run struct {
	From, To   int
	State      State
	Limit      Limit
	Confidence float32 // share of members in which every slot holds
	Binding    Binding
	// WorkFrom and WorkTo bound the workable run that a window is part of.
	WorkFrom, WorkTo int
}

// Len is the number of slots.
func (r Run) Len() int { return r.To - r.From }

// BlockShort turns every workable run in [from, to) that is shorter than least
// slots into no-go by Block, or into unknown where missing data cut it short. It gives
// back the windows that the former would be within a longer visit.
func (r *Row) BlockShort(from, to, least int) (short []Run) {
	for i := from; i < to; {
		if !r.Shown[i].State.Workable() {
			i++
			continue
		}
		end := i
		for end < to && r.Shown[end].State.Workable() {
			end++
		}
		if end-i < least {
			windows, _ := r.Runs(i, end)
			if r.refuse(i, end, from, to, least); r.Shown[i].Limit == Block {
				short = append(short, windows...)
			}
		}
		i = end
	}
	return short
}

func (r *Row) refuse(i, end, from, to, least int) {
	s := Shown{State: NoGo, Limit: Block, Confidence: 1, Past: float32(least-(end-i)) / float32(least), cut: true}
	if (i > from && r.Shown[i-1].State == Unknown) || (end < to && r.Shown[end].State == Unknown) {
		s = Shown{State: Unknown, Limit: Data, Confidence: 1, cut: true}
	}
	for k := i; k < end; k++ {
		r.Shown[k] = s
	}
}

// Runs cuts [from, to) into windows (maximal runs of one workable state) and
// refusals (maximal runs of one other state and limit), in order of time.
// Together they cover every slot.
func (r *Row) Runs(from, to int) (windows, refusals []Run) {
	for i := from; i < to; {
		s := r.Shown[i]
		end := i + 1
		for end < to && r.same(s, r.Shown[end]) {
			end++
		}
		run := Run{From: i, To: end, State: s.State, Confidence: s.Confidence}
		worst := r.worst(i, end)
		run.Limit = r.Shown[worst].Limit
		run.Binding = r.binding(run, worst)
		if s.State.Workable() {
			run.Confidence = r.Joint(i, end, s.State)
			run.WorkFrom, run.WorkTo = r.workable(i, from, to)
			windows = append(windows, run)
		} else {
			run.Confidence = r.exactly(i, end, s.State)
			refusals = append(refusals, run)
		}
		i = end
	}
	return windows, refusals
}

func (r *Row) same(a, b Shown) bool {
	return a.State == b.State && (a.State.Workable() || a.Limit == b.Limit)
}

// worst is the slot of [from, to) that is furthest past its bound; the first of
// equals, yes/no limits before measured ones.
func (r *Row) worst(from, to int) int {
	best := from
	for i := from + 1; i < to; i++ {
		a, b := r.Shown[i], r.Shown[best]
		if a.Limit.YesNo() != b.Limit.YesNo() {
			if a.Limit.YesNo() {
				best = i
			}
			continue
		}
		if a.Past > b.Past {
			best = i
		}
	}
	return best
}

// binding of a run: for one that is too short, its own length against the
// shortest useful block.
func (r *Row) binding(run Run, slot int) Binding {
	if run.Limit != Block {
		return r.Binding(slot)
	}
	hours := float64(run.Len()) * SlotHours
	past := float64(r.Shown[run.From].Past)
	return Binding{Limit: Block, Value: hours, Bound: hours / (1 - past), HasValue: true}
}

// workable bounds the workable run around slot i within [from, to).
func (r *Row) workable(i, from, to int) (int, int) {
	a, b := i, i
	for a > from && r.Shown[a-1].State.Workable() {
		a--
	}
	for b < to && r.Shown[b].State.Workable() {
		b++
	}
	return a, b
}
