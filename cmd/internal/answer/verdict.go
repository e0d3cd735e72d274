package answer

import (
	"slices"
	"time"

	"dewgap/window"
	"dewgap/window/verdict"
)

// The verdicts of an answer as a whole.
const (
	Go       = "go"
	Wait     = "wait"
	Marginal = "marginal"
	NoGo     = "no-go"
	Unknown  = "unknown"
)

// weekVerdict is go if every step that seals (every step, where none does) has a
// window that a block fits into, one of at least go throughout unless the person
// has said yes to marginal ones, or a block of the plan that needs no yes, however short
// within its visit; marginal if only that yes is missing; unknown if only missing data
// prevents it; else no-go. Steps that are done, or presumed to be, prevent nothing.
func (b *builder) weekVerdict(p *Plan, presumed ...string) string {
	seals := false
	for i, s := range b.Job.Steps {
		seals = seals || s.Do == "seal" && !b.stepDone(i)
	}
	out := Go
	for i, s := range b.Job.Steps {
		if seals && s.Do != "seal" || b.stepDone(i) {
			continue
		}
		lacks := NoGo
		planned, free, blind := b.inPlan(p, i)
		switch {
		case b.hasWindow(i) || free || slices.Contains(presumed, s.Name):
			continue
		case len(b.Result.Ranked[i]) > 0 || planned:
			lacks = Marginal
		case b.onlyData(i) || blind:
			lacks = Unknown
		}
		if out != Go && out != lacks { // neither a yes nor data alone would do
			lacks = NoGo
		}
		out = lacks
	}
	return out
}

// TakePlan puts a plan into a week, and says what that makes of its headline and of its
// verdict: hours that a step has within a visit alone are hours all the same. What would break
// the headline's day is not told yet.
func (w *Week) TakePlan(f Facts, p *Plan) {
	b := newBuilder(f)
	w.Plan, w.Verdict, w.Care = p, b.weekVerdict(p), b.care(p)
	b.takeHeadline(w)
}

// TakeMoved is TakePlan with a plan that was moved, and without the ways to get on with a
// job that has none. A step of which nothing is left but to log it counts as done, as the
// move has it.
func (w *Week) TakeMoved(f Facts, m *Move) {
	var over []string
	for _, c := range m.Changes {
		if c.Reason == window.WhyUnlogged.String() && c.Before != nil && !slices.ContainsFunc(m.Plan.Blocks, func(x PlanBlock) bool {
			return x.Step == c.Before.Step && x.To.After(f.Now)
		}) {
			over = append(over, c.Before.Step)
		}
	}
	b := newBuilder(f)
	w.Plan, w.Verdict, w.Care, w.Ladder = m.Plan, b.weekVerdict(m.Plan, over...), b.care(m.Plan), []Rung{}
	b.takeHeadline(w)
}

// inPlan reports whether a plan has a block of a step ahead that may be worked in, and
// whether one needs no yes, or has it; and whether only missing data speak against such
// a block of a plan that is held.
func (b *builder) inPlan(p *Plan, step int) (planned, free, blind bool) {
	if p == nil {
		return false, false, false
	}
	for i := range p.Blocks {
		x := &p.Blocks[i]
		switch {
		case x.Step != b.Job.Steps[step].Name:
		case p.Stands(x, b.Now):
			planned, free = true, free || !x.NeedsConsent || b.Job.AcceptMargin
		case p.Blind(x, b.Now):
			blind = true
		}
	}
	return planned, free, blind
}

// Stands reports whether a block of the plan is ahead and may be worked in. A plan that
// holds no longer has none: what the visits of its short blocks hang on is gone.
func (p *Plan) Stands(x *PlanBlock, now time.Time) bool {
	return Workable(p.State) && Workable(x.State) && x.To.After(now)
}

// Blind reports whether a block of the plan is ahead, and only missing data speak against
// it or what its visit hangs on.
func (p *Plan) Blind(x *PlanBlock, now time.Time) bool {
	return p.State == Unknown && (Workable(x.State) || x.State == Unknown) && x.To.After(now)
}

// Workable reports whether work may be done in a state, be it with a yes.
func Workable(state string) bool { return state == "ideal" || state == Go || state == Marginal }

// hasWindow reports whether a step may be done somewhere within the horizon.
func (b *builder) hasWindow(step int) bool {
	for i := range b.Result.Rows {
		if b.Result.Rows[i].Step != step {
			continue
		}
		for k, w := range b.Result.Rows[i].Windows {
			if ref := (window.Ref{Row: i, Window: k}); w.State <= b.workableBy() && (b.Job.AcceptMargin || b.good(ref)) {
				return true
			}
		}
	}
	return false
}

// short reports whether a window of at least go is too short for a block that is go
// throughout, together with those beside it that are no worse: work begun there runs
// into hours that need a yes.
func (b *builder) short(ref window.Ref) bool {
	n := b.goodStretch(ref)
	if n == 0 || n >= b.shortest() || b.holdsBooked(ref) {
		return false
	}
	return n < b.needed(ref.Row)
}

// holdsBooked reports whether the good hours of a window hold what is left of a block
// that is booked for today.
func (b *builder) holdsBooked(ref window.Ref) bool {
	good := b.goodSpan(ref)
	return slices.ContainsFunc(b.booked, func(x window.RowBlock) bool {
		return x.Row == ref.Row && max(x.From, b.Result.From) >= good.from && x.To <= good.to
	})
}

// needed is how long a block of a row's work has to be at the least, in slots.
func (b *builder) needed(row int) int {
	if b.needs == nil {
		b.needs = window.NewNeeds(b.Result, b.Job)
	}
	return b.needs.Of(row)
}

// goodStretch is the length in slots of a window of at least go together with those
// beside it that are no worse; none of another.
func (b *builder) goodStretch(ref window.Ref) int {
	s := b.goodSpan(ref)
	return s.to - s.from
}

// goodSpan is where a window of at least go and those beside it that are no worse begin
// and end; empty of another.
func (b *builder) goodSpan(ref window.Ref) span {
	list := b.Result.Rows[ref.Row].Windows
	if list[ref.Window].State > verdict.Go {
		return span{}
	}
	first, last := ref.Window, ref.Window
	for first > 0 && list[first-1].State <= verdict.Go && list[first-1].To == list[first].From {
		first--
	}
	for last+1 < len(list) && list[last+1].State <= verdict.Go && list[last+1].From == list[last].To {
		last++
	}
	return span{list[first].From, list[last].To}
}

// begins is the state in which work begun in a window is done: that of the window,
// but marginal where it runs on into hours that need a yes which the job does not give.
func (b *builder) begins(ref window.Ref) verdict.State {
	if !b.Job.AcceptMargin && b.short(ref) {
		return verdict.Marginal
	}
	return b.Result.At(ref).State
}

// onlyData reports whether a step might have a window if more were known: it has
// an unknown run long enough to work in. Where the job names no last day, the
// hours whose clocks reach past the forecast's end are no such run: there every
// forecast ends, and they say nothing about the days that it covers; unless it
// covers no working hours besides, so that nothing but data stands against it.
func (b *builder) onlyData(step int) bool {
	judged := b.judged(step)
	for i := range b.Result.Rows {
		r := &b.Result.Rows[i]
		if r.Step != step {
			continue
		}
		to := b.Result.To
		if b.Job.By.IsZero() && judged {
			reach := time.Duration(afterHours(r.Class) * float64(time.Hour))
			to = b.Result.Grid.Index(b.Forecast.End().Add(-reach))
		}
		for _, run := range r.Refusals {
			if run.State == verdict.Unknown && run.From < to && run.Len() >= b.shortest() {
				return true
			}
		}
	}
	return false
}

// judged reports whether anything besides people's hours and missing data is
// known of a step.
func (b *builder) judged(step int) bool {
	return slices.ContainsFunc(b.Result.Rows, func(r window.Row) bool {
		return r.Step == step && (len(r.Windows) > 0 || slices.ContainsFunc(r.Refusals, func(run verdict.Run) bool {
			return run.State != verdict.Unknown && !closed(run.Limit) && run.Limit != verdict.Machines
		}))
	})
}

// shortest is the shortest useful block in slots.
func (b *builder) shortest() int {
	h := b.Job.ShortestH
	if h <= 0 {
		h = usualShortestH
	}
	return int(h/verdict.SlotHours + 0.999)
}

// asked is what this morning's verdict hangs on: one step on one zone.
type asked struct {
	row *window.Row
	now verdict.State // in the slot of now
	// later is the first slot of today after now in which work may begin, −1 if
	// there is none; marginal and unknown tell whether such slots come today.
	later             int
	marginal, unknown bool
	// late is the window of now, where no section put on in the rest of it can be wiped
	// off in time: to begin is then no-go, whatever the weather; else nil.
	late *window.Window
}

// morningVerdict is go if any asked step may start now, wait if any may later
// today, marginal if only the person's yes is missing, unknown if data are, else
// no-go. slot is that from which on to wait, −1 without one.
func morningVerdict(list []asked, workable verdict.State) (out string, slot int) {
	out, slot = NoGo, -1
	var marginal, unknown bool
	for _, a := range list {
		if a.now <= workable {
			return Go, -1
		}
		if a.later >= 0 && (slot < 0 || a.later < slot) {
			slot = a.later
		}
		marginal, unknown = marginal || a.marginal, unknown || a.unknown
	}
	switch {
	case slot >= 0:
		out = Wait
	case marginal:
		out = Marginal
	case unknown:
		out = Unknown
	}
	return out, slot
}
