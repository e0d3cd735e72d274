package app_test

import (
	"context"
	"slices"
	"strconv"
	"strings"
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

// A station far away is named; one in another climate is said to be no use.
func TestSeasonFarAway(t *testing.T) {
	t.Parallel()
	for place, want := range map[string]string{
		"{latitude: 44.5, longitude: -68.2}":                         "not quite the marina's",
		"{latitude: 54.4, longitude: 10.2, timezone: Europe/Berlin}": "another climate",
	} {
		a, r := aSeason(t, "place: "+place+"\nboat: {kind: sailing-yacht, length_m: 11}\nsteps: [{do: seal, with: carnauba-wax}]\n")
		s, err := a.Season(context.Background(), r)
		require.NoError(t, err)
		require.NotEmpty(t, s.Warnings)
		last := s.Warnings[len(s.Warnings)-1]
		assert.Contains(t, last, "km from the place: ")
		assert.Contains(t, last, want)
	}
}

// rainless is a typical year without a rain gauge in some months; where share is below one,
// only in the first part of each.
func rainless(t *testing.T, share float64, months ...int) []byte {
	t.Helper()
	lines := strings.Split(string(demo.Year()), "\n")
	n := 0
	for i, line := range lines {
		cells := strings.Split(line, ",")
		month, err := strconv.Atoi(cells[min(1, len(cells)-1)])
		if err != nil || len(cells) < 34 || !slices.Contains(months, month) {
			continue
		}
		day, err := strconv.Atoi(cells[2])
		require.NoError(t, err)
		if float64(day) <= 31*share {
			cells[33], n = "999", n+1 // missing, by the EPW data dictionary of EnergyPlus, field N34
			lines[i] = strings.Join(cells, ",")
		}
	}
	require.Positive(t, n)
	return []byte(strings.Join(lines, "\n"))
}

// A year without a rain gauge says for which months it estimates, once, and marks them for
// programs; a few missing hours are not worth the words.
func TestSeason_RainThatNobodyMeasured(t *testing.T) {
	t.Parallel()
	a, r := aSeason(t, seasonJob)
	r.Classes = []string{"carnauba-wax"}
	gauged, err := a.Season(t.Context(), r)
	require.NoError(t, err)
	for m := range gauged.Gauged {
		assert.InDelta(t, 1, gauged.Gauged[m], 0, "every hour of the demo's year")
	}

	r.Year = rainless(t, 1, 2, 11)
	s, err := a.Season(t.Context(), r)
	require.NoError(t, err)
	assert.Equal(t, []string{"the typical year has no rain gauge in Feb, Nov: wet hours there are estimated from damp air, cloud and visibility."}, s.Warnings)
	for m, share := range s.Gauged {
		want := 1.0
		if m == 1 || m == 10 {
			want = 0
		}
		assert.InDelta(t, want, share, 0, "month %d", m+1)
	}
	for i, row := range s.Rows { // the others are counted as they were
		for m, month := range row.Months {
			if month != nil && (m > 2 && m < 9) {
				assert.Equal(t, gauged.Rows[i].Months[m], month, "%s in month %d", row.Zone, m+1)
			}
		}
	}

	r.Year = rainless(t, 0.3, 4)
	s, err = a.Season(t.Context(), r)
	require.NoError(t, err)
	assert.Empty(t, s.Warnings)
	assert.InDelta(t, 0.7, s.Gauged[3], 0.02)
}

// A product that there is not, no product at all, and a file that is no year: each ends in
// a word of its own.
func TestSeason_Refuses(t *testing.T) {
	for name, c := range map[string]struct {
		spoil     func(*app.SeasonRequest)
		says, fix string
	}{
		"no such product": {func(r *app.SeasonRequest) { r.Classes = []string{"soap-wash", "pine-tar"} }, `no product "pine-tar"`, "dewgap products"},
		"names without one": {func(r *app.SeasonRequest) { r.Classes = []string{"", ""} },
			"no product to ask a season of", "--with"},
		"no year":  {func(r *app.SeasonRequest) { r.Year = []byte("LOCATION,Otter Quay\n") }, "year.epw", ""},
		"an empty": {func(r *app.SeasonRequest) { r.Year = nil }, "year.epw", ""},
	} {
		a, r := aSeason(t, seasonJob)
		c.spoil(&r)
		s, err := a.Season(t.Context(), r)
		assert.Nil(t, s, name)
		p := &app.Problem{}
		require.ErrorAs(t, err, &p, name)
		assert.Contains(t, p.Error(), c.says, name)
		assert.Contains(t, p.Fix, c.fix, name)
		assert.NotEmpty(t, p.Fix, name)
	}
	a, r := aSeason(t, "place: 3\n")
	_, err := a.Season(t.Context(), r)
	assert.ErrorAs(t, err, &job.Errors{}, "mistakes of the job are told as such")
}
