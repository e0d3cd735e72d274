package app

import (
	"errors"
	"fmt"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/book"
	"dewgap/cmd/internal/settings"
	"dewgap/forecast"
	"dewgap/forecast/fetch"
	"dewgap/products"
	"dewgap/window/job"
)

// Failures takes an error apart into what is wrong, where, and what to do, one for
// each mistake; never empty. Screens add what only they can get wrong.
func Failures(err error) []answer.Failure {
	var list []answer.Failure
	if e, ok := errors.AsType[job.Errors](err); ok {
		for _, one := range e {
			list = append(list, answer.Failure{Error: one.Message, Where: one.Where(), Fix: one.Fix})
		}
	} else if e, ok := errors.AsType[products.Errors](err); ok {
		for _, one := range e {
			list = append(list, answer.Failure{Error: one.Message, Where: fmt.Sprintf("%s:%d:%d", one.File, one.Line, one.Column), Fix: one.Fix})
		}
	}
	if len(list) == 0 {
		list = append(list, failure(err))
	}
	return list
}

// failure words a single error.
func failure(err error) answer.Failure {
	f := answer.Failure{Error: err.Error()}
	if e, ok := errors.AsType[*settings.Error](err); ok {
		f = answer.Failure{Error: e.Text, Where: e.Where, Fix: e.Fix}
	} else if e, ok := errors.AsType[*Problem](err); ok {
		f = answer.Failure{Error: e.Text, Where: e.Where, Fix: e.Fix}
	} else if e, ok := errors.AsType[*book.Error](err); ok {
		f = answer.Failure{Error: e.Text, Where: e.Path, Fix: e.Fix}
	} else if e, ok := errors.AsType[*forecast.ReadError](err); ok {
		f.Fix = e.Fix
	} else if e, ok := errors.AsType[*fetch.Error](err); ok {
		f.Fix = e.Fix
	}
	return f
}
