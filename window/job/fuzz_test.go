package job

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// uncomment puts the keys that stand in comments to use. A comment that opens
// with a capital letter, or lists the preset in columns, is an explanation.
func uncomment(data []byte) []byte {
	key := regexp.MustCompile(`^( *)# ((?:  )*(?:- )?[a-z{].*)$`)
	var out []string
	for _, line := range strings.Split(string(data), "\n") {
		if m := key.FindStringSubmatch(line); m != nil && regexp.MustCompile(`^ *(- \{|- name:|[a-z_0-9]+:)`).MatchString(m[2]) {
			line = m[1] + m[2]
		}
		out = append(out, line)
	}
	return []byte(strings.Join(out, "\n"))
}

// Whatever the bytes: no panic; either a job whose indices and numbers hold, or
// mistakes that lie in the file.
func FuzzParse(f *testing.F) {
	files, err := filepath.Glob(filepath.Join("..", "..", "testdata", "jobs", "*.yaml"))
	require.NoError(f, err)
	require.NotEmpty(f, files)
	for _, name := range files {
		data, err := os.ReadFile(name)
		require.NoError(f, err)
		f.Add(data)
		f.Add(uncomment(data))
	}
	for _, table := range [][]mistake{placeMistakes, boatMistakes, zoneMistakes, stepMistakes, jobMistakes} {
		for _, m := range table {
			f.Add([]byte(strings.Replace(jobWith(m.block), "§", "", 1)))
		}
	}
	set := catalogue(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		j, err := Parse("job.yaml", data, set, Options{Timezone: "America/New_York"})
		if err != nil {
			checkErrors(t, err, data)
			return
		}
		checkJob(t, j)
	})
}

func checkErrors(t *testing.T, err error, data []byte) {
	var errs Errors
	require.ErrorAs(t, err, &errs)
	require.NotEmpty(t, errs)
	lines := strings.Count(string(data), "\n") + strings.Count(string(data), "\r") + 1
	for i, e := range errs {
		assert.NotEmpty(t, e.Message)
		assert.LessOrEqual(t, e.Line, lines+1)
		assert.Equal(t, e.Line > 0, e.Column > 0)
		if i > 0 {
			assert.GreaterOrEqual(t, e.Line, errs[i-1].Line)
		}
	}
}

func checkJob(t *testing.T, j *Job) {
	assert.NotNil(t, j.Place.Location)
	assert.GreaterOrEqual(t, j.People, 1)
	assert.Equal(t, j.HasBow, len(j.Berths) > 0)
	names := map[string]bool{}
	for i, z := range j.Zones {
		assert.False(t, names[z.Name], "zone %q twice", z.Name)
		names[z.Name] = true
		assert.True(t, z.Tilt >= 0 && z.Tilt <= 180 && z.Finish.Absorptance >= 0 && z.Finish.Absorptance <= 1)
		at := j.ZoneAt(i, utc(2026, 9, 7, 12, 0))
		assert.True(t, at.Faces >= 0 && at.Faces < 360)
	}
	steps := map[string]bool{}
	for _, s := range j.Steps {
		assert.False(t, steps[s.Name], "step %q twice", s.Name)
		steps[s.Name] = true
		for _, i := range s.On {
			require.Less(t, i, len(j.Zones))
		}
	}
	for _, c := range j.Covers {
		for _, z := range c.Zones {
			assert.True(t, names[z])
		}
	}
}

func FuzzMoment(f *testing.F) {
	for _, s := range []string{"2026-09-06T10:30", "2026-03-08T02:30", "2026-11-01T01:30", "2026-09-06", "", "9999-99-99T99:99+99:99"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		r := &reader{loc: newYork(t)}
		at, ok := r.momentOf(&node{text: text}, "at", dayBegins)
		assert.Equal(t, ok, len(r.errs) == 0)
		if ok {
			assert.True(t, at.Year() >= 1999 && at.Year() <= 2101)
		}
	})
}

func FuzzSchedule(f *testing.F) {
	for _, s := range []string{"07:00-18:00", "07:00-12:00, 13:00-18:00", "none", "24:00-00:00", "99:99-99:99", "–", ",", ""} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		r := &reader{}
		spans, ok := r.clockSpans(&node{text: text}, "hours")
		assert.Equal(t, ok, len(r.errs) == 0)
		for _, s := range spans {
			assert.True(t, s.From >= 0 && s.From < s.To && s.To <= 24*60)
		}
	})
}

func FuzzFlags(f *testing.F) {
	for _, s := range []string{"13m", "43ft", "43.07,-70.74", "NW", "200", "swinging", "", "1e309", "-0"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if m, err := ParseLength(text); err == nil {
			assert.True(t, m >= minLengthM && m <= maxLengthM)
		}
		if lat, lon, err := ParseAt(text); err == nil {
			assert.True(t, lat >= -90 && lat <= 90 && lon >= -180 && lon <= 180)
		}
		if deg, _, ok, err := ParseBow(text); err == nil && ok {
			assert.True(t, deg >= 0 && deg < 360)
		}
	})
}
