package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/window/verdict"
)

// doubtfulJob invents small works on many zones that may go at any time, and hold in
// members that change from hour to hour.
func doubtfulJob(seed uint64, zones int) *Input {
	const slots, days, members = 60, 3, 30
	random := lcg(seed)
	in := &Input{Voters: []uint64{1<<members - 1}}
	for d := range days {
		for range slots {
			in.Day = append(in.Day, d)
		}
		in.Days = append(in.Days, Day{People: 2, Open: d * slots, Close: (d + 1) * slots})
	}
	for zone := range zones {
		x := Task{Zone: zone, Work: 1 + int(random.next(3)), Least: 1, Most: 1}
		var holds uint64
		for s := range slots * days {
			if s%6 == 0 { // an hour: few members fail in some, none in others
				if holds = in.Voters[0]; random.next(3) > 0 {
					for range random.next(8) {
						holds &^= 1 << random.next(members)
					}
				}
			}
			x.State, x.Limit = append(x.State, verdict.Go), append(x.Limit, verdict.WindMax)
			x.Go, x.Marginal = append(x.Go, holds), append(x.Marginal, in.Voters[0])
		}
		in.Tasks = append(in.Tasks, x)
	}
	return in
}

// A plan of many blocks holds in few members where each fails in some: those that fail are
// moved to hours in which they hold, at no consent more.
func TestSurer(t *testing.T) {
	was, is := 0, 0
	for seed := range uint64(8) {
		in := doubtfulJob(seed+1, 70)
		in.Budget = largeBudget
		require.NoError(t, in.check())
		m := newModel(in)
		require.Negative(t, m.propagate())
		s := newSolver(m)
		s.first()
		require.True(t, s.x.found)
		before := s.x.score
		s.surer(limits{r: m.relax(s.c, before.Consents, 0), finish: int32(m.n), consents: before.Consents})
		after := s.x.score
		assert.LessOrEqual(t, after.Consents, before.Consents)
		assert.GreaterOrEqual(t, after.FivePoints, before.FivePoints)
		was, is = was+before.FivePoints, is+after.FivePoints
		joint := make([]uint64, m.words)
		score, hits := s.x.book.score(joint)
		assert.Equal(t, score, after, "the score is that of the book")
		assert.Equal(t, hits, s.x.hits)
	}
	t.Logf("five points in all: %d before, %d after", was, is)
	assert.Greater(t, is, 4*was)
}
