package app

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/book"
	"dewgap/forecast"
	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
)

// How far back readings count: what was measured a day and a half, salt and spray
// two days.
const (
	readingsLast = 36 * time.Hour
	saltLasts    = 48 * time.Hour
	// sameBerthKM is how far apart two places may lie of which the readings of one
	// still tell of the other.
	sameBerthKM = 2
)

// past is what the book knows of a job at some moment.
type past struct {
	done     []book.Done
	former   []book.Done // of another season: it does not count
	redo     []redo
	looked   []redo    // work that was looked at and found well, or to be redone
	bad      []float64 // of each of redo, the share of its zone that had been done
	heard    heard
	rained   []book.Reading // rain before the readings, since the first work
	readings []book.Reading // measured, or rain that fell
	plan     book.Key       // "" without one
	planned  []answer.PlanBlock
	force    inForce
	logged   []book.Done     // all of the job's work, of whatever time, by which a plan takes its course
	away     []answer.Away   // where the crew is besides
	learned  *window.Learned // what was learned for an answer of the past
	since    time.Time       // what was planned or told before counts no longer
}

// redo is work that was found to be in need of doing again.
type redo struct {
	Step string    `json:"step"`
	Zone string    `json:"zone"`
	At   time.Time `json:"at"`
}

// recall asks the book what it knows of the job up to now; an empty past where
// there is no book or the job has no file.
func (a *App) recall(ctx context.Context, r Request, j *job.Job, now time.Time) (*past, error) {
	p, err := a.recalled(ctx, r, j, now)
	if err == nil {
		p.called(j)
	}
	return p, err
}

// called brings all that is known of steps to the names that they have in the job.
func (p *past) called(j *job.Job) {
	for i := range p.done {
		p.done[i].Step = j.Called(p.done[i].Step)
	}
	for _, list := range [][]redo{p.redo, p.looked} {
		for i := range list {
			list[i].Step = j.Called(list[i].Step)
		}
	}
	for i := range p.planned { // which are the blocks of the plan in force
		p.planned[i].Step = j.Called(p.planned[i].Step)
	}
	for i := range p.heard.Left {
		p.heard.Left[i].Step = j.Called(p.heard.Left[i].Step)
	}
	for i := range p.heard.Begun {
		p.heard.Begun[i].Step = j.Called(p.heard.Begun[i].Step)
	}
}

// recalled is what recall asks for, with the names that the book has.
func (a *App) recalled(ctx context.Context, r Request, j *job.Job, now time.Time) (*past, error) {
	if r.past != nil {
		return r.past, nil
	}
	p := &past{}
	if a.Book == nil || r.File == nil {
		p.hold(r.Held, r.HeldAt)
		return p, nil
	}
	same, any, err := JobNamed(ctx, a.Book, j.Name, j.Boat)
	if err != nil || any == "" {
		return p, err
	}
	if p.readings, err = recallReadings(ctx, a.Book, any, j, now, now.Add(-saltLasts)); err != nil || same == "" {
		return p, err
	}
	p.since = season(j)
	for _, fill := range []func(context.Context, Book, book.Key, time.Time) error{p.recallDone, p.recallRedo, p.recallPlan} {
		if err := fill(ctx, a.Book, same, now); err != nil {
			return nil, err
		}
	}
	if err := p.recallText(ctx, a.Book, r.File.Data); err != nil {
		return nil, err
	}
	p.ofSeason(j)
	for _, fill := range []func(context.Context, Book, book.Key, time.Time) error{p.recallHeard, p.recallBegun} {
		if err := fill(ctx, a.Book, same, now); err != nil {
			return nil, err
		}
	}
	return p, p.recallRained(ctx, a.Book, any, j, now)
}

// seasonApart is how long before the first day of a job work may have been done and still
// be a part of it (common practice: what is older is another season's).
const seasonApart = 60 * 24 * time.Hour

// season is the moment from which work counts for a job; zero where it says no first day.
func season(j *job.Job) time.Time {
	if j.From.IsZero() {
		return time.Time{}
	}
	return j.From.Begins(j.Location()).Add(-seasonApart)
}

// ofSeason leaves out what was done, and found, before a job's season.
func (p *past) ofSeason(j *job.Job) {
	since, all := season(j), append(p.former, p.done...)
	p.former, p.done = nil, nil
	for _, d := range all {
		if d.At.Before(since) {
			p.former = append(p.former, d)
		} else {
			p.done = append(p.done, d)
		}
	}
	p.redo = slices.DeleteFunc(p.redo, func(r redo) bool { return r.At.Before(since) })
}

// formerWords say that work of another season does not count; nil where there is none.
func (p *past) formerWords(j *job.Job) []string {
	if len(p.former) == 0 {
		return nil
	}
	last := slices.MaxFunc(p.former, func(a, b book.Done) int { return a.At.Compare(b.At) })
	const dayYear = "Mon 2 Jan 2006"
	return []string{fmt.Sprintf("what the book has done up to %s is another season's and does not count: the job begins on %s",
		last.At.In(j.Location()).Format(dayYear), j.From.Begins(j.Location()).Format(dayYear))}
}

func (p *past) recallDone(ctx context.Context, b Book, j book.Key, now time.Time) error {
	list, err := b.DoneOf(ctx, j)
	p.done = slices.DeleteFunc(list, func(d book.Done) bool { return d.At.After(now) })
	return err
}

// recallRedo takes what was found to be in need of doing again, unless a later look
// found it well.
func (p *past) recallRedo(ctx context.Context, b Book, j book.Key, now time.Time) error {
	list, err := b.OutcomesOf(ctx, j)
	for _, o := range list {
		switch {
		case o.At.After(now):
		case o.Found == book.FoundRedo:
			p.redo = append(p.redo, redo{o.Step, o.Zone, o.At})
		case o.Found == book.FoundOK: // looked at again
			p.redo = slices.DeleteFunc(p.redo, func(r redo) bool { return r.Step == o.Step && r.Zone == o.Zone })
		}
		if !o.At.After(now) && (o.Found == book.FoundOK || o.Found == book.FoundRedo) {
			p.looked = append(p.looked, redo{o.Step, o.Zone, o.At})
		}
	}
	return err
}

// recallReadings takes the boat's readings since a moment that may still count, of
// the place where she lies.
func recallReadings(ctx context.Context, b Book, any book.Key, j *job.Job, now, since time.Time) ([]book.Reading, error) {
	list, err := b.ReadingsSince(ctx, any, since)
	if err != nil {
		return nil, err
	}
	near := map[book.Key]bool{}
	var out []book.Reading
	for _, m := range list {
		is, asked := near[m.Job]
		if !asked {
			if is, err = liesNear(ctx, b, m.Job, placeOf(j)); err != nil {
				return nil, err
			}
			near[m.Job] = is
		}
		if is && m.Refused == "" && counts(m, now) {
			out = append(out, m)
		}
	}
	return out, nil
}

func liesNear(ctx context.Context, b Book, key book.Key, place forecast.Place) (bool, error) {
	j, err := b.Job(ctx, key)
	if err != nil {
		return false, err
	}
	at, err := b.Place(ctx, j.Place)
	if err != nil {
		return false, err
	}
	return place.DistanceKM(forecast.Place{Latitude: at.Latitude, Longitude: at.Longitude}) <= sameBerthKM, nil
}

// counts reports whether a reading may still tell of the present.
func counts(m book.Reading, now time.Time) bool {
	switch {
	case m.At.After(now) || m.Until.After(now):
		return false
	case m.Salt != "" || m.Spray != "" || isRain(m):
		return true
	}
	return now.Sub(m.At) <= readingsLast
}

func isRain(m book.Reading) bool { return m.Rain != nil && *m.Rain }

// measured are the readings as the engine takes them.
func (p *past) measured() []job.Reading {
	var out []job.Reading
	for _, m := range p.readings {
		if !isRain(m) {
			out = append(out, ReadingOf(m))
		}
	}
	return out
}

// into brings what is known of the past into a copy of the job: work done, and
// the last rain. The warnings name work that the job knows nothing of.
func (p *past) into(j *job.Job) (*job.Job, []string) {
	if len(p.done)+len(p.redo)+len(p.readings) == 0 {
		return j, nil
	}
	out := *j
	out.Zones = slices.Clone(j.Zones)
	for i := range out.Zones {
		out.Zones[i].Done = maps.Clone(out.Zones[i].Done)
	}
	var warnings []string
	for _, d := range p.done {
		if !setDone(&out, d) {
			warnings = append(warnings, fmt.Sprintf("the book has %s done on %s, which the job does not have: it does not count", d.Step, d.Zone))
		}
	}
	p.bad = p.bad[:0]
	for _, r := range p.redo {
		p.bad = append(p.bad, takeBack(&out, r))
	}
	for _, m := range p.readings {
		if isRain(m) && m.Until.After(out.Since.Rain) {
			out.Since.Rain, out.Since.HasRain = m.Until, true
		}
	}
	return &out, warnings
}

// setDone notes work on a zone, unless the job knows of later work there.
func setDone(j *job.Job, d book.Done) bool {
	z, okZone := j.Zone(d.Zone)
	s, okStep := j.Step(d.Step)
	if !okZone || !okStep {
		return false
	}
	zone := &j.Zones[z]
	if had, ok := zone.Done[doneKey(j, z, s)]; ok && had.At.After(d.At) {
		return true
	}
	if zone.Done == nil {
		zone.Done = map[string]boat.Done{}
	}
	zone.Done[j.Steps[s].Name] = boat.Done{At: d.At, Share: j.Steps[s].Whole(d.Share)}
	return true
}

// doneKey is the word by which a zone knows a step to be done: its name, else,
// where no step has that name, what it does.
func doneKey(j *job.Job, zone, step int) string {
	s := j.Steps[step]
	if _, ok := j.Zones[zone].Done[s.Name]; !ok {
		if _, named := j.Step(s.Do); !named {
			return s.Do
		}
	}
	return s.Name
}

// takeBack makes work undone that was found bad after it was done, and gives the share
// of the zone on which it had been done.
func takeBack(j *job.Job, r redo) float64 {
	z, okZone := j.Zone(r.Zone)
	s, okStep := j.Step(r.Step)
	if !okZone || !okStep {
		return 0
	}
	key := doneKey(j, z, s)
	d, ok := j.Zones[z].Done[key]
	if ok && !d.At.After(r.At) {
		delete(j.Zones[z].Done, key)
	}
	return window.CoveredBy(j.Steps[s], d.Share)
}

// unwashed is the job without the washes of some zones; undone is false where
// none was done.
func unwashed(j *job.Job, zones []int) (out *job.Job, undone bool) {
	c := *j
	c.Zones = slices.Clone(j.Zones)
	for _, z := range zones {
		if z >= len(c.Zones) {
			continue // a part of another
		}
		c.Zones[z].Done = maps.Clone(c.Zones[z].Done)
		for s, step := range c.Steps {
			if step.Do != "wash" && step.Do != "strip wash" {
				continue
			}
			key := doneKey(&c, z, s)
			if _, ok := c.Zones[z].Done[key]; ok {
				delete(c.Zones[z].Done, key)
				undone = true
			}
		}
	}
	return &c, undone
}
