package window

import (
	"slices"
	"time"

	"dewgap/forecast"
	"dewgap/products"
	"dewgap/window/job"
	"dewgap/window/surface"
	"dewgap/window/verdict"
)

// SeasonBefore and SeasonAfter are how much weather a season needs before its
// first and after its last day, for surfaces to settle and clocks to look back and
// ahead.
const (
	SeasonBefore = pastHours * time.Hour
	SeasonAfter  = 14 * 24 * time.Hour
)

// SeasonInput is what a season is judged by.
type SeasonInput struct {
	// Weather is a whole year of one member, with SeasonBefore and SeasonAfter.
	Weather *forecast.Forecast
	// Job gives place, berth, zones, people and hours. Its steps, its dates and what
	// has been done do not count: in a season every day is like the first.
	Job      *job.Job
	Classes  []products.Class
	Year     int
	Location *time.Location
	Model    surface.Model
	Workers  int // zones worked on at once; 0: 1
}

// SeasonMonth is what one month offers one class on one zone.
type SeasonMonth struct {
	// Windows are the runs of at least the shortest useful block in which every slot
	// is at least go, by the month in which they begin.
	Windows int
	// Days are the days on which at least one of them begins; Consent the days that
	// have none, but one with marginal slots.
	Days, Consent int
	Hours         float64 // in those windows
	Unknown       int     // days with a slot in working hours whose state is unknown
}

// SeasonRow is one class on one zone through the year.
type SeasonRow struct {
	Class  products.Class
	Zone   int  // index into the job's zones
	Suits  bool // the class goes there unasked, or the job names it there; and no finish forbids it
	Months [12]SeasonMonth
}

// SeasonResult is a year at the place.
type SeasonResult struct {
	Zones    []string
	Rows     []SeasonRow // class by class, within a class zone by zone
	Shortest float64     // hours of the shortest useful block
	Warnings []string
}

// Season counts, month by month of a typical year, the windows in which each class
// may be worked on each zone. It fails as Evaluate does.
func Season(in SeasonInput) (*SeasonResult, error) {
	j := timeless(in)
	e, err := newEvaluation(Input{
		Forecast: in.Weather, Job: j, Classes: classList(in.Classes), Location: in.Location,
		Now: time.Date(in.Year, 1, 1, 0, 0, 0, 0, in.Location), Model: in.Model, Workers: in.Workers, HorizonDays: 366,
	})
	if err != nil {
		return nil, err
	}
	e.weathers()
	rows, days := make([][]SeasonRow, len(j.Zones)), e.seasonDays()
	e.fromTheTop(func(z int, drained func()) {
		w := newZoneWork(e, z)
		w.drain()
		drained()
		own := w.season(in.Classes, days)
		e.stands(z, func(z int) {
			rows[z] = slices.Clone(own)
			for c := range own {
				rows[z][c].Zone = z
			}
		})
		w.leave()
	})
	r := &SeasonResult{Shortest: float64(e.shortest()) * verdict.SlotHours, Warnings: e.result.Warnings}
	for _, z := range j.Zones {
		r.Zones = append(r.Zones, z.Name)
	}
	for c := range in.Classes {
		for z := range rows {
			r.Rows = append(r.Rows, rows[z][c])
		}
	}
	return r, nil
}

// timeless is the job with one step for each class, on the zones that it is for, and
// without what belongs to certain dates.
func timeless(in SeasonInput) *job.Job {
	j := *in.Job
	j.From, j.By = job.Date{Year: in.Year, Month: time.January, Day: 1}, job.Date{Year: in.Year, Month: time.December, Day: 31}
	j.Since, j.Must, j.Away, j.PeopleDates, j.Covers = job.Since{}, nil, nil, nil, nil
	j.Place.HasOnshore, j.Place.HasExposed = false, false // what is salty is washed
	j.Berths = slices.Clone(j.Berths[:min(1, len(j.Berths))])
	j.Zones, j.Steps = slices.Clone(j.Zones), nil
	for z := range j.Zones {
		j.Zones[z].Done, j.Zones[z].Reach, j.Zones[z].Salt = nil, nil, false
	}
	for _, c := range in.Classes {
		j.Steps = append(j.Steps, job.Step{Name: c.ID, Do: c.Do, With: c.ID, On: offered(in.Job, c), Coats: 1})
	}
	return &j
}

// offered are the zones that a class is for: those that it suits, and those on which the job
// names it, where the person knows better.
func offered(j *job.Job, c products.Class) []int {
	var on []int
	for z := range j.Zones {
		named := func(s job.Step) bool { return s.With == c.ID && slices.Contains(s.On, z) }
		if job.Suits(c, j.Zones[z]) || slices.ContainsFunc(j.Steps, named) {
			on = append(on, z)
		}
	}
	return on
}

type classList []products.Class

// Class finds a class of the list.
func (l classList) Class(id string) (products.Class, bool) {
	i := slices.IndexFunc(l, func(c products.Class) bool { return c.ID == id })
	if i < 0 {
		return products.Class{}, false
	}
	return l[i], true
}

// season judges every class on the zone.
func (w *zoneWork) season(classes []products.Class, days []seasonDay) []SeasonRow {
	rows := make([]SeasonRow, len(classes))
	for s := range classes {
		c := w.class(w.Job.Steps[s])
		rows[s] = SeasonRow{Class: c, Zone: w.z, Suits: slices.Contains(w.Job.Steps[s].On, w.z) && job.Forbidden(c, w.zone) == ""}
		if !rows[s].Suits {
			continue
		}
		t := w.trial(s, c)
		w.verdicts([]*trial{t})
		rows[s].count(t.board.States(0)[w.result.From:w.result.To], days, w.shortest())
		w.idle.give(nil, []*trial{t})
	}
	w.done()
	return rows
}

// seasonDay tells of a slot on which day of the year it lies, and in which month.
type seasonDay struct {
	day   int16
	month int8 // from 0
}

func (e *evaluation) seasonDays() []seasonDay {
	out := make([]seasonDay, e.result.To-e.result.From)
	for i := range out {
		t := e.local(e.result.From + i)
		out[i] = seasonDay{int16(t.YearDay()), int8(t.Month() - 1)}
	}
	return out
}

// What a day of the year may be.
const (
	goDay = 1 << iota
	consentDay
	unknownDay
)

// count finds the windows in a row of verdicts.
func (r *SeasonRow) count(row []verdict.State, days []seasonDay, least int) {
	var marks [367]uint8
	stretch(row, func(s verdict.State) bool { return s == verdict.Unknown }, func(from, to int) {
		for i := from; i < to; i++ {
			marks[days[i].day] |= unknownDay
		}
	})
	stretch(row, verdict.State.Workable, func(from, to int) {
		if to-from >= least {
			marks[days[from].day] |= consentDay
		}
	})
	stretch(row, func(s verdict.State) bool { return s <= verdict.Go }, func(from, to int) {
		if to-from >= least {
			m := &r.Months[days[from].month]
			m.Windows++
			m.Hours += float64(to-from) * verdict.SlotHours
			marks[days[from].day] |= goDay
		}
	})
	for i, d := range days {
		if i == 0 || days[i-1].day != d.day {
			r.Months[d.month].mark(marks[d.day])
		}
	}
}

func (m *SeasonMonth) mark(day uint8) {
	switch {
	case day&goDay != 0:
		m.Days++
	case day&consentDay != 0:
		m.Consent++
	}
	if day&unknownDay != 0 {
		m.Unknown++
	}
}

// stretch gives the maximal runs of slots whose state holds.
func stretch(row []verdict.State, holds func(verdict.State) bool, run func(from, to int)) {
	for i := 0; i < len(row); i++ {
		if !holds(row[i]) {
			continue
		}
		from := i
		for i < len(row) && holds(row[i]) {
			i++
		}
		run(from, i)
	}
}
