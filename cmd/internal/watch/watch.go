// Package watch asks again and again how the jobs stand, and tells of it when an
// answer changes: on the terminal, to a command, by mail, or to a webhook.
//
// # What counts as a change
//
// A [Digest] is what people go by: the verdict, the plan's state, confidence and
// blocks, the films that have to stay dry, and the first window of each step. Ages and figures are not in it. It is
// compared with what was last told, not with what was last seen, so that a drift by
// small steps is told once it amounts to something: a block that starts or ends half
// an hour elsewhere or is of another state, a confidence 20 points off, a first window
// two hours elsewhere. Work that vanishes from a plan was done, or taken out of the job
// by a person, who knows. Work that has begun is not told to have moved within its day.
// Rain that comes onto a film which has to stay dry is told first, and rain that stays
// away after all.
//
// # Silence
//
// By night nobody is woken: what can wait is told in the morning, if it is still so.
// Changes that touch neither today nor tomorrow are told once a day.
//
// While a saved forecast serves, a lost connection is not worth a word. When answers
// become unknown or too old it is told once, and once more when they are back. Each
// sink is remembered by itself, on the disk: a restart does not tell again, and what
// could not be delivered is tried again.
//
// # Time
//
// The loop wakes at short ticks and compares the time of day, for a timer stands still
// while a computer sleeps. A clock that was set back makes every job due at once.
//
// The package knows the world by small ports: [Job] asks, [Sink] tells, [Memory]
// remembers, and the clock is a function.
package watch

import (
	"context"
	"errors"
	"fmt"
	"time"

	"dewgap/cmd/internal/answer"
)

// Job is something to be watched.
type Job interface {
	// Name is the job's file, absolute: it is remembered by that.
	Name() string
	// Ask answers for now. held is the plan that people were last told, nil for none;
	// the answer's own plan should depart from it as little as it can.
	Ask(ctx context.Context, now time.Time, held *answer.Plan) Asked
}

// Asked is what came of asking.
type Asked struct {
	Week *answer.Week // nil with a Failure
	// Moves are what became of the blocks of the plan that was held, with the reasons.
	Moves   []answer.BlockChange
	Failure *answer.Failure // nil with a Week
	Status  string          // with a Failure: answer.WatchOffline, WatchBadJob or WatchOver
	// Again is from when on the forecast service may be asked again; zero: not known.
	Again time.Time
	// Keep records the answer, once it is told; nil: nothing to do.
	Keep func(context.Context) error
	// Close ends the use of what was asked, after Keep; nil: nothing to do.
	Close func()
}

// Sink is somebody to be told.
type Sink interface {
	// Name tells sinks apart on the disk and in messages; no secrets.
	Name() string
	// Tell tells. Its error says what to do, and holds no secrets.
	Tell(ctx context.Context, news *answer.Watch) error
}

// Memory keeps between runs what was told.
type Memory interface {
	Load() (State, error)
	Save(State) error
}

// Limits of time.
const (
	ShortestEvery = 5 * time.Minute
	LongestEvery  = 24 * time.Hour
	// DefaultTick is how often the time of day is looked at.
	DefaultTick = 20 * time.Second
	// soonest is how long after a check the next one comes at the earliest, whatever
	// a service says.
	soonest = 5 * time.Minute
	// setBack is a step back of the clock beyond what keeping it right takes.
	setBack = time.Minute
	// longestTell is how long a sink may take.
	longestTell = 2 * time.Minute
)

// Watcher watches jobs. All fields but Trouble are required.
type Watcher struct {
	Jobs   []Job
	Sinks  []Sink
	Memory Memory
	Now    func() time.Time // time of day
	Every  time.Duration    // between two checks at most, ShortestEvery to LongestEvery
	Tick   time.Duration
	// Trouble is told what went wrong beside the answers; nil is nobody.
	Trouble func(what string, err error)

	state State
}

// ErrNoAnswer is that a job had no answer or that somebody could not be told.
var ErrNoAnswer = errors.New("not every job was answered and told")

// Once checks every job once and tells what has changed. The error is ErrNoAnswer, or
// that of a context that ended.
func (w *Watcher) Once(ctx context.Context) error {
	w.recall()
	good := true
	for _, j := range w.Jobs {
		if err := ctx.Err(); err != nil {
			return err
		}
		_, ok := w.check(ctx, j)
		good = good && ok
	}
	if !good {
		return ErrNoAnswer
	}
	return nil
}

// Run watches until the context ends, which is no error; that of Check is one.
func (w *Watcher) Run(ctx context.Context) error {
	if err := w.Check(); err != nil {
		return err
	}
	w.recall()
	due := make([]time.Time, len(w.Jobs)) // zero: at once
	tick := time.NewTicker(w.Tick)
	defer tick.Stop()
	last := w.wall()
	for {
		now := w.wall()
		back := now.Before(last.Add(-setBack))
		for i, j := range w.Jobs {
			// A time that lies further ahead than it could is of a clock that was wrong.
			if back || due[i].After(now.Add(w.Every)) || !now.Before(due[i]) {
				due[i], _ = w.check(ctx, j)
			}
			if ctx.Err() != nil {
				return nil
			}
		}
		last = now
		select {
		case <-ctx.Done():
			return nil
		case <-tick.C:
		}
	}
}

// wall is the time of day without the monotonic clock, which stands still in sleep.
func (w *Watcher) wall() time.Time { return w.Now().Round(0) }

// check asks about one job, tells who has to be told, and says when to ask again; good
// is false where there was no answer or somebody could not be told.
func (w *Watcher) check(ctx context.Context, j Job) (next time.Time, good bool) {
	now := w.wall()
	asked := j.Ask(ctx, now, w.state.Plans[j.Name()])
	if asked.Close != nil {
		defer asked.Close()
	}
	if ctx.Err() != nil {
		return now, false // nothing is to be learnt from what was broken off
	}
	seen := see(asked, j.Name(), now)
	told, failed := w.tell(ctx, seen)
	if told && seen.status == answer.WatchOK {
		w.state.hold(j.Name(), asked.Week.Plan)
	}
	if told && asked.Keep != nil {
		if err := asked.Keep(ctx); err != nil {
			w.trouble("this answer is not in the book", err)
		}
	}
	if err := w.Memory.Save(w.state); err != nil {
		w.trouble("what was told cannot be remembered", err)
	}
	good = asked.Week != nil && !failed
	if !good {
		return now.Add(min(soonest, w.Every)), false
	}
	return w.next(now, asked.Again), true
}

// next is when to ask again: as soon as the service may have news, but within Every.
func (w *Watcher) next(now, again time.Time) time.Time {
	latest := now.Add(w.Every)
	if again.IsZero() || again.After(latest) {
		return latest
	}
	if least := now.Add(soonest); again.Before(least) {
		return least
	}
	return again
}

// tell tells every sink what is news to it; told is whether anybody was.
func (w *Watcher) tell(ctx context.Context, s seen) (told, failed bool) {
	for _, sink := range w.Sinks {
		was := w.state.of(s.file, sink.Name())
		news, is := decide(was, s)
		if news != nil {
			if err := tellOne(ctx, sink, news); err != nil {
				w.trouble(sink.Name()+" could not be told", err)
				failed = true
				continue // it is compared anew next time with what it knows
			}
			told = told || s.week != nil
		}
		w.state.set(s.file, sink.Name(), is)
	}
	return told, failed
}

func tellOne(ctx context.Context, sink Sink, news *answer.Watch) error {
	ctx, stop := context.WithTimeout(ctx, longestTell)
	defer stop()
	return sink.Tell(ctx, news)
}

// recall reads what was told before. Without it, all is told anew.
func (w *Watcher) recall() {
	s, err := w.Memory.Load()
	if err != nil {
		w.trouble("what was told before cannot be read, so that all is told anew", err)
		s = State{}
	}
	w.state = s
}

func (w *Watcher) trouble(what string, err error) {
	if w.Trouble != nil {
		w.Trouble(what, err)
	}
}

// Check tells what is wrong with the times.
func (w *Watcher) Check() error {
	switch {
	case w.Every < ShortestEvery || w.Every > LongestEvery:
		return fmt.Errorf("every %s is out of range: from %s to %s", w.Every, ShortestEvery, LongestEvery)
	case w.Tick <= 0:
		return errors.New("the tick is not above 0")
	}
	return nil
}
