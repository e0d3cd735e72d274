package answer

// Unjudged is a hazard that could not be judged.
type Unjudged struct {
	Hazard string `json:"hazard"` // in words
	Why    string `json:"why"`
	Lacks  string `json:"lacks"` // what the forecast lacks for it, where that is why; else ""
}

// MostNotJudged is how many lines tell of hazards that were not judged before they are told
// in one.
const MostNotJudged = 2

// Lacking begins that line, and JudgeThem ends it; JudgeIt ends the line of one.
const (
	Lacking   = "behind each stands what the forecast lacks: "
	JudgeThem = "Judge them on the spot."
	JudgeIt   = "Judge it on the spot."
)
