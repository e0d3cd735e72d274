package book

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestNotInTheBook(t *testing.T) {
	b := newBook(t)
	ctx := t.Context()
	_, err := Find[Answer](ctx, b, 12)
	require.ErrorIs(t, err, ErrNotFound)
	assert.ErrorContains(t, err, "number 12 of answers")
	_, err = Get[Forecast](ctx, b, keyOfBytes(nil))
	require.ErrorIs(t, err, ErrNotFound)
	_, err = b.Body(ctx, keyOfBytes(nil))
	require.ErrorIs(t, err, ErrNotFound)
	jobs, err := b.Jobs(ctx)
	require.NoError(t, err)
	assert.Empty(t, jobs)
}

// TestAJobOutlivesItsFile: work done on a job is there for every text of its file,
// and for the boat measured anew; another job or boat has none of it.
func TestAJobOutlivesItsFile(t *testing.T) {
	b := newBook(t)
	ctx := t.Context()
	add := func(name string, boat Boat, file string) Key {
		return recordOne(t, b, func(tx *Tx) (Row, error) { return addJob(tx, name, boat, file) }).Key
	}
	longer := kittiwake()
	longer.LengthM = some(13.2)
	first := add("Seal", kittiwake(), "people: 2\n")
	edited := add("Seal", kittiwake(), "people: 3\n")
	measured := add("Seal", longer, "people: 3\n")
	otherJob := add("Antifouling", kittiwake(), "people: 2\n")
	otherBoat := add("Seal", Boat{Name: "Whimbrel"}, "people: 2\n")

	addDone(t, b, washed(first, "port side", 1))
	recordOne(t, b, func(tx *Tx) (Row, error) {
		return tx.AddOutcome(Outcome{Job: edited, Step: "wash", Zone: "port side", Found: FoundOK, At: dawn})
	})
	recordOne(t, b, func(tx *Tx) (Row, error) { return tx.AddReading(Reading{Job: edited, At: dawn, AirC: some(12.0)}) })

	for _, job := range []Key{first, edited, measured} {
		assert.Len(t, holding(t, b, job), 1)
		found, err := b.OutcomesOf(ctx, job)
		require.NoError(t, err)
		assert.Len(t, found, 1)
	}
	for _, job := range []Key{otherJob, otherBoat, keyOfBytes(nil)} {
		assert.Empty(t, holding(t, b, job))
	}
	for job, want := range map[Key]int{first: 1, otherJob: 1, otherBoat: 0} {
		readings, err := b.ReadingsSince(ctx, job, dawn)
		require.NoError(t, err)
		assert.Len(t, readings, want, "readings are the boat's")
	}
	jobs, err := b.Jobs(ctx)
	require.NoError(t, err)
	require.Len(t, jobs, 5)
	assert.Equal(t, otherBoat, jobs[0].Key, "the newest first")
}

func TestReadingsSince(t *testing.T) {
	b := newBook(t)
	job := theJob(t, b)
	var rows []Row
	for _, m := range []int{40, 10, 20, 30} {
		rows = append(rows, recordOne(t, b, func(tx *Tx) (Row, error) {
			return tx.AddReading(Reading{Job: job, At: at(10, m), AirC: some(float64(m))})
		}))
	}
	recordOne(t, b, func(tx *Tx) (Row, error) {
		fix := Reading{Job: job, At: at(10, 35), AirC: some(31.0)}
		fix.Supersedes = rows[3].Key
		return tx.AddReading(fix)
	})
	list, err := b.ReadingsSince(t.Context(), job, at(10, 20))
	require.NoError(t, err)
	var got []float64
	for _, r := range list {
		got = append(got, *r.AirC)
	}
	assert.Equal(t, []float64{20, 31, 40}, got, "from the moment on, by time, corrected")
}

func TestAnswers(t *testing.T) {
	c := &clock{dawn}
	b := newBook(t)
	b.now = c.now
	seal := theJob(t, b)
	paint := recordOne(t, b, func(tx *Tx) (Row, error) { return addJob(tx, "Paint", kittiwake(), "x") }).Key
	for i, kind := range []string{Week, Morning, Week, Move, Week} {
		job := seal
		if i == 4 {
			job = paint
		}
		c.t = c.t.Add(time.Minute)
		recordOne(t, b, func(tx *Tx) (Row, error) {
			body, err := tx.AddBody([]byte{'{', byte('0' + i), '}'})
			if err != nil {
				return Row{}, err
			}
			return tx.AddAnswer(Answer{Kind: kind, Job: job, At: dawn, Program: "1", Catalogue: "0", Body: body})
		})
	}
	for _, want := range []struct {
		filter AnswerFilter
		ids    []int64
	}{
		{AnswerFilter{}, []int64{5, 4, 3, 2, 1}},
		{AnswerFilter{Kind: Week}, []int64{5, 3, 1}},
		{AnswerFilter{Job: seal}, []int64{4, 3, 2, 1}},
		{AnswerFilter{Kind: Week, Job: seal}, []int64{3, 1}},
		{AnswerFilter{Limit: 2}, []int64{5, 4}},
		{AnswerFilter{Before: 4, Limit: 2}, []int64{3, 2}},
		{AnswerFilter{Kind: Planned}, nil},
	} {
		list, err := b.Answers(t.Context(), want.filter)
		require.NoError(t, err)
		var ids []int64
		for _, a := range list {
			ids = append(ids, a.ID)
		}
		assert.Equal(t, want.ids, ids, "%+v", want.filter)
	}
	a, err := Find[Answer](t.Context(), b, 3)
	require.NoError(t, err)
	body, err := b.Body(t.Context(), a.Body)
	require.NoError(t, err)
	assert.Equal(t, "{2}", string(body), "its own bytes")
}
