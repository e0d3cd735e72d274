package app

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/book"
	"dewgap/window"
	"dewgap/window/job"
)

// inForce is the plan that people go by.
type inForce struct {
	plan   *answer.Plan // nil without one
	at     time.Time    // when it was made; zero where nobody knows
	moved  bool         // by a move
	failed bool         // a later move, or planning anew, found no plan
	text   book.Key     // of the job that it was made for
	same   bool         // the job's text is still that
}

// plannedAfter reports whether a plan that no move made is in force, made after a move.
func (f *inForce) plannedAfter(move book.Answer) bool {
	if !agreed(move) {
		return f.plan != nil && f.at.After(move.At)
	}
	return f.plan != nil && !f.moved && !f.failed
}

// looksBack is how far back a plan may lie whose work is still under way.
const looksBack = 24 * time.Hour

// recallPlan takes the plan that is in force.
func (p *past) recallPlan(ctx context.Context, b Book, j book.Key, now time.Time) error {
	list, err := b.Plans(ctx, j)
	if err != nil {
		return err
	}
	list = slices.DeleteFunc(list, func(x book.Plan) bool { return x.At.After(now) || x.At.Before(p.since) })
	// Of the older ones only the newest can still count.
	if end := slices.IndexFunc(list, func(x book.Plan) bool { return x.At.Before(now.Add(-looksBack)) }); end >= 0 {
		list = list[:end+1]
	}
	made, err := agreementsOf(ctx, b, j, now)
	if err != nil {
		return err
	}
	if _, err = p.follow(ctx, b, list, made); err != nil || p.force.plan == nil {
		return err
	}
	planned := func(a book.Answer) bool {
		return slices.ContainsFunc(list, func(x book.Plan) bool { return x.Answer == a.Key })
	}
	p.force.failed = len(made) > 0 && !made[0].At.Before(p.force.at) && !planned(made[0])
	return nil
}

// follow goes through plans from the oldest, which is the last of the list, and gives
// those that were in force at their time, in the same order: each newer one, except that
// a week asked while an earlier plan takes its course is a look at the sky and no new
// agreement. A move always is one, and so is a plan made anew on purpose.
func (p *past) follow(ctx context.Context, b Book, list []book.Plan, made []book.Answer) ([]version, error) {
	if len(list) == 0 {
		return nil, nil
	}
	var err error
	if p.logged, err = b.DoneOf(ctx, list[0].Job); err != nil {
		return nil, err
	}
	var out []version
	for _, x := range slices.Backward(list) {
		by := slices.IndexFunc(made, func(a book.Answer) bool { return a.Key == x.Answer })
		if p.plan != "" && p.takesItsCourse(x.At, x.Job == p.force.text) && by < 0 {
			continue
		}
		if err := p.setPlan(ctx, b, x); err != nil {
			return nil, err
		}
		p.force.moved = by >= 0 && made[by].Kind == book.Move
		out = append(out, version{x, p.force.plan})
	}
	slices.Reverse(out)
	return out, nil
}

// version is a plan of the book with what it says.
type version struct {
	book.Plan
	says *answer.Plan
}

// agreementsOf are the answers, made by now, that put a plan into force or found none
// to: moves, and weeks planned anew on purpose. The newest comes first.
func agreementsOf(ctx context.Context, b Book, j book.Key, now time.Time) ([]book.Answer, error) {
	list, err := movesOf(ctx, b, j, now)
	return slices.DeleteFunc(list, func(x book.Answer) bool { return !agreed(x) }), err
}

// agreed reports whether an answer was one that people go by: where only missing data kept
// a move from a plan, nothing came of it and what was agreed stands.
func agreed(x book.Answer) bool { return x.Kind != book.Move || x.Verdict != answer.Unknown }

// movesOf are the agreements, and the moves of which nothing came.
func movesOf(ctx context.Context, b Book, j book.Key, now time.Time) ([]book.Answer, error) {
	list, err := b.Answers(ctx, book.AnswerFilter{Job: j})
	return slices.DeleteFunc(list, func(x book.Answer) bool {
		return x.At.After(now) || x.Kind != book.Move && x.Settings[keptAnew] == ""
	}), err
}

// takesItsCourse reports whether people are at the plan at a moment: while a block of it is
// going on or just over, and from the first that was logged to the end of the last, nights
// and idle days too. A job that was written otherwise since has another plan as soon as no
// block is going on, and so has one of which nothing was logged: nobody went by that plan.
func (p *past) takesItsCourse(at time.Time, same bool) bool {
	var underWay, justOver, begun, ahead bool
	for i := range p.planned {
		x := &p.planned[i]
		ahead = ahead || at.Before(x.To)
		underWay = underWay || x.From.Before(at) && at.Before(x.To)
		justOver = justOver || x.From.Before(at) && at.Before(window.GraceUntil(x.From, x.To))
		begun = begun || slices.ContainsFunc(p.logged, func(d book.Done) bool {
			return d.Step == x.Step && d.Zone == x.Zone && d.At.After(p.force.at) && !d.At.After(at)
		})
	}
	return underWay || same && ahead && (justOver || begun)
}

// recallText notes whether the plan in force was made for the job's text as it is now.
func (p *past) recallText(ctx context.Context, b Book, text []byte) error {
	if p.force.plan == nil {
		return nil
	}
	row, err := b.Job(ctx, p.force.text)
	if err != nil {
		return err
	}
	then, err := b.Body(ctx, row.Body)
	p.force.same = bytes.Equal(then, text)
	return err
}

// hold takes a plan that no book knows of as the one in force; nil is none.
func (p *past) hold(plan *answer.Plan, at time.Time) {
	if plan != nil && plan.State != answer.None {
		p.planned, p.force = plan.Blocks, inForce{plan: plan, at: at, moved: true}
	}
}

// held is the plan in force where a week shows it in place of a new one: it was moved,
// or takes its course. Once its last block is over there is nothing to hold.
func (p *past) held(now time.Time) *answer.Plan {
	f := p.force
	if len(f.plan.Ahead(now)) == 0 || f.failed || !f.moved && !p.takesItsCourse(now, f.same) {
		return nil
	}
	return f.plan
}

// outlasts reports whether the plan in force, which is of a moment, has work ahead and is
// not replaced by one that was made of a forecast too old for today: that one leaves out
// today for no reason but that nothing was heard of it.
func (p *past) outlasts(w *answer.Week) (at time.Time, stands bool) {
	f := p.force
	if f.plan == nil || f.failed || !w.Source.Stale {
		return f.at, false
	}
	return f.at, len(f.plan.Ahead(w.Now)) > 0
}

// reached is the job with its last day put off to that of the plan that is held: one that
// was moved past the promised day is judged to its end.
func (p *past) reached(j *job.Job, now time.Time) *job.Job {
	plan := p.held(now)
	if plan == nil || j.By.IsZero() {
		return j
	}
	out := *j
	for _, x := range plan.Blocks {
		if end := job.DateOf(x.To.Add(-time.Nanosecond).In(j.Location())); end.Begins(j.Location()).After(out.By.Begins(j.Location())) {
			out.By = end
		}
	}
	return &out
}

func (p *past) setPlan(ctx context.Context, b Book, x book.Plan) error {
	data, err := b.Body(ctx, x.Body)
	if err != nil {
		return err
	}
	plan := new(answer.Plan)
	if err := json.Unmarshal(data, plan); err != nil {
		return &Problem{Text: fmt.Sprintf("the plan %.12s of the book cannot be read: %v", x.Key, err), Err: err,
			Fix: "use the newer dewgap that wrote it, or answer from files alone with --no-book"}
	}
	p.plan, p.planned, p.force = x.Key, plan.Blocks, inForce{plan: plan, at: x.At, text: x.Job}
	return nil
}
