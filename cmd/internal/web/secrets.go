package web

import (
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"sync"
	"time"

	"github.com/google/renameio/v2/maybe"
)

// Secrets are what lets people in: the sign-in token, the tokens of calendar links,
// and who is signed in. Only hashes are kept, in one file that none but its owner may
// read. A plain SHA-256 will do: the tokens are random and long, so that there is
// nothing to guess that a slow hash would protect. (A passphrase would need one.)
//
// Another process may change the file, such as dewgap serve --new-calendar-link;
// that is seen at the next look.
type Secrets struct {
	path string // "": kept in memory only
	now  func() time.Time

	mu   sync.Mutex
	seen time.Time // when the file was last changed, as read
	kept secretsFile
}

// secretsFile is the file's form.
type secretsFile struct {
	Format   string             `json:"format"`
	Token    string             `json:"token,omitempty"`    // SHA-256, hex
	Calendar string             `json:"calendar,omitempty"` // SHA-256, hex
	Sessions map[string]session `json:"sessions,omitempty"` // by the SHA-256 of their id, hex
}

// session is one browser that is signed in.
type session struct {
	Until time.Time `json:"until"`
}

const (
	secretsFormat = "dewgap.serve.v1"
	// tokenBytes is the length of a token: 160 bits.
	tokenBytes = 20
	// sessionLasts is how long a browser stays signed in.
	sessionLasts = 30 * 24 * time.Hour
	// mostSessions is how many browsers may be signed in; the oldest gives way.
	mostSessions = 200
)

// OpenSecrets reads the file, which need not be there yet.
func OpenSecrets(path string, now func() time.Time) (*Secrets, error) {
	s := &Secrets{path: path, now: now, kept: secretsFile{Format: secretsFormat}}
	s.mu.Lock()
	defer s.mu.Unlock()
	return s, s.read()
}

// read takes the file in if it has changed. The caller has the lock.
func (s *Secrets) read() error {
	if s.path == "" {
		return nil
	}
	info, err := os.Stat(s.path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return fmt.Errorf("reading the sign-in file: %w", err)
	}
	if info.ModTime().Equal(s.seen) {
		return nil
	}
	data, err := os.ReadFile(s.path)
	if err != nil {
		return fmt.Errorf("reading the sign-in file: %w", err)
	}
	var kept secretsFile
	if err := json.Unmarshal(data, &kept); err != nil || kept.Format != secretsFormat {
		return fmt.Errorf("%s is no sign-in file of this dewgap: remove it, and a new token is made at the next start", s.path)
	}
	s.kept, s.seen = kept, info.ModTime()
	return nil
}

// write keeps the file. The caller has the lock.
func (s *Secrets) write() error {
	if s.path == "" {
		return nil
	}
	data, err := json.MarshalIndent(s.kept, "", "  ")
	if err != nil {
		return err
	}
	if err := os.MkdirAll(filepath.Dir(s.path), 0o700); err != nil {
		return fmt.Errorf("making the folder of the sign-in file: %w", err)
	}
	if err := maybe.WriteFile(s.path, append(data, '\n'), 0o600); err != nil {
		return fmt.Errorf("writing the sign-in file: %w", err)
	}
	if info, err := os.Stat(s.path); err == nil {
		s.seen = info.ModTime()
	}
	return nil
}

// change reads the file, changes it and keeps it. What cannot be kept is as it was, so
// that nobody is told that it failed and finds the old link ended all the same.
func (s *Secrets) change(do func(*secretsFile)) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if err := s.read(); err != nil {
		return err
	}
	was := s.kept
	was.Sessions = maps.Clone(s.kept.Sessions)
	do(&s.kept)
	err := s.write()
	if err != nil {
		s.kept = was
	}
	return err
}

// end changes it as change does, but what cannot be kept has ended until the next start
// all the same.
func (s *Secrets) end(do func(*secretsFile)) error {
	err := s.change(do)
	if err != nil {
		s.mu.Lock()
		defer s.mu.Unlock()
		do(&s.kept)
	}
	return err
}

// look reads the file and looks at it. What cannot be read is as it was last.
func (s *Secrets) look(at func(*secretsFile)) {
	s.mu.Lock()
	defer s.mu.Unlock()
	_ = s.read()
	at(&s.kept)
}

// EnsureToken makes the sign-in token if there is none: it is then given this once,
// and made is true.
func (s *Secrets) EnsureToken() (token string, made bool, err error) {
	there := false
	s.look(func(f *secretsFile) { there = f.Token != "" })
	if there {
		return "", false, nil
	}
	token, err = s.NewToken()
	return token, err == nil, err
}

// NewToken makes a new sign-in token in place of the old one, and signs everybody
// out.
func (s *Secrets) NewToken() (string, error) {
	token := newToken()
	return token, s.change(func(f *secretsFile) { f.Token, f.Sessions = hashed(token), nil })
}

// NewCalendar makes a new token for calendar links; links with the old one end.
func (s *Secrets) NewCalendar() (string, error) {
	token := newToken()
	return token, s.change(func(f *secretsFile) { f.Calendar = hashed(token) })
}

// EndCalendar ends all calendar links.
func (s *Secrets) EndCalendar() error {
	return s.end(func(f *secretsFile) { f.Calendar = "" })
}

// IsToken reports whether it is the sign-in token.
func (s *Secrets) IsToken(token string) (is bool) {
	s.look(func(f *secretsFile) { is = same(f.Token, token) })
	return is
}

// IsCalendar reports whether it is the token of the calendar links.
func (s *Secrets) IsCalendar(token string) (is bool) {
	s.look(func(f *secretsFile) { is = same(f.Calendar, token) })
	return is
}

// HasCalendar reports whether there are calendar links.
func (s *Secrets) HasCalendar() (has bool) {
	s.look(func(f *secretsFile) { has = f.Calendar != "" })
	return has
}

// SignIn begins a session and gives its id.
func (s *Secrets) SignIn() (id string, until time.Time, err error) {
	id, until = newToken(), s.now().Add(sessionLasts)
	return id, until, s.change(func(f *secretsFile) {
		if f.Sessions == nil {
			f.Sessions = map[string]session{}
		}
		s.tidy(f)
		f.Sessions[hashed(id)] = session{until.UTC().Truncate(time.Second)}
	})
}

// tidy lets go of sessions that are over, and of the oldest where there are too many.
func (s *Secrets) tidy(f *secretsFile) {
	oldest := ""
	for key, x := range f.Sessions {
		if !x.Until.After(s.now()) {
			delete(f.Sessions, key)
		} else if oldest == "" || x.Until.Before(f.Sessions[oldest].Until) {
			oldest = key
		}
	}
	if len(f.Sessions) >= mostSessions {
		delete(f.Sessions, oldest)
	}
}

// SignedIn reports whether a session goes on. The hash is looked up, so that nothing
// of the id shows in the time that it takes.
func (s *Secrets) SignedIn(id string) (in bool) {
	if id == "" {
		return false
	}
	key := hashed(id)
	s.look(func(f *secretsFile) {
		x, ok := f.Sessions[key]
		in = ok && x.Until.After(s.now())
	})
	return in
}

// SignOut ends a session.
func (s *Secrets) SignOut(id string) error {
	return s.end(func(f *secretsFile) { delete(f.Sessions, hashed(id)) })
}

// newToken is 160 random bits in letters and digits that can be read out.
func newToken() string {
	var raw [tokenBytes]byte
	_, _ = rand.Read(raw[:]) // never fails, says its documentation
	return hex.EncodeToString(raw[:])
}

func hashed(token string) string {
	sum := sha256.Sum256([]byte(token))
	return hex.EncodeToString(sum[:])
}

// same compares a token with a hash in constant time. No hash is no token's.
func same(hash, token string) bool {
	return hash != "" && subtle.ConstantTimeCompare([]byte(hash), []byte(hashed(token))) == 1
}
