// Package draw makes pictures of answers as SVG of our own: the week as a strip,
// a day's temperatures as curves, the boat in its berth under the sun; and a typical
// year as what each month of it offers.
//
// Each picture is a pure function of an answer and of how wide it is to be shown:
// no clock, no file, no random identifiers, the same inputs give the same bytes.
// Beside the drawing comes a table that says the same, for those who do not see
// it and those who want the figures.
//
// # Styles
//
// Elements carry classes and presentation attributes only, never a style
// attribute and no script, so that a page with a strict content security policy
// can hold the picture inline. The stylesheet is [CSS]; it serves bright and dark
// screens (prefers-color-scheme) and paper. A picture for a file brings it along,
// one with [Options].Bare leaves it to the page.
//
// # States
//
// A state is told by shape before colour: ideal a solid bar of the full height, go
// one of two thirds, marginal a hatched bar of half the height, no-go a line with
// crosses, unknown dots with question marks; closed hours are blank.
package draw

import (
	"time"

	"dewgap/cmd/internal/answer"
)

// Options are how a picture is to be drawn. The zero Options are good.
type Options struct {
	// Width in CSS pixels at which the picture will be shown: labels are 11 px or
	// more there. From 320 to 1920; 0 is 720. The height follows from the content.
	Width int
	// Bare leaves the stylesheet out, for a page that has CSS among its own.
	Bare bool
	// ID is put before every id in the picture, so that several can stand on one
	// page: letters, digits and hyphens, anything else is dropped. "" takes one from
	// the kind of picture and its day.
	ID string
	// Units are "metric" or "us", for what is printed; "" is metric.
	Units string
	// Prose puts a sentence of the answer, which is in SI, into the person's units, for
	// the tables; nil leaves it as it is.
	Prose func(string) string
	// Zones are the names of those to draw, in the job's order whatever theirs is;
	// empty: those that the job works on, where it works on none all of them. Names
	// that the boat does not have are passed over.
	Zones []string
	// Step is the step whose product gives the bands of DayCurves; "" is the last
	// that seals, else the last of the job.
	Step string
}

// Picture is a drawing with all that stands in for it.
type Picture struct {
	SVG                []byte // one svg element, UTF-8, ending in a newline
	Title, Description string // plain text, as in the SVG's title and desc
	Table              Table
}

// Table says the same as the picture, in plain text cells.
type Table struct {
	Caption string
	Head    []string
	Rows    [][]string // each as long as Head
}

// WeekStrip draws the whole horizon: a row for each step and zone, time to the
// right. Night is shaded; rain stands above, dew under each row; behind planned
// work follow the clocks until it may be wet by rain, by dew, and until it has
// cured.
func WeekStrip(w *answer.Week, o Options) Picture { return weekStrip(w, o.checked("week")) }

// DayCurves draws one day, 2006-01-02 by the clock at the place ("" is the day of
// the best window, else the first): the surface temperature of up to six zones,
// the dew point, and beneath them the spread, with the bands of a product behind.
// A day that the answer does not cover gives an empty frame that says so.
func DayCurves(w *answer.Week, day string, o Options) Picture {
	if day == "" {
		day = askedDay(w)
	}
	return dayCurves(w, day, o.checked("day-"+day))
}

// BoatAndSun draws the boat from above as it lies at a moment, each zone toned by
// its surface temperature in that hour, with the sun, the wind, and the other
// hours of that day small beside it. A zero at is the hottest hour of the day that the answer is about;
// a moment that the answer does not cover is drawn without temperatures and says so.
func BoatAndSun(w *answer.Week, at time.Time, o Options) Picture {
	if at.IsZero() {
		at = bestHour(w)
	}
	return boatAndSun(w, at, o.checked("boat"))
}

// CSS is the stylesheet of all pictures: put it once on a page that holds bare
// ones. Every rule is for elements inside .dg, the class of each picture's svg. It
// follows the system's scheme, or data-theme="bright" or "night" on an element
// around the picture; in print all is grey.
func CSS() string { return stylesheet }
