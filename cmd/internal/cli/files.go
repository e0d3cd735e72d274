package cli

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"sync"
	"syscall"

	"dewgap/cmd/internal/app"

	"github.com/google/renameio/v2/maybe"
)

// readIfThere reads a file; nothing where there is none.
func readIfThere(path string) ([]byte, error) {
	data, err := app.ReadFile(path, largestJob)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	return data, err
}

// replace writes a file whole or not at all: in place of a link the file that it points
// to, and with the rights of the one that is there. A device or a pipe is written into,
// for a file of its name would take its place.
func replace(path string, data []byte) error {
	to, err := linked(path)
	if err != nil {
		return unwritten(path, err)
	}
	perm, whole := os.FileMode(0o644), true
	if info, err := os.Stat(to); err == nil {
		switch perm = info.Mode().Perm(); {
		case info.IsDir():
			return &app.Problem{Where: path, Text: "is a folder", Fix: "name a file"}
		case !info.Mode().IsRegular():
			whole = false
		}
	}
	if whole {
		err = maybe.WriteFile(to, data, perm)
	} else {
		err = os.WriteFile(to, data, perm)
	}
	if err != nil {
		return unwritten(path, err)
	}
	return nil
}

// mostLinks is how many links the system itself follows, one after the other.
const mostLinks = 40

// linked is the file that a name means: where links lead, even to one that is not there
// yet.
func linked(path string) (string, error) {
	for range mostLinks {
		if is, _ := os.Lstat(path); is == nil || is.Mode()&os.ModeSymlink == 0 {
			return path, nil
		}
		to, err := os.Readlink(path)
		if err != nil {
			return "", err
		}
		if !filepath.IsAbs(to) { // from the folder as it is, be it a link itself
			dir, err := filepath.EvalSymlinks(filepath.Dir(path))
			if err != nil {
				return "", err
			}
			to = filepath.Join(dir, to)
		}
		path = to
	}
	return "", syscall.ELOOP
}

// create writes a file that must not be there yet; of one that could not be written to
// its end nothing is left.
func create(path string, data []byte, perm os.FileMode) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, perm)
	if err != nil {
		return err
	}
	return fill(f, data)
}

// fill writes a new file and closes it, or takes it away.
func fill(f *os.File, data []byte) error {
	_, err := f.Write(data)
	if err = errors.Join(err, f.Close()); err != nil {
		return errors.Join(err, os.Remove(f.Name()))
	}
	return nil
}

// unwritten words a file that could not be written.
func unwritten(path string, err error) *app.Problem {
	p := &app.Problem{Where: path, Text: "cannot be written: " + app.Bare(err), Fix: "check the path and that you may write there", Err: err}
	if errors.Is(err, syscall.ENOSPC) {
		p.Fix = "free some space, or name a file elsewhere"
	}
	return p
}

// outlet is the standard output. It remembers the last failure, so that no command
// ends well whose words nobody got.
type outlet struct {
	to  io.Writer
	mu  sync.Mutex
	err error
}

// Write writes through.
func (o *outlet) Write(data []byte) (int, error) {
	n, err := o.to.Write(data)
	if err != nil {
		o.mu.Lock()
		defer o.mu.Unlock()
		o.err = err
	}
	return n, err
}

// failed is the command's own error, or that its words went nowhere. An error that has
// nothing to do with the output stands.
func (o *outlet) failed(err error) error {
	o.mu.Lock()
	defer o.mu.Unlock()
	_, answered := errors.AsType[*outcome](err)
	if o.err == nil || err != nil && !answered && !errors.Is(err, o.err) {
		return err
	}
	return &ranError{&app.Problem{Text: "the output cannot be written: " + app.Bare(o.err),
		Fix: "check where it goes; what the command itself keeps or records is done", Err: o.err}}
}
