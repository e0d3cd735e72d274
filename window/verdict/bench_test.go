package verdict

import "testing"

// BenchmarkJudge measures the verdicts of one member on sixteen days of one
// zone, clocks and all.
func BenchmarkJudge(b *testing.B) {
	s := day(16 * 24 * hours)
	for i := range s.Surface {
		s.Surface[i] = float32(10 + i*7%29)
		s.Spread[i] = float32(i * 5 % 13)
	}
	tm := terms(s.Len())
	x := tm.sees(s)
	j, board := NewJudge(class(b, "polymer-sealant"), tm.Terms), NewBoard(x.asked, 1)
	b.ReportAllocs()
	for b.Loop() {
		x.Look(s, tm.Past, x.asked)
		j.Run(x, board, 0)
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(s.Len()), "ns/slot")
}
