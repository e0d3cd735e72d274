package answer

import "time"

// NoteFormat is the format of the answer of dewgap note.
const NoteFormat = "dewgap.note.v1"

// Note is a plan as a short message in plain text, for the owner or for the crew.
type Note struct {
	Format string    `json:"format"` // dewgap.note.v1
	To     string    `json:"to"`     // owner or crew
	Job    string    `json:"job"`
	Boat   string    `json:"boat"`
	Now    time.Time `json:"now"`
	Title  string    `json:"title"`
	What   []string  `json:"what"`   // what is done and when, a sentence or a block each
	Why    []string  `json:"why"`    // why then
	Change []string  `json:"change"` // what could change it
	Asks   []string  `json:"asks"`   // what an answer is needed to
	// Limits are those of your own label, in words, that are looser than the hard bounds of
	// the product's class.
	Limits []string `json:"limits,omitempty"`
}
