package cli

import (
	"errors"
	"io/fs"
	"os"

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

// replace writes a file whole or not at all.
func replace(path string, data []byte) error {
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		return &app.Problem{Where: path, Text: "is a folder", Fix: "name a file"}
	}
	if err := maybe.WriteFile(path, data, 0o644); err != nil {
		return &app.Problem{Where: path, Text: "cannot be written: " + app.Bare(err), Fix: "check the path and that you may write there", Err: err}
	}
	return nil
}
