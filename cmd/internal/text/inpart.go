package text

import "dewgap/cmd/internal/answer"

// noPlan says that there is no plan: the first line alone would have the wrong day promised.
func (p *page) noPlan(a *answer.Week) {
	if s := a.NoPlan(); s != "" {
		p.para("", 2, "But no plan of the whole job leads there: "+stop(p.o.prose(s)))
	}
}

// inPart says that the plan is of a part of the job: the first line alone would have all of it
// promised.
func (p *page) inPart(a *answer.Week) {
	if s := a.InPart(); s != "" {
		p.para("", 2, stop(p.o.prose(s)))
	}
}
