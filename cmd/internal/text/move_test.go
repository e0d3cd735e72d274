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

// blockOn is a block of a plan: "9 08:20" to a time of the same day.
func blockOn(from, to, step, zone, product string, people ...int) *answer.PlanBlock {
	a := at(from)
	z, err := time.Parse("15:04", to)
	if err != nil {
		panic(err)
	}
	end := time.Date(a.Year(), a.Month(), a.Day(), z.Hour(), z.Minute(), 0, 0, a.Location())
	return &answer.PlanBlock{
		From: a, To: end, WorkTo: end, Step: step, Do: step, Zone: zone, Product: product, People: people, State: "go",
		Confidence: 0.9, Coat: 1, Coats: 1, Part: 1, Parts: 1,
	}
}

// A block that stays where it was may need a yes that it did not need before: it says so,
// and what for; it does not say again how it is done.
func TestKeptBlockTellsOfTheYes(t *testing.T) {
	says := func(consent bool) string {
		x := blockOn("12 08:10", "09:30", "correct", "port side", "compound-rotary", 2)
		x.HazeMin = &[2]float64{34, 240}
		x.NeedsConsent = consent
		if consent {
			x.ConsentFor = "it has not dried long enough"
		}
		p := newPage(metric)
		p.blockChange(answer.BlockChange{Change: "kept", Reason: "stands", Before: x, After: x})
		var b bytes.Buffer
		require.NoError(t, p.writeTo(&b))
		return strings.Join(strings.Fields(untie(b.String())), " ")
	}
	assert.Contains(t, says(true), "correct, port side, needs your yes (it has not dried long enough).")
	assert.Contains(t, says(false), "the same 2 correct, port side.")
	assert.NotContains(t, says(true), "haze")
}

// A panel that rain is forecast on, or that was washed too long before, is to be washed
// anew by some hour. That is told of a block that stands where it stood as well: a film on
// a dirty panel is the same work twice. What is to be minded of other work is told where
// the plan before did not tell it.
func TestBlocksTellOfTheirDuties(t *testing.T) {
	const again, mind = "rain is likely on the stripped panel Wed 9 Sep 12:00 to 14:00: strip wash it once more, 20 min, by Thu 10 Sep 18:00", "mask the film below"
	says := func(change string, old, is *answer.PlanBlock) string {
		p := newPage(metric)
		p.blockChange(answer.BlockChange{Change: change, Reason: "stands", Text: "its hours are too wet", Before: old, After: is})
		var b bytes.Buffer
		require.NoError(t, p.writeTo(&b))
		return strings.Join(strings.Fields(untie(b.String())), " ")
	}
	block := func(again, mind string) *answer.PlanBlock {
		x := blockOn("12 08:10", "09:30", "seal", "foredeck", "polymer-sealant", 2)
		x.WashAgain, x.Mind = again, mind
		return x
	}
	plain, full := block("", ""), block(again, mind)
	assert.Contains(t, says("kept", plain, full), "seal, foredeck, "+again+", "+mind+".")
	assert.Contains(t, says("kept", full, full), "seal, foredeck, "+again+".", "the wash is told again, for it has its hour")
	assert.Contains(t, says("moved", full, full), "seal, foredeck, "+again+", "+mind+": its hours are too wet.")
	assert.Contains(t, says("added", nil, full), again)
	assert.NotContains(t, says("kept", full, plain), "wash", "what is needed no longer is not told")
	assert.NotContains(t, says("dropped", full, nil), "wash")
}

// afterRain is Thursday's work under a shower at noon.
func afterRain() *answer.Move {
	w := emptyWeek()
	old, is := blockOn("11 08:10", "10:30", "seal", "starboard side", "polymer-sealant", 1, 2), blockOn("12 08:10", "10:30", "seal", "starboard side", "polymer-sealant", 1, 2)
	strip := blockOn("10 15:00", "15:20", "strip wash", "port side", "soap-wash", 1)
	again := blockOn("12 08:10", "09:30", "seal", "port side", "polymer-sealant", 2)
	strip.Redo, again.Redo, is.Rewash = true, true, true
	again.HazeMin, again.WipeBy = &[2]float64{34, 240}, ptr(at("12 11:00"))
	wax := blockOn("12 13:00", "14:00", "metal wax", "rails", "metal-polish", 1)
	w.Source.Members, w.Source.Dressed = 31, 0
	a := &answer.Move{
		Format: answer.MoveFormat, Job: "Late-season clean and seal", Boat: w.Boat, Now: at("10 13:00"), Place: w.Place, Source: w.Source,
		Verdict: "go", Rain: []answer.Rain{{From: at("10 11:40"), To: at("10 12:30"), MM: ptr(4.0), Observed: true}}, RainMM: ptr(4.0),
		Blocks: 2, Moved: 1, Proven: true, Least: 1, AddedH: 2.5, TellBy: ptr(at("10 18:00")),
		Zones: []answer.Fate{
			{
				Zone: "transom", Step: "seal", Fate: "good", Share: 1, AreaM2: ptr(6.0), To: ptr(at("8 15:00")), From: ptr(at("8 14:00")),
				Text: "on for 44.6 h before the rain, 4 h wanted: nothing lost",
			},
			{
				Zone: "port side", Step: "seal", Fate: "redo", Hazing: true, Share: 0.3, AreaM2: ptr(5.4), From: ptr(at("10 10:30")), To: ptr(at("10 11:00")),
				Text:     "still hazing when wetted: do not wipe it; rinse these sections only and keep the run-off off the buffed ones; then strip and do it again",
				DryTowel: ptr(at("10 14:10")), Dry: ptr(at("10 15:00")),
			},
			{
				Zone: "port side", Step: "seal", Fate: "inspect", Share: 0.7, AreaM2: ptr(12.6), From: ptr(at("10 08:00")), To: ptr(at("10 09:40")),
				Text: "on for 2 h to 3.6 h before the rain (at least 2 h, want 4 h): dry it with a clean towel, look at it in the sun", Dry: ptr(at("10 15:00")),
			},
			{Zone: "foredeck", Step: "correct", Fate: "rewash", Share: 1, Text: "bare or clean when wetted: wash and dry it before the next step, nothing else is lost"},
		},
		Handover: answer.Handover{By: ptr(at("13 00:00")), Promised: true, Kept: true, Proven: true, Ends: ptr(at("12 14:00")), Text: "hand-over Sat 12 Sep stands"},
		Changes: []answer.BlockChange{
			{Change: "added", Reason: "redo", Text: "spoiled by rain: to be done again", After: strip},
			{Change: "moved", Reason: "weather", Limit: "rain_free", Text: "its old hours do not allow it: rain follows too soon", Before: old, After: is},
			{Change: "added", Reason: "redo", Text: "spoiled by rain: to be done again", After: again},
			{Change: "kept", Reason: "stands", Text: "nothing forces it away", Before: wax, After: wax},
			{Change: "done", Text: "done", Before: blockOn("8 13:00", "15:00", "seal", "transom", "polymer-sealant", 1)},
		},
		Plan: &answer.Plan{
			State: "go", Confidence: 0.9, Blocks: []answer.PlanBlock{*strip, *is, *again, *wax},
			Why: []string{"4 blocks on 2 days, done Sat 12 Sep 14:00", "given what stays, no plan is better: proven"},
		},
		Owner: []string{
			"Rain fell on Kittiwake from Thursday 11:40 to 12:30.",
			"Part of the port side got wet too soon and will be done again, at no risk to the boat. The rest is good.",
			"Work goes on on Thursday 10 September (strip wash) and Saturday 12 September (seal and metal wax).",
			"The boat is ready Saturday 12 September: the promised day stands.",
		},
	}
	return a
}

// noWay is a job that has no plan, with the ladder.
func noWay() *answer.Move {
	a := afterRain()
	helm := blockOn("11 08:30", "10:00", "seal", "helm", "polymer-sealant", 1)
	a.Verdict, a.Changes, a.Zones = "none", nil, nil
	a.Plan = &answer.Plan{State: "none", Why: []string{"seal on port side has no place: rain follows too soon in 80 % of the crew's hours"}}
	a.Handover = answer.Handover{Text: "there is no plan, whatever day the work may end"}
	a.Ladder = []answer.Rung{
		{Way: "sheltered_zone", Tried: true, Works: true, Rest: 3, What: "only the zones under a roof", Plan: &answer.Plan{State: "go", Confidence: 1, Blocks: []answer.PlanBlock{*helm}}, Other: []string{"3 steps on zones stay for later"}},
		{Way: "wet_step", Why: "no work that stands rain comes next on any zone"},
		{Way: "shorter_clock", Tried: true, Whole: true, Works: true, Asks: "owner", What: "seal with spray-sealant instead of polymer-sealant, if the owner agrees",
			Plan: &answer.Plan{State: "marginal", Confidence: 0.7, Blocks: []answer.PlanBlock{*helm, *blockOn("11 10:00", "11:00", "seal", "port side", "spray-sealant", 2)}}},
		{Way: "sheet", Tried: true, Whole: true, What: "a sheet or canvas over port side", Why: "seal on port side has no place: the air is too damp", Plan: &answer.Plan{State: "none"}},
		{Way: "turn", Why: "where her bow points is not known"},
		{Way: "next_window", Tried: true, Whole: true, What: "the next window, past the promised day", Why: "rain follows too soon", Plan: &answer.Plan{State: "none"}},
	}
	return a
}

func TestMoveGolden(t *testing.T) {
	for unit, o := range bothUnits {
		page := golden(t, "move_"+unit+".txt", o, func(b *bytes.Buffer) error { return Move(b, afterRain(), o) })
		noJargon(t, page)
	}
}

// A plan that is moved waits for no yes that the job has, on no screen and in no message.
func TestMove_AYesThatIsGiven(t *testing.T) {
	a := afterRain()
	a.Plan.State = answer.Marginal
	at := slices.IndexFunc(a.Changes, func(c answer.BlockChange) bool { return c.After != nil })
	a.Changes[at].After.NeedsConsent = true
	a.Plan.Blocks = []answer.PlanBlock{*a.Changes[at].After}
	for _, accepted := range []bool{false, true} {
		var b bytes.Buffer
		a.Plan.Accepted = accepted
		require.NoError(t, Move(&b, a, Options{}))
		assert.Equal(t, !accepted, strings.Contains(b.String(), "It waits for your yes"))
		page := strings.Join(strings.Fields(b.String()), " ")
		assert.Equal(t, !accepted, strings.Contains(page, "needs your yes"))
		assert.Equal(t, accepted, strings.Contains(page, "with your yes"))
		for _, to := range []string{ToOwner, ToCrew} {
			assert.Equal(t, accepted, len(NoteOfMove(a, to, Options{}).Asks) == 0, to)
		}
		assert.Equal(t, accepted, strings.Contains(strings.Join(tidied(NoteOfMove(a, ToCrew, Options{}).What), " "), "with your yes"))
	}
}

func TestMoveWithoutPlanGolden(t *testing.T) {
	o := Options{Units: "metric"}
	page := golden(t, "move_none.txt", o, func(b *bytes.Buffer) error { return Move(b, noWay(), o) })
	noJargon(t, page)
	var ladder bytes.Buffer
	p := newPage(o)
	p.ladder(noWay().Ladder, noWay().Source)
	require.NoError(t, p.writeTo(&ladder))
	assert.Contains(t, page, strings.TrimSpace(ladder.String()), "the week shows the same ladder")
}

// A move that nothing is known for says so first, and shows what stands as not known.
func TestMove_NotKnown(t *testing.T) {
	a := afterRain()
	a.Verdict, a.Plan.State, a.Handover, a.Zones, a.Moved = answer.Unknown, answer.Unknown, answer.Handover{}, nil, 0
	x := a.Plan.Blocks[1]
	x.State = answer.Unknown
	a.Plan.Blocks = []answer.PlanBlock{x}
	a.Changes = []answer.BlockChange{{Change: answer.Unknown, Reason: "not_known", Text: "nothing is known of its hours: it stands as agreed", Before: &x, After: &x}}
	var b bytes.Buffer
	require.NoError(t, Move(&b, a, Options{}))
	page := strings.Join(strings.Fields(b.String()), " ")
	assert.True(t, strings.HasPrefix(page, "? UNKNOWN Too little is known of the weather to move anything: the plan stands as agreed; the rain costs"), page)
	assert.Contains(t, page, "? stands")
	assert.NotContains(t, page, "kept")
	crew := NoteOfMove(a, ToCrew, Options{})
	assert.Equal(t, "Too little is known of the weather to move anything: the plan stands as agreed.", crew.What[0])
	assert.NotContains(t, crew.Why, ".", "an empty word is none")
	a.Moved = 1
	assert.Equal(t, "Too little is known of the weather to move what was agreed: it stands, and what was missed has a new place to be confirmed.",
		NoteOfMove(a, ToCrew, Options{}).What[0])
	a.Plan = &answer.Plan{State: answer.None}
	b.Reset()
	require.NoError(t, Move(&b, a, Options{}))
	assert.Contains(t, strings.Join(strings.Fields(b.String()), " "), "? UNKNOWN Too little is known of the weather to make a plan")
}

// The worst stands first, and the first line answers the question.
func TestMoveOrder(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, Move(&b, afterRain(), Options{}))
	page := b.String()
	last := 0
	for _, word := range []string{"REDO", "REWASH", "INSPECT", "GOOD"} {
		i := strings.Index(page, word)
		require.Greater(t, i, last, word)
		last = i
	}
	first, _, _ := strings.Cut(page, "\n")
	assert.Contains(t, first, "oved 1 of 2 blocks")
	assert.Contains(t, page, "hand-over Sat 12 Sep stands")
}

func TestNoteGolden(t *testing.T) {
	w := lateSummer(t)
	w.Source.Members, w.Source.Dressed = 31, 0
	w.Plan = afterRain().Plan
	w.Plan.Blocks[1].NeedsConsent, w.Plan.Blocks[1].ConsentFor = true, "rain follows too soon"
	for _, to := range []string{ToOwner, ToCrew} {
		o := Options{Units: "metric"}
		page := golden(t, "note_"+to+".txt", o, func(b *bytes.Buffer) error { return Note(b, NoteOfWeek(w, to, o), o) })
		noJargon(t, page)
		page = golden(t, "note_move_"+to+".txt", o, func(b *bytes.Buffer) error { return Note(b, NoteOfMove(afterRain(), to, o), o) })
		noJargon(t, page)
	}
}

// A note is plain: no colours though the screen has them, what, when, why and what
// could change it.
func TestNote(t *testing.T) {
	w := lateSummer(t)
	w.Plan = afterRain().Plan
	n := NoteOfWeek(w, ToOwner, Options{})
	assert.Equal(t, answer.NoteFormat, n.Format)
	assert.NotEmpty(t, n.What)
	assert.NotEmpty(t, n.Why)
	assert.NotEmpty(t, n.Change)
	assert.Empty(t, n.Asks)
	w.Plan.Blocks[0].NeedsConsent = true
	assert.Len(t, NoteOfWeek(w, ToOwner, Options{}).Asks, 1)
	var b bytes.Buffer
	require.NoError(t, Note(&b, NoteOfWeek(w, ToCrew, Options{}), Options{Colour: true}))
	assert.NotContains(t, b.String(), "\x1b")
	assert.Contains(t, b.String(), "(1+2) seal, starboard side")
	w.Plan = nil
	n = NoteOfWeek(w, ToOwner, Options{})
	assert.Contains(t, n.What[0], "no plan")
	w.Plan = &answer.Plan{State: "go"}
	assert.Equal(t, []string{"All work is done."}, NoteOfWeek(w, ToOwner, Options{}).What)
}

// A plan that was agreed before and stands is told without the work whose hours are over,
// and with what of it does not hold any longer; nothing is said of a best day that the
// plan does not go by.
func TestNoteOfAPlanThatStands(t *testing.T) {
	w := lateSummer(t)
	w.Plan = afterRain().Plan
	w.Now, w.Plan.Held = at("11 09:00"), ptr(at("10 10:50"))
	w.Plan.Blocks = []answer.PlanBlock{
		*blockOn("11 07:00", "09:00", "wash", "port side", "soap-wash", 1), *blockOn("11 09:00", "10:00", "seal", "transom", "polymer-sealant", 1),
	}
	for _, to := range []string{ToOwner, ToCrew} {
		n := NoteOfWeek(w, to, Options{})
		what := strings.Join(n.What, "\n")
		assert.NotContains(t, strings.ToLower(what), "wash", "its hours are over")
		assert.Contains(t, strings.ToLower(what), "seal")
		assert.Equal(t, []string{"This is the plan of Thu 10 Sep 10:50, which stands."}, untied(n.Why))
		require.Len(t, n.Change, 1)
		assert.NotContains(t, n.Change[0], "does not hold")
	}
	w.Warnings = append(w.Warnings, answer.BrokenPlan+"Thu 10 Sep 10:50 does not hold: seal on transom is no-go now; move it or plan anew")
	n := NoteOfWeek(w, ToCrew, Options{})
	assert.Equal(t, []string{"The plan of Thu 10 Sep 10:50 does not hold: seal on transom is no-go now; move it or plan anew."}, untied(n.Change))
}

// With two boats the note tells the crew where it is besides; the owner hears on which days
// it is not here, and not whose boat that is.
func TestNoteOfACrewWithTwoBoats(t *testing.T) {
	w, m := lateSummer(t), afterRain()
	w.Plan = m.Plan
	crew := &answer.Crew{Name: "Ada and Ben", ChangeMin: 30, Away: []answer.Away{
		{Job: "Wash", Boat: "Tern", From: at("11 08:00"), To: at("11 12:00"), People: []int{1}},
		{Job: "Wash", Boat: "Tern", From: at("13 08:00"), To: at("13 12:00"), People: []int{1}},
	}}
	const line = "Crew Ada and Ben on Tern (Wash): Fri 11 Sep 08:00-12:00 (1); Sun 13 Sep 08:00-12:00 (1). Not booked here then, nor for 30 min before and after."
	const owner = "The crew works on another boat on Fri 11 Sep."
	ask := func() (notes []*answer.Note) {
		for _, to := range []string{ToOwner, ToCrew} {
			notes = append(notes, NoteOfWeek(w, to, metric), NoteOfMove(m, to, metric))
		}
		return notes
	}
	for _, n := range ask() {
		assert.NotContains(t, strings.Join(append(n.What, n.Why...), "\n"), "Tern")
	}
	w.Crew, m.Crew = crew, crew
	for _, n := range ask() {
		what, why := untied(n.What), untied(n.Why)
		if n.To == ToCrew {
			assert.Equal(t, line, what[len(what)-1])
			assert.NotContains(t, why, owner)
			continue
		}
		assert.Contains(t, why, owner, "to the end of the plan")
		assert.NotContains(t, strings.Join(append(what, why...), "\n"), "Tern")
	}
	w.Plan = &answer.Plan{State: answer.None, Why: []string{"there is no plan while the crew is elsewhere: it is on Tern (Wash) until Sun 13 Sep 12:00"},
		ForOwner: []string{"there is no plan while the crew is elsewhere: it is on another boat until Sun 13 Sep 12:00"}}
	n := NoteOfWeek(w, ToOwner, metric)
	assert.Contains(t, untie(n.Why[0]), "it is on another boat until Sun 13 Sep")
	n = NoteOfWeek(w, ToCrew, metric)
	assert.Contains(t, untied(n.What), line)
	w.Plan = &answer.Plan{State: answer.Go, Held: ptr(at("10 10:50")), Blocks: m.Plan.Blocks}
	const broken = answer.BrokenPlan + "Thu 10 Sep 10:50 does not hold: seal on transom: its people are on Tern (Wash) then, or on the way; move it or plan anew"
	w.Warnings, w.Plan.ForOwner = []string{broken}, []string{strings.Replace(broken, "Tern (Wash)", "another boat", 1)}
	assert.Contains(t, untie(NoteOfWeek(w, ToOwner, metric).Change[0]), "its people are on another boat then")
	assert.Contains(t, untie(NoteOfWeek(w, ToCrew, metric).Change[0]), "its people are on Tern (Wash) then")
}

func untied(list []string) []string {
	out := make([]string, len(list))
	for i, s := range list {
		out[i] = untie(s)
	}
	return out
}

// Whatever names and numbers are in an answer, the page keeps its rules.
func TestAnyMoveKeepsTheRules(t *testing.T) {
	t.Parallel()
	block := rapid.Custom(func(t *rapid.T) answer.PlanBlock {
		from := anyTime().Draw(t, "from")
		return answer.PlanBlock{
			From: from, To: from.Add(time.Duration(rapid.IntRange(1, 300).Draw(t, "n")) * 10 * time.Minute), Step: anyName().Draw(t, "step"),
			Zone: anyName().Draw(t, "zone"), Product: anyName().Draw(t, "product"), People: []int{1, 22, 333}[:rapid.IntRange(0, 3).Draw(t, "people")],
			State: anyName().Draw(t, "state"), Confidence: rapid.Float64Range(0, 1).Draw(t, "c"), NeedsConsent: rapid.Bool().Draw(t, "asks"),
			SectionM2: anyMaybe(anyNumber()).Draw(t, "m2"), Reason: anyName().Draw(t, "why"), Redo: rapid.Bool().Draw(t, "redo"),
		}
	})
	rapid.Check(t, func(t *rapid.T) {
		a := afterRain()
		a.Boat, a.Place.Name, a.Handover.Text = anyName().Draw(t, "boat"), anyName().Draw(t, "place"), anyName().Draw(t, "hand-over")
		a.AddedH, a.Moved = anyNumber().Draw(t, "added"), rapid.IntRange(0, 99).Draw(t, "moved")
		a.Zones = append(a.Zones, answer.Fate{
			Zone: anyName().Draw(t, "zone"), Step: anyName().Draw(t, "step"), Fate: anyName().Draw(t, "fate"), AreaM2: anyMaybe(anyNumber()).Draw(t, "m2"),
			From: anyMaybe(anyTime()).Draw(t, "from"), To: anyMaybe(anyTime()).Draw(t, "to"), DryTowel: anyMaybe(anyTime()).Draw(t, "towel"), Text: anyName().Draw(t, "text"),
		})
		a.Changes = append(a.Changes, answer.BlockChange{
			Change: rapid.SampledFrom([]string{"kept", "moved", "added", "done", "dropped", "none", ""}).Draw(t, "change"),
			Text:   anyName().Draw(t, "reason"), Before: anyMaybe(block).Draw(t, "before"), After: anyMaybe(block).Draw(t, "after"),
		})
		a.Plan.Blocks = rapid.SliceOfN(block, 0, 4).Draw(t, "blocks")
		a.Owner = rapid.SliceOfN(anyName(), 0, 3).Draw(t, "owner")
		a.Ladder = []answer.Rung{{
			Way: anyName().Draw(t, "way"), Tried: rapid.Bool().Draw(t, "tried"), Works: rapid.Bool().Draw(t, "works"), What: anyName().Draw(t, "what"),
			Why: anyName().Draw(t, "why not"), Asks: anyName().Draw(t, "whom"), Plan: a.Plan, Other: []string{anyName().Draw(t, "note")},
		}}
		o := Options{Units: rapid.SampledFrom([]string{"metric", "us"}).Draw(t, "units"), Colour: rapid.Bool().Draw(t, "colour"), Width: rapid.SampledFrom([]int{0, 40, 48, 60, 100}).Draw(t, "width")}
		var b bytes.Buffer
		require.NoError(t, Move(&b, a, o))
		keepsTheRules(t, b.String(), o)
		for _, to := range []string{ToOwner, ToCrew} {
			b.Reset()
			require.NoError(t, Note(&b, NoteOfMove(a, to, o), o))
			plain := o
			plain.Colour = false
			keepsTheRules(t, b.String(), plain)
		}
	})
}

// A note asks once for what is alike on one day, and names nothing as least sure where
// all of it holds in every forecast.
func TestNote_AsksOnce(t *testing.T) {
	a := emptyWeek()
	a.Source.Members, a.Source.Dressed = 11, 0
	one, two := blockOn("10 08:30", "10:20", "seal", "port side", "polymer-sealant", 1), blockOn("10 10:20", "12:10", "seal", "port side", "polymer-sealant", 1)
	other, next := blockOn("10 12:10", "13:00", "seal", "foredeck", "polymer-sealant", 1), blockOn("11 08:30", "09:00", "seal", "port side", "polymer-sealant", 1)
	for _, b := range []*answer.PlanBlock{one, two, other, next} {
		b.NeedsConsent, b.ConsentFor, b.Confidence = true, "too windy", 1
	}
	a.Plan = &answer.Plan{State: "marginal", Confidence: 1, Blocks: []answer.PlanBlock{*one, *two, *other, *next}}
	n := NoteOfWeek(a, ToOwner, metric)
	require.Len(t, n.Asks, 3, "another zone and another day are asked for on their own")
	assert.Contains(t, untie(n.Asks[0]), "(too windy): seal on the port side, Thu 10 Sep 08:30-10:20 and 10:20-12:10?")
	require.Len(t, n.Change, 1)
	assert.Contains(t, untie(n.Change[0]), "All of it holds in 11 of 11 forecasts: only rain or damp")

	a.Plan.Blocks[1].Confidence = 10.0 / 11
	n = NoteOfWeek(a, ToOwner, metric)
	require.Len(t, n.Change, 1)
	assert.Contains(t, untie(n.Change[0]), "Least sure: seal on the port side, Thu 10 Sep: holds in 10 of 11 forecasts.")
}

// A narrow page says of a block once when it is, and of one that moved from when to when.
func TestMove_NarrowHours(t *testing.T) {
	block := func(from, to string) *answer.PlanBlock {
		return &answer.PlanBlock{Step: "seal", Zone: "transom", From: at(from), To: at(to), People: []int{1}}
	}
	line := func(change string, before, after *answer.PlanBlock) string {
		p := newPage(Options{Width: 59})
		p.blockChange(answer.BlockChange{Change: change, Before: before, After: after, Text: "rain"})
		return strings.Join(strings.Fields(p.b.String()), " ")
	}
	a, b := block("10 08:20", "10 10:20"), block("11 08:30", "11 09:50")
	assert.Equal(t, "= kept Thu 10 Sep 08:20-10:20 (1) seal, transom.", line("kept", a, a))
	assert.Equal(t, "= kept from Thu 10 Sep 08:20-10:20 to Fri 11 Sep 08:30-09:50 (1) seal, transom.", line("kept", a, b))
	assert.Equal(t, "> moved from Thu 10 Sep 08:20-10:20 to Fri 11 Sep 08:30-09:50 (1) seal, transom: rain.", line("moved", a, b))
	assert.Equal(t, ". done Thu 10 Sep 08:20-10:20 (1) seal, transom.", line("done", a, nil))
	assert.Equal(t, "& new Fri 11 Sep 08:30-09:50 (1) seal, transom: rain.", line("added", nil, b))
}
