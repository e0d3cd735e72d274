package feed

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/products"
	"dewgap/window/crew"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func catalogue(t testing.TB) *products.Set {
	set, err := products.Catalogue()
	require.NoError(t, err)
	return set
}

var kittiwake = answer.PlanOf{
	Job: "Clean and seal", Boat: "Kittiwake", Now: time.Date(2026, 9, 8, 6, 0, 0, 0, time.FixedZone("", -4*3600)),
	Place: answer.Place{Name: "Otter Quay"}, Source: answer.Source{Name: "demo", Attribution: "invented"},
}

// block is a block of a plan of that hour, an hour long.
func block(t testing.TB, step, zone, from string) answer.PlanBlock {
	at := moment(t, from)
	return answer.PlanBlock{
		From: at, To: at.Add(time.Hour), WorkTo: at.Add(50 * time.Minute), Step: step, Zone: zone, Product: "soap-wash",
		People: []int{1, 2}, State: "go", Confidence: 0.876, Coat: 1, Coats: 1, Part: 1, Parts: 1, PersonHours: 1.5, Reason: "in the shade",
	}
}

func version(t testing.TB, at string, blocks ...answer.PlanBlock) answer.PlanVersion {
	return answer.PlanVersion{At: moment(t, at), Plan: &answer.Plan{Blocks: blocks}, Of: kittiwake}
}

// planned is a plan with a block, a stint and another block.
func planned(t testing.TB) answer.PlanVersion {
	return version(t, tue, block(t, "wash", "port side", thu), washOf(t, "rail, port", "10:00"), washOf(t, "helm", "10:10"), washOf(t, "foredeck", "10:20"),
		block(t, "seal", "port side", fri))
}

// told are the entries by summary: sequence, status and hours.
func told(in Input) []string {
	var out []string
	for _, e := range in.Events {
		out = append(out, fmt.Sprintf("%s | %d %s %s-%s", e.Summary, e.Sequence, e.Status(), e.From.Format("2 15:04"), e.To.Format("15:04")))
	}
	return out
}

const (
	tue, wed, thu, fri = "2026-09-08T06:00:00-04:00", "2026-09-09T06:00:00-04:00", "2026-09-10T08:00:00-04:00", "2026-09-11T08:00:00-04:00"
)

func TestAnEntryKeepsItsName(t *testing.T) {
	wash, seal := block(t, "wash", "port side", thu), block(t, "seal", "port side", fri)
	first := Of(Job{Versions: []answer.PlanVersion{version(t, tue, wash, seal)}})
	assert.Equal(t, []string{
		"Kittiwake: wash, port side | 0 confirmed 10 08:00-09:00", "Kittiwake: seal, port side | 0 confirmed 11 08:00-09:00",
	}, told(first))
	assert.Equal(t, moment(t, tue), first.Stamp)

	moved := block(t, "seal", "port side", "2026-09-12T08:00:00-04:00")
	second := Of(Job{Versions: []answer.PlanVersion{version(t, tue, wash, seal), version(t, wed, wash, moved)}})
	assert.Equal(t, []string{
		"Kittiwake: wash, port side | 0 confirmed 10 08:00-09:00", "Kittiwake: seal, port side | 1 confirmed 12 08:00-09:00",
	}, told(second))
	assert.Equal(t, first.Events[1].UID, second.Events[1].UID)
	assert.Equal(t, moment(t, tue), second.Events[0].Changed)
	assert.Equal(t, moment(t, wed), second.Events[1].Changed)
}

func TestWhatThePlanLeavesOutIsCalledOff(t *testing.T) {
	wash, seal := block(t, "wash", "port side", thu), block(t, "seal", "port side", fri)
	v := []answer.PlanVersion{version(t, tue, wash, seal), version(t, wed, wash)}
	assert.Equal(t, []string{
		"Kittiwake: wash, port side | 0 confirmed 10 08:00-09:00", "Called off: Kittiwake: seal, port side | 1 cancelled 11 08:00-09:00",
	}, told(Of(Job{Versions: v})))
	assert.Contains(t, string(written(t, Of(Job{Versions: v}))), "STATUS:CANCELLED\r\n")

	v = append(v, version(t, wed, wash)) // it is called off once
	assert.Equal(t, 1, Of(Job{Versions: v}).Events[1].Sequence)
	v = append(v, version(t, wed, wash, seal)) // and may come back
	assert.Equal(t, "Kittiwake: seal, port side | 2 confirmed 11 08:00-09:00", told(Of(Job{Versions: v}))[1])
	v = append(v, answer.PlanVersion{At: moment(t, wed), Of: kittiwake}) // a plan that could not be made has nothing
	assert.Equal(t, "Called off: Kittiwake: seal, port side | 3 cancelled 11 08:00-09:00", told(Of(Job{Versions: v}))[1])
}

// What had begun before a version was made is not called off by it: it was done.
func TestWhatHasBegunStays(t *testing.T) {
	wash, seal := block(t, "wash", "port side", thu), block(t, "seal", "port side", fri)
	v := []answer.PlanVersion{version(t, tue, wash, seal), version(t, "2026-09-10T08:30:00-04:00", seal)}
	assert.Equal(t, "Kittiwake: wash, port side | 0 confirmed 10 08:00-09:00", told(Of(Job{Versions: v}))[0])
	v[1].At = moment(t, thu) // at its very beginning it had not
	assert.Equal(t, "Called off: Kittiwake: wash, port side | 1 cancelled 10 08:00-09:00", told(Of(Job{Versions: v}))[0])
	late := moment(t, fri).Add(keepPast)
	v = append(v, answer.PlanVersion{At: late, Plan: &answer.Plan{}, Of: kittiwake})
	assert.Len(t, told(Of(Job{Versions: v})), 1, "what is long over goes")
}

// Each of these is a change in earnest, and of a kind that people see.
func TestWhatCounts(t *testing.T) {
	was := block(t, "seal", "port side", fri)
	for name, change := range map[string]func(*answer.PlanBlock){
		"hours":   func(b *answer.PlanBlock) { b.To = b.To.Add(10 * time.Minute) },
		"people":  func(b *answer.PlanBlock) { b.People = []int{2} },
		"product": func(b *answer.PlanBlock) { b.Product = "polymer-sealant" },
		"consent": func(b *answer.PlanBlock) { b.NeedsConsent = true },
		"parts":   func(b *answer.PlanBlock) { b.Parts = 2 },
	} {
		is := was
		change(&is)
		got := Of(Job{Versions: []answer.PlanVersion{version(t, tue, was), version(t, wed, is)}})
		require.Len(t, got.Events, 1, name)
		assert.Equal(t, 1, got.Events[0].Sequence, name)
	}
	is := was
	is.Reason, is.Confidence, is.PersonHours = "in the sun", 0.5, 2
	got := Of(Job{Versions: []answer.PlanVersion{version(t, tue, was), version(t, wed, is)}})
	assert.Equal(t, 0, got.Events[0].Sequence, "words alone do not count")
	assert.Contains(t, got.Events[0].Description, "in the sun", "but are shown")
}

func TestBlocksAreToldApart(t *testing.T) {
	a := block(t, "seal", "port side", fri)
	second, part, redo, other := a, a, a, a
	second.Coat, second.Coats = 2, 2
	part.Part, part.Parts = 2, 2
	redo.Redo = true
	other.Zone = "starboard side"
	in := Of(Job{Versions: []answer.PlanVersion{version(t, tue, a, second, part, redo, other, a)}})
	uids := map[string]bool{}
	var summaries []string
	for _, e := range in.Events {
		uids[e.UID] = true
		summaries = append(summaries, e.Summary)
	}
	assert.Len(t, uids, 6, "even one that is there twice")
	for _, want := range []string{"coat 2 of 2", "part 2 of 2", "to be redone", "starboard side"} {
		assert.True(t, slices.ContainsFunc(summaries, func(s string) bool { return strings.Contains(s, want) }), want)
	}
	mine, theirs := kittiwake, kittiwake
	theirs.Boat = "Tern"
	uid := func(of answer.PlanOf) string {
		v := version(t, tue, a)
		v.Of = of
		return Of(Job{Versions: []answer.PlanVersion{v}}).Events[0].UID
	}
	assert.NotEqual(t, uid(mine), uid(theirs), "another boat's")
}

func TestConsentIsTentative(t *testing.T) {
	b := block(t, "seal", "port side", fri)
	b.NeedsConsent, b.State = true, "marginal"
	v := version(t, tue, b)
	e := Of(Job{Versions: []answer.PlanVersion{v}}).Events[0]
	assert.Equal(t, "tentative", e.Status())
	assert.Contains(t, e.Summary, "needs your yes")
	assert.Contains(t, e.Description, "State: marginal, needs your yes")
	v.Accepted = true
	e = Of(Job{Versions: []answer.PlanVersion{v}}).Events[0]
	assert.Equal(t, "confirmed", e.Status())
	assert.NotContains(t, e.Description, "yes")
}

// A label looser than its class's hard bound is told with each block that it is used for.
func TestOwnLimitsAreTold(t *testing.T) {
	seal, wash := block(t, "seal", "port side", fri), block(t, "wash", "port side", thu)
	seal.Product, wash.Product = "my-sealant", "soap-wash"
	v := version(t, tue, wash, seal)
	v.Of.Own = []answer.OwnLimit{{Product: "my-sealant", Text: "my-sealant wind 14 m/s is looser than the class's hard 9 m/s: your label outranks it"}}
	for _, e := range Of(Job{Versions: []answer.PlanVersion{v}}).Events {
		assert.Equal(t, strings.Contains(e.Summary, "seal"), strings.Contains(e.Description, "Note: my-sealant wind 14 m/s is looser than the class's hard 9 m/s: your label outranks it\n"), e.Summary)
	}
}

// A plan that is held may have lost the hours of a block since it was made: that is nothing
// to rely on, whoever said yes to marginal ones.
func TestLostHoursAreTentative(t *testing.T) {
	for _, state := range []string{"no-go", "unknown"} {
		b := block(t, "seal", "port side", fri)
		b.State = state
		v := version(t, tue, b)
		v.Accepted = true
		e := Of(Job{Versions: []answer.PlanVersion{v}, Classes: catalogue(t)}).Events
		require.NotEmpty(t, e)
		for _, x := range e {
			assert.Equal(t, "tentative", x.Status(), x.Summary)
		}
		assert.Contains(t, e[0].Summary, "("+state+" now)")
		assert.Contains(t, e[0].Description, "State: "+state+", confidence")
	}
}

// The hours to keep dry are the class's default clocks, from the last section, each said
// with its end; those of polymer-sealant are typed in testdata/products.
func TestKeepDry(t *testing.T) {
	set := catalogue(t)
	c, ok := set.Class("polymer-sealant")
	require.True(t, ok)
	hours := max(c.RainFree.Default, c.DewFree.Default)
	require.Greater(t, hours, 1.0)
	b := block(t, "seal", "port side", fri)
	b.Product = "polymer-sealant"
	in := Of(Job{Versions: []answer.PlanVersion{version(t, tue, b)}, Classes: set})
	require.Len(t, in.Events, 2)
	work, dry := in.Events[0], in.Events[1]
	assert.Equal(t, b.To, dry.From)
	assert.Equal(t, b.WorkTo.Add(time.Duration(hours*float64(time.Hour))), dry.To)
	assert.True(t, dry.Free, "it keeps nobody busy")
	assert.False(t, work.Free)
	assert.Contains(t, dry.Summary, "keep port side dry until Fri 12:50, and free of dew and wash water until Fri 14:50")
	assert.Contains(t, dry.Description, "no rain on it for 4 h and no dew for 6 h after the last section.")
	assert.Contains(t, dry.Description, "Cured in full after 12 to 24 h at 20 °C.")
	assert.True(t, strings.HasSuffix(dry.Description, deferral))

	b.WorkTo = b.From.Add(-time.Duration(hours * float64(time.Hour)))
	assert.Len(t, Of(Job{Versions: []answer.PlanVersion{version(t, tue, b)}, Classes: set}).Events, 1, "over before the work is")
	b.Product = "soap-wash"
	assert.Len(t, Of(Job{Versions: []answer.PlanVersion{version(t, tue, b)}, Classes: set}).Events, 1, "a wash has no clock")
	b.Product = "none-such"
	assert.Len(t, Of(Job{Versions: []answer.PlanVersion{version(t, tue, b)}, Classes: set}).Events, 1, "an unknown class has none")
}

// Hours as at 20 °C are told as the class has them, and in round ones what they come to on
// a cold panel.
func TestDryText(t *testing.T) {
	clock := func(h float64) products.Clock { return products.Clock{Given: h > 0, Default: h} }
	c := products.Class{Name: "varnish", RainFree: clock(12), DewFree: clock(8), Equivalent: true, FullCureH: products.Range{Given: true, Min: 120, Max: 120, NoMax: true}}
	text := dryText(c, 12.76)
	assert.Contains(t, text, "varnish: no rain on it for 12 h and no dew for 8 h after the last section.\n")
	assert.Contains(t, text, "longer on a colder panel, here about 13 h; a cold night adds to it.")
	assert.Contains(t, text, "Cured in full after 120 h or more at 20 °C.")
	assert.NotContains(t, dryText(c, 12), "here about")
	c.DewFree = clock(12)
	assert.Contains(t, dryText(c, 12), "no rain and no dew on it for 12 h after")
	c.DewFree = clock(0)
	assert.Contains(t, dryText(c, 12), "no rain on it for 12 h after")
	c.RainFree, c.DewFree = clock(0), clock(3)
	assert.Contains(t, dryText(c, 3), "no dew on it for 3 h after")
}

// Equivalent hours are those at 20 °C: at 10 °C a class that halves per 10 K takes
// twice as long (Arrhenius' rule of thumb), and warmth never makes it shorter here.
func TestEquivalentHours(t *testing.T) {
	c := products.Class{HalvesPerK: 10}
	at := func(low float64) float64 {
		return slowed(c, &answer.PlanBlock{SurfaceC: &[2]float64{low, low + 5}})
	}
	assert.InDelta(t, 2, at(10), 1e-12)
	assert.InDelta(t, 4, at(0), 1e-12)
	assert.InDelta(t, 1, at(20), 1e-12)
	assert.InDelta(t, 1, at(30), 1e-12)
	assert.InDelta(t, 1, slowed(c, &answer.PlanBlock{}), 1e-12, "not known")
	assert.InDelta(t, 1, slowed(products.Class{}, &answer.PlanBlock{SurfaceC: &[2]float64{0, 0}}), 1e-12, "does not scale")
}

func TestDescription(t *testing.T) {
	b := block(t, "seal", "port side", fri)
	area, section, rewet := 15.7, 3.25, 14.0
	by := b.From.Add(2 * time.Hour)
	b.AreaM2, b.HazeMin, b.WipeBy, b.Rewash, b.FloodRinse = &area, &[2]float64{32, 252}, &by, true, true
	soon, late := b.From.Add(30*time.Minute), b.To.Add(time.Hour)
	v := version(t, tue, b)
	v.Of.Cautions = []answer.Caution{
		{Kind: crew.KindUV, Level: "caution", From: &soon, To: &late}, {Kind: crew.KindUV, Level: "caution", From: &soon, To: &late},
		{Kind: crew.KindDust, From: &soon, To: &late}, {Kind: crew.KindGust, From: &late, To: &late}, {Kind: crew.KindCold}, {Kind: crew.KindThunder, Level: crew.LevelUnknown, From: &soon, To: &late},
	}
	assert.Equal(t, strings.Join([]string{
		"Who: people 1 and 2, 1.5 person-hours", "Product: soap-wash", "Area: 15.7 m²", "First: flood rinse, for there is salt on it", "First: wash and dry it, for it lay bare overnight",
		"Haze: wipe each section after 32 to 252 min; last section on 08:50; wiped off by 10:00",
		"State: go, confidence 87 %", "Why then: in the shade", "Mind: UV (caution), thunder (not judged)", deferral,
	}, "\n"), workText(&v, &b))
	b.SectionM2, b.RewetMin, b.People = &section, &rewet, []int{2}
	text := workText(&v, &b)
	assert.Contains(t, text, "Section: at most 3.25 m² at a time, kept wet every 14 min")
	assert.Contains(t, text, "Who: person 2, ")
	assert.NotContains(t, text, "Haze", "a wash is rinsed")
	b.SectionM2 = b.AreaM2
	assert.Contains(t, workText(&v, &b), "Section: all of it at once, kept wet every 14 min")
	b.SectionM2, b.HazeMin = nil, &[2]float64{38, 38}
	assert.Contains(t, workText(&v, &b), "after 38 min;")
}

// The deferral is the cautions' own.
func TestDeferralIsThatOfTheCrew(t *testing.T) {
	slot := crew.Slot{At: moment(t, thu), AirC: crew.Some(20), HumidityPct: crew.Some(60), WindDeckMS: crew.Some(2), UVIndex: crew.Some(5)}
	list := crew.Cautions(crew.Input{Slots: []crew.Slot{slot}, Step: time.Hour, Job: crew.Job{Machine: true, Wash: true, Afloat: true}})
	require.NotEmpty(t, list)
	for _, c := range list {
		if c.Kind != crew.KindProduct && c.Level != crew.LevelUnknown {
			assert.True(t, strings.HasSuffix(c.Text, deferral), "the words of package crew have changed: mend the constant: %s", c.Text)
		}
	}
}

func TestNames(t *testing.T) {
	v := version(t, tue, block(t, "wash", "port side", thu))
	in := Of(Job{Versions: []answer.PlanVersion{v}, Refresh: time.Hour})
	assert.Equal(t, "Kittiwake: Clean and seal", in.Name)
	assert.Equal(t, "Planned Tue 8 Sep 2026 06:00, demo.\ninvented\n"+deferral, in.About)
	assert.Equal(t, time.Hour, in.Refresh)
	part := v
	part.Plan = &answer.Plan{Part: &answer.Part{What: "all but the transom"}}
	assert.Equal(t, "Planned Tue 8 Sep 2026 06:00, demo.\nA part of the job, all but the transom.\ninvented\n"+deferral, Of(Job{Versions: []answer.PlanVersion{part}}).About)
	v.Of.Boat = ""
	in = Of(Job{Versions: []answer.PlanVersion{v}})
	assert.Equal(t, "Clean and seal", in.Name)
	assert.Equal(t, "wash, port side", in.Events[0].Summary)
	v.Of.Boat, v.Of.Job = "Kittiwake", ""
	assert.Equal(t, "Kittiwake", Of(Job{Versions: []answer.PlanVersion{v}}).Name)
	_, err := Calendar(Of(Job{}))
	require.Error(t, err, "no version, no calendar")
}

// A plan that is called marginal by hostile names is a calendar all the same.
func TestHostilePlan(t *testing.T) {
	for _, pair := range evil {
		b := block(t, pair[0], pair[0], fri)
		b.Product, b.Reason = pair[0], pair[0]
		v := version(t, tue, b)
		v.Of.Job, v.Of.Boat, v.Of.Place.Name = pair[0], pair[0], pair[0]
		list := read(t, written(t, Of(Job{Versions: []answer.PlanVersion{v}, Classes: catalogue(t)})))
		n := 0
		for _, p := range list {
			if p.name == "BEGIN" {
				n++
			}
		}
		assert.Equal(t, 2, n, "%q", pair[0])
	}
}

// Laws of any history of plans: names are each once, numbers never fall from version
// to version, and rise whenever what people see of the hours has changed.
func TestAnyHistory(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		start := time.Date(2026, 9, 8, 6, 0, 0, 0, time.UTC)
		var versions []answer.PlanVersion
		was := map[string]Event{}
		for k := range rapid.IntRange(1, 6).Draw(t, "versions") {
			var blocks []answer.PlanBlock
			for i := range rapid.IntRange(0, 5).Draw(t, "blocks") {
				from := start.Add(time.Duration(rapid.IntRange(0, 200).Draw(t, "from")) * time.Hour)
				blocks = append(blocks, answer.PlanBlock{From: from, To: from.Add(time.Hour), Step: "seal", Product: "polymer-sealant",
					Zone: fmt.Sprint("zone ", i), People: []int{1}, State: "go", NeedsConsent: rapid.Bool().Draw(t, "consent")})
			}
			for i := range rapid.IntRange(0, 5).Draw(t, "washes") {
				from := start.Add(time.Duration(rapid.IntRange(0, 12).Draw(t, "half day"))*12*time.Hour + time.Duration(i)*10*time.Minute)
				area := 2.0
				blocks = append(blocks, answer.PlanBlock{From: from, To: from.Add(10 * time.Minute), Step: "wash", Product: "soap-wash",
					Zone: fmt.Sprint("zone ", i), People: []int{1}, State: "go", SectionM2: &area, AreaM2: &area})
			}
			at := start.Add(time.Duration(k) * 20 * time.Hour)
			versions = append(versions, answer.PlanVersion{At: at, Plan: &answer.Plan{Blocks: blocks}, Of: kittiwake})
			in := Of(Job{Versions: versions, Classes: nil})
			if _, err := Calendar(in); err != nil {
				t.Fatalf("%v", err)
			}
			told := map[string]bool{}
			for _, e := range in.Events {
				before, had := was[e.UID]
				same := had && before.From.Equal(e.From) && before.To.Equal(e.To) && before.Status() == e.Status() && before.Description == e.Description
				if zones := strings.Count(e.Description, ", 2 m²"); !e.Cancelled {
					for _, z := range zonesTold(e) {
						if told[z] {
							t.Fatalf("%s is told twice", z)
						}
						told[z] = true
					}
					if zones > 0 && zones < 3 {
						t.Fatalf("%d zones are no stint", zones)
					}
				}
				switch {
				case !had && e.Sequence != 0:
					t.Fatalf("%s begins at %d", e.Summary, e.Sequence)
				case had && e.Sequence < before.Sequence, had && !same && e.Sequence == before.Sequence, same && e.Sequence > before.Sequence:
					t.Fatalf("%s: %d after %d", e.Summary, e.Sequence, before.Sequence)
				}
				was[e.UID] = e
			}
		}
	})
}

// zonesTold are the step and the zones of an entry's work.
func zonesTold(e Event) []string {
	step, zone, _ := strings.Cut(strings.TrimPrefix(strings.TrimSuffix(e.Summary, " (needs your yes)"), "Kittiwake: "), ", ")
	if !strings.HasSuffix(zone, " zones") {
		return []string{step + " " + zone}
	}
	var out []string
	for _, l := range strings.Split(e.Description, "\n") {
		if z, _, ok := strings.Cut(l, ", 2 m²"); ok {
			_, z, _ = strings.Cut(z, " ")
			out = append(out, step+" "+z)
		}
	}
	return out
}

// A plan that was kept as JSON gives the same calendar as the one just made.
func TestKeptPlanIsTheSame(t *testing.T) {
	v := planned(t)
	v.At = v.At.UTC()
	data, err := json.Marshal(v)
	require.NoError(t, err)
	var kept answer.PlanVersion
	require.NoError(t, json.Unmarshal(data, &kept))
	j := Job{Versions: []answer.PlanVersion{v}, Classes: catalogue(t)}
	want := written(t, Of(j))
	j.Versions[0] = kept
	assert.Equal(t, string(want), string(written(t, Of(j))))
	j.Classes = nil // whose words may change
	golden(t, "plan.ics", written(t, Of(j)))
}

// Descriptions go through the person's units line by line; times, names and what makes a
// change in earnest do not, so that other units are no new entry.
func TestDescriptionsAreInThePersonsUnits(t *testing.T) {
	area := 12.5
	b := block(t, "seal", "port side, 3 m² of it", thu)
	b.Product, b.AreaM2, b.SurfaceC, b.Reason = "polymer-sealant", &area, &[2]float64{14, 16}, "panel 14 to 16 °C"
	j := Job{Versions: []answer.PlanVersion{version(t, tue, b)}, Classes: catalogue(t)}
	plain := Of(j)
	var lines []string
	j.Prose = func(s string) string {
		assert.NotContains(t, s, "\n")
		lines = append(lines, s)
		return strings.NewReplacer("m²", "square cubits", "°C", "degrees of warmth").Replace(s)
	}
	told := Of(j)
	require.Len(t, told.Events, 2)
	assert.Contains(t, lines, "Area: 12.5 m²")
	for i, e := range told.Events {
		was := plain.Events[i]
		assert.NotContains(t, e.Description, "m²")
		assert.NotContains(t, e.Description, "°C")
		assert.Equal(t, strings.Count(was.Description, "\n"), strings.Count(e.Description, "\n"))
		e.Description = was.Description
		assert.Equal(t, was, e)
	}
	assert.Contains(t, told.Events[0].Description, "12.5 square cubits")
	assert.Contains(t, told.Events[0].Summary, "3 m² of it", "a name is a name")
}
