package answer

import (
	"cmp"
	"slices"
	"time"

	"dewgap/window"
	"dewgap/window/job"
	"dewgap/window/verdict"
)

// Headline is the answer in a few words: what a person asks first.
type Headline struct {
	Step    string      `json:"step"`
	Day     string      `json:"day"`                // that it is about, 2026-09-10: see [Week.Asked]; "" without hours
	Planned bool        `json:"planned"`            // that day and its hours are the plan's; else those of best
	Hours   []HeadHours `json:"hours"`              // of that day, in order of start
	Best    []Window    `json:"best"`               // the windows of the day that the step's own weather suits best, in order of start, from when the work before them can be done
	OffBest string      `json:"off_best,omitempty"` // that the plan does not take that day, and why, in words
	Next    []Window    `json:"next"`               // those of the next best day that the plan does not take
	Breaks  []string    `json:"breaks"`             // what would break the day that it is about, in words
	WhyNot  []string    `json:"why_not"`            // per refused day before that: why
}

// HeadHours are hours of the day that a headline is about.
type HeadHours struct {
	Zone       string    `json:"zone"`
	From       time.Time `json:"from"`
	To         time.Time `json:"to"`
	State      string    `json:"state"`      // marginal where they wait for a yes
	Confidence float64   `json:"confidence"` // of the block that is told
}

// choice is the step that the headline is about, and the days that its own weather names.
type choice struct {
	Step       int // index into the job's steps; −1 in a job without steps
	Best, Next []window.Ref
}

// HeadStep is the step that a headline is about: the first that seals, else the
// last; −1 in a job without steps.
func HeadStep(j *job.Job) int {
	if i := slices.IndexFunc(j.Steps, func(s job.Step) bool { return s.Do == "seal" }); i >= 0 {
		return i
	}
	return len(j.Steps) - 1
}

// headStep is the same of the steps on which something is left to do, where there is
// any.
func (b *builder) headStep() int {
	last := -1
	for i, s := range b.Job.Steps {
		if b.stepDone(i) {
			continue
		}
		if last = i; s.Do == "seal" {
			break
		}
	}
	if last < 0 {
		return HeadStep(b.Job)
	}
	return last
}

// choose finds the best day, which is that of the best-ranked window, and the
// next best: the day of the best-ranked window that lies on another, but for those that the
// plan has. Windows that a good block fits into come before all others, and of zones that are
// done none counts; neither does one that is over before the work ahead of it can be, where
// there are others.
func (b *builder) choose(planned func(time.Time) bool) choice {
	c := choice{Step: b.headStep()}
	if c.Step < 0 || c.Step >= len(b.Result.Ranked) {
		return c
	}
	refs := b.choices(c.Step, b.inTime)
	if len(refs) == 0 {
		refs = b.choices(c.Step, func(window.Ref) bool { return true })
	}
	if len(refs) == 0 {
		return c
	}
	best := b.bestDay(refs[0])
	c.Best = b.onDay(refs, best)
	for _, ref := range refs {
		if d := b.bestDay(ref); d != best && !planned(d.Begins(b.loc)) {
			c.Next = b.onDay(refs, d)
			break
		}
	}
	return c
}

// choices are a step's windows on zones that are not done, of those that a test holds for:
// the good ones first, each in the order of their rank.
func (b *builder) choices(step int, is func(window.Ref) bool) []window.Ref {
	var refs, others []window.Ref
	for _, ref := range b.Result.Ranked[step] {
		r := &b.Result.Rows[ref.Row]
		switch {
		case b.done(r.Zone, r.Step) || !is(ref):
		case b.good(ref):
			refs = append(refs, ref)
		default:
			others = append(others, ref)
		}
	}
	return append(refs, others...)
}

// inTime reports whether a block fits into a window once the work that comes before it on
// its zone can be done.
func (b *builder) inTime(ref window.Ref) bool {
	w, ready := b.Result.At(ref), b.readyAt(ref.Row)
	to := max(w.To, b.goodSpan(ref).to)
	return w.To > ready && max(w.From, ready)+min(b.needed(ref.Row), w.To-w.From) <= to
}

// readyAt is the slot in which work of a row may begin at the soonest: see
// [window.Needs.Ready].
func (b *builder) readyAt(row int) int {
	b.needed(row)
	at, ok := b.ready[row]
	if !ok {
		if b.ready == nil {
			b.ready = map[int]int{}
		}
		at = b.needs.Ready(row)
		b.ready[row] = at
	}
	return at
}

// good reports whether a block that is go throughout fits into a window.
func (b *builder) good(ref window.Ref) bool {
	return b.Result.At(ref).State <= verdict.Go && !b.short(ref)
}

// bestDay is the day of the block that is told of a window.
func (b *builder) bestDay(ref window.Ref) job.Date {
	w := b.Result.At(ref)
	if w.BestState > verdict.Go && b.good(ref) {
		if s := b.shortGoBlock(ref); !s.empty() {
			return b.dayOf(s.from)
		}
	}
	return b.dayOf(w.BestFrom)
}

// half is the share under which a plan asks for a yes before a block.
const half = 0.5

// sureOnes leaves out the windows in which a block is surer not to hold than to hold, where
// the same day has a better one of the same work: nobody would begin in them.
func (b *builder) sureOnes(refs []window.Ref) []window.Ref {
	sure, most := make([]float64, len(refs)), map[int]float64{}
	for i, ref := range refs {
		w := b.window(ref)
		_, sure[i] = w.Told()
		most[ref.Row] = max(most[ref.Row], sure[i])
	}
	var out []window.Ref
	for i, ref := range refs {
		if sure[i] >= half || most[ref.Row] < half {
			out = append(out, ref)
		}
	}
	return out
}

// onDay gives a day's windows of at least go that a block fits into, or where there
// is none all others, in order of start.
func (b *builder) onDay(refs []window.Ref, day job.Date) []window.Ref {
	var good, others []window.Ref
	for _, ref := range refs {
		switch {
		case b.bestDay(ref) != day:
		case b.good(ref):
			good = append(good, ref)
		default:
			others = append(others, ref)
		}
	}
	if good = b.sureOnes(good); len(good) == 0 {
		good = others
	}
	slices.SortStableFunc(good, func(x, y window.Ref) int {
		return cmp.Or(cmp.Compare(b.Result.At(x).From, b.Result.At(y).From), cmp.Compare(x.Row, y.Row))
	})
	return good
}

// takeHeadline gives a week its headline, beside the plan that it has.
func (b *builder) takeHeadline(w *Week) {
	w.Headline = nil
	step := b.headStep()
	if step < 0 {
		return
	}
	h := &Headline{Step: b.Job.Steps[step].Name, Hours: []HeadHours{}, Breaks: []string{}, WhyNot: []string{}}
	w.Headline = h
	c := b.choose(w.onDays)
	h.Best, h.Next = b.list(c.Best), b.list(c.Next)
	hours, planned := w.Asked()
	h.Planned = planned
	for i := range hours {
		x := &hours[i]
		_, sure := x.Told()
		h.Day = x.From.Format(time.DateOnly)
		h.Hours = append(h.Hours, HeadHours{Zone: x.Zone, From: x.From, To: x.To, State: x.State, Confidence: sure})
	}
	h.OffBest = w.OffBest(false)
	if !b.allDone() {
		h.WhyNot = b.whyNot(step, h)
	}
}

// list are windows as the headline tells them: from when the work before them can be done.
func (b *builder) list(refs []window.Ref) []Window {
	out := []Window{}
	for _, ref := range refs {
		w := b.window(ref)
		if ready := b.readyAt(ref.Row); b.inTime(ref) && b.at(ready).After(w.From) {
			w.From, w.ReadyAt = b.at(ready), nil
		}
		out = append(out, w)
	}
	slices.SortStableFunc(out, func(x, y Window) int { return x.From.Compare(y.From) })
	return out
}
