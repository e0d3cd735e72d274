package window

import (
	"fmt"
	"math"
	"strings"
	"time"

	"dewgap/forecast/air"
	"dewgap/window/boat"
	"dewgap/window/job"
)

// Bounds of what is believed without asking again (common practice, no source,
// but for the glare).
const (
	airDoubtK     = 8.0  // off the forecast's air or dew point
	surfaceDoubtK = 15.0 // off the model's surface
	agreeK        = 3.0  // within which a second reading confirms the first
	agreeWithin   = time.Hour

	// hygrometerPct is the error of a good hand hygrometer, % relative humidity.
	hygrometerPct = 3

	// An infrared thermometer takes every surface for nearly black, ε 0.95. Below
	// leastEmissivity it shows the surroundings; a glossy level panel throws enough
	// of a clear sky back to read low by up to glareMostK (derived for ε 0.92: 2–5
	// K). A level panel is one below glareTilt degrees.
	leastEmissivity = 0.5
	glareLeastK     = 2.0
	glareMostK      = 5.0
	glareTilt       = 30.0
	clearSky        = 0.3   // cloud cover below which the sky is clear, 0–1
	sunlitWM2       = 50.0  // beam on the panel from which it stands in the sun, W/m²
	fullSunWM2      = 200.0 // beam that nobody overlooks, W/m²
)

// HygrometerErrorK is how far, in K either way, the dew point of air at airC °C
// with rhPct % may lie from the one worked out, for a hygrometer that is 3 % off.
func HygrometerErrorK(airC, rhPct float64) float64 {
	return (air.DewPoint(airC, rhPct+hygrometerPct) - air.DewPoint(airC, rhPct-hygrometerPct)) / 2
}

// taking is what becomes of a surface reading.
type taking uint8

const (
	refused taking = iota // it says nothing
	asRead                // the panel is as warm as read
	atMost                // the panel is no warmer than read, and glareMostK
)

// surfaceRead is a surface reading with what its truth hangs on.
type surfaceRead struct {
	finish    boat.Finish
	by        job.Instrument
	tilt      float64 // degrees
	openSky   bool    // nothing above
	clear     bool    // the sky
	sun       job.Told
	beam      float64 // W/m² of sun on the panel by the model
	c, model  float64 // °C
	hasModel  bool
	confirmed bool // a second reading agrees
}

// judge tells what becomes of the reading, and why or what to mind.
func (s surfaceRead) judge() (taking, string) {
	infrared := s.by == job.Infrared
	switch off := math.Abs(s.c - s.model); {
	case infrared && s.finish.Emissivity < leastEmissivity:
		return refused, fmt.Sprintf("infrared on bare %s shows the sky or you, not the metal: use a contact probe, or a patch of matt tape", s.finish.Name)
	case infrared && s.finish.Name == "clear-vinyl":
		return refused, "infrared sees through clear vinyl in part: use a contact probe, or a patch of matt tape"
	case s.hasModel && off > surfaceDoubtK && !s.confirmed:
		return refused, fmt.Sprintf("%.0f K off what was worked out: check the unit, the spot and the zone's finish, and read again; "+
			"a second reading within the hour that agrees is believed", off)
	case infrared && s.glares():
		return atMost, fmt.Sprintf("by infrared a glossy level panel under clear sky reads %.0f to %.0f K low: it counts as %.1f °C at most and lifts no limit; "+
			"use a contact probe", glareLeastK, glareMostK, s.c+glareMostK)
	}
	return asRead, s.remark()
}

// glares reports whether the panel mirrors a cold sky.
func (s surfaceRead) glares() bool {
	sunlit := s.sun == job.Yes || (s.sun == job.NotTold && s.beam > sunlitWM2)
	return s.openSky && s.clear && !sunlit && s.tilt < glareTilt && glossy(s.finish)
}

// remark is what is odd about a reading that is believed.
func (s surfaceRead) remark() string {
	switch {
	case s.sun == job.Yes && s.beam < sunlitWM2:
		return "you saw the sun on it, the model has it in the shade: check bow, facing and shade in the job"
	case s.sun == job.No && s.beam > fullSunWM2:
		return "you saw it in the shade, the model has the sun on it: check bow, facing and shade in the job"
	case s.hasModel && math.Abs(s.c-s.model) > surfaceDoubtK:
		return "far off what was worked out, but read twice: check the zone's finish in the job"
	}
	return ""
}

// glossy reports whether a finish mirrors: gelcoat, paint and varnish do; non-skid,
// bare and oiled wood, canvas, vinyl and antifouling are matt.
func glossy(f boat.Finish) bool {
	for _, w := range []string{"gelcoat", "paint", "varnished"} {
		if strings.Contains(f.Name, w) {
			return true
		}
	}
	return false
}

// wooden reports whether a moisture meter's pins find wood.
func wooden(f boat.Finish) bool { return f.Skin == boat.Plank }

// confirmed reports whether another of the numbers read of one thing agrees with
// number k: within 3 K and the hour.
func confirmed(at []time.Time, v []float64, k int) bool {
	for i := range v {
		if i != k && at[i].Sub(at[k]).Abs() <= agreeWithin && math.Abs(v[i]-v[k]) <= agreeK {
			return true
		}
	}
	return false
}
