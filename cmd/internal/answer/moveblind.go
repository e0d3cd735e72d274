package answer

import (
	"slices"
	"time"

	"dewgap/window"
)

// notKnown makes the answer of a move that found no plan one of not knowing, where only
// missing data are in the way. What was agreed and is not refused by anything that is known
// then stands: to take it away, or to send a message to the owner that it is off, would be
// to make a verdict out of nothing.
func (b *moveBuilder) notKnown(out *Move) {
	stands := b.in.Standing != nil && b.in.Standing.State == Unknown
	if b.in.Moved.Planned.Found || !stands && b.weekVerdict(nil) != Unknown {
		return
	}
	out.Verdict = Unknown
	out.Handover.Text, out.Handover.Proven = "", false
	if h := out.Handover; h.Promised && h.By != nil {
		out.Handover.Text = "whether the hand-over " + lastDay(*h.By, b.loc) + " stands is not known"
	}
	if stands {
		b.stand(out)
	}
}

// stand puts the old plan, as it stands, in the place of none.
func (b *moveBuilder) stand(out *Move) {
	p := *b.in.Standing
	p.Blocks, p.Proven = []PlanBlock{}, []string{}
	p.Why = slices.Concat([]string{"what was agreed stands until a forecast says more"}, out.Plan.Why)
	out.Moved, out.Least, out.Proven = 0, 0, false
	left, days := b.in.Standing.Blocks, map[string]bool{}
	for i := range out.Changes {
		c := &out.Changes[i]
		if c.Change != window.Homeless.String() {
			continue
		}
		x := left[0]
		left = left[1:]
		out.Blocks++
		if !x.To.After(b.Now) {
			c.Reason, c.Text = window.WhyLost.String(), "it was due before now and nobody logged it as done: it is booked anew when a forecast says more"
			continue
		}
		c.Change, c.Reason, c.Text, c.After = Unknown, notKnownReason, "nothing is known of its hours: it stands as agreed", &x
		p.Blocks, days[x.From.Format(time.DateOnly)] = append(p.Blocks, x), true
		if p.Ends == nil || x.To.After(*p.Ends) {
			p.Ends = &x.To
		}
	}
	p.Days = len(days)
	out.Plan = &p
}

// notKnownReason is why a block stands of whose hours nothing is known.
const notKnownReason = "not_known"

// NotKnown says in words that a move could not be made for want of data; "" where it could.
func (m *Move) NotKnown() string {
	switch {
	case m.Verdict != Unknown:
		return ""
	case m.Plan == nil || m.Plan.State == None:
		return "too little is known of the weather to make a plan"
	}
	return "too little is known of the weather to move anything: the plan stands as agreed"
}
