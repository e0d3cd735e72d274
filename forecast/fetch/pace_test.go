package fetch

import (
	"context"
	"encoding/json"
	"net/http"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// TestTogether: two runs at once keep the rate of one, each with a client of its
// own; without notes in common each keeps its own.
func TestTogether(t *testing.T) {
	for _, together := range []bool{true, false} {
		synctest.Test(t, func(t *testing.T) {
			s, notes := &script{replies: []func() *http.Response{answer(200, `{}`)}}, &own{}
			ask := func() {
				cfg := Config{Now: time.Now, Transport: s, PerSecond: 2, Burst: 2}
				if together {
					cfg.Shared = notes
				}
				c, err := New(cfg)
				require.NoError(t, err)
				require.NoError(t, get(c, "http://weather.example/"))
			}
			for range 6 {
				ask() // a run of its own each time
			}
			half := 500 * time.Millisecond
			want := []time.Duration{0, half, half, half, half}
			if !together {
				want = make([]time.Duration, 5)
			}
			assert.Equal(t, want, s.gaps())
		})
	}
}

// TestHostsHavePacesOfTheirOwn.
func TestHostsHavePacesOfTheirOwn(t *testing.T) {
	p := pace{&own{}, time.Second, 1}
	for host, want := range map[string]time.Duration{"a": 0, "b": 0} {
		wait, _, err := p.turn(host, morning, time.Hour)
		require.NoError(t, err)
		assert.Equal(t, want, wait)
	}
	wait, _, err := p.turn("a", morning, time.Hour)
	require.NoError(t, err)
	assert.Equal(t, time.Second, wait)
}

// TestTurnTooLateIsNotTaken: a turn beyond the deadline is a spent deadline, at
// once, and those behind do not wait for it.
func TestTurnTooLateIsNotTaken(t *testing.T) {
	p := pace{&own{}, time.Minute, 1}
	_, _, err := p.turn("a", morning, time.Hour)
	require.NoError(t, err)
	for range 3 {
		wait, late, err := p.turn("a", morning, time.Second)
		require.NoError(t, err)
		assert.True(t, late)
		assert.Equal(t, time.Minute, wait)
	}
	wait, late, err := p.turn("a", morning, time.Hour)
	require.NoError(t, err)
	assert.False(t, late)
	assert.Equal(t, time.Minute, wait)

	synctest.Test(t, func(t *testing.T) {
		s, notes := &script{replies: []func() *http.Response{answer(200, `{}`)}}, &own{}
		ask := func() error {
			c, err := New(Config{Now: time.Now, Transport: s, PerSecond: 0.01, Burst: 1, Shared: notes})
			require.NoError(t, err)
			return get(c, "http://weather.example/")
		}
		require.NoError(t, ask())
		start := time.Now()
		require.ErrorIs(t, ask(), context.DeadlineExceeded)
		assert.Zero(t, time.Since(start))
		assert.Len(t, s.at, 1)
	})
}

func TestWaitForATurnEndsWithTheCaller(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p := pace{&own{}, time.Minute, 1}
		require.NoError(t, p.wait(t.Context(), "a"))
		ctx, stop := context.WithCancel(t.Context())
		time.AfterFunc(time.Second, stop)
		require.ErrorIs(t, p.wait(ctx, "a"), context.Canceled)
	})
	assert.NoError(t, pace{brokenNotes{}, time.Minute, 1}.wait(t.Context(), "a"), "the process's own rate holds")
}

// TestStampOfAnotherClock: a stamp from far ahead, or damaged, holds nobody up.
func TestStampOfAnotherClock(t *testing.T) {
	far, err := json.Marshal(stamp{morning.Add(time.Hour)})
	require.NoError(t, err)
	for _, note := range [][]byte{far, []byte("garbage"), nil} {
		n := &own{}
		require.NoError(t, n.Update("pace a", func([]byte) []byte { return note }))
		wait, _, err := pace{n, time.Second, 1}.turn("a", morning, time.Hour)
		require.NoError(t, err)
		assert.Zero(t, wait)
	}
}

// TestRateOverAnyStretch: whoever asks whenever, in no stretch do more requests
// go out than the burst and what the rate allows in it.
func TestRateOverAnyStretch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		burst := rapid.IntRange(1, 5).Draw(t, "burst")
		p := pace{&own{}, 100 * time.Millisecond, burst}
		now := morning
		var sent []time.Time
		for range rapid.IntRange(1, 40).Draw(t, "requests") {
			now = now.Add(time.Duration(rapid.IntRange(0, 300).Draw(t, "pause")) * time.Millisecond)
			wait, late, err := p.turn("a", now, time.Hour)
			require.NoError(t, err)
			require.False(t, late)
			sent = append(sent, now.Add(wait))
		}
		for i := range sent {
			for j := i; j < len(sent); j++ {
				allowed := burst + int(sent[j].Sub(sent[i])/p.every)
				require.LessOrEqual(t, j-i+1, allowed, "from %v to %v", sent[i], sent[j])
			}
		}
	})
}
