package app

import (
	"testing"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/forecast/fetch"

	"github.com/stretchr/testify/assert"
)

// A plan that people know gives way only to one that is better by far.
func TestFarBetter(t *testing.T) {
	end := time.Date(2026, 9, 12, 15, 0, 0, 0, time.UTC)
	plan := func(state string, confidence float64, ends time.Duration) *answer.Plan {
		e := end.Add(ends)
		return &answer.Plan{State: state, Confidence: confidence, Ends: &e}
	}
	was, part := plan(answer.Go, 0.7, 0), plan(answer.Go, 1, -72*time.Hour)
	part.Part = &answer.Part{}
	for name, c := range map[string]struct {
		is, was *answer.Plan
		want    bool
	}{
		"the same":               {was, was, false},
		"surer by far":           {plan(answer.Go, 0.9, 0), was, true},
		"surer":                  {plan(answer.Go, 0.85, 0), was, false},
		"a day earlier":          {plan(answer.Go, 0.7, -24*time.Hour), was, true},
		"hours earlier":          {plan(answer.Go, 0.7, -23*time.Hour), was, false},
		"earlier, hardly surely": {plan(answer.Go, 0.55, -72*time.Hour), was, false},
		"without a yes":          {plan(answer.Go, 0.5, 48*time.Hour), plan(answer.Marginal, 0.9, 0), true},
		"with a yes":             {plan(answer.Marginal, 1, -72*time.Hour), was, false},
		"the whole for a part":   {plan(answer.Marginal, 0.1, 48*time.Hour), part, true},
		"a part for the whole":   {part, was, false},
		"none":                   {&answer.Plan{State: answer.None}, was, false},
		"without an end":         {&answer.Plan{State: answer.Go, Confidence: 0.7}, was, false},
	} {
		assert.Equal(t, c.want, farBetter(c.is, c.was), name)
	}
}

func TestAnyMoved(t *testing.T) {
	assert.False(t, anyMoved([]answer.BlockChange{{Change: "kept"}, {Change: "done"}, {Change: "none"}}))
	for _, x := range []string{"moved", "added", "dropped"} {
		assert.True(t, anyMoved([]answer.BlockChange{{Change: "kept"}, {Change: x}}))
	}
}

// noCache keeps nothing.
type noCache struct{}

func (noCache) Get(string) (fetch.Entry, bool, error) { return fetch.Entry{}, false, nil }
func (noCache) Put(string, fetch.Entry) error         { return nil }

// The alerts, good for some minutes, do not set the pace.
func TestFirstExpiry(t *testing.T) {
	now := time.Date(2026, 9, 12, 15, 0, 0, 0, time.UTC)
	s := &seenExpiries{Cache: noCache{}, by: map[string]time.Time{}}
	put := func(path string, life time.Duration) {
		e := fetch.Entry{}
		if life > 0 {
			e.Expires = now.Add(life)
		}
		assert.NoError(t, s.Put("NWS https://api.weather.gov"+path, e))
	}
	assert.Zero(t, s.first())
	put("/alerts/active?point=43.07,-70.74", 5*time.Minute)
	assert.Zero(t, s.first(), "alerts alone say nothing of the forecast")
	put("/points/43.07,-70.74", 7*24*time.Hour)
	put("/gridpoints/OTQ/12,34", 40*time.Minute)
	put("/gridpoints/OTQ/12,34/stations", 0)
	assert.Equal(t, now.Add(40*time.Minute), s.first())
}
