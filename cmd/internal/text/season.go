package text

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
)

// seasonMonth is the column of a month in the table of a season.
const seasonMonth = 5

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

// seasonOf writes the table of one product, and one line for the zones that it is not for.
func (p *page) seasonOf(a *answer.Season, rows []answer.SeasonRow) {
	p.blank()
	for _, l := range wrap(name(rows[0].Name, 2*nameCells), p.o.Width, 0) {
		p.write(heading(l))
	}
	suited := slices.DeleteFunc(slices.Clone(rows), func(r answer.SeasonRow) bool { return !r.Suits })
	if len(suited) > 0 {
		beside := 12
		if p.o.Width < usualWidth {
			beside = 6 // the other half of the year stands below
		}
		for m := 0; m < 12; m += beside {
			p.months(a, suited, m, m+beside)
		}
	}
	for _, s := range answer.NotFor(rows, func(zone string) string { return tie(name(zone, nameCells)) }) {
		p.para("  ", 2, s)
	}
	p.promise(a.Year, suited)
}

// months writes the table of some months, [from, to) counted from January. A name that has
// no room beside them stands above its figures.
func (p *page) months(a *answer.Season, rows []answer.SeasonRow, from, to int) {
	column := p.o.Width - seasonMonth*(to-from)
	head := pad("", column)
	for m := from; m < to; m++ {
		mark := ""
		if a.Gauged[m] < 0.5 {
			mark = "~"
		}
		head += padLeft(mark+time.Month(m + 1).String()[:3], seasonMonth)
	}
	p.line(head)
	for i := range rows {
		zone := name(rows[i].Zone, nameCells)
		if cells(zone) >= column {
			p.para("", 2, zone)
			zone = ""
		}
		line := pad(zone, column)
		for m := from; m < to; m++ {
			line += padLeft(windows(&rows[i], a.Year, m), seasonMonth)
		}
		p.write(line)
	}
}

// windows is the number of a month's windows, with a question mark where there may be more.
func windows(r *answer.SeasonRow, year, month int) string {
	m, _ := r.Month(year, month)
	switch {
	case m.UnknownDays == 0:
		return count(m.Windows)
	case m.Windows == 0:
		return "?"
	}
	return count(m.Windows) + "?"
}

// promise says which months are the best, and which have next to nothing.
func (p *page) promise(year int, rows []answer.SeasonRow) {
	best := answer.NewBestMonths(year, rows)
	var parts []string
	if g := answer.MonthRuns(best.Good, "-"); g != "" {
		parts = append(parts, fmt.Sprintf("best %s, with up to %.0f of a month's days%s", g, best.Most, best.Mean))
	}
	if x := answer.MonthRuns(best.Poor, "-"); x != "" {
		parts = append(parts, fmt.Sprintf("fewer than %d days a month: %s", answer.PoorDays, x))
	}
	if len(parts) > 0 {
		p.para("  ", 2, answer.Capital(strings.Join(parts, "; "))+".")
	}
}
