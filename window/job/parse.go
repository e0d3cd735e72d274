package job

import (
	"cmp"
	"fmt"
	"slices"
)

// Options is what a job file may leave to others.
type Options struct {
	// Timezone is the IANA name to use where the file has none: that of a flag,
	// or that which the forecast service tells. "" when neither is known yet.
	Timezone string
}

// Parse turns the bytes of a job file into a checked job. file is its name, for
// messages; classes resolves the products, nil leaves them unchecked.
//
// Everything that is wrong is told at once: the error is then of type Errors,
// in the order of the lines, and the job is nil. What is right but deserves a
// word is in the job's Warnings.
//
// Times without an offset are those of the clock at the place. Where the zone
// is known neither from the file nor from the Options, the job's NeedsTimezone
// tells whether that matters; see there.
func Parse(file string, data []byte, classes Classes, o Options) (*Job, error) {
	r := &reader{file: file}
	root := r.readYAML(data)
	var j *Job
	if root != nil {
		j = r.job(root, classes, o)
	}
	if len(r.errs) > 0 {
		return nil, r.errs.told()
	}
	slices.SortStableFunc(r.past, func(a, b Past) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	j.Past = r.past
	j.Warnings = append(j.Warnings, r.warnings...)
	j.NeedsTimezone = r.needLoc
	return j, nil
}

// job reads the whole file. It goes on after every mistake.
func (r *reader) job(root *node, classes Classes, o Options) *Job {
	s, ok := r.section(root, "job file")
	if !ok {
		return nil
	}
	j := &Job{}
	zone := r.readZone(root, o.Timezone)
	j.Name, _ = s.text("job")
	var rinse string
	if n := s.take("place"); n != nil {
		j.Place, rinse = r.place(n, zone)
	} else {
		s.missing("place", "write place: with latitude and longitude below it")
	}
	j.Place.Timezone, j.Place.Location = zone, r.loc
	s.boat(j, classes)
	s.crew(j)
	s.dates(j)
	s.rinsed(j, rinse)
	s.done()
	return j
}

// boat reads the boat, how she lies, her zones and the work on them.
func (s *section) boat(j *Job, classes Classes) {
	v := s.vessel(s.take("boat"), s.n.pos)
	j.Boat, j.Kind, j.LengthM, j.LengthFt = v.name, v.kind, v.lengthM, v.lengthFt
	j.HasBow, j.Swinging, j.Afloat, j.Inside = v.hasBow, v.swinging, v.afloat, v.inside
	j.Berths = s.berths(v)
	set := s.zones(v)
	j.Covers = s.covers(set)
	j.Steps = s.steps(set, classes, j.Place.Water)
	j.Zones = set.zones
}

func (s *section) rinsed(j *Job, ofPlace string) {
	j.Rinse = s.rinse()
	switch {
	case j.Rinse != "" && ofPlace != "":
		s.fail(s.at("rinse"), "`rinse` is said twice, here and under place", "keep one")
	case j.Rinse == "":
		j.Rinse = ofPlace
	}
	if j.Rinse == "" {
		j.Rinse = "tap"
	}
}

// CheckTimezone is the error of a job whose zone nobody knows, neither the
// file nor the flag nor the forecast service. It is nil where the zone is
// known.
func (j *Job) CheckTimezone() error {
	if j.Place.Location != nil {
		return nil
	}
	return fmt.Errorf("no time zone known for the place: write timezone under place, or give --timezone America/New_York")
}
