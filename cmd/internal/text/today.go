package text

import "dewgap/cmd/internal/answer"

// today writes what the plan has today, a line for each stint.
func (p *page) today(a *answer.Morning) {
	t := a.Today
	if t == nil {
		return
	}
	p.blank()
	if t.Made == nil {
		p.line(heading("today") + " in a plan made now")
	} else {
		p.line(heading("today") + " by the plan of " + day(*t.Made) + nbsp + clock(*t.Made))
	}
	yes := needsYes
	if t.Accepted {
		yes = hasYes
	}
	for _, r := range answer.Stints(t.Blocks) {
		what := stintWhat(r)
		if b := r.One(); b.NeedsConsent {
			what += ": " + yes
			if b.ConsentFor != "" {
				what += " (" + p.o.prose(b.ConsentFor) + ")"
			}
		}
		p.planLine(r.One(), what)
	}
	if len(t.Blocks) == 0 {
		s := "Nothing today."
		if x := t.Next; x != nil {
			s += " Next: " + day(x.From) + nbsp + clock(x.From) + ", " + stepWord(x.Step) + " on " + name(x.Zone, zoneCells) + "."
		}
		p.para("  ", 4, s)
	}
}
