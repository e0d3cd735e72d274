package text

import (
	"fmt"
	"io"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
)

// Columns of the table of a season: the zone, and twelve months.
const (
	seasonZone  = 20
	seasonMonth = 5
)

// Season writes what a typical year offers, a table for each product: zones down,
// months across, in each the number of windows that are go. The error is w's own.
func Season(w io.Writer, a *answer.Season, o Options) error {
	p := newPage(o)
	p.para("", 2, fmt.Sprintf("%s at %s · a typical year, %s (%s)", name(a.Boat, nameCells), name(a.Place.Name, nameCells),
		name(a.Station, nameCells), name(a.Data, 16)))
	p.para("", 2, fmt.Sprintf("Windows that are go for at least %s in working hours, by the month in which they begin; "+
		"a day may have two.%s", inHours(a.ShortestH), doubts(a)))
	for i := 0; i < len(a.Rows); {
		end := i
		for end < len(a.Rows) && a.Rows[end].Product == a.Rows[i].Product {
			end++
		}
		p.seasonOf(a, a.Rows[i:end])
		i = end
	}
	p.blank()
	p.para("", 2, "A typical year is made of months that were usual. It says what to promise in which season, "+
		"and nothing of any coming day: ask dewgap week for that.")
	if len(a.Warnings) > 0 {
		p.blank()
		p.line(heading("please note"))
	}
	for _, x := range a.Warnings {
		p.para("  - ", 4, x)
	}
	return p.writeTo(w)
}

// doubts explains the question mark where there is one.
func doubts(a *answer.Season) string {
	for i := range a.Rows {
		for m := range 12 {
			if x, _ := a.Rows[i].Month(a.Year, m); a.Rows[i].Suits && x.UnknownDays > 0 {
				return " Where a question mark stands the data say too little of some days."
			}
		}
	}
	return ""
}

func inHours(h float64) string { return strings.TrimSuffix(fmt.Sprintf("%.1f", h), ".0") + nbsp + "h" }

// seasonOf writes the table of one product.
func (p *page) seasonOf(a *answer.Season, rows []answer.SeasonRow) {
	p.blank()
	p.line(heading(name(rows[0].Name, p.o.Width-2)))
	beside := min(12, (p.o.Width-seasonZone)/seasonMonth) // the others stand below
	for m := 0; m < 12; m += beside {
		p.months(a, rows, m, min(m+beside, 12))
	}
	var never []string
	for _, r := range rows {
		if !r.Suits {
			never = append(never, name(r.Zone, nameCells))
		}
	}
	if len(never) > 0 {
		p.para("  ", 2, "Not for "+answer.Listed(never)+": the finish does not take it.")
	}
	p.promise(a.Year, rows)
}

// months writes the table of some months, [from, to) counted from January.
func (p *page) months(a *answer.Season, rows []answer.SeasonRow, from, to int) {
	head := pad("", seasonZone)
	for m := from; m < to; m++ {
		mark := ""
		if a.Gauged[m] < 0.5 {
			mark = "~"
		}
		head += padLeft(mark+time.Month(m + 1).String()[:3], seasonMonth)
	}
	p.line(head)
	for _, r := range rows {
		if !r.Suits {
			continue
		}
		line := pad(name(r.Zone, seasonZone-1), seasonZone)
		for i := from; i < min(to, len(r.Months)); i++ {
			m, _ := r.Month(a.Year, i)
			n := count(m.Windows)
			switch {
			case m.UnknownDays > 0 && m.Windows == 0:
				n = "?"
			case m.UnknownDays > 0: // there may be more
				n += "?"
			}
			line += padLeft(n, seasonMonth)
		}
		p.line(line)
	}
}

// promise says which months are the best, and which have next to nothing.
func (p *page) promise(year int, rows []answer.SeasonRow) {
	best := answer.NewBestMonths(year, rows)
	var parts []string
	if g := answer.MonthRuns(best.Good, "-"); g != "" {
		parts = append(parts, fmt.Sprintf("best %s, with up to %.0f of a month's days", g, best.Most))
	}
	if x := answer.MonthRuns(best.Poor, "-"); x != "" {
		parts = append(parts, fmt.Sprintf("fewer than %d days a month: %s", answer.PoorDays, x))
	}
	if len(parts) > 0 {
		p.para("  ", 2, answer.Capital(strings.Join(parts, "; "))+".")
	}
}
