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
		Binding: b.binding(r, w.Run), LastStart: b.at(w.To - 1), WetBy: w.WetBy, Short: b.short(ref),
		Best: &Block{
			From: b.at(w.BestFrom), To: b.at(w.BestTo), State: w.BestState.String(), Confidence: share(w.BestConfidence),
		},
	}
	out.Besides = b.besides(r, w.Run)
	if ready := b.readyAt(ref.Row); ready > w.From && ready < b.Result.To {
		t := b.at(ready)
		out.ReadyAt = &t
	}
	b.goBlock(&out, ref)
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
	b.wipe(&out, r, w)
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

// rewetMost is the time, minutes, from which nobody has to be told to keep a panel
// wet: the washing itself comes round sooner (common practice).
const rewetMost = 120

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
	if every := window.Rewet(least, b.Job.PeopleOn(b.at(w.From)), r.Class); every < rewetMost {
		out.RewetMin = some(math.Floor(every), 1)
	}
	if area := window.WashM2(b.Job.Zones[r.Zone]); area > 0 {
		least = min(least, area)
	}
	out.SectionM2 = some(math.Floor(least*10)/10, tenth)
}

// wipe fills when the last section goes on and when it must be wiped. It goes on
// early enough to haze as long as it must and to be wiped off, for which putting
// on and wiping off together get one slot (common practice), before the crew goes
// home and before the panel is wet again.
func (b *builder) wipe(out *Window, r *window.Row, w *windowOf) {
	if out.HazeMin == nil {
		return
	}
	out.LastSection, out.WipeBy = b.wiped(span{w.From, w.To}, b.hazing(r, *out.HazeMin), out.WetAt)
}

// wiped is when the last section of some slots goes on, nil where none can any more, and
// by when it is wiped off, for a haze clock and the water that comes next.
func (b *builder) wiped(s span, haze hazing, wetAt *time.Time) (last, by *time.Time) {
	least, most := haze.from(s.to)
	limit := b.crewLeaves(s.to, b.at(s.to).Add(minutes(most)))
	if wetAt != nil && wetAt.Before(limit) {
		limit = *wetAt
	}
	on := s.to - 1
	for on >= s.from && b.at(on+1).Add(minutes(least)).After(limit) {
		on--
		least, most = haze.from(on + 1)
	}
	if on < s.from {
		return nil, &limit
	}
	put, off := b.at(on), b.at(on+1).Add(minutes(most))
	if off.Before(limit) {
		limit = off
	}
	return &put, &limit
}

func minutes(m float64) time.Duration { return time.Duration(m * float64(time.Minute)) }

// crewLeaves is when the crew that works in the slot before i goes home, or cannot see any
// more, at most until.
func (b *builder) crewLeaves(i int, until time.Time) time.Time {
	dark := b.Result.Dark
	for t := b.at(i); t.Before(until); t = b.at(i) {
		if !b.Job.WorksOn(t) || !b.Job.CrewHours(t) || i < len(dark) && dark[i] {
			return t
		}
		i++
	}
	return until
}
