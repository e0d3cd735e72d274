package app

import (
	"context"
	"encoding/json"
	"fmt"
	"time"

	"dewgap/cmd/internal/book"
	"dewgap/forecast"
)

// receivedForm names how the bytes of a forecast in the book are to be read: as
// it was understood, every member and column, so that what was fetched in several
// replies is one body. When it was made and received stands in its row.
const receivedForm = "dewgap.forecast.v1"

// received is a forecast as the book keeps it. A column that knows nothing is
// left out; what is absent in one is null.
type received struct {
	Format      string           `json:"format"`
	Service     string           `json:"service"`
	Model       string           `json:"model"`
	Attribution string           `json:"attribution"`
	Licence     string           `json:"licence"`
	Place       forecast.Place   `json:"place"`
	Timezone    string           `json:"timezone"`
	Start       time.Time        `json:"start"`
	StepS       int64            `json:"step_s"`
	N           int              `json:"n"`
	Members     []receivedMember `json:"members"`
	Alerts      []forecast.Alert `json:"alerts,omitempty"`
}

type receivedMember struct {
	Name    string                `json:"name"`
	Columns map[string][]*float64 `json:"columns"` // by the quantity's name
}

// encodeForecast writes a forecast down. The same forecast gives the same bytes.
func encodeForecast(f *forecast.Forecast) ([]byte, error) {
	out := received{
		Format: receivedForm, Service: f.Service, Model: f.Model, Attribution: f.Attribution, Licence: f.Licence,
		Place: f.Place, Timezone: f.Timezone, Start: f.Start.UTC(), StepS: int64(f.Step / time.Second), N: f.N,
		Alerts: f.Alerts,
	}
	for i := range f.Members {
		m := receivedMember{Name: f.Members[i].Name, Columns: map[string][]*float64{}}
		for q := range forecast.Quantities {
			c := &f.Members[i].Columns[q]
			if !c.Any() {
				continue
			}
			column := make([]*float64, len(c.Known))
			for k, known := range c.Known {
				if known {
					column[k] = &c.Values[k]
				}
			}
			m.Columns[forecast.Quantity(q).String()] = column
		}
		out.Members = append(out.Members, m)
	}
	data, err := json.Marshal(out)
	if err != nil {
		return nil, fmt.Errorf("writing the forecast down: %w", err)
	}
	return data, nil
}

// decodeForecast reads what encodeForecast wrote.
func decodeForecast(data []byte) (*forecast.Forecast, error) {
	var in received
	if err := json.Unmarshal(data, &in); err != nil {
		return nil, fmt.Errorf("reading a forecast of the book: %w", err)
	}
	if in.Format != receivedForm || in.StepS <= 0 || in.N < 0 || len(in.Members) == 0 {
		return nil, fmt.Errorf("reading a forecast of the book: its form is %q and not %s", in.Format, receivedForm)
	}
	f := &forecast.Forecast{
		Service: in.Service, Model: in.Model, Attribution: in.Attribution, Licence: in.Licence, Place: in.Place,
		Timezone: in.Timezone, Start: in.Start, Step: time.Duration(in.StepS) * time.Second, N: in.N,
		Alerts: in.Alerts,
	}
	for _, m := range in.Members {
		member := forecast.Member{Name: m.Name}
		for q := range forecast.Quantities {
			column, ok := m.Columns[forecast.Quantity(q).String()]
			if !ok {
				continue
			}
			if len(column) != in.N {
				return nil, fmt.Errorf("reading a forecast of the book: %s has %d of %d hours", forecast.Quantity(q), len(column), in.N)
			}
			member.Columns[q] = forecast.NewColumn(in.N)
			for k, v := range column {
				if v != nil {
					member.Columns[q].Set(k, *v)
				}
			}
		}
		f.Members = append(f.Members, member)
	}
	return f, nil
}

// inSeconds is the forecast with its dates in whole seconds, as the book keeps
// them, so that an answer made again is of the same age.
func inSeconds(f *forecast.Forecast) *forecast.Forecast {
	out := *f
	out.Issued, out.Fetched = seconds(f.Issued), seconds(f.Fetched)
	return &out
}

func seconds(t time.Time) time.Time {
	if t.IsZero() {
		return t
	}
	return t.UTC().Truncate(time.Second)
}

// recorded is the source of an answer of the past: the forecast in the book.
type recorded struct {
	book Book
	key  book.Key
}

// Forecast reads the forecast as it was.
func (s recorded) Forecast(ctx context.Context, _ Query) (*forecast.Forecast, error) {
	row, err := s.book.Forecast(ctx, s.key)
	if err != nil {
		return nil, err
	}
	data, err := s.book.Body(ctx, row.Body)
	if err != nil {
		return nil, err
	}
	f, err := decodeForecast(data)
	if err != nil {
		return nil, &Problem{Text: err.Error(), Fix: "use the dewgap that recorded the answer, see dewgap book show", Err: err}
	}
	f.Issued, f.Fetched, f.Warnings = row.Issued, row.Fetched, row.Warnings
	return f, nil
}
