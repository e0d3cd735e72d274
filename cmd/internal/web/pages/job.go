package pages

import (
	"bytes"
	"errors"
	"fmt"
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

// jobPage is what the page of a job shows.
type jobPage struct {
	File     File
	Text     string // in the editor: the file's, or what was given and is wrong
	Lines    int
	Job      *job.Job // nil where the file is wrong
	Board    board
	Zones    []zoneForm
	Main     []zoneForm // that are worked on
	Rest     []zoneForm // and the others
	Steps    []stepForm
	Products []answer.Product // that the job uses
	All      []answer.Product
	Mistakes []mistakeAt
	Problem  string
	Saved    bool
	Changed  bool // somebody else has saved in between
	Other    string

	Finishes, Shelters, Access []string
}

// mistakeAt is a mistake with the line that it is in.
type mistakeAt struct {
	job.Error
	Text string // of the line
}

// zoneForm is one zone as it is edited.
type zoneForm struct {
	boat.Zone
	Index  int
	Area   string
	Shelt  string
	Acc    string
	Done   []string
	Worked []string // steps on it
}

// stepForm is one step as it is edited.
type stepForm struct {
	job.Step
	Index   int
	Choices []answer.Product // that do this kind of work
	On      map[string]bool
}

func (p *Pages) job(r *http.Request) (*view, error) {
	file, err := p.cfg.Desk.File(r.Context(), r.PathValue("job"))
	if err != nil {
		return nil, err
	}
	v, _, err := p.jobView(r, file, string(file.Text))
	if err != nil {
		return nil, err
	}
	if r.URL.Query().Has("saved") {
		v.Notice = "Saved. The answers count with it."
	}
	return v, nil
}

// jobView draws the page with a text in its editor; its mistakes are told.
func (p *Pages) jobView(r *http.Request, file File, text string) (*view, *jobPage, error) {
	b, err := p.boat(r)
	if err != nil {
		return nil, nil, err
	}
	body := &jobPage{File: file, Text: text, Lines: min(max(strings.Count(text, "\n")+2, 12), 40),
		Shelters: boat.ShelterWords(), Access: boat.AccessWords()}
	for _, f := range boat.Finishes() {
		body.Finishes = append(body.Finishes, f.Name)
	}
	all, err := p.cfg.Desk.Products(r.Context())
	if err != nil {
		return nil, nil, err
	}
	j, err := p.cfg.Desk.Check(r.Context(), b.ID, []byte(text))
	list, wrong := errors.AsType[job.Errors](err)
	switch {
	case wrong:
		body.Mistakes = at(list, text)
		if j, err = p.cfg.Desk.Check(r.Context(), b.ID, file.Text); err == nil {
			body.fill(j, all)
		}
	case err != nil:
		return nil, nil, err
	default:
		body.fill(j, all)
	}
	title := "Job of " + boatName(b.Boat)
	return &view{template: "job", Title: title, Tab: "job", Boat: b, Body: body}, body, nil
}

// at puts the text of their line beside mistakes.
func at(list job.Errors, text string) []mistakeAt {
	lines := strings.Split(text, "\n")
	out := make([]mistakeAt, len(list))
	for i, e := range list {
		out[i].Error = e
		if e.Line > 0 && e.Line <= len(lines) {
			out[i].Text = brief(strings.TrimSpace(lines[e.Line-1]))
		}
	}
	return out
}

// cleaning are the kinds of work that take one another's products.
var cleaning = []string{"wash", "decontaminate", "strip wash"}

// dos are the kinds of work, in the order in which a boat takes them.
var dos = []string{"wash", "decontaminate", "correct", "wipe down", "strip wash", "inspect", "seal", "protect", "coat", "bed"}

func (b *jobPage) fill(j *job.Job, all *answer.Products) {
	b.Job, b.All = j, all.Products
	worked := map[int][]string{}
	used := map[string]bool{}
	for i, s := range j.Steps {
		f := stepForm{Step: s, Index: i, On: map[string]bool{}}
		for _, z := range s.On {
			f.On[j.Zones[z].Name] = true
			worked[z] = append(worked[z], s.Name)
		}
		for _, x := range all.Products {
			if x.Do == s.Do || x.ID == s.With || slices.Contains(cleaning, s.Do) && slices.Contains(cleaning, x.Do) {
				f.Choices = append(f.Choices, x)
			}
			if x.ID == s.With && !used[x.ID] {
				used[x.ID] = true
				b.Products = append(b.Products, x)
			}
		}
		b.Steps = append(b.Steps, f)
	}
	for i, z := range j.Zones {
		f := zoneForm{Zone: z, Index: i, Shelt: z.Shelter.String(), Acc: z.Access.String(), Worked: worked[i]}
		if z.AreaM2 > 0 {
			f.Area = strconv.FormatFloat(z.AreaM2, 'f', 1, 64)
		}
		for _, name := range sortedKeys(z.Done) {
			d := z.Done[name]
			s := name + ", " + day(d.At) + nbsp + clock(d.At)
			if d.Share < 1 {
				s += fmt.Sprintf(" (%.0f %%)", 100*d.Share)
			}
			f.Done = append(f.Done, s)
		}
		b.Zones = append(b.Zones, f)
	}
	b.Board = boardOf(b.Zones)
	for _, z := range b.Zones {
		if len(z.Worked) > 0 {
			b.Main = append(b.Main, z)
		} else {
			b.Rest = append(b.Rest, z)
		}
	}
}

// board is the boat from above with its zones as tiles, bow on top.
type board struct{ Bow, Port, Middle, Starboard, Stern, Below []zoneForm }

// level is the tilt in degrees below which a zone has no facing.
const level = 5

// boardOf lays zones out by where they face.
func boardOf(list []zoneForm) board {
	var b board
	for _, z := range list {
		switch {
		case z.Tilt > 105:
			b.Below = append(b.Below, z)
		case z.Tilt < level:
			b.Middle = append(b.Middle, z)
		case z.Faces < 45 || z.Faces >= 315:
			b.Bow = append(b.Bow, z)
		case z.Faces < 135:
			b.Starboard = append(b.Starboard, z)
		case z.Faces < 225:
			b.Stern = append(b.Stern, z)
		default:
			b.Port = append(b.Port, z)
		}
	}
	slices.SortStableFunc(b.Middle, func(x, y zoneForm) int { return along(x.Name) - along(y.Name) })
	return b
}

// along guesses from its name where on the way from bow to stern a level zone lies: 0
// forward, 1 amidships, 2 aft. It only orders the tiles.
func along(name string) int {
	name = strings.ToLower(name)
	has := func(words ...string) bool {
		return slices.ContainsFunc(words, func(w string) bool { return strings.Contains(name, w) })
	}
	switch {
	case has("foredeck", "bow", "anchor", "forward"):
		return 0
	case has("cockpit", "platform", "aft", "stern"):
		return 2
	}
	return 1
}

// editJob changes the job's file by one of the page's forms. The form carries the tag
// of the text that it was made from; another text there in the meantime is refused.
func (p *Pages) editJob(r *http.Request) (*view, error) {
	if err := r.ParseForm(); err != nil {
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
		if _, wrong := errors.AsType[job.Errors](err); wrong {
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
	case "step":
		return jobedit.Step(file.Text, atoi(f.Get("index")), stepChanges(f))
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
	area, err := number("the area", f.Get("area"))
	switch {
	case err != nil:
		return nil, err
	case area.Known && strconv.FormatFloat(z.AreaM2, 'f', 1, 64) != strconv.FormatFloat(area.V, 'f', 1, 64):
		out = append(out, jobedit.Change{Key: "area_m2", To: jobedit.Value(strconv.FormatFloat(area.V, 'g', 6, 64))})
	}
	if salt := f.Get("salt") == "yes"; salt != z.Salt {
		out = append(out, jobedit.Change{Key: "salt", To: jobedit.Value(strconv.FormatBool(salt))})
	}
	return jobedit.Zone(file.Text, z.Name, out)
}

// checkJob tells what is wrong with a text, for the script while somebody types: the
// part of the page with the mistakes.
func (p *Pages) checkJob(r *http.Request) (*view, error) {
	text := r.PostFormValue("text")
	_, err := p.cfg.Desk.Check(r.Context(), r.PathValue("job"), []byte(text))
	list, wrong := errors.AsType[job.Errors](err)
	if err != nil && !wrong {
		return nil, err
	}
	return &view{template: "mistakes", layout: "mistakes", Body: &jobPage{Mistakes: at(list, text)}}, nil
}

// productPage is what the page of a product shows.
type productPage struct {
	answer.Product
	JobID string
}

func (p *Pages) product(r *http.Request) (*view, error) {
	b, err := p.boat(r)
	if err != nil {
		return nil, err
	}
	all, err := p.cfg.Desk.Products(r.Context())
	if err != nil {
		return nil, err
	}
	i := slices.IndexFunc(all.Products, func(x answer.Product) bool { return x.ID == r.PathValue("product") })
	if i < 0 {
		return nil, &trouble{status: http.StatusNotFound, title: "There is no such product",
			text: "The catalogue has no product of this name.", fix: "Go back to the job and take it from there."}
	}
	x := all.Products[i]
	return &view{template: "product", Title: capital(productName(x.ID)), Tab: "job", Boat: b, Body: productPage{x, b.ID}}, nil
}
