package pages

import (
	"fmt"
	"net/http"
	"slices"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
)

// morningPage is what the morning check shows.
type morningPage struct {
	*answer.Morning
	Line    string // what and why, after the verdict's word
	Big     string // WAIT until 07:00: the second half, "" without
	Groups  []morningGroup
	Later   []morningGroup // steps that wait for the step before them
	Before  []before       // work that readings put before everything else
	Places  []readingZone  // zones to be read, those to measure first on top
	Stops   []string
	StopsOf []string // products whose bounds those are
	Others  bool     // other work may begin today as well, with bounds of its own
	refusal          // of a reading
}

// morningGroup is a step and its zones, those that read alike together.
type morningGroup struct {
	Step, Product string
	Rows          []morningRow
}

// morningRow is zones that read the same this morning.
type morningRow struct {
	answer.MorningStep
	Zones   []string
	Today   []string // of them, those that are asked today; nil where that need not be said
	Show    string   // the state as shown: wait where work may begin later
	Yes     string   // what is said of the yes that marginal work now needs, "" where it needs none
	Once    bool     // it waits for the step before it, which other zones do not
	Because string
	Change  string

	FirstWhy string // why the first hour to come is marginal, "" where it is not
	Begins   string // by what it may begin now, "" where nothing lets it
}

// before is work that comes before everything else on some zones.
type before struct {
	Zones []string
	Text  string
}

// readingZone is a zone in the form for readings.
type readingZone struct {
	Name  string
	Index int
	First bool // to be measured first
}

func (p *Pages) morning(r *http.Request) (*view, error) { return p.morningView(r, refusal{}) }

// morningView draws the morning check, with what is wrong with the form if it is
// shown once more.
func (p *Pages) morningView(r *http.Request, x refusal) (*view, error) {
	b, err := p.boat(r)
	if err != nil {
		return nil, err
	}
	m, err := p.cfg.Desk.Morning(r.Context(), b.ID)
	if err != nil {
		return nil, err
	}
	body := p.voice.morningPage(m)
	body.refusal = x
	v := &view{template: "morning", Title: "This morning, " + boatName(b.Boat), Tab: "morning", Boat: b, Body: body}
	if x.Problem != "" {
		v.status = http.StatusUnprocessableEntity
	}
	if n := r.URL.Query().Get("saved"); n != "" && r.Method == http.MethodGet {
		v.Notice = "Written down. The answer below counts with it."
	}
	return v, nil
}

func (v voice) morningPage(m *answer.Morning) *morningPage {
	out := &morningPage{Morning: m, Line: v.verdictLine(m)}
	if m.WaitUntil != nil {
		out.Big = "until " + when(m.Now, *m.WaitUntil)
	}
	for _, g := range v.morningGroups(m) {
		if slices.ContainsFunc(g.Rows, func(r morningRow) bool { return r.Asked || r.Done }) {
			for i := range g.Rows {
				g.Rows[i].Once = g.Rows[i].Waits
			}
			out.Groups = append(out.Groups, g)
		} else {
			out.Later = append(out.Later, g)
		}
	}
	if len(out.Groups) == 0 {
		out.Groups, out.Later = out.Later, nil
	}
	for _, x := range m.Inserted {
		i := slices.IndexFunc(out.Before, func(b before) bool { return b.Text == x.Text })
		if i < 0 {
			i = len(out.Before)
			out.Before = append(out.Before, before{Text: x.Text})
		}
		out.Before[i].Zones = append(out.Before[i].Zones, x.Zone)
	}
	for _, s := range m.Steps {
		if !slices.ContainsFunc(out.Places, func(z readingZone) bool { return z.Name == s.Zone }) {
			out.Places = append(out.Places, readingZone{s.Zone, len(out.Places), slices.Contains(m.Measure, s.Zone)})
		}
	}
	slices.SortStableFunc(out.Places, func(a, b readingZone) int { return first(a.First) - first(b.First) })
	for _, b := range m.Stop {
		if b.Limit != "thunder" {
			out.Stops = append(out.Stops, v.limit(b))
		}
	}
	out.Stops = append(out.Stops, "thunder")
	out.StopsOf, out.Others = m.StopsOf()
	return out
}

func (v voice) morningGroups(m *answer.Morning) []morningGroup {
	var out []morningGroup
	for _, x := range m.Steps {
		i := slices.IndexFunc(out, func(g morningGroup) bool { return g.Step == x.Step })
		if i < 0 {
			i = len(out)
			out = append(out, morningGroup{Step: x.Step, Product: x.Product})
		}
		row := morningRow{MorningStep: x, Zones: []string{x.Zone}, Show: x.State, Because: v.because(x.Binding), Change: v.prose(x.Ends()), FirstWhy: v.prose(x.FirstBecause), Begins: m.Begins(x)}
		switch {
		case !answer.Workable(x.State) && x.First != nil:
			row.Show = "wait"
		case x.State == "marginal" && row.Begins != "":
			row.Yes = stopped(answer.Capital(row.Begins))
		case x.State == "marginal":
			row.Yes = "Needs your yes."
		}
		k := slices.IndexFunc(out[i].Rows, func(o morningRow) bool { return alike(o, row) })
		if k >= 0 {
			out[i].Rows[k].Zones = append(out[i].Rows[k].Zones, x.Zone)
			out[i].Rows[k].Asked = out[i].Rows[k].Asked || x.Asked
			continue
		}
		out[i].Rows = append(out[i].Rows, row)
	}
	for i := range out {
		for k := range out[i].Rows {
			row := &out[i].Rows[k]
			if today, part := m.ForToday(out[i].Step, row.Zones); part {
				row.Today = today
			}
		}
	}
	return out
}

func alike(a, b morningRow) bool {
	return a.Show == b.Show && a.Done == b.Done && a.Waits == b.Waits && a.Best == b.Best && a.Change == b.Change &&
		a.FirstState == b.FirstState && (a.TowelGM2 == nil) == (b.TowelGM2 == nil) && a.Early() == b.Early() && a.FirstWhy == b.FirstWhy && a.Again() == b.Again() && a.Mind == b.Mind &&
		a.WetBy == b.WetBy && a.Yes == b.Yes && sameTime(a.First, b.First) && sameTime(a.Last, b.Last) && sameTime(a.LastSection, b.LastSection) && sameTime(a.WipeBy, b.WipeBy) && sameTime(a.WetAt, b.WetAt) &&
		sameTime(a.RainAt, b.RainAt) && a.Because == b.Because && sameNumber(a.SurfaceC, b.SurfaceC) && sameNumber(a.SpreadK, b.SpreadK) && a.Wet == b.Wet
}

func sameTime(a, b *time.Time) bool { return a == b || a != nil && b != nil && a.Equal(*b) }

func sameNumber(a, b *float64) bool { return a == b || a != nil && b != nil && *a == *b }

// verdictLine says what the verdict is about, after its word, and that the plan has none of
// it today.
func (v voice) verdictLine(m *answer.Morning) string {
	line := v.allowed(m)
	if none := m.Unplanned(); none != "" {
		line = strings.TrimSuffix(line, ".") + "; " + none + "."
	}
	return line
}

// allowed is what may be done or what stands against it.
func (v voice) allowed(m *answer.Morning) string {
	var s string
	if m.Done {
		return "Nothing is left to do."
	}
	switch m.Verdict {
	case "go":
		able, soft := answer.MorningStep.Able, func(x answer.MorningStep) bool { return x.State == "marginal" && !x.Lacks() }
		if asked := m.AskedSteps(); !slices.ContainsFunc(asked, able) && slices.ContainsFunc(asked, soft) {
			return stopped("Now with your yes: " + what(m, soft))
		}
		s = what(m, able) + latest(m, able)
	case "wait":
		s = "Then " + what(m, m.Then) + latest(m, m.Then)
		if held := m.Crew.HeldBy(m.Now); held != "" {
			s += "; " + held
		}
	case "marginal":
		s = "Needs your yes for " + what(m, answer.MorningStep.Soft)
		if from := m.YesFrom(); from != nil {
			s += ", from " + when(m.Now, *from)
		} else {
			s += ", because " + v.mainReason(m, func(x answer.MorningStep) bool { return x.State == "marginal" })
		}
	case "no-go":
		if held := m.Crew.HeldBy(m.Now); held != "" {
			s = "Today " + held
			break
		}
		pick := func(x answer.MorningStep) bool { return x.State != "unknown" }
		why, limit := v.stands(m, pick)
		s = "Today " + why + m.SpellOf(limit, pick).Words(m.Now, hours, when)
	default:
		s = v.mainReason(m, func(x answer.MorningStep) bool { return x.State == "unknown" })
	}
	return stopped(answer.Capital(s))
}

// latest are the earliest last start, when the work may begin again after it, and
// the rain that bears on it.
func latest(m *answer.Morning, pick func(answer.MorningStep) bool) string {
	last, again := m.LastStart(pick)
	rain := m.FirstRain(pick)
	s := ""
	if last != nil {
		s = ". Last start " + when(m.Now, *last)
	}
	if again != nil {
		s += ", again from " + when(m.Now, *again)
	}
	if rain != nil {
		s += ", " + answer.RainWords(m.Now, *rain, when)
	}
	return s
}

// what names the steps with their zones that pick chooses.
func what(m *answer.Morning, pick func(answer.MorningStep) bool) string {
	zones, all, order := map[string][]string{}, map[string]int{}, []string{}
	for _, x := range m.Steps { // those that are left to do, asked today or not: "all zones" leaves none out
		if !x.Done {
			all[x.Step]++
		}
	}
	for _, x := range m.AskedSteps() {
		if !pick(x) {
			continue
		}
		if zones[x.Step] == nil {
			order = append(order, x.Step)
		}
		zones[x.Step] = append(zones[x.Step], x.Zone)
	}
	var parts []string
	for _, s := range order {
		on := answer.Listed(zones[s])
		switch {
		case len(zones[s]) == all[s] && all[s] > 2:
			on = "all zones"
		case len(zones[s]) > 4:
			on = fmt.Sprintf("%s and %d more", strings.Join(zones[s][:3], ", "), len(zones[s])-3)
		}
		parts = append(parts, s+" "+on)
	}
	if len(parts) == 0 {
		return "nothing is left to do today"
	}
	return strings.Join(parts, "; ")
}

// mainReason is stands without its limit.
func (v voice) mainReason(m *answer.Morning, pick func(answer.MorningStep) bool) string {
	why, _ := v.stands(m, pick)
	return why
}

// stands is what stands against most of the steps that pick chooses, hours and days off
// last of all, in words, and its limit.
func (v voice) stands(m *answer.Morning, pick func(answer.MorningStep) bool) (why, limit string) {
	n := map[string]int{}
	var list []answer.Binding
	for _, x := range m.AskedSteps() {
		if pick(x) {
			against, _ := x.Stands()
			n[against.Limit]++
			list = append(list, against)
		}
	}
	var best *answer.Binding
	for i, x := range list {
		if best == nil || first(!scheduled(x.Limit)) < first(!scheduled(best.Limit)) ||
			scheduled(x.Limit) == scheduled(best.Limit) && (n[x.Limit] > n[best.Limit] || x.Limit == best.Limit && x.Further(*best)) {
			best = &list[i]
		}
	}
	switch {
	case best != nil:
		return v.because(*best), best.Limit
	case m.Verdict == "unknown":
		return "today's hours cannot be judged by this forecast", ""
	}
	return "nothing is left to do today", ""
}

// stopWords are what the bounds of limits are about.
var stopWords = map[string]string{
	"air_min": "air under", "air_max": "air over", "surface_min": "panel under", "surface_max": "panel over",
	"humidity_min": "humidity under", "humidity_max": "humidity over", "wind_max": "wind over", "gust_max": "gusts over",
	"dust_wind": "wind with dust upwind over", "dust_gust": "gusts with dust upwind over",
	"access": "gusts at height over", "sunlight_max": "sunlight on the panel over", "uv_max": "UV index on the panel over",
	"spread_min": "panel under", "moisture": "wood moisture over",
}

// limit words a bound alone: "panel over 30 °C". The screen's own words for a value
// that is just at its bound have the bound in the page's units, rounded to its strict
// side.
func (v voice) limit(b answer.Binding) string {
	w, ok := stopWords[b.Limit]
	if !ok || !finite(b.Bound) {
		return v.because(b)
	}
	at, _, _ := strings.Cut(v.because(answer.Binding{Limit: b.Limit, Value: b.Bound, Bound: b.Bound, Unit: b.Unit}), ", ")
	if i := strings.IndexAny(at, "-0123456789"); i >= 0 {
		at = at[i:]
	}
	if b.Limit == "spread_min" {
		at += " and falling"
	}
	return w + " " + strings.TrimSuffix(strings.TrimSuffix(at, " at height"), " at the panel")
}
