package boat

// The presets. Which zones a kind has, how they are tilted and what they are
// made of is common practice, from memory; shares of L² are sized on a boat of
// 13 m, lengths of rail likewise.
//
// What runs onto what is what a hose shows: decks shed over their edge onto the hull
// sides, a superstructure onto its decks, a cockpit through the scuppers in its
// transom. The cockpits of sailing boats drain through the hull, onto nothing. Ashore
// what has run down the topsides drains on over the bottom.

func kinds() []kind {
	return []kind{
		{"flybridge-cruiser", hull{beam: 0.31, freeboard: 0.115, draft: 0.08, waterline: 0.85, house: 0.32}, flybridge()},
		{"sport-fisher", hull{beam: 0.33, freeboard: 0.115, draft: 0.09, waterline: 0.87, house: 0.20}, sportFisher()},
		{"express-cruiser", hull{beam: 0.31, freeboard: 0.105, draft: 0.07, waterline: 0.85, house: 0.22}, express()},
		{"centre-console", hull{beam: 0.30, freeboard: 0.095, draft: 0.06, waterline: 0.86, house: 0.06}, centreConsole()},
		{"sailing-yacht", hull{beam: 0.31, freeboard: 0.10, draft: 0.05, waterline: 0.90, house: 0.18, keel: 0.1, sails: true}, sailing()},
		{"catamaran", hull{beam: 0.54, freeboard: 0.115, draft: 0.05, waterline: 0.95, house: 0.30, hullBeam: 0.13, sails: true},
			catamaran()},
	}
}

// Facings, in degrees from the bow.
const (
	ahead     = 0
	starboard = 90
	astern    = 180
)

// join puts a kind's parts in order from the hull up.
func join(groups ...[]part) []part {
	var all []part
	for _, g := range groups {
		all = append(all, g...)
	}
	return all
}

// motorHull is the hull of a motor boat: the sides above the rub rail, the
// strip below it that is worked on ashore only, transom and bottom.
func motorHull() []part {
	return []part{
		{name: "side", pair: true, tilt: 90, faces: starboard, finish: "white-gelcoat",
			basis: ofSide, share: 0.8, skin: Solid, setSkin: true, drains: bottom(), runs: []string{"lower side"}},
		{name: "lower side", pair: true, tilt: 100, faces: starboard, finish: "white-gelcoat",
			basis: ofSide, share: 0.2, skin: Solid, setSkin: true, access: Ashore, drains: bottom()},
		{name: "transom", tilt: 90, faces: astern, finish: "white-gelcoat",
			basis: ofTransom, share: 1, skin: Solid, setSkin: true, drains: bottom(), runs: []string{"swim platform"}},
		underwater(150),
	}
}

func underwater(tilt float64) part {
	return part{name: "underwater body", pair: true, tilt: tilt, faces: starboard, finish: "antifouled-laminate",
		basis: ofBottom, share: 1, access: Ashore, drains: []string{"keel"}}
}

// bottom is what the topsides and the transom drain onto ashore: their water clings to
// the hull and runs down under it, where no rain falls.
func bottom() []string { return []string{"underwater body"} }

func foredeck(share float64) part {
	return part{name: "foredeck", finish: "white-gelcoat", basis: ofDeck, share: share,
		runs: overboard()}
}

// overboard is what water from a deck runs down.
func overboard() []string { return []string{"toe rail", "side", "inner side"} }

func sideDeck(share float64) part {
	return part{name: "side deck", pair: true, finish: "white-non-skid", basis: ofDeck, share: share,
		runs: overboard()}
}

func superstructureSide(share float64) part {
	return part{name: "superstructure side", pair: true, tilt: 80, faces: starboard, finish: "white-gelcoat",
		basis: ofSquare, share: share, runs: []string{"side deck"}}
}

// brow is the sloped front of the superstructure, worked on in a harness.
func brow(tilt, share float64) part {
	return part{name: "superstructure front", tilt: tilt, faces: ahead, finish: "white-gelcoat",
		basis: ofSquare, share: share, access: Harness, runs: []string{"foredeck"}}
}

// masks are the dark surrounds of the windows: painted, the hottest zones.
func masks() []part {
	return []part{
		{name: "window mask", pair: true, tilt: 80, faces: starboard, finish: "black-paint", basis: ofSquare, share: 0.012,
			runs: []string{"superstructure side"}},
		{name: "windscreen mask", tilt: 55, faces: ahead, finish: "black-paint", basis: ofSquare, share: 0.01,
			access: Harness, runs: []string{"superstructure front"}},
	}
}

// helm is what stands under a hardtop, and the hardtop itself.
func helm(top float64) []part {
	return []part{
		{name: "helm", finish: "white-gelcoat", basis: ofSquare, share: 0.02, shelter: Hardtop},
		{name: "helm seats", finish: "white-vinyl", basis: ofSquare, share: 0.012, shelter: Hardtop},
		{name: "hardtop top", finish: "white-gelcoat", basis: ofSquare, share: top, access: Ladder, drains: []string{"enclosure"},
			runs: []string{"enclosure front", "superstructure side", "console side", "console front"}},
	}
}

func enclosure(pairs bool) []part {
	front := part{name: "enclosure front", tilt: 70, faces: ahead, finish: "clear-vinyl", basis: ofSquare, share: 0.015,
		runs: []string{"superstructure front", "console front"}}
	if !pairs {
		return []part{front}
	}
	return []part{front,
		{name: "enclosure", pair: true, tilt: 80, faces: starboard, finish: "clear-vinyl", basis: ofSquare, share: 0.012,
			runs: []string{"superstructure side"}}}
}

func arch() part {
	return part{name: "radar arch", pair: true, tilt: 80, faces: starboard, finish: "white-gelcoat",
		basis: ofSquare, share: 0.008, access: Ladder, runs: []string{"side deck"}}
}

func rails(metres float64) part { return part{name: "rails", finish: "stainless", metres: metres} }

func cockpit(sole string, share float64, s Shelter) []part {
	return []part{
		{name: "cockpit sole", finish: sole, basis: ofDeck, share: share, shelter: s, runs: []string{"transom"}},
		{name: "cockpit seats", finish: "white-vinyl", basis: ofSquare, share: 0.015, shelter: s,
			runs: []string{"cockpit sole"}},
	}
}

func platform() part {
	return part{name: "swim platform", finish: "teak", basis: ofSquare, share: 0.025}
}

func flybridge() []part {
	return join(motorHull(),
		[]part{platform(), foredeck(0.35), sideDeck(0.12), superstructureSide(0.05), brow(35, 0.022)},
		masks(), cockpit("teak", 0.2, Hardtop), helm(0.05), enclosure(true),
		[]part{arch(), rails(1.6)})
}

func sportFisher() []part {
	return join(motorHull(),
		[]part{foredeck(0.4), sideDeck(0.06), superstructureSide(0.04), brow(40, 0.025)},
		masks(), cockpit("teak", 0.35, Open),
		[]part{{name: "cockpit coamings", finish: "white-gelcoat", basis: ofDeck, share: 0.08,
			runs: []string{"side", "cockpit sole"}}},
		helm(0.04), enclosure(true),
		[]part{rails(0.9), {name: "tower", finish: "aluminium", metres: 3, access: Harness}})
}

func express() []part {
	return join(motorHull(),
		[]part{platform(), foredeck(0.4), sideDeck(0.1), superstructureSide(0.025), brow(30, 0.025)},
		masks(), cockpit("white-non-skid", 0.25, Open), helm(0.04), enclosure(true),
		[]part{arch(), rails(1.5)})
}

func centreConsole() []part {
	return join(motorHull(),
		[]part{foredeck(0.2)}, cockpit("white-non-skid", 0.6, Open),
		[]part{
			{name: "gunwale", pair: true, finish: "white-gelcoat", basis: ofDeck, share: 0.06, runs: []string{"side"}},
			{name: "console side", pair: true, tilt: 85, faces: starboard, finish: "white-gelcoat", basis: ofSquare, share: 0.012,
				runs: []string{"cockpit sole"}},
			{name: "console front", tilt: 75, faces: ahead, finish: "white-gelcoat", basis: ofSquare, share: 0.012,
				runs: []string{"cockpit sole"}},
		},
		helm(0.035), enclosure(false),
		[]part{rails(0.6), {name: "hardtop legs", finish: "aluminium", metres: 1.5}})
}

// coachroof is the low superstructure of a sailing boat; its water runs down
// its own sides.
func coachroof(top, side, front float64) []part {
	return []part{
		{name: "coachroof top", finish: "white-gelcoat", basis: ofSquare, share: top, drains: []string{"coachroof side"},
			runs: []string{"coachroof front"}},
		{name: "coachroof side", pair: true, tilt: 75, faces: starboard, finish: "white-gelcoat", basis: ofSquare, share: side,
			runs: []string{"side deck"}},
		{name: "coachroof front", tilt: 45, faces: ahead, finish: "white-gelcoat", basis: ofSquare, share: front,
			runs: []string{"foredeck"}},
	}
}

func sailing() []part {
	return join(
		[]part{
			{name: "side", pair: true, tilt: 90, faces: starboard, finish: "white-gelcoat",
				basis: ofSide, share: 1, skin: Solid, setSkin: true, drains: bottom()},
			{name: "transom", tilt: 75, faces: astern, finish: "white-gelcoat",
				basis: ofTransom, share: 1, skin: Solid, setSkin: true, drains: bottom()},
			underwater(140),
			{name: "keel", pair: true, tilt: 95, faces: starboard, finish: "antifouled-lead",
				basis: ofSquare, share: 0.015, access: Ashore},
			foredeck(0.2), sideDeck(0.2),
		},
		coachroof(0.045, 0.014, 0.008),
		[]part{
			{name: "cockpit sole", finish: "teak", basis: ofDeck, share: 0.1},
			{name: "cockpit benches", finish: "teak", basis: ofDeck, share: 0.12, runs: []string{"cockpit sole"}},
			{name: "cockpit coaming", pair: true, tilt: 70, faces: starboard, finish: "white-gelcoat",
				basis: ofSquare, share: 0.006, runs: []string{"side deck"}},
			{name: "sprayhood", tilt: 30, faces: ahead, finish: "canvas", basis: ofSquare, share: 0.016,
				runs: []string{"sprayhood window", "coachroof top", "cockpit benches"}},
			{name: "sprayhood window", tilt: 60, faces: ahead, finish: "clear-vinyl", basis: ofSquare, share: 0.006,
				runs: []string{"coachroof top"}},
			{name: "toe rail", finish: "varnished-wood", metres: 2.1, runs: []string{"side"}},
			rails(2), {name: "mast", tilt: 90, faces: ahead, finish: "aluminium", metres: 1.35, access: Harness,
				runs: []string{"coachroof top"}},
		})
}

func catamaran() []part {
	return join(
		[]part{
			{name: "side", pair: true, tilt: 90, faces: starboard, finish: "white-gelcoat", basis: ofSide, share: 1,
				drains: bottom()},
			// The inner side of the starboard hull looks to port, under the bridge deck.
			{name: "inner side", pair: true, tilt: 90, faces: 360 - starboard, finish: "white-gelcoat",
				basis: ofInner, share: 1, shelter: Hardtop, access: Float, drains: bottom()},
			{name: "transom", tilt: 70, faces: astern, finish: "white-gelcoat", basis: ofTransom, share: 1,
				skin: Solid, setSkin: true, drains: bottom()},
			underwater(130), foredeck(0.25), sideDeck(0.15), superstructureSide(0.03), brow(40, 0.03),
		},
		masks(), cockpit("teak", 0.2, Hardtop), helm(0.1), enclosure(false),
		[]part{rails(2)})
}
