package job

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// mistake is a block of the small job with one slip, marked by § where the
// message must point, and words that the message must have.
type mistake struct{ block, message, fix string }

const place = "place: {latitude: 43.07, longitude: -70.74, timezone: America/New_York, "

var placeMistakes = []mistake{
	{"place: {latitude: §95, longitude: 0, timezone: UTC}", "`latitude` 95 is out of range", "-90 to 90"},
	{"place: {latitude: 0, longitude: §-181, timezone: UTC}", "`longitude` -181 is out of range", "-180 to 180"},
	{"place: {latitude: §north, longitude: 0, timezone: UTC}", "`latitude` is not a number: north", "from -90"},
	{"place: {latitude: §\"43\", longitude: 0, timezone: UTC}", "`latitude` is text, not a number", "without the quotes"},
	{"place: {latitude: §0x20, longitude: 0, timezone: UTC}", "`latitude` is not a number", ""},
	{"place: {latitude: §.nan, longitude: 0, timezone: UTC}", "`latitude` is not a number", ""},
	{"place: §{longitude: 0, timezone: UTC}", "`latitude` is missing", "south negative"},
	{"place: {§latitud: 1, longitude: 0, timezone: UTC}", "unknown key `latitud`", "did you mean `latitude`?"},
	{"place: §here", "`place` cannot be `here`", "give its keys"},
	{"place: §[1, 2]", "`place` cannot be a list", "give its keys"},
	{"place: {latitude: 1, longitude: 0, timezone: §Europe/Nowhere}", "unknown time zone", "IANA"},
	{"place: {latitude: 1, longitude: 0, timezone: §Local}", "unknown time zone", "IANA"},
	{place + "machines: §07:00}", "`machines` is no stretch of the clock", `"07:00-18:00"`},
	{place + "machines: §17:00-08:00}", "ends before it begins", "07:00-12:00, 13:00-18:00"},
	{place + "machines: §07:00-25:00}", "on no clock", ""},
	{place + "machines: §07:60-08:00}", "on no clock", ""},
	{place + "machines: {default: none, §funday: none}}", "`funday` is no day of `machines`", "mon to sun"},
	{place + "machines: {default: none, §2026-02-30: none}}", "`2026-02-30` is no day", ""},
	{place + "machines: {default: none, §sat: }}", "`sat` has no value", ""},
	{place + "machines: {default: §{from: 1}}}", "cannot have keys of its own", ""},
	{place + "quiet: [sun, §holiday]}", "`quiet` is no day: holiday", "mon to sun"},
	{place + "water: §soup}", "unknown water `soup`", "did you mean `soap`?"},
	{place + "wind: §gale}", "unknown wind `gale`", "open, lee, basin, at-work"},
	{place + "elevation_m: 3, elevation_ft: §10}", "say the same thing", "keep one"},
	{place + "water_c: §60}", "`water_c` 60 is out of range", "Celsius"},
	{place + "water_f: §200}", "`water_f` 200 is out of range", "Fahrenheit"},
	{place + "onshore: §{from: 60}}", "`to` is missing", "compass point"},
	{place + "dust: §180}", "`dust` cannot be `180`", "{from: 180, to: 270}"},
	{place + "onshore: {from: 60, to: §NNX}}", "`to` is no bearing: NNX", "compass point"},
	{place + "onshore: §{from: 60, to: 60}}", "begins and ends on one bearing", "0 to 360"},
	{place + "exposed: §NW}", "`exposed` cannot be `NW`", ""},
	{place + "§bow: 200}", "unknown key `bow`", "it belongs to boat"},
	{place + "rinse: tap}\nrinse: §tap", "`rinse` is said twice", "keep one"},
	{"§place:", "`place` has no value", "fill it in"},
}

var boatMistakes = []mistake{
	{"boat: {bow: §361}", "`bow` 361 is out of range", "from 0 to 360"},
	{"boat: {bow: §WWS}", "`bow` is no bearing: WWS", "NW"},
	{"boat: {bow: §{magnetic: 190}}", "`variation` is missing", "east positive"},
	{"boat: {bow: §{variation: -14}}", "`magnetic` is missing", ""},
	{"boat: {bow: {magnetic: 190, variation: §-140}}", "`variation` -140 is out of range", ""},
	{"boat: {bow: §[200]}", "`bow` cannot be a list", ""},
	{"boat: {bow: 200, kind: §flybridge-cruser, length_m: 13}", "unknown kind", "did you mean `flybridge-cruiser`?"},
	{"boat: {bow: 200, kind: §catamaran}", "`length_m` is missing", "length_ft: 43"},
	{"boat: {bow: 200, kind: §catamaran, length_m: 60}", "4 to 40 m", ""},
	{"boat: {bow: 200, length_m: §13m}", "`length_m` is not a number: 13m", "metres"},
	{"boat: {bow: 200, length: §13}", "no length", "13m or 43ft"},
	{"boat: {bow: 200, length: §1m}", "out of range", "2 to 150 m"},
	{"boat: {bow: 200, length_m: 13, length_ft: §43}", "say the same thing", ""},
	{"boat: {bow: 200, length_m: 13, length: §13m}", "say the same thing", ""},
	{"boat: {bow: 200, afloat: §yes}", "`afloat` is neither true nor false: yes", "write true; YAML 1.2"},
	{"boat: {bow: 200, afloat: §no}", "neither true nor false", "write false; YAML 1.2"},
	{"boat: {bow: 200, afloat: §\"true\"}", "`afloat` is text", "without the quotes"},
	{"boat: {bow: 200, afloat: §1}", "neither true nor false: 1", "write true or false"},
	{"boat: {bow: 200, inside: §warm}", "unknown inside `warm`", "ambient, cooled, heated"},
	{"boat: {bow: 200, §afloats: true}", "unknown key `afloats`", "did you mean `afloat`?"},
	{"boat: {bow: 200, §hours: 1}", "unknown key `hours`", "it belongs to the file itself"},
	{"boat: {bow: 200, §draught: 1}", "unknown key `draught`", "known here are name, kind"},
	{"boat: {bow: 200, name: §[a]}", "`name` cannot be a list", ""},
	{"berths: [§{bow: 20}]", "`from` is missing", "2026-09-06T10:30"},
	{"berths: [§{from: 2026-09-09}]", "`bow` is missing", ""},
	{"berths: [{from: 2026-09-09, bow: §swinging}]", "`bow` is no bearing", ""},
	{"berths: [{from: 2026-09-09, bow: 1}, §{from: 2026-09-08, bow: 2}]", "does not come after", "order of their times"},
	{"boat: {name: Teal}\nberths: §[{from: 2026-09-09, bow: 1}]", "needs `boat.bow`", ""},
	{"covers: [{zones: [port side], kind: §umbrella}]", "unknown kind `umbrella`", "hardtop, canvas, shed, sheet, tent"},
	{"covers: [{zones: [§port sied], kind: canvas}]", "unknown zone `port sied`", "did you mean `port side`?"},
	{"covers: [§{zones: [port side]}]", "`kind` is missing", "canvas, tent, hardtop or shed"},
	{"covers: [{zones: [port side], kind: canvas, from: 2026-09-09T10:00, to: §2026-09-09T09:00}]", "not after `from`", ""},
	{"covers: §[]", "`covers` is an empty list", "delete the line"},
}

const side = "zones:\n  - {name: port side, tilt: 90, finish: white-gelcoat, faces: 270, "

var zoneMistakes = []mistake{
	{"zones:\n  - §{tilt: 0, finish: teak}", "`name` is missing", "port side"},
	{"zones:\n  - §{name: port side, faces: 1, finish: teak}", "`tilt` is missing", "90 upright"},
	{"zones:\n  - §{name: port side, tilt: 90, finish: teak}", "`faces` is missing", "270 to port"},
	{"zones:\n  - §{name: port side, tilt: 0}", "`finish` is missing", "white-gelcoat"},
	{"zones:\n  - {name: port side, tilt: §181, faces: 1, finish: teak}", "`tilt` 181 is out of range", "180 facing down"},
	{"zones:\n  - {name: port side, tilt: 90, faces: §port, finish: teak}", "`faces` is no bearing: port", ""},
	{"zones:\n  - {name: port side, tilt: 0, finish: §whit-gelcoat}", "unknown finish", "did you mean `white-gelcoat`?"},
	{"zones:\n  - {name: port side, tilt: 0, finish: §tartan}", "unknown finish", "use one of white-gelcoat"},
	{"zones:\n  - §port side", "`zones` cannot be `port side`", ""},
	{"zones:\n  - {name: port side, tilt: 0, finish: teak}\n  - {name: §port side, tilt: 0, finish: teak}",
		"a second zone `port side`", "its own name"},
	{side + "skin: §steel}", "unknown skin `steel`", "cored, solid, thick"},
	{side + "behind: §bilge}", "unknown behind", "cabin, tank, engine, water, outside"},
	{side + "absorptance: §1.2}", "`absorptance` 1.2 is out of range", "from 0 to 1"},
	{side + "emissivity: §0}", "`emissivity` 0 is out of range", ""},
	{side + "shelter: §tent}", "unknown shelter `tent`", "open, hardtop, canvas, shed"},
	{side + "roof_view: §2}", "`roof_view` 2 is out of range", ""},
	{side + "open_side: [SE, §sideways]}", "`open_side` is no bearing", ""},
	{side + "area_m2: §-3}", "`area_m2` -3 is out of range", "square metres"},
	{side + "area_m2: 3, area_ft2: §30}", "say the same thing", ""},
	{side + "area_m2: 1,§5}", "unknown key `5`", "decimal number with a point"},
	{side + "length_m: §0}", "`length_m` 0 is out of range", ""},
	{side + "count: §1.5}", "`count` 1.5 is not a whole number", "repairs as a whole number from 1 to "},
	{side + "access: §rope}", "unknown access `rope`", "deck, ladder, harness, float, ashore"},
	{side + "reach: [§{}]}", "`reach` without from and to", ""},
	{side + "reach: [{from: §tomorrow}]}", "`from` is not a time: tomorrow", "2026-09-06T10:30"},
	{side + "shade: [§{from: 60, to: 130}]}", "`up_to` is missing", ""},
	{side + "shade: [{from: 60, to: 130, up_to: §91}]}", "`up_to` 91 is out of range", ""},
	{side + "shade: [{from: 60, to: 130, up_to: 9, relative: §on}]}", "neither true nor false: on", "write true; YAML 1.2"},
	{side + "salt: §maybe}", "neither true nor false", ""},
	{side + "buffable: §mostly}", "unknown buffable `mostly`", "yes, no, unknown"},
	{side + "drains_to: [§keel]}", "unknown zone `keel`", "the zones are port side"},
	{side + "drains_to: [§port side]}", "the water of `port side` runs back to it", "lie lower"},
	{side + "drains_to: [rail]}\n  - {name: rail, tilt: 0, finish: teak, drains_to: [deck]}\n  - {name: deck, tilt: 0, finish: teak, " +
		"drains_to: [§nowhere]}", "unknown zone `nowhere`", ""},
	{side + "done: §wash}", "`done` cannot be `wash`", "done: {wash: 2026-09-06T10:30}"},
	{side + "done: {wash: §2026-09-06}}", "a day but no hour", ""},
	{side + "done: {§painted: 2026-09-06T10:00}}", "`painted` is no step", "wash, decontaminate"},
	{side + "done: {§wsah: 2026-09-06T10:00}}", "`wsah` is no step", "did you mean `wash`?"},
	{side + "done: {wash: {at: 2026-09-06T10:00, share: §1.5}}}", "`share` 1.5 is out of range", ""},
	{side + "done: {wash: §{share: 0.5}}}", "`at` is missing", ""},
	{side + "parts: [§{name: stripe}]}", "`finish` is missing", ""},
	{side + "parts: [§{finish: teak}]}", "`name` is missing", ""},
	{side + "parts: [{name: a, finish: teak, §area: 1}]}", "unknown key `area`", "did you mean `area_m2`?"},
	{side + "area_m2: 2, parts: §[{name: a, finish: teak, area_m2: 3}]}", "the parts have 3 m² together", ""},
	{side + "done: {correct: 2026-09-06T10:00, §buff: 2026-09-06T11:00}}", "`correct` and `buff` say the same thing", ""},
	{side + "§paint: white}", "unknown key `paint`", "known here are name, tilt"},
	{side + "§colour: white}", "unknown key `colour`", "did you mean `finish`?"},
	{"zones:\n  - {name: port side, tilt: 0, finish: §navy blue}", "unknown finish", "did you mean `blue-gelcoat` or `navy-gelcoat` or `navy-paint`?"},
	{"zones:\n  - {name: port side, tilt: 0, finish: §quite ordinary gelcoat}", "unknown finish", "use one of white-gelcoat"},
	{side + "§tilt: 80}", "`tilt` stands here a second time", "the first is in line 4"},
	{"zones: §[]", "`zones` is an empty list", ""},
}

var stepMistakes = []mistake{
	{"steps:\n  - {do: §wsh, with: soap-wash}", "unknown do `wsh`", "did you mean `wash`?"},
	{"steps:\n  - §{with: soap-wash}", "`do` is missing", "decontaminate"},
	{"steps:\n  - §{do: wash}", "`with` is missing", "soap-wash"},
	{"steps:\n  - {do: wash, with: §soap-wsh}", "unknown product `soap-wsh`", "did you mean `soap-wash`?"},
	{"steps:\n  - {do: correct, with: §rotary}", "unknown product `rotary`", "did you mean `compound-rotary`?"},
	{"steps:\n  - {do: §wax, with: carnauba-wax}", "unknown do `wax`", "write do: seal, which is what `carnauba-wax` is for"},
	{"steps:\n  - {do: wash, §product: soap-wash}", "unknown key `product`", "did you mean `with`?"},
	{"steps:\n  - {do: wash, with: §champagne}", "unknown product `champagne`", "your own product"},
	{"steps:\n  - {do: §seal, with: soap-wash}", "`seal` is not what `soap-wash` is for", "do: wash"},
	{"steps:\n  - {do: §wash, with: polymer-sealant}", "`wash` is not what `polymer-sealant` is for", "do: seal"},
	{"steps:\n  - {do: inspect, with: §soap-wash}", "uses no product", "delete"},
	{"steps:\n  - {do: wash, with: soap-wash, on: [§porrt side]}", "unknown zone `porrt side`", "did you mean `port side`?"},
	{"steps:\n  - {do: protect, with: §metal-polish}", "suits the finish of no zone", "`on`"},
	{"steps:\n  - {do: wash, with: soap-wash}\n  - {do: §wash, with: soap-wash}", "a second step `wash`", "second wash"},
	{"steps:\n  - {do: wash, with: soap-wash}\n  - {do: wash, with: soap-wash, name: §wash}", "a second step `wash`", "its own name"},
	{"steps:\n  - {do: wash, with: soap-wash, coats: §0}", "`coats` 0 is out of range", "coats"},
	{"steps:\n  - {do: wash, with: soap-wash, per_day: §1.5}", "not a whole number", "as a whole number from 1 to "},
	{"steps:\n  - {do: wash, with: soap-wash, sand_between: §yes}", "neither true nor false", "YAML 1.2"},
	{"steps:\n  - {do: wash, with: soap-wash, hours: §0}", "`hours` 0 is out of range", ""},
	{"steps:\n  - {do: wash, with: soap-wash, clock: §42}", "`clock` cannot be `42`", ""},
	{"steps:\n  - {do: wash, with: soap-wash, clock: §{}}", "`haze_min` is missing", ""},
	{"steps:\n  - {do: wash, with: soap-wash, clock: {haze_min: §-4}}", "`haze_min` -4 is out of range", ""},
	{"steps:\n  - {do: wash, §using: soap-wash, with: soap-wash}", "unknown key `using`", "known here are do"},
	{"steps: §wash", "`steps` cannot be `wash`", ""},
	{"steps: §[]", "`steps` is an empty list", ""},
	{"steps:\n  -§\n  - {do: wash, with: soap-wash}", "`steps` has an empty item", "delete the dash"},
}

var jobMistakes = []mistake{
	{"people: §0", "`people` 0 is out of range", "from 1 to 50"},
	{"people: {default: 2, sat: §-1}", "`people` -1 is out of range", ""},
	{"people: {default: §0}", "`people` 0 is out of range", ""},
	{"people: §two", "`people` is not a number", ""},
	{"polishers: §0", "`polishers` 0 is out of range", "give the number of polishing machines from 1 to 50"},
	{"polishers: §51", "`polishers` 51 is out of range", "from 1 to 50"},
	{"polishers: §1.5", "`polishers` 1.5 is not a whole number", "give the number of polishing machines as a whole number from 1 to 50"},
	{"polishers: §{default: 2, sat: 1}", "`polishers` cannot have keys of its own", "give the number of polishing machines from 1 to 50"},
	{"§polisher: 1", "unknown key `polisher`", "did you mean `polishers`?"},
	{"hours: §7", "no stretch of the clock", "07:00-18:00"},
	{"days: [mon, §someday]", "`days` has no day `someday`", "mon, tue"},
	{"away: [§tomorrow]", "`away` is no day of the calendar", "2026-09-10"},
	{"away: [§2026-02-29]", "`away` is no day of the calendar", ""},
	{"lamps: §off", "neither true nor false: off", "write false"},
	{"towel: §no", "neither true nor false: no", "write false; YAML 1.2 takes no and off for plain words"},
	{"rinse: §rain", "unknown rinse `rain`", "tap, softened, deionised"},
	{"sure: §80", "`sure` 80 is out of range", "0.8 for 80 %"},
	{"sure: §0.4", "`sure` 0.4 is out of range", "0.5 to 1"},
	{"shortest_block_h: §-1", "out of range", "hours"},
	{"accept: §all", "unknown accept `all`", "marginal"},
	{"from: §2026-09-31", "`from` is no day of the calendar", ""},
	{"from: §1999-01-01", "`from` is no day of the calendar", ""},
	{"from: 2026-09-14\nby: §2026-09-07", "`by` 2026-09-07 is before `from`", "later day last"},
	{"since: {rain: §yesterday}", "`rain` is not a time", ""},
	{"since: {rain: §2026-09-05}", "a day but no hour", ""},
	{"since: {rain: §2026-09-05T25:00}", "no time of the clock", ""},
	{"since: {rain: §2026-09-05T10:00+20:00}", "an offset that no place has", ""},
	{"since: {rain: §2026-13-05T10:00}", "no day of the calendar", ""},
	{"since: {spray: §lots}", "unknown spray `lots`", "yes, no, unknown"},
	{"since: {§snow: 1}", "unknown key `snow`", "known here are rain, wash, spray"},
	{"since: §rain", "`since` cannot be `rain`", ""},
	{"must: §launch", "`must` cannot be `launch`", "must: {launch"},
	{"must: {launch: §2026-09-14}", "a day but no hour", ""},
	{"must: {launch: §[]}", "`launch` cannot be a list", ""},
	{"since: {rain: §2026-03-08T02:30}", "does not exist: the clock in America/New_York skips", "summer time"},
	{"§zone: 1", "unknown key `zone`", "did you mean `zones`?"},
	{"§products: [x]", "unknown key `products`", "it belongs to a file of its own"},
	{"§latitude: 43", "unknown key `latitude`", "it belongs to place"},
	{"job: §''", "`job` is empty", ""},
	{"job: §&x big", "anchors, aliases and tags", "write the value out"},
	{"job: §!!str big", "anchors, aliases and tags", ""},
}

func TestParse_Mistakes(t *testing.T) {
	for name, table := range map[string][]mistake{
		"place": placeMistakes, "boat": boatMistakes, "zones": zoneMistakes, "steps": stepMistakes, "job": jobMistakes,
	} {
		t.Run(name, func(t *testing.T) {
			for _, m := range table {
				checkMistake(t, m)
			}
		})
	}
}

func checkMistake(t *testing.T, m mistake) {
	marked := jobWith(m.block)
	before, _, found := strings.Cut(marked, "§")
	require.True(t, found, m.block)
	line := 1 + strings.Count(before, "\n")
	column := 1 + len([]rune(before[strings.LastIndex(before, "\n")+1:]))

	errs := mistakes(t, strings.Replace(marked, "§", "", 1))
	require.Len(t, errs, 1, "%s: one slip, one message: %v", m.block, errs)
	e := errs[0]
	assert.Equal(t, [2]int{line, column}, [2]int{e.Line, e.Column}, "%s: %v", m.block, e)
	assert.Equal(t, "job.yaml", e.File)
	assert.Contains(t, e.Message, m.message, m.block)
	assert.Contains(t, e.Fix, m.fix, m.block)
	assert.NotEmpty(t, e.Message)
}

func TestParse_MissingSections(t *testing.T) {
	for _, c := range []struct{ block, message string }{
		{"place:!", "`place` is missing"}, {"steps:!", "`steps` is missing"},
	} {
		errs := mistakes(t, jobWith(c.block))
		require.Len(t, errs, 1, "%v", errs)
		assert.Contains(t, errs[0].Error(), c.message)
		assert.Equal(t, 1, errs[0].Line)
	}
	errs := mistakes(t, jobWith("zones:!"))
	require.Len(t, errs, 1, "%v", errs)
	assert.Contains(t, errs[0].Error(), "no zones: give the boat a kind and a length")
}

func TestParse_NotYAML(t *testing.T) {
	for text, message := range map[string]string{
		"":                                 "the file is empty",
		"# nothing yet\n":                  "the file is empty",
		"hello":                            "`job file` cannot be `hello`",
		"- a\n- b\n":                       "`job file` cannot be a list",
		"a: 1\n---\nb: 2\n":                "job.yaml:3:2: a second document begins here",
		"a: [1, 2\nb: 3\n":                 "not YAML here",
		"a:\n\tb: 1\n":                     "job.yaml:2:1: not YAML here",
		"a: \"open\n":                      "job.yaml:1:4: not YAML here",
		"a: \x00":                          "not text",
		"a: b\xff\n":                       "job.yaml:1:5: a byte here is no UTF-8: save the file as UTF-8",
		"# Übung\r\nbé: \xe9t\xe9\n":       "job.yaml:2:5: a byte here is no UTF-8",
		"a: \xef\xbf\xbd\nb: \xc3":         "job.yaml:2:4: a byte here is no UTF-8",
		strings.Repeat("[", 1000):          "nested more than 64 deep",
		strings.Repeat("- ", 999):          "nested more than 64 deep",
		"a: " + strings.Repeat("x", 1<<19): "larger than 256 KiB",
		strings.Repeat("k: 1\n", 5001):     "more than 5000 keys and list items",
		strings.Repeat("-\n", 5001):        "more than 5000 keys and list items",
		"{" + strings.Repeat(`"k1":1,`, 5001) + "}": "more than 5000 keys and list items",
		"{" + strings.Repeat("k1,", 5001) + "}":     "more than 5000 keys and list items",
		strings.Repeat("? k1\n", 5001):              "more than 5000 keys and list items",
		"b: *x\n":                                   "anchors, aliases and tags",
		"<<: *x\n":                                  "anchors, aliases and tags",
	} {
		_, err := Parse("job.yaml", []byte(text), catalogue(t), Options{})
		require.Error(t, err, "%.20q", text)
		assert.Contains(t, err.Error(), message, "%.20q", text)
	}
}

// A file from a Windows editor begins with a byte order mark and has CRLF.
func TestParse_ByteOrderMarkAndCRLF(t *testing.T) {
	text := "\xef\xbb\xbf" + strings.ReplaceAll(jobWith(), "\n", "\r\n")
	j := parse(t, text)
	assert.Len(t, j.Zones, 1)
	errs := mistakes(t, text+"sure: 7\r\n")
	require.Len(t, errs, 1)
	assert.Equal(t, [2]int{7, 7}, [2]int{errs[0].Line, errs[0].Column})
}

// A file that is something else altogether brings no thousand lines onto the screen.
func TestMistakesAreCountedBeyondAHundred(t *testing.T) {
	text := func(n int) []byte {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, "quite%d: 1\n", i)
		}
		return []byte(b.String())
	}
	var errs Errors
	_, err := Parse("x.yaml", text(97), nil, Options{})
	require.ErrorAs(t, err, &errs)
	require.Len(t, errs, 100, "with what is missing")
	assert.Contains(t, errs[99].Message, "unknown key `quite96`", "all are told")

	_, err = Parse("x.yaml", text(1000), nil, Options{})
	require.ErrorAs(t, err, &errs)
	require.Len(t, errs, 101)
	assert.Equal(t, "x.yaml:98:1", errs[100].Where())
	assert.Equal(t, "903 more mistakes from here on", errs[100].Message)
	assert.NotEmpty(t, errs[100].Fix)
}
