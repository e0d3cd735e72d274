package answer

import (
	"slices"
	"strconv"
	"strings"
	"time"
)

// namedZones is of how many zones a day's line of the plan gives the names.
const namedZones = 4

// InPlan says, in words and without a full stop, on which days the plan has the step that
// the headline is about, and what comes before it. The best day is that of the step's own
// weather: work that must come first, and the crew's hours, may have the plan take another,
// and it is the plan's that may be promised. "" where the plan has all of it on the best
// day and asks for no yes, and where there is no plan or none of the step in it.
func (w *Week) InPlan() string {
	blocks := w.headBlocks()
	if w.Headline == nil || len(blocks) == 0 {
		return ""
	}
	if best := w.Headline.Best; len(best) > 0 && !slices.ContainsFunc(blocks, func(x PlanBlock) bool {
		return x.NeedsConsent || !Workable(x.State) || !sameDate(x.From.In(w.Now.Location()), best[0].From)
	}) {
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
	if first := w.comesFirst(); len(first) > 0 {
		come := " come first"
		if len(first) == 1 {
			come = " comes first"
		}
		text += "; " + Listed(first) + come
	}
	return text
}

// NoPlan says why no plan of the whole job leads to the headline's best day, in words and
// without a full stop; "" where there is a plan, or no such day.
func (w *Week) NoPlan() string {
	if w.Headline == nil || len(w.Headline.Best) == 0 || w.Plan == nil || w.Plan.State != None || len(w.Plan.Why) == 0 {
		return ""
	}
	return w.Plan.Why[0]
}

// headBlocks are the plan's blocks of the headline's step that are not over, in order.
func (w *Week) headBlocks() []PlanBlock {
	if w.Headline == nil || w.Plan == nil || w.Plan.State == None {
		return nil
	}
	var out []PlanBlock
	for _, x := range w.Plan.Blocks {
		if x.Step == w.Headline.Step && x.To.After(w.Now) {
			x.From = x.From.In(w.Now.Location())
			out = append(out, x)
		}
	}
	slices.SortStableFunc(out, func(a, b PlanBlock) int { return a.From.Compare(b.From) })
	return out
}

// WhyNots are the headline's reasons against the days before the best one, but for days on
// which the plan has its step without a yes, though it has no hours of its own then.
func (w *Week) WhyNots() []string {
	if w.Headline == nil {
		return nil
	}
	out := slices.Clone(w.Headline.WhyNot)
	for _, x := range w.headBlocks() {
		if !x.NeedsConsent && w.Plan.Stands(&x, w.Now) {
			out = slices.DeleteFunc(out, func(s string) bool { return strings.HasPrefix(s, x.From.Format(dayOnly)+": ") })
		}
	}
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
// block of the headline's step, in order.
func (w *Week) comesFirst() []string {
	blocks := w.headBlocks()
	begins := map[string]time.Time{}
	for _, x := range blocks {
		if at, ok := begins[x.Zone]; !ok || x.From.Before(at) {
			begins[x.Zone] = x.From
		}
	}
	var out []string
	for _, x := range w.Plan.Blocks {
		at, ok := begins[x.Zone]
		if step := strings.ToLower(x.Step); ok && x.Step != w.Headline.Step && x.To.After(w.Now) && x.From.Before(at) && !slices.Contains(out, step) {
			out = append(out, step)
		}
	}
	return out
}
