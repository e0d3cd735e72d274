package app

import (
	"context"
	"fmt"
	"runtime"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/forecast/epw"
	"dewgap/products"
	"dewgap/window"
	"dewgap/window/job"
)

// SeasonRequest asks what a typical year offers.
type SeasonRequest struct {
	Request
	Year    []byte   // the typical year, an EPW file
	File    string   // its name, for messages
	Classes []string // ids; none: those of the job's steps
	All     bool     // every class of the catalogue instead
}

// seasonFarKM is the distance from which a station's year is not the marina's
// without a word (common practice, no source).
const seasonFarKM = 50

// seasonElsewhereKM is the distance from which it is the year of another climate (common
// practice, no source).
const seasonElsewhereKM = 300

// Season answers how many windows each month of a typical year has for each class
// on each zone. The clock gives the calendar year.
func (a *App) Season(ctx context.Context, r SeasonRequest) (*answer.Season, error) {
	y, err := epw.Parse(r.Year)
	if err != nil {
		return nil, &Problem{Where: r.File, Text: "the typical year cannot be read: " + reason(err), Fix: readFix(err), Err: err}
	}
	j, zone, err := a.seasonJob(r, y)
	if err != nil {
		return nil, err
	}
	classes, err := a.seasonClasses(r, j)
	if err != nil {
		return nil, err
	}
	year := a.Clock.Now().In(zone).Year()
	if year%4 == 0 { // a typical year has no leap day
		year--
	}
	result, err := aside(ctx, func() (*window.SeasonResult, error) {
		return window.Season(window.SeasonInput{
			Weather: y.Forecast(year, window.SeasonBefore+24*time.Hour, window.SeasonAfter), Job: j, Classes: classes,
			Year: year, Location: zone, Workers: runtime.GOMAXPROCS(0),
		})
	})
	if err != nil {
		return nil, judging(err)
	}
	s := answer.NewSeason(answer.SeasonFacts{Job: j, Result: result, Year: year, Weather: y, Location: zone})
	s.Warnings = append(append(s.Warnings, r.Warnings...), far(j, y)...)
	for _, c := range classes {
		s.Warnings = append(s.Warnings, c.Remarks...)
	}
	return s, nil
}

// seasonJob reads the job. Where nobody names a time zone, the typical year's own
// standard time serves.
func (a *App) seasonJob(r SeasonRequest, y *epw.Year) (*job.Job, *time.Location, error) {
	j, err := r.Job(r.Timezone)
	if err != nil {
		return nil, nil, err
	}
	if j.Place.Location != nil {
		return j, j.Place.Location, nil
	}
	return j, time.FixedZone("standard time", int(y.Offset.Seconds())), nil
}

func (a *App) seasonClasses(r SeasonRequest, j *job.Job) ([]products.Class, error) {
	ids := r.Classes
	if r.All {
		ids = a.Classes.IDs()
	}
	if len(ids) == 0 {
		for _, s := range j.Steps {
			ids = append(ids, s.With)
		}
	}
	var out []products.Class
	seen := map[string]bool{"": true}
	for _, id := range ids {
		if seen[id] {
			continue
		}
		seen[id] = true
		c, ok := a.Classes.Class(id)
		if !ok {
			return nil, &Problem{Text: fmt.Sprintf("no product %q", id), Fix: "dewgap products lists them"}
		}
		out = append(out, c)
	}
	if len(out) == 0 {
		return nil, &Problem{Text: "no product to ask a season of", Fix: "name one with --with, or give --all"}
	}
	return out, nil
}

// far warns of a station that is not round the corner.
func far(j *job.Job, y *epw.Year) []string {
	km := placeOf(j).DistanceKM(y.Place)
	if km <= seasonFarKM {
		return nil
	}
	what := "its year is not quite the marina's"
	if km > seasonElsewhereKM {
		what = "that is another climate, by which nothing is to be promised here; take the year of a station nearby"
	}
	return []string{fmt.Sprintf("%s lies %.0f km from the place: %s.", y.Station, km, what)}
}
