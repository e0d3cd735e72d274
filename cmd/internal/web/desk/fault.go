package desk

import (
	"context"
	"errors"
	"fmt"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/book"
	"dewgap/forecast"
	"dewgap/forecast/fetch"
	"dewgap/products"
	"dewgap/window/job"
)

// Failures takes an error apart into what is wrong, where, and what to do; never
// empty. Folders are left out of it: who asks over the network has no use for them.
func Failures(err error) []answer.Failure {
	if e, ok := errors.AsType[job.Errors](err); ok {
		list := make([]answer.Failure, len(e))
		for i, one := range e {
			list[i] = answer.Failure{Error: one.Message, Where: base(one.Where()), Fix: one.Fix}
		}
		return list
	}
	if e, ok := errors.AsType[products.Errors](err); ok {
		list := make([]answer.Failure, len(e))
		for i, one := range e {
			list[i] = answer.Failure{Error: one.Message, Where: base(fmt.Sprintf("%s:%d:%d", one.File, one.Line, one.Column)), Fix: one.Fix}
		}
		return list
	}
	return []answer.Failure{failure(err)}
}

// Known reports whether an error is of a kind that a person can do something about;
// all else is a fault of ours or of the machine.
func Known(err error) bool {
	_, jobs := errors.AsType[job.Errors](err)
	_, classes := errors.AsType[products.Errors](err)
	_, problem := errors.AsType[*app.Problem](err)
	_, reply := errors.AsType[*forecast.ReadError](err)
	_, fetched := errors.AsType[*fetch.Error](err)
	_, kept := errors.AsType[*book.Error](err)
	for _, one := range []error{ErrNoJob, ErrReadOnly, ErrChanged, ErrNoPlan, ErrNoBook, ErrBusy} {
		if errors.Is(err, one) {
			return true
		}
	}
	return jobs || classes || problem || reply || fetched || kept
}

func failure(err error) answer.Failure {
	f := answer.Failure{Error: err.Error()}
	if e, ok := errors.AsType[*app.Problem](err); ok {
		return answer.Failure{Error: e.Text, Where: base(e.Where), Fix: e.Fix}
	}
	if e, ok := errors.AsType[*book.Error](err); ok {
		return answer.Failure{Error: e.Text, Where: base(e.Path), Fix: e.Fix}
	}
	if e, ok := errors.AsType[*forecast.ReadError](err); ok {
		f.Fix = e.Fix
	} else if e, ok := errors.AsType[*fetch.Error](err); ok {
		f.Fix = e.Fix
	}
	for _, x := range []struct {
		err error
		fix string
	}{
		{ErrNoJob, "look at the list of jobs for its id"},
		{ErrReadOnly, "serve a job file with --job to change it"},
		{ErrChanged, "read the job again, and make your change in that text"},
		{ErrNoPlan, "ask for the week first; if it has no plan, look at its ways to get on"},
		{ErrNoBook, "serve without --no-book"},
		{ErrBusy, "ask again in a few seconds"},
		{context.DeadlineExceeded, "ask again in a minute"},
		{context.Canceled, "ask again"},
	} {
		if errors.Is(err, x.err) {
			f.Fix = x.fix
		}
	}
	return f
}
