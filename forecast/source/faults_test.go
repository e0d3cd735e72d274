package source

import (
	"context"
	"maps"
	"strings"
	"testing"
	"time"

	"dewgap/forecast"
	"dewgap/forecast/fetch"
	"dewgap/forecast/fetch/fetchtest"
	"dewgap/forecast/metnorway"
	"dewgap/forecast/openmeteo"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// sufferer asks one service that is about to fail.
type sufferer struct {
	t     *testing.T
	fault fetchtest.Fault
	*fetchtest.Server
	now   time.Time
	cache liveCache
}

func newSufferer(t *testing.T, f fetchtest.Fault) *sufferer {
	s := &sufferer{t: t, fault: f, now: liveStart, cache: liveCache{}}
	if !f.Now.IsZero() {
		s.now = f.Now
	}
	s.Server = fetchtest.Serve(f.Good(fetchtest.OtterQuay(s.now)))
	t.Cleanup(func() { s.CloseClientConnections(); s.Close() })
	return s
}

// breaks lets the fault begin.
func (s *sufferer) breaks() { s.Break(s.fault, s.fault.Good(fetchtest.OtterQuay(s.now))) }

func (s *sufferer) fetch() (*forecast.Forecast, Info, error) {
	s.t.Helper()
	timeout := time.Minute
	if s.fault.Slow {
		timeout = 100 * time.Millisecond
	}
	c, err := fetch.New(fetch.Config{Contact: "harbour@otter-quay.example", Wait: time.Millisecond, PerSecond: 1e6, Tries: 2, Timeout: timeout,
		Limit: 4 << 20, Cache: s.cache, Now: func() time.Time { return s.now }})
	require.NoError(s.t, err)
	cfg := Config{Client: c, Name: OpenMeteo, OpenMeteo: openmeteo.Config{BaseURL: s.URL}, MetNorway: metnorway.Config{BaseURL: s.URL}}
	if s.fault.MetNorway {
		cfg.Name = MetNorway
	}
	return Fetch(context.Background(), cfg, Query{Place: liveQuay})
}

// TestFaultMatrix sends every fault by name, without and with a saved copy. What
// fails is an error with advice, or the copy with its age and the cause; what is
// damaged is never saved over what was good; what has holes says where.
func TestFaultMatrix(t *testing.T) {
	faults := fetchtest.Faults()
	require.GreaterOrEqual(t, len(faults), 24)
	for _, f := range faults {
		t.Run(f.Name, func(t *testing.T) {
			t.Parallel()
			withoutCopy(t, newSufferer(t, f))
			withCopy(t, newSufferer(t, f))
		})
	}
}

func withoutCopy(t *testing.T, s *sufferer) {
	s.breaks()
	start := time.Now()
	f, info, err := s.fetch()
	assert.Less(t, time.Since(start), 30*time.Second, "no hanging")
	if s.fault.Outcome == fetchtest.Fails {
		require.Error(t, err)
		assert.Nil(t, f)
		assert.Empty(t, s.cache, "nothing worth keeping")
		var e *fetch.Error
		require.ErrorAs(t, err, &e)
		assert.NotEmpty(t, e.Fix)
		assert.NotContains(t, err.Error(), "\n")
		return
	}
	require.NoError(t, err)
	assert.False(t, info.Stale)
	s.whole(f, s.fault.Name)
}

func withCopy(t *testing.T, s *sufferer) {
	f, _, err := s.fetch()
	require.NoError(t, err)
	s.whole(f, "")
	before := maps.Clone(s.cache)
	fetched := s.now
	s.now = s.now.Add(5 * time.Hour)
	s.breaks()
	f, info, err := s.fetch()
	require.NoError(t, err)
	if s.fault.Outcome != fetchtest.Fails {
		assert.False(t, info.Stale)
		assert.Equal(t, s.now, f.Fetched)
		return
	}
	assert.True(t, info.Stale)
	require.Error(t, info.Cause)
	assert.Equal(t, fetched, f.Fetched)
	assert.Contains(t, strings.Join(f.Warnings, "\n"), "a copy received 5 h ago, for no newer one could be had: ")
	assert.Equal(t, before, s.cache, "the good copy stays as it was")
	s.sane(f)

	if s.fault.Closed {
		return
	}
	s.Mend(s.fault.Good(fetchtest.OtterQuay(s.now)))
	s.now = s.now.Add(2 * time.Hour) // a service that asked to be left alone is
	f, info, err = s.fetch()
	require.NoError(t, err)
	assert.False(t, info.Stale, "and is renewed once the trouble is over")
	assert.Equal(t, s.now, f.Fetched)
}

// whole wants every hour known, but for those that a fault has taken away.
func (s *sufferer) whole(f *forecast.Forecast, fault string) {
	s.sane(f)
	count := func(q forecast.Quantity) (unknown int) {
		for i := range f.N {
			if _, ok := f.Members[0].Columns[q].At(i); !ok {
				unknown++
			}
		}
		return unknown
	}
	air, rain := 0, 0
	switch fault {
	case "nulls":
		air, rain = 30, 30
	case "missing column":
		rain = f.N
	}
	assert.Equal(s.t, air, count(forecast.AirTemperature))
	// Of the last hour no amount is known where it comes with the stamp after it.
	assert.GreaterOrEqual(s.t, count(forecast.Precipitation), rain)
	assert.LessOrEqual(s.t, count(forecast.Precipitation), rain+1)
}

// sane wants numbers that can be, in the hours that there are.
func (s *sufferer) sane(f *forecast.Forecast) {
	require.Len(s.t, f.Members, 1)
	require.Equal(s.t, 240, f.N)
	air := f.Members[0].Columns[forecast.AirTemperature]
	for i := range f.N {
		if v, ok := air.At(i); ok {
			assert.True(s.t, v >= 14 && v <= 21, "%g °C", v)
		}
	}
}

// TestClockAnHourOff: the service's lifetime counts, whichever clock is wrong.
func TestClockAnHourOff(t *testing.T) {
	for _, f := range fetchtest.Faults() {
		if f.Name != "clock an hour off" {
			continue
		}
		s := newSufferer(t, f)
		s.breaks()
		_, _, err := s.fetch()
		require.NoError(t, err)
		for after, asked := range map[time.Duration]int{29 * time.Minute: 1, 31 * time.Minute: 2} {
			probe := &sufferer{t: t, fault: f, Server: s.Server, now: liveStart.Add(after), cache: maps.Clone(s.cache)}
			before := s.Asked()
			_, _, err = probe.fetch()
			require.NoError(t, err)
			assert.Equal(t, asked-1, s.Asked()-before, after)
		}
	}
}
