package app

import (
	"context"
	"strings"
	"sync"
	"time"

	"dewgap/forecast"
	"dewgap/forecast/fetch"
)

// Paced is Live that knows until when the service does not want to be asked again.
// The zero time in Again means that nobody said. It is used by one job at a time.
type Paced struct {
	Live
	Again time.Time // of the last forecast
}

// Forecast asks the source as Live does.
func (p *Paced) Forecast(ctx context.Context, q Query) (*forecast.Forecast, error) {
	p.Again = time.Time{}
	seen := &seenExpiries{by: map[string]time.Time{}}
	live := p.Live
	live.Adjust = func(c *fetch.Config) {
		if p.Adjust != nil {
			p.Adjust(c)
		}
		if c.Cache != nil {
			seen.Cache, c.Cache = c.Cache, seen
		}
	}
	f, err := live.Forecast(ctx, q)
	if err != nil {
		return nil, err
	}
	p.Again = seen.first()
	return f, nil
}

// seenExpiries is a cache that notes the expiry of what went in and out of it.
type seenExpiries struct {
	fetch.Cache
	mu sync.Mutex
	by map[string]time.Time // by the entry's key
}

// Get notes what it gives.
func (s *seenExpiries) Get(key string) (fetch.Entry, bool, error) {
	e, ok, err := s.Cache.Get(key)
	if ok {
		s.note(key, e.Expires)
	}
	return e, ok, err
}

// Put notes what it is given.
func (s *seenExpiries) Put(key string, e fetch.Entry) error {
	s.note(key, e.Expires)
	return s.Cache.Put(key, e)
}

func (s *seenExpiries) note(key string, t time.Time) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.by[key] = t
}

// first is the earliest expiry, zero where there is none. That of alerts does not
// count: they expire every few minutes, and the forecast is what is waited for.
func (s *seenExpiries) first() time.Time {
	s.mu.Lock()
	defer s.mu.Unlock()
	var out time.Time
	for key, t := range s.by {
		if strings.Contains(key, "/alerts/") {
			continue
		}
		if !t.IsZero() && (out.IsZero() || t.Before(out)) {
			out = t
		}
	}
	return out
}
