package plan

// propagate takes away every option that no option of its neighbours fits, until
// nothing changes. It gives the first task that is left without any, −1 where
// each has some.
func (m *model) propagate() int {
	for changed := true; changed; {
		for t := range m.options {
			if len(m.options[t]) == 0 {
				return t
			}
			m.extremes(t)
		}
		changed = false
		for t := range m.options {
			if m.plainlyKept(t) {
				continue
			}
			before := len(m.options[t])
			m.options[t] = m.kept(t)
			if len(m.options[t]) == 0 {
				return t
			}
			if len(m.options[t]) != before {
				changed = true
				m.extremes(t)
			}
		}
	}
	m.markClean()
	return -1
}

// kept are the options of a task that can stand between their neighbours.
func (m *model) kept(t int) []option {
	list := m.options[t]
	out := list[:0]
	for i := range list {
		if m.supported(t, &list[i]) {
			out = append(out, list[i])
		}
	}
	return out
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
	for _, o := range m.options[t] {
		m.maxStart[t] = max(m.maxStart[t], o.start)
		m.minEnd[t], m.maxEnd[t] = min(m.minEnd[t], o.end), max(m.maxEnd[t], o.end)
	}
}

// supported reports whether an option can stand between the earliest and the
// latest of its neighbours.
func (m *model) supported(t int, o *option) bool {
	for i := range m.preds[t] {
		a := &m.preds[t][i]
		first, last := int(m.minEnd[a.other]), int(m.maxEnd[a.other])
		firstDay, lastDay := m.Day[first-1], m.Day[last-1]
		switch {
		case int(o.start) < first+a.Hard,
			a.Most > 0 && a.Anew == 0 && int(o.start) > last+a.Most,
			a.NextDay && int(o.day) <= firstDay,
			a.Since != nil && last < int(a.Since[o.start]),
			a.Overnight > 0 && o.night && int(o.day) <= firstDay,
			a.Overnight > 0 && !o.night && int(o.day) > lastDay:
			return false
		}
	}
	for i := range m.succs[t] {
		a := &m.succs[t][i]
		first, last := int(m.minStart[a.other]), int(m.maxStart[a.other])
		switch {
		case int(o.end)+a.Hard > last,
			a.Most > 0 && a.Anew == 0 && int(o.end)+a.Most < first,
			a.NextDay && int(o.day) >= m.Day[last],
			a.Since != nil && int(o.end) < int(a.Since[first]):
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
		for i := range m.options[t] {
			o := &m.options[t][i]
			late := false
			for _, a := range m.preds[t] {
				late = late || int(o.start) < int(m.minEnd[a.other])+a.Go
			}
			m.clean[t][i] = !m.consents(o, late)
		}
	}
}
