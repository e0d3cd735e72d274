package job

import (
	"fmt"
	"slices"
	"strings"
)

// undoes tells by what is done which later work takes its film off again, or does not
// hold on it (the order of the trade, common practice).
var undoes = map[string][]string{
	"seal": {"decontaminate", "correct", "wipe down", "strip wash", "coat"},
	"coat": {"decontaminate"},
}

// warnOrder tells of steps in an order that has the work done twice. They are planned as
// they stand, for the person may know why: at holds the place of each.
func (s *section) warnOrder(steps []Step, at []pos, set *zoneSet) {
	for i, st := range steps {
		var films []string
		spoils := map[string][]string{}
		var dirty, never []string
		for _, z := range st.On {
			if film := undone(steps, i, z); film != "" {
				if spoils[film] == nil {
					films = append(films, film)
				}
				spoils[film] = append(spoils[film], set.zones[z].Name)
			}
			if _, washed := set.zones[z].Done["wash"]; st.Do == "correct" && !washed && washedLater(steps, i, z) {
				dirty = append(dirty, set.zones[z].Name)
			} else if len(set.zones[z].Done) == 0 && passedOver(steps, i, z) {
				never = append(never, set.zones[z].Name)
			}
		}
		for _, film := range films {
			s.warn(at[i], fmt.Sprintf("`%s` comes after `%s` on %s: it takes that film off again or does not hold on it; put it before, or leave it out",
				st.Name, film, few(spoils[film])))
		}
		if len(dirty) > 0 {
			s.warn(at[i], fmt.Sprintf("`%s` comes before the wash of %s: the machine would grind in dirt and salt; put the wash first", st.Name, few(dirty)))
		}
		if len(never) > 0 {
			s.warn(at[i], fmt.Sprintf("no step before `%s` washes %s: dirt and salt would be ground in or sealed over; "+
				"wash there with what suits the finish, or write `done` for what is clean", st.Name, few(never)))
		}
	}
}

// undone is the last step before step i on a zone whose film step i undoes, "" where
// there is none, or where the zone gets such a film again after it.
func undone(steps []Step, i, zone int) string {
	film := ""
	for k, x := range steps {
		switch {
		case k == i || !slices.Contains(x.On, zone) || !slices.Contains(undoes[x.Do], steps[i].Do):
		case k > i:
			return ""
		default:
			film = x.Name
		}
	}
	return film
}

// washedLater reports whether a zone is washed after step i and not before it.
func washedLater(steps []Step, i, zone int) bool {
	later := false
	for k, x := range steps {
		if (x.Do == "wash" || x.Do == "strip wash") && slices.Contains(x.On, zone) {
			if k < i {
				return false
			}
			later = later || x.Do == "wash"
		}
	}
	return later
}

// passedOver reports whether step i is the first that polishes, seals or protects a zone, and
// the washes before it are for other zones alone: a cleaner without `on` goes where it suits,
// which need not be where the next product does. A job without any wash is left in peace.
func passedOver(steps []Step, i, zone int) bool {
	dry := []string{"correct", "seal", "protect"}
	if !slices.Contains(dry, steps[i].Do) {
		return false
	}
	washes := false
	for _, x := range steps[:i] {
		cleans := slices.Contains(cleaning, x.Do)
		if slices.Contains(x.On, zone) && (cleans || slices.Contains(dry, x.Do)) {
			return false
		}
		washes = washes || cleans
	}
	return washes
}

// few names up to three of some zones.
func few(names []string) string {
	const most = 3
	if len(names) <= most {
		return strings.Join(names, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(names[:most], ", "), len(names)-most)
}
