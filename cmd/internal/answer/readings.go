package answer

import (
	"slices"
	"strings"
	"time"

	"dewgap/window"
	"dewgap/window/job"
)

// ReadingTaken is one thing that was measured and what became of it.
type ReadingTaken struct {
	At       time.Time `json:"at"`
	Zone     string    `json:"zone"`      // "" for the place
	Kind     string    `json:"kind"`      // air, humidity, wind, salt, spray, surface, wet, moisture or haze
	Value    *float64  `json:"value"`     // in the kind's unit; null for what is seen and not measured
	Forecast *float64  `json:"forecast"`  // what was expected there and then; of humidity the dew point
	DewC     *float64  `json:"dew_c"`     // of humidity: the dew point that it comes to
	DewOffK  *float64  `json:"dew_off_k"` // and how far that may be off with a hygrometer 3 % off
	Text     string    `json:"text"`      // in words, SI
	Used     bool      `json:"used"`
	Reason   string    `json:"reason"` // why it was not used, or what to mind
}

// Inserted is work that comes before everything else on a zone because of what
// was read there.
type Inserted struct {
	Zone  string   `json:"zone"`
	Steps []string `json:"steps"` // in their order
	Text  string   `json:"text"`
}

// readings lists what was read, and in words what was used of it.
func (b *builder) readings() (all []ReadingTaken, used []string) {
	all, used = []ReadingTaken{}, []string{}
	for _, r := range b.Result.Readings {
		all = append(all, ReadingTaken{
			At: b.moment(r.At), Zone: r.Zone, Kind: r.Kind, Value: number(r.Value, cent), Forecast: number(r.Forecast, cent),
			DewC: number(r.Dew, cent), DewOffK: number(r.DewError, cent), Text: r.Text, Used: r.Used, Reason: r.Reason,
		})
		if r.Used {
			used = append(used, r.Text)
		}
	}
	return all, used
}

// inserted is what salt asks for before any pad touches a zone: a flood rinse,
// then a wash. Where the job has a wash to come it is that one.
func (b *builder) inserted() []Inserted {
	out := []Inserted{}
	for _, z := range b.Result.Salty {
		if !slices.ContainsFunc(b.Job.Steps, func(s job.Step) bool { return slices.Contains(s.On, z) }) {
			continue // nobody works there
		}
		wash := "wash"
		if i := b.firstWash(z); i >= 0 {
			wash = b.Job.Steps[i].Name
		}
		out = append(out, Inserted{
			Zone: b.Job.Zones[z].Name, Steps: []string{"flood rinse", wash},
			Text: "salt" + b.saltRead(z) + ": flood rinse, then " + wash + ", before any pad or product touches it",
		})
	}
	return out
}

// firstWash is the first step that washes a zone and is still to do there; -1: none.
func (b *builder) firstWash(z int) int {
	for i, s := range b.Job.Steps {
		if washing(s.Do) && slices.Contains(s.On, z) && !b.done(z, i) {
			return i
		}
	}
	return -1
}

// rinseFirst reports whether a step is the wash that salt on a zone waits for, so that
// a flood rinse comes before it.
func (b *builder) rinseFirst(step, z int) bool {
	return slices.Contains(b.Result.Salty, z) && b.firstWash(z) == step
}

// saltRead says when salt was read that holds for a zone, till when the wind brought
// it, or that the job says so.
func (b *builder) saltRead(z int) string {
	if !slices.Contains(b.Result.Salted, z) {
		return ", as the job says"
	}
	zone, at := b.Job.Zones[z].Name, ""
	for _, r := range b.Result.Readings {
		if (r.Kind == window.ReadSalt || r.Kind == window.ReadSpray) && r.Used && (r.Zone == "" || r.Zone == zone) &&
			!strings.Contains(r.Text, "no "+r.Kind) {
			at = " read " + r.At.In(b.loc).Format("15:04")
		}
	}
	if at == "" && !b.Result.Blown.IsZero() {
		at = " by onshore wind until " + b.moment(b.Result.Blown).Format("Mon 2 Jan 15:04")
	}
	return at
}
