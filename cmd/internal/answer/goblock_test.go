package answer

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/window"
	"dewgap/window/verdict"
)

// futures gives a row three futures: the first is go where the row is, the second besides
// not from bad to the end of the day, and the third never.
func (b *board) futures(r *window.Row, bad string) {
	n := b.f.Result.To - b.f.Result.From
	r.Slots = &window.Slots{State: make([]verdict.State, n), Limit: make([]verdict.Limit, n), Go: make([]uint64, n), Marginal: make([]uint64, n), Voters: []uint64{0b111}}
	for _, w := range r.Windows {
		for i := w.From; i < w.To; i++ {
			k := i - b.f.Result.From
			r.Slots.State[k], r.Slots.Marginal[k] = w.State, 0b111
			if w.State > verdict.Go {
				continue
			}
			r.Slots.Go[k] = 0b011
			if i >= b.slot(bad) {
				r.Slots.Go[k] = 0b001
			}
		}
	}
}

// The share beside a window of ideal or go is that which is at least go, and the block that
// it is of is go throughout: the ranking block may run on into marginal hours.
func TestGoBlock_IsGoThroughout(t *testing.T) {
	b := newBoard(t, "seal")
	r := b.row("seal", "port side", night+"i none 10:00;g none 12:00;m spread_min 18:00"+tomorrow)
	b.futures(r, "11:00")
	r.Windows[0].BestTo, r.Windows[0].BestConfidence = r.Windows[0].BestFrom+12, 0.1
	r.Windows[1].BestFrom, r.Windows[1].BestTo, r.Windows[1].BestState = b.slot("11:30"), b.slot("13:30"), verdict.Marginal
	x := newBuilder(b.f)
	ideal, after, marginal := x.window(window.Ref{}), x.window(window.Ref{Window: 1}), x.window(window.Ref{Window: 2})

	require.NotNil(t, ideal.GoBlock)
	assert.Equal(t, []string{"07:00", "09:00", "ideal"}, []string{ideal.GoBlock.From.Format("15:04"), ideal.GoBlock.To.Format("15:04"), ideal.GoBlock.State})
	assert.InDelta(t, 0.667, ideal.GoBlock.Confidence, 1e-9, "at least go in two of three, though ideal in few")
	assert.InDelta(t, 0.1, ideal.Best.Confidence, 1e-9, "the ranking block keeps the share of its own state")
	assert.True(t, ideal.ToldAsGo())

	require.NotNil(t, after.GoBlock)
	assert.Equal(t, "go", after.GoBlock.State)
	assert.False(t, after.GoBlock.To.After(after.To), "it does not run on into the marginal hours")
	assert.False(t, after.GoBlock.To.After(b.f.Result.Grid.At(b.slot("11:00"))), "and is the surest that touches the window")
	assert.InDelta(t, 0.667, after.GoBlock.Confidence, 1e-9)
	assert.InDelta(t, 0.333, *after.GoConfidence, 1e-9, "of the whole window")
	assert.Equal(t, "marginal", after.Best.State, "best keeps its meaning")
	assert.False(t, after.ToldAsGo())

	assert.Nil(t, marginal.GoBlock)
	block, sure := marginal.Told()
	assert.Equal(t, marginal.Best, block)
	assert.InDelta(t, marginal.Best.Confidence, sure, 0)
}

// Where the good minutes are too few for any block, none is told, and the share is that of
// the minutes.
func TestGoBlock_NoneIsGo(t *testing.T) {
	b := newBoard(t, "seal")
	r := b.row("seal", "port side", night+"m wind_max 12:40;g none 13:00;m wind_max 18:00"+tomorrow)
	b.futures(r, "12:50")
	w := &r.Windows[1]
	w.BestTo, w.BestState, w.BestConfidence = b.slot("14:40"), verdict.Marginal, 0.9
	got := newBuilder(b.f).window(window.Ref{Window: 1})
	assert.True(t, got.Short)
	assert.Nil(t, got.GoBlock)
	block, sure := got.Told()
	assert.Nil(t, block)
	assert.InDelta(t, 0.333, sure, 1e-9)
}

// Answers that were kept before shares of go were written read as they did.
func TestTold_OfOlderAnswers(t *testing.T) {
	w := Window{State: "go", Confidence: 0.4, Best: &Block{State: "go", Confidence: 0.7}}
	block, sure := w.Told()
	assert.Equal(t, w.Best, block)
	assert.InDelta(t, 0.7, sure, 0)
	w.Short = true
	block, sure = w.Told()
	assert.Nil(t, block)
	assert.InDelta(t, 0.4, sure, 0)
	assert.False(t, (&Window{State: "ideal", Best: w.Best}).ToldAsGo())
}
