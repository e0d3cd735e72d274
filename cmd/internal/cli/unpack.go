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
	out, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return unwritten(path, err)
	}
	_, err = out.Write(data)
	if err := errors.Join(err, out.Close()); err != nil {
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

func unwritten(path string, err error) error {
	p := &app.Problem{Where: path, Text: "cannot be written: " + app.Bare(err), Fix: "check the path and that you may write there", Err: err}
	if errors.Is(err, fs.ErrExist) {
		p.Text, p.Fix = "is there already", "name a new folder"
	}
	return p
}
