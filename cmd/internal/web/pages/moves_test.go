package pages

import (
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Ways to get on are told with what they change, who has to be asked, and the plan that
// they give; one that does not work says why.
func TestTheLadderIsTold(t *testing.T) {
	quay, err := time.LoadLocation("America/New_York")
	require.NoError(t, err)
	at := func(h float64) time.Time { return six.In(quay).Add(time.Duration(h * float64(time.Hour))) }
	plan := &answer.Plan{State: "go", Confidence: 1, Blocks: []answer.PlanBlock{{Step: "seal", Zone: "port side", From: at(2), To: at(4), State: "go", People: []int{1}}}}
	ladder := []answer.Rung{
		{Way: "sheltered_zone", Tried: true, Works: true, What: "what lies under the hardtop first, at 2 K over dew point", Plan: plan},
		{Way: "wet_step", Tried: true, What: "the wet work now", Why: "nothing wet is left"},
		{Way: "shorter_clock", Tried: true, Works: true, Asks: "owner", What: "the rain-free hours at their least", Plan: plan},
		{Way: "sheet", Tried: true, Works: true, Asks: "marina", What: "a sheet over the port side", Plan: plan},
		{Way: "turn", Why: "she lies alongside"},
		{Way: "next_window", Tried: true, Works: false, Why: "the forecast ends before"},
	}
	for units, spread := range map[string]string{"": "2 °C over dew point", "us": "3.6 °F over dew point"} {
		s := telling(t, units, func(d *tale) {
			d.week = func(w *answer.Week) {
				w.Plan, w.Ladder = &answer.Plan{State: answer.None}, ladder
				w.Source.AgeS = ptr(int64(600))
			}
		})
		root := decent(t, "/week", s.get("/week/kittiwake").Body.String())
		list := root.all(func(n *node) bool { return n.attr["class"] == "ladder" })
		require.Len(t, list, 1)
		rungs := list[0].elements()
		require.Len(t, rungs, len(ladder))
		for i, want := range []string{"Under a roof", "Wet work: the wet work now: nothing wet is left", "Shorter clock", "Sheet or canvas", "Turn the boat: she lies alongside", "Next window"} {
			says(t, rungs[i].text(), want)
		}
		says(t, rungs[0].text(), spread, "Tue 8 Sep 08:00–10:00 seal port side", "Holds in 11 of 11 forecasts.")
		says(t, rungs[2].text(), "ask the owner")
		says(t, rungs[3].text(), "ask the marina")
		for _, i := range []int{1, 4, 5} {
			says(t, rungs[i].text(), "no place")
			assert.NotContains(t, rungs[i].text(), "Holds in")
		}
	}
	assert.Equal(t, "a helper", wayWord("helper"))
	assert.Equal(t, "by_moonlight", wayWord("by_moonlight"), "a way that a later dewgap knows")
}

// aMove is a move with everything in it.
func aMove(w *answer.Week) *answer.Move {
	at := func(h float64) time.Time { return six.In(w.Now.Location()).Add(time.Duration(h * float64(time.Hour))) }
	block := func(zone string, h float64) *answer.PlanBlock {
		return &answer.PlanBlock{Step: "seal", Zone: zone, From: at(h), To: at(h + 2), State: "go", People: []int{1, 2}}
	}
	return &answer.Move{
		Now: w.Now, Place: w.Place, Source: w.Source, Verdict: "marginal", Blocks: 4, Moved: 2, Proven: true, AddedH: 2.5,
		Rain:     []answer.Rain{{From: at(-5), To: at(-4), MM: ptr(4.0), Observed: true}, {From: at(-2), To: at(-1), MM: nil}},
		Handover: answer.Handover{Kept: true, Text: "hand-over Wed 9 Sep is kept"},
		Zones: []answer.Fate{
			{Zone: "port side", Step: "seal", Fate: "redo", Hazing: true, AreaM2: ptr(5.0), From: ptr(at(-3)), To: ptr(at(-2.5)), Text: "rinse it off", DryTowel: ptr(at(1)), Dry: ptr(at(5))},
			{Zone: "transom", Step: "seal", Fate: "inspect", Text: "look at it"}, {Zone: "helm", Step: "seal", Fate: "good", Text: "it stands"},
			{Zone: "foredeck", Step: "strip wash", Fate: "rewash", Text: "wash it again"},
		},
		Changes: []answer.BlockChange{
			{Change: "kept", Reason: "stands", Before: block("helm", 5), After: block("helm", 5), Text: "it stands"},
			{Change: "moved", Reason: "weather", Before: block("transom", 6), After: block("transom", 30), Text: "water on the panel"},
			{Change: "added", Reason: "redo", After: block("port side", 8), Text: "rain took it"},
			{Change: "done", Reason: "stands", Before: block("swim platform", -8), Text: "done"},
			{Change: "none", Reason: "room", Before: block("foredeck", 9), Text: "no day has room"},
			{Change: "dropped", Reason: "lost", Before: block("roof", 9), Text: "nothing is left of it"},
		},
		Plan: &answer.Plan{State: "marginal", Why: []string{"as few blocks as can be are moved"}}, Owner: []string{"It rained on the port side.", "It is done on Wednesday at 3 K over dew point."},
		TellBy: ptr(at(3)),
	}
}

// The page after rain tells what became of the work, before and after for each block,
// and a message for the owner, in the units of the page; no state is told by colour
// alone.
func TestAMoveIsTold(t *testing.T) {
	for units, want := range map[string][]string{"": {"4.0 mm", "5.0 m²", "3 °C over dew point"}, "us": {"0.16 in", "54 sq ft", "5.4 °F over dew point"}} {
		s := telling(t, units, func(d *tale) {
			w, err := d.Desk.Week(t.Context(), "kittiwake")
			require.NoError(t, err)
			d.move = aMove(w)
		})
		root := decent(t, "/move", s.get("/move/kittiwake").Body.String())
		text := root.named("main")[0].text() + root.all(func(n *node) bool { return n.attr["id"] == "message" })[0].text()
		says(t, text, append(want, "Moved 2 of 4 blocks, no fewer will do", "Hand-over Wed 9 Sep is kept. It costs 2 h 30 of work.", "Tue 8 Sep 01:00–02:00",
			"(forecast)", "Rinse, never wipe. Rinse it off. Dry 07:00 by towel. Dry by itself 11:00.", "03:00 to 03:30", "Tell by 09:00.", "Stays as it was (2)",
			"It waits for your yes", "As few blocks as can be are moved.")...)
		changes := root.all(func(n *node) bool { return n.attr["class"] == "changes" })
		require.Len(t, changes, 2, "what changes, and what stays")
		var words []string
		for _, li := range append(changes[0].elements(), changes[1].elements()...) {
			words = append(words, li.named("b")[0].text())
		}
		assert.Equal(t, []string{"moved", "new", "no place", "dropped", "kept", "done"}, words)
		says(t, changes[0].elements()[0].text(), "BeforeTue 8 Sep 12:00–14:00", "AfterWed 9 Sep 12:00–14:00", "Water on the panel.")
		says(t, changes[0].elements()[1].text(), "Before–", "AfterTue 8 Sep 14:00–16:00")
	}
}

// Neither the week nor a move waits for a yes that the job has.
func TestAYesThatIsGivenIsNotWaitedFor(t *testing.T) {
	for _, accepted := range []bool{false, true} {
		s := telling(t, "", func(d *tale) {
			w, err := d.Desk.Week(t.Context(), "kittiwake")
			require.NoError(t, err)
			d.move = aMove(w)
			d.move.Plan.Accepted = accepted
			d.week = func(w *answer.Week) { w.Plan = &answer.Plan{State: answer.Marginal, Accepted: accepted} }
		})
		for _, path := range []string{"/week/kittiwake", "/move/kittiwake"} {
			assert.Equal(t, !accepted, strings.Contains(s.get(path).Body.String(), "It waits for your yes"), "%s %v", path, accepted)
		}
	}
}

// A block is worked with the yes that the job gives, and does not ask for it again.
func TestABlockDoesNotAskForAYesThatIsGiven(t *testing.T) {
	for accepted, want := range map[bool]string{false: "Needs your yes", true: "With your yes"} {
		var day string
		s := telling(t, "", func(d *tale) {
			w, err := d.Desk.Week(t.Context(), "kittiwake")
			require.NoError(t, err)
			b := answer.PlanBlock{Step: "seal", Zone: "port side", People: []int{1}, State: answer.Marginal, NeedsConsent: true, ConsentFor: "wind",
				From: w.From.Add(8 * time.Hour), To: w.From.Add(9 * time.Hour)}
			day = "/day/kittiwake/" + isoDay(b.From)
			d.week = func(w *answer.Week) {
				w.Plan = &answer.Plan{State: answer.Marginal, Accepted: accepted, Blocks: []answer.PlanBlock{b}}
			}
		})
		for _, path := range []string{"/week/kittiwake", day, day + "/sheet"} {
			page := s.get(path).Body.String()
			assert.Contains(t, page, "<b>"+want, "%s %v", path, accepted)
			assert.Equal(t, !accepted, strings.Contains(page, "<b>Needs your yes"), "%s %v", path, accepted)
		}
	}
}

// The sheet goes along to the dock: what has to be masked, rinsed or washed again there
// stands on it as on the page of the day.
func TestTheSheetTellsWhatToMask(t *testing.T) {
	var day string
	s := telling(t, "", func(d *tale) {
		w, err := d.Desk.Week(t.Context(), "kittiwake")
		require.NoError(t, err)
		mask, again := "slurry would run onto port side: mask it, panel 3 °C", "stripped 50 h before: strip wash it once more, by 18:00"
		b := answer.PlanBlock{Step: "correct", Zone: "foredeck", People: []int{1}, State: "go", Mind: mask, WashAgain: again, Reason: again + ", " + mask,
			From: w.From.Add(8 * time.Hour), To: w.From.Add(9 * time.Hour)}
		day = "/day/kittiwake/" + isoDay(b.From)
		d.week = func(w *answer.Week) { w.Plan = &answer.Plan{State: "go", Blocks: []answer.PlanBlock{b}} }
	})
	for _, path := range []string{day, day + "/sheet"} {
		text := strings.ToLower(parsePage(t, s.get(path).Body.String()).text())
		says(t, text, "slurry would run onto port side: mask it", "stripped 50 h before: strip wash it once more, by 18:00")
	}
}

// A block that stands where it stood and asks for a wash anew by some hour is not folded
// away with those that ask for nothing.
func TestAKeptBlockWithADutyIsShown(t *testing.T) {
	s := telling(t, "", func(d *tale) {
		w, err := d.Desk.Week(t.Context(), "kittiwake")
		require.NoError(t, err)
		d.move = aMove(w)
		d.move.Changes[0].After.WashAgain = "stripped 50 h before: strip wash it once more, by 18:00"
	})
	root := decent(t, "/move", s.get("/move/kittiwake").Body.String())
	changes := root.all(func(n *node) bool { return n.attr["class"] == "changes" })
	require.Len(t, changes, 2)
	says(t, changes[0].elements()[0].text(), "kept Seal helm", "Stripped 50 h before: strip wash it once more, by 18:00.")
	says(t, root.named("main")[0].text(), "Stays as it was (1)")
	assert.NotContains(t, changes[1].text(), "helm")
}

// The line over a move says what it comes to.
func TestTheHeadOfAMove(t *testing.T) {
	for want, m := range map[string]*answer.Move{
		"No plan fits the weather any longer":                                            {Blocks: 3, Plan: &answer.Plan{State: answer.None}},
		"No plan fits the weather any longer ":                                           {Blocks: 3},
		"No block of an earlier plan is left to do":                                      {Plan: &answer.Plan{State: "go"}},
		"Moved 1 of 3 blocks":                                                            {Blocks: 3, Moved: 1, Plan: &answer.Plan{State: "go"}},
		"Moved 2 of 3 blocks, at least 1 must":                                           {Blocks: 3, Moved: 2, Least: 1, Plan: &answer.Plan{State: "go"}},
		"Moved 1 of 3 blocks, no fewer will do":                                          {Blocks: 3, Moved: 1, Proven: true, Plan: &answer.Plan{State: "go"}},
		"Moved 0 of 3 blocks":                                                            {Blocks: 3, Proven: true, Plan: &answer.Plan{State: "go"}},
		"Too little is known of the weather to make a plan":                              {Verdict: answer.Unknown, Plan: &answer.Plan{State: answer.None}},
		"Too little is known of the weather to move anything: the plan stands as agreed": {Verdict: answer.Unknown, Plan: &answer.Plan{State: answer.Unknown}},
		"No block of an earlier plan is left to do ":                                     {Proven: true, Plan: &answer.Plan{State: "marginal"}},
	} {
		assert.Equal(t, strings.TrimSpace(want), si.moveHead(m))
	}
}
