package book

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// setting is a number from the environment; .ci/kill-book sets these.
func setting(t *testing.T, name string, otherwise int) int {
	text := os.Getenv(name)
	if text == "" {
		return otherwise
	}
	n, err := strconv.Atoi(text)
	require.NoError(t, err, name)
	return n
}

// TestKill kills a program that writes (SIGKILL) at moments by chance, from before
// it has opened the book to deep in its work, and looks each time whether every
// record that it was told of is there and the file is whole.
func TestKill(t *testing.T) {
	kills := setting(t, "DEWGAP_KILLS", 25)
	r := rand.New(rand.NewPCG(uint64(setting(t, "DEWGAP_KILL_SEED", 1)), 3))
	dir, path := t.TempDir(), ""
	var known []ack
	total, empty := 0, 0
	for i := range kills {
		if i%20 == 0 { // a book grows and is mended many times, then a new one
			path, known = filepath.Join(dir, fmt.Sprintf("book-%d.sqlite", i)), nil
		}
		fresh := killed(t, path, r, i%2 == 1)
		known, total = append(known, fresh...), total+len(fresh)
		if len(fresh) == 0 {
			empty++
		}
		lookThrough(t, path, known)
		if t.Failed() {
			t.Fatalf("at kill %d of %s", i, path)
		}
	}
	t.Logf("%d kills, %d acknowledged rows, %d kills before the first", kills, total, empty)
	assert.GreaterOrEqual(t, total, kills/2, "the kills came too early to show anything")
}

// writes is what a program tells of its records; first is closed at the first of them.
type writes struct {
	told  bytes.Buffer // not embedded: its ReadFrom would go past Write
	first chan struct{}
}

func (w *writes) Write(p []byte) (int, error) {
	before := w.told.Len() > 0
	n, err := w.told.Write(p)
	if !before {
		close(w.first)
	}
	return n, err
}

// killed lets a program write until it is killed, counted from its start or, however slow
// the machine is, from its first record, and gives what it acknowledged.
func killed(t *testing.T, path string, r *rand.Rand, afterFirst bool) []ack {
	c := program(t, path, r.Uint64(), 1e6)
	out, errs := &writes{first: make(chan struct{})}, bytes.Buffer{}
	c.Stdout, c.Stderr = out, &errs
	require.NoError(t, c.Start())
	if afterFirst {
		select {
		case <-out.first:
		case <-t.Context().Done():
		case <-time.After(time.Minute):
		}
	}
	time.Sleep(time.Duration(r.IntN(150)) * time.Millisecond)
	require.NoError(t, c.Process.Kill())
	require.Error(t, c.Wait(), "it was killed")
	require.Empty(t, errs.String(), "it had no trouble of its own")
	list, _ := acked(out.told.Bytes())
	return list
}

// lookThrough opens a book after an accident.
func lookThrough(t *testing.T, path string, want []ack) {
	b, err := Open(t.Context(), path, time.Now)
	require.NoError(t, err)
	defer func() { require.NoError(t, b.Close()) }()
	require.NoError(t, b.Verify(t.Context()))
	there := keysIn(t, b)
	for _, a := range want {
		assert.True(t, there[a], "%s %s was acknowledged and is gone", a.table, a.key)
	}
}

// keysIn are all rows of a book.
func keysIn(t *testing.T, b *Book) map[ack]bool {
	there := map[ack]bool{}
	tables := []string{"bodies"}
	for _, s := range sections() {
		tables = append(tables, s.table)
	}
	for _, table := range tables {
		rows, err := b.db.QueryContext(t.Context(), "SELECT key FROM "+table)
		require.NoError(t, err)
		for rows.Next() {
			a := ack{table: table}
			require.NoError(t, rows.Scan(&a.key))
			there[a] = true
		}
		require.NoError(t, rows.Err())
	}
	return there
}

// TestPowerCut stands in for a loss of power. What was flushed is on the disk;
// whatever was written after the last flush may be there, in part, or replaced by
// noise. So the log is cut, or spoilt from there on, at any point, and all
// that was acknowledged by that point must be there, in a file that is whole.
func TestPowerCut(t *testing.T) {
	path, list, sizes := leftBehind(t)
	book, err := os.ReadFile(path)
	require.NoError(t, err)
	log, err := os.ReadFile(path + "-wal")
	require.NoError(t, err)
	require.Greater(t, len(log), 100_000)
	r := rand.New(rand.NewPCG(4, 4))
	for i := range 40 {
		cut := r.IntN(len(log) + 1)
		if i%2 == 0 { // at the very end of an acknowledged record
			cut = int(sizes[r.IntN(len(sizes))])
		}
		there := bytes.Clone(log[:cut])
		if i%4 > 1 {
			for len(there) < len(log) {
				there = append(there, byte(r.Uint32()))
			}
		}
		var want []ack
		for j, a := range list {
			if sizes[j] <= int64(cut) {
				want = append(want, a)
			}
		}
		after := filepath.Join(t.TempDir(), "book.sqlite")
		require.NoError(t, os.WriteFile(after, book, 0o600))
		require.NoError(t, os.WriteFile(after+"-wal", there, 0o600))
		lookThrough(t, after, want)
	}
}

// leftBehind is a book whose program was killed before any of its log was moved
// into the book's own pages, with what it acknowledged and when.
func leftBehind(t *testing.T) (path string, list []ack, sizes []int64) {
	path = filepath.Join(t.TempDir(), "book.sqlite")
	require.NoError(t, openAndClose(t, path))
	c := program(t, path, 11, 25)
	c.Env = append(c.Env, "DEWGAP_TEST_STAY=1")
	out, err := c.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, c.Start())
	var told bytes.Buffer
	for !bytes.Contains(told.Bytes(), []byte("end\n")) {
		buf := make([]byte, 4096)
		n, err := out.Read(buf)
		require.NoError(t, err)
		told.Write(buf[:n])
	}
	require.NoError(t, c.Process.Kill())
	require.Error(t, c.Wait())
	list, sizes = acked(told.Bytes())
	require.Greater(t, len(list), 25)
	require.True(t, slices.IsSorted(sizes), "the log was never begun anew")
	return path, list, sizes
}

func openAndClose(t *testing.T, path string) error {
	b, err := Open(t.Context(), path, time.Now)
	require.NoError(t, err)
	return b.Close()
}
