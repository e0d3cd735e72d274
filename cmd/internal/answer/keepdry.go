package answer

import (
	"fmt"
	"strings"
	"time"

	"dewgap/window"
	"dewgap/window/boat"
)

// stepDone reports whether a step is done on all zones on which it is asked.
func (b *builder) stepDone(step int) bool {
	asked := false
	for i := range b.Result.Rows {
		if r := &b.Result.Rows[i]; r.Step == step {
			if asked = true; !b.done(r.Zone, r.Step) {
				return false
			}
		}
	}
	return asked
}

// allDone reports whether the job has work and nothing of it is left.
func (b *builder) allDone() bool {
	for i := range b.Result.Rows {
		if r := &b.Result.Rows[i]; !b.done(r.Zone, r.Step) {
			return false
		}
	}
	return len(b.Result.Rows) > 0
}

// keepDry lists the films that still want to stay dry.
func (b *builder) keepDry() []KeepDry {
	var out []KeepDry
	pointer := func(t time.Time) *time.Time {
		if t.IsZero() {
			return nil
		}
		t = b.moment(t)
		return &t
	}
	for _, f := range window.Curing(b.Result, b.Job, b.Classes, b.Now) {
		zone, _ := b.Part(f.Zone)
		x := KeepDry{
			Step: b.Job.Steps[f.Step].Name, Zone: zone, On: b.moment(f.On), Hard: pointer(f.Hard), Until: pointer(f.Until),
			DewUntil: pointer(f.Dew), RainAt: pointer(f.WetAt), Spoils: f.Fate == window.Redo,
		}
		x.RainIn, x.DewIn = b.futureRain(f), b.futureDew(f, pointer)
		out = append(out, x)
	}
	return out
}

// tellWet is the share of the futures from which their rain or dew is worth a cover at
// hand, though the median has none (common practice).
const tellWet = 0.2

// futureRain counts the futures that bring rain onto a film that their median leaves dry, or
// wets later; nil where they are too few to tell of. A roof over the film counts as one.
func (b *builder) futureRain(f window.Film) *RainIn {
	until := f.Until
	switch {
	case !f.WetAt.IsZero():
		until = f.WetAt
	case until.IsZero():
		until = b.Result.Grid.At(b.Result.To)
	}
	open := func(t time.Time) bool { return b.Job.ZoneAt(f.Zone, t).Shelter == boat.Open }
	return b.someOf(b.Result.RainIn(open, b.Now, until))
}

// futureDew counts the futures that bring dew onto a film while its product minds it.
func (b *builder) futureDew(f window.Film, pointer func(time.Time) *time.Time) *DewIn {
	in := b.someOf(b.Result.DewIn(f.Zone, b.Now, f.DewFree))
	if in == nil {
		return nil
	}
	x := &DewIn{RainIn: *in}
	if f.DewFree.Before(b.Result.Grid.At(b.Result.To)) {
		x.Before = pointer(f.DewFree)
	}
	return x
}

// someOf is so many of the futures, nil where they are too few to tell of.
func (b *builder) someOf(in, of int) *RainIn {
	if of == 0 || float64(in) < tellWet*float64(of) {
		return nil
	}
	return &RainIn{In: in, Of: of, Kinds: b.kinds()}
}

// kinds is what the members are called: forecasts of their own, or one that is varied.
func (b *builder) kinds() string {
	if b.Result.Members > 1 {
		return "forecasts"
	}
	return "futures"
}

// alikeFilms are films of which the same is to be told, but for how many futures wet them.
type alikeFilms struct {
	KeepDry
	zones      []string
	rains, dew counted
}

// counted is the least and the most of some numbers.
type counted struct{ least, most int }

func (c *counted) add(x *RainIn) {
	if c.most == 0 || x.In < c.least {
		c.least = x.In
	}
	c.most = max(c.most, x.In)
}

// of says so: the most of them, for whoever reads it covers all.
func (c counted) of(x RainIn) string {
	upTo := ""
	if c.least < c.most {
		upTo = "up to "
	}
	return fmt.Sprintf("in %s%d of %d %s", upTo, c.most, x.Of, x.Kinds)
}

// KeepDryLines say in words what is to be kept dry and what rain or dew would do to it,
// zones that were done alike together.
func KeepDryLines(list []KeepDry, now time.Time) []string {
	var groups []*alikeFilms
	place := map[string]*alikeFilms{}
	for _, x := range list {
		key := (&alikeFilms{KeepDry: x}).line(now)
		g, known := place[key]
		if !known {
			g = &alikeFilms{KeepDry: x}
			place[key], groups = g, append(groups, g)
		}
		g.zones = append(g.zones, x.Zone)
		if x.RainIn != nil {
			g.rains.add(x.RainIn)
		}
		if x.DewIn != nil {
			g.dew.add(&x.DewIn.RainIn)
		}
	}
	out := make([]string, len(groups))
	for i, g := range groups {
		out[i] = "Keep " + Listed(g.zones) + " " + g.line(now)
	}
	return out
}

// DryUntil says until when a film is to be kept dry, no rain and no other water on it, and
// until when no dew may form on it, "" where that is no longer.
func DryUntil(dry, dew string) string {
	line := "dry until " + dry
	if dew != "" {
		line += ", and " + FreeOfDew(dew)
	}
	return line
}

// FreeOfDew says until when no dew may form on a film, nor may it be washed.
func FreeOfDew(until string) string { return "free of dew and wash water until " + until }

func (x *alikeFilms) line(now time.Time) string {
	when := func(t time.Time) string {
		if y, m, d := now.Date(); t.Year() == y && t.Month() == m && t.Day() == d {
			return t.Format(hourMinute)
		}
		return t.Format(stamp)
	}
	line := "dry for longer than this forecast reaches"
	switch {
	case x.Until != nil && x.DewUntil != nil && !now.Before(*x.Until):
		line = FreeOfDew(when(*x.DewUntil))
	case x.Until != nil && x.DewUntil != nil:
		line = DryUntil(when(*x.Until), when(*x.DewUntil))
	case x.Until != nil:
		line = DryUntil(when(*x.Until), "")
	}
	line += fmt.Sprintf(" (%s, %s).", x.Step, when(x.On))
	if x.RainAt == nil {
		return line + x.chances(when)
	}
	from := " Rain from " + when(*x.RainAt)
	switch now := !x.RainAt.After(now); { // who stands beside it sees whether it rains, and may have logged that it is over
	case now && x.Spoils:
		return line + " The forecast has rain now, and rain spoils it: cover it at once."
	case now:
		return line + " The forecast has rain now, and rain may mark it: cover it or dry it at once, and look at it in the sun."
	case x.Spoils:
		from += " would spoil it: cover it in time."
	default:
		from += " may mark it: cover it in time, else dry it at once and look at it in the sun."
	}
	return line + from + x.chances(when)
}

// chances tell of the rain and the dew that some of the futures bring onto a film.
func (x *alikeFilms) chances(when func(time.Time) string) string {
	last := x.Until // the last moment that was named before
	if x.DewUntil != nil {
		last = x.DewUntil
	}
	if x.RainAt != nil {
		last = nil
	}
	before := func(t *time.Time) string {
		switch {
		case t == nil:
			return "in its hours"
		case last != nil && t.Equal(*last):
			return "before then"
		}
		return "before " + when(*t)
	}
	var chances []string
	if x.RainIn != nil {
		until := x.Until
		if x.RainAt != nil {
			until = x.RainAt
		}
		chances = append(chances, "rain "+x.rains.of(*x.RainIn)+" "+before(until))
	}
	if d := x.DewIn; d != nil {
		chances = append(chances, "dew "+x.dew.of(d.RainIn)+" "+before(d.Before))
	}
	if len(chances) == 0 {
		return ""
	}
	return " " + Capital(strings.Join(chances, ", ")) + ": have a cover at hand."
}
