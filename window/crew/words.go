package crew

// deferral ends every caution.
const deferral = " A reminder, not a clearance: local rules and licensed practice decide."

func always(text string) func(string) string { return func(string) string { return text } }

const (
	textThunder = "Thunder: stop, switch off and unplug, leave dock and masts for a building or a " +
		"closed car, and wait 30 minutes after the last thunder. Begin nothing that cannot be dropped at once."
	textWind = "Wind at the work beyond what ladders, brows and harness work usually stand: " +
		"work from the deck or the ground meanwhile."
	textFloatWind = "White horses: a float or dinghy is no place to work from. Wait for slack wind and wake-quiet hours."
	textIce       = "Ice or frost may lie on decks, dock and ladders before the air itself freezes: " +
		"look and tread first, keep hoses drained, salt or sand where the marina allows it."
	heatPractice = "a glass of water every quarter of an hour, shade for the breaks, watch one another, " +
		"let newcomers get used to it over one to two weeks, move the heavy work to dawn."
)

func wordsWBGT(level string) string {
	switch level {
	case LevelDanger:
		return "Heat in the sun above the line for people at rest: usual practice is to stop. Otherwise " + heatPractice
	case LevelWarning:
		return "Heat in the sun above the recommended limit for this work, even for people used to it: " +
			"cut the work into short spells; " + heatPractice
	}
	return "Heat in the sun above the limit for people not yet used to it: " + heatPractice
}

func wordsHeat(level string) string {
	text := "Heat in the shade"
	switch level {
	case LevelDanger:
		text += " in the danger band"
	case LevelWarning:
		text += " in the band of extreme caution"
	}
	return text + "; full sun makes it worse: " + heatPractice
}

func wordsGust(level string) string {
	switch level {
	case LevelDanger:
		return "Gusts that throw people and loose gear: usual practice is to stay off ladders, masts and outer decks."
	case LevelWarning:
		return "Gusts at or above the line for ladders, brows and harness work: stop those, " +
			"clip on to a rated point and never to rails, lash sheets and buckets."
	}
	return "Gusty: no sheets or panels handled alone, ladders tied, loose gear lashed."
}

func wordsCold(level string) string {
	switch level {
	case LevelDanger:
		return "Bare skin may freeze within half an hour: usual practice is to stop outdoor work."
	case LevelWarning:
		return "Bitter cold in the wind: short spells, a warm room close by, dry gloves in reserve, nobody alone."
	}
	return "Cold in the wind, worse with wet hands: dry gloves, layers, something hot, breaks indoors."
}

func wordsUV(level string) string {
	switch level {
	case LevelDanger:
		return "Extreme ultraviolet: stay out of the midday sun where the work allows; otherwise cover up fully, " + uvPractice
	case LevelWarning:
		return "Very strong ultraviolet: shade at midday, cover arms and neck, " + uvPractice
	}
	return "Strong enough to burn: hat, long sleeves, " + uvPractice
}

const uvPractice = "sunscreen, and dark glasses that close at the sides. White gelcoat and water throw it up under chin and brim."
