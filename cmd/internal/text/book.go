package text

import (
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
)

// Book writes the list of what a book has. The error is w's own.
func Book(w io.Writer, a *answer.BookList, o Options) error {
	p := newPage(o)
	when := bookDay(a)
	p.para("", 2, "The book "+tidy(a.File))
	p.blank()
	if len(a.Answers) == 0 {
		p.line("No answers yet. Answers to a job file are recorded from now on.")
	} else {
		p.line(heading("answers") + ", the newest first; dewgap book show NUMBER shows one again")
	}
	for _, x := range a.Answers {
		p.para(fmt.Sprintf("%5d  ", x.ID), 7, tie(pad(x.Kind, 8))+when(x.At)+nbsp+clock(x.At)+" "+loud(x.Verdict)+" "+
			of(x.BookJob)+", by dewgap "+tidy(x.Program))
	}
	p.entries("work done", a.Done, when)
	p.entries("readings and rain", a.Readings, when)
	p.entries("outcomes", a.Outcomes, when)
	return p.writeTo(w)
}

// bookDay writes the days of a book's list, with their year where it spans several.
func bookDay(a *answer.BookList) func(time.Time) string {
	years := map[int]bool{}
	for _, x := range a.Answers {
		years[x.At.Year()] = true
	}
	for _, x := range slices.Concat(a.Done, a.Readings, a.Outcomes) {
		years[x.At.Year()] = true
	}
	if len(years) < 2 {
		return day
	}
	return func(t time.Time) string { return day(t) + nbsp + strconv.Itoa(t.Year()) }
}

func (p *page) entries(head string, list []answer.Entry, when func(time.Time) string) {
	if len(list) == 0 {
		return
	}
	p.blank()
	p.line(heading(head))
	for _, e := range list {
		p.para(fmt.Sprintf("%5d  ", e.ID), 7, when(e.At)+nbsp+clock(e.At)+" "+p.o.prose(e.Text)+" · "+of(e.BookJob))
	}
}

// of names a job by boat and name.
func of(j answer.BookJob) string {
	return name(j.Boat, nameCells) + ", " + name(j.Job, nameCells)
}

// How many differences a page lists, and how long a value may be in one.
const (
	mostDifferences = 40
	valueCells      = 60
)

// Again writes what became of a past answer worked out anew. The error is w's own.
func Again(w io.Writer, a *answer.Again, o Options) error {
	p := newPage(o)
	p.para("", 2, fmt.Sprintf("Answer %d, %s for %s %s, worked out anew:", a.ID, a.Kind, day(a.At), clock(a.At)))
	p.change("program", a.Program)
	p.change("catalogue", answer.Change{Was: cut(a.Catalogue.Was, 13), Is: cut(a.Catalogue.Is, 13)})
	if a.Same {
		p.line("The same, to the byte.")
		return p.writeTo(w)
	}
	p.line(differing(len(a.Differences)))
	for i, d := range a.Differences {
		if i == mostDifferences {
			p.line(fmt.Sprintf("  and %d more; --json lists all", len(a.Differences)-i))
			break
		}
		p.para("  ", 4, tidy(d.Path)+": was "+value(d.Was)+", is "+value(d.Is))
	}
	return p.writeTo(w)
}

func differing(n int) string {
	if n == 1 {
		return "1 place differs:"
	}
	return count(n) + " places differ:"
}

func (p *page) change(what string, c answer.Change) {
	if c.Was == c.Is {
		p.para("  ", 4, what+" "+tidy(c.Is)+", as it was")
		return
	}
	p.para("  ", 4, what+" was "+tidy(c.Was)+", is "+tidy(c.Is))
}

// value is a JSON value in little room.
func value(v any) string {
	if v == nil {
		return "nothing"
	}
	data, err := json.Marshal(v)
	if err != nil {
		return "unknown"
	}
	return cut(strings.ReplaceAll(tidy(string(data)), `"`, ""), valueCells)
}
