package draw

import (
	"slices"
	"time"

	"dewgap/cmd/internal/answer"
)

// row is one step on one zone, with all that the answer says of it.
type row struct {
	step, product, zone string
	windows             []answer.Window
	refusals            []answer.Refusal
	blocks              []answer.PlanBlock
}

type stepZone struct{ step, zone string }

// rowsOf are the rows of the answer on the zones, step by step in the job's order,
// within a step zone by zone.
func rowsOf(w *answer.Week, zones []answer.Zone) []row {
	var out []row
	at := map[stepZone]int{}
	for _, step := range stepsOf(w) {
		for _, z := range zones {
			at[stepZone{step, z.Name}] = len(out)
			out = append(out, row{step: step, zone: z.Name})
		}
	}
	for _, x := range w.Windows {
		if i, ok := at[stepZone{x.Step, x.Zone}]; ok {
			out[i].product = x.Product
			out[i].windows = append(out[i].windows, x)
		}
	}
	for _, x := range w.Refusals {
		if i, ok := at[stepZone{x.Step, x.Zone}]; ok {
			out[i].product = x.Product
			out[i].refusals = append(out[i].refusals, x)
		}
	}
	if w.Plan != nil {
		for _, x := range w.Plan.Blocks {
			if i, ok := at[stepZone{x.Step, x.Zone}]; ok {
				out[i].blocks = append(out[i].blocks, x)
			}
		}
	}
	out = slices.DeleteFunc(out, func(r row) bool { return len(r.windows)+len(r.refusals)+len(r.blocks) == 0 })
	for _, r := range out { // windows come in the order of their rank
		slices.SortStableFunc(r.windows, func(a, b answer.Window) int { return a.From.Compare(b.From) })
		slices.SortStableFunc(r.blocks, func(a, b answer.PlanBlock) int { return a.From.Compare(b.From) })
	}
	return out
}

// stepsOf are the steps in the job's order. Refusals name them in that order, for
// every step is refused at night at least; one that is not is put after the step
// that stands before it among the windows.
func stepsOf(w *answer.Week) []string {
	var out []string
	for _, r := range w.Refusals {
		if !slices.Contains(out, r.Step) {
			out = append(out, r.Step)
		}
	}
	after := 0
	for _, x := range w.Windows {
		i := slices.Index(out, x.Step)
		if i < 0 {
			out = slices.Insert(out, after, x.Step)
			i = after
		}
		after = i + 1
	}
	return out
}

// zonesOf are the zones to draw.
func zonesOf(w *answer.Week, o Options) []answer.Zone {
	named := map[string]bool{}
	for _, z := range o.Zones {
		named[z] = true
	}
	out := keep(w.Zones, named)
	if len(out) > 0 {
		return out
	}
	for _, x := range w.Windows {
		named[x.Zone] = true
	}
	for _, x := range w.Refusals {
		named[x.Zone] = true
	}
	if out = keep(w.Zones, named); len(out) > 0 {
		return out
	}
	return w.Zones
}

func keep(zones []answer.Zone, named map[string]bool) []answer.Zone {
	var out []answer.Zone
	for _, z := range zones {
		if named[z.Name] {
			out = append(out, z)
		}
	}
	return out
}

// askedDay is the day that the answer is about, else that of the plan's first block, else the
// first of the answer.
func askedDay(w *answer.Week) string {
	t := w.From
	if hours, _ := w.Asked(); len(hours) > 0 {
		t = hours[0].From
	} else if w.Plan != nil && len(w.Plan.Blocks) > 0 {
		t = w.Plan.Blocks[0].From
	}
	return t.In(location(w)).Format(time.DateOnly)
}

// dayOf is the civil day of a date at the place; without a date that of t.
func dayOf(date string, loc *time.Location, t time.Time) span {
	d, err := time.ParseInLocation(time.DateOnly+" 15", date+" 12", loc) // at noon, which no clock skips
	if err != nil {
		d = t.In(loc)
	}
	return span{answer.Midnight(d), answer.NextMidnight(d)}
}

// bestHour is the hour of the day that the answer is about in which a zone that is worked on gets
// hottest; the day's noon where no temperature is known.
func bestHour(w *answer.Week) time.Time {
	day := dayOf(askedDay(w), location(w), w.From)
	out, hottest := day.from.Add(12*time.Hour), -1e9
	for _, z := range zonesOf(w, Options{}) {
		for _, h := range z.Hours {
			if day.holds(h.At) && finite(h.SurfaceC) && *h.SurfaceC > hottest {
				out, hottest = h.At, *h.SurfaceC
			}
		}
	}
	return out
}

// hourAt is the hour of a zone that holds t, nil where the answer has none.
func hourAt(z *answer.Zone, t time.Time) *answer.Hour {
	i, ok := slices.BinarySearchFunc(z.Hours, t, func(h answer.Hour, t time.Time) int { return h.At.Compare(t) })
	if !ok {
		i--
	}
	if i < 0 || i >= len(z.Hours) || !t.Before(z.Hours[i].At.Add(time.Hour)) {
		return nil
	}
	return &z.Hours[i]
}

// classOf are the bands of a product on a zone, nil where the answer has none.
func classOf(w *answer.Week, product, zone string) *answer.ClassBands {
	if w.Scene == nil {
		return nil
	}
	for i := range w.Scene.Classes {
		if c := &w.Scene.Classes[i]; c.Product == product && slices.Contains(c.Zones, zone) {
			return c
		}
	}
	return nil
}

// productName is a product in words.
func productName(w *answer.Week, product string) string {
	if w.Scene != nil {
		for _, c := range w.Scene.Classes {
			if c.Product == product && c.Name != "" {
				return c.Name
			}
		}
	}
	return product
}
