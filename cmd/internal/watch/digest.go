package watch

import (
	"slices"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
)

// Digest is what people go by in an answer.
type Digest struct {
	Verdict    string    `json:"verdict"`
	Plan       string    `json:"plan"`           // go, marginal or none; "" where nothing was planned
	Part       bool      `json:"part,omitempty"` // for a part of the job alone
	Confidence int       `json:"confidence"`     // of the whole plan, %
	Ends       time.Time `json:"ends,omitzero"`  // of the whole plan
	Blocks     []Block   `json:"blocks"`
	Windows    []Window  `json:"windows"` // the first of each step
	Films      []Film    `json:"films,omitempty"`
}

// Film is work that still wants to stay dry.
type Film struct {
	Step string    `json:"step"`
	Zone string    `json:"zone"`
	On   time.Time `json:"on"`            // when it was put on
	Rain time.Time `json:"rain,omitzero"` // when rain comes onto it; zero: none that is forecast
	Text string    `json:"-"`             // what to do
}

// Block is work that is planned.
type Block struct {
	Step  string    `json:"step"`
	Zone  string    `json:"zone"`
	Coat  int       `json:"coat"`
	Redo  bool      `json:"redo,omitempty"`
	From  time.Time `json:"from"`
	To    time.Time `json:"to"`
	State string    `json:"state"` // go or marginal
}

// Window is the first of a step from now on: the first that is at least go, else the
// first marginal one.
type Window struct {
	Step  string    `json:"step"`
	From  time.Time `json:"from"`
	To    time.Time `json:"to"`
	State string    `json:"state"` // go or marginal
}

// DigestOf takes from a week what people go by.
func DigestOf(week *answer.Week) Digest {
	d := Digest{Verdict: week.Verdict}
	if p := week.Plan; p != nil {
		d.Plan, d.Part, d.Confidence = p.State, p.Part != nil, int(100*p.Confidence+0.5)
		if p.Ends != nil {
			d.Ends = *p.Ends
		}
		for _, b := range p.Blocks {
			d.Blocks = append(d.Blocks, Block{
				Step: b.Step, Zone: b.Zone, Coat: b.Coat, Redo: b.Redo, From: b.From, To: b.To, State: blockState(b),
			})
		}
	}
	for _, x := range week.KeepDry {
		f := Film{Step: x.Step, Zone: x.Zone, On: x.On, Text: strings.TrimSuffix(answer.KeepDryLines([]answer.KeepDry{x}, week.Now)[0], ".")}
		if x.RainAt != nil {
			f.Rain = *x.RainAt
		}
		d.Films = append(d.Films, f)
	}
	at := map[string]int{}
	for _, x := range week.Windows {
		is := Window{x.Step, x.From, x.To, plainState(x.State)}
		i, had := at[x.Step]
		switch {
		case !x.To.After(week.Now):
		case !had:
			at[x.Step] = len(d.Windows)
			d.Windows = append(d.Windows, is)
		case better(is, d.Windows[i]):
			d.Windows[i] = is
		}
	}
	return d
}

// until is the digest with what begins before a moment alone: nothing of the plan as a
// whole but its state.
func (d Digest) until(end time.Time) Digest {
	d.Confidence, d.Ends = 0, time.Time{}
	d.Blocks = slices.DeleteFunc(slices.Clone(d.Blocks), func(b Block) bool { return !b.From.Before(end) })
	d.Windows = slices.DeleteFunc(slices.Clone(d.Windows), func(x Window) bool { return !x.From.Before(end) })
	return d
}

// better prefers what is at least go, then what comes first, then what lasts.
func better(a, b Window) bool {
	switch {
	case a.State != b.State:
		return a.State == answer.Go
	case !a.From.Equal(b.From):
		return a.From.Before(b.From)
	}
	return a.To.After(b.To)
}

func blockState(b answer.PlanBlock) string {
	if b.NeedsConsent {
		return answer.Marginal
	}
	return plainState(b.State)
}

// plainState takes ideal for go: nobody changes plans for the difference.
func plainState(s string) string {
	if s == "ideal" {
		return answer.Go
	}
	return s
}
