package web

import (
	"context"
	"encoding/json"
	"errors"
	"net/http"
	"strconv"
	"strings"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/book"
	"dewgap/cmd/internal/web/desk"
	"dewgap/forecast"
	"dewgap/forecast/fetch"

	"github.com/danielgtaylor/huma/v2"
)

// Problem is what goes out in place of an answer (RFC 9457), with where and what to
// do as --json has them.
type Problem struct {
	Type   string           `json:"type" doc:"Kind of problem, about:blank: the status says it"`
	Title  string           `json:"title" doc:"The status in words"`
	Status int              `json:"status" doc:"HTTP status code"`
	Detail string           `json:"detail" doc:"What is wrong"`
	Where  string           `json:"where" doc:"file:line:column, or the place in the request; empty where there is none"`
	Fix    string           `json:"fix" doc:"What to do"`
	Errors []answer.Failure `json:"errors" doc:"Every mistake, where there are several"`

	after int // seconds for Retry-After, 0 none
}

// Error is what is wrong.
func (p *Problem) Error() string { return p.Detail }

// GetStatus is the status for huma.
func (p *Problem) GetStatus() int { return p.Status }

// GetHeaders are the headers for huma.
func (p *Problem) GetHeaders() http.Header {
	h := http.Header{}
	if p.after > 0 {
		h.Set("Retry-After", strconv.Itoa(p.after))
	}
	return h
}

// ContentType is that of problems.
func (p *Problem) ContentType(string) string { return "application/problem+json" }

func newProblem(status int, detail, fix string) *Problem {
	return &Problem{Type: "about:blank", Title: http.StatusText(status), Status: status, Detail: detail, Fix: fix, Errors: []answer.Failure{}}
}

// init has huma tell its own findings in our form; it has no other place for that.
func init() {
	huma.NewError = func(status int, msg string, errs ...error) huma.StatusError {
		p := newProblem(status, msg, "see /api/openapi.json for what is asked")
		for _, err := range errs {
			if err == nil {
				continue
			}
			f := answer.Failure{Error: err.Error()}
			if d, ok := errors.AsType[*huma.ErrorDetail](err); ok {
				f = answer.Failure{Error: d.Message, Where: d.Location}
			}
			p.Errors = append(p.Errors, f)
		}
		if len(p.Errors) > 0 {
			p.Where = p.Errors[0].Where
		}
		return p
	}
}

// problemOf words an error. What nobody outside can do anything about is told as a
// fault without its words, which may name what is none of theirs.
func problemOf(err error) *Problem {
	if p, ok := errors.AsType[*Problem](err); ok {
		return p
	}
	status := statusOf(err)
	if status == http.StatusInternalServerError {
		return newProblem(status, "something went wrong here", "look at the server's log")
	}
	list := desk.Failures(err)
	p := newProblem(status, list[0].Error, list[0].Fix)
	p.Where, p.Errors = list[0].Where, list
	if status == http.StatusServiceUnavailable {
		p.after = 5
	}
	return p
}

// statusOf is the status that goes with an error.
func statusOf(err error) int {
	_, reply := errors.AsType[*forecast.ReadError](err)
	_, fetched := errors.AsType[*fetch.Error](err)
	switch {
	case errors.Is(err, desk.ErrNoJob), errors.Is(err, book.ErrNotFound):
		return http.StatusNotFound
	case errors.Is(err, desk.ErrChanged):
		return http.StatusPreconditionFailed
	case errors.Is(err, desk.ErrReadOnly), errors.Is(err, desk.ErrNoPlan), errors.Is(err, desk.ErrNoBook):
		return http.StatusConflict
	case errors.Is(err, desk.ErrBusy), errors.Is(err, context.DeadlineExceeded), errors.Is(err, context.Canceled):
		return http.StatusServiceUnavailable
	case reply || fetched:
		return http.StatusBadGateway
	case desk.Known(err):
		return http.StatusUnprocessableEntity
	}
	return http.StatusInternalServerError
}

// problem writes a problem: as JSON to programs, as a line of text to people.
func problem(w http.ResponseWriter, r *http.Request, status int, detail, fix string) {
	writeProblem(w, r, newProblem(status, detail, fix))
}

func writeProblem(w http.ResponseWriter, r *http.Request, p *Problem) {
	h := w.Header()
	h.Set("Cache-Control", "no-store")
	if p.after > 0 {
		h.Set("Retry-After", strconv.Itoa(p.after))
	}
	if !strings.HasPrefix(r.URL.Path, "/api/") {
		h.Set("Content-Type", "text/plain; charset=utf-8")
		w.WriteHeader(p.Status)
		_, _ = w.Write([]byte(p.Detail + ".\n" + p.Fix + ".\n")) // the client may have gone
		return
	}
	h.Set("Content-Type", "application/problem+json")
	w.WriteHeader(p.Status)
	_ = json.NewEncoder(w).Encode(p) // the client may have gone
}
