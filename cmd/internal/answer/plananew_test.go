package answer

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

// A plan made anew is spoken of where it is better in something and worse in nothing.
func TestAnew(t *testing.T) {
	plan := func(state string, day, consents int, confidence float64) *Plan {
		end := time.Date(2026, 9, day, 15, 0, 0, 0, time.UTC)
		return &Plan{State: state, Consents: consents, Confidence: confidence, Ends: &end}
	}
	stands := plan(Marginal, 11, 2, 0.4)
	for name, c := range map[string]struct {
		stands, anew *Plan
		says         string
	}{
		"the same":             {stands, plan(Marginal, 11, 2, 0.4), ""},
		"a day sooner":         {stands, plan(Marginal, 10, 2, 0.4), "planned anew it would be done Thu 10 Sep and not Fri 11 Sep"},
		"hours sooner":         {stands, func() *Plan { p := plan(Marginal, 11, 2, 0.4); *p.Ends = p.Ends.Add(-4 * time.Hour); return p }(), ""},
		"fewer yeses":          {stands, plan(Marginal, 11, 1, 0.4), "planned anew it would need your yes 1 time less often"},
		"surer":                {stands, plan(Marginal, 11, 2, 0.66), "planned anew it would hold in 66 % of the forecasts and not in 40 %"},
		"a little surer":       {stands, plan(Marginal, 11, 2, 0.55), ""},
		"all of it":            {stands, plan(Go, 9, 0, 0.9), "planned anew it would be done Wed 9 Sep and not Fri 11 Sep, need your yes 2 times less often, hold in 90 % of the forecasts and not in 40 %"},
		"sooner, but more yes": {stands, plan(Marginal, 10, 3, 0.4), ""},
		"sooner, less sure":    {stands, plan(Marginal, 10, 2, 0.1), ""},
		"surer, but later":     {stands, plan(Go, 12, 0, 1), ""},
		"broken":               {plan(NoGo, 11, 0, 0), plan(Marginal, 11, 3, 0.5), "planned anew it would hold in 50 % of the forecasts and not in 0 %"},
		"broken, and later":    {plan(NoGo, 11, 0, 0), plan(Go, 12, 0, 1), ""},
		"nothing known":        {plan(Unknown, 11, 0, 0), plan(Go, 10, 0, 1), ""},
		"none found":           {stands, plan(None, 10, 0, 1), ""},
		"everything done":      {stands, &Plan{State: Go}, ""},
		"no plan":              {stands, nil, ""},
		"the whole for a part": {func() *Plan { p := plan(Go, 9, 0, 1); p.Part = &Part{}; return p }(), plan(Marginal, 12, 2, 0.4), "planned anew it would be of the whole job, done Sat 12 Sep"},
	} {
		assert.Equal(t, c.says, Anew(c.stands, c.anew, time.UTC), name)
	}
}
