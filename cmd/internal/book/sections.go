package book

import (
	"context"
	"database/sql"
	"fmt"
)

// section is one kind of record as exports and checks go through it.
type section struct {
	table string
	blank func() record
	// each calls take with every row in the order of recording.
	each func(ctx context.Context, q querier, take func(record) error) error
}

// sections are all kinds of record, each after those that it refers to, save that
// plans and answers refer to each other.
func sections() []section {
	return []section{
		sectionOf[Boat](), sectionOf[Place](), sectionOf[Job](), sectionOf[Forecast](),
		sectionOf[Done](), sectionOf[Reading](), sectionOf[Outcome](), sectionOf[Answer](), sectionOf[Plan](),
	}
}

func sectionOf[T Record]() section {
	return section{
		table: as(new(T)).table(),
		blank: func() record { return as(new(T)) },
		each: func(ctx context.Context, q querier, take func(record) error) error {
			return each(ctx, q, "true ORDER BY id", nil, func(v T) error { return take(as(&v)) })
		},
	}
}

// eachBody calls take with every body in the order of recording.
func (b *Book) eachBody(ctx context.Context, q querier, take func(id int64, key Key, data []byte) error) error {
	rows, err := q.QueryContext(ctx, "SELECT id, key, size, gzip FROM bodies ORDER BY id")
	if err != nil {
		return err
	}
	defer func() { _ = rows.Close() }() // its error is that of rows.Err
	for rows.Next() {
		var id, size int64
		var key Key
		var packed sql.RawBytes
		if err := rows.Scan(&id, &key, &size, &packed); err != nil {
			return err
		}
		data, err := unpack(packed, size, key)
		if err != nil {
			return damaged(b.path, err.Error())
		}
		if err := take(id, key, data); err != nil {
			return err
		}
	}
	return rows.Err()
}

// Verify checks all of the book, which takes longer than what Open does: every
// page and index, every reference, and every row and body against its key.
func (b *Book) Verify(ctx context.Context) error {
	return b.read(ctx, func(tx *sql.Tx) error {
		var found string
		if err := tx.QueryRowContext(ctx, "PRAGMA integrity_check(1)").Scan(&found); err != nil {
			return err
		}
		if found != "ok" {
			return damaged(b.path, found)
		}
		table, err := danglingRow(ctx, tx)
		if err != nil {
			return err
		}
		if table != "" {
			return damaged(b.path, "a row of "+table+" refers to one that is not there")
		}
		return b.verifyKeys(ctx, tx)
	})
}

// danglingRow names a table with a row that refers to nothing, "" if none does.
func danglingRow(ctx context.Context, q querier) (string, error) {
	rows, err := q.QueryContext(ctx, "PRAGMA foreign_key_check")
	if err != nil {
		return "", err
	}
	defer func() { _ = rows.Close() }() // its error is that of rows.Err
	if !rows.Next() {
		return "", rows.Err()
	}
	var table string
	var rowID, parent, index any
	err = rows.Scan(&table, &rowID, &parent, &index)
	return table, err
}

func (b *Book) verifyKeys(ctx context.Context, tx *sql.Tx) error {
	for _, s := range sections() {
		err := s.each(ctx, tx, func(r record) error {
			if keyOf(r) != r.row().Key {
				return damaged(b.path, fmt.Sprintf("number %d of %s does not fit its hash", r.row().ID, s.table))
			}
			return nil
		})
		if err != nil {
			return err
		}
	}
	return b.eachBody(ctx, tx, func(int64, Key, []byte) error { return nil })
}
