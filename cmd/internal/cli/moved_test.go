package cli

import (
	"testing"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/window"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// quay is the clock at the place at a quarter past twelve.
func quay(t *testing.T) placeClock {
	t.Helper()
	loc, err := time.LoadLocation("America/New_York")
	require.NoError(t, err)
	return placeClock{time.Date(2026, 9, 10, 12, 15, 0, 0, loc), loc}
}

func (p placeClock) at(day, hour, minute int) time.Time {
	return time.Date(2026, 9, day, hour, minute, 0, 0, p.loc)
}

func TestRainFlag(t *testing.T) {
	p := quay(t)
	for value, want := range map[string]window.Rain{
		"11:40/12:10":                  {From: p.at(10, 11, 40), To: p.at(10, 12, 10), Observed: true},
		"11:40/12:15/4":                {From: p.at(10, 11, 40), To: p.at(10, 12, 15), Observed: true, MM: 4, HasMM: true},
		"2026-09-09T22:00/01:30/0.5mm": {From: p.at(9, 22, 0), To: p.at(10, 1, 30), Observed: true, MM: 0.5, HasMM: true},
	} {
		got, err := p.rain(value)
		require.NoError(t, err, value)
		assert.Equal(t, want, got, value)
	}
	for value, want := range map[string]string{
		"": "FROM/TO", "11:40": "FROM/TO", "11:40/12:00/4/5": "FROM/TO", "/12:00": "no two moments", "11:40/": "no two moments",
		"noon/12:00": "is no moment", "11:40/one": "is no moment", "12:00/12:00": "ends before", "11:40/12:16": "future",
		"11:40/12:00/0": "no amount", "11:40/12:00/NaN": "no amount", "11:40/12:00/1001": "no amount", "11:40/12:00/wet": "no amount",
	} {
		_, err := p.rain(value)
		require.Error(t, err, value)
		u := &usageError{}
		require.ErrorAs(t, err, &u, value)
		assert.Contains(t, u.text+" "+u.fix, want, value)
		assert.NotEmpty(t, u.fix, value)
	}
}

func TestLeftFlag(t *testing.T) {
	p := quay(t)
	for value, want := range map[string]app.LeftWork{
		"seal@port side=hazing":                        {Step: "seal", Zone: "port side", Left: window.LeftHazing},
		"strip wash@a = b=buffed/60%":                  {Step: "strip wash", Zone: "a = b", Left: window.LeftBuffed, Share: 0.6},
		"seal@deck=uncured/08:20/10:40":                {Step: "seal", Zone: "deck", Left: window.LeftUncured, From: p.at(10, 8, 20), To: p.at(10, 10, 40)},
		"seal@deck=buffed/0.25/08:20/2026-09-10T09:00": {Step: "seal", Zone: "deck", Left: window.LeftBuffed, Share: 0.25, From: p.at(10, 8, 20), To: p.at(10, 9, 0)},
	} {
		got, err := p.left(value)
		require.NoError(t, err, value)
		assert.Equal(t, want, got, value)
	}
	for value, want := range map[string]string{
		"": "cannot be read", "seal=hazing": "cannot be read", "@deck=hazing": "cannot be read", "seal@=hazing": "cannot be read",
		"seal@deck": "cannot be read", "seal@deck=dry": "cannot be read", "seal@deck=hazing/1/2/3/4": "cannot be read",
		"seal@deck=hazing/0": "no share", "seal@deck=hazing/08:20": "no share", "seal@deck=hazing/10:40/08:20": "ends before",
		"seal@deck=hazing/12:00/13:00": "future",
	} {
		_, err := p.left(value)
		require.Error(t, err, value)
		assert.Contains(t, usage(t, err), want, value)
	}
}

// Which parts need a clock, for a job of which nobody knows the time zone.
func TestClocksIn(t *testing.T) {
	assert.Equal(t, []string{"11:40", "12:10"}, clocksIn("11:40/12:10/4"))
	assert.Equal(t, []string{"08:20", "10:40"}, clocksIn("seal@a:b/c=hazing/40%/08:20/10:40"))
	assert.Empty(t, clocksIn("seal@a:b=hazing"))
}

const blockText = `{"step":"seal","zone":"deck","from":"2026-09-10T10:00:00-04:00","to":"2026-09-10T13:00:00-04:00"}`

func TestParsePlan(t *testing.T) {
	for name, text := range map[string]string{
		"a week":       `{"format":"dewgap.week.v1","plan":{"state":"go","blocks":[` + blockText + `]},"windows":[]}`,
		"a move":       `{"format":"dewgap.move.v1","blocks":7,"plan":{"state":"marginal","blocks":[` + blockText + `]}}`,
		"a plan":       `{"state":"go","blocks":[` + blockText + `]}`,
		"under a plan": `{"plan":{"state":"go","blocks":[` + blockText + `]}}`,
	} {
		plan, err := parsePlan("f.json", []byte(text))
		require.NoError(t, err, name)
		require.Len(t, plan.Blocks, 1, name)
		assert.Equal(t, "deck", plan.Blocks[0].Zone, name)
	}
	plan, err := parsePlan("f.json", []byte(`{"state":"go","blocks":[]}`))
	require.NoError(t, err, "everything is done")
	assert.Empty(t, plan.Blocks)
	for text, want := range map[string]string{
		"null": "holds no plan", "{}": "holds no plan",
		`{"format":"dewgap.week.v1","plan":null}`:                         "holds no plan",
		`{"format":"dewgap.week.v1","plan":{"state":"none","blocks":[]}}`: "found none",
		`{"format":"dewgap.week.v1","plan":{"state":"go"}}`:               "found none",
		`{"format":"dewgap.morning.v1","plan":null}`:                      "dewgap.morning.v1",
		`{"blocks":[{"zone":"deck"}]}`:                                    "block 1",
		`{"blocks":[{"step":"seal","zone":"deck","from":"soon"}]}`:        "a time that cannot be read: soon",
		`{"blocks":[` + blockText + `,{"step":"seal","zone":"deck"}]}`:    "block 2",
	} {
		_, err := parsePlan("f.json", []byte(text))
		require.Error(t, err, text)
		p := &app.Problem{}
		require.ErrorAs(t, err, &p, text)
		assert.Contains(t, p.Text, want, text)
		assert.Equal(t, "f.json", p.Where)
		assert.Contains(t, p.Fix, "dewgap week --json", text)
	}
}

// Whatever a file holds, a plan with hours in every block or an error that says
// what to do.
func FuzzParsePlan(f *testing.F) {
	f.Add([]byte(`{"state":"go","blocks":[` + blockText + `]}`))
	f.Add([]byte(`{"format":"dewgap.move.v1","blocks":7,"plan":{"blocks":[` + blockText + `]}}`))
	f.Add([]byte(`{"plan":{"blocks":[{"people":null}]}}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		plan, err := parsePlan("f.json", data)
		if err != nil {
			require.Nil(t, plan)
			return
		}
		for _, b := range plan.Blocks {
			require.True(t, b.From.Before(b.To))
			require.NotEmpty(t, b.Step+b.Zone)
		}
	})
}

// Whatever is typed, work with a step, a zone and hours that lie behind, or an
// error.
func FuzzLeft(f *testing.F) {
	for _, s := range []string{"seal@port side=hazing/40%/08:20/10:40", "a@b=buffed", "@=", "11:40/12:00/4"} {
		f.Add(s)
	}
	p := placeClock{time.Date(2026, 9, 10, 12, 15, 0, 0, time.UTC), time.UTC}
	f.Fuzz(func(t *testing.T, value string) {
		if r, err := p.rain(value); err == nil {
			require.True(t, r.From.Before(r.To) && !r.To.After(p.now))
			require.True(t, !r.HasMM || r.MM > 0)
		}
		if l, err := p.left(value); err == nil {
			require.NotZero(t, l.Left)
			require.True(t, l.Share >= 0 && l.Share <= 1 && !l.To.After(p.now))
		}
		clocksIn(value)
	})
}

func TestMovedTo(t *testing.T) {
	for state, want := range map[string]int{answer.Go: CodeDone, answer.Marginal: CodeMarginal, answer.None: CodeNoGo} {
		got := CodeDone
		if o, ok := movedTo(state).(*outcome); ok {
			got = o.code
		}
		assert.Equal(t, want, got, state)
	}
}
