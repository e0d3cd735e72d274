package desk

import (
	"context"
	"time"

	"dewgap/cmd/internal/app"
	"dewgap/forecast"
)

// watched is a source that tells how it was asked.
type watched struct {
	app.Source
	tell func(service string, took time.Duration, err error)
}

// Forecast asks the source.
func (s watched) Forecast(ctx context.Context, q app.Query) (*forecast.Forecast, error) {
	began := time.Now()
	f, err := s.Source.Forecast(ctx, q)
	if s.tell != nil {
		service := ""
		if f != nil {
			service = f.Service
		}
		s.tell(service, time.Since(began), err)
	}
	return f, err
}
