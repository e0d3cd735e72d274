package app

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"dewgap/cmd/internal/book"
	"dewgap/window"
)

// rainAt is rain that was seen, from and to minutes past noon; mm under 0 is not measured.
func rainAt(from, to int, mm float64) window.Rain {
	noon := time.Date(2027, 4, 2, 12, 0, 0, 0, time.UTC)
	r := window.Rain{From: noon.Add(time.Duration(from) * time.Minute), To: noon.Add(time.Duration(to) * time.Minute), Observed: true}
	if mm >= 0 {
		r.MM, r.HasMM = mm, true
	}
	return r
}

// A shower that is told twice falls once, in whatever words; two showers are two.
func TestFolded(t *testing.T) {
	seen := rainAt(0, 5, 2)
	forecast := window.Rain{From: seen.From, To: seen.To, MM: 1, HasMM: true}
	for name, c := range map[string]struct{ before, more, want []window.Rain }{
		"told again":                 {[]window.Rain{seen}, []window.Rain{seen}, []window.Rain{seen}},
		"told twice at once":         {nil, []window.Rain{seen, seen}, []window.Rain{seen}},
		"it went on":                 {[]window.Rain{seen}, []window.Rain{rainAt(0, 40, 6)}, []window.Rain{rainAt(0, 40, 6)}},
		"it was shorter after all":   {[]window.Rain{rainAt(0, 40, 6)}, []window.Rain{seen}, []window.Rain{seen}},
		"the gauge is not read anew": {[]window.Rain{seen}, []window.Rain{rainAt(0, 5, -1)}, []window.Rain{seen}},
		"it began earlier":           {[]window.Rain{seen}, []window.Rain{rainAt(-20, 5, 3)}, []window.Rain{rainAt(-20, 5, 3)}},
		"a part of what was told":    {[]window.Rain{rainAt(-20, 30, 9)}, []window.Rain{seen}, []window.Rain{rainAt(-20, 30, 9)}},
		"a part was measured":        {[]window.Rain{rainAt(-20, 30, -1)}, []window.Rain{seen}, []window.Rain{rainAt(-20, 30, 2)}},
		"the whole is not measured":  {[]window.Rain{seen}, []window.Rain{rainAt(-20, 30, -1)}, []window.Rain{rainAt(-20, 30, 2)}},
		"shorter, and not measured":  {[]window.Rain{rainAt(0, 40, 6)}, []window.Rain{rainAt(0, 5, -1)}, []window.Rain{rainAt(0, 5, -1)}},
		"another shower":             {[]window.Rain{seen}, []window.Rain{rainAt(60, 70, 1)}, []window.Rain{seen, rainAt(60, 70, 1)}},
		"the forecast's own":         {[]window.Rain{forecast}, []window.Rain{seen}, []window.Rain{forecast, seen}},
		"of a forecast told later":   {[]window.Rain{seen}, []window.Rain{forecast}, []window.Rain{seen, forecast}},
	} {
		assert.Equal(t, c.want, folded(c.before, c.more), name)
	}
}

// What was told is a moment's rain or another's once, and telling it all again adds nothing.
func TestFolded_TwiceIsOnce(t *testing.T) {
	spells := rapid.Custom(func(t *rapid.T) window.Rain {
		from := rapid.IntRange(0, 120).Draw(t, "from")
		return rainAt(from, from+rapid.IntRange(1, 60).Draw(t, "min"), rapid.Float64Range(0, 9).Draw(t, "mm"))
	})
	rapid.Check(t, func(rt *rapid.T) {
		once := folded(nil, rapid.SliceOfN(spells, 0, 6).Draw(rt, "told"))
		assert.ElementsMatch(rt, once, folded(once, once))
		for i, a := range once {
			for _, b := range once[i+1:] {
				assert.False(rt, !a.From.After(b.From) && !a.To.Before(b.To) || !b.From.After(a.From) && !b.To.Before(a.To) && b.From.Before(a.From), "%v holds %v", a, b)
			}
		}
	})
}

// What move was told of a shower may be older than what was written down of it, or newer:
// the longer of two that begin together stands, and a move being asked has the last word.
func TestRains_TheLongerStands(t *testing.T) {
	yes := true
	written := func(to int) *past {
		x := rainAt(0, to, -1)
		return &past{rained: []book.Reading{{At: x.From, Until: x.To, Rain: &yes}}}
	}
	for heard, logged := range map[int]int{10: 230, 230: 10} {
		p := written(logged)
		p.heard.Rain = []window.Rain{rainAt(0, heard, -1)}
		assert.Equal(t, []window.Rain{rainAt(0, 230, -1)}, p.rains(nil, time.Time{}))
		assert.Equal(t, []window.Rain{rainAt(0, 5, -1)}, p.rains([]window.Rain{rainAt(0, 5, -1)}, time.Time{}))
	}
}

// A second move of a day hands on what the first was told of it, or the answers after it would
// know of its own shower alone; other days have their own last word.
func TestSameDays(t *testing.T) {
	first, second := rainAt(0, 5, 2), rainAt(240, 245, 1)
	yesterday := first
	yesterday.From, yesterday.To = first.From.AddDate(0, 0, -1), first.To.AddDate(0, 0, -1)
	assert.Equal(t, []window.Rain{first}, sameDays([]window.Rain{yesterday, first}, []window.Rain{second}))
	assert.Empty(t, sameDays([]window.Rain{first}, nil))
}
