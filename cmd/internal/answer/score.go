package answer

import (
	"math"
	"slices"
	"time"

	"dewgap/forecast/score"
)

// ScoreFormat is the format of the answer of dewgap score.
const ScoreFormat = "dewgap.score.v1"

// Score is the answer of dewgap score: what the book said against what came.
type Score struct {
	Format    string          `json:"format"`    // dewgap.score.v1
	File      string          `json:"file"`      // the book
	Boat      string          `json:"boat"`      // "" for all
	Answers   int             `json:"answers"`   // that were looked at
	Forecasts int             `json:"forecasts"` // they were made from
	Readings  int             `json:"readings"`  // that a forecast of the book was made before
	Weather   []ScoreQuantity `json:"weather"`   // air, humidity, wind, surface; those that were read
	Work      ScoreWork       `json:"work"`
	Enough    int             `json:"enough"` // cases below which nothing is concluded
	Warnings  []string        `json:"warnings"`
}

// ScoreQuantity is one quantity, forecast and read.
type ScoreQuantity struct {
	Quantity string      `json:"quantity"` // air, humidity, wind or surface
	Unit     string      `json:"unit"`     // of bias and mae
	Leads    []ScoreLead `json:"leads"`    // in order; those that were read
}

// ScoreLead is how far off forecasts of some age were. The numbers are null where
// there are too few readings to tell.
type ScoreLead struct {
	FromH    float64  `json:"from_h"` // hours since the forecast was made, from here
	ToH      float64  `json:"to_h"`   // to below here
	Cases    int      `json:"cases"`  // a forecast and a reading each
	Readings int      `json:"readings"`
	Enough   bool     `json:"enough"`     // readings enough to tell
	Bias     *float64 `json:"bias"`       // mean of forecast less read
	MAE      *float64 `json:"mae"`        // mean size of the difference
	Held80   *float64 `json:"held_80"`    // share of readings within the middle 80 % of the members or futures; null for surface
	HeldOf   int      `json:"held_80_of"` // of so many cases
}

// ScoreWork is work of which it was said how sure it is, and what became of it.
type ScoreWork struct {
	Cases  int        `json:"cases"`  // of which it was said, and is known
	Enough bool       `json:"enough"` // to tell
	Held   int        `json:"held"`   // were found ok
	Bins   []ScoreBin `json:"bins"`   // by how sure it was said, in order; those with cases
	// Brier is the Brier score, Skill how much better it is than knowing only the
	// share that held, CalibrationError the expected calibration error in ten bins;
	// null where there are too few cases, Skill too where all held or none did.
	Brier            *float64 `json:"brier"`
	Skill            *float64 `json:"skill"`
	CalibrationError *float64 `json:"calibration_error"`

	Against     int `json:"against"`      // pieces of work done in hours that were refused
	AgainstHeld int `json:"against_held"` // of them found ok
	Unsaid      int `json:"unsaid"`       // outcomes of work of which no answer before it said anything
	Open        int `json:"open"`         // work done whose outcome is not known, or is still to be looked at
}

// ScoreBin is all work said to be about as sure.
type ScoreBin struct {
	From float64 `json:"from"` // 0–1
	To   float64 `json:"to"`
	N    int     `json:"n"`
	Said float64 `json:"said"` // mean confidence
	Held int     `json:"held"` // found ok
}

// EnoughCases is how many cases it takes to say anything of how good something is
// (common practice, no source: even ten leave a share uncertain by thirty points).
const EnoughCases = 10

// scoreBins are the bins of confidence.
const scoreBins = 10

// scoreLeads are the bounds of the leads, hours.
var scoreLeads = []float64{0, 12, 24, 48, 96, 168}

// Read is one forecast of one number, and what was read.
type Read struct {
	Quantity       string        // air, humidity, wind or surface
	Reading        string        // which reading, the same for all forecasts of it
	Lead           time.Duration // since the forecast was made
	Said, Measured float64
	// Low and High hold the middle 80 % of what the members or the futures said,
	// where HasSpan is true.
	Low, High float64
	HasSpan   bool
}

// Worked is work that was judged, and what was said of its hour before.
type Worked struct {
	Confidence float64 // 0–1
	Refused    bool    // it was said not to be done then; Confidence has no meaning
	Held       bool    // it was found ok
}

// ScoreFacts are what a score is made from.
type ScoreFacts struct {
	File, Boat         string
	Answers, Forecasts int
	Unsaid, Open       int // see ScoreWork
	Reads              []Read
	Work               []Worked
	Warnings           []string
}

// scoreUnits are the quantities in their order, with their units.
var scoreUnits = [][2]string{{"air", "K"}, {"humidity", "%"}, {"wind", "m/s"}, {"surface", "K"}}

// NewScore makes the answer of dewgap score.
func NewScore(f ScoreFacts) *Score {
	out := &Score{
		Format: ScoreFormat, File: f.File, Boat: f.Boat, Answers: f.Answers, Forecasts: f.Forecasts,
		Weather: []ScoreQuantity{}, Work: scoreWork(f), Enough: EnoughCases, Warnings: append([]string{}, f.Warnings...),
	}
	seen := map[string]bool{}
	for _, r := range f.Reads {
		seen[r.Reading] = true
	}
	out.Readings = len(seen)
	for _, q := range scoreUnits {
		if leads := leadsOf(f.Reads, q[0]); len(leads) > 0 {
			out.Weather = append(out.Weather, ScoreQuantity{q[0], q[1], leads})
		}
	}
	return out
}

// leadsOf scores one quantity lead by lead.
func leadsOf(reads []Read, quantity string) []ScoreLead {
	var out []ScoreLead
	for i := 1; i < len(scoreLeads); i++ {
		from, to := scoreLeads[i-1], scoreLeads[i]
		var list []Read
		for _, r := range reads {
			if h := r.Lead.Hours(); r.Quantity == quantity && h >= from && h < to {
				list = append(list, r)
			}
		}
		if len(list) > 0 {
			out = append(out, scoreLead(list, from, to))
		}
	}
	return out
}

func scoreLead(list []Read, from, to float64) ScoreLead {
	out := ScoreLead{FromH: from, ToH: to, Cases: len(list)}
	seen := map[string]bool{}
	var bias, off float64
	within := 0
	for _, r := range list {
		seen[r.Reading] = true
		bias += (r.Said - r.Measured) / float64(len(list))
		off += math.Abs(r.Said-r.Measured) / float64(len(list))
		if r.HasSpan {
			out.HeldOf++
			if r.Low <= r.Measured && r.Measured <= r.High {
				within++
			}
		}
	}
	out.Readings = len(seen)
	if out.Enough = out.Readings >= EnoughCases; !out.Enough {
		return out
	}
	out.Bias, out.MAE = some(bias, cent), some(off, cent)
	if out.HeldOf >= EnoughCases {
		out.Held80 = some(float64(within)/float64(out.HeldOf), cent)
	}
	return out
}

// scoreWork scores what was said of work.
func scoreWork(f ScoreFacts) ScoreWork {
	out := ScoreWork{Bins: []ScoreBin{}, Unsaid: f.Unsaid, Open: f.Open}
	var cases []score.Case
	for _, w := range f.Work {
		switch {
		case w.Refused:
			out.Against++
			if w.Held {
				out.AgainstHeld++
			}
		default:
			cases = append(cases, score.Case{P: w.Confidence, Came: w.Held})
			if w.Held {
				out.Held++
			}
		}
	}
	out.Cases, out.Enough = len(cases), len(cases) >= EnoughCases
	for _, b := range score.Reliability(cases, scoreBins) {
		if b.N > 0 {
			out.Bins = append(out.Bins, ScoreBin{round(b.From, tenth), round(b.To, tenth), b.N, round(b.Said, cent), int(math.Round(b.Came * float64(b.N)))})
		}
	}
	if !out.Enough {
		return out
	}
	brier, _ := score.Decompose(cases, scoreBins)
	out.Brier = some(brier.Brier, thousandth)
	if skill, ok := score.Skill(brier.Brier, brier.Uncertainty); ok {
		out.Skill = some(skill, cent)
	}
	if ece, ok := score.CalibrationError(cases, scoreBins); ok {
		out.CalibrationError = some(ece, thousandth)
	}
	return out
}

const thousandth = 0.001

// WordOn is what an answer said of work on a zone that was finished at a moment:
// of the planned block in which it was, else of the window, its best block if it
// was in that; else of those that had ended up to an hour before, for work runs late
// and is written down later; else that the weather was against it. ok is false where
// it said nothing of that hour.
func WordOn(plan *Plan, windows []Window, refusals []Refusal, step, zone string, at time.Time) (w Worked, ok bool) {
	for _, late := range []time.Duration{0, lateNote} {
		if plan != nil {
			for _, b := range plan.Blocks {
				if b.Step == step && b.Zone == zone && within(at, b.From, b.To.Add(late)) {
					return Worked{Confidence: b.Confidence}, true
				}
			}
		}
		for _, x := range windows {
			if x.Step == step && x.Zone == zone && within(at, x.From, x.To.Add(late)) {
				return Worked{Confidence: x.confidenceAt(at)}, true
			}
		}
	}
	for _, x := range refusals {
		if x.Step == step && x.Zone == zone && x.State == NoGo && within(at, x.From, x.To) && !slices.Contains(noWeather, x.Binding.Limit) {
			return Worked{Refused: true}, true
		}
	}
	return Worked{}, false
}

// confidenceAt is how sure a window is of work that is finished at a moment: as
// sure as its best block, if it was in that, else as all of it.
func (w *Window) confidenceAt(at time.Time) float64 {
	if w.Best != nil && within(at, w.Best.From, w.Best.To) {
		return w.Best.Confidence
	}
	return w.Confidence
}

// noWeather are limits whose refusal says nothing of how the work would turn out.
var noWeather = []string{"hours", "away", "daylight", "machines", "block", "order", "recoat", "reach", "people", "water"}

// lateNote is how long after a block its work may have been finished or written
// down (common practice, no source).
const lateNote = time.Hour

// within reports a moment after a stretch begins and not after it ends: when work
// is finished that was done in it.
func within(at, from, to time.Time) bool { return at.After(from) && !at.After(to) }
