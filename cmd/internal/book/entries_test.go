package book

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func washed(job Key, zone string, share float64) Done {
	return Done{Job: job, Step: "wash", Zone: zone, Share: share, At: dawn}
}

func addDone(t testing.TB, b *Book, d Done) Row {
	return recordOne(t, b, func(tx *Tx) (Row, error) { return tx.AddDone(d) })
}

func holding(t testing.TB, b *Book, job Key) []Done {
	list, err := b.DoneOf(t.Context(), job)
	require.NoError(t, err)
	return list
}

// TestACorrectionIsANewRow: the corrected entry no longer holds, but stays.
func TestACorrectionIsANewRow(t *testing.T) {
	b := newBook(t)
	job := theJob(t, b)
	first := addDone(t, b, washed(job, "port side", 1))
	better := washed(job, "port side", 0.5)
	better.Supersedes = first.Key
	second := addDone(t, b, better)
	assert.Equal(t, second, addDone(t, b, better), "the same correction again")

	list := holding(t, b, job)
	require.Len(t, list, 1)
	assert.Equal(t, 0.5, list[0].Share)
	old, err := Find[Done](t.Context(), b, first.ID)
	require.NoError(t, err)
	assert.Equal(t, 1.0, old.Share)

	undone := better
	undone.Supersedes, undone.Void = second.Key, true
	third := addDone(t, b, undone)
	assert.Empty(t, holding(t, b, job))

	last, err := Find[Done](t.Context(), b, third.ID)
	require.NoError(t, err)
	assert.Equal(t, second.Key, last.Supersedes)
}

// TestRecordedAgainAfterACorrection: what was taken back and then recorded again,
// all in one second, is there.
func TestRecordedAgainAfterACorrection(t *testing.T) {
	b := newBook(t)
	job := theJob(t, b)
	entry := washed(job, "port side", 1)
	var rows []Row
	for range 3 {
		row := addDone(t, b, entry)
		assert.Equal(t, row, addDone(t, b, entry), "said twice")
		assert.NotContains(t, rows, row)
		require.Len(t, holding(t, b, job), 1)
		rows = append(rows, row)
		back := entry
		back.Supersedes, back.Void = row.Key, true
		addDone(t, b, back)
		require.Empty(t, holding(t, b, job))
	}
	require.NoError(t, b.Verify(t.Context()))
}

func TestASecondCorrectionMustCorrectTheFirst(t *testing.T) {
	b := newBook(t)
	job := theJob(t, b)
	first := addDone(t, b, washed(job, "port side", 1))
	fix := washed(job, "port side", 0.5)
	fix.Supersedes = first.Key
	second := addDone(t, b, fix)
	fix.Share = 0.7
	err := b.Record(t.Context(), func(tx *Tx) error { _, err := tx.AddDone(fix); return err })
	require.ErrorIs(t, err, ErrSuperseded)
	assert.ErrorContains(t, err, "number 2")
	fix.Supersedes = second.Key
	addDone(t, b, fix)
	list := holding(t, b, job)
	require.Len(t, list, 1)
	assert.Equal(t, 0.7, list[0].Share)
}

// TestCorrectionsInAnyOrder keeps a small model beside the book: what holds is
// what was recorded less what was corrected.
func TestCorrectionsInAnyOrder(t *testing.T) {
	b := newBook(t)
	ctx, n := context.Background(), 0
	rapid.Check(t, func(t *rapid.T) {
		n++ // a job of its own for each run
		var job Key
		model := map[int64]float64{}
		err := b.Record(ctx, func(tx *Tx) error {
			row, err := addJob(tx, "job "+string(rune('a'+n%26))+time.Duration(n).String(), kittiwake(), jobFile)
			job = row.Key
			return err
		})
		require.NoError(t, err)
		for range rapid.IntRange(1, 8).Draw(t, "entries") {
			d := washed(job, "port side", rapid.SampledFrom([]float64{0.25, 0.5, 1}).Draw(t, "share"))
			ids := keysOf(model)
			if len(ids) > 0 && rapid.Bool().Draw(t, "correct") {
				id := rapid.SampledFrom(ids).Draw(t, "which")
				old, err := Find[Done](ctx, b, id)
				require.NoError(t, err)
				d.Supersedes, d.Void = old.Key, rapid.Bool().Draw(t, "void")
				delete(model, id)
			}
			var row Row
			require.NoError(t, b.Record(ctx, func(tx *Tx) (err error) { row, err = tx.AddDone(d); return err }))
			if !d.Void {
				model[row.ID] = d.Share
			}
		}
		got := map[int64]float64{}
		list, err := b.DoneOf(ctx, job)
		require.NoError(t, err)
		for _, d := range list {
			got[d.ID] = d.Share
		}
		assert.Equal(t, model, got)
	})
}

func keysOf(m map[int64]float64) (out []int64) {
	for id := range 10_000 {
		if _, ok := m[int64(id)]; ok {
			out = append(out, int64(id))
		}
	}
	return out
}

func TestPlanVersions(t *testing.T) {
	c := &clock{dawn}
	b := newBook(t)
	b.now = c.now
	job := theJob(t, b)
	_, err := b.LatestPlan(t.Context(), job)
	require.ErrorIs(t, err, ErrNotFound)

	add := func(text string, accepted bool) Row {
		c.t = c.t.Add(time.Minute)
		return recordOne(t, b, func(tx *Tx) (Row, error) {
			body, err := tx.AddBody([]byte(text))
			if err != nil {
				return Row{}, err
			}
			return tx.AddPlan(Plan{Job: job, At: dawn, Body: body, Accepted: accepted})
		})
	}
	one := add(`{"blocks":[1]}`, false)
	assert.Equal(t, one, add(`{"blocks":[1]}`, false), "nothing new is no new version")
	two := add(`{"blocks":[1]}`, true)
	three := add(`{"blocks":[2]}`, true)
	four := add(`{"blocks":[1]}`, true)
	assert.NotEqual(t, two.Key, four.Key, "back to an old plan is a new version")

	last, err := b.LatestPlan(t.Context(), job)
	require.NoError(t, err)
	assert.Equal(t, four, last.Row)
	assert.Equal(t, three.Key, last.Supersedes)
	versions, err := b.Plans(t.Context(), job)
	require.NoError(t, err)
	require.Len(t, versions, 4)
	assert.Equal(t, []int64{four.ID, three.ID, two.ID, one.ID}, []int64{versions[0].ID, versions[1].ID, versions[2].ID, versions[3].ID})
}
