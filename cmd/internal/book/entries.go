package book

import "time"

// Entry is what all that a person records has in common.
type Entry struct {
	Row
	// Supersedes is the entry of the same kind that this one corrects.
	Supersedes Key `json:"supersedes,omitempty"`
	// Void: what is superseded did not happen, and nothing takes its place.
	Void bool `json:"void,omitempty"`
	// Again counts equal entries of one second whose forerunner was corrected.
	// The book sets it.
	Again int64 `json:"again,omitempty"`
}

func (*Entry) dated() bool { return true }

func (e *Entry) entry() *Entry { return e }

func (e *Entry) corrections() []field {
	return []field{may("supersedes", ref{&e.Supersedes}), may("void", &e.Void), may("again", &e.Again)}
}

// check of what the entries have in common.
func (e *Entry) common(table string) error {
	if e.Void && e.Supersedes == "" {
		return invalid(table, "void needs the entry that it supersedes")
	}
	if e.Again < 0 {
		return invalid(table, "again is negative")
	}
	return nil
}

// Done is work that was done on a zone.
type Done struct {
	Entry
	Job     Key       `json:"job"`
	Step    string    `json:"step"` // the step's name in the job
	Zone    string    `json:"zone"`
	Share   float64   `json:"share"`          // of the zone, all that is done of it so far, 0 < share ≤ 1
	Begun   time.Time `json:"begun,omitzero"` // zero if not said
	At      time.Time `json:"at"`             // when it was finished so far
	Product string    `json:"product,omitempty"`
	By      string    `json:"by,omitempty"` // who did it
	Note    string    `json:"note,omitempty"`
}

func (*Done) table() string { return "done" }

func (d *Done) fields() []field {
	return append([]field{
		must("job", ref{&d.Job}), must("step", &d.Step), must("zone", &d.Zone), may("share", &d.Share),
		may("begun", moment{&d.Begun}), must("at", moment{&d.At}), may("product", &d.Product),
		may("by", &d.By), may("note", &d.Note),
	}, d.corrections()...)
}

func (d *Done) check() error {
	if d.Share <= 0 || d.Share > 1 {
		return invalid(d.table(), "share %g is not above 0 and at most 1", d.Share)
	}
	return d.common(d.table())
}

// Reading is what somebody measured or saw. What was not looked at is nil or "".
type Reading struct {
	Entry
	Job         Key       `json:"job"`
	At          time.Time `json:"at"`
	Until       time.Time `json:"until,omitzero"` // of what lasted, such as rain; zero: a moment
	Zone        string    `json:"zone,omitempty"` // "": of the air and the place
	Product     string    `json:"product,omitempty"`
	AirC        *float64  `json:"air_c,omitempty"`
	HumidityPct *float64  `json:"humidity_pct,omitempty"`
	WindMS      *float64  `json:"wind_m_s,omitempty"`
	SurfaceC    *float64  `json:"surface_c,omitempty"`
	MoisturePct *float64  `json:"moisture_pct,omitempty"` // of wood
	HazeMin     *float64  `json:"haze_min,omitempty"`     // minutes to haze on the test patch
	RainMM      *float64  `json:"rain_mm,omitempty"`      // between At and Until
	Rain        *bool     `json:"rain,omitempty"`
	Wet         *bool     `json:"wet,omitempty"`
	Sun         *bool     `json:"sun,omitempty"`
	Sky         string    `json:"sky,omitempty"`
	Spray       string    `json:"spray,omitempty"` // yes, no or unknown
	Salt        string    `json:"salt,omitempty"`  // yes, no or unknown
	By          string    `json:"by,omitempty"`    // the instrument or the person
	Note        string    `json:"note,omitempty"`
	Flags       []string  `json:"flags,omitzero"`    // what seemed odd when it was taken down
	Refused     string    `json:"refused,omitempty"` // why it was not believed, "" if it was
}

func (*Reading) table() string  { return "readings" }
func (r *Reading) check() error { return r.common(r.table()) }

func (r *Reading) fields() []field {
	return append([]field{
		must("job", ref{&r.Job}), must("at", moment{&r.At}), may("until", moment{&r.Until}),
		may("zone", &r.Zone), may("product", &r.Product), may("air_c", &r.AirC),
		may("humidity_pct", &r.HumidityPct), may("wind_m_s", &r.WindMS), may("surface_c", &r.SurfaceC),
		may("moisture_pct", &r.MoisturePct), may("haze_min", &r.HazeMin), may("rain_mm", &r.RainMM),
		may("rain", &r.Rain), may("wet", &r.Wet), may("sun", &r.Sun), may("sky", &r.Sky),
		may("spray", &r.Spray), may("salt", &r.Salt), may("by", &r.By), may("note", &r.Note),
		may("flags", list[[]string]{&r.Flags}), may("refused", &r.Refused),
	}, r.corrections()...)
}

// What an Outcome found.
const (
	FoundOK      = "ok"
	FoundInspect = "inspect"
	FoundRedo    = "redo"
)

// Outcome is what became of work, found later.
type Outcome struct {
	Entry
	Job     Key       `json:"job"`
	Done    Key       `json:"done,omitempty"` // the work that it is about, if that is in the book
	Step    string    `json:"step"`
	Zone    string    `json:"zone"`
	Product string    `json:"product,omitempty"`
	Found   string    `json:"found"` // FoundOK, FoundInspect or FoundRedo
	At      time.Time `json:"at"`    // when it was looked at
	By      string    `json:"by,omitempty"`
	Note    string    `json:"note,omitempty"`
}

func (*Outcome) table() string { return "outcomes" }

func (o *Outcome) fields() []field {
	return append([]field{
		must("job", ref{&o.Job}), may("done", ref{&o.Done}), must("step", &o.Step), must("zone", &o.Zone),
		may("product", &o.Product), must("found", &o.Found), must("at", moment{&o.At}),
		may("by", &o.By), may("note", &o.Note),
	}, o.corrections()...)
}

func (o *Outcome) check() error {
	switch o.Found {
	case FoundOK, FoundInspect, FoundRedo:
		return o.common(o.table())
	}
	return invalid(o.table(), "found %q is none of ok, inspect and redo", o.Found)
}
