package app

import (
	"errors"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/book"
	"dewgap/forecast"
	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

var noon = time.Date(2026, 9, 10, 16, 0, 0, 0, time.UTC)

func twoZones() *job.Job {
	return &job.Job{
		Zones: []boat.Zone{
			{Name: "port side", Done: map[string]boat.Done{"wash": {At: noon.Add(-5 * time.Hour), Share: 1}}}, {Name: "foredeck"},
		},
		Steps: []job.Step{{Name: "first wash", Do: "wash", On: []int{0, 1}}, {Name: "seal", Do: "seal", On: []int{0, 1}}},
	}
}

// A reading is the same after the book has had it.
func TestReadingsThroughTheBook(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		number := func(name string) job.Measured {
			if !rapid.Bool().Draw(t, name+"?") {
				return job.Measured{}
			}
			return job.Measured{V: rapid.Float64Range(-40, 100).Draw(t, name), Known: true}
		}
		told := func(name string) job.Told { return job.Told(rapid.IntRange(0, 2).Draw(t, name)) }
		m := job.Reading{
			At: noon, Zone: rapid.SampledFrom([]string{"", "foredeck"}).Draw(t, "zone"), Product: "x",
			AirC: number("air"), HumidityPct: number("rh"), WindMS: number("wind"), SurfaceC: number("surface"),
			MoisturePct: number("wood"), HazeMin: number("haze"), Sky: job.SkyCover(rapid.IntRange(0, 3).Draw(t, "sky")),
			By: job.Instrument(rapid.IntRange(0, 2).Draw(t, "by")), Salt: told("salt"), Spray: told("spray"), Wet: told("wet"), Sun: told("sun"),
		}
		assert.Equal(t, m, ReadingOf(toBook(m, "key")))
	})
}

// A forecast is the same after the book has had it.
func TestForecastThroughTheBook(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := &forecast.Forecast{
			Service: "invented", Model: "m", Attribution: "a", Licence: "l", Timezone: "America/New_York",
			Place: forecast.Place{Latitude: 43.07, Longitude: -70.74, ElevationM: 2, HasElevation: true},
			Start: noon, Step: time.Hour, N: 5,
		}
		for range rapid.IntRange(1, 3).Draw(t, "members") {
			m := forecast.Member{Name: rapid.StringMatching(`[a-z0-9]*`).Draw(t, "name")}
			for q := range forecast.Quantities {
				if rapid.Bool().Draw(t, "column") {
					continue
				}
				c := forecast.NewColumn(f.N)
				c.Set(0, 1.0/3)
				for i := 1; i < f.N; i++ {
					if rapid.Bool().Draw(t, "known") {
						c.Set(i, rapid.Float64().Draw(t, "v"))
					}
				}
				m.Columns[q] = c
			}
			f.Members = append(f.Members, m)
		}
		data, err := encodeForecast(f)
		require.NoError(t, err)
		got, err := decodeForecast(data)
		require.NoError(t, err)
		assert.Equal(t, f, got)
	})
}

func FuzzDecodeForecast(f *testing.F) {
	f.Add([]byte(`{"format":"dewgap.forecast.v1","step_s":3600,"n":1,"members":[{"columns":{"gust":[null]}}]}`))
	f.Add([]byte(`{"format":"dewgap.forecast.v1","step_s":3600,"n":2,"members":[{"columns":{"gust":[1]}}]}`))
	f.Add([]byte(`{}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		got, err := decodeForecast(data)
		if (err == nil) == (got == nil) {
			t.Error("a forecast or an error")
		}
	})
}

func TestInto(t *testing.T) {
	j := twoZones()
	rain, later := true, noon.Add(time.Hour)
	p := &past{
		done: []book.Done{
			{Step: "first wash", Zone: "port side", At: noon, Share: 0.5}, {Step: "first wash", Zone: "foredeck", At: noon, Share: 1},
			{Step: "seal", Zone: "foredeck", At: noon, Share: 1}, {Step: "polish", Zone: "foredeck", At: noon, Share: 1},
		},
		redo:     []redo{{"seal", "foredeck", later}, {"first wash", "foredeck", noon.Add(-time.Hour)}, {"polish", "x", later}},
		readings: []book.Reading{{At: noon, Until: later, Rain: &rain}, {At: noon, Salt: "yes"}},
	}
	got, warnings := p.into(j)
	assert.Equal(t, boat.Done{At: noon, Share: 0.5}, got.Zones[0].Done["first wash"])
	assert.Equal(t, boat.Done{At: noon, Share: 1}, got.Zones[1].Done["first wash"], "what was found bad before is done since")
	assert.NotContains(t, got.Zones[1].Done, "seal", "to be redone")
	assert.True(t, got.Since.HasRain)
	assert.Equal(t, later, got.Since.Rain)
	require.Len(t, warnings, 1)
	assert.Contains(t, warnings[0], "polish done on foredeck")
	assert.Equal(t, twoZones(), j, "the job itself is left alone")
	assert.Len(t, p.measured(), 1, "rain is no reading of the engine's")
}

// Of the job's word and the book's the later one counts, under whatever name.
func TestLaterWordCounts(t *testing.T) {
	j := twoZones()
	p := &past{done: []book.Done{{Step: "first wash", Zone: "port side", At: noon.Add(-9 * time.Hour), Share: 0.2}}}
	got, _ := p.into(j)
	assert.NotContains(t, got.Zones[0].Done, "first wash")
	assert.InDelta(t, 1, got.Zones[0].Done["wash"].Share, 0)
}

// A book from before a step went by its own word counts for it.
func TestRecall_StepsByTheirNamesNow(t *testing.T) {
	j := &job.Job{Zones: []boat.Zone{{Name: "port side"}}, Steps: []job.Step{{Name: "compound", Do: "correct", On: []int{0}}}}
	p := &past{done: []book.Done{{Step: "correct", Zone: "port side", At: noon, Share: 1}},
		redo: []redo{{"correct", "port side", noon.Add(-time.Hour)}}, planned: []answer.PlanBlock{{Step: "correct"}}}
	p, err := (&App{}).recall(t.Context(), Request{past: p}, j, noon)
	require.NoError(t, err)
	got, warnings := p.into(j)
	assert.Empty(t, warnings)
	assert.InDelta(t, 1, got.Zones[0].Done["compound"].Share, 0)
	assert.Equal(t, "compound", p.redo[0].Step)
	assert.Equal(t, "compound", p.planned[0].Step)
	_, err = entry{job: j}.work("correct", []string{"port side"})
	problem, ok := errors.AsType[*Problem](err)
	require.True(t, ok)
	assert.Equal(t, "it goes by compound there: log that", problem.Fix)
}

func TestUnwashed(t *testing.T) {
	j := twoZones()
	got, undone := unwashed(j, []int{0, 1})
	assert.True(t, undone)
	assert.Empty(t, got.Zones[0].Done)
	assert.Equal(t, twoZones(), j)
	_, undone = unwashed(j, []int{1})
	assert.False(t, undone)
}

func TestCounts(t *testing.T) {
	yes := true
	for name, c := range map[string]struct {
		m    book.Reading
		want bool
	}{
		"now":              {book.Reading{At: noon}, true},
		"a day and a half": {book.Reading{At: noon.Add(-36 * time.Hour)}, true},
		"older":            {book.Reading{At: noon.Add(-36*time.Hour - time.Second)}, false},
		"salt lasts":       {book.Reading{At: noon.Add(-47 * time.Hour), Salt: "yes"}, true},
		"ahead":            {book.Reading{At: noon.Add(time.Second)}, false},
		"still raining":    {book.Reading{At: noon.Add(-time.Hour), Until: noon.Add(time.Hour), Rain: &yes}, false},
	} {
		assert.Equal(t, c.want, counts(c.m, noon), name)
	}
}

func TestLocation(t *testing.T) {
	assert.Equal(t, "America/New_York", location("America/New_York").String())
	assert.Equal(t, time.UTC, location("Mars/Olympus"))
}

// What was done, or found, more than two months before a job's first day is another
// season's; to the day before that it is the job's, and without a first day all is.
func TestOfSeason(t *testing.T) {
	j := twoZones()
	from := job.Date{Year: 2027, Month: time.June, Day: 7}
	edge := from.Begins(j.Location()).Add(-60 * 24 * time.Hour)
	all := []book.Done{{Step: "wash", At: edge.AddDate(-1, 0, 0)}, {Step: "seal", At: edge.Add(-time.Second)}, {Step: "wash", At: edge}}
	p := past{done: all, redo: []redo{{Step: "seal", At: edge.Add(-time.Second)}, {Step: "wash", At: edge}}}
	p.ofSeason(j)
	assert.Equal(t, all, p.done)
	assert.Empty(t, p.formerWords(j))
	j.From = from
	for range 2 { // nothing is lost by doing it again
		p.ofSeason(j)
		assert.Equal(t, all[2:], p.done)
		assert.Equal(t, all[:2], p.former)
		assert.Equal(t, []redo{{Step: "wash", At: edge}}, p.redo)
	}
	assert.Equal(t, []string{"what the book has done up to " + edge.Add(-time.Second).In(j.Location()).Format("Mon 2 Jan 2006") +
		" is another season's and does not count: the job begins on Mon 7 Jun 2027"}, p.formerWords(j))
}

// The book has each part of work with its own end. What is logged once more, or was found
// bad, was begun anew.
func TestPartsOfWork(t *testing.T) {
	j := &job.Job{Zones: []boat.Zone{{Name: "port side"}}, Steps: []job.Step{{Name: "correct", Do: "correct", Coats: 2, On: []int{0}}}}
	logged := func(hour int, share float64) book.Done {
		return book.Done{Step: "correct", Zone: "port side", At: noon.Add(time.Duration(hour) * time.Hour), Share: share}
	}
	part := func(hour int, share float64) window.Worked {
		return window.Worked{To: noon.Add(time.Duration(hour) * time.Hour), Share: share}
	}
	p := &past{done: []book.Done{logged(0, 0.25), logged(1, 0.5), {Step: "sand", Zone: "port side", At: noon, Share: 1}}}
	assert.Equal(t, []window.Worked{part(0, 0.5), part(1, 0.5)}, p.parts(j), "a coat by halves")
	p.done = append(p.done, logged(2, 1))
	assert.Equal(t, []window.Worked{part(2, 1)}, p.parts(j), "the next coat is on all of it")
	p.done = append(p.done, logged(3, 0.125), logged(4, 0.25))
	p.redo = []redo{{Step: "correct", Zone: "port side", At: noon.Add(2 * time.Hour)}}
	assert.Equal(t, []window.Worked{part(3, 0.25), part(4, 0.25)}, p.parts(j))
}
