package web

import (
	"context"
	"net/http"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/web/desk"

	"github.com/danielgtaylor/huma/v2"
)

// OnceInput is a write that may be sent twice.
type OnceInput struct {
	JobInput
	Key string `header:"Idempotency-Key" maxLength:"200" doc:"A random name: the same write sent again with it is not done twice"`
}

// readingsInput are readings to be recorded.
type readingsInput struct {
	OnceInput
	Body struct {
		Readings []readingBody `json:"readings" minItems:"1" maxItems:"500"`
	}
}

// readingInput is a reading under a name that the client chose.
type readingInput struct {
	JobInput
	Client string `path:"id" minLength:"8" maxLength:"100" pattern:"^[A-Za-z0-9._~-]+$" doc:"A random name that the client chose"`
	Body   readingBody
}

// WorkBody is work done, or what became of it.
type WorkBody struct {
	Step     string   `json:"step" minLength:"1"`
	Zones    []string `json:"zones" minItems:"1" maxItems:"100"`
	At       string   `json:"at,omitempty" maxLength:"40" doc:"By the clock at the place, or RFC 3339; without it, now"`
	By       string   `json:"by,omitempty" maxLength:"200"`
	Note     string   `json:"note,omitempty" maxLength:"2000"`
	Corrects int64    `json:"corrects,omitempty" minimum:"0" doc:"Number of the entry that this one corrects"`
}

func (b WorkBody) work() desk.Work {
	return desk.Work{Step: b.Step, Zones: b.Zones, At: b.At, By: b.By, Note: b.Note, Corrects: b.Corrects}
}

// doneInput is work done.
type doneInput struct {
	OnceInput
	Body struct {
		WorkBody
		Share float64 `json:"share,omitempty" minimum:"0" maximum:"1" doc:"Of each zone, all that is done of it so far; without it, the whole"`
		Coat  int     `json:"coat,omitempty" minimum:"0" maximum:"1000" doc:"That is on now, of a step with several: 1 after the first; without it, all of them"`
	}
}

// outcomeInput is what became of work.
type outcomeInput struct {
	OnceInput
	Body struct {
		WorkBody
		Found string `json:"found" enum:"ok,inspect,redo"`
	}
}

// rainBody is a spell of rain.
type rainBody struct {
	From string   `json:"from" minLength:"1" maxLength:"40" doc:"By the clock at the place, or RFC 3339"`
	To   string   `json:"to,omitempty" maxLength:"40" doc:"Without it, now"`
	MM   *float64 `json:"mm,omitempty" exclusiveMinimum:"0" maximum:"1000" doc:"Left out where nobody measured"`
	Note string   `json:"note,omitempty" maxLength:"2000"`
}

func (b rainBody) rain() desk.Rain { return desk.Rain{From: b.From, To: b.To, MM: b.MM, Note: b.Note} }

// rainInput is rain that fell.
type rainInput struct {
	OnceInput
	Body rainBody
}

// moveInput is by what a plan is moved.
type moveInput struct {
	OnceInput
	Body struct {
		Rain []rainBody `json:"rain,omitempty" maxItems:"50" doc:"That the book has not"`
		Left []struct {
			Step  string  `json:"step" minLength:"1"`
			Zone  string  `json:"zone" minLength:"1"`
			How   string  `json:"how" enum:"hazing,buffed,uncured"`
			Share float64 `json:"share,omitempty" minimum:"0" maximum:"1"`
			From  string  `json:"from,omitempty" maxLength:"40"`
			To    string  `json:"to,omitempty" maxLength:"40"`
		} `json:"left,omitempty" maxItems:"200" doc:"How work was left when it rained"`
		Ladder bool `json:"ladder,omitempty" doc:"Try the ways to get on even where there is a plan"`
	}
}

// writeOp describes an operation that records something.
func writeOp(method, path, id, summary string) huma.Operation {
	o := op(method, path, id, summary)
	o.DefaultStatus = http.StatusOK
	o.Errors = append(o.Errors, http.StatusConflict, http.StatusUnprocessableEntity)
	return o
}

// writeRoutes record what people tell.
func (s *Server) writeRoutes(a huma.API) {
	d := s.cfg.Desk
	type logged = body[*answer.Logged]
	register(s, a, writeOp("POST", "/api/jobs/{job}/readings", "add-readings", "Record readings, all or none"),
		func(ctx context.Context, in *readingsInput) (*logged, error) {
			out, err := s.addReadings(ctx, in.Job, in.Body.Readings)
			return &logged{out}, err
		})
	register(s, a, writeOp("PUT", "/api/jobs/{job}/readings/{id}", "put-reading", "Record one reading; to send it again does no harm"),
		func(ctx context.Context, in *readingInput) (*logged, error) {
			out, err := s.addReadings(ctx, in.Job, []readingBody{in.Body})
			return &logged{out}, err
		})
	register(s, a, writeOp("POST", "/api/jobs/{job}/done", "add-done", "Record work done"),
		func(ctx context.Context, in *doneInput) (*logged, error) {
			w := in.Body.work()
			w.Share, w.Coat = in.Body.Share, in.Body.Coat
			out, err := d.LogDone(ctx, in.Job, w)
			return &logged{out}, err
		})
	register(s, a, writeOp("POST", "/api/jobs/{job}/outcomes", "add-outcome", "Record what became of work"),
		func(ctx context.Context, in *outcomeInput) (*logged, error) {
			w := in.Body.work()
			w.Found = in.Body.Found
			out, err := d.LogOutcome(ctx, in.Job, w)
			return &logged{out}, err
		})
	register(s, a, writeOp("POST", "/api/jobs/{job}/rain", "add-rain", "Record rain that fell"),
		func(ctx context.Context, in *rainInput) (*logged, error) {
			out, err := d.LogRain(ctx, in.Job, in.Body.rain())
			return &logged{out}, err
		})
	register(s, a, writeOp("POST", "/api/jobs/{job}/morning", "ask-morning", "The morning by readings, which are recorded with the answer"),
		func(ctx context.Context, in *readingsInput) (*body[*answer.Morning], error) {
			data, err := s.text(in.Body.Readings)
			if err != nil {
				return nil, err
			}
			out, err := d.MorningWith(ctx, in.Job, data)
			return &body[*answer.Morning]{out}, err
		})
	s.moveRoutes(a)
}

// moveRoutes move the plan, and show how it moved.
func (s *Server) moveRoutes(a huma.API) {
	d := s.cfg.Desk
	register(s, a, writeOp("POST", "/api/jobs/{job}/move", "move", "After rain or a lost day: what is spoiled, and what moves where"),
		func(ctx context.Context, in *moveInput) (*body[*answer.Move], error) {
			m := desk.Moving{Ladder: in.Body.Ladder}
			for _, x := range in.Body.Rain {
				m.Rain = append(m.Rain, x.rain())
			}
			for _, x := range in.Body.Left {
				m.Left = append(m.Left, desk.Left{Step: x.Step, Zone: x.Zone, How: desk.LeftWords[x.How], Share: x.Share, From: x.From, To: x.To})
			}
			out, err := d.Move(ctx, in.Job, m)
			return &body[*answer.Move]{out}, err
		})
	register(s, a, writeOp("POST", "/api/jobs/{job}/plan", "plan-anew", "A new plan on purpose, in place of one that was moved or is under way"),
		func(ctx context.Context, in *JobInput) (*body[*answer.Week], error) {
			out, err := d.PlanAnew(ctx, in.Job)
			return &body[*answer.Week]{out}, err
		})
	register(s, a, op("GET", "/api/jobs/{job}/move", "get-move", "The newest move, where the job was not planned anew since"),
		func(ctx context.Context, in *JobInput) (*body[*answer.Move], error) {
			out, err := d.LastMove(ctx, in.Job)
			if err == nil && out == nil {
				err = newProblem(http.StatusNotFound, "nothing was moved", "POST to this address to move the plan")
			}
			return &body[*answer.Move]{out}, err
		})
}

func (s *Server) addReadings(ctx context.Context, id string, list []readingBody) (*answer.Logged, error) {
	data, err := s.text(list)
	if err != nil {
		return nil, err
	}
	readings, err := s.cfg.Desk.ParseReadings(ctx, id, "readings", data)
	if err != nil {
		return nil, err
	}
	return s.cfg.Desk.AddReadings(ctx, id, readings)
}
