package job

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// read begins to read a mapping that must itself be sound.
func read(t *testing.T, text string) *section {
	r := &reader{file: "x.yaml"}
	n := r.readYAML([]byte(text))
	require.NotNil(t, n, text)
	s, ok := r.section(n, "x")
	require.True(t, ok)
	return s
}

func told(s *section) []string {
	var out []string
	for _, e := range s.errs {
		out = append(out, e.Error())
	}
	return out
}

func TestSection_AbsentKeysAreSilent(t *testing.T) {
	s := read(t, "a: 1\n")
	_, ok := s.number("b", span{0, 1, "things"})
	assert.False(t, ok)
	_, ok = s.text("c")
	assert.False(t, ok)
	_, ok = s.flag("d")
	assert.False(t, ok)
	_, ok = s.choice("e", []string{"x"})
	assert.False(t, ok)
	_, ok = s.moment("f", dayBegins)
	assert.False(t, ok)
	_, ok = s.date("g")
	assert.False(t, ok)
	assert.Nil(t, s.each("h"))
	assert.Equal(t, Schedule{}, s.schedule("i"))
	_, ok = s.yesNo("j")
	assert.False(t, ok)
	_, _, ok = s.sector("k")
	assert.False(t, ok)
	_, _, ok = s.bow("l", true)
	assert.False(t, ok)
	assert.Empty(t, s.errs)
}

func TestSection_DoneTellsWhatNobodyAskedFor(t *testing.T) {
	s := read(t, "name: x\nnam: y\nwidth: 3\n7: 8\nlatitude: 2\n")
	s.text("name")
	s.done()
	assert.Equal(t, []string{
		"x.yaml:2:1: unknown key `nam`: did you mean `name`?",
		"x.yaml:3:1: unknown key `width`: known here are name",
		"x.yaml:4:1: unknown key `7`: write a decimal number with a point, such as 1.5",
		"x.yaml:5:1: unknown key `latitude`: it belongs to place",
	}, told(s))
}

func TestSection_MissingIsToldUnlessMisspelt(t *testing.T) {
	s := read(t, "longitud: 1\n")
	for _, key := range []string{"latitude", "longitude"} {
		s.number(key, span{-180, 180, "degrees"})
		s.missing(key, "write it")
	}
	s.done()
	assert.Equal(t, []string{
		"x.yaml:1:1: unknown key `longitud`: did you mean `longitude`?",
		"x.yaml:1:1: `latitude` is missing: write it",
	}, told(s))
}

func TestSection_NumberEdgesAreIncluded(t *testing.T) {
	s := read(t, "a: 0\nb: 90\nc: 90.0001\nd: -0.0001\n")
	in := span{0, 90, "degrees"}
	a, ok := s.number("a", in)
	assert.True(t, ok)
	assert.Zero(t, a)
	b, ok := s.number("b", in)
	assert.True(t, ok)
	assert.Equal(t, 90.0, b)
	for _, key := range []string{"c", "d"} {
		_, ok = s.number(key, in)
		assert.False(t, ok)
	}
	assert.Equal(t, []string{
		"x.yaml:3:4: `c` 90.0001 is out of range: give degrees from 0 to 90",
		"x.yaml:4:4: `d` -0.0001 is out of range: give degrees from 0 to 90",
	}, told(s))
}

func TestSection_Whole(t *testing.T) {
	s := read(t, "a: 3\nb: 3.0\nc: 3.5\nd: 1e2\n")
	in := span{1, 50, "the number of people"}
	for _, key := range []string{"a", "b"} {
		v, ok := s.whole(key, in)
		assert.True(t, ok)
		assert.Equal(t, 3, v)
	}
	s.whole("c", in)
	s.whole("d", in)
	assert.Equal(t, []string{
		"x.yaml:3:4: `c` 3.5 is not a whole number: give the number of people as a whole number from 1 to 50",
		"x.yaml:4:4: `d` 1e2 is out of range: give the number of people from 1 to 50",
	}, told(s))
}

func TestSection_Each(t *testing.T) {
	s := read(t, "one: x\nlist: [x, y]\nnone: []\ngaps:\n  - x\n  -\nempty:\n")
	assert.Len(t, s.each("one"), 1)
	assert.Len(t, s.each("list"), 2)
	assert.Empty(t, s.each("none"))
	assert.Len(t, s.each("gaps"), 1)
	assert.Empty(t, s.each("empty"))
	assert.Equal(t, []string{
		"x.yaml:3:7: `none` is an empty list: fill it in or delete the line",
		"x.yaml:6:4: `gaps` has an empty item: fill it in or delete the dash",
		"x.yaml:7:1: `empty` has no value: fill it in or delete the line",
	}, told(s))
}

func TestSection_YesNo(t *testing.T) {
	s := read(t, "a: yes\nb: no\nc: unknown\nd: true\ne: false\nf: \"true\"\n")
	for key, want := range map[string]string{"a": "yes", "b": "no", "c": "unknown", "d": "yes", "e": "no"} {
		got, ok := s.yesNo(key)
		assert.True(t, ok, key)
		assert.Equal(t, want, got, key)
	}
	_, ok := s.yesNo("f")
	assert.False(t, ok)
	require.Len(t, s.errs, 1)
}

func TestSection_BearingsAndSectors(t *testing.T) {
	s := read(t, "a: {from: 300, to: 40}\nb: {from: NNE, to: sw}\nc: {to: 3}\n")
	from, to, ok := s.sector("a")
	assert.True(t, ok)
	assert.Equal(t, []float64{300, 40}, []float64{from, to})
	from, to, ok = s.sector("b")
	assert.True(t, ok)
	assert.Equal(t, []float64{22.5, 225}, []float64{from, to})
	_, _, ok = s.sector("c")
	assert.False(t, ok)
	assert.Equal(t, []string{"x.yaml:3:4: `from` is missing: give degrees from 0 to 360, or a compass point such as NW"}, told(s))
}

func TestSection_FromTo(t *testing.T) {
	s := read(t, "from: 2026-09-07T08:00Z\n")
	in, ok := s.fromTo()
	assert.True(t, ok)
	assert.Equal(t, utc(2026, 9, 7, 8, 0), in.From)
	assert.True(t, in.To.IsZero(), "open at the end")
	s = read(t, "from: 2026-09-07T08:00Z\nto: 2026-09-07T08:00Z\n")
	_, ok = s.fromTo()
	assert.False(t, ok)
	assert.Equal(t, []string{"x.yaml:2:5: `to` is not after `from`: put the later time last"}, told(s))
	s = read(t, "to: 2026-09-07\n")
	s.loc = newYork(t)
	in, ok = s.fromTo()
	assert.True(t, ok)
	assert.Equal(t, utc(2026, 9, 8, 4, 0), in.To, "the day is included")
}

func TestReader_WarnsOnce(t *testing.T) {
	r := &reader{file: "x.yaml"}
	r.warn(pos{1, 2}, "damp")
	r.warn(pos{1, 2}, "damp")
	r.warn(pos{1, 3}, "damp")
	assert.Equal(t, []string{"x.yaml:1:2: damp", "x.yaml:1:3: damp"}, r.warnings)
}

func TestReader_WrongShapes(t *testing.T) {
	for text, want := range map[string]string{
		"x: a":      "x.yaml:1:4: `x` cannot be `a`: mend it",
		"x: [a]":    "x.yaml:1:4: `x` cannot be a list: mend it",
		"x: {a: b}": "x.yaml:1:4: `x` cannot have keys of its own: mend it",
		"x: ":       "x.yaml:1:4: `x` has no value: fill it in or delete the line",
	} {
		s := read(t, text)
		s.wrongShape(s.n.get("x"), "x", "mend it")
		assert.Equal(t, []string{want}, told(s))
	}
	r := &reader{}
	r.wrongShape(&node{shape: broken}, "x", "mend it")
	assert.Empty(t, r.errs, "told already")
}

// A key one level off is told where it belongs, and is known there.
func TestHomes(t *testing.T) {
	for key, home := range homes {
		block := map[string]string{
			"place":             blockOf(inJob, key, "1"),
			"boat":              blockOf(inJob, key, "1"),
			"the file itself":   blockOf(inZone, key, "1"),
			"a zone":            blockOf(inBoat, key, "1"),
			"a step":            blockOf(inBoat, key, "1"),
			"a file of its own": blockOf(inJob, key, "1"),
		}[home]
		if block == "" || key == "water" || key == "from" || key == "by" {
			continue // near to another key there
		}
		errs := mistakes(t, jobWith(block))
		assert.Equal(t, "unknown key `"+key+"`", errs[0].Message)
		assert.Equal(t, "it belongs to "+home, errs[0].Fix, block)
	}
}

func TestHomes_AreWhereTheySay(t *testing.T) {
	in := map[string]string{"place": inPlace, "boat": inBoat, "the file itself": inJob, "a zone": inZone, "a step": inStep}
	for key, home := range homes {
		if home == "a file of its own" {
			continue
		}
		_, err := Parse("job.yaml", []byte(jobWith(blockOf(in[home], key, "{q: 1}"))), catalogue(t), Options{})
		if err != nil {
			assert.NotContains(t, err.Error(), "unknown key `"+key+"`", "%s under %s", key, home)
		}
	}
}
