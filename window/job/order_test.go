package job

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// The order of the trade (common practice): everything wet and everything that cuts comes
// before what stays on the panel. A job in another order is planned as it stands, and each
// step that undoes an earlier one, or grinds dirt in, is told with its line; what a later
// step makes good again is not.
func TestParse_WarnsOfAnOrderThatUndoes(t *testing.T) {
	seal, again := "{do: seal, with: polymer-sealant}", "{do: seal, name: again, with: polymer-sealant}"
	wash, correct := "{do: wash, with: soap-wash}", "{do: correct, with: compound-rotary}"
	for name, x := range map[string]struct {
		steps []string
		want  []string
	}{
		"as it should be":            {[]string{wash, correct, "{do: strip wash, with: soap-wash}", seal}, nil},
		"a wash of what is sealed":   {[]string{wash, seal, "{do: wash, name: first wash, with: soap-wash}"}, nil},
		"compounded after it":        {[]string{wash, seal, correct}, []string{"7:10: `correct` comes after `seal` on port side"}},
		"stripped after it":          {[]string{seal, "{do: strip wash, with: soap-wash}"}, []string{"6:10: `strip wash` comes after `seal`"}},
		"acid after it":              {[]string{seal, "{do: decontaminate, name: stains, with: acid-cleaner}"}, []string{"6:10: `stains` comes after `seal`"}},
		"paint on wax":               {[]string{seal, "{do: coat, name: repair, with: gelcoat-repair}"}, []string{"6:10: `repair` comes after `seal`"}},
		"acid on a coat":             {[]string{"{do: coat, name: repair, with: gelcoat-repair}", "{do: decontaminate, with: acid-cleaner}"}, []string{"6:10: `decontaminate` comes after `repair`"}},
		"a repair is polished":       {[]string{"{do: coat, name: repair, with: gelcoat-repair}", correct}, nil},
		"and sealed again":           {[]string{wash, seal, correct, again}, nil},
		"compounded dirty":           {[]string{correct, wash}, []string{"5:10: `correct` comes before the wash of port side"}},
		"never washed, nobody knows": {[]string{correct}, nil},
	} {
		text := "place: {name: Q, latitude: 43.07, longitude: -70.74, timezone: America/New_York}\nboat: {name: T, bow: 200}\n" +
			"zones: [{name: port side, faces: 270, tilt: 90, finish: white-gelcoat}]\nsteps:\n"
		for _, s := range x.steps {
			text += "  - " + s + "\n"
		}
		var got []string
		for _, w := range parse(t, text).Warnings {
			if strings.Contains(w, " comes ") {
				got = append(got, w)
			}
		}
		if assert.Len(t, got, len(x.want), "%s: %v", name, got) {
			for i := range got {
				assert.Contains(t, got[i], "job.yaml:"+x.want[i], name)
			}
		}
	}
}

// Zones are told apart: another zone's film is not undone, a wash that the zone has had
// counts, and of many zones three are named.
func TestParse_OrderIsOfEachZone(t *testing.T) {
	warned := func(zones, steps string) string {
		return strings.Join(parse(t, "place: {name: Q, latitude: 43.07, longitude: -70.74, timezone: America/New_York}\nboat: {name: T, bow: 200}\n"+
			"zones: ["+zones+"]\nsteps: ["+steps+"]\n").Warnings, "\n")
	}
	zone := func(name, more string) string {
		return "{name: " + name + ", tilt: 0, finish: white-gelcoat" + more + "}"
	}
	const late = "{do: correct, with: compound-rotary}, {do: wash, with: soap-wash}"
	assert.NotContains(t, warned(zone("a", "")+","+zone("b", ""), "{do: seal, with: polymer-sealant, on: [a]}, {do: correct, with: compound-rotary, on: [b]}"), " comes ")
	assert.NotContains(t, warned(zone("a", ", done: {wash: 2026-09-01T10:00}"), late), " comes ")
	assert.Contains(t, warned(zone("a", ", done: {wash: 2026-09-01T10:00}")+","+zone("b", ""), late), "the wash of b: ")
	assert.Contains(t, warned(zone("a", "")+","+zone("b", "")+","+zone("c", "")+","+zone("d", "")+","+zone("e", ""), late), "the wash of a, b, c and 2 more: ")
}

// A cleaner without `on` goes where it suits, and the polish after it may go elsewhere: who
// lists a wash is told of the zones that it passes over, at the first work that would grind
// the dirt in or seal it over. What is clean already, or was never to be washed, is not told.
func TestParse_WarnsOfZonesThatTheWashPassesOver(t *testing.T) {
	const zones = "{name: hull, tilt: 90, faces: 270, finish: white-gelcoat}, {name: wheelhouse, tilt: 90, faces: 0, finish: white-paint%s}"
	const degrease, sealed = "{do: wash, with: degreaser, on: [hull]}", "{do: seal, with: paint-sealant, on: [wheelhouse]}"
	warned := func(more, steps string) []string {
		var out []string
		for _, w := range parse(t, "place: {name: Q, latitude: 43.07, longitude: -70.74, timezone: America/New_York}\nboat: {name: T, bow: 200}\n"+
			"zones: ["+strings.Replace(zones, "%s", more, 1)+"]\nsteps: ["+steps+"]\n").Warnings {
			if strings.Contains(w, "no step before") {
				out = append(out, w)
			}
		}
		return out
	}
	got := warned("", degrease+", "+sealed+", {do: seal, name: again, with: paint-sealant, on: [wheelhouse]}")
	if assert.Len(t, got, 1, "once, by the first") {
		assert.Contains(t, got[0], "no step before `seal` washes wheelhouse: dirt and salt would be ground in or sealed over")
	}
	for name, quiet := range map[string][2]string{
		"washed as well":         {"", degrease + ", {do: strip wash, with: soap-wash}, " + sealed},
		"washed last week":       {", done: {wash: 2026-09-01T10:00}", degrease + ", " + sealed},
		"no wash in the job":     {"", sealed},
		"the wash is after it":   {"", sealed + ", " + degrease},
		"bedding is another job": {"", degrease + ", {do: bed, with: polysulfide-sealant, on: [wheelhouse]}"},
	} {
		assert.Empty(t, warned(quiet[0], quiet[1]), name)
	}
}

// Steps in the order in which a boat goes through them warn of nothing, whichever of them
// there are and on whichever zones.
func TestParse_TheOrderOfTheTradeIsQuiet(t *testing.T) {
	all := []string{
		"{do: wash, with: soap-wash", "{do: decontaminate, with: acid-cleaner", "{do: coat, name: repair, with: gelcoat-repair",
		"{do: correct, with: compound-rotary", "{do: correct, name: finish, with: finishing-polish", "{do: strip wash, with: soap-wash",
		"{do: wipe down, with: panel-wipe", "{do: seal, with: polymer-sealant", "{do: seal, name: top, with: carnauba-wax",
	}
	rapid.Check(t, func(t *rapid.T) {
		text := "place: {name: Q, latitude: 43.07, longitude: -70.74, timezone: America/New_York}\nboat: {name: T, bow: 200}\nzones:\n"
		zones := []string{"a", "b", "c"}
		for _, z := range zones {
			text += "  - {name: " + z + ", tilt: 0, finish: white-gelcoat}\n"
		}
		text += "steps:\n"
		acidFirst := rapid.Bool().Draw(t, "a repair comes after the acid")
		for i, s := range all {
			if i > 0 && !rapid.Bool().Draw(t, "with it") || i == 1 && !acidFirst {
				continue
			}
			on := rapid.SliceOfNDistinct(rapid.SampledFrom(zones), 1, 3, rapid.ID[string]).Draw(t, "on")
			if i == 0 {
				on = zones
			}
			text += "  - " + s + ", on: [" + strings.Join(on, ", ") + "]}\n"
		}
		for _, w := range parse(t, text).Warnings {
			assert.NotContains(t, w, " comes ")
		}
	})
}
