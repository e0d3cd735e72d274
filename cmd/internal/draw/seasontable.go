package draw

import (
	"slices"
	"strconv"
	"strings"

	"dewgap/cmd/internal/answer"
)

// offer is one product with its zones.
type offer struct {
	product, name string
	rows          []answer.SeasonRow // zones that it is for
	never         []answer.SeasonRow // zones that it is not for
	year          *answer.Season
}

// offersOf are the products in the answer's order, on the zones to draw.
func offersOf(a *answer.Season, o Options) []offer {
	chosen := func(answer.SeasonRow) bool { return true }
	if slices.ContainsFunc(a.Rows, func(r answer.SeasonRow) bool { return slices.Contains(o.Zones, r.Zone) }) {
		chosen = func(r answer.SeasonRow) bool { return slices.Contains(o.Zones, r.Zone) }
	}
	var out []offer
	for _, r := range a.Rows {
		if !chosen(r) {
			continue
		}
		if n := len(out); n == 0 || out[n-1].product != r.Product {
			f := offer{product: r.Product, name: r.Name, year: a}
			if strings.TrimSpace(f.name) == "" {
				f.name = r.Product
			}
			out = append(out, f)
		}
		f := &out[len(out)-1]
		if r.Suits {
			f.rows = append(f.rows, r)
		} else {
			f.never = append(f.never, r)
		}
	}
	return out
}

// seasonCell is what one month offers one product on one zone.
type seasonCell struct {
	days, consent int // go, and only marginal
	unknown       int // days of which the data say too little
	long          int // days of the month
}

func (c seasonCell) share() float64 { return float64(c.days) / float64(c.long) }

// nothing reports that nobody knows of a single day.
func (c seasonCell) nothing() bool { return c.unknown > 0 && c.days == 0 }

// words are the number of days; with a question mark where more may be hidden
// behind what the data do not say, the mark alone where nothing else is known.
func (c seasonCell) words() string {
	switch {
	case c.nothing():
		return "?"
	case c.unknown > 0:
		return strconv.Itoa(c.days) + "?"
	}
	return strconv.Itoa(c.days)
}

// cellOf is a month of a row, brought into the days that it has.
func cellOf(year int, r *answer.SeasonRow, m int) seasonCell {
	x, long := r.Month(year, m)
	return seasonCell{days: x.Days, consent: x.ConsentDays, unknown: x.UnknownDays, long: long}
}

// promise says which months are best and which are poor, "" where no zone takes
// the product.
func (f *offer) promise() string {
	best := answer.NewBestMonths(f.year.Year, f.rows)
	var parts []string
	if g := monthRuns(best.Good); g != "" {
		parts = append(parts, "best "+g+", up to "+strconv.FormatFloat(best.Most, 'f', 0, 64)+" days a month"+best.Mean)
	}
	if p := monthRuns(best.Poor); p != "" {
		parts = append(parts, "fewer than "+strconv.Itoa(answer.PoorDays)+": "+p)
	}
	if len(parts) == 0 {
		return ""
	}
	return answer.Capital(strings.Join(parts, "; ")) + "."
}

// monthRuns names runs of months, over the turn of the year where they meet there.
func monthRuns(is [12]bool) string { return answer.MonthRuns(is, "–") }

// unsuited names the zones that the product is not for.
func (f *offer) unsuited() string {
	return strings.Join(answer.NotFor(append(slices.Clone(f.rows), f.never...), clip), " ")
}

// table has a line for each product and zone with the twelve months.
func (s *yearSheet) table() Table {
	t := Table{
		Caption: "Days of each month with a go window. +n: days more that are only marginal; ?: the data say too little; –: the product is not for that zone",
		Head:    []string{"Product", "Zone"},
	}
	if len(s.estimated()) > 0 {
		t.Caption += "; ~: rain estimated, not measured"
	}
	for m := range 12 {
		mark := ""
		if s.isEstimated(m) {
			mark = "~"
		}
		t.Head = append(t.Head, mark+monthName(m))
	}
	for i := range s.offers {
		f := &s.offers[i]
		for k := range f.rows {
			line := []string{f.name, f.rows[k].Zone}
			for m := range 12 {
				line = append(line, tableCell(cellOf(s.s.Year, &f.rows[k], m)))
			}
			t.Rows = append(t.Rows, line)
		}
		for _, r := range f.never {
			t.Rows = append(t.Rows, append([]string{f.name, r.Zone}, slices.Repeat([]string{"–"}, 12)...))
		}
	}
	return t
}

func tableCell(c seasonCell) string {
	if c.consent > 0 {
		return c.words() + " +" + strconv.Itoa(c.consent)
	}
	return c.words()
}

// mostTold is how many products the description goes through.
const mostTold = 12

// describe says the picture in a few sentences.
func (s *yearSheet) describe() string {
	if len(s.offers) == 0 {
		return "No product is judged in this answer."
	}
	out := "Products: " + strconv.Itoa(len(s.offers)) + ". For each, zones down and months across; in each cell the days of the month with a go window. "
	for i := range s.offers {
		if i == mostTold {
			out += counted(len(s.offers)-mostTold, "more product") + " in the table. "
			break
		}
		f := &s.offers[i]
		words := f.promise()
		switch {
		case len(f.rows) == 0:
			words = "No zone takes it."
		case words == "":
			words = "No month stands out."
		}
		out += answer.Capital(clip(f.name)) + ": " + words + " "
	}
	if e := s.estimated(); len(e) > 0 {
		var is [12]bool
		for _, m := range e {
			is[m] = true
		}
		out += "Rain is estimated, not measured: " + monthRuns(is) + ". "
	}
	return out + "The table has every month of every zone."
}
