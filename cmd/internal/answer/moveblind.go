package answer

import (
	"slices"
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
	left := b.in.Left()
	out.Moved, out.Least, out.Proven, out.Blocks = 0, 0, false, len(left)
	for k, i := range left {
		c, x := &out.Changes[i], b.in.Standing.Blocks[k]
		switch {
		case !x.To.After(b.Now):
			if !b.offer(c) {
				continue
			}
			out.Moved++
			p.Blocks = append(p.Blocks, *c.After)
			continue
		case x.State == Unknown:
			c.Change, c.Reason, c.Limit, c.Text = Unknown, notKnownReason, "", "nothing is known of its hours: it stands as agreed"
		default:
			c.Change, c.Reason, c.Limit, c.Text = window.Kept.String(), window.WhyStands.String(), "", "nothing forces it away"
		}
		c.After = &x
		p.Blocks = append(p.Blocks, x)
	}
	slices.SortStableFunc(p.Blocks, func(x, y PlanBlock) int { return x.From.Compare(y.From) })
	days := map[string]bool{}
	for i := range p.Blocks {
		x := &p.Blocks[i]
		days[x.From.Format(time.DateOnly)] = true
		if p.Ends == nil || x.To.After(*p.Ends) {
			p.Ends = &x.To
		}
	}
	p.Days = len(days)
	out.Plan = &p
}

// offer says of a block that was missed where it has a new place beside what stands, and
// reports whether it has one. It has none where what stands comes after it on its zone: that
// can only be worked if it was done and is not logged.
func (b *moveBuilder) offer(c *BlockChange) bool {
	const missed = "it was due before now and nobody logged it as done: "
	c.Reason, c.Limit = window.WhyLost.String(), ""
	if c.After != nil && !slices.ContainsFunc(b.in.Standing.Ahead(b.Now), func(x PlanBlock) bool { return b.clash(c.After, &x) }) {
		c.Text = missed + "log it if it is, else this is its new place, for a newer forecast to confirm"
		return true
	}
	c.Change, c.After, c.Text = window.Homeless.String(), nil, missed+"log it if it is, else it is booked anew when a forecast says more"
	return false
}

// clash reports whether a block cannot be worked beside one that stands: in the same hours, or
// on the same zone in the wrong order.
func (b *moveBuilder) clash(x, stands *PlanBlock) bool {
	if x.From.Before(stands.To) && stands.From.Before(x.To) {
		return true
	}
	this, _ := b.Job.Step(x.Step)
	that, _ := b.Job.Step(stands.Step)
	return x.Zone == stands.Zone && (this < that) == stands.From.Before(x.From)
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
	case m.Moved > 0:
		return "too little is known of the weather to move what was agreed: it stands, and what was missed has a new place to be confirmed"
	}
	return "too little is known of the weather to move anything: the plan stands as agreed"
}
