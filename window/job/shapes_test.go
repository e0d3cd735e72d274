package job

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Where a key may stand: the block of a job in which %s is written.
const (
	inJob   = "%s"
	inPlace = "place: {latitude: 43.07, longitude: -70.74, timezone: America/New_York, %s}"
	inBoat  = "boat: {bow: 200, %s}"
	inZone  = "zones:\n  - {name: port side, faces: 270, tilt: 90, finish: white-gelcoat, %s}"
	inStep  = "steps:\n  - {do: wash, with: soap-wash, %s}"
	inSince = "since: {%s}"
	inShade = "zones:\n  - {name: port side, faces: 270, tilt: 90, finish: white-gelcoat, shade: [{from: 1, to: 2, up_to: 3, %s}]}"
	inReach = "zones:\n  - {name: port side, faces: 270, tilt: 90, finish: white-gelcoat, reach: [{%s}]}"
	inCover = "covers: [{zones: [port side], kind: canvas, %s}]"
	inPart  = "zones:\n  - {name: port side, faces: 270, tilt: 90, finish: white-gelcoat, parts: [{name: a, finish: teak, %s}]}"
)

// kindOfValue says what a key takes; wrong are values of another kind, good
// ones that it reads.
type kindOfValue struct{ good, wrong []string }

var (
	aNumber = kindOfValue{
		good:  []string{"1", "1.0", "1e0", "+1"},
		wrong: []string{"[1]", "{a: 1}", "soon", `"1"`, "true", "1m", ".inf", "1_0", "0b1", "''"},
	}
	aWhole = kindOfValue{good: []string{"1", "2"}, wrong: []string{"1.5", "[1]", "{a: 1}", "one", `"1"`, "-1"}}
	aFlag  = kindOfValue{
		good:  []string{"true", "false"},
		wrong: []string{"yes", "no", "on", "off", "True!", "1", "0", `"true"`, "[true]", "{a: true}"},
	}
	aText  = kindOfValue{good: []string{"Teal", "'No. 7'", "42", "true", `"a: b"`}, wrong: []string{"[a]", "{a: b}", "''", `"  "`}}
	aClock = kindOfValue{
		good:  []string{"2026-09-06T10:30", "2026-09-06T10:30Z", `"2026-09-06 10:30"`},
		wrong: []string{"noon", "10:30", "2026-9-6T10:30", "2026-09-06T24:00", "[2026-09-06T10:30]", "{a: 1}", "12", "2026-09-31T10:00"},
	}
	aDay = kindOfValue{
		good:  []string{"2026-09-06", `"2026-09-06"`},
		wrong: []string{"monday", "2026-09-31", "2026-09-06T10:30", "[2026-09-06]", "{a: 1}", "6.9.2026", "20260906"},
	}
	aSchedule = kindOfValue{
		good:  []string{`"07:00-18:00"`, "none", `{default: none, mon: "07:00-18:00"}`, `["07:00-12:00"]`},
		wrong: []string{"07:00", "always", "7-18", "18:00-07:00", "07:00-07:00", "{default: 7}", "{default: none, x: none}", "[7]", "''"},
	}
	aSector = kindOfValue{
		good:  []string{"{from: 60, to: 150}", "{from: 300, to: 20}", "{from: NW, to: E}", "{from: 0, to: 360}"},
		wrong: []string{"60", "[60, 150]", "{from: 60, to: 60}", "{from: 60, to: 361}", "{from: 60, to: up}", "{from: 1, to: 2, up: 3}"},
	}
	aBearing = kindOfValue{good: []string{"0", "360", "12.5", "NNW", "nw"}, wrong: []string{"361", "-1", "up", "[[1]]", "{a: 1}", `"12"`}}
)

func words(good ...string) kindOfValue {
	return kindOfValue{good: good, wrong: []string{"qqqqqqq", "{a: b}", "''", "17"}}
}

// Every key that takes one value, and what it takes.
var valueKeys = []struct {
	in   string
	keys string
	kind kindOfValue
}{
	{inJob, "job", aText},
	{inJob, "hours", aSchedule},
	{inJob, "lamps towel", aFlag},
	{inJob, "sure", kindOfValue{aNumber.good, append([]string{"0.49", "1.01", "80"}, aNumber.wrong...)}},
	{inJob, "shortest_block_h", aNumber},
	{inJob, "people polishers", aWhole},
	{inJob, "rinse", words("tap", "softened", "deionised")},
	{inJob, "accept", words("marginal")},
	{inJob, "from by", aDay},
	{inPlace, "name", aText},
	{inPlace, "machines wash sprinklers", aSchedule},
	{inPlace, "water", words("none", "rinse", "soap", "all", "salt", "brackish", "fresh")},
	{inPlace, "wind", words("open", "lee", "basin", "at-work")},
	{inPlace, "elevation_m elevation_ft water_c", aNumber},
	{inPlace, "water_f", kindOfValue{[]string{"50"}, append([]string{"20", "120"}, aNumber.wrong...)}},
	{inPlace, "onshore exposed", aSector},
	{inPlace, "dust", kindOfValue{append([]string{`{hours: "10:00-15:00"}`, `{from: 60, to: 150, hours: {default: "08:00-17:00", sun: none}}`}, aSector.good...),
		append([]string{"{hours: 10}", "{from: 60, hours: none}", `{hours: "10:00-15:00", at: 3}`}, aSector.wrong...)}},
	{inPlace, "rinse", words("tap", "softened", "deionised")},
	{inBoat, "name", aText},
	{inBoat, "length_m length_ft", kindOfValue{[]string{"13", "8.5"}, append([]string{"0", "-5", "1000"}, aNumber.wrong...)}},
	{inBoat, "length", kindOfValue{[]string{"13m", "43ft", "'12.5 m'"}, []string{"13", "[13m]", "{m: 13}", "long", "0.5m"}}},
	{inBoat, "afloat", aFlag},
	{inBoat, "inside", words("ambient", "cooled", "heated")},
	{inZone, "absorptance", kindOfValue{[]string{"0", "0.5", "1"}, append([]string{"-0.1", "1.1"}, aNumber.wrong...)}},
	{inZone, "emissivity", kindOfValue{[]string{"0.9", "1"}, append([]string{"0", "1.1"}, aNumber.wrong...)}},
	{inZone, "roof_view", kindOfValue{[]string{"0", "0.5", "1"}, append([]string{"-0.1", "1.1"}, aNumber.wrong...)}},
	{inZone, "skin", words("cored", "solid", "thick", "plate", "plank", "keel")},
	{inZone, "behind", words("cabin", "tank", "engine", "water", "outside")},
	{inZone, "shelter", words("open", "hardtop", "canvas", "shed")},
	{inZone, "access", words("deck", "ladder", "harness", "float")},
	{inZone, "area_m2 area_ft2 length_m length_ft", aNumber},
	{inZone, "count", aWhole},
	{inZone, "salt near_water", aFlag},
	{inZone, "buffable", words("yes", "no", "unknown", "true", "false")},
	{inZone, "open_side", aBearing},
	{inShade, "relative", aFlag},
	{inShade, "until", kindOfValue{append([]string{"2026-09-06"}, aClock.good...), aClock.wrong}},
	{inReach, "from to", kindOfValue{append([]string{"2026-09-06"}, aClock.good...), aClock.wrong}},
	{inCover, "from to", kindOfValue{append([]string{"2026-09-06"}, aClock.good...), aClock.wrong}},
	{inPart, "area_m2", aNumber},
	{inPart, "absorptance", kindOfValue{[]string{"0.5"}, append([]string{"2"}, aNumber.wrong...)}},
	{inStep, "name", aText},
	{inStep, "coats per_day", aWhole},
	{inStep, "sand_between tape", aFlag},
	{inStep, "hours", aNumber},
	{inSince, "rain wash", kindOfValue{aClock.good, append([]string{"2026-09-06"}, aClock.wrong...)}},
	{inSince, "spray", words("yes", "no", "true", "false", "unknown")},
}

// eachKey runs over every key of the table.
func eachKey(run func(in, key string, kind kindOfValue)) {
	for _, v := range valueKeys {
		for _, key := range strings.Fields(v.keys) {
			run(v.in, key, v.kind)
		}
	}
}

func blockOf(in, key, value string) string { return fmt.Sprintf(in, key+": "+value) }

func TestKeys_TakeTheirValues(t *testing.T) {
	eachKey(func(in, key string, kind kindOfValue) {
		for _, value := range kind.good {
			block := blockOf(in, key, value)
			_, err := Parse("job.yaml", []byte(jobWith(block)), catalogue(t), Options{})
			assert.NoError(t, err, block)
		}
	})
}

// A value of another kind is one mistake, in its own line, which names the key
// or what is wrong with the value.
func TestKeys_RefuseOthers(t *testing.T) {
	eachKey(func(in, key string, kind kindOfValue) {
		for _, value := range kind.wrong {
			block := blockOf(in, key, value)
			text := jobWith(block)
			_, err := Parse("job.yaml", []byte(text), catalogue(t), Options{})
			require.Error(t, err, block)
			var errs Errors
			require.ErrorAs(t, err, &errs, block)
			assert.Len(t, errs, 1, "%s: %v", block, errs)
			assert.Equal(t, lineOf(text, key+": "+value), errs[0].Line, block)
			assert.NotEmpty(t, errs[0].Message, block)
		}
	})
}

func TestKeys_WithoutAValue(t *testing.T) {
	eachKey(func(in, key string, _ kindOfValue) {
		for _, value := range []string{"", "null", "~"} {
			text := jobWith(blockOf(in, key, value))
			_, err := Parse("job.yaml", []byte(text), catalogue(t), Options{})
			require.Error(t, err, text)
			var errs Errors
			require.ErrorAs(t, err, &errs)
			assert.Contains(t, errs[0].Message, "`"+key+"` has no value", text)
			assert.Equal(t, "fill it in or delete the line", errs[0].Fix)
		}
	})
}

func TestKeys_MisspeltNamesTheKey(t *testing.T) {
	eachKey(func(in, key string, kind kindOfValue) {
		if len(key) < 5 {
			return // one slip in so short a word may be any other
		}
		slip := key[:2] + "x" + key[2:]
		errs := mistakes(t, jobWith(blockOf(in, slip, kind.good[0])))
		assert.Equal(t, "unknown key `"+slip+"`", errs[0].Message)
		assert.Equal(t, "did you mean `"+key+"`?", errs[0].Fix)
	})
}

func TestKeys_SaidTwice(t *testing.T) {
	eachKey(func(in, key string, kind kindOfValue) {
		pair := key + ": " + kind.good[0]
		text := fmt.Sprintf(in, pair+", "+pair)
		if in == inJob {
			text = pair + "\n" + pair
		}
		_, err := Parse("job.yaml", []byte(jobWith(text)), catalogue(t), Options{})
		require.Error(t, err, text)
		assert.Contains(t, err.Error(), "`"+key+"` stands here a second time", text)
	})
}

func lineOf(text, part string) int {
	before, _, _ := strings.Cut(text, part)
	return 1 + strings.Count(before, "\n")
}
