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
// yet, and counts them. Where one cannot be written those before it are taken away, or
// they would stand in the way of the next try.
func unpack(archive []byte, folder string) (int, error) {
	z, err := zip.NewReader(bytes.NewReader(archive), int64(len(archive)))
	if err != nil {
		return 0, err
	}
	var written []string
	for _, f := range z.File {
		if !filepath.IsLocal(f.Name) {
			err = &app.Problem{Where: f.Name, Text: "the export names a file outside the folder", Fix: "export as JSON"}
		} else {
			path := filepath.Join(folder, filepath.FromSlash(f.Name))
			if err = unpackOne(f, path); err == nil {
				written = append(written, path)
			}
		}
		if err != nil {
			for _, path := range written {
				err = errors.Join(err, os.Remove(path))
			}
			return 0, err
		}
	}
	return len(z.File), nil
}

func unpackOne(f *zip.File, path string) error {
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
