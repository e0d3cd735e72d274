package text

import (
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/window/boat"
	"dewgap/window/job"
)

// Check writes what a checked job says, in short, so that a person sees at once
// whether the file means what they meant: place, boat, zones with their facing,
// steps, people and hours. The error is w's own.
func Check(w io.Writer, j *job.Job, o Options) error {
	p := newPage(o)
	p.para("Checked: ", 2, name(j.Name, 60))
	p.facts(j)
	p.blank()
	p.line(heading("zones"))
	for _, z := range j.Zones {
		p.zone(j, z)
	}
	p.blank()
	p.line(heading("steps"))
	for i, s := range j.Steps {
		p.jobStep(j, i, s)
	}
	p.warnings(j.Warnings)
	return p.writeTo(w)
}

// The columns of what is told about: a fact, and a zone, whose name stands above what is told
// of it where it is longer.
const (
	factCells  = 10
	zoneColumn = 32
)

func (p *page) fact(about, text string) {
	p.para("  "+pad(about, factCells), 2+factCells, text)
}

func (p *page) facts(j *job.Job) {
	p.fact("boat", p.boat(j))
	p.fact("place", p.place(j.Place))
	for _, s := range salty(j) {
		p.fact("salt", p.o.prose(s))
	}
	if j.Place.HasDust {
		p.fact("dust", dustyWind(j.Place)+": its bounds are one step lower then, the usual one the hard one, the ideal one the usual")
	}
	p.fact("days", days(j))
	p.fact("hours", schedule(j.Hours, "at any time")+light(j))
	if j.Place.Machines.Set {
		p.fact("machines", schedule(j.Place.Machines, "at any time"))
	}
	if j.Place.Washing.Set {
		p.fact("washing", schedule(j.Place.Washing, "at any time"))
	}
	for _, c := range j.Covers {
		p.fact("cover", cover(j, c))
	}
	p.fact("people", people(j))
	if j.Polishers > 0 {
		p.fact("polishers", polishers(j))
	}
	if j.Crew != "" {
		p.fact("crew", name(j.Crew, nameCells)+", with every other job in the book that names it")
	}
	p.fact("asks", fmt.Sprintf("%.0f%s%% of the forecasts must agree; %s is the shortest stretch worth it; %s",
		j.Sure*100, nbsp, duration(j.ShortestH, up), consent(j)))
	for _, k := range slices.Sorted(maps.Keys(j.Must)) {
		p.fact("must", name(k, zoneCells)+" "+moment(j, j.Must[k]))
	}
}

// cover says what is put up over which zones, and when.
func cover(j *job.Job, c job.Cover) string {
	kind := c.Kind.String()
	if c.Tent {
		kind = "a tent"
	}
	var all []string
	for _, z := range j.Zones {
		all = append(all, z.Name)
	}
	s := kind + " over " + every(c.Zones, all)
	if !c.From.IsZero() {
		s += ", from " + moment(j, c.From)
	}
	if !c.To.IsZero() {
		s += ", until " + moment(j, c.To)
	}
	return s
}

// moment is a time of the job by the clock at the place, or in UTC where its
// zone is not known yet.
func moment(j *job.Job, t time.Time) string {
	if j.Place.Location == nil {
		return day(t) + nbsp + clock(t) + nbsp + "UTC"
	}
	t = t.In(j.Place.Location)
	return day(t) + nbsp + clock(t)
}

func consent(j *job.Job) string {
	if j.AcceptMargin {
		return "marginal is accepted"
	}
	return "marginal waits for your yes"
}

func light(j *job.Job) string {
	if j.Lamps {
		return ", with lamps"
	}
	return ", in daylight"
}

func (p *page) boat(j *job.Job) string {
	parts := []string{tie(boatName(j.Boat))}
	if j.Kind != "" {
		parts = append(parts, name(j.Kind, zoneCells))
	}
	if j.LengthM > 0 {
		parts = append(parts, p.length(j))
	}
	switch {
	case j.Swinging:
		parts = append(parts, "swinging to the wind")
	case j.HasBow && len(j.Berths) > 0:
		for i, b := range j.Berths {
			s := fmt.Sprintf("bow %.0f°", b.Bow)
			if i > 0 {
				s += " from " + moment(j, b.From)
			}
			parts = append(parts, tie(s))
		}
	default:
		parts = append(parts, "bow not said")
	}
	if j.Afloat {
		return strings.Join(append(parts, "afloat"), ", ")
	}
	return strings.Join(append(parts, "ashore"), ", ")
}

// length is the boat's in the unit in which the job has it and, where the screen
// has another, in that as well.
func (p *page) length(j *job.Job) string {
	shown := p.o.length().show(j.LengthM, nearest)
	given := (Options{}).length().show(j.LengthM, nearest)
	if j.LengthFt > 0 {
		given = plain("ft", 1).show(j.LengthFt, nearest)
	}
	if p.o.us() == (j.LengthFt > 0) {
		return given
	}
	return given + nbsp + "(" + shown + ")"
}

func (p *page) place(pl job.Place) string {
	parts := []string{tie(name(pl.Name, nameCells)), fmt.Sprintf("%g,%s%g", pl.Latitude, nbsp, pl.Longitude)}
	if pl.Timezone != "" {
		parts = append(parts, name(pl.Timezone, nameCells))
	} else {
		parts = append(parts, "time zone from the forecast")
	}
	wind := [...]string{"open to the wind", "in the lee", "in a basin", "wind as forecast"}
	if int(pl.Wind) < len(wind) {
		parts = append(parts, wind[pl.Wind])
	}
	water := map[string]string{"none": "no water may run off", "rinse": "fresh water may run off", "soap": "soapy water may run off"}
	if s := water[pl.Water]; s != "" {
		parts = append(parts, s)
	}
	return strings.Join(parts, ", ")
}

// salty says what the job's winds and what it knows of spray bring.
func salty(j *job.Job) (out []string) {
	if j.Place.WaterKind == "fresh" {
		if j.Place.HasOnshore || j.Place.HasExposed || j.Since.Spray != "" {
			out = append(out, "the water is fresh: neither wind nor spray leaves any")
		}
		return out
	}
	const then = " of 8 m/s or more makes what lies open to it salty, until it is washed"
	if j.Place.HasOnshore {
		out = append(out, "wind off the sea, from "+sector(j.Place.OnshoreFrom, j.Place.OnshoreTo)+","+then)
	}
	if j.Place.HasExposed {
		out = append(out, "wind that brings spray, from "+sector(j.Place.ExposedFrom, j.Place.ExposedTo)+","+then)
	}
	switch j.Since.Spray {
	case "yes":
		out = append(out, "spray has come over: a wash comes before any pad or product")
	case "no":
		out = append(out, "no spray has come over so far, whatever the wind of the last two days")
	}
	return out
}

// dustyWind says which wind brings dust, and when.
func dustyWind(p job.Place) string {
	s := "wind from " + sector(p.DustFrom, p.DustTo) + " brings dust"
	if (boat.Sector{From: p.DustFrom, To: p.DustTo}).Span() == 360 {
		s = "any wind brings dust or pollen"
	}
	if p.DustHours.Set {
		s += " " + schedule(p.DustHours, "at any time")
	}
	return s
}

// sector words two bearings.
func sector(from, to float64) string { return fmt.Sprintf("%.0f° to %.0f°", from, to) }

// days says between which days the job is, and on which nobody works.
func days(j *job.Job) string {
	s := "as far as the forecast goes"
	from, by := j.From != job.Date{}, j.By != job.Date{}
	switch {
	case from && by:
		s = dateWord(j.From) + " to " + dateWord(j.By)
	case from:
		s = "from " + dateWord(j.From) + " on"
	case by:
		s = "up to " + dateWord(j.By)
	}
	if j.Days != nil {
		var on []string
		for _, d := range week {
			if j.Days[d] {
				on = append(on, d.String()[:3])
			}
		}
		s += ", on " + strings.Join(on, " ")
	}
	if len(j.Away) > 0 {
		s += ", not on " + strings.Join(dates(j.Away), ", ")
	}
	return s
}

var week = [...]time.Weekday{time.Monday, time.Tuesday, time.Wednesday, time.Thursday, time.Friday, time.Saturday, time.Sunday}

func dateWord(d job.Date) string { return day(civil(d)) }

func civil(d job.Date) time.Time { return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC) }

// dates are the days of a map in their order.
func dates[V any](m map[job.Date]V) []string {
	var list []time.Time
	for d := range m {
		list = append(list, civil(d))
	}
	slices.SortFunc(list, time.Time.Compare)
	words := make([]string, len(list))
	for i, t := range list {
		words[i] = day(t)
	}
	return words
}

func people(j *job.Job) string {
	s := count(j.People)
	for _, d := range week {
		if n, ok := j.PeopleWeekday[d]; ok {
			s += ", " + d.String()[:3] + nbsp + count(n)
		}
	}
	if len(j.PeopleDates) > 0 {
		s += ", other numbers on " + strings.Join(dates(j.PeopleDates), ", ")
	}
	return s
}

// polishers says how many there are, and for how many people they are too few.
func polishers(j *job.Job) string {
	if n := j.Polishers; n < j.MostPeople() {
		return count(n) + ": " + answer.AtOnce(n)
	}
	return count(j.Polishers) + ", enough for all people"
}

// schedule words a schedule: "07:00-18:00, Sat 08:00-12:00, Sun none".
func schedule(s job.Schedule, always string) string {
	if !s.Set {
		return always
	}
	text := spans(s.Default)
	for _, d := range week {
		if c, ok := s.Weekday[d]; ok {
			text += ", " + d.String()[:3] + nbsp + spans(c)
		}
	}
	for _, d := range slices.SortedFunc(maps.Keys(s.Dates), func(a, b job.Date) int { return civil(a).Compare(civil(b)) }) {
		text += ", " + dateWord(d) + nbsp + spans(s.Dates[d])
	}
	return text
}

func spans(list []job.ClockSpan) string {
	if len(list) == 0 {
		return "none"
	}
	parts := make([]string, len(list))
	for i, c := range list {
		parts[i] = fmt.Sprintf("%02d:%02d-%02d:%02d", c.From/60, c.From%60, c.To/60, c.To%60)
	}
	return strings.Join(parts, nbsp+"and"+nbsp)
}

// zone writes one zone: which way it faces, how it is tilted, what it is made of
// and what stands above it.
func (p *page) zone(j *job.Job, z boat.Zone) {
	parts := []string{tilt(z.Tilt)}
	if z.Tilt >= 5 {
		parts[0] += facing(j, z)
	}
	parts = append(parts, name(z.Finish.Name, zoneCells))
	shelters := [...]string{"", "under a hardtop", "under canvas", "in a shed"}
	if int(z.Shelter) < len(shelters) && z.Shelter != boat.Open {
		parts = append(parts, shelters[z.Shelter])
	}
	accesses := [...]string{"", "by ladder", "in a harness", "from a float", "ashore"}
	if int(z.Access) < len(accesses) && z.Access != boat.Deck {
		parts = append(parts, accesses[z.Access])
	} else if z.Climbed {
		parts = append(parts, "up a ladder")
	}
	if z.AreaM2 > 0 {
		parts = append(parts, p.o.area().show(z.AreaM2, nearest))
	}
	if z.LengthM > 0 {
		parts = append(parts, p.o.length().show(z.LengthM, nearest))
	}
	if z.Count > 0 {
		parts = append(parts, numbered(z.Count, "repair"))
	}
	if z.Salt {
		parts = append(parts, "salty")
	}
	if z.Buffable == "yes" {
		parts = append(parts, "stands buffing")
	}
	for _, x := range z.Parts {
		parts = append(parts, name(x.Name, zoneCells)+" of "+name(x.Finish.Name, zoneCells))
	}
	for _, k := range slices.Sorted(maps.Keys(z.Done)) {
		d := name(k, zoneCells) + " done " + moment(j, z.Done[k].At)
		if share := z.Done[k].Share; share < 1 {
			d += fmt.Sprintf(", %.0f%s%% of it", share*100, nbsp)
		}
		parts = append(parts, d)
	}
	p.para("  "+pad(name(z.Name, zoneCells), zoneColumn)+"  ", zoneColumn+4, strings.Join(parts, ", "))
}

func tilt(deg float64) string {
	switch {
	case deg < 5:
		return "level"
	case deg >= 80 && deg <= 100:
		return "upright"
	case deg > 100:
		return fmt.Sprintf("overhanging %.0f°", deg)
	}
	return fmt.Sprintf("sloping %.0f°", deg)
}

// facing is the true bearing of a zone at the job's first berth.
func facing(j *job.Job, z boat.Zone) string {
	deg := z.Faces
	switch {
	case z.FacesTrue:
	case j.HasBow && len(j.Berths) > 0:
		deg += j.Berths[0].Bow
	default:
		return ", facing not known"
	}
	for deg >= 360 {
		deg -= 360
	}
	return fmt.Sprintf(", facing %s (%.0f°)", compass(deg), deg)
}

func (p *page) jobStep(j *job.Job, i int, s job.Step) {
	text := stepWord(s.Name)
	if s.Name != s.Do {
		text += " (" + name(s.Do, zoneCells) + ")"
	}
	if s.With != "" {
		text += " with " + name(s.With, nameCells)
	}
	if s.Coats > 1 {
		text += fmt.Sprintf(", %d coats", s.Coats)
		if s.PerDay > 0 {
			text += fmt.Sprintf(", at most %d a day", s.PerDay)
		}
		if s.Sand {
			text += ", sanded between"
		}
	}
	if s.Tape {
		text += ", masked with tape"
	}
	var on, all []string
	for _, z := range j.Zones {
		all = append(all, z.Name)
	}
	for _, k := range s.On {
		if k >= 0 && k < len(all) {
			on = append(on, all[k])
		}
	}
	if len(on) == 0 {
		text += ": no zone"
	} else {
		text += ": " + every(on, all)
	}
	p.para(padLeft(count(i+1), 4)+"  ", 6, text)
}
