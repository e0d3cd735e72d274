package feed

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/products"
)

// Job is what a job's calendar is made of.
type Job struct {
	Versions []answer.PlanVersion // of its plan, the oldest first; the last holds
	Classes  *products.Set        // for how long a film has to stay dry; nil: not told
	Refresh  time.Duration        // how often programs should look again; 0: not said
	// Prose puts a sentence in SI into the person's units, for the descriptions; nil
	// leaves it as it is.
	Prose func(string) string
}

// prose is lines in the person's units.
func (j Job) prose(lines string) string {
	if j.Prose == nil {
		return lines
	}
	list := strings.Split(lines, "\n")
	for i := range list {
		list[i] = j.Prose(list[i])
	}
	return strings.Join(list, "\n")
}

// keepPast is how long the calendar holds what is over or was called off.
const keepPast = 30 * 24 * time.Hour

// Of makes a job's calendar of the versions of its plan. An entry is one stint of work (see
// [answer.Stints]), or the hours for which the films of some blocks have to stay dry; what is
// planned goes by job, boat, step, zone, coat and part, and a stint of several panels, as
// several films with the same hours, by the name of one of them. An entry counts the versions in which its hours, its people, its
// product, its state or its panels changed. What the next version leaves out is called off,
// unless it had begun before that version was made. Without a version the calendar is empty
// and has the zero stamp, which [Calendar] refuses.
func Of(j Job) Input {
	if len(j.Versions) == 0 {
		return Input{}
	}
	last := j.Versions[len(j.Versions)-1]
	in := Input{Name: title(last.Of), About: about(last), Stamp: last.At, Refresh: j.Refresh}
	entries := map[string]*entry{}
	var live []booked
	for i := range j.Versions {
		live = follow(live, &j.Versions[i])
		fold(entries, j.Versions[i].At, j.drafts(live))
	}
	for _, e := range entries {
		if e.to.After(last.At.Add(-keepPast)) {
			in.Events = append(in.Events, e.event())
		}
	}
	slices.SortFunc(in.Events, func(a, b Event) int {
		return cmp.Or(a.From.Compare(b.From), a.To.Compare(b.To), cmp.Compare(a.UID, b.UID))
	})
	return in
}

// booked is a block under the name that it goes by in every version, with the one that it is
// of: that in force, or the last that had it where it had begun by then.
type booked struct {
	answer.PlanBlock
	words []string
	of    *answer.PlanVersion
}

// uid names an entry of it, of its work or of the hours after it.
func (w *booked) uid(what string) string { return NewUID(append(slices.Clip(w.words), what)...) }

// follow is what there is to be told once a version holds: its blocks, and those that had
// begun before it was made and are not planned anew; in order of time.
func follow(before []booked, v *answer.PlanVersion) []booked {
	var out []booked
	seen := map[string]int{}
	if v.Plan != nil {
		for _, b := range v.Plan.Blocks {
			words := []string{v.Of.Job, v.Of.Boat, b.Step, b.Zone, strconv.Itoa(b.Coat), strconv.Itoa(b.Part)}
			if b.Redo {
				words = append(words, "redo")
			}
			key := NewUID(words...)
			if seen[key]++; seen[key] > 1 {
				words = append(words, "no. "+strconv.Itoa(seen[key]))
				seen[NewUID(words...)] = 1
			}
			out = append(out, booked{b, words, v})
		}
	}
	for _, w := range before {
		if w.From.Before(v.At) && seen[NewUID(w.words...)] == 0 {
			out = append(out, w)
		}
	}
	slices.SortStableFunc(out, func(a, b booked) int { return a.From.Compare(b.From) })
	return out
}

// draft is an entry as one version of the plan has it.
type draft struct {
	uid       string
	from, to  time.Time
	summary   string
	text      string
	place     string
	tentative bool
	free      bool
	weighty   string // what else makes a change in earnest: people, product, the panels of a stint
}

// differs reports a change in earnest.
func (d draft) differs(o draft) bool {
	return !d.from.Equal(o.from) || !d.to.Equal(o.to) || d.summary != o.summary || d.place != o.place ||
		d.tentative != o.tentative || d.weighty != o.weighty
}

// entry is one through all versions.
type entry struct {
	draft
	sequence  int
	changed   time.Time
	cancelled bool
}

func (e *entry) event() Event {
	out := Event{
		UID: e.uid, Sequence: e.sequence, Changed: e.changed, From: e.from, To: e.to, Summary: e.summary,
		Description: e.text, Location: e.place, Tentative: e.tentative, Cancelled: e.cancelled, Free: e.free,
	}
	if e.cancelled {
		out.Summary = "Called off: " + e.summary
		out.Description = "The plan no longer has it at this time."
	}
	return out
}

// fold brings what there is to be told from a moment on into the entries.
func fold(entries map[string]*entry, at time.Time, drafts []draft) {
	in := map[string]bool{}
	for _, d := range drafts {
		in[d.uid] = true
		e, had := entries[d.uid]
		switch {
		case !had:
			entries[d.uid] = &entry{draft: d, changed: at}
		case e.cancelled || e.differs(d):
			entries[d.uid] = &entry{draft: d, sequence: e.sequence + 1, changed: at}
		default:
			e.draft = d // words may have changed
		}
	}
	for uid, e := range entries {
		if !in[uid] && !e.cancelled {
			e.cancelled, e.changed = true, at
			e.sequence++
		}
	}
}

// drafts are the entries of what there is to be told.
func (j Job) drafts(live []booked) []draft {
	var out []draft
	for _, r := range answer.Gather(live, func(w *booked) *answer.PlanBlock { return &w.PlanBlock }) {
		out = append(out, j.work(r))
	}
	var films []film
	for i := range live {
		if f, ok := j.dry(&live[i]); ok {
			films = append(films, f)
		}
	}
	return append(out, together(films)...)
}

// work is the entry of a stint. Of several panels it goes by the least of their names,
// whatever the order in which they are washed.
func (j Job) work(r []booked) draft {
	var all answer.Stint
	names := make([]string, len(r))
	for i := range r {
		all, names[i] = append(all, r[i].PlanBlock), r[i].uid("work")
	}
	b, of := all.One(), r[len(r)-1].of
	waits := open(of, &b)
	d := draft{
		uid: slices.Min(names), from: b.From, to: b.To, place: of.Of.Place.Name, tentative: waits != "",
		summary: boatPrefix(of.Of) + b.Step + ", " + b.Zone + partOf(&b), weighty: b.Product + " " + people(b.People), text: workText(of, &b),
	}
	if len(r) > 1 {
		d.summary = fmt.Sprintf("%s%s, %d zones", boatPrefix(of.Of), b.Step, len(r))
		d.text = stintText(of, all)
		for _, x := range all {
			d.weighty += "\n" + x.From.UTC().Format(time.RFC3339) + " " + x.Zone
		}
	}
	if d.tentative {
		d.summary += " (" + waits + ")"
	}
	d.text = j.prose(d.text)
	return d
}

// dry is the film of a block, with the hours for which it has to stay dry after it; ok is
// false where it has none.
func (j Job) dry(w *booked) (film, bool) {
	b, v := &w.PlanBlock, w.of
	if j.Classes == nil {
		return film{}, false
	}
	c, ok := j.Classes.Class(b.Product)
	if !ok {
		return film{}, false
	}
	began := b.WorkTo // the clock runs from the last section
	if began.IsZero() {
		began = b.To
	}
	slow := 1.0
	if c.Equivalent {
		slow = slowed(c, b)
	}
	ends := func(k products.Clock) time.Time {
		return began.Add(time.Duration(math.Ceil(usual(k)*slow*60)) * time.Minute)
	}
	dry, dew := ends(c.RainFree), ends(c.DewFree)
	if dry.Before(b.To) && c.RainFree.Given {
		dry = b.To // it is not wiped off before
	}
	said := func(t time.Time) string { return t.In(b.To.Location()).Format("Mon 15:04") }
	until, words := dry, answer.DryUntil(said(dry), "")
	switch {
	case !c.RainFree.Given:
		until, words = dew, answer.FreeOfDew(said(dew))
	case dew.After(dry):
		until, words = dew, answer.DryUntil(said(dry), said(dew))
	}
	if !until.After(b.To) {
		return film{}, false
	}
	return film{draft{
		uid: w.uid("dry"), from: b.To, to: until, place: v.Of.Place.Name, free: true, weighty: b.Product,
		tentative: open(v, b) != "",
		text:      j.prose(dryText(c, slow*max(usual(c.RainFree), usual(c.DewFree)))),
	}, boatPrefix(v.Of), b.Zone, words + " (" + b.Step + ")"}, true
}

// usual is the hours of a clock's default band, 0 where it has none.
func usual(c products.Clock) float64 {
	if !c.Given {
		return 0
	}
	return c.Default
}

// slowed is how much longer than at 20 °C a clock of equivalent hours takes on the
// coldest of the block's panel, at least 1: 2^((20−T)/k), k the kelvin that halve it.
func slowed(c products.Class, b *answer.PlanBlock) float64 {
	if c.HalvesPerK <= 0 || b.SurfaceC == nil {
		return 1
	}
	return max(1, math.Exp2((20-b.SurfaceC[0])/c.HalvesPerK))
}
