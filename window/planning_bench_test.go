package window_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"dewgap/forecast"
	dress "dewgap/forecast/ensemble"
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

// season is a forecast of sixteen days that the plan is measured with.
func season(name string) (f *forecast.Forecast, dressed []forecast.Member) {
	switch name {
	case "51 members":
		return ensemble(16, 51), nil
	case "1 member, 30 dressed":
		f = ensemble(16, 1)
		return f, dress.Dress(f, 30, f.Start, dress.Options{})
	default: // settled weather that nobody doubts
		f = ensemble(16, 1)
		for k := range f.N {
			f.Members[0].Columns[forecast.Precipitation].Set(k, 0)
		}
		return f, nil
	}
}

// BenchmarkPlan measures a plan with all that it needs, from a parsed forecast:
// twelve zones, six steps, sixteen days, on two cores.
func BenchmarkPlan(b *testing.B) {
	for _, name := range []string{"51 members", "1 member, 30 dressed", "settled"} {
		b.Run(name, func(b *testing.B) {
			f, dressed := season(name)
			j := seasonJob()
			in := window.Input{
				Forecast: f, Dressed: dressed, Job: j, Classes: catalogue(b), Location: time.UTC, Now: f.Start, Workers: 2,
			}
			b.ReportAllocs()
			for b.Loop() {
				r, err := window.Evaluate(in)
				require.NoError(b, err)
				start := time.Now()
				p, err := window.Plan(r, j, window.PlanSettings{})
				require.NoError(b, err)
				require.True(b, p.Found)
				b.ReportMetric(float64(time.Since(start).Milliseconds()), "plan-ms")
				b.ReportMetric(float64(p.Steps), "steps")
				b.ReportMetric(float64(p.Proven), "proven")
				b.Logf("%+v, no plan can beat %+v", p.Score, p.Bound)
			}
		})
	}
}
