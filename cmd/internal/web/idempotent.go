package web

import (
	"bytes"
	"crypto/sha256"
	"io"
	"maps"
	"net/http"
	"strings"
	"sync"
	"time"
)

// Limits of what is remembered of writes.
const (
	onceFor      = 24 * time.Hour
	mostOnce     = 2000
	mostOnceSize = 16 << 20 // bytes of answers together
	longestOnce  = 200      // bytes of an Idempotency-Key
)

// idempotent answers a write that is sent again, because the first answer got lost on
// its way, with that first answer and does not do it twice. A write is known by its
// Idempotency-Key, or, where the client chose its name, by its address (PUT).
//
// It remembers a day, in memory. A reading sent again after a restart is known by
// what it says, see desk.AddReadings.
type idempotent struct {
	now func() time.Time

	mu   sync.Mutex
	by   map[string]*write
	size int
}

// write is a write and its answer.
type write struct {
	asked [sha256.Size]byte
	at    time.Time
	done  chan struct{}
	given *recorder // nil while it is under way, or where it may be tried again
}

func newIdempotent(now func() time.Time) *idempotent {
	return &idempotent{now: now, by: map[string]*write{}}
}

// handler does it for what the API writes.
func (o *idempotent) handler(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		key := r.Header.Get("Idempotency-Key")
		switch {
		case len(key) > longestOnce:
			problem(w, r, http.StatusBadRequest, "the Idempotency-Key is too long", "take a random name of at most 200 bytes")
			return
		case r.Method == http.MethodPost && key != "":
		case r.Method == http.MethodPut && strings.Contains(r.URL.Path, "/readings/"):
			key = ""
		default:
			next.ServeHTTP(w, r)
			return
		}
		body, err := io.ReadAll(r.Body)
		if err != nil {
			problem(w, r, http.StatusRequestEntityTooLarge, "the request cannot be read: "+err.Error(), "send less, or send it again")
			return
		}
		r.Body = io.NopCloser(bytes.NewReader(body))
		o.do(r.Method+" "+r.URL.Path+" "+key, sha256.Sum256(body), next, w, r)
	})
}

// do does a write once.
func (o *idempotent) do(key string, asked [sha256.Size]byte, next http.Handler, w http.ResponseWriter, r *http.Request) {
	for {
		x, mine := o.find(key, asked)
		switch {
		case x.asked != asked:
			problem(w, r, http.StatusConflict, "another request had this name", "take a new Idempotency-Key, or another id in the address")
			return
		case mine:
			o.first(key, x, next, w, r)
			return
		}
		select {
		case <-x.done:
		case <-r.Context().Done(): // nothing is known of the first: an empty answer would say that it was done
			p := newProblem(http.StatusServiceUnavailable, "the first request of this name is still under way", "send it again in a few seconds")
			p.after = 5
			writeProblem(w, r, p)
			return
		}
		if x.given != nil {
			w.Header().Set("Idempotent-Replayed", "true")
			x.given.copyTo(w)
			return
		}
	}
}

// first does a write and remembers its answer, unless it may be tried again.
func (o *idempotent) first(key string, x *write, next http.Handler, w http.ResponseWriter, r *http.Request) {
	made := &recorder{header: http.Header{}, status: http.StatusOK}
	var given *recorder
	defer func() {
		o.mu.Lock()
		if x.given = given; given == nil {
			delete(o.by, key)
		} else {
			o.size += given.body.Len()
		}
		o.mu.Unlock()
		close(x.done)
	}()
	next.ServeHTTP(made, r)
	if made.status < http.StatusBadRequest { // what was refused may be mended and sent again
		given = made
	}
	made.copyTo(w)
}

// find gives the write of a name; mine is that the caller has to do it.
func (o *idempotent) find(key string, asked [sha256.Size]byte) (x *write, mine bool) {
	o.mu.Lock()
	defer o.mu.Unlock()
	now := o.now()
	if x = o.by[key]; x != nil && now.Sub(x.at) < onceFor {
		return x, false
	}
	if len(o.by) >= mostOnce || o.size > mostOnceSize {
		o.forget(now)
	}
	x = &write{asked: asked, at: now, done: make(chan struct{})}
	o.by[key] = x
	return x, true
}

// forget lets go of the older half of what is remembered.
func (o *idempotent) forget(now time.Time) {
	oldest := now
	for _, x := range o.by {
		if x.at.Before(oldest) {
			oldest = x.at
		}
	}
	middle := oldest.Add(now.Sub(oldest) / 2)
	o.size = 0
	for key, x := range o.by {
		if x.given != nil && !x.at.After(middle) {
			delete(o.by, key)
		} else if x.given != nil {
			o.size += x.given.body.Len()
		}
	}
}

// copyTo gives an answer that was taken down.
func (c *recorder) copyTo(w http.ResponseWriter) {
	maps.Copy(w.Header(), c.header)
	w.WriteHeader(c.status)
	_, _ = w.Write(c.body.Bytes()) // the client may have gone
}
