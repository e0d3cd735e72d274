package web

import (
	"container/list"
	"context"
	"net"
	"net/http"
	"sync"
	"time"
)

// MostConns is how many connections are open at once.
const MostConns = 512

// conns sees to it that no number of idle or slow connections keeps others out: when
// there are too many, the oldest that waits for its client is closed to make room.
// One whose request is being answered is closed only where all are, and only when it
// has been so for long.
type conns struct {
	most int
	now  func() time.Time

	mu      sync.Mutex
	by      map[net.Conn]*conn
	waiting *list.List // for the client, the oldest first
	working *list.List // a request has been read, the oldest first
	evicted uint64
}

// conn is one connection.
type conn struct {
	c     net.Conn
	in    *list.List
	at    *list.Element
	since time.Time
}

// workLong is how long a request may take before its connection may be closed to
// make room.
const workLong = 10 * time.Second

func newConns(most int, now func() time.Time) *conns {
	return &conns{most: most, now: now, by: map[net.Conn]*conn{}, waiting: list.New(), working: list.New()}
}

type connKey struct{}

// context remembers with every request on which connection it came.
func (cs *conns) context(ctx context.Context, c net.Conn) context.Context {
	return context.WithValue(ctx, connKey{}, c)
}

// state is told by http.Server what becomes of a connection.
func (cs *conns) state(c net.Conn, s http.ConnState) {
	switch s {
	case http.StateNew:
		cs.add(c)
	case http.StateIdle:
		cs.move(c, cs.waiting)
	case http.StateClosed, http.StateHijacked:
		cs.remove(c)
	}
}

// handler notes that a request has been read and is being answered.
func (cs *conns) handler(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if c, ok := r.Context().Value(connKey{}).(net.Conn); ok {
			cs.move(c, cs.working)
		}
		next.ServeHTTP(w, r)
	})
}

func (cs *conns) add(c net.Conn) {
	cs.mu.Lock()
	defer cs.mu.Unlock()
	for len(cs.by) >= cs.most && cs.evict() {
	}
	x := &conn{c: c, in: cs.waiting, since: cs.now()}
	x.at = cs.waiting.PushBack(x)
	cs.by[c] = x
}

// evict closes a connection to make room, if there is one to be closed. The caller
// has the lock.
func (cs *conns) evict() bool {
	old := cs.waiting.Front()
	if old == nil {
		if old = cs.working.Front(); old == nil || cs.now().Sub(old.Value.(*conn).since) < workLong {
			return false // all are busy, and none for long: one more does no harm
		}
	}
	x := old.Value.(*conn)
	cs.drop(x)
	cs.evicted++
	_ = x.c.Close() // its goroutine notices, and nobody is to be told
	return true
}

func (cs *conns) move(c net.Conn, to *list.List) {
	cs.mu.Lock()
	defer cs.mu.Unlock()
	x := cs.by[c]
	if x == nil {
		return
	}
	x.in.Remove(x.at)
	x.in, x.at, x.since = to, to.PushBack(x), cs.now()
}

func (cs *conns) remove(c net.Conn) {
	cs.mu.Lock()
	defer cs.mu.Unlock()
	if x := cs.by[c]; x != nil {
		cs.drop(x)
	}
}

// drop forgets a connection. The caller has the lock.
func (cs *conns) drop(x *conn) {
	x.in.Remove(x.at)
	delete(cs.by, x.c)
}

// count tells how many connections are open and how many were closed to make room.
func (cs *conns) count() (open int, evicted uint64) {
	cs.mu.Lock()
	defer cs.mu.Unlock()
	return len(cs.by), cs.evicted
}
