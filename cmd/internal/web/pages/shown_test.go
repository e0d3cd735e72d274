package pages

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/draw"
	"dewgap/cmd/internal/web/desk"
	"dewgap/cmd/internal/web/internal/webtest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// A window says the last moment of its work as a person needs it: the last start, or
// where something hazes the last section and by when it is wiped.
func TestTheLastOfAWindow(t *testing.T) {
	at := func(h float64) time.Time { return six.Add(time.Duration(h * float64(time.Hour))) }
	w := answer.Window{From: at(0), To: at(6), LastStart: at(5)}
	assert.Equal(t, "last start 15:00", lastStart(w))
	w.HazeMin = &[2]float64{20, 40}
	assert.Equal(t, "no time left to wipe a section off", lastStart(w))
	w.LastSection = ptr(at(4))
	assert.Equal(t, "last section on 14:00", lastStart(w))
	w.WipeBy = ptr(at(4.5))
	assert.Equal(t, "last section on 14:00, wiped by 14:30", lastStart(w))
	w.SectionM2 = f(6)
	assert.Equal(t, "last section on 14:00", lastStart(w), "what is washed is not wiped off")
	w.LastSection = ptr(at(15))
	assert.Equal(t, "last section on Wed 9 Sep 01:00", plainly(lastStart(w)), "on another day with its day")
}

// When it is wet again is told with what by; what is washed does not mind.
func TestWhenItIsWetAgain(t *testing.T) {
	w := answer.Window{From: six, To: six.Add(time.Hour)}
	assert.Equal(t, "no water in sight after it", wetAgain(w))
	w.WetAt = ptr(six.Add(9 * time.Hour))
	assert.Equal(t, "no water in sight after it", wetAgain(w), "nobody knows by what")
	w.WetBy = "dew"
	assert.Equal(t, "wet again 19:00 (dew)", wetAgain(w))
	w.SectionM2 = f(3)
	assert.Empty(t, wetAgain(w))
}

// What a product asks for once it is on is told where it asks for anything.
func TestWhatAProductAsksForAfterwards(t *testing.T) {
	for want, w := range map[string]answer.Window{
		"": {}, "4 h without rain": {RainFreeH: f(4)}, "40 min without dew": {DewFreeH: f(2.0 / 3), RainFreeH: f(0)},
		"12 h without rain and 6 h 30 without dew": {RainFreeH: f(12), DewFreeH: f(6.5)},
	} {
		assert.Equal(t, want, plainly(after(w)))
	}
}

// A day without a window says what takes most of its hours, at its worst; the calendar's
// own hours need no explaining.
func TestWhatStandsAgainstADay(t *testing.T) {
	at := func(h int) time.Time { return six.Add(time.Duration(h) * time.Hour) }
	no := func(limit string, value, bound float64, unit string, from, to int) span {
		return span{From: at(from), To: at(to), State: "no-go", Binding: answer.Binding{Limit: limit, Value: &value, Bound: &bound, Unit: unit}}
	}
	why, state := si.against(nil)
	assert.Equal(t, "outside working hours no-go", why+" "+state)
	why, _ = si.against([]span{no("wind_max", 9, 8, "m/s", 0, 1), no("humidity_max", 90, 85, "%", 1, 5), no("wind_max", 12, 8, "m/s", 5, 7)})
	assert.Contains(t, plainly(why), "90 %", "four hours of damp outweigh three of wind")
	why, _ = si.against([]span{no("wind_max", 9, 8, "m/s", 0, 1), no("wind_max", 12, 8, "m/s", 5, 7), no("humidity_max", 90, 85, "%", 1, 2)})
	assert.Contains(t, plainly(why), "at worst wind 12 m/s", "of one limit the furthest past its bound, and said to be that")
	why, _ = si.against([]span{no("wind_max", 9, 8, "m/s", 0, 1), no("wind_max", 9, 8, "m/s", 5, 7)})
	assert.NotContains(t, why, "worst")
}

// Of zones that share a line the strictest is told: the least share, which is said, the
// earliest last start and water, the widest temperatures, the limit furthest past its bound.
func TestTheRankingTellsTheStrictestOfAGroup(t *testing.T) {
	at := func(h int) *time.Time { return ptr(six.Add(time.Duration(h) * time.Hour)) }
	block := func(h int, c float64) *answer.Block {
		return &answer.Block{From: *at(h), To: *at(h + 2), Confidence: c}
	}
	of := func(zone string, best *answer.Block, last, wet int, by string, warm float64) answer.Window {
		return answer.Window{Step: "seal", Zone: zone, State: "marginal", From: *at(1), To: *at(7), LastStart: *at(last), WetAt: at(wet), WetBy: by, Best: best,
			SurfaceC: &[2]float64{warm - 5, warm}, Binding: answer.Binding{Limit: "surface_max", Value: f(warm), Bound: f(30), Unit: "°C"}}
	}
	rank := func(x ...answer.Window) ranked {
		list, more := si.ranking(&answer.Week{Source: answer.Source{Members: 30}, Windows: x}, "seal", 1)
		require.Zero(t, more)
		require.Len(t, list, 1)
		return list[0]
	}
	a, b := of("port side", block(2, 0.9), 6, 12, "dew", 31), of("transom", block(2, 0.4), 5, 9, "rain", 33)
	r := rank(a, b)
	assert.Equal(t, []string{"port side", "transom"}, r.Zones)
	assert.Equal(t, "only 12 of 30 forecasts", plainly(r.Sure), "not the first zone's 27")
	assert.True(t, r.Least)
	assert.Equal(t, "last start 15:00", r.Last)
	assert.Equal(t, "wet again 19:00 (rain)", r.Wet)
	assert.Equal(t, "Panel 26–33 °C", plainly(r.Panel), "of all zones, as on the screen")
	assert.Contains(t, plainly(r.Because), "33 °C")
	assert.Equal(t, "12:00", clock(r.Block.From))
	assert.False(t, r.Blocks)

	b.Best = block(3, 0.9)
	r = rank(a, b)
	assert.Nil(t, r.Block, "each has its own")
	assert.True(t, r.Blocks)
	assert.False(t, r.Least)
	assert.Equal(t, "27 of 30 forecasts", plainly(r.Sure))
	r = rank(a)
	assert.False(t, r.Least || r.Blocks)
}

// A yes is asked for with all that it is for, and a block that begins before the work ahead
// of it can be done says so: in the ranking, and hour by hour on the page of the day.
func TestTheWholeOfAYes(t *testing.T) {
	also := func(w *answer.Week) {
		w.Windows = slices.Clone(w.Windows)
		for i := range w.Windows {
			x := &w.Windows[i]
			x.State, x.Binding = "marginal", answer.Binding{Limit: "sunlight_max", Value: f(400), Bound: f(250), Unit: "W/m²"}
			x.Besides = []string{"the air is too cold"}
			x.Best = &answer.Block{From: x.From, To: x.To, State: "marginal", Confidence: 0.9}
			x.ReadyAt = ptr(x.To.AddDate(0, 0, 1))
		}
	}
	s := telling(t, "", func(d *tale) { d.week = also })
	says(t, s.main("/day/kittiwake/2026-09-08", http.StatusOK), "at most 250, and in other hours the air is too cold")
	week := s.main("/week/kittiwake", http.StatusOK)
	says(t, week, "the air is too cold. Panel", "The work before it takes until")

	a := answer.Window{Zone: "port side", State: "marginal", From: six, To: six.Add(3 * time.Hour), Best: &answer.Block{From: six}, ReadyAt: ptr(six.Add(2 * time.Hour))}
	r := si.rankedOf([]answer.Window{a}, answer.Source{})
	assert.Equal(t, clock(six.Add(2*time.Hour)), r.Ready)
	a.ReadyAt = ptr(six)
	assert.Empty(t, si.rankedOf([]answer.Window{a}, answer.Source{}).Ready, "the block begins with the work done")
}

// Hours that are go and ideal ones beside them are one window, as on the screen: the last
// section is the last of them all, and nobody stops where it turns from go to ideal.
func TestTheRankingJoinsWhatIsWorkedInOne(t *testing.T) {
	at := func(h int) time.Time { return six.Add(time.Duration(h) * time.Hour) }
	w := func(from, to, rank int, state string) answer.Window {
		return answer.Window{Step: "seal", Zone: "transom", From: at(from), To: at(to), State: state, Rank: rank, HazeMin: &[2]float64{20, 60},
			LastStart: at(to).Add(-10 * time.Minute), LastSection: ptr(at(to).Add(-10 * time.Minute)), WipeBy: ptr(at(to + 1))}
	}
	week := &answer.Week{Windows: []answer.Window{w(3, 7, 1, "ideal"), w(1, 3, 2, "go"), w(7, 8, 3, "marginal")}}
	list, more := si.ranking(week, "seal", 6)
	require.Zero(t, more)
	require.Len(t, list, 2)
	assert.Equal(t, "go", list[0].State)
	assert.Equal(t, [2]time.Time{at(1), at(7)}, [2]time.Time{list[0].From, list[0].To})
	assert.Equal(t, "last section on "+clock(at(7).Add(-10*time.Minute))+", wiped by "+clock(at(8)), list[0].Last)
	assert.Equal(t, "marginal", list[1].State, "what needs a yes stays apart")
}

// Windows of the same hours share a line of the ranking; what does not find room is
// counted, so that nothing is left out unsaid.
func TestTheRankingCountsWhatItLeavesOut(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := &answer.Week{Source: answer.Source{Members: 11}}
		mine := 0
		for i := range rapid.IntRange(0, 30).Draw(t, "windows") {
			h := rapid.IntRange(0, 5).Draw(t, "hour")
			step := rapid.SampledFrom([]string{"seal", "wash"}).Draw(t, "step")
			if step == "seal" {
				mine++
			}
			w.Windows = append(w.Windows, answer.Window{Step: step, Zone: fmt.Sprint(i), State: rapid.SampledFrom([]string{"go", "marginal"}).Draw(t, "state"),
				From: six.Add(time.Duration(h) * time.Hour), To: six.Add(time.Duration(h+1) * time.Hour), Confidence: 0.5})
		}
		most := rapid.IntRange(0, 8).Draw(t, "most")
		list, more := si.ranking(w, "seal", most)
		zones := 0
		for _, r := range list {
			zones += len(r.Zones)
			if (r.State == "marginal") != (r.Because != "") {
				t.Fatalf("%+v: a marginal one has a reason, others have none", r)
			}
		}
		if len(list) > most || zones+more != mine {
			t.Fatalf("%d lines with %d zones and %d more, of %d", len(list), zones, more, mine)
		}
	})
}

// Quantities that are not known are a dash, and lists of nobody are nothing.
func TestWordsForNothing(t *testing.T) {
	assert.Equal(t, "–", si.spread(nil))
	assert.Empty(t, si.extent(&[2]float64{1, inf}, "°C"))
	assert.Empty(t, answer.Listed(nil))
	assert.Empty(t, answer.Persons(nil))
	assert.Empty(t, stopped(""))
	assert.Equal(t, look{"unknown", "lost"}, fateState("lost"))
	assert.Equal(t, look{"unknown", "stands"}, fateState(answer.Unknown), "what is not known is never shown as go")
	assert.Equal(t, look{"marginal", "inspect"}, fateState("inspect"))
	assert.Equal(t, rankOf("unknown"), rankOf("a state of later"), "what is not known is no better than unknown")
	assert.Equal(t, answer.Gravity("unknown"), answer.Gravity("a level of later"))
	assert.Equal(t, "m²/h", si.unitWord("m²/h"))
	assert.Equal(t, "demo, 10 min old, one forecast varied into 30 futures", plainly(source(answer.Source{Name: "demo", AgeS: ptr(int64(600)), Members: 1, Dressed: 30})))
	assert.Equal(t, "≤ 85", plainly(si.band(&answer.ProductBand{Most: f(85)}, "%")))
	assert.Equal(t, "any", si.band(&answer.ProductBand{}, "%"))
}

// inf is more than any.
var inf = func() float64 { var zero float64; return 1 / zero }()

// weighing draws pictures of so many bytes for each zone.
func weighing(each int) func(draw.Options) draw.Picture {
	return func(o draw.Options) draw.Picture {
		rows := make([][]string, len(o.Zones))
		for i, z := range o.Zones {
			rows[i] = []string{z}
		}
		return draw.Picture{SVG: []byte(strings.Repeat("x", each*len(o.Zones)+o.Width/wide)), Title: "T", Table: draw.Table{Caption: "C.", Head: []string{"zone"}, Rows: rows}}
	}
}

// However many zones there are and however heavy each, the picture stays light, shows as
// many as it can, and says how many it leaves out. One alone is shown once where twice
// is too much.
func TestPicturesStayLight(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		zones := make([]string, rapid.IntRange(1, 60).Draw(t, "zones"))
		for i := range zones {
			zones[i] = fmt.Sprint("zone ", i)
		}
		each := rapid.IntRange(1, heaviest).Draw(t, "each")
		p := si.drawn("x", zones, weighing(each))
		weight := len(p.Wide) + len(p.Slim)
		shown := len(p.Slim) / each
		if weight > heaviest && shown > 1 {
			t.Fatalf("%d zones of %d weigh %d", shown, each, weight)
		}
		if shown == 0 || shown > mostZones {
			t.Fatalf("%d zones are shown", shown)
		}
		left := len(zones) - shown
		if (left > 0) != (p.Left != "") || left > 0 && !strings.Contains(p.Left, fmt.Sprintf("(%d)", left)) {
			t.Fatalf("%d of %d are left out: %q", left, len(zones), p.Left)
		}
	})
	assert.Nil(t, si.drawn("x", []string{"a"}, func(draw.Options) draw.Picture { return draw.Picture{} }), "nothing to be drawn")
	alone := si.drawn("x", []string{"a"}, weighing(heaviest-1))
	assert.Empty(t, alone.Wide, "one width has to do for all")
	assert.NotEmpty(t, alone.Slim)
}

// A table under a picture is told as far as it goes, and how far that is.
func TestFiguresOfAPicture(t *testing.T) {
	rows := make([][]string, mostFigures+7)
	p := shown(draw.Picture{SVG: []byte("wide")}, draw.Picture{SVG: []byte("slim!"), Title: "T", Table: draw.Table{Caption: "By the hour.", Rows: rows}}, 0)
	assert.Len(t, p.Rows, mostFigures)
	assert.Equal(t, "By the hour, the first 60 of 67 rows", p.Caption)
	assert.Empty(t, p.Left)
}

// many is a desk whose book has many answers.
type many struct {
	Desk
	list  []answer.BookAnswer
	plans map[int64]any
}

// Log has the answers.
func (m many) Log(context.Context, string) (*answer.BookList, error) {
	l := answer.NewBookList()
	l.Answers = m.list
	return l, nil
}

// AnswerBytes is one of them.
func (m many) AnswerBytes(_ context.Context, _ string, id int64) ([]byte, error) {
	if raw, ok := m.plans[id].(string); ok {
		return []byte(raw), nil
	}
	return json.Marshal(m.plans[id])
}

// The form after rain asks for each step on a zone once, by the newest plan that has it,
// looks at the last few plans only, and is not put off by answers that it cannot read.
func TestTheFormAsksForEachWorkOnce(t *testing.T) {
	block := func(step, zone string, h float64) answer.PlanBlock {
		from := six.Add(time.Duration(h * float64(time.Hour)))
		return answer.PlanBlock{Step: step, Zone: zone, From: from, To: from.Add(time.Hour), People: []int{1}, State: "go"}
	}
	d := many{plans: map[int64]any{
		9: answer.Week{Plan: &answer.Plan{Blocks: []answer.PlanBlock{block("seal", "port side", -2)}}}, 8: "{", 7: `{"plan": null}`,
		6: answer.Week{Plan: &answer.Plan{Blocks: []answer.PlanBlock{block("seal", "port side", -5), block("wash", "port side", -20)}}},
	}}
	for id := int64(9); id > 0; id-- {
		d.list = append(d.list, answer.BookAnswer{ID: id, Kind: map[bool]string{true: "morning", false: "week"}[id == 5]})
		if d.plans[id] == nil {
			d.plans[id] = answer.Week{Plan: &answer.Plan{Blocks: []answer.PlanBlock{block(fmt.Sprint("step ", id), "port side", -1)}}}
		}
	}
	s := small(t, func(c *Config) { d.Desk = c.Desk; c.Desk = d })
	var asked []string
	for _, n := range decent(t, "/move", s.get("/move/kittiwake").Body.String()).named("legend") {
		asked = append(asked, n.text())
	}
	assert.Equal(t, []string{"The rain", "Wash port side, Mon 7 Sep 14:00–15:00", "Seal port side, Tue 8 Sep 08:00–09:00", "Step 4 port side, Tue 8 Sep 09:00–10:00",
		"Step 3 port side, Tue 8 Sep 09:00–10:00", "Other work", "Look"}, asked, "in order of time; the sixth plan back is the last that is looked at")

	// Work is folded away, for after rain nobody reads through the whole of a day; what was
	// filled in and not taken stands open.
	page := s.get("/move/kittiwake").Body.String()
	assert.Equal(t, 5, strings.Count(page, `<details class="panel">`))
	assert.NotContains(t, page, `<details class="panel" open>`)
	page = s.post("/move/kittiwake", url.Values{"date": {"2026-09-08"}, "left.step.1": {"seal"}, "left.zone.1": {"port side"}, "left.how.1": {"hazing"},
		"left.step.0": {"wash"}, "left.zone.0": {"port side"}, "left.share.1": {"120"}}).Body.String()
	assert.Equal(t, 1, strings.Count(page, `<details class="panel" open>`))
	assert.Contains(t, page, "A share lies above 0 and at most at 100 %.")
}

// A place of the file that no form can change is told, with the way to change it, and the
// file stays as it is.
func TestAFileThatOnlyAHandCanChange(t *testing.T) {
	s := standOn(t, setup{texts: []string{strings.Replace(webtest.SmallJob, "steps:\n  - {do: seal, with: polymer-sealant}", "steps: [{do: seal, with: polymer-sealant}]", 1)}})
	before := s.text()
	for _, f := range []url.Values{{"op": {"add-step"}, "do": {"wash"}, "with": {"soap-wash"}}, {"op": {"remove-step"}, "index": {"0"}}} {
		f.Set("tag", s.tag())
		w := s.post("/job/kittiwake", f)
		assert.Equal(t, http.StatusUnprocessableEntity, w.Code)
		says(t, decent(t, "/job", w.Body.String()).text(), "written in a way that the form cannot change", "Change it in the text below.")
		assert.Equal(t, before, s.text())
	}
}

// What people wrote into the book is text on every page that shows it, whatever it looks
// like, and whoever wrote it.
func TestWhatWasWrittenIsText(t *testing.T) {
	s := small(t)
	ctx := t.Context()
	for _, note := range nasty[:7] {
		_, err := s.desk.LogDone(ctx, "kittiwake", desk.Work{Step: "seal", Zones: []string{"port side"}, At: "05:00", Share: 0.1, By: note, Note: note})
		require.NoError(t, err)
		_, err = s.desk.LogRain(ctx, "kittiwake", desk.Rain{From: "04:00", To: "04:30", Note: note})
		require.NoError(t, err)
	}
	for _, path := range []string{"/log/kittiwake", "/morning/kittiwake", "/move/kittiwake", "/week/kittiwake"} {
		w := s.get(path)
		require.Equal(t, http.StatusOK, w.Code, path)
		root := decent(t, path, w.Body.String())
		assert.Len(t, root.named("script"), 1, path)
		if path == "/log/kittiwake" {
			for _, note := range nasty[:7] {
				says(t, root.raw(), strings.ReplaceAll(note, "\u202e", "")) // what turns the line round is left out by the book
			}
			for _, n := range root.all(func(n *node) bool { return n.name == "ul" && n.attr["class"] == "entries" })[0].named("li") {
				assert.NotEmpty(t, n.named("bdi"), "letters that run the other way stay among themselves")
			}
		}
	}
}

// The log shows the newest of each list, and no more than a page can hold.
func TestALongLogStaysShort(t *testing.T) {
	s := small(t)
	for i := range mostLogged + 5 {
		_, err := s.desk.LogRain(t.Context(), "kittiwake", desk.Rain{From: fmt.Sprintf("03:%02d", i), To: fmt.Sprintf("04:%02d", i)})
		require.NoError(t, err)
	}
	root := decent(t, "/log", s.get("/log/kittiwake").Body.String())
	list := root.all(func(n *node) bool { return n.attr["class"] == "entries" })[0].elements()
	require.Len(t, list, mostLogged)
	assert.Equal(t, "Tue 8 Sep 03:44", list[0].named("time")[0].text(), "the newest first")
	assert.Equal(t, "Tue 8 Sep 03:05", list[mostLogged-1].named("time")[0].text())
}
