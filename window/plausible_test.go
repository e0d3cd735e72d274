package window

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/window/boat"
	"dewgap/window/job"
)

func finishNamed(t require.TestingT, name string) boat.Finish {
	f, ok := boat.FinishByName(name)
	require.True(t, ok, name)
	return f
}

// A hygrometer that is 3 % off puts the dew point ±0.6 K off at 85 % and ±0.9 K
// at 50 %, both at 25 °C (derived figures of the trade's own tables, to a tenth).
func TestHygrometerErrorK(t *testing.T) {
	assert.InDelta(t, 0.6, HygrometerErrorK(25, 85), 0.05)
	assert.InDelta(t, 0.9, HygrometerErrorK(25, 50), 0.05)
	rapid.Check(t, func(t *rapid.T) {
		c, rh := rapid.Float64Range(-40, 60).Draw(t, "air"), rapid.Float64Range(1, 100).Draw(t, "humidity")
		require.Greater(t, HygrometerErrorK(c, rh), 0.0)
	})
}

// gun is an infrared reading of a level white deck at dawn under clear sky, 1 K
// below the model.
func gun(t require.TestingT) surfaceRead {
	return surfaceRead{finish: finishNamed(t, "white-gelcoat"), by: job.Infrared, openSky: true, clear: true, sun: job.No,
		c: 9, model: 10, hasModel: true}
}

// Infrared on bright metal shows the sky (emissivity 0.1–0.2, handbook tables) and
// is refused, a contact probe is not; clear vinyl is seen through.
func TestJudge_FinishesThatInfraredMisreads(t *testing.T) {
	for _, name := range []string{"stainless", "aluminium", "clear-vinyl"} {
		s := gun(t)
		s.finish, s.tilt = finishNamed(t, name), 90
		how, why := s.judge()
		assert.Equal(t, refused, how, name)
		assert.Contains(t, why, "contact probe")
		assert.Contains(t, why, "matt tape")
		s.by = job.Contact
		how, why = s.judge()
		assert.Equal(t, asRead, how, name)
		assert.Empty(t, why)
	}
	for _, f := range boat.Finishes() {
		s := gun(t)
		s.finish, s.tilt = f, 90
		how, _ := s.judge()
		assert.Equal(t, f.Emissivity < 0.5 || f.Name == "clear-vinyl", how == refused, f.Name)
	}
}

// A glossy level panel under clear sky reads 2 to 5 K low by infrared (derived
// for emissivity 0.92 read at 0.95): it counts as an upper bound. Anything that
// takes the mirror, the sky or the gun away leaves a reading as read.
func TestJudge_SkyGlare(t *testing.T) {
	how, why := gun(t).judge()
	assert.Equal(t, atMost, how)
	assert.Contains(t, why, "2 to 5 K low")
	assert.Contains(t, why, "14.0 °C at most")
	for name, change := range map[string]func(*surfaceRead){
		"contact probe": func(s *surfaceRead) { s.by = job.Contact },
		"upright":       func(s *surfaceRead) { s.tilt = 90 },
		"30 degrees":    func(s *surfaceRead) { s.tilt = 30 },
		"cloud":         func(s *surfaceRead) { s.clear = false },
		"hardtop":       func(s *surfaceRead) { s.openSky = false },
		"sun told":      func(s *surfaceRead) { s.sun, s.beam = job.Yes, 400 },
		"sun by model":  func(s *surfaceRead) { s.sun, s.beam = job.NotTold, 60 },
		"non-skid":      func(s *surfaceRead) { s.finish = finishNamed(t, "white-non-skid") },
		"bare teak":     func(s *surfaceRead) { s.finish = finishNamed(t, "teak") },
	} {
		s := gun(t)
		change(&s)
		how, why := s.judge()
		assert.Equal(t, asRead, how, name)
		assert.Empty(t, why, name)
	}
}

// 15 K off the model is asked for again, unless a second reading agrees; where
// there is no model nothing is off.
func TestJudge_FarOffTheModel(t *testing.T) {
	s := gun(t)
	s.by = job.Contact
	s.c = 25
	how, why := s.judge()
	assert.Equal(t, asRead, how, "just 15 K")
	assert.Empty(t, why)
	s.c = 48
	how, why = s.judge()
	assert.Equal(t, refused, how)
	assert.Contains(t, why, "38 K off")
	assert.Contains(t, why, "check the unit")
	s.confirmed = true
	how, why = s.judge()
	assert.Equal(t, asRead, how)
	assert.Contains(t, why, "read twice")
	s.confirmed, s.hasModel = false, false
	how, _ = s.judge()
	assert.Equal(t, asRead, how)
}

// Sun that one sees and the model does not, or the other way round, points at a
// wrong bow.
func TestJudge_SunAndModelDisagree(t *testing.T) {
	s := gun(t)
	s.tilt, s.sun, s.beam = 90, job.Yes, 10
	how, why := s.judge()
	assert.Equal(t, asRead, how)
	assert.Contains(t, why, "check bow")
	s.sun, s.beam = job.No, 300
	_, why = s.judge()
	assert.Contains(t, why, "check bow")
	s.beam = 150
	_, why = s.judge()
	assert.Empty(t, why)
}

func TestConfirmed(t *testing.T) {
	at := func(minutes ...int) (out []time.Time) {
		for _, m := range minutes {
			out = append(out, time.Unix(int64(m)*60, 0))
		}
		return out
	}
	assert.False(t, confirmed(at(0), []float64{5}, 0))
	assert.True(t, confirmed(at(0, 60), []float64{5, 8}, 0))
	assert.True(t, confirmed(at(0, 60), []float64{5, 8}, 1))
	assert.False(t, confirmed(at(0, 61), []float64{5, 5}, 0))
	assert.False(t, confirmed(at(0, 10), []float64{5, 8.1}, 0))
	assert.True(t, confirmed(at(0, 10, 20), []float64{5, 30, 4}, 0))
	assert.False(t, confirmed(at(0, 10, 20), []float64{5, 30, 4}, 1))
}

// Wood is what a plank is made of, and a mirror is gelcoat, paint or varnish.
func TestFinishes_GlossyAndWooden(t *testing.T) {
	wood, gloss := map[string]bool{"teak": true, "oiled-teak": true, "varnished-wood": true}, map[string]bool{
		"white-gelcoat": true, "aged-white-gelcoat": true, "cream-gelcoat": true, "grey-gelcoat": true, "red-gelcoat": true,
		"blue-gelcoat": true, "navy-gelcoat": true, "black-gelcoat": true, "white-paint": true, "navy-paint": true,
		"black-paint": true, "varnished-wood": true,
	}
	for _, f := range boat.Finishes() {
		assert.Equal(t, wood[f.Name], wooden(f), f.Name)
		assert.Equal(t, gloss[f.Name], glossy(f), f.Name)
	}
}
