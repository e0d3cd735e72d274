package window_test

import (
	"testing"
	"time"

	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A side that is sealed is not washed or compounded again because nobody logged that it
// was: water and machine would take the fresh film off.
func TestStock_LaterImpliesEarlier(t *testing.T) {
	f := calm(8)
	dry := []window.Rain{}
	s := stockAt(t, f, doneAt(t, f, map[string]float64{"seal": 80}), dry, nil)
	for _, step := range []string{"wash", "correct", "strip wash", "seal"} {
		assert.InDelta(t, 1, left(t, s, step, "port side"), 0, step)
	}
	assert.Equal(t, []window.Taken{{Step: 0, By: 3, Over: 1}, {Step: 1, By: 3, Over: 1}, {Step: 2, By: 3, Over: 1}}, s.Taken)
	assert.Empty(t, s.Given.Zones[0].Done["wash"], "the job that was given is left as it was")

	s = stockAt(t, f, doneAt(t, f, map[string]float64{"correct": 80}), dry, nil)
	assert.InDelta(t, 1, left(t, s, "wash", "port side"), 0)
	assert.Zero(t, left(t, s, "strip wash", "port side"), "what comes after is still to be done")

	s = stockAt(t, f, doneAt(t, f, map[string]float64{"strip wash": 80}), dry, nil)
	assert.Empty(t, s.Taken, "one may wash at any time")

	s = stockAt(t, f, doneAt(t, f, map[string]float64{"correct": 80}), dry, func(in *window.MoveInput) { in.Salted = []int{0} })
	assert.Zero(t, left(t, s, "wash", "port side"), "salt is washed off whatever was done")
}

func TestStock_LaterImpliesEarlierInPart(t *testing.T) {
	f := calm(8)
	j := doneAt(t, f, map[string]float64{"seal": 80, "wash": 60})
	d := j.Zones[0].Done["seal"]
	d.Share = 0.4
	j.Zones[0].Done["seal"] = d
	s := stockAt(t, f, j, []window.Rain{}, nil)
	assert.InDelta(t, 0.4, left(t, s, "correct", "port side"), 1e-9)
	assert.InDelta(t, 0.4, left(t, s, "strip wash", "port side"), 1e-9)
	assert.InDelta(t, 1, left(t, s, "wash", "port side"), 0)
}

// A half that was compounded and then sealed as a whole is not cut again, and that it was
// not compounded is known.
func TestStock_SealedHalfCorrected(t *testing.T) {
	f := calm(8)
	half := func(sealed float64) *window.Stock {
		j := doneAt(t, f, map[string]float64{"wash": 56, "correct": 58, "strip wash": 60, "seal": 64})
		for step, share := range map[string]float64{"correct": 0.5, "seal": sealed} {
			d := j.Zones[0].Done[step]
			d.Share = share
			j.Zones[0].Done[step] = d
		}
		return stockAt(t, f, j, []window.Rain{}, nil)
	}
	s := half(1)
	assert.InDelta(t, 1, left(t, s, "correct", "port side"), 0)
	assert.Equal(t, []window.Taken{{Step: 1, By: 3, Logged: 0.5, Over: 1}}, s.Taken)
	s = half(0.8)
	assert.InDelta(t, 0.8, left(t, s, "correct", "port side"), 1e-9, "the rest is bare and is compounded")
	assert.Equal(t, []window.Taken{{Step: 1, By: 3, Logged: 0.5, Over: 0.8}}, s.Taken)
	assert.Empty(t, half(0.5).Taken)
}

// What is compounded again because it was found bad takes strip wash and seal with it:
// they come again, unless they have come since.
func TestStock_FoundBadUnderTheSeal(t *testing.T) {
	f := calm(8)
	day := map[string]float64{"wash": 56, "correct": 58, "strip wash": 60, "seal": 64}
	bad := func(change func(*job.Job)) *window.Stock {
		j := doneAt(t, f, day)
		delete(j.Zones[0].Done, "correct") // whoever keeps the log takes it out
		if change != nil {
			change(j)
		}
		return stockAt(t, f, j, []window.Rain{}, func(in *window.MoveInput) {
			in.Bad = []window.Bad{{Step: 1, Zone: 0, At: f.Start.Add(70 * time.Hour), Share: 0.5}}
		})
	}
	s := bad(nil)
	for _, step := range []string{"correct", "strip wash", "seal"} {
		assert.Zero(t, left(t, s, step, "port side"), step)
	}
	assert.InDelta(t, 1, left(t, s, "wash", "port side"), 0)
	assert.Empty(t, s.Taken)
	require.Len(t, s.Undone, 3)
	assert.Equal(t, []bool{false, true, true}, []bool{s.Undone[0].Over, s.Undone[1].Over, s.Undone[2].Over})
	assert.Len(t, s.Job.Steps, 4, "no strip wash comes before the compound")

	day["correct"] = 76
	s = bad(func(j *job.Job) { j.Zones[0].Done["correct"] = boat.Done{At: f.Start.Add(76 * time.Hour), Share: 1} })
	assert.InDelta(t, 1, left(t, s, "correct", "port side"), 0, "compounded since")
	assert.Zero(t, left(t, s, "seal", "port side"), "and the seal is off")
	s = bad(func(j *job.Job) {
		for step, h := range map[string]int{"correct": 76, "strip wash": 77, "seal": 78} {
			j.Zones[0].Done[step] = boat.Done{At: f.Start.Add(time.Duration(h) * time.Hour), Share: 1}
		}
	})
	assert.Empty(t, s.Undone, "all of it since")
}

// A sealed panel that is compounded on a later day is bare: strip wash and seal come again.
// On the same day it is taken for an order of writing.
func TestStock_CompoundedAfterTheSeal(t *testing.T) {
	f := calm(8)
	after := func(h float64) *window.Stock {
		return stockAt(t, f, doneAt(t, f, map[string]float64{"wash": 40, "strip wash": 42, "seal": 46, "correct": h}), []window.Rain{}, nil)
	}
	s := after(62)
	assert.Zero(t, left(t, s, "seal", "port side"))
	assert.Zero(t, left(t, s, "strip wash", "port side"))
	assert.InDelta(t, 1, left(t, s, "correct", "port side"), 0)
	assert.Len(t, s.Early, 2)
	assert.True(t, s.Owed(3, 0))
	assert.InDelta(t, 1, left(t, after(47), "seal", "port side"), 0, "the same evening")

	j := doneAt(t, f, map[string]float64{"wash": 40, "strip wash": 42, "seal": 46, "correct": 62})
	s = stockAt(t, f, j, []window.Rain{}, func(in *window.MoveInput) {
		at := func(step string, h, share float64) window.Worked {
			k, _ := j.Step(step)
			return window.Worked{Step: k, To: f.Start.Add(time.Duration(h * float64(time.Hour))), Share: share}
		}
		in.Worked = []window.Worked{at("wash", 40, 1), at("correct", 41, 0.75), at("strip wash", 42, 1), at("seal", 46, 1), at("correct", 62, 0.25)}
	})
	assert.InDelta(t, 0.75, left(t, s, "seal", "port side"), 1e-9, "where no machine was at it again it stands")
	assert.InDelta(t, 0.75, left(t, s, "strip wash", "port side"), 1e-9)
}

// A side is compounded and sealed by halves on two days: the machine of the second day was
// where no film was yet, and takes none off. Where it went farther the rest of the film stands.
func TestStock_CompoundedBesideTheSeal(t *testing.T) {
	f := calm(8)
	halves := func(coats int, first, film float64, again map[string]float64) *window.Stock {
		hours := map[string]float64{"wash": 40, "correct": 62, "strip wash": 42, "seal": 46}
		shares := map[string]float64{"wash": 1, "correct": 1, "strip wash": film, "seal": film / float64(coats)}
		for step, h := range again {
			hours[step], shares[step] = h, 1
		}
		j := doneAt(t, f, hours)
		j.Steps[3].Coats = coats
		for step, share := range shares {
			d := j.Zones[0].Done[step]
			d.Share = share
			j.Zones[0].Done[step] = d
		}
		return stockAt(t, f, j, []window.Rain{}, func(in *window.MoveInput) {
			at := func(step string, h, share float64) window.Worked {
				k, _ := j.Step(step)
				return window.Worked{Step: k, To: f.Start.Add(time.Duration(h * float64(time.Hour))), Share: share}
			}
			in.Worked = []window.Worked{at("wash", 40, 1), at("correct", 41, first), at("strip wash", 42, film), at("seal", 46, film), at("correct", 62, 1-first)}
			for step, h := range again {
				in.Worked = append(in.Worked, at(step, h, 1-film))
			}
		})
	}
	for _, coats := range []int{1, 2} {
		of := float64(coats)
		s := halves(coats, 0.5, 0.5, nil)
		assert.InDelta(t, 0.5/of, left(t, s, "seal", "port side"), 1e-9, coats)
		assert.InDelta(t, 0.5, left(t, s, "strip wash", "port side"), 1e-9, coats)
		assert.Empty(t, s.Undone, coats)

		s = halves(coats, 0.25, 0.5, nil)
		assert.InDelta(t, 0.25/of, left(t, s, "seal", "port side"), 1e-9, coats)
		require.NotEmpty(t, s.Early, coats)
		assert.InDelta(t, 0.25/of, s.Early[0].Share, 1e-9, coats)

		assert.Zero(t, left(t, halves(coats, 0, 0.5, nil), "seal", "port side"), coats)
	}
	s := halves(1, 0.5, 0.5, map[string]float64{"strip wash": 63, "seal": 66})
	assert.InDelta(t, 1, left(t, s, "seal", "port side"), 0)
	assert.Empty(t, s.Undone, "the other half is sealed as well")
}

// A seal that was found bad lay on a panel that had been compounded: strip wash and seal
// come again, and no more. What nobody knows the share of implies nothing.
func TestStock_FoundBadImpliesEarlier(t *testing.T) {
	f := calm(8)
	found := func(share float64) *window.Stock {
		return stockAt(t, f, doneAt(t, f, nil), []window.Rain{}, func(in *window.MoveInput) {
			in.Bad = []window.Bad{{Step: 3, Zone: 0, At: in.Now, Share: share}}
		})
	}
	s := found(1)
	assert.InDelta(t, 1, left(t, s, "wash", "port side"), 0)
	assert.InDelta(t, 1, left(t, s, "correct", "port side"), 0)
	assert.Zero(t, left(t, s, "strip wash", "port side"))
	assert.Zero(t, left(t, s, "seal", "port side"))
	assert.Zero(t, left(t, found(0), "correct", "port side"))
}

// A wash that was found bad is owed until it is logged, or until all of it was compounded
// over: of half of it the other half still is.
func TestStock_FoundBadAndGoneOver(t *testing.T) {
	f := calm(8)
	over := func(share float64) *window.Stock {
		j := doneAt(t, f, map[string]float64{"correct": 76})
		d := j.Zones[0].Done["correct"]
		d.Share = share
		j.Zones[0].Done["correct"] = d
		return stockAt(t, f, j, []window.Rain{}, func(in *window.MoveInput) {
			in.Bad = []window.Bad{{Step: 0, Zone: 0, At: f.Start.Add(70 * time.Hour), Share: 1}}
		})
	}
	s := over(1)
	assert.InDelta(t, 1, left(t, s, "wash", "port side"), 0)
	assert.Empty(t, s.Undone)
	assert.False(t, s.Owed(0, 0))
	s = over(0.5)
	assert.InDelta(t, 0.5, left(t, s, "wash", "port side"), 1e-9)
	assert.Len(t, s.Undone, 1)
	assert.True(t, s.Owed(0, 0))
}

// Compounding leaves oil and dust: a strip wash before it is none for the seal.
func TestStock_StripWashBeforeCompounding(t *testing.T) {
	f := calm(8)
	dry := []window.Rain{}
	day := map[string]float64{"wash": 56, "strip wash": 58, "correct": 60}
	s := stockAt(t, f, doneAt(t, f, day), dry, nil)
	assert.Zero(t, left(t, s, "strip wash", "port side"))
	assert.InDelta(t, 1, left(t, s, "correct", "port side"), 0)
	assert.True(t, s.Owed(2, 0))
	assert.Len(t, s.Early, 1)

	day["strip wash"] = 60
	assert.Empty(t, stockAt(t, f, doneAt(t, f, day), dry, nil).Undone, "in one entry")
	day["strip wash"], day["seal"] = 58, 64
	s = stockAt(t, f, doneAt(t, f, day), dry, nil)
	assert.InDelta(t, 1, left(t, s, "strip wash", "port side"), 0, "it was sealed since")

	day = map[string]float64{"wash": 56, "strip wash": 58, "correct": 60}
	j := doneAt(t, f, day)
	s = stockAt(t, f, j, dry, func(in *window.MoveInput) {
		at := func(step string) window.Worked {
			k, _ := j.Step(step)
			return window.Worked{Step: k, To: j.Zones[0].Done[step].At, Share: 1}
		}
		half := at("correct")
		half.To, half.Share = at("wash").To, 0.5
		rest := at("correct")
		rest.Share = 0.5
		in.Worked = []window.Worked{at("wash"), half, at("strip wash"), rest}
	})
	assert.InDelta(t, 0.5, left(t, s, "strip wash", "port side"), 1e-9, "the half that was compounded before it stands")
}

// What is coated and got wet, or was found bad, is sanded or wiped off and coated again:
// nobody puts a soap wash in front of it. A seal is stripped.
func TestStock_CoatsAreNotStripped(t *testing.T) {
	f := calm(8)
	for class, do := range map[string]string{"varnish": "coat", "antifouling": "coat", "polysulfide-sealant": "bed", "polymer-sealant": "seal"} {
		coated := func() *job.Job {
			j := smallJob(t, class)
			j.Steps[0].Name, j.Steps[0].Do = "film", do
			j.Zones[0].Done = map[string]boat.Done{"film": {At: f.Start.Add(80 * time.Hour), Share: 1}}
			return j
		}
		spoiled := stockAt(t, f, coated(), []window.Rain{fell(f, 80.5, 81)}, nil)
		require.Len(t, spoiled.Spoiled(), 1)
		require.Equal(t, window.Redo, spoiled.Spoiled()[0].Fate, class)
		bad := stockAt(t, f, coated(), []window.Rain{}, func(in *window.MoveInput) {
			in.Bad = []window.Bad{{At: in.Now, Share: 1}}
		})
		for _, s := range []*window.Stock{spoiled, bad} {
			var steps []string
			for _, x := range s.Job.Steps {
				steps = append(steps, x.Name)
			}
			if do == "seal" {
				assert.Equal(t, []string{"strip wash", "film"}, steps, class)
			} else {
				assert.Equal(t, []string{"film"}, steps, class)
			}
		}
	}
}

// A washed panel waits two days for its film and no longer: then dust, dew and salt lie on
// it again, and the strip wash is owed once more. What is sealed by then waits no more. A
// panel to be compounded waits no longer.
func TestStock_StaleStripWash(t *testing.T) {
	f := calm(8)
	dry := []window.Rain{}
	old := func(strip float64, change func(map[string]float64)) *window.Stock {
		day := map[string]float64{"wash": strip - 4, "correct": strip - 2, "strip wash": strip}
		if change != nil {
			change(day)
		}
		return stockAt(t, f, doneAt(t, f, day), dry, nil)
	}
	var h float64 // now, in hours of the forecast
	stockAt(t, f, doneAt(t, f, nil), dry, func(in *window.MoveInput) { h = in.Now.Sub(f.Start).Hours() })
	require.Greater(t, h, 64.0)
	s := old(h-49, nil)
	assert.Zero(t, left(t, s, "strip wash", "port side"))
	assert.InDelta(t, 1, left(t, s, "correct", "port side"), 0)
	assert.True(t, s.Owed(2, 0))
	assert.Len(t, s.Stale, 1)
	assert.Empty(t, s.Early)

	s = old(h-47, nil)
	assert.InDelta(t, 1, left(t, s, "strip wash", "port side"), 0)
	assert.Empty(t, s.Stale)
	s = old(h-60, func(day map[string]float64) { day["seal"] = h - 50 })
	assert.InDelta(t, 1, left(t, s, "strip wash", "port side"), 0, "it was sealed in time")
	s = old(h-60, func(day map[string]float64) { delete(day, "strip wash"); delete(day, "correct") })
	assert.Zero(t, left(t, s, "wash", "port side"), "what lies on it would be ground in")
	s = old(h-60, func(day map[string]float64) { delete(day, "strip wash") })
	assert.InDelta(t, 1, left(t, s, "wash", "port side"), 0, "it was compounded in time")

	j := doneAt(t, f, map[string]float64{"wash": h - 50})
	j.Steps = append(j.Steps[:1], j.Steps[3])
	s = stockAt(t, f, j, dry, nil)
	assert.Zero(t, left(t, s, "wash", "port side"), "the film comes next")
}
