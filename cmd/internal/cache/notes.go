package cache

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"dewgap/forecast/fetch"

	"github.com/google/renameio/v2/maybe"
)

var _ fetch.Shared = Dir{}

// patience is how long is waited for another process to let go of a note. It
// holds one for milliseconds, and one that dies lets go; only one that was
// stopped in the middle takes longer.
const patience = time.Second

// largestNote is the size beyond which a file cannot be a note.
const largestNote = 1 << 16

// errHeld is a note that another process does not let go of.
var errHeld = errors.New("another process holds it")

// note is where the note of this name is or would be kept, beside the lock that
// guards it.
func (d Dir) note(name string) (file, lock string) {
	sum := sha256.Sum256([]byte(name))
	base := filepath.Join(d.path, hex.EncodeToString(sum[:16]))
	return base + ".note", base + ".lock"
}

// Update implements [fetch.Shared]. The lock is the system's own, so that it
// ends with the process that holds it, however that ends; its empty file stays.
func (d Dir) Update(name string, change func(old []byte) []byte) error {
	if err := os.MkdirAll(d.path, 0o700); err != nil {
		return err
	}
	file, lock := d.note(name)
	unlock, err := hold(lock)
	if err != nil {
		return fmt.Errorf("%s: %w", lock, err)
	}
	defer unlock()
	old, err := readNote(file)
	if err != nil {
		return err
	}
	fresh := change(old)
	switch {
	case bytes.Equal(old, fresh):
		return nil
	case fresh == nil:
		return os.Remove(file)
	}
	return maybe.WriteFile(file, fresh, 0o600)
}

// readNote gives the note's bytes, nil where there is none.
func readNote(file string) ([]byte, error) {
	info, err := os.Stat(file)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, nil
	case err != nil:
		return nil, err
	case !info.Mode().IsRegular() || info.Size() > largestNote:
		return nil, fmt.Errorf("%s: not a note", file)
	}
	return os.ReadFile(file)
}

// hold takes the lock, or gives up once patience is over.
func hold(file string) (unlock func(), err error) {
	const pause = 2 * time.Millisecond
	for end := time.Now().Add(patience); ; time.Sleep(pause) {
		unlock, err = tryLock(file)
		if !errors.Is(err, errHeld) || time.Now().After(end) {
			return unlock, err
		}
	}
}
