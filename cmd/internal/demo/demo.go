// Package demo brings an invented boat and invented weather, so that a person
// sees an answer before writing a job and without a connection.
//
// The weather is a small table of days (weather.txt) round the day that is asked
// about, spun out to the hours of an ensemble. It takes the same way as real
// data: a reply in the format of Open-Meteo's ensemble service, read by the same
// reader. Only sun and daylight are those of the date.
package demo

import (
	"context"
	_ "embed"
	"fmt"
	"time"

	"dewgap/cmd/internal/app"
	"dewgap/forecast"
	"dewgap/forecast/openmeteo"
	"dewgap/window/job"
)

//go:embed job.yaml
var jobFile []byte

// JobName is what the job is called in messages.
const JobName = "demo"

// JobFile is the job as a person would write it. The slice is the caller's own.
func JobFile() []byte { return append([]byte(nil), jobFile...) }

// Job reads the demo's job. The zone in the file counts, whatever is given.
func Job(classes job.Classes) (*job.Job, error) {
	return job.Parse(JobName, jobFile, classes, job.Options{})
}

// Service names the source of the weather in answers.
const Service = "demo, invented weather"

// age is how old the demo's forecast is.
const age = 40 * time.Minute

// Source gives the invented weather around its clock's day. It implements
// [app.Source] for the demo's own place alone.
type Source struct{ Clock app.Clock }

var _ app.Source = Source{}

// Forecast spins the weather out and reads it.
func (s Source) Forecast(_ context.Context, q app.Query) (*forecast.Forecast, error) {
	now := s.Clock.Now()
	data, err := Reply(now)
	if err != nil {
		return nil, err
	}
	f, err := openmeteo.Parse(data, openmeteo.Options{Near: &place})
	if err != nil {
		return nil, err
	}
	f.Service, f.Licence, f.Attribution = Service, "no licence needed", "The weather of the demo is invented"
	f.Issued = now.Add(-age).UTC().Truncate(time.Minute)
	if q.Model != "" {
		f.Warnings = append(f.Warnings, fmt.Sprintf("the model %q that was asked for is not used: the weather of the demo is invented", q.Model))
	}
	return f, nil
}
