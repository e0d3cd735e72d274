package answer

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

// What a step may begin by now says nothing that what it lacks would contradict.
func TestBegins(t *testing.T) {
	now := time.Date(2026, 9, 10, 7, 40, 0, 0, time.UTC)
	later := now.Add(time.Hour)
	for want, list := range map[string][]MorningStep{
		"may begin now":                                          {{State: "ideal"}, {State: Go, First: &now}},
		"by the weather it may begin now":                        {{State: "ideal", NoPolisher: true}, {State: Go, NoPolisher: true}, {State: Go, NoHands: true}},
		"may begin by the yes in the job":                        {{State: Marginal, FirstState: Marginal, First: &now}},
		"by the weather and the yes in the job it may begin now": {{State: Marginal, FirstState: Marginal, First: &now, NoPolisher: true}, {State: Marginal, FirstState: Marginal, First: &now, NoHands: true}},
		"": {
			{State: Marginal, FirstState: Marginal, First: &now, NeedsConsent: true}, {State: Marginal, FirstState: Go, First: &later},
			{State: Marginal}, {State: NoGo, NoPolisher: true}, {State: "unknown"}, {State: NoGo, FirstState: Go, First: &later},
		},
	} {
		for i, x := range list {
			assert.Equal(t, want, (&Morning{Now: now}).Begins(x), "%s %d", x.State, i)
		}
	}
}
