package answer

import (
	"fmt"
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
		if x.RainAt == nil && (f.Until.IsZero() || b.Now.Before(f.Until)) {
			x.RainIn = b.futureRain(f)
		}
		out = append(out, x)
	}
	return out
}

// tellRain is the share of the futures from which their rain is worth a cover at hand,
// though the median has none (common practice).
const tellRain = 0.2

// futureRain counts the futures that bring rain onto a film that their median leaves dry, nil
// where they are too few to tell of. A roof over the film counts as one.
func (b *builder) futureRain(f window.Film) *RainIn {
	until := f.Until
	if until.IsZero() {
		until = b.Result.Grid.At(b.Result.To)
	}
	open := func(t time.Time) bool { return b.Job.ZoneAt(f.Zone, t).Shelter == boat.Open }
	in, of := b.Result.RainIn(open, b.Now, until)
	if of == 0 || float64(in) < tellRain*float64(of) {
		return nil
	}
	kinds := "futures"
	if b.Result.Members > 1 {
		kinds = "forecasts"
	}
	return &RainIn{In: in, Of: of, Kinds: kinds}
}

// KeepDryLines say in words what is to be kept dry and what rain would do to it, zones
// that were done alike together.
func KeepDryLines(list []KeepDry, now time.Time) []string {
	zones, order := map[string][]string{}, []string{}
	for _, x := range list {
		line := keepDryLine(x, now)
		if zones[line] == nil {
			order = append(order, line)
		}
		zones[line] = append(zones[line], x.Zone)
	}
	out := make([]string, len(order))
	for i, line := range order {
		out[i] = "Keep " + Listed(zones[line]) + " " + line
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

// FreeOfDew says until when no dew may form on a film.
func FreeOfDew(until string) string { return "free of dew until " + until }

func keepDryLine(x KeepDry, now time.Time) string {
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
	switch {
	case x.RainAt == nil && x.RainIn == nil:
		return line
	case x.RainAt == nil:
		before := "before then"
		if x.Until == nil {
			before = "in its hours"
		}
		return line + fmt.Sprintf(" Rain in %d of %d %s %s: have a cover at hand.", x.RainIn.In, x.RainIn.Of, x.RainIn.Kinds, before)
	}
	from := " Rain from " + when(*x.RainAt)
	switch now := !x.RainAt.After(now); {
	case now && x.Spoils:
		return line + " It rains now, and rain spoils it: cover it at once."
	case now:
		return line + " It rains now, and rain may mark it: cover it or dry it at once, and look at it in the sun."
	case x.Spoils:
		return line + from + " would spoil it: cover it in time."
	}
	return line + from + " may mark it: cover it in time, else dry it at once and look at it in the sun."
}
