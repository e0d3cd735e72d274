package answer

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"dewgap/forecast"
	"dewgap/products"
	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/surface"
	"dewgap/window/verdict"

	"github.com/stretchr/testify/require"
)

// The invented setting: two days from local midnight of Thursday 10 September
// 2026 at Otter Quay, asked about at 06:00.
func newYork(t testing.TB) *time.Location {
	loc, err := time.LoadLocation("America/New_York")
	require.NoError(t, err)
	return loc
}

func clock(t testing.TB, text string) time.Time {
	at, err := time.ParseInLocation("2006-01-02 15:04", text, newYork(t))
	require.NoError(t, err)
	return at
}

// board is a result made by hand: rows are drawn as words, one a stretch.
type board struct {
	t    testing.TB
	f    Facts
	step map[string]int
}

// newBoard makes a job of two zones and the steps named, with nothing judged
// yet. Each step's name is its kind of work; its class is made up.
func newBoard(t testing.TB, steps ...string) *board {
	loc := newYork(t)
	start := clock(t, "2026-09-10 00:00")
	j := &job.Job{
		Name: "Clean and seal", Boat: "Kittiwake", HasBow: true, Berths: []job.Berth{{Bow: 200}}, People: 1,
		Place: job.Place{Name: "Otter Quay", Latitude: 43.07, Longitude: -70.74, Location: loc, Timezone: loc.String()},
		Zones: []boat.Zone{
			{Name: "port side", Tilt: 90, Faces: 270, AreaM2: 18},
			{Name: "foredeck", Tilt: 0},
		},
	}
	b := &board{t: t, step: map[string]int{}}
	for i, do := range steps {
		j.Steps = append(j.Steps, job.Step{Name: do, Do: do, With: do + "-class", On: []int{0, 1}})
		b.step[do] = i
	}
	r := &window.Result{
		Grid: surface.Grid{Start: start.UTC(), N: 2 * 144}, From: 36, To: 2 * 144, Location: loc, Members: 1,
		Zones: []window.Zone{{Name: "port side"}, {Name: "foredeck"}}, Ranked: make([][]window.Ref, len(steps)),
	}
	f := &forecast.Forecast{Service: "invented", Start: start.UTC(), Step: time.Hour, N: 48, Members: make([]forecast.Member, 1)}
	for q := range f.Members[0].Columns {
		f.Members[0].Columns[q] = forecast.NewColumn(f.N)
		for i := range f.N {
			f.Members[0].Columns[q].Set(i, 10)
		}
	}
	for h := 6; h < 48; h++ {
		r.Weather = append(r.Weather, hourAt(start.Add(time.Duration(h)*time.Hour)))
		for z := range r.Zones {
			r.Zones[z].Hours = append(r.Zones[z].Hours, window.ZoneHour{
				Surface: known(20), Spread: known(8), Film: known(0), Sunlight: known(100), UV: known(1),
			})
		}
	}
	b.f = Facts{Job: j, Forecast: f, Result: r, Now: clock(t, "2026-09-10 06:00"), Classes: classes{}}
	return b
}

func known(v float64) window.Value { return window.Value{V: v, Known: true} }

func hourAt(at time.Time) window.Hour {
	return window.Hour{
		At: at.UTC(), Air: known(18), Dew: known(12), Humidity: known(60), Wind: known(3), Gust: known(5),
		Rain: known(0), Cloud: known(0.4), GustHigh: known(6), Global: known(300), UV: known(2),
		SunElevation: 30, SunAzimuth: 140, CosZ: 0.5,
	}
}

// classes has any class by name, without limits unless the test adds some.
type classes map[string]products.Class

func (c classes) Class(id string) (products.Class, bool) {
	if k, ok := c[id]; ok {
		return k, true
	}
	return products.Class{ID: id, Name: id, Do: strings.TrimSuffix(id, "-class"), People: 1}, true
}

var letters = map[byte]verdict.State{
	'i': verdict.Ideal, 'g': verdict.Go, 'm': verdict.Marginal, 'u': verdict.Unknown, 'x': verdict.NoGo,
}

// row draws a row from the horizon's start: "07:00x hours 09:30g 12:00m rain_free"
// is no-go by hours until 07:00, go until then, and so on; the last stretch runs
// to the horizon's end. "+1d" before a time means the second day.
func (b *board) row(step, zone, text string) *window.Row {
	b.t.Helper()
	z, ok := b.f.Job.Zone(zone)
	require.True(b.t, ok)
	s := b.step[step]
	class, _ := b.f.Classes.Class(b.f.Job.Steps[s].With)
	row := window.Row{Step: s, Zone: z, Class: class}
	at := b.f.Result.From
	parts := strings.Split(text, ";")
	for k, part := range parts {
		var state byte
		var limit, until string
		_, err := fmt.Sscanf(part, "%c %s %s", &state, &limit, &until)
		require.NoError(b.t, err, part)
		end := b.f.Result.To
		if k < len(parts)-1 || until != "end" {
			end = b.slot(until)
		}
		run := verdict.Run{From: at, To: end, State: letters[state], Limit: limitNamed(b.t, limit), Confidence: 1}
		run.Binding = verdict.Binding{Limit: run.Limit}
		if !run.Limit.YesNo() && run.Limit != verdict.Data && run.Limit != verdict.None {
			run.Binding.Value, run.Binding.Bound, run.Binding.HasValue = 3, 4, true
		}
		if run.State.Workable() {
			w := window.Window{Run: run, BestFrom: at, BestTo: min(at+12, end), BestState: run.State, WetAt: b.f.Result.Grid.N}
			row.Windows = append(row.Windows, w)
		} else {
			row.Refusals = append(row.Refusals, run)
		}
		at = end
	}
	require.Equal(b.t, b.f.Result.To, at, "the row covers the horizon")
	b.f.Result.Rows = append(b.f.Result.Rows, row)
	b.rank(s)
	return &b.f.Result.Rows[len(b.f.Result.Rows)-1]
}

// slot reads "09:30" or "+09:30", which is on the second day.
func (b *board) slot(text string) int {
	day := 10
	if strings.HasPrefix(text, "+") {
		day, text = 11, text[1:]
	}
	return b.f.Result.Grid.Index(clock(b.t, fmt.Sprintf("2026-09-%02d %s", day, text)))
}

// rank orders a step's windows by state and start.
func (b *board) rank(step int) {
	var refs []window.Ref
	for _, state := range []verdict.State{verdict.Ideal, verdict.Go, verdict.Marginal} {
		for slot := range b.f.Result.To {
			for i, r := range b.f.Result.Rows {
				for k, w := range r.Windows {
					if r.Step == step && w.State == state && w.From == slot {
						refs = append(refs, window.Ref{Row: i, Window: k})
					}
				}
			}
		}
	}
	for n, ref := range refs {
		b.f.Result.At(ref).Rank = n + 1
	}
	b.f.Result.Ranked[step] = refs
}

func limitNamed(t testing.TB, name string) verdict.Limit {
	for l := verdict.None; int(l) < verdict.Limits; l++ {
		if l.String() == name || (l == verdict.None && name == "none") {
			return l
		}
	}
	require.Fail(t, "no limit "+name)
	return verdict.None
}
