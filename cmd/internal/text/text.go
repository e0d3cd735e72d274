// Package text renders answers as plain text for a person on a dock: 80 columns,
// state by word and shape, colour only as an extra.
//
// Everything comes from the types of package answer, which are in SI; this
// package alone turns them into the units of a screen. Bounds are rounded to
// their strict side and the latest times down, so that whoever goes by the page
// never passes a limit that the program has judged. Times are shown as they
// come: with the offset of the place.
//
// What people wrote (names, notes) is cut to fit and cleared of control
// characters, so that nothing in a job file can colour or break a page.
package text

// Options are the choices of a screen.
type Options struct {
	Units  string // "metric" or "us"; "" is metric
	Wind   string // "m/s", "mph" or "kn"; "" takes the unit that goes with Units
	Colour bool   // ANSI colours, as an extra to word and shape
	Width  int    // columns, 40 to 100; 0 is 80. Under 60 wide tables are parted
	Hours  bool   // week: an hourly table for each zone as well
}
