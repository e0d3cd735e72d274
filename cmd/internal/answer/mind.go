package answer

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"dewgap/window"
	"dewgap/window/plan"
)

// mind is what is to be minded of other work on the boat when a step is done on a zone:
// the part of it that has its film, and films below; "" for nothing. More are films that
// will be on by then.
func (b *builder) mind(r *window.Row, by time.Time, more ...window.Film) string {
	words := []string{b.bareOnly(r)}
	if b.step(r).Do == "correct" {
		films := slices.DeleteFunc(window.FilmsBelow(b.Job, b.Classes, r.Zone, by), b.refuses)
		words = append(words, b.slurry(append(films, more...))...)
	}
	return joined(words...)
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
	if do := b.step(r).Do; do != "wash" && do != "strip wash" || d.Share <= 0 || d.Share >= 1 {
		return ""
	}
	for k := r.Step + 1; k < len(b.Job.Steps); k++ {
		s := b.Job.Steps[k]
		c, known := b.Classes.Class(s.With)
		if !known || !c.RainFree.Given || b.doneOf(r.Zone, k).Share <= 0 || !onZone(s, r.Zone) {
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

// slurry says whose films the slurry of compounding runs onto, zones alike together.
func (b *builder) slurry(films []window.Film) []string {
	zones, order := map[string][]string{}, []string{}
	for _, f := range films {
		when := putOr(b.Job.Steps[f.Step].Do) + " " + f.On.In(b.loc).Format(dayStamp)
		if zones[when] == nil {
			order = append(order, when)
		}
		if zone, _ := b.Part(f.Zone); !slices.Contains(zones[when], zone) {
			zones[when] = append(zones[when], zone)
		}
	}
	out := make([]string, len(order))
	for i, when := range order {
		out[i] = fmt.Sprintf("slurry would run onto %s, %s: mask it and rinse at once", Listed(zones[when]), when)
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

// runsOntoStripped says of work that lets water or slurry run which panels below it are
// stripped by then and wait for their film: what dries there would be sealed in. By is
// when the work begins, and of a plan, nil without one, what it has done by then counts.
func (b *builder) runsOntoStripped(r *window.Row, p *window.Planned, by int) string {
	if do := b.step(r).Do; !slices.Contains([]string{"wash", "strip wash", "correct", "decontaminate"}, do) {
		return ""
	}
	over := func(step, zone int) bool { // by the log, or all of its blocks by then
		if b.done(zone, step) {
			return true
		}
		some := false
		for _, y := range blocksOf(p) {
			if t := p.Tasks[y.Task]; t.Step == step && t.Zone == zone {
				if y.To > by {
					return false
				}
				some = true
			}
		}
		return some
	}
	var names []string
	for zone, below := range window.RunsOnto(b.Job, r.Zone) {
		if below && b.stripped(zone, over) {
			name, _ := b.Part(zone)
			names = append(names, name)
		}
	}
	if len(names) == 0 {
		return ""
	}
	return "its run-off reaches " + Listed(names) + ", stripped already: rinse that with clean water at once"
}

func blocksOf(p *window.Planned) []plan.Block {
	if p == nil {
		return nil
	}
	return p.Blocks
}

// stripped reports whether a zone is stripped and its film not on, by what is over.
func (b *builder) stripped(zone int, over func(step, zone int) bool) bool {
	bare := false
	for k, s := range b.Job.Steps {
		if !onZone(s, zone) {
			continue
		}
		if s.Do == "strip wash" {
			bare = over(k, zone)
		} else if c, known := b.Classes.Class(s.With); known && c.RainFree.Given && bare {
			return !over(k, zone) && b.doneOf(zone, k).Share <= 0
		}
	}
	return false
}

// joined puts sentences together, those that say something.
func joined(words ...string) string {
	return strings.Join(slices.DeleteFunc(words, func(s string) bool { return s == "" }), "; ")
}
