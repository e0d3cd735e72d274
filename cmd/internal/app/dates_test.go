package app_test

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"

	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/demo"
	"dewgap/window/job"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// withDates is the demo's job with more lines at its end, and work done.
func withDates(lines, done string) string {
	text := string(demo.JobFile()) + lines
	if done != "" {
		text += "zones:\n  - {name: bench, tilt: 0, finish: white-gelcoat, area_m2: 1, done: {" + done + "}}\n"
	}
	return text
}

// placeIn is where a text stands in the job's file.
func placeIn(text, what string) string {
	before := text[:strings.Index(text, what)]
	return fmt.Sprintf("job.yaml:%d:%d", 1+strings.Count(before, "\n"), len(before)-strings.LastIndex(before, "\n"))
}

// What has happened cannot have happened after now: asked in whatever way, the
// job's file is named and nothing is judged.
func TestPastInFuture(t *testing.T) {
	f := weather(t, monday)
	for name, c := range map[string]struct {
		lines, done string
		want, at    string // at: what the error points at
	}{
		"rain now":           {lines: "since: {rain: 2026-09-07T06:00}\n"},
		"rain to come":       {lines: "since: {rain: 2026-09-07T06:01}\n", want: "`rain` under `since` is Mon 7 Sep 2026 06:01, which is after now, Mon 7 Sep 2026 06:00", at: "2026-09-07T06:01"},
		"a wash to come":     {lines: "since: {rain: 2026-09-06T06:01, wash: 2027-09-06T06:01}\n", want: "`wash` under `since` is Mon 6 Sep 2027 06:01", at: "2027-09-06T06:01"},
		"work that is done":  {done: "wash: 2026-09-06T10:00"},
		"whole work to come": {done: "seal: 2026-09-07T06:01", want: "`seal` under `done` of bench is Mon 7 Sep 2026 06:01", at: "2026-09-07T06:01"},
		"work to come":       {done: "wash: 2026-09-06T10:00, seal: {at: 2026-09-08T10:00, share: 0.5}", want: "`seal` under `done` of bench is Tue 8 Sep 2026 10:00", at: "2026-09-08T10:00"},
	} {
		t.Run(name, func(t *testing.T) {
			a, r := fixture{now: monday, forecast: f, job: withDates(c.lines, c.done)}.app(t)
			r.File = &app.JobFile{Name: "job.yaml"}
			_, err := a.Week(context.Background(), r)
			if c.want == "" {
				require.NoError(t, err)
				return
			}
			p, ok := errors.AsType[*app.Problem](err)
			require.True(t, ok, "%v", err)
			assert.Equal(t, placeIn(withDates(c.lines, c.done), c.at), p.Where)
			assert.Contains(t, p.Text, c.want)
			assert.Equal(t, "mend the date", p.Fix)
			_, err = a.Morning(context.Background(), r)
			assert.ErrorContains(t, err, c.want)
			_, err = a.Why(context.Background(), app.WhyRequest{Request: r, Zone: "port side", Class: "polymer-sealant"})
			assert.ErrorContains(t, err, c.want)
		})
	}
}

// A moment that must be met and is over deserves a word, no more.
func TestMustInPast(t *testing.T) {
	t.Parallel()
	f := weather(t, monday)
	text := withDates("must: {launch: 2026-09-07T05:59, haul: 2026-08-01T08:00, survey: 2026-09-12T08:00}\n", "")
	_, err := job.Parse("job.yaml", []byte(text), catalogue(t), job.Options{})
	require.NoError(t, err)
	w := fixture{now: monday, forecast: f, job: text}.week(t)
	var said []string
	for _, x := range w.Warnings {
		if strings.Contains(x, "`must`") {
			said = append(said, x)
		}
	}
	assert.Equal(t, []string{
		"`haul` under `must` is Sat 1 Aug 2026 08:00, which is over: mend the date in the job",
		"`launch` under `must` is Mon 7 Sep 2026 05:59, which is over: mend the date in the job",
	}, said)
}
