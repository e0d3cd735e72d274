package job

import (
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"dewgap/products"

	"github.com/stretchr/testify/require"
)

// catalogue is the program's own, which the steps of a job are held against.
func catalogue(t require.TestingT) *products.Set {
	set, err := readCatalogue()
	require.NoError(t, err)
	return set
}

var readCatalogue = sync.OnceValues(products.Catalogue)

func fixture(t *testing.T, name string) []byte {
	data, err := os.ReadFile(filepath.Join("..", "..", "testdata", "jobs", name))
	require.NoError(t, err)
	return data
}

// plainJob is a small correct job: one block of lines for each key.
var plainJob = []string{
	"place: {latitude: 43.07, longitude: -70.74, timezone: America/New_York}",
	"boat: {bow: 200}",
	"zones:\n  - {name: port side, faces: 270, tilt: 90, finish: white-gelcoat}",
	"steps:\n  - {do: wash, with: soap-wash}",
}

// jobWith is the small job with some blocks put in the place of its own, or
// behind them. An empty block ("boat:!") takes a key out.
func jobWith(blocks ...string) string {
	lines := append([]string(nil), plainJob...)
	for _, b := range blocks {
		key := strings.TrimPrefix(b[:strings.Index(b, ":")+1], "§")
		at := len(lines)
		for i, l := range lines {
			if strings.HasPrefix(l, key) {
				at = i
			}
		}
		switch {
		case strings.HasSuffix(b, ":!"):
			lines = append(lines[:at], lines[at+1:]...)
		case at == len(lines):
			lines = append(lines, b)
		default:
			lines[at] = b
		}
	}
	return strings.Join(lines, "\n") + "\n"
}

func parse(t require.TestingT, text string) *Job {
	j, err := Parse("job.yaml", []byte(text), catalogue(t), Options{})
	require.NoError(t, err)
	return j
}

func mistakes(t require.TestingT, text string) Errors {
	j, err := Parse("job.yaml", []byte(text), catalogue(t), Options{})
	require.Error(t, err, text)
	require.Nil(t, j)
	var errs Errors
	require.ErrorAs(t, err, &errs)
	return errs
}

func newYork(t require.TestingT) *time.Location { return location(t, "America/New_York") }

func location(t require.TestingT, name string) *time.Location {
	loc, err := time.LoadLocation(name)
	require.NoError(t, err)
	return loc
}

func utc(y int, m time.Month, d, h, min int) time.Time {
	return time.Date(y, m, d, h, min, 0, 0, time.UTC)
}
