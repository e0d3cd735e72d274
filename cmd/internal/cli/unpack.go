package cli

import (
	"archive/zip"
	"bytes"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"dewgap/cmd/internal/app"
)

// unpack writes the files of an archive into a folder, which must not have them
// yet, and counts them.
func unpack(archive []byte, folder string) (int, error) {
	z, err := zip.NewReader(bytes.NewReader(archive), int64(len(archive)))
	if err != nil {
		return 0, err
	}
	for _, f := range z.File {
		if err := unpackOne(f, folder); err != nil {
			return 0, err
		}
	}
	return len(z.File), nil
}

func unpackOne(f *zip.File, folder string) error {
	if !filepath.IsLocal(f.Name) {
		return &app.Problem{Where: f.Name, Text: "the export names a file outside the folder", Fix: "export as JSON"}
	}
	path := filepath.Join(folder, filepath.FromSlash(f.Name))
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return unwritten(path, err)
	}
	data, err := contents(f)
	if err != nil {
		return err
	}
	switch err := create(path, data, 0o600); {
	case errors.Is(err, fs.ErrExist):
		return &app.Problem{Where: path, Text: "is there already", Fix: "name a new folder", Err: err}
	case err != nil:
		return unwritten(path, err)
	}
	return nil
}

func contents(f *zip.File) ([]byte, error) {
	in, err := f.Open()
	if err != nil {
		return nil, err
	}
	data, err := io.ReadAll(in)
	return data, errors.Join(err, in.Close())
}
