package app_test

import (
	"bytes"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/cmd/internal/book"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// course asks about the demo's job through one book.
type course struct {
	*testing.T
	book *book.Book
	text []byte // of the job's file; nil: as it is
}

func (c course) week(at time.Time, anew bool) *answer.Week {
	a, r := kept(c.T, c.book, at.Format(time.RFC3339))
	r.Hold, r.Anew = true, anew
	if c.text != nil {
		r.File.Data = c.text
	}
	w, err := a.Week(c.Context(), r)
	require.NoError(c, err)
	return w
}

// log writes down that a block is done.
func (c course) log(x answer.PlanBlock, at time.Time) {
	a, r := kept(c.T, c.book, at.Format(time.RFC3339))
	_, err := a.LogDone(c.Context(), app.DoneRequest{
		Request: r, Step: x.Step, Zones: []string{x.Zone}, Share: 1, At: on(at.Format(time.RFC3339)),
	})
	require.NoError(c, err)
}

// From the first block that is logged to the end of its last a plan stands, nights and
// idle days too; before and after that a week has a new one.
func TestCourse_FromTheFirstBlockToTheLast(t *testing.T) {
	c := course{T: t, book: newBook(t)}
	start := c.week(at(t, monday), false)
	require.Nil(t, start.Plan.Held)
	assert.Nil(t, c.week(at(t, monday).Add(time.Hour), false).Plan.Held, "nobody has begun")

	plan := c.week(at(t, monday).Add(2*time.Hour), false)
	first, last := plan.Plan.Blocks[0], plan.Plan.Blocks[len(plan.Plan.Blocks)-1]
	require.Greater(t, last.From.Sub(first.To), 24*time.Hour, "there is a night between")
	c.log(first, first.To)
	for _, when := range []time.Time{first.To.Add(time.Minute), first.To.Add(12 * time.Hour), last.To.Add(-time.Minute)} {
		w := c.week(when, false)
		require.NotNil(t, w.Plan.Held, when)
		assert.False(t, w.Plan.Held.After(plan.Now), "%s: it is the one of before", when)
		assert.Equal(t, blocksOf(plan.Plan), blocksOf(w.Plan))
	}
	assert.Nil(t, c.week(last.To.Add(time.Minute), false).Plan.Held, "it is over")
}

// A plan of which nothing was logged was nobody's, but for its hours and a while after.
func TestCourse_NothingLogged(t *testing.T) {
	c := course{T: t, book: newBook(t)}
	plan := c.week(at(t, monday), false)
	first := plan.Plan.Blocks[0]
	assert.NotNil(t, c.week(first.From.Add(time.Minute), false).Plan.Held)
	assert.NotNil(t, c.week(first.To.Add(10*time.Minute), false).Plan.Held)
	assert.Nil(t, c.week(first.To.Add(12*time.Hour), false).Plan.Held)

	c.log(first, first.To) // late: then it was a look at the sky
	assert.True(t, c.week(first.To.Add(13*time.Hour), false).Plan.Held.Equal(plan.Now))
}

func TestCourse_AnewAndAnotherText(t *testing.T) {
	c := course{T: t, book: newBook(t)}
	plan := c.week(at(t, monday), false)
	first := plan.Plan.Blocks[0]
	night := first.To.Add(12 * time.Hour)
	c.log(first, first.To)
	require.NotNil(t, c.week(night, false).Plan.Held)

	edited := c
	_, r := kept(t, c.book, monday)
	edited.text = append(bytes.Clone(r.File.Data), "# another line\n"...)
	assert.Nil(t, edited.week(night, false).Plan.Held, "the job was written otherwise")

	c = course{T: t, book: newBook(t)}
	c.week(at(t, monday), false)
	anew := c.week(night, true)
	assert.Nil(t, anew.Plan.Held)
	assert.True(t, c.week(anew.Plan.Blocks[0].From.Add(time.Minute), false).Plan.Held.Equal(anew.Now), "what was planned anew stands")
}

// A morning begins with what the plan in force has on its day, and says when the next is
// where it has nothing; what is logged is left out.
func TestMorning_BeginsWithThePlan(t *testing.T) {
	c := course{T: t, book: newBook(t)}
	morning := func(when time.Time) *answer.Morning {
		a, r := kept(t, c.book, when.Format(time.RFC3339))
		m, err := a.Morning(t.Context(), r)
		require.NoError(t, err)
		return m
	}
	m := morning(at(t, monday))
	require.NotNil(t, m.Today)
	assert.Nil(t, m.Today.Made, "nobody has agreed to it")

	plan := c.week(at(t, monday), false).Plan
	first := plan.Blocks[0]
	dawn := answer.Midnight(first.From).Add(6 * time.Hour)
	m = morning(dawn)
	require.NotNil(t, m.Today.Made)
	var ofDay []answer.PlanBlock
	for _, x := range plan.Blocks {
		if x.From.Before(answer.NextMidnight(dawn)) {
			ofDay = append(ofDay, x)
		}
	}
	assert.Equal(t, blocksOf(&answer.Plan{Blocks: ofDay}), blocksOf(&answer.Plan{Blocks: m.Today.Blocks}))
	require.NotNil(t, m.Today.Next)
	assert.True(t, m.Today.Next.From.After(answer.NextMidnight(dawn)))

	second := ofDay[1]
	c.log(second, first.To)
	m = morning(first.To.Add(2 * time.Minute))
	require.NotEmpty(t, m.Today.Blocks)
	for _, x := range m.Today.Blocks {
		assert.False(t, x.Step == second.Step && x.Zone == second.Zone, "it is done ahead of its time")
		assert.False(t, x.Step == first.Step && x.Zone == first.Zone, "it is over")
	}
}
