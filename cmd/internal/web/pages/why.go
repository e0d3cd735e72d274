package pages

import (
	"net/http"
	"slices"
	"time"

	"dewgap/cmd/internal/answer"
)

// whyPage is what the page of every limit shows. Its heading is the answer of the week
// for that slot; the lines beneath are the median's, which may stand otherwise.
type whyPage struct {
	*answer.Why
	Back    string
	State   string
	Binding answer.Binding
	Row     *span  // of the week; nil where the week has none, as for a product that the job does not use
	Once    string // what a workable state takes as done by then
	Sure    string // what holds of the window in how many forecasts; "" for a refusal
}

// why shows every limit of a product on a zone at a moment, with value, bound and
// where the bound comes from.
func (p *Pages) why(r *http.Request) (*view, error) {
	b, err := p.boat(r)
	if err != nil {
		return nil, err
	}
	q := r.URL.Query()
	at, err := time.Parse(time.RFC3339, q.Get("at"))
	if err != nil {
		return nil, badForm("The moment "+brief(q.Get("at"))+" cannot be read.", "Take the question from the week or from a day.")
	}
	w, err := p.cfg.Desk.Week(r.Context(), b.ID)
	if err != nil {
		return nil, err
	}
	zone := zoneOf(q.Get("zone"), w.Zones)
	x, err := p.cfg.Desk.Why(r.Context(), b.ID, zone, q.Get("product"), at)
	if err != nil {
		return nil, err
	}
	body := whyPage{Why: x, Back: "/day/" + b.ID + "/" + isoDay(x.At), State: x.State, Binding: x.Binding}
	if row, in := rowAt(w, x, q.Get("step")); row != nil {
		body.Row, body.State, body.Binding = row, row.State, row.Binding
		if in != nil && answer.Workable(row.State) {
			body.Sure = holdsIn(in, w.Source)
		}
	}
	if answer.Workable(body.State) {
		body.Once = x.Once
	}
	return &view{template: "why", Title: "Why, " + boatName(b.Boat), Tab: "week", Boat: b, Body: body}, nil
}

// rowAt is what the week says of a step with a product on a zone in the slot of an
// explanation, with the confidence that it shows for it; nil where it says nothing. No
// step is the first that uses the product there.
func rowAt(w *answer.Week, x *answer.Why, step string) (*span, *answer.Window) {
	for _, s := range spansOf(w, w.From, w.To) {
		if s.Zone != x.Zone || s.Product != x.Product || step != "" && zoneRef(s.Step) != step || x.At.Before(s.From) || !x.At.Before(s.To) {
			continue
		}
		i := slices.IndexFunc(w.Windows, func(o answer.Window) bool {
			return o.Step == s.Step && o.Zone == s.Zone && o.Product == s.Product && o.From.Equal(s.From)
		})
		if i < 0 {
			return &s, nil
		}
		return &s, &w.Windows[i]
	}
	return nil, nil
}

// holdsIn says in how many forecasts the block that is told of a window holds, or the
// window itself; "" where there is one forecast and no futures of it.
func holdsIn(w *answer.Window, s answer.Source) string {
	block, share := w.Told()
	in := asGo(sure(share, s), w.ToldAsGo())
	switch {
	case in == "":
		return ""
	case block == nil:
		return "these hours hold in " + in
	}
	return "the best block holds in " + in
}
