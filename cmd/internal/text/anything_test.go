package text

import (
	"bytes"
	"encoding/json"
	"io"
	"math"
	"reflect"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/cmd/internal/answer"
)

// moments are the times of one answer: around a clock change, the turn of the year or
// a plain day, at a place that may lie across the date line.
type moments struct {
	loc   *time.Location
	first time.Time
}

func anyMoments(t *rapid.T) moments {
	loc, err := time.LoadLocation(rapid.SampledFrom([]string{
		"America/New_York", "Europe/London", "Australia/Lord_Howe", "Pacific/Kiritimati", "Pacific/Pago_Pago", "Asia/Kathmandu", "UTC",
	}).Draw(t, "zone"))
	require.NoError(t, err)
	day := rapid.SampledFrom([]string{"2026-09-08", "2026-11-01", "2026-03-08", "2026-10-25", "2026-03-29", "2026-10-04", "2026-04-05", "2026-12-31"}).Draw(t, "day")
	first, err := time.ParseInLocation(time.DateOnly, day, loc)
	require.NoError(t, err)
	return moments{loc, first}
}

func (m moments) any(t *rapid.T) time.Time {
	return m.first.Add(time.Duration(rapid.IntRange(-144, 10*144).Draw(t, "slot")) * 10 * time.Minute).In(m.loc)
}

// wordsOf are the words that a field may hold, by its name in JSON.
var wordsOf = map[string][]string{
	"state": {"ideal", "go", "marginal", "no-go", "unknown", "none", "odd"}, "verdict": {"go", "wait", "marginal", "no-go", "unknown", "none"},
	"fate": {"good", "inspect", "rewash", "redo", "odd"}, "level": {"danger", "warning", "caution", "note", "unknown", "odd"},
	"limit": {"air_min", "surface_max", "humidity_max", "spread_min", "wind_max", "film", "dry_off", "rain_free", "cure", "hours", "block", "salt", "data", "away", "odd"},
	"kind":  {"wbgt", "heat-index", "thunder", "gust", "float", "cold", "ice", "uv", "in-force", "product", "air", "surface", "rain", "done", "odd"},
	"unit":  {"°C", "K", "%", "m/s", "h", "g/m²", "W/m²", "", "min", "odd"}, "to": {"owner", "crew"}, "timezone": {"America/New_York", "odd"},
	"date": {"2026-09-08", "2026-11-01", "odd"}, "change": {"kept", "moved", "added", "done", "dropped", "none", "odd"}, "regime": {"clear night", "cloudy day"},
	"differ": {"dew_point", "rain", "wind", "air", "odd"},
}

// filler fills any answer: names of every kind, numbers of every size, things absent.
type filler struct {
	t *rapid.T
	moments
	odd bool // numbers too that no JSON can hold
}

func (f filler) fill(v reflect.Value, name string) {
	switch v.Kind() {
	case reflect.Pointer:
		if rapid.IntRange(0, 2).Draw(f.t, name+"?") > 0 {
			v.Set(reflect.New(v.Type().Elem()))
			f.fill(v.Elem(), name)
		}
	case reflect.Struct:
		if v.Type() == reflect.TypeFor[time.Time]() {
			v.Set(reflect.ValueOf(f.any(f.t)))
			return
		}
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				key, _, _ := strings.Cut(v.Type().Field(i).Tag.Get("json"), ",")
				f.fill(v.Field(i), key)
			}
		}
	case reflect.Slice:
		n := rapid.IntRange(0, 3).Draw(f.t, name+" n")
		v.Set(reflect.MakeSlice(v.Type(), n, n))
		fallthrough
	case reflect.Array:
		for i := range v.Len() {
			f.fill(v.Index(i), name)
		}
	default:
		f.single(v, name)
	}
}

// single fills what has no parts.
func (f filler) single(v reflect.Value, name string) {
	switch v.Kind() {
	case reflect.String:
		if words := wordsOf[name]; words != nil {
			v.SetString(rapid.SampledFrom(words).Draw(f.t, name))
			return
		}
		names := []string{
			"port side", "seal", "", "\x1b[31mred\a", "\u202egnorw", "⛵ 船 דגל", strings.Repeat("long ", 40), strings.Repeat("x", 10_000), "a\nb", "polymer-sealant",
		}
		if f.odd {
			names = append(names, "\xff\xfe")
		}
		v.SetString(rapid.OneOf(rapid.SampledFrom(names), rapid.StringN(0, 60, -1)).Draw(f.t, name))
	case reflect.Bool:
		v.SetBool(rapid.Bool().Draw(f.t, name))
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		v.SetInt(rapid.Int64Range(-2, 40).Draw(f.t, name))
	case reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64, reflect.Uint:
		v.SetUint(rapid.Uint64Range(0, 40).Draw(f.t, name))
	case reflect.Float64, reflect.Float32:
		list := []float64{0, 0.5, 1, -40, 1e9}
		if f.odd {
			list = append(list, math.NaN(), math.Inf(1), math.Inf(-1), -1e300)
		}
		v.SetFloat(rapid.OneOf(rapid.Float64Range(-60, 1500), rapid.SampledFrom(list)).Draw(f.t, name))
	}
}

// screenOf draws an answer and the page that shows it, which can be shown of the same
// answer read back from its JSON.
type screenOf struct {
	name string
	make func(f filler) any
	show func(w io.Writer, a any, o Options) error
}

func screen[T any](name string, show func(io.Writer, *T, Options) error, settle func(*T)) screenOf {
	return screenOf{name: name,
		make: func(f filler) any {
			a := new(T)
			f.fill(reflect.ValueOf(a).Elem(), name)
			if settle != nil {
				settle(a)
			}
			return a
		},
		show: func(w io.Writer, a any, o Options) error { return show(w, a.(*T), o) },
	}
}

func screens() []screenOf {
	return []screenOf{
		screen("week", Week, nil), screen("morning", Morning, nil), screen("move", Move, nil), screen("why", Why, nil), screen("season", Season, nil),
		screen("place", Place, nil), screen("score", Score, nil), screen("note", Note, nil), screen("book", Book, nil), screen("again", Again, nil),
		screen("sources", Sources, func(a *answer.Sources) {
			for i := range a.Services {
				s := &a.Services[i]
				s.Usable = s.Source != nil && s.Ends != nil // what can be used has both
			}
		}),
	}
}

// No answer that can be thought of makes a page wider than the screen, commands the
// terminal or ends in a panic: whatever the names, zones, units and numbers.
func TestAnyAnswerIsShown(t *testing.T) {
	t.Parallel()
	for _, s := range screens() {
		t.Run(s.name, func(t *testing.T) {
			rapid.Check(t, func(rt *rapid.T) {
				f := filler{rt, anyMoments(rt), true}
				a := s.make(f)
				o := Options{
					Units: rapid.SampledFrom([]string{"metric", "us"}).Draw(rt, "units"), Colour: rapid.Bool().Draw(rt, "colour"),
					Width: rapid.SampledFrom([]int{0, 40, 48, 60, 80, 132}).Draw(rt, "width"), Hours: rapid.Bool().Draw(rt, "hours"),
				}
				var b bytes.Buffer
				require.NoError(rt, s.show(&b, a, o))
				keepsTheRules(rt, b.String(), o)
			})
		})
	}
}

// home puts the times of an answer on the clock of the place.
func (f filler) home(v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			f.home(v.Elem())
		}
	case reflect.Struct:
		if t, ok := v.Interface().(time.Time); ok {
			v.Set(reflect.ValueOf(t.In(f.loc)))
			return
		}
		for i := range v.NumField() {
			f.home(v.Field(i))
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			f.home(v.Index(i))
		}
	}
}

// A note of a move that the book has kept reads like one of the move itself: its hours
// are those of the place, through the night in which the clocks change too.
func TestNotesOfKeptMoves(t *testing.T) {
	t.Parallel()
	move := screen("move", Move, nil)
	rapid.Check(t, func(rt *rapid.T) {
		f := filler{rt, anyMoments(rt), false}
		a := move.make(f).(*answer.Move)
		data, err := json.Marshal(a)
		require.NoError(rt, err)
		var back answer.Move
		require.NoError(rt, json.Unmarshal(data, &back))
		for _, to := range []string{ToOwner, ToCrew} {
			was, is := NoteOfMove(a, to, metric), NoteOfMove(&back, to, metric)
			is.Now = was.Now
			require.Equal(rt, was, is)
		}
	})
}

// An answer that the book has kept is shown like the answer itself, on the days of
// clock changes too.
func TestKeptAnswersAreShownAlike(t *testing.T) {
	t.Parallel()
	for _, s := range []screenOf{screen("week", Week, nil), screen("morning", Morning, nil), screen("move", Move, nil)} {
		t.Run(s.name, func(t *testing.T) {
			rapid.Check(t, func(rt *rapid.T) {
				f := filler{rt, anyMoments(rt), false}
				a := s.make(f)
				reflect.ValueOf(a).Elem().FieldByName("Place").FieldByName("Timezone").SetString(f.loc.String())
				data, err := json.Marshal(a)
				require.NoError(rt, err)
				back := reflect.New(reflect.TypeOf(a).Elem()).Interface()
				require.NoError(rt, answer.Restore(data, back))
				var here, there bytes.Buffer
				require.NoError(rt, s.show(&here, a, Options{Hours: true}))
				require.NoError(rt, s.show(&there, back, Options{Hours: true}))
				require.Equal(rt, here.String(), there.String())
			})
		})
	}
}

// The screen says nothing that the JSON does not: an answer read back from it gives
// the same page, the hours of both clock changes and beyond the date line too.
func TestScreenAndJSONSayTheSame(t *testing.T) {
	t.Parallel()
	for _, s := range screens() {
		t.Run(s.name, func(t *testing.T) {
			rapid.Check(t, func(rt *rapid.T) {
				f := filler{rt, anyMoments(rt), false}
				a := s.make(f)
				data, err := json.Marshal(a)
				require.NoError(rt, err)
				back := reflect.New(reflect.TypeOf(a).Elem())
				require.NoError(rt, json.Unmarshal(data, back.Interface()))
				f.home(back) // JSON has the offsets of the place, not the place
				o := Options{Units: rapid.SampledFrom([]string{"metric", "us"}).Draw(rt, "units"), Hours: rapid.Bool().Draw(rt, "hours")}
				var here, there bytes.Buffer
				require.NoError(rt, s.show(&here, a, o))
				require.NoError(rt, s.show(&there, back.Interface(), o))
				require.Equal(rt, here.String(), there.String())
			})
		})
	}
}
