package text

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/cmd/internal/answer"
)

// weatherOf words a group of windows in one line.
func weatherOf(o Options, ws ...answer.Window) string {
	a := emptyWeek()
	g := group{from: ws[0].From, to: ws[0].To, state: ws[0].State, windows: ws}
	return untie(newPage(o).weather(a, g))
}

func TestWeatherOfAWindow(t *testing.T) {
	w := window("port side", "08:20", "11:40", "go", 26.0/30)
	w.SurfaceC, w.SpreadK, w.Sunlit = &[2]float64{15.1, 20.4}, &[2]float64{3.4, 8.9}, ptr(false)
	w.WipeBy, w.WetAt, w.WetBy = ptr(at("10 12:10")), ptr(at("10 20:50")), "dew"
	assert.Equal(t, "panel 59-69 °F, 6-16 °F over dew point; in the shade; 26 of 30 futures; "+
		"last start 11:30, wiped by 12:10, wet again 20:50 (dew)", weatherOf(us, w))
	w.Best = &answer.Block{From: at("10 08:20"), To: at("10 10:20"), Confidence: 0.9}
	assert.Contains(t, weatherOf(metric, w), "best block 08:20-10:20 in 27 of 30 futures")
	w.WetAt = ptr(at("11 05:00"))
	assert.Contains(t, weatherOf(metric, w), "wet again Fri 11 Sep 05:00 (dew)", "the next day by its name")
}

// Beside GO stands a block that is go throughout, and not one that runs on into marginal
// hours; where the window is too short for any, it says so.
func TestWeatherOfAWindowWhoseRankingBlockIsMarginal(t *testing.T) {
	w := window("port side", "12:00", "13:50", "go", 0.2)
	w.Best = &answer.Block{From: at("10 13:10"), To: at("10 15:10"), State: "marginal", Confidence: 0.5}
	w.GoBlock = &answer.Block{From: at("10 12:10"), To: at("10 12:50"), State: "go", Confidence: 0.2}
	assert.Contains(t, weatherOf(metric, w), "best block 12:10-12:50 in only 6 of 30 futures;")
	own := 0.1
	w.GoBlock, w.Short, w.GoConfidence = nil, true, &own
	assert.Contains(t, weatherOf(metric, w), "too short for a block that is go throughout; the window itself in only 3 of 30 futures;")
	assert.NotContains(t, weatherOf(metric, w), "15:10")
}

// Go that holds in fewer than half of the futures asks for a yes, and the first line calls it
// so, with the few beside the word; below stands that it is go hour by hour.
func TestHeadlineOfGoInFew(t *testing.T) {
	a := lateSummer(t)
	says := func() string {
		var b bytes.Buffer
		require.NoError(t, Week(&b, a, metric))
		return untie(b.String())
	}
	assert.NotContains(t, says(), "fewer than half")
	for i := range a.Headline.Best {
		a.Headline.Best[i].Best = &answer.Block{From: a.Headline.Best[i].From, To: a.Headline.Best[i].To, State: "go", Confidence: 0.1}
	}
	a.Headline.Best = a.Headline.Best[:1]
	a.Headline.Best[0].State = "go"
	got := strings.Join(strings.Fields(says()), " ")
	first, _, _ := strings.Cut(says(), "\n")
	assert.Regexp(t, `^! MARGINAL .*, in only 3 of 30 futures\.$`, first)
	assert.Contains(t, got, "Thu 10 Sep is go hour by hour, but a block there holds in fewer than half of the futures: a plan asks for your yes first.")
}

// Where only some zones of the best day are that unsure, they are named.
func TestHeadlineNamesTheUnsure(t *testing.T) {
	a := lateSummer(t)
	require.Greater(t, len(a.Headline.Best), 1)
	for i := range a.Headline.Best {
		w := &a.Headline.Best[i]
		w.State, w.GoBlock, w.Short = "go", nil, false
		w.Best = &answer.Block{From: w.From, To: w.To, State: "go", Confidence: 0.9}
	}
	weak := &a.Headline.Best[len(a.Headline.Best)-1]
	weak.Best.Confidence = 0.1
	var b bytes.Buffer
	require.NoError(t, Week(&b, a, metric))
	got := strings.Join(strings.Fields(untie(b.String())), " ")
	assert.Contains(t, got, "the best block of each in at least 27 of 30 futures, on "+weak.Zone+" in only 3 of 30 futures.")
	assert.Contains(t, got, "Thu 10 Sep is go hour by hour, but a block on "+weak.Zone+" holds in fewer than half of the futures")
}

// Where sections haze, the last of them must still be wiped off: that is told, and
// not the slot in which the window ends.
func TestWeatherOfTheLastSection(t *testing.T) {
	w := window("port side", "08:20", "18:00", "go", 26.0/30)
	w.HazeMin, w.LastSection, w.WipeBy = &[2]float64{24, 190}, ptr(at("10 17:20")), ptr(at("10 18:00"))
	assert.Contains(t, weatherOf(us, w), "last section on 17:20, wiped by 18:00")
	x := w
	x.LastSection = ptr(at("10 17:10"))
	assert.Contains(t, weatherOf(us, w, x), "last section on 17:10,", "the earliest of the zones")
	x.LastSection = nil
	assert.Contains(t, weatherOf(us, w, x), "no time left to wipe a section off")
	x.SectionM2 = ptr(4.0)
	assert.Contains(t, weatherOf(us, x), "no time left to rinse a section off")
	x.LastSection, x.WipeBy = ptr(at("10 17:40")), ptr(at("10 17:57"))
	assert.Contains(t, weatherOf(us, x), "last section on 17:40, rinsed by 17:57", "a wash, to the minute of the answer")
	x.HazeMin = nil
	assert.Contains(t, weatherOf(us, x), "last start 17:50")
}

// What is not known is not said.
func TestWeatherOfABareWindow(t *testing.T) {
	w := window("port side", "08:20", "11:40", "go", 0.5)
	assert.Equal(t, "15 of 30 futures; last start 11:30, no water in sight after it", weatherOf(us, w))
}

func TestWeatherOfAMarginalWindow(t *testing.T) {
	w := window("port side", "08:20", "11:40", "marginal", 0.5)
	w.Binding = bind("surface_max 31/30")
	x := w
	x.Binding = bind("surface_max 33/30")
	assert.Contains(t, weatherOf(metric, w, x), "because panel 33 °C, at most 30;", "the worst of the zones")
}

// Over several zones: the widest range, the strictest times, the next water.
func TestWeatherOfSeveralZones(t *testing.T) {
	a, b := window("port side", "08:20", "11:40", "go", 0.9), window("transom", "08:20", "11:40", "go", 0.6)
	a.SurfaceC, b.SurfaceC = &[2]float64{15, 20}, &[2]float64{12, 18}
	a.SpreadK, b.SpreadK = &[2]float64{4, 9}, &[2]float64{5, 7}
	a.Sunlit, b.Sunlit = ptr(true), ptr(false)
	b.LastStart = at("10 10:30")
	a.WetAt, a.WetBy = ptr(at("10 20:50")), "dew"
	b.WetAt, b.WetBy = ptr(at("10 17:00")), "rain"
	assert.Equal(t, "panel 12-20 °C, 4-9 °C over dew point; 18 of 30 futures; "+
		"last start 10:30, wet again 17:00 (rain)", weatherOf(metric, a, b), "and no word of sun where they differ")
}

// The end of the data is no water.
func TestWetAtWithoutACause(t *testing.T) {
	w := window("port side", "08:20", "11:40", "go", 0.5)
	w.WetAt = ptr(at("15 00:00"))
	assert.Contains(t, weatherOf(metric, w), "no water in sight after it")
}

func TestWeatherOfAWash(t *testing.T) {
	a, b := window("port side", "08:20", "11:40", "go", 0.9), window("transom", "08:20", "11:40", "go", 0.9)
	a.SectionM2, a.RewetMin, b.SectionM2, b.RewetMin = ptr(7.38), ptr(8.9), ptr(9.0), ptr(12.0)
	a.WipeBy = ptr(at("10 11:45"))
	a.WetAt, a.WetBy = ptr(at("10 20:50")), "dew"
	got := weatherOf(metric, a, b)
	assert.Contains(t, got, "at most 7.3 m² at a time, wet it again every 8 min", "the smaller, rounded down")
	assert.Contains(t, got, "rinsed by 11:45")
	assert.NotContains(t, got, "wet again 20:50", "dew does a wash no harm")
	assert.Contains(t, weatherOf(us, a, b), "at most 79 sq ft at a time")
}

func TestBlocksThatDiffer(t *testing.T) {
	a, b := window("port side", "08:20", "11:40", "go", 0.9), window("transom", "08:20", "11:40", "go", 0.9)
	a.Best = &answer.Block{From: at("10 08:20"), To: at("10 10:20"), Confidence: 0.9}
	b.Best = &answer.Block{From: at("10 09:20"), To: at("10 11:20"), Confidence: 0.8}
	assert.Contains(t, weatherOf(metric, a, b), "best blocks in 24 of 30 futures")
	b.Best = nil
	assert.Contains(t, weatherOf(metric, a, b), "best blocks in 27 of 30 futures")
}

func TestBlockOfASingleForecast(t *testing.T) {
	w := window("port side", "08:20", "11:40", "go", 1)
	w.Best = &answer.Block{From: at("10 08:20"), To: at("10 10:20"), Confidence: 1}
	a := emptyWeek()
	a.Source.Dressed = 0
	got := newPage(metric).block(a, group{windows: []answer.Window{w}})
	assert.Equal(t, "best block 08:20-10:20", got, "it tells nothing of itself")
}

func TestEarliest(t *testing.T) {
	a, b := window("a", "08:00", "09:00", "go", 1), window("b", "08:00", "09:00", "go", 1)
	b.WipeBy = ptr(at("10 09:30"))
	wipe := func(w answer.Window) *time.Time { return w.WipeBy }
	assert.Equal(t, at("10 09:30"), earliest([]answer.Window{a, b}, wipe))
	assert.True(t, earliest([]answer.Window{a}, wipe).IsZero())
}

func TestByHours(t *testing.T) {
	book := newZoneBook([]answer.Zone{{Name: "port side"}, {Name: "transom"}})
	groups := byHours([]answer.Window{
		window("transom", "08:20", "11:40", "go", 1),
		window("port side", "08:20", "11:40", "ideal", 1),
		window("port side", "08:20", "11:40", "go", 1),
	}, book)
	assert.Len(t, groups, 2, "another state is another group")
	assert.Equal(t, []string{"port side", "transom"}, groups[0].zones, "in the boat's order")
}

// The steps come in the order of the answer, the zones in that of the boat, the
// windows by rank.
func TestStepsOf(t *testing.T) {
	a := emptyWeek()
	a.Refusals = []answer.Refusal{{Step: "wash", Zone: "teak deck"}, {Step: "seal", Zone: "port side"}, {Step: "wash", Zone: "port side"}}
	a.Windows = []answer.Window{{
		Step: "seal",
		Zone: "foredeck",
		Rank: 2,
	}, {Step: "seal", Zone: "port side", Rank: 1}, {Step: "coat", Zone: "helm"}}
	list := stepsOf(a, newZoneBook(a.Zones))
	assert.Len(t, list, 3)
	assert.Equal(t, []string{"wash", "seal", "coat"}, []string{list[0].name, list[1].name, list[2].name})
	assert.Equal(t, []string{"port side", "teak deck"}, list[0].zones)
	assert.Equal(t, 1, list[1].windows[0].Rank)
	assert.Equal(t, []string{"helm"}, list[2].zones)
}

// A day that is good for the step that seals is no promise where no plan can be made: the
// first line says so, and the reason stands with the headline.
func TestHeadlineOverNoPlan(t *testing.T) {
	a := lateSummer(t)
	a.Plan = &answer.Plan{State: answer.None, Why: []string{"wash on port side has no place: the place does not allow this water to run off"}}
	var b bytes.Buffer
	require.NoError(t, Week(&b, a, metric))
	got := strings.Join(strings.Fields(untie(b.String())), " ")
	assert.Contains(t, got, "But no plan of the whole job leads there: wash on port side has no place: the place does not allow this water to run off.")
	assert.Contains(t, got, "+ GO, no plan Seal Thu 10 Sep: ")
	assert.Less(t, strings.Index(got, "But no plan"), strings.Index(got, "Kittiwake at"))
	a.Plan.State = "go"
	b.Reset()
	require.NoError(t, Week(&b, a, metric))
	assert.NotContains(t, b.String(), "o plan ")
}

// A block that begins before the work ahead of it can be done says so; one that begins later
// has nothing to say, though its window began before.
func TestWeatherOfAWindowThatIsNotReady(t *testing.T) {
	w := window("port side", "08:20", "11:40", "go", 26.0/30)
	w.Best, w.ReadyAt = &answer.Block{From: at("10 08:20"), To: at("10 10:20"), State: "go", Confidence: 0.9}, ptr(at("10 13:30"))
	assert.Contains(t, weatherOf(metric, w), "27 of 30 futures; the work before it takes until 13:30 at the least; last start")
	w.ReadyAt = ptr(at("10 08:20"))
	assert.NotContains(t, weatherOf(metric, w), "work before")
	w.Best, w.ReadyAt = nil, ptr(at("11 13:30"))
	assert.NotContains(t, weatherOf(metric, w), "work before", "no block is told")
	w.Best = &answer.Block{From: at("10 08:20"), To: at("10 10:20"), State: "go", Confidence: 0.9}
	later := w
	later.ReadyAt = ptr(at("11 14:00"))
	assert.Contains(t, weatherOf(metric, w, later), "takes until Fri 11 Sep 14:00 at the least", "of several zones the last")
}
