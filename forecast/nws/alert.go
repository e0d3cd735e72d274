package nws

import (
	"cmp"
	"encoding/json"
	"slices"
	"strings"
	"time"

	"dewgap/forecast"
	"dewgap/forecast/internal/reply"
)

// alertIn is what is read of one alert: the Common Alerting Protocol 1.2 (OASIS 2010,
// section 3.2) in the service's JSON.
type alertIn struct {
	ID          string          `json:"id"`
	Status      string          `json:"status"`      // Actual, Exercise, System, Test, Draft
	MessageType string          `json:"messageType"` // Alert, Update, Cancel, Ack, Error
	References  json.RawMessage `json:"references"`  // to the messages that this one replaces
	Event       string          `json:"event"`
	Severity    string          `json:"severity"`
	Response    string          `json:"response"`  // AllClear: no threat any more
	Sent        string          `json:"sent"`      // when the message was made
	Onset       string          `json:"onset"`     // when what is warned of begins
	Effective   string          `json:"effective"` // since when the message counts
	Ends        string          `json:"ends"`      // when what is warned of ends
	Expires     string          `json:"expires"`   // when the message is renewed at the latest
	Headline    string          `json:"headline"`
	SenderName  string          `json:"senderName"`
	Language    string          `json:"language"` // RFC 3066; English if not said
	Parameters  json.RawMessage `json:"parameters"`
}

// earnest reports a message that is meant. One that does not say is taken as such: a
// warning too many does less harm than one too few.
func (in alertIn) earnest() bool { return oneOfWords(in.Status, "", "actual") }

// counts reports a message in earnest that warns of something.
func (in alertIn) counts() bool {
	return in.earnest() && oneOfWords(in.MessageType, "", "alert", "update") && !oneOfWords(in.Response, "allclear")
}

func oneOfWords(s string, list ...string) bool { return slices.Contains(list, strings.ToLower(s)) }

// standing are the messages that count, without those that a later one in earnest
// replaces or calls off, and without other languages of what is there in English. All
// of an answer are for one place, so that what replaces does so there. Which is later
// has to be said: else each of two that name each other would take the other away.
func standing(all []alertIn) []alertIn {
	replaced := map[string]time.Time{} // by identifier: when the last that replaces it was sent
	for _, in := range all {
		if !in.earnest() || !oneOfWords(in.MessageType, "update", "cancel", "error") {
			continue
		}
		for _, id := range in.replaces() {
			if sent := firstTime(in.Sent); sent.After(replaced[id]) {
				replaced[id] = sent
			}
		}
	}
	var out []alertIn
	for _, in := range all {
		sent := firstTime(in.Sent)
		if in.counts() && (sent.IsZero() || !replaced[in.ID].After(sent)) {
			out = append(out, in)
		}
	}
	english := func(in alertIn) bool {
		return in.Language == "" || strings.HasPrefix(strings.ToLower(in.Language), "en")
	}
	return slices.DeleteFunc(slices.Clone(out), func(in alertIn) bool {
		return !english(in) && slices.ContainsFunc(out, func(o alertIn) bool {
			return english(o) && o.Sent != "" && o.Sent == in.Sent && o.SenderName == in.SenderName && o.Severity == in.Severity &&
				o.Onset == in.Onset && o.Ends == in.Ends && o.Expires == in.Expires
		})
	})
}

// replaces are the identifiers of the messages that this one refers to, none where
// they cannot be read.
func (in alertIn) replaces() []string {
	list, _ := reply.SplitArray(in.References)
	var out []string
	for _, raw := range list {
		var r struct {
			ID string `json:"identifier"`
		}
		if json.Unmarshal(raw, &r) == nil && r.ID != "" {
			out = append(out, r.ID)
		}
	}
	return out
}

func (in alertIn) alert() forecast.Alert {
	from, until := in.span()
	return forecast.Alert{
		Event: words(in.Event, 80), Severity: severity(in.Severity), Headline: words(in.Headline, 300), From: from, Until: until,
		Sender: cmp.Or(words(in.SenderName, 80), "US National Weather Service"), Source: service,
	}
}

// span is when what is warned of begins and ends. Without an end of its own it ends
// with its message, unless it holds until further notice; an end that is not after the
// beginning is none.
func (in alertIn) span() (from, until time.Time) {
	from = firstTime(in.Onset, in.Effective, in.Sent)
	for _, text := range []string{in.Ends, in.Expires} {
		if text == in.Expires && in.Ends == "" && in.untilFurtherNotice() {
			break
		}
		if until = firstTime(text); !until.IsZero() && until.After(from) {
			return from, until
		}
	}
	return from, time.Time{}
}

// untilFurtherNotice reports whether the event's code (P-VTEC, NWS Instruction
// 10-1703, its number from memory) has zeros for an end, as storm and flood warnings
// have: /O.CON.KOTQ.TR.W.1008.000000T0000Z-000000T0000Z/.
func (in alertIn) untilFurtherNotice() bool {
	var p struct {
		VTEC []string `json:"VTEC"`
	}
	return json.Unmarshal(in.Parameters, &p) == nil && slices.ContainsFunc(p.VTEC, func(s string) bool {
		return strings.HasSuffix(strings.TrimSpace(s), "-000000T0000Z/")
	})
}

// firstTime is the first of several that is said, zero where none is: a time
// that cannot be read bounds nothing.
func firstTime(texts ...string) time.Time {
	for _, s := range texts {
		if t, err := time.Parse(time.RFC3339, s); err == nil {
			return t.UTC()
		}
	}
	return time.Time{}
}
