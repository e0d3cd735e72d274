package app

import (
	"context"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/book"
)

// surfaces holds a week's panels against what was read of them after it. Of
// several weeks by one forecast the last before the reading counts.
func (s *scorer) surfaces(ctx context.Context, x book.Answer, said saidFor, zones answeredZones) error {
	made := s.made[said]
	if made.IsZero() || len(zones) == 0 {
		return nil
	}
	list, err := s.counts(ctx, x, said.boat, x.At)
	if err != nil {
		return err
	}
	for _, m := range list {
		if m.SurfaceC == nil {
			continue
		}
		v, ok := zones.surface(m.Zone, m.At)
		if !ok {
			continue
		}
		key := panelOf{said, m.Key}
		if _, had := s.panels[key]; !had {
			s.panelOrder = append(s.panelOrder, key)
		}
		s.panels[key] = answer.Read{Quantity: "surface", Reading: string(m.Key), Lead: max(0, m.At.Sub(made)), Said: v, Measured: *m.SurfaceC}
	}
	return nil
}

// answeredZones are the panels of a week, hour by hour; those of a move have no
// hours.
type answeredZones []struct {
	Name  string `json:"name"`
	Hours []struct {
		At       time.Time `json:"at"`
		SurfaceC *float64  `json:"surface_c"`
	} `json:"hours"`
}

// surface is what was said of a zone at a moment, between the middles of two
// hours whose means are known.
func (z answeredZones) surface(name string, at time.Time) (float64, bool) {
	const half = 30 * time.Minute
	for _, zone := range z {
		if zone.Name != name {
			continue
		}
		for i := 1; i < len(zone.Hours); i++ {
			a, b := zone.Hours[i-1], zone.Hours[i]
			from, to := a.At.Add(half), b.At.Add(half)
			if a.SurfaceC == nil || b.SurfaceC == nil || at.Before(from) || !at.Before(to) {
				continue
			}
			return *a.SurfaceC + (*b.SurfaceC-*a.SurfaceC)*float64(at.Sub(from))/float64(to.Sub(from)), true
		}
	}
	return 0, false
}

// say notes what an answer says of work that was finished after it.
func (s *scorer) say(ctx context.Context, x book.Answer, w *answered) error {
	done, err := s.app.Book.DoneOf(ctx, x.Job)
	if err != nil {
		return err
	}
	for _, d := range done {
		if !d.At.After(x.At) {
			continue
		}
		if word, ok := answer.WordOn(w.Plan, w.Windows, w.Refusals, d.Step, d.Zone, d.At); ok {
			s.words[d.Key] = word
		}
	}
	return nil
}

// outcomes holds what was said of work against what became of it, job by job.
func (s *scorer) outcomes(ctx context.Context, boat string) error {
	jobs, err := s.app.Book.Jobs(ctx)
	if err != nil {
		return err
	}
	seen := map[answer.BookJob]bool{}
	for _, j := range jobs {
		head, err := s.app.headOf(ctx, s.heads, j.Key)
		if err != nil {
			return err
		}
		head.Timezone = "" // one job may have texts with and without
		if seen[head] || (boat != "" && head.Boat != boat) {
			continue
		}
		seen[head] = true
		done, err := s.app.Book.DoneOf(ctx, j.Key)
		if err != nil {
			return err
		}
		found, err := s.app.Book.OutcomesOf(ctx, j.Key)
		if err != nil {
			return err
		}
		s.judge(done, found)
	}
	return nil
}

// judge takes each piece of work with the last that was found of it.
func (s *scorer) judge(done []book.Done, found []book.Outcome) {
	last := map[book.Key]string{}
	for _, o := range found { // in the order of their times
		if d, ok := workOf(done, o); ok {
			last[d] = o.Found
		}
	}
	for _, d := range done {
		word, said := s.words[d.Key]
		switch what := last[d.Key]; {
		case what != book.FoundOK && what != book.FoundRedo:
			s.facts.Open++
		case !said:
			s.facts.Unsaid++
		default:
			word.Held = what == book.FoundOK
			s.facts.Work = append(s.facts.Work, word)
		}
	}
}

// workOf is the work that an outcome is about: the one that it names, else the
// last on that zone before it.
func workOf(done []book.Done, o book.Outcome) (key book.Key, ok bool) {
	for _, d := range done { // in the order of their times
		if d.Key == o.Done {
			return d.Key, true
		}
		if d.Step == o.Step && d.Zone == o.Zone && !d.At.After(o.At) {
			key, ok = d.Key, true
		}
	}
	return key, ok
}
