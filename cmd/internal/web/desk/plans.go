package desk

import (
	"context"

	"dewgap/cmd/internal/answer"
)

// PlanVersions are the versions of a job's plan that the book has, the oldest first;
// where it has none, the plan of now.
func (d *Desk) PlanVersions(ctx context.Context, id string) ([]answer.PlanVersion, error) {
	week, err := d.Week(ctx, id) // which puts the plan of now into the book, if it is a new one
	if err != nil {
		return nil, err
	}
	_, r, j, err := d.located(ctx, id)
	if err != nil {
		return nil, err
	}
	if d.cfg.Book != nil {
		list, err := d.app(d.cfg.Book).Plans(ctx, r)
		if err != nil || len(list) > 0 {
			return list, err
		}
	}
	now := answer.PlanVersion{At: week.Answer.Now, Accepted: j.AcceptMargin, Plan: week.Answer.Plan, Of: answer.PlanOfWeek(week.Answer)}
	return []answer.PlanVersion{now}, nil
}
