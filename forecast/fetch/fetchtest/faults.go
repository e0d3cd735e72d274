package fetchtest

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"io"
	"net"
	"net/http"
	"strconv"
	"strings"
	"time"
)

// Outcome is what a fault comes to for whoever asks.
type Outcome int

// The outcomes.
const (
	Fails  Outcome = iota // nothing usable comes: the copy, or an error
	Passes                // it is over before anybody notices
	Holed                 // a forecast comes that does not know everything
	Old                   // a whole forecast comes that is too old for today
)

// Fault is one way for a service to go wrong.
type Fault struct {
	Name    string
	Outcome Outcome
	Closed  bool // nobody listens at all
	Slow    bool // it only ends with the timeout
	// MetNorway: the service is MET Norway, else it is Open-Meteo.
	MetNorway bool
	// Now is when it happens; zero is any time.
	Now time.Time
	// Answer answers question n, from 1, in place of a service that would have
	// given good.
	Answer func(w http.ResponseWriter, r *http.Request, n int, good []byte)
}

// Good is the whole reply of the fault's service.
func (f Fault) Good(w Weather) []byte {
	if f.MetNorway {
		return w.MetNorway()
	}
	return w.OpenMeteo()
}

// Faults are all of them.
func Faults() []Fault {
	return append(append(wireFaults(), statusFaults()...), dataFaults()...)
}

type answerFunc = func(http.ResponseWriter, *http.Request, int, []byte)

// status answers with a status, a body and headers by pairs.
func status(code int, body string, headers ...string) answerFunc {
	return func(w http.ResponseWriter, _ *http.Request, _ int, _ []byte) {
		for i := 0; i+1 < len(headers); i += 2 {
			w.Header().Set(headers[i], headers[i+1])
		}
		w.WriteHeader(code)
		write(w, []byte(body))
	}
}

// write sends what whoever asked may have hung up on.
func write(w io.Writer, data []byte) { _, _ = w.Write(data) }

// first answers the first question otherwise than the rest, which are good.
func first(bad answerFunc) answerFunc {
	return func(w http.ResponseWriter, r *http.Request, n int, good []byte) {
		if n == 1 {
			bad(w, r, n, good)
			return
		}
		write(w, good)
	}
}

// wireFaults are those on the way.
func wireFaults() []Fault {
	return []Fault{
		{Name: "connection refused", Closed: true},
		{Name: "reset in mid-body", Answer: reset},
		{Name: "slow drip", Slow: true, Answer: drip},
		{Name: "200 with HTML", Answer: status(200, "<!DOCTYPE html><html>Welcome to the marina's Wi-Fi")},
		{Name: "200 with error text after half the JSON", Answer: halfAnd("Unexpected error while streaming data: gone")},
		{Name: "200 cut in half", Answer: halfAnd("")},
		{Name: "200 empty", Answer: status(200, "")},
		{Name: "wrong gzip", Answer: status(200, `{"not": "compressed, as it says"}`, "Content-Encoding", "gzip")},
		{Name: "gzip bomb", Answer: bomb},
		{Name: "100 MB body", Answer: large},
		{Name: "301 loop", Answer: func(w http.ResponseWriter, r *http.Request, n int, _ []byte) {
			http.Redirect(w, r, r.URL.Path+"?again="+strconv.Itoa(n), http.StatusMovedPermanently)
		}},
	}
}

// statusFaults are refusals.
func statusFaults() []Fault {
	return []Fault{
		{Name: "204", Answer: status(204, "")},
		{Name: "304 without cache", Answer: status(304, "")},
		{Name: "400", Answer: status(400, `{"error":true,"reason":"Latitude must be in range of -90 to 90°."}`)},
		{Name: "403", Answer: status(403, "Forbidden")},
		{Name: "404", Answer: status(404, `{"title":"Not Found","status":404}`)},
		{Name: "422", Answer: status(422, `{"title":"outside","status":422}`)},
		{Name: "429 with Retry-After", Answer: status(429, `{"reason":"slow down"}`, "Retry-After", "3600")},
		{Name: "429 with a short Retry-After, then good", Outcome: Passes, Answer: first(status(429, "", "Retry-After", "1"))},
		{Name: "429 without Retry-After", Answer: status(429, "")},
		{Name: "500 then good", Outcome: Passes, Answer: first(status(500, ""))},
		{Name: "503 forever", Answer: status(503, `{"error":true,"reason":"The service is overloaded"}`)},
	}
}

// reset breaks the connection after some of the body.
func reset(w http.ResponseWriter, _ *http.Request, _ int, good []byte) {
	hijacker, ok := w.(http.Hijacker)
	if !ok {
		return
	}
	conn, buf, err := hijacker.Hijack()
	if err != nil {
		return
	}
	write(buf, []byte("HTTP/1.1 200 OK\r\nContent-Length: "+strconv.Itoa(len(good))+"\r\n\r\n"))
	write(buf, good[:len(good)/2])
	_ = buf.Flush()
	if tcp, ok := conn.(*net.TCPConn); ok {
		_ = tcp.SetLinger(0)
	}
	_ = conn.Close()
}

// drip sends a byte now and then and never ends.
func drip(w http.ResponseWriter, r *http.Request, _ int, _ []byte) {
	for r.Context().Err() == nil {
		write(w, []byte(" "))
		if f, ok := w.(http.Flusher); ok {
			f.Flush()
		}
		time.Sleep(10 * time.Millisecond)
	}
}

func halfAnd(text string) answerFunc {
	return func(w http.ResponseWriter, _ *http.Request, _ int, good []byte) {
		write(w, good[:len(good)/2])
		write(w, []byte(text))
	}
}

// block is a megabyte of nothing.
var block = bytes.Repeat([]byte("a"), 1<<20)

// bomb is small on the wire and 100 MB when unpacked.
func bomb(w http.ResponseWriter, _ *http.Request, _ int, _ []byte) {
	w.Header().Set("Content-Encoding", "gzip")
	z := gzip.NewWriter(w)
	defer func() { _ = z.Close() }()
	text(z)
}

// large sends 100 MB.
func large(w http.ResponseWriter, _ *http.Request, _ int, _ []byte) { text(w) }

// text writes 100 MB of JSON, or as much as is taken.
func text(w io.Writer) {
	write(w, []byte(`["`))
	for range 100 {
		if _, err := w.Write(block); err != nil {
			return
		}
	}
	write(w, []byte(`"]`))
}

// dataFaults are whole replies with something wrong in them.
func dataFaults() []Fault {
	return []Fault{
		{Name: "nulls", Outcome: Holed, Answer: changed(holes)},
		{Name: "missing column", Outcome: Holed, Answer: changed(func(top, hourly object) { delete(hourly, "precipitation"); delete(hourly, "weather_code") })},
		{Name: "unknown unit", Answer: changed(func(top, _ object) { top["hourly_units"].(object)["temperature_2m"] = "°R" })},
		{Name: "NaN text", Answer: func(w http.ResponseWriter, _ *http.Request, _ int, good []byte) {
			write(w, bytes.Replace(good, []byte(`"dew_point_2m":[6`), []byte(`"dew_point_2m":[NaN`), 1))
		}},
		{Name: "NaN as a word", Answer: changed(func(_, hourly object) { hourly["dew_point_2m"].([]any)[5] = "NaN" })},
		{Name: "shuffled times", Answer: retimed(func(t []any) { t[80], t[90] = t[90], t[80] })},
		{Name: "duplicate hour", Answer: retimed(func(t []any) { t[81] = t[80] })},
		{Name: "daylight-saving gap", Outcome: Passes, Now: time.Date(2026, 3, 7, 12, 0, 0, 0, time.UTC), Answer: changed(localTimes)},
		{Name: "an hour left out", Answer: changed(leftOut)},
		{Name: "place far from the asked one", Answer: changed(func(top, _ object) { top["latitude"], top["longitude"] = -33.87, 151.21 })},
		{Name: "forecast issued yesterday", Outcome: Old, MetNorway: true, Answer: issuedEarlier(20 * time.Hour)},
		{Name: "clock an hour off", Outcome: Passes, MetNorway: true, Answer: clockOff},
	}
}

// changed sends the good reply of Open-Meteo after a change.
func changed(change func(top, hourly object)) answerFunc {
	return func(w http.ResponseWriter, _ *http.Request, _ int, good []byte) {
		var top object
		d := json.NewDecoder(bytes.NewReader(good))
		d.UseNumber()
		if err := d.Decode(&top); err != nil {
			panic(err)
		}
		change(top, top["hourly"].(object))
		write(w, encode(top))
	}
}

func retimed(change func(times []any)) answerFunc {
	return changed(func(_, hourly object) { change(hourly["time"].([]any)) })
}

// holes takes 30 hours out of what decides most, from an hour in the middle on.
func holes(_, hourly object) {
	for _, name := range []string{"temperature_2m", "dew_point_2m", "relative_humidity_2m", "precipitation", "wind_speed_10m", "wind_gusts_10m"} {
		column := hourly[name].([]any)
		for i := 84; i < 114; i++ {
			column[i] = nil
		}
	}
}

// leftOut takes one hour out of every column.
func leftOut(_, hourly object) {
	for name, column := range hourly {
		c := column.([]any)
		hourly[name] = append(append([]any{}, c[:90]...), c[91:]...)
	}
}

// localTimes writes the stamps as local times, over the morning on which the
// clocks are put forward and an hour is missing from them.
func localTimes(top, hourly object) {
	loc, err := time.LoadLocation(top["timezone"].(string))
	if err != nil {
		panic(err)
	}
	for i, t := range hourly["time"].([]any) {
		s, err := strconv.ParseInt(string(t.(json.Number)), 10, 64)
		if err != nil {
			panic(err)
		}
		hourly["time"].([]any)[i] = time.Unix(s, 0).In(loc).Format("2006-01-02T15:04")
	}
	top["hourly_units"].(object)["time"] = "iso8601"
	top["utc_offset_seconds"] = -5 * 3600
}

// issuedEarlier dates MET Norway's reply back.
func issuedEarlier(by time.Duration) answerFunc {
	return func(w http.ResponseWriter, _ *http.Request, _ int, good []byte) {
		const key = `"updated_at":"`
		text := string(good)
		at := strings.Index(text, key) + len(key)
		made, err := time.Parse(time.RFC3339, text[at:at+20])
		if err != nil {
			panic(err)
		}
		write(w, []byte(text[:at]+made.Add(-by).Format(time.RFC3339)+text[at+20:]))
	}
}

// clockOff is a service whose clock is an hour ahead of ours, all its stamps
// included.
func clockOff(w http.ResponseWriter, r *http.Request, n int, good []byte) {
	theirs := time.Now().Add(time.Hour).UTC()
	w.Header().Set("Date", theirs.Format(http.TimeFormat))
	w.Header().Set("Expires", theirs.Add(30*time.Minute).Format(http.TimeFormat))
	issuedEarlier(-time.Hour)(w, r, n, good)
}
