package watch

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func texts(list []answer.WatchChange) []string {
	var out []string
	for _, c := range list {
		out = append(out, c.Text)
	}
	return out
}

func TestDigest(t *testing.T) {
	b := work(t, "wash", "port side", "10 07:30")
	b.State = "ideal"
	yes := work(t, "seal", "port side", "11 08:00")
	yes.NeedsConsent = true
	w := weekOf(t, "9 06:00", b, yes)
	w.Windows = []answer.Window{
		{Step: "seal", From: at(t, "8 08:00"), To: at(t, "9 06:00"), State: "go"}, // over
		{Step: "seal", From: at(t, "9 08:00"), To: at(t, "9 10:00"), State: "marginal"},
		{Step: "seal", From: at(t, "11 08:00"), To: at(t, "11 10:00"), State: "go"},
		{Step: "seal", From: at(t, "10 08:00"), To: at(t, "10 10:00"), State: "ideal"},
		{Step: "seal", From: at(t, "10 08:00"), To: at(t, "10 11:00"), State: "go"},
		{Step: "wash", From: at(t, "9 12:00"), To: at(t, "9 13:00"), State: "marginal"},
		{Step: "wash", From: at(t, "9 08:00"), To: at(t, "9 13:00"), State: "marginal"},
	}
	assert.Equal(t, Digest{
		Verdict: "go", Plan: "go", Confidence: 90,
		Blocks: []Block{
			{Step: "wash", Zone: "port side", Coat: 1, From: b.From, To: b.To, State: "go"},
			{Step: "seal", Zone: "port side", Coat: 1, From: yes.From, To: yes.To, State: "marginal"},
		},
		Windows: []Window{
			{"seal", at(t, "10 08:00"), at(t, "10 11:00"), "go"},
			{"wash", at(t, "9 08:00"), at(t, "9 13:00"), "marginal"},
		},
	}, DigestOf(w))
	w.Plan = nil
	assert.Empty(t, DigestOf(w).Plan)
}

// Each line is one thing that a person wants to know.
func TestDiff(t *testing.T) {
	wash, seal := work(t, "wash", "port side", "10 07:30"), work(t, "seal", "port side", "11 08:00")
	was := weekOf(t, "9 06:00", wash, seal)
	was.Plan.Ends = &seal.To
	for name, c := range map[string]struct {
		is   func() *answer.Week
		want []string
	}{
		"nothing": {func() *answer.Week { return weekOf(t, "9 07:00", wash, seal) }, nil},
		"ideal": {func() *answer.Week {
			b := seal
			b.State = "ideal"
			return weekOf(t, "9 07:00", wash, b)
		}, nil},
		"a little": {func() *answer.Week {
			b := seal
			b.From, b.To = b.From.Add(20*time.Minute), b.To.Add(20*time.Minute)
			return weekOf(t, "9 07:00", wash, b)
		}, nil},
		"a block moves": {func() *answer.Week { return weekOf(t, "9 07:00", wash, work(t, "seal", "port side", "12 09:00")) },
			[]string{"seal, port side: Fri 11 Sep 08:00-09:00 → Sat 12 Sep 09:00-10:00"}},
		"a block takes longer": {func() *answer.Week {
			b := seal
			b.To = b.To.Add(30 * time.Minute)
			return weekOf(t, "9 07:00", wash, b)
		}, []string{"seal, port side: Fri 11 Sep 08:00-09:00 → Fri 11 Sep 08:00-09:30"}},
		"a block needs a yes": {func() *answer.Week {
			b := seal
			b.NeedsConsent = true
			return weekOf(t, "9 07:00", wash, b)
		}, []string{"seal, port side: Fri 11 Sep 08:00-09:00, go → marginal"}},
		"a block moves and needs one": {func() *answer.Week {
			b := work(t, "seal", "port side", "12 09:00")
			b.NeedsConsent = true
			return weekOf(t, "9 07:00", wash, b)
		}, []string{"seal, port side: Fri 11 Sep 08:00-09:00, go → Sat 12 Sep 09:00-10:00, marginal"}},
		"a block more": {func() *answer.Week { return weekOf(t, "9 07:00", wash, seal, work(t, "seal", "transom", "11 10:00")) },
			[]string{"seal, transom: not planned → Fri 11 Sep 10:00-11:00, go"}},
		"a block done": {func() *answer.Week { return weekOf(t, "9 07:00", seal) }, nil},
		"no plan": {func() *answer.Week { return unplanned(t, "9 07:00") },
			[]string{"verdict go → no-go", "plan go → none"}},
		"a plan of a part": {func() *answer.Week {
			w := weekOf(t, "9 07:00", wash, seal)
			w.Plan.Part = &answer.Part{What: "all but transom"}
			return w
		}, []string{"plan go → go for a part of the job"}},
		"less sure": {func() *answer.Week {
			w := weekOf(t, "9 07:00", wash, seal)
			w.Plan.Confidence = 0.7
			return w
		}, []string{"confidence 90 % → 70 %"}},
		"hardly less sure": {func() *answer.Week {
			w := weekOf(t, "9 07:00", wash, seal)
			w.Plan.Confidence = 0.71
			return w
		}, nil},
		"an end a day later": {func() *answer.Week {
			w := weekOf(t, "9 07:00", wash, seal)
			w.Plan.Ends = new(at(t, "12 09:00"))
			return w
		}, []string{"done Fri 11 Sep 09:00 → Sat 12 Sep 09:00"}},
		"windows beside a plan": {func() *answer.Week {
			w := weekOf(t, "9 07:00", wash, seal)
			w.Windows = nil
			return w
		}, nil},
	} {
		w := c.is()
		assert.Equal(t, c.want, texts(Diff(DigestOf(was), DigestOf(w), w.Now)), name)
	}
}

// Where there is no plan, people wait for the first window.
func TestDiffOfWindows(t *testing.T) {
	first := Window{"seal", at(t, "11 08:00"), at(t, "11 12:00"), "go"}
	was := Digest{Verdict: "no-go", Plan: answer.None, Windows: []Window{first}}
	change := func(f func(*Window)) Digest {
		is := was
		x := first
		f(&x)
		is.Windows = []Window{x}
		return is
	}
	now := at(t, "9 07:00")
	assert.Equal(t, []string{"first window to seal: Fri 11 Sep 08:00-12:00 → Fri 11 Sep 10:00-12:00"},
		texts(Diff(was, change(func(x *Window) { x.From = at(t, "11 10:00") }), now)))
	assert.Equal(t, []string{"first window to seal: Fri 11 Sep 08:00-12:00 → Fri 11 Sep 08:00-12:00, marginal"},
		texts(Diff(was, change(func(x *Window) { x.State = "marginal" }), now)))
	assert.Empty(t, Diff(was, change(func(x *Window) { x.To = at(t, "11 13:50") }), now), "hardly")
	none := was
	none.Windows = nil
	assert.Equal(t, []string{"first window to seal: Fri 11 Sep 08:00-12:00 → none"}, texts(Diff(was, none, now)))
	assert.Equal(t, []string{"first window to seal: none → Fri 11 Sep 08:00-12:00"}, texts(Diff(none, was, now)))
	assert.Empty(t, Diff(none, none, now))
}

// Why a block has moved is known where the plan that was held was moved.
func TestReasons(t *testing.T) {
	to, redo := work(t, "seal", "port side", "12 08:00"), work(t, "seal", "foredeck", "12 08:00")
	was, is := weekOf(t, "10 06:00", work(t, "seal", "port side", "11 08:00")), weekOf(t, "10 07:00", to, redo)
	moves := []answer.BlockChange{
		{Change: "kept", After: &to, Text: "stands"}, {Change: "moved", Text: "gone"}, {Change: "moved", After: &to, Text: "rain at 10:00"},
		{Change: "added", After: &redo, Text: "spoiled by rain"},
	}
	_, told := decide(Told{}, see(Asked{Week: was}, "f", at(t, "10 06:00")))
	n, _ := decide(told, see(Asked{Week: is, Moves: moves}, "f", at(t, "10 07:00")))
	require.NotNil(t, n)
	require.Len(t, n.Changes, 2)
	assert.Equal(t, "spoiled by rain", n.Changes[1].Why)
	assert.Equal(t, "rain at 10:00", n.Changes[0].Why)
	assert.True(t, strings.HasSuffix(n.Changes[0].Text, "→ Sat 12 Sep 08:00-09:00 (rain at 10:00)"), n.Changes[0].Text)
}

func TestPartsOfAZone(t *testing.T) {
	a, b := work(t, "seal", "port side", "10 08:00"), work(t, "seal", "port side", "11 08:00")
	was := DigestOf(weekOf(t, "9 06:00", a, b))
	assert.Empty(t, Diff(was, DigestOf(weekOf(t, "10 12:00", b)), at(t, "10 12:00")), "the first is done")
	assert.Equal(t, []string{"seal, port side: Fri 11 Sep 08:00-09:00 → Sat 12 Sep 08:00-09:00"},
		texts(Diff(was, DigestOf(weekOf(t, "9 07:00", a, work(t, "seal", "port side", "12 08:00"))), at(t, "9 07:00"))), "the second moves")
	assert.Equal(t, []string{"seal, port side: Thu 10 Sep 08:00-09:00 → Sat 12 Sep 08:00-09:00"},
		texts(Diff(was, DigestOf(weekOf(t, "9 07:00", b, work(t, "seal", "port side", "12 08:00"))), at(t, "9 07:00"))), "the first moves behind it")
}

// Work that has begun and that nobody has logged slides along all day; that is told
// when it has become another day's.
func TestWorkUnderWay(t *testing.T) {
	digest := func(now, from string) Digest {
		d := DigestOf(weekOf(t, now, work(t, "wash", "port side", from)))
		d.Windows = nil
		return d
	}
	was, later := digest("10 06:00", "10 08:00"), digest("10 10:00", "10 10:00")
	assert.Empty(t, Diff(was, later, at(t, "10 10:00")))
	assert.NotEmpty(t, Diff(was, later, at(t, "10 07:50")), "it had not begun")
	tomorrow := digest("10 17:00", "11 08:00")
	assert.Equal(t, []string{"wash, port side: Thu 10 Sep 08:00-09:00 → Fri 11 Sep 08:00-09:00"}, texts(Diff(was, tomorrow, at(t, "10 17:00"))))
}

func TestWindowsPass(t *testing.T) {
	was := []Window{{"seal", at(t, "10 08:00"), at(t, "10 12:00"), "go"}}
	next := []Window{{"seal", at(t, "12 08:00"), at(t, "12 12:00"), "go"}}
	assert.NotEmpty(t, diffWindows(was, next, at(t, "10 07:00")), "it was taken away")
	assert.Empty(t, diffWindows(was, next, at(t, "10 12:00")), "it has passed")
	open := []Window{{"seal", at(t, "10 11:00"), at(t, "10 12:00"), "go"}}
	assert.Empty(t, diffWindows(was, open, at(t, "10 11:00")), "what is left of it")
	assert.Equal(t, next, rolled(Digest{Windows: was}, Digest{Windows: next}, at(t, "10 12:00")).Windows)
	assert.Equal(t, was, rolled(Digest{Windows: was}, Digest{Windows: next}, at(t, "10 09:00")).Windows)
	assert.Equal(t, was, rolled(Digest{Windows: was}, Digest{}, at(t, "10 09:00")).Windows)
	assert.Equal(t, next, rolled(Digest{Windows: was}, Digest{Windows: next}, at(t, "10 09:10")).Windows, "too short for anything")
	assert.Empty(t, diffWindows(was, next, at(t, "10 09:10")), "and not missed")
	assert.Empty(t, rolled(Digest{Windows: was}, Digest{}, at(t, "10 12:00")).Windows)
}

func TestBegunIsRemembered(t *testing.T) {
	was := DigestOf(weekOf(t, "10 06:00", work(t, "wash", "port side", "10 08:00")))
	is := DigestOf(weekOf(t, "10 09:00", work(t, "seal", "port side", "11 08:00")))
	both := withBegun(is, was, at(t, "10 09:00"))
	assert.Len(t, both.Blocks, 2)
	assert.Len(t, is.Blocks, 1, "the digest itself is left alone")
	assert.Len(t, withBegun(both, both, at(t, "10 09:00")).Blocks, 2, "each once")
	assert.Len(t, withBegun(is, was, at(t, "10 07:00")).Blocks, 1, "it had not begun")
	assert.Len(t, withBegun(is, was, at(t, "12 09:00")).Blocks, 1, "long ago")
}

// anyDigest draws digests of a few steps and zones.
func anyDigest(t *rapid.T, name string) Digest {
	start := time.Date(2026, 9, 10, 6, 0, 0, 0, east)
	span := func(label string) (time.Time, time.Time) {
		from := start.Add(time.Duration(rapid.IntRange(0, 600).Draw(t, label)) * 10 * time.Minute)
		return from, from.Add(time.Duration(rapid.IntRange(1, 30).Draw(t, label+" for")) * 10 * time.Minute)
	}
	state := rapid.SampledFrom([]string{"go", "marginal"})
	d := Digest{Verdict: rapid.SampledFrom([]string{"go", "no-go"}).Draw(t, name), Plan: rapid.SampledFrom([]string{"go", "marginal", "none"}).Draw(t, name+" plan"),
		Confidence: rapid.IntRange(0, 100).Draw(t, name+" sure")}
	for range rapid.IntRange(0, 4).Draw(t, name+" blocks") {
		from, to := span(name)
		d.Blocks = append(d.Blocks, Block{Step: rapid.SampledFrom([]string{"wash", "seal"}).Draw(t, name+" step"), Zone: "port side", Coat: 1, From: from, To: to, State: state.Draw(t, name+" state")})
	}
	for _, step := range []string{"wash", "seal"} {
		if rapid.Bool().Draw(t, name+" window") {
			from, to := span(name + " window")
			d.Windows = append(d.Windows, Window{step, from, to, state.Draw(t, name+" state")})
		}
	}
	return d
}

// Nothing is told of what is the same, whenever it is looked at; time alone tells
// nothing; and what was kept on the disk is the same as what was seen.
func TestSameIsSilent(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := anyDigest(t, "digest")
		now := time.Date(2026, 9, 10, 6, 0, 0, 0, east).Add(time.Duration(rapid.IntRange(0, 900).Draw(t, "later")) * 10 * time.Minute)
		if c := Diff(d, d, now); len(c) > 0 {
			t.Fatalf("of nothing: %v", texts(c))
		}
		data, err := json.Marshal(d)
		if err != nil {
			t.Fatalf("%v", err)
		}
		var kept Digest
		if err := json.Unmarshal(data, &kept); err != nil {
			t.Fatalf("%v", err)
		}
		if c := append(Diff(kept, d, now), Diff(d, kept, now)...); len(c) > 0 {
			t.Fatalf("of what was kept: %v", texts(c))
		}
		if c := Diff(rolled(d, d, now), d, now); len(c) > 0 {
			t.Fatalf("of what passed: %v", texts(c))
		}
	})
}

// Told once is told: after any change the next look at the same answer is silent.
func TestToldOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := anyDigest(t, "was"), anyDigest(t, "is")
		now := time.Date(2026, 9, 10, 6, 0, 0, 0, east)
		week := &answer.Week{Now: now, Verdict: b.Verdict}
		was := Told{Status: answer.WatchOK, Good: now, Digest: a}
		s := seen{file: "f", now: now, status: answer.WatchOK, week: week, digest: b}
		_, is := decide(was, s)
		if n, _ := decide(is, s); n != nil && len(Diff(a, b, now)) > 0 {
			t.Fatalf("told again: %v", texts(n.Changes))
		}
	})
}

func TestSpan(t *testing.T) {
	assert.Equal(t, "Thu 10 Sep 07:30-08:00", span(at(t, "10 07:30"), at(t, "10 08:00")))
	assert.Equal(t, "Thu 10 Sep 23:30-Fri 11 Sep 00:30", span(at(t, "10 23:30"), at(t, "11 00:30")))
	assert.Equal(t, "Thu 10 Sep 07:30-08:00", span(at(t, "10 07:30"), at(t, "10 08:00").UTC()), "by one clock")
	require.True(t, sameDay(at(t, "10 23:30").UTC(), at(t, "10 08:00")), "by the place's day")
}

// What matters is told first: the whole job, then the step that the week is asked about, and
// last the washes, whoever forgot to log one.
func TestByWeight(t *testing.T) {
	do := func(x answer.PlanBlock, do string) answer.PlanBlock { x.Do = do; return x }
	plan := func(d string) *answer.Week {
		w := weekOf(t, "9 06:00", do(work(t, "rinse", "port side", d+" 07:30"), "wash"), do(work(t, "rinse", "transom", d+" 08:00"), "wash"),
			do(work(t, "rinse", "foredeck", d+" 08:30"), "wash"), do(work(t, "buff", "port side", d+" 10:00"), "correct"), do(work(t, "coat", "port side", d+" 13:00"), "seal"))
		w.Headline = &answer.Headline{Step: "coat"}
		return w
	}
	later := plan("12")
	later.Plan.State = answer.Marginal
	was, is := DigestOf(plan("10")), seen{now: at(t, "9 06:00"), week: later, digest: DigestOf(later), status: answer.WatchOK}
	news, _ := compare(Told{Status: answer.WatchOK, At: is.now, Good: is.now, Digest: was}, is)
	require.NotNil(t, news)
	var order []string
	for _, c := range news.Changes {
		order = append(order, strings.TrimSpace(c.What+" "+c.Step+" "+c.Zone))
	}
	assert.Equal(t, []string{"plan", "block coat port side", "block buff port side", "block rinse port side", "block rinse transom", "block rinse foredeck"}, order)
	assert.Contains(t, changesLine(news.Changes), "coat, port side: ", "the line of a terminal tells three")
	later.Headline, later.Plan = nil, nil
	assert.Len(t, byWeight(news.Changes, later), 6)
}
