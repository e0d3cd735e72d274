package text

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"dewgap/cmd/internal/answer"
)

// Cells that a name may take. They are many: two panels of a long side often differ in the
// last word alone.
const (
	zoneCells = 64 // of a zone
	nameCells = 64 // of a boat, place, job, step or product
)

// zoneBook knows the boat's zones: their order and what they are called.
type zoneBook struct {
	order map[string]int
	face  map[string]string
}

func newZoneBook(zones []answer.Zone) zoneBook {
	b := zoneBook{order: map[string]int{}, face: map[string]string{}}
	for i, z := range zones {
		b.order[z.Name] = i
		if z.Faces != nil && z.Tilt >= 20 && finite(z.Faces) {
			b.face[z.Name] = compass(*z.Faces)
		}
	}
	return b
}

// sorted puts zones in the boat's order, each once; those that it does not know
// come last, by name.
func (b zoneBook) sorted(names []string) []string {
	place := func(n string) int {
		if i, ok := b.order[n]; ok {
			return i
		}
		return math.MaxInt
	}
	out := slices.Clone(names)
	slices.SortStableFunc(out, func(x, y string) int {
		if d := place(x) - place(y); d != 0 {
			return d
		}
		return strings.Compare(x, y)
	})
	return slices.Compact(out)
}

// all are the zones of ws if they are all of the boat's, else nil: then they
// are better named one by one.
func (b zoneBook) all(ws []answer.Window) []string {
	var names []string
	for _, w := range ws {
		names = append(names, w.Zone)
	}
	if names = b.sorted(names); len(names) < len(b.order) {
		return nil
	}
	return names
}

// compass is the name of a bearing, one of eight.
func compass(deg float64) string {
	points := [...]string{"N", "NE", "E", "SE", "S", "SW", "W", "NW"}
	return points[((int(math.Round(deg/45))%8)+8)%8]
}

// some names zones, of all that the step has, in at most room cells: every name
// if they fit, else the first and how many more.
func some(names, all []string, room int) string {
	if s := whole(names, all); s != "" && cells(s) <= room {
		return s
	}
	list := short(names, zoneCells)
	if s := strings.Join(list, ", "); cells(s) <= room {
		return s
	}
	for n := len(list) - 1; n > 0; n-- {
		if s := strings.Join(list[:n], ", ") + fmt.Sprintf(" +%d", len(list)-n); cells(s) <= room {
			return s
		}
	}
	if len(list) == 1 {
		return cut(list[0], room)
	}
	more := fmt.Sprintf(" +%d", len(list)-1)
	return cut(list[0], room-len(more)) + more
}

// Shorten writes "all zones" for their list in somebody else's sentence, and "all but
// transom" where such a list ends it: "rain (port side, foredeck)".
func Shorten(text string, all []string) string {
	if len(all) < 3 {
		return text
	}
	text = strings.ReplaceAll(text, strings.Join(all, ", "), "all zones")
	from := strings.LastIndexByte(text, '(') + 1
	list, closed := strings.CutSuffix(text[from:], ")")
	names := strings.Split(list, ", ")
	if from == 0 || !closed || slices.ContainsFunc(names, func(n string) bool { return !slices.Contains(all, n) }) {
		return text
	}
	if few := whole(names, all); few != "" {
		return text[:from] + few + ")"
	}
	return text
}

// every names all the zones, however long that becomes.
func every(names, all []string) string {
	if s := whole(names, all); s != "" {
		return s
	}
	return strings.Join(short(names, zoneCells), ", ")
}

// whole says "all zones" or "all but transom" where that is so, else nothing. Of
// many zones it may leave out up to three.
func whole(names, all []string) string {
	spare := len(all) - len(names)
	switch {
	case len(all) < 3:
		return ""
	case spare <= 0:
		return tie("all zones")
	case len(all) < 4 || spare > 1 && len(all) < 6 || spare > 2 && len(all) < 10 || spare > 3:
		return ""
	}
	var out []string
	for _, z := range all {
		if !slices.Contains(names, z) {
			out = append(out, tie(name(z, zoneCells)))
		}
	}
	if len(out) == 0 {
		return ""
	}
	last := len(out) - 1
	text := tie("all but ") + out[last]
	if last > 0 {
		text = tie("all but ") + strings.Join(out[:last], ", ") + " and" + nbsp + out[last]
	}
	return text
}

// short are names cut to n cells, each one word.
func short(names []string, n int) []string {
	out := make([]string, len(names))
	for i, s := range names {
		out[i] = tie(name(s, n))
	}
	return out
}
