package window

import (
	"testing"
	"time"

	"dewgap/window/verdict"

	"github.com/stretchr/testify/assert"
)

// Three days in March and April, six slots each, least block two slots.
func TestSeasonCounts(t *testing.T) {
	states := map[byte]verdict.State{'i': verdict.Ideal, 'g': verdict.Go, 'm': verdict.Marginal, '?': verdict.Unknown, 'x': verdict.NoGo}
	row := func(text string) (out []verdict.State) {
		for i := range text {
			out = append(out, states[text[i]])
		}
		return out
	}
	days := func(of ...seasonDay) (out []seasonDay) {
		for _, d := range of {
			for range 6 {
				out = append(out, d)
			}
		}
		return out
	}
	march, april := seasonDay{89, 2}, seasonDay{91, 3}
	april2 := seasonDay{92, 3}
	for name, c := range map[string]struct {
		row  string
		want [2]SeasonMonth // March, April
	}{
		"two windows on one day":       {"ggxigx" + "xxxxxx" + "xxxxxx", [2]SeasonMonth{{Windows: 2, Days: 1, Hours: 4. / 6}, {}}},
		"too short":                    {"gxgxgx" + "xxxxxx" + "xxxxxx", [2]SeasonMonth{}},
		"consent":                      {"xmmxxx" + "mgmxxx" + "xxxxxx", [2]SeasonMonth{{Consent: 1}, {Consent: 1}}},
		"go beside marginal":           {"xxxxxx" + "mggmxx" + "xxxxxx", [2]SeasonMonth{{}, {Windows: 1, Days: 1, Hours: 2. / 6}}},
		"consent, then go, on one day": {"mmxggx" + "xxxxxx" + "xxxxxx", [2]SeasonMonth{{Windows: 1, Days: 1, Hours: 2. / 6}, {}}},
		"by the month it begins in":    {"xxxxxg" + "gxxxxx" + "xxxxxx", [2]SeasonMonth{{Windows: 1, Days: 1, Hours: 2. / 6}, {}}},
		"unknown":                      {"xxxxxx" + "??ggxx" + "xx?xxx", [2]SeasonMonth{{}, {Windows: 1, Days: 1, Hours: 2. / 6, Unknown: 2}}},
	} {
		t.Run(name, func(t *testing.T) {
			var r SeasonRow
			r.count(row(c.row), days(march, april, april2), 2)
			for i, want := range c.want {
				got := r.Months[2+i]
				assert.InDelta(t, want.Hours, got.Hours, 1e-9)
				got.Hours = want.Hours
				assert.Equal(t, want, got, time.Month(3+i))
			}
		})
	}
}
