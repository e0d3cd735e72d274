package fetch

import (
	"context"
	"errors"
	"net/http"
	"time"

	"github.com/go-resty/resty/v2"
	"golang.org/x/time/rate"
)

// wire is the only place that knows resty, which sends, repeats, waits and
// limits the size of a reply. What is worth repeating and how long to wait is
// decided in call, for resty by itself ignores Retry-After, waits by chance and
// repeats after a spent deadline.
type wire struct{ client *resty.Client }

// reply is what came back of one try; the zero reply is none.
type reply struct {
	status int
	header http.Header
	body   []byte // decompressed
	tries  int    // so far
}

// errTooLarge is a body beyond the limit.
var errTooLarge = errors.New("more than the allowed size after decompression")

// errGiveUp ends the tries; the last reply is then judged as it stands.
var errGiveUp = errors.New("fetch: not worth another try")

func newWire(cfg Config) wire {
	limiter := rate.NewLimiter(rate.Limit(cfg.PerSecond), cfg.Burst)
	together := pace{cfg.Shared, time.Duration(float64(time.Second) / cfg.PerSecond), cfg.Burst}
	r := resty.NewWithClient(&http.Client{Transport: paced{cfg.Transport, limiter, together}})
	r.SetLogger(silent{})
	r.SetRedirectPolicy(resty.RedirectPolicyFunc(follow))
	r.SetResponseBodyLimit(cfg.Limit)
	r.SetHeader("User-Agent", identification(cfg))
	r.SetRetryCount(cfg.Tries - 1)
	r.SetRetryWaitTime(1)            // nothing below what call decides
	r.SetRetryMaxWaitTime(1<<63 - 1) // nothing above it
	r.SetRetryAfter(beforeNextTry)
	return wire{r}
}

// callKey finds the call in beforeNextTry, which is set once per client.
type callKey struct{}

// send asks until the call has what it wants or gives up. The error is that of
// the last try, nil if it brought a whole reply.
func (w wire) send(ctx context.Context, k *call, headers map[string]string) (reply, error) {
	resp, err := w.client.R().
		SetContext(context.WithValue(ctx, callKey{}, k)).
		SetHeaders(headers).
		AddRetryCondition(func(resp *resty.Response, err error) bool {
			return resp != nil && k.worthAnother(outcome(resp, err))
		}).
		Get(k.target())
	return outcome(resp, err)
}

// outcome puts a try into our own terms.
func outcome(resp *resty.Response, err error) (reply, error) {
	var r reply
	if resp != nil {
		r = reply{resp.StatusCode(), resp.Header(), resp.Body(), resp.Request.Attempt}
	}
	switch {
	case errors.Is(err, errGiveUp):
		return r, nil
	case errors.Is(err, resty.ErrResponseBodyTooLarge):
		return r, errTooLarge
	}
	return r, err
}

// beforeNextTry is resty's hook: how long to wait, or errGiveUp.
func beforeNextTry(_ *resty.Client, resp *resty.Response) (time.Duration, error) {
	ctx := resp.Request.Context()
	k, ok := ctx.Value(callKey{}).(*call)
	if !ok {
		return 0, errGiveUp
	}
	deadline, _ := ctx.Deadline()
	wait := k.pause(resp.Request.Attempt)
	if wait > k.maxWait || wait >= time.Until(deadline) {
		return 0, errGiveUp
	}
	return wait, nil
}

// silent keeps resty from writing to standard error.
type silent struct{}

func (silent) Errorf(string, ...any) {}
func (silent) Warnf(string, ...any)  {}
func (silent) Debugf(string, ...any) {}
