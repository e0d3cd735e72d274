package watch

import (
	"bufio"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/base64"
	"math/big"
	"net"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// mailServer is a small SMTP server on this computer (RFC 5321, and RFC 3207 for
// STARTTLS), which notes what it is told.
type mailServer struct {
	listener net.Listener
	config   *tls.Config
	roots    *x509.CertPool
	offers   []string // besides STARTTLS: AUTH PLAIN
	noTLS    bool     // it offers no STARTTLS
	implicit bool     // TLS from the first byte
	refuses  string   // the answer to RCPT, "" to take everybody

	mu      sync.Mutex
	clear   []string // lines that came without TLS
	auth    string   // user and password, as user/password
	from    string
	to      []string
	message string
	secret  bool // the message came under TLS
	wait    sync.WaitGroup
}

func newMailServer(t *testing.T, change func(*mailServer)) *mailServer {
	t.Helper()
	s := &mailServer{}
	s.config, s.roots = certificate(t)
	if change != nil {
		change(s)
	}
	var err error
	if s.implicit {
		s.listener, err = tls.Listen("tcp", "127.0.0.1:0", s.config)
	} else {
		s.listener, err = net.Listen("tcp", "127.0.0.1:0")
	}
	require.NoError(t, err)
	s.wait.Go(func() {
		for {
			c, err := s.listener.Accept()
			if err != nil {
				return
			}
			s.wait.Go(func() { s.serve(c) })
		}
	})
	t.Cleanup(func() { _ = s.listener.Close(); s.wait.Wait() })
	return s
}

func (s *mailServer) serve(c net.Conn) {
	defer func() { _ = c.Close() }()
	_ = c.SetDeadline(time.Now().Add(20 * time.Second))
	secret := s.implicit
	r := bufio.NewReader(c)
	say := func(line string) { _, _ = c.Write([]byte(line + "\r\n")) }
	say("220 mail.otter-quay.example ESMTP")
	for {
		line, err := r.ReadString('\n')
		if err != nil {
			return
		}
		line = strings.TrimRight(line, "\r\n")
		s.mu.Lock()
		if !secret {
			s.clear = append(s.clear, line)
		}
		s.mu.Unlock()
		verb, rest, _ := strings.Cut(line, " ")
		switch strings.ToUpper(verb) {
		case "EHLO", "HELO":
			for _, o := range s.extensions(secret) {
				say("250-" + o)
			}
			say("250 8BITMIME")
		case "STARTTLS":
			say("220 go on")
			under := tls.Server(c, s.config)
			if under.Handshake() != nil {
				return
			}
			c, r, secret = under, bufio.NewReader(under), true
		case "AUTH":
			s.signIn(rest)
			say("235 signed in")
		case "MAIL":
			s.note(func() { s.from = rest })
			say("250 ok")
		case "RCPT":
			if s.refuses != "" {
				say(s.refuses)
				continue
			}
			s.note(func() { s.to = append(s.to, rest) })
			say("250 ok")
		case "DATA":
			say("354 go on")
			s.take(r, secret)
			say("250 taken")
		case "QUIT":
			say("221 bye")
			return
		default:
			say("250 ok")
		}
	}
}

func (s *mailServer) extensions(secret bool) []string {
	out := []string{"mail.otter-quay.example"}
	if !secret && !s.noTLS {
		out = append(out, "STARTTLS")
	}
	return append(out, s.offers...)
}

func (s *mailServer) note(f func()) {
	s.mu.Lock()
	defer s.mu.Unlock()
	f()
}

func (s *mailServer) signIn(rest string) {
	_, code, _ := strings.Cut(rest, " ")
	data, _ := base64.StdEncoding.DecodeString(code)
	parts := strings.Split(string(data), "\x00")
	s.note(func() { s.auth = strings.Join(parts[min(1, len(parts)):], "/") })
}

func (s *mailServer) take(r *bufio.Reader, secret bool) {
	var b strings.Builder
	for {
		line, err := r.ReadString('\n')
		if err != nil || line == ".\r\n" {
			break
		}
		b.WriteString(line)
	}
	s.note(func() { s.message, s.secret = b.String(), secret })
}

// certificate makes one for this computer, of which the pool vouches.
func certificate(t *testing.T) (*tls.Config, *x509.CertPool) {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	require.NoError(t, err)
	template := &x509.Certificate{
		SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: "otter-quay.example"}, IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)},
		NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour), IsCA: true, BasicConstraintsValid: true,
		KeyUsage: x509.KeyUsageDigitalSignature | x509.KeyUsageCertSign, ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
	}
	der, err := x509.CreateCertificate(rand.Reader, template, template, &key.PublicKey, key)
	require.NoError(t, err)
	cert, err := x509.ParseCertificate(der)
	require.NoError(t, err)
	pool := x509.NewCertPool()
	pool.AddCert(cert)
	return &tls.Config{Certificates: []tls.Certificate{{Certificate: [][]byte{der}, PrivateKey: key}}, MinVersion: tls.VersionTLS12}, pool
}
