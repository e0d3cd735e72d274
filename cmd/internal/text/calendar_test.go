package text

import (
	"fmt"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/cmd/internal/answer"
)

// places are clocks of every kind, with a day that is not like others (IANA time zone
// database): 25 and 23 hours, midnight skipped, half an hour more, half past the hour,
// both ends of the world's dates, a leap day, the turn of a year.
var places = []struct{ zone, day string }{
	{"America/New_York", "2026-11-01"}, {"America/New_York", "2027-03-14"}, {"America/Santiago", "2026-09-06"}, {"America/Havana", "2026-03-08"},
	{"Australia/Lord_Howe", "2026-10-04"}, {"America/St_Johns", "2026-12-31"}, {"Pacific/Kiritimati", "2026-12-31"}, {"Pacific/Pago_Pago", "2027-01-01"},
	{"UTC", "2028-02-29"}, {"Asia/Kathmandu", "2027-02-28"},
}

var madeZones = []string{"port", "starboard", "transom", "foredeck"}

// madeWeek is a week of one step whose windows and refusals follow one another on every
// zone as slots do, from the day before such a day to two days after it.
func madeWeek(rt *rapid.T) (a *answer.Week, loc *time.Location) {
	c := rapid.SampledFrom(places).Draw(rt, "place")
	loc, err := time.LoadLocation(c.zone)
	require.NoError(rt, err)
	noon, err := time.ParseInLocation("2006-01-02 15", c.day+" 12", loc)
	require.NoError(rt, err)
	a = emptyWeek()
	a.Cautions, a.Warnings, a.Zones = nil, nil, nil
	a.Place.Timezone = c.zone
	a.From = noon.AddDate(0, 0, -1).Truncate(10 * time.Minute)
	a.Now, a.To = a.From, a.From.Add(time.Duration(rapid.IntRange(30, 420).Draw(rt, "horizon"))*10*time.Minute)
	a.Source.Issued = nil
	limits := []string{"surface_max 31.2/30", "wind_max 10.6/6", "rain_free 1.5/4", "hours", "thunder", "spread_min 1.2/3", "data"}
	for i, z := range madeZones[:rapid.IntRange(1, 4).Draw(rt, "zones")] {
		a.Zones = append(a.Zones, zoneOf(z, float64(90*i), 90))
		for at := a.From; at.Before(a.To); {
			to := at.Add(time.Duration(rapid.IntRange(1, 120).Draw(rt, "slots")) * 10 * time.Minute)
			if to.After(a.To) {
				to = a.To
			}
			state := rapid.SampledFrom([]string{"ideal", "go", "marginal", "no-go", "no-go"}).Draw(rt, "state")
			b := bind(rapid.SampledFrom(limits).Draw(rt, "limit"))
			if answer.Workable(state) {
				a.Windows = append(a.Windows, answer.Window{Step: "seal", Do: "seal", Product: "polymer-sealant", Zone: z, From: at, To: to, State: state,
					Confidence: 0.9, Binding: bind("wind_max 5/4"), LastStart: to.Add(-10 * time.Minute)})
			} else {
				if b.Limit == "data" {
					state = "unknown"
				}
				a.Refusals = append(a.Refusals, answer.Refusal{Step: "seal", Do: "seal", Product: "polymer-sealant", Zone: z, From: at, To: to, State: state, Binding: b})
			}
			at = to
		}
	}
	builder{nil, a}.finish()
	return a, loc
}

// onDays is a stretch as the clock shows it on each of its days, found by small steps and
// without any reckoning of midnights.
func onDays(from, to time.Time) map[string]string {
	out := map[string]string{}
	begin := from
	const step = 5 * time.Minute // Nepal's slots stand at odd fives
	for at := from; at.Before(to); at = at.Add(step) {
		next := at.Add(step)
		if next.Before(to) && next.Format(time.DateOnly) == at.Format(time.DateOnly) {
			continue
		}
		end := next.Format("15:04")
		if next.Format(time.DateOnly) != at.Format(time.DateOnly) {
			end = "24:00"
		}
		out[at.Format(time.DateOnly)] = begin.Format("15:04") + "-" + end
		begin = next
	}
	return out
}

var (
	dayHead  = regexp.MustCompile(`^  ([A-Z][a-z]{2} \d+ [A-Z][a-z]{2})(?: to ([A-Z][a-z]{2} \d+ [A-Z][a-z]{2}))?$`)
	openLine = regexp.MustCompile(`(all zones|all but [a-z]+(?:(?:, [a-z]+)* and [a-z]+)?|[a-z]+(?:, [a-z]+)*) ((?:[*+!] (?:ideal|go|marginal) \d\d:\d\d-\d\d:\d\d ?)+)`)
	openPart = regexp.MustCompile(`[*+!] (ideal|go|marginal) (\d\d:\d\d-\d\d:\d\d)`)
)

// bodies are the days of a page, each by its date with what stands under it, in one line.
func bodies(t require.TestingT, page string, from time.Time) (dates []string, text map[string]string) {
	_, after, ok := strings.Cut(page, "\n  By day\n")
	require.True(t, ok, page)
	text = map[string]string{}
	byName := map[string]string{}
	var order []string
	for at := from; len(order) < 12; at = at.Add(time.Hour) {
		d := at.Format(time.DateOnly)
		if len(order) == 0 || order[len(order)-1] != d {
			order, byName[at.Format("Mon 2 Jan")] = append(order, d), d
		}
	}
	var open []string
	for _, l := range strings.Split(after, "\n") {
		if m := dayHead.FindStringSubmatch(l); m != nil {
			open = nil
			first, last := byName[m[1]], byName[m[1]]
			if m[2] != "" {
				last = byName[m[2]]
			}
			require.NotEmpty(t, first, "%q is no day of the week", l)
			require.NotEmpty(t, last, "%q is no day of the week", l)
			for _, d := range order {
				if d >= first && d <= last {
					open, dates = append(open, d), append(dates, d)
				}
			}
			continue
		}
		if !strings.HasPrefix(l, "    ") {
			open = nil
		}
		for _, d := range open {
			text[d] += " " + strings.TrimSpace(l)
		}
	}
	for d := range text {
		text[d] = flat(text[d])
	}
	return dates, text
}

// What a week's page says by day, read back, has every window of every zone on the days
// and by the clock of the place, and no other: over clock changes, the turn of the year,
// leap days, and where midnight is skipped. Days come in the order of the calendar.
func TestDaysReadBack(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		a, _ := madeWeek(rt)
		page := weekPage(rt, a, Options{Width: 100})
		var zones []string
		for _, z := range a.Zones {
			zones = append(zones, z.Name)
		}
		want := map[string]int{}
		for _, w := range a.Windows {
			for d, hours := range onDays(w.From, w.To) {
				want[fmt.Sprint(d, " ", w.Zone, " ", w.State, " ", hours)]++
			}
		}
		dates, text := bodies(rt, page, a.From)
		for i := 1; i < len(dates); i++ {
			require.Less(rt, dates[i-1], dates[i])
		}
		got := map[string]int{}
		for d, body := range text {
			body, _, _ = strings.Cut(body, " because ")
			body, _, _ = strings.Cut(body, "Clears: ")
			for _, m := range openLine.FindAllStringSubmatch(body, -1) {
				for _, z := range namedBy(m[1], zones) {
					for _, part := range openPart.FindAllStringSubmatch(m[2], -1) {
						got[fmt.Sprint(d, " ", z, " ", part[1], " ", part[2])]++
					}
				}
			}
		}
		require.Equal(rt, want, got, page)
	})
}

// namedBy are the zones that a list of a page names.
func namedBy(list string, all []string) []string {
	if list == "all zones" {
		return all
	}
	but, without := strings.CutPrefix(list, "all but ")
	named := map[string]bool{}
	for _, n := range regexp.MustCompile(`, | and `).Split(but, -1) {
		named[n] = true
	}
	var out []string
	for _, z := range all {
		if named[z] != without {
			out = append(out, z)
		}
	}
	return out
}

// Each stretch that the weather refuses is told on its day in one sentence: why with
// value and bound, when, where, and when it clears there, or that it does not in these
// days; what clears on another day names that day.
func TestRefusalsReadBack(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		a, _ := madeWeek(rt)
		page := weekPage(rt, a, Options{Width: 100})
		_, text := bodies(rt, page, a.From)
		for _, r := range a.Refusals {
			if scheduled(r.Binding.Limit) || r.Binding.Limit == "thunder" && strings.Contains(flat(page), "on every day: ") {
				continue // told once, for all days
			}
			for d, hours := range onDays(r.From, r.To) {
				body := text[d]
				if strings.Contains(body, "within ") {
					continue // many stretches told as one
				}
				require.Contains(rt, body, hours, "%s %s", d, r.Zone)
				if r.Binding.Value != nil {
					require.Regexp(rt, `because (at worst )?[a-z][^:]* \d[^:]*, needs? |because (at worst )?[a-z][^:]* \d[^:]*, (at most|needs) `, body)
				}
				switch {
				case r.Clears == nil:
					require.Contains(rt, body, "not in these days: ", "%s %s", d, r.Zone)
				case r.Clears.Format(time.DateOnly) == d:
					require.Contains(rt, body, "clears "+r.Clears.Format("15:04"))
				default:
					require.Contains(rt, body, r.Clears.Format("Mon 2 Jan 15:04"))
				}
			}
		}
	})
}

// The first three lines answer: the state by shape and word of the best day's best
// hours, what and on which day; the next best day or that there is none; what would
// break it. Each keeps to one line of 80.
func TestThreeLinesOfMadeUpWeeks(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		a, _ := madeWeek(rt)
		l := firstLines(weekPage(rt, a, metric), 3)
		if len(a.Windows) == 0 {
			require.Regexp(rt, `^(x NO-GO|\? UNKNOWN)  Seal: no hours on any zone up to `, l[0])
			require.Regexp(rt, `[Bb]ecause: |^Nothing else`, l[1])
			return
		}
		best := a.Windows[0].From.Format("Mon 2 Jan")
		ideal, sound, next := true, false, ""
		for _, w := range a.Windows {
			switch {
			case w.From.Format("Mon 2 Jan") != best:
				if next == "" {
					next = w.From.Format("Mon 2 Jan")
				}
			case w.State != "marginal":
				sound, ideal = true, ideal && w.State == "ideal"
			}
		}
		want := "! MARGINAL"
		switch {
		case sound && ideal:
			want = "* IDEAL"
		case sound:
			want = "+ GO"
		}
		require.True(rt, strings.HasPrefix(l[0], want+"  Seal "+best+": "), "%q is not %s on %s", l[0], want, best)
		require.Regexp(rt, `\d\d:\d\d-`, l[0])
		if next == "" {
			require.True(rt, strings.HasPrefix(l[1], "Next best: no other day up to "), l[1])
		} else {
			require.Regexp(rt, `^Next best: (! marginal )?`+next+`, `, l[1])
		}
		require.Equal(rt, "Breaks it: nothing that was tried.", l[2])
	})
}

// Days are named by the calendar. By hand from 1 January 2000, a Saturday: 31 December
// 2026 is 9861 = 5 mod 7 days on, a Thursday; 29 February 2028 is 10286 = 3 mod 7 on, a
// Tuesday; the year after has no such day, and Sunday 28 February 2027 (9920 = 1 mod 7) is
// followed by a Monday in March.
func TestDaysOfTheCalendar(t *testing.T) {
	for _, c := range []struct{ zone, from, days string }{
		{"America/New_York", "2026-12-30 20:00", "Wed 30 Dec, Thu 31 Dec, Fri 1 Jan, Sat 2 Jan"},
		{"Pacific/Kiritimati", "2026-12-31 10:00", "Thu 31 Dec, Fri 1 Jan, Sat 2 Jan"},
		{"UTC", "2028-02-28 10:00", "Mon 28 Feb, Tue 29 Feb, Wed 1 Mar"},
		{"UTC", "2027-02-27 10:00", "Sat 27 Feb, Sun 28 Feb, Mon 1 Mar"},
		{"America/Santiago", "2026-09-05 10:00", "Sat 5 Sep, Sun 6 Sep, Mon 7 Sep"},
		{"America/New_York", "2026-10-31 10:00", "Sat 31 Oct, Sun 1 Nov, Mon 2 Nov"},
		{"America/New_York", "2027-03-13 10:00", "Sat 13 Mar, Sun 14 Mar, Mon 15 Mar"},
	} {
		loc, err := time.LoadLocation(c.zone)
		require.NoError(t, err)
		from, err := time.ParseInLocation("2006-01-02 15:04", c.from, loc)
		require.NoError(t, err)
		a := emptyWeek()
		a.From, a.Now, a.To = from, from, from.Add(54*time.Hour)
		a.Refusals = []answer.Refusal{{Step: "seal", Do: "seal", Zone: "port side", From: from, To: from.Add(49 * time.Hour), State: "no-go", Binding: bind("spread_min 0.2/2")}}
		a.Windows = []answer.Window{{Step: "seal", Do: "seal", Zone: "port side", From: from.Add(49 * time.Hour), To: from.Add(53 * time.Hour), State: "go", Confidence: 1, Rank: 1}}
		var named []string
		page := weekPage(t, a, metric)
		_, after, _ := strings.Cut(page, "  By day\n")
		for _, l := range strings.Split(after, "\n") {
			if m := dayHead.FindStringSubmatch(l); m != nil {
				named = append(named, m[1])
				if m[2] != "" {
					named = append(named, m[2])
				}
			}
		}
		assert.Equal(t, c.days, strings.Join(named, ", "), page)
	}
}

// A plan over the turn of the year, and a note of it, name the days of both.
func TestPlanOverNewYear(t *testing.T) {
	eve := time.Date(2026, 12, 31, 13, 0, 0, 0, eastern)
	blocks := []answer.PlanBlock{
		{From: eve, To: eve.Add(2 * time.Hour), Step: "wash", Zone: "port side", People: []int{1}, State: "go"},
		{From: eve.Add(20 * time.Hour), To: eve.Add(23 * time.Hour), Step: "seal", Zone: "port side", People: []int{1}, State: "go"},
	}
	a := emptyWeek()
	a.Cautions = nil
	a.Plan = &answer.Plan{State: "go", Confidence: 1, Blocks: blocks}
	page := weekPage(t, a, metric)
	assert.Contains(t, page, "  Thu 31 Dec\n  + go       13:00-15:00  1    wash, port side\n  Fri 1 Jan\n  + go       09:00-12:00  1    seal, port side\n")
	n := NoteOfWeek(a, ToOwner, metric)
	said := untie(strings.Join(n.What, " "))
	assert.Contains(t, said, "Wash: Thu 31 Dec.")
	assert.Contains(t, said, "Seal: Fri 1 Jan.")
	assert.Contains(t, said, "Done Fri 1 Jan 12:00.")
}

// The hazards of a day are told on it: one over midnight in two parts, and in Chile's
// spring night, which has no midnight, too.
func TestHazardsOverMidnight(t *testing.T) {
	loc, err := time.LoadLocation("America/Santiago")
	require.NoError(t, err)
	from, to := time.Date(2026, 9, 5, 22, 0, 0, 0, loc), time.Date(2026, 9, 6, 4, 0, 0, 0, loc)
	cautions := []answer.Caution{{Kind: "gust", From: &from, To: &to}}
	p := newPage(metric)
	assert.Equal(t, " · mind gusts 22:00-24:00", untie(p.mind(time.Date(2026, 9, 5, 9, 0, 0, 0, loc), cautions)))
	assert.Equal(t, " · mind gusts 01:00-04:00", untie(p.mind(time.Date(2026, 9, 6, 9, 0, 0, 0, loc), cautions)))
	assert.Empty(t, p.mind(time.Date(2026, 9, 7, 9, 0, 0, 0, loc), cautions))
	assert.Empty(t, p.mind(time.Date(2026, 9, 4, 9, 0, 0, 0, loc), cautions))
}
