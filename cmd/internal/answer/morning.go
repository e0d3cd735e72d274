package answer

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/verdict"
)

// NewMorning makes the answer of dewgap morning: what may be done today, from
// now on.
func NewMorning(f Facts) *Morning {
	b := newBuilder(f)
	today := b.today()
	b.booked = b.bookedToday(today)
	b.Result = b.Result.Visited(b.booked)
	var double []string
	b.Result.Elsewhere, double = b.doubleBooked()
	m := &Morning{
		Format: MorningFormat, Job: b.Job.Name, Boat: b.Job.Boat, Now: b.moment(b.Now),
		Place: b.place(), Source: b.source(), Steps: []MorningStep{}, Inserted: b.inserted(),
		Measure: []string{}, Cautions: b.cautions(today.from, today.to), Warnings: b.warnings(), KeepDry: b.keepDry(), Care: b.care(nil), Lasts: b.lasts(),
	}
	m.Readings, m.ReadingsUsed = b.readings()
	if b.Result.SprayUnknown {
		m.Warnings = slices.Insert(m.Warnings, 0, sprayQuestion)
	}
	m.Warnings = append(m.Warnings, double...)
	if text := b.unlogged(); text != "" {
		m.Warnings = append(m.Warnings, text)
	}
	list, verdictOf, slot := b.steps(m, today)
	m.Verdict = verdictOf
	if verdictOf == Wait {
		t := b.at(slot)
		m.WaitUntil = &t
	}
	if m.Done = b.allDone(); m.Done {
		m.Verdict = Go
		m.Warnings = append(m.Warnings, "every step is marked as done: nothing is asked today")
	}
	m.Measure, m.Stop = b.measure(m.Steps), b.stop(list)
	if len(list) > 0 {
		m.NextReading = b.nextReading(m)
	}
	return m
}

// steps fills in the steps of a morning and its crew, and gives those that are asked, the
// verdict on them with what of the crew is there, and the slot until which to wait.
func (b *builder) steps(m *Morning, today span) (list []asked, verdictOf string, slot int) {
	var manned, equipped []asked
	isAsked := b.askedRows(today)
	for i := range b.Result.Rows {
		a := b.ask(i, today)
		step := b.morningStep(i, a, isAsked[i], today)
		if isAsked[i] {
			by, with := b.handed(a, i, today, b.hands), b.handed(a, i, today, b.equipped)
			b.lacks(&step, b.handed(a, i, today, anyhow), by, with)
			list, manned, equipped = append(list, a), append(manned, by), append(equipped, with)
		}
		m.Steps = append(m.Steps, step)
	}
	allowed, from := morningVerdict(list, b.workableBy())
	byPeople, slotOf := morningVerdict(manned, b.workableBy())
	verdictOf, slot = morningVerdict(equipped, b.workableBy())
	if b.Crew != nil {
		crew := *b.Crew
		crew.lacking(byPeople != allowed || slotOf != from, verdictOf != byPeople || slot != slotOf)
		m.Crew = &crew
	}
	return list, verdictOf, slot
}

// sprayQuestion is asked where nobody knows: it is a question, not a verdict.
const sprayQuestion = "has salt spray come over in the last 48 h? The forecast's past does not tell: say so with a reading " +
	"(spray, or salt as a wipe tells) or in the job, since: {spray: true} or {spray: false}"

// unlogged asks for what the plan has over by now and nobody had to write down yet.
func (b *builder) unlogged() string {
	var words []string
	for _, x := range b.Agreed {
		s, okStep := b.Job.Step(x.Step)
		z, okZone := b.Job.Zone(x.Zone)
		if !okStep || !okZone || x.Redo || x.To.After(b.Now) || !b.Now.Before(window.GraceUntil(x.From, x.To)) {
			continue
		}
		if d := b.doneOf(z, s); d.Share < 1 && !d.At.After(x.From) {
			words = append(words, fmt.Sprintf("%s on %s, planned until %s", x.Step, x.Zone, x.To.In(b.loc).Format("15:04")))
		}
	}
	if len(words) == 0 {
		return ""
	}
	return "not logged yet: " + strings.Join(words, "; ") + "; log what is done"
}

// span is a stretch of slots, half-open.
type span struct{ from, to int }

func (s span) empty() bool { return s.to <= s.from }

// today is the rest of the day of now, from the slot of now; empty where the job
// begins later.
func (b *builder) today() span {
	midnight := job.DateOf(b.Now.In(b.loc)).Next().Begins(b.loc)
	s := span{max(b.Result.Grid.Index(b.Now), b.Result.From), min(b.Result.Grid.Index(midnight), b.Result.To)}
	if s.empty() {
		return span{b.Result.From, b.Result.From}
	}
	return s
}

// ask looks at one row's rest of the day.
func (b *builder) ask(row int, today span) asked {
	r := &b.Result.Rows[row]
	a := asked{row: r, now: verdict.NoGo, later: -1}
	if today.empty() {
		return a
	}
	workable := b.workableBy()
	for i, w := range r.Windows {
		if w.To <= today.from || w.From >= today.to {
			continue
		}
		if s := (span{max(w.From, today.from), min(w.To, today.to)}); b.tooLate(r, &r.Windows[i], s) {
			if w.From <= today.from {
				a.late = &r.Windows[i]
			}
			continue
		}
		state := b.begins(window.Ref{Row: row, Window: i})
		if w.From <= today.from {
			a.now = state
		}
		if state > workable {
			a.marginal = true
		} else if w.From > today.from && (a.later < 0 || w.From < a.later) {
			a.later = w.From
		}
	}
	for _, run := range r.Refusals {
		if run.To <= today.from || run.From >= today.to {
			continue
		}
		if run.From <= today.from {
			a.now = run.State
		}
		a.unknown = a.unknown || run.State == verdict.Unknown
	}
	a.unknown = a.unknown || blind(r, today.from)
	return a
}

// askedRows marks the rows on which the verdict hangs: of those that are next on
// their zone the ones planned for today, or all of them where none is.
func (b *builder) askedRows(today span) []bool {
	next := make([]bool, len(b.Result.Rows))
	planned := slices.Clone(next)
	any := false
	for i := range b.Result.Rows {
		r := &b.Result.Rows[i]
		next[i] = b.isNext(r)
		planned[i] = next[i] && (len(b.blocksToday(i, today)) > 0 || b.owed(r))
		any = any || planned[i]
	}
	if any {
		return planned
	}
	return next
}

// blocksToday are a row's blocks of today: in the plan of the book or, where that has
// none of the job for today, in the one just made.
func (b *builder) blocksToday(row int, today span) []window.RowBlock {
	var out []window.RowBlock
	r, g := &b.Result.Rows[row], b.Result.Grid
	if b.agreedToday() {
		for _, x := range b.Agreed {
			if b.isOf(x, r) && b.isToday(x) {
				out = append(out, window.RowBlock{Row: row, From: g.Index(x.From), WorkTo: g.Index(x.Worked()), To: g.Index(x.To)})
			}
		}
		return out
	}
	if b.Planned == nil {
		return nil
	}
	for _, x := range b.Planned.Blocks {
		t, first := b.Planned.Tasks[x.Task], b.Result.From
		if from := first + x.From; t.Step == r.Step && t.Zone == r.Zone && from >= today.from && from < today.to {
			out = append(out, window.RowBlock{Row: row, From: from, WorkTo: first + x.WorkTo, To: first + x.To})
		}
	}
	return out
}

// bookedToday are the blocks of today by their rows, those of the plan in the book or
// else of the one just made.
func (b *builder) bookedToday(today span) []window.RowBlock {
	var out []window.RowBlock
	for i := range b.Result.Rows {
		out = append(out, b.blocksToday(i, today)...)
	}
	return out
}

// isOf reports whether a block is that of a row.
func (b *builder) isOf(x PlanBlock, r *window.Row) bool {
	zone, redo := b.Part(r.Zone)
	return x.Step == b.step(r).Name && x.Zone == zone && x.Redo == redo
}

// owed reports whether a row is asked again because what was done is spoiled, and the
// plan that was agreed has no block ahead for it: it does not know of that yet.
func (b *builder) owed(r *window.Row) bool {
	return b.agreedToday() && b.Stock.Owed(r.Step, r.Zone) &&
		!slices.ContainsFunc(b.Agreed, func(x PlanBlock) bool { return b.isOf(x, r) && x.To.After(b.Now) })
}

func (b *builder) agreedToday() bool { return slices.ContainsFunc(b.Agreed, b.isToday) }

func (b *builder) isToday(x PlanBlock) bool {
	return job.DateOf(x.From.In(b.loc)) == job.DateOf(b.Now.In(b.loc))
}

// isNext reports whether a row is the next to be done on its zone: it is not
// done, and all before it there are.
func (b *builder) isNext(r *window.Row) bool {
	if b.done(r.Zone, r.Step) {
		return false
	}
	for s := range r.Step {
		if slices.Contains(b.Job.Steps[s].On, r.Zone) && !b.done(r.Zone, s) {
			return false
		}
	}
	return true
}

// done reports whether the whole of a step is done on a zone, by the step's own
// name or, where no step has that name, by what it does.
func (b *builder) done(zone, step int) bool { return b.doneOf(zone, step).Share >= 1 }

// doneOf is what is done of a step on a zone, nothing where the job does not say.
func (b *builder) doneOf(zone, step int) boat.Done {
	s := b.Job.Steps[step]
	d, ok := b.Job.Zones[zone].Done[s.Name]
	if !ok {
		if _, named := b.Job.Step(s.Do); !named {
			d = b.Job.Zones[zone].Done[s.Do]
		}
	}
	return d
}

func (b *builder) morningStep(row int, a asked, isAsked bool, today span) MorningStep {
	r := a.row
	s := b.step(r)
	out := MorningStep{
		Step: s.Name, Do: s.Do, Product: r.Class.ID, Zone: b.zone(r), State: a.now.String(),
		Asked: isAsked, Done: b.done(r.Zone, r.Step), Waits: !b.done(r.Zone, r.Step) && !b.isNext(r),
	}
	if !out.Done {
		out.Mind = joined(b.mind(r, b.Now, b.cleanBelow(r, b.Now)), b.stales(r, today))
	}
	now, _, ok := b.runAt(r, max(today.from, b.Result.From))
	if !ok {
		return out
	}
	out.Binding = b.binding(r, b.standsAgainst(row, now, a, today, &out))
	if a.late != nil {
		out.Binding = b.lateBinding(r, a.late, today.from)
	}
	if today.empty() {
		out.Binding = Binding{Limit: verdict.Away.String(), Text: "the job begins later", Source: yourJob}
	}
	slot := max(today.from, b.Result.From) - b.Result.From
	if own, over := r.Panel.Extents(slot, slot+1); own.Known {
		out.SurfaceC, out.SpreadK = some(own.Least, cent), some(over.Least, cent)
		out.Wet = r.Panel.Wet(slot)
	}
	rest := b.restOfDay(row, today)
	b.chances(&out, row, rest, today)
	if rest.main >= 0 {
		if film, wet := r.Towel(rest.list[rest.main].from - b.Result.From); wet {
			out.TowelGM2 = some(film, cent)
		}
	}
	out.Change = b.change(row, rest, today, out.Binding.Limit)
	if out.First == nil {
		out.Today = b.againstToday(r, today)
	}
	return out
}

// standsAgainst is what is told of a row's slot of now: its run, but of good hours that
// are too short for a block how long they are, and outside the day's hours, where none of
// those ahead is workable, what is missing or what takes most of them. Where it is data,
// the state of out becomes unknown, as the verdict is: closed hours say no more of such a
// day than that they have not begun.
func (b *builder) standsAgainst(row int, now verdict.Run, a asked, today span, out *MorningStep) verdict.Run {
	r := &b.Result.Rows[row]
	for i, w := range r.Windows {
		if ref := (window.Ref{Row: row, Window: i}); w.Run == now && b.begins(ref) > w.State {
			now.State, now.Limit = verdict.Marginal, verdict.Block
			now.Binding = verdict.Binding{
				Limit: verdict.Block, Value: float64(b.goodStretch(ref)) * verdict.SlotHours,
				Bound: float64(b.needed(row)) * verdict.SlotHours, HasValue: true,
			}
			return now
		}
	}
	if a.marginal || a.later >= 0 || !closed(now.Limit) || now.From > today.from {
		return now
	}
	for _, run := range r.Refusals {
		if a.unknown && run.State == verdict.Unknown && run.To > today.from {
			out.State = run.State.String()
			return run
		}
	}
	if most := b.mostOf(r, today); most.slots > 0 {
		return most.worst
	}
	return now
}

// blind reports whether nothing can be told of a row's hours ahead: none of them is
// workable, and what is not closed is not known.
func blind(r *window.Row, from int) bool {
	some := false
	for _, w := range r.Windows {
		if w.To > from {
			return false
		}
	}
	for _, run := range r.Refusals {
		switch {
		case run.To <= from || closed(run.Limit) || run.Limit == verdict.Machines:
		case run.State != verdict.Unknown:
			return false
		default:
			some = true
		}
	}
	return some
}

// runAt is the run of a row that holds slot i, and whether it is workable.
func (b *builder) runAt(r *window.Row, i int) (run verdict.Run, workable, ok bool) {
	for _, w := range r.Windows {
		if w.From <= i && i < w.To {
			return w.Run, true, true
		}
	}
	for _, run := range r.Refusals {
		if run.From <= i && i < run.To {
			return run, false, true
		}
	}
	return verdict.Run{}, false, false
}

// againstRow words what takes most of a row's rest of the day.
func (b *builder) againstRow(r *window.Row, today span) (string, verdict.Limit) {
	if today.empty() {
		return "", verdict.None
	}
	best := b.mostOf(r, today)
	if best.slots == 0 {
		return "", verdict.None
	}
	return b.because(r, best.worst), best.worst.Limit
}

// mostOf is the refusal that takes most of a row's rest of the day, closed hours left
// out.
func (b *builder) mostOf(r *window.Row, today span) tally {
	var best tally
	for _, run := range r.Refusals {
		var t tally
		if t.add(r, run, today.from, today.to, ""); !closed(run.Limit) && t.slots > best.slots {
			best = t
		}
	}
	return best
}

// reach is how far the answer looks, in words.
func (b *builder) reach() string {
	d := b.Result.Grid.At(b.Result.To).Sub(b.Now)
	if days := int(d / (24 * time.Hour)); days > 1 {
		return plural(days, "day")
	}
	return plural(int(d/time.Hour), "hour")
}

// measure names the zones to measure first: asked ones whose verdict hangs on
// what a thermometer, a hygrometer or a dry hand can tell.
func (b *builder) measure(steps []MorningStep) []string {
	const most = 3
	out := []string{}
	if b.blind() {
		return out
	}
	for _, s := range steps {
		if !s.Asked || len(out) == most || slices.Contains(out, s.Zone) || !measurable[s.Binding.Limit] {
			continue
		}
		out = append(out, s.Zone)
	}
	return out
}

var measurable = map[string]bool{
	verdict.SurfaceMin.String(): true, verdict.SurfaceMax.String(): true, verdict.SpreadMin.String(): true,
	verdict.HumidityMin.String(): true, verdict.HumidityMax.String(): true, verdict.AirMin.String(): true,
	verdict.AirMax.String(): true, verdict.Film.String(): true, verdict.DryOff.String(): true,
	verdict.DewFree.String(): true, verdict.Data.String(): true,
}
