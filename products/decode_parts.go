package products

import (
	"fmt"
	"slices"
	"strings"

	"github.com/goccy/go-yaml/ast"
)

// gustFactor is the gust that comes with a sustained wind where a class or a
// label gives none (common practice).
const gustFactor = 1.5

// gustSource is the provenance of a gust limit made from the wind limit.
const gustSource = "1.5 × the wind limit; common practice"

// limits reads the bounds while applying.
func (d *draft) limits(n ast.Node) {
	k := keys{}
	for _, s := range limitSpecs() {
		k[s.key] = func(v ast.Node) { d.limit(v, s) }
		if s.fahrenheit != "" {
			k[s.fahrenheit] = func(v ast.Node) { d.fahrenheit(n, v, s) }
		}
	}
	d.mapping(n, "limits", k)
	if find(n, "gust_m_s") == nil && find(n, "wind_m_s") != nil {
		d.c.GustMS = gustOf(d.c.WindMS)
	}
}

// gustOf makes the gust limit that goes with a wind limit.
func gustOf(wind Limit) Limit {
	if !wind.Given {
		return Limit{}
	}
	for _, b := range []*Band{&wind.Ideal, &wind.Default, &wind.Hard} {
		b.Max *= gustFactor
	}
	wind.Source = gustSource
	return wind
}

// fahrenheit reads a limit given in °F, unless it stands there in °C as well.
func (d *draft) fahrenheit(all, n ast.Node, s spec) {
	if find(all, s.key) != nil {
		d.fail(at(n), "keep the one that your label prints", "%s and %s are both given", s.key, s.fahrenheit)
		return
	}
	toF, toC := func(c float64) float64 { return c*9/5 + 32 }, func(f float64) float64 { return (f - 32) * 5 / 9 }
	if s.shape == least { // a difference
		toF, toC = func(k float64) float64 { return k * 9 / 5 }, func(f float64) float64 { return f * 5 / 9 }
	}
	f := s
	f.key, f.low, f.high = s.fahrenheit, toF(s.low), toF(s.high)
	d.converted(n, f, s, toC)
}

// limit reads one limit in the unit of its spec.
func (d *draft) limit(n ast.Node, s spec) {
	d.converted(n, s, s, func(x float64) float64 { return x })
}

// converted reads one limit as the file's spec says, turns its numbers into
// the class's unit and merges it.
func (d *draft) converted(n ast.Node, in, out spec, convert func(float64) float64) {
	o, source, ok := d.offer(n, in)
	if !ok {
		return
	}
	for _, b := range []*Band{o.ideal, o.normal, o.hard} {
		if b != nil {
			b.Min, b.Max = ends(*b, convert)
		}
	}
	d.settle(n, in.key, out, o, source)
}

func ends(b Band, convert func(float64) float64) (low, high float64) {
	if b.HasMin {
		low = convert(b.Min)
	}
	if b.HasMax {
		high = convert(b.Max)
	}
	return low, high
}

// offer reads what a file says of one limit: the word none, a bare value for
// the default band, or {ideal, default, hard, source}.
func (d *draft) offer(n ast.Node, s spec) (o offer, source string, ok bool) {
	if isNone(n) {
		return offer{none: true}, d.c.Source, true
	}
	source, before := d.c.Source, len(d.errs)
	band := func(to **Band, word string) func(ast.Node) {
		return func(v ast.Node) {
			if b, ok := d.band(v, s, s.key+" "+word); ok {
				*to = &b
			}
		}
	}
	if _, isMap := n.(*ast.MappingNode); !isMap {
		band(&o.normal, "default")(n)
		return o, source, len(d.errs) == before
	}
	d.mapping(n, s.key, keys{
		"ideal": band(&o.ideal, "ideal"), "default": band(&o.normal, "default"), "hard": band(&o.hard, "hard"),
		"source": d.toText("source", &source),
	})
	return o, source, len(d.errs) == before
}

// band reads one band in the shape of its limit.
func (d *draft) band(n ast.Node, s spec, what string) (Band, bool) {
	if s.shape == pair {
		if _, isList := n.(*ast.SequenceNode); !isList {
			d.fail(at(n), "write [least, most], with null where an end is open", "%s needs two numbers", what)
			return Band{}, false
		}
		return d.ends(n, what, s.low, s.high)
	}
	x, ok := d.number(n, what, s.low, s.high)
	if s.shape == least {
		return Band{Min: x, HasMin: true}, ok
	}
	return Band{Max: x, HasMax: true}, ok
}

// settle merges what a file says of one limit over the base's and words what
// had to move and what is now looser than the class's hard bound.
func (d *draft) settle(n ast.Node, key string, s spec, o offer, source string) {
	if d.lost {
		return
	}
	base := *s.field(&d.base)
	now, notes, err := merge(base, o)
	if err != nil {
		d.fail(at(n), "give ideal inside default inside hard", "%s %v", key, err)
		return
	}
	if now.Given {
		now.Source = provenance(base, now, o, source)
	}
	loose := looser(s, base, now)
	now.Loosened = len(loose) > 0
	*s.field(&d.c) = now
	for _, note := range notes {
		if len(loose) == 0 || !strings.HasPrefix(note, "hard") { // else the outranked bound says it
			d.warn(at(n), "%s %s: %s", d.c.ID, s.label, note)
		}
	}
	if o.none && base.Given && len(loose) == 0 {
		d.warn(at(n), "%s %s: taken away", d.c.ID, s.label)
	}
	for _, text := range loose {
		d.outrank(n, text)
	}
}

// outrank keeps a warning for every verdict made with the product.
func (d *draft) outrank(n ast.Node, text string) {
	text = d.c.ID + " " + text + ": your label outranks it"
	d.c.Warnings = append(d.c.Warnings, text)
	d.warn(at(n), "%s, and every verdict says so", text)
}

// warn notes what was read but deserves a word wherever the product is used.
func (d *draft) warn(at spot, format string, args ...any) {
	text := fmt.Sprintf("%s:%d:%d: ", d.file, at.line, at.column) + fmt.Sprintf(format, args...)
	d.c.Remarks, d.warnings = append(d.c.Remarks, text), append(d.warnings, text)
}

// otherBands stands between a file's own source and that of the bands that it leaves.
const otherBands = "; other bands: "

// provenance names the file's source, and the base's where a band of it stays.
func provenance(base, now Limit, o offer, source string) string {
	kept := o.ideal == nil && now.Ideal == base.Ideal && now.Ideal != now.Default ||
		o.normal == nil && now.Default == base.Default ||
		o.hard == nil && now.Hard == base.Hard && base.Hard != Band{}
	if !base.Given || !kept {
		return source
	}
	return source + otherBands + base.Source
}

// clocks reads the hours before and after application.
func (d *draft) clocks(n ast.Node) {
	k := keys{}
	for _, s := range clockSpecs() {
		k[s.key] = func(v ast.Node) { d.oneClock(v, s) }
	}
	d.mapping(n, "clocks_h", k)
}

// oneClock reads a clock by way of the limit that it is.
func (d *draft) oneClock(n ast.Node, s clockSpec) {
	var now Limit
	s.field = func(c *Class) *Limit {
		if c == &d.c {
			return &now
		}
		l := s.clock(c).limit()
		return &l
	}
	now = s.clock(&d.c).limit()
	d.limit(n, s.spec)
	*s.clock(&d.c) = now.clock()
}

// cure reads what the film needs to cure.
func (d *draft) cure(n ast.Node) {
	c := &d.c
	if isNone(n) {
		c.CureMinC, c.HasCureMin, c.CureHumid, c.FullCureH, c.CureSource = 0, false, Band{}, Range{}, ""
		d.curedColder(n)
		return
	}
	c.CureSource = c.Source
	full := rangeSpec{key: "full_h", high: maxHours, field: func(c *Class) *Range { return &c.FullCureH }}
	d.mapping(n, "cure", keys{
		"source": d.toText("source", &c.CureSource),
		"min_c":  func(v ast.Node) { d.cureMin(v, "min_c", -30, 60, func(x float64) float64 { return x }) },
		"min_f": func(v ast.Node) {
			if find(n, "min_c") != nil {
				d.fail(at(v), "keep the one that your label prints", "min_c and min_f are both given")
				return
			}
			d.cureMin(v, "min_f", -22, 140, func(x float64) float64 { return (x - 32) * 5 / 9 })
		},
		"humidity_pct": func(v ast.Node) {
			if b, ok := d.band(v, spec{shape: pair, high: 100}, "cure humidity_pct"); ok {
				c.CureHumid = b
			}
		},
		"full_h": d.toRange(full),
	})
	d.curedColder(n)
	if find(n, "full_h") != nil {
		c.FullCureH.Source = c.CureSource
	}
}

func (d *draft) cureMin(n ast.Node, key string, low, high float64, convert func(float64) float64) {
	if x, ok := d.number(n, "cure "+key, low, high); ok {
		d.c.CureMinC, d.c.HasCureMin = convert(x), true
	}
}

// curedColder warns where the file lets a film cure colder than its class.
func (d *draft) curedColder(n ast.Node) {
	b, c := d.base, d.c
	if b.HasCureMin && (!c.HasCureMin || c.CureMinC < b.CureMinC) {
		d.outrank(n, fmt.Sprintf("cure minimum %s is looser than the class's %s °C", orNone(c.CureMinC, c.HasCureMin, " °C"), num(b.CureMinC)))
	}
}

func orNone(x float64, has bool, unit string) string {
	if !has {
		return "none"
	}
	return num(x) + unit
}

// life reads how many months it lasts.
func (d *draft) life(n ast.Node) {
	k := keys{}
	for _, s := range lifeSpecs() {
		k[s.key] = d.toRange(s)
	}
	d.mapping(n, "life_months", k)
}

func (d *draft) alsoDo(n ast.Node) {
	d.c.AlsoDo = nil
	for _, item := range d.list(n, "also_do") {
		if word, ok := d.choice(item, "also_do", doWords()); ok {
			d.c.AlsoDo = append(d.c.AlsoDo, word)
		}
	}
}

func (d *draft) cautions(n ast.Node) {
	d.c.Cautions = nil
	for _, item := range d.list(n, "cautions") {
		if text, ok := d.text(item, "cautions"); ok {
			d.c.Cautions = append(d.c.Cautions, text)
		}
	}
}

func (d *draft) water(n ast.Node) {
	if word, ok := d.choice(n, "water", waterWords()); ok {
		d.c.Water = Water(slices.Index(waterWords(), word))
	}
}

func (d *draft) surface(n ast.Node) {
	if word, ok := d.choice(n, "surface", surfaceWords()); ok {
		d.c.Surface = Surface(slices.Index(surfaceWords(), word))
	}
}

// people reads the fewest people, a whole number.
func (d *draft) people(n ast.Node) {
	x, ok := d.number(n, "people", 1, 20)
	if !ok {
		return
	}
	if x != float64(int(x)) {
		d.fail(at(n), "write a whole number", "people cannot be %s", num(x))
		return
	}
	d.c.People = int(x)
	if d.c.People < d.base.People {
		d.outrank(n, fmt.Sprintf("people %d is fewer than the class's %d", d.c.People, d.base.People))
	}
}

// filmMax reads how much water the panel may hold.
func (d *draft) filmMax(n ast.Node) {
	if isNone(n) {
		d.c.FilmMaxGM2, d.c.HasFilmMax, d.c.FilmSource = 0, false, ""
	} else if x, ok := d.number(n, "film_max_g_m2", 0, 500); ok {
		d.c.FilmMaxGM2, d.c.HasFilmMax, d.c.FilmSource = x, true, d.c.Source
	}
	b, c := d.base, d.c
	if b.HasFilmMax && (!c.HasFilmMax || c.FilmMaxGM2 > b.FilmMaxGM2) {
		d.outrank(n, fmt.Sprintf("water on the panel %s is looser than the class's hard %s g/m²",
			orNone(c.FilmMaxGM2, c.HasFilmMax, " g/m²"), num(b.FilmMaxGM2)))
	}
}

// finishes reads which surfaces the product suits; what the file lists in one
// place leaves the others.
func (d *draft) finishes(n ast.Node) {
	c := &d.c
	listed := map[string]string{}
	d.mapping(n, "finishes", keys{
		"allowed":     func(v ast.Node) { d.finishList(v, "allowed", &c.Allowed, listed) },
		"conditional": func(v ast.Node) { d.finishList(v, "conditional", &c.Conditional, listed) },
		"never":       func(v ast.Node) { d.finishList(v, "never", &c.Never, listed) },
	})
	lists := map[string]*[]string{"allowed": &c.Allowed, "conditional": &c.Conditional, "never": &c.Never}
	for _, word := range []string{"allowed", "conditional", "never"} {
		*lists[word] = slices.DeleteFunc(*lists[word], func(f string) bool {
			in, ok := listed[f]
			return ok && in != word
		})
	}
	if lost := lostNever(d.base, *c); len(lost) > 0 {
		d.outrank(n, fmt.Sprintf("%s is a finish that the class must not touch", strings.Join(lost, ", ")))
	}
}

// finishList reads one list of finishes, or of words for several.
func (d *draft) finishList(n ast.Node, word string, to *[]string, listed map[string]string) {
	groups := finishGroups()
	known := append(Finishes(), "all", "gelcoats", "paints", "non-skids", "tubes")
	*to = nil
	for _, item := range d.list(n, word) {
		name, ok := d.choice(item, "finishes "+word, known)
		if !ok {
			continue
		}
		members, isGroup := groups[name]
		if !isGroup {
			members = []string{name}
		}
		for _, f := range members {
			if other, twice := listed[f]; twice {
				d.fail(at(item), "list each finish once", "%s is listed under %s already", f, other)
				continue
			}
			listed[f] = word
			*to = append(*to, f)
		}
	}
}

// lostNever is what the base must not touch and the class may.
func lostNever(base, c Class) []string {
	var lost []string
	for _, f := range base.Never {
		if !slices.Contains(c.Never, f) {
			lost = append(lost, f)
		}
	}
	return lost
}

// finish checks what only the whole product can tell.
func (d *draft) finish(n ast.Node) {
	c := &d.c
	if c.Name == "" {
		c.Name = strings.ReplaceAll(c.ID, "-", " ")
	}
	if c.Do == "" && !c.Own && len(d.errs) == 0 {
		d.fail(d.where, "add do: with one of "+strings.Join(doWords(), ", "), "%s does not say what it does", c.ID)
	}
	if c.Towel && c.DewDryOff.Given {
		if clocks := find(n, "clocks_h"); clocks != nil && find(clocks, "dew_dry_off") != nil {
			d.fail(at(find(clocks, "dew_dry_off")), "keep dew_dry_off with towel: false, or leave it out",
				"dew_dry_off is for products whose dew no towel takes off")
			return
		}
		c.DewDryOff = Clock{}
		d.warn(d.where, "%s: dew may now be taken off by towel, so dew dry-off is dropped", c.ID)
	}
	if !c.Towel && c.Own && d.base.Towel && !c.DewDryOff.Given {
		c.DewDryOff = Clock{Given: true, Ideal: 4, Default: 4, Hard: 2, HasHard: true, Source: "common practice"}
	}
	if c.HazeMin.Given && !c.HazeMin.NoMax && c.HazeSoft > c.HazeMin.Max {
		c.HazeSoft = 0 // a shorter most makes the softer one of the class pointless
	}
}
