package pages

import (
	"errors"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/web/desk"
	"dewgap/window/job"
)

// refusal is a form that was not taken: why, what is wrong beside which of its fields,
// and how it was filled in. Its zero value is none.
type refusal struct {
	Problem string
	Wrong   map[string]string
	Form    map[string]string
	all     url.Values
}

// refuse is the refusal that an error asks for; again is false where it is no mistake
// in what a person filled in.
func refuse(err error, f url.Values) (out refusal, again bool) {
	text, again := mistake(err)
	if !again {
		return refusal{}, false
	}
	out = refusal{Problem: text, Form: filled(f), all: f}
	if t, ok := errors.AsType[*trouble](err); ok && t.field != "" {
		out.Wrong = map[string]string{t.field: text}
	}
	return out, true
}

// Field is what a field of the form shows, with what is wrong with it.
func (x refusal) Field(name string) field { return field{x.Form[name], x.Wrong[name]} }

// Ticked reports whether one of several boxes of a name was ticked.
func (x refusal) Ticked(name, value string) bool { return slices.Contains(x.all[name], value) }

// Filled reports whether any of some fields says something.
func (x refusal) Filled(names ...string) bool {
	return slices.ContainsFunc(names, func(n string) bool { return strings.TrimSpace(x.Form[n]) != "" })
}

// mistake is an error in what a person filled in, in words.
func mistake(err error) (string, bool) {
	if t, ok := errors.AsType[*trouble](err); ok {
		return strings.TrimSpace(stopped(t.text) + " " + t.fix), true
	}
	if list, ok := errors.AsType[job.Errors](err); ok {
		var lines []string
		for _, e := range list {
			s := answer.Capital(e.Message)
			if e.Fix != "" {
				s += ": " + e.Fix
			}
			lines = append(lines, stopped(s))
		}
		return strings.Join(lines, " "), true
	}
	if err != nil && desk.Known(err) && !errors.Is(err, desk.ErrNoJob) {
		x := desk.Failures(err)[0]
		return stopped(answer.Capital(x.Error)) + " " + stopped(answer.Capital(x.Fix)), true
	}
	return "", false
}

// filled is a form as it was filled in, the first value of each field.
func filled(f url.Values) map[string]string {
	out := map[string]string{}
	for k, v := range f {
		if len(v) > 0 && len(v[0]) <= 4096 {
			out[k] = v[0]
		}
	}
	return out
}

// jobFile is the job with an id, as its file is now.
func (p *Pages) jobFile(r *http.Request, id string) (*job.Job, error) {
	file, err := p.cfg.Desk.File(r.Context(), id)
	if err != nil {
		return nil, err
	}
	return p.cfg.Desk.Check(r.Context(), id, file.Text)
}

// here is the moment by the clock at the place of a request's job.
func (p *Pages) here(r *http.Request) (now time.Time, err error) {
	j, err := p.jobFile(r, r.PathValue("job"))
	if err != nil {
		return now, err
	}
	return p.cfg.Clock().In(j.Location()), nil
}

// past reads what a field says of a moment that lies behind.
func past(field, text string, now time.Time) (time.Time, error) {
	t, err := desk.Moment(text)(now, now.Location())
	if why, wrong := mistake(err); wrong {
		return t, badField(field, why, "")
	}
	if err == nil && t.After(now) {
		return t, badField(field, text+" lies in the future", "Give what has happened, with its day if it was not today.")
	}
	return t, err
}

// behind reads two fields that say when something began and ended.
func behind(fields [2]string, from, to, what string, now time.Time) error {
	a, err := past(fields[0], from, now)
	if err != nil {
		return err
	}
	b, err := past(fields[1], to, now)
	if err == nil && !a.Before(b) {
		err = badField(fields[1], what+" ends before it begins", "Give the beginning before the end.")
	}
	return err
}
