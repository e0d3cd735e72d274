package book

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"strings"
	"time"
)

// Tx adds to a book within one call of Record. To add what is there already is
// no error: the row that is there comes back. An error that a method returns
// must be returned to Record; after one, nothing more is added.
type Tx struct {
	ctx  context.Context
	path string
	tx   *sql.Tx
	now  time.Time
	err  error // the first failure, after which nothing more is added
}

// try does one addition unless one has failed before: SQLite may have undone the
// whole transaction by then, and what follows would stand alone.
func (tx *Tx) try(add func() error) error {
	if tx.err == nil {
		tx.err = add()
	}
	return tx.err
}

// AddBoat records a boat.
func (tx *Tx) AddBoat(b Boat) (Row, error) { return tx.added(&b, tx.add) }

// AddPlace records a place.
func (tx *Tx) AddPlace(p Place) (Row, error) { return tx.added(&p, tx.add) }

// AddJob records a text of a job's file. Its boat, place and body come first.
func (tx *Tx) AddJob(j Job) (Row, error) { return tx.added(&j, tx.add) }

// AddForecast records a forecast. Its body comes first.
func (tx *Tx) AddForecast(f Forecast) (Row, error) { return tx.added(&f, tx.add) }

// AddAnswer records an answer. Its body and all that it refers to come first.
func (tx *Tx) AddAnswer(a Answer) (Row, error) { return tx.added(&a, tx.add) }

// AddDone records work, or corrects what was recorded.
func (tx *Tx) AddDone(d Done) (Row, error) { return tx.added(&d, tx.addEntry) }

// AddReading records a reading, or corrects one.
func (tx *Tx) AddReading(r Reading) (Row, error) { return tx.added(&r, tx.addEntry) }

// AddOutcome records what became of work, or corrects it.
func (tx *Tx) AddOutcome(o Outcome) (Row, error) { return tx.added(&o, tx.addEntry) }

// AddPlan records the next version of the job's plan; one that says what the
// newest version says is that version.
func (tx *Tx) AddPlan(p Plan) (Row, error) { return tx.added(&p, tx.addPlan) }

// AddBody keeps bytes and gives the key to refer to them and to read them back:
// their SHA-256. Bytes that are in the book already are not kept twice.
func (tx *Tx) AddBody(data []byte) (key Key, err error) {
	err = tx.try(func() error {
		key = keyOfBytes(data)
		_, err := tx.insertBody(key, data)
		return err
	})
	return key, err
}

// added tries an addition and gives the row that is then in the book.
func (tx *Tx) added(r record, add func(record) error) (Row, error) {
	if err := tx.try(func() error { return add(r) }); err != nil {
		return Row{}, err
	}
	return *r.row(), nil
}

// addPlan adds a version after the newest.
func (tx *Tx) addPlan(r record) error {
	p := r.(*Plan)
	p.Supersedes = ""
	last, err := one[Plan](tx.ctx, tx.tx, sameJob+newest, string(p.Job))
	switch {
	case errors.Is(err, sql.ErrNoRows):
		return tx.add(p)
	case err != nil:
		return err
	case last.Job == p.Job && last.Body == p.Body && last.Accepted == p.Accepted && last.Note == p.Note:
		*p = last
		return nil
	}
	p.Supersedes = last.Key
	return tx.add(p)
}

// add dates a record and puts it in, if it is not in.
func (tx *Tx) add(r record) error {
	r.row().Recorded = tx.now
	if err := prepare(r); err != nil {
		return err
	}
	r.row().Key = keyOf(r)
	_, err := tx.insert(r)
	return err
}

// insert puts a whole record in and tells whether it was not there. Its ID, and
// for what is not dated the moment of recording, are then those in the book.
func (tx *Tx) insert(r record) (added bool, err error) {
	row, fields := r.row(), r.fields()
	names := []string{"key", "recorded"}
	values := []any{string(row.Key), row.Recorded.Unix()}
	for _, f := range fields {
		names, values = append(names, `"`+f.name+`"`), append(values, f.value())
	}
	put := fmt.Sprintf("INSERT INTO %s (%s) VALUES (?%s) ON CONFLICT (key) DO NOTHING",
		r.table(), strings.Join(names, ", "), strings.Repeat(", ?", len(names)-1))
	result, err := tx.tx.ExecContext(tx.ctx, put, values...)
	if err != nil {
		return false, tx.unmet(r, err)
	}
	n, err := result.RowsAffected()
	if err != nil {
		return false, err
	}
	err = tx.tx.QueryRowContext(tx.ctx, "SELECT id, recorded FROM "+r.table()+" WHERE key = ?", string(row.Key)).
		Scan(&row.ID, moment{&row.Recorded})
	return n > 0, err
}

// unmet words the refusal of a row that refers to nothing.
func (tx *Tx) unmet(r record, err error) error {
	if !strings.Contains(err.Error(), "FOREIGN KEY") {
		return err
	}
	return &Error{
		Path: tx.path, Text: r.table() + ": the record refers to one that is not in the book",
		Fix: "record that first", Err: fmt.Errorf("%w: %w", ErrInvalid, err),
	}
}

// addEntry adds what a person recorded. Of two corrections of one entry only the
// first counts; the second must correct the correction. What equals an entry of
// the same second is that entry, unless that was corrected meanwhile.
func (tx *Tx) addEntry(r record) error {
	e := r.(interface{ entry() *Entry }).entry()
	for e.Again = 0; ; e.Again++ {
		if err := tx.add(r); err != nil {
			return err
		}
		id, err := tx.correction(r.table(), e.Key)
		if err != nil {
			return err
		}
		if id == 0 {
			return tx.onlyCorrection(r.table(), e.Supersedes, e.ID)
		}
	}
}

// correction is the number of the first entry that supersedes another, 0 if
// there is none.
func (tx *Tx) correction(table string, k Key) (id int64, err error) {
	const ask = "SELECT coalesce(min(id), 0) FROM %s WHERE supersedes = ?"
	err = tx.tx.QueryRowContext(tx.ctx, fmt.Sprintf(ask, table), string(k)).Scan(&id)
	return id, err
}

// onlyCorrection refuses a second correction of one entry.
func (tx *Tx) onlyCorrection(table string, corrected Key, own int64) error {
	if corrected == "" {
		return nil
	}
	id, err := tx.correction(table, corrected)
	if err != nil || id == own {
		return err
	}
	return &Error{
		Path: tx.path, Text: fmt.Sprintf("%s: that was corrected already, by number %d", table, id),
		Fix: fmt.Sprintf("correct number %d", id), Err: ErrSuperseded,
	}
}
