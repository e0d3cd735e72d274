package cli

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/text"
	"dewgap/window/job"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// hostileJob has names that would command a terminal, turn the direction of reading,
// and fill it.
func hostileJob(long int) string {
	name := func(s string) string { return `"` + s + `"` }
	return `job: ` + name(`Seal\e]0;owned\a\e[31m`) + `
place: {name: ` + name(`Otter\u202EQuay`) + `, latitude: 43.07, longitude: -70.74, timezone: America/New_York}
boat: {name: ` + name(`Kitti\e[2Jwake ⛵`) + `, bow: 200}
zones:
  - {name: ` + name(`port\u0007 \e[8mside`) + `, faces: 270, tilt: 90, finish: white-gelcoat, area_m2: 18}
  - {name: ` + name(strings.Repeat("z", long)) + `, faces: 90, tilt: 90, finish: white-gelcoat, area_m2: 18}
  - {name: ` + name(`جانب\u2066 שלום`) + `, faces: 0, tilt: 0, finish: white-gelcoat, area_m2: 9}
steps:
  - {do: seal, with: polymer-sealant}
hours: "07:00-18:00"
`
}

// tame fails where a text for a terminal could command it.
func tame(t assert.TestingT, s, what string) {
	for _, c := range s {
		bad := c != '\n' && unicode.IsControl(c) || unicode.Is(unicode.Bidi_Control, c)
		if !assert.False(t, bad, "%s: %U", what, c) {
			return
		}
	}
}

// Nobody's name commands the terminal, by an answer, by an error or by what is
// recorded, and none makes a page wider than it is.
func TestHostileNames(t *testing.T) {
	r := newRun(t)
	folder := t.TempDir()
	file, book := filepath.Join(folder, "job.yaml"), filepath.Join(folder, "book.sqlite")
	require.NoError(t, os.WriteFile(file, []byte(hostileJob(10_000)), 0o600))
	weather := savedReply(t, folder)
	port := "port\a \x1b[8mside"
	for _, args := range [][]string{
		{"check", file},
		{"week", "--job", file, "--forecast", weather, "--book", book, "--hours"},
		{"morning", "--job", file, "--forecast", weather, "--book", book},
		{"why", "--job", file, "--forecast", weather, "--zone", port, "--with", "polymer-sealant"},
		{"note", "owner", "--job", file, "--forecast", weather},
		{"note", "crew", "--job", file, "--forecast", weather},
		{"log", "done", "--job", file, "--step", "seal", "--zone", port, "--note", "\x1b[2J\u202e", "--book", book},
		{"log", "rain", "--job", file, "--from", "05:00", "--to", "05:30", "--note", "\x1b[2J", "--book", book},
		{"log", "outcome", "--job", file, "--step", "seal", "--zone", port, "--found", "redo", "--by", "\x1b[2J", "--book", book},
		{"log", "undo", "--done", "1", "--book", book},
		{"reading", "add", "--job", file, "--zone", port, "--wet", "--book", book},
		{"book", "show", "--book", book},
		{"move", "--job", file, "--forecast", weather, "--book", book},
		{"place", "show", "--job", file, "--forecast", weather, "--book", book},
		{"score", "--book", book},
		{"season", "--demo", "--with", "\x1b[31m"},
		{"why", "--job", file, "--forecast", weather, "--zone", "\x1b[31mport", "--with", "polymer-sealant"},
		{"log", "done", "--job", file, "--step", "\x1b[31mseal", "--zone", port, "--book", book},
		{"log", "done", "--job", file, "--step", "seal", "--zone", "\x1b[31m", "--book", book},
		{"reading", "add", "--job", file, "--zone", "\x1b[31m", "--wet", "--book", book},
		{"week", "--job", "\x1b[31mno\u202e.yaml"},
		{"week", "--demo", "--now", "\x1b[31m"},
		{"week", "--demo", "--timezone", "\x1b[31m"},
		{"week", "--\x1b[31m"},
		{"\x1b[31m"},
		{"new", "job.yaml", "--kind", "\x1b[31m", "--length", "11m"},
		{"products", "\x1b[31m"},
	} {
		r.do(args...)
		what := strings.Join(args[:min(2, len(args))], " ")
		assert.NotEmpty(t, r.out.String()+r.err.String(), what)
		tame(t, r.out.String(), what)
		tame(t, r.err.String(), what)
		if args[0] == "log" || args[0] == "reading" || r.code == CodeUsage || r.code == CodeFailed || args[0] == "check" {
			continue // lines for programs: as long as they are
		}
		for line := range strings.SplitSeq(r.out.String(), "\n") {
			assert.LessOrEqual(t, len([]rune(line)), 80, what)
		}
	}
}

// A mistake in a file is told without what its names would do to the screen; the
// JSON has them whole.
func TestHostileMistakes(t *testing.T) {
	r := newRun(t)
	file := filepath.Join(t.TempDir(), "job.yaml")
	bad := strings.Replace(hostileJob(20), "{do: seal,", `{do: "se\e[31mal\u202E", on: ["x\e[2J`+strings.Repeat("y", 10_000)+`"],`, 1)
	require.NoError(t, os.WriteFile(file, []byte(bad), 0o600))
	r.do("check", file)
	assert.Equal(t, CodeFailed, r.code)
	tame(t, r.err.String(), "check")
	for line := range strings.SplitSeq(r.err.String(), "\n") {
		assert.LessOrEqual(t, len([]rune(line)), 1000)
	}
	assert.Contains(t, r.err.String(), ":9:")
	r.do("check", file, "--json")
	var f answer.Failure
	require.NoError(t, json.Unmarshal(r.err.Bytes(), &f))
	assert.Contains(t, f.Error+f.More[0].Error, "\x1b[31m", "programs get what stands there")
}

// Whoever looks on gets errors wrapped to the screen, a program gets a line each.
func TestErrorsFitTheScreen(t *testing.T) {
	r := newRun(t)
	r.do("move", "--demo")
	require.Len(t, strings.Split(strings.TrimSpace(r.err.String()), "\n"), 2)
	flat := strings.Fields(r.err.String())

	r.env.Passing = &bytes.Buffer{}
	r.do("move", "--demo")
	assert.Equal(t, flat, strings.Fields(r.err.String()))
	for line := range strings.SplitSeq(r.err.String(), "\n") {
		assert.LessOrEqual(t, len(line), 80)
	}
	r.env.Terminal = func() (int, bool) { return 50, true }
	r.do("move", "--demo")
	for line := range strings.SplitSeq(r.err.String(), "\n") {
		assert.LessOrEqual(t, len(line), 50)
	}
	r.env.Terminal = func() (int, bool) { return 12, true }
	assert.Equal(t, 80, r.env.lines(), "no screen is that narrow")
	r.env.Passing = nil
	assert.Zero(t, r.env.lines())
}

func TestSayTamesAnything(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		s := rapid.OneOf(rapid.String(), rapid.StringMatching("[a-z \x1b\u202e\u2066\x00\n\r\u0085]{0,80}")).Draw(rt, "text")
		width := rapid.SampledFrom([]int{0, 40, 80}).Draw(rt, "width")
		var b bytes.Buffer
		say(&b, s, width)
		tame(rt, b.String(), "say")
		assert.True(rt, strings.HasSuffix(b.String(), "\n"))
		if width == 0 {
			assert.Equal(rt, 1, strings.Count(b.String(), "\n"))
		}
		assert.Equal(rt, text.Shown(s), text.Shown(text.Shown(s)), "said twice is said once")
	})
}

// A list of mistakes is told whole, each with its place and what to do.
func TestReportTellsEveryMistake(t *testing.T) {
	var list job.Errors
	for i := range 5 {
		list = append(list, job.Error{File: "j.yaml", Line: i + 1, Column: 2, Message: "wrong", Fix: "mend it"})
	}
	var out bytes.Buffer
	report(&out, list, false, 80)
	assert.Equal(t, 5, strings.Count(out.String(), "   fix: mend it\n"))
	assert.Contains(t, out.String(), "dewgap: j.yaml:5:2: wrong\n")
}
