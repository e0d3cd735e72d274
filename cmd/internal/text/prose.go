package text

import (
	"regexp"
	"strconv"
	"strings"
)

// Sentences of an answer are written in SI; a screen may want other units.

// quantities finds numbers with an SI unit in a sentence: one, or two joined by
// "to", "and" or a dash.
var quantities = regexp.MustCompile(
	`(^|[^\w.])([+−-]?\d+(?:\.\d+)?)(?:( to | and |-|–)([+−-]?\d+(?:\.\d+)?))? ?(°C|g/m²|m²|m/s\b|mm\b|K\b)`)

// aside is the same quantity once more in brackets, as some sentences give it
// for readers of the other system.
var aside = regexp.MustCompile(`^ \(\d+(?:\.\d+)? ?(?:°F|mph|kn|ft|in|sq ft)\)`)

// laterBound is a bound behind a quantity that leaves its unit out: "wind 8 m/s
// at the panel, at most 6".
var laterBound = regexp.MustCompile(
	`^([^,;:.()\d]*, (ideal from|ideal up to|at least|at most|needs|inside) )(-?\d+(?:\.\d+)?)`)

// prose puts the quantities of a sentence written in SI into the units of the
// screen. Kelvins are differences, degrees Celsius are temperatures.
func (o Options) prose(s string) string {
	s = tidy(s)
	if o.us() {
		s = film.ReplaceAllString(s, "water on the panel")
	}
	var b strings.Builder
	for s != "" {
		at := quantities.FindStringSubmatchIndex(s)
		if at == nil {
			break
		}
		g := quantities.FindStringSubmatch(s)
		q, to := o.unitOf(g[5]), boundSide(s[:at[0]]+g[1])
		if g[5] == "K" {
			to = spreadSide(s[:at[0]]+g[1], s[at[1]:])
		} else if m := laterBound.FindStringSubmatch(s[at[1]:]); m != nil && g[4] == "" && to == nearest {
			to = pastSide(g[2], m[3], sideOf(m[2]))
		}
		b.WriteString(s[:at[0]] + g[1] + q.convert(g[2], to))
		if g[4] != "" {
			b.WriteString(strings.ReplaceAll(g[3], " ", nbsp) + q.convert(g[4], to))
		}
		b.WriteString(q.withUnit(""))
		s = s[at[1]:]
		s = s[len(aside.FindString(s)):]
		if m := laterBound.FindStringSubmatch(s); m != nil && ownUnit.FindString(s[len(m[0]):]) == "" {
			b.WriteString(m[1] + q.convert(m[3], sideOf(m[2])))
			s = s[len(m[0]):]
		}
	}
	return strings.ReplaceAll(b.String()+s, " W/m²", nbsp+"W/m²")
}

// film is water on a panel with its figures, which mean something per square
// metre alone.
var film = regexp.MustCompile(`water on the panel, [\d.]+ g/m²(?:, (?:at most|ideal up to) [\d.]+)?`)

// boundWord ends what stands before a bound that says its unit, with words that no
// measured value follows.
var boundWord = regexp.MustCompile(`(?:^|[^\w])(under|over|at least|at most|needs|ideal from|ideal up to) $`)

// boundSide is the strict side of a bound by the words before it, the nearest where
// they speak of no bound: what stops the work reads as what the work needs.
func boundSide(before string) side {
	if m := boundWord.FindStringSubmatch(before); m != nil {
		return sideOf(m[1])
	}
	return nearest
}

// pastSide is the side of a value beside its bound: away from it once it is past it, so
// that it never looks as if it were inside, else the bound's own.
func pastSide(value, bound string, strict side) side {
	v, err1 := strconv.ParseFloat(strings.Replace(value, "−", "-", 1), 64)
	b, err2 := strconv.ParseFloat(bound, 64)
	if err1 != nil || err2 != nil {
		return nearest
	}
	if strict == up && v < b || strict == down && v > b {
		return -strict
	}
	return strict
}

// spreadSide is the strict side of a difference, by the words around it: a margin over
// the dew point never looks wider than it is, and a bound under which work stops never
// lower.
func spreadSide(before, behind string) side {
	switch over := strings.HasPrefix(behind, " over dew point"); {
	case over && strings.HasSuffix(before, "under "), strings.HasPrefix(behind, " below dew point"):
		return up
	case over:
		return down
	}
	return nearest
}

// ownUnit is a unit straight behind a bound: then the bound is a quantity of its
// own.
var ownUnit = regexp.MustCompile(`^ ?(?:°C|g/m²|m²|m/s|mm|K\b|h\b|min\b|%)`)

// sideOf is the strict side of a bound, by the word before it.
func sideOf(word string) side {
	switch word {
	case "ideal up to", "at most", "over":
		return down
	}
	return up
}

func (o Options) unitOf(si string) quantity {
	switch si {
	case "°C":
		return o.temperature()
	case "K":
		return o.degrees()
	case "m/s":
		return o.wind()
	case "mm":
		return o.rain()
	case "g/m²":
		return o.water()
	default:
		return o.area()
	}
}

// convert rewrites a figure of a sentence, keeping an explicit sign; what is
// shown in its own unit stays as it was written.
func (q quantity) convert(s string, to side) string {
	x, err := strconv.ParseFloat(strings.Replace(s, "−", "-", 1), 64)
	if err != nil || (q.scale == 1 && q.offset == 0) {
		return s
	}
	t := figure(q.of(x), q.digits, to, false)
	if strings.HasPrefix(s, "+") {
		t = "+" + t
	}
	return t
}
