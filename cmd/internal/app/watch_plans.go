package app

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/book"
)

// Plans are the versions of the job's plan that were in force by now, as the book has
// them, the oldest first; none where there is no book or no plan.
func (a *App) Plans(ctx context.Context, r Request) ([]answer.PlanVersion, error) {
	same, err := a.jobInBook(ctx, r)
	if err != nil || same == "" {
		return nil, err
	}
	list, err := a.Book.Plans(ctx, same)
	if err != nil {
		return nil, err
	}
	now := a.Clock.Now()
	list = slices.DeleteFunc(list, func(p book.Plan) bool { return p.At.After(now) })
	if len(list) == 0 {
		return nil, nil
	}
	made, err := agreementsOf(ctx, a.Book, same, now)
	if err != nil {
		return nil, err
	}
	var p past
	forced, err := p.follow(ctx, a.Book, list, made)
	if err != nil {
		return nil, err
	}
	// They share what the newest answer says besides, for its cautions are those that
	// still matter.
	of, err := planOf(ctx, a.Book, same, forced[0].Plan)
	if err != nil {
		return nil, err
	}
	loc := location(of.Place.Timezone)
	out := make([]answer.PlanVersion, 0, len(forced))
	for _, x := range slices.Backward(forced) {
		out = append(out, answer.PlanVersion{At: x.At.In(loc), Accepted: x.Accepted, Plan: x.says, Of: of})
	}
	return out, nil
}

// planOf reads the answer that a plan comes from.
func planOf(ctx context.Context, b Book, job book.Key, p book.Plan) (answer.PlanOf, error) {
	var of answer.PlanOf
	list, err := b.Answers(ctx, book.AnswerFilter{Job: job})
	if err != nil {
		return of, err
	}
	i := slices.IndexFunc(list, func(x book.Answer) bool { return x.Key == p.Answer })
	if i < 0 {
		return of, &Problem{Text: fmt.Sprintf("the book has no answer for the plan %.12s", p.Key),
			Fix: "ask dewgap week anew, or leave the book alone with --no-book"}
	}
	data, err := b.Body(ctx, list[i].Body)
	if err != nil {
		return of, err
	}
	if err := json.Unmarshal(data, &of); err != nil {
		return of, &Problem{Text: fmt.Sprintf("answer %d of the book cannot be read: %v", list[i].ID, err), Err: err,
			Fix: "use the newer dewgap that wrote it, or leave the book alone with --no-book"}
	}
	return of, nil
}
