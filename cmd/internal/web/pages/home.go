package pages

import (
	"context"
	"net/http"
	"slices"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/web/desk"
)

// mostAsked is for how many boats the first page asks for an answer: each takes some
// tenths of a second where none is at hand.
const mostAsked = 4

// homeBoat is one boat on the first page.
type homeBoat struct {
	Boat
	Morning *answer.Morning // nil where it was not asked or there is none
	Line    string          // the verdict in words
	Trouble string          // why there is no answer
}

func (p *Pages) home(r *http.Request) (*view, error) {
	list, err := p.cfg.Desk.Boats(r.Context())
	if err != nil {
		return nil, err
	}
	v := &view{template: "home", Title: "Boats", Tab: "home"}
	out := make([]homeBoat, len(list))
	for i, b := range list {
		out[i].Boat = b
		if i >= mostAsked {
			continue
		}
		m, err := p.cfg.Desk.Morning(r.Context(), b.ID)
		if err != nil {
			body, _ := p.explain(r, err)
			out[i].Trouble, v.passing = body.Text, true
			continue
		}
		out[i].Morning, out[i].Line = m, p.voice.verdictLine(m)
	}
	v.Body = out
	return v, nil
}

// boat finds the boat of a request by the job in its path.
func (p *Pages) boat(r *http.Request) (*Boat, error) {
	return p.boatOf(r.Context(), r.PathValue("job"))
}

func (p *Pages) boatOf(ctx context.Context, id string) (*Boat, error) {
	list, err := p.cfg.Desk.Boats(ctx)
	if err != nil {
		return nil, err
	}
	i := slices.IndexFunc(list, func(b Boat) bool { return b.ID == id })
	if i < 0 {
		return nil, desk.ErrNoJob
	}
	return &list[i], nil
}

// place is a marina with the boats that lie there.
type place struct {
	Name  string
	Boats []homeBoat
}

func (p *Pages) places(r *http.Request) (*view, error) {
	list, err := p.cfg.Desk.Boats(r.Context())
	if err != nil {
		return nil, err
	}
	v := &view{template: "places", Title: "Places", Tab: "places"}
	var out []place
	for i, b := range list {
		k := slices.IndexFunc(out, func(x place) bool { return x.Name == b.Place })
		if k < 0 {
			k = len(out)
			out = append(out, place{Name: b.Place})
		}
		h := homeBoat{Boat: b}
		if i < mostAsked {
			h.Morning, err = p.cfg.Desk.Morning(r.Context(), b.ID)
			if err != nil {
				body, _ := p.explain(r, err)
				h.Trouble, v.passing = body.Text, true
			}
		}
		out[k].Boats = append(out[k].Boats, h)
	}
	v.Body = out
	return v, nil
}

// settingsPage is what the settings page shows.
type settingsPage struct {
	Settings []Setting
	Boats    []Boat
	Host     string
	LinkPage string
}

func (p *Pages) settings(r *http.Request) (*view, error) {
	list, err := p.cfg.Desk.Boats(r.Context())
	if err != nil {
		return nil, err
	}
	body := settingsPage{Boats: list, Host: r.Host, LinkPage: p.cfg.LinkPage}
	if p.cfg.Settings != nil {
		body.Settings = p.cfg.Settings(r)
	}
	return &view{template: "settings", Title: "Settings", Tab: "settings", Body: body}, nil
}

func (p *Pages) offline(*http.Request) (*view, error) {
	return &view{template: "offline", Title: "No connection"}, nil
}

// weekPage is what the page of a week shows.
type weekPage struct {
	*answer.Week
	Step           string // that is asked about
	State          string
	Lead, Next     []stretch
	LeadAt, NextAt time.Time
	WhyNot         []string
	Against        string // what stands against the step where it has no hours
	Sure, NextSure string
	Days           []dayOf
	Plan           []dayOf
	Ranked         []rankedStep
	Picture        *picture
}

// rankedStep is the ranking of one step.
type rankedStep struct {
	stepIn
	Windows []ranked
	More    int
	After   string // what the product wants once it is on
}

// mostRanked is how many groups of windows the ranking lists: of the step that is
// asked about, and of the others.
const (
	mostRanked = 6
	mostOthers = 2
)

func (p *Pages) week(r *http.Request) (*view, error) {
	b, err := p.boat(r)
	if err != nil {
		return nil, err
	}
	w, err := p.cfg.Desk.Week(r.Context(), b.ID)
	if err != nil {
		return nil, err
	}
	return &view{template: "week", Title: "Week of " + boatName(b.Boat), Tab: "week", Boat: b, Body: p.voice.weekPage(w)}, nil
}

// LastDay is the last day that the week looks at.
func (w *weekPage) LastDay() time.Time { return w.To.Add(-time.Nanosecond) }

func (v voice) weekPage(w *answer.Week) *weekPage {
	out := &weekPage{Week: w, Step: headStep(w), State: w.Verdict}
	out.ask()
	steps := stepsOf(w)
	var head stepIn
	if i := slices.IndexFunc(steps, func(s stepIn) bool { return s.Name == out.Step }); i >= 0 {
		head = steps[i]
		out.Picture = v.weekPicture(w, head)
	}
	everyZone(out.Lead, head.Zones)
	everyZone(out.Next, head.Zones)
	if (w.Headline == nil || len(w.Headline.Best) == 0) && !w.Done {
		out.Against = v.againstAll(w, head)
	}
	if w.Headline != nil {
		out.WhyNot = v.whyNot(w.Headline.WhyNot, head.Zones)
	}
	out.Days = v.daysOf(w, head)
	for _, d := range out.Days {
		if len(d.Blocks) > 0 {
			out.Plan = append(out.Plan, d)
		}
	}
	for _, s := range steps {
		most := mostOthers
		if s.Name == out.Step {
			most = mostRanked
		}
		x := rankedStep{stepIn: s}
		if x.Windows, x.More = v.ranking(w, s.Name, most); len(x.Windows) > 0 {
			x.After = after(x.Windows[0].Window)
		}
		out.Ranked = append(out.Ranked, x)
	}
	slices.SortStableFunc(out.Ranked, func(a, b rankedStep) int {
		return first(a.Name == out.Step) - first(b.Name == out.Step)
	})
	return out
}

// ask takes the hours that the answer is about, and the next best. Work that holds in fewer
// than half of the forecasts asks for a yes, whatever its hours are one by one.
func (w *weekPage) ask() {
	hours, planned := w.Asked()
	if !planned {
		hours = good(hours)
	}
	if len(hours) > 0 {
		w.Lead, w.LeadAt, w.State = joined(hours), hours[0].From, worstOf(hours)
		if answer.Workable(w.State) {
			w.Sure = leastSure(w.Lead, w.Source)
		}
		if few := slices.ContainsFunc(w.Lead, func(s stretch) bool { return s.Sure < half }); few && w.Sure != "" {
			w.State = answer.Marginal
		}
	}
	if h := w.Headline; h != nil && len(h.Next) > 0 {
		w.Next, w.NextAt = stretches(h.Next), h.Next[0].From
		w.NextSure = leastSure(w.Next, w.Source)
	}
}

// half is the share under which work asks for a yes.
const half = 0.5

// first orders what is true before what is not.
func first(is bool) int {
	if is {
		return 0
	}
	return 1
}

// leastSure is the least share in which the best block of any zone holds, in words.
func leastSure(list []stretch, s answer.Source) string {
	c, ideal, some := 1.0, true, false
	for _, x := range list {
		c, ideal, some = min(c, x.Sure), ideal && x.State == "ideal", some || x.asGo
	}
	return asGo(sure(c, s), ideal && some)
}

// boatName is the boat's name, or what a boat without one is called.
func boatName(s string) string {
	if s == "" {
		return "your boat"
	}
	return s
}
