package cli

import (
	"encoding/json"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/demo"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// moments of the demo at which its answers are of every kind: a dewy dawn, a good
// morning, night, and the hour that comes twice when summer time ends.
var moments = []string{monday, "2026-09-10T08:30:00-04:00", "2026-09-10T23:55:00-04:00", "2026-11-01T01:30:00-05:00"}

// flat is text with its lines joined, as a reader reads it on.
func flat(text string) string { return strings.Join(strings.Fields(text), " ") }

// answered does a line as text in both units and as JSON, at a moment, and wants the same
// exit code of all three.
func answered[T any](t *testing.T, r *run, now, line string) (v T, metric, us string) {
	t.Helper()
	args := append(strings.Fields(strings.ReplaceAll(line, "port side", "port\x00side")), "--now", now)
	for i := range args {
		args[i] = strings.ReplaceAll(args[i], "\x00", " ")
	}
	metric = flat(r.do(append(args, "--units", "metric")...).out.String())
	code := r.code
	require.Empty(t, r.err.String(), line)
	us = flat(r.do(append(args, "--units", "us")...).out.String())
	assert.Equal(t, code, r.code, "the units of a screen change no verdict")
	inUS := r.do(append(args, "--units", "us", "--json")...).out.String()
	assert.Equal(t, code, r.code, "nor does JSON")
	assert.Equal(t, inUS, r.do(append(args, "--json")...).out.String(), "JSON is SI, whatever the screen shows")
	assert.Equal(t, 1, strings.Count(inUS, "\n"), "one line")
	require.NoError(t, json.Unmarshal([]byte(inUS), &v), line)
	return v, metric, us
}

// saysWhyNot reports whether a screen says why not to work on a day, alone or among others.
func saysWhyNot(t *testing.T, text, day string) bool {
	t.Helper()
	on := func(s string) time.Time {
		x, err := time.Parse("Mon 2 Jan", s)
		require.NoError(t, err)
		return x
	}
	for _, m := range regexp.MustCompile(`Why not (\w+ \d+)( \w+)?(?: to (\w+ \d+( \w+)))?: `).FindAllStringSubmatch(text, -1) {
		if m[2] == "" {
			m[2] = m[4] // the month that both have
		}
		if m[3] == "" {
			m[3] = m[1] + m[2]
		}
		if !on(day).Before(on(m[1]+m[2])) && !on(day).After(on(m[3])) {
			return true
		}
	}
	return false
}

// The week on the screen says what the week as JSON says: verdict, best day, plan, every
// warning, and the reason of every day that is no good.
func TestAgree_Week(t *testing.T) {
	r := newRun(t)
	marks := map[string]string{answer.Go: "+ GO", answer.Marginal: "! MARGINAL", answer.NoGo: "x NO-GO", answer.Unknown: "? UNKNOWN"}
	for _, now := range moments {
		t.Run(now, func(t *testing.T) {
			w, metric, us := answered[answer.Week](t, r, now, "week --demo")
			assert.Equal(t, codeOfWeek(w.Verdict), r.code)
			for _, text := range []string{metric, us} {
				assert.True(t, strings.HasPrefix(text, marks[w.Verdict]), "%s: %.60s", w.Verdict, text)
				for _, x := range w.Warnings {
					assert.Contains(t, text, flat(x)[:min(30, len(flat(x)))])
				}
				for _, x := range w.Headline.Best {
					assert.Contains(t, text, x.From.Format("Mon 2 Jan"), "the best day")
					assert.Contains(t, text, x.Zone)
				}
				for _, why := range w.Headline.WhyNot {
					day, _, _ := strings.Cut(why, ":")
					assert.True(t, saysWhyNot(t, text, day), day)
				}
				if w.Plan == nil {
					continue
				}
				assert.Contains(t, text, "THE PLAN")
				assert.Contains(t, text, fmt.Sprintf("%d blocks on ", len(w.Plan.Blocks)))
				for _, r := range answer.Stints(w.Plan.Blocks) {
					b := r.One()
					assert.Contains(t, text, b.From.Format("15:04")+"-"+b.To.Format("15:04"))
					if len(r) == 1 {
						assert.Contains(t, text, b.Step+", "+b.Zone+", "+b.Product)
						continue
					}
					assert.Contains(t, text, b.Step+", "+b.Product+": ")
					for _, x := range r {
						assert.Contains(t, text, x.Zone+" "+x.From.Format("15:04"), "each panel with when it is begun")
					}
				}
			}
			assert.NotContains(t, us, " m/s", "no metric wind for who reads miles per hour")
			assert.NotContains(t, metric, "°F")
			assert.NotContains(t, metric, " mph")
		})
	}
}

// A week all of whose hours want a yes is no good week to a script that asks for one; only
// missing data alone make it an unknown one.
func TestAgree_AWeekThatNeedsAYes(t *testing.T) {
	for verdict, code := range map[string]int{
		answer.Go: 0, answer.Marginal: 11, answer.NoGo: 11, answer.Unknown: 12,
	} {
		assert.Equal(t, code, codeOfWeek(verdict), verdict)
	}
	assert.Equal(t, 13, codeOfVerdict(answer.Marginal), "a morning asks for it now")
}

// The morning on the screen says what the morning as JSON says, and its exit code is that
// of its verdict.
func TestAgree_Morning(t *testing.T) {
	r := newRun(t)
	verdicts := map[string]bool{}
	for _, now := range moments {
		m, metric, us := answered[answer.Morning](t, r, now, "morning --demo")
		verdicts[m.Verdict] = true
		assert.Equal(t, codeOfVerdict(m.Verdict), r.code, now)
		for _, text := range []string{metric, us} {
			assert.Contains(t, text, strings.ToUpper(m.Verdict), now)
			if m.WaitUntil != nil {
				assert.Contains(t, text, m.WaitUntil.Format("15:04"), now)
			}
			for _, x := range m.Warnings {
				assert.Contains(t, text, flat(x)[:min(30, len(flat(x)))], now)
			}
			for _, s := range m.Steps {
				assert.Regexp(t, regexp.QuoteMeta(s.Zone)+"|all zones", text, now)
			}
			for _, s := range m.Stop {
				assert.NotEmpty(t, s.Text)
			}
		}
		assert.Equal(t, m.Verdict == answer.Wait, m.WaitUntil != nil, now)
		for _, s := range m.Steps {
			if m.Verdict == answer.NoGo || m.Verdict == answer.Unknown {
				assert.False(t, s.Asked && (s.State == "go" || s.State == "ideal"), "%s on %s may begin, and the morning says %s", s.Step, s.Zone, m.Verdict)
			}
		}
	}
	assert.True(t, verdicts[answer.Go] && verdicts[answer.Wait] && verdicts[answer.NoGo], "%v", verdicts)
}

// toldOf is the number that a page gives of something in its last line about it, which is
// that of the limits, in a unit.
func toldOf(t *testing.T, page, what, unit string) float64 {
	t.Helper()
	all := regexp.MustCompile(` `+what+` (−?\d+(?:\.\d+)?) `+unit+`(?: at the panel)?, ideal`).FindAllStringSubmatch(page, -1)
	require.NotEmpty(t, all, "%s in %s: %s", what, unit, page)
	v, err := strconv.ParseFloat(strings.Replace(all[len(all)-1][1], "−", "-", 1), 64)
	require.NoError(t, err)
	return v
}

// Each limit of dewgap why is the same in JSON, in metric and in US units. The factors are
// those of the definitions (1 K = 1.8 °F; the mile 1609.344 m): NIST SP 811, appendix B.
func TestAgree_WhyInBothUnits(t *testing.T) {
	r := newRun(t)
	n := 0
	for _, hour := range []string{"08:00", "14:00"} {
		line := "why --demo --zone port side --with polymer-sealant --at 2026-09-10T" + hour
		w, metric, us := answered[answer.Why](t, r, monday, line)
		assert.Zero(t, r.code, "why explains; it gives no verdict")
		assert.Contains(t, metric, strings.ToUpper(w.State))
		assert.Equal(t, w.Binding.Limit, bindingOf(w).Limit, "what binds is one of the limits")
		for _, l := range w.Limits {
			if l.Value == nil || l.Bound == nil {
				continue
			}
			switch l.Limit {
			case "air_min", "surface_min":
				n++
				word := map[string]string{"air_min": "air", "surface_min": "panel"}[l.Limit]
				assert.InDelta(t, *l.Value*1.8+32, toldOf(t, us, word, "°F"), 1, "%s at %s", l.Limit, hour)
				assert.InDelta(t, *l.Value, toldOf(t, metric, word, "°C"), 0.1, "%s at %s", l.Limit, hour)
			case "wind_max":
				n++
				assert.InDelta(t, *l.Value*3600/1609.344, toldOf(t, us, "wind", "mph"), 1, hour)
				assert.InDelta(t, *l.Value, toldOf(t, metric, "wind", "m/s"), 0.1, hour)
			}
			assert.Contains(t, []string{"°C", "K", "%", "m/s", "W/m²", "g/m²", "h", ""}, l.Unit, "SI in JSON: %s", l.Limit)
		}
	}
	assert.Equal(t, 6, n)
}

// bindingOf is the limit of an answer that binds.
func bindingOf(w answer.Why) answer.WhyLimit {
	for _, l := range w.Limits {
		if l.Limit == w.Binding.Limit {
			return l
		}
	}
	return answer.WhyLimit{}
}

// The same question twice is the same answer to the byte, from every command that answers,
// on the screen and as JSON.
func TestAgree_TwiceTheSame(t *testing.T) {
	d := newDock(t)
	const asked = " --job job.yaml --forecast reply.json --fetched " + monday
	for _, line := range []string{
		"week" + asked, "week --hours" + asked, "morning" + asked, "why --zone port+side --with carnauba-wax --at 2026-09-10T11:00" + asked, "note owner" + asked, "note crew" + asked,
		"draw week --table" + asked, "draw day --table" + asked, "draw boat --table" + asked, "calendar" + asked, "season --demo --with carnauba-wax", "sources --demo",
		"draw week -o -" + asked, "draw day -o -" + asked, "draw boat -o -" + asked, "check job.yaml", "products soap-wash",
	} {
		for _, as := range []string{"", " --json"} {
			if as != "" && strings.Contains(line, "-o -") {
				continue // a picture is no JSON
			}
			args := strings.Fields(strings.ReplaceAll(line, " --table", map[string]string{"": " --table", " --json": ""}[as]) + as)
			for i := range args {
				args[i] = strings.ReplaceAll(args[i], "+", " ")
			}
			first := d.do(args...).out.String()
			code := d.code
			require.NotEmpty(t, first, "%v: %s", args, d.err.String())
			assert.Equal(t, as != "", json.Valid([]byte(first)), args)
			assert.Equal(t, first, d.do(args...).out.String(), args)
			assert.Equal(t, code, d.code, args)
		}
	}
}

// What the book kept is shown again as it was shown then, in either units, and as JSON to
// the byte, though the clock has gone on.
func TestAgree_TheBookShowsWhatWasShown(t *testing.T) {
	d := newDock(t)
	require.Equal(t, CodeDone, d.do("book", "init").code)
	was := map[int]map[string]string{}
	for i, line := range []string{"morning", "week", "move --rain 04:00/05:00/2"} { // the morning before there is a plan in the book
		args := append(strings.Fields(line), "--job", "job.yaml", "--forecast", "reply.json", "--fetched", monday, "--now", monday)
		was[i+1] = map[string]string{"--json": d.do(append(args, "--json")...).out.String()}
		require.NotEmpty(t, was[i+1]["--json"], d.err.String())
		for _, units := range []string{"metric", "us"} { // these leave the book alone, and are of the same moment
			if strings.HasPrefix(line, "move") {
				continue // without the book it has no plan
			}
			was[i+1]["--units="+units] = d.do(append(args, "--units="+units, "--no-book")...).out.String()
		}
	}
	d.env.Now = func() time.Time { return time.Date(2027, 3, 1, 0, 0, 0, 0, time.UTC) }
	for id, ways := range was {
		for way, text := range ways {
			got := d.do("book", "show", strconv.Itoa(id), way).out.String()
			require.Equal(t, CodeDone, d.code, d.err.String())
			if way != "--json" {
				head, rest, ok := strings.Cut(got, "\n\n")
				require.True(t, ok)
				assert.Contains(t, head, fmt.Sprintf("Answer %d, given ", id))
				got = rest
			}
			assert.Equal(t, text, got, "answer %d %s", id, way)
		}
	}
	got := refused(t, d.run, CodeFailed, "book", "show", "9")
	assert.Contains(t, got.Error, "not in the book")
}

// Of the moment asked about: before the forecast begins and after its end nothing is known
// of now, at its very first and last moments as well; and never is it go.
func TestAgree_NowAtTheEdgesOfAForecast(t *testing.T) {
	d := newDock(t)
	d.write(t, "job.yaml", []byte(regexp.MustCompile(`(?m)^(?:since|by):.*\n|, done: \{[^}]*\}`).ReplaceAllString(sideJob, "")))
	for _, c := range []struct {
		now  string
		says string
	}{
		{"2026-09-01T06:00:00-04:00", "begins after now"},
		{"2026-09-03T12:00:00-04:00", "begins after now"},
		{"2026-09-17T00:00:00-04:00", "ended before now"},
		{"2026-09-17T00:00:01-04:00", "ended before now"},
		{"2026-12-24T06:00:00-05:00", "ended before now"},
	} {
		for _, command := range []string{"week", "morning"} {
			d.do(command, "--job", "job.yaml", "--forecast", "reply.json", "--fetched", c.now, "--now", c.now, "--no-book", "--json")
			var v struct {
				Verdict  string
				Windows  []answer.Window
				Warnings []string
			}
			require.NoError(t, json.Unmarshal(d.out.Bytes(), &v), "%s at %s: %s", command, c.now, d.err.String())
			assert.Contains(t, strings.Join(v.Warnings, "\n"), c.says, "%s at %s", command, c.now)
			at, err := time.Parse(time.RFC3339, c.now)
			require.NoError(t, err)
			if command == "morning" || c.says == "ended before now" {
				assert.Equal(t, CodeUnknown, d.code, "%s at %s", command, c.now)
				assert.Equal(t, answer.Unknown, v.Verdict)
				assert.Empty(t, v.Windows)
			}
			for _, x := range v.Windows {
				assert.False(t, x.From.Before(at))
			}
		}
	}
}

// The hours of the week are what their names say, in the units that their names say: held
// against one another by what is known of air, sun and water.
func TestAgree_HoursMeanWhatTheirNamesSay(t *testing.T) {
	d := newDock(t)
	d.write(t, "job.yaml", []byte(strings.Replace(sideJob, "by: 2026-09-10\n", "", 1)))
	for _, now := range []string{monday, "2026-12-20T06:00:00-05:00"} {
		d.write(t, "one.json", single(t, now))
		d.do("week", "--job", "job.yaml", "--forecast", "one.json", "--fetched", now, "--now", now, "--no-book", "--json")
		var w answer.Week
		require.NoError(t, json.Unmarshal(d.out.Bytes(), &w), d.err.String())
		require.NotEmpty(t, w.Zones)
		require.Equal(t, 1, w.Source.Members)
		for _, z := range w.Zones {
			highest, noon := -90.0, 0.0
			for i, h := range z.Hours {
				require.NotNil(t, h.AirC, "%v", h.At)
				if i > 0 {
					assert.Equal(t, time.Hour, h.At.Sub(z.Hours[i-1].At))
				}
				assert.LessOrEqual(t, *h.DewPointC, *h.AirC+0.011, "no dew point above the air")
				if h.SurfaceC == nil || h.SpreadK == nil {
					assert.True(t, h.SurfaceC == nil && h.SpreadK == nil && h.FilmGM2 == nil, "what is not known of a panel is not known together, %v", h.At)
					assert.Greater(t, i, len(z.Hours)-3, "only where the forecast ends, %v", h.At)
					continue
				}
				assert.InDelta(t, *h.SurfaceC-*h.DewPointC, *h.SpreadK, 0.03, "spread is surface less dew point, %v", h.At)
				// Magnus after Alduchov and Eskridge 1996, eq. 21; the means of an hour bend it a little.
				e := func(c float64) float64 { return math.Exp(17.625 * c / (243.04 + c)) }
				assert.InDelta(t, 100*e(*h.DewPointC)/e(*h.AirC), *h.HumidityPct, 3, "%v", h.At)
				assert.GreaterOrEqual(t, *h.GustMS, *h.WindMS, "a gust is no less than the wind")
				assert.GreaterOrEqual(t, *h.RainMM, 0.0)
				assert.GreaterOrEqual(t, *h.FilmGM2, 0.0)
				assert.GreaterOrEqual(t, *h.UVIndex, 0.0)
				assert.True(t, *h.CloudPct >= 0 && *h.CloudPct <= 100, "cloud in percent: %v", *h.CloudPct)
				assert.True(t, *h.HumidityPct >= 0 && *h.HumidityPct <= 100.01, "%v", *h.HumidityPct)
				if *h.SunElevation < -16 { // within the hour it rises by 15 degrees at most
					assert.Zero(t, *h.SunlightWM2, "sunlight at night, %v", h.At)
					assert.Zero(t, *h.UVIndex, "UV at night, %v", h.At)
				}
				if *h.SunElevation > highest && h.At.YearDay() == z.Hours[12].At.YearDay() {
					highest, noon = *h.SunElevation, *h.SunAzimuth
				}
			}
			assert.InDelta(t, 180, noon, 25, "in the north the sun is highest in the south")
		}
	}
}

// single is the demo's reply at a moment with one member of it alone.
func single(t *testing.T, now string) []byte {
	t.Helper()
	at, err := time.Parse(time.RFC3339, now)
	require.NoError(t, err)
	data, err := demo.Reply(at)
	require.NoError(t, err)
	var reply map[string]any
	require.NoError(t, json.Unmarshal(data, &reply))
	for _, part := range []string{"hourly", "hourly_units"} {
		columns, ok := reply[part].(map[string]any)
		require.True(t, ok)
		for name := range columns {
			if strings.Contains(name, "_member") {
				delete(columns, name)
			}
		}
	}
	out, err := json.Marshal(reply)
	require.NoError(t, err)
	return out
}
