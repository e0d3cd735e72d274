package fetch

import (
	"context"
	"errors"
	"fmt"
	"net/http"

	"golang.org/x/time/rate"
)

// paced holds every request, repeats and redirects included, until the
// limiter lets it go.
type paced struct {
	next    http.RoundTripper
	limiter *rate.Limiter // of this process
	pace    pace          // of all processes
}

// errNoTurn is a turn that comes too late, which is a spent deadline.
var errNoTurn = fmt.Errorf("no turn at the allowed rate before the deadline: %w", context.DeadlineExceeded)

// RoundTrip waits for its turn and sends. A turn that comes after the deadline
// is a spent deadline, and is reported at once.
func (p paced) RoundTrip(r *http.Request) (*http.Response, error) {
	ctx := r.Context()
	if err := p.limiter.Wait(ctx); err != nil {
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		return nil, errNoTurn
	}
	if err := p.pace.wait(ctx, r.URL.Host); err != nil {
		return nil, err
	}
	return p.next.RoundTrip(r)
}

// newTransport is the connection to the network: proxies from the environment,
// certificates always checked, compressed replies unpacked on the way.
func newTransport() http.RoundTripper {
	t := http.DefaultTransport.(*http.Transport).Clone()
	t.MaxResponseHeaderBytes = 64 << 10
	return t
}

// trusted refuses a transport that would take any certificate.
func trusted(rt http.RoundTripper) error {
	t, ok := rt.(*http.Transport)
	if ok && t.TLSClientConfig != nil && t.TLSClientConfig.InsecureSkipVerify {
		return errors.New("fetch: a transport that does not verify certificates is not accepted")
	}
	return nil
}

// redirectError is a redirect that is not followed.
type redirectError struct{ reason string }

func (e *redirectError) Error() string { return e.reason }

// follow decides about a redirect: at most five, never from https to http, and
// to another host only by https. The address left behind is not told on, for
// it may hold a key.
func follow(next *http.Request, via []*http.Request) error {
	const most = 5
	from := via[len(via)-1].URL
	to := next.URL
	next.Header.Del("Referer")
	switch {
	case len(via) > most:
		return &redirectError{fmt.Sprintf("more than %d redirects", most)}
	case to.Scheme == "https":
		return nil
	case to.Scheme != "http":
		return &redirectError{fmt.Sprintf("redirect to %q, which is no web address", to.Scheme+":")}
	case from.Scheme == "https":
		return &redirectError{"redirect from https to http"}
	case to.Host != from.Host:
		return &redirectError{fmt.Sprintf("redirect to another host (%s) without https", to.Host)}
	}
	return nil
}
