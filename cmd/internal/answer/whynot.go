package answer

import (
	"slices"
	"strings"
	"time"

	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/verdict"
)

// whyNot says for every day before that of a headline, or for all days where there is
// none, what stands against a step on most of the working time; of the day that its own weather
// suits best the headline says it.
func (b *builder) whyNot(step int, h *Headline) []string {
	out := []string{}
	for from := b.Result.From; from < b.Result.To; {
		at := b.at(from)
		if at.Format(time.DateOnly) == h.Day {
			break
		}
		to := b.endOfDay(from)
		best := len(h.Best) > 0 && sameDate(h.Best[0].From, at)
		if text := b.against(step, from, to); text != "" && !best {
			out = append(out, at.Format(dayOnly)+": "+text)
		}
		from = to
	}
	return out
}

// endOfDay is the first slot after i that lies on another day at the place.
func (b *builder) endOfDay(i int) int {
	d := b.dayOf(i)
	midnight := job.Date{Year: d.Year, Month: d.Month, Day: d.Day}.Next().Begins(b.loc)
	return min(max(b.Result.Grid.Index(midnight), i+1), b.Result.To)
}

// tally is how long one limit stands against a step on a day.
type tally struct {
	slots  int
	worst  verdict.Run // the longest of its runs that day
	row    *window.Row
	length int
	zones  []string
}

// against words the limit that decides a day's best hours: where there are
// marginal ones, what keeps them from being go; else what refuses most of the
// working time. Zones that have go hours that day have nothing against them but the work
// that comes first; the hours in which nobody works are told only where there is nothing else.
func (b *builder) against(step, from, to int) string {
	if text := b.workFirst(step, from, to); text != "" {
		return text
	}
	var refused, marginal [verdict.Limits]tally
	soft := false
	for i := range b.Result.Rows {
		r := &b.Result.Rows[i]
		if r.Step != step || hasGo(r, from, to) {
			continue
		}
		for _, run := range r.Refusals {
			refused[run.Limit].add(r, run, from, to, b.zone(r))
		}
		for _, w := range r.Windows {
			if w.State == verdict.Marginal && w.From < to && w.To > from {
				b.bySlot(&marginal, r, w.Run, from, to)
				soft = true
			}
		}
	}
	if soft {
		return b.most(marginal)
	}
	return b.most(refused)
}

// workFirst says what has to be done before a step on the zones that have good hours on a
// day, but only such as are over before that can be; "" where there are none.
func (b *builder) workFirst(step, from, to int) string {
	var zones, steps []string
	for i := range b.Result.Rows {
		r := &b.Result.Rows[i]
		if r.Step != step || b.done(r.Zone, step) || !b.tooSoon(i, from, to) {
			continue
		}
		zones = append(zones, b.zone(r))
		for k := range step {
			name := strings.ToLower(b.Job.Steps[k].Name)
			if slices.Contains(b.Job.Steps[k].On, r.Zone) && !b.done(r.Zone, k) && !slices.Contains(steps, name) {
				steps = append(steps, name)
			}
		}
	}
	switch len(steps) {
	case 0:
		return ""
	case 1:
		return steps[0] + " comes first (" + b.inBoatOrder(zones) + ")"
	}
	return Listed(steps) + " come first (" + b.inBoatOrder(zones) + ")"
}

// inBoatOrder lists zones in the boat's order, as every screen has them, whatever the order in
// which a step names them.
func (b *builder) inBoatOrder(names []string) string {
	place := func(name string) int {
		return slices.IndexFunc(b.Job.Zones, func(z boat.Zone) bool { return z.Name == name })
	}
	return strings.Join(slices.SortedStableFunc(slices.Values(names), func(x, y string) int { return place(x) - place(y) }), ", ")
}

// tooSoon reports whether a good block would fit into hours of a row in [from, to), but only
// before the work that comes first can be done.
func (b *builder) tooSoon(row, from, to int) bool {
	soon := false
	for k, w := range b.Result.Rows[row].Windows {
		if ref := (window.Ref{Row: row, Window: k}); w.From < to && w.To > from && b.good(ref) {
			if b.inTime(ref) {
				return false
			}
			soon = true
		}
	}
	return soon
}

// bySlot adds a marginal window to tallies, each slot under the limit that decides it: that of
// the worst slot need not be that of most.
func (b *builder) bySlot(tallies *[verdict.Limits]tally, r *window.Row, run verdict.Run, from, to int) {
	for i := max(run.From, from); i < min(run.To, to); {
		part := verdict.Run{From: i, State: run.State, Limit: b.bindingOf(r, run, i)}
		for i < min(run.To, to) && b.bindingOf(r, run, i) == part.Limit {
			i++
		}
		part.To = i
		if part.Limit == run.Limit {
			part.Binding = run.Binding
		}
		tallies[part.Limit].add(r, part, from, to, b.zone(r))
	}
}

// hasGo reports whether a row may be worked on without consent in [from, to).
func hasGo(r *window.Row, from, to int) bool {
	return slices.ContainsFunc(r.Windows, func(w windowOf) bool {
		return w.State <= verdict.Go && w.From < to && w.To > from
	})
}

// most words the tally that takes most of the time.
func (b *builder) most(tallies [verdict.Limits]tally) string {
	best := verdict.None
	for l := verdict.None + 1; int(l) < verdict.Limits; l++ {
		if !closed(l) && tallies[l].slots > tallies[best].slots {
			best = l
		}
	}
	if t := tallies[best]; t.slots > 0 {
		if words := planWords[best.String()]; t.worst.Binding.Limit == verdict.None && words != "" {
			return words + " (" + b.inBoatOrder(t.zones) + ")"
		}
		return b.because(t.row, t.worst) + " (" + b.inBoatOrder(t.zones) + ")"
	}
	switch {
	case tallies[verdict.Away].slots > 0:
		return plainWords[verdict.Away]
	case tallies[verdict.Hours].slots > 0:
		return "no working hours"
	}
	return ""
}

// closed reports limits that say when people work, and nothing of the weather.
func closed(l verdict.Limit) bool {
	return l == verdict.Hours || l == verdict.Away || l == verdict.Daylight
}

func (t *tally) add(r *window.Row, run verdict.Run, from, to int, zone string) {
	n := min(run.To, to) - max(run.From, from)
	if n <= 0 {
		return
	}
	t.slots += n
	// A run with a figure is told rather than a longer one without.
	if told, had := run.Binding.Limit != verdict.None, t.worst.Binding.Limit != verdict.None; t.row == nil || told && !had || told == had && n > t.length {
		t.length, t.worst, t.row = n, run, r
	}
	if !slices.Contains(t.zones, zone) {
		t.zones = append(t.zones, zone)
	}
}
