package watch

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
)

// What is too little to be told (common practice, after the noise of forecasts from
// run to run).
const (
	blockMoves    = 30 * time.Minute
	windowMoves   = 2 * time.Hour
	windowPasses  = 3 * time.Hour // an open window that is not longer any more is of no use
	endMoves      = 24 * time.Hour
	confidenceOff = 20 // points
)

// day is how a moment is written in words.
const day = "Mon 2 Jan 15:04"

// Diff tells what has changed from one digest to another, as seen at now.
func Diff(was, is Digest, now time.Time) []answer.WatchChange {
	out := diffFilms(was.Films, is.Films, now)
	if was.Verdict != is.Verdict {
		out = append(out, change("verdict", was.Verdict, is.Verdict))
	}
	if before, after := was.planWord(), is.planWord(); before != after {
		out = append(out, change("plan", before, after))
	}
	if planned(was) && planned(is) {
		if off := was.Confidence - is.Confidence; off >= confidenceOff || -off >= confidenceOff {
			out = append(out, change("confidence", fmt.Sprintf("%d %%", was.Confidence), fmt.Sprintf("%d %%", is.Confidence)))
		}
		if !was.Ends.IsZero() && !is.Ends.IsZero() && !near(was.Ends, is.Ends, endMoves) {
			c := change("end", was.Ends.In(is.Ends.Location()).Format(day), is.Ends.Format(day))
			c.Text = "done " + c.Before + " → " + c.After
			out = append(out, c)
		}
		out = append(out, diffBlocks(was.Blocks, is.Blocks, now)...)
	}
	if len(out) == 0 && !planned(is) { // who has a plan goes by that
		out = diffWindows(was.Windows, is.Windows, now)
	}
	return out
}

// byWeight orders changes by what hangs on them, for a line tells the first few: what is of
// the whole job, then the blocks of the step that the week is asked about, those of other steps,
// and last the washes, which are soon put right. Of equal weight they stay as they are.
func byWeight(list []answer.WatchChange, week *answer.Week) []answer.WatchChange {
	washes := map[string]bool{}
	if week.Plan != nil {
		for _, x := range week.Plan.Blocks {
			washes[x.Step] = x.Do == "wash" || x.Do == "strip wash"
		}
	}
	weight := func(c answer.WatchChange) int {
		switch {
		case c.What != ofBlock:
			return 0
		case week.Headline != nil && c.Step == week.Headline.Step:
			return 1
		case washes[c.Step]:
			return 3
		}
		return 2
	}
	slices.SortStableFunc(list, func(a, b answer.WatchChange) int { return weight(a) - weight(b) })
	return list
}

// What changes are called: of rain onto a film, and of a block of the plan.
const (
	filmChange = "film"
	ofBlock    = "block"
)

// diffFilms tells of the rain that comes onto fresh work, or is not foreseen any more. Rain
// that was told and falls by now has no beginning any more, for it is found to begin now.
func diffFilms(was, is []Film, now time.Time) []answer.WatchChange {
	var out []answer.WatchChange
	for _, f := range is {
		old := filmBefore(was, f)
		if old.Rain.IsZero() == f.Rain.IsZero() && near(latest(old.Rain, now), latest(f.Rain, now), windowMoves) {
			continue
		}
		c := answer.WatchChange{What: filmChange, Step: f.Step, Zone: f.Zone, Before: rainWords(old.Rain), After: rainWords(f.Rain), Text: f.Text}
		if f.Rain.IsZero() {
			c.Text = "No rain is forecast any more. " + c.Text
		}
		out = append(out, c)
	}
	return out
}

// filmBefore is a film as it was told before; the zero Film where it was not.
func filmBefore(was []Film, f Film) Film {
	i := slices.IndexFunc(was, func(o Film) bool { return o.Step == f.Step && o.Zone == f.Zone && o.On.Equal(f.On) })
	if i < 0 {
		return Film{}
	}
	return was[i]
}

func rainWords(t time.Time) string {
	if t.IsZero() {
		return "no rain"
	}
	return "rain from " + t.Format(day)
}

// ofRain reports whether changes tell of rain that comes onto fresh work.
func ofRain(list []answer.WatchChange) bool {
	return slices.ContainsFunc(list, func(c answer.WatchChange) bool { return c.What == filmChange && c.After != rainWords(time.Time{}) })
}

// rainComes reports whether rain comes onto fresh work, of which nobody can be told too
// soon. Rain that was told, is still to come, and now comes later, is better news. Where the
// hour that was told is past, rain to come may be another than the one that fell.
func rainComes(was, is []Film, now time.Time) bool {
	return slices.ContainsFunc(is, func(f Film) bool {
		told := filmBefore(was, f).Rain
		putOff := told.After(now) && f.Rain.After(told)
		return !f.Rain.IsZero() && !putOff && len(diffFilms(was, []Film{f}, now)) > 0
	})
}

func planned(d Digest) bool { return d.Plan == answer.Go || d.Plan == answer.Marginal }

// planWord is the state of the plan, and whether it is of a part of the job alone.
func (d Digest) planWord() string {
	switch {
	case d.Plan == "":
		return answer.None
	case d.Part:
		return d.Plan + " for a part of the job"
	}
	return d.Plan
}

func change(what, before, after string) answer.WatchChange {
	return answer.WatchChange{What: what, Before: before, After: after, Text: what + " " + before + " → " + after}
}

// diffBlocks compares the work that lies ahead. Work that is gone is not told.
func diffBlocks(was, is []Block, now time.Time) []answer.WatchChange {
	var out []answer.WatchChange
	used := make([]bool, len(was))
	var loose []Block
	for _, b := range is {
		i := nearest(was, used, b)
		if i < 0 {
			loose = append(loose, b)
			continue
		}
		used[i] = true
		if was[i].State != b.State {
			out = append(out, blockChange(b, span(b.From, b.To)+", "+was[i].State, b.State))
		}
	}
	for _, b := range loose {
		if begunToday(was, b, now) {
			continue
		}
		i := slices.IndexFunc(was, func(o Block) bool { return sameWork(o, b) })
		for k := range was {
			if sameWork(was[k], b) && !used[k] {
				i = k
				used[k] = true
				break
			}
		}
		before := "not planned"
		if i >= 0 {
			before = span(was[i].From, was[i].To)
			if was[i].State != b.State {
				before += ", " + was[i].State
			}
		}
		after := span(b.From, b.To)
		if i < 0 || was[i].State != b.State {
			after += ", " + b.State
		}
		out = append(out, blockChange(b, before, after))
	}
	return out
}

// nearest is where the block stood before, about; −1 where it did not. A block that
// no other has taken, and one of the same state, is preferred.
func nearest(was []Block, used []bool, b Block) int {
	best, rank := -1, 0
	for i, o := range was {
		if !sameWork(o, b) || !near(o.From, b.From, blockMoves) || !near(o.To, b.To, blockMoves) {
			continue
		}
		r := 1
		if o.State == b.State {
			r++
		}
		if !used[i] {
			r += 2
		}
		if r > rank {
			best, rank = i, r
		}
	}
	return best
}

func blockChange(b Block, before, after string) answer.WatchChange {
	return answer.WatchChange{
		What: ofBlock, Step: b.Step, Zone: b.Zone, Before: before, After: after,
		Text: b.Step + ", " + b.Zone + ": " + before + " → " + after,
	}
}

func sameWork(a, b Block) bool {
	return a.Step == b.Step && a.Zone == b.Zone && a.Coat == b.Coat && a.Redo == b.Redo
}

// begunToday reports whether the same work has begun on the day for which it is
// planned anew: it goes on, or nobody has logged it yet.
func begunToday(was []Block, b Block, now time.Time) bool {
	return slices.ContainsFunc(was, func(o Block) bool {
		return sameWork(o, b) && !o.From.After(now) && sameDay(o.From, b.From)
	})
}

// sameDay compares by the clock of b's place.
func sameDay(a, b time.Time) bool {
	y, m, d := a.In(b.Location()).Date()
	y2, m2, d2 := b.Date()
	return y == y2 && m == m2 && d == d2
}

func near(a, b time.Time, than time.Duration) bool { return a.Sub(b).Abs() < than }

// diffWindows compares the first window of each step. One that is as good as over by
// now has passed and not changed, and one that was open has no beginning any more.
func diffWindows(was, is []Window, now time.Time) []answer.WatchChange {
	var out []answer.WatchChange
	for _, step := range steps(was, is) {
		o, had := windowOf(was, step)
		n, has := windowOf(is, step)
		switch {
		case had && passed(o, now):
			continue
		case had && has && o.State == n.State && near(latest(o.From, now), latest(n.From, now), windowMoves) && near(o.To, n.To, windowMoves):
			continue
		case !had && !has:
			continue
		}
		before, after := windowWords(o, had), windowWords(n, has)
		out = append(out, answer.WatchChange{
			What: "window", Step: step, Before: before, After: after, Text: "first window to " + step + ": " + before + " → " + after,
		})
	}
	return out
}

// passed reports whether a window is over, or open for a short while only.
func passed(o Window, now time.Time) bool {
	return !o.To.After(now) || !o.From.After(now) && o.To.Sub(now) < windowPasses
}

func steps(lists ...[]Window) []string {
	var out []string
	for _, list := range lists {
		for _, x := range list {
			if !slices.Contains(out, x.Step) {
				out = append(out, x.Step)
			}
		}
	}
	return out
}

func windowOf(list []Window, step string) (Window, bool) {
	i := slices.IndexFunc(list, func(x Window) bool { return x.Step == step })
	if i < 0 {
		return Window{}, false
	}
	return list[i], true
}

const noWindow = "none"

func windowWords(x Window, there bool) string {
	if !there {
		return noWindow
	}
	text := span(x.From, x.To)
	if x.State != answer.Go {
		text += ", " + x.State
	}
	return text
}

func latest(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

// span is a stretch of time in words.
func span(from, to time.Time) string {
	end := "15:04"
	if !sameDay(to, from) {
		end = day
	}
	return from.Format(day) + "-" + to.In(from.Location()).Format(end)
}

// rolled is a digest that was told, with the windows that have passed since replaced
// by those that are the first now.
func rolled(told, is Digest, now time.Time) Digest {
	windows := slices.Clone(is.Windows)
	for i, x := range windows {
		if o, had := windowOf(told.Windows, x.Step); had && !passed(o, now) {
			windows[i] = o
		}
	}
	for _, o := range told.Windows {
		if _, has := windowOf(is.Windows, o.Step); !has && !passed(o, now) {
			windows = append(windows, o)
		}
	}
	told.Windows = windows
	return told
}

// begunLasts is how long work that had begun is remembered after the plan has
// forgotten it.
const begunLasts = 36 * time.Hour

// withBegun is a digest with the work that had begun by the one told before.
func withBegun(is, told Digest, now time.Time) Digest {
	for _, o := range told.Blocks {
		begun := !o.From.After(now) && now.Sub(o.From) < begunLasts
		if begun && !slices.ContainsFunc(is.Blocks, func(b Block) bool { return sameWork(b, o) && b.From.Equal(o.From) }) {
			is.Blocks = append(slices.Clip(is.Blocks), o)
		}
	}
	return is
}

// withReasons adds to blocks that have moved, or are new, why.
func withReasons(list []answer.WatchChange, moves []answer.BlockChange) []answer.WatchChange {
	for i, c := range list {
		if c.What != ofBlock {
			continue
		}
		for _, m := range moves {
			if m.After != nil && (m.Change == "moved" || m.Change == "added") && m.Text != "" && m.After.Step == c.Step && m.After.Zone == c.Zone &&
				strings.HasPrefix(c.After, span(m.After.From, m.After.To)) {
				list[i].Why = m.Text
				list[i].Text += " (" + m.Text + ")"
				break
			}
		}
	}
	return list
}
