package text

import (
	"slices"
	"strings"

	"dewgap/cmd/internal/answer"
)

// readings says what was measured and went into the answer, and what was not
// believed and why.
func (p *page) readings(a *answer.Morning) {
	if len(a.Readings) == 0 {
		for _, s := range a.ReadingsUsed {
			p.para("You read: ", 2, stop(p.o.prose(s)))
		}
		return
	}
	var used []string
	for _, r := range a.Readings {
		if plainlyUsed(a, r) {
			used = append(used, p.o.prose(r.Text))
		}
	}
	if len(used) > 0 {
		p.para("You read: ", 2, stop(strings.Join(used, "; ")))
	}
	for _, r := range a.Readings {
		switch {
		case plainlyUsed(a, r):
		case r.Used:
			p.para("Mind: ", 2, stop(p.o.prose(r.Text)+": "+p.o.prose(r.Reason)))
		default:
			p.para("Not used: ", 2, stop(p.o.prose(r.Text)+": "+p.o.prose(r.Reason)))
		}
	}
}

// plainlyUsed reports a reading that was used and needs no word: salt has its own,
// where it puts a wash first.
func plainlyUsed(a *answer.Morning, r answer.ReadingTaken) bool {
	return r.Used && (r.Reason == "" || len(a.Inserted) > 0 && (r.Kind == "salt" || r.Kind == "spray"))
}

// inserted names the work that readings put before everything else, zones that
// ask for the same together.
func (p *page) inserted(a *answer.Morning) {
	var order []string
	zones := map[string][]string{}
	for _, x := range a.Inserted {
		if !slices.Contains(order, x.Text) {
			order = append(order, x.Text)
		}
		zones[x.Text] = append(zones[x.Text], x.Zone)
	}
	var all []string
	for _, x := range a.Steps {
		if !slices.Contains(all, x.Zone) {
			all = append(all, x.Zone)
		}
	}
	for _, text := range order {
		p.para(heading("first")+"  ", 2, every(zones[text], all)+": "+stop(tidy(text)))
	}
}
