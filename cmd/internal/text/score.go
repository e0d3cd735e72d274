package text

import (
	"fmt"
	"io"
	"strconv"

	"dewgap/cmd/internal/answer"
)

// scoreWords head the quantities of a score, and say what a forecast above the
// reading is and what one below it.
var scoreWords = map[string]struct{ head, above, below string }{
	"air":      {"air temperature", "too warm", "too cold"},
	"humidity": {"humidity", "too damp", "too dry"},
	"wind":     {"wind at the berth", "too windy", "too calm"},
	"surface":  {"panels", "too warm", "too cold"},
}

// Columns of the tables of a score.
const (
	leadCells  = 14
	countCells = 10
	biasCells  = 20
	offCells   = 10
)

// Score writes what the book said against what came: how far off the forecasts
// were by their age, and how often work held of which it was said how sure it is.
// Where there are too few cases it says so and gives no number. The error is w's
// own.
func Score(w io.Writer, a *answer.Score, o Options) error {
	p := newPage(o)
	whose := "all boats"
	if a.Boat != "" {
		whose = name(a.Boat, nameCells)
	}
	p.para("", 2, "What was said, and what came: "+whose)
	p.para("  ", 2, fmt.Sprintf("%s, %s, %s; the book %s", counted(a.Answers, "answer"), counted(a.Forecasts, "forecast"),
		counted(a.Readings, "reading"), tidy(a.File)))
	for _, q := range a.Weather {
		p.scoreQuantity(q, a.Enough)
	}
	if len(a.Weather) == 0 {
		p.blank()
		p.para("", 2, "Nothing was read yet in the hours of a forecast after it was made. Record what you measure with dewgap reading add.")
	}
	p.scoreWork(a.Work, a.Enough)
	p.warnings(a.Warnings)
	return p.writeTo(w)
}

// counted is so many things in words.
func counted(n int, what string) string {
	if n == 1 {
		return "1" + nbsp + what
	}
	return strconv.Itoa(n) + nbsp + what + "s"
}

func (p *page) scoreQuantity(q answer.ScoreQuantity, enough int) {
	words, ok := scoreWords[q.Quantity]
	if !ok {
		words.head, words.above, words.below = tidy(q.Quantity), "above", "below"
	}
	p.blank()
	p.line(heading(words.head))
	p.line("  " + pad("made before", leadCells) + padLeft("readings", countCells) + padLeft("on average", biasCells) +
		padLeft("off by", offCells) + padLeft("80 % held", countCells+2))
	for _, l := range q.Leads {
		row := "  " + pad(leadSpan(l), leadCells) + padLeft(strconv.Itoa(l.Readings), countCells)
		if !l.Enough || l.Bias == nil || l.MAE == nil {
			p.line(row + fmt.Sprintf("   too few to tell: it takes %d", enough))
			continue
		}
		held := "-"
		if l.Held80 != nil {
			held = percentOf(*l.Held80)
		}
		row += padLeft(p.biasOf(q, words.above, words.below, *l.Bias), biasCells) + padLeft(p.scoreUnit(q).show(*l.MAE, nearest), offCells)
		p.line(row + padLeft(held, countCells+2))
	}
}

// biasOf is a bias in words: "1.2 °C too warm".
func (p *page) biasOf(q answer.ScoreQuantity, above, below string, bias float64) string {
	u := p.scoreUnit(q)
	size := max(bias, -bias)
	switch {
	case figure(u.of(size), u.digits, nearest, false) == "0":
		return "right"
	case bias < 0:
		return u.show(size, nearest) + " " + below
	}
	return u.show(size, nearest) + " " + above
}

// scoreUnit is how differences of a quantity are shown.
func (p *page) scoreUnit(q answer.ScoreQuantity) quantity {
	switch q.Quantity {
	case "air", "surface":
		return p.o.degrees()
	case "wind":
		u := p.o.wind()
		u.digits = 1 // what is off by half a mile an hour is not off by none
		return u
	}
	return plain(tidy(q.Unit), 0)
}

// leadSpan is how long before a forecast was made: hours in the first two days,
// then days.
func leadSpan(l answer.ScoreLead) string {
	if l.ToH <= 24 {
		return fmt.Sprintf("%.0f-%.0f%sh", l.FromH, l.ToH, nbsp)
	}
	return fmt.Sprintf("%.0f-%.0f%sdays", l.FromH/24, l.ToH/24, nbsp)
}

func percentOf(share float64) string { return figure(100*share, 0, nearest, false) + nbsp + "%" }

// scoreWork writes how often work held by how sure it was said to.
func (p *page) scoreWork(a answer.ScoreWork, enough int) {
	p.blank()
	p.line(heading("work, by how sure it was said to hold"))
	if a.Cases == 0 {
		p.para("  ", 2, "No work is known of which it was said how sure it is, and later what became of it. Record it with dewgap log done and dewgap log outcome.")
	}
	for _, b := range a.Bins {
		p.line("  " + pad("said "+percentRange(b), leadCells) + padLeft(strconv.Itoa(b.N), countCells) + fmt.Sprintf("   held %d", b.Held))
	}
	switch {
	case a.Cases == 0:
	case !a.Enough:
		p.para("  ", 2, fmt.Sprintf("Too few to tell whether 80 %% was 80 %%: %s, it takes %d.", counted(a.Cases, "case"), enough))
	case a.Brier != nil && a.CalibrationError != nil:
		s := fmt.Sprintf("%d of %d held. What was said lies %s points off what came, on average; Brier score %s",
			a.Held, a.Cases, figure(100**a.CalibrationError, 0, nearest, false), figure(*a.Brier, 3, nearest, true))
		switch {
		case a.Skill == nil:
			s += "."
		case *a.Skill > 0:
			s += ", " + percentOf(*a.Skill) + " better than knowing only how many held."
		default:
			s += ", no better than knowing only how many held."
		}
		p.para("  ", 2, s)
	}
	if a.Against > 0 {
		p.para("  ", 2, fmt.Sprintf("%s done in hours that were refused: %d held.", counted(a.Against, "piece")+" of work", a.AgainstHeld))
	}
	if a.Unsaid > 0 {
		p.para("  ", 2, counted(a.Unsaid, "outcome")+" of work of which no answer before it said anything.")
	}
	if a.Open > 0 {
		p.para("  ", 2, counted(a.Open, "piece")+" of work without an outcome yet: dewgap log outcome.")
	}
}

// percentRange is a bin of confidence: "80-90 %".
func percentRange(b answer.ScoreBin) string {
	return fmt.Sprintf("%.0f-%.0f%s%%", 100*b.From, 100*b.To, nbsp)
}
