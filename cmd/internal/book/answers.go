package book

import "time"

// The kinds of answer.
const (
	Week    = "week"
	Morning = "morning"
	Move    = "move"
	Planned = "plan"
)

// Answer is one answer as it was given, and all that it was made from.
type Answer struct {
	Row
	Kind      string            `json:"kind"` // Week, Morning, Move or Planned
	Job       Key               `json:"job"`
	Forecast  Key               `json:"forecast,omitempty"`
	Plan      Key               `json:"plan,omitempty"` // the version that it starts from
	At        time.Time         `json:"at"`             // the moment that it answers for, in whole seconds
	Verdict   string            `json:"verdict,omitempty"`
	Program   string            `json:"program"`            // version
	Catalogue string            `json:"catalogue"`          // hash of the product catalogue
	Products  Key               `json:"products,omitempty"` // bytes of the person's own products
	Settings  map[string]string `json:"settings,omitempty"` // those that matter to the answer
	Readings  []Key             `json:"readings,omitempty"` // those that counted
	Done      []Key             `json:"done,omitempty"`     // the work that counted besides the job's own
	Body      Key               `json:"body"`               // the bytes of --json
}

func (*Answer) table() string { return "answers" }
func (*Answer) dated() bool   { return true }

func (a *Answer) fields() []field {
	return []field{
		must("kind", &a.Kind), must("job", ref{&a.Job}), may("forecast", ref{&a.Forecast}),
		may("plan", ref{&a.Plan}), must("at", moment{&a.At}), may("verdict", &a.Verdict),
		must("program", &a.Program), must("catalogue", &a.Catalogue), may("products", ref{&a.Products}),
		may("settings", list[map[string]string]{&a.Settings}), may("readings", list[[]Key]{&a.Readings}),
		may("done", list[[]Key]{&a.Done}), must("body", ref{&a.Body}),
	}
}

func (a *Answer) check() error {
	switch a.Kind {
	case Week, Morning, Move, Planned:
		return nil
	}
	return invalid(a.table(), "kind %q is none of week, morning, move and plan", a.Kind)
}

// Plan is one version of a job's plan. The newest version of a job holds.
type Plan struct {
	Row
	Job        Key       `json:"job"`
	Answer     Key       `json:"answer,omitempty"`   // the answer that it comes from
	At         time.Time `json:"at"`                 // the moment that it was made for
	Accepted   bool      `json:"accepted,omitempty"` // the person has said yes to its marginal blocks
	Note       string    `json:"note,omitempty"`
	Body       Key       `json:"body"`                 // the plan as JSON
	Supersedes Key       `json:"supersedes,omitempty"` // the version before; the book sets it
}

func (*Plan) table() string { return "plans" }
func (*Plan) dated() bool   { return true }
func (*Plan) check() error  { return nil }

func (p *Plan) fields() []field {
	return []field{
		must("job", ref{&p.Job}), may("answer", ref{&p.Answer}), must("at", moment{&p.At}),
		may("accepted", &p.Accepted), may("note", &p.Note), must("body", ref{&p.Body}),
		may("supersedes", ref{&p.Supersedes}),
	}
}
