package text

import (
	"bytes"
	"strings"
	"testing"

	"dewgap/cmd/internal/answer"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// booked is a plan of two days with everything that a block can say.
func booked() *answer.Plan {
	return &answer.Plan{
		State: "marginal", Confidence: 0.8, Consents: 1, Days: 2,
		Why: []string{"3 blocks on 2 days, done Fri 11 Sep 11:00", "proven best in consent; not proven in days: it takes at least 1 day"},
		Blocks: []answer.PlanBlock{
			{
				From: at("10 08:20"), To: at("10 10:40"), Step: "wash", Product: "soap-wash", Zone: "port side", People: []int{1, 2}, State: "ideal",
				FloodRinse: true, SectionM2: ptr(7.34), RewetMin: ptr(8.6), HazeMin: &[2]float64{2, 5}, WipeBy: ptr(at("10 10:45")),
				Reason: "in the shade of the port side, panel 13 to 14 °C, 4 K over dew point",
			},
			{
				From: at("10 10:50"), To: at("10 13:00"), Step: "seal", Product: "polymer-sealant", Zone: "port side", People: []int{2}, State: "go",
				Coat: 1, Coats: 2, Part: 2, Parts: 3, HazeMin: &[2]float64{20, 40}, WipeBy: ptr(at("10 13:40")),
				Reason: "in the sun of the port side, panel 19 to 21 °C, dry 2.3 h since the wash",
			},
			{
				From: at("11 07:00"), To: at("11 11:00"), Step: "seal", Product: "polymer-sealant", Zone: "foredeck", People: []int{1}, State: "marginal",
				NeedsConsent: true, ConsentFor: "rain follows too soon", Reason: "marginal: rain follows too soon, panel 8 to 9 °C",
			},
		},
	}
}

// The plan stands right below the answer, by day, a line for a block and one for
// its reason.
func TestPlanTimeline(t *testing.T) {
	a := lateSummer(t)
	a.Plan = booked()
	page := weekPage(t, a, metric)
	keepsTheRules(t, page, metric)
	want := strings.TrimPrefix(`
THE PLAN  ! MARGINAL  in 24 of 30 futures
  3 blocks on 2 days, done Fri 11 Sep 11:00.
  Proven best in consent; not proven in days: it takes at least 1 day.
  It waits for your yes: accept: marginal in the job file says it.
  Thu 10 Sep · mind heat 11:00-15:00
  * ideal    08:20-10:40  1+2  wash, port side, soap-wash
             salt on the panel: flood rinse first; 7.3 m² at a time,
             re-wet every 8 min
             in the shade, panel 13 to 14 °C, 4 °C over dew point
  + go       10:50-13:00  2    seal, port side, polymer-sealant
             coat 1 of 2; part 2 of 3; haze 20-40 min, wiped by 13:40
             in the sun, panel 19 to 21 °C, dry 2.3 h since the wash
  Fri 11 Sep · mind heat 12:00-14:30
  ! marginal 07:00-11:00  1    seal, foredeck, polymer-sealant
             needs your yes
             marginal: rain follows too soon, panel 8 to 9 °C
`, "\n")
	assert.Contains(t, page, want)
	assert.Less(t, strings.Index(page, "Why not"), strings.Index(page, "THE PLAN"))
	assert.Less(t, strings.Index(page, "THE PLAN"), strings.Index(page, "SEAL with"))
	assert.NotContains(t, weekPage(t, lateSummer(t), metric), "THE PLAN", "none, none shown")
	a.Plan.Accepted = true
	page = weekPage(t, a, metric)
	assert.Contains(t, page, "THE PLAN  ! MARGINAL")
	assert.NotContains(t, page, "It waits for your yes", "the job has it")
	assert.NotContains(t, page, "needs your yes")
	assert.Contains(t, page, "with your yes")
}

// Whoever has to say yes reads what for to the end, however narrow the screen.
func TestPlan_TheReasonIsNotCutOff(t *testing.T) {
	a := lateSummer(t)
	a.Plan = booked()
	a.Plan.Blocks[2].Reason = "marginal: it is not cured through by the launch, in the shade of the foredeck, panel 19 to 21 °C, 10 K over dew point, dry 2.3 h since the wash"
	page := strings.Join(strings.Fields(weekPage(t, a, metric)), " ")
	assert.Contains(t, page, "marginal: it is not cured through by the launch, in the shade, panel 19 to 21 °C, 10 °C over dew point, dry 2.3 h since the wash")
}

// A day tells to mind what is known to come, and says apart what nobody judged.
func TestPlanDay_NotJudged(t *testing.T) {
	caution := func(kind, level, from, to string) answer.Caution {
		return answer.Caution{Kind: kind, Level: level, From: ptr(at(from)), To: ptr(at(to))}
	}
	p := newPage(metric)
	list := []answer.Caution{
		caution("wbgt", "unknown", "10 07:00", "10 12:00"), caution("heat-index", "unknown", "10 07:00", "10 12:00"),
		caution("ice", "unknown", "10 07:00", "10 12:00"), caution("thunder", "unknown", "10 07:00", "10 18:00"),
		caution("uv", "unknown", "10 07:00", "10 12:00"), caution("uv", "caution", "10 12:00", "10 17:00"),
	}
	assert.Equal(t, " · mind UV 12:00-17:00 · not judged 07:00-12:00 heat, ice, UV · not judged 07:00-18:00 thunder", untie(p.mind(at("10 00:00"), list)))
	assert.Equal(t, " · not judged 07:00-18:00 thunder", untie(p.mind(at("10 00:00"), list[3:4])), "nothing known is nothing to mind")
	assert.Empty(t, p.mind(at("11 00:00"), list))
}

// A hazard is told once with all its hours, and those of its worst.
func TestPlanDay_HoursThatTouchAreOne(t *testing.T) {
	caution := func(kind, level, from, to string) answer.Caution {
		return answer.Caution{Kind: kind, Level: level, From: ptr(at(from)), To: ptr(at(to))}
	}
	mind := func(list ...answer.Caution) string { return untie(newPage(metric).mind(at("10 00:00"), list)) }
	heat := []answer.Caution{
		caution("wbgt", "caution", "10 07:00", "10 09:00"), caution("wbgt", "warning", "10 09:00", "10 16:00"),
		caution("wbgt", "danger", "10 16:00", "10 17:00"), caution("wbgt", "caution", "10 17:00", "10 20:00"),
	}
	assert.Equal(t, " · mind heat 07:00-20:00, danger 16:00-17:00", mind(heat...))
	also := caution("heat-index", "caution", "10 10:00", "10 15:00")
	assert.Equal(t, " · mind heat 07:00-20:00, danger 16:00-17:00", mind(append(heat, also)...), "one heat, whatever index tells it")
	assert.Equal(t, " · mind heat 07:00-09:00, 17:00-20:00", mind(heat[0], heat[3]), "a gap stays one, and one level needs no word")
	assert.Equal(t, " · mind heat 07:00-09:00; UV 10:00-12:00", mind(heat[0], caution("uv", "warning", "10 10:00", "10 12:00")))
}

func TestPlanInFahrenheit(t *testing.T) {
	a := lateSummer(t)
	a.Plan = booked()
	page := weekPage(t, a, us)
	assert.Contains(t, page, "79 sq ft at a time")
	assert.Contains(t, page, "panel 55 to 57 °F, 7.2 °F over dew point")
}

// A plan that could not be made says why, and books nothing.
func TestNoPlan(t *testing.T) {
	a := lateSummer(t)
	a.Plan = &answer.Plan{State: "none", Why: []string{"seal on foredeck has no place: too windy in 80 % of the crew's hours"}}
	page := weekPage(t, a, metric)
	assert.Contains(t, page, "THE PLAN  x NONE\n  Seal on foredeck has no place: too windy in 80 % of the crew's hours.\n")
}

// Whatever names people give, a block keeps to its lines and the page to 80
// columns.
func TestPlanKeepsTheRules(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := booked()
		for i := range p.Blocks {
			b := &p.Blocks[i]
			b.Zone, b.Step = rapid.String().Draw(t, "zone"), rapid.String().Draw(t, "step")
			b.Product, b.Reason = rapid.String().Draw(t, "product"), rapid.String().Draw(t, "reason")
			b.People = rapid.SliceOfN(rapid.IntRange(1, 12), 0, 12).Draw(t, "people")
		}
		pg := newPage(metric)
		pg.plan(&answer.Week{Plan: p})
		keepsTheRules(t, strings.TrimPrefix(pg.b.String(), "\n"), metric)
	})
}

func reads(kind string, used bool, text, reason string) answer.ReadingTaken {
	return answer.ReadingTaken{At: at("10 06:12"), Kind: kind, Used: used, Text: text, Reason: reason}
}

// What was used, what to mind and what was not believed stand apart, with reasons.
func TestReadings(t *testing.T) {
	p := newPage(us)
	p.readings(&answer.Morning{Readings: []answer.ReadingTaken{
		reads("air", true, "06:10 air 15.0 °C (forecast 12.0 °C)", ""), reads("wet", true, "06:12 port side wet", ""),
		reads("humidity", true, "06:10 humidity 91 %", "above the air"), reads("surface", false, "06:12 port side 60.0 °C by contact", "hotter than 35.0 °C"),
	}})
	assert.Equal(t, "You read: 06:10 air 59 °F (forecast 54 °F); 06:12 port side wet.\n"+
		"Mind: 06:10 humidity 91 %: above the air.\n"+
		"Not used: 06:12 port side 140 °F by contact: hotter than 95 °F.\n", p.b.String())
}

func TestInserted(t *testing.T) {
	m := &answer.Morning{Inserted: []answer.Inserted{{Zone: "port side", Text: "salt: rinse"}, {Zone: "foredeck", Text: "salt: rinse"}},
		Readings: []answer.ReadingTaken{reads("salt", true, "06:12 salt", "flood rinse")}}
	for _, z := range []string{"port side", "foredeck", "transom", "helm"} {
		m.Steps = append(m.Steps, answer.MorningStep{Step: "wash", Zone: z})
	}
	p := newPage(metric)
	p.readings(m)
	p.inserted(m)
	assert.Equal(t, "You read: 06:12 salt.\nFIRST  port side, foredeck: salt: rinse.\n", p.b.String())
}

func TestBookPage(t *testing.T) {
	head := answer.BookJob{Job: "Clean", Boat: "Kittiwake"}
	list := answer.NewBookList()
	list.File = "book.sqlite"
	var out bytes.Buffer
	require.NoError(t, Book(&out, list, metric))
	assert.Contains(t, out.String(), "No answers yet")
	list.Answers = []answer.BookAnswer{{ID: 12, Kind: "week", BookJob: head, At: at("7 06:00"), Verdict: "go", Program: "v1"}}
	list.Done = []answer.Entry{{ID: 3, BookJob: head, At: at("7 09:00"), Text: "wash on foredeck"}}
	list.Readings = []answer.Entry{{ID: 4, BookJob: head, At: at("7 09:10"), Text: "air 15.0 °C"}}
	out.Reset()
	require.NoError(t, Book(&out, list, us))
	keepsTheRules(t, out.String(), us)
	assert.Contains(t, out.String(), "   12  week    Mon 7 Sep 06:00 + GO Kittiwake, Clean, by dewgap v1\n")
	assert.Contains(t, out.String(), "WORK DONE\n    3  Mon 7 Sep 09:00 wash on foredeck · Kittiwake, Clean\n")
	assert.Contains(t, out.String(), "air 59 °F")
	assert.NotContains(t, out.String(), "OUTCOMES")
}

func TestAgainPage(t *testing.T) {
	a := &answer.Again{ID: 2, Kind: "week", At: at("7 06:00"), Same: true, Program: answer.Change{Was: "v1", Is: "v1"},
		Catalogue: answer.Change{Was: "aaaaaaaaaaaaaaaa", Is: "bbbbbbbbbbbbbbbb"}}
	var out bytes.Buffer
	require.NoError(t, Again(&out, a, metric))
	assert.Equal(t, "Answer 2, week for Mon 7 Sep 06:00, worked out anew:\n  program v1, as it was\n"+
		"  catalogue was aaaaaaaaaaaa…, is bbbbbbbbbbbb…\nThe same, to the byte.\n", out.String())
	a.Same = false
	for range 50 {
		a.Differences = append(a.Differences, answer.Difference{Path: "windows.0.to", Was: "10:00", Is: nil})
	}
	out.Reset()
	require.NoError(t, Again(&out, a, metric))
	keepsTheRules(t, out.String(), metric)
	assert.Contains(t, out.String(), "50 places differ:\n  windows.0.to: was 10:00, is nothing\n")
	assert.Contains(t, out.String(), "and 10 more; --json lists all")
}
