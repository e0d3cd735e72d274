package answer

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"dewgap/window"
	"dewgap/window/job"
	"dewgap/window/plan"
)

// mind is what is to be minded of other work on the boat when a step is done on a zone:
// the part of it that has its film, films below, and panels below that are washed for
// theirs; "" for nothing. More are films that will be on by then.
func (b *builder) mind(r *window.Row, by time.Time, clean []window.Clean, more ...window.Film) string {
	words := []string{b.bareOnly(r)}
	if b.step(r).Do == "correct" {
		films := slices.DeleteFunc(window.FilmsBelow(b.Job, b.Classes, r.Zone, by), b.refuses)
		words = append(words, b.below("slurry would run onto %s, %s: mask it and rinse at once", by, append(films, more...), clean)...)
	} else {
		words = append(words, b.below("its water would run over %s, %s: rinse that with clean water at once", by, nil, clean)...)
	}
	return joined(words...)
}

// cleanBelow are the panels that lie washed for their film and that a row's step soils.
func (b *builder) cleanBelow(r *window.Row, by time.Time) []window.Clean {
	return window.CleanBelow(b.Job, b.Classes, r.Step, r.Zone, by)
}

// stales says of a step whose panel is washed when that is too old today; "" where it lasts.
func (b *builder) stales(r *window.Row, today span) string {
	t, ok := window.StaleFrom(b.Job, b.Classes, r.Step, r.Zone)
	if !ok || !t.After(b.Now) || !t.Before(b.at(today.to)) {
		return ""
	}
	return "the wash is two days old at " + t.In(b.loc).Format(hourMinute) + ": from then on wash it once more first"
}

// refuses reports whether a film has not cured: then the work is refused for its sake, and
// that says more.
func (b *builder) refuses(f window.Film) bool {
	return slices.ContainsFunc(window.Curing(b.Result, b.Job, b.Classes, b.Now), func(x window.Film) bool {
		return x.Zone == f.Zone && x.Step == f.Step
	})
}

// bareOnly says of a wash that part of its zone has its film already: suds would take it off.
func (b *builder) bareOnly(r *window.Row) string {
	d := b.doneOf(r.Zone, r.Step)
	if do := b.step(r).Do; !washing(do) || d.Share <= 0 || d.Share >= 1 {
		return ""
	}
	for k := r.Step + 1; k < len(b.Job.Steps); k++ {
		s := b.Job.Steps[k]
		c, known := b.Classes.Class(s.With)
		if !known || !c.RainFree.Given || b.doneOf(r.Zone, k).Share <= 0 || !slices.Contains(s.On, r.Zone) {
			continue
		}
		part := "the part"
		if area := b.Job.Zones[r.Zone].AreaM2; area > 0 {
			part = "the " + plain(round(area*(1-d.Share), tenth)) + " m²"
		}
		return part + " not yet " + putOr(s.Do) + " only, no suds on the rest"
	}
	return ""
}

// below says of films and of panels that lie washed for theirs that a work by a moment
// would soil them, zones alike together.
func (b *builder) below(words string, by time.Time, films []window.Film, clean []window.Clean) []string {
	zones, order := map[string][]string{}, []string{}
	add := func(z int, when string) {
		if zones[when] == nil {
			order = append(order, when)
		}
		if zone, _ := b.Part(z); !slices.Contains(zones[when], zone) {
			zones[when] = append(zones[when], zone)
		}
	}
	for _, f := range films {
		add(f.Zone, putOr(b.Job.Steps[f.Step].Do)+" "+f.On.In(b.loc).Format(dayStamp))
	}
	for _, c := range clean {
		at := c.At.In(b.loc)
		when := at.Format(stamp)
		if job.DateOf(at) == job.DateOf(by.In(b.loc)) {
			when = at.Format(hourMinute)
		}
		add(c.Zone, "washed for its film "+when)
	}
	out := make([]string, len(order))
	for i, when := range order {
		out[i] = fmt.Sprintf(words, Listed(zones[when]), when)
	}
	return out
}

// filmsBefore are the films that a plan has put on below a block's zone by the time it
// begins.
func (b *builder) filmsBefore(p *window.Planned, x plan.Block) []window.Film {
	zone := p.Tasks[x.Task].Zone
	below := window.RunsOnto(b.Job, zone)
	var out []window.Film
	for _, y := range p.Blocks {
		t := p.Tasks[y.Task]
		if c := b.Result.Rows[t.Row].Class; below[t.Zone] && c.RainFree.Given && y.To <= x.From {
			out = append(out, window.Film{Step: t.Step, Zone: t.Zone, On: b.at(b.Result.From + y.To)})
		}
	}
	return out
}

// washedFirst says of a block before which its panel is washed once more what that wash runs
// over: panels below that lie washed for their film by then. "" for nothing.
func (b *builder) washedFirst(p *window.Planned, x plan.Block, out *PlanBlock) string {
	zone := p.Tasks[x.Task].Zone
	if out.Do == "correct" || !x.Rewash && out.StaleWash == nil && out.RainBefore == nil {
		return "" // slurry says more than water
	}
	var clean []window.Clean
	for s, step := range b.Job.Steps {
		if washing(step.Do) && slices.Contains(step.On, zone) {
			clean = window.CleanBelow(b.Job, b.Classes, s, zone, out.From)
			break
		}
	}
	for below, reached := range window.RunsOnto(b.Job, zone) {
		if c, ok := b.cleanIn(p, below, x.From); reached && ok {
			clean = append(clean, c)
		}
	}
	return joined(b.below("the wash before it runs over %s, %s: rinse that with clean water at once", out.From, nil, clean)...)
}

// sandFirst says of a coat that goes onto one that is sanded that this comes first, and
// whether the block's hours have room for it: where no area is known nobody reckons it.
func (b *builder) sandFirst(t window.PlanTask) string {
	if t.Coat < 2 || !b.Job.Steps[t.Step].Sand {
		return ""
	}
	words := fmt.Sprintf("sand coat %d first and wipe the dust off", t.Coat-1)
	if t.AreaM2 <= 0 {
		return words + ": no area is known, and no time for it is in these hours"
	}
	return words + ", within these hours"
}

func washing(do string) bool { return do == "wash" || do == "strip wash" }

// cleanIn is the wash that a plan has on a zone before a slot, where the film that it is for
// comes later.
func (b *builder) cleanIn(p *window.Planned, zone, slot int) (c window.Clean, ok bool) {
	film := false
	for _, y := range p.Blocks {
		t := p.Tasks[y.Task]
		if t.Zone != zone {
			continue
		}
		switch given := b.Result.Rows[t.Row].Class.RainFree.Given; {
		case given && y.From >= slot:
			film = true
		case given:
			ok = false
		case washing(b.Job.Steps[t.Step].Do) && y.To <= slot:
			c, ok = window.Clean{Step: t.Step, Zone: zone, At: b.at(b.Result.From + y.To)}, true
		}
	}
	return c, ok && film
}

// joined puts sentences together, those that say something.
func joined(words ...string) string {
	return strings.Join(slices.DeleteFunc(words, func(s string) bool { return s == "" }), "; ")
}
