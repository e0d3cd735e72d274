package app

import (
	"slices"
	"time"

	"dewgap/cmd/internal/book"
	"dewgap/window/job"
)

// skies and instruments are the words that the book uses.
var (
	skies       = []string{"", "clear", "partly", "overcast"}
	instruments = []string{"", "infrared", "contact"}
	tolds       = []string{"", "no", "yes"}
)

// ReadingOf is a reading of the book as the engine takes it.
func ReadingOf(m book.Reading) job.Reading {
	return job.Reading{
		At: m.At, Zone: m.Zone, Product: m.Product, AirC: known(m.AirC), HumidityPct: known(m.HumidityPct),
		WindMS: known(m.WindMS), SurfaceC: known(m.SurfaceC), MoisturePct: known(m.MoisturePct), HazeMin: known(m.HazeMin),
		Sky: job.SkyCover(place(skies, m.Sky)), By: job.Instrument(place(instruments, m.By)),
		Salt: job.Told(place(tolds, m.Salt)), Spray: job.Told(place(tolds, m.Spray)), Wet: told(m.Wet), Sun: told(m.Sun),
	}
}

// toBook is a reading as the book keeps it.
func toBook(m job.Reading, j book.Key) book.Reading {
	return book.Reading{
		Job: j, At: m.At, Zone: m.Zone, Product: m.Product, AirC: some(m.AirC), HumidityPct: some(m.HumidityPct),
		WindMS: some(m.WindMS), SurfaceC: some(m.SurfaceC), MoisturePct: some(m.MoisturePct), HazeMin: some(m.HazeMin),
		Sky: skies[m.Sky], By: instruments[m.By], Salt: tolds[m.Salt], Spray: tolds[m.Spray], Wet: yes(m.Wet), Sun: yes(m.Sun),
	}
}

// place is where a word stands in a list, 0 where it does not.
func place(list []string, word string) int { return max(0, slices.Index(list, word)) }

func known(v *float64) job.Measured {
	if v == nil {
		return job.Measured{}
	}
	return job.Measured{V: *v, Known: true}
}

func some(m job.Measured) *float64 {
	if !m.Known {
		return nil
	}
	return &m.V
}

func told(v *bool) job.Told {
	switch {
	case v == nil:
		return job.NotTold
	case *v:
		return job.Yes
	}
	return job.No
}

func yes(t job.Told) *bool {
	if t == job.NotTold {
		return nil
	}
	v := t == job.Yes
	return &v
}

// freshReadings reads what was measured besides what the past has already.
func freshReadings(r Request, j *job.Job, p *past) ([]job.Reading, error) {
	if r.Readings == nil {
		return nil, nil
	}
	list, err := r.Readings(j)
	if err != nil {
		return nil, err
	}
	have := p.measured()
	var out []job.Reading
	for _, m := range list {
		m.At = m.At.UTC().Truncate(time.Second)
		same := m
		same.Line = 0
		if !slices.Contains(have, same) {
			out, have = append(out, m), append(have, same)
		}
	}
	return out, nil
}
