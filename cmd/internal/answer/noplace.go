package answer

import (
	"fmt"
	"slices"

	"dewgap/window"
	"dewgap/window/plan"
	"dewgap/window/verdict"
)

// inHours says in how many of the crew's hours a limit stands against a refused task. Of
// what no hour changes it says that alone, and for what the task asks.
func (b *builder) inHours(p *window.Planned, what string) string {
	r := p.Refusal
	t := p.Tasks[r.Task]
	class, ok := b.Classes.Class(b.Job.Steps[t.Step].With)
	switch {
	case r.Limit == verdict.Finish.String() && ok:
		return unsuited(class, &b.Job.Zones[t.Zone])
	case r.Limit == verdict.Reach.String() && b.beyondReach(t.Zone) != plainWords[verdict.Reach]:
		return b.beyondReach(t.Zone)
	case r.Share >= whole && (r.Limit == verdict.Finish.String() || r.Limit == verdict.Water.String()):
		return what
	case r.Share >= whole:
		return what + " in all of the crew's hours"
	}
	return fmt.Sprintf("%s in %.0f %% of the crew's hours%s", what, 100*r.Share, besides(p, r))
}

// behind names what leaves a refused task no room: the step before it, or a film that it
// would wet; what says so of nothing in particular.
func (b *builder) behind(p *window.Planned, what string) string {
	t := p.Tasks[p.Refusal.Task]
	film := b.keptDry(&b.Result.Rows[t.Row])
	switch behind := p.Refusal.Behind; {
	case len(behind) > 0:
		x := p.Tasks[behind[0]]
		if x.Step == t.Step && x.Zone == t.Zone {
			return what // a coat or a part of its own
		}
		return b.Job.Steps[x.Step].Name + " on " + b.Job.Zones[x.Zone].Name + ", which must come before it, leaves no room"
	case film != plainWords[verdict.Order]:
		return film
	}
	return what
}

// whole is a share that is shown as 100 %.
const whole = 0.995

// besides names what stands most in the way of a task in the hours that the refusal's own
// limit leaves open: lamps alone, say, help nobody whose panel is too cold by day. It is ""
// where that limit takes all of them.
func besides(p *window.Planned, r *plan.Refusal) string {
	if r.Task >= len(p.Input.Tasks) || len(p.Input.Day) < len(p.Input.Tasks[r.Task].Limit) {
		return "" // a plan without what was searched
	}
	task := &p.Input.Tasks[r.Task]
	var counts [verdict.Limits]int
	open := 0
	for s, l := range task.Limit {
		d := &p.Input.Days[p.Input.Day[s]]
		if s < d.Open || s >= d.Close || d.People < 1 {
			continue
		}
		open++
		if !task.State[s].Workable() && l.String() != r.Limit {
			counts[l]++
		}
	}
	most := verdict.None
	for l := range counts {
		if counts[l] > counts[most] {
			most = verdict.Limit(l)
		}
	}
	words := planWords[most.String()]
	if most == verdict.Order { // of an hour, that is the film which the work would wet
		words = "a film would be wetted too soon"
	}
	if most == verdict.None || words == "" {
		return ""
	}
	return fmt.Sprintf(", and %s in %.0f %%", words, 100*float64(counts[most])/float64(open))
}

// fewPolishers says that so many are too few.
func fewPolishers(n int) string {
	if n == 1 {
		return "the one polisher does not suffice"
	}
	return fmt.Sprintf("the %d polishers do not suffice", n)
}

// blockTakes says how long the shortest block of a refused task takes, and of what
// that is made where it is not the whole work alone.
func blockTakes(p *window.Planned, r *plan.Refusal) string {
	t := p.Tasks[r.Task]
	haze := 0
	if tail := p.Input.Tasks[r.Task].Tail; len(tail) > 0 {
		haze = int(slices.Min(tail))
	}
	text := "the block takes " + clocked(r.Needed)
	if t.Parts <= 1 && haze == 0 {
		return text
	}
	text += ": " + clocked(r.Needed-haze)
	if t.Parts > 1 {
		text += fmt.Sprintf(" for part %d of %d", t.Part, t.Parts)
	} else {
		text += " of work"
	}
	if haze > 0 {
		text += ", and " + clocked(haze) + " until it is wiped off"
	}
	return text
}

// clocked words slots as a window's hours are: "1 h 10".
func clocked(slots int) string { return duration(float64(slots * minutesASlot)) }
