package book

import (
	"context"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// The invented season: Kittiwake at Otter Quay, one morning in September.
var dawn = time.Date(2026, 9, 8, 10, 10, 0, 0, time.UTC)

// clock is a clock that a test sets.
type clock struct{ t time.Time }

func (c *clock) now() time.Time { return c.t }

func at(h, m int) time.Time { return time.Date(2026, 9, 8, h, m, 0, 0, time.UTC) }

func some[T any](v T) *T { return &v }

// newBook opens a new book in a folder that is not there yet.
func newBook(t testing.TB) *Book {
	return openAt(t, filepath.Join(t.TempDir(), "home", "book.sqlite"))
}

func openAt(t testing.TB, path string) *Book {
	b, err := Open(t.Context(), path, func() time.Time { return dawn })
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, b.Close()) })
	return b
}

// recordOne adds with one call of Record.
func recordOne[T any](t testing.TB, b *Book, add func(*Tx) (T, error)) T {
	var out T
	require.NoError(t, b.Record(t.Context(), func(tx *Tx) (err error) {
		out, err = add(tx)
		return err
	}))
	return out
}

func kittiwake() Boat {
	return Boat{Name: "Kittiwake", Kind: "flybridge-cruiser", LengthM: some(13.0)}
}

func otterQuay() Place {
	return Place{Name: "Otter Quay", Latitude: 43.07, Longitude: -70.74, Timezone: "America/New_York", ElevationM: some(3.0)}
}

const jobFile = "job: Late-summer clean and seal\nboat: {name: Kittiwake}\n"

// addJob adds a job with its boat, its place and its file.
func addJob(tx *Tx, name string, boat Boat, file string) (Row, error) {
	bt, err := tx.AddBoat(boat)
	if err != nil {
		return Row{}, err
	}
	p, err := tx.AddPlace(otterQuay())
	if err != nil {
		return Row{}, err
	}
	body, err := tx.AddBody([]byte(file))
	if err != nil {
		return Row{}, err
	}
	return tx.AddJob(Job{Name: name, Boat: bt.Key, Place: p.Key, File: "job.yaml", Body: body})
}

func theJob(t testing.TB, b *Book) Key {
	return recordOne(t, b, func(tx *Tx) (Row, error) {
		return addJob(tx, "Late-summer clean and seal", kittiwake(), jobFile)
	}).Key
}

// season is one of everything.
type season struct {
	job, forecast, done, reading, outcome, answer, plan Key
}

const reply = `{"latitude":43.07,"hourly":{"temperature_2m":[15.1,14.8]}}`

// fill records one of everything, each with every field that it has.
func fill(ctx context.Context, b *Book) (s season, err error) {
	err = b.Record(ctx, func(tx *Tx) error {
		for _, add := range []func(*Tx) error{s.addInputs, s.addEntries, s.addAnswers} {
			if err := add(tx); err != nil {
				return err
			}
		}
		return nil
	})
	return s, err
}

func (s *season) addInputs(tx *Tx) error {
	j, err := addJob(tx, "Late-summer clean and seal", kittiwake(), jobFile)
	if err != nil {
		return err
	}
	s.job = j.Key
	p, err := tx.AddPlace(otterQuay())
	if err != nil {
		return err
	}
	body, err := tx.AddBody([]byte(reply))
	if err != nil {
		return err
	}
	f, err := tx.AddForecast(Forecast{
		Service: "Open-Meteo", Model: "best_match", Place: p.Key, Issued: at(6, 0), Fetched: at(9, 40),
		Form: "reply", Warnings: []string{"no gusts", "a \"quoted\" <word> & more"}, Body: body,
	})
	s.forecast = f.Key
	return err
}

func (s *season) addEntries(tx *Tx) error {
	d, err := tx.AddDone(Done{
		Job: s.job, Step: "wash", Zone: "port side", Share: 0.5, Begun: at(9, 0), At: at(9, 50),
		Product: "soap-wash", By: "1", Note: "up to the third stanchion",
	})
	if err != nil {
		return err
	}
	r, err := tx.AddReading(fullReading(s.job))
	if err != nil {
		return err
	}
	o, err := tx.AddOutcome(Outcome{
		Job: s.job, Done: d.Key, Step: "wash", Zone: "port side", Product: "soap-wash",
		Found: FoundInspect, At: at(10, 0), By: "1", Note: "streaks",
	})
	s.done, s.reading, s.outcome = d.Key, r.Key, o.Key
	return err
}

func fullReading(job Key) Reading {
	return Reading{
		Job: job, At: at(10, 6), Until: at(10, 7), Zone: "port side", Product: "polymer-sealant",
		AirC: some(12.2), HumidityPct: some(93.0), WindMS: some(0.0), SurfaceC: some(-0.5), MoisturePct: some(16.0),
		HazeMin: some(38.0), RainMM: some(0.2), Rain: some(true), Wet: some(true), Sun: some(false),
		Sky: "clear", Spray: "no", Salt: "unknown", By: "infrared", Note: "Tau · 露",
		Flags: []string{"colder than the dew point"}, Refused: "below any sea water",
	}
}

func (s *season) addAnswers(tx *Tx) error {
	body, err := tx.AddBody([]byte(`{"format":"dewgap.week.v1","verdict":"go"}` + "\n"))
	if err != nil {
		return err
	}
	products, err := tx.AddBody([]byte("products: []\n"))
	if err != nil {
		return err
	}
	a, err := tx.AddAnswer(Answer{
		Kind: Week, Job: s.job, Forecast: s.forecast, At: dawn, Verdict: "go", Program: "1.2.3", Catalogue: strings.Repeat("ab", 32),
		Products: products, Settings: map[string]string{"units": "us", "source": "auto"},
		Readings: []Key{s.reading}, Done: []Key{s.done}, Body: body,
	})
	if err != nil {
		return err
	}
	p, err := tx.AddPlan(Plan{Job: s.job, Answer: a.Key, At: dawn, Accepted: true, Note: "first", Body: body})
	if err != nil {
		return err
	}
	s.plan = p.Key
	m, err := tx.AddAnswer(Answer{
		Kind: Move, Job: s.job, Forecast: s.forecast, Plan: p.Key, At: dawn, Program: "1.2.3", Catalogue: "0", Body: body,
	})
	s.answer = m.Key
	return err
}

// filled is a new book with one of everything.
func filled(t testing.TB) (*Book, season) {
	b := newBook(t)
	s, err := fill(t.Context(), b)
	require.NoError(t, err)
	return b, s
}
