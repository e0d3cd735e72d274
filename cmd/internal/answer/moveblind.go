package answer

import (
	"time"

	"dewgap/window"
)

// notKnown makes the answer of a move one of not knowing, where only missing data are in the
// way of a plan, or would move the old one. What was agreed and is not refused by anything
// that is known then stands: to take it away, or to send a message to the owner that it is
// off, would be to make a verdict out of nothing.
func (b *moveBuilder) notKnown(out *Move) {
	stands := b.in.Standing != nil && b.in.Standing.State == Unknown
	if !stands && (b.in.Moved.Planned.Found || b.weekVerdict(nil) != Unknown) {
		return
	}
	out.Verdict = Unknown
	h := &out.Handover
	h.Kept, h.Proven, h.Days, h.Must, h.Ends, h.Text = false, false, 0, "", nil, ""
	if h.Promised && h.By != nil {
		h.Text = "whether the hand-over " + lastDay(*h.By, b.loc) + " stands is not known"
	}
	if stands {
		b.stand(out)
	}
}

// stand puts the old plan, as it stands, in the place of a new one.
func (b *moveBuilder) stand(out *Move) {
	p := *b.in.Standing
	p.Blocks, p.Proven, p.Why = []PlanBlock{}, []string{}, []string{"what was agreed stands until a forecast says more"}
	if !b.in.Moved.Planned.Found {
		for _, w := range out.Plan.Why { // of what is planned beyond it that says nothing
			p.Why = append(p.Why, "for a new plan, as far as the forecast reaches: "+w)
		}
	}
	left, days := b.in.Left(), map[string]bool{}
	out.Moved, out.Least, out.Proven, out.Blocks = 0, 0, false, len(left)
	for k, i := range left {
		c, x := &out.Changes[i], b.in.Standing.Blocks[k]
		if !x.To.After(b.Now) {
			c.Reason, c.Text = window.WhyLost.String(), "it was due before now and nobody logged it as done: it is booked anew when a forecast says more"
			continue
		}
		if c.After = &x; x.State == Unknown {
			c.Change, c.Reason, c.Limit, c.Text = Unknown, notKnownReason, "", "nothing is known of its hours: it stands as agreed"
		} else {
			c.Change, c.Reason, c.Limit, c.Text = window.Kept.String(), window.WhyStands.String(), "", "nothing forces it away"
		}
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
