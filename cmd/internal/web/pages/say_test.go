package pages

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/text"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func f(x float64) *float64 { return &x }

var (
	si = voice{}
	us = voice{text.Options{Units: "us"}}
)

// plainly takes the ties between words away.
func plainly(s string) string { return strings.NewReplacer(nbsp, " ", dash, "–", shy, "").Replace(s) }

// A browser breaks no line between two hours, nor between two numbers.
func TestHoursStayTogether(t *testing.T) {
	at := time.Date(2026, time.September, 10, 13, 0, 0, 0, time.UTC)
	for _, s := range []string{hours(at, at.Add(time.Hour)), hours(at, at.Add(11*time.Hour)), hours(at, at.Add(20*time.Hour)),
		si.band(&answer.ProductBand{Least: f(10), Most: f(32)}, "°C"), ranges.ReplaceAllString("26-33 °C", "$1"+dash+"$2")} {
		assert.Regexp(t, "[0-9]"+dash, s)
	}
	assert.Equal(t, "07:00"+dash+"08:30 go, 08:30"+dash+"09:00 ideal, –", unbroken("07:00–08:30 go, 08:30–09:00 ideal, –"))
}

func TestQuantities(t *testing.T) {
	assert.Equal(t, "13.4 °C", plainly(si.temperature(f(13.4))))
	assert.Equal(t, "56 °F", plainly(us.temperature(f(13.4))))
	assert.Equal(t, "–", si.temperature(nil))
	assert.Equal(t, "-3", si.bare(f(-3), 0, "°C"))
	assert.Equal(t, "27", us.bare(f(-3), 0, "°C"))
	assert.Equal(t, "°F", us.unit("K"))
	assert.Equal(t, "mph", us.unit("m/s"))
	assert.Equal(t, "1.9 °C over dew point", plainly(si.spread(f(1.99))), "rounded to the strict side")
	assert.Equal(t, "0.8 °C below dew point", plainly(si.spread(f(-0.71))))
	assert.Equal(t, "4.6 °F over dew point", plainly(us.spread(f(2.6))), "4.68")
	assert.Equal(t, "0.6 °F below dew point", plainly(us.spread(f(-0.3))), "0.54")
	assert.Equal(t, "12 to 27 °C", plainly(si.extent(&[2]float64{12.9, 26.1}, "°C")))
	assert.Equal(t, "12 °C", plainly(si.extent(&[2]float64{12, 12}, "°C")))
	assert.Empty(t, si.extent(nil, "°C"))
	assert.Empty(t, si.prose(""))
	assert.Equal(t, "Dew point 3.6 °F higher.", us.sentence("dew point 2 K higher"))
}

func TestWhyNotTellsLikeDaysOnce(t *testing.T) {
	list := []string{"Mon 11 May: panel 45 °C, at most 32", "Tue 12 May: panel 46 °C, at most 32", "Wed 13 May: thunder"}
	assert.Equal(t, []string{"Mon 11 to Tue 12 May: panel 45 to 46 °C, at most 32.", "Wed 13 May: thunder."}, si.whyNot(list, nil))
	assert.Equal(t, "Mon 11 to Tue 12 May: panel 113 to 115 °F, at most 89.", us.whyNot(list, nil)[0])
	zones := []string{"port side", "transom", "foredeck"}
	assert.Equal(t, []string{"Mon 11 May: rain (all zones).", "Tue 12 May: rain (port side, transom)."},
		si.whyNot([]string{"Mon 11 May: rain (port side, transom, foredeck)", "Tue 12 May: rain (port side, transom)"}, zones))
}

func TestLimitsAloneAreRoundedToTheStrictSide(t *testing.T) {
	limit := func(v voice, name string, bound float64, unit string) string {
		return plainly(v.limit(answer.Binding{Limit: name, Bound: &bound, Unit: unit}))
	}
	assert.Equal(t, "panel over 36 °C", limit(si, "surface_max", 36, "°C"))
	assert.Equal(t, "panel over 96 °F", limit(us, "surface_max", 36, "°C"), "96.8 is 96: no later than the limit")
	assert.Equal(t, "panel under 47 °F", limit(us, "surface_min", 8, "°C"), "46.4 is 47: no earlier")
	assert.Equal(t, "panel under 3 °C over dew point and falling", limit(si, "spread_min", 3, "K"))
	assert.Equal(t, "gusts at height over 10 m/s", limit(si, "access", 10, "m/s"))
	assert.Equal(t, "wind over 8 m/s", limit(si, "wind_max", 8, "m/s"))
	assert.Equal(t, "humidity over 85 %", limit(si, "humidity_max", 85, "%"))
}

func TestHoursByTheClockAtThePlace(t *testing.T) {
	berlin, err := time.LoadLocation("Europe/Berlin")
	assert.NoError(t, err)
	at := func(d, h, m int) time.Time { return time.Date(2026, 10, d, h, m, 0, 0, berlin) }
	assert.Equal(t, "08:20–11:40", plainly(hours(at(24, 8, 20), at(24, 11, 40))))
	assert.Equal(t, "20:00–24:00", plainly(hours(at(24, 20, 0), at(25, 0, 0))), "the day on which the clocks go back begins")
	assert.Equal(t, "20:00–24:00", plainly(hours(at(25, 20, 0), at(26, 0, 0))), "and ends")
	assert.Equal(t, "20:00–Sun 25 Oct 01:00", plainly(hours(at(24, 20, 0), at(25, 1, 0))))
	assert.Equal(t, "2 h 40", plainly(lasting(2.661)))
	assert.Equal(t, "4 h", plainly(lasting(4)))
	assert.Equal(t, "0 min", plainly(lasting(-1)))
	n := func(s int64) *int64 { return &s }
	assert.Equal(t, "age not known", plainly(age(nil)))
	assert.Equal(t, "41 min old", plainly(age(n(2401))))
	assert.Equal(t, "3 h old", plainly(age(n(7201))))
	assert.Equal(t, "3 days old", plainly(age(n(2*86400+1))))
	assert.Equal(t, "0 min old", plainly(age(n(-5))))
}

func TestSure(t *testing.T) {
	assert.Equal(t, "9 of 11 forecasts", plainly(sure(9.0/11, answer.Source{Members: 11})))
	for n := 2; n <= 51; n++ { // an answer rounds its confidence to 0.001
		for k := range n + 1 {
			told := sure(math.Round(1000*float64(k)/float64(n))/1000, answer.Source{Members: n})
			assert.Equal(t, fmt.Sprintf("%d of %d forecasts", k, n), strings.TrimPrefix(plainly(told), "only "))
		}
	}
	assert.Equal(t, "29 of 30 futures", plainly(sure(0.99, answer.Source{Members: 1, Dressed: 30})), "rounded down")
	assert.Empty(t, sure(1, answer.Source{Members: 1}))
	assert.Equal(t, "nws x, age not known, stale, one forecast", plainly(source(answer.Source{Name: "nws", Model: "x", Stale: true, Members: 1})))
}

func TestSmallWords(t *testing.T) {
	assert.Equal(t, "a, b and c", answer.Listed([]string{"a", "b", "c"}))
	assert.Equal(t, "1+3", answer.Persons([]int{1, 3}))
	assert.Equal(t, "Éclair.", stopped(answer.Capital("éclair")))
	assert.Equal(t, look{"unknown", "odd"}, stateOf("odd"))
	assert.Equal(t, look{"no-go", "no plan"}, stateOf("none"))
	assert.Equal(t, look{"wait", "new"}, fateState("added"))
	assert.Equal(t, "≥ 3", plainly(si.band(&answer.ProductBand{Least: f(3)}, "K")))
	assert.Equal(t, "≥ 5.4", plainly(us.band(&answer.ProductBand{Least: f(3)}, "K")))
	assert.Equal(t, "50–90", plainly(us.band(&answer.ProductBand{Least: f(10), Most: f(32)}, "°C")))
	assert.Equal(t, "-5 to 25", plainly(si.band(&answer.ProductBand{Least: f(-5), Most: f(25)}, "°C")))
	assert.Equal(t, "any", si.band(nil, "h"))
	_, err := dict("a")
	assert.Error(t, err)
	_, err = dict(1, 2)
	assert.Error(t, err)
	assert.Equal(t, strings.Repeat("x", 80)+"…", brief(strings.Repeat("x", 81)))
}

func TestCautionsAreGatheredAndOrdered(t *testing.T) {
	at := func(h int) *time.Time { t := six.Add(time.Duration(h) * time.Hour); return &t }
	list := []answer.Caution{
		{Kind: "slips", Level: "note", Text: "Slips: soap underfoot." + answer.Deferral, Source: "common practice"},
		{Kind: "uv", Level: "caution", Text: "Strong enough to burn." + answer.Deferral, From: at(3), To: at(5), Value: f(5.6)},
		{Kind: "uv", Level: "caution", Text: "Strong enough to burn." + answer.Deferral, From: at(27), To: at(29), Value: f(6.4)},
		{Kind: "thunder", Level: "danger", Text: "Thunder.", From: at(1), To: at(2)},
		{Kind: "wbgt", Level: "unknown", Text: "Heat could not be judged."},
	}
	got := si.cautions(list)
	assert.Len(t, got, 4)
	assert.Equal(t, []string{"danger", "caution", "not judged", "note"}, []string{got[0].Level, got[1].Level, got[2].Level, got[3].Level})
	assert.Equal(t, "Every day Tue 8 Sep to Wed 9 Sep, 13:00–15:00 (UV index 6)", plainly(got[1].Times))
	assert.Equal(t, "Strong enough to burn.", got[1].Text, "the answer.Deferral is said once, over all of them")
	assert.Empty(t, got[3].Times)
}

// A forecast with many gaps has one caution for them all; few stand by themselves.
func TestCautions_ManyGapsInOne(t *testing.T) {
	at := func(h int) *time.Time { t := six.Add(time.Duration(h) * time.Hour); return &t }
	unknown := func(kind, lacks string, from int) answer.Caution {
		return answer.Caution{Kind: kind, Level: "unknown", Text: "Not judged, " + kind + ": the forecast lacks " + lacks + ". Judge it on the spot.", From: at(from), To: at(from + 2),
			Unjudged: &answer.Unjudged{Hazard: kind, Why: "the forecast lacks " + lacks, Lacks: lacks}}
	}
	list := []answer.Caution{unknown("uv", "the UV index", 1), unknown("uv", "the UV index", 25), unknown("ice", "air temperature", 2)}
	assert.Len(t, si.cautions(list), 2)
	got := si.cautions(append(list, unknown("gust", "gusts", 3), answer.Caution{Kind: "slips", Level: "note", Text: "Slips."}))
	require.Len(t, got, 2)
	assert.Equal(t, "not judged", got[0].Level)
	assert.Equal(t, "Behind each stands what the forecast lacks: UV every day Tue 8 Sep to Wed 9 Sep, 11:00–13:00 (the UV index); "+
		"ice Tue 8 Sep 12:00–14:00 (air temperature); gusts Tue 8 Sep 13:00–15:00 (gusts). Judge them on the spot.", plainly(got[0].Text))
}

// A page is as short as the screen: what one product asks for is one caution, and so is what
// one cause kept from being judged; a hazard's lesser level does not say the same again.
func TestCautions_NothingTwice(t *testing.T) {
	at := func(h int) *time.Time { t := six.Add(time.Duration(h) * time.Hour); return &t }
	old := &answer.Unjudged{Why: "the forecast is 2 days old"}
	const shade = "shade for the breaks, water by the cup, and watch one another."
	got := si.cautions([]answer.Caution{
		{Kind: "product", Level: "note", Text: "soap wash: decks are slippery." + answer.Deferral, Source: "the class"},
		{Kind: "product", Level: "note", Text: "soap wash: keep the run-off in." + answer.Deferral, Source: "the class"},
		{Kind: "thunder", Level: "unknown", Unjudged: old, Source: "a fact sheet", From: at(1), To: at(3)},
		{Kind: "gust", Level: "unknown", Unjudged: old, From: at(1), To: at(3)},
		{Kind: "wbgt", Level: "warning", Text: "Heat for anybody: " + shade, Source: "NIOSH", From: at(1), To: at(2), Value: f(31), Unit: "°C"},
		{Kind: "wbgt", Level: "caution", Text: "Heat for the unused: " + shade, Source: "NIOSH", From: at(2), To: at(3), Value: f(29), Unit: "°C"},
	})
	var said []string
	for _, c := range got {
		said = append(said, strings.ReplaceAll(plainly(c.Level+": "+c.Text+" "+c.Times+" ["+c.Source+"]"), "  ", " "))
	}
	assert.Equal(t, []string{
		"warning: Heat for anybody: " + shade + " Tue 8 Sep 11:00–12:00 (WBGT 31.0 °C) [NIOSH]",
		"caution: Heat for the unused: as above. Tue 8 Sep 12:00–13:00 (WBGT 29.0 °C) []",
		"not judged: Thunder, gusts: the forecast is 2 days old. Judge it on the spot. Tue 8 Sep 11:00–13:00 []",
		"note: Soap wash: decks are slippery; keep the run-off in. [the class]",
	}, said)
}

func TestStretchesJoinAndGroup(t *testing.T) {
	at := func(h int) time.Time { return six.Add(time.Duration(h) * time.Hour) }
	w := func(zone string, from, to int, state string, rank int) answer.Window {
		return answer.Window{Zone: zone, From: at(from), To: at(to), State: state, Rank: rank, Confidence: 1 - float64(rank)/10}
	}
	got := stretches([]answer.Window{w("b", 1, 3, "go", 1), w("a", 3, 5, "ideal", 2), w("a", 1, 3, "go", 3), w("b", 3, 5, "go", 4), w("c", 0, 9, "marginal", 5)})
	assert.Equal(t, []stretch{{Zones: []string{"b", "a"}, From: at(1), To: at(5), State: "go", Sure: 0.8, rank: 1}}, got)
	assert.Len(t, stretches([]answer.Window{w("c", 0, 9, "marginal", 5)}), 1, "marginal ones where there are none better")
	assert.Empty(t, stretches(nil))
	short := w("c", 2, 3, "go", 6)
	short.Short = true
	got = stretches([]answer.Window{w("c", 0, 2, "marginal", 5), short, w("c", 3, 9, "marginal", 7)})
	require.Len(t, got, 1, "a good hour too short for a block is part of the marginal ones")
	assert.Equal(t, "marginal", got[0].State)
	assert.Equal(t, at(9), got[0].To)
}

func TestStretchesKeepTheTimeOfEachZone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var ws []answer.Window
		want := map[string]time.Duration{}
		for z := range rapid.IntRange(1, 4).Draw(t, "zones") {
			zone, at := string(rune('a'+z)), 0
			for range rapid.IntRange(1, 5).Draw(t, "windows") {
				at += rapid.IntRange(0, 3).Draw(t, "gap")
				n := rapid.IntRange(1, 4).Draw(t, "length")
				ws = append(ws, answer.Window{Zone: zone, From: six.Add(time.Duration(at) * time.Hour), To: six.Add(time.Duration(at+n) * time.Hour),
					State: rapid.SampledFrom([]string{"ideal", "go"}).Draw(t, "state"), Rank: len(ws)})
				want[zone] += time.Duration(n) * time.Hour
				at += n
			}
		}
		got := map[string]time.Duration{}
		for _, s := range stretches(ws) {
			for _, z := range s.Zones {
				got[z] += s.To.Sub(s.From)
			}
		}
		assert.Equal(t, want, got)
	})
}

// "All zones" are all on which the step is left to do: who reads it would begin on one that
// is not for today.
func TestWhat_AllZones(t *testing.T) {
	m := &answer.Morning{}
	for _, z := range []string{"port side", "transom", "foredeck"} {
		m.Steps = append(m.Steps, answer.MorningStep{Step: "wash", Zone: z, State: "go", Asked: true})
	}
	any := func(answer.MorningStep) bool { return true }
	assert.Equal(t, "wash all zones", what(m, any))
	m.Steps = append(m.Steps, answer.MorningStep{Step: "wash", Zone: "helm", State: "go"})
	assert.Equal(t, "wash port side, transom and foredeck", what(m, any))
	m.Steps[3].Done = true
	assert.Equal(t, "wash all zones", what(m, any))
}

// A number stays with its unit, whatever the width of the page.
func TestTogether(t *testing.T) {
	assert.Equal(t, "panel 2.6"+nbsp+"°C over dew point, 50"+nbsp+"g/m², at most 1, dry 0.5"+nbsp+"h since the wash", together("panel 2.6 °C over dew point, 50 g/m², at most 1, dry 0.5 h since the wash"))
}

// The preset's long word is parted with a hyphen where a tile has no room for it; other names
// stay as they were written.
func TestHyphened(t *testing.T) {
	assert.Equal(t, "super"+shy+"structure front", hyphened("superstructure front"))
	assert.Equal(t, "port side", hyphened("port side"))
	page := standing(t, nil).get("/job/kittiwake").Body.String()
	for _, tile := range []string{"<bdi>super" + shy + "structure front</bdi></a>", "<bdi>super" + shy + "structure side</bdi></a>"} {
		assert.Contains(t, page, tile)
	}
	assert.Contains(t, page, "<h3><bdi>superstructure front</bdi></h3>", "there is room")
}
