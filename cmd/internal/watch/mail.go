package watch

import (
	"context"
	"crypto/sha256"
	"crypto/tls"
	"encoding/hex"
	"errors"
	"fmt"
	"net"
	"strconv"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/settings"

	"github.com/wneessen/go-mail"
)

// Mail sends the news as plain text, to every address in one message.
type Mail struct {
	Settings settings.Mail
	To       []string         // addresses, at least one
	Version  string           // of the program
	Now      func() time.Time // time of day
	// TLSConfig is for tests; nil is the system's.
	TLSConfig *tls.Config
}

// Name is mail and the addresses.
func (m *Mail) Name() string { return "mail to " + strings.Join(m.To, ", ") }

// Check tells what is missing, with the setting to be made.
func (m *Mail) Check() error {
	s := m.Settings
	switch {
	case s.Host == "":
		return errors.New("mail needs a server: set mail.host")
	case s.From == "":
		return errors.New("mail needs an address to come from: set mail.from")
	case len(m.To) == 0:
		return errors.New("mail needs an address to go to: set mail.to")
	case s.User != "" && s.TLS == settings.NoTLS:
		return errors.New("mail.tls none would send the password for all to read: set mail.tls to starttls or tls, or leave mail.user out")
	case (s.User == "") != (s.Password == ""):
		return errors.New("mail.user and mail.password go together: set both or neither")
	}
	return nil
}

// Tell sends the mail.
func (m *Mail) Tell(ctx context.Context, n *answer.Watch) error {
	message, err := m.message(n)
	if err != nil {
		return err
	}
	var line connection
	defer line.close()
	client, err := m.client(&line)
	if err != nil {
		return m.clean(err)
	}
	return m.clean(client.DialAndSendWithContext(ctx, message))
}

// connection is the one to the server. The library leaves it open where the server
// turns out to know no STARTTLS or to refuse the password.
type connection struct{ net.Conn }

func (c *connection) dial(ctx context.Context, network, address string) (net.Conn, error) {
	var d net.Dialer
	var err error
	c.Conn, err = d.DialContext(ctx, network, address)
	return c.Conn, err
}

func (c *connection) close() {
	if c.Conn != nil {
		_ = c.Close() // at the latest; it may be closed
	}
}

func (m *Mail) message(n *answer.Watch) (*mail.Msg, error) {
	msg := mail.NewMsg(mail.WithNoDefaultUserAgent())
	if err := msg.From(m.Settings.From); err != nil {
		return nil, errors.New("mail.from is no address")
	}
	if err := msg.To(m.To...); err != nil {
		return nil, errors.New("one of the addresses to send mail to is none")
	}
	text := message(n)
	msg.Subject("dewgap: " + clipped(subject(n), longestSubject))
	msg.SetDateWithValue(m.Now())
	msg.SetMessageIDWithValue(m.messageID(text))
	msg.SetUserAgent("dewgap/" + m.Version)
	msg.SetGenHeader("Auto-Submitted", "auto-generated") // RFC 3834: nobody's absence note answers
	msg.SetBodyString(mail.TypeTextPlain, text)
	return msg, nil
}

// longestSubject is the most characters of a subject.
const longestSubject = 120

func clipped(s string, most int) string {
	if r := []rune(s); len(r) > most {
		return string(r[:most-1]) + "…"
	}
	return s
}

// messageID names the message by what it says and when; the computer's name stays out.
func (m *Mail) messageID(text string) string {
	sum := sha256.Sum256([]byte(text + m.Now().UTC().Format(time.RFC3339Nano)))
	host := "dewgap.invalid"
	if _, domain, ok := strings.Cut(strings.Trim(m.Settings.From, "<> "), "@"); ok && domain != "" {
		host = strings.TrimRight(domain, "> ")
	}
	return hex.EncodeToString(sum[:16]) + "@" + host
}

func (m *Mail) client(line *connection) (*mail.Client, error) {
	s := m.Settings
	host, port := s.Host, 0
	if h, p, err := net.SplitHostPort(s.Host); err == nil {
		host = h
		if port, err = strconv.Atoi(p); err != nil {
			return nil, fmt.Errorf("mail.host has the port %q", p)
		}
	}
	// An address in brackets is what RFC 5321, §4.1.3 has for computers without a name in
	// the network; this one's own name is nobody's business.
	options := []mail.Option{mail.WithTimeout(30 * time.Second), mail.WithHELO("[127.0.0.1]")}
	switch s.TLS {
	case settings.TLS: // with a dialler of ours the library would take the line for a clear one
		options = append(options, mail.WithSSLPort(false))
	case settings.NoTLS:
		options = append(options, mail.WithTLSPortPolicy(mail.NoTLS), mail.WithDialContextFunc(line.dial))
	default:
		options = append(options, mail.WithTLSPortPolicy(mail.TLSMandatory), mail.WithDialContextFunc(line.dial))
	}
	if port > 0 {
		options = append(options, mail.WithPort(port))
	}
	if s.User != "" {
		options = append(options, mail.WithSMTPAuth(mail.SMTPAuthAutoDiscover), mail.WithUsername(s.User), mail.WithPassword(string(s.Password)))
	}
	if m.TLSConfig != nil {
		options = append(options, mail.WithTLSConfig(m.TLSConfig))
	}
	return mail.NewClient(host, options...)
}

// clean keeps the password out of an error, whatever the server has answered.
func (m *Mail) clean(err error) error {
	if err == nil {
		return nil
	}
	text := plain(err.Error())
	if p := string(m.Settings.Password); p != "" {
		text = strings.ReplaceAll(text, p, m.Settings.Password.String())
	}
	return errors.New(text)
}
