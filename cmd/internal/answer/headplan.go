package answer

import (
	"slices"
	"strconv"
	"strings"
	"time"
)

// namedZones is of how many zones a day's line of the plan gives the names.
const namedZones = 4

// Asked are the hours of the day that the answer is about: all else that a headline says is of
// that day. Where a plan has the headline's step ahead, that is the plan's first day of it, with
// the blocks as hours: they are what will be worked. Without one it is the best day of the
// step's own weather.
func (w *Week) Asked() (hours []Window, planned bool) {
	blocks := w.AskedBlocks()
	if len(blocks) == 0 {
		if w.Headline == nil {
			return nil, false
		}
		return w.Headline.Best, false
	}
	for i := range blocks {
		x := &blocks[i]
		hours = append(hours, Window{
			Step: x.Step, Do: x.Do, Product: x.Product, Zone: x.Zone, From: x.From, To: x.To,
			State: w.Plan.stateOf(x, w.Now), Confidence: x.Confidence,
		})
	}
	return InOrder(joinedBy(hours, func(a, b Window) bool { return a.State == b.State }), InTime), true
}

// stateOf is the state in which work goes by a block that is ahead: marginal where it waits
// for a yes, that of the plan where that holds no longer.
func (p *Plan) stateOf(x *PlanBlock, now time.Time) string {
	switch {
	case !Workable(x.State):
		return x.State
	case !p.Stands(x, now):
		return p.State
	case x.NeedsConsent:
		return Marginal
	}
	return x.State
}

// AskedBlocks are the plan's blocks of the headline's step on the first day that has any.
func (w *Week) AskedBlocks() []PlanBlock {
	blocks := w.headBlocks()
	n := 0
	for n < len(blocks) && sameDate(blocks[n].From, blocks[0].From) {
		n++
	}
	return blocks[:n]
}

// Broken says, without a full stop, that the plan which stands holds no longer, and what to do;
// "" where it holds or none stands.
func (w *Week) Broken() string {
	if w.Plan == nil || w.Plan.Held == nil || !slices.ContainsFunc(w.Warnings, func(s string) bool { return strings.HasPrefix(s, BrokenPlan) }) {
		return ""
	}
	return Capital(BrokenPlan) + w.Plan.Held.Format(stamp) + " holds no longer: ask for a move (dewgap move)"
}

// Lost reports whether none of the hours that the answer is about can be worked: nothing is
// left that could break them.
func (w *Week) Lost() bool {
	hours, planned := w.Asked()
	return planned && !slices.ContainsFunc(hours, func(x Window) bool { return Workable(x.State) })
}

// onDays reports whether the plan has the headline's step on a day.
func (w *Week) onDays(day time.Time) bool {
	return slices.ContainsFunc(w.headBlocks(), func(x PlanBlock) bool { return sameDate(x.From, day) })
}

// InPlan says, in words and without a full stop, on which days the plan has the step that
// the headline is about, and what comes before it. "" where all of it is on one day and asks
// for no yes, for the first line says that, and where there is no plan or none of the step in it.
func (w *Week) InPlan() string {
	blocks, first := w.headBlocks(), len(w.AskedBlocks())
	if len(blocks) == first && !slices.ContainsFunc(blocks, func(x PlanBlock) bool { return x.NeedsConsent || !Workable(x.State) }) {
		return ""
	}
	text := ""
	for len(blocks) > 0 {
		n := 1
		for n < len(blocks) && sameDate(blocks[n].From, blocks[0].From) {
			n++
		}
		if text != "" {
			text += ", "
		}
		text += dayOfPlan(blocks[:n])
		blocks = blocks[n:]
	}
	if first := w.comesFirst(time.Time{}); len(first) > 0 {
		text += "; " + comeFirst(first)
	}
	return text
}

// LaterDays are the first hours of the step on each day after the first that the plan has it on.
func (w *Week) LaterDays() []time.Time {
	var days []time.Time
	for _, x := range w.headBlocks()[len(w.AskedBlocks()):] {
		if n := len(days); n == 0 || !sameDate(days[n-1], x.From) {
			days = append(days, x.From)
		}
	}
	return days
}

// OffBest says in a sentence, where the step's own weather is best on a day that the plan does
// not take, which that is and why the plan does not; to an owner without the names of other
// boats. "" where that is not so.
func (w *Week) OffBest(toOwner bool) string {
	if len(w.headBlocks()) == 0 || len(w.Headline.Best) == 0 {
		return ""
	}
	best := w.Headline.Best[0].From
	if w.onDays(best) {
		return ""
	}
	text := Capital(strings.ToLower(w.Headline.Step)) + " alone would do best on " + best.Format(dayOnly)
	if w.Broken() == "" {
		text += "; " + w.whyOff(best, toOwner)
	}
	return text + "."
}

// whyOff is why the plan does not take the day on which the step's own weather is best.
func (w *Week) whyOff(best time.Time, toOwner bool) string {
	if w.Plan.Held != nil {
		return "the plan of " + w.Plan.Held.In(best.Location()).Format(stamp) + " stands"
	}
	for _, x := range []struct {
		who   string
		takes func(*Away) bool
	}{{"the crew", takesPeople}, {"a polisher of the crew", takesPolishers}} {
		on := w.Crew.onDay(best, x.takes)
		switch {
		case len(on) > 0 && toOwner:
			return x.who + " is on " + AnotherBoat + " then"
		case len(on) > 0:
			return x.who + " is on " + Listed(on) + " then"
		}
	}
	if first := w.comesFirst(NextMidnight(best)); len(first) > 0 {
		return comeFirst(first) + ", later in the plan"
	}
	return "for the whole job this is the best plan found"
}

// comeFirst says that some steps, one at least, come first.
func comeFirst(steps []string) string {
	if len(steps) == 1 {
		return steps[0] + " comes first"
	}
	return Listed(steps) + " come first"
}

// NoPlan says why no plan of the whole job leads to the headline's best day, in words and
// without a full stop; "" where there is a plan, be it of a part of the job with the
// headline's step in it, or no such day.
func (w *Week) NoPlan() string {
	switch {
	case w.Headline == nil || len(w.Headline.Best) == 0 || w.Plan == nil:
	case w.Plan.State == None && len(w.Plan.Why) > 0:
		return w.Plan.Why[0]
	case w.Plan.Part == nil || len(w.headBlocks()) > 0:
	case w.Plan.Held == nil && w.Plan.Part.Why != "":
		return w.Plan.Part.Why
	default: // why is of a forecast of then
		return "the part that is planned has none of it"
	}
	return ""
}

// headBlocks are the plan's blocks of the headline's step that are not over, in order.
func (w *Week) headBlocks() []PlanBlock {
	if w.Headline == nil || w.Plan == nil || w.Plan.State == None {
		return nil
	}
	var out []PlanBlock
	for _, x := range w.Plan.Blocks {
		if x.Step == w.Headline.Step && x.To.After(w.Now) {
			x.From, x.To = x.From.In(w.Now.Location()), x.To.In(w.Now.Location())
			out = append(out, x)
		}
	}
	slices.SortStableFunc(out, func(a, b PlanBlock) int { return a.From.Compare(b.From) })
	return out
}

// dayOfPlan names a day and the zones of its blocks, the yes that some of them need, and
// that the hours of some are lost since the plan was made.
func dayOfPlan(blocks []PlanBlock) string {
	var zones []string
	asks, lost := 0, 0
	for _, x := range blocks {
		if !slices.Contains(zones, x.Zone) {
			zones = append(zones, x.Zone)
		}
		switch {
		case !Workable(x.State):
			lost++
		case x.NeedsConsent:
			asks++
		}
	}
	text := blocks[0].From.Format(dayStamp) + " "
	if len(zones) > namedZones {
		text += strconv.Itoa(len(zones)) + " zones"
	} else {
		text += Listed(zones)
	}
	switch {
	case lost == len(blocks):
		text += ", no longer good"
	case lost > 0:
		text += ", in part no longer good"
		if asks > 0 {
			text += ","
		}
	}
	switch {
	case asks == len(blocks):
		text += " with your yes"
	case asks > 0:
		text += " in part with your yes"
	}
	return text
}

// comesFirst are the steps of which the plan has work on the same zones before the first
// block of the headline's step, in order; of them those that end at a moment or later.
func (w *Week) comesFirst(ends time.Time) []string {
	begins := map[string]time.Time{}
	for _, x := range w.headBlocks() {
		if at, ok := begins[x.Zone]; !ok || x.From.Before(at) {
			begins[x.Zone] = x.From
		}
	}
	var out []string
	for _, x := range w.Plan.Blocks {
		at, ok := begins[x.Zone]
		if step := strings.ToLower(x.Step); ok && x.Step != w.Headline.Step && x.To.After(w.Now) && x.From.Before(at) && !x.To.Before(ends) && !slices.Contains(out, step) {
			out = append(out, step)
		}
	}
	return out
}
