package app_test

import (
	"testing"
	"time"

	"dewgap/cmd/internal/app"
	"dewgap/forecast"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Who plans anew on purpose says that the work of the day is still to be done, as a move does:
// it is not recorded as the plan before had it.
func TestLogPlanned_PlannedAnew(t *testing.T) {
	ctx := t.Context()
	g := agree(t, twoSteps)
	a, r := g.booked(t)
	week, err := a.Week(ctx, r)
	require.NoError(t, err)
	first := week.Plan.Blocks[0]
	soon := first.To.Add(20 * time.Minute)
	planned := app.PlannedRequest{Request: r, Step: first.Step, Over: true,
		At: func(time.Time, *time.Location) (time.Time, error) { return soon, nil }}
	a.Clock = app.At(soon)
	newer := *g.forecast
	newer.Issued = soon
	a.Source = sourceFunc(func(app.Query) (*forecast.Forecast, error) { return &newer, nil })
	r.Anew = true
	anew, err := a.Week(ctx, r)
	require.NoError(t, err)
	require.NotEmpty(t, anew.Plan.Blocks)
	require.Equal(t, first.Step, anew.Plan.Blocks[0].Step, "nobody logged it")
	_, err = a.LogPlanned(ctx, planned)
	assert.ErrorContains(t, err, first.Step+" on "+first.Zone+", moved to ")
}
