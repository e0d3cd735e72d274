package window_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/forecast"
	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
)

// A product whose hours hang on the panel's temperature keeps water off for as long in the
// plan as in its rows: on a cold panel for longer than by the clock, on one under a compound
// likewise.
func TestPlanKeepsWaterOffByTheProductsOwnHours(t *testing.T) {
	f, now := calm(6), on(2, 6, 0)
	for k := range f.N {
		f.Members[0].Columns[forecast.AirTemperature].Set(k, 17)
		f.Members[0].Columns[forecast.DewPoint].Set(k, 4)
	}
	class, ok := catalogue(t).Class("gelcoat-repair")
	require.True(t, ok)
	require.True(t, class.Equivalent)
	for _, next := range []job.Step{washStep, {Do: "correct", With: "finishing-polish"}} {
		j := stepsOn(t, now, 0, job.Step{Do: "coat", With: class.ID}, next)
		j.Zones[0].Finish, ok = boat.FinishByName("white-gelcoat")
		require.True(t, ok)
		r, err := window.Evaluate(window.Input{Forecast: f, Job: j, Classes: catalogue(t), Location: now.Location(), Now: now})
		require.NoError(t, err)
		require.NotEmpty(t, r.Rows[0].Windows)
		p, err := window.Plan(r, j, window.PlanSettings{})
		require.NoError(t, err)
		hard := 0.0
		for _, x := range p.Input.Tasks {
			for _, a := range x.After {
				if a.Task >= 0 {
					hard = max(hard, hoursIn(a.Hard))
				}
			}
		}
		assert.Greater(t, hard, max(class.RainFree.Default, class.DewFree.Default), next.Do)
	}
}
