package app

import (
	"fmt"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/cmd/internal/book"
	"dewgap/window/job"
)

// doneEntry is work done as answers tell it.
func doneEntry(d book.Done, head answer.BookJob, loc *time.Location) answer.Entry {
	text := d.Step + " on " + d.Zone
	if d.Share < 1 {
		text += fmt.Sprintf(", %.0f %% of it so far", 100*d.Share)
	}
	return answer.Entry{ID: d.ID, Key: string(d.Key), BookJob: head, At: d.At.In(loc), Step: d.Step, Zone: d.Zone, Text: noted(text, d.By, d.Note)}
}

// outcomeEntry is what became of work, as answers tell it.
func outcomeEntry(o book.Outcome, head answer.BookJob, loc *time.Location) answer.Entry {
	text := o.Step + " on " + o.Zone + ": " + o.Found
	return answer.Entry{ID: o.ID, Key: string(o.Key), BookJob: head, At: o.At.In(loc), Step: o.Step, Zone: o.Zone, Text: noted(text, o.By, o.Note)}
}

// readingEntry is a reading, or rain, as answers tell it.
func readingEntry(m book.Reading, head answer.BookJob, loc *time.Location) answer.Entry {
	var text string
	if isRain(m) {
		text = "rain until " + m.Until.In(loc).Format(stamp)
		if m.RainMM != nil {
			text += fmt.Sprintf(", %g mm", *m.RainMM)
		}
	} else {
		text = inWords(ReadingOf(m))
	}
	return answer.Entry{ID: m.ID, Key: string(m.Key), BookJob: head, At: m.At.In(loc), Zone: m.Zone, Text: noted(text, "", m.Note)}
}

// inWords is a reading in words, SI, without its time.
func inWords(m job.Reading) string {
	var parts []string
	add := func(v job.Measured, format string) {
		if v.Known {
			parts = append(parts, fmt.Sprintf(format, v.V))
		}
	}
	say := func(t job.Told, yes, no string) {
		if t != job.NotTold {
			parts = append(parts, [...]string{"", no, yes}[t])
		}
	}
	add(m.AirC, "air %.1f °C")
	add(m.HumidityPct, "humidity %.0f %%")
	add(m.WindMS, "wind %.1f m/s")
	if m.Sky != job.SkyNotTold {
		parts = append(parts, "sky "+skies[m.Sky])
	}
	say(m.Salt, "salt", "no salt")
	say(m.Spray, "spray", "no spray")
	add(m.SurfaceC, "surface %.1f °C")
	if m.By != job.NoInstrument {
		parts[len(parts)-1] += " by " + instruments[m.By]
	}
	say(m.Wet, "wet", "dry")
	say(m.Sun, "in the sun", "not in the sun")
	add(m.HazeMin, strings.ReplaceAll(m.Product, "%", "")+" hazed in %.0f min")
	add(m.MoisturePct, "wood moisture %.0f %%")
	text := strings.Join(parts, ", ")
	if m.Zone != "" {
		text = m.Zone + ": " + text
	}
	return text
}

// noted adds who it was and what was noted.
func noted(text, by, note string) string {
	if by != "" {
		text += ", by " + by
	}
	if note != "" {
		text += " (" + note + ")"
	}
	return text
}
