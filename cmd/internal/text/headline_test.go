package text

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/cmd/internal/answer"
)

// window is one on a zone of Thursday the 10th.
func window(zone, from, to, state string, confidence float64) answer.Window {
	return answer.Window{Zone: zone, Step: "seal", From: at("10 " + from), To: at("10 " + to), State: state,
		Confidence: confidence, LastStart: at("10 " + to).Add(-10 * time.Minute)}
}

var fiftyOne = answer.Source{Members: 51}

func itinerary(t *testing.T, room int, ws ...answer.Window) (string, bool) {
	t.Helper()
	line, full, _ := newPage(metric).itinerary(ws, fiftyOne, newZoneBook(nil), room)
	assert.LessOrEqual(t, cells(line), room)
	return untie(line), full
}

func TestItinerary(t *testing.T) {
	port := window("port side", "08:20", "11:40", "go", 41.0/51)
	starboard := window("starboard side", "13:10", "15:20", "go", 30.0/51)
	transom := window("transom", "16:00", "17:00", "go", 20.0/51)

	line, full := itinerary(t, 80, port)
	assert.Equal(t, "port side 08:20-11:40, 41 of 51 forecasts.", line)
	assert.True(t, full)

	line, full = itinerary(t, 90, port, starboard)
	assert.Equal(t, "port side 08:20-11:40, then starboard side 13:10-15:20, 30 of 51 forecasts.", line, "as sure as the less sure")
	assert.True(t, full)

	line, full = itinerary(t, 130, port, starboard, transom)
	assert.Equal(t, "port side 08:20-11:40, then starboard side 13:10-15:20, transom 16:00-17:00, in only 20 of 51 forecasts.", line)
	assert.True(t, full)
}

// Good minutes too short for a block are part of the marginal hours around them, and
// never the answer of the first line.
func TestHeadline_AShortWindowIsNoGo(t *testing.T) {
	before, short, after := window("port side", "06:40", "08:40", "marginal", 1), window("port side", "08:40", "09:20", "go", 1), window("port side", "09:20", "13:00", "marginal", 1)
	short.Short = true
	ws := good([]answer.Window{before, short, after})
	assert.Equal(t, "marginal", worstState(ws))
	line, _ := itinerary(t, 80, ws...)
	assert.Contains(t, line, "port side 06:40-13:00")
	foredeck := window("foredeck", "10:00", "12:00", "ideal", 1)
	line, _ = itinerary(t, 80, good([]answer.Window{before, short, after, foredeck})...)
	assert.Equal(t, "foredeck 10:00-12:00, 51 of 51 forecasts.", line, "where another panel has a block, that is the answer")
}

// What does not fit is counted: in words, then in a word, then in a sign.
func TestItineraryCounts(t *testing.T) {
	port := window("port side", "08:20", "11:40", "go", 1)
	starboard := window("starboard side", "13:10", "15:20", "go", 1)
	line, full := itinerary(t, 40, port, starboard)
	assert.Equal(t, "port side 08:20-11:40 and 1 more.", line)
	assert.False(t, full)
	line, _ = itinerary(t, 30, port, starboard)
	assert.Equal(t, "port side 08:20-11:40, 1 more.", line)
	line, _ = itinerary(t, 26, port, starboard)
	assert.Equal(t, "port side 08:20-11:40 +1.", line)
}

// The sureness is that of the stretches named, not of those left out.
func TestItineraryIsAsSureAsWhatItNames(t *testing.T) {
	line, _ := itinerary(t, 54, window("port side", "08:20", "11:40", "go", 1), window("starboard side", "13:10", "15:20", "go", 0.1))
	assert.Equal(t, "port side 08:20-11:40 and 1 more, 51 of 51 forecasts.", line)
}

func TestItineraryMergesZones(t *testing.T) {
	line, full := itinerary(t, 80, window("port side", "08:20", "11:40", "go", 1), window("transom", "08:20", "11:40", "go", 1))
	assert.Equal(t, "port side, transom 08:20-11:40, 51 of 51 forecasts.", line)
	assert.True(t, full)
}

func TestItineraryFits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ws := rapid.SliceOfN(anyWindow(), 1, 6).Draw(t, "windows")
		room := rapid.IntRange(34, 90).Draw(t, "room")
		line, _, c := newPage(metric).itinerary(ws, fiftyOne, newZoneBook(nil), room)
		require.LessOrEqual(t, cells(line), room)
		require.True(t, strings.HasSuffix(line, ".") || strings.HasSuffix(line, ellipsis), line)
		if room >= 60 && few(c) {
			require.Contains(t, untie(line), " of 51 forecasts", "that it is less than a half is never left out")
		}
	})
}

func TestLeastSurePrefersBlocks(t *testing.T) {
	least := func(ws ...answer.Window) float64 { c, _ := leastSure(ws); return c }
	w := window("port side", "08:20", "11:40", "go", 0.3)
	assert.InDelta(t, 0.3, least(w), 0)
	w.Best = &answer.Block{Confidence: 0.9}
	assert.InDelta(t, 0.9, least(w), 0)
	assert.InDelta(t, 0.5, least(w, window("transom", "08:20", "11:40", "go", 0.5)), 0)
	w.GoBlock = &answer.Block{Confidence: 0.6}
	assert.InDelta(t, 0.6, least(w), 0, "the block that is go, not one that runs into marginal hours")
	own := 0.2
	w.GoBlock, w.Short, w.GoConfidence = nil, true, &own
	assert.InDelta(t, 0.2, least(w), 0, "no block is go: the share is that of the window")
}

// Beside GO and IDEAL stands the share that is at least go, and a share of less than a half
// is called what it is.
func TestLikelySaysWhatTheShareIsOf(t *testing.T) {
	block := func(state string, c float64) *answer.Block { return &answer.Block{State: state, Confidence: c} }
	for name, c := range map[string]struct {
		state      string
		best, asGo *answer.Block
		want       string
	}{
		"go":                            {"go", block("go", 0.8), block("go", 0.8), "24 of 30 futures"},
		"go over an ideal block":        {"go", block("ideal", 0.25), block("ideal", 0.8), "24 of 30 futures"},
		"go, with a marginal block":     {"go", block("marginal", 0.9), block("go", 0.1), "in only 3 of 30 futures"},
		"ideal, as sure as go":          {"ideal", block("ideal", 1), block("ideal", 1), "30 of 30 futures"},
		"ideal in few, go in many":      {"ideal", block("ideal", 0.25), block("ideal", 0.8), "go in 24 of 30 futures"},
		"ideal in few and go in few":    {"ideal", block("ideal", 0.1), block("ideal", 0.2), "go in only 6 of 30 futures"},
		"ideal, the block runs into go": {"ideal", block("go", 0.8), block("go", 0.8), "go in 24 of 30 futures"},
		"marginal":                      {"marginal", block("marginal", 0.8), nil, "24 of 30 futures"},
		"half of them are not few":      {"go", block("go", 0.5), block("go", 0.5), "15 of 30 futures"},
	} {
		w := answer.Window{State: c.state, Confidence: 0.7, Best: c.best, GoBlock: c.asGo}
		assert.Equal(t, c.want, untie(likely([]answer.Window{w}, c.state, answer.Source{Members: 1, Dressed: 30}, "")), name)
	}
}

func TestGoodPrefersWhatNeedsNoYes(t *testing.T) {
	yes := window("port side", "07:00", "08:00", "marginal", 1)
	free := window("port side", "08:00", "10:00", "go", 1)
	early := window("transom", "07:30", "09:00", "ideal", 1)
	got := good([]answer.Window{yes, free, early})
	require.Len(t, got, 2)
	assert.Equal(t, "transom", got[0].Zone, "in order of time")
	assert.Equal(t, "port side", got[1].Zone)
	assert.Equal(t, []answer.Window{yes}, good([]answer.Window{yes}), "better that than nothing")
}

func TestBreakLine(t *testing.T) {
	line := func(list ...string) (string, bool) {
		got, full := newPage(us).breakLine(&answer.Headline{Breaks: list}, []string{"a", "b", "c"})
		assert.LessOrEqual(t, cells(got), 80)
		return got, full
	}
	got, full := line()
	assert.Equal(t, "Breaks it: nothing that was tried.", got)
	assert.True(t, full)

	got, full = line("rain 2 h earlier: no-go on a, b, c", "wind +2 m/s")
	assert.Equal(t, "Breaks it: rain 2 h earlier: no-go on all zones; wind +4 mph.", got)
	assert.True(t, full)

	long := strings.TrimSpace(strings.Repeat("a long reason ", 5))
	got, full = line("rain 2 h earlier", long, "wind")
	assert.Equal(t, "Breaks it: rain 2 h earlier; wind; more below", got, "the long one is left for below")
	assert.False(t, full)

	got, full = line("rain 2 h earlier: marginal on port side, starboard side, foredeck, transom (it has not dried long enough)")
	assert.Equal(t, "Breaks it: rain 2 h earlier: marginal on port side +3; more below", untie(got), "what there is of it is whole")
	assert.False(t, full)
	got, _ = line("rain 2 h earlier: marginal on transom (it has not dried for as long as it has to)", long)
	assert.Equal(t, "Breaks it: rain 2 h earlier: marginal on transom; more below", untie(got))
	got, _ = line("rain 2 h earlier: marginal on starboard superstructure side upper forward part, transom (it has not dried)", long)
	assert.Equal(t, "Breaks it: rain 2 h earlier: marginal; more below", untie(got))

	got, full = line(long + " " + long)
	assert.Equal(t, "Breaks it: a long reason a long reason a long reason a long reason…; more below", got)
	assert.False(t, full)
}

func TestAgainstSumsHours(t *testing.T) {
	b := builder{t, emptyWeek()}
	b.line("seal | port side | 9 00:00 x hours; 07:00 x film 3/1; 09:00 x rain_free 1/2; 14:00 x rain_free 0.5/2; 15:00 x film 9/1; 16:00 x hours; 23:50")
	a := b.finish()
	state, list := against("seal", "", stepsOf(a, newZoneBook(a.Zones)), metric)
	assert.Equal(t, "no-go", state)
	require.Len(t, list, 2, "working hours do not count")
	assert.Equal(t, "rain 30 min after the work, needs 2 h", untie(list[0]), "six hours, at its worst")
	assert.Equal(t, "water on the panel, 9 g/m², at most 1", untie(list[1]), "three hours, at its worst")
	state, list = against("wash", "", stepsOf(a, newZoneBook(a.Zones)), metric)
	assert.Equal(t, "no-go", state)
	assert.Empty(t, list)
}

// The word agrees with the answer, and the reason with the word: what is missing
// comes first where it decides, and last where it does not.
func TestAgainstAgreesWithTheAnswer(t *testing.T) {
	of := func(verdict, line string) (string, []string) {
		b := builder{t, emptyWeek()}
		b.line(line)
		a := b.finish()
		state, list := against("seal", verdict, stepsOf(a, newZoneBook(a.Zones)), metric)
		for i := range list {
			list[i] = untie(list[i])
		}
		return state, list
	}
	const mixed = "seal | port side | 9 07:00 ? data; 16:00 x film 3/1; 18:00 x hours; 23:50"
	for _, c := range []struct{ verdict, line, state, first string }{
		{"no-go", mixed, "no-go", "water on the panel, 3 g/m², at most 1"},
		{"unknown", mixed, "unknown", "the forecast lacks a value that is needed"},
		{"unknown", "seal | port side | 9 07:00 x film 3/1; 16:00 ? data; 18:00 x hours; 23:50", "unknown", "the forecast lacks a value that is needed"},
		{"", mixed, "no-go", "water on the panel, 3 g/m², at most 1"},
		{"no-go", "seal | port side | 9 07:00 ? data; 08:00 x hours; 23:50", "no-go", "no stretch of working hours is long enough"},
		{"", "seal | port side | 9 07:00 ? data; 08:00 x hours; 23:50", "unknown", "the forecast lacks a value that is needed"},
	} {
		state, list := of(c.verdict, c.line)
		assert.Equal(t, c.state, state, "%+v", c)
		assert.Equal(t, c.first, list[0], "%+v", c)
	}
}

// A reason that no other line says again is whole, whatever its length.
func TestHeadlineSaysTheWholeReason(t *testing.T) {
	b := builder{t, emptyWeek()}
	b.line("seal | port side | 9 07:00 x finish; 23:50")
	a := b.finish()
	a.Refusals[0].Binding.Text = "synthetic polymer sealant, paste or liquid, does not suit what it would have to lie on there"
	a.Headline = &answer.Headline{Step: "seal"}
	p := newPage(us)
	p.headline(a, stepsOf(a, newZoneBook(a.Zones)), newZoneBook(a.Zones))
	assert.Contains(t, p.b.String(), "does not suit what\n  it would have to lie on there.\n")
}

func TestCapitalAndStop(t *testing.T) {
	assert.Equal(t, "Seal", answer.Capital("seal"))
	assert.Equal(t, "Über", answer.Capital("über"))
	assert.Empty(t, answer.Capital(""))
	assert.Equal(t, "a.", stop("a"))
	assert.Equal(t, "a.", stop("a."))
	assert.Equal(t, "a?", stop("a?"))
	assert.Empty(t, stop(""))
}
