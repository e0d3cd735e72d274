package answer

import (
	"strings"
	"time"

	"dewgap/forecast/epw"
	"dewgap/window"
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
	Suits   bool             `json:"suits"` // false: the zone's finish does not take the product
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
		s.Rows = append(s.Rows, seasonRow(&f.Result.Rows[i], f.Result.Zones))
	}
	s.Warnings = append(s.Warnings, f.Result.Warnings...)
	return s
}

func seasonRow(r *window.SeasonRow, zones []string) SeasonRow {
	out := SeasonRow{Product: r.Class.ID, Name: r.Class.Name, Zone: zones[r.Zone], Suits: r.Suits}
	for m, x := range r.Months {
		if r.Suits {
			out.Months[m] = &SeasonMonth{
				Windows: x.Windows, Days: x.Days, ConsentDays: x.Consent, UnknownDays: x.Unknown, Hours: *some(x.Hours, tenth),
			}
		}
	}
	return out
}
