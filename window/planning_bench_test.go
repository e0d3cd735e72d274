package window_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	dress "dewgap/forecast/ensemble"
	"dewgap/products"
	"dewgap/window"
	"dewgap/window/job"
)

// seasonJob is twelve zones with the six steps of a season's clean and seal.
func seasonJob() *job.Job {
	j := bigJob()
	on := j.Steps[0].On
	j.Steps = nil
	for _, s := range []struct{ do, with string }{
		{"wash", "soap-wash"}, {"correct", "compound-dual-action"}, {"correct", "finishing-polish"},
		{"strip wash", "soap-wash"}, {"seal", "polymer-sealant"}, {"protect", "spray-sealant"},
	} {
		j.Steps = append(j.Steps, job.Step{Name: s.do + " " + s.with, Do: s.do, With: s.with, On: on, Coats: 1, PerDay: 1})
	}
	return j
}

// BenchmarkPlan measures a plan with all that it needs, from a parsed forecast:
// twelve zones, six steps, sixteen days, on two cores.
func BenchmarkPlan(b *testing.B) {
	cat, err := products.Catalogue()
	require.NoError(b, err)
	for name, members := range map[string]int{"51 members": 51, "1 member": 1} {
		b.Run(name, func(b *testing.B) {
			f, j := ensemble(16, members), seasonJob()
			in := window.Input{Forecast: f, Job: j, Classes: cat, Location: time.UTC, Now: f.Start, Workers: 2}
			if members == 1 {
				in.Dressed = dress.Dress(f, 30, f.Start, dress.Options{})
			}
			b.ReportAllocs()
			for b.Loop() {
				r, err := window.Evaluate(in)
				require.NoError(b, err)
				start := time.Now()
				p, err := window.Plan(r, j, window.PlanSettings{})
				require.NoError(b, err)
				b.ReportMetric(float64(time.Since(start).Milliseconds()), "plan-ms")
				b.ReportMetric(float64(p.Steps), "steps")
				b.ReportMetric(float64(p.Proven), "proven")
				b.Logf("%v %+v %+v %+v", p.Found, p.Score, p.Bound, p.Refusal)
			}
		})
	}
}
