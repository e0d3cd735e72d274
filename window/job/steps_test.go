package job

import (
	"strings"
	"testing"

	"dewgap/products"
	"dewgap/window/boat"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestCanonicalDo(t *testing.T) {
	for word, want := range map[string]string{
		"compound": "correct", "polish": "correct", "buff": "correct", "Buff": "correct", "strip-wash": "strip wash",
		"wipe_down": "wipe down", "Seal": "seal", "inspect": "inspect", "varnish": "varnish",
	} {
		assert.Equal(t, want, canonicalDo(word), word)
	}
}

func TestFits(t *testing.T) {
	set := catalogue(t)
	for _, c := range []struct {
		do, id string
		want   bool
	}{
		{"wash", "soap-wash", true}, {"strip wash", "soap-wash", true}, {"strip wash", "degreaser", true},
		{"decontaminate", "acid-cleaner", true}, {"seal", "carnauba-wax", true}, {"protect", "metal-polish", true},
		{"coat", "teak-oil", true}, {"bed", "polysulfide-sealant", true}, {"wipe down", "panel-wipe", true},
		{"seal", "soap-wash", false}, {"wash", "polymer-sealant", false}, {"correct", "varnish", false},
	} {
		class, ok := set.Class(c.id)
		require.True(t, ok, c.id)
		assert.Equal(t, c.want, fits(c.do, class), "%s with %s", c.do, c.id)
	}
}

func TestSuits(t *testing.T) {
	zone := func(finish, buffable string) boat.Zone {
		f, ok := boat.FinishByName(finish)
		require.True(t, ok)
		return boat.Zone{Name: "z", Finish: f, Buffable: buffable}
	}
	compound, _ := catalogue(t).Class("compound-dual-action")
	assert.True(t, Suits(compound, zone("navy-gelcoat", "unknown")))
	assert.False(t, Suits(compound, zone("navy-paint", "unknown")))
	assert.True(t, Suits(compound, zone("navy-paint", "yes")), "the person knows that it may be buffed")
	assert.False(t, Suits(compound, zone("clear-vinyl", "yes")))
	anything := products.Class{Never: []string{"canvas"}}
	assert.True(t, Suits(anything, zone("teak", "unknown")), "a class that lists nothing suits all")
	assert.False(t, Suits(anything, zone("canvas", "unknown")))
}

// What forbids a class is named: the zone's own finish, or that of a part of it.
func TestForbidden(t *testing.T) {
	compound, _ := catalogue(t).Class("compound-dual-action")
	forbidden := func(buffable string, finishes ...string) string {
		var all []boat.Finish
		for _, name := range finishes {
			f, ok := boat.FinishByName(name)
			require.True(t, ok, name)
			all = append(all, f)
		}
		z := boat.Zone{Finish: all[0], Buffable: buffable}
		for _, f := range all[1:] {
			z.Parts = append(z.Parts, boat.Part{Finish: f})
		}
		return Forbidden(compound, z)
	}
	assert.Empty(t, forbidden("unknown", "white-gelcoat", "stainless"), "what nobody lists is the person's to ask for")
	assert.Equal(t, "teak", forbidden("yes", "teak"))
	assert.Equal(t, "navy-paint", forbidden("unknown", "white-gelcoat", "navy-paint"))
	assert.Equal(t, "canvas", forbidden("yes", "navy-paint", "white-gelcoat", "canvas"))
	assert.Empty(t, forbidden("yes", "navy-paint", "white-gelcoat"))
}

func TestSteps_WarnOfTheFinish(t *testing.T) {
	j := parse(t, jobWith("zones:\n  - {name: window, faces: 270, tilt: 90, finish: clear-vinyl}\n"+
		"  - {name: mask, faces: 270, tilt: 80, finish: black-paint}",
		"steps:\n  - {do: correct, with: compound-dual-action, on: [window, mask]}"))
	assert.Equal(t, []int{0, 1}, j.Steps[0].On, "kept: the limit finish denies it later")
	require.Len(t, j.Warnings, 2)
	assert.Equal(t, "job.yaml:7:51: compound-dual-action must not touch clear-vinyl, a finish of `window`", j.Warnings[0])
	assert.Contains(t, j.Warnings[1], "write buffable: yes")
	j = parse(t, jobWith("zones:\n  - {name: side, faces: 270, tilt: 90, finish: navy-paint}\n"+
		"  - {name: mask, faces: 270, tilt: 80, finish: black-paint}\n  - {name: bow, faces: 0, tilt: 80, finish: navy-paint}\n"+
		"  - {name: stern, faces: 0, tilt: 80, finish: navy-paint, buffable: yes}",
		"steps:\n  - {do: correct, with: compound-dual-action, on: [side, mask, bow, stern]}"))
	require.Len(t, j.Warnings, 1, "one word for all of them")
	assert.Contains(t, j.Warnings[0], "may touch navy-paint or black-paint, finishes of `side`, `mask`, `bow`, only where")
}

// Without a name of its own a step goes by the word that it was written with.
func TestSteps_GoByTheirWord(t *testing.T) {
	j := parse(t, jobWith("zones:\n  - {name: side, faces: 270, tilt: 90, finish: white-gelcoat, done: {compound: 2026-09-06T10:30}}",
		"steps:\n  - {do: Compound, with: compound-rotary}\n  - {do: polish, with: finishing-polish}\n  - {do: strip_wash, with: soap-wash}"))
	assert.Equal(t, []string{"compound", "polish", "strip wash"}, stepNames(j))
	assert.Equal(t, []string{"correct", "correct", "strip wash"}, []string{j.Steps[0].Do, j.Steps[1].Do, j.Steps[2].Do})
	assert.Contains(t, j.Zones[0].Done, "compound")
}

// Work whose water may not run off at the place has no hours there: the file's check says
// so with its line, before a plan does.
func TestSteps_WarnOfRunOff(t *testing.T) {
	for allowed, want := range map[string][]string{
		"none": {"soap-wash needs `soap`", "acid-cleaner needs `all`"}, "rinse": {"soap-wash needs `soap`", "acid-cleaner needs `all`"},
		"soap": {"acid-cleaner needs `all`"}, "all": nil,
	} {
		text := strings.Replace(jobWith("steps:\n  - {do: wash, with: soap-wash, on: [port side]}\n"+
			"  - {do: decontaminate, with: acid-cleaner, on: [port side]}\n  - {do: seal, with: polymer-sealant, on: [port side]}"),
			"place: {", "place: {water: "+allowed+", ", 1)
		j := parse(t, text)
		require.Len(t, j.Warnings, len(want), allowed)
		for i, w := range want {
			assert.Contains(t, j.Warnings[i], w+" to run off, and the place allows `"+allowed+"`: the step has no hours here")
		}
	}
}

func TestSteps_WarnOfAPart(t *testing.T) {
	j := parse(t, jobWith("zones:\n  - {name: port side, faces: 270, tilt: 90, finish: white-gelcoat, parts: [{name: window, finish: clear-vinyl}]}",
		"steps:\n  - {do: correct, with: compound-dual-action}"))
	assert.Equal(t, []int{0}, j.Steps[0].On)
	require.Len(t, j.Warnings, 1)
	assert.Contains(t, j.Warnings[0], "clear-vinyl, a finish of `port side`")
}

func TestSteps_InspectTakesTheSealedZones(t *testing.T) {
	zones := "zones:\n  - {name: port side, faces: 270, tilt: 90, finish: white-gelcoat}\n  - {name: rail, tilt: 0, finish: stainless}"
	j := parse(t, jobWith(zones, "steps:\n  - {do: inspect}\n  - {do: seal, with: polymer-sealant}"))
	assert.Equal(t, []int{0}, j.Steps[0].On)
	j = parse(t, jobWith(zones, "steps:\n  - {do: inspect}"))
	assert.Equal(t, []int{0, 1}, j.Steps[0].On)
	j = parse(t, jobWith(zones, "steps:\n  - {do: inspect, on: rail}\n  - {do: seal, with: polymer-sealant}"))
	assert.Equal(t, []int{1}, j.Steps[0].On)
}

func TestSteps_NamesMayDifferFromDo(t *testing.T) {
	j := parse(t, jobWith("zones:\n  - {name: port side, faces: 270, tilt: 90, finish: white-gelcoat, done: {first: 2026-09-06T10:00, buff: 2026-09-06T11:00}}",
		"steps:\n  - {do: wash, name: first, with: soap-wash}\n  - {do: wash, with: soap-wash}"))
	assert.Equal(t, []string{"first", "wash"}, stepNames(j))
	assert.Contains(t, j.Zones[0].Done, "first")
	assert.Contains(t, j.Zones[0].Done, "correct", "buff is correct")
	i, ok := j.Step("first")
	assert.True(t, ok)
	assert.Zero(t, i)
	_, ok = j.Step("seal")
	assert.False(t, ok)
}

func TestSteps_ZoneNamedTwiceCountsOnce(t *testing.T) {
	j := parse(t, jobWith("steps:\n  - {do: wash, with: soap-wash, on: [port side, port side]}"))
	assert.Equal(t, []int{0}, j.Steps[0].On)
}

// A step may name a zone of the preset that exists only ashore.
func TestSteps_AshoreOnly(t *testing.T) {
	text := func(afloat string) string {
		return jobWith("boat: {kind: sailing-yacht, length_m: 11, bow: 0, afloat: "+afloat+"}", "zones:!",
			"steps:\n  - {do: coat, with: antifouling, on: [port keel]}")
	}
	errs := mistakes(t, text("true"))
	require.Len(t, errs, 1)
	assert.Contains(t, errs[0].Message, "zone `port keel` exists only ashore")
	assert.Contains(t, errs[0].Fix, "afloat: false")
	assert.Equal(t, []string{"port keel"}, zoneNames(parse(t, text("false")), parse(t, text("false")).Steps[0].On))
}

func TestZones_AshoreListedWithTheLift(t *testing.T) {
	block := func(reach string) string {
		return jobWith("boat: {kind: sailing-yacht, length_m: 11, bow: 0}", "zones:\n  - {name: port keel"+reach+"}",
			"steps:\n  - {do: coat, with: antifouling, on: [port keel]}")
	}
	j := parse(t, block(", reach: [{from: 2026-09-08T08:00, to: 2026-09-08T16:00}]"))
	assert.Empty(t, j.Warnings)
	assert.Equal(t, "antifouled-lead", zone(t, j, "port keel").Finish.Name, "the preset's, though she is afloat")
	j = parse(t, block(""))
	require.Len(t, j.Warnings, 1)
	assert.Contains(t, j.Warnings[0], "only ashore")
}

// Another finish takes its own build along where it is not a coat on a
// laminate.
func TestZones_FinishAndBuild(t *testing.T) {
	j := parse(t, jobWith("boat: {kind: flybridge-cruiser, length_m: 13, bow: 0}",
		"zones:\n  - {name: foredeck, finish: teak}\n  - {name: rails, finish: white-paint}\n  - {name: transom, finish: navy-paint}\n"+
			"  - {name: helm, shelter: open}\n  - {name: port side, skin: cored}"))
	assert.Equal(t, boat.Plank, zone(t, j, "foredeck").Skin)
	assert.Equal(t, boat.Cored, zone(t, j, "rails").Skin)
	assert.Equal(t, boat.Cabin, zone(t, j, "rails").Behind)
	assert.Equal(t, boat.Solid, zone(t, j, "transom").Skin)
	assert.Zero(t, zone(t, j, "helm").RoofView)
	assert.Equal(t, boat.Cored, zone(t, j, "port side").Skin)
	assert.Equal(t, 90.0, zone(t, j, "starboard side").Faces)
}

func TestDates_HorizonWarning(t *testing.T) {
	j := parse(t, jobWith("from: 2026-09-01\nby: 2026-09-17"))
	require.Len(t, j.Warnings, 1)
	assert.Contains(t, j.Warnings[0], "16 days")
	assert.Empty(t, parse(t, jobWith("from: 2026-09-01\nby: 2026-09-16")).Warnings)
}

// Whoever writes a third in hundredths means a third: of a side that is all of it, of
// several coats those that are on.
func TestStep_Whole(t *testing.T) {
	for _, c := range []struct {
		coats       int
		share, want float64
	}{
		{1, 1, 1}, {1, 0.99, 1}, {1, 0.98, 1}, {1, 0.97, 0.97}, {1, 0.01, 0.01}, {1, 0, 0}, {0, 0.99, 1},
		{3, 0.33, 1.0 / 3}, {3, 0.34, 1.0 / 3}, {3, 0.66, 2.0 / 3}, {3, 0.67, 2.0 / 3}, {3, 0.99, 1}, {3, 0.5, 0.5}, {3, 0.3, 0.3},
		{2, 0.49, 0.5}, {2, 0.75, 0.75}, {8, 0.12, 0.125}, {8, 0.13, 0.125}, {8, 0.62, 0.625}, {8, 2.85 / 8, 2.85 / 8}, {8, 0.01, 0.01},
	} {
		assert.InDelta(t, c.want, Step{Coats: c.coats}.Whole(c.share), 1e-12, "%+v", c)
	}
	j := parse(t, `
job: Seal
place: {name: Otter Quay, latitude: 43, longitude: -70, timezone: America/New_York}
boat: {name: Kittiwake, bow: 200}
zones:
  - {name: port side, faces: 0, tilt: 90, finish: white-gelcoat, area_m2: 8, done: {second: {at: 2026-09-07T09:30, share: 0.67}, wash: {at: 2026-09-07T08:30, share: 0.99}}}
steps:
  - {do: wash, with: soap-wash}
  - {do: seal, name: second, with: polymer-sealant, coats: 3}
`)
	assert.InDelta(t, 2.0/3, j.Zones[0].Done["second"].Share, 1e-12)
	assert.InDelta(t, 1, j.Zones[0].Done["wash"].Share, 1e-12)
}

// What a book has of a step without a name counts by the word that it goes by now; what
// may be of two steps, and a step with a name of its own, does not.
func TestJob_Called(t *testing.T) {
	of := func(names ...string) *Job {
		j := &Job{Steps: []Step{{Name: "second wash", Do: "wash"}}}
		for _, name := range names {
			j.Steps = append(j.Steps, Step{Name: name, Do: "correct"})
		}
		return j
	}
	for want, j := range map[string]*Job{"compound": of("compound", "by rotary"), "polish": of("polish"), "correct": of("compound", "polish")} {
		assert.Equal(t, want, j.Called("correct"))
	}
	assert.Equal(t, "correct", of("correct", "polish").Called("correct"))
	assert.Equal(t, "wash", of().Called("wash"), "a second wash is not the first")
	assert.Equal(t, "compound", of("compound").Called("compound"))
}
