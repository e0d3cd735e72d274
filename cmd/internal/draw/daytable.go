package draw

import (
	"time"

	"dewgap/cmd/internal/answer"
)

// table has a line for each hour: the dew point, and of each zone the panel, the
// spread, and the state of the step at the hour's beginning.
func (c *curves) table() Table {
	t := Table{Caption: "Panel and dew point by the hour, " + c.axis.from.Format(dayWords), Head: []string{"Hour", "Dew point"}}
	if len(c.all) == 0 {
		return t
	}
	for _, z := range c.all {
		t.Head = append(t.Head, z.Name)
	}
	for i := range c.all[0].Hours {
		h := &c.all[0].Hours[i]
		if !c.axis.holds(h.At) {
			continue
		}
		line := []string{h.At.In(c.loc).Format(hourLayout(c.axis.span)), orDash(h.DewPointC, c.degrees)}
		for k := range c.all {
			line = append(line, c.cell(&c.all[k], h.At))
		}
		t.Rows = append(t.Rows, line)
	}
	return t
}

// hourLayout tells the hours of a day on which the clock is changed apart: on a
// day of 25 hours one comes twice.
func hourLayout(day span) string {
	if day.to.Sub(day.from) != 24*time.Hour {
		return hourWords + " MST"
	}
	return hourWords
}

func (c *curves) degrees(v float64) string { return fixed(c.o.celsius(v), 1) + " " + c.o.degree() }

func (c *curves) cell(z *answer.Zone, at time.Time) string {
	h := hourAt(z, at)
	if h == nil || !finite(h.SurfaceC) {
		return "–"
	}
	out := c.degrees(*h.SurfaceC)
	if finite(h.SpreadK) {
		out += ", spread " + fixed(c.o.kelvins(*h.SpreadK), 1) + " " + c.o.kelvin()
	}
	if finite(h.FilmGM2) && *h.FilmGM2 > wetFilm {
		out += ", wet"
	}
	if s := c.stateAt(z.Name, at); s != "" {
		out += ", " + s
	}
	return out
}

// stateAt is the state of the picture's step on a zone in the slot of t, "" where
// the answer says nothing.
func (c *curves) stateAt(zone string, t time.Time) string {
	for _, r := range c.rows {
		if r.zone != zone {
			continue
		}
		for _, x := range r.windows {
			if (span{x.From, x.To}).holds(t) {
				return x.State
			}
		}
		for _, x := range r.refusals {
			if (span{x.From, x.To}).holds(t) {
				if closed(x.Binding.Limit) {
					return "outside working hours"
				}
				return x.State
			}
		}
	}
	return ""
}

// describe says the picture in a few sentences.
func (c *curves) describe(known bool) string {
	if !known {
		return "The answer has no temperatures for " + c.axis.from.Format(dayWords) + "."
	}
	out := "Temperature of " + counted(len(c.zones), "zone") + " through the day, above the dew point, and below it the spread between them. "
	for i := range c.zones {
		parts := c.series(&c.zones[i], surfaceOf, c.o.celsius)
		if len(parts) > 0 {
			out += clip(c.zones[i].Name) + " " + rangeWords(parts, " to ") + " " + c.o.degree() + ". "
		}
	}
	if c.class != nil {
		out += "Behind them the bands of " + clip(c.class.Name) + ". "
	}
	return out + "The table has every hour."
}
