package watch

import (
	"context"
	"errors"
	"sync"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"

	"github.com/stretchr/testify/require"
)

// east is the clock at Otter Quay.
var east = time.FixedZone("EDT", -4*3600)

// at is a moment of September 2026 by the clock at Otter Quay, as "10 07:30".
func at(t testing.TB, text string) time.Time {
	t.Helper()
	v, err := time.ParseInLocation("2006-01-2 15:04", "2026-09-"+text, east)
	require.NoError(t, err)
	return v
}

// work is a block of an hour.
func work(t testing.TB, step, zone, from string) answer.PlanBlock {
	b := at(t, from)
	return answer.PlanBlock{Step: step, Zone: zone, Coat: 1, From: b, To: b.Add(time.Hour), State: "go", Confidence: 1, Part: 1, Parts: 1}
}

// weekOf is an answer with a plan of these blocks.
func weekOf(t testing.TB, now string, blocks ...answer.PlanBlock) *answer.Week {
	w := &answer.Week{
		Format: answer.WeekFormat, Job: "Clean and seal", Boat: "Kittiwake", Now: at(t, now), Verdict: answer.Go,
		Place:  answer.Place{Name: "Otter Quay", Timezone: "America/New_York"},
		Source: answer.Source{Name: "demo", Attribution: "Weather of the demo"},
		Plan:   &answer.Plan{State: answer.Go, Confidence: 0.9, Days: 2, Blocks: blocks},
	}
	for _, b := range blocks {
		w.Windows = append(w.Windows, answer.Window{Step: b.Step, Zone: b.Zone, From: b.From, To: b.From.Add(4 * time.Hour), State: "go"})
	}
	return w
}

// unplanned is an answer without a plan.
func unplanned(t testing.TB, now string) *answer.Week {
	w := weekOf(t, now)
	w.Verdict, w.Plan = answer.NoGo, &answer.Plan{State: answer.None, Why: []string{"rain on every day"}}
	return w
}

// fakeJob answers what it is told to.
type fakeJob struct {
	mu    sync.Mutex
	asked []time.Time
	next  func(now time.Time) Asked
	kept  int
	held  []*answer.Plan
}

func (j *fakeJob) Name() string { return "/jobs/kittiwake.yaml" }

func (j *fakeJob) Ask(_ context.Context, now time.Time, held *answer.Plan) Asked {
	j.mu.Lock()
	defer j.mu.Unlock()
	j.asked, j.held = append(j.asked, now), append(j.held, held)
	a := j.next(now)
	a.Keep = func(context.Context) error { j.kept++; return nil }
	return a
}

func (j *fakeJob) count() int {
	j.mu.Lock()
	defer j.mu.Unlock()
	return len(j.asked)
}

// fakeSink notes what it is told, and may be broken.
type fakeSink struct {
	name   string
	mu     sync.Mutex
	news   []*answer.Watch
	broken bool
}

func (s *fakeSink) Name() string { return s.name }

func (s *fakeSink) Tell(_ context.Context, n *answer.Watch) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.broken {
		return errors.New("nobody there")
	}
	s.news = append(s.news, n)
	return nil
}

func (s *fakeSink) kinds() []string {
	s.mu.Lock()
	defer s.mu.Unlock()
	var out []string
	for _, n := range s.news {
		out = append(out, n.Kind)
	}
	return out
}

// offline is an answer that could not be had.
func offline() Asked {
	return Asked{Status: answer.WatchOffline, Failure: &answer.Failure{Error: "unknown host name", Fix: "check the connection"}}
}
