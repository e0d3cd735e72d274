package feed

import (
	"fmt"
	"slices"
	"strings"

	"dewgap/cmd/internal/answer"
)

// film is the entry of the hours for which one film has to stay dry, its summary in parts.
type film struct {
	draft
	boat, zone, words string
}

// namedZones is how many zones the summary of an entry names.
const namedZones = 3

// together are the entries of films, those that have to stay dry in the same hours for the same
// reason as one. Of several it goes by the least of their names, whatever their order.
func together(films []film) []draft {
	var out []draft
	var first []film // of each entry
	var zones [][]string
	for _, f := range films {
		k := slices.IndexFunc(first, f.alike)
		if k < 0 {
			k = len(out)
			out, first, zones = append(out, f.draft), append(first, f), append(zones, nil)
		}
		out[k].uid = min(out[k].uid, f.uid)
		if !slices.Contains(zones[k], f.zone) {
			zones[k] = append(zones[k], f.zone)
		}
	}
	for k := range out {
		d, names := &out[k], answer.Listed(zones[k])
		if n := len(zones[k]); n > 1 {
			d.weighty += "\n" + strings.Join(slices.Sorted(slices.Values(zones[k])), "\n")
			if n > namedZones {
				d.text = names + ".\n" + d.text
				names = fmt.Sprintf("%d zones", n)
			}
		}
		d.summary = first[k].boat + "keep " + names + " " + first[k].words
	}
	return out
}

// alike reports whether another film is told in the same entry.
func (f film) alike(o film) bool {
	return f.from.Equal(o.from) && f.to.Equal(o.to) && f.place == o.place && f.tentative == o.tentative && f.weighty == o.weighty &&
		f.text == o.text && f.boat == o.boat && f.words == o.words
}
