package book

import (
	"context"
	"database/sql"
	"fmt"
	"strings"
	"time"
)

// Record is any kind of row.
type Record interface {
	Boat | Place | Job | Forecast | Done | Reading | Outcome | Answer | Plan
}

// Get gives the row with a key.
func Get[T Record](ctx context.Context, b *Book, key Key) (T, error) {
	v, err := one[T](ctx, b.db, "key = ?", string(key))
	return v, explain(b.path, missing(err, fmt.Sprintf("%s %.12s", as(new(T)).table(), key)))
}

// Find gives the row with a number.
func Find[T Record](ctx context.Context, b *Book, id int64) (T, error) {
	v, err := one[T](ctx, b.db, "id = ?", id)
	return v, explain(b.path, missing(err, fmt.Sprintf("number %d of %s", id, as(new(T)).table())))
}

// AnswerFilter says which answers are wanted; its zero value wants all.
type AnswerFilter struct {
	Kind   string // "" any
	Job    Key    // of any text of the job's file; "" any
	Before int64  // only numbers below this; 0 any
	Limit  int    // at most so many; 0 all
}

// Answers lists answers, the newest first.
func (b *Book) Answers(ctx context.Context, f AnswerFilter) ([]Answer, error) {
	where, args := "true", []any{}
	and := func(condition string, arg any) { where, args = where+" AND "+condition, append(args, arg) }
	if f.Kind != "" {
		and("kind = ?", f.Kind)
	}
	if f.Job != "" {
		and(sameJob, string(f.Job))
	}
	if f.Before > 0 {
		and("id < ?", f.Before)
	}
	where += " ORDER BY id DESC"
	if f.Limit > 0 {
		where, args = where+" LIMIT ?", append(args, f.Limit)
	}
	return all[Answer](ctx, b, where, args...)
}

// Jobs lists every text of every job's file, the newest first.
func (b *Book) Jobs(ctx context.Context) ([]Job, error) {
	return all[Job](ctx, b, "true ORDER BY id DESC")
}

// LatestPlan gives the version of a job's plan that holds. job is the key of any
// text of the job's file. Without a plan the error is ErrNotFound.
func (b *Book) LatestPlan(ctx context.Context, job Key) (Plan, error) {
	p, err := one[Plan](ctx, b.db, sameJob+newest, string(job))
	return p, explain(b.path, missing(err, "a plan of the job"))
}

// Plans lists the versions of a job's plan, the newest first.
func (b *Book) Plans(ctx context.Context, job Key) ([]Plan, error) {
	return all[Plan](ctx, b, sameJob+" ORDER BY recorded DESC, id DESC", string(job))
}

// DoneOf lists the work done on a job that holds, corrections applied, by time.
func (b *Book) DoneOf(ctx context.Context, job Key) ([]Done, error) {
	return all[Done](ctx, b, sameJob+holds("done")+byTime, string(job))
}

// OutcomesOf lists what became of a job's work, corrections applied, by time.
func (b *Book) OutcomesOf(ctx context.Context, job Key) ([]Outcome, error) {
	return all[Outcome](ctx, b, sameJob+holds("outcomes")+byTime, string(job))
}

// ReadingsSince lists the readings on the job's boat from a moment on, in this job
// or another, corrections applied, by time. Those that were refused are among them.
func (b *Book) ReadingsSince(ctx context.Context, job Key, since time.Time) ([]Reading, error) {
	return all[Reading](ctx, b, sameBoat+holds("readings")+" AND at >= ?"+byTime, string(job), since.Unix())
}

const (
	// sameJob takes rows of all texts of the job's file.
	sameJob = `job IN (SELECT a.key FROM jobs AS a JOIN boats AS x ON x.key = a.boat, jobs AS b JOIN boats AS y ON y.key = b.boat
		WHERE b.key = ? AND a.name = b.name AND x.name = y.name)`
	// sameBoat takes rows of all jobs on the boat.
	sameBoat = `job IN (SELECT a.key FROM jobs AS a JOIN boats AS x ON x.key = a.boat, jobs AS b JOIN boats AS y ON y.key = b.boat
		WHERE b.key = ? AND x.name = y.name)`
	newest = " ORDER BY recorded DESC, id DESC LIMIT 1"
	byTime = " ORDER BY at, id"
)

// holds leaves out what was corrected, and what only takes back.
func holds(table string) string {
	return " AND void = 0 AND key NOT IN (SELECT supersedes FROM " + table + " WHERE supersedes IS NOT NULL)"
}

// as gives the methods of a record.
func as[T Record](v *T) record { return any(v).(record) }

// querier is a book or one state of it.
type querier interface {
	QueryContext(ctx context.Context, query string, args ...any) (*sql.Rows, error)
}

// one gives the first row that fits, or sql.ErrNoRows.
func one[T Record](ctx context.Context, q querier, where string, args ...any) (T, error) {
	var first T
	found := false
	err := each(ctx, q, where, args, func(v T) error {
		if !found {
			first, found = v, true
		}
		return nil
	})
	if err == nil && !found {
		err = sql.ErrNoRows
	}
	return first, err
}

func all[T Record](ctx context.Context, b *Book, where string, args ...any) ([]T, error) {
	var out []T
	err := each(ctx, b.db, where, args, func(v T) error {
		out = append(out, v)
		return nil
	})
	return out, explain(b.path, err)
}

// each calls take with every row that fits.
func each[T Record](ctx context.Context, q querier, where string, args []any, take func(T) error) error {
	rows, err := q.QueryContext(ctx, selectFrom(as(new(T)))+" WHERE "+where, args...)
	if err != nil {
		return err
	}
	defer func() { _ = rows.Close() }() // its error is that of rows.Err
	for rows.Next() {
		var v T
		if err := scan(rows, as(&v)); err != nil {
			return err
		}
		if err := take(v); err != nil {
			return err
		}
	}
	return rows.Err()
}

func selectFrom(r record) string {
	names := []string{"id", "key", "recorded"}
	for _, f := range r.fields() {
		names = append(names, `"`+f.name+`"`)
	}
	return "SELECT " + strings.Join(names, ", ") + " FROM " + r.table()
}

func scan(rows *sql.Rows, r record) error {
	row := r.row()
	into := []any{&row.ID, &row.Key, moment{&row.Recorded}}
	for _, f := range r.fields() {
		into = append(into, f.at)
	}
	return rows.Scan(into...)
}
