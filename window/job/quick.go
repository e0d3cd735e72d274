package job

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"dewgap/window/boat"
)

// QuickOptions are the few things that a first look at the week needs.
type QuickOptions struct {
	Latitude, Longitude float64 // degrees, north and east positive
	Kind                string  // of boat.Kinds
	LengthM             float64
	Bow                 string // as ParseBow reads it: degrees, a compass point, swinging, or "" when not known
	Seal                string // id of the product that seals; "": polymer-sealant
	Timezone            string // IANA name; "": not known yet, and the job's Location is nil
}

// quickHours are the crew's hours of a job without a file.
const quickHours = "07:00-18:00"

// Quick builds a job without a file: the zones of a kind of boat, and the usual
// steps wash, correct, strip wash and seal. What it takes for granted stands in
// the job's Warnings. classes must know soap-wash, compound-dual-action and the
// product that seals. The error names the value that will not do.
func Quick(o QuickOptions, classes Classes) (*Job, error) {
	if o.Seal == "" {
		o.Seal = "polymer-sealant"
	}
	if err := o.check(classes); err != nil {
		return nil, err
	}
	j, err := Parse("", o.file(), classes, Options{Timezone: o.Timezone})
	if err != nil {
		return nil, err
	}
	for i, w := range j.Warnings {
		j.Warnings[i] = nowhere.ReplaceAllString(w, "")
	}
	j.Warnings = append(j.Warnings, fmt.Sprintf("taken for granted: one person, %s, afloat, open berth, machines and soap allowed all day; "+
		"dewgap new writes a job file that can say otherwise", quickHours))
	return j, nil
}

// nowhere is a line and column without a file: nobody wrote that one.
var nowhere = regexp.MustCompile(`^:\d+:\d+: `)

func (o QuickOptions) check(classes Classes) error {
	if !(math.Abs(o.Latitude) <= 90 && math.Abs(o.Longitude) <= 180) {
		return fmt.Errorf("no place on earth: %g,%g: give latitude,longitude in degrees, south and west negative", o.Latitude, o.Longitude)
	}
	if _, err := boat.Preset(o.Kind, o.LengthM); err != nil {
		return err
	}
	if _, _, _, err := ParseBow(o.Bow); err != nil {
		return err
	}
	if classes == nil {
		return fmt.Errorf("no catalogue of products to look %s up in", o.Seal)
	}
	class, ok := classes.Class(o.Seal)
	if !ok || class.Do != "seal" {
		return fmt.Errorf("no product that seals: %q: use one of %s", o.Seal, strings.Join(sealing(classes), ", "))
	}
	return nil
}

// sealing lists the products that seal.
func sealing(classes Classes) []string {
	var ids []string
	for _, id := range classes.IDs() {
		if c, ok := classes.Class(id); ok && c.Do == "seal" {
			ids = append(ids, id)
		}
	}
	return ids
}

// file is the job as a person would have written it.
func (o QuickOptions) file() []byte {
	var b strings.Builder
	fmt.Fprintf(&b, "place: {latitude: %s, longitude: %s}\n", decimal(o.Latitude), decimal(o.Longitude))
	fmt.Fprintf(&b, "boat: {kind: %s, length_m: %s", o.Kind, decimal(o.LengthM))
	if bow := strings.TrimSpace(o.Bow); bow != "" {
		fmt.Fprintf(&b, ", bow: %s", bow)
	}
	b.WriteString("}\nsteps:\n")
	for _, st := range usualSteps(o.Seal) {
		fmt.Fprintf(&b, "  - {do: %s, with: %s}\n", st[0], st[1])
	}
	fmt.Fprintf(&b, "hours: %q\n", quickHours)
	return []byte(b.String())
}

// usualSteps are the work on a boat that is cleaned and sealed, and its
// products.
func usualSteps(seal string) [][2]string {
	return [][2]string{{"wash", "soap-wash"}, {"correct", "compound-dual-action"}, {"strip wash", "soap-wash"}, {"seal", seal}}
}

// decimal writes a number without an exponent, which a job file does without.
func decimal(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
