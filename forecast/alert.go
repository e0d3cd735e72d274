package forecast

import "time"

// Alert is a warning that an authority has in force, or has announced, for a
// place. It is passed on as it was issued; nothing here judges it.
type Alert struct {
	Event    string    // what is warned of, in the authority's words: "Small Craft Advisory"
	Severity Severity  // how bad it may become
	From     time.Time // when what is warned of begins, UTC; zero if not said
	Until    time.Time // when it ends, UTC; zero if not said
	Headline string    // one line in the authority's words, "" if there is none
	Sender   string    // the authority: an office
	Source   string    // who passed it on: the service's name
}

// Covers reports whether the alert speaks of any moment of [from, to). A time
// that is not said has no bound.
func (a Alert) Covers(from, to time.Time) bool {
	return (a.From.IsZero() || a.From.Before(to)) && (a.Until.IsZero() || a.Until.After(from))
}

// Severity is how bad what is warned of may become, as the Common Alerting
// Protocol grades it (CAP 1.2, OASIS 2010, section 3.2.2).
type Severity string

// The grades, gravest first.
const (
	Extreme         Severity = "extreme"  // extraordinary threat to life or property
	Severe          Severity = "severe"   // significant threat
	Moderate        Severity = "moderate" // possible threat
	Minor           Severity = "minor"    // minimal to no known threat
	SeverityUnknown Severity = "unknown"  // not graded, or by a word that is none of these
)
