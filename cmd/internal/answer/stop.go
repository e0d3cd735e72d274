package answer

import (
	"slices"
	"time"

	"dewgap/products"
	"dewgap/window"
	"dewgap/window/verdict"
)

// stopLimits are the limits that a person on the dock can watch while working.
var stopLimits = []struct {
	limit verdict.Limit
	of    func(c products.Class) products.Limit
	least bool
}{
	{verdict.SpreadMin, func(c products.Class) products.Limit { return c.SpreadK }, true},
	{verdict.SurfaceMin, func(c products.Class) products.Limit { return c.SurfaceC }, true},
	{verdict.SurfaceMax, func(c products.Class) products.Limit { return c.SurfaceC }, false},
	{verdict.HumidityMax, func(c products.Class) products.Limit { return c.HumidityPct }, false},
	{verdict.WindMax, func(c products.Class) products.Limit { return c.WindMS }, false},
	{verdict.GustMax, func(c products.Class) products.Limit { return c.GustMS }, false},
	{verdict.DustWind, func(c products.Class) products.Limit { return withDust(c.WindMS) }, false},
}

// withDust is a limit of the wind where there is dust upwind.
func withDust(l products.Limit) products.Limit {
	return products.Limit{Given: l.Given, Default: l.Ideal, Hard: l.Default}
}

// stop lists at what the asked work stops: the strictest bound of each limit
// over its classes (the hard one where the person works in marginal states as
// well), water on the panel where some of it has to stay dry, and thunder.
func (b *builder) stop(list []asked) []Binding {
	out := []Binding{}
	if len(list) == 0 {
		return out
	}
	for _, s := range stopLimits {
		if s.limit == verdict.DustWind && !b.Job.Place.HasDust {
			continue
		}
		var best *float64
		source := ""
		for _, a := range list {
			l := s.of(a.row.Class)
			v, ok := edge(l, s.least, b.Job.AcceptMargin)
			if !ok || (best != nil && (v < *best) == s.least) {
				continue
			}
			best, source = some(v, cent), b.provenance(s.limit, a.row.Class)
		}
		if best != nil {
			m := measures[s.limit]
			word := "over "
			if s.least {
				word = "under "
			}
			out = append(out, Binding{
				Limit: s.limit.String(), Bound: best, Unit: s.limit.Unit(), Source: source,
				Text: m.before + word + plain(*best) + m.after,
			})
		}
	}
	for _, a := range list {
		if a.row.Class.Surface != products.SurfaceWet {
			out = append(out, Binding{
				Limit: verdict.Film.String(), Text: plainWords[verdict.Film], Source: b.provenance(verdict.Film, a.row.Class),
			})
			break
		}
	}
	return append(out, Binding{
		Limit: verdict.Thunder.String(), Text: plainWords[verdict.Thunder], Source: b.provenance(verdict.Thunder, list[0].row.Class),
	})
}

// edge is the bound at which work stops: the end of the default band, or of the
// hard one where there is one and marginal work is accepted.
func edge(l products.Limit, least, hard bool) (float64, bool) {
	if !l.Given {
		return 0, false
	}
	pick := func(b products.Band) (float64, bool) {
		if least {
			return b.Min, b.HasMin
		}
		return b.Max, b.HasMax
	}
	if hard {
		return pick(l.Hard)
	}
	return pick(l.Default)
}

// StopsOf names the products whose bounds end the work, those of the asked steps; others
// reports that other work may begin today as well, which may have to stop sooner.
func (m *Morning) StopsOf() (of []string, others bool) {
	for _, x := range m.AskedSteps() {
		if x.Product != "" && !slices.Contains(of, x.Product) {
			of = append(of, x.Product)
		}
	}
	for _, x := range m.Steps {
		others = others || !x.Asked && !x.Done && x.First != nil && x.Product != "" && !slices.Contains(of, x.Product)
	}
	return of, others && len(of) > 0
}

// ReadNow reports that the next reading is due.
func (m *Morning) ReadNow() bool { return m.NextReading != nil && !m.NextReading.After(m.Now) }

// readAhead is how long before work may begin a reading tells of it (common practice).
const readAhead = 30 * time.Minute

// nextReading is when to measure again: half an hour before work may begin, when it may
// where somebody has read within that half hour, or an hour from now while it goes on
// (common practice); nil where it does not.
func (b *builder) nextReading(m *Morning) *time.Time {
	now := b.moment(b.Now)
	switch m.Verdict {
	case Wait:
		t := m.WaitUntil.Add(-readAhead)
		switch {
		case t.After(now):
		case b.readSince(now.Add(-readAhead)):
			t = *m.WaitUntil
		default:
			t = now
		}
		return &t
	case Go:
		t := now.Add(time.Hour).Truncate(10 * time.Minute)
		return &t
	}
	return nil
}

// readSince reports whether air or a panel was read since a moment.
func (b *builder) readSince(t time.Time) bool {
	return slices.ContainsFunc(b.Result.Readings, func(r window.ReadingUse) bool {
		return (r.Kind == window.ReadAir || r.Kind == window.ReadSurface) && r.Used && !r.At.Before(t) && !r.At.After(b.Now)
	})
}
