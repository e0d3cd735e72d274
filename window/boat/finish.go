package boat

// The finishes. Absorptances of gelcoat are not measured ones: no published
// measurement of a boat's gelcoat is known here, so the values lie inside the
// ranges that textbooks give for paint of that colour, and say so in Source.
// What a zone learns from its own readings replaces them.

// Water that stays on a level surface once the rain has run off, g/m²; an
// upright one keeps half (common practice).
const (
	holdSmooth  = 100
	holdNonSkid = 250
	holdCanvas  = 200
	holdWood    = 250 // bare grain and seams hold as much as a pattern does: from memory
)

const (
	fromTables = "textbook tables of solar absorptance, colours of boats from memory; no gelcoat measured"
	fromMemory = "from memory"
	fromPaint  = "handbook tables of solar absorptance of paint"
	fromWood   = "textbook tables of solar absorptance, from memory"
	fromMetal  = "handbook tables of polished metal, aged by the sea from memory"
)

// Emissivities. Paint and gelcoat lie between 0.90 and 0.95 (coating
// inspectors' practice); bright stainless steel between 0.1 and 0.2.
const (
	epsilon          = 0.90
	epsilonStainless = 0.15
	epsilonAluminium = 0.10
)

func laminate(name string, alpha float64, source string) Finish {
	return Finish{Name: name, Absorptance: alpha, Emissivity: epsilon, Skin: Cored, Behind: Cabin,
		HoldingGM2: holdSmooth, Source: source}
}

func nonSkid(name string, alpha float64) Finish {
	f := laminate(name, alpha, fromTables)
	f.HoldingGM2 = holdNonSkid
	return f
}

func metal(name string, alpha, eps float64) Finish {
	return Finish{Name: name, Absorptance: alpha, Emissivity: eps, Skin: Plate, Behind: Outside,
		HoldingGM2: holdSmooth, Source: fromMetal}
}

func wood(name string, alpha, holding float64, soaks bool) Finish {
	return Finish{Name: name, Absorptance: alpha, Emissivity: epsilon, Skin: Plank, Behind: Cabin,
		HoldingGM2: holding, Soaks: soaks, Source: fromWood}
}

func sheet(name string, alpha, holding float64, source string) Finish {
	return Finish{Name: name, Absorptance: alpha, Emissivity: epsilon, Skin: Plate, Behind: Outside,
		HoldingGM2: holding, Source: source}
}

// tubeFabric is PVC or synthetic rubber on a woven base: the tubes of an inflatable, the
// collar of a rigid hull.
func tubeFabric(name string, alpha float64) Finish {
	return Finish{Name: name, Absorptance: alpha, Emissivity: epsilon, Skin: Tube, Behind: Outside,
		HoldingGM2: holdSmooth, Source: fromMemory}
}

func antifouled(name string, skin Skin, behind Behind) Finish {
	return Finish{Name: name, Absorptance: 0.90, Emissivity: epsilon, Skin: skin, Behind: behind,
		HoldingGM2: holdSmooth, Source: fromTables}
}

// Finishes lists every finish that a job file may name, light before dark
// within a family. The slice is the caller's own.
func Finishes() []Finish {
	return []Finish{
		laminate("white-gelcoat", 0.30, fromTables),      // new 0.20–0.30, in use 0.25–0.40
		laminate("aged-white-gelcoat", 0.35, fromTables), // oxidised 0.30–0.40
		laminate("cream-gelcoat", 0.40, fromMemory),
		laminate("grey-gelcoat", 0.50, fromTables), // light grey 0.40–0.55
		laminate("red-gelcoat", 0.70, fromTables),  // 0.65–0.75
		laminate("blue-gelcoat", 0.75, fromTables), // royal blue 0.7–0.8
		laminate("navy-gelcoat", 0.92, fromTables), // navy and black 0.90–0.95
		laminate("black-gelcoat", 0.95, fromTables),
		laminate("white-paint", 0.25, fromPaint), // white epoxy 0.248, white enamel 0.252
		laminate("navy-paint", 0.92, fromTables),
		laminate("black-paint", 0.96, fromPaint),           // flat black lacquer 0.96, black paint 0.975
		nonSkid("white-non-skid", 0.45),                    // non-skid 0.40–0.65
		nonSkid("grey-non-skid", 0.65),                     // 0.60–0.75
		metal("stainless", 0.40, epsilonStainless),         // 0.35–0.5; polished type 301: 0.37
		metal("aluminium", 0.30, epsilonAluminium),         // polished 0.15; dulled by the sea
		wood("teak", 0.65, holdWood, true),                 // weathered 0.6–0.7
		wood("oiled-teak", 0.80, holdWood, false),          // 0.75–0.85
		wood("varnished-wood", 0.70, holdSmooth, false),    // 0.6–0.8
		sheet("clear-vinyl", 0.12, holdSmooth, fromMemory), // lets 0.8–0.9 through, reflects 0.05–0.08
		sheet("white-vinyl", 0.35, holdSmooth, fromMemory),
		tubeFabric("grey-tube-fabric", 0.50), // light grey 0.40–0.60
		tubeFabric("black-tube-fabric", 0.93),
		sheet("canvas", 0.70, holdCanvas, fromTables),   // 0.5–0.9 by colour
		antifouled("antifouled-laminate", Thick, Cabin), // dark 0.85–0.95
		antifouled("antifouled-lead", Keel, Outside),
	}
}

// FinishByName is the finish of that name in the job file; ok is false when
// there is none.
func FinishByName(name string) (f Finish, ok bool) {
	for _, f := range Finishes() {
		if f.Name == name {
			return f, true
		}
	}
	return Finish{}, false
}

// Holding is the water in g/m² that stays on a surface of the finish at a tilt
// in degrees: all of HoldingGM2 when level, half of it when upright, in between
// by the cosine, and half when it faces down. (The two ends are common
// practice; the way between them is a smooth guess.)
func (f Finish) Holding(tilt float64) float64 {
	level := 0.0
	if tilt < 90 {
		level = cosDeg(tilt)
	}
	return f.HoldingGM2 * (1 + level) / 2
}
