package plan

import "slices"

// daySet is a set of days that could hold the job. finish bounds the end of a plan that
// uses each of them, by its chains and its last visit; room is by how much the narrowest
// capacity exceeds what is needed, in hundredths.
type daySet struct {
	set    uint64
	finish int32
	room   int
}

// fewest is the least number of days that could hold the job, at most; one more
// than at most where none can.
func (b *dayBound) fewest(most int) int {
	for size := 1; size <= min(most, len(b.days)); size++ {
		if len(b.sized(size)) > 0 {
			return size
		}
	}
	return most + 1
}

// sized lists the sets of that many days that could hold the job.
func (b *dayBound) sized(size int) []daySet {
	if sets, ok := b.known[size]; ok {
		return sets
	}
	w := setWalk{dayBound: b, size: size, nodes: make([]setNode, size+1)}
	for d := range w.nodes {
		w.nodes[d] = setNode{sums: make([]int, len(b.groups)), chains: make([]along, len(b.c.paths))}
	}
	w.from(0, 0, 0)
	slices.SortFunc(w.sets, func(x, y daySet) int {
		if x.set < y.set {
			return -1
		}
		return 1
	})
	b.known[size] = w.sets
	return w.sets
}

// setWalk goes through all sets of some size, day after day, so that sets with the same
// first days share what is reckoned of those.
type setWalk struct {
	*dayBound
	size  int
	nodes []setNode // by the number of days taken
	sets  []daySet
}

// setNode is what the days taken so far hold.
type setNode struct {
	sums   []int   // per group: person-slots
	chains []along // per chain
}

// along is how far a chain has come: so many of its tasks are done, the last at end.
type along struct {
	tasks int
	end   int32
}

// from takes each of the days from place k on as the next.
func (w *setWalk) from(depth, k int, set uint64) {
	if depth == w.size {
		w.m.steps++
		w.keep(set)
		return
	}
	n, next := &w.nodes[depth], &w.nodes[depth+1]
	for ; k+w.size-depth <= len(w.days); k++ {
		for i := range w.groups {
			next.sums[i] = n.sums[i] + w.groups[i].perDay[k]
		}
		for i, path := range w.c.paths {
			next.chains[i] = w.goOn(path, n.chains[i], k)
		}
		w.from(depth+1, k+1, set|1<<k)
	}
}

// goOn does as much of a chain as the day at place k allows.
func (b *dayBound) goOn(path []int, x along, k int) along {
	m, day := b.m, b.days[k]
	for ; x.tasks < len(path); x.tasks++ {
		t := path[x.tasks]
		at := b.begins(t, x.end)
		if int(at) >= m.n || m.Day[at] > day || b.on[t]&(1<<k) == 0 {
			break
		}
		end := b.morning[t][k]
		if m.Day[at] == day {
			end = b.ends[t][at]
		}
		if end == never {
			break
		}
		x.end = end
	}
	return x
}

// keep notes a set if it could hold the job, as far as capacity and each chain by
// itself tell.
func (w *setWalk) keep(set uint64) {
	x := daySet{set: set, room: 1 << 30, finish: w.lastVisit(set)}
	n := &w.nodes[w.size]
	for i := range w.groups {
		g := &w.groups[i]
		if n.sums[i] < g.energy {
			return
		}
		x.room = min(x.room, n.sums[i]*100/max(1, g.energy))
	}
	for _, on := range w.on {
		if on&set == 0 {
			return
		}
	}
	for i, path := range w.c.paths {
		if n.chains[i].tasks < len(path) {
			return
		}
		x.finish = max(x.finish, n.chains[i].end)
	}
	w.sets = append(w.sets, x)
}
