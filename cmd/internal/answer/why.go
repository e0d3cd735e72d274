package answer

import (
	"math"
	"slices"
	"time"

	"dewgap/products"
	"dewgap/window"
	"dewgap/window/surface"
	"dewgap/window/verdict"
)

// WhyFormat is the format of Why.
const WhyFormat = "dewgap.why.v1"

// Why is the answer of dewgap why: every limit of one class on one zone in one
// slot.
type Why struct {
	Format   string     `json:"format"`
	Boat     string     `json:"boat"`
	Place    Place      `json:"place"`
	Source   Source     `json:"source"`
	Zone     string     `json:"zone"`
	Product  string     `json:"product"`
	At       time.Time  `json:"at"`
	State    string     `json:"state"`
	Once     string     `json:"once,omitempty"` // what the state takes as done by then, and is not yet: "the salt is washed off"
	Binding  Binding    `json:"binding"`
	Within   string     `json:"within,omitempty"` // its state in a longer visit, where only the shortest block refuses it
	Limits   []WhyLimit `json:"limits"`
	Mind     string     `json:"mind,omitempty"` // what is to be minded of other work on the boat, in words
	Warnings []string   `json:"warnings"`
}

// WhyLimit is one limit with its value and its bounds. The bound of the binding
// is the one that decides the limit's own state. Salt that a wash still to come takes off
// is no-go here while it lies there, and the answer's own state is that of once it is off.
type WhyLimit struct {
	Binding
	State   string   `json:"state"`
	Ideal   *float64 `json:"ideal"`
	Default *float64 `json:"default"`
	Hard    *float64 `json:"hard"`
	Waived  bool     `json:"waived"` // does not count while the panel is within its ideal temperature
}

// NewWhy makes the answer of dewgap why. The result of f may be one without
// rows.
func NewWhy(f Facts, x *window.Explanation) *Why {
	b := newBuilder(f)
	out := &Why{
		Format: WhyFormat, Boat: b.Job.Boat, Place: b.place(), Source: b.source(), Zone: b.Job.Zones[x.Zone].Name,
		Product: x.Class.ID, At: b.moment(x.At), State: x.State.String(), Limits: []WhyLimit{}, Warnings: b.warnings(),
	}
	for _, w := range x.Class.Remarks { // it may be one that the job does not use
		if !slices.Contains(out.Warnings, w) {
			out.Warnings = append(out.Warnings, w)
		}
	}
	row := &window.Row{Zone: x.Zone, Class: x.Class}
	for s, step := range b.Job.Steps {
		if step.With == x.Class.ID && slices.Contains(step.On, x.Zone) {
			row.Step = s
			out.Mind = b.mind(row, x.At, b.cleanBelow(row, x.At))
			break
		}
	}
	slot := b.Result.Grid.Index(x.At)
	run := func(l verdict.Limit, s verdict.State, v verdict.Binding) Binding {
		return b.binding(row, verdict.Run{From: slot, To: slot + 1, State: s, Limit: l, Binding: v})
	}
	out.Binding = run(x.Binding.Limit, x.State, x.Binding)
	since := driedSince(x)
	if x.Binding.Limit == verdict.DryOff {
		for i, h := range x.Limits {
			if since[i] != "" && h.Known == x.Binding.HasValue && float64(h.Value) == x.Binding.Value {
				out.Binding.Since, out.Binding.AtLeast = since[i], h.Least
				break
			}
		}
	}
	if x.Binding.Limit == verdict.Block && x.Within.Workable() {
		out.Within = x.Within.String()
	}
	for i, h := range x.Limits {
		if (h.Limit == verdict.DustWind || h.Limit == verdict.DustGust) && h.Known && h.Value == 0 {
			continue // no dust comes with the wind of that hour
		}
		if h.Way == verdict.Chance && i > 0 && h.State <= x.Limits[i-1].State {
			continue // the rain as stated, a line above, allows no more
		}
		v := verdict.Binding{Limit: h.Limit, Value: float64(h.Value), Bound: boundOf(h), HasValue: h.Known, Way: h.Way}
		line := WhyLimit{Binding: run(h.Limit, h.State, v), State: h.State.String(), Waived: h.Waived}
		if !h.Limit.YesNo() || h.Limit == verdict.Film {
			line.Ideal, line.Default = finite(h.Ideal), finite(h.Default)
			if h.HasHard {
				line.Hard = finite(h.Hard)
			}
			if h.State == verdict.Unknown {
				line.Text = "not known: " + b.missing(h.Limit, x.Class, b.at(slot))
			}
		}
		line.Since, line.AtLeast = since[i], h.Least && since[i] != ""
		out.add(line)
	}
	out.salt(b, x)
	return out
}

// The waters that a dry-off counts from.
const (
	sinceWater = "rain or wash water"
	sinceDew   = "dew"
)

// driedSince says, limit by limit, from which water a dry-off counts, "" for all else
// and where there is one dry-off alone: rain and wash water come first, then dew.
func driedSince(x *window.Explanation) []string {
	out, first := make([]string, len(x.Limits)), -1
	for i, h := range x.Limits {
		switch {
		case h.Limit != verdict.DryOff:
		case first < 0:
			first = i
		default:
			out[first], out[i] = sinceWater, sinceDew
		}
	}
	return out
}

// salt puts in front the salt that lies on the zone now where a wash still to come
// takes it off: the product is judged as if that were done, and the answer says so.
func (w *Why) salt(b *builder, x *window.Explanation) {
	if x.Class.Do == "wash" || b.firstWash(x.Zone) < 0 || x.Binding.Limit == verdict.Salt {
		return
	}
	for _, in := range b.inserted() {
		if in.Zone == b.Job.Zones[x.Zone].Name {
			if x.State <= verdict.Marginal {
				w.Once = "the salt is washed off"
			}
			w.Limits = slices.Insert(w.Limits, 0, WhyLimit{
				Binding: Binding{Limit: verdict.Salt.String(), Text: in.Text, Source: b.provenance(verdict.Salt, x.Class)},
				State:   verdict.NoGo.String(),
			})
			return
		}
	}
}

// add takes a line up, unless the one before says the same: some limits are held
// against two clocks, which mostly agree.
func (w *Why) add(line WhyLimit) {
	if n := len(w.Limits); n > 0 && w.Limits[n-1].Text == line.Text && w.Limits[n-1].State == line.State && w.Limits[n-1].AtLeast == line.AtLeast {
		if line.Since != "" {
			w.Limits[n-1].Since = sinceWater + ", and " + sinceDew
		}
		return
	}
	w.Limits = append(w.Limits, line)
}

// boundOf is the bound that decides a limit's own state.
func boundOf(h verdict.Held) float64 {
	switch h.State {
	case verdict.NoGo:
		if h.HasHard {
			return float64(h.Hard)
		}
	case verdict.Ideal, verdict.Go:
		return float64(h.Ideal)
	}
	return float64(h.Default)
}

func finite(v float32) *float64 {
	if math.IsInf(float64(v), 0) {
		return nil
	}
	return some(float64(v), cent)
}

// missing says what a limit without a value waits for.
func (b *builder) missing(l verdict.Limit, c products.Class, at time.Time) string {
	m := measures[l]
	switch {
	case m.ends != "":
		return "the forecast ends, or has a gap, before " + m.ends + " or " + plain(afterHours(c)) + " h are over"
	case l == verdict.DryOff:
		return "the forecast does not show when it was last wet"
	}
	if why := b.unseen(at); why != "" {
		return why
	}
	if lacks := b.lacking(at, at.Add(surface.Slot)); lacks != "" {
		return lacks
	}
	if slices.Contains(ofPanel, l) { // it knows the weather by then, and the panel not yet
		return "the forecast begins, or has a gap, too shortly before that to tell"
	}
	return "the forecast does not give it there"
}

// ofPanel are the limits on what the panel itself is like.
var ofPanel = []verdict.Limit{
	verdict.SurfaceMin, verdict.SurfaceMax, verdict.SpreadMin, verdict.SunlightMax, verdict.Section, verdict.Film,
}
