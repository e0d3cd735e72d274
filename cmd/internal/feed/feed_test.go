package feed

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
	"unicode"

	ics "github.com/arran4/golang-ical"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

var update = flag.Bool("update", false, "write the calendars of testdata/feed anew; then run .ci/calendar-oracle")

const folder = "../../../testdata/feed"

// golden compares with a file of testdata/feed.
func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join(folder, name)
	if *update {
		require.NoError(t, os.WriteFile(path, got, 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, string(want), string(got), "after a meant change: go test ./cmd/internal/feed -update, then .ci/calendar-oracle")
}

func written(t testing.TB, in Input) []byte {
	t.Helper()
	data, err := Calendar(in)
	require.NoError(t, err)
	return data
}

func TestSample(t *testing.T) { golden(t, "sample.ics", written(t, sample(t))) }

// The bytes of the smallest calendar, by RFC 5545 §3.4 and §3.6.1 and RFC 7986 §5.
func TestSmallest(t *testing.T) {
	at := moment(t, "2026-09-08T06:00:00-04:00")
	got := written(t, Input{Name: "Kittiwake", Stamp: at, Refresh: time.Hour, Events: []Event{{
		UID: "a@dewgap", From: at.Add(time.Hour), To: at.Add(2 * time.Hour), Summary: "wash, port side", Tentative: true,
	}}})
	want := []string{
		"BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//dewgap//dewgap//EN", "CALSCALE:GREGORIAN", "METHOD:PUBLISH",
		"NAME:Kittiwake", "X-WR-CALNAME:Kittiwake", "REFRESH-INTERVAL;VALUE=DURATION:PT1H", "X-PUBLISHED-TTL:PT1H",
		"BEGIN:VEVENT", "UID:a@dewgap", "DTSTAMP:20260908T100000Z", "SEQUENCE:0", "DTSTART:20260908T110000Z",
		"DTEND:20260908T120000Z", `SUMMARY:wash\, port side`, "STATUS:TENTATIVE", "TRANSP:OPAQUE", "END:VEVENT", "END:VCALENDAR", "",
	}
	assert.Equal(t, strings.Join(want, "\r\n"), string(got))
}

func TestNastyTextsComeBack(t *testing.T) {
	in := sample(t)
	list := read(t, written(t, in))
	at := -1
	for _, p := range list {
		if p.name == "UID" {
			at++
			assert.Equal(t, in.Events[at].UID, p.value)
		}
		if at < 0 || at >= len(nasty) {
			continue
		}
		switch text := nasty[at]; p.name {
		case "SUMMARY", "LOCATION":
			assert.Equal(t, strings.ReplaceAll(text, "\n", " "), plainText(t, p.value))
		case "DESCRIPTION":
			assert.Equal(t, text+"\n\n"+text, plainText(t, p.value))
		}
	}
	assert.Equal(t, len(in.Events)-1, at)
}

func TestEvilTextsAreTamed(t *testing.T) {
	for _, pair := range evil {
		assert.Equal(t, pair[1], line(pair[0]), "%q", pair[0])
	}
	assert.Equal(t, "a\nb\n\nc", lines("\n\na\r\nb\r\rc \n"))
	assert.Equal(t, "a\nEND:VCALENDAR", lines("a\r\nEND:VCALENDAR"))
	// No text begins a line of its own: there are as many properties as without.
	count := func(text string) int {
		in := Input{Name: "n" + text, About: "a" + text, Stamp: moment(t, "2026-09-08T06:00:00Z"), Events: []Event{{
			UID: "a", From: moment(t, "2026-09-08T06:00:00Z"), To: moment(t, "2026-09-08T07:00:00Z"),
			Summary: "s" + text, Description: "d" + text, Location: "l" + text,
		}}}
		return len(read(t, written(t, in)))
	}
	for _, pair := range evil {
		assert.Equal(t, count(""), count(pair[0]), "%q", pair[0])
	}
}

func TestLongTextsAreCut(t *testing.T) {
	long := strings.Repeat("ü", longestLine+1)
	assert.Equal(t, strings.Repeat("ü", longestLine-1)+"…", line(long))
	assert.Equal(t, strings.Repeat("ü", longestLine), line(long[2:]))
	assert.Len(t, []rune(lines(strings.Repeat("a\n", longestLines))), longestLines)
}

func TestSameInputSameBytes(t *testing.T) {
	a, b := written(t, sample(t)), written(t, sample(t))
	assert.Equal(t, a, b)
	assert.Equal(t, ETag(a), ETag(b))
	assert.Regexp(t, `^"[0-9a-f]{32}"$`, ETag(a))
	assert.NotEqual(t, ETag(a), ETag(a[1:]))
}

func TestRefused(t *testing.T) {
	at := moment(t, "2026-09-08T06:00:00Z")
	good := Event{UID: "a", From: at, To: at.Add(time.Minute)}
	change := func(f func(*Event)) Event {
		e := good
		f(&e)
		return e
	}
	for name, in := range map[string]Input{
		"no stamp":        {},
		"stamp":           {Stamp: time.Date(10000, 1, 1, 0, 0, 0, 0, time.UTC)},
		"refresh":         {Stamp: at, Refresh: time.Second},
		"negative":        {Stamp: at, Refresh: -time.Minute},
		"too many":        {Stamp: at, Events: make([]Event, mostEvents+1)},
		"no uid":          {Stamp: at, Events: []Event{change(func(e *Event) { e.UID = "" })}},
		"uid of lines":    {Stamp: at, Events: []Event{change(func(e *Event) { e.UID = "a\r\nX:b" })}},
		"uid of escapes":  {Stamp: at, Events: []Event{change(func(e *Event) { e.UID = "a,b" })}},
		"uid of letters":  {Stamp: at, Events: []Event{change(func(e *Event) { e.UID = "ü" })}},
		"long uid":        {Stamp: at, Events: []Event{change(func(e *Event) { e.UID = strings.Repeat("a", 256) })}},
		"twice":           {Stamp: at, Events: []Event{good, good}},
		"no time":         {Stamp: at, Events: []Event{change(func(e *Event) { e.To = e.From })}},
		"under a second":  {Stamp: at, Events: []Event{change(func(e *Event) { e.To = e.From.Add(time.Millisecond) })}},
		"backwards":       {Stamp: at, Events: []Event{change(func(e *Event) { e.To = e.From.Add(-time.Hour) })}},
		"sequence":        {Stamp: at, Events: []Event{change(func(e *Event) { e.Sequence = -1 })}},
		"year of an end":  {Stamp: at, Events: []Event{change(func(e *Event) { e.To = time.Date(12000, 1, 1, 0, 0, 0, 0, time.UTC) })}},
		"year of changed": {Stamp: at, Events: []Event{change(func(e *Event) { e.Changed = time.Date(12000, 1, 1, 0, 0, 0, 0, time.UTC) })}},
	} {
		data, err := Calendar(in)
		require.Error(t, err, name)
		assert.True(t, strings.HasPrefix(err.Error(), "calendar: "), "%s: %v", name, err)
		assert.Nil(t, data, name)
	}
	assert.NotEmpty(t, written(t, Input{Stamp: at, Events: []Event{good}}), "but for these it is good")
}

func TestStatus(t *testing.T) {
	assert.Equal(t, "confirmed", Event{}.Status())
	assert.Equal(t, "tentative", Event{Tentative: true}.Status())
	assert.Equal(t, "cancelled", Event{Tentative: true, Cancelled: true}.Status())
}

// Durations of RFC 5545, §3.3.6.
func TestPeriod(t *testing.T) {
	assert.Equal(t, "PT1H", period(time.Hour))
	assert.Equal(t, "PT15M", period(15*time.Minute))
	assert.Equal(t, "PT1H30M", period(90*time.Minute))
	assert.Equal(t, "PT168H", period(168*time.Hour))
}

func TestUID(t *testing.T) {
	same := []string{"a", "b"}
	assert.Equal(t, NewUID(same...), NewUID("a", "b"))
	assert.NotEqual(t, NewUID("a", "b"), NewUID("ab"))
	assert.NotEqual(t, NewUID("a", "b"), NewUID("a", "b", ""))
	assert.True(t, goodUID(NewUID(nasty...)))
}

// The form is looked at once more after it was written, whoever wrote it.
func TestCheckLines(t *testing.T) {
	require.NoError(t, checkLines([]byte("A:b\r\n c\r\n")))
	for _, bad := range []string{
		"A:b\n", "A:b", "", "A:b\nC:d\r\n", "A:b\r\n\r\nC:d\r\n", strings.Repeat("x", 76) + "\r\n", "A:\xff\r\n", "A:\t\r\n", "A:\r\r\n",
	} {
		assert.Error(t, checkLines([]byte(bad)), "%q", bad)
	}
}

// anyText draws texts of the kind that breaks calendars.
func anyText() *rapid.Generator[string] {
	piece := rapid.OneOf(
		rapid.String(), rapid.SampledFrom(nasty), rapid.SampledFrom([]string{"\r\n", "\n", "\r", `\n`, `\`, ",", ";", ":", " ", "\t", "\u202e", "<", ">", "> ", "END:VEVENT", "\x00", "\xff"}),
	)
	return rapid.Custom(func(t *rapid.T) string { return strings.Join(rapid.SliceOfN(piece, 0, 8).Draw(t, "pieces"), "") })
}

func TestAnyText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		holds(t, anyText().Draw(t, "summary"), anyText().Draw(t, "description"), anyText().Draw(t, "name"))
	})
}

// holds checks a calendar with these texts: its lines, its properties, what comes
// back, and that golang-ical's own reader sees the same events.
func holds(t interface {
	Helper()
	Fatalf(string, ...any)
}, summary, description, name string) {
	t.Helper()
	at := time.Date(2026, 9, 8, 6, 0, 0, 0, time.UTC)
	e := Event{UID: "a", From: at, To: at.Add(time.Hour), Summary: summary, Description: description}
	other := Event{UID: "b", From: at, To: at.Add(time.Hour), Summary: "b"}
	data, err := Calendar(Input{Name: name, Stamp: at, Events: []Event{e, other}})
	if err != nil {
		t.Fatalf("%v", err)
	}
	var events, summaries, descriptions []string
	for _, p := range read(t, data) {
		switch {
		case p.name == "BEGIN" && p.value == "VEVENT":
			events = append(events, p.value)
		case p.name == "SUMMARY":
			summaries = append(summaries, plainText(t, p.value))
		case p.name == "DESCRIPTION":
			descriptions = append(descriptions, plainText(t, p.value))
		}
	}
	if len(events) != 2 || len(summaries) != 2 || summaries[0] != line(summary) {
		t.Fatalf("%d events with %q", len(events), summaries)
	}
	if want := lines(description); (want == "") != (len(descriptions) == 0) || want != "" && descriptions[0] != want {
		t.Fatalf("description %q, want %q", descriptions, want)
	}
	for _, text := range []string{line(summary), lines(description)} {
		if strings.ContainsFunc(strings.ReplaceAll(text, "\n", ""), unicode.IsControl) {
			t.Fatalf("a control character in %q", text)
		}
	}
	c, err := ics.ParseCalendar(bytes.NewReader(data))
	if err != nil || len(c.Events()) != 2 {
		t.Fatalf("golang-ical reads it back as %v, %v", c, err)
	}
}

func FuzzCalendar(f *testing.F) {
	for i, text := range nasty {
		f.Add(text, evil[i%len(evil)][0], text)
	}
	f.Fuzz(func(t *testing.T, summary, description, name string) { holds(t, summary, description, name) })
}

func FuzzClean(f *testing.F) {
	for _, pair := range evil {
		f.Add(pair[0])
	}
	f.Fuzz(func(t *testing.T, s string) {
		l, ls := line(s), lines(s)
		assert.Equal(t, l, line(l), "once is enough")
		assert.Equal(t, ls, lines(ls), "once is enough")
		assert.NotContains(t, l, "\n")
	})
}
