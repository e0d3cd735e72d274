package web

import (
	"math"
	"net"
	"net/http"
	"net/netip"
	"strings"
	"sync"
	"time"

	"golang.org/x/time/rate"
)

// Limits of guessing at tokens.
const (
	triesAtOnce = 5                // wrong tries of one address before it has to wait
	tryEvery    = 12 * time.Second // and how long for each more
	allAtOnce   = 50               // wrong tries of all addresses together
	allEvery    = time.Second
	mostGuesses = 4096 // addresses that are remembered
)

// guesses limits how often wrong tokens may be tried, by one address and by all
// together. The limit of all holds only for addresses that were wrong before, so that
// nobody can lock others out.
type guesses struct {
	now func() time.Time

	mu  sync.Mutex
	by  map[netip.Prefix]*rate.Limiter
	all *rate.Limiter
}

func newGuesses(now func() time.Time) *guesses {
	return &guesses{now: now, by: map[netip.Prefix]*rate.Limiter{}, all: rate.NewLimiter(rate.Every(allEvery), allAtOnce)}
}

// wait is how long an address has to wait before its next try is looked at.
func (g *guesses) wait(from netip.Prefix) time.Duration {
	g.mu.Lock()
	defer g.mu.Unlock()
	one, wrongBefore := g.by[from]
	if !wrongBefore {
		return 0
	}
	now := g.now()
	return max(until(one, now), until(g.all, now))
}

// until is when a limiter has a whole try left.
func until(l *rate.Limiter, now time.Time) time.Duration {
	missing := 1 - l.TokensAt(now)
	if missing <= 0 {
		return 0
	}
	return time.Duration(math.Ceil(missing/float64(l.Limit()))) * time.Second
}

// wrong notes a wrong try.
func (g *guesses) wrong(from netip.Prefix) {
	g.mu.Lock()
	defer g.mu.Unlock()
	now := g.now()
	one := g.by[from]
	if one == nil {
		if len(g.by) >= mostGuesses {
			g.forget(now)
		}
		one = rate.NewLimiter(rate.Every(tryEvery), triesAtOnce)
		g.by[from] = one
	}
	one.AllowN(now, 1)
	g.all.AllowN(now, 1)
}

// right forgets the wrong tries of who knows the token.
func (g *guesses) right(from netip.Prefix) {
	g.mu.Lock()
	defer g.mu.Unlock()
	delete(g.by, from)
}

// forget lets go of addresses that have all their tries again, else of any one.
func (g *guesses) forget(now time.Time) {
	for from, l := range g.by {
		if l.TokensAt(now) >= triesAtOnce {
			delete(g.by, from)
		}
	}
	for from := range g.by {
		if len(g.by) < mostGuesses {
			return
		}
		delete(g.by, from)
	}
}

// addressOf is who asks: the address of the connection or, where a proxy on this
// computer stands before us, the one that it was asked from. Of IPv6 it is the
// network, for whoever has one address there has them all.
func (s *Server) addressOf(r *http.Request) netip.Prefix {
	ip := peer(r.RemoteAddr)
	if s.cfg.PublicURL != "" && ip.IsLoopback() {
		list := r.Header.Values("X-Forwarded-For")
		if len(list) > 0 {
			last := list[len(list)-1] // the proxy's own word; what stands before it may be anybody's
			if i := strings.LastIndex(last, ","); i >= 0 {
				last = last[i+1:]
			}
			if told, err := netip.ParseAddr(strings.TrimSpace(last)); err == nil {
				ip = told.Unmap()
			}
		}
	}
	bits := ip.BitLen()
	if ip.Is6() {
		bits = 64
	}
	p, _ := ip.WithZone("").Prefix(bits) // the zero Prefix for no address
	return p
}

func peer(remote string) netip.Addr {
	host, _, err := net.SplitHostPort(remote)
	if err != nil {
		return netip.Addr{}
	}
	ip, err := netip.ParseAddr(host)
	if err != nil {
		return netip.Addr{}
	}
	return ip.Unmap()
}
