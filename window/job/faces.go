package job

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"dewgap/window/boat"
)

// Where the bow is not known, or swings, nobody can tell the sunny side from
// the other. The zones that face a side are then answered for by the compass:
// port side and starboard side become one side, once for each of the four
// quarters of the compass.

var quarters = []float64{0, 90, 180, 270}

// byCompass replaces the zones whose facing hangs on the bow.
func (set *zoneSet) byCompass() {
	var out []boat.Zone
	var at []pos
	made := map[string]int{} // first of the four faces of a group
	var lost, moved []string
	for i, z := range set.zones {
		z = unturned(z, &lost)
		if z.Tilt < levelTilt || z.FacesTrue {
			set.byName[z.Name] = []int{len(out)}
			out, at = append(out, z), append(at, set.at[i])
			continue
		}
		moved = append(moved, z.Name)
		group := groupKey(z)
		first, ok := made[group]
		if !ok {
			first = len(out)
			made[group] = first
			for _, q := range quarters {
				out, at = append(out, face(z, q)), append(at, set.at[i])
			}
		} else {
			merge(out[first:first+len(quarters)], z)
		}
		set.byName[z.Name] = []int{first, first + 1, first + 2, first + 3}
	}
	uniqueNames(out)
	set.zones, set.at = out, at
	set.redrain()
	set.tellFaces(moved, lost)
}

// sideless is a zone's name without the side of the boat.
func sideless(name string) string {
	words := strings.Fields(name)
	var kept []string
	for _, w := range words {
		if w != "port" && w != "starboard" {
			kept = append(kept, w)
		}
	}
	if len(kept) == 0 {
		return "side"
	}
	return strings.Join(kept, " ")
}

// groupKey tells zones that differ in nothing but the side they are on.
func groupKey(z boat.Zone) string {
	return fmt.Sprint(sideless(z.Name), z.Tilt, z.Finish, z.Skin, z.Shelter, z.Behind, z.Access, z.Climbed, z.RoofView,
		z.Buffable, z.NearWater, z.Parts)
}

// face is the zone turned to a quarter. Its area is not known: which of the
// boat's faces will look that way is not.
func face(z boat.Zone, quarter float64) boat.Zone {
	z.Name = fmt.Sprintf("%s facing %s", sideless(z.Name), CompassPoint(quarter))
	z.Faces, z.FacesTrue, z.Quarter = quarter, true, true
	z.AreaM2, z.LengthM = 0, 0
	return z
}

// unturned drops the boat's own shade, whose bearings hang on the bow.
func unturned(z boat.Zone, lost *[]string) boat.Zone {
	var kept []boat.Sector
	for _, s := range z.Shade {
		if !s.Relative {
			kept = append(kept, s)
		}
	}
	if len(kept) < len(z.Shade) {
		*lost = append(*lost, z.Name)
	}
	z.Shade = kept
	return z
}

// merge joins what is known of another side into the faces of a group: salt
// when any has it, and only such work done, shade and reach as both have.
func merge(faces []boat.Zone, z boat.Zone) {
	for i := range faces {
		f := &faces[i]
		f.Salt = f.Salt || z.Salt
		if !reflect.DeepEqual(f.Done, z.Done) {
			f.Done = nil
		}
		if !reflect.DeepEqual(f.Shade, z.Shade) {
			f.Shade = nil
		}
		if !reflect.DeepEqual(f.Reach, z.Reach) {
			f.Reach = nil
		}
		f.DrainsTo = append(append([]string(nil), f.DrainsTo...), z.DrainsTo...)
		f.RunsOnto = append(append([]string(nil), f.RunsOnto...), z.RunsOnto...)
	}
}

// uniqueNames tells groups apart that share a name and differ in finish.
func uniqueNames(zones []boat.Zone) {
	count := map[string]int{}
	for _, z := range zones {
		count[z.Name]++
	}
	taken := map[string]bool{}
	for i, z := range zones {
		name := z.Name
		if count[name] > 1 {
			name = fmt.Sprintf("%s, %s", name, z.Finish.Name)
		}
		for n := 2; taken[name]; n++ {
			name = fmt.Sprintf("%s %d", z.Name, n)
		}
		taken[name] = true
		zones[i].Name = name
	}
}

// redrain turns the names of what lies below a zone into those of the new zones.
func (set *zoneSet) redrain() {
	for i := range set.zones {
		z := &set.zones[i]
		z.DrainsTo, z.RunsOnto = set.renamed(i, z.DrainsTo), set.renamed(i, z.RunsOnto)
	}
}

// renamed are the new zones that old names below zone i stand for.
func (set *zoneSet) renamed(i int, old []string) []string {
	var names []string
	for _, d := range old {
		if slices.Contains(set.byName[d], i) {
			continue // port to starboard: now faces of one zone
		}
		for _, j := range set.byName[d] {
			if name := set.zones[j].Name; !slices.Contains(names, name) {
				names = append(names, name)
			}
		}
	}
	return names
}

func (set *zoneSet) tellFaces(moved, lost []string) {
	if len(moved) > 0 {
		why := "the bow is not given"
		if set.v.swinging {
			why = "she swings"
		}
		set.r.warn(set.v.at, fmt.Sprintf("%s, so port and starboard cannot be told from sun and shade: "+
			"%s are answered for as faces to N, E, S and W", why, strings.Join(moved, ", ")))
	}
	for _, name := range lost {
		set.r.warn(set.v.at, fmt.Sprintf("the boat's own shade on `%s` is left out: it needs the bow", name))
	}
}
