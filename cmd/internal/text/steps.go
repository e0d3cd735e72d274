package text

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
)

// step is one step of the job with all that the week says of it.
type step struct {
	name, do, product string
	asked             bool     // the headline answers it
	zones             []string // in the boat's order
	windows           []answer.Window
	refusals          []answer.Refusal
}

// stepsOf sorts the week's windows and refusals by step, in the order of the
// answer; the windows of a step by rank.
func stepsOf(a *answer.Week, book zoneBook) []step {
	var list []step
	find := func(named, do, product string) *step {
		for i := range list {
			if list[i].name == named {
				return &list[i]
			}
		}
		list = append(list, step{name: named, do: do, product: product})
		return &list[len(list)-1]
	}
	for i := range a.Refusals {
		r := &a.Refusals[i]
		s := find(r.Step, r.Do, r.Product)
		s.refusals, s.zones = append(s.refusals, *r), also(s.zones, r.Zone)
	}
	for i := range a.Windows {
		w := &a.Windows[i]
		s := find(w.Step, w.Do, w.Product)
		s.windows, s.zones = append(s.windows, *w), also(s.zones, w.Zone)
	}
	for i := range list {
		s := &list[i]
		s.zones, s.windows = book.sorted(s.zones), inOrder(s.windows, byRank)
	}
	return list
}

func byRank(a, b *answer.Window) int { return cmp.Compare(a.Rank, b.Rank) }

func inTime(a, b *answer.Window) int { return a.From.Compare(b.From) }

// also adds a name to a list that does not have it.
func also(list []string, name string) []string {
	if slices.Contains(list, name) {
		return list
	}
	return append(list, name)
}

// inOrder sorts a list as a stable sort does. What it holds is large, its places are
// not: those are sorted, and each element is moved once at most.
func inOrder[T any](list []T, order func(a, b *T) int) []T {
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

// group is windows of one step with the same hours and state, on several zones.
type group struct {
	from, to time.Time
	state    string
	zones    []string
	windows  []answer.Window
}

// byHours joins the windows that differ in nothing but the zone, in the order in
// which the first of each comes.
func byHours(ws []answer.Window, book zoneBook) []group {
	var list []group
	for _, w := range ws {
		i := slices.IndexFunc(list, func(g group) bool {
			return g.from.Equal(w.From) && g.to.Equal(w.To) && g.state == w.State
		})
		if i < 0 {
			list = append(list, group{from: w.From, to: w.To, state: w.State})
			i = len(list) - 1
		}
		list[i].zones = append(list[i].zones, w.Zone)
		list[i].windows = append(list[i].windows, w)
	}
	for i := range list {
		list[i].zones = book.sorted(list[i].zones)
	}
	return list
}

// good keeps the windows in which a block needs no consent, adjoining ones of a zone
// joined; where there are none, all, joined whatever their states. They come in order
// of time.
func good(ws []answer.Window) []answer.Window {
	var out []answer.Window
	for _, w := range joined(ws) {
		if w.State != "marginal" && !w.Short {
			out = append(out, w)
		}
	}
	if len(out) == 0 {
		out = joinedBy(ws, func(answer.Window, answer.Window) bool { return true })
	}
	return inOrder(out, inTime)
}

// joined makes one window of adjoining ideal and go ones of a zone, for in both
// the work may be done; what needs consent stays apart. The order is that of the
// ranks.
func joined(ws []answer.Window) []answer.Window {
	return joinedBy(ws, func(a, b answer.Window) bool { return a.State != "marginal" && b.State != "marginal" })
}

// joinedBy joins those adjoining windows of a zone that may be joined.
func joinedBy(ws []answer.Window, may func(a, b answer.Window) bool) []answer.Window {
	ws = inOrder(ws, inTime)
	out := make([]answer.Window, 0, len(ws))
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
	return inOrder(out, byRank)
}

// join makes one window of two of which the second begins where the first ends.
// It is as sure as the less sure of the two, unless the better ranked one names
// a block.
func join(x, w answer.Window) answer.Window {
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

// scheduled reports a limit that people or the clock set for everybody: such
// hours are summed up and not listed one by one.
func scheduled(limit string) bool {
	switch limit {
	case "hours", "away", "daylight", "machines":
		return true
	}
	return false
}

// sure says in how many of the forecasts something holds, rounded down, with "only"
// before fewer than half of them; nothing where there is only one and no futures of it.
func sure(confidence float64, s answer.Source) string {
	n, of := s.Members, kindOf(s)
	if s.Members <= 1 {
		n = s.Dressed
	}
	if n < 1 || !(confidence >= 0 && confidence <= 1) {
		return ""
	}
	if n == 1 {
		of = strings.TrimSuffix(of, "s")
	}
	const halfStep = 0.0005 // answers round confidence to 0.001: 10 of 11 are 0.909
	held, only := min(n, int((confidence+halfStep)*float64(n)+dust)), ""
	if few(confidence) && held > 0 {
		only = "only" + nbsp
	}
	return only + count(held) + tie(" of ") + count(n) + nbsp + of
}

// kindOf is what shares are of: an ensemble's forecasts, or the futures of a single one.
func kindOf(s answer.Source) string {
	if s.Members <= 1 {
		return "futures"
	}
	return "forecasts"
}
