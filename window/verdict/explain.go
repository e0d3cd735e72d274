package verdict

// Held is one limit held against one slot.
type Held struct {
	Limit Limit
	// State is what this limit alone allows: Unknown where its value is missing.
	State State
	Value float32 // in the limit's unit, where Known; yes/no limits have none, nor has falling water
	Known bool
	// Least is of a time since water lay there whose beginning is not known: Value is what it
	// has lasted at the least.
	Least bool
	// The bounds, in the limit's unit. Infinite where a band is open; Hard only
	// where HasHard. Yes/no limits have none.
	Ideal, Default, Hard float32
	HasHard              bool
	Way                  Way
	// Waived: the limit does not count while the surface is within its ideal band
	// (cool sun).
	Waived bool
}

// Explain holds every limit of the class against slot i of a member: first the
// yes/no limits that are broken, then thunder, water and every measured limit in
// the order of the class. The same class and terms give the same limits in the
// same order for every member, but for the first ones.
func (j *Judge) Explain(x *Sight, i int) (broken, measured []Held) {
	j.look(x)
	fixed := j.terms.Fixed[i]
	for _, l := range []Limit{fixed, j.fixed(i)} {
		if l != None && (len(broken) == 0 || l != fixed) {
			broken = append(broken, Held{Limit: l, State: NoGo})
		}
	}
	if x.series.Fog[i] && j.class.HasFilmMax {
		broken = append(broken, Held{Limit: Fog, State: NoGo})
	}
	if j.class.HasFilmMax {
		measured = append(measured, j.heldFilm(i))
	}
	cool := j.cool(i)
	for k := range j.active {
		measured = append(measured, j.held(&j.active[k], i, cool))
	}
	if j.class.HasCureMin {
		measured = append(measured, j.heldCure(i))
	}
	return broken, measured
}

func (j *Judge) held(b *bound, i int, cool bool) Held {
	h := Held{Limit: b.limit, State: Unknown, Ideal: b.ideal, Default: b.normal, Hard: b.hard, HasHard: b.hasHard, Way: b.way()}
	view := j.views[b.col]
	if !j.knows(b, view, i) {
		return h
	}
	h.Value, h.Known, h.State = view.v[i], true, Ideal
	h.Least = b.limit == DryOff && view.blind != nil && view.blind[i]
	h.Waived = b.coolSun && cool
	if !h.Waived && (h.Value-b.ideal)*b.sign > 0 {
		h.State = b.state(h.Value)
	}
	return h
}

func (j *Judge) heldFilm(i int) Held {
	most := float32(j.class.FilmMaxGM2)
	h := Held{Limit: Film, State: Unknown, Ideal: most, Default: most, Hard: most, HasHard: true}
	if h.Way = j.lies(i); !h.Way.figure() {
		h.State = NoGo
		return h
	}
	if !j.series.KnownSurface[i] || (j.water.maybe[i] && !j.water.wet[i]) {
		return h
	}
	h.Value, h.Known, h.State = j.series.Film[i], true, Ideal
	if j.water.wet[i] {
		h.State = NoGo
	}
	return h
}

func (j *Judge) heldCure(i int) Held {
	least := float32(j.class.CureMinC)
	h := Held{Limit: Cure, State: Unknown, Ideal: least, Default: least}
	low := j.sight.coldest(j.span)[i]
	if !j.series.KnownSurface[i] || low >= far {
		return h
	}
	r := j.cured(i)
	h.Value, h.State, h.Known = low, r.State, r.State != Unknown
	if r.Way == Arid {
		h.Value, h.Ideal, h.Default, h.Way = r.Value, r.Bound, r.Bound, Arid
	}
	return h
}
