package jobedit

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/token"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// written is a job file as one of many hands may have written it, and what it says.
type written struct {
	text  string
	zones []string
	steps int
}

// remark draws what somebody wrote behind a line, or nothing.
func remark(t *rapid.T) string {
	return rapid.SampledFrom([]string{"", "", " # faded", "   # ask Ada: \"who has the key?\"", " # - {do: wash}", " # žluť 🛶"}).Draw(t, "remark")
}

// entry draws one entry of a list in one of the ways to write it; keys are in order.
func entry(t *rapid.T, indent string, keys ...string) string {
	var pairs []string
	for i := 0; i < len(keys); i += 2 {
		pairs = append(pairs, keys[i]+": "+keys[i+1])
	}
	switch rapid.IntRange(0, 2).Draw(t, "way") {
	case 0:
		return indent + "- {" + strings.Join(pairs, ", ") + "}" + remark(t) + "\n"
	case 1:
		return indent + "- { " + strings.Join(pairs, " , ") + " }" + remark(t) + "\n"
	}
	out := indent + "- " + pairs[0] + remark(t) + "\n"
	for _, p := range pairs[1:] {
		if rapid.Bool().Draw(t, "line of remark") {
			out += indent + "  # the next is as the owner wants it\n"
		}
		out += indent + "  " + p + remark(t) + "\n"
	}
	return out
}

// quoted draws a text in one of the ways to write it.
func quoted(t *rapid.T, s string) string {
	switch way := rapid.IntRange(0, 2).Draw(t, "quotes"); {
	case way == 0:
		return `"` + s + `"`
	case way == 1:
		return "'" + s + "'"
	}
	return s
}

// aFile draws a job file: blocks and braces, quotes and none, remarks, empty lines,
// keys that dewgap does not know, and line ends of either kind.
func aFile(t *rapid.T) written {
	var out written
	indent := strings.Repeat(" ", rapid.IntRange(0, 3).Draw(t, "indent"))
	var b strings.Builder
	gap := func() {
		b.WriteString(rapid.SampledFrom([]string{"", "\n", "# —— of the yard ——\n", "\n# one\n\n# two\n"}).Draw(t, "gap"))
	}
	b.WriteString("# Otter Quay, berth 12\njob: " + quoted(t, "Spring clean") + remark(t) + "\n")
	gap()
	b.WriteString("x-berth: {pontoon: C, \"power\": [16, 32]}" + remark(t) + "\n")
	b.WriteString("zones:" + remark(t) + "\n")
	for i := range rapid.IntRange(1, 4).Draw(t, "zones") {
		name := []string{"port side", "foredeck", "navy čluny", "transom"}[i]
		out.zones = append(out.zones, name)
		b.WriteString(entry(t, indent, "name", quoted(t, name), "finish", quoted(t, "teak"), "x-colour", "navy", "tilt", "90"))
		if i > 0 {
			gap()
		}
	}
	b.WriteString("steps:\n")
	out.steps = rapid.IntRange(2, 4).Draw(t, "steps")
	for i := range out.steps {
		b.WriteString(entry(t, indent, "do", []string{"wash", "correct", "strip wash", "seal"}[i], "with", quoted(t, "soap-wash"), "on", `[foredeck, "port side"]`, "x-who", "Ben"))
	}
	gap()
	b.WriteString("people: 2" + remark(t) + "\n")
	gap()
	out.text = b.String()
	if rapid.Bool().Draw(t, "carriage returns") {
		out.text = strings.ReplaceAll(out.text, "\n", "\r\n")
	}
	return out
}

// says reads a text as YAML does.
func says(t require.TestingT, text []byte) map[string]any {
	var out map[string]any
	require.NoError(t, yaml.Unmarshal(text, &out), "%s", text)
	return out
}

// value draws what somebody may choose in a form. What can only be written as an escape
// by number is set, but not set a second time: the parser does not tell its length.
func value(t *rapid.T) string {
	return rapid.OneOf(rapid.SampledFrom([]string{"white-gelcoat", "no", "1_000", "# x", "a: b", "it's", `"`, " lead", "čluny", "[a]", "{a}", "&a", "*a", "!t", "%", "@"}), rapid.String()).
		Filter(func(s string) bool { return !strings.Contains(string(Text(s)), `\u`) }).Draw(t, "value")
}

// A value that is set and set back leaves the file as it was, to the byte: comments,
// order, quotes of other values, line ends and keys that dewgap does not know.
func TestSettingBackIsAsItWas(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := aFile(t)
		zone := rapid.SampledFrom(f.zones).Draw(t, "zone")
		out, err := Zone([]byte(f.text), zone, []Change{{"tilt", Value(fmt.Sprint(rapid.IntRange(0, 180).Draw(t, "tilt")))}})
		require.NoError(t, err, "%s", f.text)
		back, err := Zone(out, zone, []Change{{"tilt", "90"}})
		require.NoError(t, err)
		require.Equal(t, f.text, string(back))
	})
}

// A step that is put behind the last and taken out again leaves the file as it was.
func TestAddedAndTakenOutIsAsItWas(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := aFile(t)
		out, err := AddStep([]byte(f.text), []Change{{"do", "protect"}, {"name", Text(value(t))}, {"on", List(f.zones)}})
		require.NoError(t, err, "%s", f.text)
		assert.Len(t, says(t, out)["steps"], f.steps+1)
		back, err := RemoveStep(out, f.steps)
		require.NoError(t, err)
		require.Equal(t, f.text, string(back))
	})
}

// Setting a value touches one line, adding a key at most adds one, and every other line
// stays as it was and where it was.
func TestOneValueTouchesOneLine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := aFile(t)
		key := rapid.SampledFrom([]string{"finish", "tilt", "x-colour", "salt", "access"}).Draw(t, "key")
		out, err := Zone([]byte(f.text), rapid.SampledFrom(f.zones).Draw(t, "zone"), []Change{{key, Text(value(t))}})
		require.NoError(t, err, "%s", f.text)
		was, is := strings.SplitAfter(f.text, "\n"), strings.SplitAfter(string(out), "\n")
		same := 0
		for same < len(was) && same < len(is) && was[same] == is[same] {
			same++
		}
		tail := 0
		for tail < len(was)-same && tail < len(is)-same && was[len(was)-1-tail] == is[len(is)-1-tail] {
			tail++
		}
		require.LessOrEqual(t, len(was)-same-tail, 1, "more than a line of the old text is gone:\n%s\n%s", f.text, out)
		require.LessOrEqual(t, len(is)-same-tail, 1, "more than a line is new:\n%s\n%s", f.text, out)
	})
}

// The edited file says what it said, but for the value that was set.
func TestNothingElseIsSaid(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := aFile(t)
		i := rapid.IntRange(0, f.steps-1).Draw(t, "step")
		with, on := value(t), []string{value(t), "port side"}
		out, err := Step([]byte(f.text), i, []Change{{"with", Text(with)}, {"on", List(on)}})
		require.NoError(t, err, "%s", f.text)
		want := says(t, []byte(f.text))
		step := want["steps"].([]any)[i].(map[string]any)
		step["with"], step["on"] = with, []any{on[0], on[1]}
		require.Equal(t, want, says(t, out), "%s", out)
	})
}

// A step that is taken out takes no other with it, and no comment that stands before or
// behind it.
func TestTakingOutTakesOneStep(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := aFile(t)
		i := rapid.IntRange(0, f.steps-1).Draw(t, "step")
		out, err := RemoveStep([]byte(f.text), i)
		require.NoError(t, err, "%s", f.text)
		want := says(t, []byte(f.text))
		want["steps"] = slices.Delete(want["steps"].([]any), i, i+1)
		require.Equal(t, want, says(t, out), "%s", out)
		for line := range strings.SplitSeq(f.text, "\n") {
			if c := strings.TrimSpace(line); strings.HasPrefix(c, "# ") && c != "# the next is as the owner wants it" {
				require.GreaterOrEqual(t, strings.Count(string(out), c), 1, c)
			}
		}
	})
}

// Edits of different places may be made in either order.
func TestEditsOfTwoPlacesKeepApart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := aFile(t)
		zone := rapid.SampledFrom(f.zones).Draw(t, "zone")
		edits := []func([]byte) ([]byte, error){
			func(b []byte) ([]byte, error) { return Zone(b, zone, []Change{{"finish", "canvas"}}) },
			func(b []byte) ([]byte, error) { return Step(b, 0, []Change{{"with", "carnauba-wax"}}) },
			func(b []byte) ([]byte, error) { return Top(b, []Change{{"people", "3"}}) },
		}
		run := func(order ...int) string {
			text := []byte(f.text)
			for _, i := range order {
				var err error
				text, err = edits[i](text)
				require.NoError(t, err)
			}
			return string(text)
		}
		want := run(0, 1, 2)
		for _, order := range [][]int{{0, 2, 1}, {1, 0, 2}, {1, 2, 0}, {2, 0, 1}, {2, 1, 0}} {
			require.Equal(t, want, run(order...))
		}
	})
}

// To set what is set already changes nothing after the first time.
func TestSettingTwiceIsSettingOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := aFile(t)
		changes := []Change{{"finish", Text(value(t))}, {"salt", "true"}}
		once, err := Zone([]byte(f.text), f.zones[0], changes)
		require.NoError(t, err)
		twice, err := Zone(once, f.zones[0], changes)
		require.NoError(t, err)
		require.Equal(t, string(once), string(twice))
	})
}

// What a form cannot place safely it leaves to a hand, and says so: it neither guesses
// nor leaves half of an entry behind.
func TestOnlyAHandCanChangeThese(t *testing.T) {
	for name, c := range map[string]struct {
		text string
		edit func([]byte) ([]byte, error)
	}{
		"a step whose dash stands alone": {"steps:\n  -\n    do: wash\n  - {do: seal}\n", func(b []byte) ([]byte, error) { return RemoveStep(b, 0) }},
		"a dash with a remark":           {"steps:\n  - # first\n    do: wash\n  - {do: seal}\n", func(b []byte) ([]byte, error) { return RemoveStep(b, 0) }},
		"a folded text at the end": {"steps:\n  - do: wash\n    note: >-\n      long\n\n      text\npeople: 2\n", func(b []byte) ([]byte, error) {
			return AddStep(b, []Change{{"do", "seal"}})
		}},
		"a value of many lines": {"zones:\n  - name: a\n    finish: a long\n      word\n", func(b []byte) ([]byte, error) {
			return Zone(b, "a", []Change{{"finish", "teak"}})
		}},
		"an anchor": {"zones:\n  - name: a\n    finish: &f teak\n  - {name: b, finish: *f}\n", func(b []byte) ([]byte, error) {
			return Zone(b, "a", []Change{{"finish", "canvas"}})
		}},
		"what an anchor gives": {"zones:\n  - name: a\n    finish: &f teak\n  - {name: b, finish: *f}\n", func(b []byte) ([]byte, error) {
			return Zone(b, "b", []Change{{"finish", "canvas"}})
		}},
		"a literal": {"zones:\n  - name: a\n    finish: |\n      teak\n", func(b []byte) ([]byte, error) {
			return Zone(b, "a", []Change{{"finish", "canvas"}})
		}},
		"nothing": {"zones:\n  - name: a\n    finish:\n", func(b []byte) ([]byte, error) { return Zone(b, "a", []Change{{"finish", "canvas"}}) }},
		"zones that are none": {"zones: 3\n", func(b []byte) ([]byte, error) {
			return Zone(b, "a", []Change{{"finish", "canvas"}})
		}},
		"zones that are empty":    {"zones:\njob: x\n", func(b []byte) ([]byte, error) { return Zone(b, "a", []Change{{"finish", "canvas"}}) }},
		"zones in brackets":       {"zones: [{name: b}]\n", func(b []byte) ([]byte, error) { return Zone(b, "a", []Change{{"finish", "canvas"}}) }},
		"steps in brackets":       {"steps: [{do: wash}, {do: seal}]\n", func(b []byte) ([]byte, error) { return AddStep(b, []Change{{"do", "bed"}}) }},
		"no steps":                {"steps: []\n", func(b []byte) ([]byte, error) { return AddStep(b, []Change{{"do", "bed"}}) }},
		"steps by name":           {"steps: {wash: 1}\n", func(b []byte) ([]byte, error) { return AddStep(b, []Change{{"do", "bed"}}) }},
		"a step that is a word":   {"steps:\n  - wash\n  - seal\n", func(b []byte) ([]byte, error) { return Step(b, 0, []Change{{"with", "x"}}) }},
		"a list over two lines":   {"steps:\n  - do: wash\n    on: [a,\n      b]\n", func(b []byte) ([]byte, error) { return Step(b, 0, []Change{{"on", "[c]"}}) }},
		"steps out of two braces": {"steps: [{do: wash}, {do: seal}]\n", func(b []byte) ([]byte, error) { return RemoveStep(b, 0) }},
		"a first key of two lines": {"zones:\n  - done:\n      wash: 2026-09-07\n    name: a\n", func(b []byte) ([]byte, error) {
			return Zone(b, "a", []Change{{"finish", "teak"}})
		}},
		"the only key": {"by: 2026-09-07\n", func(b []byte) ([]byte, error) { return Top(b, []Change{{"by", ""}}) }},
		"two of a key": {"job: x\nby: 2026-09-07\nby: 2026-09-08\n", func(b []byte) ([]byte, error) { return Top(b, []Change{{"by", "2026-09-09"}}) }},
		"no end":       {"job: \"x\n", func(b []byte) ([]byte, error) { return Top(b, []Change{{"by", "2026-09-09"}}) }},
		"nothing at all": {"# only a remark\n", func(b []byte) ([]byte, error) {
			return Top(b, []Change{{"by", "2026-09-09"}})
		}},
	} {
		out, err := c.edit([]byte(c.text))
		assert.ErrorIs(t, err, ErrByHand, "%s became %s", name, out)
	}
}

// Steps that are not there are told by the number that a person counts.
func TestStepsThatAreNotThere(t *testing.T) {
	for _, i := range []int{-1, 2, 99} {
		_, err := RemoveStep([]byte(sample), i)
		assert.ErrorIs(t, err, ErrNoStep, i)
		assert.ErrorContains(t, err, fmt.Sprint(i+1))
		_, err = Step([]byte(sample), i, []Change{{"with", "x"}})
		assert.ErrorIs(t, err, ErrNoStep, i)
	}
	for _, text := range []string{"job: x\n", "- a\n"} {
		_, err := AddStep([]byte(text), []Change{{"do", "bed"}})
		assert.ErrorIs(t, err, ErrByHand, text)
		_, err = RemoveStep([]byte(text), 0)
		assert.ErrorIs(t, err, ErrByHand, text)
	}
}

// Changes of one edit are made all or none.
func TestChangesAreAllOrNone(t *testing.T) {
	text := "zones:\n  - name: a\n    tilt: 90\n    finish: |\n      teak\n"
	out, err := Zone([]byte(text), "a", []Change{{"tilt", "45"}, {"finish", "canvas"}})
	assert.ErrorIs(t, err, ErrByHand)
	assert.Nil(t, out)
	same, err := Zone([]byte(sample), "port side", nil)
	require.NoError(t, err)
	assert.Equal(t, sample, string(same), "no change is none")
}

// The places that the parser tells are held against the text: where they are off, as for
// escapes by number, nothing is overwritten.
func TestNothingIsOverwrittenByAWrongPlace(t *testing.T) {
	text := "zones:\n  - {name: a, finish: \"x\\u2028y\", salt: true}\n"
	out, err := Zone([]byte(text), "a", []Change{{"finish", "teak"}})
	assert.ErrorIs(t, err, ErrByHand, "%s", out)
	out, err = Zone([]byte(text), "a", []Change{{"salt", "false"}})
	require.NoError(t, err)
	assert.Equal(t, strings.Replace(text, "true", "false", 1), string(out), "what stands beside it can still be set")
}

// A file from a computer that ends its lines in two characters is edited where it was
// meant to be: plain words and numbers do not shift the lines beneath them.
func TestCarriageReturnsShiftNoLine(t *testing.T) {
	text := "job: plain\r\nplace: {name: Quay}\r\nzones:\r\n  - name: port side\r\n    tilt: 90\r\n    finish: teak\r\n    area_m2: 14\r\n    access: dock\r\nsteps:\r\n  - do: wash\r\n    with: soap-wash\r\n"
	for key, was := range map[string]string{"tilt": "90", "finish": "teak", "area_m2": "14", "access": "dock"} {
		out, err := Zone([]byte(text), "port side", []Change{{key, "ladder"}})
		require.NoError(t, err, key)
		assert.Equal(t, strings.Replace(text, key+": "+was+"\r", key+": ladder\r", 1), string(out))
	}
	out, err := Step([]byte(text), 0, []Change{{"with", "degreaser"}})
	require.NoError(t, err)
	assert.Equal(t, strings.Replace(text, "soap-wash", "degreaser", 1), string(out))
}

// Words that YAML takes for something else, by any of its versions, are quoted; plain
// ones stand as people write them.
func TestTextIsQuotedWhereItMustBe(t *testing.T) {
	for _, plain := range []string{"teak", "white-gelcoat", "port side", "A_b-c 3"} {
		assert.Equal(t, plain, string(Text(plain)))
	}
	for _, s := range []string{"", " ", "yes", "No", "ON", "off", "true", "False", "null", "Y", "n", "~", "12", "1.5", "0x1f", "2026-09-07", "12:30", "a: b", "a #b", "- a",
		"a ", " a", "a  b", "ends:", "#", "&a", "*a", "!a", "|", ">", "%a", "@a", "`a`", "'", `"`, `\`, "\t", "a\nb", "čluny", "<b>&"} {
		v := string(Text(s))
		assert.True(t, strings.HasPrefix(v, `"`) && strings.HasSuffix(v, `"`), "%q is %s", s, v)
		assert.NotContains(t, v, "\n", "%q", s)
		assert.Equal(t, s, says(t, []byte("v: "+v+"\n"))["v"], v)
	}
	assert.Equal(t, `"<b>&"`, string(Text("<b>&")), "as a person would read it")
	assert.Equal(t, "[]", string(List(nil)))
}

// What an edit may change is one place: everything else of the two texts has to be the
// same, and a text that cannot be read is none that was edited.
func TestSafelyHoldsTwoTextsAgainstEachOther(t *testing.T) {
	before := []byte("job: x\nzones:\n  - {name: a, tilt: 90}\nsteps: [{do: wash}, {do: seal}]\n")
	for name, c := range map[string]struct {
		after   string
		was, is place
		ok      bool
	}{
		"as it was":         {string(before), nil, nil, true},
		"the value":         {"job: x\nzones:\n  - {name: a, tilt: 45}\nsteps: [{do: wash}, {do: seal}]\n", place{"zones", 0, "tilt"}, place{"zones", 0, "tilt"}, true},
		"another value":     {"job: y\nzones:\n  - {name: a, tilt: 45}\nsteps: [{do: wash}, {do: seal}]\n", place{"zones", 0, "tilt"}, place{"zones", 0, "tilt"}, false},
		"a new key":         {"job: x\nzones:\n  - {name: a, tilt: 90, salt: true}\nsteps: [{do: wash}, {do: seal}]\n", place{"zones", 0, "salt"}, place{"zones", 0, "salt"}, true},
		"two new keys":      {"job: x\nby: 3\nzones:\n  - {name: a, tilt: 90, salt: true}\nsteps: [{do: wash}, {do: seal}]\n", place{"by"}, place{"by"}, false},
		"a step less":       {"job: x\nzones:\n  - {name: a, tilt: 90}\nsteps: [{do: seal}]\n", place{"steps", 0}, nil, true},
		"the wrong one":     {"job: x\nzones:\n  - {name: a, tilt: 90}\nsteps: [{do: wash}]\n", place{"steps", 0}, nil, false},
		"a step more":       {"job: x\nzones:\n  - {name: a, tilt: 90}\nsteps: [{do: wash}, {do: seal}, {do: bed}]\n", nil, place{"steps", 2}, true},
		"one in between":    {"job: x\nzones:\n  - {name: a, tilt: 90}\nsteps: [{do: wash}, {do: bed}, {do: seal}]\n", nil, place{"steps", 2}, false},
		"another kind":      {"job: x\nzones:\n  - {name: a, tilt: \"90\"}\nsteps: [{do: wash}, {do: seal}]\n", place{"zones", 0, "salt"}, place{"zones", 0, "salt"}, false},
		"no text":           {"job: [", nil, nil, false},
		"a key twice":       {"job: x\njob: x\n", nil, nil, false},
		"beyond the list":   {string(before), place{"steps", 9}, place{"steps", 9}, true},
		"a place of nobody": {string(before), place{"job", "x", 3}, place{4}, true},
	} {
		out, err := safely(before, []byte(c.after), nil, c.was, c.is)
		if c.ok {
			require.NoError(t, err, name)
			assert.Equal(t, c.after, string(out), name)
		} else {
			assert.ErrorIs(t, err, ErrByHand, name)
		}
	}
	_, err := safely(before, before, ErrNoStep, nil, nil)
	assert.ErrorIs(t, err, ErrNoStep, "what went wrong before is told")
}

// A place is one on the text: the first and the last line and letter are, what lies
// beyond either is not, and nothing is put there.
func TestPlacesLieOnTheText(t *testing.T) {
	f := &file{lines: []string{"ab", "", "čd"}, end: "\n"}
	at := func(line, column int) *token.Position { return &token.Position{Line: line, Column: column} }
	for _, c := range []struct {
		line, column int
		text         string
		stands       bool
	}{
		{1, 1, "ab", true}, {1, 2, "b", true}, {1, 1, "b", false}, {3, 1, "č", true}, {3, 2, "d", true}, {3, 2, "dd", false},
		{1, 3, "", false}, {1, 0, "", false}, {2, 1, "", false}, {0, 1, "", false}, {4, 1, "", false}, {-1, 1, "ab", false},
	} {
		assert.Equal(t, c.stands, f.stands(at(c.line, c.column), c.text), "%+v", c)
	}
	for _, c := range []struct {
		line, column, width int
		want                string
	}{{1, 1, 2, "X\n\nčd\n"}, {1, 3, 0, "abX\n\nčd\n"}, {3, 2, 1, "ab\n\nčX\n"}, {2, 1, 0, "ab\nX\nčd\n"}} {
		out, err := f.splice(at(c.line, c.column), c.width, "X")
		require.NoError(t, err, "%+v", c)
		assert.Equal(t, c.want, string(out))
	}
	for _, c := range [][3]int{{0, 1, 0}, {4, 1, 0}, {1, 0, 0}, {1, 4, 0}, {1, 2, 2}, {1, 1, -1}} {
		_, err := f.splice(at(c[0], c[1]), c[2], "X")
		assert.ErrorIs(t, err, ErrByHand, "%v", c)
	}
	assert.Equal(t, []string{"ab", "", "čd"}, f.lines, "the file itself is left as it is")
}
