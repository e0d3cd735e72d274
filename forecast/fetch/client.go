package fetch

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"strings"
	"time"
	"unicode"
)

// Config is how a [Client] behaves. The zero value of a field is its default;
// only Now must be given.
type Config struct {
	Version   string        // of the program, for its identification; "" becomes "dev"
	Contact   string        // e-mail address or web page of the operator; "" if unknown
	Timeout   time.Duration // for one Get with all its tries and waits; default 20 s
	Tries     int           // how often a service is asked at most; default 3
	Wait      time.Duration // before the second try, doubled before each further one; default 0.5 s
	MaxWait   time.Duration // longest wait that a service may ask for; beyond it Get gives up; default 10 s
	Limit     int           // bytes of a reply after decompression; default 32 MiB
	PerSecond float64       // requests a second; default 2
	Burst     int           // requests that may go at once; default 4
	Cache     Cache         // nil: nothing is kept
	Shared    Shared        // nil: the rate and what is known of failing services are this client's alone
	// Asking is told the service's name whenever one is asked; nil is nobody.
	Asking    func(service string)
	Now       func() time.Time  // the time of day; required
	Transport http.RoundTripper // nil: the network; tests give their own
}

// Client asks services. It is safe for use by several goroutines.
type Client struct {
	cfg    Config
	wire   wire
	shared Shared
}

// New makes a client. It is an error to leave out the clock, to give a contact
// that does not fit into a header, or a transport that skips the check of
// certificates.
func New(cfg Config) (*Client, error) {
	if cfg.Now == nil {
		return nil, errors.New("fetch: a client needs a clock")
	}
	if strings.ContainsFunc(cfg.Contact+cfg.Version, notInHeader) {
		return nil, fmt.Errorf("fetch: contact %q and version %q must be plain text on one line", cfg.Contact, cfg.Version)
	}
	cfg = cfg.withDefaults()
	if err := trusted(cfg.Transport); err != nil {
		return nil, err
	}
	c := &Client{cfg: cfg, wire: newWire(cfg), shared: cfg.Shared}
	if c.shared == nil {
		c.shared = &own{}
	}
	return c, nil
}

// Contact is the operator's address that goes out with every request, "" if
// none is set.
func (c *Client) Contact() string { return c.cfg.Contact }

// Identification is the User-Agent that goes out with every request.
func (c *Client) Identification() string { return identification(c.cfg) }

func identification(cfg Config) string {
	if cfg.Contact == "" {
		return "dewgap/" + cfg.Version
	}
	return fmt.Sprintf("dewgap/%s (%s)", cfg.Version, cfg.Contact)
}

func notInHeader(r rune) bool { return r > unicode.MaxASCII || !unicode.IsPrint(r) }

// orElse is v, or the default where v is not positive.
func orElse[T int | float64 | time.Duration](v, otherwise T) T {
	if v <= 0 {
		return otherwise
	}
	return v
}

func (cfg Config) withDefaults() Config {
	if cfg.Version == "" {
		cfg.Version = "dev"
	}
	cfg.Timeout = orElse(cfg.Timeout, 20*time.Second)
	cfg.Tries = orElse(cfg.Tries, 3)
	cfg.Wait = orElse(cfg.Wait, 500*time.Millisecond)
	cfg.MaxWait = orElse(cfg.MaxWait, 10*time.Second)
	cfg.Limit = orElse(cfg.Limit, 32<<20)
	cfg.PerSecond = orElse(cfg.PerSecond, 2)
	cfg.Burst = orElse(cfg.Burst, 4)
	if cfg.Transport == nil {
		cfg.Transport = newTransport()
	}
	return cfg
}

// Get answers a request from the copy, the service, or the copy again; see the
// package comment for the order. The error is always an [*Error].
func (c *Client) Get(ctx context.Context, r Request) (*Result, error) {
	var res Result
	old := c.recall(r, &res)
	if old != nil && !r.Anew && old.fresh(c.cfg.Now()) {
		res.from(*old, c.cfg.Now())
		return &res, nil
	}
	got, err := c.guarded(ctx, r, old, &res)
	if err == nil {
		c.save(r, got, &res)
		res.Age = max(0, c.cfg.Now().Sub(got.Fetched))
		return &res, nil
	}
	if old == nil || err.Kind == Cancelled {
		return nil, err
	}
	res.from(*old, c.cfg.Now())
	res.Stale, res.Cause = true, err
	return &res, nil
}

// guarded asks, unless the service is in such trouble that it is left alone.
func (c *Client) guarded(ctx context.Context, r Request, old *Entry, res *Result) (Entry, *Error) {
	host, bad := r.host()
	if bad != nil {
		return Entry{}, &Error{Service: r.Service, Kind: BadRequest, Reason: bad.Error(), Err: bad,
			Fix: "mend the service's address in the settings"}
	}
	if e := c.admit(r, host); e != nil {
		return Entry{}, e
	}
	if c.cfg.Asking != nil {
		c.cfg.Asking(r.Service)
	}
	got, e := c.ask(ctx, r, host, old, res)
	c.settle(r, host, e)
	return got, e
}

// Saved is the saved copy, whatever its age, without asking anybody; ok is false
// where there is none that passes the caller's check.
func (c *Client) Saved(r Request) (res *Result, ok bool) {
	res = &Result{}
	old := c.recall(r, res)
	if old == nil {
		return nil, false
	}
	res.from(*old, c.cfg.Now())
	res.Stale = !old.fresh(c.cfg.Now())
	return res, true
}

// recall gives the saved copy if there is one that passes the caller's check.
func (c *Client) recall(r Request, res *Result) *Entry {
	if c.cfg.Cache == nil {
		return nil
	}
	e, ok, err := c.cfg.Cache.Get(r.key())
	if err != nil {
		res.warn("the saved reply of %s could not be read: %v", r.Service, err)
	}
	if !ok || len(e.Body) == 0 {
		return nil
	}
	if err := r.check(e.Body); err != nil {
		res.warn("the saved reply of %s is no longer usable: %v", r.Service, err)
		return nil
	}
	return &e
}

// save keeps what was received; not being able to is worth a warning only.
func (c *Client) save(r Request, e Entry, res *Result) {
	if c.cfg.Cache == nil {
		return
	}
	if err := c.cfg.Cache.Put(r.key(), e); err != nil {
		res.warn("the reply of %s could not be saved for use offline: %v", r.Service, err)
	}
}
