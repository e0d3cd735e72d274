package answer

import "strings"

// NotJudged takes the words of a hazard that was not judged apart: which it is, and what
// the forecast lacks for it. ok is false where something else kept it from being judged.
func NotJudged(text string) (hazard, lacks string, ok bool) {
	said, why, found := strings.Cut(text, ": ")
	hazard, is := strings.CutPrefix(said, "Not judged, ")
	lacks, does := strings.CutPrefix(why, "the forecast lacks ")
	if !found || !is || !does {
		return "", "", false
	}
	return hazard, strings.TrimSuffix(lacks, ". Judge it on the spot."), true
}

// MostNotJudged is how many lines tell of hazards that were not judged before they are told
// in one.
const MostNotJudged = 2

// Lacking begins that line, and JudgeThem ends it.
const (
	Lacking   = "behind each stands what the forecast lacks: "
	JudgeThem = "Judge them on the spot."
)
