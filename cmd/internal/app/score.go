package app

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/book"
	"dewgap/forecast"
	"dewgap/forecast/ensemble"
	"dewgap/forecast/score"
	"dewgap/window/job"
)

// Score holds what the book said against what was read and what became of the
// work: of every forecast kept with an answer the air, the humidity and the wind,
// of every week the panels, of every week and moved plan how sure it was of work
// that was done and judged later. boat is its name, "" for all boats.
//
// Only what was said before counts: a forecast against readings made after it, an
// answer against work finished after it. Readings are taken as they are, also
// those that an answer did not believe; what was misread is to be taken back.
func (a *App) Score(ctx context.Context, boat string) (*answer.Score, error) {
	if err := a.hasBoat(ctx, boat); err != nil {
		return nil, err
	}
	list, err := a.Book.Answers(ctx, book.AnswerFilter{})
	if err != nil {
		return nil, err
	}
	slices.Reverse(list) // the oldest first: a later word replaces an earlier one
	s := &scorer{
		app: a, heads: map[book.Key]answer.BookJob{}, readings: map[string][]book.Reading{}, near: map[[2]book.Key]bool{},
		made: map[saidFor]time.Time{}, panels: map[panelOf]answer.Read{}, words: map[book.Key]answer.Worked{},
	}
	for _, x := range list {
		head, err := a.headOf(ctx, s.heads, x.Job)
		if err != nil {
			return nil, err
		}
		if boat != "" && head.Boat != boat {
			continue
		}
		if err := s.answer(ctx, x, head); err != nil {
			return nil, err
		}
	}
	if err := s.outcomes(ctx, boat); err != nil {
		return nil, err
	}
	s.facts.Boat = boat
	for _, made := range s.made {
		if !made.IsZero() {
			s.facts.Forecasts++
		}
	}
	for _, key := range s.panelOrder {
		s.facts.Reads = append(s.facts.Reads, s.panels[key])
	}
	return answer.NewScore(s.facts), nil
}

// hasBoat refuses a boat that the book has no job of.
func (a *App) hasBoat(ctx context.Context, boat string) error {
	if boat == "" {
		return nil
	}
	jobs, err := a.Book.Jobs(ctx)
	if err != nil {
		return err
	}
	var names []string
	for _, j := range jobs {
		b, err := a.Book.Boat(ctx, j.Boat)
		if err != nil {
			return err
		}
		if b.Name == boat {
			return nil
		}
		if !slices.Contains(names, b.Name) {
			names = append(names, b.Name)
		}
	}
	if len(names) == 0 {
		return &Problem{Text: "the book has no boat " + boat + ", nor any other", Fix: "record something first, see dewgap log --help"}
	}
	return &Problem{Text: "the book has no boat " + boat, Fix: oneOf(boat, names)}
}

// saidFor is a forecast as one boat got it, panelOf a reading of a panel under it.
type (
	saidFor struct {
		forecast book.Key
		boat     string
	}
	panelOf struct {
		saidFor
		reading book.Key
	}
)

// scorer goes through the answers of a book.
type scorer struct {
	app      *App
	facts    answer.ScoreFacts
	heads    map[book.Key]answer.BookJob
	readings map[string][]book.Reading // by boat
	near     map[[2]book.Key]bool      // jobs of a reading and of an answer
	made     map[saidFor]time.Time     // when a forecast was made; zero where it cannot be read

	panels     map[panelOf]answer.Read
	panelOrder []panelOf
	words      map[book.Key]answer.Worked // by work done: the last that was said before
}

// answer takes one answer: its forecast if it is new, its panels, its words.
func (s *scorer) answer(ctx context.Context, x book.Answer, head answer.BookJob) error {
	s.facts.Answers++
	if _, asked := s.readings[head.Boat]; !asked {
		all, err := s.app.Book.ReadingsSince(ctx, x.Job, epoch)
		if err != nil {
			return err
		}
		s.readings[head.Boat] = slices.DeleteFunc(all, func(m book.Reading) bool { return m.Refused != "" || isRain(m) })
	}
	said := saidFor{x.Forecast, head.Boat}
	if _, known := s.made[said]; !known && x.Forecast != "" {
		if err := s.weather(ctx, x, said); err != nil {
			return err
		}
	}
	if x.Kind != book.Week && x.Kind != book.Move {
		return nil
	}
	body, err := s.app.Book.Body(ctx, x.Body)
	if err != nil {
		return err
	}
	var w answered
	if err := json.Unmarshal(body, &w); err != nil {
		s.facts.Warnings = append(s.facts.Warnings, fmt.Sprintf("answer %d is left out, this dewgap cannot read it: %v", x.ID, err))
		return nil
	}
	if err := s.surfaces(ctx, x, said, w.Zones); err != nil {
		return err
	}
	return s.say(ctx, x, &w)
}

// answered is what a week and a move have in common here. A move's zones are of
// another kind, without hours.
type answered struct {
	Zones    answeredZones    `json:"zones"`
	Windows  []answer.Window  `json:"windows"`
	Refusals []answer.Refusal `json:"refusals"`
	Plan     *answer.Plan     `json:"plan"`
}

// counts are the readings of the boat at the answer's berth after a moment.
func (s *scorer) counts(ctx context.Context, x book.Answer, boat string, after time.Time) ([]book.Reading, error) {
	var out []book.Reading
	for _, m := range s.readings[boat] {
		if !m.At.After(after) {
			continue
		}
		pair := [2]book.Key{m.Job, x.Job}
		near, asked := s.near[pair]
		if !asked {
			at, err := placeOfJob(ctx, s.app.Book, x.Job)
			if err != nil {
				return nil, err
			}
			if near, err = liesNear(ctx, s.app.Book, m.Job, at); err != nil {
				return nil, err
			}
			s.near[pair] = near
		}
		if near {
			out = append(out, m)
		}
	}
	return out, nil
}

func placeOfJob(ctx context.Context, b Book, key book.Key) (forecast.Place, error) {
	j, err := b.Job(ctx, key)
	if err != nil {
		return forecast.Place{}, err
	}
	at, err := b.Place(ctx, j.Place)
	return forecast.Place{Latitude: at.Latitude, Longitude: at.Longitude}, err
}

// weather holds a forecast against the readings made after it.
func (s *scorer) weather(ctx context.Context, x book.Answer, said saidFor) error {
	f, err := recorded{s.app.Book, x.Forecast}.Forecast(ctx, Query{})
	if p, ok := errors.AsType[*Problem](err); ok {
		s.made[said] = time.Time{}
		s.facts.Warnings = append(s.facts.Warnings, fmt.Sprintf("the forecast of answer %d is left out: %s", x.ID, p.Text))
		return nil
	}
	if err != nil {
		return err
	}
	made := madeAt(f, x.At)
	s.made[said] = made
	list, err := s.counts(ctx, x, said.boat, made)
	if err != nil || len(list) == 0 {
		return err
	}
	w := weatherSaid{f: f, made: made, futures: f.Members}
	if w.share, err = s.windShare(ctx, x); err != nil {
		return err
	}
	if len(f.Members) == 1 {
		w.futures = ensemble.Dress(f, Futures, made, ensemble.Options{})
	}
	for _, m := range list {
		s.facts.Reads = append(s.facts.Reads, w.against(m)...)
	}
	return nil
}

// madeAt is when a forecast was made or received; where it does not say, at most
// when it was first answered by.
func madeAt(f *forecast.Forecast, answered time.Time) time.Time {
	switch {
	case !f.Issued.IsZero():
		return f.Issued
	case !f.Fetched.IsZero():
		return f.Fetched
	}
	return answered
}

// windShare is how much of the wind comes to the berth by the answer's job; 0, with
// a word, where the job can no longer be read.
func (s *scorer) windShare(ctx context.Context, x book.Answer) (float64, error) {
	_, r, err := s.app.then(ctx, x)
	if _, torn := errors.AsType[*book.Error](err); torn || ctx.Err() != nil {
		return 0, err
	}
	var j *job.Job
	if err == nil {
		j, err = r.Job(r.Timezone)
	}
	if err != nil {
		s.facts.Warnings = append(s.facts.Warnings, fmt.Sprintf("the wind of answer %d is left out: its job can no longer be read", x.ID))
		return 0, nil //nolint:nilerr // the warning tells
	}
	return j.Place.Wind.Share(), nil
}

// weatherSaid is a forecast as it is held against readings.
type weatherSaid struct {
	f       *forecast.Forecast
	made    time.Time
	futures []forecast.Member
	share   float64 // of the wind; 0: not known
}

// against is what a reading says of the forecast.
func (w weatherSaid) against(m book.Reading) []answer.Read {
	var out []answer.Read
	add := func(name string, q forecast.Quantity, share float64, measured *float64) {
		if measured == nil || share == 0 {
			return
		}
		said, ok := score.Quantile(w.at(w.f.Members, q, m.At), 0.5)
		if !ok {
			return
		}
		futures := w.at(w.futures, q, m.At)
		low, high, _ := score.Between(futures, 0.8)
		out = append(out, answer.Read{
			Quantity: name, Reading: string(m.Key), Lead: m.At.Sub(w.made), Said: share * said, Measured: *measured,
			Low: share * low, High: share * high, HasSpan: len(futures) > 1,
		})
	}
	add("air", forecast.AirTemperature, 1, m.AirC)
	add("humidity", forecast.Humidity, 1, m.HumidityPct)
	add("wind", forecast.WindSpeed, w.share, m.WindMS)
	return out
}

// at is what members know of a quantity at a moment.
func (w weatherSaid) at(members []forecast.Member, q forecast.Quantity, t time.Time) []float64 {
	var out []float64
	for i := range members {
		if v, ok := ensemble.Instant(w.f, &members[i], q, t); ok {
			out = append(out, v)
		}
	}
	return out
}
