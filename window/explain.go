package window

import (
	"cmp"
	"errors"
	"slices"
	"time"

	"dewgap/products"
	"dewgap/window/job"
	"dewgap/window/surface"
	"dewgap/window/verdict"
)

// ErrNoSlot is a moment that the forecast's reach does not hold.
var ErrNoSlot = errors.New("the moment lies outside the time that is looked at")

// Explanation is everything that stands for or against one class on one zone in
// one slot.
type Explanation struct {
	Class   products.Class
	Zone    int // index into the job's zones
	At      time.Time
	State   verdict.State   // as the row of the week has it, the shortest block included
	Binding verdict.Binding // of this slot
	// Within is, of a slot that the shortest block alone refuses, its state in a longer
	// visit; NoGo of all others.
	Within verdict.State
	// Limits are the yes/no limits that are broken in any deciding member, then all
	// others, with the best state that the asked share of the members reaches: medians
	// over those that reach no better one.
	Limits []verdict.Held
}

// Explain holds every limit of a class against the slot of at on one zone of the
// job. Where a step of the job uses the class on the zone, it is judged as that
// step; else as one more step at the job's end, which a zone that the class is not
// for refuses by its finish, as in a Season. zone is an index into the job's zones
// and class an id that in.Classes has. The errors are those of Evaluate, and ErrNoSlot.
func Explain(in Input, zone int, class string, at time.Time) (*Explanation, error) {
	j := *in.Job
	step := slices.IndexFunc(j.Steps, func(s job.Step) bool { return s.With == class && slices.Contains(s.On, zone) })
	if step < 0 {
		c, _ := in.Classes.Class(class)
		step = len(j.Steps)
		j.Steps = append(slices.Clone(j.Steps), job.Step{Name: c.Do, Do: c.Do, With: class, On: []int{zone}, Coats: 1})
		in.unasked = true
	}
	in.Job = &j
	e, err := newEvaluation(in)
	if err != nil {
		return nil, err
	}
	slot := int(at.Sub(e.grid.Start) / surface.Slot)
	if at.Before(e.grid.At(e.result.From)) || slot >= e.result.To {
		return nil, ErrNoSlot
	}
	e.weathers()
	e.heatIndices()
	w := e.alone(zone)
	c := w.class(j.Steps[step])
	x := &Explanation{Class: c, Zone: zone, At: e.grid.At(slot), Limits: w.explain(step, c, slot)}
	t := w.trial(step, c)
	w.verdicts([]*trial{t})
	judged := w.judged(t)
	x.State, x.Binding = judged.at(slot)
	x.Within = judged.within(slot)
	if x.Binding.Limit != verdict.Block && x.Binding.Limit != verdict.Data {
		x.Binding = w.shown(t).Binding(slot)
	}
	return x, nil
}

// alone works out one zone with what else bears on it: what drips onto it and, where
// films hang on the temperature of panels, those.
func (e *evaluation) alone(zone int) *zoneWork {
	zones := e.Job.Zones
	if e.films() {
		e.hours()
		e.result.Zones = make([]Zone, len(zones))
		return e.panels()[e.twin[zone]]
	}
	reach := reaching(zones, drains)
	for level := range e.level[zone] {
		for i := range zones {
			if e.level[i] == level && reach[i][zone] {
				newZoneWork(e, i).drain()
			}
		}
	}
	return newZoneWork(e, zone)
}

// at is the state of a slot and what decides it there.
func (j *judged) at(slot int) (verdict.State, verdict.Binding) {
	for _, w := range j.windows {
		if w.From <= slot && slot < w.To {
			return w.State, w.Binding
		}
	}
	for _, r := range j.refusals {
		if r.From <= slot && slot < r.To {
			return r.State, r.Binding
		}
	}
	return verdict.Unknown, verdict.Binding{Limit: verdict.Data}
}

// within is the state of a slot in a longer visit, where it is refused for one of its own.
func (j *judged) within(slot int) verdict.State {
	for _, w := range j.short {
		if w.From <= slot && slot < w.To {
			return w.State
		}
	}
	return verdict.NoGo
}

// explain joins the deciding members' limits; where something was learned, held
// against those without it.
func (w *zoneWork) explain(step int, c products.Class, slot int) []verdict.Held {
	broken, measured := w.limits(step, c, slot)
	for _, o := range w.others() {
		also, _ := o.limits(step, c, slot)
		broken = added(broken, also)
	}
	if w.alike.plain != nil {
		_, plain := w.alike.plain.limits(step, c, slot)
		_, supported := w.alike.supported.limits(step, c, slot)
		measured = heldLimits(plain, supported, measured)
	}
	return append(broken, measured...)
}

// limits are the yes/no limits that any deciding member breaks, and all others.
func (w *zoneWork) limits(step int, c products.Class, slot int) (broken, measured []verdict.Held) {
	t := w.trial(step, c)
	var members [][]verdict.Held
	for m := range w.deciding() {
		more, all := t.judge.Explain(w.see(m, t), slot)
		broken = added(broken, more)
		members = append(members, all)
	}
	for k := range members[0] {
		measured = append(measured, joined(members, k, w.sure()))
	}
	return broken, measured
}

// added is the list with those of more that it has not.
func added(list, more []verdict.Held) []verdict.Held {
	for _, h := range more {
		if !slices.Contains(list, h) {
			list = append(list, h)
		}
	}
	return list
}

// joined is limit k over all members: of a cure that some find too cold and
// others too dry, what most of those find that the state hangs on.
func joined(members [][]verdict.Held, k int, sure float64) verdict.Held {
	var known []verdict.Held
	var states []verdict.State
	for _, m := range members {
		if m[k].State != verdict.Unknown {
			known, states = append(known, m[k]), append(states, m[k].State)
		}
	}
	if len(known) == 0 || float64(len(known)) < sure*float64(len(members)) {
		h := members[0][k]
		h.Known, h.State = false, verdict.Unknown
		return h
	}
	slices.Sort(states)
	// The state that the asked share reaches: the last of the best so many.
	need := int(sure*float64(len(states)) + 0.999999)
	state := states[min(max(need, 1), len(states))-1]
	known = noBetter(ofOneKind(known, state), state)
	slices.SortFunc(known, func(a, b verdict.Held) int { return cmp.Compare(a.Value, b.Value) })
	h, other := known[len(known)/2], known[(len(known)-1)/2]
	h.State, h.Value = state, (other.Value+h.Value)/2
	return h
}

// noBetter keeps those that deny the state better than this one, as the binding of a run
// does: the median of all might lie inside the bound that is said to be passed.
func noBetter(known []verdict.Held, state verdict.State) []verdict.Held {
	return slices.DeleteFunc(known, func(h verdict.Held) bool { return h.State < state })
}

// ofOneKind keeps those that hold in one way: that of most of those that are no
// better than the state.
func ofOneKind(known []verdict.Held, state verdict.State) []verdict.Held {
	way := verdict.Most(func(yield func(verdict.Way) bool) {
		for _, h := range known {
			if h.State >= state && !yield(h.Way) {
				return
			}
		}
	})
	return slices.DeleteFunc(known, func(h verdict.Held) bool { return h.Way != way })
}
