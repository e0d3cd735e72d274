package app

import (
	"fmt"
	"math"
	"math/bits"
	"slices"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/window"
	"dewgap/window/verdict"
)

// holder holds a plan against the newest forecast. What was agreed stands where it
// stood; only what is said of it changes. How sure it is goes by the forecasts of now, but no
// state is ever better than agreed: a block that was marginal for what came before it stays so
// until somebody moves the plan.
type holder struct {
	answer.Facts
	made   time.Time
	joint  []uint64 // members in which every block holds
	voters int
	broken []brokenPart
	dark   []string // blocks that are not known
	over   []string // blocks that are over and not done
}

// brokenPart is what of a plan does not hold, in words, and as an owner may read it; dark:
// for nothing is known of it; missed: for its time is over.
type brokenPart struct {
	what, toOwner string
	dark, missed  bool
}

// holdPlan puts a plan that was agreed at some moment into a week in place of a new one.
func holdPlan(f answer.Facts, week *answer.Week, old *answer.Plan, made time.Time) {
	out, broken := hold(f, old, made)
	out.Why = []string{"agreed on " + out.Held.Format(stamp) + "; it stands until it is moved or planned anew"}
	if len(old.Why) > 0 { // the rest is of how it was searched for, or true of any plan
		out.Why = append(out.Why, "as it was made: "+old.Why[0])
	}
	for _, b := range broken {
		says := func(what string) string {
			return answer.BrokenPlan + out.Held.Format(stamp) + " does not hold: " + what + "; move it or plan anew"
		}
		week.Warnings = append(week.Warnings, says(b.what))
		out.ForOwner = append(out.ForOwner, says(b.toOwner))
	}
	week.TakePlan(f, out)
}

// hold is a plan as it was agreed at some moment, with what is to be said of it now, and
// what of it does not hold.
func hold(f answer.Facts, old *answer.Plan, made time.Time) (*answer.Plan, []brokenPart) {
	h := &holder{Facts: f, made: made.In(f.Job.Location())}
	out := *old
	out.Blocks = slices.Clone(old.Blocks)
	out.Consents, out.Held, out.Misses, out.ForOwner, out.Accepted = 0, &h.made, nil, nil, f.Job.AcceptMargin
	worst := verdict.Ideal
	for i := range out.Blocks {
		x := &out.Blocks[i]
		loc := f.Job.Location()
		x.From, x.To, x.WorkTo = x.From.In(loc), x.To.In(loc), x.WorkTo.In(loc)
		if !x.To.After(f.Now) {
			h.missed(x)
			continue
		}
		worst = max(worst, h.block(x))
		if x.NeedsConsent {
			out.Consents++
		}
	}
	h.alike(h.over, "over and not done", false)
	h.alike(h.dark, "unknown now", true)
	h.owed(&out)
	worst = max(worst, h.polishers(out.Blocks))
	switch {
	case worst > verdict.Marginal:
		out.State, out.Confidence = worst.String(), 0
	case out.Consents > 0:
		out.State = answer.Marginal
	default:
		out.State = answer.Go
	}
	if h.voters > 0 && worst <= verdict.Marginal {
		out.Confidence = shareOf(count(h.joint), h.voters)
	}
	slices.SortStableFunc(h.broken, func(a, b brokenPart) int { return after(a) - after(b) })
	return &out, h.broken
}

// after is 1 of what was missed, which may be a wash that nobody logged: work at risk is told
// before it.
func after(b brokenPart) int {
	if b.missed {
		return 1
	}
	return 0
}

// breaks notes what does not hold, and how an owner may read it.
func (h *holder) breaks(what, toOwner string) {
	h.broken = append(h.broken, brokenPart{what: what, toOwner: toOwner})
}

// alike notes blocks of which the same is to be said, in one line however many: that nothing
// is known of them, or else that they were missed.
func (h *holder) alike(blocks []string, are string, dark bool) {
	if len(blocks) == 0 {
		return
	}
	what := blocks[0] + " is " + are
	if more := len(blocks) - 1; more > 0 {
		what = fmt.Sprintf("%s and %d more of its blocks are %s", blocks[0], more, are)
	}
	h.broken = append(h.broken, brokenPart{what: what, toOwner: what, dark: dark, missed: !dark})
}

// breaksAlike is breaks where everybody may read the same.
func (h *holder) breaksAlike(what string) { h.breaks(what, what) }

// row is the row of a block, nil where the job has no such work any longer.
func (h *holder) row(x *answer.PlanBlock) *window.Row {
	i := slices.IndexFunc(h.Result.Rows, func(r window.Row) bool {
		zone, redo := h.Part(r.Zone)
		return h.Job.Steps[r.Step].Name == x.Step && zone == x.Zone && redo == x.Redo
	})
	if i < 0 {
		return nil
	}
	return &h.Result.Rows[i]
}

// owed names work that has to be done again because what was done is spoiled, and for
// which the plan, made before that, has no block ahead.
func (h *holder) owed(p *answer.Plan) {
	for i := range h.Result.Rows {
		r := &h.Result.Rows[i]
		zone, redo := h.Part(r.Zone)
		step := h.Job.Steps[r.Step]
		if d := h.Job.Zones[r.Zone].Done[doneKey(h.Job, r.Zone, r.Step)]; d.Share >= 1 || !h.Stock.Owed(r.Step, r.Zone) {
			continue
		}
		if p.Part.LeavesOut(answer.WorkName{Step: step.Name, Zone: zone, Redo: redo}) {
			continue // it has no place in it yet
		}
		if !slices.ContainsFunc(p.Blocks, func(x answer.PlanBlock) bool {
			return x.Step == step.Name && x.Zone == zone && x.Redo == redo && x.To.After(h.Now)
		}) {
			h.breaksAlike(step.Name + " on " + zone + " has to be done again and has no block in it")
		}
	}
}

// polishers names the blocks at whose beginning more people of the plan work machines than
// the job has by now, and gives no-go where there is one: only at a beginning are there more
// than just before. It names those as well in whose hours the crew's other boats have what
// they need.
func (h *holder) polishers(blocks []answer.PlanBlock) verdict.State {
	most, worst := h.Job.Polishers, verdict.Ideal
	if most == 0 {
		return worst
	}
	var own []answer.Lent
	var ahead []*answer.PlanBlock
	for i := range blocks {
		if x := &blocks[i]; x.Worked().After(h.Now) && x.Machine(h.Classes) && !h.done(x) {
			own, ahead = append(own, answer.Lent{From: x.From, To: x.Worked(), N: len(x.People)}), append(ahead, x)
		}
	}
	all := slices.Concat(own, h.Crew.Polishers())
	for i, x := range ahead {
		if n, _ := answer.InHands(own, x.From); n > most {
			worst = verdict.NoGo
			if !slices.ContainsFunc(own[:i], func(l answer.Lent) bool { return l.From.Equal(x.From) }) {
				h.breaksAlike(name(x) + ": there are too few polishers then")
			}
		} else if on := answer.LentAway(all, own[i], most); on != "" && h.Crew.On(x) == "" {
			h.breaks(name(x)+": a polisher that it needs is on "+on+" then, or on the way",
				name(x)+": a polisher that it needs is on "+answer.AnotherBoat+" then, or on the way")
		}
	}
	return worst
}

// done reports whether all of a block's work is logged as done, ahead of its time.
func (h *holder) done(x *answer.PlanBlock) bool {
	r := h.row(x)
	return r != nil && h.Job.Zones[r.Zone].Done[doneKey(h.Job, r.Zone, r.Step)].Share >= 1
}

// missed names a block whose time is over though nothing of it is done.
func (h *holder) missed(x *answer.PlanBlock) {
	r := h.row(x)
	if r == nil {
		return
	}
	if d := h.Job.Zones[r.Zone].Done[doneKey(h.Job, r.Zone, r.Step)]; d.Share <= 0 {
		h.over = append(h.over, name(x))
	}
}

// name is a block in words.
func name(x *answer.PlanBlock) string {
	return fmt.Sprintf("%s on %s, %s", x.Step, x.Zone, x.From.Format(stamp))
}

// block says what is to be said of a block now, and gives its state.
func (h *holder) block(x *answer.PlanBlock) verdict.State {
	state, voted := verdict.Unknown, 0
	if on := h.Crew.On(x); on != "" {
		h.breaks(name(x)+": its people are on "+on+" then, or on the way", name(x)+": its people are on "+answer.AnotherBoat+" then, or on the way")
	}
	if r := h.row(x); r == nil || r.Slots == nil {
		h.breaksAlike("the job has no " + x.Step + " on " + x.Zone + " any longer")
	} else if state, voted = h.slots(r, x); state == verdict.Unknown {
		h.dark = append(h.dark, name(x))
	} else if state > verdict.Marginal {
		h.breaksAlike(name(x) + " is " + state.String() + " now")
	}
	state = max(state, stateOf(x.State))
	x.State = state.String()
	if state > verdict.Marginal {
		x.Confidence = 0
	} else if h.voters > 0 {
		x.Confidence = shareOf(voted, h.voters)
	}
	h.asks(x, state)
	return state
}

// asks says whether a block needs a yes in its state of now, and what for. Nobody can say
// yes to what is no-go or not known.
func (h *holder) asks(x *answer.PlanBlock, state verdict.State) {
	if !state.Workable() {
		x.NeedsConsent, x.ConsentFor = false, ""
		return
	}
	few := x.Confidence < 0.5
	if x.ConsentFor == answer.FewHold && !few { // nearer to its day the forecasts agree
		x.NeedsConsent, x.ConsentFor = false, ""
	}
	x.NeedsConsent = x.NeedsConsent || state == verdict.Marginal || few
	if x.NeedsConsent && x.ConsentFor == "" { // it was better when the plan was agreed
		x.ConsentFor = "its hours are " + state.String() + " now"
		if state < verdict.Marginal {
			x.ConsentFor = answer.FewHold
		}
	}
}

// slots are the state of a block's slots from now on, and the members in which all of
// them hold. What lies past the horizon is not known.
func (h *holder) slots(r *window.Row, x *answer.PlanBlock) (state verdict.State, voted int) {
	s, g := r.Slots, h.Result.Grid
	from, to := max(0, g.Index(x.From)-h.Result.From), g.Index(x.To.Add(-time.Nanosecond))+1-h.Result.From
	if to > len(s.State) || from >= to {
		return verdict.Unknown, 0
	}
	words := len(s.Voters)
	all := slices.Clone(s.Voters)
	state = verdict.Ideal
	for i := from; i < to; i++ {
		state = max(state, s.State[i])
		of := s.Go
		if s.State[i] == verdict.Marginal || stateOf(x.State) == verdict.Marginal {
			of = s.Marginal
		}
		for w := range words {
			all[w] &= of[i*words+w]
		}
	}
	h.voters = count(s.Voters)
	if h.joint == nil {
		h.joint = slices.Clone(all)
	}
	for w := range min(words, len(h.joint)) {
		h.joint[w] &= all[w]
	}
	return state, count(all)
}

func count(members []uint64) int {
	n := 0
	for _, w := range members {
		n += bits.OnesCount64(w)
	}
	return n
}

// shareOf is a share as answers carry it, to a tenth of a point.
func shareOf(n, of int) float64 { return math.Round(1000*float64(n)/float64(of)) / 1000 }
