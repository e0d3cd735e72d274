package app_test

import (
	"errors"
	"fmt"
	"testing"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/book"
	"dewgap/cmd/internal/settings"
	"dewgap/forecast"
	"dewgap/forecast/fetch"
	"dewgap/products"
	"dewgap/window/job"

	"github.com/stretchr/testify/assert"
)

// Each kind of error keeps its place and what to do, however deep it lies, and a list
// of mistakes stays a list.
func TestFailuresOfEachKind(t *testing.T) {
	one := func(text, where, fix string) []answer.Failure {
		return []answer.Failure{{Error: text, Where: where, Fix: fix}}
	}
	for name, c := range map[string]struct {
		err  error
		want []answer.Failure
	}{
		"settings": {&settings.Error{Where: "s.yaml:2:8", Text: "units \"si\" is unknown", Fix: "choose"}, one("units \"si\" is unknown", "s.yaml:2:8", "choose")},
		"problem":  {&app.Problem{Where: "reply.json", Text: "is a folder", Fix: "name a file"}, one("is a folder", "reply.json", "name a file")},
		"book":     {&book.Error{Path: "b.sqlite", Text: "is full", Fix: "make room"}, one("is full", "b.sqlite", "make room")},
		"reply":    {&forecast.ReadError{Service: "NWS", Reason: "cut short", Fix: "fetch it again"}, one("NWS reply: cut short", "", "fetch it again")},
		"service":  {&fetch.Error{Service: "NWS", Kind: fetch.Timeout, Fix: "wait"}, one("NWS: no complete answer in time", "", "wait")},
		"other":    {errors.New("disk on fire"), one("disk on fire", "", "")},
		"job": {job.Errors{{File: "j.yaml", Line: 3, Column: 5, Message: "wrong", Fix: "mend"}, {File: "j.yaml", Line: 9, Column: 1, Message: "worse"}},
			[]answer.Failure{{Error: "wrong", Where: "j.yaml:3:5", Fix: "mend"}, {Error: "worse", Where: "j.yaml:9:1"}}},
		"products":          {products.Errors{{File: "p.yaml", Line: 2, Column: 28, Message: "wrong", Fix: "mend"}}, one("wrong", "p.yaml:2:28", "mend")},
		"no mistake at all": {job.Errors{}, one(job.Errors{}.Error(), "", "")},
	} {
		got := app.Failures(c.err)
		assert.Equal(t, c.want, got, name)
		wrapped := app.Failures(fmt.Errorf("asking: %w", c.err))
		if name != "other" && name != "no mistake at all" && name != "reply" && name != "service" {
			assert.Equal(t, c.want, wrapped, name)
		}
		for i := range wrapped {
			assert.Equal(t, c.want[i].Fix, wrapped[i].Fix, name)
		}
	}
	// A problem outranks what lies beneath it: it was worded for people.
	both := &app.Problem{Text: "no forecast to be had", Fix: "go online", Err: &fetch.Error{Service: "NWS", Fix: "wait"}}
	assert.Equal(t, one("no forecast to be had", "", "go online"), app.Failures(both))
}
