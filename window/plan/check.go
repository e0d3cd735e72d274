package plan

import (
	"errors"
	"fmt"
)

// ErrInput is an input that contradicts itself.
var ErrInput = errors.New("the plan's input is not sound")

func bad(format string, args ...any) error {
	return fmt.Errorf("%w: %s", ErrInput, fmt.Sprintf(format, args...))
}

// check refuses an input that the search could not read.
func (in *Input) check() error {
	n := len(in.Day)
	if n == 0 || len(in.Voters) == 0 || count(in.Voters) == 0 {
		return bad("no slots or no members")
	}
	if in.Machines < 0 {
		return bad("%d machines", in.Machines)
	}
	for i, d := range in.Day {
		if d < 0 || d >= len(in.Days) || (i > 0 && d < in.Day[i-1]) {
			return bad("slot %d lies on day %d", i, d)
		}
	}
	for _, x := range in.Taken {
		if x.Person < 1 || x.From < 0 || x.To < x.From || x.To > n || x.ToolTo > x.To || x.Machine < 0 || x.Day < 0 || x.Day >= len(in.Days) {
			return bad("person %d is elsewhere from slot %d to %d of day %d", x.Person, x.From, x.To, x.Day)
		}
	}
	for t := range in.Tasks {
		if err := in.checkTask(t, n); err != nil {
			return err
		}
	}
	for _, a := range in.Apart {
		if min(a.Wet, a.Dry) < 0 || max(a.Wet, a.Dry) >= len(in.Tasks) || a.Wet == a.Dry {
			return bad("tasks %d and %d cannot be kept apart", a.Wet, a.Dry)
		}
	}
	for _, x := range in.Soils {
		if min(x.By, x.Film, x.Clean+1) < 0 || max(x.By, x.Clean, x.Film) >= len(in.Tasks) || x.By == x.Film || x.By == x.Clean || x.Clean == x.Film {
			return bad("task %d cannot soil what task %d cleans for task %d", x.By, x.Clean, x.Film)
		}
	}
	for _, x := range in.Repeats {
		if min(x.Wash, x.Film) < 0 || max(x.Wash, x.Film) >= len(in.Tasks) || x.Wash == x.Film || len(x.Since) != n {
			return bad("task %d cannot be washed again before task %d", x.Wash, x.Film)
		}
	}
	for _, x := range in.Downs {
		if min(x.Above, x.Below) < 0 || max(x.Above, x.Below) >= len(in.Tasks) || x.Above == x.Below {
			return bad("task %d cannot run down onto task %d", x.Above, x.Below)
		}
	}
	return nil
}

func (in *Input) checkTask(t, n int) error {
	x, words := &in.Tasks[t], len(in.Voters)
	switch {
	case x.Work < 1 || x.Least < 1 || x.Most < x.Least:
		return bad("task %d: work %d for %d to %d people", t, x.Work, x.Least, x.Most)
	case len(x.State) != n || len(x.Limit) != n || len(x.Go) != n*words || len(x.Marginal) != n*words:
		return bad("task %d: not %d slots", t, n)
	case x.Tail != nil && len(x.Tail) != n, x.Heat != nil && len(x.Heat) != n:
		return bad("task %d: not %d slots of haze or heat", t, n)
	}
	if !within(x.Go, x.Marginal) {
		return bad("task %d: members that are go and not marginal", t)
	}
	nights := 0
	for _, a := range x.After {
		if a.Task < -1 || a.Task >= t || a.Go < a.Hard {
			return bad("task %d: after task %d by %d to %d slots", t, a.Task, a.Hard, a.Go)
		}
		if a.Since != nil && len(a.Since) != n {
			return bad("task %d: not %d slots of salt", t, n)
		}
		if a.Overnight > 0 {
			nights++
		}
	}
	if nights > 1 {
		return bad("task %d: more than one night", t)
	}
	return nil
}
