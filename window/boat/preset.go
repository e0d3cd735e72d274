package boat

import (
	"fmt"
	"math"
	"strings"
)

// Least and greatest length overall in metres that the presets scale to;
// beyond them the ratios below no longer describe the kind.
const (
	MinLengthM = 4
	MaxLengthM = 40
)

// hull gives a kind's usual proportions as shares of the length overall (from
// memory, for boats of 8 to 20 m).
type hull struct {
	beam      float64
	freeboard float64 // mean
	draft     float64 // of the canoe body
	waterline float64
	house     float64 // share of length × beam that the superstructure stands on
	hullBeam  float64 // of one hull of two; 0: a single hull as wide as the beam
	keel      float64 // how far it reaches below the canoe body
	sails     bool    // a displacement hull
}

// areas are a boat's surfaces in m², by the estimating rules of boat painters
// (from memory): topsides 2 (L + B) F × 0.87, transom B F × 0.85, decks
// L B × 0.75 less the superstructure, bottom Lw B when planing and
// Lw (B + D) × 0.75 when not.
type areas struct {
	side    float64 // one outer side
	inner   float64 // one inner side of two hulls, else 0
	transom float64 // all of it
	deck    float64
	under   float64 // one half
	square  float64 // L², the yardstick of what no rule covers
}

// What a boat on stands is at height, metres (common practice, no source): keel blocks
// hold her so far off the ground, and a fall counts from 1.8 m (6 ft in OSHA
// 1926.501(b)(1)).
const (
	blocksM = 0.5
	fallM   = 1.8
)

// high reports whether the deck edge of a boat of that length on stands is so far above
// the ground that whoever falls from it falls from a height.
func (h hull) high(length float64) bool {
	return (h.freeboard+h.draft+h.keel)*length+blocksM >= fallM
}

const (
	topsideFullness = 0.87 // between 0.85 and 0.9
	transomFullness = 0.85
	deckFullness    = 0.75
	bottomFullness  = 0.75 // between 0.7 and 0.8
)

func (h hull) areas(length float64) areas {
	hulls, beam := 1.0, h.beam*length
	if h.hullBeam > 0 {
		hulls, beam = 2, h.hullBeam*length
	}
	free := h.freeboard * length
	transom := beam * free * transomFullness
	side := (2*(length+beam)*free*topsideFullness - transom) / 2 // one side of one hull
	under := h.waterline * length * beam
	if h.sails {
		under = h.waterline * length * (beam + h.draft*length) * bottomFullness
	}
	a := areas{side: side, transom: hulls * transom, under: hulls * under / 2, square: length * length}
	a.deck = h.beam * length * length * (deckFullness - h.house)
	if hulls == 2 {
		a.inner = side
	}
	return a
}

// basis is the area of which a zone takes a share.
type basis uint8

const (
	ofSquare basis = iota // L²: from memory
	ofSide
	ofInner
	ofTransom
	ofDeck
	ofBottom
)

func (a areas) of(b basis) float64 {
	return [...]float64{a.square, a.side, a.inner, a.transom, a.deck, a.under}[b]
}

// part is a zone of a preset before it is scaled. A pair stands for a port and
// a starboard zone; its faces are those of the starboard one.
type part struct {
	name    string
	pair    bool
	tilt    float64
	faces   float64
	finish  string
	basis   basis
	share   float64 // of the basis; 0: the zone is measured by its length
	metres  float64 // of rail or pipe per metre of boat
	skin    Skin    // where setSkin
	setSkin bool
	shelter Shelter
	access  Access
	climbed bool
	drains  []string // names below it; those of pairs without port or starboard
	runs    []string // names that its wash water runs onto besides, likewise
}

// kind is a preset: its word in the job file, its proportions, its zones.
type kind struct {
	name  string
	hull  hull
	parts []part
}

// Kinds lists the kinds of boat that have a preset. The slice is the caller's
// own.
func Kinds() []string {
	var names []string
	for _, k := range kinds() {
		names = append(names, k.name)
	}
	return names
}

// Preset gives the zones of a kind of boat of a length overall in metres,
// between MinLengthM and MaxLengthM: tilt and facing from the bow, finish,
// build, shelter, access, and areas (in m²) or lengths (in m) scaled to it.
// Zones whose Access is Ashore exist only on the hard. Every preset has a port
// side, a starboard side, a foredeck and a transom. The error names the kinds,
// or the lengths, that would do.
func Preset(name string, lengthM float64) ([]Zone, error) { return scaled(name, lengthM, false) }

// PresetAshore is [Preset] for a boat on stands: where her deck edge is 1.8 m and more
// above the ground, topsides and transom are worked on from a ladder or staging, and a
// ladder leads up to all else but what is reached from the ground.
func PresetAshore(name string, lengthM float64) ([]Zone, error) { return scaled(name, lengthM, true) }

func scaled(name string, lengthM float64, ashore bool) ([]Zone, error) {
	k, ok := kindByName(name)
	if !ok {
		return nil, fmt.Errorf("no preset for a boat of kind %q: use one of %s", name, strings.Join(Kinds(), ", "))
	}
	if !(lengthM >= MinLengthM && lengthM <= MaxLengthM) {
		return nil, fmt.Errorf("the presets cover boats of %d to %d m, not %.4g m: leave out the kind and list the zones",
			MinLengthM, MaxLengthM, lengthM)
	}
	a := k.hull.areas(lengthM)
	high := ashore && k.hull.high(lengthM)
	var zones []Zone
	for _, p := range k.parts {
		if high {
			p = p.raised()
		}
		if !p.pair {
			zones = append(zones, p.zone("", a, lengthM))
			continue
		}
		zones = append(zones, p.mirrored().zone("port ", a, lengthM), p.zone("starboard ", a, lengthM))
	}
	resolveBelow(zones)
	return zones, nil
}

func kindByName(name string) (kind, bool) {
	for _, k := range kinds() {
		if k.name == name {
			return k, true
		}
	}
	return kind{}, false
}

func (p part) mirrored() part {
	p.faces = Turn(-p.faces)
	return p
}

// raised is a part of a boat on stands whose deck edge is high.
func (p part) raised() part {
	switch {
	case p.access != Deck && p.access != Float:
	case p.basis == ofSide || p.basis == ofInner || p.basis == ofTransom:
		p.access = Ladder
	default:
		p.access, p.climbed = Deck, true
	}
	return p
}

func (p part) zone(prefix string, a areas, lengthM float64) Zone {
	f, ok := FinishByName(p.finish)
	if !ok {
		panic("boat: preset with unknown finish " + p.finish) // a slip in the table below, found by its test
	}
	z := Zone{Name: prefix + p.name, Tilt: p.tilt, Faces: p.faces, Finish: f, Skin: f.Skin, Behind: f.Behind,
		Shelter: p.shelter, Access: p.access, Climbed: p.climbed, RoofView: p.shelter.RoofView(), Buffable: "unknown"}
	if p.setSkin {
		z.Skin = p.skin
	}
	z.AreaM2 = tenths(p.share * a.of(p.basis))
	z.LengthM = tenths(p.metres * lengthM)
	z.DrainsTo, z.RunsOnto = p.drains, p.runs
	return z
}

// resolveBelow turns what parts name as lying below them into the zones that exist.
func resolveBelow(zones []Zone) {
	exists := map[string]bool{}
	for _, z := range zones {
		exists[z.Name] = true
	}
	for i := range zones {
		z := &zones[i]
		z.DrainsTo, z.RunsOnto = onSide(exists, z.Name, z.DrainsTo), onSide(exists, z.Name, z.RunsOnto)
	}
}

// onSide are the zones that exist of those named: of a pair the half on the side of
// the zone above, both where that is single.
func onSide(exists map[string]bool, above string, names []string) []string {
	var kept []string
	sides := []string{"port ", "starboard "}
	for _, side := range sides {
		if strings.HasPrefix(above, side) {
			sides = []string{side}
			break
		}
	}
	for _, d := range names {
		if exists[d] {
			kept = append(kept, d)
			continue
		}
		for _, side := range sides {
			if exists[side+d] {
				kept = append(kept, side+d)
			}
		}
	}
	return kept
}

// tenths rounds to one decimal, the precision that an estimate deserves.
func tenths(v float64) float64 { return math.Round(v*10) / 10 }

func cosDeg(deg float64) float64 { return math.Cos(deg * math.Pi / 180) }
