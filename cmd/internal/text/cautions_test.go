package text

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"dewgap/cmd/internal/answer"
	"dewgap/window/crew"
)

func cautionsOf(t *testing.T, o Options, list ...answer.Caution) string {
	t.Helper()
	p := newPage(o)
	p.cautions(list)
	if p.b.Len() > 0 {
		keepsTheRules(t, p.b.String(), o)
	}
	return p.b.String()
}

func TestNoCautions(t *testing.T) {
	assert.Empty(t, cautionsOf(t, metric))
}

// Every level of the crew's cautions has a place in the order and a word.
func TestLevels(t *testing.T) {
	order := []string{crew.LevelDanger, crew.LevelWarning, crew.LevelCaution, crew.LevelUnknown, crew.LevelNote}
	for i, l := range order {
		assert.Equal(t, i, answer.Gravity(l), l)
	}
	assert.Equal(t, answer.Gravity(crew.LevelUnknown), answer.Gravity("odd"), "what is not known is not taken for a note")
	assert.Equal(t, "DANGER", levelMark(crew.LevelDanger))
	assert.Equal(t, "WARNING", levelMark(crew.LevelWarning))
	assert.Equal(t, "Caution", levelMark(crew.LevelCaution))
	assert.Equal(t, "NOT JUDGED", levelMark(crew.LevelUnknown))
	assert.Equal(t, "Note", levelMark(crew.LevelNote))
}

// The crew's own cautions lose their common end, which the heading says for all.
func TestDeferralIsThatOfTheCrew(t *testing.T) {
	slot := crew.Slot{
		At:          at("10 12:00"),
		AirC:        crew.Some(20),
		HumidityPct: crew.Some(60),
		WindDeckMS:  crew.Some(2),
		UVIndex:     crew.Some(3),
	}
	list := crew.Cautions(crew.Input{
		Slots: []crew.Slot{slot},
		Step:  600e9,
		Job:   crew.Job{Machine: true, Wash: true, Afloat: true},
	})
	assert.NotEmpty(t, list)
	var out []answer.Caution
	for _, c := range list {
		out = append(out, answer.Caution{
			Kind:   c.Kind,
			Level:  c.Level,
			Text:   c.Text,
			Source: c.Source,
			From:   &c.From,
			To:     &c.To,
		})
	}
	got := cautionsOf(t, metric, out...)
	assert.NotContains(t, got, "A reminder, not a clearance")
	assert.Contains(t, got, "CAUTIONS: reminders, not clearances. For each of them local rules and licensed\n  practice decide.\n")
	for _, c := range list {
		if c.Kind != crew.KindProduct && c.Level != crew.LevelUnknown {
			assert.Contains(t, c.Text, answer.Deferral, "the words of package crew have changed: mend the constant")
		}
	}
}

// A hazard of the weather says when; one of the work lasts as long as it.
func TestWhenOfACaution(t *testing.T) {
	from, to := ptr(at("10 11:00")), ptr(at("10 15:00"))
	got := cautionsOf(t, metric, answer.Caution{Kind: "thunder", Level: "danger", Text: "Stop.", From: from, To: to})
	assert.Contains(t, got, "  DANGER: Stop. Thu 10 Sep 11:00-15:00.\n")
	got = cautionsOf(t, metric, answer.Caution{Kind: "slips", Level: "note", Text: "Slips.", From: from, To: to})
	assert.Contains(t, got, "  Note: Slips.\n")
	got = cautionsOf(t, metric, answer.Caution{Kind: "thunder", Level: "danger", Text: "Stop."})
	assert.Contains(t, got, "  DANGER: Stop.\n", "no time known")
}

// What one cause kept from being judged is told in one line, by name; other hours or
// another cause have their own.
func TestNotJudged(t *testing.T) {
	at := func(from, to string) (a, b *time.Time) { return ptr(at("10 " + from)), ptr(at("10 " + to)) }
	unknown := func(kind, why, from, to string) answer.Caution {
		a, b := at(from, to)
		return answer.Caution{Kind: kind, Level: "unknown", Text: "Not judged, " + kind + ": " + why + ". Judge it on the spot.", From: a, To: b, Source: "x",
			Unjudged: &answer.Unjudged{Hazard: kind, Why: why}}
	}
	begins := "the forecast begins Thu 10 Sep 12:00"
	got := cautionsOf(t, metric, unknown("wbgt", begins, "07:00", "12:00"), unknown("heat-index", begins, "07:00", "12:00"),
		unknown("uv", begins, "07:00", "12:00"), unknown("cold", begins, "07:00", "11:00"),
		unknown("uv", "the forecast lacks the UV index", "12:00", "18:00"))
	assert.Contains(t, got, `
  NOT JUDGED: heat, UV: the forecast begins Thu 10 Sep 12:00. Judge it on the
    spot. Thu 10 Sep 07:00-12:00.
  NOT JUDGED: cold: the forecast begins Thu 10 Sep 12:00. Judge it on the spot.
    Thu 10 Sep 07:00-11:00.
  NOT JUDGED: UV: the forecast lacks the UV index. Judge it on the spot.
    Thu 10 Sep 12:00-18:00.
`)
}

// A forecast with many gaps has one line for them all: each hazard with its hours and what
// is lacking then. Hazards that something else kept from being judged stay apart.
func TestNotJudged_ManyGapsInOneLine(t *testing.T) {
	unknown := func(kind, why, from, to string) answer.Caution {
		return answer.Caution{Kind: kind, Level: "unknown", Text: "Not judged, " + kind + ": " + why + ". Judge it on the spot.", From: ptr(at(from)), To: ptr(at(to)),
			Unjudged: &answer.Unjudged{Hazard: kind, Why: why, Lacks: lacksOf(why)}}
	}
	const air, sun = "the forecast lacks air temperature", "the forecast lacks sunlight and cloud"
	got := cautionsOf(t, metric,
		unknown("wbgt", sun, "10 09:00", "10 13:00"), unknown("wbgt", "the forecast lacks humidity", "11 07:00", "11 12:00"),
		unknown("cold", air, "10 07:00", "10 12:00"), unknown("ice", air, "10 07:00", "10 12:00"),
		unknown("cold", air, "12 07:00", "12 09:00"), unknown("ice", air, "12 07:00", "12 09:00"),
		unknown("uv", "the forecast begins Thu 10 Sep 12:00", "10 07:00", "10 12:00"))
	assert.Contains(t, got, `
  NOT JUDGED: UV: the forecast begins Thu 10 Sep 12:00. Judge it on the spot.
    Thu 10 Sep 07:00-12:00.
  NOT JUDGED: behind each stands what the forecast lacks: heat
    Thu 10 Sep 09:00-13:00 (sunlight and cloud); heat Fri 11 Sep 07:00-12:00
    (humidity); cold, ice Thu 10 Sep 07:00-12:00, Sat 12 Sep 07:00-09:00 (air
    temperature). Judge them on the spot.
`)
	assert.Equal(t, 2, strings.Count(got, "NOT JUDGED"))
}

// lacksOf is what a cause says that the forecast lacks, "" where it says something else.
func lacksOf(why string) string {
	lacks, ok := strings.CutPrefix(why, "the forecast lacks ")
	if !ok {
		return ""
	}
	return lacks
}

// Values are rounded to the worse side and named by their index.
func TestValueOfACaution(t *testing.T) {
	p := newPage(metric)
	for want, c := range map[string]answer.Caution{
		"(WBGT 27.2 °C)":      {Kind: "wbgt", Value: ptr(27.14), Unit: "°C"},
		"(heat index 33 °C)":  {Kind: "heat-index", Value: ptr(33.0), Unit: "°C"},
		"(wind chill -12 °C)": {Kind: "cold", Value: ptr(-11.96), Unit: "°C"},
		"(UV index 8)":        {Kind: "uv", Value: ptr(8.02)},
		"(13.5 m/s)":          {Kind: "gust", Value: ptr(13.43), Unit: "m/s"},
		"(3 h)":               {Kind: "vibration", Value: ptr(3.0), Unit: "h"},
	} {
		assert.Equal(t, want, untie(p.worst(c)))
	}
	us := newPage(us)
	assert.Equal(t, "(31 mph)", untie(us.worst(answer.Caution{Kind: "gust", Value: ptr(13.43), Unit: "m/s"})))
	assert.Equal(t, "(WBGT 81 °F)", untie(us.worst(answer.Caution{Kind: "wbgt", Value: ptr(27.14), Unit: "°C"})))
}

// What to do against heat is said with its gravest level, and its source; the others, in the
// shade as well, tell their own words and hours.
func TestCautions_SayOnceWhatToDo(t *testing.T) {
	const practice = "a glass of water every quarter of an hour, shade for the breaks, watch one another."
	from, to := ptr(at("10 11:00")), ptr(at("10 15:00"))
	heat := func(kind, level, text string) answer.Caution {
		return answer.Caution{Kind: kind, Level: level, Text: text + practice + answer.Deferral, From: from, To: to, Source: "lines of " + kind}
	}
	got := cautionsOf(t, metric, heat("wbgt", "caution", "Heat for people not yet used to it: "), heat("heat-index", "caution", "Heat in the shade: "),
		heat("wbgt", "danger", "Heat in the sun: usual practice is to stop. Otherwise "))
	assert.Equal(t, 1, strings.Count(got, "a glass of water"))
	got = strings.Join(strings.Fields(got), " ")
	assert.Contains(t, got, "DANGER: Heat in the sun: usual practice is to stop. Otherwise "+practice+" Thu 10 Sep 11:00-15:00. [lines of wbgt]")
	assert.Contains(t, got, "Caution: Heat for people not yet used to it: as above. Thu 10 Sep 11:00-15:00. Caution")
	assert.Contains(t, got, "Caution: Heat in the shade: as above. Thu 10 Sep 11:00-15:00. [lines of heat-index]")
}

// The same words at another level are another caution.
func TestLevelsAreKeptApart(t *testing.T) {
	got := cautionsOf(t, metric,
		answer.Caution{Kind: "uv", Level: "caution", Text: "Sun."},
		answer.Caution{Kind: "uv", Level: "warning", Text: "Sun."})
	assert.Contains(t, got, "  WARNING: Sun.\n  Caution: Sun.\n")
}

func TestWarningsAndCredit(t *testing.T) {
	p := newPage(us)
	p.warnings(nil)
	p.credit(answer.Source{})
	assert.Empty(t, p.b.String())
	p.warnings([]string{"air down to 10 °C"})
	assert.Equal(t, "\nPLEASE NOTE\n  - air down to 50 °F.\n", p.b.String())
	for want, s := range map[string]answer.Source{
		"\nData: a service. Licence: CC BY 4.0.\n": {Attribution: "Data: a service", Licence: "CC BY 4.0"},
		"\nData: a service, CC BY 4.0.\n":          {Attribution: "Data: a service, CC BY 4.0", Licence: "CC BY 4.0"},
		"\nLicence: public domain.\n":              {Licence: "public domain"},
	} {
		p := newPage(us)
		p.credit(s)
		assert.Equal(t, want, p.b.String())
	}
}

func TestSourceLine(t *testing.T) {
	now := at("8 06:10")
	p := newPage(metric)
	s := answer.Source{Name: "NWS", AgeS: ptr(int64(2400)), Issued: ptr(at("8 05:30").UTC()), Members: 51}
	assert.Equal(t, "NWS, 40 min old (05:30), 51 forecasts", untie(p.source(s, now)), "by the clock at the place")
	s.Members, s.Dressed, s.Model = 1, 30, "fine"
	assert.Equal(t, "NWS fine, 40 min old (05:30), one forecast, varied into 30 futures", untie(p.source(s, now)))
	s.Issued = ptr(at("8 10:31"))
	assert.Contains(t, untie(p.source(s, now)), "NWS fine, made after the moment asked about (10:31), one")
	s.Issued, s.AgeS = ptr(at("8 06:10").Add(3*time.Second)), ptr(int64(0))
	assert.Contains(t, untie(p.source(s, now)), "NWS fine, 0 min old (06:10), one", "a slow connection")
	s.Dressed, s.Stale, s.AgeS, s.Issued = 0, true, nil, nil
	assert.Equal(t, "NWS fine, age not known, stale, one forecast", untie(p.source(s, now)))
}

func TestTitle(t *testing.T) {
	p := newPage(metric)
	p.title("Kittiwake", answer.Place{}, answer.Source{Name: "NWS", Members: 1}, at("8 06:10"))
	assert.Equal(t, "Kittiwake · Tue 8 Sep 06:10 · NWS, age not known, one forecast\n", p.b.String(), "a place without a name")
	p = newPage(metric)
	p.title("", answer.Place{}, answer.Source{Name: "NWS", Members: 1}, at("8 06:10"))
	assert.True(t, strings.HasPrefix(p.b.String(), "your boat · "), p.b.String())
}

func TestHourlyTable(t *testing.T) {
	z := zoneOf("port side", 290, 90)
	z.Hours = append(z.Hours, answer.Hour{At: at("9 00:00"), AirC: ptr(-3.4), SpreadK: ptr(-1.2), RainMM: ptr(12.0)})
	p := newPage(metric)
	p.hourly([]answer.Zone{z})
	keepsTheRules(t, p.b.String(), metric)
	assert.Contains(t, p.b.String(), "  Tue 8 Sep   air dew RH% wind gust  rain cloud  sun UV panel over water\n"+
		"        07:00  15  11  78    2    -   0.2     -   90  0    16    5     0\n")
	assert.Contains(t, p.b.String(), "  Wed 9 Sep   air", "a day's head again")
	assert.Contains(t, p.b.String(), "        00:00  -3   -   -    -    -  12.0     -    -  -     -   -1     -\n", "what is absent is a dash, never a zero")
}

// Days on which a hazard comes at the same hours are told once, with the worst of it.
func TestCautions_AlikeDays(t *testing.T) {
	p := newPage(metric)
	uv := func(from, to string, index float64) answer.Caution {
		return answer.Caution{Kind: "uv", Level: "caution", From: ptr(at(from)), To: ptr(at(to)), Value: &index}
	}
	said := func(list ...answer.Caution) string { return untie(p.cautionWords().Times(list)) }
	two := []answer.Caution{uv("10 09:00", "10 12:00", 7), uv("10 13:00", "10 17:00", 6), uv("11 09:00", "11 12:00", 7), uv("11 13:00", "11 17:00", 6)}
	assert.Equal(t, "every day Thu 10 Sep to Fri 11 Sep, 09:00-12:00 (UV index 7), 13:00-17:00 (UV index 6)", said(two...))
	two[2] = uv("11 09:00", "11 12:00", 8)
	assert.Equal(t, "every day Thu 10 Sep to Fri 11 Sep, 09:00-12:00 (up to UV index 8), 13:00-17:00 (UV index 6)", said(two...))
	assert.Equal(t, "Thu 10 Sep 09:00-12:00 (UV index 7), Thu 10 Sep 13:00-17:00 (UV index 6)", said(two[:2]...))
	assert.Equal(t, "Thu 10 Sep 09:00-12:00 (UV index 7), Sat 12 Sep 09:00-12:00 (UV index 7)",
		said(two[0], uv("12 09:00", "12 12:00", 7)), "a day between has none")
	assert.Equal(t, "Thu 10 Sep 09:00-12:00 (UV index 7), Fri 11 Sep 09:00-13:00 (UV index 7)",
		said(two[0], uv("11 09:00", "11 13:00", 7)), "other hours")
	cold := func(from, to string, c float64) answer.Caution {
		return answer.Caution{Kind: "cold", Level: "caution", From: ptr(at(from)), To: ptr(at(to)), Value: &c, Unit: "°C"}
	}
	assert.Equal(t, "every day Thu 10 Sep to Fri 11 Sep, 07:00-09:00 (down to wind chill -5 °C)",
		said(cold("10 07:00", "10 09:00", -2), cold("11 07:00", "11 09:00", -5)))
}
