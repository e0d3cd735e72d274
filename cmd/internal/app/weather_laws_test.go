package app_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/forecast"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// spoilt is the week of the small job under the demo's weather with some of it changed;
// all members alike, so that nothing hangs on how many agree.
func spoilt(t testing.TB, text string, spoil func(f *forecast.Forecast, m *forecast.Member)) *answer.Week {
	f := weather(t, monday)
	f.Members = f.Members[:1]
	spoil(f, &f.Members[0])
	a, r := fixture{now: monday, forecast: f, job: text}.app(t)
	a.Futures = 0
	w, err := a.Week(t.Context(), r)
	require.NoError(t, err)
	return w
}

// hourAt is the index of an hour from Monday six o'clock on.
func hourAt(t testing.TB, f *forecast.Forecast, hour int) int {
	i, ok := f.Index(at(t, monday).Add(time.Duration(hour) * time.Hour))
	require.True(t, ok)
	return i
}

// touches reports whether two half-open spans meet.
func touches(aFrom, aTo, bFrom, bTo time.Time) bool { return aFrom.Before(bTo) && bFrom.Before(aTo) }

// Where a value is missing that nothing stands in for, there is no window over that
// moment, no block of the plan, and no note that says go: whichever value, whenever.
func TestLaws_MissingIsNeverGo(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		q := rapid.SampledFrom([]forecast.Quantity{forecast.AirTemperature, forecast.WindSpeed}).Draw(rt, "quantity")
		from := rapid.IntRange(1, 100).Draw(rt, "from")
		n := rapid.IntRange(1, 30).Draw(rt, "hours")
		w := spoilt(t, twoSteps, func(f *forecast.Forecast, m *forecast.Member) {
			for h := from; h < from+n; h++ {
				m.Columns[q].Known[hourAt(t, f, h)] = false
			}
		})
		start := at(t, monday).Add(time.Duration(from) * time.Hour)
		end := start.Add(time.Duration(n-1)*time.Hour + 10*time.Minute) // the slot of the last hour that is missing
		for _, x := range w.Windows {
			assert.False(rt, touches(x.From, x.To, start, end), "%s %v to %v lies over hours without %v", x.Step, x.From, x.To, q)
		}
		for _, b := range w.Plan.Blocks {
			assert.False(rt, touches(b.From, b.To, start, end), "%s is planned %v to %v", b.Step, b.From, b.To)
		}
		for _, x := range w.Refusals {
			if x.State == "unknown" {
				assert.NotEmpty(rt, x.Binding.Text)
				assert.Equal(rt, "data", x.Binding.Limit)
			}
		}
		for _, z := range w.Zones {
			for _, h := range z.Hours {
				if touches(h.At, h.At.Add(time.Hour), start, end) && h.At.Before(end.Add(-time.Hour)) {
					v := h.AirC
					if q == forecast.WindSpeed {
						v = h.WindMS
					}
					assert.Nil(rt, v, "an absent number is null at %v", h.At)
				}
			}
		}
	})
}

// However it rains, no sealing is planned into the rain, nor so shortly before it that the
// film is wet within its hard hours; and washing, which water does not spoil, may go on.
func TestLaws_NoSealIsPlannedIntoRain(t *testing.T) {
	t.Parallel()
	set := catalogue(t)
	class, ok := set.Class("polymer-sealant")
	require.True(t, ok)
	hard := time.Duration(class.RainFree.Hard * float64(time.Hour))
	require.Positive(t, hard, "the class has a hard bound, or this test is about nothing")
	planned := 0
	rapid.Check(t, func(rt *rapid.T) {
		type spell struct{ from, n int }
		var spells []spell
		for i := range rapid.IntRange(1, 4).Draw(rt, "spells") {
			spells = append(spells, spell{rapid.IntRange(0, 140).Draw(rt, fmt.Sprintf("from %d", i)), rapid.IntRange(1, 12).Draw(rt, fmt.Sprintf("hours %d", i))})
		}
		w := spoilt(t, twoSteps, func(f *forecast.Forecast, m *forecast.Member) {
			for _, s := range spells {
				for h := s.from; h < s.from+s.n; h++ {
					m.Columns[forecast.Precipitation].Set(hourAt(t, f, h), 1.5)
				}
			}
		})
		for _, b := range w.Plan.Blocks {
			if b.Do != "seal" {
				continue
			}
			planned++
			for _, s := range spells {
				from := at(t, monday).Add(time.Duration(s.from) * time.Hour)
				to := from.Add(time.Duration(s.n) * time.Hour)
				assert.False(rt, touches(b.From, b.To.Add(hard), from, to), "sealed %v to %v, rain %v to %v", b.From, b.To, from, to)
			}
		}
	})
	assert.Positive(t, planned, "between the rain there is room to seal")
}

// Whatever the weather, a plan keeps to the hours in which people work and machines may
// run, to the order of the steps, and to the slots that the answer itself calls workable.
func TestLaws_APlanKeepsToItsOwnWindows(t *testing.T) {
	t.Parallel()
	text := strings.Replace(twoSteps, `hours: "07:00-18:00"`, "hours: {default: \"07:30-16:00\", sun: none}\naway: [2026-09-09]", 1)
	require.NotEqual(t, twoSteps, text)
	rapid.Check(t, func(rt *rapid.T) {
		wind := rapid.Float64Range(0, 12).Draw(rt, "wind")
		colder := rapid.Float64Range(-12, 15).Draw(rt, "warmer by")
		wetFrom := rapid.IntRange(0, 120).Draw(rt, "rain from")
		w := spoilt(t, text, func(f *forecast.Forecast, m *forecast.Member) {
			for i := range f.N {
				m.Columns[forecast.WindSpeed].Set(i, wind)
				m.Columns[forecast.Gust].Set(i, 1.4*wind)
				for _, q := range []forecast.Quantity{forecast.AirTemperature, forecast.DewPoint} {
					if v, ok := m.Columns[q].At(i); ok {
						m.Columns[q].Set(i, v+colder)
					}
				}
			}
			m.Columns[forecast.Precipitation].Set(hourAt(t, f, wetFrom), 3)
		})
		assert.Equal(rt, w.Plan.State == answer.None, len(w.Plan.Blocks) == 0)
		assert.Equal(rt, w.Plan.State == answer.None, len(w.Ladder) > 0, "ways to get on where there is no plan, and only there")
		var washed time.Time
		for _, b := range w.Plan.Blocks {
			clock := func(at time.Time) string { return at.Format("15:04") }
			assert.GreaterOrEqual(rt, clock(b.From), "07:30")
			assert.LessOrEqual(rt, clock(b.To), "16:00")
			assert.NotEqual(rt, time.Sunday, b.From.Weekday(), "nobody works on Sunday")
			assert.NotEqual(rt, 9, b.From.Day(), "everybody is away")
			assert.Contains(rt, []string{"ideal", "go", "marginal"}, b.State)
			assert.Equal(rt, b.State == "marginal" || b.Confidence < 0.5, b.NeedsConsent)
			if b.Step == "wash" {
				washed = b.To
			} else {
				assert.False(rt, b.From.Before(washed), "washed before it is sealed")
			}
			for _, x := range w.Refusals {
				if x.Step == b.Step && x.Zone == b.Zone {
					assert.False(rt, touches(b.From, b.WorkTo, x.From, x.To), "%s at %v is refused: %s", b.Step, b.From, x.Binding.Text)
				}
			}
		}
	})
}

// Across both changes of the clock the hours of an answer follow one another without a
// gap or a double, keep to the working hours of the wall clock, and carry the offset of
// their own moment.
func TestLaws_ClockChanges(t *testing.T) {
	for name, now := range map[string]string{
		"summer time ends": "2026-10-31T06:00:00-04:00", "summer time begins": "2026-03-07T06:00:00-05:00",
		"in the hour that comes twice, first": "2026-11-01T01:30:00-04:00", "and second": "2026-11-01T01:30:00-05:00",
	} {
		t.Run(name, func(t *testing.T) {
			text := strings.Replace(twoSteps, "since: {rain: 2026-09-04T08:00}", "since: {rain: "+at(t, now).AddDate(0, 0, -3).Format("2006-01-02")+"T08:00}", 1)
			x := fixture{now: now, forecast: weather(t, now), job: text}
			w := x.week(t)
			require.NotEmpty(t, w.Zones[0].Hours)
			offsets := map[string]bool{}
			for i, h := range w.Zones[0].Hours {
				offsets[h.At.Format("-07:00")] = true
				if i > 0 {
					assert.Equal(t, time.Hour, h.At.Sub(w.Zones[0].Hours[i-1].At), "%v", h.At)
				}
			}
			assert.True(t, offsets["-05:00"], "%v", offsets)
			for _, win := range w.Windows {
				assert.GreaterOrEqual(t, win.From.Format("15:04"), "07:00", "%v", win.From)
				assert.LessOrEqual(t, win.To.Format("15:04"), "18:00", "%v", win.To)
			}
			a, r := x.app(t)
			m, err := a.Morning(t.Context(), r)
			require.NoError(t, err)
			assert.True(t, m.Now.Equal(at(t, now)))
			assert.Equal(t, at(t, now).Format("-07:00"), m.Now.Format("-07:00"))
			if m.WaitUntil != nil {
				assert.True(t, m.WaitUntil.After(m.Now))
				assert.Equal(t, m.Now.Day(), m.WaitUntil.Day())
			}
		})
	}
}

// A slip in the year is told with the year; a slip of some days without it.
func TestWhy_TellsTheYearThatWasMeant(t *testing.T) {
	a, r := fixture{now: monday, forecast: weather(t, monday), job: twoSteps}.app(t)
	ask := func(when string) *app.Problem {
		_, err := a.Why(t.Context(), app.WhyRequest{Request: r, Zone: "port side", Class: "polymer-sealant",
			At: func(*time.Location) (time.Time, error) { return at(t, when), nil }})
		p := &app.Problem{}
		require.ErrorAs(t, err, &p)
		return p
	}
	p := ask("2025-09-08T09:00:00-04:00")
	assert.Equal(t, "nothing is known of Mon 8 Sep 2025 09:00", p.Text)
	assert.Contains(t, p.Fix, "give a moment from Mon 7 Sep 2026 06:00 to ")
	p = ask("2026-09-30T09:00:00-04:00")
	assert.Equal(t, "nothing is known of Wed 30 Sep 09:00", p.Text)
	assert.NotContains(t, p.Fix, "2026")
}

// What tells no size, as a pipe or a device, is read no further than a file could be.
func TestReadFile_EndlessIsRefused(t *testing.T) {
	const endless = "/dev/zero"
	if _, err := app.ReadFile(endless, 0); err == nil {
		t.Skip("this system has no " + endless)
	}
	data, err := app.ReadFile(endless, 4096)
	assert.Nil(t, data)
	p := &app.Problem{}
	require.ErrorAs(t, err, &p)
	assert.Equal(t, endless, p.Where)
	if !strings.Contains(p.Text, "cannot be read") {
		assert.Equal(t, "is larger than 4 kB", p.Text)
		assert.Equal(t, "name the right file", p.Fix)
	}
}
