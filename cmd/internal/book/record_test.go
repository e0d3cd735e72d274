package book

import (
	"bytes"
	"context"
	"errors"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// TestRoundTrip reads back one of everything, each field filled.
func TestRoundTrip(t *testing.T) {
	b, s := filled(t)
	ctx := t.Context()

	f, err := Get[Forecast](ctx, b, s.forecast)
	require.NoError(t, err)
	assert.Equal(t, Forecast{
		Row: f.Row, Service: "Open-Meteo", Model: "best_match", Place: f.Place, Issued: at(6, 0), Fetched: at(9, 40),
		Form: "reply", Warnings: []string{"no gusts", "a \"quoted\" <word> & more"}, Body: keyOfBytes([]byte(reply)),
	}, f)
	body, err := b.Body(ctx, f.Body)
	require.NoError(t, err)
	assert.Equal(t, reply, string(body))

	r, err := Get[Reading](ctx, b, s.reading)
	require.NoError(t, err)
	want := fullReading(s.job)
	want.Row = r.Row
	assert.Equal(t, want, r)

	p, err := Get[Place](ctx, b, f.Place)
	require.NoError(t, err)
	place := otterQuay()
	place.Row = p.Row
	assert.Equal(t, place, p)

	j, err := Get[Job](ctx, b, s.job)
	require.NoError(t, err)
	assert.Equal(t, "Late-summer clean and seal", j.Name)
	boat, err := Get[Boat](ctx, b, j.Boat)
	require.NoError(t, err)
	kw := kittiwake()
	kw.Row = boat.Row
	assert.Equal(t, kw, boat)

	a, err := Find[Answer](ctx, b, 1)
	require.NoError(t, err)
	assert.Equal(t, map[string]string{"units": "us", "source": "auto"}, a.Settings)
	assert.Equal(t, []Key{s.reading}, a.Readings)
	assert.Equal(t, []Key{s.done}, a.Done)
	assert.Equal(t, dawn, a.Recorded)
}

// TestTheFixtureFillsEveryField makes sure that the round trips above and below
// leave no field out.
func TestTheFixtureFillsEveryField(t *testing.T) {
	b, _ := filled(t)
	own := []string{"void", "again", "supersedes"} // of corrections, tested there
	for _, s := range sections() {
		filled := map[string]bool{}
		require.NoError(t, s.each(t.Context(), b.db, func(r record) error {
			for _, f := range r.fields() {
				if f.text() != "" {
					filled[f.name] = true
				}
			}
			return nil
		}))
		for _, f := range s.blank().fields() {
			if !slices.Contains(own, f.name) {
				assert.True(t, filled[f.name], "%s.%s", s.table, f.name)
			}
		}
	}
}

// TestEveryFieldIsAColumn finds a field that somebody added to a record and
// forgot in its columns, or named otherwise in an export.
func TestEveryFieldIsAColumn(t *testing.T) {
	for _, s := range sections() {
		r := s.blank()
		columns := columnsCSV(r)[1:] // an export has no id
		assert.ElementsMatch(t, columns, jsonNames(reflect.TypeOf(r).Elem()), s.table)
	}
}

func jsonNames(t reflect.Type) (out []string) {
	for f := range t.Fields() {
		if f.Anonymous {
			out = append(out, jsonNames(f.Type)...)
			continue
		}
		name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		if name != "-" {
			out = append(out, name)
		}
	}
	return out
}

// TestAnyReading reads back whatever a reading may hold.
func TestAnyReading(t *testing.T) {
	b := newBook(t)
	job := theJob(t, b)
	rapid.Check(t, func(t *rapid.T) {
		want := anyReading(t, job)
		var row Row
		require.NoError(t, b.Record(context.Background(), func(tx *Tx) (err error) {
			row, err = tx.AddReading(want)
			return err
		}))
		got, err := Find[Reading](context.Background(), b, row.ID)
		require.NoError(t, err)
		want.Row, want.Again = row, got.Again
		require.NoError(t, prepare(&want)) // as it is kept
		assert.Equal(t, want, got)
	})
}

func anyReading(t *rapid.T, job Key) Reading {
	text := rapid.StringOfN(rapid.RuneFrom([]rune("abc ,;'\"\n\\<&é露")), 0, 12, -1)
	number := rapid.Ptr(rapid.OneOf(rapid.Float64(), rapid.SampledFrom([]float64{0, math.Copysign(0, -1), -1, 0.1, 5e-324, math.MaxFloat64})), true)
	truth := rapid.Ptr(rapid.Bool(), true)
	moments := rapid.Custom(func(t *rapid.T) time.Time {
		return time.Unix(rapid.Int64Range(0, 253402300799).Draw(t, "s"), 0).UTC()
	})
	return Reading{
		Job: job, At: moments.Draw(t, "at"), Zone: text.Draw(t, "zone"), AirC: number.Draw(t, "air"),
		HumidityPct: number.Draw(t, "humidity"), WindMS: number.Draw(t, "wind"), Rain: truth.Draw(t, "rain"),
		Wet: truth.Draw(t, "wet"), Sun: truth.Draw(t, "sun"), Note: text.Draw(t, "note"),
		Flags: rapid.SliceOfN(text, 0, 3).Draw(t, "flags"),
	}
}

func TestTimesAreKeptInWholeSecondsOfUTC(t *testing.T) {
	b := newBook(t)
	job := theJob(t, b)
	there := time.FixedZone("there", -4*3600)
	row := recordOne(t, b, func(tx *Tx) (Row, error) {
		return tx.AddReading(Reading{Job: job, At: time.Date(2026, 9, 8, 6, 10, 0, 999, there)})
	})
	r, err := Get[Reading](t.Context(), b, row.Key)
	require.NoError(t, err)
	assert.Equal(t, dawn, r.At)
	assert.True(t, r.Until.IsZero())
}

// TestBytesAreKeptAsTheyAre and once.
func TestBytesAreKeptAsTheyAre(t *testing.T) {
	b := newBook(t)
	for _, data := range [][]byte{nil, {0}, []byte("{}\n"), {0xff, 0xfe}, bytes.Repeat([]byte("0123456789"), 100_000)} {
		add := func(tx *Tx) (Key, error) { return tx.AddBody(data) }
		key := recordOne(t, b, add)
		assert.Equal(t, key, recordOne(t, b, add))
		got, err := b.Body(t.Context(), key)
		require.NoError(t, err)
		assert.True(t, bytes.Equal(data, got))
	}
	var rows, size, kept int
	require.NoError(t, b.db.QueryRow("SELECT count(*), sum(size), sum(length(gzip)) FROM bodies").Scan(&rows, &size, &kept))
	assert.Equal(t, 5, rows)
	assert.Less(t, kept, size/50, "compressed")
}

func TestWhatCannotBeKept(t *testing.T) {
	b := newBook(t)
	job := theJob(t, b)
	good := Done{Job: job, Step: "wash", Zone: "port side", Share: 1, At: dawn}
	bad := map[string]func(*Done){
		"share 0 is not above 0":     func(d *Done) { d.Share = 0 },
		"share 1.5 is not":           func(d *Done) { d.Share = 1.5 },
		"share is no number":         func(d *Done) { d.Share = math.NaN() },
		"step is missing":            func(d *Done) { d.Step = "" },
		"zone is not UTF-8":          func(d *Done) { d.Zone = "\xff" },
		"note has a zero byte":       func(d *Done) { d.Note = "a\x00b" },
		"note is longer":             func(d *Done) { d.Note = strings.Repeat("x", longest+1) },
		"at is missing":              func(d *Done) { d.At = time.Time{} },
		"at is in the year 1919":     func(d *Done) { d.At = time.Date(1919, 1, 1, 0, 0, 0, 0, time.UTC) },
		"job is missing":             func(d *Done) { d.Job = "" },
		"job is no key":              func(d *Done) { d.Job = "12" },
		"refers to one that is not":  func(d *Done) { d.Job = keyOfBytes(nil) },
		"void needs the entry":       func(d *Done) { d.Void = true },
		"supersedes is no key":       func(d *Done) { d.Supersedes = Key(strings.Repeat("A", 64)) },
		"done: the record refers to": func(d *Done) { d.Supersedes = keyOfBytes(nil) },
	}
	for text, spoil := range bad {
		d := good
		spoil(&d)
		err := b.Record(t.Context(), func(tx *Tx) error { _, err := tx.AddDone(d); return err })
		require.ErrorIs(t, err, ErrInvalid, text)
		assert.ErrorContains(t, err, text)
		e, _ := errors.AsType[*Error](err)
		assert.NotEmpty(t, e.Fix)
	}
	n, err := b.DoneOf(t.Context(), job)
	require.NoError(t, err)
	assert.Empty(t, n)
}

func TestOtherRecordsThatCannotBeKept(t *testing.T) {
	b, s := filled(t)
	for text, add := range map[string]func(tx *Tx) (Row, error){
		"nowhere on earth": func(tx *Tx) (Row, error) { return tx.AddPlace(Place{Latitude: 91}) },
		"none of ok": func(tx *Tx) (Row, error) {
			return tx.AddOutcome(Outcome{Job: s.job, Step: "s", Zone: "z", At: dawn, Found: "fine"})
		},
		"none of week": func(tx *Tx) (Row, error) {
			return tx.AddAnswer(Answer{Kind: "guess", Job: s.job, At: dawn, Program: "1", Catalogue: "0", Body: keyOfBytes([]byte(reply))})
		},
		"names a row twice": func(tx *Tx) (Row, error) {
			return tx.AddAnswer(Answer{Kind: Week, Job: s.job, At: dawn, Program: "1", Catalogue: "0",
				Body: keyOfBytes([]byte(reply)), Readings: []Key{s.reading, s.reading}})
		},
		"answers: the record refers": func(tx *Tx) (Row, error) {
			return tx.AddAnswer(Answer{Kind: Week, Job: s.job, At: dawn, Program: "1", Catalogue: "0",
				Body: keyOfBytes([]byte(reply)), Readings: []Key{s.done}})
		},
		"an entry that is not UTF-8": func(tx *Tx) (Row, error) {
			return tx.AddForecast(Forecast{Service: "s", Body: keyOfBytes([]byte(reply)), Warnings: []string{"\xff"}})
		},
	} {
		err := b.Record(t.Context(), func(tx *Tx) error { _, err := add(tx); return err })
		require.ErrorIs(t, err, ErrInvalid, text)
		assert.ErrorContains(t, err, text)
	}
}

// TestAllOrNothing: what one call of Record adds is there together or not at all,
// whether the caller returns the failure or forgets it.
func TestAllOrNothing(t *testing.T) {
	b := newBook(t)
	job := theJob(t, b)
	stop := errors.New("stop")
	add := func(tx *Tx, zone string) error {
		_, err := tx.AddDone(Done{Job: job, Step: "wash", Zone: zone, Share: 1, At: dawn})
		return err
	}
	err := b.Record(t.Context(), func(tx *Tx) error {
		require.NoError(t, add(tx, "port side"))
		return stop
	})
	require.ErrorIs(t, err, stop)
	err = b.Record(t.Context(), func(tx *Tx) error {
		require.NoError(t, add(tx, "port side"))
		require.Error(t, add(tx, ""))
		require.Error(t, add(tx, "foredeck"), "nothing is added after a failure")
		return nil
	})
	require.ErrorIs(t, err, ErrInvalid)
	assert.Panics(t, func() {
		_ = b.Record(t.Context(), func(tx *Tx) error {
			_ = add(tx, "port side")
			panic("in the caller")
		})
	})
	ctx, cancel := context.WithCancel(t.Context())
	err = b.Record(ctx, func(tx *Tx) error {
		defer cancel()
		return add(tx, "port side")
	})
	require.Error(t, err, "what was not flushed is not acknowledged")
	all, err := b.DoneOf(t.Context(), job)
	require.NoError(t, err)
	assert.Empty(t, all)
}

// TestTheSameIsOneRow: inputs are one row however often they are added, in
// whatever second.
func TestTheSameIsOneRow(t *testing.T) {
	c := &clock{dawn}
	b := newBook(t)
	b.now = c.now
	first, err := fill(t.Context(), b)
	require.NoError(t, err)
	c.t = c.t.Add(time.Hour)
	second, err := fill(t.Context(), b)
	require.NoError(t, err)
	assert.Equal(t, first.job, second.job)
	assert.Equal(t, first.forecast, second.forecast)
	assert.NotEqual(t, first.reading, second.reading, "what happened is told apart by when it was recorded")
	f, err := Get[Forecast](t.Context(), b, first.forecast)
	require.NoError(t, err)
	assert.Equal(t, dawn, f.Recorded, "the first time stays")
}

// TestTheKeyOfARow is made by other means: sha256sum of the text in the comment
// of the line above. It must never change, nor may the fixture of the export.
func TestTheKeyOfARow(t *testing.T) {
	boat := kittiwake()
	// "dewgap.book.v1 boats\nname 9:Kittiwake\nkind 17:flybridge-cruiser\nlength_m 2:13\n"
	assert.Equal(t, Key("1b34f8e256b7f31f7a2d367d652f61e835cbaaa3480b96febd409d92845db821"), keyOf(&boat))
	wash := Done{Job: "j", Step: "wash", Zone: "a", Share: 0.5, At: time.Unix(1788862200, 0)}
	wash.Recorded = time.Unix(1788862200, 0)
	// "dewgap.book.v1 done\nrecorded 10:1788862200\njob 1:j\nstep 4:wash\nzone 1:a\nshare 3:0.5\nat 10:1788862200\nvoid 1:0\nagain 1:0\n"
	assert.Equal(t, Key("6a37ac0a156da9fd13293305d27afe93de590dcabb9dc8294b5a6333e8f7ba6c"), keyOf(&wash))
	warned := Forecast{Service: "s", Warnings: []string{"a", "bc"}}
	// "dewgap.book.v1 forecasts\nservice 1:s\nwarnings 7:1:a2:bc\n"
	assert.Equal(t, Key("7e5ef22cfd565b32ec28e646f3f7455ff4631ef66acc22df09bf1144bf8ecb52"), keyOf(&warned))
	// the bytes themselves: printf abc | sha256sum, the example of FIPS 180-4
	assert.Equal(t, Key("ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"), keyOfBytes([]byte("abc")))
}

// TestNoTwoSayTheSame moves text from one field or entry to the next.
func TestNoTwoSayTheSame(t *testing.T) {
	keys := map[Key]string{}
	for name, r := range map[string]record{
		"ab, c":       &Boat{Name: "ab", Kind: "c"},
		"a, bc":       &Boat{Name: "a", Kind: "bc"},
		"line":        &Boat{Name: "a\nkind 2:bc"},
		"place":       &Place{Name: "ab"},
		"boat":        &Boat{Name: "ab"},
		"no length":   &Boat{Name: "x"},
		"length 0":    &Boat{Name: "x", LengthM: some(0.0)},
		"one warning": &Forecast{Warnings: []string{"a,b"}},
		"two":         &Forecast{Warnings: []string{"a", "b"}},
		"other two":   &Forecast{Warnings: []string{"b", "a"}},
		"dry":         &Reading{Wet: some(false)},
		"not seen":    &Reading{},
		"setting":     &Answer{Settings: map[string]string{"a": "b"}},
		"other":       &Answer{Settings: map[string]string{"b": "a"}},
	} {
		k := keyOf(r)
		assert.True(t, k.valid())
		assert.Empty(t, keys[k], "%s and %s", name, keys[k])
		keys[k] = name
	}
}
