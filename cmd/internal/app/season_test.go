package app_test

import (
	"context"
	"testing"
	"time"

	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/demo"
	"dewgap/products"
	"dewgap/window/job"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func aSeason(t *testing.T, file string) (*app.App, app.SeasonRequest) {
	set, err := products.Catalogue()
	require.NoError(t, err)
	a := &app.App{Classes: set, Clock: app.At(time.Date(2026, 9, 8, 10, 0, 0, 0, time.UTC))}
	r := app.SeasonRequest{Year: demo.Year(), File: "year.epw"}
	r.Job = func(zone string) (*job.Job, error) {
		return job.Parse("job.yaml", []byte(file), set, job.Options{Timezone: zone})
	}
	return a, r
}

const seasonJob = `
place: {name: Otter Quay, latitude: 43.07, longitude: -70.74}
boat: {name: Kittiwake, kind: sailing-yacht, length_m: 11, bow: 200}
steps:
  - {do: wash, with: soap-wash}
  - {do: strip wash, with: soap-wash}
  - {do: seal, with: carnauba-wax}
`

// The classes are the job's, each once; the counts agree with one another; wax
// stands in a warm month and not in the frost.
func TestSeason(t *testing.T) {
	a, r := aSeason(t, seasonJob)
	s, err := a.Season(context.Background(), r)
	require.NoError(t, err)
	assert.Equal(t, 2026, s.Year)
	assert.Equal(t, "standard time", s.Place.Timezone)
	assert.Empty(t, s.Warnings)
	var order []string
	jan, sep := 0, 0
	for _, row := range s.Rows {
		if len(order) == 0 || order[len(order)-1] != row.Product {
			order = append(order, row.Product)
		}
		if row.Product == "carnauba-wax" && row.Suits {
			jan, sep = jan+row.Months[0].Windows, sep+row.Months[8].Windows
		}
	}
	assert.Equal(t, []string{"soap-wash", "carnauba-wax"}, order)
	assert.Zero(t, jan)
	assert.Greater(t, sep, 20)
}

func TestSeasonAsked(t *testing.T) {
	a, r := aSeason(t, seasonJob)
	r.Classes = []string{"paint-sealant"}
	s, err := a.Season(context.Background(), r)
	require.NoError(t, err)
	assert.Equal(t, "paint-sealant", s.Rows[0].Product)

	r.Classes = []string{"marmalade"}
	_, err = a.Season(context.Background(), r)
	assert.ErrorContains(t, err, `no product "marmalade"`)

	r.Classes, r.Year = nil, r.Year[:9000]
	_, err = a.Season(context.Background(), r)
	var p *app.Problem
	require.ErrorAs(t, err, &p)
	assert.Equal(t, "year.epw", p.Where)
	assert.NotEmpty(t, p.Fix)
}

// A station far away is named.
func TestSeasonFarAway(t *testing.T) {
	a, r := aSeason(t, "place: {latitude: 44.5, longitude: -68.2}\nboat: {kind: sailing-yacht, length_m: 11}\nsteps: [{do: seal, with: carnauba-wax}]\n")
	s, err := a.Season(context.Background(), r)
	require.NoError(t, err)
	require.NotEmpty(t, s.Warnings)
	assert.Contains(t, s.Warnings[len(s.Warnings)-1], "km from the place")
}
