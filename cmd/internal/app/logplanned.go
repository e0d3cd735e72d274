package app

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/book"
)

// PlannedRequest is a day's work that went as the plan in force had it.
type PlannedRequest struct {
	Request
	Step     string   // "" for all steps of the day
	But      []string // zones on which it went otherwise
	At       Moment   // of the day; what is planned to begin later was not done
	Over     bool     // all that was begun by At was over by then
	By, Note string
}

// LogPlanned records the work of a day as the plan in force had it, each block at its planned
// end. What may have gone otherwise is left out, and told with the reason.
func (a *App) LogPlanned(ctx context.Context, r PlannedRequest) (*answer.Logged, error) {
	e, err := a.entry(r.Request)
	if err != nil {
		return nil, err
	}
	at, err := e.past(r.At, "the end of the work")
	if err != nil {
		return nil, err
	}
	if r.Step != "" {
		if _, err := e.work(r.Step, nil); err != nil {
			return nil, err
		}
	}
	p, err := a.recall(ctx, r.Request, e.job, e.now)
	if err != nil {
		return nil, err
	}
	agreed, err := a.agreed(ctx, e)
	if err != nil {
		return nil, err
	}
	d := plannedDay{entry: e, past: p, agreed: agreed, at: at, over: r.Over, shut: map[string]string{}}
	list, err := d.list(r.Step, r.But)
	if err != nil {
		return nil, err
	}
	return a.writePlanned(ctx, r, &d, list)
}

// writePlanned writes what of a day's work is clear, all of it or nothing.
func (a *App) writePlanned(ctx context.Context, r PlannedRequest, d *plannedDay, list []dayWork) (*answer.Logged, error) {
	out := answer.NewLogged("done")
	var write []dayWork
	for _, w := range list {
		left := answer.LeftOut{Step: w.Step, Zone: w.Zone, From: w.From.In(d.loc), To: w.To.In(d.loc)}
		if before, ok := d.loggedAs(w); ok {
			left.Done, left.Why = before.ID, "logged already"
		} else if left.Why = d.unclear(w); left.Why == "" {
			write = append(write, w)
			continue
		}
		out.LeftOut = append(out.LeftOut, left)
	}
	if len(write) == 0 {
		return nil, d.nothing(out.LeftOut)
	}
	return out, a.Book.Record(ctx, func(tx *book.Tx) error {
		j, err := addJob(tx, d.job, r.File)
		for i := 0; err == nil && i < len(write); i++ {
			w := write[i]
			x := book.Done{Job: j.Key, Step: w.Step, Zone: w.Zone, Share: w.share, At: w.end(d.at), Product: w.Product, By: r.By, Note: r.Note}
			if x.Row, err = tx.AddDone(x); err == nil {
				line := doneEntry(x, d.head, d.loc)
				line.Text += ", planned " + hoursOf(w.From, w.To, d.loc)
				out.Entries = append(out.Entries, line)
			}
		}
		return err
	})
}

// agreement is a plan that was in force, and how it came to be.
type agreement struct {
	at     time.Time
	moved  bool // on purpose: by a move, or planned anew
	blocks []answer.PlanBlock
}

// agreed are the plans of a job that were in force by now, the oldest first; a move that
// found no plan is one without blocks.
func (a *App) agreed(ctx context.Context, e entry) ([]agreement, error) {
	same, _, err := JobNamed(ctx, a.Book, e.job.Name, e.job.Boat)
	if err != nil || same == "" {
		return nil, err
	}
	list, err := a.Book.Plans(ctx, same)
	if err != nil {
		return nil, err
	}
	made, err := agreementsOf(ctx, a.Book, same, e.now)
	if err != nil {
		return nil, err
	}
	since := season(e.job)
	list = slices.DeleteFunc(list, func(x book.Plan) bool { return x.At.After(e.now) || x.At.Before(since) })
	var p past
	versions, err := p.follow(ctx, a.Book, list, made)
	if err != nil {
		return nil, err
	}
	var out []agreement
	for _, v := range slices.Backward(versions) {
		by := slices.IndexFunc(made, func(x book.Answer) bool { return x.Key == v.Answer })
		of := agreement{at: v.At, moved: by >= 0, blocks: slices.Clone(v.says.Blocks)}
		for i := range of.blocks {
			of.blocks[i].Step = e.job.Called(of.blocks[i].Step)
		}
		out = append(out, of)
	}
	if len(made) > 0 && len(out) > 0 && !slices.ContainsFunc(list, func(x book.Plan) bool { return x.Answer == made[0].Key }) &&
		!made[0].At.Before(out[len(out)-1].at) {
		out = append(out, agreement{at: made[0].At, moved: true})
	}
	return out, nil
}

// dayWork is the work of a step on a zone that a plan had on one day.
type dayWork struct {
	answer.PlanBlock                    // from its first block of the day to the end of its last
	made             time.Time          // when that plan was made
	zone             []answer.PlanBlock // all that the plan has of the step on the zone
	blocks           []answer.PlanBlock // those of the day
	share            float64            // of the zone that is done then, in all; 0 where nobody can tell
}

// end is when it was over, told at a moment.
func (w *dayWork) end(at time.Time) time.Time {
	if w.To.After(at) {
		return at
	}
	return w.To
}

// plannedDay is a day of which the work is to be written down.
type plannedDay struct {
	entry
	*past
	agreed []agreement
	at     time.Time
	over   bool
	shut   map[string]string // zones of which something was left out: of which step
}

func (d *plannedDay) today(t time.Time) bool {
	y, m, day := t.In(d.loc).Date()
	y0, m0, day0 := d.at.In(d.loc).Date()
	return y == y0 && m == m0 && day == day0
}

func (d *plannedDay) date() string { return d.at.In(d.loc).Format("Mon 2 Jan") }

// list is the day's work that was to be begun by its moment, in its order. Of each step on
// each zone the newest plan counts that had it while that was in force.
func (d *plannedDay) list(step string, but []string) ([]dayWork, error) {
	if len(d.agreed) == 0 {
		return nil, &Problem{Text: "the book has no plan of this job", Fix: byName}
	}
	var out []dayWork
	for k, v := range slices.Backward(d.agreed) {
		until := d.at
		if k+1 < len(d.agreed) && d.agreed[k+1].at.Before(until) {
			until = d.agreed[k+1].at
		}
		for _, b := range v.blocks {
			seen := slices.ContainsFunc(out, func(w dayWork) bool { return w.Step == b.Step && w.Zone == b.Zone })
			if !seen && d.today(b.From) && b.From.Before(until) && (step == "" || b.Step == step) {
				out = append(out, d.workOf(v, b))
			}
		}
	}
	slices.SortStableFunc(out, func(a, b dayWork) int { return a.From.Compare(b.From) })
	if len(out) == 0 {
		what := "work"
		if step != "" {
			what = step
		}
		return nil, &Problem{Text: fmt.Sprintf("the plan in force has no %s on %s that begins before %s", what, d.date(), d.at.In(d.loc).Format("15:04")), Fix: byName}
	}
	var zones []string
	for _, w := range out {
		if !slices.Contains(zones, w.Zone) {
			zones = append(zones, w.Zone)
		}
	}
	for _, z := range but {
		if !slices.Contains(zones, z) {
			return nil, &Problem{Text: fmt.Sprintf("the plan in force has nothing on a zone %s on %s", z, d.date()), Fix: oneOf(z, zones)}
		}
	}
	return slices.DeleteFunc(out, func(w dayWork) bool { return slices.Contains(but, w.Zone) }), nil
}

const byName = "name what was done: --step and --zone"

// workOf is the day's work of a block's step on its zone.
func (d *plannedDay) workOf(v agreement, b answer.PlanBlock) dayWork {
	w := dayWork{PlanBlock: b, made: v.at}
	for _, x := range v.blocks {
		if x.Step != b.Step || x.Zone != b.Zone {
			continue
		}
		w.zone = append(w.zone, x)
		if d.today(x.From) && x.From.Before(d.at) {
			w.blocks = append(w.blocks, x)
			w.To = x.To
		}
	}
	w.share = d.shareAfter(w, w.blocks[len(w.blocks)-1])
	return w
}

// shareAfter is how much of a zone is done after a block; 0 where the plan does not tell.
func (d *plannedDay) shareAfter(w dayWork, last answer.PlanBlock) float64 {
	sum, all := 0.0, 0.0
	for _, x := range w.zone {
		if x.AreaM2 == nil {
			sum, all = 0, 0
			break
		}
		all += *x.AreaM2
		if !x.From.After(last.From) {
			sum += *x.AreaM2
		}
	}
	_, before := d.lastDone(w.Step, w.Zone, w.made)
	switch {
	case last.From.Equal(w.zone[len(w.zone)-1].From):
		return 1
	case last.Coats > 1 && last.Parts <= 1:
		return float64(last.Coat) / float64(last.Coats)
	case last.Coats <= 1 && !before && all > 0:
		return sum / all
	}
	return 0
}

// lastDone is the last entry of a step on a zone by a moment.
func (d *plannedDay) lastDone(step, zone string, by time.Time) (last book.Done, ok bool) {
	for _, x := range d.done {
		if x.Step == step && x.Zone == zone && !x.At.After(by) {
			last, ok = x, true
		}
	}
	return last, ok
}

// loggedAs is the entry by which work is logged already: since it was begun, or since it was
// planned.
func (d *plannedDay) loggedAs(w dayWork) (book.Done, bool) {
	x, ok := d.lastDone(w.Step, w.Zone, d.now)
	since := !x.At.Before(w.From) || x.At.After(w.made)
	return x, ok && since && w.share > 0 && x.Share >= w.share && !d.foundSince(w)
}

// unclear says why work may have gone otherwise than it was planned; "" where nothing tells
// of that. What comes after it on the zone is no clearer.
func (d *plannedDay) unclear(w dayWork) string {
	if step, ok := d.shut[w.Zone]; ok {
		return "it comes after the " + step
	}
	why := d.otherwise(w)
	if why != "" {
		d.shut[w.Zone] = w.Step
	}
	return why
}

// otherwise is what tells that work went otherwise than it was planned, or that the job is
// another by now.
func (d *plannedDay) otherwise(w dayWork) string {
	switch with, err := d.work(w.Step, []string{w.Zone}); {
	case err != nil:
		return "the job does not have it any more"
	case with != w.Product:
		return "planned with " + w.Product + ", and the job has " + with
	}
	for _, r := range d.rains(nil, d.now) {
		if r.From.Before(w.end(d.at)) && r.To.After(w.From) {
			return "rain in its hours, " + hoursOf(r.From, r.To, d.loc)
		}
	}
	if to := d.movedTo(w); to != "" {
		return to
	}
	logged, is := d.lastDone(w.Step, w.Zone, d.now)
	switch {
	case w.To.After(d.at) && !d.over:
		return "under way by the plan; --at says when it was over"
	case 2*d.at.Sub(w.From) < w.To.Sub(w.From): // who breaks off at noon gives --at as well
		return "planned to take more than twice as long as it had by then"
	case d.foundSince(w):
		return "looked at since"
	case is && !logged.At.Before(w.From):
		return fmt.Sprintf("%.0f %% of it logged at %s", 100*logged.Share, logged.At.In(d.loc).Format("15:04"))
	case w.share == 0:
		return "the plan does not tell how much of the zone it is; give --share"
	case !d.readyFor(w):
		return "what the plan had of it on the days before is not logged"
	}
	return ""
}

// movedTo is where a later move put the work; "" where it left it alone, or takes it as done.
func (d *plannedDay) movedTo(w dayWork) string {
	for _, v := range slices.Backward(d.agreed) {
		if !v.moved || !v.at.After(w.made) {
			continue
		}
		if len(v.blocks) == 0 {
			return "no plan has been found since"
		}
		for _, x := range v.blocks {
			if x.Step == w.Step && x.Zone == w.Zone {
				return "moved to " + x.From.In(d.loc).Format(stamp)
			}
		}
		return ""
	}
	return ""
}

// foundSince reports whether somebody looked at the work after it was begun.
func (d *plannedDay) foundSince(w dayWork) bool {
	return slices.ContainsFunc(d.looked, func(x redo) bool { return x.Step == w.Step && x.Zone == w.Zone && !x.At.Before(w.From) })
}

// readyFor reports whether what the plan had of a zone on earlier days is logged.
func (d *plannedDay) readyFor(w dayWork) bool {
	before := 0.0
	for _, x := range w.zone {
		if x.From.Before(w.From) {
			before = d.shareAfter(w, x)
		}
	}
	had, ok := d.lastDone(w.Step, w.Zone, d.now)
	return before == 0 || ok && had.Share >= before-0.02
}

// nothing is the error where no work of the day is to be written.
func (d *plannedDay) nothing(left []answer.LeftOut) error {
	p := &Problem{Text: "nothing is left to be recorded of " + d.date(), Fix: "dewgap book show lists what is recorded"}
	var parts []string
	for _, x := range left {
		if x.Done == 0 {
			parts = append(parts, fmt.Sprintf("%s on %s, %s", x.Step, x.Zone, x.Why))
		}
	}
	if len(parts) > 0 {
		p.Text, p.Fix = fmt.Sprintf("nothing is recorded of %s: %s", d.date(), strings.Join(parts, "; ")), byName
	}
	return p
}

// hoursOf are the hours of one day.
func hoursOf(from, to time.Time, loc *time.Location) string {
	return from.In(loc).Format("15:04") + "-" + to.In(loc).Format("15:04")
}
