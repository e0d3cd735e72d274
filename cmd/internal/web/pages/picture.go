package pages

import (
	"html/template"
	"slices"
	"strconv"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/draw"
)

// picture is a drawing at two widths, for a screen on a table and for a phone, and
// what it says in figures.
type picture struct {
	Wide, Slim     template.HTML // Wide is "" where one width does for both
	Title, Caption string
	Head           []string
	Rows           [][]string
	Left           string // what it does not show
}

// The widths that pictures are drawn for, CSS pixels.
const (
	wide = 860
	slim = 328
)

// mostFigures is how many rows of a picture's table are told; the day's own table has
// all hours.
const mostFigures = 60

// heaviest is the most that a picture may weigh at both widths together, in bytes, so
// that its page stays light on a weak connection.
const heaviest = 44_000

// mostZones is how many zones a picture shows at first.
const mostZones = 12

// drawn draws a picture at both widths, of as many of the zones as its weight allows.
// Its SVG is our own, with every text in it escaped, so it may stand in the page as it
// is.
func (v voice) drawn(id string, zones []string, at func(draw.Options) draw.Picture) *picture {
	o := draw.Options{Bare: true, Units: v.units.Units, Prose: v.prose}
	for n := min(len(zones), mostZones); ; n = n * 3 / 4 {
		o.Zones = zones[:max(n, 0)]
		o.Width, o.ID = wide, id+"-w"
		w := at(o)
		o.Width, o.ID = slim, id+"-s"
		s := at(o)
		switch {
		case len(w.SVG) == 0:
			return nil
		case n > 1 && len(w.SVG)+len(s.SVG) > heaviest:
			continue
		case len(w.SVG)+len(s.SVG) > heaviest:
			w = s // one width has to do for all
		}
		return shown(w, s, len(zones)-n)
	}
}

// shown is a picture with its figures; so many zones were left out.
func shown(w, s draw.Picture, without int) *picture {
	out := &picture{Slim: template.HTML(s.SVG), Title: s.Title,
		Caption: strings.TrimSuffix(s.Table.Caption, "."), Head: s.Table.Head, Rows: s.Table.Rows}
	if len(w.SVG) != len(s.SVG) {
		out.Wide = template.HTML(w.SVG)
	}
	if n := len(out.Rows); n > mostFigures {
		out.Rows = out.Rows[:mostFigures]
		out.Caption += ", the first " + strconv.Itoa(mostFigures) + " of " + strconv.Itoa(n) + " rows"
	}
	if without > 0 {
		out.Left = "The other zones (" + strconv.Itoa(without) + ") are in the list."
	}
	return out
}

// weekPicture is the week of one step.
func (v voice) weekPicture(w *answer.Week, step stepIn) *picture {
	one := *w
	one.Windows = only(w.Windows, func(x answer.Window) bool { return x.Step == step.Name })
	one.Refusals = only(w.Refusals, func(x answer.Refusal) bool { return x.Step == step.Name })
	if w.Plan != nil {
		p := *w.Plan
		p.Blocks = only(p.Blocks, func(x answer.PlanBlock) bool { return x.Step == step.Name })
		one.Plan = &p
	}
	return v.drawn("week", step.Zones, func(o draw.Options) draw.Picture { return draw.WeekStrip(&one, o) })
}

func only[T any](list []T, keep func(T) bool) []T {
	return slices.DeleteFunc(slices.Clone(list), func(x T) bool { return !keep(x) })
}

func (v voice) curvesPicture(w *answer.Week, at time.Time, zones []string) *picture {
	return v.drawn("curves", zones[:min(len(zones), mostCurves)], func(o draw.Options) draw.Picture { return draw.DayCurves(w, isoDay(at), o) })
}

// mostCurves is how many panels the curves of a day show: more cannot be told apart.
const mostCurves = 4

func (v voice) boatsPicture(w *answer.Week, at time.Time, zones []string) *picture {
	return v.drawn("boat", zones, func(o draw.Options) draw.Picture { return draw.BoatAndSun(w, at, o) })
}
