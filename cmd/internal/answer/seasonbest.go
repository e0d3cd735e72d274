package answer

import (
	"slices"
	"strings"
	"time"
)

// goodShare is the share of the best month's days from which a month counts among
// the best, [PoorDays] the days below which it has next to nothing (common practice,
// no source).
const (
	goodShare = 0.75
	PoorDays  = 4
)

// BestMonths tells which months of a typical year are the ones to promise.
type BestMonths struct {
	Good [12]bool // they offer nearly as much as the best
	Poor [12]bool // they offer next to nothing; never where the data say too little
	Most float64  // days of the best month, mean over the zones
	Mean string   // " on average" where these are several, "" else
}

// NewBestMonths judges the months of one product by the mean over the zones that
// take it; nothing stands out where none does.
func NewBestMonths(year int, rows []SeasonRow) BestMonths {
	var b BestMonths
	var days [12]float64
	var doubt [12]bool
	n := 0
	for i := range rows {
		if !rows[i].Suits {
			continue
		}
		n++
		for m := range 12 {
			x, _ := rows[i].Month(year, m)
			days[m] += float64(x.Days)
			doubt[m] = doubt[m] || x.UnknownDays > 0
		}
	}
	if n == 0 {
		return b
	}
	for m := range days {
		days[m] /= float64(n)
	}
	if b.Most = slices.Max(days[:]); n > 1 {
		b.Mean = " on average"
	}
	for m, d := range days {
		b.Good[m] = b.Most >= 1 && d >= goodShare*b.Most
		b.Poor[m] = d < PoorDays && !doubt[m]
	}
	return b
}

// Month is month m, from 0, of a row, brought into the days that it has in that
// year, for answers are read from files too; long is how many they are. Of a month
// that is not there no day is known.
func (r *SeasonRow) Month(year, m int) (x SeasonMonth, long int) {
	long = time.Date(year, time.Month(m+2), 0, 0, 0, 0, 0, time.UTC).Day()
	if r.Months[m] == nil {
		return SeasonMonth{UnknownDays: long}, long
	}
	x = *r.Months[m]
	x.Days = min(max(x.Days, 0), long)
	x.ConsentDays = min(max(x.ConsentDays, 0), long-x.Days)
	x.UnknownDays = min(max(x.UnknownDays, 0), long)
	return x, long
}

// MonthRuns names runs of months, over the turn of the year where they meet there,
// with to between the first and the last of a run: "Jul, Nov-Mar".
func MonthRuns(is [12]bool, to string) string {
	if !slices.Contains(is[:], false) {
		return "all year"
	}
	short := func(m int) string { return time.Month(m%12 + 1).String()[:3] }
	var out []string
	for m := range 12 {
		if !is[m] || is[(m+11)%12] {
			continue // a run begins after a month that is not in it
		}
		last := m
		for is[(last+1)%12] {
			last++
		}
		words := short(m)
		if last > m {
			words += to + short(last)
		}
		out = append(out, words)
	}
	return strings.Join(out, ", ")
}
