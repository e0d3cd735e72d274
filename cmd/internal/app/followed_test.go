package app_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/book"
	"dewgap/cmd/internal/demo"
	"dewgap/forecast"
	"dewgap/forecast/epw"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// followed is a person who goes by the program from day to day, in weather that comes as it
// comes: the invented typical year of the demo, forecast with errors that grow with the lead.
type followed struct {
	*testing.T
	zone  *time.Location
	truth *forecast.Forecast
	book  *book.Book
	text  []byte
	ahead int // days that are forecast

	moves  int
	parts  int                  // mornings with a plan of a part of the job
	doneAt map[string]time.Time // by step and zone
}

func follow(t *testing.T, text []byte) *followed {
	y, err := epw.Parse(demo.Year())
	require.NoError(t, err)
	zone, err := time.LoadLocation("America/New_York")
	require.NoError(t, err)
	return &followed{
		T: t, zone: zone, truth: y.Forecast(2026, 0, 0), book: newBook(t), text: text, ahead: 9, doneAt: map[string]time.Time{},
	}
}

// forecastMembers is how many futures a forecast has, errorHours by how many hours a day of
// lead shifts the weather of one, and errorK by how much it misses air and dew point.
const (
	forecastMembers = 4
	errorHours      = 8
	errorK          = 0.9
)

// asOf is what was forecast at a time: three days behind it as they were, and those ahead.
func (f *followed) asOf(now time.Time) *forecast.Forecast {
	from := int(now.Sub(f.truth.Start)/time.Hour) - 72
	out := *f.truth
	out.Service, out.Issued, out.N = "invented", now.Add(-time.Hour).Truncate(time.Hour), 72+f.ahead*24
	out.Start = f.truth.Start.Add(time.Duration(from) * time.Hour)
	out.Members = make([]forecast.Member, forecastMembers)
	for k := range out.Members {
		draw := rand.New(rand.NewPCG(uint64(now.YearDay()), uint64(k)))
		shift, air, dew := draw.NormFloat64(), draw.NormFloat64(), draw.NormFloat64()
		for q, c := range f.truth.Members[0].Columns {
			if len(c.Values) == 0 {
				continue
			}
			col := forecast.NewColumn(out.N)
			for i := range out.N {
				lead := math.Max(0, float64(i-72)/24)
				at := from + i
				switch forecast.Quantity(q) {
				case forecast.Precipitation, forecast.CloudCover, forecast.WindSpeed, forecast.WindFrom:
					at += int(math.Round(shift * errorHours * lead))
				}
				v := c.Values[at]
				switch forecast.Quantity(q) {
				case forecast.AirTemperature:
					v += air * errorK * math.Sqrt(lead)
				case forecast.DewPoint:
					v = math.Min(v+dew*errorK*math.Sqrt(lead), c.Values[at])
				}
				if c.Known[at] {
					col.Set(i, v)
				}
			}
			out.Members[k].Columns[q] = col
		}
		out.Members[k].Columns[forecast.Humidity] = forecast.Column{} // of air and dew point
	}
	return &out
}

func (f *followed) ask(now time.Time) (*app.App, app.Request) {
	a, r := fixture{now: now.Format(time.RFC3339), forecast: f.asOf(now), job: string(f.text)}.app(f.T)
	a.Book, a.Version = app.Stored{Book: f.book}, "v1.2.3"
	a.Unrecorded = func(err error) { assert.NoError(f, err) }
	r.File, r.Hold = &app.JobFile{Name: "job.yaml", Data: f.text}, true
	return a, r
}

func (f *followed) week(now time.Time) *answer.Week {
	a, r := f.ask(now)
	w, err := a.Week(f.Context(), r)
	require.NoError(f, err, now)
	return w
}

// broken reports whether a week says that the plan in force holds no longer.
func broken(w *answer.Week) bool {
	return w.Plan.Held != nil && strings.Contains(strings.Join(w.Warnings, "\n"), "does not hold")
}

// morning is six o'clock: the week, a move where the plan does not hold, and what the
// morning has of it.
func (f *followed) morning(now time.Time) *answer.Week {
	w := f.week(now)
	if broken(w) {
		a, r := f.ask(now.Add(time.Minute))
		m, err := a.Move(f.Context(), app.MoveRequest{Request: r, Needed: true})
		require.NoError(f, err, now)
		f.moves++
		w = f.week(now.Add(2 * time.Minute))
		if m.Plan != nil && len(m.Plan.Blocks) > 0 {
			require.NotNil(f, w.Plan.Held, "%s: what was moved stands", now)
			assert.Equal(f, blocksOf(m.Plan), blocksOf(w.Plan), "%s: the plan is the one that was moved", now)
			assert.False(f, broken(w), "%s: what was moved holds: %s", now, said(w))
		}
	}
	a, r := f.ask(now.Add(3 * time.Minute))
	m, err := a.Morning(f.Context(), r)
	require.NoError(f, err)
	if w.Plan != nil && m.Today != nil && m.Today.Made != nil {
		var today []answer.PlanBlock
		for _, x := range w.Plan.Ahead(now) {
			if x.From.Before(answer.NextMidnight(now)) {
				today = append(today, x)
			}
		}
		assert.Equal(f, blocksOf(&answer.Plan{Blocks: today}), blocksOf(&answer.Plan{Blocks: m.Today.Blocks}), "%s: the morning has the week's plan", now)
	}
	return w
}

// evening writes down the rain that fell and the work that went as planned.
func (f *followed) evening(now time.Time, w *answer.Week) {
	mm := f.truth.Members[0].Columns[forecast.Precipitation]
	for i := int(now.Add(-13*time.Hour).Sub(f.truth.Start) / time.Hour); f.truth.Start.Add(time.Duration(i+1)*time.Hour).Compare(now) <= 0; i++ {
		if !mm.Known[i] || mm.Values[i] < 0.1 {
			continue
		}
		a, r := f.ask(now)
		from := f.truth.Start.Add(time.Duration(i) * time.Hour)
		_, err := a.LogRain(f.Context(), app.RainRequest{
			Request: r, From: on(from.Format(time.RFC3339)), To: on(from.Add(time.Hour).Format(time.RFC3339)), MM: &mm.Values[i],
		})
		require.NoError(f, err)
	}
	if !slices.ContainsFunc(w.Plan.Blocks, func(x answer.PlanBlock) bool { return x.From.Before(now) && now.Add(-13*time.Hour).Before(x.To) }) {
		return
	}
	a, r := f.ask(now)
	logged, err := a.LogPlanned(f.Context(), app.PlannedRequest{Request: r, At: on(now.Format(time.RFC3339))})
	var nothing *app.Problem
	if errors.As(err, &nothing) {
		return
	}
	require.NoError(f, err, now)
	for _, e := range logged.Entries {
		f.doneAt[e.Step+" "+e.Zone] = e.At
	}
}

// run goes by the program from a day until all is done, and gives the days it took; 0 where
// it took more than most.
func (f *followed) run(from time.Time, most int) int {
	for day := range most {
		six := from.AddDate(0, 0, day)
		w := f.morning(six)
		require.NotNil(f, w.Plan)
		if w.Plan.Part != nil {
			f.parts++
		}
		if w.Plan.Held == nil {
			assert.Len(f, w.Plan.Ahead(six), len(w.Plan.Blocks), "%s: nothing is planned into the past", six)
		}
		if w.Plan.State == answer.Go && len(w.Plan.Ahead(six)) == 0 {
			return day
		}
		f.evening(six.Add(13*time.Hour), w)
	}
	return 0
}

// A job is followed from day to day to its end: the week at six, a move where the plan holds
// no longer, the morning, and the evening's log. Whatever comes, what one answer says of the
// plan the next one says too, and nothing is left that no plan gets on with.
func TestFollowed(t *testing.T) {
	t.Parallel()
	f := follow(t, []byte(strings.ReplaceAll(string(demo.JobFile()), "port side, starboard side, transom, foredeck", "port side, foredeck")))
	took := f.run(time.Date(2026, 7, 1, 6, 0, 0, 0, f.zone), 20)
	t.Log("took days", took, "moves", f.moves)
	assert.Positive(t, took, "it is never done")
	assert.Len(t, f.doneAt, 8, "every step on every zone")
	assert.Positive(t, f.moves, "the weather comes otherwise than forecast")
}

// A job that takes longer than the days that are forecast is begun and done all the same: a part
// of it is planned, that stands and is moved as any plan, and the next is planned behind it.
func TestFollowedInParts(t *testing.T) {
	t.Parallel()
	f := follow(t, []byte(strings.Replace(string(demo.JobFile()), "people: 2", "people: 1", 1)))
	f.ahead = 3
	took := f.run(time.Date(2026, 7, 1, 6, 0, 0, 0, f.zone), 30)
	t.Log("took days", took, "moves", f.moves, "in parts", f.parts)
	assert.Positive(t, took, "it is never done")
	assert.Len(t, f.doneAt, 16, "every step on every zone")
	assert.Positive(t, f.parts, "three days are too few for all of it")
}
