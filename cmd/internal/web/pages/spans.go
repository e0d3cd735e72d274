package pages

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
)

// span is a stretch of one state on one zone.
type span struct {
	Step, Do, Product, Zone string
	From, To                time.Time
	State                   string
	Binding                 answer.Binding
	Short                   bool     // good hours that are too few for a block
	Besides                 []string // what else asks for the yes in other hours of it
}

// also words what else asks for the yes in other hours of the stretch.
func (s *span) also() string {
	return answer.AlsoFor([]answer.Window{{State: s.State, Binding: s.Binding, Besides: s.Besides}})
}

// scheduled reports a limit of the calendar, which needs no explaining.
func scheduled(limit string) bool {
	return limit == "hours" || limit == "away" || limit == "machines" || limit == "daylight"
}

var bestFirst = []string{"ideal", "go", "marginal", "unknown", "no-go"}

func rankOf(state string) int {
	if i := slices.Index(bestFirst, state); i >= 0 {
		return i
	}
	return slices.Index(bestFirst, "unknown")
}

// spansOf are all windows and refusals between two moments, cut to them, in order of
// time.
func spansOf(w *answer.Week, from, to time.Time) []span {
	var out []span
	add := func(s span) {
		if s.From.Before(from) {
			s.From = from
		}
		if s.To.After(to) {
			s.To = to
		}
		if s.From.Before(s.To) {
			out = append(out, s)
		}
	}
	for _, x := range w.Windows {
		add(span{x.Step, x.Do, x.Product, x.Zone, x.From, x.To, x.State, x.Binding, x.Short, x.Besides})
	}
	for _, x := range w.Refusals {
		add(span{x.Step, x.Do, x.Product, x.Zone, x.From, x.To, x.State, x.Binding, false, nil})
	}
	slices.SortStableFunc(out, func(a, b span) int { return a.From.Compare(b.From) })
	return out
}

// stretch is hours that some zones share, at least go where any are.
type stretch struct {
	Zones    []string
	From, To time.Time
	State    string  // the worst in it
	Sure     float64 // share of forecasts in which the best block holds, of the least sure zone
	asGo     bool    // of ideal hours: that share is of go or better
	rank     int     // of the best window in it
}

// good are windows of at least go, or all of them where there is none.
func good(ws []answer.Window) []answer.Window {
	if out := only(ws, func(w answer.Window) bool { return w.State != "marginal" && !w.Short }); len(out) > 0 {
		return out
	}
	return slices.Clone(ws)
}

// stretches are windows of at least go, or where there is none all of them, as [joined] has them.
func stretches(ws []answer.Window) []stretch { return joined(good(ws)) }

// joined joins windows that touch on a zone and groups zones of the same hours.
func joined(ws []answer.Window) []stretch {
	slices.SortStableFunc(ws, func(a, b answer.Window) int { return a.From.Compare(b.From) })
	var single []stretch
	for _, w := range ws {
		i := slices.IndexFunc(single, func(s stretch) bool { return s.Zones[0] == w.Zone && s.To.Equal(w.From) })
		if i < 0 {
			single = append(single, stretch{[]string{w.Zone}, w.From, w.To, w.State, sureOf(w), w.ToldAsGo(), w.Rank})
			continue
		}
		single[i].To = w.To
		if w.Rank < single[i].rank {
			single[i].rank, single[i].Sure, single[i].asGo = w.Rank, sureOf(w), w.ToldAsGo()
		}
		if rankOf(w.State) > rankOf(single[i].State) {
			single[i].State = w.State
		}
	}
	var out []stretch
	for _, s := range single {
		i := slices.IndexFunc(out, func(o stretch) bool { return o.From.Equal(s.From) && o.To.Equal(s.To) && o.State == s.State })
		if i < 0 {
			out = append(out, s)
		} else {
			out[i].Zones = append(out[i].Zones, s.Zones[0])
			out[i].Sure, out[i].asGo = min(out[i].Sure, s.Sure), out[i].asGo || s.asGo
		}
	}
	return out
}

// sureOf is the share that is told of a window: that in which its block holds, or the
// window itself where no block is told.
func sureOf(w answer.Window) float64 {
	_, c := w.Told()
	return c
}

// asGo ends the share that is told of ideal hours where it is that of go.
func asGo(sure string, is bool) string {
	if sure == "" || !is {
		return sure
	}
	return sure + ", as go or better"
}

// dayOf is what a week says of one day about one step.
type dayOf struct {
	At        time.Time
	State     string // of its hours as a headline would have them: the worst of those that are told
	Stretches []stretch
	Why       string // what takes most of the working hours, where there is no window
	Blocks    []answer.PlanBlock
}

// daysOf goes through the days of a week for one step.
func (v voice) daysOf(w *answer.Week, step stepIn) []dayOf {
	var out []dayOf
	for at := answer.Midnight(w.From); at.Before(w.To); at = answer.NextMidnight(at) {
		d := dayOf{At: at, State: "no-go", Blocks: blocksOn(w.Plan, at)}
		next := answer.NextMidnight(at)
		var ws []answer.Window
		var against []span
		for _, s := range spansOf(w, at, next) {
			switch {
			case s.Step != step.Name:
			case answer.Workable(s.State):
				ws = append(ws, answer.Window{Zone: s.Zone, From: s.From, To: s.To, State: s.State, Short: s.Short})
			case !scheduled(s.Binding.Limit):
				against = append(against, s)
			}
		}
		if d.Why, d.State = v.against(against); len(ws) > 0 {
			d.State, d.Why = worstOf(good(ws)), ""
		}
		d.Stretches = everyZone(stretches(ws), step.Zones)
		if h := w.Headline; h != nil && len(h.Best) > 0 && same(h.Best[0].From, at) { // which may leave out what is less sure
			d.State = worstOf(good(h.Best))
		}
		if state := inPlan(w, d.Blocks, step.Name); state != "" && rankOf(d.State) > rankOf("go") && rankOf(state) < rankOf(d.State) {
			d.State = state
			switch {
			case state == "unknown":
				d.Why = "too little is known of its hours in the plan"
			case len(ws) == 0:
				d.Why = "hours in the plan alone, beside other work"
			}
		}
		out = append(out, d)
	}
	return out
}

// inPlan is the best state of a step's blocks ahead among those that the plan has on a day,
// as the week's verdict takes them: unknown where only missing data speak against the plan;
// "" where there is none, or the plan holds no longer.
func inPlan(w *answer.Week, blocks []answer.PlanBlock, step string) (best string) {
	for _, x := range blocks {
		state := x.State
		switch {
		case w.Plan.Blind(&x, w.Now):
			state = "unknown"
		case !w.Plan.Stands(&x, w.Now):
			continue
		case x.NeedsConsent:
			state = "marginal"
		}
		if x.Step == step && (best == "" || rankOf(state) < rankOf(best)) {
			best = state
		}
	}
	return best
}

// worstOf is the worst state of work in some windows, by which a headline goes.
func worstOf(ws []answer.Window) string {
	return asBlock(slices.MaxFunc(ws, func(a, b answer.Window) int { return cmp.Compare(rankOf(asBlock(a)), rankOf(asBlock(b))) }))
}

// asBlock is the state of work in a window: of good hours that are too few it runs on into
// others, and needs a yes.
func asBlock(w answer.Window) string {
	if w.Short {
		return "marginal"
	}
	return w.State
}

// againstAll words what takes most of a step's time in the whole week, "" where that is
// nothing but the calendar.
func (v voice) againstAll(w *answer.Week, step stepIn) string {
	list := only(spansOf(w, w.From, w.To), func(s span) bool {
		return s.Step == step.Name && !answer.Workable(s.State) && !scheduled(s.Binding.Limit)
	})
	if len(list) == 0 {
		return ""
	}
	why, _ := v.against(list)
	return why
}

// against words what takes most of the time, and the state that comes of it.
func (v voice) against(list []span) (why, state string) {
	if len(list) == 0 {
		return "outside working hours", "no-go"
	}
	var sums answer.Tally
	for _, s := range list {
		sums.Add(s.Binding, s.To.Sub(s.From))
	}
	worst := sums.Longest()[0].Binding
	why = v.because(worst)
	alike := only(list, func(s span) bool { return s.Binding.Limit == worst.Limit })
	if worst.Limit != "data" && slices.ContainsFunc(alike, func(s span) bool { return v.because(s.Binding) != why }) {
		why = "at worst " + why
	}
	return why, alike[0].State
}

func blocksOn(p *answer.Plan, at time.Time) []answer.PlanBlock {
	var out []answer.PlanBlock
	if p == nil {
		return nil
	}
	for _, b := range p.Blocks {
		if same(b.From, at) {
			out = append(out, b)
		}
	}
	return out
}

// ranked is windows of the same step, hours and state, as the ranking shows them: the
// first of them with the strictest figures of all.
type ranked struct {
	answer.Window
	Zones   []string
	Block   *answer.Block // that is told, nil where no whole block is go or the zones differ in it
	Blocks  bool          // each zone has a block of its own
	Sure    string        // the least of the zones
	Least   bool          // the zones differ in their share
	Because string        // of a marginal one
	Panel   string        // how warm the panels are, and how far over the dew point
	Ready   string        // from when on the work before it can be done, "" where that is before the block
	Last    string        // the last start, or the last section
	Wet     string
}

// ranking groups the windows of a step in the order of their rank, at most so many
// groups; more counts the windows that are left out. Hours that are ideal and those beside
// them that are go are one window: who works in them need not stop between.
func (v voice) ranking(w *answer.Week, step string, most int) (out []ranked, more int) {
	var groups [][]answer.Window
	for _, x := range answer.Joined(only(w.Windows, func(x answer.Window) bool { return x.Step == step })) {
		i := slices.IndexFunc(groups, func(g []answer.Window) bool {
			return g[0].From.Equal(x.From) && g[0].To.Equal(x.To) && g[0].State == x.State
		})
		switch {
		case i >= 0:
			groups[i] = append(groups[i], x)
		case len(groups) == most:
			more++
		default:
			groups = append(groups, []answer.Window{x})
		}
	}
	for _, g := range groups {
		out = append(out, v.rankedOf(g, w.Source))
	}
	return out, more
}

// rankedOf is a group of the ranking.
func (v voice) rankedOf(g []answer.Window, s answer.Source) ranked {
	r := ranked{Window: strictest(g)}
	r.Last, r.Wet, r.Panel = lastStart(r.Window), wetAgain(r.Window), v.panel(g)
	if r.State == "marginal" {
		r.Because = v.marginal(r.Binding, answer.AlsoFor(g))
	}
	if at := answer.ReadyAt(g); at != nil {
		r.Ready = when(r.From, *at)
	}
	var asGoOnly bool
	least := 1.0
	for i := range g {
		block, share := g[i].Told()
		r.Zones = append(r.Zones, g[i].Zone)
		asGoOnly = asGoOnly || g[i].ToldAsGo()
		if i == 0 {
			r.Block, least = block, share
			continue
		}
		r.Blocks = r.Blocks || (block == nil) != (r.Block == nil) || block != nil && !(block.From.Equal(r.Block.From) && block.To.Equal(r.Block.To))
		r.Least = r.Least || sure(share, s) != sure(least, s)
		least = min(least, share)
	}
	if r.Sure = asGo(sure(least, s), asGoOnly); r.Blocks {
		r.Block = nil
	}
	return r
}

// marginal words what a stretch needs a yes for, and what else in other hours of it.
func (v voice) marginal(b answer.Binding, also string) string {
	if also == "" {
		return v.because(b)
	}
	return v.because(b) + ", and " + also
}

// strictest is the first of windows of the same hours with the earliest last times, the
// earliest water and the furthest limit of them all.
func strictest(g []answer.Window) answer.Window {
	out := g[0]
	sooner := func(a, b *time.Time) bool { return a != nil && (b == nil || a.Before(*b)) }
	for _, w := range g[1:] {
		if w.LastStart.Before(out.LastStart) {
			out.LastStart = w.LastStart
		}
		switch {
		case w.HazeMin == nil:
		case out.HazeMin == nil:
			out.HazeMin, out.LastSection = w.HazeMin, w.LastSection
		case w.LastSection == nil, out.LastSection != nil && w.LastSection.Before(*out.LastSection):
			out.LastSection = w.LastSection
		}
		if sooner(w.WipeBy, out.WipeBy) {
			out.WipeBy = w.WipeBy
		}
		if w.WetBy != "" && (out.WetBy == "" || sooner(w.WetAt, out.WetAt)) {
			out.WetAt, out.WetBy = w.WetAt, w.WetBy
		}
		if w.Binding.Limit == out.Binding.Limit {
			out.Binding = out.Binding.Worse(w.Binding)
		}
	}
	return out
}

func lastStart(w answer.Window) string {
	switch {
	case w.HazeMin == nil:
		return "last start " + when(w.From, w.LastStart)
	case w.LastSection == nil:
		return "no time left to wipe a section off"
	case w.WipeBy != nil && w.SectionM2 == nil:
		return "last section on " + when(w.From, *w.LastSection) + ", wiped by " + when(w.From, *w.WipeBy)
	}
	return "last section on " + when(w.From, *w.LastSection)
}

func wetAgain(w answer.Window) string {
	switch {
	case w.SectionM2 != nil: // washing: the next water does no harm
		return ""
	case w.WetAt == nil || w.WetBy == "":
		return "no water in sight after it"
	}
	return "wet again " + when(w.From, *w.WetAt) + " (" + w.WetBy + ")"
}

// stepsOf are the steps of a week in the order of the work, with their products.
func stepsOf(w *answer.Week) []stepIn {
	var out []stepIn
	add := func(step, do, product, zone string) {
		i := slices.IndexFunc(out, func(s stepIn) bool { return s.Name == step })
		if i < 0 {
			i = len(out)
			out = append(out, stepIn{Name: step, Do: do, Product: product})
		}
		if !slices.Contains(out[i].Zones, zone) {
			out[i].Zones = append(out[i].Zones, zone)
		}
	}
	for _, x := range w.Windows {
		add(x.Step, x.Do, x.Product, x.Zone)
	}
	for _, x := range w.Refusals {
		add(x.Step, x.Do, x.Product, x.Zone)
	}
	order := map[string]int{}
	for i, z := range w.Zones {
		order[z.Name] = i
	}
	for _, s := range out {
		slices.SortStableFunc(s.Zones, func(a, b string) int { return order[a] - order[b] })
	}
	return out
}

type stepIn struct {
	Name, Do, Product string
	Zones             []string
}

// headStep is the step that the week is asked about.
func headStep(w *answer.Week) string {
	if w.Headline != nil {
		return w.Headline.Step
	}
	steps := stepsOf(w)
	if len(steps) == 0 {
		return ""
	}
	for _, s := range steps {
		if s.Do == "seal" {
			return s.Name
		}
	}
	return steps[len(steps)-1].Name
}

// everyZone takes the names out of stretches that are on all of some zones: the page
// then says "all zones".
func everyZone(list []stretch, all []string) []stretch {
	for i := range list {
		if len(all) > 2 && len(list[i].Zones) == len(all) {
			list[i].Zones = nil
		}
	}
	return list
}

// after says what the product asks for once it is on.
func after(w answer.Window) string {
	var asks []string
	if finite(w.RainFreeH) && *w.RainFreeH > 0 {
		asks = append(asks, lasting(*w.RainFreeH)+" without rain")
	}
	if finite(w.DewFreeH) && *w.DewFreeH > 0 {
		asks = append(asks, lasting(*w.DewFreeH)+" without dew")
	}
	return strings.Join(asks, " and ")
}
