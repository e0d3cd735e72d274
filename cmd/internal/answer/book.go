package answer

import (
	"bytes"
	"encoding/json"
	"fmt"
	"time"
)

// Formats of what the book answers.
const (
	LoggedFormat   = "dewgap.logged.v1"
	BookListFormat = "dewgap.book.list.v1"
	AgainFormat    = "dewgap.again.v1"
	BookDoneFormat = "dewgap.book.done.v1"
)

// BookJob names a job of the book.
type BookJob struct {
	Job      string `json:"job"`
	Boat     string `json:"boat"`
	Timezone string `json:"timezone"` // "" where the job's file leaves it to the service
}

// Entry is something that a person recorded.
type Entry struct {
	ID  int64  `json:"id"`  // number in this one book, 0 for a line in a file
	Key string `json:"key"` // the same in every copy of the book, "" for a line in a file
	BookJob
	At   time.Time `json:"at"`
	Step string    `json:"step"`
	Zone string    `json:"zone"`
	Text string    `json:"text"` // in words, SI
}

// Logged is the answer of dewgap log and of dewgap reading add.
type Logged struct {
	Format  string  `json:"format"`
	Kind    string  `json:"kind"` // done, rain, outcome, reading or undo
	File    string  `json:"file"` // the book, or the readings file
	Entries []Entry `json:"entries"`
	// LeftOut is planned work that may have gone otherwise: it is not recorded.
	LeftOut []LeftOut `json:"left_out,omitempty"`
}

// LeftOut is planned work that is not recorded as done, and why.
type LeftOut struct {
	Step string    `json:"step"`
	Zone string    `json:"zone"`
	From time.Time `json:"from"` // by the plan
	To   time.Time `json:"to"`
	Why  string    `json:"why"`            // in words
	Done int64     `json:"done,omitempty"` // number of the entry that has it already; absent where none has
}

// NewLogged is an answer without entries.
func NewLogged(kind string) *Logged {
	return &Logged{Format: LoggedFormat, Kind: kind, Entries: []Entry{}}
}

// BookList is the answer of dewgap book show.
type BookList struct {
	Format   string       `json:"format"`
	File     string       `json:"file"`
	Answers  []BookAnswer `json:"answers"` // newest first
	Done     []Entry      `json:"done"`
	Readings []Entry      `json:"readings"`
	Outcomes []Entry      `json:"outcomes"`
}

// NewBookList is a list of an empty book.
func NewBookList() *BookList {
	return &BookList{Format: BookListFormat, Answers: []BookAnswer{}, Done: []Entry{}, Readings: []Entry{}, Outcomes: []Entry{}}
}

// BookAnswer is an answer of the book without its bytes.
type BookAnswer struct {
	ID   int64  `json:"id"`
	Kind string `json:"kind"`
	BookJob
	At        time.Time `json:"at"`       // the moment that it answers for
	Recorded  time.Time `json:"recorded"` // when it was given
	Verdict   string    `json:"verdict"`
	Program   string    `json:"program"`
	Catalogue string    `json:"catalogue"`
}

// BookDone is the answer of dewgap book init, export to files, import and backup.
type BookDone struct {
	Format  string `json:"format"`
	What    string `json:"what"` // init, export, import or backup
	File    string `json:"file"` // the book
	To      string `json:"to"`   // what was written, "" for nothing
	Added   int    `json:"added"`
	Skipped int    `json:"skipped"` // was in the book already
}

// Again is the answer of dewgap book show --again: a past answer worked out anew.
type Again struct {
	Format      string       `json:"format"`
	ID          int64        `json:"id"`
	Kind        string       `json:"kind"`
	At          time.Time    `json:"at"`
	Program     Change       `json:"program"`
	Catalogue   Change       `json:"catalogue"`
	Same        bool         `json:"same"` // byte for byte
	Differences []Difference `json:"differences"`
}

// Change is a word as it was and is.
type Change struct {
	Was string `json:"was"`
	Is  string `json:"is"`
}

// Difference is one place in which two answers differ; what is absent is null.
type Difference struct {
	Path string `json:"path"` // keys and positions with dots between: windows.0.to
	Was  any    `json:"was"`
	Is   any    `json:"is"`
}

// AgainFacts is what Again is made from.
type AgainFacts struct {
	ID                        int64
	Kind                      string
	At                        time.Time
	Was, Is                   []byte // as --json writes them
	ProgramWas, ProgramIs     string
	CatalogueWas, CatalogueIs string
}

// NewAgain compares two answers.
func NewAgain(f AgainFacts) (*Again, error) {
	out := &Again{
		Format: AgainFormat, ID: f.ID, Kind: f.Kind, At: f.At, Program: Change{f.ProgramWas, f.ProgramIs},
		Catalogue: Change{f.CatalogueWas, f.CatalogueIs}, Same: bytes.Equal(f.Was, f.Is), Differences: []Difference{},
	}
	if out.Same {
		return out, nil
	}
	was, err := parsed(f.Was)
	if err != nil {
		return nil, fmt.Errorf("the answer as it was: %w", err)
	}
	is, err := parsed(f.Is)
	if err != nil {
		return nil, fmt.Errorf("the answer as it is: %w", err)
	}
	out.Differences = differences(out.Differences, "", was, is)
	return out, nil
}

func parsed(data []byte) (any, error) {
	d := json.NewDecoder(bytes.NewReader(data))
	d.UseNumber()
	var v any
	err := d.Decode(&v)
	return v, err
}
