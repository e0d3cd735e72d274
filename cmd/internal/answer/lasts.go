package answer

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"dewgap/products"
	"dewgap/window/boat"
)

// Lasts is a film that stands, and when the job is due on it again.
type Lasts struct {
	Step    string     `json:"step"`
	Zone    string     `json:"zone"`
	Product string     `json:"product"`
	On      time.Time  `json:"on"`
	From    time.Time  `json:"from"` // the earliest that it is due
	To      *time.Time `json:"to"`   // the latest; null where nobody gives one
	Text    string     `json:"text"` // how long the product lasts and who says so, in words
}

// monthDays is the mean length of a month.
const monthDays = 365.25 / 12

// lasts lists the films of a job on which all is done that wear off in time.
func (b *builder) lasts() []Lasts {
	if !b.allDone() {
		return nil
	}
	var out []Lasts
	for i := range b.Result.Rows {
		r := &b.Result.Rows[i]
		d := b.doneOf(r.Zone, r.Step)
		list := lives(r.Class, b.Job.ZoneAt(r.Zone, b.Now).Shelter != boat.Open)
		if len(list) == 0 || d.At.IsZero() {
			continue
		}
		first, last := list[0].Range, list[len(list)-1].Range
		x := Lasts{
			Step: b.Job.Steps[r.Step].Name, Zone: b.zone(r), Product: r.Class.ID, On: b.moment(d.At),
			From: b.moment(d.At.Add(months(first.Min))),
		}
		if !last.NoMax {
			to := b.moment(d.At.Add(months(last.Max)))
			x.To = &to
		}
		x.Text = r.Class.ID + " lasts " + lifeWords(list)
		out = append(out, x)
	}
	return out
}

// lifeWords are lives in words, each with its source unless all have the same.
func lifeWords(list []life) string {
	words := make([]string, len(list))
	one := !slices.ContainsFunc(list, func(l life) bool { return l.Source != list[0].Source })
	for i, l := range list {
		words[i] = monthsWord(l.Range) + " " + l.where
		if l.Source != "" && (!one || i == len(list)-1) {
			words[i] += " (" + l.Source + ")"
		}
	}
	return strings.Join(words, ", ")
}

// life is how many months a product lasts somewhere.
type life struct {
	products.Range
	where string
}

// lives are the ranges that bear on a panel, the shortest first: nobody says how much sun
// an open one gets, so both of the open air do.
func lives(c products.Class, roofed bool) []life {
	var out []life
	for _, l := range []life{{c.LifeSunMo, "in full subtropical sun"}, {c.LifeMildMo, "in temperate sun"}, {c.LifeRoofMo, "under a roof"}} {
		if l.Given {
			out = append(out, l)
		}
	}
	roof := len(out) > 0 && c.LifeRoofMo.Given
	switch {
	case roofed && roof:
		return out[len(out)-1:]
	case roof:
		return out[:len(out)-1]
	}
	return out
}

func months(n float64) time.Duration { return time.Duration(n * monthDays * 24 * float64(time.Hour)) }

func monthsWord(r products.Range) string {
	number := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
	switch {
	case r.NoMax:
		return number(r.Min) + " months or more"
	case r.Max == r.Min:
		return number(r.Min) + " months"
	}
	return number(r.Min) + " to " + number(r.Max) + " months"
}

// LastsLines say in words when what is done is due again, zones that were done alike
// together.
func LastsLines(list []Lasts, now time.Time) []string {
	type line struct{ when, why string }
	zones, order := map[line][]string{}, []line{}
	const month = "Jan 2006"
	for _, x := range list {
		from := x.From.Format(month)
		l := line{when: Capital(x.Step) + " again about " + from, why: x.Text}
		switch {
		case x.To == nil:
			l.when = Capital(x.Step) + " again not before " + from
		case x.To.Before(now):
			l.when = Capital(x.Step) + " again, due since " + x.To.Format(month)
		case x.To.Year() == x.From.Year() && x.To.Month() != x.From.Month():
			l.when = Capital(x.Step) + " again about " + x.From.Format("Jan") + " to " + x.To.Format(month)
		case x.To.Format(month) != from:
			l.when += " to " + x.To.Format(month)
		}
		if zones[l] == nil {
			order = append(order, l)
		}
		zones[l] = append(zones[l], x.Zone)
	}
	out := make([]string, len(order))
	for i, l := range order {
		out[i] = fmt.Sprintf("%s on %s: %s.", l.when, Listed(zones[l]), l.why)
	}
	return out
}
