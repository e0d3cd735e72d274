// Package settings reads how this computer's owner wants dewgap to work: the
// contact for the weather services, the source of forecasts, addresses, keys,
// units, and where things are kept.
//
// A setting comes from the environment (DEWGAP_…), else from the settings
// file, else from its default; [Keys] lists them. The file is settings.yaml in
// the home folder: $DEWGAP_HOME, else the dewgap folder where the system keeps
// settings. Keys in the file may be written in small or capital letters, for
// viper takes them so; values keep their case. An unknown key or a value that
// cannot be right is an [*Error] with file, line and column.
//
// Jobs, products and readings are not settings: those files are read strictly
// elsewhere.
package settings

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"dewgap/cmd/internal/cache"
	"dewgap/forecast/fetch"
	"dewgap/forecast/metnorway"
	"dewgap/forecast/nws"
	"dewgap/forecast/openmeteo"
	"dewgap/forecast/source"
)

// Settings are the values in force. All have been checked.
type Settings struct {
	Contact   string        `mapstructure:"contact"`  // e-mail address or web page, "" if unset
	Source    string        `mapstructure:"source"`   // one of source.Names
	Units     string        `mapstructure:"units"`    // Metric or US
	Products  string        `mapstructure:"products"` // absolute path of the person's products file, "" if unset; it need not exist
	Timeout   time.Duration `mapstructure:"timeout"`  // for one question to a service, 1 s to 5 min
	Tries     int           `mapstructure:"tries"`    // of one question, 1–10
	Age       Age           `mapstructure:"age"`
	OpenMeteo OpenMeteo     `mapstructure:"openmeteo"`
	MetNorway Host          `mapstructure:"metnorway"`
	NWS       Host          `mapstructure:"nws"`
	Mail      Mail          `mapstructure:"mail"`
	Webhook   Webhook       `mapstructure:"webhook"`

	File      string   `mapstructure:"-"` // the settings file, "" if the system names no folder for it
	FileFound bool     `mapstructure:"-"` // whether it was there
	Home      string   `mapstructure:"-"` // folder of what dewgap keeps, "" if the system names none
	Cache     string   `mapstructure:"-"` // folder of saved replies, "" if the system names none
	Warnings  []string `mapstructure:"-"` // what is worth saying, in plain words
}

// The units of the screen.
const (
	Metric = "metric"
	US     = "us"
)

// Age is how old a forecast may be to be believed. Zero is the default.
type Age struct {
	Today time.Duration `mapstructure:"today"` // for the hours of today, 1 h to 36 h
	Later time.Duration `mapstructure:"later"` // for the days after, Today to 96 h
}

// Host is where a service is asked.
type Host struct {
	URL string `mapstructure:"url"` // http or https, without a slash at the end; "" is the service's own
}

// OpenMeteo is where and how Open-Meteo is asked.
type OpenMeteo struct {
	URL         string   `mapstructure:"url"`          // as Host.URL
	EnsembleURL string   `mapstructure:"ensemble_url"` // as Host.URL
	Key         Secret   `mapstructure:"key"`          // customer's key, "" without
	Models      []string `mapstructure:"models"`       // as the service spells them
}

// Secret is a text that prints as dots; convert it to a string to use it.
type Secret string

// String hides the secret.
func (s Secret) String() string {
	if s == "" {
		return ""
	}
	return "…"
}

// GoString hides the secret from %#v.
func (s Secret) GoString() string { return fmt.Sprintf("%q", s.String()) }

// MarshalText hides the secret from JSON and the like.
func (s Secret) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// Error is a setting that cannot be used.
type Error struct {
	Where string // file:line:column, or the environment variable
	Text  string // what is wrong
	Fix   string // what to do
	Err   error  // the error beneath, nil if there is none
}

// Error is the place and what is wrong; the fix is left to whoever shows it.
func (e *Error) Error() string { return e.Where + ": " + e.Text }

// Unwrap gives the error beneath, for errors.Is and errors.As.
func (e *Error) Unwrap() error { return e.Err }

// Load reads the settings. file is the one the person named (--settings),
// which must exist; with "" the usual file is read if there is one.
func Load(file string) (*Settings, error) {
	var s Settings
	s.folders()
	if file == "" && s.Home != "" {
		s.File = filepath.Join(s.Home, "settings.yaml")
	} else if file != "" {
		s.File = file
	}
	data, err := s.read(file != "")
	if err != nil {
		return nil, err
	}
	if err := s.parse(data); err != nil {
		return nil, err
	}
	s.Warnings = append(s.Warnings, misspelt(os.Environ())...)
	return &s, nil
}

// parse takes the values of the environment and of the file's bytes.
func (s *Settings) parse(data []byte) error {
	in, err := scan(s.File, data)
	if err != nil {
		return err
	}
	v := newViper()
	if err := v.ReadConfig(bytes.NewReader(data)); err != nil {
		return &Error{Where: s.File, Text: err.Error(), Fix: "mend the file", Err: err}
	}
	for _, k := range Keys() {
		if text, ok := in.written[k.Name]; ok && os.Getenv(k.Env) == "" {
			v.Set(k.Name, text)
		}
	}
	// Strict as a second net: scan has found unknown keys with their lines.
	if err := v.UnmarshalExact(s); err != nil {
		return in.wrongType(err)
	}
	return s.check(in)
}

// folders finds where things are kept. A system that names no folder is no
// failure: dewgap then keeps nothing.
func (s *Settings) folders() {
	if home := os.Getenv(HomeEnv); home != "" {
		s.Home = absolute(home)
		s.Cache = filepath.Join(s.Home, "cache")
		return
	}
	if dir, err := os.UserConfigDir(); err == nil {
		s.Home = filepath.Join(dir, "dewgap")
	} else {
		s.Warnings = append(s.Warnings, "no folder for settings: "+err.Error()+"; set "+HomeEnv)
	}
	if dir, err := os.UserCacheDir(); err == nil {
		s.Cache = filepath.Join(dir, "dewgap")
	} else {
		s.Warnings = append(s.Warnings, "no folder for saved forecasts, so none are kept: "+err.Error()+"; set "+HomeEnv)
	}
}

// read gives the file's bytes, none where it is absent and nobody named it.
func (s *Settings) read(named bool) ([]byte, error) {
	if s.File == "" {
		return nil, nil
	}
	data, err := ReadUpTo(s.File, largest+1)
	if errors.Is(err, fs.ErrNotExist) && !named {
		return nil, nil
	}
	if err != nil {
		return nil, &Error{Where: s.File, Text: "the settings file cannot be read: " + cause(err).Error(), Err: err,
			Fix: unreadFix(named)}
	}
	if len(data) > largest {
		return nil, &Error{Where: s.File, Text: fmt.Sprintf("is larger than %d kB", largest>>10), Fix: "name the right file"}
	}
	s.FileFound = true
	return data, nil
}

// unreadFix tells what to do about a file that cannot be read, by who named it.
func unreadFix(named bool) string {
	if named {
		return "check the path and that you may read it; without --settings the usual file is read if there is one"
	}
	return "check that you may read it, and " + HomeEnv + " if that is set"
}

// largest is what a settings file may have: far more than all settings with words about
// each, and far less than would keep a person waiting.
const largest = 256 << 10

// ReadUpTo reads a file, and of a large or endless one no more than that.
func ReadUpTo(path string, most int64) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	data, err := io.ReadAll(io.LimitReader(f, most))
	return data, errors.Join(err, f.Close())
}

// cause is the error without the path, which stands before it already.
func cause(err error) error {
	if pe, ok := errors.AsType[*fs.PathError](err); ok {
		return pe.Err
	}
	return err
}

// absolute is the path from the root, with ~ for the person's own folder.
func absolute(path string) string {
	if rest, ok := strings.CutPrefix(path, "~/"); ok {
		if home, err := os.UserHomeDir(); err == nil {
			path = filepath.Join(home, rest)
		}
	}
	if abs, err := filepath.Abs(path); err == nil {
		return abs
	}
	return path
}

// FetchConfig is how the services are asked by these settings. version is the
// program's own, now its clock.
func (s *Settings) FetchConfig(version string, now func() time.Time) fetch.Config {
	cfg := fetch.Config{Version: version, Contact: s.Contact, Timeout: s.Timeout, Tries: s.Tries, Now: now}
	if s.Cache != "" {
		cfg.Cache, cfg.Shared = cache.Open(s.Cache), cache.Open(s.Cache)
	}
	return cfg
}

// SourceConfig is which services are asked by these settings, through c.
func (s *Settings) SourceConfig(c *fetch.Client) source.Config {
	return source.Config{
		Name: s.Source, Client: c,
		OpenMeteo: openmeteo.Config{BaseURL: s.OpenMeteo.URL, EnsembleURL: s.OpenMeteo.EnsembleURL,
			Key: string(s.OpenMeteo.Key), Models: s.OpenMeteo.Models},
		MetNorway: metnorway.Config{BaseURL: s.MetNorway.URL},
		NWS:       nws.Config{BaseURL: s.NWS.URL},
	}
}
