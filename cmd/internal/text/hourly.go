package text

import (
	"strings"

	"dewgap/cmd/internal/answer"
)

// column is one column of the hourly table.
type column struct {
	head  string
	cells int
	of    func(answer.Hour) *float64
	as    quantity
}

// missing stands where a number is not known.
const missing = "-"

func (p *page) columns() []column {
	temp, deg, wind := p.o.temperature(), p.o.degrees(), p.o.wind()
	temp.digits, deg.digits, wind.digits = 0, 0, 0
	return []column{
		{"air", 4, func(h answer.Hour) *float64 { return h.AirC }, temp},
		{"dew", 4, func(h answer.Hour) *float64 { return h.DewPointC }, temp},
		{"RH%", 4, func(h answer.Hour) *float64 { return h.HumidityPct }, plain("", 0)},
		{"wind", 5, func(h answer.Hour) *float64 { return h.WindMS }, wind},
		{"gust", 5, func(h answer.Hour) *float64 { return h.GustMS }, wind},
		{"rain", 6, func(h answer.Hour) *float64 { return h.RainMM }, p.o.rain()},
		{"cloud", 6, func(h answer.Hour) *float64 { return h.CloudPct }, plain("", 0)},
		{"sun", 5, func(h answer.Hour) *float64 { return h.SunlightWM2 }, plain("", 0)},
		{"UV", 3, func(h answer.Hour) *float64 { return h.UVIndex }, plain("", 0)},
		{"panel", 6, func(h answer.Hour) *float64 { return h.SurfaceC }, temp},
		{"over", 5, func(h answer.Hour) *float64 { return h.SpreadK }, deg},
		{"water", 6, func(h answer.Hour) *float64 { return h.FilmGM2 }, plain("", 0)},
	}
}

// hourly writes a table of hours for each zone.
func (p *page) hourly(zones []answer.Zone) {
	cols := p.columns()
	rain := "mm"
	if p.o.us() {
		rain = "inches"
	}
	p.blank()
	p.para(heading("hour by hour"), 2, ": air, dew point, panel and degrees over dew point in "+
		p.o.temperature().unit+", wind and gust at deck height in "+p.o.wind().unit+", rain in "+rain+
		", cloud in %, sun on the panel in W/m², water on the panel in g/m²; "+missing+" is not known.")
	for _, z := range zones {
		for _, some := range p.beside(cols) {
			p.blank()
			p.zoneHours(z, some)
		}
	}
}

// beside parts columns into tables that have room beside the hours, one below the other.
func (p *page) beside(cols []column) [][]column {
	var out [][]column
	room := 0
	for _, c := range cols {
		if room -= c.cells; room < 0 {
			out, room = append(out, nil), p.o.Width-hourCells-c.cells
		}
		out[len(out)-1] = append(out[len(out)-1], c)
	}
	return out
}

// hourCells is the column of days and hours.
const hourCells = 13

func (p *page) zoneHours(z answer.Zone, cols []column) {
	p.line("  " + name(z.Name, nameCells))
	for i, h := range z.Hours {
		if i == 0 || !sameDay(h.At, z.Hours[i-1].At) {
			p.line("  " + pad(day(h.At), 11) + heads(cols))
		}
		p.line("  " + padLeft(clock(h.At), 11) + figures(h, cols))
	}
}

func heads(cols []column) string {
	var b strings.Builder
	for _, c := range cols {
		b.WriteString(padLeft(c.head, c.cells))
	}
	return b.String()
}

func figures(h answer.Hour, cols []column) string {
	var b strings.Builder
	for _, c := range cols {
		s := missing
		if v := c.of(h); finite(v) {
			s = figure(c.as.of(*v), c.as.digits, nearest, true)
		}
		b.WriteString(padLeft(s, c.cells))
	}
	return b.String()
}
