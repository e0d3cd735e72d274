package feed

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// moment reads a time.
func moment(t testing.TB, text string) time.Time {
	t.Helper()
	v, err := time.Parse(time.RFC3339, text)
	require.NoError(t, err)
	return v
}

// nasty are texts that a calendar must carry unharmed.
var nasty = []string{
	`Commas, semicolons; colons: and "quotes" 'of' both kinds`,
	`backslash \ and \n that is none, \\ two, \, \; at the end \`,
	"two\nlines",
	"日本語の船の名前がとても長いので、この行は折り返されなければならない。日本語の船の名前がとても長い",
	"⛵️ 👩🏽‍🔧 𝕶𝖎𝖙𝖙𝖎𝖜𝖆𝖐𝖊 é é ß ŵ",
	strings.Repeat("x", 200),
	strings.Repeat("ü", 120),
	"END:VEVENT BEGIN:VEVENT",
	"«Möwe» — 12 m², 3 K",
}

// evil are texts of which only the harmless part may be carried: what was written,
// and what is left of it in a line.
var evil = [][2]string{
	{"a\r\nEND:VCALENDAR", "a END:VCALENDAR"},
	{"a\rBEGIN:VALARM\rb", "a BEGIN:VALARM b"},
	{"bell\a null\x00 escape\x1b[31m del\x7f", "bell null escape[31m del"},
	{"right\u202eleft\u202c isolate\u2066x\u2069 mark\u200f", "rightleft isolatex mark"},
	{"next\u0085line\u2028sep\u2029par", "next line sep par"},
	{"bad\xff\xfeutf", "bad\uFFFDutf"},
	{"\uFEFFbom", "bom"},
	{"  many \t blanks ", "many blanks"},
	{"c1\u009bcontrol", "c1control"},
}

// sample is a calendar with everything in it.
func sample(t testing.TB) Input {
	at := moment(t, "2026-09-08T06:00:00-04:00")
	in := Input{Name: `Kittiwake; "Otter, Quay" \ ⛵`, About: "Two lines,\nof which; this", Stamp: at, Refresh: 90 * time.Minute}
	for i, text := range nasty {
		from := at.Add(time.Duration(i) * 25 * time.Hour)
		in.Events = append(in.Events, Event{
			UID: NewUID("sample", text), Sequence: i, Changed: at.Add(-time.Duration(i) * time.Minute), From: from,
			To: from.Add(time.Duration(i+1) * 10 * time.Minute), Summary: text, Description: text + "\n\n" + text, Location: text,
			Tentative: i%3 == 1, Cancelled: i%3 == 2, Free: i%2 == 1,
		})
	}
	for _, pair := range evil {
		from := at.Add(time.Duration(len(in.Events)) * 25 * time.Hour)
		in.Events = append(in.Events, Event{UID: NewUID("evil", pair[0]), From: from, To: from.Add(time.Hour), Summary: pair[0], Description: pair[0]})
	}
	return in
}

// property is one property of a calendar, read by the test's own few lines.
type property struct{ name, value string }

// read takes a calendar apart by the letter of RFC 5545, §3.1 and §3.3.11: lines that
// end in CR LF, unfolded by taking out CR LF and the blank after it.
func read(t interface {
	Helper()
	Fatalf(string, ...any)
}, data []byte) []property {
	t.Helper()
	text := string(data)
	if !strings.HasSuffix(text, "\r\n") {
		t.Fatalf("the last line has no end")
	}
	for _, l := range strings.Split(strings.TrimSuffix(text, "\r\n"), "\r\n") {
		if len(l) > 75 {
			t.Fatalf("a line of %d octets: %q", len(l), l)
		}
		if strings.ContainsAny(l, "\r\n") {
			t.Fatalf("a bare CR or LF in %q", l)
		}
		if strings.ToValidUTF8(l, "") != l {
			t.Fatalf("a split character in %q", l)
		}
	}
	text = strings.NewReplacer("\r\n ", "", "\r\n\t", "").Replace(strings.TrimSuffix(text, "\r\n"))
	var out []property
	for _, l := range strings.Split(text, "\r\n") {
		name, value, ok := strings.Cut(l, ":")
		if !ok || name == "" || strings.Trim(name, "ABCDEFGHIJKLMNOPQRSTUVWXYZ-;=") != "" {
			t.Fatalf("no property: %q", l)
		}
		out = append(out, property{name, value})
	}
	return out
}

// plainText undoes the escapes of a text.
func plainText(t interface{ Fatalf(string, ...any) }, s string) string {
	var b strings.Builder
	for i := 0; i < len(s); i++ {
		if s[i] != '\\' {
			if s[i] == ',' || s[i] == ';' {
				t.Fatalf("bare %c in %q", s[i], s)
			}
			b.WriteByte(s[i])
			continue
		}
		i++
		switch {
		case i < len(s) && (s[i] == 'n' || s[i] == 'N'):
			b.WriteByte('\n')
		case i < len(s) && strings.IndexByte(`\,;`, s[i]) >= 0:
			b.WriteByte(s[i])
		default:
			t.Fatalf("no escape in %q at %d", s, i)
		}
	}
	return b.String()
}
