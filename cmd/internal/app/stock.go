package app

import (
	"context"
	"fmt"
	"slices"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/window"
	"dewgap/window/job"
)

// takeStock has what is spoiled count as done no longer, in every answer in the same
// way, and says so.
func (g *gathered) takeStock(ctx context.Context) error {
	in, err := g.moveInput(g.past.planned, nil, nil)
	if err != nil || len(in.Worked)+len(in.Bad) == 0 {
		return err
	}
	if g.stock, err = aside(ctx, func() (*window.Stock, error) { return window.TakeStock(in) }); err != nil {
		return judging(err)
	}
	g.input.Job, g.spoiled = g.stock.Job, append(stockWords(g.stock, g.input.Location), lookWords(g.stock, g.past.looked, g.input.Location)...)
	return nil
}

// moveInput is what the fate of work depends on, with what is told besides what the
// book knows.
func (g *gathered) moveInput(old []answer.PlanBlock, rain []window.Rain, left []LeftWork) (window.MoveInput, error) {
	in := window.MoveInput{Input: g.input, Rain: g.past.rains(rain, g.facts.Forecast.Start)}
	in.Job = g.given
	if g.facts.Result != nil {
		in.Salted = g.facts.Result.Salted
	}
	for i, x := range g.past.redo {
		z, okZone := in.Job.Zone(x.Zone)
		s, okStep := in.Job.Step(x.Step)
		if okZone && okStep {
			in.Bad = append(in.Bad, window.Bad{Step: s, Zone: z, At: x.At, Share: g.past.bad[i]})
		}
	}
	in.Parts = g.past.parts(in.Job)
	var err error
	in.Worked, err = workedOf(in.Job, old, g.past.heard.Begun, append(g.past.leftStill(in.Job, left), left...))
	return in, err
}

// parts is the work as the book has it, part by part, where the job knows the last entry
// alone. An entry of no more than the one before it is of work that was begun anew.
func (p *past) parts(j *job.Job) []window.Worked {
	var out []window.Worked
	on := map[[2]int]float64{}
	for _, d := range p.done {
		z, okZone := j.Zone(d.Zone)
		s, okStep := j.Step(d.Step)
		bad := func(x redo) bool { return x.Step == d.Step && x.Zone == d.Zone && !d.At.After(x.At) }
		if !okZone || !okStep || slices.ContainsFunc(p.redo, bad) {
			continue
		}
		step, of := j.Steps[s], [2]int{s, z}
		share := window.CoveredBy(step, step.Whole(d.Share))
		had := on[of]
		if share <= had {
			had = 0
			out = slices.DeleteFunc(out, func(w window.Worked) bool { return w.Step == s && w.Zone == z })
		}
		on[of], out = share, append(out, window.Worked{Step: s, Zone: z, To: d.At, Share: share - had})
	}
	return out
}

// leftStill is how work was left as earlier answers were told, of what nothing newer is
// told and the job still has.
func (p *past) leftStill(j *job.Job, newer []LeftWork) []LeftWork {
	var out []LeftWork
	for _, l := range p.heard.Left {
		same := func(x LeftWork) bool { return x.Step == l.Step && x.Zone == l.Zone }
		if _, err := workedAs(j, l); err == nil && !slices.ContainsFunc(newer, same) {
			out = append(out, l)
		}
	}
	return out
}

// stockWords say what counts as done no longer, and until when.
func stockWords(s *window.Stock, loc *time.Location) []string {
	var out []string
	say := func(format string, args ...any) {
		if line := fmt.Sprintf(format, args...); !slices.Contains(out, line) {
			out = append(out, line)
		}
	}
	for _, f := range s.Spoiled() {
		step, zone := s.Given.Steps[f.Step].Name, s.Given.Zones[f.Zone].Name
		switch {
		case f.Fate == window.Redo && !window.Stripped(s.Given.Steps[f.Step].Do):
			say("the rain of %s came too soon after the %s on %s: %s%s comes again there, until it is logged again; "+
				"to sand or take off what is spoiled is not in the plan", s.Rain[f.Rain].From.In(loc).Format(stamp), step, zone, shareWords(f.Share), step)
		case f.Fate == window.Redo:
			say("the rain of %s came too soon after the %s on %s: %sstrip wash and %s come first there, until they are logged again",
				s.Rain[f.Rain].From.In(loc).Format(stamp), step, zone, shareWords(f.Share), step)
		case f.Fate == window.Rewash && s.Washes(f.Zone) && !doneWhole(s, f):
			say("the rain of %s wetted %s in the middle of the %s: the rest of that comes first, then it is washed and dried anew, until that is logged",
				s.Rain[f.Rain].From.In(loc).Format(stamp), zone, step)
		case f.Fate == window.Rewash && s.Washes(f.Zone):
			say("the rain of %s wetted %s after the %s: it is washed and dried anew before anything else, until that is logged",
				s.Rain[f.Rain].From.In(loc).Format(stamp), zone, step)
		}
	}
	out = append(out, loggedWords(s)...)
	for _, u := range s.Undone {
		step, zone := s.Given.Steps[u.Step], s.Given.Zones[u.Zone].Name
		switch {
		case !u.Whole || u.Fate != window.Redo || step.Do == "strip wash":
		case u.Over:
			say("the %s on %s comes again with what was found bad under it", step.Name, zone)
		case !u.Film:
			say("the %s on %s was found in need of doing again", step.Name, zone)
		case !window.Stripped(step.Do):
			say("the %s on %s was found in need of doing again: to sand or take off what is spoiled is not in the plan", step.Name, zone)
		default:
			say("the %s on %s was found in need of doing again: the strip wash comes first", step.Name, zone)
		}
	}
	return out
}

// lookWords ask for a look at films that rain reached before their hours were over and that
// may have stood it, until somebody has looked since.
func lookWords(s *window.Stock, looked []redo, loc *time.Location) []string {
	var out []string
	for _, f := range s.Fates {
		if f.Fate != window.Inspect || f.Rain < 0 || f.Rain >= len(s.Rain) {
			continue
		}
		step, zone, rain := s.Given.Steps[f.Step].Name, s.Given.Zones[f.Zone].Name, s.Rain[f.Rain].From
		if slices.ContainsFunc(looked, func(x redo) bool { return x.Step == step && x.Zone == zone && x.At.After(rain) }) {
			continue
		}
		reached := "reached"
		if f.Driven {
			reached = "may have been driven onto"
		}
		line := fmt.Sprintf("the rain of %s %s the %s on %s before its hours were over: look at it in the sun, and log what you find (outcome)",
			rain.In(loc).Format(stamp), reached, step, zone)
		if !slices.Contains(out, line) {
			out = append(out, line)
		}
	}
	return out
}

// doneWhole reports whether a wash that rain asks for comes at once: of work that is done in
// part on its zone the rest comes before it.
func doneWhole(s *window.Stock, f window.ZoneFate) bool {
	step, done := s.Given.Steps[f.Step], s.Given.Zones[f.Zone].Done
	d, ok := done[step.Name]
	if !ok {
		d = done[step.Do]
	}
	return d.Share >= 1 || step.Do == "strip wash" || step.Do == "wipe down" // those are done again themselves
}

// loggedWords say what the log itself has count, or count no longer, whatever the
// weather was.
func loggedWords(s *window.Stock) []string {
	var out []string
	for _, u := range s.Early {
		line := fmt.Sprintf("the %s on %s came before the last machine work there: it is asked again, until it is logged",
			s.Given.Steps[u.Step].Name, s.Given.Zones[u.Zone].Name)
		if window.Covering(s.Given.Steps[u.Step]) {
			line += "; if the machine was at it first, log that work with its time"
		}
		out = append(out, line)
	}
	for _, u := range s.Stale {
		out = append(out, fmt.Sprintf("the %s on %s is more than two days old: it is asked again before anything else, until it is logged",
			s.Given.Steps[u.Step].Name, s.Given.Zones[u.Zone].Name))
	}
	return append(out, takenWords(s)...)
}

// takenWords say what is taken as done, with the zones of which the same is said together.
func takenWords(s *window.Stock) []string {
	type under struct{ zone, by int }
	steps, zones := map[under][]string{}, map[string][]string{}
	var order []under
	for _, t := range s.Taken {
		if t.Logged > 0 || stillBad(s, t) {
			continue
		}
		of := under{t.Zone, t.By}
		if steps[of] == nil {
			order = append(order, of)
		}
		steps[of] = append(steps[of], s.Given.Steps[t.Step].Name)
	}
	var lines []string
	for _, of := range order {
		line := fmt.Sprintf(": %s is logged there; taken as done too: %s. If that is wrong, take the entry back",
			s.Given.Steps[of.by].Name, answer.Listed(steps[of]))
		if zones[line] == nil {
			lines = append(lines, line)
		}
		zones[line] = append(zones[line], s.Given.Zones[of.zone].Name)
	}
	for i, line := range lines {
		lines[i] = answer.Listed(zones[line]) + line
	}
	return append(lines, partlyWords(s)...)
}

// stillBad reports whether it is said of work taken as done in part that it was found in
// need of doing again: the one would deny the other.
func stillBad(s *window.Stock, t window.Taken) bool {
	return slices.ContainsFunc(s.Undone, func(u window.Undone) bool {
		return u.Step == t.Step && u.Zone == t.Zone && u.Whole && u.Fate == window.Redo && s.Given.Steps[u.Step].Do != "strip wash"
	})
}

// partlyWords say of work that is logged on a part of what a later step covers that the rest
// is not asked any longer, and what to do where it should be.
func partlyWords(s *window.Stock) []string {
	type pair struct{ step, by int }
	rests := map[pair][]string{}
	var order []pair
	for _, t := range s.Taken {
		if t.Logged == 0 {
			continue
		}
		z, of, share := s.Given.Zones[t.Zone], pair{t.Step, t.By}, t.Over-t.Logged
		rest := fmt.Sprintf("%.0f %% of %s", 100*share, z.Name)
		if z.AreaM2 > 0 {
			rest += fmt.Sprintf(" (%.1f m²)", z.AreaM2*share)
		}
		if rests[of] == nil {
			order = append(order, of)
		}
		rests[of] = append(rests[of], rest)
	}
	var out []string
	for _, of := range order {
		step, by := s.Given.Steps[of.step], s.Given.Steps[of.by].Name
		line := fmt.Sprintf("%s is logged on a part alone of what %s is logged on: by that %s went without it, and the rest is not asked any longer. If it was done there, log it with its time",
			step.Name, by, answer.Listed(rests[of]))
		if window.Covering(step) {
			line += fmt.Sprintf("; if it still has to be, log that it was found bad (log outcome, redo): then it comes again, and %s after it", by)
		}
		out = append(out, line)
	}
	return out
}

// shareWords are a share of a zone, "" for all of it.
func shareWords(share float64) string {
	if share > 0.995 {
		return ""
	}
	return fmt.Sprintf("%.0f %% of it is spoiled; ", 100*share)
}
