package app

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/book"
	"dewgap/forecast"
	"dewgap/window"
	"dewgap/window/job"
)

// otherJob is another job of the book, by its newest text.
type otherJob struct {
	key  book.Key
	name string
	boat string
}

// crewAway lists the blocks of the crew's other jobs that are still to be worked, by the
// plans in force at a moment and from another on, with those of their people whom this job
// has too, or whose polishers it counts. The warnings name jobs of which nobody knows
// whether they are the crew's, and those that do not count the same polishers.
func (a *App) crewAway(ctx context.Context, r Request, j *job.Job, now, from time.Time) (list []answer.Away, warnings []string, err error) {
	if a.Book == nil || r.File == nil || j.Crew == "" {
		return nil, nil, nil
	}
	others, err := otherJobs(ctx, a.Book, j)
	if err != nil {
		return nil, nil, err
	}
	for _, o := range others {
		some, warning, err := a.awayOn(ctx, o, j, now, from)
		if err != nil {
			return nil, nil, err
		}
		if warning != "" {
			warnings = append(warnings, warning)
		}
		list = append(list, some...)
	}
	slices.SortStableFunc(list, func(x, y answer.Away) int { return x.From.Compare(y.From) })
	return list, warnings, nil
}

// otherJobs lists the jobs of the book but one, by boat and name: a second file of that
// one is no other job.
func otherJobs(ctx context.Context, b Book, own *job.Job) ([]otherJob, error) {
	list, err := b.Jobs(ctx)
	if err != nil {
		return nil, err
	}
	var out []otherJob
	for _, x := range list {
		boat, err := b.Boat(ctx, x.Boat)
		if err != nil {
			return nil, err
		}
		same := func(o otherJob) bool { return o.name == x.Name && o.boat == boat.Name }
		if o := (otherJob{x.Key, x.Name, boat.Name}); !same(otherJob{"", own.Name, own.Boat}) && !slices.ContainsFunc(out, same) {
			out = append(out, o)
		}
	}
	slices.SortStableFunc(out, func(x, y otherJob) int {
		return strings.Compare(x.boat+"\x00"+x.name, y.boat+"\x00"+y.name)
	})
	return out, nil
}

// awayOn are the blocks of another job that take people of this one.
func (a *App) awayOn(ctx context.Context, o otherJob, j *job.Job, now, from time.Time) (list []answer.Away, warning string, err error) {
	last, asked, err := a.lastAsked(ctx, o.key, now)
	if err != nil || !asked {
		return nil, "", err // nothing was ever planned
	}
	other, place, err := a.textThen(ctx, last)
	if err != nil {
		if _, is := err.(job.Errors); is { //nolint:errorlint // Parse gives it bare
			return nil, fmt.Sprintf("the job %s on %s in the book cannot be read: whether it has this crew is not known", o.name, o.boat), nil
		}
		return nil, "", err
	}
	if other == nil || !strings.EqualFold(other.Crew, j.Crew) {
		return nil, "", nil
	}
	p := &past{since: season(other)}
	if err := p.recallPlan(ctx, a.Book, o.key, now); err != nil || p.force.plan == nil || p.force.failed {
		return nil, "", err
	}
	fresh, err := a.loggedSince(ctx, o.key, p, now)
	if err != nil {
		return nil, "", err
	}
	at := forecast.Place{Latitude: place.Latitude, Longitude: place.Longitude}
	for i := range p.planned {
		x := &p.planned[i]
		if !x.To.After(from) || finished(x, fresh, other) {
			continue
		}
		if x.Machine(a.Classes) && a.machineSteps(j) {
			warning = countedApart(o, other, j)
		}
		if one, ok := a.awayIn(x, j); ok {
			one.Job, one.Boat, one.Place, one.Agreed = o.name, o.boat, place.Name, p.force.at.In(j.Location())
			if km := placeOf(j).DistanceKM(at); km > sameBerthKM {
				one.KM, one.WayMin = math.Ceil(km), wayMin(km)
			}
			list = append(list, one)
		}
	}
	return list, warning, nil
}

// countedApart says that two jobs of one crew do not count the same polishers; "" where they
// do. Each plans by its own count, and so may take what the other has.
func countedApart(o otherJob, other, own *job.Job) string {
	if other.Polishers == own.Polishers {
		return ""
	}
	there, here := fmt.Sprintf("%d polishers", other.Polishers), strconv.Itoa(own.Polishers)
	switch {
	case other.Polishers == 0:
		there = "no polishers"
	case other.Polishers == 1:
		there = "1 polisher"
	}
	if own.Polishers == 0 {
		here = "none"
	}
	x := answer.Away{Job: o.name, Boat: o.boat}
	return x.On() + " counts " + there + " of this crew, this job " + here + ": write the same `polishers` in both"
}

// machineSteps reports whether a job has work for machines.
func (a *App) machineSteps(j *job.Job) bool {
	return slices.ContainsFunc(j.Steps, func(s job.Step) bool {
		x := answer.PlanBlock{Product: s.With, Do: s.Do}
		return x.Machine(a.Classes)
	})
}

// wayMin is how many minutes the way between two marinas so far apart as the crow flies
// takes by road: a third longer than that, the first 20 km of it at 40 km/h and the rest
// at 80, to the next five minutes, a day at most (common practice, no source).
func wayMin(km float64) float64 {
	const near = 20
	road := km * 4 / 3
	h := min(road, near)/40 + max(0, road-near)/80
	return min(math.Ceil(h*60/5)*5, window.MostWayMin)
}

// lastAsked is a job's newest answer by a moment; asked is false where there is none.
func (a *App) lastAsked(ctx context.Context, key book.Key, now time.Time) (last book.Answer, asked bool, err error) {
	for _, most := range []int{1, 0} { // of many jobs the newest of all does
		list, err := a.Book.Answers(ctx, book.AnswerFilter{Job: key, Limit: most})
		if err != nil {
			return last, false, err
		}
		if i := slices.IndexFunc(list, func(x book.Answer) bool { return !x.At.After(now) }); i >= 0 {
			return list[i], true, nil
		}
	}
	return last, false, nil
}

// textThen is a job as its newest answer had it, its products left unchecked, for a
// person's own may be gone since; nil where it names no crew at all.
func (a *App) textThen(ctx context.Context, row book.Answer) (*job.Job, book.Place, error) {
	text, err := a.Book.Job(ctx, row.Job)
	if err != nil {
		return nil, book.Place{}, err
	}
	place, err := a.Book.Place(ctx, text.Place)
	if err != nil {
		return nil, place, err
	}
	data, err := a.Book.Body(ctx, text.Body)
	if err != nil || !bytes.Contains(data, []byte("crew")) {
		return nil, place, err // most jobs have none, and need not be read
	}
	zone := row.Settings[keptZone]
	if zone == "" {
		zone = "UTC"
	}
	j, err := job.Parse(text.File, data, nil, job.Options{Timezone: zone})
	return j, place, err
}

// loggedSince is the work of a job that its plan in force did not know to be done.
func (a *App) loggedSince(ctx context.Context, key book.Key, p *past, now time.Time) ([]book.Done, error) {
	done, err := a.Book.DoneOf(ctx, key)
	if err != nil {
		return nil, err
	}
	row, err := a.Book.Plan(ctx, p.plan)
	if err != nil {
		return nil, err
	}
	answers, err := a.Book.Answers(ctx, book.AnswerFilter{Job: key})
	var known []book.Key
	if i := slices.IndexFunc(answers, func(x book.Answer) bool { return x.Key == row.Answer }); i >= 0 {
		known = answers[i].Done
	}
	return slices.DeleteFunc(done, func(d book.Done) bool { return d.At.After(now) || slices.Contains(known, d.Key) }), err
}

// finished reports whether all of a block's step is logged as done on its zone since the
// plan was made: who has finished early is free.
func finished(x *answer.PlanBlock, fresh []book.Done, of *job.Job) bool {
	i := -1
	for k, d := range fresh {
		if d.Step == x.Step && d.Zone == x.Zone {
			i = k // they are listed by time: the last one counts
		}
	}
	if i < 0 {
		return false
	}
	share := fresh[i].Share
	if s, known := of.Step(x.Step); known {
		share = of.Steps[s].Whole(share) // by the rule by which her own plan has it done
	}
	return share >= 1
}

// awayIn is a block with those of its people whom a job has as well, and where it counts
// its polishers with those who have one in their hands there; ok is false where that is
// nobody.
func (a *App) awayIn(x *answer.PlanBlock, j *job.Job) (out answer.Away, ok bool) {
	out = answer.Away{From: x.From.In(j.Location()), To: x.To.In(j.Location()), People: []int{}, Step: x.Step, Zone: x.Zone}
	if x.Machine(a.Classes) {
		out.MachineH = max(0, x.Worked().Sub(x.From).Hours())
	}
	for _, p := range x.People {
		switch {
		case p >= 1 && p <= j.PeopleOn(out.From):
			out.People = append(out.People, p)
		case p >= 1 && j.Polishers > 0 && out.MachineH > 0:
			out.Machines = append(out.Machines, p)
		}
	}
	return out, len(out.People)+len(out.Machines) > 0 && x.To.After(x.From)
}

// elsewhereOf is where people are besides as the engine takes it.
func elsewhereOf(list []answer.Away) []window.Elsewhere {
	var out []window.Elsewhere
	for i := range list {
		out = append(out, list[i].Elsewhere()...)
	}
	return out
}

// recallCrew fills in where the crew is besides, but for an answer of the past, which
// knows it.
func (a *App) recallCrew(ctx context.Context, r Request, p *past, j *job.Job, now time.Time) (warnings []string, err error) {
	if r.past != nil {
		return nil, nil
	}
	if a.Book == nil && j.Crew != "" {
		return []string{"no book is in use: the crew's work on other boats is not known (dewgap book init begins a book)"}, nil
	}
	p.away, warnings, err = a.crewAway(ctx, r, j, now, now)
	return warnings, err
}

// CrewMark changes whenever the book's word on where the crew of a job is besides does,
// but for what time alone does to it; "" for a job without a crew.
func (a *App) CrewMark(ctx context.Context, r Request) (string, error) {
	j, err := r.Job(r.Timezone)
	if err != nil || j.Crew == "" || j.Place.Location == nil {
		return "", err
	}
	list, _, err := a.crewAway(ctx, r, j, a.Clock.Now(), time.Time{})
	if err != nil || len(list) == 0 {
		return "", err
	}
	for i := range list {
		list[i].Agreed = time.Time{} // made anew, it may well be the same plan
	}
	return encodeAway(list)
}

func encodeAway(list []answer.Away) (string, error) {
	if len(list) == 0 {
		return "", nil
	}
	data, err := json.Marshal(list)
	return string(data), err
}

func decodeAway(text string) (list []answer.Away, err error) {
	if text == "" {
		return nil, nil
	}
	if err = json.Unmarshal([]byte(text), &list); err != nil {
		return nil, fmt.Errorf("reading where the crew was: %w", err)
	}
	return list, nil
}
