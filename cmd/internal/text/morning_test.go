package text

import (
	"bytes"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/cmd/internal/answer"
)

func morningPage(t must, a *answer.Morning, o Options) string {
	var b bytes.Buffer
	require.NoError(t, Morning(&b, a, o))
	keepsTheRules(t, b.String(), o)
	return b.String()
}

func verdictLine(t *testing.T, a *answer.Morning) string {
	t.Helper()
	page := strings.ReplaceAll(morningPage(t, a, us), "\n  ", " ")
	return firstLines(page, 1)[0]
}

func TestVerdictWait(t *testing.T) {
	a := early()
	assert.Equal(t, "> WAIT until 08:40, then seal port side, starboard side.", verdictLine(t, a))
	a.WaitUntil = ptr(at("11 08:40"))
	assert.Contains(t, verdictLine(t, a), "> WAIT until Fri 11 Sep 08:40, then seal")
	a.WaitUntil = nil
	assert.Contains(t, verdictLine(t, a), "> WAIT: ")
}

func TestVerdictGo(t *testing.T) {
	a := early()
	a.Verdict = "go"
	assert.Equal(t, "+ GO now: seal helm; last start 16:00.", verdictLine(t, a))
	for i := range a.Steps { // only with the consent that the job gives
		a.Steps[i].State = "marginal"
	}
	assert.Contains(t, verdictLine(t, a), "+ GO now with your yes: seal all zones; wash transom.")
}

// Where a section put on at the last start could not be wiped off any more, the last one that
// can is told, in the first line as well; zones that differ in it are not told as one.
func TestMorningTellsTheLastSection(t *testing.T) {
	a := early()
	a.Verdict = "go"
	i := slices.IndexFunc(a.Steps, func(x answer.MorningStep) bool { return x.Able() && x.Zone == "helm" })
	require.GreaterOrEqual(t, i, 0)
	x := &a.Steps[i]
	before := morningPage(t, a, metric)
	assert.Contains(t, untie(before), "Last start 16:00")
	x.LastSection, x.WipeBy = ptr(x.Last.Add(-50*time.Minute)), ptr(x.Last.Add(40*time.Minute))
	assert.Equal(t, "+ GO now: seal helm; last start 15:10.", verdictLine(t, a))
	page := strings.Join(strings.Fields(untie(morningPage(t, a, metric))), " ")
	assert.Contains(t, page, "Last section on 15:10, wiped by 16:40")
	other := *x
	assert.True(t, alike(*x, other))
	other.LastSection = ptr(x.LastSection.Add(10 * time.Minute))
	assert.False(t, alike(*x, other))
	other = *x
	other.Wiped = answer.Wiped{}
	assert.False(t, alike(*x, other))
}

func TestVerdictMarginal(t *testing.T) {
	a := early()
	a.Verdict, a.Steps = "marginal", a.Steps[3:4]
	a.Steps[0].State, a.Steps[0].Binding = "marginal", bind("surface_max 33/32")
	assert.Equal(t, "! MARGINAL: needs your yes for seal foredeck, because panel 92 °F, at most 89.", verdictLine(t, a))
	x := &a.Steps[0] // before hours: what stands against it now is not what the yes is for
	x.State, x.Best, x.First, x.Binding = "no-go", "marginal", ptr(a.Now.Add(3*time.Hour)), bind("hours")
	assert.Equal(t, "! MARGINAL: needs your yes for seal foredeck, from "+a.Now.Add(3*time.Hour).Format("15:04")+".", verdictLine(t, a))
}

func TestVerdictNoGo(t *testing.T) {
	a := early()
	a.Verdict, a.Steps = "no-go", a.Steps[4:5]
	assert.Equal(t, "x NO-GO today: rain 1 h 20 after the work, needs 2 h.", verdictLine(t, a))
	gusts := &answer.Against{Binding: bind("gust_max 11/9"), Spell: &answer.Spell{From: at("10 14:00"), To: at("10 18:00")}}
	a.Steps[0].Today = gusts
	assert.Equal(t, "x NO-GO today: gusts 25 mph, at most 20, 14:00-18:00.", verdictLine(t, a), "what takes most of the day, and when")
	gusts.Spell.From = a.Now
	assert.Equal(t, "x NO-GO today: gusts 25 mph, at most 20, until 18:00.", verdictLine(t, a))
	gusts.Spell.AllDay = true
	assert.Equal(t, "x NO-GO today: gusts 25 mph, at most 20, for the rest of the day.", verdictLine(t, a))
	gusts.Spell.From = at("10 07:30")
	assert.Equal(t, "x NO-GO today: gusts 25 mph, at most 20, all day.", verdictLine(t, a))
	gusts.Spell = nil
	assert.Equal(t, "x NO-GO today: gusts 25 mph, at most 20.", verdictLine(t, a))
	a.Steps = nil
	assert.Equal(t, "x NO-GO today: nothing left to do today.", verdictLine(t, a))
}

// Zones that are to be towelled first stand apart from those that are dry, whether they
// wait, may begin now or need a yes.
func TestMorning_TowelFirst(t *testing.T) {
	for state, want := range map[string]string{
		"no-go": "(+ go), once its water is towelled off", "go": "may begin now, once its water is towelled off",
		"marginal": "needs your yes, once its water is towelled off: ",
	} {
		a := early()
		a.Steps = a.Steps[:2]
		for i := range a.Steps {
			a.Steps[i].State = state
			if state != "no-go" {
				a.Steps[i].First = &a.Now
			}
		}
		a.Steps[0].TowelGM2 = ptr(20.5)
		page := strings.Join(strings.Fields(morningPage(t, a, us)), " ")
		assert.Contains(t, page, want)
		assert.Equal(t, 1, strings.Count(page, "towelled off"), "the other side is dry")
	}
}

// The clock is named only where nothing else stands against it.
func TestMainReasonPutsHoursLast(t *testing.T) {
	a := early()
	a.Verdict, a.Steps = "no-go", a.Steps[3:5]
	a.Steps[0].Binding = bind("hours")
	assert.Contains(t, verdictLine(t, a), "rain 1 h 20")
	a.Steps = a.Steps[:1]
	assert.Contains(t, verdictLine(t, a), "outside working hours")
}

func TestVerdictUnknown(t *testing.T) {
	a := early()
	a.Verdict, a.Steps = "unknown", a.Steps[5:]
	assert.Equal(t, "? UNKNOWN: the forecast lacks a value that is needed.", verdictLine(t, a))
	a.Steps[0].State, a.Steps[0].Binding = "no-go", bind("hours")
	assert.Equal(t, "? UNKNOWN: today's hours cannot be judged by this forecast.", verdictLine(t, a), "the hours to come, not this slot")
	a.Verdict = "odd" // what is not known is never shown as go
	assert.Contains(t, verdictLine(t, a), "? ODD")
}

func TestMorningTellsLastStartsAndWhatStopsTheWork(t *testing.T) {
	page := strings.Join(strings.Fields(morningPage(t, early(), us)), " ")
	for _, s := range []string{
		"Last start 15:10 (dew 21:00).",
		"What changes it: a breeze over 13 mph after 14:00.",
		"Measure first: port side, foredeck.",
		"Read again: 08:00, then hourly.",
		"Stop at: panel under 5.4 °F over dew point and falling, wind over 13 mph, panel over 89 °F, water on the panel, thunder",
		"You read: port side 56 °F at 06:10 by infrared (forecast said 59 °F).",
		"helm: may begin now.",
		"now at worst panel 0.8 °F below dew point, needs 3.6 over it",
	} {
		assert.Contains(t, page, s)
	}
}

// The verdict hangs on what is asked: what comes later is shown, and said to be.
func TestMorningOfSteps(t *testing.T) {
	a := early()
	wash := a.Steps[5]
	wash.Asked, wash.State, wash.Binding, wash.First, wash.Best = true, "no-go", bind("hours"), ptr(at("10 08:40")), "ideal"
	done := wash
	done.Zone, done.Asked, done.Done = "foredeck", false, true
	a.Steps = append(a.Steps[:5], wash, done)
	assert.Equal(t, "> WAIT until 08:40, then wash transom.", verdictLine(t, a))
	page := morningPage(t, a, us)
	assert.Contains(t, page, "SEAL with polymer-sealant, once the step before it is done\n  > WAIT")
	assert.Contains(t, page, "WASH with soap-wash\n  > WAIT      transom: from 08:40 (* ideal).\n  done        foredeck\n")
	assert.NotContains(t, page, "outside working hours", "the clock says nothing that the hour does not")
}

// Where the clock alone stands against today, what comes next is said instead.
func TestMorningSaysWhatComesNext(t *testing.T) {
	a := early()
	a.Verdict, a.Steps = "no-go", a.Steps[4:5]
	a.Steps[0].Binding, a.Steps[0].Change = bind("hours"), "next window Fri 11 Sep 07:00, marginal; today gusts 11.4 m/s, at most 9"
	page := strings.Join(strings.Fields(morningPage(t, a, us)), " ")
	assert.Contains(t, page, "x NO-GO transom: next window Fri 11 Sep 07:00, marginal; today gusts 26 mph, at most 20.")
	a.Steps[0].Binding = bind("rain_free 0/2")
	page = strings.Join(strings.Fields(morningPage(t, a, us)), " ")
	assert.Contains(t, page, "transom: rain right after the work, needs 2 h. Next window Fri 11 Sep")
}

// Rain that is forecast within the work stands in the first line, and in that of
// the step.
func TestMorningTellsOfRain(t *testing.T) {
	a := early()
	for i := range a.Steps {
		a.Steps[i].RainAt = nil
	}
	a.Steps[2].RainAt = ptr(at("10 14:00")) // the helm: may begin now
	assert.NotContains(t, verdictLine(t, a), "rain", "it does not fall into what is waited for")
	assert.Contains(t, morningPage(t, a, us), "Last start 16:00; rain from 14:00.")
	a.Verdict = "go"
	assert.True(t, strings.HasSuffix(verdictLine(t, a), "; rain from 14:00."), verdictLine(t, a))
	a = early()
	a.Steps[0].RainAt, a.Steps[1].RainAt = ptr(at("10 15:00")), ptr(at("10 14:00"))
	assert.Equal(t, "> WAIT until 08:40, then seal port side, starboard side; rain from 14:00.", verdictLine(t, a))
}

// Two chances in a day, with rain between: both lines say where the first one ends,
// why, and when the second begins.
func TestMorningTellsOfASecondChance(t *testing.T) {
	a := early()
	a.Verdict = "go"
	for i := range a.Steps {
		a.Steps[i].State = "go"
		a.Steps[i].First, a.Steps[i].Last = ptr(a.Now), ptr(at("10 17:50"))
		a.Steps[i].Chances = []answer.Chance{{From: a.Now, Last: at("10 17:50"), State: "go"}}
	}
	x := &a.Steps[0]
	x.Last, x.WetAt, x.WetBy, x.Change = ptr(at("10 07:50")), ptr(at("10 12:00")), "rain", "rain 2 h after the work, needs 4 h, from 08:00"
	x.Chances = []answer.Chance{
		{From: a.Now, Last: at("10 07:50"), State: "go"},
		{From: at("10 15:00"), Last: at("10 15:50"), State: "marginal", NeedsConsent: true},
		{From: at("10 16:00"), Last: at("10 17:50"), State: "ideal"},
	}
	assert.Contains(t, verdictLine(t, a), "; last start 07:50, again from 16:00; rain from 12:00.")
	page := strings.Join(strings.Fields(untie(morningPage(t, a, us))), " ")
	assert.Contains(t, page, "may begin now. Last start 07:50 (rain 12:00). Again from 15:00 with your yes, last start 15:50; from 16:00, last start 17:50.")

	other := a.Steps[1]
	other.Last, other.Chances = x.Last, []answer.Chance{{From: a.Now, Last: *x.Last, State: "go"}}
	a.Steps[1] = other
	assert.Contains(t, verdictLine(t, a), "; last start 07:50; rain from", "not all that ends then begins again")
}

// The state beside an hour is that hour's, not the best of the day; where a yes
// would let the work begin sooner, that is said beside it.
func TestMorningFirstHour(t *testing.T) {
	a := early()
	a.Steps = a.Steps[:1]
	x := &a.Steps[0]
	x.Best, x.FirstState, x.First, x.Last = "ideal", "go", ptr(at("10 07:40")), ptr(at("10 16:00"))
	x.Chances = []answer.Chance{
		{From: at("10 07:30"), Last: at("10 07:30"), State: "marginal", NeedsConsent: true},
		{From: *x.First, Last: *x.Last, State: "go"},
	}
	page := func() string { return strings.Join(strings.Fields(untie(morningPage(t, a, us))), " ") }
	assert.Contains(t, page(), "from 07:40 (+ go), with your yes from 07:30; now")
	x.State, x.Binding = "marginal", bind("spread_min 2.9/3")
	assert.Contains(t, page(), "needs your yes: panel 5.2 °F over dew point, needs 5.4; from 07:40 (+ go). Last start 16:00")
	x.FirstState, x.First = "marginal", ptr(a.Now)
	assert.Contains(t, page(), "may begin by the yes in the job: panel 5.2 °F over dew point", "it is not asked for twice")
	x.NeedsConsent = true
	assert.Contains(t, page(), "needs your yes: panel 5.2 °F over dew point, needs 5.4. Last start")
}

// Who waits for one panel does not begin another that nobody has agreed to.
func TestVerdictWaitLeavesOutWhatNeedsAYes(t *testing.T) {
	a := early()
	a.Steps[1].NeedsConsent, a.Steps[1].FirstState = true, "marginal"
	assert.Equal(t, "> WAIT until 08:40, then seal port side.", verdictLine(t, a))
}

// Marginal hours to come need a yes, and say so.
func TestMorningSaysWhatNeedsAYes(t *testing.T) {
	a := early()
	assert.Contains(t, morningPage(t, a, us), "foredeck: from 09:20 (! marginal: needs your yes)")
	for i := range a.Steps {
		if a.Steps[i].Zone == "foredeck" {
			a.Steps[i].FirstBecause = "panel over 36 °C"
		}
	}
	assert.Contains(t, strings.Join(strings.Fields(untie(morningPage(t, a, us))), " "), "foredeck: from 09:20 (! marginal, panel over 96 °F: needs your yes)")
}

func TestPanelsNow(t *testing.T) {
	page := morningPage(t, early(), us)
	assert.Contains(t, page, "  port side                         56 °F, 2.1 °F over dew point\n")
	assert.Contains(t, page, "  starboard side                    54 °F, 0.8 °F below dew point\n")
	assert.Equal(t, 1, strings.Count(page, "PANELS NOW"))
	a, frozen := early(), -1.5
	for i := range a.Steps {
		a.Steps[i].Wet = true
	}
	a.Steps[0].SurfaceC = &frozen
	page = morningPage(t, a, us)
	assert.Contains(t, page, "  port side                         29 °F, 2.1 °F over dew point, frost or ice\n")
	assert.Contains(t, page, "  starboard side                    54 °F, 0.8 °F below dew point, wet\n")
	for i := range a.Steps {
		a.Steps[i].SurfaceC, a.Steps[i].SpreadK, a.Steps[i].Wet = nil, nil, false
	}
	assert.NotContains(t, morningPage(t, a, us), "PANELS NOW", "nothing known, nothing said")
}

func TestLimitWords(t *testing.T) {
	p := newPage(metric)
	for l, r := range reasons() {
		if r.broken == nil {
			continue
		}
		got := untie(p.limit(answer.Binding{Limit: l, Bound: ptr(3.0)}))
		if r.least {
			assert.Contains(t, got, "under 3", l)
		} else {
			assert.Contains(t, got, "over 3", l)
		}
		assert.NotRegexp(t, `^(under|over)`, got, "%s has no words", l)
	}
	assert.Equal(t, "thunder, and 30 minutes after it", p.limit(answer.Binding{Limit: "thunder"}))
}

func TestAnyMorning(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := early()
		a.Verdict = rapid.SampledFrom([]string{"go", "wait", "marginal", "no-go", "unknown", ""}).Draw(t, "verdict")
		a.Boat = anyName().Draw(t, "boat")
		a.WaitUntil = anyMaybe(anyTime()).Draw(t, "until")
		a.Measure = rapid.SliceOfN(anyName(), 0, 3).Draw(t, "measure")
		a.Stop = rapid.SliceOfN(anyBinding(), 0, 3).Draw(t, "stop")
		a.Steps = rapid.SliceOfN(anyStep(), 0, 5).Draw(t, "steps")
		morningPage(t, a, Options{
			Units:  rapid.SampledFrom([]string{"metric", "us"}).Draw(t, "units"),
			Colour: rapid.Bool().Draw(t, "colour"),
			Width:  rapid.SampledFrom([]int{0, 40, 48, 60, 100}).Draw(t, "width"),
		})
	})
}

func anyStep() *rapid.Generator[answer.MorningStep] {
	return rapid.Custom(func(t *rapid.T) answer.MorningStep {
		state := rapid.SampledFrom([]string{"ideal", "go", "marginal", "no-go", "unknown", "odd"})
		return answer.MorningStep{
			Step:     anyName().Draw(t, "step"),
			Product:  anyName().Draw(t, "product"),
			Zone:     anyName().Draw(t, "zone"),
			State:    state.Draw(t, "state"),
			First:    anyMaybe(anyTime()).Draw(t, "first"),
			Last:     anyMaybe(anyTime()).Draw(t, "last"),
			Best:     rapid.SampledFrom([]string{"", "go", "marginal"}).Draw(t, "best"),
			Binding:  anyBinding().Draw(t, "binding"),
			SurfaceC: anyMaybe(anyNumber()).Draw(t, "panel"),
			SpreadK:  anyMaybe(anyNumber()).Draw(t, "over"),
			WetAt:    anyMaybe(anyTime()).Draw(t, "wet"),
			WetBy:    anyName().Draw(t, "by"),
			Change:   anyName().Draw(t, "change"),

			FirstBecause: anyName().Draw(t, "first because"),
			FirstState:   state.Draw(t, "first state"),
			NeedsConsent: rapid.Bool().Draw(t, "needs consent"),
			Chances: rapid.SliceOfN(rapid.Custom(func(t *rapid.T) answer.Chance {
				return answer.Chance{From: anyTime().Draw(t, "from"), Last: anyTime().Draw(t, "to"), State: state.Draw(t, "chance"), NeedsConsent: rapid.Bool().Draw(t, "yes")}
			}), 0, 3).Draw(t, "chances"),
		}
	})
}

// A narrow screen cuts nothing off a step's name and what it waits for.
func TestMorningStepOnANarrowScreen(t *testing.T) {
	a := early()
	for i := range a.Steps {
		a.Steps[i].Waits, a.Steps[i].Product = true, "compound-dual-action"
	}
	page := morningPage(t, a, Options{Width: 60})
	assert.Contains(t, strings.Join(strings.Fields(page), " "), "SEAL with compound-dual-action, once the step before it is done >")
	assert.NotContains(t, page, "…")
}

// That a step waits for the one before it is said of every zone on which it does: under the
// step's name where it waits everywhere, beside the zone where another may already go on.
func TestMorningSaysWhichZonesWaitForTheStepBefore(t *testing.T) {
	a := early()
	seal := a.Steps[0]
	seal.State, seal.First, seal.Last, seal.Chances, seal.Asked, seal.Waits = "ideal", nil, nil, nil, false, true
	wash, done := seal, seal
	wash.Step, wash.Asked, wash.Waits = "wash", true, false
	done.Zone, done.Done, done.Waits = "helm", true, false
	a.Steps = []answer.MorningStep{wash, seal, done}
	assert.Contains(t, morningPage(t, a, us), "SEAL with polymer-sealant, once the step before it is done\n  * IDEAL     port side: may", "done on one zone, it waits on all others")
	corrected := seal
	corrected.Zone, corrected.Asked, corrected.Waits = "transom", true, false
	a.Steps = append(a.Steps, corrected)
	page := strings.Join(strings.Fields(morningPage(t, a, us)), " ")
	assert.Contains(t, page, "SEAL with polymer-sealant * IDEAL port side, once the step before it is done: may begin now")
	assert.Contains(t, page, "* IDEAL transom: may begin now")
}

// Zones that may simply begin stand together where all that is said of them is alike: what
// is nearest to its bound is not told of them.
func TestMorningJoinsZonesThatReadAlike(t *testing.T) {
	a := early()
	x := a.Steps[0]
	x.State, x.First, x.Last, x.Chances, x.Change, x.WetAt, x.WetBy = "ideal", nil, nil, nil, "", nil, ""
	y := x
	x.Zone, x.Binding, y.Zone, y.Binding = "starboard side", bind("none"), "transom", bind("hours")
	a.Steps = []answer.MorningStep{x, y}
	both := func() bool { return strings.Contains(morningPage(t, a, us), "starboard side, transom: may begin now.") }
	assert.True(t, both())
	a.Steps[0].State, a.Steps[1].State = "no-go", "no-go"
	assert.NotContains(t, morningPage(t, a, us), "starboard side, transom:", "of those that may not it is")
}

// Zones that read alike stand together whether they are asked today or not, and the line
// says which are, where others of the step could be worked on as well.
func TestMorningTellsWhatIsForToday(t *testing.T) {
	a := early()
	x := a.Steps[0]
	x.State, x.First, x.Last, x.Chances, x.Change, x.WetAt, x.WetBy = "ideal", nil, nil, nil, "", nil, ""
	zone := func(name, state string, asked bool) answer.MorningStep {
		y := x
		y.Zone, y.State, y.Asked = name, state, asked
		return y
	}
	page := func() string { return strings.Join(strings.Fields(morningPage(t, a, us)), " ") }
	a.Steps = []answer.MorningStep{zone("port side", "ideal", false), zone("starboard side", "ideal", true), zone("transom", "go", true), zone("helm", "no-go", false)}
	assert.Contains(t, page(), "* IDEAL port side, starboard side (for today: starboard side): may begin now.")
	assert.Contains(t, page(), "+ GO transom (for today): may begin now.")
	assert.Contains(t, page(), "x NO-GO helm: ")
	a.Steps[0].Asked, a.Steps[3].Asked = true, true
	assert.NotContains(t, page(), "for today", "all of them are")
	a.Steps[3].Asked, a.Steps[3].Waits = false, true
	assert.NotContains(t, page(), "for today", "the other waits for the step before it, and says so")
	a.Steps[3].Waits, a.Steps[3].Done = false, true
	assert.NotContains(t, page(), "for today", "the other is done")
	for i := range a.Steps {
		a.Steps[i].Asked = false
	}
	assert.NotContains(t, page(), "for today")
}

// What is missing is said to be missing, beside an hour that is known as well.
func TestMorningSaysWhatIsNotKnownNow(t *testing.T) {
	a := early()
	x := a.Steps[0]
	x.State, x.First, x.Binding = "unknown", ptr(at("10 12:00")), bind("data")
	x.Binding.Text = "not known: the forecast begins Thu 10 Sep 12:00"
	a.Steps = []answer.MorningStep{x}
	assert.Contains(t, strings.Join(strings.Fields(morningPage(t, a, us)), " "), "; now not known: the forecast begins Thu 10 Sep 12:00.")
}

// The bounds that end the work are those of the asked work's products: where the page tells
// of other work that may begin today, it says whose they are.
func TestStopsNameTheirProducts(t *testing.T) {
	now := at("10 08:00")
	a := &answer.Morning{Now: now, Steps: []answer.MorningStep{
		{Step: "correct", Product: "compound-rotary", Zone: "foredeck", Asked: true, State: "go", First: &now},
		{Step: "seal", Product: "polymer-sealant", Zone: "foredeck", Waits: true, State: "ideal", First: &now},
	}}
	assert.Equal(t, "compound-rotary ", stopsOf(a))
	a.Steps[1].First = nil
	assert.Empty(t, stopsOf(a), "no work today that it could be mistaken for")
	a.Steps[1].First, a.Steps[1].Product = &now, "compound-rotary"
	assert.Empty(t, stopsOf(a))
}

// A reading that is due is due now, and not at the clock time that it is.
func TestReadAgainNow(t *testing.T) {
	says := func(next time.Time) string {
		p := newPage(metric)
		p.stops(&answer.Morning{Now: at("10 06:00"), NextReading: &next})
		var b bytes.Buffer
		require.NoError(t, p.writeTo(&b))
		return untie(b.String())
	}
	assert.Contains(t, says(at("10 06:00")), "Read again: now, then hourly.")
	assert.Contains(t, says(at("10 06:30")), "Read again: 06:30, then hourly.")
}

// "All but" is said of all that is left to do: a zone that is not asked today is not among
// those that may begin because it was left out of the count.
func TestVerdictGo_AllButIsOfAllThatIsLeft(t *testing.T) {
	a := early()
	a.Verdict, a.Steps = "go", nil
	for _, zone := range []string{"port side", "starboard side", "helm", "transom", "foredeck", "cockpit"} {
		a.Steps = append(a.Steps, answer.MorningStep{Step: "wash", Zone: zone, State: "go", Asked: true})
	}
	a.Steps[0].State = "marginal"
	assert.Contains(t, verdictLine(t, a), "wash all but port side")
	a.Steps = append(a.Steps, answer.MorningStep{Step: "wash", Zone: "rails", State: "marginal"}, answer.MorningStep{Step: "wash", Zone: "mast", State: "marginal"})
	assert.NotContains(t, verdictLine(t, a), "all but")
	a.Steps[6].Done, a.Steps[7].Done = true, true
	assert.Contains(t, verdictLine(t, a), "wash all but port side")
}

// A step that waits for others and reads like an earlier one says only that, whatever of the
// earlier one is for today.
func TestMorning_TheSameOnceOnly(t *testing.T) {
	step := func(name, zone string, asked, waits bool, last string) answer.MorningStep {
		return answer.MorningStep{Step: name, Product: "soap-wash", Zone: zone, State: "go", Asked: asked, Waits: waits, First: ptr(at("10 06:00")), Last: ptr(at(last))}
	}
	a := early()
	a.Now = at("10 06:00")
	a.Steps = []answer.MorningStep{
		step("wash", "port side", true, false, "10 17:00"), step("wash", "transom", false, false, "10 12:00"),
		step("strip wash", "port side", false, true, "10 17:00"), step("strip wash", "transom", false, true, "10 12:00"),
	}
	page := func() string {
		var b bytes.Buffer
		require.NoError(t, Morning(&b, a, metric))
		return b.String()
	}
	assert.Contains(t, page(), "STRIP WASH with soap-wash, once the step before it is done\n  The same as wash.\n")
	assert.Contains(t, page(), "port side (for today): ")
	a.Steps[3].Last = ptr(at("10 11:00"))
	assert.NotContains(t, page(), "The same as", "another last start is another answer")
	a.Steps[3] = a.Steps[2]
	a.Steps = a.Steps[:3]
	assert.NotContains(t, page(), "The same as", "so is one on fewer zones")
}
