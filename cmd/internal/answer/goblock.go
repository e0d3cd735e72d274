package answer

import (
	"math/bits"

	"dewgap/window"
	"dewgap/window/verdict"
)

// goBlock fills the block that is at least go throughout, and the shares that are. The
// block that ranks a window may run on into marginal hours: beside a window of go it
// would promise what it does not hold.
func (b *builder) goBlock(out *Window, ref window.Ref) {
	r, w := &b.Result.Rows[ref.Row], b.Result.At(ref)
	if c, ok := b.shareOfGo(r, span{w.From, w.To}); ok {
		out.GoConfidence = some(c, thousandth)
	}
	if w.State > verdict.Go || out.Short {
		return
	}
	s := span{w.BestFrom, w.BestTo}
	if w.BestState > verdict.Go {
		s = b.shortGoBlock(ref)
	}
	c, ok := b.shareOfGo(r, s)
	switch {
	case s.empty():
		return
	case !ok && w.BestState <= verdict.Go:
		c = w.BestConfidence
	case !ok:
		c = float64(w.Confidence)
	}
	out.GoBlock = &Block{From: b.at(s.from), To: b.at(s.to), State: b.worstOf(r, s).String(), Confidence: share(c)}
}

// shortGoBlock is the surest stretch of good hours that touches a window and is as long
// as the work needs, the first of equals; empty where none is long enough.
func (b *builder) shortGoBlock(ref window.Ref) span {
	r, w, good, n := &b.Result.Rows[ref.Row], b.Result.At(ref), b.goodSpan(ref), b.needed(ref.Row)
	var best span
	most := -1.0
	for from := max(good.from, w.From-n+1); from+n <= good.to && from < w.To; from++ {
		s := span{from, from + n}
		if c, _ := b.shareOfGo(r, s); c > most {
			best, most = s, c
		}
	}
	return best
}

// shareOfGo is the share of the forecasts in which a row is at least go all through s;
// ok is false where they are not told apart.
func (b *builder) shareOfGo(r *window.Row, s span) (c float64, ok bool) {
	if r.Slots == nil || len(r.Slots.Voters) == 0 || s.empty() {
		return 0, false
	}
	n, hit, voters := len(r.Slots.Voters), 0, 0
	for k, all := range r.Slots.Voters {
		voters += bits.OnesCount64(all)
		for i := s.from - b.Result.From; i < s.to-b.Result.From; i++ {
			all &= r.Slots.Go[i*n+k]
		}
		hit += bits.OnesCount64(all)
	}
	if voters == 0 {
		return 0, false
	}
	return float64(hit) / float64(voters), true
}

// worstOf is the worst state of the windows of a row that a stretch of good hours
// touches.
func (b *builder) worstOf(r *window.Row, s span) verdict.State {
	worst := verdict.Ideal
	for _, w := range r.Windows {
		if w.From < s.to && s.from < w.To {
			worst = max(worst, w.State)
		}
	}
	return worst
}

// Told is the block that a screen names beside a window and the share of the forecasts in
// which that holds. Beside ideal and go it is at least go that holds; the block is nil where no
// whole one is go, and the share that of the window itself.
func (w *Window) Told() (block *Block, sure float64) {
	switch {
	case w.State == Marginal:
	case w.GoBlock != nil:
		return w.GoBlock, w.GoBlock.Confidence
	case w.Short && w.GoConfidence != nil:
		return nil, *w.GoConfidence
	case w.Short:
		return nil, w.Confidence
	}
	if w.Best != nil {
		return w.Best, w.Best.Confidence
	}
	return nil, w.Confidence
}

// ToldAsGo reports whether the share that is told of an ideal window is that of go alone.
func (w *Window) ToldAsGo() bool {
	return w.State == "ideal" && w.GoBlock != nil && w.Best != nil && (w.GoBlock.State != "ideal" || w.GoBlock.Confidence != w.Best.Confidence)
}
