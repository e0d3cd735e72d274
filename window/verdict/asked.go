package verdict

// chunkLen is how many slots are judged in one go: an hour, over which the weather
// changes so little that most limits hold for all of it or for none.
const chunkLen = 6

// Asked is which slots are judged: those of the horizon in which anybody works at
// all. Verdicts on other slots are never read; they are no-go by the hours.
type Asked struct {
	slots  int // of the grid
	chunks []chunk
}

// chunk is at most chunkLen slots [from, to).
type chunk struct{ from, to int }

// NewAsked asks for the slots of [from, to) that are open; open has the grid's
// length.
func NewAsked(open []bool, from, to int) *Asked {
	a := &Asked{slots: len(open)}
	for i := from; i < to; i++ {
		if !open[i] {
			continue
		}
		if k := len(a.chunks) - 1; k >= 0 && a.chunks[k].to == i && i-a.chunks[k].from < chunkLen {
			a.chunks[k].to++
			continue
		}
		a.chunks = append(a.chunks, chunk{i, i + 1})
	}
	return a
}

// Shut gives a verdict on every slot of the grid for Judge.Run to write over: no-go
// by the hours, which is what slots keep that are not asked for.
func (a *Asked) Shut() []Result {
	out := make([]Result, a.slots)
	for i := range out {
		out[i] = Result{State: NoGo, Limit: Hours}
	}
	return out
}

// Each calls f with the asked slots, stretch by stretch in order of time.
func (a *Asked) Each(f func(from, to int)) {
	for _, c := range a.chunks {
		f(c.from, c.to)
	}
}
