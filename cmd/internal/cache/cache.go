// Package cache keeps the replies of the weather services as files, one a
// question, so that the last good forecast is there when the connection is
// not.
//
// A file is one line of JSON, the header, and then the reply's body as
// received. It is written beside its place and moved there in one step, so
// that several runs at once see whole files only (on Windows, where that step
// does not exist, the checksum finds a file half written). A file that is
// damaged, of another format or of another question counts as absent and is
// overwritten by the next good reply.
package cache

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"dewgap/forecast/fetch"

	"github.com/google/renameio/v2/maybe"
)

// format names the layout of a file; another one is not read.
const format = "dewgap.cache.v1"

// largest is the size beyond which a file cannot be one of ours: the client's
// limit of a reply is half of it.
const largest = 64 << 20

// Dir is a folder of saved replies. It implements [fetch.Cache].
type Dir struct{ path string }

var _ fetch.Cache = Dir{}

// Open names the folder, which is made when the first reply is saved.
func Open(path string) Dir { return Dir{path} }

// header is the first line of a file.
type header struct {
	Format       string    `json:"format"`
	Key          string    `json:"key"`
	URL          string    `json:"url"`
	ETag         string    `json:"etag,omitempty"`
	LastModified string    `json:"last_modified,omitempty"`
	Expires      time.Time `json:"expires"`
	Fetched      time.Time `json:"fetched"`
	SHA256       string    `json:"sha256"` // of the body
}

// File is where the reply to the question named key is or would be kept.
func (d Dir) File(key string) string {
	sum := sha256.Sum256([]byte(key))
	return filepath.Join(d.path, hex.EncodeToString(sum[:16])+".reply")
}

// Get reads a saved reply. An absent file is no error; one that cannot be
// read or is damaged is absent with an error that names it.
func (d Dir) Get(key string) (fetch.Entry, bool, error) {
	file := d.File(key)
	data, err := read(file)
	if errors.Is(err, fs.ErrNotExist) {
		return fetch.Entry{}, false, nil
	}
	if err != nil {
		return fetch.Entry{}, false, err
	}
	e, err := decode(data, key)
	if err != nil {
		return fetch.Entry{}, false, fmt.Errorf("%s: %w", file, err)
	}
	return e, true, nil
}

func read(file string) ([]byte, error) {
	info, err := os.Stat(file)
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() || info.Size() > largest {
		return nil, fmt.Errorf("%s: not a saved reply", file)
	}
	return os.ReadFile(file)
}

// Put saves a reply in place of any earlier one to the same question.
func (d Dir) Put(key string, e fetch.Entry) error {
	data, err := encode(key, e)
	if err != nil {
		return err
	}
	if err = os.MkdirAll(d.path, 0o700); err == nil {
		err = maybe.WriteFile(d.File(key), data, 0o600)
	}
	if err != nil {
		return fmt.Errorf("%w: see that there is room and that you may write there, or set DEWGAP_HOME to another folder", err)
	}
	return nil
}

func encode(key string, e fetch.Entry) ([]byte, error) {
	line, err := json.Marshal(header{
		Format: format, Key: key, URL: e.URL, ETag: e.ETag, LastModified: e.LastModified,
		Expires: e.Expires.UTC(), Fetched: e.Fetched.UTC(), SHA256: checksum(e.Body),
	})
	if err != nil {
		return nil, fmt.Errorf("cache: %w", err)
	}
	return bytes.Join([][]byte{line, e.Body}, []byte("\n")), nil
}

func decode(data []byte, key string) (fetch.Entry, error) {
	line, body, ok := bytes.Cut(data, []byte("\n"))
	var h header
	if !ok || json.Unmarshal(line, &h) != nil || h.Format != format {
		return fetch.Entry{}, errors.New("the file is damaged or of another version")
	}
	if h.Key != key {
		return fetch.Entry{}, errors.New("the file answers another question")
	}
	if checksum(body) != h.SHA256 {
		return fetch.Entry{}, errors.New("the file is damaged: its checksum does not fit")
	}
	return fetch.Entry{Body: body, ETag: h.ETag, LastModified: h.LastModified,
		Expires: h.Expires, Fetched: h.Fetched, URL: h.URL}, nil
}

func checksum(body []byte) string {
	sum := sha256.Sum256(body)
	return hex.EncodeToString(sum[:])
}
