package app

import (
	"context"
	"errors"
	"math"
	"slices"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/book"
	"dewgap/forecast"
	"dewgap/forecast/air"
	"dewgap/forecast/ensemble"
	"dewgap/window"
	"dewgap/window/job"
)

// Stations gives what weather stations near a place measured.
type Stations interface {
	// Observed gives the observations of [since, until] as they teach at the place,
	// each with Station and Share set and at its height, in any order.
	Observed(ctx context.Context, place forecast.Place, since, until time.Time) (Observations, error)
}

// Observations are those of weather stations, and which stations were looked at.
type Observations struct {
	List     []ensemble.Observed
	Stations []answer.LearnedStation // that teaches, and nearer ones that may not
}

// teachesAfter is the age from which a reading teaches: until then it is this
// morning's and corrects the forecast itself.
const teachesAfter = readingsLast

// apart is the pause after which readings belong to another visit.
const apart = 6 * time.Hour

// taught is what was learned for an answer, and from what.
type taught struct {
	learned  *window.Learned // nil where nothing was
	from     []answer.LearnedFrom
	stations []answer.LearnedStation
	warnings []string // for dewgap place show alone: an answer must come again without the stations
}

// lines name what is used.
func (t *taught) lines() []string {
	if t == nil {
		return nil
	}
	return answer.LearnedLines(t.learned)
}

// used is what an answer is made with: nil where nothing of it is used.
func (t *taught) used() *window.Learned {
	if t == nil || t.learned.Empty() {
		return nil
	}
	return t.learned
}

// learn learns from what the book has of the place up to now: readings of all boats
// there for the weather, those of the job's boat for her panels.
//
// f is the forecast of the answer, nil without one: its height stands in for that of a
// place whose own the job does not tell.
func (a *App) learn(ctx context.Context, r Request, j *job.Job, now time.Time, f *forecast.Forecast) (*taught, error) {
	switch {
	case r.past != nil:
		return &taught{learned: r.past.learned}, nil
	case a.Book == nil || r.File == nil || r.NoLearned:
		return &taught{}, nil
	}
	l := learner{app: a, job: j, now: now, at: placeOf(j), near: map[book.Key]bool{}}
	if !l.at.HasElevation && f != nil {
		l.at.ElevationM, l.at.HasElevation = f.Place.ElevationM, f.Place.HasElevation
	}
	if err := l.gather(ctx); err != nil {
		return nil, err
	}
	if len(l.readings) == 0 && a.Stations == nil {
		return &l.taught, nil
	}
	if err := l.listForecasts(ctx); err != nil {
		return nil, err
	}
	l.observe(ctx)
	if len(l.readings)+len(l.observed) == 0 {
		return &l.taught, nil
	}
	if err := l.pair(ctx); err != nil {
		return nil, err
	}
	l.taught.learned = &window.Learned{Weather: ensemble.Learn(l.misses, now)}
	l.taught.learned.Zones = window.LearnZones(window.LearnInput{
		Job: j, Location: j.Location(), Now: now, Weather: l.taught.learned.Weather, Past: l.past, Skies: l.app.Skies,
	})
	return &l.taught, nil
}

// learner is the learning for one answer.
type learner struct {
	app *App
	job *job.Job
	now time.Time
	at  forecast.Place

	near      map[book.Key]bool // by job: it lies near
	readings  []dockReading     // by time
	observed  []ensemble.Observed
	forecasts []madeForecast // the newest first
	decoded   madeForecast   // the last that was read, with its body
	misses    []ensemble.Miss
	past      []window.PastReadings
	own       visit
	taught    taught
}

// dockReading is a reading at the place; own: of the job's boat.
type dockReading struct {
	job.Reading
	own bool
}

// madeForecast is a forecast of the book, its body read where f is not nil.
type madeForecast struct {
	key  book.Key
	made time.Time
	f    *forecast.Forecast
}

// visit is the forecast of the readings that are being gathered, and the last of
// their times.
type visit struct {
	forecast book.Key
	last     time.Time
}

// gather lists the readings at the place that teach.
func (l *learner) gather(ctx context.Context) error {
	jobs, err := l.app.Book.Jobs(ctx)
	if err != nil {
		return err
	}
	seen := map[string]bool{}
	for _, j := range jobs {
		boat, err := l.app.Book.Boat(ctx, j.Boat)
		if err != nil {
			return err
		}
		if seen[boat.Name] {
			continue
		}
		seen[boat.Name] = true
		list, err := l.app.Book.ReadingsSince(ctx, j.Key, l.now.Add(-ensemble.LearnFrom))
		if err != nil {
			return err
		}
		if err := l.take(ctx, list, boat.Name == l.job.Boat); err != nil {
			return err
		}
	}
	slices.SortStableFunc(l.readings, func(a, b dockReading) int { return a.At.Compare(b.At) })
	return nil
}

func (l *learner) take(ctx context.Context, list []book.Reading, own bool) error {
	for _, m := range list {
		if m.Refused != "" || isRain(m) || l.now.Sub(m.At) <= teachesAfter {
			continue
		}
		near, err := l.isNear(ctx, m.Job)
		if err != nil {
			return err
		}
		if near {
			l.readings = append(l.readings, dockReading{ReadingOf(m), own})
		}
	}
	return nil
}

func (l *learner) isNear(ctx context.Context, key book.Key) (bool, error) {
	is, asked := l.near[key]
	if asked {
		return is, nil
	}
	is, err := liesNear(ctx, l.app.Book, key, l.at)
	l.near[key] = is
	return is, err
}

// observe asks the stations, where a forecast is there to be held against them; an
// answer is given without them too.
func (l *learner) observe(ctx context.Context) {
	if l.app.Stations == nil || len(l.forecasts) == 0 {
		return
	}
	seen, err := l.app.Stations.Observed(ctx, l.at, l.now.Add(-ensemble.LearnFrom), l.now)
	if err != nil {
		l.taught.warnings = append(l.taught.warnings, "the weather stations near the place could not be asked: "+err.Error())
		return
	}
	l.observed, l.taught.stations = seen.List, seen.Stations
	slices.SortStableFunc(l.observed, func(a, b ensemble.Observed) int { return a.At.Compare(b.At) })
}

// listForecasts lists the forecasts that the book has for the place, without their
// bodies.
func (l *learner) listForecasts(ctx context.Context) error {
	list, err := l.app.Book.Answers(ctx, book.AnswerFilter{})
	if err != nil {
		return err
	}
	seen := map[book.Key]bool{}
	for _, x := range list {
		if x.Forecast == "" || seen[x.Forecast] || x.At.After(l.now) || l.now.Sub(x.At) > ensemble.LearnFrom+ensemble.LearnLead {
			continue
		}
		seen[x.Forecast] = true
		near, err := l.isNear(ctx, x.Job)
		if err != nil {
			return err
		}
		if !near {
			continue
		}
		row, err := l.app.Book.Forecast(ctx, x.Forecast)
		if err != nil {
			return err
		}
		made := madeAt(&forecast.Forecast{Issued: row.Issued, Fetched: row.Fetched}, x.At)
		l.forecasts = append(l.forecasts, madeForecast{key: x.Forecast, made: made})
	}
	slices.SortStableFunc(l.forecasts, func(a, b madeForecast) int { return b.made.Compare(a.made) })
	return nil
}

// heldBy is the newest forecast that was made before a moment and reaches it; ok is
// false where there is none. One of a form that this dewgap cannot read is passed over.
func (l *learner) heldBy(ctx context.Context, t time.Time) (madeForecast, bool, error) {
	for _, m := range l.forecasts {
		if m.made.After(t) || t.Sub(m.made) > ensemble.LearnLead {
			continue
		}
		if l.decoded.key != m.key {
			f, err := recorded{l.app.Book, m.key}.Forecast(ctx, Query{})
			if ctx.Err() != nil {
				return m, false, ctx.Err()
			}
			if _, unread := errors.AsType[*Problem](err); unread {
				continue
			}
			if err != nil {
				return m, false, err
			}
			if f.Issued.IsZero() && f.Fetched.IsZero() {
				f.Fetched = m.made // how far ahead it looked hangs on it
			}
			m.f = f
			l.decoded = m
		}
		if _, inside := l.decoded.f.Index(t); inside {
			return l.decoded, true, nil
		}
	}
	return madeForecast{}, false, nil
}

// pair holds everything measured against the forecast of its moment.
func (l *learner) pair(ctx context.Context) error {
	for _, m := range l.readings {
		f, ok, err := l.heldBy(ctx, m.At)
		if err != nil {
			return err
		}
		if ok {
			l.learnFrom(f, m)
		}
	}
	for _, o := range l.observed {
		f, ok, err := l.heldBy(ctx, o.At)
		if err != nil {
			return err
		}
		if ok {
			l.misses = append(l.misses, ensemble.Misses(f.f, []ensemble.Observed{o})...)
		}
	}
	return nil
}

// learnFrom takes one reading up: its air for the place, and for the boat's own
// panels all of it, visit by visit.
func (l *learner) learnFrom(f madeForecast, m dockReading) {
	misses := ensemble.Misses(f.f, []ensemble.Observed{observed(m.Reading, l.job.Place.Wind.Share())})
	l.misses = append(l.misses, misses...)
	if len(misses) == 0 && (!m.own || !m.SurfaceC.Known) {
		return
	}
	l.taught.from = append(l.taught.from, l.heldAgainst(f, m.Reading, misses))
	if !m.own {
		return
	}
	v := visit{f.key, m.At}
	if v.forecast != l.own.forecast || v.last.Sub(l.own.last) > apart {
		first := *f.f
		first.Members = []forecast.Member{f.f.Members[0]} // the others need not be kept
		l.past = append(l.past, window.PastReadings{Forecast: &first})
	}
	l.own = v
	last := &l.past[len(l.past)-1]
	last.Readings = append(last.Readings, m.Reading)
}

// observed is a reading in the forecast's own units and at its heights, share being
// the part of the wind that comes to the berth.
func observed(m job.Reading, share float64) ensemble.Observed {
	o := ensemble.Observed{
		At: m.At, AirC: m.AirC.V, HasAir: m.AirC.Known, WindMS: m.WindMS.V / share, HasWind: m.WindMS.Known,
		HasDewPoint: m.AirC.Known && m.HumidityPct.Known,
	}
	if o.HasDewPoint {
		o.DewPointC = air.DewPoint(m.AirC.V, m.HumidityPct.V)
	}
	return o
}

func (l *learner) heldAgainst(f madeForecast, m job.Reading, misses []ensemble.Miss) answer.LearnedFrom {
	loc := l.job.Location()
	out := answer.LearnedFrom{
		At: m.At.In(loc), Zone: m.Zone, Text: inWords(m), Made: f.made.In(loc), Age: hundredth(ensemble.AgeWeight(l.now.Sub(m.At))),
	}
	for _, x := range misses {
		v := hundredth(x.Off)
		switch x.Of {
		case ensemble.AirError:
			out.AirK = &v
		case ensemble.DewError:
			out.DewK = &v
		case ensemble.WindError:
			v = hundredth(math.Exp(x.Off))
			out.WindX = &v
		}
	}
	return out
}

func hundredth(v float64) float64 { return math.Round(100*v)/100 + 0 }
