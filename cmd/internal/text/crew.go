package text

import "dewgap/cmd/internal/answer"

// crew says which hours of which days its people are on other boats.
func (p *page) crew(lines []string) {
	for _, line := range lines {
		p.para("", 2, p.o.prose(line))
	}
}

// otherBoat says what the crew has to do elsewhere, for hours that are lost here.
func (p *page) otherBoat(a *answer.Move) {
	list := answer.NextAway(a.Crew, a.Now)
	if len(list) == 0 {
		return
	}
	p.blank()
	p.line(heading("the other boat") + "  for hours that are lost here")
	for _, s := range append(list, answer.CrewLines(a.Crew)...) {
		p.para("  ", 4, p.o.prose(s))
	}
}
