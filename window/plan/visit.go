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

// visit is a day's blocks with gaps of fewer than Gap slots.
type visit struct {
	first, end int32
	covered    int32 // the end, with waits
	alone      bool  // it has a block that may stand alone
}

// stretches lists a day's blocks and the waits between them, by start. A surface
// that dries from one block to another fills the gap between them for as long as
// it usually takes.
func (b *book) stretches(day int) []stretch {
	m := b.m
	all := b.scratch[:0]
	for _, t := range b.inOrder[day] {
		o := b.option(int(t))
		all = append(all, stretch{o.start, o.end, t})
	}
	for _, t := range b.inOrder[day] {
		for k := range m.preds[t] {
			a := &m.preds[t][k]
			if b.at[a.other] < 0 || a.wait == 0 {
				continue
			}
			if before := b.option(a.other); int(before.day) == day {
				all = insert(all, stretch{before.end, min(b.option(int(t)).start, before.end+int32(a.wait)), -1})
			}
		}
	}
	b.scratch = all
	return all
}

// insert puts a wait among stretches by their start.
func insert(all []stretch, x stretch) []stretch {
	all = append(all, x)
	k := len(all) - 1
	for ; k > 0 && all[k-1].from >= x.from; k-- {
		all[k] = all[k-1]
	}
	all[k] = x
	return all
}

// short is how many slots the visits of a plan lack of the shortest useful one.
func (b *book) short() int {
	lack := 0
	for d := range b.byDay {
		lack += b.shortOn(d)
	}
	return lack
}

// shortOn sums up what the visits of a day lack, each from its first block to the end
// of its last.
func (b *book) shortOn(day int) int {
	if b.m.visit <= 1 || len(b.byDay[day]) == 0 {
		return 0
	}
	b.m.steps += len(b.byDay[day]) / 2
	lack := 0
	b.visits = b.visitsOn(day, b.visits[:0])
	for k := range b.visits {
		lack += b.lacks(int(b.visits[k].end-b.visits[k].first), b.visits[k].alone)
	}
	return lack
}

// visitsOn cuts a day into visits, and appends them.
func (b *book) visitsOn(day int, visits []visit) []visit {
	if len(b.byDay[day]) == 0 {
		return visits
	}
	return b.m.cut(b.stretches(day), visits)
}

// cut cuts stretches, by start, into visits, and appends them.
func (in *Input) cut(all []stretch, visits []visit) []visit {
	gap := int32(max(in.Gap, 1))
	v := visit{all[0].from, all[0].to, all[0].to, false}
	for _, s := range all {
		if s.from-v.covered >= gap {
			visits = append(visits, v)
			v = visit{s.from, s.to, s.to, false}
		}
		if v.covered = max(v.covered, s.to); s.task >= 0 {
			v.end = max(v.end, s.to)
			v.alone = v.alone || in.Tasks[s.task].Alone
		}
	}
	return append(visits, v)
}

// TooShort reports whether a task at work from one slot to another would be part of a
// visit that is too short to come for, the blocks of all other tasks standing as they do.
func (in *Input) TooShort(blocks []Block, task, from, to int) bool {
	at := map[int]Block{}
	for _, b := range blocks {
		if in.Day[b.From] == in.Day[from] {
			at[b.Task] = b
		}
	}
	at[task] = Block{Task: task, From: from, To: to}
	var all []stretch
	for t, b := range at {
		all = append(all, stretch{int32(b.From), int32(b.To), int32(t)})
		for _, a := range in.Tasks[t].After {
			if before, ok := at[a.Task]; ok && a.Go > 0 && before.To < b.From {
				all = append(all, stretch{int32(before.To), int32(min(b.From, before.To+a.Go)), -1})
			}
		}
	}
	slices.SortFunc(all, func(x, y stretch) int {
		return cmp.Or(cmp.Compare(x.from, y.from), cmp.Compare(x.to, y.to), cmp.Compare(x.task, y.task))
	})
	for _, v := range in.cut(all, nil) {
		if int(v.first) <= from && from < int(v.covered) {
			return !v.alone && int(v.end-v.first) < in.shortestVisit()
		}
	}
	return false
}

// lacks is how many slots a visit lacks.
func (b *book) lacks(length int, alone bool) int {
	if alone {
		return 0
	}
	return max(0, b.m.visit-length)
}
