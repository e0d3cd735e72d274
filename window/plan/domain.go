package plan

// propagate takes away every option that no option of its neighbours fits, until
// nothing changes. It gives the first task that is left without any, −1 where
// each has some.
func (m *model) propagate() int {
	stale := make([]bool, len(m.options)) // a neighbour has changed since it was looked at
	for t := range m.options {
		if len(m.options[t]) == 0 {
			return t
		}
		m.extremes(t)
		stale[t] = true
	}
	for changed := true; changed; {
		changed = false
		for t := range m.options {
			if !stale[t] || m.plainlyKept(t) {
				continue
			}
			stale[t] = false
			before := len(m.options[t])
			m.options[t] = m.kept(t)
			if len(m.options[t]) == 0 {
				return t
			}
			if len(m.options[t]) != before {
				changed = true
				m.extremes(t)
				m.disturb(t, stale)
			}
		}
	}
	m.markClean()
	m.index()
	return -1
}

// disturb marks what lies around a task.
func (m *model) disturb(t int, stale []bool) {
	for k := range m.preds[t] {
		stale[m.preds[t][k].other] = true
	}
	for k := range m.succs[t] {
		stale[m.succs[t][k].other] = true
	}
}

// index notes where the options of each day begin.
func (m *model) index() {
	m.dayAt = make([][]int32, len(m.options))
	for t := range m.options {
		at := make([]int32, len(m.Days)+1)
		for i := range m.options[t] {
			at[m.options[t][i].day+1]++
		}
		for d := range m.Days {
			at[d+1] += at[d]
		}
		m.dayAt[t] = at
	}
}

// kept are the options of a task that can stand between their neighbours.
func (m *model) kept(t int) []option {
	list, g := m.options[t], m.gates(t)
	n := 0
	for n < len(list) && g.lets(m, &list[n]) {
		n++
	}
	for i := n; i < len(list); i++ {
		if g.lets(m, &list[i]) {
			list[n] = list[i]
			n++
		}
	}
	return list[:n]
}

// plainlyKept reports whether the extremes of a task alone tell that all its options
// stand: nothing but hard waits lies around it, and they are kept at both ends.
func (m *model) plainlyKept(t int) bool {
	for i := range m.preds[t] {
		a := &m.preds[t][i]
		if a.Most > 0 || a.NextDay || a.Since != nil || a.Overnight > 0 || int(m.minStart[t]) < int(m.minEnd[a.other])+a.Hard {
			return false
		}
	}
	for i := range m.succs[t] {
		a := &m.succs[t][i]
		if a.Most > 0 || a.NextDay || a.Since != nil || a.Overnight > 0 || int(m.maxEnd[t])+a.Hard > int(m.maxStart[a.other]) {
			return false
		}
	}
	return true
}

// extremes notes the first and last start and end of a task.
func (m *model) extremes(t int) {
	first := m.options[t][0]
	m.minStart[t], m.maxStart[t], m.minEnd[t], m.maxEnd[t] = first.start, first.start, first.end, first.end
	for i := range m.options[t] {
		o := &m.options[t][i]
		m.maxStart[t] = max(m.maxStart[t], o.start)
		m.minEnd[t], m.maxEnd[t] = min(m.minEnd[t], o.end), max(m.maxEnd[t], o.end)
	}
}

// gates are what an option must keep to for it to stand between the earliest and the
// latest of its neighbours.
type gates struct {
	firstStart, lastStart, firstEnd, lastEnd int32
	firstDay, lastDay                        int32
	nightFrom, dayUntil                      int32  // days: with a night before it, and without
	since                                    []*arc // what may undo one before it
}

func (m *model) gates(t int) gates {
	g := gates{lastStart: never, lastEnd: never, firstDay: -1, lastDay: never, nightFrom: -1, dayUntil: never}
	for i := range m.preds[t] {
		a := &m.preds[t][i]
		first, last := m.minEnd[a.other], m.maxEnd[a.other]
		firstDay, lastDay := int32(m.Day[first-1]), int32(m.Day[last-1])
		g.firstStart = max(g.firstStart, first+int32(a.Hard))
		if a.Most > 0 && a.Anew == 0 {
			g.lastStart = min(g.lastStart, last+int32(a.Most))
		}
		if a.NextDay {
			g.firstDay = max(g.firstDay, firstDay+1)
		}
		if a.Overnight > 0 {
			g.nightFrom, g.dayUntil = max(g.nightFrom, firstDay+1), min(g.dayUntil, lastDay)
		}
		if a.Since != nil {
			g.since = append(g.since, a)
		}
	}
	for i := range m.succs[t] {
		a := &m.succs[t][i]
		first, last := m.minStart[a.other], m.maxStart[a.other]
		g.lastEnd = min(g.lastEnd, last-int32(a.Hard))
		if a.Most > 0 && a.Anew == 0 {
			g.firstEnd = max(g.firstEnd, first-int32(a.Most))
		}
		if a.NextDay {
			g.lastDay = min(g.lastDay, int32(m.Day[last])-1)
		}
		if a.Since != nil {
			g.firstEnd = max(g.firstEnd, a.Since[first])
		}
	}
	return g
}

// lets reports whether an option keeps to them.
func (g *gates) lets(m *model, o *option) bool {
	switch {
	case o.start < g.firstStart, o.start > g.lastStart, o.end < g.firstEnd, o.end > g.lastEnd, o.day < g.firstDay, o.day > g.lastDay,
		o.night && o.day < g.nightFrom, !o.night && o.day > g.dayUntil:
		return false
	}
	for _, a := range g.since {
		if m.maxEnd[a.other] < a.Since[o.start] {
			return false
		}
	}
	return true
}

// markClean tells the options that need no consent, with all that must lie
// before them as early as it can be.
func (m *model) markClean() {
	m.clean = make([][]bool, len(m.options))
	for t := range m.options {
		m.clean[t] = make([]bool, len(m.options[t]))
		onTime := int32(0) // from here on no start is late
		for k := range m.preds[t] {
			a := &m.preds[t][k]
			onTime = max(onTime, m.minEnd[a.other]+int32(a.Go))
		}
		for i := range m.options[t] {
			o := &m.options[t][i]
			m.clean[t][i] = !m.consents(o, o.start < onTime)
		}
	}
}
