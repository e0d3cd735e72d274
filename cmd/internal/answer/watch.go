package answer

import "time"

// WatchFormat is the format of what dewgap watch tells.
const WatchFormat = "dewgap.watch.v1"

// The kinds of news.
const (
	WatchFirst   = "first"   // the job is watched from now on
	WatchChanged = "changed" // the answer is another
	WatchLost    = "lost"    // there is no answer to go by
	WatchBack    = "back"    // there is one again
	WatchEnded   = "ended"   // the job's last day is over
)

// What an answer is worth.
const (
	WatchOK      = "ok"
	WatchStale   = "stale"   // the forecast is too old for today
	WatchUnknown = "unknown" // a needed value is missing, or the forecast too old for all
	WatchOffline = "offline" // no forecast was to be had
	WatchBadJob  = "job"     // the job, or something else that a person wrote, cannot be read
	WatchOver    = "over"    // the job's last day is over
)

// Watch is what dewgap watch tells when an answer changes.
type Watch struct {
	Format  string        `json:"format"` // dewgap.watch.v1
	Kind    string        `json:"kind"`   // first, changed, lost, back or ended
	At      time.Time     `json:"at"`     // when it was found, with the place's offset where that is known
	File    string        `json:"file"`   // the job's
	Job     string        `json:"job"`    // "" where it could not be read
	Boat    string        `json:"boat"`
	Place   *Place        `json:"place"`   // null where the job could not be read
	Status  string        `json:"status"`  // ok, stale, unknown, offline, job or over
	Verdict string        `json:"verdict"` // of the week; "" where there is no answer
	Text    string        `json:"text"`    // how things stand, in one line, SI
	Changes []WatchChange `json:"changes"` // since the last time that it was told
	Plan    *Plan         `json:"plan"`    // null where there is no answer
	// Limits are those of your own label, in words, that are looser than the hard bounds of
	// their class, and that the verdict goes by.
	Limits   []string `json:"limits,omitempty"`
	Failure  *Failure `json:"failure"` // null where there is an answer
	Attrib   string   `json:"attribution"`
	Deferral string   `json:"deferral"`
	Answer   *Week    `json:"answer,omitempty"` // the whole week; for commands only
}

// WatchChange is one thing that has changed.
type WatchChange struct {
	What   string `json:"what"` // film, verdict, plan, confidence, end, block or window
	Step   string `json:"step"` // "" unless a film, a block or a window
	Zone   string `json:"zone"` // "" unless a film or a block
	Before string `json:"before"`
	After  string `json:"after"`
	Why    string `json:"why"`  // "" where nobody knows
	Text   string `json:"text"` // all of it in words
}

// WatchDeferral ends every message.
const WatchDeferral = "A reminder, not a clearance: local rules and licensed practice decide."
