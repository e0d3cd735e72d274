package pages

import (
	"bytes"
	"errors"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/web/desk"
	"dewgap/cmd/internal/web/pages/jobedit"
	"dewgap/window/boat"
	"dewgap/window/job"
)

// editJob changes the job's file by one of the page's forms. The form carries the tag
// of the text that it was made from; another text there in the meantime is refused.
func (p *Pages) editJob(r *http.Request) (*view, error) {
	if err := readForm(r); err != nil {
		return nil, err
	}
	id := r.PathValue("job")
	file, err := p.cfg.Desk.File(r.Context(), id)
	if err != nil {
		return nil, err
	}
	tag := r.PostForm.Get("tag")
	if m := r.Header.Get("If-Match"); m != "" {
		tag = strings.Trim(m, `"`)
	}
	text, err := p.edited(r, file)
	if errors.Is(err, jobedit.ErrByHand) {
		return p.refused(r, file, string(file.Text), "This place of the file is written in a way that the form cannot change. Change it in the text below.")
	}
	if errors.Is(err, jobedit.ErrNoStep) {
		return p.refused(r, file, string(file.Text), "The job has no such step any longer, so nothing was saved. Look at the steps below.")
	}
	if t, ok := errors.AsType[*trouble](err); ok && t.field != "" && atoi(r.PostForm.Get("index")) >= 0 {
		f := r.PostForm
		return p.refusedForm(r, file, wrongForm{op: f.Get("op"), index: f.Get("index"), given: f, said: map[string]string{t.field: stopped(t.text) + " " + t.fix}})
	}
	if why, again := mistake(err); again {
		return p.refused(r, file, string(file.Text), why)
	}
	if err != nil {
		return nil, err
	}
	if tag == file.Tag {
		err = p.cfg.Desk.Save(r.Context(), id, text, tag)
	} else {
		err = desk.ErrChanged
	}
	switch {
	case errors.Is(err, desk.ErrChanged):
		return p.conflict(r, string(text))
	case errors.Is(err, desk.ErrReadOnly):
		return p.refused(r, file, string(text), "This job has no file that could be changed, so nothing was saved. Copy the text and serve it as a file of your own.")
	case err != nil:
		if list, wrong := errors.AsType[job.Errors](err); wrong {
			if w, ok := marked(r.PostForm, list, fieldsOf(r.PostForm.Get("op"))); ok {
				return p.refusedForm(r, file, w)
			}
			return p.refused(r, file, string(text), "Nothing was saved: the changed file has mistakes in it.")
		}
		return nil, err
	}
	return seeOther("/job/" + url.PathEscape(id) + "?saved=1#" + anchor(r.PostForm)), nil
}

// anchor is where on the page a form stands.
func anchor(f url.Values) string {
	switch f.Get("op") {
	case "zone":
		return "zone-" + strconv.Itoa(max(0, atoi(f.Get("index"))))
	case "dates":
		return "dates"
	case "file":
		return "file"
	}
	return "steps"
}

func atoi(s string) int {
	n, err := strconv.Atoi(s)
	if err != nil {
		return -1
	}
	return n
}

// refused shows the page again with a text that was not saved.
func (p *Pages) refused(r *http.Request, file File, text, why string) (*view, error) {
	v, body, err := p.jobView(r, file, text)
	if err != nil {
		return nil, err
	}
	body.Problem, v.status = why, http.StatusUnprocessableEntity
	return v, nil
}

// refusedForm shows the page again with a form that was not saved.
func (p *Pages) refusedForm(r *http.Request, file File, w wrongForm) (*view, error) {
	v, err := p.refused(r, file, string(file.Text), "Nothing was saved: look at what is marked below.")
	if err == nil {
		v.Body.(*jobPage).Wrong = w
	}
	return v, err
}

// conflict shows the text that is there now, and beside it the one that was not saved.
func (p *Pages) conflict(r *http.Request, mine string) (*view, error) {
	now, err := p.cfg.Desk.File(r.Context(), r.PathValue("job"))
	if err != nil {
		return nil, err
	}
	v, body, err := p.jobView(r, now, string(now.Text))
	if err != nil {
		return nil, err
	}
	body.Changed, body.Other, v.status = true, mine, http.StatusPreconditionFailed
	return v, nil
}

// edited is the text of the file with the form's change in it.
func (p *Pages) edited(r *http.Request, file File) ([]byte, error) {
	f := r.PostForm
	switch f.Get("op") {
	case "file":
		text := strings.ReplaceAll(f.Get("text"), "\r\n", "\n") // browsers send both
		if bytes.Contains(file.Text, []byte("\r\n")) {
			text = strings.ReplaceAll(text, "\n", "\r\n")
		}
		return []byte(text), nil
	case "zone":
		return p.editedZone(r, file)
	case "dates":
		return p.editedDates(r, file)
	case "step":
		text, err := jobedit.Step(file.Text, atoi(f.Get("index")), stepChanges(f))
		if err == nil && len(f["on"]) == 0 { // the form has a tick at least: all were taken out
			return nil, badForm("On which part of the boat?", "Tick at least one, or take the step out.")
		}
		return text, err
	case "add-step":
		if f.Get("do") == "" {
			return nil, badForm("What is to be done?", "Choose a kind of work.")
		}
		return jobedit.AddStep(file.Text, append([]jobedit.Change{{Key: "do", To: jobedit.Text(f.Get("do"))}}, stepChanges(f)...))
	case "remove-step":
		return jobedit.RemoveStep(file.Text, atoi(f.Get("index")))
	}
	return nil, badForm("There is no such change", "Use the forms of this page.")
}

func stepChanges(f url.Values) []jobedit.Change {
	var out []jobedit.Change
	if name := strings.TrimSpace(f.Get("name")); name != "" && name != f.Get("do") {
		out = append(out, jobedit.Change{Key: "name", To: jobedit.Text(name)})
	}
	if f.Get("with") != "" {
		out = append(out, jobedit.Change{Key: "with", To: jobedit.Text(f.Get("with"))})
	}
	if len(f["on"]) > 0 {
		out = append(out, jobedit.Change{Key: "on", To: jobedit.List(f["on"])})
	}
	return out
}

// editedZone changes what differs from the zone as it is read now, and nothing else,
// so that what a preset says stays unsaid in the file.
func (p *Pages) editedZone(r *http.Request, file File) ([]byte, error) {
	f := r.PostForm
	j, err := p.cfg.Desk.Check(r.Context(), r.PathValue("job"), file.Text)
	if err != nil {
		return nil, err
	}
	i := slices.IndexFunc(j.Zones, func(z boat.Zone) bool { return z.Name == f.Get("zone") })
	if i < 0 {
		return nil, badForm("The boat has no such zone", "Open the job anew.")
	}
	z := j.Zones[i]
	var out []jobedit.Change
	set := func(key, was, is string) {
		if is != "" && is != was {
			out = append(out, jobedit.Change{Key: key, To: jobedit.Text(is)})
		}
	}
	set("finish", z.Finish.Name, f.Get("finish"))
	set("shelter", z.Shelter.String(), f.Get("shelter"))
	set("access", z.Access.String(), f.Get("access"))
	measure := func(key, was string) {
		if is := strings.Replace(strings.TrimSpace(f.Get(key)), ",", ".", 1); is != "" && is != was {
			out = append(out, jobedit.Change{Key: key, To: jobedit.Scalar(is)})
		}
	}
	if err := emptied(f, map[string]string{"tilt": tilted(z), "faces": facing(z), "area": areaOf(z)}); err != nil {
		return nil, err
	}
	measure("tilt", tilted(z))
	measure("faces", facing(z))
	area, err := number("the area", "area", f.Get("area"))
	switch {
	case err != nil:
		return nil, err
	case area.Known && areaOf(z) != strconv.FormatFloat(area.V, 'f', 1, 64):
		out = append(out, jobedit.Change{Key: "area_m2", To: jobedit.Value(strconv.FormatFloat(area.V, 'g', 6, 64))})
	}
	if salt := f.Get("salt") == "yes"; salt != z.Salt {
		out = append(out, jobedit.Change{Key: "salt", To: jobedit.Value(strconv.FormatBool(salt))})
	}
	return jobedit.Zone(file.Text, z.Name, out)
}

// emptied refuses a form that empties a field which shows something: what the file, or
// the preset, says of a zone cannot be unsaid by a form.
func emptied(f url.Values, shown map[string]string) error {
	for _, name := range sortedKeys(shown) {
		if f.Has(name) && strings.TrimSpace(f.Get(name)) == "" && shown[name] != "" {
			return badField(name, "This cannot be left empty", "Give another value, or take it out in the text below.")
		}
	}
	return nil
}

// editedDates changes the job's first and last day. One that is left empty is taken out.
func (p *Pages) editedDates(r *http.Request, file File) ([]byte, error) {
	j, err := p.cfg.Desk.Check(r.Context(), r.PathValue("job"), file.Text)
	if err != nil {
		return nil, err
	}
	var out []jobedit.Change
	for key, was := range map[string]job.Date{"by": j.By, "from": j.From} {
		if is := strings.TrimSpace(r.PostForm.Get(key)); r.PostForm.Has(key) && is != dateField(was) {
			c := jobedit.Change{Key: key}
			if is != "" {
				c.To = jobedit.Scalar(is)
			}
			out = append(out, c)
		}
	}
	slices.SortFunc(out, func(a, b jobedit.Change) int { return -strings.Compare(a.Key, b.Key) })
	return jobedit.Top(file.Text, out)
}

// dateField is a day as a field has it, "" for none.
func dateField(d job.Date) string {
	if d.IsZero() {
		return ""
	}
	return d.String()
}

// wrongForm is a form that was refused: what was filled in, and what is wrong with it,
// field by field. Its zero value is none.
type wrongForm struct {
	op, index string
	given     url.Values
	said      map[string]string
}

// Is reports whether it is the form of an op and an index.
func (w wrongForm) Is(op, index string) bool { return w.given != nil && w.op == op && w.index == index }

// Field is a field with its mistake.
type field struct{ Now, Wrong string }

// Field is what a field of the form of an op and an index shows: what was given, with
// what is wrong, else what the file has.
func (w wrongForm) Field(op, index, name, has string) field {
	if !w.Is(op, index) {
		return field{Now: has}
	}
	return field{w.given.Get(name), w.said[name]}
}

// Ticked reports whether a box of the form of an op and an index is ticked: as it was
// given, else as the file has it.
func (w wrongForm) Ticked(op, index, name string, has bool) bool {
	if !w.Is(op, index) {
		return has
	}
	return w.given.Has(name)
}

// marked shows a form again as it was filled in, each mistake of the job's reader beside
// the field that it is of. ok is false where one of them is of no field of the form.
func marked(f url.Values, list job.Errors, fields map[string]string) (w wrongForm, ok bool) {
	w = wrongForm{op: f.Get("op"), index: f.Get("index"), given: f, said: map[string]string{}}
	for _, e := range list {
		name := ""
		for key, field := range fields {
			if strings.Contains(e.Message, "`"+key+"`") && (name == "" || field < name) {
				name = field
			}
		}
		if name == "" {
			return wrongForm{}, false
		}
		said := e.Message
		if e.Fix != "" {
			said += ": " + e.Fix
		}
		w.said[name] = strings.TrimSpace(w.said[name] + " " + stopped(answer.Capital(strings.ReplaceAll(said, "`", ""))))
	}
	return w, true
}

// fieldsOf are the keys of the file that a form edits, with the names of its fields.
func fieldsOf(op string) map[string]string {
	switch op {
	case "zone":
		return map[string]string{"tilt": "tilt", "faces": "faces", "area_m2": "area", "finish": "finish", "shelter": "shelter", "access": "access"}
	case "dates":
		return map[string]string{"from": "from", "by": "by"}
	}
	return nil
}
