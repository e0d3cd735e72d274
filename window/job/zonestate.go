package job

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"dewgap/window/boat"
)

var yesNoWords = []string{"yes", "no", "unknown"}

// yesNo reads yes, no or unknown; true and false will do.
func (s *section) yesNo(key string) (string, bool) {
	if n := s.n.get(key); n != nil && n.shape == scalar && !n.quoted && (n.text == "true" || n.text == "false") {
		s.take(key)
		return map[string]string{"true": "yes", "false": "no"}[n.text], true
	}
	i, ok := s.choice(key, yesNoWords)
	if !ok {
		return "", false
	}
	return yesNoWords[i], true
}

// state reads what is known of the zone now.
func (set *zoneSet) state(s *section, z *boat.Zone) {
	if v, ok := s.flag("salt"); ok {
		z.Salt = v
	}
	if v, ok := s.flag("near_water"); ok {
		z.NearWater = v
	}
	if v, ok := s.yesNo("buffable"); ok {
		z.Buffable = v
	}
	if items := s.each("drains_to"); len(items) > 0 {
		z.DrainsTo, z.RunsOnto = nil, nil // whoever says where its water goes says all of it
		for _, n := range items {
			if name, ok := s.textOf(n, "drains_to"); ok {
				z.DrainsTo = append(z.DrainsTo, name)
				set.drains = append(set.drains, drain{mention{pos: n.pos, name: name}, z.Name})
			}
		}
	}
	if n := s.take("done"); n != nil {
		set.done(n, z)
	}
}

// done reads what has been done on the zone, by the name of the step.
func (set *zoneSet) done(n *node, z *boat.Zone) {
	if n.shape != mapping {
		set.r.wrongShape(n, "done", "write it like done: {wash: 2026-09-06T10:30}")
		return
	}
	z.Done = map[string]boat.Done{}
	for _, p := range n.pairs {
		set.doneFor = append(set.doneFor, mention{p.pos, p.key, n.pos})
		if d, ok := set.r.doneOf(p, z.Name); ok {
			z.Done[p.key] = d
		}
	}
}

// resolveDone checks that done names steps, or kinds of work that may lie
// before the job, and brings the latter to their own words.
func (set *zoneSet) resolveDone(steps []Step) {
	known := append([]string(nil), doWords...)
	for _, st := range steps {
		known = append(known, st.Name)
	}
	said := map[pos]map[string]string{} // by the place of the zone's done: its words, resolved
	for _, m := range set.doneFor {
		key := resolveDo(m.name, known)
		if !slices.Contains(known, key) {
			set.unknownDone(m, known)
			continue
		}
		if said[m.of] == nil {
			said[m.of] = map[string]string{}
		}
		if other, twice := said[m.of][key]; twice {
			set.r.fail(m.pos, fmt.Sprintf("`%s` and `%s` say the same thing", other, m.name), "keep one")
		}
		said[m.of][key] = m.name
	}
	for i := range set.zones {
		renamed := map[string]boat.Done{}
		for key, d := range set.zones[i].Done {
			key = resolveDo(key, known)
			k := slices.IndexFunc(steps, func(st Step) bool { return st.Name == key })
			if k < 0 {
				k = slices.IndexFunc(steps, func(st Step) bool { return st.Do == key })
			}
			if k >= 0 {
				d.Share = steps[k].Whole(d.Share)
			}
			renamed[key] = d
		}
		if len(renamed) > 0 {
			set.zones[i].Done = renamed
		}
	}
}

// resolveDo is the step, or the kind of work, that a word of done means.
func resolveDo(word string, known []string) string {
	if slices.Contains(known, word) {
		return word
	}
	return canonicalDo(word)
}

func (set *zoneSet) unknownDone(m mention, known []string) {
	fix := "use the name of a step, or one of " + strings.Join(doWords, ", ")
	if near := Nearest(m.name, known); near != "" {
		fix = fmt.Sprintf("did you mean `%s`?", near)
	}
	set.r.fail(m.pos, fmt.Sprintf("`%s` is no step that could be done", m.name), fix)
}

func (r *reader) doneOf(p pair, zone string) (boat.Done, bool) {
	what := "`" + p.key + "` under `done` of " + zone
	if p.val.shape != mapping {
		at, ok := r.momentOf(p.val, p.key, needsClock)
		r.isPast(what, at, ok, p.val)
		return boat.Done{At: at, Share: 1}, ok
	}
	s, _ := r.section(p.val, p.key)
	d := boat.Done{Share: 1}
	at, ok := s.pastMoment("at", what)
	s.missing("at", momentFix)
	if v, given := s.number("share", span{0, 1, "the share of the zone that is done,"}); given {
		d.Share = v
	}
	s.done()
	d.At = at
	return d, ok
}

// drain is one zone below another, as the file says it.
type drain struct {
	mention
	above string
}

// checkDrains reports zones that a zone drains to and that do not exist, and
// water that runs in a circle.
func (set *zoneSet) checkDrains() {
	for _, d := range set.drains {
		if _, ok := set.index[d.name]; !ok {
			set.unknown(d.mention)
		} else if set.below(d.name, d.above, map[string]bool{}) {
			set.r.fail(d.pos, fmt.Sprintf("the water of `%s` runs back to it from `%s`", d.above, d.name), "name only zones that lie lower")
		}
	}
}

// dropAbsent leaves out what a preset's water would run onto and is not there, as the
// bottom of a boat afloat.
func (set *zoneSet) dropAbsent() {
	absent := func(name string) bool { _, ok := set.index[name]; return !ok }
	for i := range set.zones {
		z := &set.zones[i]
		z.DrainsTo, z.RunsOnto = slices.DeleteFunc(z.DrainsTo, absent), slices.DeleteFunc(z.RunsOnto, absent)
	}
}

// below reports whether water from one zone reaches another in the end.
func (set *zoneSet) below(from, to string, seen map[string]bool) bool {
	if from == to {
		return true
	}
	i, ok := set.index[from]
	if !ok || seen[from] {
		return false
	}
	seen[from] = true
	for _, next := range set.zones[i].DrainsTo {
		if set.below(next, to, seen) {
			return true
		}
	}
	return false
}

// unknown reports the name of a zone that does not exist.
func (set *zoneSet) unknown(m mention) {
	if _, ok := set.ashore[m.name]; ok {
		set.r.fail(m.pos, fmt.Sprintf("zone `%s` exists only ashore", m.name),
			"write afloat: false under boat, or list the zone with the hours of the lift under reach")
		return
	}
	names := set.names()
	fix := "the zones are " + strings.Join(names, ", ")
	if near := Nearest(m.name, names); near != "" {
		fix = fmt.Sprintf("did you mean `%s`?", near)
	} else if len(names) == 0 {
		fix = "list it under zones"
	}
	set.r.fail(m.pos, fmt.Sprintf("unknown zone `%s`", m.name), fix)
}

// finished reports whether there are zones, each of a finish that was read.
func (set *zoneSet) finished() bool {
	for _, z := range set.zones {
		if z.Finish.Name == "" {
			return false
		}
	}
	return len(set.zones) > 0
}

func (set *zoneSet) names() []string {
	return slices.SortedFunc(maps.Keys(set.index), func(a, b string) int { return cmp.Compare(set.index[a], set.index[b]) })
}

// find gives the indices of the zones that go by a name of the file: one, or
// its compass faces where the bow is not known.
func (set *zoneSet) find(m mention) []int {
	if found, ok := set.byName[m.name]; ok {
		return found
	}
	set.unknown(m)
	return nil
}

// setBow ties facings to the bow: a compass point becomes an angle from it;
// without a bow the zones that face a side become compass faces.
func (set *zoneSet) setBow() {
	set.byName = map[string][]int{}
	if !set.v.hasBow {
		set.byCompass()
		return
	}
	for i, z := range set.zones {
		if z.FacesTrue {
			set.zones[i].Faces, set.zones[i].FacesTrue = boat.Turn(z.Faces-set.v.bow), false
		}
		set.byName[z.Name] = []int{i}
	}
}

// covers reads sheets and tents put up for a time. What stands over a zone always, and is no
// tent, is the zone's own shelter.
func (s *section) covers(set *zoneSet) []Cover {
	var out []Cover
	for _, n := range s.each("covers") {
		in, ok := s.section(n, "covers")
		if !ok {
			continue
		}
		c := in.cover(set)
		in.done()
		if !c.Tent && c.From.IsZero() && c.To.IsZero() {
			set.roofOver(c)
			continue
		}
		out = append(out, c)
	}
	return out
}

// roofOver puts a roof for good over the zones that are not better sheltered, and tells of
// those that say otherwise themselves.
func (set *zoneSet) roofOver(c Cover) {
	for _, m := range set.roofs {
		for _, i := range set.byName[m.name] {
			if z := set.zones[i]; c.Kind > z.Shelter && slices.Contains(c.Zones, z.Name) {
				set.r.warn(m.pos, fmt.Sprintf("zone `%s` says shelter: %s, but `covers` has a %s over it always, which counts: "+
					"leave the zone out of that cover, or delete its shelter", m.name, z.Shelter, c.Kind))
				break
			}
		}
	}
	for i := range set.zones {
		if z := &set.zones[i]; c.Kind > z.Shelter && slices.Contains(c.Zones, z.Name) {
			z.Shelter, z.RoofView = c.Kind, max(z.RoofView, c.Kind.RoofView())
		}
	}
}

// coverWords are the words for a cover's kind; a sheet and a tent are canvas.
var coverWords = []string{"hardtop", "canvas", "shed", "sheet", "tent"}

func (s *section) cover(set *zoneSet) Cover {
	c := Cover{Kind: boat.Canvas}
	for _, n := range s.each("zones") {
		name, ok := s.textOf(n, "zones")
		if !ok {
			continue
		}
		for _, i := range set.find(mention{pos: n.pos, name: name}) {
			if z := set.zones[i].Name; !slices.Contains(c.Zones, z) {
				c.Zones = append(c.Zones, z)
			}
		}
	}
	if !s.has("zones") {
		for _, z := range set.zones {
			c.Zones = append(c.Zones, z.Name)
		}
	}
	if i, ok := s.choice("kind", coverWords); ok && i < 3 {
		c.Kind = boat.Shelter(i + int(boat.Hardtop))
	} else if ok {
		c.Tent = coverWords[i] == "tent"
	}
	s.missing("kind", "write canvas, tent, hardtop or shed")
	in, _ := s.fromTo()
	c.From, c.To = in.From, in.To
	return c
}
