package app

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/book"
	"dewgap/window"
	"dewgap/window/job"
)

// DoneRequest is work to be recorded.
type DoneRequest struct {
	Request
	Step     string
	Zones    []string
	Share    float64 // of each zone, all that is done of it so far, 0 < share ≤ 1
	Coat     int     // that is on now of a step with several, the last one on Share of the zone; 0: all of the step
	At       Moment
	By, Note string
	Corrects int64 // number of the entry that this one corrects, 0 for none
}

// RainRequest is rain that fell.
type RainRequest struct {
	Request
	From, To Moment
	MM       *float64 // nil where nobody measured
	Note     string
	Corrects int64
}

// OutcomeRequest is what became of work.
type OutcomeRequest struct {
	Request
	Step     string
	Zones    []string
	Found    string // book.FoundOK, FoundInspect or FoundRedo
	At       Moment
	By, Note string
	Corrects int64
}

// ReadingRequest is something measured. Compose gives it, checked, by what the
// job and the place's clock say.
type ReadingRequest struct {
	Request
	Compose  func(j *job.Job, now time.Time) (job.Reading, error)
	Corrects int64
}

// epoch lies before everything that a book can hold.
var epoch = time.Unix(0, 0).UTC()

// location is a zone by its name, UTC where there is none of that name.
func location(name string) *time.Location {
	loc, err := time.LoadLocation(name)
	if err != nil {
		return time.UTC
	}
	return loc
}

// entry is what entries are made with.
type entry struct {
	job  *job.Job
	head answer.BookJob
	loc  *time.Location
	now  time.Time
}

func (a *App) entry(r Request) (entry, error) {
	j, err := r.Job(r.Timezone)
	if err != nil {
		return entry{}, err
	}
	loc := j.Location()
	return entry{j, answer.BookJob{Job: j.Name, Boat: j.Boat, Timezone: loc.String()}, loc, a.Clock.Now().Truncate(time.Second)}, nil
}

// past reads a moment that must not lie ahead.
func (e entry) past(m Moment, what string) (time.Time, error) {
	t, err := m(e.now, e.loc)
	if err != nil {
		return t, err
	}
	t = t.UTC().Truncate(time.Second)
	if t.After(e.now) {
		fix := "record it when it has happened"
		if before := t.In(e.loc).AddDate(0, 0, -1); !before.After(e.now) { // an hour without its day, told the morning after
			fix += "; if it was the day before, write " + before.Format("2006-01-02T15:04")
		}
		return t, &Problem{Text: fmt.Sprintf("%s lies in the future: %s", what, t.In(e.loc).Format(stamp)), Fix: fix}
	}
	return t, nil
}

// work checks that a step is done on some zones and gives its product.
func (e entry) work(step string, zones []string) (product string, err error) {
	s, ok := e.job.Step(step)
	if !ok {
		if now := e.job.Called(step); now != step {
			return "", &Problem{Text: "the job has no step " + step, Fix: "it goes by " + now + " there: log that"}
		}
		names := make([]string, len(e.job.Steps))
		for i, x := range e.job.Steps {
			names[i] = x.Name
		}
		return "", &Problem{Text: "the job has no step " + step, Fix: oneOf(step, names)}
	}
	var on []string
	for _, z := range e.job.Steps[s].On {
		on = append(on, e.job.Zones[z].Name)
	}
	for i, z := range zones {
		switch {
		case !slices.Contains(on, z):
			return "", &Problem{Text: fmt.Sprintf("the job has no %s on a zone %s", step, z), Fix: oneOf(z, on)}
		case slices.Contains(zones[:i], z): // a slip: another zone was meant
			return "", &Problem{Text: "the zone " + z + " is named twice", Fix: "name each zone once"}
		}
	}
	return e.job.Steps[s].With, nil
}

func oneOf(name string, names []string) string {
	if near := job.Nearest(name, names); near != "" {
		return "did you mean " + near + "?"
	}
	return "take one of " + strings.Join(names, ", ")
}

// shareOf is how much of a step is done with a coat on: of its coats, not of the zone.
func (e entry) shareOf(r DoneRequest) (float64, error) {
	s, ok := e.job.Step(r.Step)
	if r.Coat == 0 || !ok {
		return r.Share, nil
	}
	coats := max(1, e.job.Steps[s].Coats)
	if r.Coat < 1 || r.Coat > coats {
		return 0, &Problem{Text: fmt.Sprintf("%s has no coat %d", r.Step, r.Coat), Fix: fmt.Sprintf("the job has %d: coats says how many", coats)}
	}
	return (float64(r.Coat-1) + r.Share) / float64(coats), nil
}

// LogDone records work done.
func (a *App) LogDone(ctx context.Context, r DoneRequest) (*answer.Logged, error) {
	w := workEntry{kind: "done", what: "the work", step: r.Step, zones: r.Zones, at: r.At}
	if r.Corrects > 0 {
		w.corrects = func(e entry) (book.Key, error) {
			old, err := a.Book.DoneNumber(ctx, r.Corrects)
			if err != nil {
				return "", err
			}
			return old.Key, a.ofThisJob(ctx, e, r.Corrects, old.Job)
		}
	}
	had, under, err := a.sharesBefore(ctx, r)
	if err != nil {
		return nil, err
	}
	w.add = func(tx *book.Tx, e entry, x placed) (answer.Entry, error) {
		share, err := e.shareOf(r)
		if err != nil {
			return answer.Entry{}, err
		}
		d := book.Done{Entry: x.entry, Job: x.job, Step: r.Step, Zone: x.zone, Share: share, At: x.at, Product: x.product, By: r.By, Note: r.Note}
		d.Row, err = tx.AddDone(d)
		line := doneEntry(d, e.head, e.loc)
		if r.Coat > 0 && r.Share == 1 {
			line.Text = noted(fmt.Sprintf("%s on %s, coat %d", d.Step, d.Zone, r.Coat), d.By, d.Note)
		}
		if before := had[x.zone]; share < 1 && share <= before {
			line.Text += fmt.Sprintf("; %.0f %% were done before, and a share counts all that is done so far", 100*before)
		}
		for _, below := range under[x.zone] {
			if s, ok := e.job.Step(r.Step); ok && below.Share < window.CoveredBy(e.job.Steps[s], share)-1e-9 {
				line.Text += fmt.Sprintf("; %s is logged on %.0f %% of it alone", below.Step, 100*below.Share)
			}
		}
		return line, err
	}
	return a.logWork(ctx, r.Request, w)
}

// sharesBefore is how much of a step the book has done on the zones of a request, but for
// what was found bad since, and which steps under it are done there in part. A correction is
// held against nothing.
func (a *App) sharesBefore(ctx context.Context, r DoneRequest) (had map[string]float64, under map[string][]book.Done, err error) {
	if r.Corrects > 0 {
		return nil, nil, nil
	}
	e, err := a.entry(r.Request)
	if err != nil {
		return nil, nil, err
	}
	at, err := r.At(e.now, e.loc)
	if err != nil {
		return nil, nil, err
	}
	p, err := a.recall(ctx, r.Request, e.job, at)
	if err != nil {
		return nil, nil, err
	}
	had = map[string]float64{}
	for _, d := range p.done {
		bad := slices.ContainsFunc(p.redo, func(x redo) bool { return x.Step == d.Step && x.Zone == d.Zone && !d.At.After(x.At) })
		if d.Step == r.Step && !bad {
			had[d.Zone] = d.Share
		}
	}
	j, _ := p.into(e.job)
	return had, partsUnder(j, r.Step), nil
}

// partsUnder are, by zone, the steps before one that nobody does without them, as far as they
// are done on a part of it.
func partsUnder(j *job.Job, step string) map[string][]book.Done {
	s, ok := j.Step(step)
	if !ok || !window.Covering(j.Steps[s]) {
		return nil
	}
	under := map[string][]book.Done{}
	for z, zone := range j.Zones {
		for k, x := range j.Steps[:s] {
			d := zone.Done[doneKey(j, z, k)]
			if share := window.CoveredBy(x, d.Share); share > 0 && share < 1 && slices.Contains(x.On, z) {
				under[zone.Name] = append(under[zone.Name], book.Done{Step: x.Name, Zone: zone.Name, Share: share})
			}
		}
	}
	return under
}

// LogOutcome records what became of work. What is to be redone counts as not
// done from then on.
func (a *App) LogOutcome(ctx context.Context, r OutcomeRequest) (*answer.Logged, error) {
	w := workEntry{kind: "outcome", what: "the look at it", step: r.Step, zones: r.Zones, at: r.At}
	if r.Corrects > 0 {
		w.corrects = func(e entry) (book.Key, error) {
			old, err := a.Book.OutcomeNumber(ctx, r.Corrects)
			if err != nil {
				return "", err
			}
			return old.Key, a.ofThisJob(ctx, e, r.Corrects, old.Job)
		}
	}
	w.add = func(tx *book.Tx, e entry, x placed) (answer.Entry, error) {
		o := book.Outcome{Entry: x.entry, Job: x.job, Step: r.Step, Zone: x.zone, Product: x.product, Found: r.Found, At: x.at, By: r.By, Note: r.Note}
		var err error
		o.Row, err = tx.AddOutcome(o)
		return outcomeEntry(o, e.head, e.loc), err
	}
	return a.logWork(ctx, r.Request, w)
}

// workEntry is something to be recorded of a step on some zones.
type workEntry struct {
	kind, what string // of the answer; of an error
	step       string
	zones      []string
	at         Moment
	corrects   func(entry) (book.Key, error) // the entry that is corrected; nil: none
	add        func(*book.Tx, entry, placed) (answer.Entry, error)
}

// placed is what an entry of one zone is made with.
type placed struct {
	entry         book.Entry
	job           book.Key
	zone, product string
	at            time.Time
}

// logWork checks work and records it, zone by zone, all of them or none.
func (a *App) logWork(ctx context.Context, r Request, w workEntry) (*answer.Logged, error) {
	e, err := a.entry(r)
	if err != nil {
		return nil, err
	}
	product, err := e.work(w.step, w.zones)
	if err != nil {
		return nil, err
	}
	at, err := e.past(w.at, w.what)
	if err != nil {
		return nil, err
	}
	var old book.Key
	if w.corrects != nil {
		if old, err = w.corrects(e); err != nil {
			return nil, err
		}
	}
	out := answer.NewLogged(w.kind)
	return out, a.Book.Record(ctx, func(tx *book.Tx) error {
		j, err := addJob(tx, e.job, r.File)
		for i := 0; err == nil && i < len(w.zones); i++ {
			var line answer.Entry
			x := placed{entry: book.Entry{Supersedes: old}, job: j.Key, zone: w.zones[i], product: product, at: at}
			if line, err = w.add(tx, e, x); err == nil {
				out.Entries = append(out.Entries, line)
			}
		}
		return err
	})
}

// LogRain records rain that fell on the boat.
func (a *App) LogRain(ctx context.Context, r RainRequest) (*answer.Logged, error) {
	e, err := a.entry(r.Request)
	if err != nil {
		return nil, err
	}
	from, err := e.past(r.From, "the rain")
	if err != nil {
		return nil, err
	}
	to, err := e.past(r.To, "the end of the rain")
	if err != nil {
		return nil, err
	}
	if !to.After(from) {
		return nil, &Problem{Text: "the rain ends before it begins", Fix: "give --from before --to"}
	}
	rain := true
	return a.addReading(ctx, e, r.Request, r.Corrects, book.Reading{At: from, Until: to, Rain: &rain, RainMM: r.MM, Note: r.Note})
}

// AddReading records something measured.
func (a *App) AddReading(ctx context.Context, r ReadingRequest) (*answer.Logged, error) {
	e, err := a.entry(r.Request)
	if err != nil {
		return nil, err
	}
	m, err := r.Compose(e.job, e.now)
	if err != nil {
		return nil, err
	}
	return a.addReading(ctx, e, r.Request, r.Corrects, toBook(m, ""))
}

func (a *App) addReading(ctx context.Context, e entry, r Request, corrects int64, m book.Reading) (*answer.Logged, error) {
	if corrects > 0 {
		old, err := a.Book.ReadingNumber(ctx, corrects)
		if err != nil {
			return nil, err
		}
		if err := a.ofThisBoat(ctx, e, corrects, old.Job); err != nil {
			return nil, err
		}
		if isRain(old) != isRain(m) {
			return nil, ofAnotherKind(corrects, old)
		}
		m.Supersedes = old.Key
	}
	kind := "reading"
	if isRain(m) {
		kind = "rain"
	}
	out := answer.NewLogged(kind)
	return out, a.Book.Record(ctx, func(tx *book.Tx) error {
		j, err := addJob(tx, e.job, r.File)
		if err != nil {
			return err
		}
		m.Job = j.Key
		if m.Row, err = tx.AddReading(m); err == nil {
			out.Entries = append(out.Entries, readingEntry(m, e.head, e.loc))
		}
		return err
	})
}

// ofThisJob refuses to correct the work of another job: it would vanish there, and be
// written down here. The job goes by its name and its boat, whatever its file says now.
func (a *App) ofThisJob(ctx context.Context, e entry, id int64, old book.Key) error {
	head, err := a.headOf(ctx, map[book.Key]answer.BookJob{}, old)
	if err != nil || head.Boat == e.head.Boat && head.Job == e.head.Job {
		return err
	}
	return ofOther(id, head)
}

// ofThisBoat does so for readings and rain, which count for every job of the boat.
func (a *App) ofThisBoat(ctx context.Context, e entry, id int64, old book.Key) error {
	head, err := a.headOf(ctx, map[book.Key]answer.BookJob{}, old)
	if err != nil || head.Boat == e.head.Boat {
		return err
	}
	return ofOther(id, head)
}

func ofOther(id int64, head answer.BookJob) error {
	return &Problem{Text: fmt.Sprintf("entry %d is of %s, %s", id, head.Boat, head.Job), Fix: "give the job file of that boat, or look for the number with dewgap book show"}
}

// ofAnotherKind refuses to put a reading in the place of rain: the drying that began with
// it would be forgotten by a slip in a number.
func ofAnotherKind(id int64, old book.Reading) error {
	is, with := "a reading", "dewgap reading add"
	if isRain(old) {
		is, with = "rain", "dewgap log rain"
	}
	return &Problem{Text: fmt.Sprintf("entry %d is %s", id, is), Fix: fmt.Sprintf("correct it with %s, or take it back with dewgap log undo --reading %d", with, id)}
}
