package job

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"dewgap/products"
	"dewgap/window/boat"
)

// Classes is the catalogue of product classes, as far as a job needs it.
type Classes interface {
	// Class is the class or own product of that id.
	Class(id string) (products.Class, bool)
	// IDs lists every id.
	IDs() []string
}

// doWords are the kinds of work, in the order in which a boat goes through
// them.
var doWords = []string{"wash", "decontaminate", "correct", "wipe down", "strip wash", "inspect", "seal", "protect", "coat", "bed"}

// canonicalDo brings the trade's other words to the kind of work they mean; a
// word that is none is given back as it is.
func canonicalDo(word string) string {
	w := plainWords(word)
	switch w {
	case "compound", "polish", "buff":
		return "correct"
	}
	if slices.Contains(doWords, w) {
		return w
	}
	return word
}

// plainWords are words in small letters with single blanks between them.
func plainWords(text string) string {
	return strings.Join(strings.Fields(strings.NewReplacer("-", " ", "_", " ").Replace(strings.ToLower(text))), " ")
}

// cleaning are the kinds of work that any cleaner may be used for: soap strips
// as well as washes, a degreaser decontaminates or strips.
var cleaning = []string{"wash", "decontaminate", "strip wash"}

// stripping is the work that makes a panel ready for its film.
var stripping = []string{"strip wash", "wipe down"}

// fits reports whether a product is used for a kind of work: one that it is
// made for, or another kind of cleaning where it is a cleaner.
func fits(do string, c products.Class) bool {
	return c.Serves(do) || slices.Contains(cleaning, do) && slices.Contains(cleaning, c.Do)
}

// Suits reports whether a class goes on a zone without being asked: its finish
// is listed, or is one that may be buffed and the person knows that it may. A
// class that lists nothing goes wherever it is not forbidden.
func Suits(c products.Class, z boat.Zone) bool {
	switch c.Fit(z.Finish.Name) {
	case products.FitSuited:
		return true
	case products.FitConditional:
		return z.Buffable == "yes"
	case products.FitNever:
		return false
	}
	return len(c.Allowed) == 0
}

// Forbidden is the first finish of the zone and its parts that a class must not touch, or
// only where it is known to stand buffing and nobody says that it does; "" if there is none.
func Forbidden(c products.Class, z boat.Zone) string {
	for _, f := range finishesOf(z) {
		if fit := c.Fit(f); fit == products.FitNever || fit == products.FitConditional && z.Buffable != "yes" {
			return f
		}
	}
	return ""
}

// finishesOf are those of a zone and its parts.
func finishesOf(z boat.Zone) []string {
	out := []string{z.Finish.Name}
	for _, part := range z.Parts {
		out = append(out, part.Finish.Name)
	}
	return out
}

// steps reads the section steps. classes may be nil, which leaves products
// unchecked. runOff is what may run off at the place.
func (s *section) steps(set *zoneSet, classes Classes, runOff string) []Step {
	items := s.each("steps")
	s.missing("steps", "list the work, such as - {do: wash, with: soap-wash}")
	var out []Step
	var inspects, strips []int
	var at []pos
	first := map[string]int{} // line of each name
	for _, n := range items {
		in, ok := s.section(n, "steps")
		if !ok {
			continue
		}
		st := in.step(set, classes, runOff)
		in.done()
		switch {
		case st.Do == "inspect" && len(st.On) == 0:
			inspects = append(inspects, len(out))
		case slices.Contains(stripping, st.Do) && !in.has("on") && classes != nil:
			strips = append(strips, len(out))
		}
		in.uniqueStep(&st, first)
		out, at = append(out, st), append(at, in.at("do"))
	}
	for _, i := range inspects {
		out[i].On = sealed(out, len(set.zones))
	}
	for _, i := range strips {
		out[i].On = filmed(out[i].On, out[i+1:], classes)
	}
	set.resolveDone(out)
	s.warnOrder(out, at, set)
	return out
}

func (s *section) uniqueStep(st *Step, first map[string]int) {
	if st.Name == "" {
		return
	}
	line, twice := first[st.Name]
	switch {
	case !twice:
		first[st.Name] = s.n.line
	case s.has("name"):
		s.fail(s.at("name"), fmt.Sprintf("a second step `%s`", st.Name), fmt.Sprintf("give each step its own name; the first is in line %d", line))
	default:
		s.fail(s.at("do"), fmt.Sprintf("a second step `%s`", st.Name),
			fmt.Sprintf("give it a name of its own, such as name: second %s; the first is in line %d", st.Name, line))
	}
}

// step reads one step.
func (s *section) step(set *zoneSet, classes Classes, runOff string) Step {
	st := Step{Do: s.do(classes), Coats: 1}
	if st.Name, _ = s.text("name"); st.Name == "" && st.Do != "" {
		st.Name = plainWords(s.n.get("do").text) // who writes compound logs a compound
	}
	class, known := s.with(&st, classes)
	if known {
		s.warnRunOff(class, runOff)
	}
	s.on(&st, set, class, known)
	if n, ok := s.whole("coats", span{1, 20, "the number of coats"}); ok {
		st.Coats = n
	}
	if n, ok := s.whole("per_day", span{1, 20, "the number of coats a day"}); ok {
		st.PerDay = n
	}
	st.Sand, _ = s.flag("sand_between")
	st.Tape, _ = s.flag("tape")
	st.Hours, _ = s.number("hours", span{0.1, 500, "hours of one person"})
	s.clock(&st)
	return st
}

// do reads the kind of work. Of a word that is none, the product may tell what is meant.
func (s *section) do(classes Classes) string {
	n := s.take("do")
	if n == nil {
		s.missing("do", "use one of "+strings.Join(doWords, ", "))
		return ""
	}
	word := *n
	word.text = canonicalDo(n.text)
	if with := s.n.get("with"); with != nil && classes != nil && likely(word.text, doWords) == "" {
		if c, known := classes.Class(with.text); known && n.shape == scalar {
			s.fail(n.pos, fmt.Sprintf("unknown do `%s`", n.text), fmt.Sprintf("write do: %s, which is what `%s` is for", c.Do, c.ID))
			return ""
		}
	}
	i, ok := s.choiceOf(&word, "do", doWords)
	if !ok {
		return ""
	}
	return doWords[i]
}

// with reads the product and holds it against the kind of work.
func (s *section) with(st *Step, classes Classes) (products.Class, bool) {
	n := s.take("with")
	if st.Do == "inspect" {
		if n != nil {
			s.fail(n.pos, "an inspection uses no product", "delete `with`")
		}
		return products.Class{}, false
	}
	if n == nil {
		s.missing("with", "name the product class, such as soap-wash, compound-dual-action or polymer-sealant")
		return products.Class{}, false
	}
	id, ok := s.textOf(n, "with")
	if !ok {
		return products.Class{}, false
	}
	st.With = id
	if classes == nil {
		return products.Class{}, false
	}
	class, ok := classes.Class(id)
	if !ok {
		s.fail(n.pos, fmt.Sprintf("unknown product `%s`", id), productFix(id, classes.IDs()))
		return products.Class{}, false
	}
	if st.Do != "" && !fits(st.Do, class) {
		s.fail(s.at("do"), fmt.Sprintf("`%s` is not what `%s` is for", st.Do, id), fmt.Sprintf("write do: %s, or another product", class.Do))
	}
	return class, true
}

func productFix(id string, ids []string) string {
	return cmp.Or(likely(id, ids), "use a class that dewgap products lists, or put your own product in a file of products")
}

// on finds the zones of a step: those that are named, else every zone whose
// finish the class is for.
func (s *section) on(st *Step, set *zoneSet, class products.Class, known bool) {
	var zones []boat.Zone
	for _, n := range s.each("on") {
		name, ok := s.textOf(n, "on")
		if !ok {
			continue
		}
		for _, i := range set.find(mention{pos: n.pos, name: name}) {
			if !slices.Contains(st.On, i) {
				st.On = append(st.On, i)
				zones = append(zones, set.zones[i])
			}
		}
	}
	if !known {
		return
	}
	if s.has("on") {
		s.warnFinish(s.at("on"), class, zones)
		return
	}
	for i, z := range set.zones {
		if Suits(class, z) {
			st.On = append(st.On, i)
			zones = append(zones, z)
		}
	}
	s.warnFinish(s.at("with"), class, zones)
	if len(st.On) == 0 && set.finished() {
		s.fail(s.at("with"), fmt.Sprintf("`%s` suits the finish of no zone", st.With), "name the zones with `on`, or take another product")
	}
}

// warnFinish tells of a product on finishes that it must not touch: the step
// is kept, and told no-go by its finish later on.
func (s *section) warnFinish(p pos, c products.Class, zones []boat.Zone) {
	if where := misfits(c, products.FitNever, zones); where != "" {
		s.warn(p, c.ID+" must not touch "+where)
	}
	if where := misfits(c, products.FitConditional, zones); where != "" {
		s.warn(p, c.ID+" may touch "+where+", only where it is known to stand buffing: then write buffable: yes for the zone")
	}
}

// misfits lists finishes of that fit and their zones; of paint those that nobody says stand
// buffing. It is "" where there are none.
func misfits(c products.Class, fit products.Fit, zones []boat.Zone) string {
	var finishes, names []string
	for _, z := range zones {
		for _, f := range finishesOf(z) {
			if c.Fit(f) != fit || fit == products.FitConditional && z.Buffable == "yes" {
				continue
			}
			if !slices.Contains(finishes, f) {
				finishes = append(finishes, f)
			}
			if name := "`" + z.Name + "`"; !slices.Contains(names, name) {
				names = append(names, name)
			}
		}
	}
	switch len(finishes) {
	case 0:
		return ""
	case 1:
		return finishes[0] + ", a finish of " + strings.Join(names, ", ")
	}
	return strings.Join(finishes, " or ") + ", finishes of " + strings.Join(names, ", ")
}

// warnRunOff tells of a product whose water may not run off at the place: no hour has the
// step then, and whoever hears of it from a plan that is none hears of it late.
func (s *section) warnRunOff(c products.Class, allowed string) {
	for i, word := range runOffWords {
		if word == allowed && int(c.Water) > i {
			s.warn(s.at("with"), fmt.Sprintf("%s needs `%s` to run off, and the place allows `%s`: the step has no hours here; "+
				"do it where it may, or put water under place right", c.ID, c.Water, allowed))
		}
	}
}

// filmed leaves, of the zones of a strip that names none, those on which a later step puts
// a film that rain could spoil: nobody strips a panel for nothing. All of them where no
// step does.
func filmed(on []int, later []Step, classes Classes) []int {
	films := slices.DeleteFunc(slices.Clone(later), func(st Step) bool {
		c, known := classes.Class(st.With)
		return !known || !c.RainFree.Given
	})
	var out []int
	for _, i := range on {
		if slices.ContainsFunc(films, func(st Step) bool { return slices.Contains(st.On, i) }) {
			out = append(out, i)
		}
	}
	if len(out) == 0 {
		return on
	}
	return out
}

// sealed gives the zones that any sealing step works on, for an inspection that
// names none; all zones where nothing is sealed.
func sealed(steps []Step, zones int) []int {
	var on []int
	for i := range zones {
		if slices.ContainsFunc(steps, func(st Step) bool { return st.Do == "seal" && slices.Contains(st.On, i) }) {
			on = append(on, i)
		}
	}
	if len(on) > 0 {
		return on
	}
	for i := range zones {
		on = append(on, i)
	}
	return on
}

// clock reads what the test patch told.
func (s *section) clock(st *Step) {
	n := s.take("clock")
	if n == nil {
		return
	}
	in, ok := s.section(n, "clock")
	if !ok {
		return
	}
	st.HazeMin, _ = in.number("haze_min", span{0.1, 24 * 60, "minutes"})
	in.missing("haze_min", "write the minutes that the test patch took")
	in.done()
}
