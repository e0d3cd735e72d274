package text

import (
	"slices"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
)

// step is one step of the job with all that the week says of it.
type step struct {
	name, do, product string
	asked             bool     // the headline answers it
	zones             []string // in the boat's order
	windows           []answer.Window
	refusals          []answer.Refusal
}

// stepsOf sorts the week's windows and refusals by step, in the order of the
// answer; the windows of a step by rank.
func stepsOf(a *answer.Week, book zoneBook) []step {
	var list []step
	find := func(named, do, product string) *step {
		for i := range list {
			if list[i].name == named {
				return &list[i]
			}
		}
		list = append(list, step{name: named, do: do, product: product})
		return &list[len(list)-1]
	}
	for i := range a.Refusals {
		r := &a.Refusals[i]
		s := find(r.Step, r.Do, r.Product)
		s.refusals, s.zones = append(s.refusals, *r), also(s.zones, r.Zone)
	}
	for i := range a.Windows {
		w := &a.Windows[i]
		s := find(w.Step, w.Do, w.Product)
		s.windows, s.zones = append(s.windows, *w), also(s.zones, w.Zone)
	}
	for i := range list {
		s := &list[i]
		s.zones, s.windows = book.sorted(s.zones), answer.InOrder(s.windows, answer.ByRank)
	}
	return list
}

// also adds a name to a list that does not have it.
func also(list []string, name string) []string {
	if slices.Contains(list, name) {
		return list
	}
	return append(list, name)
}

// group is windows of one step with the same hours and state, on several zones.
type group struct {
	from, to time.Time
	state    string
	zones    []string
	windows  []answer.Window
}

// byHours joins the windows that differ in nothing but the zone, in the order in
// which the first of each comes.
func byHours(ws []answer.Window, book zoneBook) []group {
	var list []group
	for _, w := range ws {
		i := slices.IndexFunc(list, func(g group) bool {
			return g.from.Equal(w.From) && g.to.Equal(w.To) && g.state == w.State
		})
		if i < 0 {
			list = append(list, group{from: w.From, to: w.To, state: w.State})
			i = len(list) - 1
		}
		list[i].zones = append(list[i].zones, w.Zone)
		list[i].windows = append(list[i].windows, w)
	}
	for i := range list {
		list[i].zones = book.sorted(list[i].zones)
	}
	return list
}

// good keeps the windows in which a block needs no consent, adjoining ones of a zone
// joined; where there are none, all, joined whatever their states. They come in order
// of time.
func good(ws []answer.Window) []answer.Window {
	var out []answer.Window
	for _, w := range answer.Joined(ws) {
		if w.State != "marginal" && !w.Short {
			out = append(out, w)
		}
	}
	if len(out) == 0 {
		out = answer.JoinedAll(ws)
	}
	return answer.InOrder(out, answer.InTime)
}

// scheduled reports a limit that people or the clock set for everybody: such
// hours are summed up and not listed one by one.
func scheduled(limit string) bool {
	switch limit {
	case "hours", "away", "daylight", "machines":
		return true
	}
	return false
}

// sure says in how many of the forecasts something holds, rounded down, with "only"
// before fewer than half of them; nothing where there is only one and no futures of it.
func sure(confidence float64, s answer.Source) string {
	n, of := s.Members, kindOf(s)
	if s.Members <= 1 {
		n = s.Dressed
	}
	if n < 1 || !(confidence >= 0 && confidence <= 1) {
		return ""
	}
	if n == 1 {
		of = strings.TrimSuffix(of, "s")
	}
	const halfStep = 0.0005 // answers round confidence to 0.001: 10 of 11 are 0.909
	held, only := min(n, int((confidence+halfStep)*float64(n)+dust)), ""
	if few(confidence) && held > 0 {
		only = "only" + nbsp
	}
	return only + count(held) + tie(" of ") + count(n) + nbsp + of
}

// kindOf is what shares are of: an ensemble's forecasts, or the futures of a single one.
func kindOf(s answer.Source) string {
	if s.Members <= 1 {
		return "futures"
	}
	return "forecasts"
}
