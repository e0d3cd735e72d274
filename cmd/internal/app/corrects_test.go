package app_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/book"
	"dewgap/window/job"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What is corrected must be of the same job, what was read of the same boat: else work
// would vanish from one boat and stand at another.
func TestCorrects_OnlyItsOwn(t *testing.T) {
	s := newSmall(t)
	s.fill(t)
	ctx := t.Context()
	as := func(from, to string) app.Request {
		text := []byte(replaced(t, twoSteps, from, to))
		r := s.r
		r.File = &app.JobFile{Name: "other.yaml", Data: text}
		r.Job = func(zone string) (*job.Job, error) {
			return job.Parse("other.yaml", text, s.a.Classes, job.Options{Timezone: zone})
		}
		return r
	}
	otherBoat, otherJob, sameJob := as("Kittiwake", "Tern"), as("job: Wash and seal", "job: Seal and wash"), as("people: 2", "people: 1")
	done := func(r app.Request) error {
		_, err := s.a.LogDone(ctx, app.DoneRequest{Request: r, Step: "wash", Zones: []string{"port side"}, Share: 0.5, At: on("2026-09-11T08:10:00-04:00"), Corrects: 1})
		return err
	}
	outcome := func(r app.Request) error {
		_, err := s.a.LogOutcome(ctx, app.OutcomeRequest{Request: r, Step: "wash", Zones: []string{"port side"}, Found: book.FoundOK, At: on("2026-09-11T09:10:00-04:00"), Corrects: 1})
		return err
	}
	reading := func(r app.Request) error {
		_, err := s.a.AddReading(ctx, app.ReadingRequest{Request: r, Corrects: 1,
			Compose: func(*job.Job, time.Time) (job.Reading, error) {
				return job.Reading{At: s.now, AirC: measured(13)}, nil
			}})
		return err
	}
	for name, c := range map[string]struct {
		do      func(app.Request) error
		refused []app.Request
		allowed app.Request
	}{
		"work":       {done, []app.Request{otherBoat, otherJob}, sameJob},
		"an outcome": {outcome, []app.Request{otherBoat, otherJob}, sameJob},
		"a reading":  {reading, []app.Request{otherBoat}, otherJob},
	} {
		list, err := s.a.Listed(ctx, 1)
		require.NoError(t, err)
		for _, r := range c.refused {
			err := c.do(r)
			p, ok := errors.AsType[*app.Problem](err)
			require.True(t, ok, "%s: %v", name, err)
			assert.Equal(t, "entry 1 is of Kittiwake, Wash and seal the side", p.Text, name)
			assert.Contains(t, p.Fix, "dewgap book show", name)
		}
		same, err := s.a.Listed(ctx, 1)
		require.NoError(t, err)
		assert.Equal(t, list, same, "%s: nothing was written", name)
		require.NoError(t, c.do(c.allowed), "%s: the file may have changed since", name)
	}
}

// Rain is corrected by rain and a reading by a reading: they share their numbers, and by a
// slip the drying that began with the rain would be forgotten.
func TestCorrects_RainStaysRain(t *testing.T) {
	s := newSmall(t)
	s.fill(t)
	ctx := t.Context()
	list, err := s.a.Listed(ctx, 1)
	require.NoError(t, err)
	rain := int64(0)
	for _, e := range list.Readings {
		if strings.HasPrefix(e.Text, "rain") {
			rain = e.ID
		}
	}
	require.Positive(t, rain)
	_, err = s.a.AddReading(ctx, app.ReadingRequest{Request: s.r, Corrects: rain,
		Compose: func(*job.Job, time.Time) (job.Reading, error) { return job.Reading{At: s.now, AirC: measured(13)}, nil }})
	p := &app.Problem{}
	require.ErrorAs(t, err, &p)
	assert.Equal(t, fmt.Sprintf("entry %d is rain", rain), p.Text)
	assert.Contains(t, p.Fix, "dewgap log rain")
	_, err = s.a.LogRain(ctx, app.RainRequest{Request: s.r, From: on("2026-09-11T08:00:00-04:00"), To: on("2026-09-11T08:10:00-04:00"), Corrects: 1})
	require.ErrorAs(t, err, &p)
	assert.Equal(t, "entry 1 is a reading", p.Text)
	assert.Contains(t, p.Fix, "dewgap reading add")
	_, err = s.a.LogRain(ctx, app.RainRequest{Request: s.r, From: on("2026-09-11T08:00:00-04:00"), To: on("2026-09-11T08:10:00-04:00"), Corrects: rain})
	require.NoError(t, err)
}

func replaced(t *testing.T, text, from, to string) string {
	t.Helper()
	require.Contains(t, text, from)
	return strings.Replace(text, from, to, 1)
}
