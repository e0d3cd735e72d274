package app

import (
	"context"
	"encoding/json"
	"fmt"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/forecast/ensemble"
	"dewgap/window"
	"dewgap/window/job"
	"dewgap/window/surface/fit"
)

// Place tells what readings have taught of the job's place and boat, and, where
// there is a forecast, what that changes in the answers.
func (a *App) Place(ctx context.Context, r Request) (*answer.Learned, error) {
	if a.Book == nil || r.File == nil {
		return nil, &Problem{Text: "there is no book to have learned from", Fix: "dewgap book init makes one; then record readings, see dewgap reading add --help"}
	}
	g, err := a.judge(ctx, r)
	if err != nil {
		return a.placeAlone(ctx, r, err)
	}
	f := placeFacts(g.given, g.facts.Now, g.taught)
	f.Changes = []answer.LearnedShift{}
	if g.input.Learned != nil {
		plain := g.input
		plain.Learned = nil
		without := g.facts
		if without.Result, err = evaluate(ctx, &plain); err != nil {
			return nil, judging(err)
		}
		f.Changes = answer.LearnedShifts(g.facts, without)
	}
	return answer.NewLearned(f), nil
}

// placeAlone is Place without a forecast to see by what it changes; asked is why
// there is none.
func (a *App) placeAlone(ctx context.Context, r Request, asked error) (*answer.Learned, error) {
	j, err := r.Job(r.Timezone)
	if err != nil {
		return nil, err
	}
	if j.Place.Location == nil {
		return nil, asked // only the service knows the time zone
	}
	now := a.Clock.Now().Truncate(time.Second)
	t, err := a.learn(ctx, r, j, now, nil)
	if err != nil {
		return nil, err
	}
	f := placeFacts(j, now, t)
	f.Warnings = append(f.Warnings, "what it changes is not known: "+asked.Error())
	return answer.NewLearned(f), nil
}

func placeFacts(j *job.Job, now time.Time, t *taught) answer.LearnedFacts {
	return answer.LearnedFacts{
		Job: j.Name, Boat: j.Boat, Loc: j.Location(), Now: now, FromHours: teachesAfter.Hours(), Learned: t.learned, Readings: t.from,
		Stations: t.stations, Warnings: t.warnings,
		Place: answer.Place{
			Name: j.Place.Name, Latitude: j.Place.Latitude, Longitude: j.Place.Longitude, Timezone: j.Location().String(),
		},
	}
}

// learnt is what was learned as an answer in the book is kept with it: what was
// used alone. It is kept, and not learned anew for dewgap book show --again, since
// readings may be taken back, or written down late, after the answer.
type learnt struct {
	Biases  []learntBias   `json:"biases,omitempty"`
	Spreads []learntSpread `json:"spreads,omitempty"`
	Zones   []learntZone   `json:"zones,omitempty"`
}

type learntSpread struct {
	Of ensemble.Variable `json:"of"`
	ensemble.Spread
}

type learntBias struct {
	Of     ensemble.Variable `json:"of"`
	Regime ensemble.Regime   `json:"regime"`
	ensemble.Bias
}

type learntZone struct {
	Zone             string
	Absorptance, Sky fit.Value
	Finish           string
	Surface          []learntBias `json:",omitempty"`
}

// encodeLearned writes down what was used; "" for nothing.
func encodeLearned(l *window.Learned) (string, error) {
	if l == nil {
		return "", nil
	}
	var out learnt
	for v, by := range l.Weather.Biases {
		out.Biases = append(out.Biases, usedOf(ensemble.Variable(v), by)...)
	}
	for v, s := range l.Weather.Spreads {
		if s.Factor() != 1 {
			out.Spreads = append(out.Spreads, learntSpread{ensemble.Variable(v), s})
		}
	}
	for _, z := range l.Zones {
		if !z.Empty() {
			out.Zones = append(out.Zones, learntZone{z.Zone, z.Absorptance, z.Sky, z.From, usedOf(ensemble.SurfaceError, z.Surface)})
		}
	}
	data, err := json.Marshal(out)
	if err != nil {
		return "", fmt.Errorf("writing down what was learned: %w", err)
	}
	return string(data), nil
}

func usedOf(v ensemble.Variable, by ensemble.ByRegime) []learntBias {
	var out []learntBias
	for r, b := range by {
		if b.Size(v) != 0 {
			out = append(out, learntBias{v, ensemble.Regime(r), b})
		}
	}
	return out
}

// decodeLearned reads what encodeLearned wrote.
func decodeLearned(text string) (*window.Learned, error) {
	if text == "" {
		return nil, nil
	}
	var in learnt
	if err := json.Unmarshal([]byte(text), &in); err != nil {
		return nil, fmt.Errorf("reading what was learned: %w", err)
	}
	out := &window.Learned{}
	for _, b := range in.Biases {
		if int(b.Of) >= ensemble.Variables || int(b.Regime) >= ensemble.Regimes {
			return nil, fmt.Errorf("reading what was learned: no variable %d or regime %d", b.Of, b.Regime)
		}
		out.Weather.Biases[b.Of][b.Regime] = b.Bias
	}
	for _, x := range in.Spreads {
		if int(x.Of) >= ensemble.Spreads {
			return nil, fmt.Errorf("reading what was learned: no spread of variable %d", x.Of)
		}
		out.Weather.Spreads[x.Of] = x.Spread
	}
	for _, z := range in.Zones {
		zone := window.LearnedZone{Zone: z.Zone, Absorptance: z.Absorptance, Sky: z.Sky, From: z.Finish}
		for _, b := range z.Surface {
			if int(b.Regime) >= ensemble.Regimes {
				return nil, fmt.Errorf("reading what was learned: no regime %d", b.Regime)
			}
			zone.Surface[b.Regime] = b.Bias
		}
		out.Zones = append(out.Zones, zone)
	}
	return out, nil
}
