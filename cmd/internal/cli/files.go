package cli

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"

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
	to, perm, whole := path, os.FileMode(0o644), true
	if real, err := filepath.EvalSymlinks(path); err == nil {
		to = real
	}
	if info, err := os.Stat(to); err == nil {
		switch perm = info.Mode().Perm(); {
		case info.IsDir():
			return &app.Problem{Where: path, Text: "is a folder", Fix: "name a file"}
		case !info.Mode().IsRegular():
			whole = false
		}
	}
	var err error
	if whole {
		err = maybe.WriteFile(to, data, perm)
	} else {
		err = os.WriteFile(to, data, perm)
	}
	if err != nil {
		return &app.Problem{Where: path, Text: "cannot be written: " + app.Bare(err), Fix: "check the path and that you may write there", Err: err}
	}
	return nil
}
