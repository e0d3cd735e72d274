package text

import (
	"io"
	"slices"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
)

// The columns of the table: what a row is about, and the widest a service gets.
const (
	aboutCells   = 16
	serviceCells = 24
)

// differs marks a row in which the services differ.
const differs = "<>"

// Sources writes the answer of dewgap sources: the services side by side, when
// each step may first be done, the weather day by day, which services could not
// be used and why, and how to ask for a plan by each. The error is w's own.
func Sources(w io.Writer, a *answer.Sources, o Options) error {
	p := newPage(o)
	p.para(heading("sources")+": ", 2, boatName(a.Boat)+" at "+placeName(a.Place)+", "+day(a.Now)+nbsp+clock(a.Now))
	t := newBeside(p, a)
	p.para("", 2, t.summary())
	for _, some := range t.parts() {
		some.head()
		some.steps()
		some.days()
	}
	if len(t.services) > 1 {
		p.blank()
		p.para(differs+" ", 3, t.legend())
	}
	p.unusable(a.Services)
	p.commands(t.services)
	p.warnings(a.Warnings)
	for _, s := range t.services {
		p.credit(*s.Source)
	}
	return p.writeTo(w)
}

func placeName(pl answer.Place) string {
	if tidy(pl.Name) != "" {
		return name(pl.Name, nameCells)
	}
	return figure(pl.Latitude, 4, nearest, false) + "," + figure(pl.Longitude, 4, nearest, false)
}

// beside is the table: a column for each usable service.
type beside struct {
	*page
	a        *answer.Sources
	services []answer.Service
	width    int // of a column
}

func newBeside(p *page, a *answer.Sources) *beside {
	t := &beside{page: p, a: a}
	for _, s := range a.Services {
		if s.Usable {
			t.services = append(t.services, s)
		}
	}
	return t
}

// leastService is the least that a service's column takes.
const leastService = 16

// parts are tables of as many services as stand beside one another, one below the other.
func (t *beside) parts() []*beside {
	var out []*beside
	for some := range slices.Chunk(t.services, max(1, (t.o.Width-aboutCells)/leastService)) {
		one := *t
		one.services, one.width = some, min(serviceCells, (t.o.Width-aboutCells)/len(some))
		out = append(out, &one)
	}
	return out
}

// row writes one row; cell gives what a service has to say, "" is nothing.
func (t *beside) row(mark, about string, cell func(service string) string) {
	line := pad(mark, 3) + pad(about, aboutCells-3)
	for _, s := range t.services {
		text := cell(s.Name)
		if text == "" {
			text = "-"
		}
		line += pad(cut(text, t.width-1), t.width)
	}
	t.line(line)
}

func (t *beside) head() {
	by := map[string]answer.Service{}
	for _, s := range t.services {
		by[s.Name] = s
	}
	t.blank()
	t.row("", "", func(s string) string { return s })
	t.row("", "made", func(s string) string { return age(by[s].Source.AgeS) })
	t.row("", "reaches to", func(s string) string { return day(*by[s].Ends) + nbsp + clock(*by[s].Ends) })
	t.row("", "futures", func(s string) string {
		if n := by[s].Source.Members; n > 1 {
			return plain("", 0).show(float64(n), nearest)
		}
		return "one"
	})
	t.row("", "the week", func(s string) string { return loud(by[s].Verdict) })
}

func (t *beside) steps() {
	t.blank()
	t.line(heading("first go"))
	for _, x := range t.a.Steps {
		mark := ""
		if x.Differ {
			mark = differs
		}
		by := map[string]answer.ServiceFirst{}
		for _, f := range x.First {
			by[f.Service] = f
		}
		t.row(mark, cut(name(x.Step, aboutCells), aboutCells-4), func(s string) string {
			f, said := by[s]
			switch {
			case !said:
				return ""
			case f.At == nil:
				return loud(f.State)
			}
			return day(*f.At) + nbsp + clock(*f.At)
		})
		if !slices.ContainsFunc(t.services, func(s answer.Service) bool { return by[s.Name].At != nil }) {
			continue // no zone to name
		}
		t.row("", "", func(s string) string {
			f := by[s]
			switch {
			case f.At == nil:
				return " "
			case f.State == "marginal":
				return "! " + name(f.Zone, zoneCells)
			}
			return name(f.Zone, zoneCells)
		})
	}
}

func (t *beside) days() {
	for _, d := range t.a.Days {
		date, err := time.Parse(time.DateOnly, d.Date)
		if err != nil {
			continue // an answer of somebody else's making
		}
		by := map[string]answer.ServiceDay{}
		for _, s := range d.Services {
			by[s.Service] = s
		}
		mark := func(kind string) string {
			if slices.Contains(d.Differ, kind) {
				return differs
			}
			return ""
		}
		t.blank()
		t.line(day(date))
		t.row(mark("air"), "air", func(s string) string { return extent(by[s].AirC, t.o.temperature()) })
		t.row(mark("dew_point"), "dew point", func(s string) string { return extent(by[s].DewPointC, t.o.temperature()) })
		t.row(mark("wind"), "wind, gusts", func(s string) string { return t.windy(by[s]) })
		t.row(mark("rain"), "rain", func(s string) string { return t.rainy(by[s]) })
	}
}

func extent(e *[2]float64, q quantity) string {
	if e == nil || !finite(&e[0]) || !finite(&e[1]) {
		return ""
	}
	return q.span(e[0], e[1], nearest)
}

func (t *beside) windy(d answer.ServiceDay) string {
	q := t.o.wind()
	if !finite(d.WindMS) {
		return ""
	}
	if !finite(d.GustMS) {
		return q.show(*d.WindMS, up)
	}
	return figure(q.of(*d.WindMS), q.digits, up, true) + "," + nbsp + q.withUnit(figure(q.of(*d.GustMS), q.digits, up, true))
}

func (t *beside) rainy(d answer.ServiceDay) string {
	switch {
	case !finite(d.RainMM):
		return ""
	case d.RainFrom == nil || d.RainTo == nil:
		return "none"
	}
	return hours(*d.RainFrom, *d.RainTo) + " " + t.o.rain().show(*d.RainMM, up)
}

// kinds are the kinds of weather that are compared, in words.
var kinds = []struct{ key, words string }{{"air", "air"}, {"dew_point", "dew point"}, {"wind", "wind"}, {"rain", "rain"}}

// summary is where they agree and where they differ, in a sentence.
func (t *beside) summary() string {
	switch len(t.services) {
	case 0:
		return "No service could be used."
	case 1:
		return "Only " + name(t.services[0].Name, serviceCells) + " could be used: there is nothing to hold it against."
	}
	var agree, differ []string
	for _, k := range kinds {
		var on []string
		compared := 0
		for _, d := range t.a.Days {
			date, err := time.Parse(time.DateOnly, d.Date)
			if err != nil || len(d.Services) < 2 {
				continue
			}
			compared++
			if slices.Contains(d.Differ, k.key) {
				on = append(on, tie(date.Format("Mon 2")))
			}
		}
		switch {
		case compared == 0:
		case len(on) == 0:
			agree = append(agree, k.words)
		case len(on) == compared:
			differ = append(differ, k.words+" every day")
		default:
			differ = append(differ, k.words+" "+strings.Join(on, ", "))
		}
	}
	for _, x := range t.a.Steps {
		words := "the first go of " + name(x.Step, zoneCells)
		switch {
		case !x.Differ:
			agree = append(agree, words)
		case x.ApartH != nil && *x.ApartH > 0:
			differ = append(differ, words+" by "+duration(*x.ApartH, nearest))
		default:
			differ = append(differ, words)
		}
	}
	if len(agree)+len(differ) == 0 {
		return "They have no day in common: there is nothing to compare."
	}
	return listed("They agree on ", agree) + listed("They differ on ", differ)
}

// listed is a sentence that lists, "" without anything to list.
func listed(begin string, list []string) string {
	if len(list) == 0 {
		return ""
	}
	return begin + strings.Join(list, "; ") + ". "
}

// legend says what the mark stands for.
func (t *beside) legend() string {
	d := t.a.DifferBy
	return "where those that know the whole day differ: air by " + t.o.degrees().show(d.AirC, nearest) + " or more, dew point by " +
		t.o.degrees().show(d.DewPointC, nearest) + ", wind by " + t.o.wind().show(d.WindMS, nearest) + ", rain by " + duration(d.RainH, nearest) +
		" or rain against none, the first go by " + duration(d.FirstH, nearest) + ". Wind is at deck height. What ends within a day tells of its hours alone."
}

// unusable are the services that gave nothing, with the reason.
func (p *page) unusable(list []answer.Service) {
	first := true
	for _, s := range list {
		if s.Usable {
			continue
		}
		if first {
			p.blank()
			p.line(heading("not used"))
			first = false
		}
		text := stop(p.o.prose(tidy(s.Why)))
		if s.Fix != "" {
			text += " Fix: " + stop(tidy(s.Fix))
		}
		p.para("  "+name(s.Name, serviceCells)+": ", 4, text)
	}
}

// commands ask for the plan by each service.
func (p *page) commands(list []answer.Service) {
	if len(list) == 0 {
		return
	}
	p.blank()
	p.line(heading("the plan by each"))
	for _, s := range list {
		p.para("  ", 6, strings.TrimSpace(tidy(s.Command)))
	}
}
