package pages

import (
	"errors"
	"net/http"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/web/desk"
	"dewgap/window/job"
)

// trouble is a page in place of an answer: what is wrong and what to do.
type trouble struct {
	status           int
	title, text, fix string
	field            string // of the form that it is about, "" for the form as a whole
}

// Error is what is wrong.
func (t *trouble) Error() string { return t.text }

// troublePage is what the error page shows.
type troublePage struct {
	Status          int
	Text, Fix       string
	Where           string
	Mistakes        []job.Error
	HomePath, Again string
}

// wrong makes the page for an error.
func (p *Pages) wrong(r *http.Request, err error) *view {
	body, title := p.explain(r, err)
	body.HomePath = "/"
	if r.Method == http.MethodGet {
		body.Again = r.URL.RequestURI()
	}
	return &view{template: "error", status: body.Status, Title: title, Body: body}
}

// explain sorts an error into what a person can do about it.
func (p *Pages) explain(r *http.Request, err error) (troublePage, string) {
	var large *http.MaxBytesError
	if t, ok := errors.AsType[*trouble](err); ok {
		return troublePage{Status: t.status, Text: t.text, Fix: t.fix}, t.title
	}
	if list, ok := errors.AsType[job.Errors](err); ok {
		return troublePage{Status: http.StatusUnprocessableEntity, Text: "The job file has mistakes in it.",
			Fix: "Mend these lines on the job's page, then come back.", Mistakes: list}, "The job cannot be read"
	}
	switch {
	case errors.Is(err, desk.ErrNoJob):
		return troublePage{Status: http.StatusNotFound, Text: "No job is kept under this address.",
			Fix: "Go to the boats and take it from there. If the file was renamed, its address changed with it."}, "There is no such job"
	case errors.Is(err, desk.ErrNoPlan):
		return troublePage{Status: http.StatusConflict, Text: "There is no plan to move yet.",
			Fix: "Open the week once: it makes the plan."}, "Nothing to move"
	case errors.Is(err, desk.ErrNoBook):
		return troublePage{Status: http.StatusConflict, Text: "This server keeps no book, so nothing can be written down.",
			Fix: "Start it without --no-book."}, "Nothing was written down"
	case errors.Is(err, desk.ErrBusy):
		return troublePage{Status: http.StatusServiceUnavailable, Text: "Too many answers are in the making.",
			Fix: "Try again in a few seconds."}, "One moment"
	case errors.As(err, &large):
		return troublePage{Status: http.StatusRequestEntityTooLarge, Text: "That is more than a form may hold.",
			Fix: "A job file is a few kilobytes. Take out what does not belong into it."}, "Too large"
	}
	if desk.Known(err) {
		status := http.StatusServiceUnavailable // mostly a forecast that could not be had
		if r.Method != http.MethodGet {
			status = http.StatusUnprocessableEntity
		}
		x := desk.Failures(err)[0]
		return troublePage{Status: status, Text: stopped(answer.Capital(x.Error)), Fix: stopped(answer.Capital(x.Fix)), Where: x.Where},
			"No answer at the moment"
	}
	p.fault(r, err)
	return troublePage{Status: http.StatusInternalServerError, Text: "Something in the program went wrong, not with what you did.",
		Fix: "Try again. If it stays so, tell whoever runs this server; the log has the cause."}, "That did not work"
}

// badForm is a form that cannot be meant.
func badForm(text, fix string) error { return badField("", text, fix) }

// badField is a form that cannot be meant for what one of its fields says.
func badField(field, text, fix string) error {
	return &trouble{status: http.StatusUnprocessableEntity, title: "Please look at this once more", text: text, fix: fix, field: field}
}

// readForm reads the form of a request. Bytes that are no form are nobody's fault here.
func readForm(r *http.Request) error {
	err := r.ParseForm()
	if _, large := errors.AsType[*http.MaxBytesError](err); err == nil || large {
		return err
	}
	return &trouble{status: http.StatusBadRequest, title: "The form cannot be read", text: "What was sent is no form, or broke off on its way.",
		fix: "Go back and send it again."}
}
