package job

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"dewgap/window/boat"
)

// NewOptions are what a new job file is made from. What is left zero is filled
// in with an invented example, and marked as such in the file.
type NewOptions struct {
	Kind                string  // of boat.Kinds
	LengthM             float64 // length overall in metres
	LengthFt            float64 // the same as it was given in feet; 0: given in metres
	Boat, Place         string  // names
	Latitude, Longitude float64 // degrees; both 0: the example's
	Timezone            string  // IANA name
	Bow                 string  // as ParseBow reads it; "": the example's
	From, By            Date    // zero: left as comments
}

// The invented example.
const (
	exampleBoat  = "Kittiwake"
	examplePlace = "Otter Quay"
	exampleLat   = 43.07
	exampleLon   = -70.74
	exampleZone  = "America/New_York"
	exampleBow   = "200"
	invented     = "invented: put your own"
)

// New writes a job file to start from: the zones of a kind of boat, the usual
// steps, and every further key as a comment. Parse accepts it as it is. The
// error names the value that will not do.
func New(o NewOptions) ([]byte, error) {
	zones, err := boat.Preset(o.Kind, o.LengthM)
	if err != nil {
		return nil, err
	}
	if _, _, _, err := ParseBow(o.Bow); err != nil {
		return nil, err
	}
	if !o.From.IsZero() && !o.By.IsZero() && o.By.Before(o.From) {
		return nil, fmt.Errorf("the job ends on %s before it begins on %s: put the later day last", o.By, o.From)
	}
	var f fileWriter
	f.head()
	f.place(o)
	f.boat(o, zones)
	f.zones(zones)
	f.steps()
	f.crew(o)
	f.more()
	out := []byte(f.String())
	if _, err := Parse("", out, nil, Options{}); err != nil { // a place or a zone that cannot be
		return nil, err
	}
	return out, nil
}

// fileWriter puts explanations in one column behind the keys.
type fileWriter struct{ strings.Builder }

const remarkColumn = 34

func (f *fileWriter) line(text, remark string) {
	f.WriteString(text)
	if remark != "" {
		f.WriteString(strings.Repeat(" ", max(remarkColumn-len([]rune(text)), 1)))
		f.WriteString("# " + remark)
	}
	f.WriteString("\n")
}

func (f *fileWriter) head() {
	f.line("# A job for dewgap. What follows a # is an explanation, or a key that may be put to use", "")
	f.line("# by taking the # away. Look it over with: dewgap check FILE", "")
	f.line("job: Clean and seal", "")
}

func (f *fileWriter) place(o NewOptions) {
	f.line("place:", "")
	name, remark := orExample(o.Place, examplePlace)
	f.line("  name: "+quote(name), remark)
	lat, lon, example := o.Latitude, o.Longitude, ""
	if lat == 0 && lon == 0 {
		lat, lon, example = exampleLat, exampleLon, "; "+invented
	}
	f.line("  latitude: "+decimal(lat), "degrees, south negative"+example)
	f.line("  longitude: "+decimal(lon), "degrees, west negative"+example)
	switch {
	case o.Timezone != "":
		f.line("  timezone: "+quote(o.Timezone), "IANA name")
	case example != "":
		f.line("  timezone: "+exampleZone, "IANA name; "+invented)
	default:
		f.line("  # timezone: "+exampleZone, "IANA name; without it that of the forecast service counts")
	}
	f.line(`  # machines: "08:00-17:00"`, `when machine noise is allowed; by day: {default: "08:00-17:00", sun: none}`)
	f.line("  # water: soap", "what may run off here: none, rinse, soap, all")
	f.line("  # wind: lee", "how sheltered the berth is: open, lee, basin, at-work")
	f.line("  # onshore: {from: 60, to: 150}", "true bearings of the wind off the sea, which leaves salt from 8 m/s on")
	f.line("  # exposed: {from: 330, to: 20}", "true bearings of the wind that brings spray over the berth, alike")
	f.line("  # dust: {from: 180, to: 270}", `true bearings of the wind that brings dust: bounds of the wind one class lower; pollen: {hours: "10:00-15:00"}`)
	f.line("  # water_c: 17", "temperature of the water; water_f likewise")
	f.line("  # elevation_m: 3", "height above the sea; elevation_ft likewise")
}

func (f *fileWriter) boat(o NewOptions, zones []boat.Zone) {
	f.line("boat:", "")
	name, remark := orExample(o.Boat, exampleBoat)
	f.line("  name: "+quote(name), remark)
	f.line("  kind: "+o.Kind, "brings the zones listed below")
	f.length(o)
	bow, remark := orExample(o.Bow, exampleBow)
	if remark != "" {
		remark = "; " + remark
	}
	f.line("  bow: "+bow, "degrees true, NW, {magnetic: 190, variation: -14}, or swinging"+remark)
	f.line("  afloat: true", "false: ashore, with the underwater body")
	f.line("  # inside: ambient", "or cooled, or heated")
	lacks := ""
	for _, z := range zones {
		if z.Name != "rails" { // a step below names them
			lacks = sideless(z.Name)
		}
	}
	f.line("  # lacks: ["+lacks+"]", "zones of the kind that she does not have; both of a pair by one name")
}

// length writes the length in the unit in which it was given, metres to the
// millimetre.
func (f *fileWriter) length(o NewOptions) {
	if o.LengthFt > 0 {
		f.line("  length_ft: "+decimal(o.LengthFt), "or length_m")
		return
	}
	f.line("  length_m: "+decimal(math.Round(o.LengthM*1000)/1000), "or length_ft")
}

// zones lists what the kind brings, so that a person sees what to override.
func (f *fileWriter) zones(zones []boat.Zone) {
	f.line("# The zones of this kind, scaled by the length. A zone listed under zones goes over the", "")
	f.line("# one of its name, key by key; a new name is a new zone.", "")
	f.line(fmt.Sprintf("#   %-30s %4s %5s  %-20s %-8s %s", "name", "tilt", "faces", "finish", "shelter", "size"), "")
	for _, z := range zones {
		f.line("#   "+zoneLine(z), "")
	}
	f.line("# zones:", "")
	f.line("#   - name: port side", "")
	f.line("#     faces: 270", "degrees clockwise from the bow; not needed when level")
	f.line("#     tilt: 90", "0 level, 90 upright, 180 facing down")
	f.line("#     finish: navy-gelcoat", "brings absorptance, emissivity, skin")
	f.line("#     shelter: open", "open, hardtop, canvas, shed")
	f.line("#     area_m2: 18", "")
	f.line("#     access: float", "deck, ladder, harness, float, ashore")
	f.line("#     shade: [{from: 60, to: 130, up_to: 25}]", "true bearings hidden up to an elevation")
	f.line("#     done: {wash: 2026-09-06T10:30}", "what is done already")
}

func zoneLine(z boat.Zone) string {
	faces := "-"
	if z.Tilt >= levelTilt {
		faces = decimal(z.Faces)
	}
	size := fmt.Sprintf("%.1f m²", z.AreaM2)
	if z.LengthM > 0 {
		size = fmt.Sprintf("%.1f m", z.LengthM)
	}
	if z.Access == boat.Ashore {
		size += ", ashore only"
	}
	return fmt.Sprintf("%-30s %4s %5s  %-20s %-8s %s", z.Name, decimal(z.Tilt), faces, z.Finish.Name, z.Shelter, size)
}

func (f *fileWriter) steps() {
	f.line("steps:", "in the order of the work; without on: every zone that the product suits")
	for _, st := range usualSteps("polymer-sealant") {
		remark := ""
		if slices.Contains(stripping, st[0]) {
			remark = "without on: where a later step puts on a film"
		}
		f.line(fmt.Sprintf("  - {do: %s, with: %s}", st[0], st[1]), remark)
	}
	f.line("  # - {do: protect, with: metal-polish, on: [rails]}", "")
	f.line("  # - {do: seal, name: second coat, with: polymer-sealant, on: [foredeck], coats: 2, hours: 3.5, tape: true}", "tape: masked at the edges")
}

func (f *fileWriter) crew(o NewOptions) {
	f.line("people: 1", "")
	f.line(`hours: "07:00-18:00"`, `by day: {default: "07:00-18:00", sat: "08:00-12:00", sun: none}`)
	f.date("from", o.From, "2026-09-07", "first day")
	f.date("by", o.By, "2026-09-14", "last day, included")
}

func (f *fileWriter) date(key string, d Date, example, remark string) {
	if d.IsZero() {
		f.line("# "+key+": "+example, remark)
		return
	}
	f.line(key+": "+d.String(), remark)
}

// more names the keys that few jobs need.
func (f *fileWriter) more() {
	f.line("# crew: first crew", "of the same name in another boat's job: the same people, booked once")
	f.line("# polishers: 1", "polishing machines; left out: one for each person")
	f.line("# days: [mon, tue, wed, thu, fri]", "")
	f.line("# away: [2026-09-10]", "days on which nobody works")
	f.line("# lamps: true", "work before dawn and after dusk")
	f.line("# towel: true", "dew is taken off by towel; false: it must go by itself")
	f.line("# rinse: tap", "tap, softened, deionised")
	f.line("# sure: 0.8", "the share of forecasts that must agree")
	f.line("# shortest_block_h: 2", "the shortest visit that is worth coming for")
	f.line("# accept: marginal", "your standing yes to marginal work")
	f.line("# must: {launch: 2026-09-14T08:00}", "what the plan has to meet")
	f.line("# since: {rain: 2026-09-05T16:00}", "the last rain, where the forecast does not reach back; spray: true or false likewise")
	f.line("# berths: [{from: 2026-09-09T12:00, bow: 20}]", "she is turned or moved")
	f.line("# covers: [{zones: [foredeck], kind: canvas, from: 2026-09-08T09:00, to: 2026-09-08T17:00}]", "or [{kind: shed}], over all of her and always")
}

func orExample(value, example string) (text, remark string) {
	if value == "" {
		return example, invented
	}
	return value, ""
}

// quote puts quotes round text that YAML would not read as it stands.
func quote(text string) string {
	if text == "" {
		return `""`
	}
	plain := strings.Trim(text, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789 _/") == ""
	if _, number := parseNumber(text); plain && !number && strings.TrimSpace(text) == text && !strings.ContainsAny(text[:1], " _/") && !isWord(text) {
		return text
	}
	return strconv.Quote(text)
}

// isWord reports what YAML takes for something other than text.
func isWord(text string) bool {
	return slices.Contains([]string{"true", "false", "null"}, strings.ToLower(text))
}
