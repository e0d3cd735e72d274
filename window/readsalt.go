package window

import (
	"fmt"
	"slices"
	"time"

	"dewgap/window/boat"
	"dewgap/window/job"
)

// saltLasts is how long salt or spray that was read is reckoned with.
const saltLasts = 48 * time.Hour

// salts brings salt and spray that were read into the job: from then on the zone
// is salty until a wash, done or to come. Without a zone they are of every zone
// open to spray.
func (r *readings) salts(e *evaluation) {
	for u := range r.uses {
		if use := &r.uses[u]; (use.Kind == ReadSalt || use.Kind == ReadSpray) && use.Reason == "" {
			r.saltOf(e, u)
		}
	}
	var salty []int
	for z := range e.Job.Zones {
		if _, ok := e.salt[z]; ok {
			salty = append(salty, z)
		}
	}
	e.result.Salted = salty
	e.warnOfSalt("salt was read on", salty)
}

// saltOf takes one word on salt or spray.
func (r *readings) saltOf(e *evaluation, u int) {
	use, m := &r.uses[u], r.list[r.of[u]]
	told := m.Salt
	if use.Kind == ReadSpray {
		told = m.Spray
	}
	switch {
	case r.now.Sub(use.At) > saltLasts:
		use.Reason = fmt.Sprintf("older than %.0f h", saltLasts.Hours())
		return
	case told == job.No:
		r.noSalt(e, use)
		return
	case use.Kind == ReadSpray && e.Job.Place.WaterKind == "fresh":
		use.Reason = "the water is fresh: its spray leaves no salt"
		return
	}
	use.Reason = "no open zone is left that it has not been washed off since"
	for z := range e.Job.Zones {
		if r.meets(e, use, z) && !rinsedAfter(e.Job, z, use.At) {
			e.Job.Zones[z].Salt, e.salt[z] = true, use.At
			use.Used, use.Reason = true, "flood rinse and wash before any pad or product touches it"
		}
	}
}

// meets reports whether what was read is of a zone: the one that is named, else
// every one that spray reaches, under a hardtop too, for its sides are open.
func (r *readings) meets(e *evaluation, use *ReadingUse, z int) bool {
	if use.Zone != "" {
		return r.zones[use.Zone] == z
	}
	return e.Job.Zones[z].Shelter <= boat.Hardtop
}

// noSalt takes back salt: on a zone by name whoever said it, elsewhere only what
// an earlier reading said. No spray takes back nothing.
func (r *readings) noSalt(e *evaluation, use *ReadingUse) {
	use.Used = true
	if use.Kind == ReadSpray {
		return
	}
	for z := range e.Job.Zones {
		_, read := e.salt[z]
		switch {
		case use.Zone != "" && r.zones[use.Zone] != z:
		case use.Zone != "" || read:
			e.Job.Zones[z].Salt = false
			delete(e.salt, z)
		case e.Job.Zones[z].Salt:
			use.Reason = "the job says salt: name the zone to take it back"
		}
	}
}

// rinsedAfter reports whether the whole of a zone has been washed since a moment.
func rinsedAfter(j *job.Job, z int, since time.Time) bool {
	for word, d := range j.Zones[z].Done {
		s := job.Step{Do: word}
		if i, ok := j.Step(word); ok {
			s = j.Steps[i]
		}
		if washes(s) && d.Share >= 1 && d.At.After(since) {
			return true
		}
	}
	return false
}

// washedBefore reports whether a step that washes the zone was done before salt
// came or was read there: it takes off none of it.
func (w *zoneWork) washedBefore(s job.Step) bool {
	since, ok := w.salt[w.z]
	return ok && doneBefore(w.Job, w.z, s, since)
}

// doneBefore reports whether the whole of a step was done on a zone by a moment,
// told by its name or, where no step has that name, by what it does.
func doneBefore(j *job.Job, z int, s job.Step, by time.Time) bool {
	d, ok := j.Zones[z].Done[s.Name]
	if !ok {
		if _, named := j.Step(s.Do); !named {
			d, ok = j.Zones[z].Done[s.Do]
		}
	}
	return ok && d.Share >= 1 && !d.At.After(by)
}

// warnOfSalt says how salt came on some zones and what it asks for, a flood rinse and
// a wash, and which of them have none to come.
func (e *evaluation) warnOfSalt(how string, salty []int) {
	if len(salty) == 0 {
		return
	}
	e.result.Warnings = append(e.result.Warnings, fmt.Sprintf(
		"%s %s: put a flood rinse and a wash before any pad or product touches it; seal the same day only "+
			"once it is washed, dry for as long as the product asks and clean on a white towel", how, e.names(salty)))
	var none []int
	for _, z := range salty {
		if !slices.ContainsFunc(e.Job.Steps, func(s job.Step) bool {
			return washes(s) && slices.Contains(s.On, z) && !doneBefore(e.Job, z, s, e.salt[z])
		}) {
			none = append(none, z)
		}
	}
	if len(none) > 0 {
		e.result.Warnings = append(e.result.Warnings,
			"no step of the job is left that washes the salt off "+e.names(none)+": add a wash first")
	}
}

// salty are the zones on which salt lies now, whoever said so or whatever brought it,
// and that no wash that is done has freed of it.
func (e *evaluation) salty() {
	e.result.Salty = nil
	for z := range e.Job.Zones {
		if !e.Job.Zones[z].Salt {
			continue
		}
		since, ok := e.salt[z]
		if !ok {
			since = since.Add(-1) // told without a time: any wash that is done came after it
		}
		if !rinsedAfter(e.Job, z, since) {
			e.result.Salty = append(e.result.Salty, z)
		}
	}
}
