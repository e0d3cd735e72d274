package watch

import (
	"slices"
	"time"

	"dewgap/cmd/internal/answer"
)

// Told is what a sink knows of a job. The zero Told knows nothing.
type Told struct {
	Status string    `json:"status"` // answer.WatchOK and its like, "" for nothing
	Reason string    `json:"reason"` // why there is no answer
	At     time.Time `json:"at"`     // when it was last told
	Good   time.Time `json:"good"`   // when there last was an answer to go by
	Digest Digest    `json:"digest"` // of the last such answer that was told
}

// seen is what was found of a job.
type seen struct {
	file    string
	now     time.Time
	status  string
	week    *answer.Week // nil without an answer
	moves   []answer.BlockChange
	failure *answer.Failure
	digest  Digest
}

// see makes sense of what came of asking.
func see(a Asked, file string, now time.Time) seen {
	now = now.Truncate(time.Second)
	s := seen{file: file, now: now, week: a.Week, moves: a.Moves, failure: a.Failure, status: a.Status}
	if a.Week == nil {
		return s
	}
	s.now = now.In(a.Week.Now.Location())
	s.status, s.digest = answer.WatchOK, DigestOf(a.Week)
	switch {
	case a.Week.Verdict == answer.Unknown:
		s.status = answer.WatchUnknown
	case a.Week.Source.Stale:
		s.status = answer.WatchStale
	}
	return s
}

// offlineGrace is how long after the last answer a lost connection is not worth a
// word: as long as a forecast is believed for today.
const offlineGrace = 12 * time.Hour

// decide compares what was found with what a sink knows: what to tell it, nil for
// nothing, and what it knows then.
func decide(was Told, s seen) (*answer.Watch, Told) {
	if s.week == nil && !was.At.IsZero() { // this computer's clock may not be that of the place
		s.now = s.now.In(was.At.Location())
	}
	news, is := compare(was, s)
	if news == nil || !waits(was, s, news) {
		return news, is
	}
	if s.status == answer.WatchOK {
		was.Good = s.now
	}
	return nil, was
}

// The night, by the clock at the place, in which nobody is woken for what can wait
// (common practice).
const (
	nightFrom = 22 // o'clock
	nightTo   = 5
	earlyWork = 2 * time.Hour // after it: who begins by then has set out before a word at its end
)

// waits reports whether news can wait, as rain onto fresh work cannot: until the night is
// over, unless it touches early work, and until the next day where something was told today
// already and this is of later work than tomorrow's. What comes to nothing meanwhile is
// never told.
func waits(was Told, s seen, news *answer.Watch) bool {
	y, m, d := s.now.Date()
	h := s.now.Hour()
	switch {
	case was.At.IsZero(), news.Kind == answer.WatchFirst, s.status == answer.WatchBadJob: // somebody is at it just now
		return false
	case rainComes(was.Digest.Films, s.digest.Films, s.now):
		return false
	case h >= nightFrom, h < nightTo:
		if h >= nightFrom {
			d++
		}
		return !touchesEarly(was, s, time.Date(y, m, d, nightTo, 0, 0, 0, s.now.Location()))
	case news.Kind != answer.WatchChanged, !sameDay(was.At, s.now):
		return false
	}
	before := time.Date(y, m, d+2, 0, 0, 0, 0, s.now.Location())
	a, b := was.Digest.until(before), s.digest.until(before)
	return len(Diff(a, b, s.now))+len(Diff(b, a, s.now)) == 0 // work that is put off is gone from b
}

// touchesEarly reports whether there is work by the end of the night, or whether that which
// begins soon after it has changed.
func touchesEarly(was Told, s seen, morning time.Time) bool {
	ahead := func(list []Block, by time.Time) []Block {
		return slices.DeleteFunc(slices.Clone(list), func(b Block) bool { return b.From.After(by) || !b.To.After(s.now) })
	}
	if len(ahead(was.Digest.Blocks, morning))+len(ahead(s.digest.Blocks, morning)) > 0 {
		return true
	}
	if s.status != answer.WatchOK {
		return false
	}
	a, b := ahead(was.Digest.Blocks, morning.Add(earlyWork)), ahead(s.digest.Blocks, morning.Add(earlyWork))
	return len(diffBlocks(a, b, s.now))+len(diffBlocks(b, a, s.now)) > 0 // work that is put off is gone from b
}

// compare tells what is news, whatever the hour.
func compare(was Told, s seen) (*answer.Watch, Told) {
	is := Told{Status: s.status, At: s.now, Good: was.Good, Digest: was.Digest}
	if s.failure != nil {
		is.Reason = s.failure.Error
	}
	if s.status == answer.WatchOK {
		return decideOK(was, s, is)
	}
	kind := answer.WatchLost
	if s.status == answer.WatchOver {
		kind = answer.WatchEnded
	}
	wet := wetFilms(was, s)
	if quiet(was, s, is.Reason) {
		if len(wet) == 0 {
			return nil, was
		}
		kind, is.Status, is.Reason = answer.WatchChanged, was.Status, was.Reason
	}
	n := newsOf(kind, s)
	if len(wet) > 0 {
		n.Changes, is.Digest.Films = append(n.Changes, wet...), s.digest.Films
	}
	return n, is
}

// wetFilms tells of rain onto fresh work by an answer that is not good enough to go by
// otherwise. That rain stays away is not believed of it: its rain may be unknown.
func wetFilms(was Told, s seen) []answer.WatchChange {
	wet := slices.DeleteFunc(slices.Clone(s.digest.Films), func(f Film) bool { return f.Rain.IsZero() })
	return diffFilms(was.Digest.Films, wet, s.now)
}

// decideOK decides where there is an answer to go by.
func decideOK(was Told, s seen, is Told) (*answer.Watch, Told) {
	is.Good = s.now
	is.Digest = withBegun(s.digest, was.Digest, s.now)
	if was.Good.IsZero() { // nothing to compare with
		n := newsOf(answer.WatchFirst, s)
		n.Changes = append(n.Changes, diffFilms(was.Digest.Films, s.digest.Films, s.now)...)
		return n, is
	}
	changes := byWeight(withReasons(Diff(was.Digest, s.digest, s.now), s.moves), s.week)
	kind := answer.WatchChanged
	if was.Status != answer.WatchOK {
		kind = answer.WatchBack
	} else if len(changes) == 0 {
		was.Good, was.Digest = s.now, rolled(was.Digest, s.digest, s.now)
		return nil, was
	}
	n := newsOf(kind, s)
	n.Changes = append(n.Changes, changes...)
	if len(changes) == 0 {
		is.Digest = rolled(was.Digest, s.digest, s.now)
	}
	return n, is
}

// quiet reports whether the lack of an answer has been told, or is not worth a word.
func quiet(was Told, s seen, reason string) bool {
	if s.status == was.Status {
		return s.status != answer.WatchBadJob || reason == was.Reason
	}
	switch s.status {
	case answer.WatchOffline:
		fresh := was.Status == answer.WatchOK && s.now.Sub(was.Good) < offlineGrace && !s.now.Before(was.Good)
		return fresh || was.Status == answer.WatchStale || was.Status == answer.WatchUnknown
	case answer.WatchStale: // a little better than nothing is not back yet
		return was.Status == answer.WatchUnknown || was.Status == answer.WatchOffline
	case answer.WatchUnknown:
		return was.Status == answer.WatchOffline
	}
	return false
}

// newsOf is the news without its changes.
func newsOf(kind string, s seen) *answer.Watch {
	n := &answer.Watch{
		Format: answer.WatchFormat, Kind: kind, At: s.now, File: s.file, Status: s.status, Failure: s.failure,
		Changes: []answer.WatchChange{}, Deferral: answer.WatchDeferral,
	}
	if w := s.week; w != nil {
		place := w.Place
		n.Job, n.Boat, n.Place, n.Verdict, n.Plan, n.Answer, n.Attrib = w.Job, w.Boat, &place, w.Verdict, w.Plan, w, w.Source.Attribution
		n.Limits = w.OwnLimits()
	}
	n.Text = standing(s)
	return n
}
