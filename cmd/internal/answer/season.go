package answer

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"dewgap/forecast/epw"
	"dewgap/products"
	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
)

// SeasonFormat is the format of the answer of dewgap season.
const SeasonFormat = "dewgap.season.v1"

// SeasonMonth is what one month of a typical year offers.
type SeasonMonth struct {
	Windows     int     `json:"windows"`      // go windows of at least shortest_h, by the month in which they begin
	Days        int     `json:"days"`         // days with such a window
	ConsentDays int     `json:"consent_days"` // days that have none, but a marginal one
	Hours       float64 `json:"hours"`        // in the windows
	UnknownDays int     `json:"unknown_days"` // days with an hour of which the data say too little
}

// SeasonRow is one product on one zone.
type SeasonRow struct {
	Product string           `json:"product"`
	Name    string           `json:"name"`
	Zone    string           `json:"zone"`
	Suits   bool             `json:"suits"`         // the product goes on the zone's finish, or the job names it there
	Why     string           `json:"why,omitempty"` // in words, why it does not suit
	Months  [12]*SeasonMonth `json:"months"`
}

// Season is the answer of dewgap season.
type Season struct {
	Format    string      `json:"format"`
	Job       string      `json:"job"`
	Boat      string      `json:"boat"`
	Place     Place       `json:"place"`
	Station   string      `json:"station"`
	Data      string      `json:"data"` // the data set of the typical year
	Year      int         `json:"year"` // the calendar that it is laid on
	ShortestH float64     `json:"shortest_h"`
	Gauged    [12]float64 `json:"rain_gauged"` // share of each month's hours with measured rain; elsewhere it is estimated
	Rows      []SeasonRow `json:"rows"`        // product by product, zone by zone
	Warnings  []string    `json:"warnings"`
}

// SeasonFacts is what a season's answer is made from.
type SeasonFacts struct {
	Job      *job.Job
	Result   *window.SeasonResult
	Weather  *epw.Year
	Year     int
	Location *time.Location
}

// NewSeason makes the answer of dewgap season.
func NewSeason(f SeasonFacts) *Season {
	s := &Season{
		Format: SeasonFormat, Job: f.Job.Name, Boat: f.Job.Boat, Year: f.Year, ShortestH: f.Result.Shortest,
		Place: Place{
			Name: f.Job.Place.Name, Latitude: f.Job.Place.Latitude, Longitude: f.Job.Place.Longitude,
			Timezone: f.Location.String(),
		},
		Station: f.Weather.Station, Data: f.Weather.Made, Rows: []SeasonRow{}, Warnings: []string{},
	}
	var estimated []string
	for m, share := range f.Weather.Gauged() {
		s.Gauged[m] = *some(share, cent)
		if share < 0.5 {
			estimated = append(estimated, time.Month(m + 1).String()[:3])
		}
	}
	if len(estimated) > 0 {
		s.Warnings = append(s.Warnings, "the typical year has no rain gauge in "+strings.Join(estimated, ", ")+
			": wet hours there are estimated from damp air, cloud and visibility.")
	}
	for i := range f.Result.Rows {
		r := &f.Result.Rows[i]
		s.Rows = append(s.Rows, seasonRow(r, f.Job.Zones[r.Zone]))
	}
	s.Warnings = append(s.Warnings, f.Result.Warnings...)
	return s
}

func seasonRow(r *window.SeasonRow, zone boat.Zone) SeasonRow {
	out := SeasonRow{Product: r.Class.ID, Name: r.Class.Name, Zone: zone.Name, Suits: r.Suits}
	if !r.Suits {
		out.Why = notFor(r.Class, zone)
		return out
	}
	for m, x := range r.Months {
		out.Months[m] = &SeasonMonth{
			Windows: x.Windows, Days: x.Days, ConsentDays: x.Consent, UnknownDays: x.Unknown, Hours: *some(x.Hours, tenth),
		}
	}
	return out
}

// doesNotSuit is why a product does not go on a zone where nothing more is known.
const doesNotSuit = "it does not suit the finish"

// notFor says why a class does not go on a zone. Paint is told apart: a word of the person's
// may be all that it lacks.
func notFor(c products.Class, z boat.Zone) string {
	switch finish := cmp.Or(job.Forbidden(c, z), z.Finish.Name); {
	case c.Fit(finish) != products.FitConditional:
		return doesNotSuit
	case z.Buffable == "no":
		return "the paint must not be buffed, says the job"
	default:
		return "the paint is not known to stand buffing (zone key buffable)"
	}
}

// NotFor says on which zones a product does not go, a sentence for each reason, of the
// rows of one product: the most common reason last, and "any other zone" where naming the
// zones would take longer than looking which have a row. called is what a zone is called.
func NotFor(rows []SeasonRow, called func(zone string) string) []string {
	zones, whys := map[string][]string{}, []string{}
	suited := 0
	for _, r := range rows {
		if r.Suits {
			suited++
			continue
		}
		why := cmp.Or(r.Why, doesNotSuit)
		if zones[why] == nil {
			whys = append(whys, why)
		}
		zones[why] = append(zones[why], called(r.Zone))
	}
	slices.SortStableFunc(whys, func(x, y string) int { return len(zones[x]) - len(zones[y]) })
	out := make([]string, len(whys))
	for i, why := range whys {
		on := Listed(zones[why])
		if i == len(whys)-1 && len(zones[why]) > suited {
			on = "any other zone"
			if len(zones[why]) == len(rows) {
				on = "any zone"
			}
		}
		out[i] = "Not for " + on + ": " + why + "."
	}
	return out
}
