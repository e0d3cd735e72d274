package app

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/book"
	"dewgap/products"
	"dewgap/window/job"
)

// Shown is an answer of the book as it was given.
type Shown struct {
	Row  book.Answer
	Body []byte // as --json wrote it
}

// Show looks an answer up by its number.
func (a *App) Show(ctx context.Context, id int64) (Shown, error) {
	row, err := a.Book.AnswerNumber(ctx, id)
	if err != nil {
		return Shown{}, err
	}
	body, err := a.Book.Body(ctx, row.Body)
	return Shown{row, body}, err
}

// Again works a past answer out anew, from what it was made from, with this
// program and this catalogue, and tells the difference.
func (a *App) Again(ctx context.Context, id int64) (*answer.Again, error) {
	was, err := a.Show(ctx, id)
	if err != nil {
		return nil, err
	}
	then, r, err := a.then(ctx, was.Row)
	if err != nil {
		return nil, err
	}
	var body any
	switch was.Row.Kind {
	case book.Week:
		body, err = then.Week(ctx, r)
	case book.Morning:
		body, err = then.Morning(ctx, r)
	default:
		err = &Problem{Text: fmt.Sprintf("answer %d is of the kind %s, which is not worked out again", id, was.Row.Kind),
			Fix: "look at it as it was, without --again"}
	}
	if err != nil {
		return nil, err
	}
	var is bytes.Buffer
	if err := answer.Write(&is, body); err != nil {
		return nil, err
	}
	return answer.NewAgain(answer.AgainFacts{
		ID: id, Kind: was.Row.Kind, At: was.Row.At.In(location(r.Timezone)), Was: was.Body, Is: is.Bytes(),
		ProgramWas: was.Row.Program, ProgramIs: a.Version, CatalogueWas: was.Row.Catalogue, CatalogueIs: then.Classes.Hash(),
	})
}

// then is the app and the request of a past answer.
func (a *App) then(ctx context.Context, row book.Answer) (*App, Request, error) {
	r := Request{Timezone: row.Settings[keptZone], Hold: row.Settings[keptHeld] != ""}
	if w := row.Settings[keptWarnings]; w != "" {
		r.Warnings = strings.Split(w, "\n")
	}
	if row.Products != "" {
		data, err := a.Book.Body(ctx, row.Products)
		if err != nil {
			return nil, r, err
		}
		r.Products = &JobFile{row.Settings[keptProducts], data}
	}
	classes, _, err := classesOf(r.Products)
	if err != nil {
		return nil, r, err
	}
	if r.Job, err = a.jobThen(ctx, row, classes); err != nil {
		return nil, r, err
	}
	if r.past, err = a.pastOf(ctx, row); err != nil {
		return nil, r, err
	}
	futures, err := strconv.Atoi(row.Settings[keptFutures])
	if err != nil {
		futures = Futures
	}
	return &App{
		Source: recorded{a.Book, row.Forecast}, Clock: At(row.At), Classes: classes, Futures: futures, Version: a.Version, MaxAge: a.MaxAge, Skies: a.Skies,
	}, r, nil
}

// jobThen reads the job's text as it was.
func (a *App) jobThen(ctx context.Context, row book.Answer, classes *products.Set) (func(string) (*job.Job, error), error) {
	text, err := a.Book.Job(ctx, row.Job)
	if err != nil {
		return nil, err
	}
	data, err := a.Book.Body(ctx, text.Body)
	if err != nil {
		return nil, err
	}
	name := row.Settings[keptJob]
	if name == "" {
		name = text.File
	}
	return func(timezone string) (*job.Job, error) {
		return job.Parse(name, data, classes, job.Options{Timezone: timezone})
	}, nil
}

// pastOf is what counted for an answer besides job and forecast.
func (a *App) pastOf(ctx context.Context, row book.Answer) (*past, error) {
	p := &past{}
	for _, key := range row.Done {
		d, err := a.Book.Done(ctx, key)
		if err != nil {
			return nil, err
		}
		p.done = append(p.done, d)
	}
	for _, key := range row.Readings {
		m, err := a.Book.Reading(ctx, key)
		if err != nil {
			return nil, err
		}
		if isRain(m) && m.At.Before(row.At.Add(-saltLasts)) {
			p.rained = append(p.rained, m)
			continue
		}
		p.readings = append(p.readings, m)
	}
	if text := row.Settings[keptHeard]; text != "" {
		if err := json.Unmarshal([]byte(text), &p.heard); err != nil {
			return nil, fmt.Errorf("reading what answers before it were told: %w", err)
		}
	}
	if text := row.Settings[keptRedo]; text != "" {
		if err := json.Unmarshal([]byte(text), &p.redo); err != nil {
			return nil, fmt.Errorf("reading what was to be redone: %w", err)
		}
	}
	var err error
	if p.away, err = decodeAway(row.Settings[keptAway]); err != nil {
		return nil, err
	}
	if p.learned, err = decodeLearned(row.Settings[keptLearned]); err != nil || row.Plan == "" {
		return p, err
	}
	plan, err := a.Book.Plan(ctx, row.Plan)
	if err != nil {
		return nil, err
	}
	err = p.setPlan(ctx, a.Book, plan)
	p.force.moved = row.Settings[keptHeld] != ""
	return p, err
}

// Listed is what the book has: the newest answers, and of every job all that was
// recorded of its work.
func (a *App) Listed(ctx context.Context, answers int) (*answer.BookList, error) {
	out := answer.NewBookList()
	list, err := a.Book.Answers(ctx, book.AnswerFilter{Limit: answers})
	if err != nil {
		return nil, err
	}
	heads := map[book.Key]answer.BookJob{}
	for _, x := range list {
		head, err := a.headOf(ctx, heads, x.Job)
		if err != nil {
			return nil, err
		}
		out.Answers = append(out.Answers, answer.BookAnswer{
			ID: x.ID, Kind: x.Kind, BookJob: head, At: x.At.In(location(x.Settings[keptZone])), Recorded: x.Recorded,
			Verdict: x.Verdict, Program: x.Program, Catalogue: x.Catalogue,
		})
	}
	return out, a.listEntries(ctx, out, heads)
}

// listEntries lists the entries of every job once.
func (a *App) listEntries(ctx context.Context, out *answer.BookList, heads map[book.Key]answer.BookJob) error {
	jobs, err := a.Book.Jobs(ctx)
	if err != nil {
		return err
	}
	var seen []answer.BookJob
	boats := map[string]bool{}
	for _, j := range jobs {
		head, err := a.headOf(ctx, heads, j.Key)
		if err != nil {
			return err
		}
		if slices.Contains(seen, head) {
			continue
		}
		seen = append(seen, head)
		if err := a.listWork(ctx, out, j.Key, head); err != nil {
			return err
		}
		if boats[head.Boat] {
			continue
		}
		boats[head.Boat] = true
		readings, err := a.Book.ReadingsSince(ctx, j.Key, epoch)
		if err != nil {
			return err
		}
		for _, m := range readings {
			out.Readings = append(out.Readings, readingEntry(m, head, location(head.Timezone)))
		}
	}
	return nil
}

func (a *App) listWork(ctx context.Context, out *answer.BookList, key book.Key, head answer.BookJob) error {
	done, err := a.Book.DoneOf(ctx, key)
	if err != nil {
		return err
	}
	for _, d := range done {
		out.Done = append(out.Done, doneEntry(d, head, location(head.Timezone)))
	}
	outcomes, err := a.Book.OutcomesOf(ctx, key)
	for _, o := range outcomes {
		out.Outcomes = append(out.Outcomes, outcomeEntry(o, head, location(head.Timezone)))
	}
	return err
}

// headOf names the job of a text.
func (a *App) headOf(ctx context.Context, heads map[book.Key]answer.BookJob, key book.Key) (answer.BookJob, error) {
	if head, ok := heads[key]; ok {
		return head, nil
	}
	j, err := a.Book.Job(ctx, key)
	if err != nil {
		return answer.BookJob{}, err
	}
	b, err := a.Book.Boat(ctx, j.Boat)
	if err != nil {
		return answer.BookJob{}, err
	}
	p, err := a.Book.Place(ctx, j.Place)
	head := answer.BookJob{Job: j.Name, Boat: b.Name, Timezone: p.Timezone}
	heads[key] = head
	return head, err
}
