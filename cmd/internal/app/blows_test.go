package app_test

import (
	"slices"
	"strings"
	"testing"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/demo"
	"dewgap/forecast"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The day that the headline is about breaks by what it has little room in, and says so.
func TestWhatBreaksTheBestDay(t *testing.T) {
	t.Parallel()
	each := func(f *forecast.Forecast, q forecast.Quantity, change func(hour int, v float64) float64) {
		for m := range f.Members {
			for i, v := range f.Members[m].Columns[q].Values {
				f.Members[m].Columns[q].Set(i, change(i%24, v))
			}
		}
	}
	for name, c := range map[string]struct {
		spoil func(f *forecast.Forecast)
		blow  string
		want  string
	}{
		"wind near its limit": {func(f *forecast.Forecast) {
			// 0.89 of 5.6 m/s is 5.0 at the deck, of 7.6 it is 6.8: go to 6, hard from 9.
			each(f, forecast.WindSpeed, func(int, float64) float64 { return 5.6 })
			each(f, forecast.Gust, func(int, float64) float64 { return 7 })
		}, "wind 2 m/s (4 kn) stronger: ", "marginal on foredeck"},
		"rain at nine in the evening": {func(f *forecast.Forecast) {
			each(f, forecast.Precipitation, func(hour int, v float64) float64 {
				if hour == 21 { // of the place: the forecast begins at midnight there
					return 1
				}
				return v
			})
		}, "rain 2 h earlier: ", "marginal on starboard side"},
	} {
		t.Run(name, func(t *testing.T) {
			f := weather(t, monday)
			c.spoil(f)
			w := fixture{now: monday, forecast: f}.week(t)
			require.NotEmpty(t, w.Headline.Hours)
			require.True(t, w.Headline.Planned)
			var hit string
			for _, text := range w.Headline.Breaks {
				if strings.HasPrefix(text, c.blow) {
					hit = text
				}
			}
			assert.Contains(t, hit, c.want, "%q", w.Headline.Breaks)
			for _, z := range w.Zones { // of the same hours as the headline
				told := slices.ContainsFunc(w.Headline.Hours, func(h answer.HeadHours) bool { return h.Zone == z.Name })
				assert.True(t, told || !strings.Contains(hit, z.Name), "%q of %v", hit, w.Headline.Hours)
			}
		})
	}
}

// Salt that an earlier step washes off does not stand in the way of the look
// at the sealing step alone.
func TestBreaksWithSalt(t *testing.T) {
	salty := strings.Replace(string(demo.JobFile()), "steps:", "zones:\n  - {name: port side, salt: true}\nsteps:", 1)
	f := weather(t, monday)
	assert.Equal(t, fixture{now: monday, forecast: f}.week(t).Headline.Breaks,
		fixture{now: monday, forecast: f, job: salty}.week(t).Headline.Breaks)
}
