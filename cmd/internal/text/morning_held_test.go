package text

import (
	"strings"
	"testing"

	"dewgap/cmd/internal/answer"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What the weather allows and no polisher is free for is not named to begin with.
func TestMorningWithoutPolisher(t *testing.T) {
	a := early()
	a.Verdict, a.WaitUntil = "go", nil
	require.Equal(t, "+ GO now: seal helm; last start 16:00.", verdictLine(t, a))
	a.Steps[2].NoPolisher, a.Steps[2].Mind = true, "no polisher of the crew's is free for it before 11:00"
	assert.NotContains(t, verdictLine(t, a), "helm")
	page := strings.Join(strings.Fields(morningPage(t, a, us)), " ")
	assert.Contains(t, page, "helm: by the weather it may begin now")
	assert.Contains(t, page, "No polisher of the crew's is free for it before 11:00.")

	x := &a.Steps[2]
	x.State, x.FirstState, x.First, x.NeedsConsent, x.Binding = "marginal", "marginal", ptr(a.Now), false, bind("gust_max 10.7/10.5")
	page = strings.Join(strings.Fields(untie(morningPage(t, a, metric))), " ")
	assert.Contains(t, page, "helm: by the weather and the yes in the job it may begin now: gusts 10.7 m/s, at most 10.5.")
	assert.NotContains(t, page, "may begin by the yes in the job")
}

// Nor is it where too few of the crew are here; of two sides that a yes lets begin only the
// one that has what it takes is named.
func TestMorningWithoutHands(t *testing.T) {
	a := early()
	a.Verdict, a.WaitUntil = "go", nil
	a.Steps[2].NoHands, a.Steps[2].Mind = true, "too few of the crew are free for it before 12:00"
	assert.NotContains(t, verdictLine(t, a), "helm")
	page := strings.Join(strings.Fields(untie(morningPage(t, a, us))), " ")
	assert.Contains(t, page, "helm: by the weather it may begin now")
	assert.Contains(t, page, "Too few of the crew are free for it before 12:00.")

	soft := a.Steps[2]
	soft.State, soft.FirstState, soft.Best, soft.First, soft.NeedsConsent = "marginal", "marginal", "marginal", ptr(a.Now), false
	here := soft
	here.Zone, here.NoHands, here.Mind = "foredeck", false, ""
	a.Steps = []answer.MorningStep{soft, here}
	assert.Equal(t, "+ GO now with your yes: seal foredeck.", verdictLine(t, a))
}
