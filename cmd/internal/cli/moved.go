package cli

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/app"
	"dewgap/window"
)

// largestPlan is the size beyond which a file cannot be a saved answer.
const largestPlan = 32 << 20

// request is what the flags say, read by the clock at the job's place.
func (m *moved) request(a *app.App, r app.Request) (app.MoveRequest, error) {
	out := app.MoveRequest{Request: r, Ladder: m.ladder, Needed: true}
	var err error
	if m.plan != "" {
		if out.Plan, err = readPlan(m.plan); err != nil {
			return out, err
		}
	}
	if len(m.rain)+len(m.left) == 0 {
		return out, nil
	}
	var moments []string
	for _, x := range slices.Concat(m.rain, m.left) {
		moments = append(moments, clocksIn(x)...)
	}
	out.Job = zoned(r.Job, moments...)
	j, err := out.Job(r.Timezone)
	if err != nil {
		return out, err
	}
	by := placeClock{a.Clock.Now(), j.Location()}
	for _, x := range m.rain {
		rain, err := by.rain(x)
		if err != nil {
			return out, err
		}
		out.Rain = append(out.Rain, rain)
	}
	for _, x := range m.left {
		left, err := by.left(x)
		if err != nil {
			return out, err
		}
		out.Left = append(out.Left, left)
	}
	return out, nil
}

// clocksIn are the parts of a value that are moments.
func clocksIn(text string) []string {
	var out []string
	for _, part := range strings.Split(text[strings.LastIndex(text, "=")+1:], "/") {
		if strings.Contains(part, ":") {
			out = append(out, part)
		}
	}
	return out
}

// placeClock is the clock at the place.
type placeClock struct {
	now time.Time
	loc *time.Location
}

// span reads two moments that lie behind, the first before the second.
func (p placeClock) span(flag, value, from, to string) (a, b time.Time, err error) {
	if from == "" || to == "" {
		return a, b, &usageError{"--" + flag + " " + value + " names no two moments", "for example 11:40/12:30"}
	}
	if a, err = momentAt(flag, from, p.now, p.loc); err != nil {
		return a, b, err
	}
	if b, err = momentAt(flag, to, p.now, p.loc); err != nil {
		return a, b, err
	}
	switch {
	case b.After(p.now):
		return a, b, &usageError{"--" + flag + " " + value + " lies in the future", "give what has happened, with the day if it was not today: 2026-09-10T11:40; the forecast's rain counts by itself"}
	case !a.Before(b):
		return a, b, &usageError{"--" + flag + " " + value + " ends before it begins", "give FROM before TO, with the day if it was not today: 2026-09-10T11:40"}
	}
	return a, b, nil
}

// rain reads FROM/TO[/MM].
func (p placeClock) rain(value string) (window.Rain, error) {
	r := window.Rain{Observed: true}
	parts := strings.Split(value, "/")
	if len(parts) != 2 && len(parts) != 3 {
		return r, &usageError{fmt.Sprintf("--rain %q cannot be read", value), "write FROM/TO or FROM/TO/MM, for example --rain 11:40/12:30/4"}
	}
	var err error
	if r.From, r.To, err = p.span("rain", value, parts[0], parts[1]); err != nil || len(parts) == 2 {
		return r, err
	}
	r.MM, err = strconv.ParseFloat(strings.TrimSpace(strings.TrimSuffix(parts[2], "mm")), 64)
	if r.HasMM = true; err != nil || !(r.MM > 0 && r.MM <= 1000) {
		return r, &usageError{"--rain: " + parts[2] + " is no amount of rain", "give mm above 0, up to 1000, or leave it out"}
	}
	return r, nil
}

// leftWords are how work is left.
var leftWords = map[string]window.Left{"hazing": window.LeftHazing, "buffed": window.LeftBuffed, "uncured": window.LeftUncured}

// left reads STEP@ZONE=STATE[/SHARE][/FROM/TO].
func (p placeClock) left(value string) (app.LeftWork, error) {
	wrong := &usageError{fmt.Sprintf("--left %q cannot be read", value), `write STEP@ZONE=hazing, buffed or uncured, for example --left "seal@port side=hazing"`}
	step, rest, ok := strings.Cut(value, "@")
	eq := strings.LastIndex(rest, "=")
	if !ok || step == "" || eq < 1 {
		return app.LeftWork{}, wrong
	}
	parts := strings.Split(rest[eq+1:], "/")
	out := app.LeftWork{Step: strings.TrimSpace(step), Zone: strings.TrimSpace(rest[:eq])}
	if out.Left, ok = leftWords[parts[0]]; !ok || len(parts) > 4 {
		return out, wrong
	}
	parts = parts[1:]
	if len(parts)%2 == 1 {
		share, err := shareOf(parts[0])
		if err != nil {
			return out, &usageError{"--left: " + parts[0] + " is no share", "give more than 0 and at most 1, or 100%; times as 08:20/10:40"}
		}
		out.Share, parts = share, parts[1:]
	}
	if len(parts) == 0 {
		return out, nil
	}
	var err error
	out.From, out.To, err = p.span("left", value, parts[0], parts[1])
	return out, err
}

// readPlan reads a plan out of a saved answer, or by itself.
func readPlan(path string) (*answer.Plan, error) {
	data, err := app.ReadFile(path, largestPlan)
	if err != nil {
		return nil, err
	}
	return parsePlan(path, data)
}

// givePlan is what to do about a file that has no plan.
const givePlan = "give what dewgap week --json or dewgap move --json wrote"

// noAnswer says where a file stops being a saved answer.
func noAnswer(path string, data []byte, err error) error {
	text, offset := "this is no JSON", int64(0)
	if e, ok := errors.AsType[*json.SyntaxError](err); ok {
		offset = e.Offset
	} else if e, ok := errors.AsType[*json.UnmarshalTypeError](err); ok {
		text, offset = "a plan has no "+e.Value+" here", e.Offset
	} else if e, ok := errors.AsType[*time.ParseError](err); ok { // which knows no place
		return &app.Problem{Where: path, Text: fmt.Sprintf("the plan has a time that cannot be read: %s", e.Value), Fix: givePlan, Err: err}
	}
	before := data[:min(max(offset-1, 0), int64(len(data)))]
	line := bytes.Count(before, []byte("\n")) + 1
	column := utf8.RuneCount(before[bytes.LastIndexByte(before, '\n')+1:]) + 1
	return &app.Problem{Where: fmt.Sprintf("%s:%d:%d", path, line, column), Text: text, Fix: givePlan, Err: err}
}

// parsePlan takes the plan of a saved week or move, or a plan alone. Every block of
// it has a step, a zone and hours.
func parsePlan(path string, data []byte) (*answer.Plan, error) {
	wrong := func(text string) error { return &app.Problem{Where: path, Text: text, Fix: givePlan} }
	var saved struct {
		Format string
		Plan   *answer.Plan
		Blocks *json.RawMessage
	}
	if err := json.Unmarshal(data, &saved); err != nil {
		return nil, noAnswer(path, data, err)
	}
	plan := saved.Plan
	if saved.Format == "" && plan == nil && saved.Blocks != nil {
		plan = &answer.Plan{}
		if err := json.Unmarshal(data, plan); err != nil {
			return nil, noAnswer(path, data, err)
		}
	}
	switch {
	case saved.Format != "" && saved.Format != answer.WeekFormat && saved.Format != answer.MoveFormat:
		return nil, wrong("is of the format " + saved.Format + ", which has no plan of a job")
	case plan == nil:
		return nil, wrong("holds no plan")
	case plan.State == answer.None || plan.Blocks == nil:
		return nil, wrong("holds no plan: that answer found none")
	}
	for i, b := range plan.Blocks {
		if b.Step == "" || b.Zone == "" || !b.From.Before(b.To) {
			return nil, wrong(fmt.Sprintf("block %d of the plan lacks its step, its zone or its hours", i+1))
		}
	}
	return plan, nil
}
