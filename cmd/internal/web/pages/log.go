package pages

import (
	"cmp"
	"math"
	"net/http"
	"net/url"
	"slices"

	"dewgap/cmd/internal/answer"
)

// logPage is what the log shows.
type logPage struct {
	*answer.BookList
	Steps []stepIn
	Zones []string
	Coats int  // the most that a step has
	Book  bool // there is one to write into
	refusal
}

// mostLogged is how many lines of each kind the log shows, the newest first.
const mostLogged = 40

func (p *Pages) log(r *http.Request) (*view, error) { return p.logView(r, refusal{}) }

func (p *Pages) logView(r *http.Request, x refusal) (*view, error) {
	b, err := p.boat(r)
	if err != nil {
		return nil, err
	}
	list, err := p.cfg.Desk.Log(r.Context(), b.ID)
	if err != nil {
		return nil, err
	}
	j, err := p.jobFile(r, b.ID)
	if err != nil {
		return nil, err
	}
	body := &logPage{BookList: newest(list), Book: p.cfg.Desk.HasBook(), refusal: x}
	for _, s := range j.Steps {
		step := stepIn{Name: s.Name, Do: s.Do, Product: s.With}
		for _, z := range s.On {
			step.Zones = append(step.Zones, j.Zones[z].Name)
			body.Zones = addOnce(body.Zones, j.Zones[z].Name)
		}
		body.Steps, body.Coats = append(body.Steps, step), max(body.Coats, s.Coats)
	}
	v := &view{template: "log", Title: "Log of " + boatName(b.Boat), Tab: "log", Boat: b, Body: body}
	if x.Problem != "" {
		v.status = http.StatusUnprocessableEntity
	} else if r.URL.Query().Has("saved") {
		v.Notice = "Written down."
	}
	return v, nil
}

func addOnce(list []string, s string) []string {
	if slices.Contains(list, s) {
		return list
	}
	return append(list, s)
}

// newest are the newest of each list, which come in any order.
func newest(l *answer.BookList) *answer.BookList {
	out := *l
	cut := func(list []answer.Entry) []answer.Entry {
		list = slices.Clone(list)
		slices.SortFunc(list, func(a, b answer.Entry) int { return cmp.Or(b.At.Compare(a.At), cmp.Compare(b.ID, a.ID)) })
		return list[:min(len(list), mostLogged)]
	}
	out.Answers = l.Answers[:min(len(l.Answers), mostLogged)] // which the book has in that order
	out.Done, out.Readings, out.Outcomes = cut(l.Done), cut(l.Readings), cut(l.Outcomes)
	return &out
}

// mostCoats is beyond what anybody lays on.
const mostCoats = 1000

// takeLog writes down work done or what became of it.
func (p *Pages) takeLog(r *http.Request) (*view, error) {
	if err := readForm(r); err != nil {
		return nil, err
	}
	id := r.PathValue("job")
	var w Work
	var err error
	if r.PostForm.Get("op") == "undo" {
		_, err = p.cfg.Desk.Undo(r.Context(), id, r.PostForm.Get("kind"), int64(atoi(r.PostForm.Get("number"))))
	} else {
		w, err = p.work(r)
	}
	switch {
	case err != nil || w.Step == "":
	case w.Found != "":
		err = p.cfg.Desk.LogOutcome(r.Context(), id, w)
	default:
		err = p.cfg.Desk.LogDone(r.Context(), id, w)
	}
	if x, again := refuse(err, r.PostForm); again {
		return p.logView(r, x)
	}
	if err != nil {
		return nil, err
	}
	return seeOther("/log/" + url.PathEscape(id) + "?saved=1"), nil
}

// work reads the form, with what only the clock at the place can tell of it.
func (p *Pages) work(r *http.Request) (Work, error) {
	w, err := work(r.PostForm)
	if err != nil || w.At == "" {
		return w, err
	}
	now, err := p.here(r)
	if err == nil {
		_, err = past("at", w.At, now)
	}
	return w, err
}

func work(f url.Values) (Work, error) {
	w := Work{Step: f.Get("step"), Zones: f["zone"], Found: f.Get("found"), At: moment(f.Get("date"), f.Get("at")),
		By: f.Get("by"), Note: f.Get("note"), Share: 1}
	if f.Get("date") != "" && f.Get("at") == "" {
		return w, badField("at", "A day needs a time", "Give the time of day as well, or leave both empty for now.")
	}
	share, err := number("the share", "share", f.Get("share"))
	if err != nil {
		return w, err
	}
	if share.Known {
		w.Share = share.V / 100
	}
	coat, err := number("the coat", "coat", f.Get("coat"))
	if err != nil {
		return w, err
	}
	w.Coat = int(coat.V)
	switch {
	case coat.Known && (coat.V < 1 || coat.V != math.Trunc(coat.V) || coat.V > mostCoats):
		return w, badField("coat", "That is no coat", "Count from 1, the first coat, or leave it empty for all of them.")
	case coat.Known && w.Found != "":
		return w, badField("coat", "A coat goes with work done", "Leave it empty when you looked at it: what is found is of all of them.")
	case w.Step == "":
		return w, badField("step", "Which step was it?", "Choose one of the job's steps.")
	case len(w.Zones) == 0:
		return w, badField("zone", "On which part of the boat?", "Tick at least one.")
	case !(w.Share > 0 && w.Share <= 1):
		return w, badField("share", "A share lies above 0 and at most at 100 %", "Write half a side as 50.")
	case w.Found != "" && !slices.Contains([]string{"ok", "inspect", "redo"}, w.Found):
		return w, badField("found", "That is nothing that can be found", "Choose good, look again or redo.")
	}
	return w, nil
}
