// Package boat describes a boat where it lies: its zones with their tilt,
// facing, finish, build and shelter, and the presets of zones by kind of boat.
package boat

import "time"

// Shelter is what stands above a zone.
type Shelter uint8

// The shelters, from none to all round.
const (
	Open    Shelter = iota // nothing above
	Hardtop                // a roof over the zone, sides open
	Canvas                 // a sheet or canvas close above
	Shed                   // a covered berth or building
)

// Access is how a zone is reached.
type Access uint8

// The ways to reach a zone. Ladder and Harness carry a gust limit of their own.
const (
	Deck Access = iota
	Ladder
	Harness
	Float
	Ashore
)

// Skin is the build of a zone's skin: how much heat it holds and how it is
// coupled to what lies behind it.
type Skin uint8

// The skins.
const (
	Cored Skin = iota // thin laminate over a foam or balsa core: minutes
	Solid             // about 10 mm of laminate: a quarter of an hour
	Thick             // about 20 mm of laminate: three quarters of an hour
	Plate             // thin, air on both faces: rails, towers, canvas, clear vinyl
	Plank             // wood on deck
	Keel              // lead or iron: half a day
	Tube              // coated fabric over the still air of a tube: minutes
)

// Behind is what lies behind the skin.
type Behind uint8

// What lies behind a skin.
const (
	Cabin Behind = iota
	Tank
	Engine
	WaterBehind
	Outside // nothing: air as outdoors
)

// Finish is a surface's colour and coating.
type Finish struct {
	Name        string
	Absorptance float64 // of sunlight, 0–1
	Emissivity  float64 // thermal, 0–1
	Skin        Skin    // its usual build
	Behind      Behind  // what usually lies behind that build
	HoldingGM2  float64 // water that stays on a level surface of it, g/m²; upright half
	Soaks       bool    // bare wood: takes water in, so only a clock tells when it is dry
	Source      string  // provenance in words
}

// Sector hides everything below an elevation between two bearings: a
// neighbour's boat, a shed wall, trees, or the boat's own structure.
type Sector struct {
	From, To float64 // degrees clockwise, From→To; may wrap north
	UpTo     float64 // degrees of elevation
	Relative bool    // bearings from the bow (own structure), else true
	Until    time.Time
	HasUntil bool
}

// Span is a half-open stretch of time.
type Span struct{ From, To time.Time }

// Zone is a part of the boat with one tilt, one facing, one finish and one
// shelter.
type Zone struct {
	Name  string
	Tilt  float64 // degrees: 0 level, 90 upright, 180 facing down
	Faces float64 // degrees clockwise from the bow, 0–360; without meaning when level
	// FacesTrue: Faces is a true bearing instead, as on a boat whose bow is not
	// known or swings, where a face can only be named by the compass.
	FacesTrue bool
	// Quarter: it is one of four faces that stand for the sides of a boat whose bow is
	// not known or swings. It tells what the weather allows on a side that looks that
	// way, and is no side on which work can be booked.
	Quarter bool
	Finish  Finish
	Skin    Skin
	Shelter Shelter
	Behind  Behind
	Access  Access
	// Climbed: a ladder leads up to the deck that it is worked on from, of a boat on
	// stands. That slows no hand, but nobody goes up or stays there in strong gusts.
	Climbed bool

	AreaM2  float64 // 0: not known
	LengthM float64 // of rails and joints, 0: not known
	Count   int     // of repairs

	// RoofView is the share of the zone's upper view that a hardtop, canvas or
	// shed takes up, 0–1; from the shelter unless the zone says.
	RoofView float64
	// OpenSide are the true bearings towards which a shelter is open, for
	// driven rain; empty: open all round, except a shed.
	OpenSide []float64

	Shade    []Sector
	Reach    []Span // when it can be reached; empty: always
	Salt     bool
	Buffable string // yes, no, unknown
	// DrainsTo are the zones that lie below it as below an overhang: what rain and
	// wash leave on it drips on them.
	DrainsTo []string
	// RunsOnto are the zones that water which is let run on it reaches besides. It
	// runs off at once and does not drip on: rain falls on them as on it.
	RunsOnto  []string
	NearWater bool            // the lowest half metre of an afloat side: follows the water
	Done      map[string]Done // by the name of a step, or by what a step does
	Parts     []Part
}

// AtHeight reports whether whoever works on the zone can fall from a height: off a
// ladder, out of a harness or from the deck of a boat on stands.
func (z *Zone) AtHeight() bool { return z.Climbed || z.Access == Ladder || z.Access == Harness }

// Part is a portion of a zone with another finish: washed as one with the
// zone, held to the stricter of the two.
type Part struct {
	Name   string
	Finish Finish
	AreaM2 float64
}

// Done is what has been done on a zone already.
type Done struct {
	At    time.Time
	Share float64 // 0–1, 1 when whole
	// Spoiled: of what was put on nothing stands any longer, and it is asked again on a
	// zone of its own. Share counts it as done here.
	Spoiled bool
}
