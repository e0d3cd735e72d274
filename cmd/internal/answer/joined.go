package answer

import (
	"cmp"
	"slices"
)

// InOrder sorts a list as a stable sort does. What it holds is large, its places are
// not: those are sorted, and each element is moved once at most.
func InOrder[T any](list []T, order func(a, b *T) int) []T {
	places := make([]int, len(list))
	sorted := true
	for i := range places {
		places[i] = i
		sorted = sorted && (i == 0 || order(&list[i-1], &list[i]) <= 0)
	}
	if sorted {
		return list
	}
	slices.SortFunc(places, func(i, k int) int { return cmp.Or(order(&list[i], &list[k]), cmp.Compare(i, k)) })
	out := make([]T, len(list))
	for i, k := range places {
		out[i] = list[k]
	}
	return out
}

// ByRank orders windows by their rank.
func ByRank(a, b *Window) int { return cmp.Compare(a.Rank, b.Rank) }

// InTime orders windows by when they begin.
func InTime(a, b *Window) int { return a.From.Compare(b.From) }

// Joined makes one window of adjoining ideal and go ones of a zone, for in both
// the work may be done; what needs consent stays apart. The order is that of the
// ranks.
func Joined(ws []Window) []Window {
	return joinedBy(ws, func(a, b Window) bool { return a.State != "marginal" && b.State != "marginal" })
}

// JoinedAll joins adjoining windows of a zone whatever their states, in the order of the
// ranks.
func JoinedAll(ws []Window) []Window { return joinedBy(ws, func(Window, Window) bool { return true }) }

// joinedBy joins those adjoining windows of a zone that may be joined.
func joinedBy(ws []Window, may func(a, b Window) bool) []Window {
	ws = InOrder(ws, InTime)
	out := make([]Window, 0, len(ws))
	latest := map[string]int{} // by zone: its window that ends last so far
	for i := range ws {
		w := &ws[i]
		k, ok := latest[w.Zone]
		if ok && out[k].To.Equal(w.From) && may(out[k], *w) {
			out[k] = join(out[k], *w)
			continue
		}
		latest[w.Zone], out = len(out), append(out, *w)
	}
	return InOrder(out, ByRank)
}

// join makes one window of two of which the second begins where the first ends.
// It is as sure as the less sure of the two, unless the better ranked one names
// a block.
func join(x, w Window) Window {
	out := x // rank and best block of the one that ranks better
	if w.Rank < x.Rank {
		out = w
	}
	out.From, out.To = x.From, w.To
	out.LastStart, out.WipeBy, out.WetAt, out.WetBy = w.LastStart, w.WipeBy, w.WetAt, w.WetBy
	if out.LastSection = w.LastSection; out.LastSection == nil {
		out.LastSection = x.LastSection
	}
	out.Confidence = min(x.Confidence, w.Confidence)
	switch {
	case x.State == "marginal" || w.State == "marginal":
		out.State = "marginal"
	case x.State != w.State:
		out.State = "go"
	}
	out.Short = x.Short && w.Short
	if out.GoBlock == nil {
		out.GoBlock = cmp.Or(x.GoBlock, w.GoBlock)
	}
	out.GoConfidence = lesser(x.GoConfidence, w.GoConfidence)
	out.SurfaceC, out.SpreadK = hull(x.SurfaceC, w.SurfaceC), hull(x.SpreadK, w.SpreadK)
	out.SectionM2, out.RewetMin = lesser(x.SectionM2, w.SectionM2), lesser(x.RewetMin, w.RewetMin)
	if x.Sunlit == nil || w.Sunlit == nil || *x.Sunlit != *w.Sunlit {
		out.Sunlit = nil
	}
	return out
}

// hull is the range that holds both; one that is absent does not count.
func hull(a, b *[2]float64) *[2]float64 {
	if a == nil || b == nil {
		return cmp.Or(a, b)
	}
	return &[2]float64{min(a[0], b[0]), max(a[1], b[1])}
}

// lesser is the smaller of two numbers; one that is absent does not count.
func lesser(a, b *float64) *float64 {
	if a == nil || b != nil && *b < *a {
		return b
	}
	return a
}
