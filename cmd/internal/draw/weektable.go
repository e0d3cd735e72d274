package draw

import (
	"strconv"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
)

// table has a line for each row and day: the windows, the planned work, and what
// stands against the day.
func (s *strip) table() Table {
	t := Table{
		Caption: "When each step can be done on each zone, day by day",
		Head:    []string{"Step", "Zone", "Day", "Can be done", "Planned", "Against it", "Rain"},
	}
	for i := range s.rows {
		r := &s.rows[i]
		for _, d := range s.days {
			t.Rows = append(t.Rows, []string{
				r.step, r.zone, d.from.Format(dayWords), s.windowsOf(r, d), s.plannedOf(r, d), s.againstOf(r, d), s.rainOf(d),
			})
		}
	}
	return t
}

// clocksOn writes a stretch by the clock; the end of a day is 24:00.
func clocksOn(s span, loc *time.Location) string {
	to := s.to.In(loc).Format(hourWords)
	if s.to.Equal(answer.NextMidnight(s.from.In(loc))) {
		to = "24:00"
	}
	return s.from.In(loc).Format(hourWords) + "–" + to
}

func (s *strip) windowsOf(r *row, d span) string {
	var out []string
	for _, x := range r.windows {
		if part, ok := (span{x.From, x.To}).within(d); ok {
			out = append(out, clocksOn(part, s.loc)+" "+x.State+" "+percent(x.Confidence))
		}
	}
	return strings.Join(out, ", ")
}

func (s *strip) plannedOf(r *row, d span) string {
	var out []string
	for _, v := range visits(r.blocks) {
		if d.holds(v.from) {
			words := clocksOn(v, s.loc)
			for _, m := range clocksOf(s.w, r, s.zone(r.zone), workedBy(r.blocks, v)) {
				words += "; " + clockWords[m.kind] + " " + m.at.In(s.loc).Format(bothWords)
			}
			out = append(out, words)
		}
	}
	return strings.Join(out, ", ")
}

var clockWords = map[string]string{"rain": "keep rain off until", "dew": "keep dew off until", "cure": "cured"}

// againstOf is the limit that takes most of a row's day, closed hours left out.
func (s *strip) againstOf(r *row, d span) string {
	longest, text := time.Duration(0), ""
	for _, x := range r.refusals {
		part, ok := span{x.From, x.To}.within(d)
		if !ok || closed(x.Binding.Limit) {
			continue
		}
		if l := part.to.Sub(part.from); l > longest {
			longest, text = l, x.State+": "+x.Binding.Text
		}
	}
	if s.o.Prose != nil && text != "" {
		return s.o.Prose(text)
	}
	return text
}

func (s *strip) rainOf(d span) string {
	if len(s.w.Zones) == 0 {
		return "–"
	}
	sum, known, missing := 0.0, 0, 0
	for _, h := range s.hours() {
		switch {
		case !d.holds(h.At):
		case finite(h.RainMM):
			sum, known = sum+*h.RainMM, known+1
		default:
			missing++
		}
	}
	switch {
	case known == 0:
		return "–"
	case sum < 0.1 && missing > 0:
		return "not all known"
	case sum < 0.1:
		return "none"
	case missing > 0:
		return s.o.rain(sum) + ", not all known"
	}
	return s.o.rain(sum)
}

// describe says the picture in a few sentences.
func (s *strip) describe() string {
	n := strconv.Itoa(len(s.rows))
	out := "One row for each step and zone, " + n + " in all, time to the right. "
	if hours, planned := s.w.Asked(); len(hours) > 0 {
		lead := "Best for "
		if planned {
			lead = "In the plan, "
		}
		out += lead + clip(s.w.Headline.Step) + ": " + s.listed(hours) + ". "
		if off := s.w.OffBest(false); off != "" {
			out += off + " "
		}
		if next := s.w.Headline.Next; len(next) > 0 {
			out += "Next best: " + s.listed(next) + ". "
		}
	} else {
		out += "No window is found. "
	}
	if p := s.w.Plan; p != nil && len(p.Blocks) > 0 {
		out += "Planned: "
		if p.Part != nil {
			out += "a part of the job, " + clip(p.Part.What) + "; "
		}
		out += counted(len(p.Blocks), "block") + " from " + p.Blocks[0].From.In(s.loc).Format(bothWords)
		if p.Ends != nil {
			out += " to " + p.Ends.In(s.loc).Format(bothWords)
		}
		out += ", " + p.State + " in " + percent(p.Confidence) + " of the forecasts. "
	}
	return out + "The table has all windows."
}

// listed names windows of one day, four at most.
func (s *strip) listed(list []answer.Window) string {
	const most = 4
	out := list[0].From.In(s.loc).Format(dayWords)
	for i, x := range list {
		if i == most {
			return out + ", " + strconv.Itoa(len(list)-most) + " more"
		}
		out += ", " + clip(x.Zone) + " " + clocksOn(span{x.From, x.To}, s.loc) + " " + x.State
	}
	return out
}
