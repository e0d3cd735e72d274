package plan

import (
	"cmp"
	"slices"
)

// stretch is a block or a wait of one day.
type stretch struct {
	from, to int32
	task     int32 // −1: a wait
}

// visits cuts a day's blocks into visits: blocks with gaps of fewer than Gap
// slots. A surface that dries from one block to another fills the gap between
// them for as long as it usually takes. Each visit is the list of its blocks, by
// start.
func (b *book) visits(day int) [][]stretch {
	m := b.m
	var all []stretch
	for _, t := range b.byDay[day] {
		o := b.option(int(t))
		all = append(all, stretch{o.start, o.end, t})
		for k := range m.preds[t] {
			a := &m.preds[t][k]
			if b.at[a.other] < 0 || a.Go == 0 {
				continue
			}
			if before := b.option(a.other); int(before.day) == day {
				all = append(all, stretch{before.end, min(o.start, before.end+int32(a.Go)), -1})
			}
		}
	}
	slices.SortFunc(all, func(x, y stretch) int {
		return cmp.Or(cmp.Compare(x.from, y.from), cmp.Compare(x.task, y.task))
	})
	var out [][]stretch
	covered := int32(-1 << 20)
	for _, s := range all {
		if s.from-covered >= int32(max(m.Gap, 1)) {
			out = append(out, nil)
		}
		covered = max(covered, s.to)
		if s.task >= 0 {
			out[len(out)-1] = append(out[len(out)-1], s)
		}
	}
	return out
}

// length of a visit, from its first block to the end of its last.
func length(visit []stretch) int {
	end := visit[0].to
	for _, s := range visit {
		end = max(end, s.to)
	}
	return int(end - visit[0].from)
}

// short is how many slots the visits of a plan lack of the shortest useful one.
func (b *book) short() int {
	lack := 0
	for d := range b.byDay {
		lack += b.shortOn(d)
	}
	return lack
}

func (b *book) shortOn(day int) int {
	if b.m.visit <= 1 || len(b.byDay[day]) == 0 {
		return 0
	}
	lack := 0
	for _, v := range b.visits(day) {
		lack += max(0, b.m.visit-length(v))
	}
	return lack
}
