package app

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"sync"
	"time"

	"dewgap/cmd/internal/settings"
	"dewgap/forecast"
	"dewgap/forecast/fetch"
	"dewgap/forecast/source"
)

// File is a saved reply of any service that dewgap knows.
type File struct {
	Path    string
	Fetched time.Time // when it was fetched, by the person's word; zero: not said

	read func() (source.Reply, error) // where that has begun already
}

// largest is the size beyond which a file cannot be a reply.
const largest = 64 << 20

// Forecast reads the file.
func (s File) Forecast(_ context.Context, q Query) (*forecast.Forecast, error) {
	read := s.read
	if read == nil {
		read = s.reply
	}
	r, err := read()
	if err != nil {
		return nil, err
	}
	f, err := r.Forecast(source.Options{Near: &q.Place, Model: q.Model})
	if err != nil {
		return nil, s.damaged(err)
	}
	f.Fetched = s.Fetched
	return f, nil
}

// Ahead is the file with its reading begun, beside whatever comes before its forecast
// is wanted.
func (s File) Ahead() File {
	s.read = sync.OnceValues(s.reply)
	go func() { _, _ = s.read() }() // whoever wants the forecast is told of what is wrong
	return s
}

// reply is what the file holds, as far as it can be read without its place.
func (s File) reply() (source.Reply, error) {
	data, err := ReadFile(s.Path, largest)
	if err != nil {
		return source.Reply{}, err
	}
	r, err := source.Check(data)
	if err != nil {
		return r, s.damaged(err)
	}
	return r, nil
}

func (s File) damaged(err error) error {
	return &Problem{Where: s.Path, Text: err.Error(), Fix: readFix(err), Err: err}
}

// reason is what is wrong with a file, without whose reply it was.
func reason(err error) string {
	if e, ok := errors.AsType[*forecast.ReadError](err); ok {
		return e.Reason
	}
	return err.Error()
}

func readFix(err error) string {
	if e, ok := errors.AsType[*forecast.ReadError](err); ok && e.Fix != "" {
		return e.Fix
	}
	return "save the service's reply once more"
}

// ReadFile reads a file that a person named, of a size that makes sense.
func ReadFile(path string, most int64) ([]byte, error) {
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return nil, &Problem{Where: path, Text: "cannot be read: " + Bare(err), Fix: "check the path", Err: err}
	case info.IsDir():
		return nil, &Problem{Where: path, Text: "is a folder", Fix: "name a file"}
	case info.Size() > most:
		return nil, tooLarge(path, most)
	}
	data, err := settings.ReadUpTo(path, most+1) // a device or a pipe tells no size
	switch {
	case err != nil:
		return nil, &Problem{Where: path, Text: "cannot be read: " + Bare(err), Fix: "check that you may read it", Err: err}
	case int64(len(data)) > most:
		return nil, tooLarge(path, most)
	}
	return data, nil
}

func tooLarge(path string, most int64) error {
	return &Problem{Where: path, Text: fmt.Sprintf("is larger than %d kB", most>>10), Fix: "name the right file"}
}

// Bare is an error of the file system without the path, which is said besides.
func Bare(err error) string {
	if e, ok := errors.AsType[*fs.PathError](err); ok {
		return e.Err.Error()
	}
	if e, ok := errors.AsType[*os.LinkError](err); ok { // of the file beside it that takes its place
		return e.Err.Error()
	}
	return err.Error()
}

// Live asks the services.
type Live struct {
	Settings *settings.Settings
	Version  string              // of the program
	Name     string              // of the source; "": as the settings say
	Wall     func() time.Time    // the computer's clock, by which replies age
	Passing  io.Writer           // for a line that is wiped off again while it takes long; nil: nobody looks
	Adjust   func(*fetch.Config) // the last word on how services are asked; nil: as the settings say
}

// Forecast asks the source, or takes its saved reply while that is good.
func (l Live) Forecast(ctx context.Context, q Query) (*forecast.Forecast, error) {
	ask := l.Settings.FetchConfig(l.Version, l.Wall)
	if l.Adjust != nil {
		l.Adjust(&ask)
	}
	line := newProgress(l.Passing, afterwards)
	defer line.done()
	ask.Asking = line.asks
	client, err := fetch.New(ask)
	if err != nil {
		return nil, err
	}
	cfg := l.Settings.SourceConfig(client)
	if l.Name != "" {
		cfg.Name = l.Name
	}
	f, _, err := source.Fetch(ctx, cfg, source.Query{Place: q.Place, Model: q.Model})
	if err != nil {
		return nil, &Problem{Text: err.Error(), Fix: fetchFix(err), Err: err}
	}
	return f, nil
}

func fetchFix(err error) string {
	fix := ""
	if e, ok := errors.AsType[*source.FailedError](err); ok {
		fix = e.Fix()
	} else if e, ok := errors.AsType[*fetch.Error](err); ok {
		fix = e.Fix
	}
	if fix == "" {
		fix = "choose another --source"
	}
	return fix + "; or work from a saved reply with --forecast FILE"
}
