package web

import (
	"bytes"
	"context"
	"maps"
	"net/http"
	"strings"
	"sync"
	"sync/atomic"

	"dewgap/cmd/internal/web/desk"
)

// Limits of the kept pages.
const (
	mostPages     = 512
	mostPageBytes = 12 << 20 // and a fifth more, packed; the collector may let it double
	longestKey    = 2048
)

// pages keeps rendered pages until anything changes that a page may tell, so that
// many readers of the same week cost one rendering. A page is kept by its address and
// by what else it may depend on: the cookies besides the session's, and the headers
// that the pages look at. Pages made from an answer of an earlier slot are not kept.
type pages struct {
	next     http.Handler
	revision func() string
	had      func(had string)

	mu   sync.Mutex
	at   string // the revision of all that is kept
	by   map[string]*page
	size int
}

// page is one kept page, or one in the making.
type page struct {
	done   chan struct{}
	body   *desk.Body // nil: not to be kept
	header http.Header
	route  string
}

type staleKey struct{}

// Unsettled notes that what is being answered was made from something that is about
// to be replaced, so that the page is not kept. ctx is that of the request.
func Unsettled(ctx context.Context) {
	if stale, ok := ctx.Value(staleKey{}).(*atomic.Bool); ok {
		stale.Store(true)
	}
}

// ServeHTTP gives the kept page, or has it made and keeps it.
func (p *pages) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	key, ok := pageKey(r)
	if !ok {
		p.next.ServeHTTP(w, r)
		return
	}
	kept, mine := p.find(key)
	if !mine {
		select {
		case <-kept.done:
		case <-r.Context().Done():
		}
		if kept.ready() {
			p.had("hit")
			kept.serve(w, r)
			return
		}
		p.next.ServeHTTP(w, r) // it was not one to keep
		return
	}
	p.had("miss")
	p.fill(key, kept, w, r)
}

// ready reports whether the page is there; false while it is in the making, too.
func (k *page) ready() bool {
	select {
	case <-k.done:
		return k.body != nil
	default:
		return false
	}
}

func (k *page) serve(w http.ResponseWriter, r *http.Request) {
	if note, ok := r.Context().Value(seenKey{}).(*seen); ok {
		note.route = k.route
	}
	maps.Copy(w.Header(), k.header)
	k.body.Serve(w, r, k.header.Get("Content-Type"))
}

// find gives the page of a key; mine is that the caller has to make it.
func (p *pages) find(key string) (kept *page, mine bool) {
	at := p.revision()
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.at != at || len(p.by) >= mostPages || p.size > mostPageBytes {
		p.at, p.by, p.size = at, map[string]*page{}, 0
	}
	if kept = p.by[key]; kept != nil {
		return kept, false
	}
	kept = &page{done: make(chan struct{})}
	p.by[key] = kept
	return kept, true
}

// fill makes a page, serves it, and keeps it if it may be kept.
func (p *pages) fill(key string, kept *page, w http.ResponseWriter, r *http.Request) {
	var stale atomic.Bool
	made := &recorder{header: http.Header{}, status: http.StatusOK}
	finished := false
	defer func() {
		if !finished {
			p.drop(key, kept)
		}
		close(kept.done)
	}()
	p.next.ServeHTTP(made, whole(r, &stale))
	body := desk.NewBody(made.body.Bytes())
	keep := made.status == http.StatusOK && !stale.Load() && r.Context().Err() == nil && made.header.Get("Set-Cookie") == "" &&
		made.header.Get("Content-Encoding") == "" && !strings.Contains(made.header.Get("Cache-Control"), "no-store")
	if keep {
		p.mu.Lock()
		if p.by[key] == kept {
			p.size += len(body.Bytes)
		}
		p.mu.Unlock()
		made.header.Del("Content-Length")
		kept.body, kept.header = body, made.header
		if note, ok := r.Context().Value(seenKey{}).(*seen); ok {
			kept.route = note.route
		}
		finished = true
		kept.serve(w, r)
		return
	}
	maps.Copy(w.Header(), made.header)
	if made.status == http.StatusOK && made.header.Get("Content-Encoding") == "" {
		body.Serve(w, r, made.header.Get("Content-Type"))
		return
	}
	w.WriteHeader(made.status)
	_, _ = w.Write(body.Bytes) // the client may have gone
}

// whole is a request for all of a page, whatever the client has of it.
func whole(r *http.Request, stale *atomic.Bool) *http.Request {
	out := r.Clone(context.WithValue(r.Context(), staleKey{}, stale))
	out.Method = http.MethodGet
	out.Header.Del("If-None-Match")
	out.Header.Del("If-Modified-Since")
	out.Header.Del("Accept-Encoding")
	return out
}

// drop lets go of a page that is not to be kept.
func (p *pages) drop(key string, kept *page) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.by[key] == kept {
		delete(p.by, key)
	}
}

// pageKey is what a page depends on; not ok is a request whose answer is not kept.
func pageKey(r *http.Request) (key string, ok bool) {
	if r.Method != http.MethodGet && r.Method != http.MethodHead || r.Header.Get("Range") != "" {
		return "", false
	}
	var k strings.Builder
	k.WriteString(r.URL.Path)
	k.WriteByte('?')
	k.WriteString(r.URL.RawQuery)
	for _, c := range r.Cookies() {
		if c.Name != cookieName && c.Name != secureCookieName {
			k.WriteString("\x00" + c.Name + "=" + c.Value)
		}
	}
	for _, name := range []string{"Accept-Language", "X-Requested-With"} {
		k.WriteString("\x00" + r.Header.Get(name))
	}
	return k.String(), k.Len() <= longestKey
}

// recorder takes an answer down.
type recorder struct {
	header http.Header
	status int
	wrote  bool
	body   bytes.Buffer
}

// Header is the answer's.
func (c *recorder) Header() http.Header { return c.header }

// WriteHeader notes the status.
func (c *recorder) WriteHeader(status int) {
	if !c.wrote {
		c.status, c.wrote = status, true
	}
}

// Write takes the bytes down.
func (c *recorder) Write(data []byte) (int, error) {
	c.wrote = true
	return c.body.Write(data)
}
