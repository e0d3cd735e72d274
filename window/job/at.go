package job

import (
	"slices"
	"time"

	"dewgap/window/boat"
)

// Location is the place's time zone, UTC while it is not known.
func (j *Job) Location() *time.Location {
	if j.Place.Location == nil {
		return time.UTC
	}
	return j.Place.Location
}

// BowAt is where the bow points at t, in degrees true; ok is false when nobody
// knows, or she swings.
func (j *Job) BowAt(t time.Time) (deg float64, ok bool) {
	if !j.HasBow || len(j.Berths) == 0 {
		return 0, false
	}
	deg = j.Berths[0].Bow
	for _, b := range j.Berths[1:] {
		if !t.Before(b.From) {
			deg = b.Bow
		}
	}
	return deg, true
}

// Facing is the true bearing in degrees, [0, 360), to which a zone of the job
// looks at t. For a level zone it is without meaning.
func (j *Job) Facing(z boat.Zone, t time.Time) float64 {
	if z.FacesTrue {
		return boat.Turn(z.Faces)
	}
	bow, _ := j.BowAt(t)
	return boat.Turn(bow + z.Faces)
}

// ZoneAt is zone i as it is at t: under the covers that are up then, facing a
// true bearing, with the shade that still stands, in true bearings too. It is
// what the physics looks at.
func (j *Job) ZoneAt(i int, t time.Time) boat.Zone {
	z := j.Zones[i]
	z.Faces, z.FacesTrue = j.Facing(z, t), true
	for _, c := range j.Covers {
		if c.UpAt(t) && slices.Contains(c.Zones, z.Name) && c.Kind > z.Shelter {
			z.Shelter = c.Kind
			z.RoofView = max(z.RoofView, c.Kind.RoofView())
		}
	}
	bow, _ := j.BowAt(t)
	var shade []boat.Sector
	for _, s := range z.Shade {
		if s.Stands(t) {
			shade = append(shade, s.True(bow))
		}
	}
	z.Shade = shade
	return z
}

// UpAt reports whether the cover is up at t.
func (c Cover) UpAt(t time.Time) bool { return boat.Span{From: c.From, To: c.To}.Holds(t) }

// TentAt reports whether zone i stands in a tent at t: an enclosed space, with
// half the wind.
func (j *Job) TentAt(i int, t time.Time) bool {
	for _, c := range j.Covers {
		if c.Tent && c.UpAt(t) && slices.Contains(c.Zones, j.Zones[i].Name) {
			return true
		}
	}
	return false
}

// Reachable reports whether zone i can be reached at t.
func (j *Job) Reachable(i int, t time.Time) bool {
	spans := j.Zones[i].Reach
	for _, s := range spans {
		if s.Holds(t) {
			return true
		}
	}
	return len(spans) == 0
}

// WorksOn reports whether anybody works on the day of t at the place: a day of
// the week that is worked, not one away.
func (j *Job) WorksOn(t time.Time) bool {
	t = t.In(j.Location())
	if j.Days != nil && !j.Days[t.Weekday()] {
		return false
	}
	return !j.Away[DateOf(t)] && j.PeopleOn(t) > 0
}

// PeopleOn is how many people work on the day of t at the place.
func (j *Job) PeopleOn(t time.Time) int {
	t = t.In(j.Location())
	if n, ok := j.PeopleDates[DateOf(t)]; ok {
		return n
	}
	if n, ok := j.PeopleWeekday[t.Weekday()]; ok {
		return n
	}
	return j.People
}

// CrewHours reports whether t lies within the crew's hours by the clock at the
// place, on whatever day.
func (j *Job) CrewHours(t time.Time) bool { return j.Hours.Open(t.In(j.Location())) }

// MachineHours reports whether the marina allows machines at t.
func (j *Job) MachineHours(t time.Time) bool { return j.Place.Machines.Open(t.In(j.Location())) }

// WashHours reports whether the marina allows washing at t.
func (j *Job) WashHours(t time.Time) bool { return j.Place.Washing.Open(t.In(j.Location())) }

// DustHours reports whether the wind may bring dust at t.
func (j *Job) DustHours(t time.Time) bool {
	return j.Place.HasDust && j.Place.DustHours.Open(t.In(j.Location()))
}

// Sprinkled reports whether sprinklers wet the berth at t.
func (j *Job) Sprinkled(t time.Time) bool {
	return j.Place.Sprinklers.Set && j.Place.Sprinklers.Open(t.In(j.Location()))
}

// Opens is the first moment of the day from, in UTC; ok is false where the job
// does not say from when.
func (j *Job) Opens() (t time.Time, ok bool) {
	if j.From.IsZero() {
		return time.Time{}, false
	}
	return j.From.Begins(j.Location()), true
}

// Closes is the end of the day by, in UTC, itself no longer part of the job; ok
// is false where the job does not say by when.
func (j *Job) Closes() (t time.Time, ok bool) {
	if j.By.IsZero() {
		return time.Time{}, false
	}
	return j.By.Next().Begins(j.Location()), true
}

// Zone is the index of the zone of that name.
func (j *Job) Zone(name string) (i int, ok bool) {
	for i, z := range j.Zones {
		if z.Name == name {
			return i, true
		}
	}
	return 0, false
}

// Step is the index of the step of that name.
func (j *Job) Step(name string) (i int, ok bool) {
	for i, s := range j.Steps {
		if s.Name == name {
			return i, true
		}
	}
	return 0, false
}

// Called is what a step goes by in this job that went by that name before: one without a
// name went by its kind of work, correct, and goes by its own word, compound. A name that
// is none of these, or may be of two steps, stays as it is.
func (j *Job) Called(name string) string {
	if _, ok := j.Step(name); ok {
		return name
	}
	now := name
	for _, s := range j.Steps {
		if s.Do != name || canonicalDo(s.Name) != name {
			continue
		}
		if now != name {
			return name
		}
		now = s.Name
	}
	return now
}
