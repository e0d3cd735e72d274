package window_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"dewgap/forecast"
	"dewgap/products"
	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
)

// BenchmarkSeason measures a year: 16 zones, 8,760 hours in ten-minute slots,
// the classes of the catalogue.
func BenchmarkSeason(b *testing.B) {
	in := aSeason(b)
	for b.Loop() {
		_, err := window.Season(in)
		require.NoError(b, err)
	}
}

// aSeason is a year of invented weather over the big job, with four zones more.
func aSeason(t require.TestingT) window.SeasonInput {
	set, err := products.Catalogue()
	require.NoError(t, err)
	in := window.SeasonInput{Job: bigJob(), Year: 2026, Location: time.UTC, Workers: 2}
	for _, z := range in.Job.Zones[:4] {
		z.Name, z.Faces = "upper "+z.Name, z.Faces+15
		in.Job.Zones = append(in.Job.Zones, z)
	}
	in.Weather = ensemble(3+365+14, 1)
	in.Weather.Start = time.Date(2025, 12, 29, 0, 0, 0, 0, time.UTC)
	for _, id := range set.IDs() {
		c, _ := set.Class(id)
		in.Classes = append(in.Classes, c)
	}
	return in
}

// Every row is there, the numbers fit one another, and neither the number of
// workers nor what is dated in the job changes them.
func TestSeason(t *testing.T) {
	t.Parallel()
	in := aSeason(t)
	in.Classes = in.Classes[:6]
	r, err := window.Season(in)
	require.NoError(t, err)
	require.Len(t, r.Rows, len(in.Classes)*len(in.Job.Zones))
	windows := 0
	for i, row := range r.Rows {
		require.Equal(t, i%len(in.Job.Zones), row.Zone)
		for m, x := range row.Months {
			days := time.Date(2026, time.Month(m+2), 0, 0, 0, 0, 0, time.UTC).Day()
			require.LessOrEqual(t, x.Days+x.Consent, days)
			require.LessOrEqual(t, x.Days, x.Windows)
			require.GreaterOrEqual(t, x.Hours, r.Shortest*float64(x.Windows)-1e-9)
			require.Zero(t, x.Unknown, "%s month %d", row.Class.ID, m+1)
			windows += x.Windows
		}
	}
	require.Positive(t, windows)

	in.Workers = 1
	in.Job.From, in.Job.Since.HasRain = job.Date{Year: 2030, Month: time.May, Day: 1}, true
	again, err := window.Season(in)
	require.NoError(t, err)
	require.Equal(t, r, again)
}

// Without rain data nothing is go.
func TestSeasonWithoutRain(t *testing.T) {
	in := aSeason(t)
	in.Classes, in.Job.Zones = in.Classes[:4], in.Job.Zones[:2]
	in.Weather.Members[0].Columns[forecast.Precipitation] = forecast.Column{}
	r, err := window.Season(in)
	require.NoError(t, err)
	unknown := 0
	for _, row := range r.Rows {
		for _, x := range row.Months {
			require.Zero(t, x.Windows)
			unknown += x.Unknown
		}
	}
	require.Positive(t, unknown)
}

// A class is offered where it goes unasked, and where the job names it, if the finish of
// neither the zone nor a part of it forbids that. Twins of which one is named keep apart.
func TestSeason_OnlyWhereItIsFor(t *testing.T) {
	set, err := products.Catalogue()
	require.NoError(t, err)
	zone := func(name, finish string) boat.Zone {
		f, ok := boat.FinishByName(finish)
		require.True(t, ok)
		return boat.Zone{Name: name, Finish: f, Skin: f.Skin, AreaM2: 5, Access: boat.Deck, Buffable: "unknown"}
	}
	in := aSeason(t)
	in.Classes = nil
	for _, id := range []string{"compound-rotary", "metal-polish"} {
		c, _ := set.Class(id)
		in.Classes = append(in.Classes, c)
	}
	mixed := zone("with canvas", "white-gelcoat")
	mixed.Parts = []boat.Part{{Name: "dodger", Finish: zone("", "canvas").Finish, AreaM2: 1}}
	in.Job.Zones = []boat.Zone{
		zone("foredeck", "white-gelcoat"), zone("rails", "stainless"), zone("wheel", "stainless"),
		zone("mask", "black-paint"), zone("seats", "white-vinyl"), mixed,
	}
	in.Job.Place.Water = "none" // denies no compound, and is no word about a finish
	in.Job.Steps = []job.Step{{Name: "correct", Do: "correct", With: "compound-rotary", On: []int{2, 3, 4}}}
	suited := func() map[string][]string {
		r, err := window.Season(in)
		require.NoError(t, err)
		out := map[string][]string{}
		for _, row := range r.Rows {
			if row.Suits {
				out[row.Class.ID] = append(out[row.Class.ID], r.Zones[row.Zone])
				continue
			}
			require.Zero(t, row.Months, "%s on %s", row.Class.ID, r.Zones[row.Zone])
		}
		return out
	}
	require.Equal(t, map[string][]string{"compound-rotary": {"foredeck", "wheel"}, "metal-polish": {"rails", "wheel"}}, suited())
	in.Job.Zones[3].Buffable, in.Job.Steps = "yes", nil
	require.Equal(t, []string{"foredeck", "mask"}, suited()["compound-rotary"], "paint that is known to stand it goes unasked")
}
