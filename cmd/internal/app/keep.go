package app

import (
	"bytes"
	"context"
	"encoding/json"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/book"
	"dewgap/forecast"
	"dewgap/products"
	"dewgap/window/job"
)

// Settings that an answer in the book is kept with.
const (
	keptZone     = "timezone"
	keptFutures  = "futures"
	keptJob      = "job_file"
	keptProducts = "products_file"
	keptWarnings = "warnings" // a line each
	keptRedo     = "redo"     // JSON
	keptLearned  = "learned"  // JSON
	keptTold     = "told"     // JSON: what it was told of the fate of work, and found
	keptHeard    = "heard"    // JSON: what answers before it were
	keptHeld     = "held"     // the plan is an earlier one
	keptAway     = "away"     // JSON: where the crew was besides
	keptAnew     = "anew"     // the plan was made anew on purpose
)

// kept is an answer to be recorded.
type kept struct {
	kind, verdict string
	body          any          // the answer, as --json writes it
	plan          *answer.Plan // to become the job's, nil for none
	held, anew    bool         // see Request
}

// keep records an answer with all that it was made from. An answer stands though
// it cannot be recorded; Unrecorded is told.
func (a *App) keep(ctx context.Context, r Request, g gathered, k kept) {
	if a.Book == nil || r.File == nil {
		return
	}
	if err := a.record(ctx, r, g, k); err != nil && a.Unrecorded != nil {
		a.Unrecorded(err)
	}
}

func (a *App) record(ctx context.Context, r Request, g gathered, k kept) error {
	var body bytes.Buffer
	if err := answer.Write(&body, k.body); err != nil {
		return err
	}
	weather, err := encodeForecast(g.facts.Forecast)
	if err != nil {
		return err
	}
	settings, err := a.settings(r, g)
	if err != nil {
		return err
	}
	for name, is := range map[string]bool{keptHeld: k.held, keptAnew: k.anew} {
		if is {
			settings[name] = "yes"
		}
	}
	return a.Book.Record(ctx, func(tx *book.Tx) error {
		j, err := addJob(tx, g.facts.Job, r.File)
		if err != nil {
			return err
		}
		out := book.Answer{
			Kind: k.kind, Job: j.Key, Plan: g.past.plan, At: g.facts.Now, Verdict: k.verdict, Program: a.Version,
			Catalogue: a.Classes.Hash(), Settings: settings, Done: keysOf(slices.Concat(g.past.former, g.past.done), doneKeyOf),
			Readings: keysOf(slices.Concat(g.past.readings, g.past.rained), readingKeyOf),
		}
		if out.Forecast, err = addForecast(tx, g.facts.Forecast, j.Place, weather); err != nil {
			return err
		}
		for _, m := range g.fresh {
			row, err := tx.AddReading(toBook(m, j.Key))
			if err != nil {
				return err
			}
			out.Readings = append(out.Readings, row.Key)
		}
		return addAnswer(tx, out, r.Products, body.Bytes(), k.plan, g.facts.Job.AcceptMargin)
	})
}

// addAnswer adds the answer, and its plan where it has one.
func addAnswer(tx *book.Tx, out book.Answer, own *JobFile, body []byte, plan *answer.Plan, accepted bool) (err error) {
	if own != nil {
		if out.Products, err = tx.AddBody(own.Data); err != nil {
			return err
		}
	}
	if out.Body, err = tx.AddBody(body); err != nil {
		return err
	}
	row, err := tx.AddAnswer(out)
	if err != nil || plan == nil || plan.State == answer.None {
		return err
	}
	data, err := json.Marshal(plan)
	if err != nil {
		return err
	}
	key, err := tx.AddBody(data)
	if err != nil {
		return err
	}
	_, err = tx.AddPlan(book.Plan{Job: out.Job, Answer: row.Key, At: out.At, Accepted: accepted, Body: key})
	return err
}

// settings are those that an answer depends on.
func (a *App) settings(r Request, g gathered) (map[string]string, error) {
	out := map[string]string{
		keptZone: g.facts.Job.Location().String(), keptFutures: strconv.Itoa(a.Futures), keptJob: r.File.Name,
	}
	if r.Products != nil {
		out[keptProducts] = r.Products.Name
	}
	if len(r.Warnings) > 0 {
		out[keptWarnings] = strings.Join(r.Warnings, "\n")
	}
	if len(g.past.redo) > 0 {
		data, err := json.Marshal(g.past.redo)
		if err != nil {
			return nil, err
		}
		out[keptRedo] = string(data)
	}
	away, err := encodeAway(g.past.away)
	if err != nil {
		return nil, err
	}
	if away != "" {
		out[keptAway] = away
	}
	told, err := g.told()
	if err != nil {
		return nil, err
	}
	if told != "" {
		out[keptTold] = told
	}
	if !g.past.heard.empty() {
		data, err := json.Marshal(g.past.heard)
		if err != nil {
			return nil, err
		}
		out[keptHeard] = string(data)
	}
	learned, err := encodeLearned(g.input.Learned)
	if learned != "" {
		out[keptLearned] = learned
	}
	return out, err
}

func keysOf[T any](list []T, key func(T) book.Key) []book.Key {
	var out []book.Key
	for _, x := range list {
		out = append(out, key(x))
	}
	return out
}

func doneKeyOf(d book.Done) book.Key       { return d.Key }
func readingKeyOf(m book.Reading) book.Key { return m.Key }

// jobRow is a job's text in the book.
type jobRow struct{ Key, Place book.Key }

// addJob adds a job's boat, place and text.
func addJob(tx *book.Tx, j *job.Job, file *JobFile) (jobRow, error) {
	b := book.Boat{Name: j.Boat, Kind: j.Kind}
	if j.LengthM > 0 {
		b.LengthM = &j.LengthM
	}
	boat, err := tx.AddBoat(b)
	if err != nil {
		return jobRow{}, err
	}
	p := book.Place{Name: j.Place.Name, Latitude: j.Place.Latitude, Longitude: j.Place.Longitude, Timezone: j.Place.Timezone}
	if j.Place.HasElevation {
		p.ElevationM = &j.Place.ElevationM
	}
	where, err := tx.AddPlace(p)
	if err != nil {
		return jobRow{}, err
	}
	body, err := tx.AddBody(file.Data)
	if err != nil {
		return jobRow{}, err
	}
	row, err := tx.AddJob(book.Job{Name: j.Name, Boat: boat.Key, Place: where.Key, File: filepath.Base(file.Name), Body: body})
	return jobRow{row.Key, where.Key}, err
}

func addForecast(tx *book.Tx, f *forecast.Forecast, place book.Key, data []byte) (book.Key, error) {
	body, err := tx.AddBody(data)
	if err != nil {
		return "", err
	}
	row, err := tx.AddForecast(book.Forecast{
		Service: f.Service, Model: f.Model, Place: place, Issued: f.Issued, Fetched: f.Fetched, Form: receivedForm,
		Warnings: f.Warnings, Body: body,
	})
	return row.Key, err
}

// classesOf is the catalogue with the person's own products over it.
func classesOf(own *JobFile) (*products.Set, []string, error) {
	set, err := products.Catalogue()
	if err != nil || own == nil {
		return set, nil, err
	}
	return set.With(own.Name, own.Data)
}
