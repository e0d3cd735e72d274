package cache

import (
	"bufio"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What a test process is to do as a helper of another: hold a lock until it is
// killed, or count in a note.
const (
	helpHold  = "DEWGAP_TEST_HOLD"
	helpCount = "DEWGAP_TEST_COUNT"
)

func TestMain(m *testing.M) {
	if file := os.Getenv(helpHold); file != "" {
		_, err := tryLock(file)
		fmt.Println("held", err)
		select {}
	}
	if folder := os.Getenv(helpCount); folder != "" {
		for range 50 {
			if err := patiently(Open(folder), "count"); err != nil {
				fmt.Fprintln(os.Stderr, err)
				os.Exit(1)
			}
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// patiently counts, however long it takes on a busy machine.
func patiently(d Dir, name string) error {
	for {
		if err := d.Update(name, up); !errors.Is(err, errHeld) {
			return err
		}
	}
}

// up counts.
func up(old []byte) []byte {
	n, _ := strconv.Atoi(string(old))
	return []byte(strconv.Itoa(n + 1))
}

func TestNotes(t *testing.T) {
	d := Open(filepath.Join(t.TempDir(), "not", "yet", "there"))
	see := func(name string) (got []byte) {
		require.NoError(t, d.Update(name, func(old []byte) []byte { got = old; return old }))
		return got
	}
	assert.Nil(t, see("a"))
	require.NoError(t, d.Update("a", up))
	require.NoError(t, d.Update("a", up))
	assert.Equal(t, "2", string(see("a")))
	assert.Nil(t, see("b"), "notes do not mix")
	require.NoError(t, d.Update("a", func([]byte) []byte { return nil }))
	assert.Nil(t, see("a"))
	file, lock := d.note("a")
	assert.NoFileExists(t, file)
	assert.FileExists(t, lock, "else two could hold two locks of one name")
}

// TestNotesOfManyAtOnce: goroutines and processes count to the same sum.
func TestNotesOfManyAtOnce(t *testing.T) {
	d := Open(t.TempDir())
	var wait sync.WaitGroup
	for range 2 {
		wait.Go(func() {
			c := exec.Command(os.Args[0])
			c.Env = append(os.Environ(), helpCount+"="+d.path)
			out, err := c.CombinedOutput()
			assert.NoError(t, err, string(out))
		})
		wait.Go(func() {
			for range 50 {
				assert.NoError(t, patiently(d, "count"))
			}
		})
	}
	wait.Wait()
	file, _ := d.note("count")
	got, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, "200", string(got))
}

// TestHolderThatDies: a process killed while it holds the lock holds nobody up;
// one that merely stands still does no longer than patience lasts.
func TestHolderThatDies(t *testing.T) {
	d := Open(t.TempDir())
	require.NoError(t, d.Update("a", up))
	_, lock := d.note("a")
	c := exec.Command(os.Args[0])
	c.Env = append(os.Environ(), helpHold+"="+lock)
	out, err := c.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, c.Start())
	line, err := bufio.NewReader(out).ReadString('\n')
	require.NoError(t, err)
	require.Equal(t, "held <nil>\n", line)

	start := time.Now()
	assert.ErrorIs(t, d.Update("a", up), errHeld)
	assert.GreaterOrEqual(t, time.Since(start), patience)

	require.NoError(t, c.Process.Kill())
	_ = c.Wait() // it was killed
	require.NoError(t, d.Update("a", up))
	file, _ := d.note("a")
	got, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, "2", string(got))
}

func TestNotesThatCannotBe(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	require.NoError(t, os.WriteFile(file, nil, 0o600))
	assert.Error(t, Open(file).Update("a", up), "no folder")

	d := Open(t.TempDir())
	note, lock := d.note("a")
	require.NoError(t, os.Mkdir(note, 0o700))
	assert.ErrorContains(t, d.Update("a", up), "not a note")
	require.NoError(t, os.Remove(note))
	require.NoError(t, os.WriteFile(note, make([]byte, largestNote+1), 0o600))
	assert.ErrorContains(t, d.Update("a", up), "not a note")
	require.NoError(t, os.Remove(lock))
	require.NoError(t, os.Mkdir(lock, 0o700))
	assert.Error(t, d.Update("a", up), "no lock")
}
