package desk

import (
	"context"
	"errors"

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
	list := app.Failures(err)
	for i := range list {
		list[i].Where = base(list[i].Where)
	}
	if list[0].Fix == "" {
		list[0].Fix = fixOf(err)
	}
	return list
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

// fixOf is what to do about a refusal of the desk's own, "" where it is none.
func fixOf(err error) string {
	fix := ""
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
			fix = x.fix
		}
	}
	return fix
}
