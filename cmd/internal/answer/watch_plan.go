package answer

import (
	"encoding/json"
	"time"
)

// PlanVersion is a job's plan as it was at some time. The newest holds.
type PlanVersion struct {
	At       time.Time // the moment that it was made for
	Accepted bool      // the person had said yes to its marginal blocks
	Plan     *Plan     // nil, or one without blocks: nothing was planned
	Of       PlanOf    // of the answer that it comes from
}

// PlanOf is what else an answer with a plan says, whatever its kind.
type PlanOf struct {
	Job      string     `json:"job"`
	Boat     string     `json:"boat"`
	Now      time.Time  `json:"now"`
	Place    Place      `json:"place"`
	Source   Source     `json:"source"`
	Cautions []Caution  `json:"cautions"`
	Own      []OwnLimit `json:"own_limits"`
}

// UnmarshalJSON reads it of an answer. Those of older programs told limits of a person's own
// label among the warnings alone.
func (p *PlanOf) UnmarshalJSON(data []byte) error {
	type plain PlanOf
	var of struct {
		plain
		Warnings []string `json:"warnings"`
	}
	if err := json.Unmarshal(data, &of); err != nil {
		return err
	}
	if of.Own == nil {
		of.Own = ownLimitsIn(of.Warnings)
	}
	*p = PlanOf(of.plain)
	return nil
}

// PlanOfWeek is what a week says of its plan.
func PlanOfWeek(w *Week) PlanOf {
	return PlanOf{Job: w.Job, Boat: w.Boat, Now: w.Now, Place: w.Place, Source: w.Source, Cautions: w.Cautions, Own: w.Own}
}
