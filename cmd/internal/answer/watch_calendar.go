package answer

import "time"

// CalendarFormat is the format of the answer of dewgap calendar.
const CalendarFormat = "dewgap.calendar.v1"

// Calendar is the answer of dewgap calendar: what was written, entry by entry.
type Calendar struct {
	Format  string          `json:"format"` // dewgap.calendar.v1
	Name    string          `json:"name"`
	At      time.Time       `json:"at"`   // the moment for which the plan was made
	From    string          `json:"from"` // book: the plan that holds; forecast: planned anew
	File    string          `json:"file"` // what was written, "" for the calendar in Text
	ETag    string          `json:"etag"`
	Entries []CalendarEntry `json:"entries"`
	Text    string          `json:"text"` // the calendar, "" where it is in a file
}

// CalendarEntry is one entry of a calendar.
type CalendarEntry struct {
	UID      string    `json:"uid"`
	Sequence int       `json:"sequence"` // how often it was changed
	Status   string    `json:"status"`   // confirmed, tentative or cancelled
	From     time.Time `json:"from"`
	To       time.Time `json:"to"`
	Summary  string    `json:"summary"`
}
