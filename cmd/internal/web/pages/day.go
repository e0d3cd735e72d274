package pages

import (
	"net/http"
	"slices"
	"strconv"
	"time"

	"dewgap/cmd/internal/answer"
)

// dayPage is what the page of a day, and its sheet, show.
type dayPage struct {
	Week    *answer.Week
	At      time.Time
	Prior   time.Time // zero where the week has no day before
	Next    time.Time
	Blocks  []answer.PlanBlock
	Steps   []dayStep
	Zone    string // whose hours are in the table
	Zones   []string
	Hours   []dayHour
	Hour    int // of the boat's picture
	Curves  *picture
	Boats   *picture
	Caution []answer.Caution
}

// dayHour is an hour in the table, with what the clock shows.
type dayHour struct {
	answer.Hour
	Label string
}

// dayStep is a step's hours on a day, zone by zone.
type dayStep struct {
	stepIn
	Rows []dayRow
	Like string // an earlier step with the same hours for the same reasons
	Open bool   // it is the step that the week is asked about, or planned for the day
}

// dayRow is the hours of zones that read the same.
type dayRow struct {
	Zones []string
	Spans []daySpan
}

// daySpan is a stretch with its reason, "" where there is nothing to say.
type daySpan struct {
	span
	Because string
}

func (p *Pages) day(r *http.Request) (*view, error) {
	b, body, err := p.dayPage(r)
	if err != nil {
		return nil, err
	}
	return &view{template: "day", Title: longDay(body.At) + ", " + boatName(b.Boat), Tab: "week", Boat: b, Body: body}, nil
}

func (p *Pages) sheet(r *http.Request) (*view, error) {
	b, body, err := p.dayPage(r)
	if err != nil {
		return nil, err
	}
	return &view{template: "sheet", Title: "Sheet for " + longDay(body.At) + ", " + boatName(b.Boat), Tab: "week", Boat: b, Body: body, Plain: true}, nil
}

func (p *Pages) dayPage(r *http.Request) (*Boat, *dayPage, error) {
	b, err := p.boat(r)
	if err != nil {
		return nil, nil, err
	}
	w, err := p.cfg.Desk.Week(r.Context(), b.ID)
	if err != nil {
		return nil, nil, err
	}
	at, err := dayIn(r.PathValue("date"), w.From.Location())
	if err != nil || !at.Before(w.To) || !answer.NextMidnight(at).After(w.From) {
		return nil, nil, &trouble{status: http.StatusNotFound, title: "Nothing is known of that day",
			text: "The forecast reaches from " + longDay(w.From) + " to " + longDay(w.To.Add(-time.Nanosecond)) + ".",
			fix:  "Choose one of those days from the week."}
	}
	out := p.voice.dayOf(w, at)
	out.choose(zoneOf(r.URL.Query().Get("zone"), w.Zones))
	out.Hour = hourOf(r.URL.Query().Get("hour"), w.Now, at)
	sun := time.Date(at.Year(), at.Month(), at.Day(), out.Hour, 0, 0, 0, at.Location())
	if !same(sun, at) { // an hour that the clock skips
		sun = at
	}
	out.Curves, out.Boats = p.voice.curvesPicture(w, at, out.Zones), p.voice.boatsPicture(w, sun, out.Zones)
	return b, out, nil
}

// dayIn is the first moment of a date at a place. Noon tells the day: there are clocks
// that skip midnight.
func dayIn(date string, loc *time.Location) (time.Time, error) {
	noon, err := time.ParseInLocation(time.DateOnly+" 15", date+" 12", loc)
	return answer.Midnight(noon), err
}

// hourOf is the hour asked for; without one that of now on its own day, else noon.
func hourOf(s string, now, at time.Time) int {
	if h, err := strconv.Atoi(s); err == nil && h >= 0 && h < 24 {
		return h
	}
	if same(now, at) {
		return now.Hour()
	}
	return 12
}

func (v voice) dayOf(w *answer.Week, at time.Time) *dayPage {
	next := answer.NextMidnight(at)
	out := &dayPage{Week: w, At: at, Blocks: blocksOn(w.Plan, at)}
	if at.After(w.From) {
		out.Prior = answer.Midnight(at.Add(-time.Hour))
	}
	if next.Before(w.To) {
		out.Next = next
	}
	all := spansOf(w, at, next)
	for _, s := range stepsOf(w) {
		x := dayStep{stepIn: s, Rows: v.dayRows(all, s)}
		x.Open = s.Name == headStep(w) || slices.ContainsFunc(out.Blocks, func(b answer.PlanBlock) bool { return b.Step == s.Name })
		for _, earlier := range out.Steps {
			if x.Like == "" && earlier.Product == s.Product && slices.EqualFunc(earlier.Rows, x.Rows, alikeRows) {
				x.Like = earlier.Name
			}
		}
		out.Steps = append(out.Steps, x)
	}
	for _, c := range w.Cautions {
		if c.From == nil || c.To == nil || c.From.Before(next) && c.To.After(at) {
			out.Caution = append(out.Caution, c)
		}
	}
	return out
}

// dayRows are a step's hours zone by zone; zones that read the same share a row.
func (v voice) dayRows(all []span, s stepIn) []dayRow {
	var out []dayRow
	for _, z := range s.Zones {
		row := dayRow{Zones: []string{z}}
		for _, x := range all {
			if x.Step != s.Name || x.Zone != z || !answer.Workable(x.State) && scheduled(x.Binding.Limit) {
				continue
			}
			y := daySpan{span: x}
			if x.State != "ideal" && x.State != "go" {
				y.Because = v.marginal(x.Binding, x.also())
			}
			row.Spans = append(row.Spans, y)
		}
		i := slices.IndexFunc(out, func(o dayRow) bool { return slices.EqualFunc(o.Spans, row.Spans, alikeSpans) })
		if i >= 0 {
			out[i].Zones = append(out[i].Zones, z)
			continue
		}
		out = append(out, row)
	}
	return out
}

func alikeRows(a, b dayRow) bool {
	return slices.Equal(a.Zones, b.Zones) && slices.EqualFunc(a.Spans, b.Spans, alikeSpans)
}

func alikeSpans(a, b daySpan) bool {
	return a.From.Equal(b.From) && a.To.Equal(b.To) && a.State == b.State && a.Because == b.Because
}

// choose takes the zone whose hours the table shows: the one asked for, else the
// first that is worked on.
func (d *dayPage) choose(zone string) {
	for _, s := range d.Steps {
		for _, z := range s.Zones {
			if !slices.Contains(d.Zones, z) {
				d.Zones = append(d.Zones, z)
			}
		}
	}
	for _, z := range d.Week.Zones {
		if !slices.Contains(d.Zones, z.Name) && len(d.Zones) == 0 || z.Name == zone {
			d.Zone = z.Name
		}
	}
	if d.Zone == "" && len(d.Zones) > 0 {
		d.Zone = d.Zones[0]
	}
	i := slices.IndexFunc(d.Week.Zones, func(z answer.Zone) bool { return z.Name == d.Zone })
	if i < 0 {
		return
	}
	for _, h := range d.Week.Zones[i].Hours {
		if same(h.At, d.At) {
			d.Hours = append(d.Hours, dayHour{h, clock(h.At)})
		}
	}
	for i := 1; i < len(d.Hours); i++ { // an hour that comes twice is told apart by its zone
		a, b := &d.Hours[i-1], &d.Hours[i]
		if clock(a.At) == clock(b.At) {
			a.Label, b.Label = a.At.Format("15:04 MST"), b.At.Format("15:04 MST")
		}
	}
}
