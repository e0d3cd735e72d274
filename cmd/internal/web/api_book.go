package web

import (
	"context"
	"encoding/json"
	"net/http"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/web/desk"

	"github.com/danielgtaylor/huma/v2"
)

// answersPage is a page of the list of answers.
type answersPage struct {
	Answers []answer.BookAnswer `json:"answers" doc:"The newest first"`
	Next    string              `json:"next" doc:"cursor of the next page, empty at the end"`
}

// entriesPage is a page of a list of entries.
type entriesPage struct {
	Entries []answer.Entry `json:"entries" doc:"The newest first"`
	Next    string         `json:"next" doc:"cursor of the next page, empty at the end"`
}

// NumberInput names something in the book.
type NumberInput struct {
	JobInput
	Number int64 `path:"id" minimum:"1" doc:"Its number in the book"`
}

// bookRoutes show what the book has.
func (s *Server) bookRoutes(a huma.API) {
	d := s.cfg.Desk
	register(s, a, op("GET", "/api/jobs/{job}/answers", "list-answers", "Answers that the book has"),
		func(ctx context.Context, in *PageInput) (*body[answersPage], error) {
			page, err := d.Answers(ctx, in.Job, in.before(), in.Limit)
			if err != nil {
				return nil, err
			}
			return &body[answersPage]{answersPage{page.Answers, next(page.Next)}}, nil
		})
	register(s, a, gives[map[string]any](a, op("GET", "/api/jobs/{job}/answers/{id}", "get-answer", "One answer as it was given")),
		func(ctx context.Context, in *NumberInput) (*huma.StreamResponse, error) {
			data, err := d.AnswerBytes(ctx, in.Job, in.Number)
			return stream(desk.NewBody(data), "application/json"), err
		})
	for _, x := range []struct{ path, id, kind, summary string }{
		{"readings", "readings", desk.UndoReading, "What was measured, and rain"},
		{"done", "done", desk.UndoDone, "Work done"},
		{"outcomes", "outcomes", desk.UndoOutcome, "What became of work"},
	} {
		register(s, a, op("GET", "/api/jobs/{job}/"+x.path, "list-"+x.id, x.summary),
			func(ctx context.Context, in *PageInput) (*body[entriesPage], error) {
				page, err := d.Entries(ctx, in.Job, x.kind, in.before(), in.Limit)
				if err != nil {
					return nil, err
				}
				return &body[entriesPage]{entriesPage{page.Entries, next(page.Next)}}, nil
			})
		o := op("DELETE", "/api/jobs/{job}/"+x.path+"/{id}", "undo-"+x.id, "Take an entry back; the book keeps both")
		o.DefaultStatus = http.StatusOK
		register(s, a, o, func(ctx context.Context, in *NumberInput) (*body[*answer.Logged], error) {
			out, err := d.Undo(ctx, in.Job, x.kind, in.Number)
			return &body[*answer.Logged]{out}, err
		})
	}
}

// readingBody is one reading; what was not measured is left out.
type readingBody struct {
	At          string   `json:"at,omitempty" maxLength:"40" doc:"RFC 3339, or by the clock at the place 2026-09-24T06:10; without it, now"`
	Zone        string   `json:"zone,omitempty" doc:"Zone of the boat; without it, of the place"`
	AirC        *float64 `json:"air_c,omitempty"`
	AirF        *float64 `json:"air_f,omitempty"`
	HumidityPct *float64 `json:"humidity_pct,omitempty"`
	WindMS      *float64 `json:"wind_m_s,omitempty" doc:"At hand height"`
	Sky         string   `json:"sky,omitempty" enum:"clear,partly,overcast"`
	Spray       *bool    `json:"spray,omitempty" doc:"Spray comes over; left out where unknown"`
	Salt        *bool    `json:"salt,omitempty" doc:"Salt on the panels; left out where unknown"`
	SurfaceC    *float64 `json:"surface_c,omitempty"`
	SurfaceF    *float64 `json:"surface_f,omitempty"`
	By          string   `json:"by,omitempty" enum:"infrared,contact" doc:"What read the surface"`
	Wet         *bool    `json:"wet,omitempty"`
	Sun         *bool    `json:"sun,omitempty" doc:"The sun is on the panel"`
	MoisturePct *float64 `json:"moisture_pct,omitempty" doc:"Of bare wood"`
	Product     string   `json:"product,omitempty" doc:"Of a test patch"`
	HazeMin     *float64 `json:"haze_min,omitempty" doc:"Minutes until the test patch wiped off clean"`
}

// text is readings as a readings file has them; JSON is such a file too. Those without
// a time are of now.
func (s *Server) text(list []readingBody) ([]byte, error) {
	out := make([]readingBody, len(list))
	for i, m := range list {
		if out[i] = m; m.At == "" {
			out[i].At = s.cfg.Desk.Now().UTC().Format("2006-01-02T15:04Z")
		}
	}
	return json.MarshalIndent(out, "", " ") // a line each, for the places of mistakes
}
