package answer

import (
	"math"
	"time"

	"dewgap/window"
)

// windowOf is a window as the engine has it.
type windowOf = window.Window

// window makes one window of the answer.
func (b *builder) window(ref window.Ref) Window {
	r := &b.Result.Rows[ref.Row]
	w := b.Result.At(ref)
	s := b.step(r)
	out := Window{
		Rank: w.Rank, Step: s.Name, Do: s.Do, Product: r.Class.ID, Zone: b.zone(r),
		From: b.at(w.From), To: b.at(w.To), State: w.State.String(), Confidence: share(float64(w.Confidence)),
		Binding: b.binding(r, w.Run), LastStart: b.at(w.To - 1), WetBy: w.WetBy,
		Best: &Block{
			From: b.at(w.BestFrom), To: b.at(w.BestTo), State: w.BestState.String(), Confidence: share(w.BestConfidence),
		},
	}
	if r.Class.RainFree.Given {
		out.RainFreeH = some(r.Class.RainFree.Default, cent)
	}
	if r.Class.DewFree.Given {
		out.DewFreeH = some(r.Class.DewFree.Default, cent)
	}
	if w.WetBy != "" {
		t := b.at(w.WetAt)
		out.WetAt = &t
	}
	surfaceOf(&out, w)
	b.wash(&out, r, w)
	out.HazeMin = b.haze(r, w)
	out.WipeBy = wipeBy(out)
	return out
}

// surfaceOf fills what the step meets on the panel in the window.
func surfaceOf(out *Window, w *windowOf) {
	out.SurfaceC, out.SpreadK = extent(w.Panel), extent(w.OverDew)
	if w.Panel.Known {
		sunlit := w.Sunlit
		out.Sunlit = &sunlit
	}
}

// extent is the least and the most, nil where nothing is known.
func extent(x window.Extent) *[2]float64 {
	if !x.Known {
		return nil
	}
	return &[2]float64{round(x.Least, cent), round(x.Most, cent)}
}

// wash fills the section that can be washed at once, the smallest in the window
// and no larger than the zone, and how often to keep it wet.
func (b *builder) wash(out *Window, r *window.Row, w *windowOf) {
	if r.Section == nil {
		return
	}
	least := math.Inf(1)
	for i := max(w.From, b.Result.From); i < w.To && i-b.Result.From < len(r.Section); i++ {
		least = min(least, float64(r.Section[i-b.Result.From]))
	}
	if math.IsInf(least, 1) {
		return
	}
	out.RewetMin = some(math.Floor(window.Rewet(least, b.Job.PeopleOn(b.at(w.From)), r.Class)), 1)
	if area := b.Job.Zones[r.Zone].AreaM2; area > 0 {
		least = min(least, area)
	}
	out.SectionM2 = some(math.Floor(least*10)/10, tenth)
}

// wipeBy is when the last section must be wiped: begun in the last slot, worked
// to its end, hazed as long as it may; never after the panel is wet again.
func wipeBy(w Window) *time.Time {
	if w.HazeMin == nil {
		return nil
	}
	t := w.To.Add(time.Duration(w.HazeMin[1]) * time.Minute)
	if w.WetAt != nil && w.WetAt.Before(t) {
		t = *w.WetAt
	}
	return &t
}
