package job

import (
	"fmt"
	"strings"

	"dewgap/window/boat"
)

// mention is a name that the file refers to, kept until it is known what names
// there are.
type mention struct {
	pos
	name string
	of   pos // the list or mapping that it stands in, where that matters
}

// zoneSet gathers the zones of the preset and of the file.
type zoneSet struct {
	r       *reader
	v       vessel
	zones   []boat.Zone
	at      []pos          // where each stands in the file; zero: from the preset
	index   map[string]int // by name
	byName  map[string][]int
	ashore  map[string]boat.Zone // of the preset, left out because she is afloat
	lacked  map[string]boat.Zone // of the preset, left out because she lacks them
	drains  []drain
	doneFor []mention // keys of done
	roofs   []mention // zones that say their shelter themselves
}

// zones reads the section zones over the preset of the boat's kind.
func (s *section) zones(v vessel) *zoneSet {
	set := &zoneSet{r: s.reader, v: v, index: map[string]int{}, ashore: map[string]boat.Zone{}, lacked: map[string]boat.Zone{}}
	set.preset()
	listed := map[string]bool{}
	for _, n := range s.each("zones") {
		set.read(n, listed)
	}
	if len(set.zones) == 0 && !s.has("zones") && !v.kindGiven {
		s.fail(v.at, "no zones", "give the boat a kind and a length, or list its zones")
	}
	set.checkDrains()
	set.dropAbsent()
	set.setBow()
	return set
}

func (set *zoneSet) preset() {
	if set.v.kind == "" {
		return
	}
	preset := boat.PresetAshore
	if set.v.afloat {
		preset = boat.Preset
	}
	zones, err := preset(set.v.kind, set.v.lengthM)
	if err != nil {
		return // vessel has told it
	}
	for _, z := range set.leaveOut(zones) {
		if set.v.afloat && z.Access == boat.Ashore {
			set.ashore[z.Name] = z
			continue
		}
		set.add(z, pos{})
	}
}

// leaveOut takes from the zones of the kind those that she does not have; both of a pair go
// by the name that they share.
func (set *zoneSet) leaveOut(zones []boat.Zone) []boat.Zone {
	for _, m := range set.v.lacks {
		var kept []boat.Zone
		var names []string
		for _, z := range zones {
			if names = append(names, z.Name); z.Name != m.name && sideless(z.Name) != m.name {
				kept = append(kept, z)
			} else {
				set.lacked[z.Name], set.lacked[m.name] = z, z
			}
		}
		_, twice := set.lacked[m.name]
		switch {
		case len(kept) < len(zones):
		case twice:
			set.r.fail(m.pos, fmt.Sprintf("`lacks` takes `%s` out twice", m.name), "keep one")
		default:
			fix := "her zones are " + strings.Join(names, ", ")
			if near := Nearest(m.name, names); near != "" {
				fix = fmt.Sprintf("did you mean `%s`?", near)
			}
			set.r.fail(m.pos, fmt.Sprintf("her kind has no zone `%s`", m.name), fix)
		}
		zones = kept
	}
	return zones
}

func (set *zoneSet) add(z boat.Zone, at pos) {
	set.index[z.Name] = len(set.zones)
	set.zones = append(set.zones, z)
	set.at = append(set.at, at)
}

// read takes one item of zones: a zone of its own, or what overrides a zone of
// the preset, key by key.
func (set *zoneSet) read(n *node, listed map[string]bool) {
	s, ok := set.r.section(n, "zones")
	if !ok {
		return
	}
	name, ok := s.text("name")
	s.missing("name", "every zone has a name, such as port side")
	if ok && listed[name] {
		s.fail(s.at("name"), fmt.Sprintf("a second zone `%s`", name), "give each zone its own name")
	}
	base, over := set.base(name)
	if z, out := set.lacked[name]; out && !over && !s.has("tilt") {
		s.fail(s.at("name"), fmt.Sprintf("`lacks` takes zone `%s` out", name), "delete it here, or take it out of lacks")
		base, over = z, true
		base.Name = name // which may be that of a pair
	}
	near := ""
	if !over && ok {
		near = set.likePreset(name)
	}
	z := set.zone(s, base, over, near)
	if !ok || listed[name] {
		return
	}
	listed[name] = true
	if i, have := set.index[name]; have {
		set.zones[i], set.at[i] = z, n.pos
	} else {
		set.add(z, n.pos)
	}
	if near != "" && strings.HasPrefix(string(plain(near)), string(plain(name))) {
		set.r.warn(s.at("name"), fmt.Sprintf("zone `%s` is one more beside the `%s` of her kind: write name: %s, if that is meant", name, near, near))
	}
	if set.v.afloat && z.Access == boat.Ashore && len(z.Reach) == 0 {
		set.r.warn(n.pos, fmt.Sprintf("zone `%s` is reached only ashore, but the boat is afloat: "+
			"give it the hours of the lift under reach", name))
	}
}

// likePreset is the zone of the preset that a new zone's name is probably meant for, "" where
// there is none such: starboard, or Starboard Side, for starboard side.
func (set *zoneSet) likePreset(name string) string {
	var names []string
	for i, z := range set.zones {
		if set.at[i] == (pos{}) {
			names = append(names, z.Name)
		}
	}
	return Nearest(name, names)
}

// base is the zone that the file's keys go over; over tells that the preset
// has it, so that no key is needed.
func (set *zoneSet) base(name string) (z boat.Zone, over bool) {
	if i, ok := set.index[name]; ok {
		return set.zones[i], true
	}
	if z, ok := set.ashore[name]; ok {
		return z, true
	}
	return boat.Zone{Name: name, Buffable: "unknown"}, false
}

// zone reads the keys of one zone over z.
func (set *zoneSet) zone(s *section, z boat.Zone, over bool, near string) boat.Zone {
	s.geometry(&z, over, near)
	s.surface(&z, over)
	if s.shelter(&z); s.has("shelter") {
		set.roofs = append(set.roofs, mention{pos: s.at("shelter"), name: z.Name})
	}
	s.access(&z)
	set.state(s, &z)
	s.measures(&z)
	s.parts(&z)
	s.done()
	return z
}

// geometry reads tilt and faces. near is the zone of the preset that may be meant instead.
func (s *section) geometry(z *boat.Zone, over bool, near string) {
	tilt, ok := s.number("tilt", span{0, 180, "degrees, 0 level, 90 upright, 180 facing down,"})
	if ok {
		z.Tilt = tilt
	} else if !over {
		fix := "write it in degrees: 0 level, 90 upright, 180 facing down"
		if near != "" {
			fix = fmt.Sprintf("write name: %s, if that zone of her kind is meant; else the tilt in degrees: 0 level, 90 upright, 180 facing down", near)
		}
		s.missing("tilt", fix)
	}
	n := s.take("faces")
	if n == nil {
		if !over && ok && tilt >= levelTilt {
			s.missing("faces", "write it in degrees clockwise from the bow: 90 to starboard, 180 astern, 270 to port")
		}
		return
	}
	deg, point, ok := s.bearing(n, "faces")
	if ok {
		z.Faces, z.FacesTrue = deg, point
	}
}

// levelTilt is the tilt in degrees below which a zone's facing does not matter.
const levelTilt = 5

func finishNames() []string {
	var names []string
	for _, f := range boat.Finishes() {
		names = append(names, f.Name)
	}
	return names
}

func (s *section) finish(key string) (boat.Finish, bool) {
	i, ok := s.choice(key, finishNames())
	if !ok {
		return boat.Finish{}, false
	}
	return boat.Finishes()[i], true
}

const ownFile = "your job file"

// surface reads finish, its values where the person knows better, the build
// and what is behind it.
func (s *section) surface(z *boat.Zone, over bool) {
	if f, ok := s.finish("finish"); ok {
		if !over || !f.Skin.Laminate() || !z.Skin.Laminate() { // a coat of paint leaves a laminate's build alone
			z.Skin, z.Behind = f.Skin, f.Behind
		}
		z.Finish = f
	} else if !over {
		s.missing("finish", "use one such as white-gelcoat, navy-paint, teak, stainless")
	}
	s.ownFinish(&z.Finish)
	if i, ok := s.choice("skin", boat.SkinWords()); ok {
		z.Skin = boat.Skin(i)
	}
	if i, ok := s.choice("behind", boat.BehindWords()); ok {
		z.Behind = boat.Behind(i)
	}
}

// ownFinish reads the person's own absorptance and emissivity.
func (s *section) ownFinish(f *boat.Finish) {
	if v, ok := s.number("absorptance", span{0, 1, "the share of sunlight that it takes up,"}); ok {
		f.Absorptance, f.Source = v, ownFile
	}
	if v, ok := s.number("emissivity", span{0.01, 1, "the thermal emissivity,"}); ok {
		f.Emissivity, f.Source = v, ownFile
	}
}

// shelter reads what stands above the zone.
func (s *section) shelter(z *boat.Zone) {
	if i, ok := s.choice("shelter", boat.ShelterWords()); ok {
		z.Shelter = boat.Shelter(i)
		z.RoofView = z.Shelter.RoofView()
	}
	if v, ok := s.number("roof_view", span{0, 1, "the share of the upper view that the roof takes up,"}); ok {
		z.RoofView = v
	}
	if items := s.each("open_side"); len(items) > 0 {
		z.OpenSide = nil
		for _, n := range items {
			if deg, _, ok := s.bearing(n, "open_side"); ok {
				z.OpenSide = append(z.OpenSide, boat.Turn(deg))
			}
		}
	}
	if items := s.each("shade"); len(items) > 0 {
		z.Shade = nil
		for _, n := range items {
			if sec, ok := s.shade(n); ok {
				z.Shade = append(z.Shade, sec)
			}
		}
	}
}

// shade reads one sector of the sky that is hidden.
func (r *reader) shade(n *node) (boat.Sector, bool) {
	s, ok := r.section(n, "shade")
	if !ok {
		return boat.Sector{}, false
	}
	var sec boat.Sector
	var ok1, ok2 bool
	sec.From, sec.To, ok1 = s.ends()
	sec.UpTo, ok2 = s.number("up_to", span{0, 90, "degrees of elevation"})
	s.missing("up_to", "write the elevation in degrees below which the sky is hidden")
	sec.Relative, _ = s.flag("relative")
	sec.Until, sec.HasUntil = s.moment("until", dayEnds)
	s.done()
	return sec, ok1 && ok2
}

// access reads how and when the zone is reached.
func (s *section) access(z *boat.Zone) {
	if i, ok := s.choice("access", boat.AccessWords()); ok {
		z.Access, z.Climbed = boat.Access(i), false
	}
	items := s.each("reach")
	if len(items) == 0 {
		return
	}
	z.Reach = nil
	for _, n := range items {
		if in, ok := s.stretch(n, "reach"); ok {
			z.Reach = append(z.Reach, in)
		}
	}
}

// stretch reads {from, to}, either of which may be left out, but not both.
func (r *reader) stretch(n *node, label string) (boat.Span, bool) {
	s, ok := r.section(n, label)
	if !ok {
		return boat.Span{}, false
	}
	in, ok := s.fromTo()
	if !s.has("from") && !s.has("to") {
		s.fail(n.pos, fmt.Sprintf("`%s` without from and to", label), momentFix)
		ok = false
	}
	s.done()
	return in, ok
}

// fromTo reads two moments, the first before the second; one not written is
// zero.
func (s *section) fromTo() (boat.Span, bool) {
	from, ok1 := s.moment("from", dayBegins)
	to, ok2 := s.moment("to", dayEnds)
	ok := ok1 == s.has("from") && ok2 == s.has("to")
	if ok1 && ok2 && !from.Before(to) {
		s.fail(s.at("to"), "`to` is not after `from`", "put the later time last")
		return boat.Span{}, false
	}
	return boat.Span{From: from, To: to}, ok
}

// measures reads the zone's size.
func (s *section) measures(z *boat.Zone) {
	const sqft = feetToMetres * feetToMetres
	m2, ok := s.number("area_m2", span{0.01, 2000, "square metres"})
	ft2, okFt := s.number("area_ft2", span{0.1, 20000, "square feet"})
	if s.once("area_m2", "area_ft2"); ok {
		z.AreaM2 = m2
	} else if okFt {
		z.AreaM2 = ft2 * sqft
	}
	if m, ok := s.metresOrFeet("length", 0.05, 2000); ok {
		z.LengthM = m
	}
	if n, ok := s.whole("count", span{1, 1000, "the number of repairs"}); ok {
		z.Count = n
	}
}

// parts reads portions of the zone with another finish.
func (s *section) parts(z *boat.Zone) {
	items := s.each("parts")
	if len(items) == 0 {
		return
	}
	z.Parts = nil
	for _, n := range items {
		in, ok := s.section(n, "parts")
		if !ok {
			continue
		}
		var p boat.Part
		p.Name, _ = in.text("name")
		in.missing("name", "name the part, such as boot-top")
		p.Finish, ok = in.finish("finish")
		in.missing("finish", "name the finish of the part")
		in.ownFinish(&p.Finish)
		p.AreaM2, _ = in.number("area_m2", span{0.01, 2000, "square metres"})
		in.done()
		if ok {
			z.Parts = append(z.Parts, p)
		}
	}
	sum := 0.0
	for _, p := range z.Parts {
		sum += p.AreaM2
	}
	if z.AreaM2 > 0 && sum > z.AreaM2 {
		s.fail(s.at("parts"), fmt.Sprintf("the parts have %.4g m² together, the zone only %.4g", sum, z.AreaM2), "mend the areas")
	}
}
