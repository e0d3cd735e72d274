package answer

import (
	"slices"
	"time"
)

// Today is what a plan has on the day of a morning: the order in which people go about it,
// where the steps of a morning say only what each may do.
type Today struct {
	Made     *time.Time  `json:"made"`               // when the plan was made that is in force; null: it was made for this answer, and nobody has agreed to it
	Accepted bool        `json:"accepted,omitempty"` // the job says yes to what is marginal
	Blocks   []PlanBlock `json:"blocks"`             // of the day, those that are over or done left out, each as it holds now
	Next     *PlanBlock  `json:"next"`               // the first after the day; null where there is none
}

// NewToday takes the day of now, by the clock at the place, out of what a plan has ahead
// and is not done; nil where there is nothing.
func NewToday(p *Plan, done func(*PlanBlock) bool, now time.Time) *Today {
	ahead := slices.DeleteFunc(p.Ahead(now), func(x PlanBlock) bool { return done(&x) })
	if len(ahead) == 0 {
		return nil
	}
	t := &Today{Made: p.Held, Accepted: p.Accepted, Blocks: []PlanBlock{}}
	end := NextMidnight(now)
	for _, x := range ahead {
		switch {
		case x.From.Before(end):
			t.Blocks = append(t.Blocks, x)
		case t.Next == nil || x.From.Before(t.Next.From):
			t.Next = &x
		}
	}
	slices.SortStableFunc(t.Blocks, func(a, b PlanBlock) int { return a.From.Compare(b.From) })
	return t
}

// Unplanned says that the plan has nothing today, where a morning tells of work that may be
// done: who reads no further would go and do it. "" elsewhere.
func (m *Morning) Unplanned() string {
	t := m.Today
	switch {
	case t == nil, len(t.Blocks) > 0, m.Done, m.Verdict == NoGo, m.Verdict == Unknown:
		return ""
	case t.Made == nil:
		return "a plan made now has nothing today"
	default:
		return "the plan has nothing today"
	}
}
