package crew

import (
	"strings"
	"unicode"
)

// standing are the cautions of the job itself, in the order of the Kind
// constants, without their times.
func standing(j Job) []Caution {
	var out []Caution
	add := func(when bool, kind, level, source, text string) {
		if when {
			out = append(out, Caution{Kind: kind, Level: level, Source: source, Text: text + deferral})
		}
	}
	found := productHazards(j.Products)
	placeCautions(j, add)
	chemicalCautions(j, found, add)
	workCautions(j, found, add)
	for i := range out {
		if out[i].Kind == KindColdWater {
			out[i].Value, out[i].HasValue, out[i].Unit = j.WaterC.V, true, "°C"
		}
	}
	return append(out, productWords(j.Products)...)
}

type adder func(when bool, kind, level, source, text string)

const (
	practice = "common practice"
	memory   = "well-known rule, from memory"
)

func placeCautions(j Job, add adder) {
	overWater := j.Afloat || j.Float
	add(overWater && j.WaterC.Known && j.WaterC.V < ColdWaterC, KindColdWater, LevelCaution, memory,
		"Cold water: a fall takes the breath and soon the grip. Life jacket worn, a way out rigged, somebody in earshot.")
	add(overWater && !j.Alone, KindOverWater, LevelNote, "work over water: "+practice+"; rules differ by country",
		"Work over water: life jacket or work vest, ring buoy with line, boarding ladder down.")
	add(overWater && j.Alone, KindOverWater, LevelCaution, "work over water: "+practice+"; rules differ by country",
		"Alone over water: vest worn, ladder down, the office told when you start and stop. From a float, not alone.")
	add(j.Float, KindOverWater, LevelCaution, practice,
		"On a float: battery machines only and tethered, low chop, wake-quiet hours; never work from the water itself.")
	add(j.atHeight(), KindHeight, LevelCaution, practice,
		"Work at height: ladder tied and footed, harness to a rated point, not to rails or canvas frames.")
}

func chemicalCautions(j Job, found map[string]bool, add adder) {
	vapour := found[KindIsocyanate] || found[KindSolvent] || found[KindSensitiser]
	add(j.Machine || j.Mains, KindElectricity, LevelCaution, "marina electricity: "+practice+"; codes differ by country",
		"Electricity: residual-current protection on every lead, drip loops, leads out of the water, "+
			"no powered machine in rain or on a wet deck, nobody in the water of a marina with shore power.")
	add(j.Afloat || j.Enclosed || j.Machine, KindCarbonMonoxide, LevelNote, memory,
		"Carbon monoxide: keep clear of running engines, generators and fuel heaters near transom, tents and canvas; "+
			"it has no smell. Headache means fresh air at once.")
	add(j.Enclosed && vapour, KindEnclosed, LevelWarning, practice,
		"A canopy with sides is an enclosed space: vapour gathers. Open it, ventilate, no flame or spark, do not work there alone.")
	add(j.Enclosed && !vapour, KindEnclosed, LevelNote, practice,
		"A canopy with sides holds heat and fumes: keep two sides open.")
	add(found[KindIsocyanate], KindIsocyanate, LevelWarning, "HSE guidance on isocyanates",
		"Isocyanate sensitises the lungs for good: never spray it outdoors without booth and air-fed breathing apparatus; "+
			"for brush and roller, fresh air, gloves and the respirator that the safety data sheet names.")
	add(found[KindSolvent], KindSolvent, LevelCaution, practice,
		"Solvent: ventilate cockpit and cabin, no ignition near it, gloves that stand it, lids on.")
	add(found[KindAcid], KindAcid, LevelWarning, practice,
		"Acid: goggles, gloves, water at hand for eyes and skin; never near bleach; rinse fittings at once.")
	add(found[KindAlkali], KindAlkali, LevelCaution, practice,
		"Caustic cleaner: goggles and gloves; keep it off bare aluminium and out of the water.")
	add(found[KindSensitiser], KindSensitiser, LevelCaution, practice,
		"Epoxy, styrene and peroxide hardeners sensitise and burn: gloves, goggles, fresh air, none on the skin; "+
			"hardener away from metal soaps and rags.")
	add(found[KindOilyRags], KindOilyRags, LevelCaution, practice,
		"Oil-soaked rags heat themselves: spread them out to dry or seal them under water.")
}

func workCautions(j Job, found map[string]bool, add adder) {
	add(j.Machine || found[KindDust], KindDust, LevelCaution, practice,
		"Dust of polishing and sanding: goggles and a fitted mask; old antifouling is poisonous: wet, captured, never swept dry.")
	add(j.Machine, KindVibration, LevelNote, "hand-arm vibration, from memory",
		"Machines shake hands numb: change hands and tasks, about four hours of machine a day for one person.")
	add(j.Wash || j.Machine || found[KindSlips], KindSlips, LevelNote, practice,
		"Slips: soap, polish dust and sealer underfoot. Deck shoes, mats; no sealer on steps or rungs; hoses and leads out of walkways.")
	add(j.Salt, KindSalt, LevelNote, practice,
		"Salt draws water from damp air: decks stay slippery and plugs leak current. Flood it off before a pad touches the panel.")
	add(j.Soap || found[KindAcid] || found[KindAlkali] || found[KindSolvent], KindRunOff, LevelCaution,
		"clean-marina manuals in substance",
		"Run-off: no acid, alkali, solvent or slurry into the water; little soap; plug scuppers, catch drips, use the wash pad where one is.")
	add(j.Wash && !j.Soap && !found[KindAcid] && !found[KindAlkali] && !found[KindSolvent], KindRunOff, LevelNote,
		"clean-marina manuals in substance", "Run-off: plain water by hand; ask what this marina allows.")
}

// hazardWords are the words of a product's cautions and the kind they point to.
var hazardWords = map[string]string{
	"isocyanate": KindIsocyanate, "isocyanates": KindIsocyanate,
	"solvent": KindSolvent, "solvents": KindSolvent, "flammable": KindSolvent,
	"acid": KindAcid, "acids": KindAcid,
	"alkali": KindAlkali, "alkaline": KindAlkali, "caustic": KindAlkali,
	"epoxy": KindSensitiser, "amine": KindSensitiser, "styrene": KindSensitiser,
	"peroxide": KindSensitiser, "sensitiser": KindSensitiser,
	"rag": KindOilyRags, "rags": KindOilyRags, "oil": KindOilyRags, "oily": KindOilyRags,
	"dust": KindDust, "biocide": KindDust,
	"slip": KindSlips, "slips": KindSlips, "slippery": KindSlips,
}

// words splits a caution at everything that is not a letter.
func words(s string) []string {
	return strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return !unicode.IsLetter(r) })
}

func productHazards(products []Product) map[string]bool {
	found := map[string]bool{}
	for _, p := range products {
		for _, c := range p.Cautions {
			for _, w := range words(c) {
				if kind, ok := hazardWords[w]; ok {
					found[kind] = true
				}
			}
		}
	}
	return found
}

// productWords passes on the products' own sentences, each once, in the order
// given. A bare slug that names a known hazard has had its caution already.
func productWords(products []Product) []Caution {
	var out []Caution
	seen := map[string]bool{}
	for _, p := range products {
		for _, c := range p.Cautions {
			text := strings.TrimSpace(c)
			if text == "" || slugOfHazard(text) {
				continue
			}
			if p.Name != "" {
				text = p.Name + ": " + text
			}
			if seen[text] {
				continue
			}
			seen[text] = true
			out = append(out, Caution{Kind: KindProduct, Level: LevelNote, Text: text,
				Source: "the product class; its safety data sheet outranks it"})
		}
	}
	return out
}

// slugOfHazard reports whether a caution is one hyphenated word or more without
// a space, of which one names a known hazard.
func slugOfHazard(c string) bool {
	if strings.ContainsAny(c, " \t\n") {
		return false
	}
	for _, w := range words(c) {
		if _, ok := hazardWords[w]; ok {
			return true
		}
	}
	return false
}
