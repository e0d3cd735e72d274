package verdict

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestTranspose(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var rows, was [64]uint64
		for k := range rows {
			rows[k] = rapid.Uint64().Draw(t, "row")
		}
		was = rows
		transpose(&rows)
		for r := range rows {
			for c := range rows {
				require.Equal(t, was[r]>>c&1, rows[c]>>r&1, "row %d, column %d", r, c)
			}
		}
	})
}

// What a plane marks is what holds in each asked slot by itself, whichever are asked for.
func TestPlanes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 300).Draw(t, "slots")
		open, holds, v := make([]bool, n), make([]bool, n), make([]float32, n)
		for i := range v {
			open[i] = rapid.IntRange(0, 3).Draw(t, "open") > 0
			holds[i] = rapid.IntRange(0, 9).Draw(t, "holds") == 0
			v[i] = float32(rapid.IntRange(-3, 3).Draw(t, "value"))
		}
		a := NewAsked(open, 0, n)
		x := &Sight{asked: a, mem: &slabs{}}
		view := x.look(v, holds)
		bound := float32(rapid.IntRange(-4, 4).Draw(t, "bound"))
		view.shared = rapid.Bool().Draw(t, "shared")
		for _, sign := range []float32{1, -1, 1, -1} { // worked out, and remembered
			past := x.beyond(&view, sign, bound)
			for place, i := range a.slot {
				w, bit := place/64, uint64(1)<<(place%64)
				assert.Equal(t, (v[i]-bound)*sign > 0, past.word(w)&bit != 0, "slot %d: %v", i, v[i])
				assert.Equal(t, holds[i], view.unseen.word(w)&bit != 0)
			}
			if a.n%64 != 0 {
				assert.Zero(t, past.word(a.words-1)&^a.valid(a.words-1), "nothing beyond the last slot")
			}
		}
	})
}

// slotwise is the verdict on one slot by each limit in turn: what Run finds for 64 slots
// at once.
func (j *Judge) slotwise(i int) Result {
	switch l := j.refuses(i); {
	case l == Film:
		w, most := j.lies(i), float32(j.class.FilmMaxGM2)
		if !w.figure() {
			return Result{State: NoGo, Limit: Film, Way: w}
		}
		film := j.series.Film[i]
		return Result{NoGo, Film, w, film, most, (film - most) / inf}
	case l != None:
		return Result{State: NoGo, Limit: l}
	}
	worst := Result{}
	unknown := j.sight.avail[i]&bitsAlways != bitsAlways || j.water != nil && j.water.maybe[i]
	for k := range j.active {
		b, v := &j.active[k], j.views[j.active[k].col]
		known := j.knows(b, v, i)
		unknown = unknown || !known
		if !known || b.coolSun && j.cool(i) || !((v.v[i]-b.ideal)*b.sign > 0) {
			continue
		}
		r := Result{State: b.state(v.v[i]), Limit: b.limit, Way: b.way(), Value: v.v[i]}
		if b.col == colRainSure && r.State <= j.stands(i) {
			continue
		}
		r.Bound, r.Past = b.least(r.State), past(b, r.Value, r.State)
		if r.State > worst.State || r.State == worst.State && r.Past > worst.Past {
			worst = r
		}
	}
	if j.curing != nil {
		if r := j.cured(i); r.State > worst.State || r.State == worst.State && r.Past > worst.Past {
			worst = r
		}
	}
	switch {
	case unknown && worst.State != NoGo:
		return Result{State: Unknown, Limit: Data}
	case worst.State == Ideal:
		return j.roomiest(i)
	default:
		return worst
	}
}

// stands is what the rain as stated allows.
func (j *Judge) stands(i int) State {
	if v := j.views[colRainFree].v[i]; (v-j.stood.ideal)*j.stood.sign > 0 {
		return j.stood.state(v)
	}
	return Ideal
}

// roomiest is the verdict on an ideal slot: the limit with the least room left.
func (j *Judge) roomiest(i int) Result {
	best := Result{State: Ideal, Past: -far}
	for k := range j.active {
		b, v := &j.active[k], j.views[j.active[k].col]
		if b.col == colRainSure || b.coolSun && j.cool(i) || b.col.ahead() && v.blind[i] {
			continue
		}
		if p := b.less(v.v[i]); p > best.Past {
			best = Result{Ideal, b.limit, b.way(), v.v[i], b.ideal, p}
		}
	}
	return best
}

// Judging 64 slots at once gives what each limit by itself gives one slot after another,
// to the last bit: state, limit, way, value and bound.
func TestRunIsSlotwise(t *testing.T) {
	cat, err := catalogue()
	require.NoError(t, err)
	rapid.Check(t, func(t *rapid.T) {
		const n = 30 * hours
		c := class(t, rapid.SampledFrom(cat.IDs()).Draw(t, "class"))
		s, tm := weather(t, n), pasts(t, n)
		if rapid.Bool().Draw(t, "by eye") {
			tm.LightMin = float64(rapid.IntRange(1, 900).Draw(t, "light"))
		}
		if rapid.Bool().Draw(t, "wash") {
			tm.Section = 2
			for i := range s.Section {
				s.Section[i] = float32(rapid.IntRange(0, 30).Draw(t, "section")) / 4
			}
		}
		tm.Height, tm.GustMax = rapid.Bool().Draw(t, "ladder"), 9
		tm.Wood = WoodReading{Read: rapid.Bool().Draw(t, "read"), Slot: n / 3, Pct: float32(rapid.IntRange(10, 22).Draw(t, "moisture"))}
		open := make([]bool, n)
		for i := range open {
			open[i] = rapid.IntRange(0, 4).Draw(t, "open") > 0
		}
		asked := NewAsked(open, 0, n)
		x, j, board := NewSight(s, tm.Past, asked), NewJudge(c, tm.Terms), NewBoard(asked, 1)
		j.Run(x, board, 0)
		for place, i := range asked.slot {
			require.Equal(t, j.slotwise(int(i)), board.at(0, place), "slot %d of %s", i, c.ID)
		}
	})
}

// What a judge notes for counting is what its verdicts say: the row is that of the same
// verdicts put on a board one by one.
func TestRowOfJudged(t *testing.T) {
	cat, err := catalogue()
	require.NoError(t, err)
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(6, 14).Draw(t, "hours") * hours
		tm, asked := pasts(t, n), all(n)
		j := NewJudge(class(t, rapid.SampledFrom(cat.IDs()).Draw(t, "class")), tm.Terms)
		results := make([][]Result, rapid.IntRange(1, 4).Draw(t, "members"))
		board := NewBoard(asked, len(results))
		for m := range results {
			j.Run(NewSight(weather(t, n), tm.Past, asked), board, m)
			results[m] = board.of(m)
		}
		dressed := rapid.Bool().Draw(t, "dressed")
		got, want := NewRow(board, 0.8, dressed), joined(results, 0.8, dressed)
		require.Equal(t, want.Shown, got.Shown)
		for i := range n {
			require.Equal(t, want.Binding(i), got.Binding(i))
			for s := range Unknown {
				for m, r := range results {
					require.Equal(t, r[i].State <= s, got.AtLeast(s, i, i+1)[0]>>m&1 == 1, "slot %d of member %d", i, m)
				}
			}
		}
	})
}

// past is how far a value is past the bound that gives it its state, in the width
// of the band it is in.
func past(b *bound, v float32, s State) float32 {
	edge, sign, width := b.band(s)
	return (v - edge) * sign / width
}
