package pages

import (
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"dewgap/cmd/internal/answer"
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
	Wrong    wrongForm
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
	Tilted string // degrees
	Facing string // degrees from the bow, or a compass point; "" where it is level
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
		f.Tilted, f.Facing, f.Area = tilted(z), facing(z), areaOf(z)
		for _, name := range sortedKeys(z.Done) {
			d := z.Done[name]
			at := d.At.In(j.Location()) // by the clock at the place, as the file says it
			s := name + ", " + day(at) + nbsp + clock(at)
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

// tilted is a zone's tilt as it is edited.
func tilted(z boat.Zone) string { return strconv.FormatFloat(z.Tilt, 'f', -1, 64) }

// areaOf is a zone's area as it is edited, "" where nobody knows it.
func areaOf(z boat.Zone) string {
	if z.AreaM2 <= 0 {
		return ""
	}
	return strconv.FormatFloat(z.AreaM2, 'f', 1, 64)
}

// facing is where a zone faces as it is edited.
func facing(z boat.Zone) string {
	switch {
	case z.FacesTrue:
		return job.CompassPoint(z.Faces)
	case z.Tilt < level && z.Faces == 0:
		return ""
	}
	return strconv.FormatFloat(z.Faces, 'f', -1, 64)
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

// checkJob tells what is wrong with a text, for the script while somebody types: the
// part of the page with the mistakes.
func (p *Pages) checkJob(r *http.Request) (*view, error) {
	if err := readForm(r); err != nil {
		return nil, err
	}
	text := r.PostForm.Get("text")
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
	return &view{template: "product", Title: answer.Capital(productName(x.ID)), Tab: "job", Boat: b, Body: productPage{x, b.ID}}, nil
}
