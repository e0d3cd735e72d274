package answer

import (
	"encoding/json"
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// reads are n readings of a quantity, each by one forecast of a lead, off by what is
// given for each in turn.
func reads(quantity string, lead time.Duration, off ...float64) []Read {
	out := make([]Read, len(off))
	for i, x := range off {
		out[i] = Read{Quantity: quantity, Reading: fmt.Sprint(quantity, lead, i), Lead: lead, Said: 10 + x, Measured: 10, Low: 9, High: 9.5 + x, HasSpan: true}
	}
	return out
}

// By hand: ten forecasts, five 3 K too warm and five 1 K too cold, are 1 K too warm
// on average and 2 K off. The spans reach to 12.5 °C and to 8.5 °C: five hold.
func TestScore_LeadByHand(t *testing.T) {
	s := NewScore(ScoreFacts{Reads: reads("air", 3*time.Hour, 3, 3, 3, 3, 3, -1, -1, -1, -1, -1)})
	require.Len(t, s.Weather, 1)
	l := s.Weather[0].Leads
	require.Len(t, l, 1)
	assert.Equal(t, ScoreLead{ToH: 12, Cases: 10, Readings: 10, Enough: true, Bias: some(1, cent), MAE: some(2, cent), Held80: some(0.5, cent), HeldOf: 10}, l[0])
	assert.Equal(t, "K", s.Weather[0].Unit)
}

// Nine are too few; so are ninety forecasts of nine readings.
func TestScore_TooFewToTell(t *testing.T) {
	nine := reads("wind", time.Hour, make([]float64, 9)...)
	s := NewScore(ScoreFacts{Reads: nine})
	assert.False(t, s.Weather[0].Leads[0].Enough)
	var many []Read
	for range 10 {
		many = append(many, nine...)
	}
	l := NewScore(ScoreFacts{Reads: many}).Weather[0].Leads[0]
	assert.Equal(t, [2]int{90, 9}, [2]int{l.Cases, l.Readings})
	assert.Nil(t, l.Bias)
	assert.Nil(t, l.Held80)
}

func TestScore_Leads(t *testing.T) {
	var list []Read
	for _, h := range []float64{0, 11.9, 12, 24, 47.9, 96, 167.9, 168, 300, -1} {
		list = append(list, reads("air", time.Duration(h*float64(time.Hour)), 0)...)
	}
	list = append(list, reads("surface", time.Hour, 1)...)
	s := NewScore(ScoreFacts{Reads: list})
	got := map[float64]int{}
	for _, l := range s.Weather[0].Leads {
		got[l.FromH] = l.Cases
	}
	assert.Equal(t, map[float64]int{0: 2, 12: 1, 24: 2, 96: 2}, got, "from, and to below; older than a week is left out")
	assert.Equal(t, []string{"air", "surface"}, []string{s.Weather[0].Quantity, s.Weather[1].Quantity})
	assert.Equal(t, 11, s.Readings)
}

// Worked out by hand: the eight cases of package score and two more of 90 % that
// held, Brier (8·0.155 + 2·0.01)/10 = 0.126, six of ten held, uncertainty 0.24.
func TestScore_WorkByHand(t *testing.T) {
	var work []Worked
	for _, c := range []struct {
		p    float64
		held bool
	}{{0.1, false}, {0.3, false}, {0.7, true}, {0.9, true}, {0.2, true}, {0.6, false}, {0.8, true}, {0, false}} {
		work = append(work, Worked{Confidence: c.p, Held: c.held})
	}
	few := NewScore(ScoreFacts{Work: work, Unsaid: 3, Open: 4}).Work
	assert.False(t, few.Enough)
	assert.Nil(t, few.Brier)
	assert.Equal(t, [3]int{8, 3, 4}, [3]int{few.Cases, few.Unsaid, few.Open})
	work = append(work, Worked{Confidence: 0.9, Held: true}, Worked{Confidence: 0.9, Held: true},
		Worked{Refused: true}, Worked{Refused: true, Held: true})
	s := NewScore(ScoreFacts{Work: work}).Work
	assert.InDelta(t, 0.126, *s.Brier, 1e-9)
	assert.InDelta(t, 1-0.126/0.24, *s.Skill, 0.0051)
	assert.InDelta(t, (2.4-0.1+3*0.1)/10, *s.CalibrationError, 1e-3)
	assert.Equal(t, [2]int{2, 1}, [2]int{s.Against, s.AgainstHeld})
	last := s.Bins[len(s.Bins)-1]
	assert.Equal(t, ScoreBin{From: 0.9, To: 1, N: 3, Said: 0.9, Held: 3}, last)
}

func TestScore_AllHeldHasNoSkill(t *testing.T) {
	var work []Worked
	for range 12 {
		work = append(work, Worked{Confidence: 1, Held: true})
	}
	s := NewScore(ScoreFacts{Work: work}).Work
	assert.Zero(t, *s.Brier)
	assert.Nil(t, s.Skill, "there was nothing to tell apart")
	assert.Equal(t, 12, s.Held)
}

func TestScore_Properties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var f ScoreFacts
		f.Reads = rapid.SliceOfN(rapid.Custom(func(t *rapid.T) Read {
			return Read{Quantity: rapid.SampledFrom([]string{"air", "humidity", "wind", "surface"}).Draw(t, "quantity"),
				Reading: fmt.Sprint(rapid.IntRange(0, 15).Draw(t, "reading")), Lead: time.Duration(rapid.Int64Range(0, 7*24*3600-1).Draw(t, "lead")) * time.Second,
				Said: rapid.Float64Range(-20, 90).Draw(t, "said"), Measured: rapid.Float64Range(-20, 90).Draw(t, "measured")}
		}), 0, 60).Draw(t, "reads")
		f.Work = rapid.SliceOfN(rapid.Custom(func(t *rapid.T) Worked {
			return Worked{rapid.Float64Range(0, 1).Draw(t, "p"), rapid.Bool().Draw(t, "refused"), rapid.Bool().Draw(t, "held")}
		}), 0, 40).Draw(t, "work")
		s := NewScore(f)
		cases := 0
		for _, q := range s.Weather {
			for _, l := range q.Leads {
				cases += l.Cases
				require.LessOrEqual(t, l.Readings, l.Cases)
				require.Equal(t, l.Enough, l.Bias != nil)
				if l.Enough {
					require.LessOrEqual(t, math.Abs(*l.Bias), *l.MAE+0.01, "no bias beyond the size")
				}
			}
		}
		require.Equal(t, len(f.Reads), cases, "every case is in one place")
		require.Equal(t, len(f.Work), s.Work.Cases+s.Work.Against)
		held := s.Work.AgainstHeld
		for _, b := range s.Work.Bins {
			require.Positive(t, b.N)
			held += b.Held
		}
		for _, w := range f.Work {
			if w.Held {
				held--
			}
		}
		require.Zero(t, held)
		data, err := json.Marshal(s)
		require.NoError(t, err)
		require.NotContains(t, string(data), "NaN")
	})
}

func TestScore_EmptyListsAreLists(t *testing.T) {
	data, err := json.Marshal(NewScore(ScoreFacts{}))
	require.NoError(t, err)
	assert.Contains(t, string(data), `"weather":[]`)
	assert.Contains(t, string(data), `"bins":[]`)
	assert.Contains(t, string(data), `"warnings":[]`)
	assert.Contains(t, string(data), `"brier":null`)
}

func TestWordOn(t *testing.T) {
	day := time.Date(2026, 9, 10, 0, 0, 0, 0, time.UTC)
	clock := func(h, m int) time.Time { return day.Add(time.Duration(60*h+m) * time.Minute) }
	plan := &Plan{Blocks: []PlanBlock{
		{Step: "wash", Zone: "port side", From: clock(8, 0), To: clock(9, 0), Confidence: 0.9},
		{Step: "seal", Zone: "port side", From: clock(12, 0), To: clock(13, 0), Confidence: 0.8},
	}}
	windows := []Window{
		{Step: "wash", Zone: "port side", From: clock(7, 0), To: clock(11, 0), Confidence: 0.7, Best: &Block{From: clock(9, 30), To: clock(10, 10), Confidence: 0.85}},
		{Step: "seal", Zone: "port side", From: clock(14, 0), To: clock(15, 0), Confidence: 0.6},
	}
	refusal := func(from, to time.Time, state, limit string) Refusal {
		return Refusal{Step: "seal", Zone: "port side", From: from, To: to, State: state, Binding: Binding{Limit: limit}}
	}
	refusals := []Refusal{
		refusal(clock(6, 0), clock(12, 0), NoGo, "film"), refusal(clock(15, 0), clock(17, 0), NoGo, "surface_max"),
		refusal(clock(17, 0), clock(18, 0), Unknown, "data"), refusal(clock(18, 0), clock(24, 0), NoGo, "hours"),
	}
	for name, c := range map[string]struct {
		step, zone string
		at         time.Time
		want       Worked
		ok         bool
	}{
		"in the block":              {"wash", "port side", clock(8, 30), Worked{Confidence: 0.9}, true},
		"at its end":                {"wash", "port side", clock(9, 0), Worked{Confidence: 0.9}, true},
		"in the window":             {"wash", "port side", clock(10, 30), Worked{Confidence: 0.7}, true},
		"in its best block":         {"wash", "port side", clock(10, 0), Worked{Confidence: 0.85}, true},
		"as it begins":              {"wash", "port side", clock(7, 0), Worked{}, false},
		"written down late":         {"seal", "port side", clock(13, 40), Worked{Confidence: 0.8}, true},
		"late of a window":          {"seal", "port side", clock(15, 50), Worked{Confidence: 0.6}, true},
		"against the weather":       {"seal", "port side", clock(10, 0), Worked{Refused: true}, true},
		"later than late":           {"seal", "port side", clock(16, 30), Worked{Refused: true}, true},
		"unknown is no word":        {"seal", "port side", clock(17, 30), Worked{}, false},
		"after hours is no weather": {"seal", "port side", clock(19, 0), Worked{}, false},
		"another zone":              {"wash", "foredeck", clock(8, 30), Worked{}, false},
		"another step":              {"buff", "port side", clock(8, 30), Worked{}, false},
	} {
		got, ok := WordOn(plan, windows, refusals, c.step, c.zone, c.at)
		assert.Equal(t, c.ok, ok, name)
		assert.Equal(t, c.want, got, name)
	}
	_, ok := WordOn(nil, nil, nil, "wash", "port side", clock(8, 30))
	assert.False(t, ok)
}
