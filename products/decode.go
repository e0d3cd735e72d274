package products

import (
	"regexp"
	"slices"
	"strings"

	"github.com/goccy/go-yaml/ast"
)

// slug is the form of an id.
var slug = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)

// yourLabel is the provenance of what a person's own file says without more.
const yourLabel = "your label"

// draft is one product while it is read: the class as it stands so far, and
// the class that it departs from.
type draft struct {
	*reader
	c, base Class
	where   spot // of the id
	lost    bool // the class to depart from is not known: merge nothing
}

// products reads the list at the top of a file. base finds the class that a
// product departs from; in the catalogue itself own is false and there is none.
func (r *reader) products(root ast.Node, own bool, base func(id string) (Class, bool), ids []string) []Class {
	var list []Class
	seen := map[string]int{}
	r.mapping(root, "the file", keys{"products": func(n ast.Node) {
		items, ok := n.(*ast.SequenceNode)
		if !ok {
			r.fail(at(n), "begin each product with - id:", "products holds %s where a list belongs", kind(n))
			return
		}
		for _, item := range items.Values {
			if c, ok := r.product(item, own, base, ids, seen); ok {
				list = append(list, c)
			}
		}
		if len(items.Values) == 0 {
			r.fail(at(n), "add a product or leave the file out", "the list of products is empty")
		}
	}})
	if find(root, "products") == nil && len(r.errs) == 0 {
		r.fail(at(root), "start the file with products: and a list of products below", "the file lists no products")
	}
	return list
}

// product reads one item of the list.
func (r *reader) product(n ast.Node, own bool, base func(string) (Class, bool), ids []string, seen map[string]int) (Class, bool) {
	if _, ok := r.pairs(n, "a product"); !ok {
		return Class{}, false
	}
	d := &draft{reader: r, where: at(n), c: Class{Towel: true, People: 1, RateUnit: "m2"}}
	d.identify(n, seen)
	if own {
		d.depart(n, base, ids)
	} else if find(n, "like") != nil {
		d.fail(at(find(n, "like")), "write the class out in full", "a class of the catalogue cannot be like another")
	}
	d.c.Source = "common practice"
	if own {
		d.c.Source = yourLabel
	}
	if s := find(n, "source"); s != nil && s.Type() != ast.NullType {
		if text, ok := d.text(s, "source"); ok {
			d.c.Source = text
		}
	}
	d.mapping(n, "a product", d.keys())
	d.finish(n)
	return d.c, d.c.ID != ""
}

// identify reads the id, which must be new in this file.
func (d *draft) identify(n ast.Node, seen map[string]int) {
	v := find(n, "id")
	if v == nil {
		d.fail(d.where, "add id: with a short name in lower case, such as my-sealant", "a product has no id")
		return
	}
	d.where = at(v)
	id, ok := d.text(v, "id")
	if !ok {
		return
	}
	if len(id) > 64 || !slug.MatchString(id) {
		d.fail(d.where, "write lower-case letters, digits and hyphens, such as my-sealant", "%q is no id", shorten(id))
		return
	}
	if line, twice := seen[id]; twice {
		d.fail(d.where, "give each product an id of its own", "%s is listed twice, first in line %d", id, line)
		return
	}
	seen[id] = d.where.line
	d.c.ID = id
}

// depart starts a person's own product from the class that it is like; a
// product with the id of a class departs from that class.
func (d *draft) depart(n ast.Node, base func(string) (Class, bool), ids []string) {
	id, like, where := d.c.ID, d.c.ID, d.where
	if v := find(n, "like"); v != nil {
		if v.Type() == ast.NullType { // told by whoever reads the keys
			d.lost = true
			return
		}
		text, ok := d.text(v, "like")
		if !ok {
			d.lost = true
			return
		}
		like, where = text, at(v)
		if _, known := base(id); known && like != id {
			d.fail(where, "choose another id, or leave like: out", "%s is a class of the catalogue and cannot be like %s", id, shorten(like))
			return
		}
	}
	c, ok := base(like)
	d.lost = !ok
	switch {
	case like == "":
		return
	case !ok && find(n, "like") == nil:
		d.fail(where, "add like: with the class that it is nearest to; dewgap lists them", "%s is no class of the catalogue and has no like:", id)
		return
	case !ok:
		d.fail(where, didYouMean(like, ids), "there is no class %s to be like", shorten(like))
		return
	}
	d.base, d.c = c, c.clone()
	d.c.ID, d.c.Like, d.c.Own = id, like, true
	if id != like {
		d.c.Name = strings.ReplaceAll(id, "-", " ")
	}
}

// keys is every key of a product with what it does.
func (d *draft) keys() keys {
	c := &d.c
	k := keys{
		"id": skip, "like": skip, "source": skip,
		"name":          d.toText("name", &c.Name),
		"do":            d.toChoice("do", doWords(), &c.Do),
		"also_do":       d.alsoDo,
		"machine":       d.toBool("machine", &c.Machine),
		"cool_sun":      d.toBool("cool_sun", &c.CoolSun),
		"towel":         d.toBool("towel", &c.Towel),
		"equivalent":    d.toBool("equivalent", &c.Equivalent),
		"haze_in_damp":  d.toBool("haze_in_damp", &c.HazeInDamp),
		"fast_in_damp":  d.toBool("fast_in_damp", &c.FastInDamp),
		"water":         d.water,
		"surface":       d.surface,
		"people":        d.people,
		"film_max_g_m2": d.filmMax,
		"limits":        d.limits,
		"clocks_h":      d.clocks,
		"cure":          d.cure,
		"life_months":   d.life,
		"finishes":      d.finishes,
		"halves_per_k":  d.toNumber("halves_per_k", 1, 100, &c.HalvesPerK),
		"haze_soft_min": d.toNumber("haze_soft_min", 0, 10080, &c.HazeSoft),
		"recoat_end_h":  d.toNumber("recoat_end_h", 0, maxHours, &c.RecoatEndH),
		"recoat_anew_h": d.toNumber("recoat_anew_h", 0, maxHours, &c.RecoatAnew),
		"flash_word":    d.toText("flash_word", &c.FlashWord),
		"haze_word":     d.toText("haze_word", &c.HazeWord),
		"rate_unit":     d.toChoice("rate_unit", unitWords(), &c.RateUnit),
		"if_violated":   d.toText("if_violated", &c.IfViolated),
		"notes":         d.toText("notes", &c.Notes),
		"cautions":      d.cautions,
	}
	for _, s := range rangeSpecs() {
		k[s.key] = d.toRange(s)
	}
	return k
}

// skip passes over a key that was read before.
func skip(ast.Node) {}

func (d *draft) toText(key string, to *string) func(ast.Node) {
	return func(n ast.Node) {
		if text, ok := d.text(n, key); ok {
			*to = text
		}
	}
}

func (d *draft) toChoice(key string, words []string, to *string) func(ast.Node) {
	return func(n ast.Node) {
		if text, ok := d.choice(n, key, words); ok {
			*to = text
		}
	}
}

func (d *draft) toBool(key string, to *bool) func(ast.Node) {
	return func(n ast.Node) {
		if value, ok := d.boolean(n, key); ok {
			*to = value
		}
	}
}

// toNumber reads a number; the word none is 0.
func (d *draft) toNumber(key string, low, high float64, to *float64) func(ast.Node) {
	return func(n ast.Node) {
		if isNone(n) {
			*to = 0
		} else if x, ok := d.number(n, key, low, high); ok {
			*to = x
		}
	}
}

// toRange reads [least, most], [least, null], a bare number, the word none, or
// {range: [least, most], source: words}.
func (d *draft) toRange(s rangeSpec) func(ast.Node) {
	return func(n ast.Node) {
		to := s.field(&d.c)
		source := d.c.Source
		if _, isMap := n.(*ast.MappingNode); isMap {
			before, all := len(d.errs), n
			d.mapping(n, s.key, keys{"source": d.toText("source", &source), "range": skip})
			if n = find(all, "range"); n == nil {
				d.fail(at(all), "write range: [least, most] in it", "%s has no range", s.key)
			}
			if len(d.errs) > before {
				return
			}
		}
		if isNone(n) {
			*to = Range{}
			return
		}
		b, ok := d.ends(n, s.key, 0, s.high)
		if !ok {
			return
		}
		if !b.HasMin {
			d.fail(at(n), "write the least first; 0 where there is none", "%s has no least", s.key)
			return
		}
		*to = Range{Given: true, Min: b.Min, Max: b.Max, Source: source}
		if !b.HasMax {
			to.Max, to.NoMax = b.Min, true
		}
	}
}

// shorten cuts a long word for an error's text.
func shorten(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return s
}

// clone copies the class so that a change to the copy leaves it alone.
func (c Class) clone() Class {
	for _, list := range []*[]string{&c.AlsoDo, &c.Allowed, &c.Never, &c.Conditional, &c.Cautions, &c.Warnings, &c.Remarks} {
		*list = slices.Clone(*list)
	}
	return c
}
