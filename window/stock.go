package window

import (
	"slices"
	"time"

	"dewgap/window/job"
)

// Stock is what of the work done still stands after the rain, and the job as it is
// left to do. Every answer takes it by [TakeStock], so that none of them counts as
// done what another has spoiled.
type Stock struct {
	Given *job.Job // as it was given, with what is done
	// Job is the one that is left: with what rain spoiled taken back. Its zones past
	// Origin's own are parts of zones to be redone.
	Job    *job.Job
	Origin []int // per zone of Job: the zone of the job that was given
	Rain   []Rain
	Fates  []ZoneFate // zones and steps of the job that was given
	Undone []Undone
	Taken  []Taken  // as done, though nobody logged it
	Early  []Undone // of Undone: washed, wiped or sealed before the last compounding or polish
	Stale  []Undone // of Undone: washed or wiped too long before now for what comes next
}

// Bad is work that was looked at and found in need of doing again, all of it.
type Bad struct {
	Step, Zone int // of the job that was given
	At         time.Time
	Share      float64 // of the zone on which it had been done, 0–1; 0: not known
}

// Whole is the name of the zone that a zone of the stock's job is of, and whether it
// is a part of it to be redone.
func (s *Stock) Whole(zone int) (name string, part bool) {
	if s == nil || zone >= len(s.Origin) || s.Origin[zone] == zone {
		return "", false
	}
	return s.Given.Zones[s.Origin[zone]].Name, true
}

// Owed reports whether a step on a zone of the stock's job is there, or there again,
// because something done has been spoiled.
func (s *Stock) Owed(step, zone int) bool {
	if s == nil {
		return false
	}
	x := s.Job.Steps[step]
	given, ok := s.Given.Step(x.Name)
	if zone >= len(s.Given.Zones) || !ok && slices.Contains(x.On, zone) {
		return true
	}
	return slices.ContainsFunc(s.Undone, func(u Undone) bool { return ok && u.Step == given && u.Zone == zone && u.Whole })
}

// Spoiled are the fates by which work counts as done no longer. What is to be redone of
// a step on a zone is one part, whichever rain and whatever haze it was.
func (s *Stock) Spoiled() []ZoneFate {
	var out []ZoneFate
	for _, f := range s.Fates {
		if f.Fate < Rewash {
			continue
		}
		i := slices.IndexFunc(out, func(x ZoneFate) bool {
			return f.Fate == Redo && x.Fate == Redo && x.Zone == f.Zone && x.Step == f.Step
		})
		if i < 0 {
			out = append(out, f)
			continue
		}
		x := &out[i]
		x.Share, x.AreaM2 = x.Share+f.Share, x.AreaM2+f.AreaM2
		if s.Rain[f.Rain].From.After(s.Rain[x.Rain].From) {
			x.Rain = f.Rain
		}
	}
	return out
}

// Washes reports whether a zone is to be washed anew because it was wetted while it
// lay bare.
func (s *Stock) Washes(zone int) bool {
	inserted := slices.ContainsFunc(s.Job.Steps, func(x job.Step) bool {
		_, given := s.Given.Step(x.Name)
		return !given && x.Do == "wash" && slices.Contains(x.On, zone)
	})
	return inserted || slices.ContainsFunc(s.Undone, func(u Undone) bool { return u.Fate == Rewash && u.Zone == zone })
}

// TakeStock tells what rain, or a second look, has made of the work done, and takes
// back what is spoiled. Of the days on which nobody told of rain the forecast's own
// counts, as far as it reaches back. Its errors are those of [Evaluate].
func TakeStock(in MoveInput) (*Stock, error) {
	k := &taker{in: in}
	k.out = Stock{Given: in.Job, Rain: in.Rain}
	k.recall()
	k.uncover()
	k.machined()
	k.imply()
	k.early()
	if err := k.spoil(); err != nil {
		return nil, err
	}
	k.takeBack()
	k.out.Job = k.fixed
	return &k.out, nil
}

// taker takes stock.
type taker struct {
	in    MoveInput
	done  []Worked // all that is done
	fixed *job.Job // with the spoiled work taken back
	out   Stock
}

// recall makes the list of all work done, of what was told with its times and of
// what the job alone knows, and brings both into a job of the taker's own.
func (k *taker) recall() {
	k.fixed = copyOf(k.in.Job)
	k.done = slices.Clone(k.in.Worked)
	for z := range k.fixed.Zones {
		for s, step := range k.fixed.Steps {
			share, last := 0.0, time.Time{}
			for _, w := range k.in.Worked {
				if w.Zone == z && w.Step == s {
					if share += w.Share; w.To.After(last) {
						last = w.To
					}
				}
			}
			d, known := doneOn(k.fixed, z, step)
			switch {
			case share > 0 && CoveredBy(step, d.Share) < min(share, 1):
				setDone(k.fixed, z, step.Name, last, min(share, 1))
			case share == 0 && known && d.Share > 0 && slices.Contains(step.On, z):
				k.done = append(k.done, Worked{Step: s, Zone: z, To: d.At, Share: CoveredBy(step, d.Share)})
			}
		}
	}
}

// spoil tells the fates under the weather since the work began.
func (k *taker) spoil() error {
	if len(k.done) == 0 {
		return nil
	}
	loc, began := k.in.Location, k.in.Now
	for _, w := range k.done {
		if at := w.From; !at.IsZero() && at.Before(began) {
			began = at
		} else if !w.To.IsZero() && w.To.Before(began) {
			began = w.To
		}
	}
	for _, r := range k.in.Rain {
		if r.From.Before(began) {
			began = r.From
		}
	}
	if earliest := k.in.Now.Add(-pastHours * time.Hour); began.Before(earliest) {
		began = earliest
	}
	then := k.in.Input
	j := *k.fixed
	j.From, j.By = job.Date{}, job.DateOf(k.in.Now.In(loc)).Next().Next() // as far as it may take to dry
	// When a rain ended does not tell when it began.
	j.Since.HasRain = false
	then.Rained, then.RainedUntil = k.in.Rain, k.in.Now
	then.Job, then.Now, then.Dressed = &j, began, nil
	r, err := Evaluate(then)
	if err != nil {
		return err
	}
	if k.in.Rain == nil || len(k.in.Rain) > 0 { // else it is said that none fell
		k.out.Rain = withToldDays(k.in.Rain, ForecastRain(r, began, k.in.Now), loc)
	}
	k.out.Fates = Spoil(SpoilInput{Job: k.fixed, Classes: k.in.Classes, Worked: k.done, Rain: k.out.Rain, Result: r})
	return nil
}

// withToldDays is the rain that somebody saw, and of the other days that of forecasts:
// whoever tells of a day's rain has seen what fell on it.
func withToldDays(rain, forecast []Rain, loc *time.Location) []Rain {
	days := toldDays(rain, loc)
	out := slices.DeleteFunc(slices.Concat(rain, forecast), func(r Rain) bool {
		return !r.Observed && days[job.DateOf(r.From.In(loc))]
	})
	slices.SortStableFunc(out, func(a, b Rain) int { return a.From.Compare(b.From) })
	return out
}
