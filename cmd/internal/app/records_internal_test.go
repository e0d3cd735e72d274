package app

import (
	"bytes"
	"encoding/json"
	"errors"
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"

	"dewgap/cmd/internal/book"
	"dewgap/forecast"
	"dewgap/window/job"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// anyReading is a reading of anything that can be read.
func anyReading(t *rapid.T) job.Reading {
	measured := func(label string, lo, hi float64) job.Measured {
		if rapid.Bool().Draw(t, label+" known") {
			return job.Measured{V: rapid.Float64Range(lo, hi).Draw(t, label), Known: true}
		}
		return job.Measured{}
	}
	told := func(label string) job.Told { return job.Told(rapid.IntRange(0, 2).Draw(t, label)) }
	return job.Reading{
		At:   time.Unix(rapid.Int64Range(0, 4e9).Draw(t, "at"), 0).UTC(),
		Zone: rapid.SampledFrom([]string{"", "port side", "⛵"}).Draw(t, "zone"), Product: rapid.SampledFrom([]string{"", "polymer-sealant"}).Draw(t, "product"),
		AirC: measured("air", -40, 60), HumidityPct: measured("humidity", 1, 100), WindMS: measured("wind", 0, 60), SurfaceC: measured("surface", -40, 100),
		MoisturePct: measured("moisture", 0, 60), HazeMin: measured("haze", 0, 600), Sky: job.SkyCover(rapid.IntRange(0, 3).Draw(t, "sky")),
		By: job.Instrument(rapid.IntRange(0, 2).Draw(t, "by")), Salt: told("salt"), Spray: told("spray"), Wet: told("wet"), Sun: told("sun"),
	}
}

// What was measured comes out of the book as it went in, what was not told stays
// untold, and nought is a value.
func TestReadingsSurviveTheBook(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		m := anyReading(rt)
		require.Equal(rt, m, ReadingOf(toBook(m, "key")))
	})
	assert.Equal(t, job.Measured{V: 0, Known: true}, ReadingOf(toBook(job.Reading{WindMS: job.Measured{Known: true}}, "")).WindMS)
	assert.Nil(t, toBook(job.Reading{}, "").WindMS)
	assert.Nil(t, toBook(job.Reading{}, "").Wet)
	strange := ReadingOf(book.Reading{Sky: "purple", By: "nose", Salt: "perhaps"})
	assert.Equal(t, job.Reading{}, strange, "a word that nobody knows tells nothing")
}

// The words of the book are as many as there are things to tell.
func TestWordsOfTheBook(t *testing.T) {
	for _, list := range [][]string{skies, instruments, tolds} {
		seen := map[string]bool{}
		for i, w := range list {
			assert.False(t, seen[w], w)
			assert.Equal(t, i, place(list, w))
			seen[w] = true
		}
		assert.Empty(t, list[0], "nothing told is the empty word")
	}
	assert.Equal(t, "overcast", skies[job.SkyOvercast])
	assert.Equal(t, "contact", instruments[job.Contact])
	assert.Equal(t, "yes", tolds[job.Yes])
	assert.Equal(t, "no", tolds[job.No])
}

// A forecast in the book is the one that was used: gaps are gaps, nought is nought, and
// the same forecast gives the same bytes.
func TestForecastsSurviveTheBook(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		f := &forecast.Forecast{
			Service: "NWS", Model: "m", Attribution: "a", Licence: "l", Timezone: "America/New_York",
			Place: forecast.Place{Latitude: 43.07, Longitude: -70.74, ElevationM: 2, HasElevation: rapid.Bool().Draw(rt, "elevation")},
			Start: time.Unix(3600*rapid.Int64Range(0, 1e6).Draw(rt, "start"), 0).UTC(), Step: time.Hour, N: rapid.IntRange(1, 30).Draw(rt, "n"),
		}
		for range rapid.IntRange(1, 3).Draw(rt, "members") {
			var m forecast.Member
			for _, q := range []forecast.Quantity{forecast.AirTemperature, forecast.Precipitation, forecast.UVIndexClearSky} {
				m.Columns[q] = forecast.NewColumn(f.N)
				for i := range f.N {
					if rapid.Bool().Draw(rt, "known") {
						m.Columns[q].Set(i, rapid.SampledFrom([]float64{0, -0.1, 1e-12, 31.25, math.MaxFloat64}).Draw(rt, "value"))
					}
				}
			}
			f.Members = append(f.Members, m)
		}
		data, err := encodeForecast(f)
		require.NoError(rt, err)
		again, err := encodeForecast(f)
		require.NoError(rt, err)
		require.True(rt, bytes.Equal(data, again))
		require.True(rt, json.Valid(data))
		back, err := decodeForecast(data)
		require.NoError(rt, err)
		require.True(rt, f.Start.Equal(back.Start))
		require.Equal(rt, [2]int{f.N, len(f.Members)}, [2]int{back.N, len(back.Members)})
		require.Equal(rt, f.Step, back.Step)
		require.Equal(rt, f.Place, back.Place)
		for k := range f.Members {
			for q := range forecast.Quantities {
				for i := -1; i <= f.N; i++ {
					v, ok := f.Members[k].Columns[q].At(i)
					w, is := back.Members[k].Columns[q].At(i)
					require.Equal(rt, ok, is)
					require.Equal(rt, v, w)
				}
			}
		}
	})
}

// A file that cannot be what was asked for is told by its path, with what to do, and
// one that is just as large as allowed is read.
func TestReadFileRefuses(t *testing.T) {
	folder := t.TempDir()
	file := filepath.Join(folder, "reply.json")
	require.NoError(t, os.WriteFile(file, []byte("12345"), 0o600))
	data, err := ReadFile(file, 5)
	require.NoError(t, err)
	assert.Equal(t, "12345", string(data))
	for name, c := range map[string]struct {
		path string
		most int64
		says string
	}{
		"too large":     {file, 4, "is larger than 0 kB"},
		"a folder":      {folder, 5, "is a folder"},
		"not there":     {filepath.Join(folder, "none"), 5, "cannot be read: no such file or directory"},
		"under a file":  {filepath.Join(file, "x"), 5, "cannot be read: not a directory"},
		"of a bad name": {"a\x00b", 5, "cannot be read: invalid argument"},
		"of no name":    {"", 5, "cannot be read"},
	} {
		_, err := ReadFile(c.path, c.most)
		p, ok := errors.AsType[*Problem](err)
		if assert.True(t, ok, name) {
			assert.Equal(t, c.path, p.Where, name)
			assert.Contains(t, p.Text, c.says, name)
			assert.NotEmpty(t, p.Fix, name)
			assert.NotContains(t, p.Text, folder, "the path stands before it, once")
		}
	}
}

// A zone of the book whose name this computer does not know is no reason to fail.
func TestZonesThatNobodyKnows(t *testing.T) {
	assert.Equal(t, "America/New_York", location("America/New_York").String())
	assert.Equal(t, time.UTC, location("Mars/Olympus"))
	assert.Equal(t, time.UTC, location(""))
}

// What is not of a list is answered by the nearest of it, else by all of it.
func TestOneOf(t *testing.T) {
	assert.Equal(t, "did you mean port side?", oneOf("port sid", []string{"port side", "foredeck"}))
	assert.Equal(t, "take one of port side, foredeck", oneOf("helm", []string{"port side", "foredeck"}))
	assert.Equal(t, "take one of ", oneOf("helm", nil))
}
