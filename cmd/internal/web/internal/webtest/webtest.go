// Package webtest is what the tests of the server, of the desk and of the browser have
// in common: a job that is quick to judge, a book of its own, and a log that may be
// written and read at once.
package webtest

import (
	"bytes"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"dewgap/cmd/internal/book"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Tuesday is six in the morning at Otter Quay.
var Tuesday = time.Date(2026, 9, 8, 10, 0, 0, 0, time.UTC)

// SmallJob is quick to judge: one zone, one step, two days.
const SmallJob = `job: Small seal
place: {name: Otter Quay, latitude: 43.07, longitude: -70.74, timezone: America/New_York}
boat: {name: Kittiwake, bow: 200, afloat: true}
zones:
  - {name: port side, faces: 270, tilt: 90, finish: white-gelcoat, area_m2: 6}
steps:
  - {do: seal, with: polymer-sealant}
hours: "07:00-18:00"
from: 2026-09-07
by: 2026-09-09
`

// Book opens a new book in a folder of its own until the test ends.
func Book(t testing.TB) *book.Book {
	b, err := book.Open(t.Context(), filepath.Join(t.TempDir(), "book.sqlite"), time.Now)
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, b.Close()) })
	return b
}

// Lines is an output that may be written and read at once. Its zero value is ready.
type Lines struct {
	mu sync.Mutex
	b  bytes.Buffer
}

// Write takes bytes.
func (l *Lines) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.Write(p)
}

// String is all that was written.
func (l *Lines) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.String()
}
