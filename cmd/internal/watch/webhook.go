package watch

import (
	"bytes"
	"context"
	"crypto/hmac"
	"crypto/sha256"
	"crypto/tls"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/url"
	"strconv"
	"time"

	"dewgap/cmd/internal/answer"
)

// The headers of what is sent to a webhook.
const (
	// HeaderTimestamp is when it was sent, in whole seconds since 1970.
	HeaderTimestamp = "Dewgap-Timestamp"
	// HeaderSignature is "v1=" and the HMAC-SHA-256 in hex, under the secret, of the
	// timestamp as it stands in its header, a full stop, and the body.
	HeaderSignature = "Dewgap-Signature"
	// HeaderDelivery is the same for every try of one message.
	HeaderDelivery = "Dewgap-Delivery"
	// HeaderKind is the kind of news.
	HeaderKind = "Dewgap-Kind"
)

// Webhook posts the news as JSON to an address, signed. It follows no redirects, uses
// no proxy, and dials nothing but the public network unless Private allows it.
type Webhook struct {
	URL     string
	Secret  string
	Private bool
	Version string           // of the program
	Now     func() time.Time // time of day
	// Wait is before the second try, doubled before each further one; 0: one second.
	Wait time.Duration
	// TLS is for tests; nil is the system's.
	TLS *tls.Config
}

// tries is how often a message is sent at most.
const tries = 3

// Name is the host, for the rest of the address may be a secret.
func (h *Webhook) Name() string { return "webhook " + h.host() }

func (h *Webhook) host() string {
	u, err := url.Parse(h.URL)
	if err != nil {
		return "of no address"
	}
	return u.Host
}

// Sign gives the value of HeaderSignature. Who receives it computes the same, compares
// in constant time, and refuses timestamps that are minutes off.
func Sign(secret string, timestamp int64, body []byte) string {
	m := hmac.New(sha256.New, []byte(secret))
	_, _ = m.Write([]byte(strconv.FormatInt(timestamp, 10) + ".")) // a hash takes everything
	_, _ = m.Write(body)
	return "v1=" + hex.EncodeToString(m.Sum(nil))
}

// Tell posts the news, and again where it may help.
func (h *Webhook) Tell(ctx context.Context, n *answer.Watch) error {
	var body bytes.Buffer
	if err := answer.Write(&body, brief(n)); err != nil {
		return err
	}
	client := h.client()
	defer client.CloseIdleConnections()
	wait := h.Wait
	if wait <= 0 {
		wait = time.Second
	}
	for k := 1; ; k++ {
		again, err := h.post(ctx, client, n.Kind, body.Bytes())
		if err == nil || again < 0 || k == tries {
			return err
		}
		select {
		case <-ctx.Done():
			return err
		case <-time.After(max(wait, again)):
		}
		wait *= 2
	}
}

// client is an HTTP client of its own: none of its settings may leak in from outside.
func (h *Webhook) client() *http.Client {
	dialer := &net.Dialer{Timeout: 10 * time.Second}
	if !h.Private {
		dialer.Control = onlyPublic
	}
	config := &tls.Config{MinVersion: tls.VersionTLS12}
	if h.TLS != nil {
		config = h.TLS.Clone()
	}
	return &http.Client{
		Timeout:       30 * time.Second,
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse },
		Transport: &http.Transport{
			Proxy: nil, DialContext: dialer.DialContext, TLSClientConfig: config, TLSHandshakeTimeout: 10 * time.Second,
			ResponseHeaderTimeout: 20 * time.Second, DisableKeepAlives: true, MaxResponseHeaderBytes: 64 << 10,
		},
	}
}

// longestAsked is the longest wait that an answer may ask for.
const longestAsked = 30 * time.Second

// post sends the message once. again is how long to wait at least before it is sent
// once more, below 0 where that would not help.
func (h *Webhook) post(ctx context.Context, client *http.Client, kind string, body []byte) (again time.Duration, err error) {
	r, err := http.NewRequestWithContext(ctx, http.MethodPost, h.URL, bytes.NewReader(body))
	if err != nil {
		return -1, errors.New("its address is none") // which is not repeated, for it may hold a secret
	}
	at := h.Now().Unix()
	sum := sha256.Sum256(body)
	r.Header.Set("Content-Type", "application/json")
	r.Header.Set("User-Agent", "dewgap/"+h.Version)
	r.Header.Set(HeaderTimestamp, strconv.FormatInt(at, 10))
	r.Header.Set(HeaderSignature, Sign(h.Secret, at, body))
	r.Header.Set(HeaderDelivery, hex.EncodeToString(sum[:16]))
	r.Header.Set(HeaderKind, kind)
	answer, err := client.Do(r)
	if err != nil {
		return h.failed(ctx, err)
	}
	defer func() { _ = answer.Body.Close() }() // nothing of it is wanted
	_, _ = io.CopyN(io.Discard, answer.Body, 64<<10)
	switch code := answer.StatusCode; {
	case code >= 200 && code < 300:
		return 0, nil
	case code >= 300 && code < 400:
		return -1, fmt.Errorf("it answered %d, which leads elsewhere: give the address to which it leads", code)
	case code == http.StatusTooManyRequests || code == http.StatusRequestTimeout || code >= 500:
		return retryAfter(answer.Header.Get("Retry-After")), fmt.Errorf("it answered %d", code)
	default:
		return -1, fmt.Errorf("it answered %d: check address and secret", code)
	}
}

// failed words an error of the network without the address, which url.Error repeats.
func (h *Webhook) failed(ctx context.Context, err error) (time.Duration, error) {
	if e, ok := errors.AsType[*url.Error](err); ok {
		err = e.Err
	}
	if errors.Is(err, ErrPrivate) {
		return -1, fmt.Errorf("%w: set webhook.private if that is meant", ErrPrivate)
	}
	if ctx.Err() != nil {
		return -1, err
	}
	if _, ok := errors.AsType[*tls.CertificateVerificationError](err); ok {
		return -1, err
	}
	return 0, err
}

// retryAfter is how long an answer asks to wait, in seconds; 0 where it does not, below
// 0 where it asks for longer than that.
func retryAfter(text string) time.Duration {
	n, err := strconv.ParseUint(text, 10, 32)
	if err != nil {
		return 0
	}
	if d := time.Duration(n) * time.Second; d <= longestAsked {
		return d
	}
	return -1
}
