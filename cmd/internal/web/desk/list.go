package desk

import (
	"context"
	"fmt"
	"slices"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/book"
)

// MostListed is how long a page of a list is at most.
const MostListed = 200

// jobKeys finds a text of the job in the book, and one of any job of the boat; ""
// where there is none.
func (d *Desk) jobKeys(ctx context.Context, id string) (same, any book.Key, err error) {
	j, t, err := d.textOf(id)
	if err != nil {
		return "", "", err
	}
	parsed, err := d.parse(j, t)
	if err != nil {
		return "", "", err
	}
	return app.JobNamed(ctx, d.cfg.Book, parsed.Name, parsed.Boat)
}

// AnswerPage is a stretch of the list of answers.
type AnswerPage struct {
	Answers []answer.BookAnswer `json:"answers"` // the newest first
	Next    int64               `json:"next"`    // before of the next page, 0 at the end
}

// Answers lists the answers of the job that the book has, the newest first: those
// with a number below before (0: all), at most limit of them (0: MostListed).
func (d *Desk) Answers(ctx context.Context, id string, before int64, limit int) (*AnswerPage, error) {
	out := &AnswerPage{Answers: []answer.BookAnswer{}}
	same, limit, err := d.listOf(ctx, id, limit)
	if err != nil || same == "" {
		return out, err
	}
	list, err := d.cfg.Book.Answers(ctx, book.AnswerFilter{Job: same, Before: before, Limit: limit + 1})
	if err != nil {
		return nil, err
	}
	if len(list) > limit {
		list = list[:limit]
		out.Next = list[limit-1].ID
	}
	info, err := d.Job(id)
	if err != nil {
		return nil, err
	}
	for _, x := range list {
		out.Answers = append(out.Answers, answer.BookAnswer{
			ID: x.ID, Kind: x.Kind, BookJob: answer.BookJob{Job: info.Job, Boat: info.Boat, Timezone: info.Place.Timezone},
			At: x.At, Recorded: x.Recorded, Verdict: x.Verdict, Program: x.Program, Catalogue: x.Catalogue,
		})
	}
	return out, nil
}

// listOf is what lists of the book have in common: the job's key and a sane limit.
func (d *Desk) listOf(ctx context.Context, id string, limit int) (book.Key, int, error) {
	if limit <= 0 || limit > MostListed {
		limit = MostListed
	}
	if d.cfg.Book == nil {
		_, err := d.open(id)
		return "", limit, err
	}
	same, _, err := d.jobKeys(ctx, id)
	return same, limit, err
}

// AnswerBytes are an answer of the job as it was given.
func (d *Desk) AnswerBytes(ctx context.Context, id string, number int64) ([]byte, error) {
	page, err := d.Answers(ctx, id, number+1, 1)
	if err != nil {
		return nil, err
	}
	if len(page.Answers) == 0 || page.Answers[0].ID != number {
		return nil, &app.Problem{Text: fmt.Sprintf("the book has no answer %d of this job", number), Fix: "look at the list of answers", Err: book.ErrNotFound}
	}
	shown, err := d.app(d.cfg.Book).Show(ctx, number)
	return shown.Body, err
}

// EntryPage is a stretch of the list of entries of one kind.
type EntryPage struct {
	Entries []answer.Entry `json:"entries"` // the newest first, by number
	Next    int64          `json:"next"`    // before of the next page, 0 at the end
}

// Entries lists what was recorded and holds: UndoDone and UndoOutcome of the job,
// UndoReading of its boat, rain among them. before and limit are as in Answers, but a
// limit of 0 is all.
func (d *Desk) Entries(ctx context.Context, id, kind string, before int64, limit int) (*EntryPage, error) {
	all, err := d.Log(ctx, id)
	if err != nil {
		return nil, err
	}
	list := all.Readings
	switch kind {
	case UndoDone:
		list = all.Done
	case UndoOutcome:
		list = all.Outcomes
	}
	slices.SortFunc(list, func(a, b answer.Entry) int { return int(b.ID - a.ID) })
	out := &EntryPage{Entries: []answer.Entry{}}
	for _, e := range list {
		if before > 0 && e.ID >= before {
			continue
		}
		if limit > 0 && len(out.Entries) == limit {
			out.Next = out.Entries[limit-1].ID
			break
		}
		out.Entries = append(out.Entries, e)
	}
	return out, nil
}

// Log is all that was recorded of the job and of its boat's readings, and its newest
// answers.
func (d *Desk) Log(ctx context.Context, id string) (*answer.BookList, error) {
	info, err := d.Job(id)
	if err != nil {
		return nil, err
	}
	out := answer.NewBookList()
	if d.cfg.Book == nil {
		return out, nil
	}
	all, err := d.app(d.cfg.Book).Listed(ctx, MostListed)
	if err != nil {
		return nil, err
	}
	of := func(list []answer.Entry, anyJob bool) []answer.Entry {
		kept := []answer.Entry{}
		for _, e := range list {
			if e.Boat == info.Boat && (anyJob || e.Job == info.Job) {
				kept = append(kept, e)
			}
		}
		return kept
	}
	out.Done, out.Outcomes, out.Readings = of(all.Done, false), of(all.Outcomes, false), of(all.Readings, true)
	for _, a := range all.Answers {
		if a.Boat == info.Boat && a.Job == info.Job {
			out.Answers = append(out.Answers, a)
		}
	}
	return out, nil
}
