package draw

import (
	"math"
	"slices"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/window/verdict"
)

// The heights of a row's parts, pixels. A state is told by the height of its bar:
// the order of the heights is that of the states.
const (
	barHigh      = 17.0 // the room for bars
	idealHigh    = 17.0
	goHigh       = 12.0
	marginalHigh = 8.0
	sureLow      = 0.7  // of the base under a bar at confidence 0
	sureHigh     = 3.0  // of the base under a bar at confidence 1
	clockAt      = 26.0 // the line of planned work and of the clocks behind it
	wetAt        = 32.5 // the line of water on the panel
	rowHigh      = 38.0
)

// rowMarks draws one row's states, confidence, water, plan and clocks into a
// strip whose top is y.
func rowMarks(c *canvas, w *answer.Week, r *row, zone *answer.Zone, a axis, y float64) {
	base := y + barHigh
	c.path("nogo", crosses(refusedSpans(r, verdict.NoGo.String()), a, base))
	unknownMarks(c, refusedSpans(r, verdict.Unknown.String()), a, base)
	windowBars(c, r.windows, a, base)
	c.path("wet", straight(wetSpans(zone), a, y+wetAt))
	for _, v := range visits(r.blocks) {
		planMark(c, w, r, v, a, y)
		clocks(c, w, r, zone, workedBy(r.blocks, v), a, y+clockAt)
	}
}

// windowBars draws windows: each state as a bar on the base, the confidence as the
// base's own weight. All bars of a state are one path, which keeps pages light.
func windowBars(c *canvas, list []answer.Window, a axis, base float64) {
	var ideal, goes, marginal, strokes, sure trail
	for _, x := range list {
		s, ok := span{x.From, x.To}.within(a.span)
		if !ok {
			continue
		}
		left := a.x(s.from)
		wide := a.x(s.to) - left
		switch x.State {
		case verdict.Ideal.String():
			ideal.bar(left, base-idealHigh, wide, idealHigh)
		case verdict.Go.String():
			goes.bar(left, base-goHigh, wide, goHigh)
		default:
			marginal.bar(left, base-marginalHigh, wide, marginalHigh)
			strokes.b.WriteString(hatch(left, base-marginalHigh, wide, marginalHigh))
		}
		sure.bar(left, base+1, wide, sureLow+(sureHigh-sureLow)*min(max(x.Confidence, 0), 1))
	}
	c.path("ideal", ideal.String())
	c.path("go", goes.String())
	c.path("marginal", marginal.String())
	c.path("hatch", strokes.String())
	c.path("sure", sure.String())
}

func percent(share float64) string { return fixed(share*100, 0) + " %" }

// hatch is the outline of a box and strokes across it at 45°, cut at its edges.
func hatch(x, y, w, h float64) string {
	const gap = 4.0
	var t trail
	t.bar(x+.5, y+.5, w-1, h-1)
	for s := gap; s < w+h; s += gap { // the stroke from (x+s, y) down to the left
		x1, y1 := x+min(s, w), y+max(0, s-w)
		x2, y2 := x+max(0, s-h), y+min(s, h)
		t.to("M", x1, y1).to("L", x2, y2)
	}
	return t.String()
}

// closedLimits are those of people and marina, which say nothing of the weather:
// such hours stay blank.
var closedLimits = []string{
	verdict.Hours.String(), verdict.Away.String(), verdict.Machines.String(), verdict.Daylight.String(), verdict.Reach.String(),
}

func closed(limit string) bool { return slices.Contains(closedLimits, limit) }

// refusedSpans are a row's refusals in one state, closed hours left out, joined
// where they adjoin.
func refusedSpans(r *row, state string) []span {
	var out []span
	for _, x := range r.refusals {
		if x.State == state && !closed(x.Binding.Limit) {
			out = append(out, span{x.From, x.To})
		}
	}
	return joined(out, 0)
}

// joined sorts spans and joins those less than a gap apart.
func joined(list []span, gap time.Duration) []span {
	slices.SortStableFunc(list, func(a, b span) int { return a.from.Compare(b.from) })
	var out []span
	for _, s := range list {
		if n := len(out); n > 0 && s.from.Sub(out[n-1].to) <= gap {
			if s.to.After(out[n-1].to) {
				out[n-1].to = s.to
			}
			continue
		}
		out = append(out, s)
	}
	return out
}

// straight are lines at y along spans.
func straight(list []span, a axis, y float64) string {
	var t trail
	for _, s := range list {
		if s, ok := s.within(a.span); ok {
			t.to("M", a.x(s.from), y).to("L", max(a.x(s.to), a.x(s.from)+1), y)
		}
	}
	return t.String()
}

// crosses are lines at the base along spans, with crosses.
func crosses(list []span, a axis, base float64) string {
	var t trail
	for _, s := range list {
		s, ok := s.within(a.span)
		if !ok {
			continue
		}
		left, right := a.x(s.from), a.x(s.to)
		t.to("M", left, base).to("L", right, base)
		for _, x := range marksOn(left, right) {
			cross(&t, x, base-5)
		}
	}
	return t.String()
}

func cross(t *trail, x, y float64) {
	const arm = 2.6
	t.to("M", x-arm, y-arm).to("L", x+arm, y+arm).to("M", x-arm, y+arm).to("L", x+arm, y-arm)
}

// apart is how far the marks along a line stand from one another, pixels.
const apart = 22.0

// marksOn are the places of marks along [left, right): one in the middle of a
// short stretch, more in a long one, none where there is no room.
func marksOn(left, right float64) []float64 {
	const least = 8
	if right-left < least {
		return nil
	}
	n := max(1, int((right-left)/apart))
	out := make([]float64, n)
	for i := range out {
		out[i] = left + (right-left)*(float64(i)+.5)/float64(n)
	}
	return out
}

// unknownMarks are dotted lines at the base along spans, with question marks.
func unknownMarks(c *canvas, list []span, a axis, base float64) {
	c.path("unknown", straight(list, a, base-1))
	for _, s := range list {
		if s, ok := s.within(a.span); ok {
			for _, x := range marksOn(a.x(s.from), a.x(s.to)) {
				c.text("t q", x, base-4.5, atMiddle, "?", 11, 0)
			}
		}
	}
}

// wetFilm is the water on a panel from which it is drawn as wet, g/m²: what most
// classes stand.
const wetFilm = 1

// wetSpans are the hours that end with water on the zone.
func wetSpans(z *answer.Zone) []span {
	if z == nil {
		return nil
	}
	var out []span
	for _, h := range z.Hours {
		if finite(h.FilmGM2) && *h.FilmGM2 > wetFilm {
			out = append(out, span{h.At, h.At.Add(time.Hour)})
		}
	}
	return joined(out, 0)
}

// visits are planned blocks of one row, joined where less than an hour lies
// between them.
func visits(blocks []answer.PlanBlock) []span {
	var out []span
	for _, b := range blocks {
		out = append(out, span{b.From, b.To})
	}
	return joined(out, time.Hour-time.Minute)
}

// workedBy is when the last section of a visit is on, from which its clocks run: before
// its end where that waits for the haze.
func workedBy(blocks []answer.PlanBlock, v span) time.Time {
	var last time.Time
	for _, b := range blocks {
		t := b.WorkTo
		if t.IsZero() {
			t = b.To
		}
		if !b.From.Before(v.from) && !b.To.After(v.to) && t.After(last) {
			last = t
		}
	}
	return last
}

// planMark is a pennant at the beginning of planned work and a bar along it.
func planMark(c *canvas, w *answer.Week, r *row, v span, a axis, y float64) {
	s, ok := v.within(a.span)
	if !ok {
		return
	}
	loc := location(w)
	c.open("p", "planned: "+clip(r.step)+", "+clip(r.zone)+", "+v.from.In(loc).Format(bothWords)+"–"+v.to.In(loc).Format(hourWords))
	pennant(c, a.x(s.from), a.x(s.to), y-4, y+clockAt)
	c.shut()
}

// pennant is the mark of planned work from left to right: a flag whose tip is at
// top, on a pole that stands on a bar at low.
func pennant(c *canvas, left, right, top, low float64) {
	right = max(right, left+3)
	var t trail
	t.to("M", left-.8, top).to("L", left+8, top+4.2).to("L", left+1, top+8.4).to("L", left+1, low-2.4)
	t.to("L", right, low-2.4).to("L", right, low+2.4).to("L", left-.8, low+2.4).shut()
	c.path("plan", t.String())
}

// clocks are drawn behind planned work: a line from its last section on, with a mark where it
// may be wet by rain (a drop), by dew (a ring), and where it has cured (a lozenge).
func clocks(c *canvas, w *answer.Week, r *row, zone *answer.Zone, end time.Time, a axis, y float64) {
	marks := clocksOf(w, r, zone, end)
	last := end
	for _, m := range marks {
		if m.at.After(last) {
			last = m.at
		}
	}
	c.path("clock", straight([]span{{end, last}}, a, y))
	const room = 8.0 // nearer marks would hide one another: of two the later tells more
	for i, m := range marks {
		if !a.holds(m.at) || i+1 < len(marks) && a.x(marks[i+1].at)-a.x(m.at) < room {
			continue
		}
		clockMark(c, m.kind, a.x(m.at), y)
	}
}

// clock is a moment until which something must hold.
type clock struct {
	kind string // rain, dew or cure
	at   time.Time
}

// clocksOf are the clocks of work whose last section is on at end: rain and dew in the class's
// default hours, the cure in hours as at 20 °C at the zone's temperatures.
func clocksOf(w *answer.Week, r *row, zone *answer.Zone, end time.Time) []clock {
	var out []clock
	if len(r.windows) > 0 {
		if h := r.windows[0].RainFreeH; finite(h) && *h > 0 {
			out = append(out, clock{"rain", end.Add(hours(*h))})
		}
		if h := r.windows[0].DewFreeH; finite(h) && *h > 0 {
			out = append(out, clock{"dew", end.Add(hours(*h))})
		}
	}
	if t, ok := curedAt(classOf(w, r.product, r.zone), zone, end); ok {
		out = append(out, clock{"cure", t})
	}
	slices.SortStableFunc(out, func(a, b clock) int { return a.at.Compare(b.at) })
	return out
}

func hours(h float64) time.Duration { return time.Duration(h * float64(time.Hour)) }

// curedAt is when so many equivalent hours have passed on the zone, Σ
// 2^((T−20)/k)·Δt over its hours; false where the answer ends before.
func curedAt(class *answer.ClassBands, zone *answer.Zone, end time.Time) (time.Time, bool) {
	if class == nil || zone == nil || !finite(class.FullCureH) || *class.FullCureH <= 0 {
		return end, false
	}
	per, need := 10.0, *class.FullCureH
	if finite(class.HalvesPerK) && *class.HalvesPerK > 0 {
		per = *class.HalvesPerK
	}
	for _, h := range zone.Hours {
		s, ok := span{h.At, h.At.Add(time.Hour)}.within(span{end, h.At.Add(time.Hour)})
		if !ok {
			continue
		}
		if !finite(h.SurfaceC) {
			return end, false
		}
		rate := math.Exp2((*h.SurfaceC - 20) / per)
		if gain := rate * s.to.Sub(s.from).Hours(); gain < need {
			need -= gain
			continue
		}
		return s.from.Add(hours(need / rate)).Round(time.Minute), true
	}
	return end, false
}

// clockMark is the shape of a clock, centred on its line.
func clockMark(c *canvas, kind string, x, y float64) {
	var t trail
	switch kind {
	case "dew":
		c.circle("mark", x, y, 3.2)
		return
	case "rain":
		t.to("M", x, y-4.6).to("L", x+3.6, y+2.6).to("L", x-3.6, y+2.6).shut()
	default:
		t.to("M", x, y-4.4).to("L", x+4.4, y).to("L", x, y+4.4).to("L", x-4.4, y).shut()
	}
	c.path("mark", t.String())
}
