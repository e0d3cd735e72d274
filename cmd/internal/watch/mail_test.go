package watch

import (
	"context"
	"crypto/tls"
	"errors"
	"io"
	"mime"
	"mime/quotedprintable"
	"net/mail"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/settings"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func (s *mailServer) mailer(change func(*Mail)) *Mail {
	m := &Mail{
		Settings: settings.Mail{Host: s.listener.Addr().String(), TLS: settings.StartTLS, From: "Harbour <harbour@otter-quay.example>"},
		To:       []string{"a@otter-quay.example", "b@otter-quay.example"}, Version: "v0",
		Now:       func() time.Time { return time.Date(2026, 9, 9, 10, 0, 0, 0, time.UTC) },
		TLSConfig: &tls.Config{RootCAs: s.roots, ServerName: "127.0.0.1", MinVersion: tls.VersionTLS12},
	}
	if change != nil {
		change(m)
	}
	return m
}

func TestMail(t *testing.T) {
	s := newMailServer(t, func(s *mailServer) { s.offers = []string{"AUTH PLAIN"} })
	m := s.mailer(func(m *Mail) { m.Settings.User, m.Settings.Password = "harbour", "hunter2" })
	n := newsFixture(t)
	n.Boat = "Möwe"
	require.NoError(t, m.Tell(context.Background(), n))
	s.mu.Lock()
	defer s.mu.Unlock()
	assert.True(t, s.secret)
	assert.Equal(t, "harbour/hunter2", s.auth)
	for _, line := range s.clear {
		assert.True(t, strings.HasPrefix(line, "EHLO") || line == "STARTTLS", "in the clear: %s", line)
	}
	assert.Contains(t, s.from, "<harbour@otter-quay.example>")
	assert.Len(t, s.to, 2)
	read, err := mail.ReadMessage(strings.NewReader(s.message))
	require.NoError(t, err)
	subject, err := new(mime.WordDecoder).DecodeHeader(read.Header.Get("Subject"))
	require.NoError(t, err)
	assert.Equal(t, "dewgap: Möwe: Clean and seal, watched from now on", subject)
	assert.Equal(t, "Wed, 09 Sep 2026 10:00:00 +0000", read.Header.Get("Date"))
	assert.Equal(t, "auto-generated", read.Header.Get("Auto-Submitted"))
	assert.Regexp(t, `^<[0-9a-f]{32}@otter-quay\.example>$`, read.Header.Get("Message-Id"))
	assert.Equal(t, "dewgap/v0", read.Header.Get("User-Agent"))
	assert.True(t, strings.HasPrefix(read.Header.Get("Content-Type"), "text/plain"))
	assert.Equal(t, "quoted-printable", read.Header.Get("Content-Transfer-Encoding"))
	body, err := io.ReadAll(quotedprintable.NewReader(read.Body))
	require.NoError(t, err)
	assert.Equal(t, strings.TrimSpace(message(n)), strings.TrimSpace(strings.ReplaceAll(string(body), "\r\n", "\n")))
}

// Nothing is said in the clear where a server knows no STARTTLS, whatever it offers.
func TestMailWithoutSTARTTLS(t *testing.T) {
	s := newMailServer(t, func(s *mailServer) { s.noTLS, s.offers = true, []string{"AUTH PLAIN LOGIN"} })
	m := s.mailer(func(m *Mail) { m.Settings.User, m.Settings.Password = "harbour", "hunter2" })
	err := m.Tell(context.Background(), newsFixture(t))
	require.ErrorContains(t, err, "STARTTLS")
	assert.NotContains(t, err.Error(), "hunter2")
	s.mu.Lock()
	defer s.mu.Unlock()
	assert.Empty(t, s.auth)
	assert.Empty(t, s.message)
	assert.NotContains(t, strings.Join(s.clear, "\n"), "AUTH")
}

// A server that nobody vouches for is told nothing.
func TestMailToAStranger(t *testing.T) {
	for _, way := range []string{settings.StartTLS, settings.TLS} {
		s := newMailServer(t, func(s *mailServer) { s.implicit = way == settings.TLS })
		m := s.mailer(func(m *Mail) { m.TLSConfig, m.Settings.TLS = nil, way })
		require.ErrorContains(t, m.Tell(context.Background(), newsFixture(t)), "certificate")
		s.mu.Lock()
		assert.Empty(t, s.message)
		s.mu.Unlock()
	}
}

func TestMailOverTLS(t *testing.T) {
	s := newMailServer(t, func(s *mailServer) { s.implicit = true })
	require.NoError(t, s.mailer(func(m *Mail) { m.Settings.TLS = settings.TLS }).Tell(context.Background(), newsFixture(t)))
	s.mu.Lock()
	defer s.mu.Unlock()
	assert.True(t, s.secret)
	assert.Empty(t, s.clear)
}

func TestMailInTheClear(t *testing.T) {
	s := newMailServer(t, nil)
	require.NoError(t, s.mailer(func(m *Mail) { m.Settings.TLS = settings.NoTLS }).Tell(context.Background(), newsFixture(t)))
	s.mu.Lock()
	defer s.mu.Unlock()
	assert.False(t, s.secret, "it was asked for")
	assert.NotEmpty(t, s.message)
}

func TestMailRefused(t *testing.T) {
	s := newMailServer(t, func(s *mailServer) { s.refuses = "550 nobody of that name; hunter2" })
	m := s.mailer(func(m *Mail) { m.Settings.Password = "hunter2" })
	err := m.Tell(context.Background(), newsFixture(t))
	require.ErrorContains(t, err, "550")
	assert.NotContains(t, err.Error(), "hunter2", "not even when the server says it")
}

func TestMailOfNobody(t *testing.T) {
	s := newMailServer(t, nil)
	m := s.mailer(nil)
	_ = s.listener.Close()
	require.Error(t, m.Tell(context.Background(), newsFixture(t)))
	m.Settings.From = "nobody"
	require.ErrorContains(t, m.Tell(context.Background(), newsFixture(t)), "mail.from")
	m = s.mailer(func(m *Mail) { m.To = []string{"nobody"} })
	require.ErrorContains(t, m.Tell(context.Background(), newsFixture(t)), "addresses")
	m = s.mailer(func(m *Mail) { m.Settings.Host = "127.0.0.1:smtp" })
	require.ErrorContains(t, m.Tell(context.Background(), newsFixture(t)), "port")
}

// A name cannot add a header of its own.
func TestMailOfHostileNames(t *testing.T) {
	s := newMailServer(t, nil)
	n := newsFixture(t)
	n.Boat, n.Job = "b\r\nBcc: x@y.example", "j\r\n\r\nbody"
	n.Changes = []answer.WatchChange{{Text: "a\r\n.\r\nMAIL FROM:<x>"}}
	require.NoError(t, s.mailer(nil).Tell(context.Background(), n))
	s.mu.Lock()
	defer s.mu.Unlock()
	read, err := mail.ReadMessage(strings.NewReader(s.message))
	require.NoError(t, err)
	assert.Empty(t, read.Header.Get("Bcc"))
	assert.Len(t, s.to, 2)
	assert.Contains(t, read.Header.Get("Subject"), "b Bcc: x@y.example")
}

func TestMailCheck(t *testing.T) {
	good := settings.Mail{Host: "h", TLS: settings.StartTLS, From: "a@b.example", User: "u", Password: "p"}
	to := []string{"c@d.example"}
	require.NoError(t, (&Mail{Settings: good, To: to}).Check())
	for want, change := range map[string]func(*Mail){
		"mail.host":     func(m *Mail) { m.Settings.Host = "" },
		"mail.from":     func(m *Mail) { m.Settings.From = "" },
		"mail.to":       func(m *Mail) { m.To = nil },
		"mail.tls":      func(m *Mail) { m.Settings.TLS = settings.NoTLS },
		"mail.password": func(m *Mail) { m.Settings.Password = "" },
		"mail.user and": func(m *Mail) { m.Settings.User = "" },
	} {
		m := &Mail{Settings: good, To: to}
		change(m)
		assert.ErrorContains(t, m.Check(), want)
	}
	assert.Equal(t, "mail to c@d.example", (&Mail{To: to}).Name())
}

func TestClean(t *testing.T) {
	m := &Mail{Settings: settings.Mail{Password: "hunter2"}}
	require.NoError(t, m.clean(nil))
	assert.EqualError(t, m.clean(errors.New("535 no: hunter2\r\nhunter2")), "535 no: … …")
	assert.Equal(t, strings.Repeat("x", 119)+"…", clipped(strings.Repeat("x", 200), longestSubject))
}
