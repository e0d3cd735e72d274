package text

import (
	"strings"

	"dewgap/cmd/internal/answer"
)

// panels tells how the panels stand now, zones that stand alike together.
func (p *page) panels(list []answer.MorningStep) {
	zones, order := map[string][]string{}, []string{}
	seen, all := map[string]bool{}, []string{}
	for _, x := range list {
		if seen[x.Zone] {
			continue
		}
		seen[x.Zone], all = true, append(all, x.Zone)
		s := p.standing(x)
		if s == "" {
			continue
		}
		if zones[s] == nil {
			order = append(order, s)
		}
		zones[s] = append(zones[s], x.Zone)
	}
	if len(order) == 0 {
		return
	}
	p.blank()
	p.line(heading("panels now"))
	for _, s := range order {
		label := every(zones[s], all)
		if cells(label) > labelCells+8 {
			p.para("  ", 2, label)
			label = ""
		}
		p.para("  "+pad(label, labelCells+8)+"  ", labelCells+12, s)
	}
}

// standing is how a panel stands: its temperature, degrees over the dew point rounded
// down, or below it, and what lies on it.
func (p *page) standing(x answer.MorningStep) string {
	var parts []string
	if finite(x.SurfaceC) {
		parts = append(parts, p.o.temperature().show(*x.SurfaceC, nearest))
	}
	q := p.o.degrees()
	switch {
	case !finite(x.SpreadK):
	case *x.SpreadK < 0:
		parts = append(parts, q.show(-*x.SpreadK, up)+" below dew point")
	default:
		parts = append(parts, q.show(*x.SpreadK, down)+" over dew point")
	}
	if lies := x.Lies(); lies != "" {
		parts = append(parts, lies)
	}
	return strings.Join(parts, ", ")
}

// stops writes what to measure, when to look again and what ends the work.
func (p *page) stops(a *answer.Morning) {
	if len(a.Measure) > 0 {
		p.para("Measure first: ", 2, strings.Join(short(a.Measure, zoneCells), ", ")+".")
	}
	if a.NextReading != nil {
		next := when(a.Now, *a.NextReading)
		if a.ReadNow() {
			next = "now"
		}
		p.para("Read again: ", 2, next+", then hourly.")
	}
	parts := []string{}
	for _, b := range a.Stop {
		if b.Limit != "thunder" {
			parts = append(parts, p.limit(b))
		}
	}
	p.para("Stop "+stopsOf(a)+"at: ", 2, strings.Join(append(parts, "thunder"), ", ")+
		", or when a reading passes a limit above.")
}

// stopsOf names the products whose bounds end the work, where the page tells of other
// work that may begin today as well: that may have to stop sooner.
func stopsOf(a *answer.Morning) string {
	of, others := a.StopsOf()
	if !others {
		return ""
	}
	return strings.Join(short(of, nameCells), ", ") + " "
}

// limit words a bound alone: "panel over 86 °F".
func (p *page) limit(b answer.Binding) string {
	r, ok := reasons()[b.Limit]
	if !ok || r.broken == nil || !finite(b.Bound) {
		return because(b, p.o)
	}
	word := "over "
	strict := down
	if r.least {
		word, strict = "under ", up
	}
	if r.hours {
		return limitWords[b.Limit] + " " + word + duration(*b.Bound, strict)
	}
	q := r.number(p.o)
	s := word + q.withUnit(figure(q.of(*b.Bound), q.digits, strict, false))
	if b.Limit == "spread_min" {
		return "panel " + s + " over dew point and falling"
	}
	return strings.TrimSpace(limitWords[b.Limit] + " " + s)
}

// limitWords are what the bounds of limits are about.
var limitWords = map[string]string{
	"film": "water on the panel", "air_min": "air", "air_max": "air", "surface_min": "panel", "surface_max": "panel",
	"humidity_min": "humidity", "humidity_max": "humidity", "wind_max": "wind", "gust_max": "gusts",
	"dust_wind": "wind with dust upwind", "dust_gust": "gusts with dust upwind",
	"access": "gusts at height", "sunlight_max": "sunlight on the panel", "uv_max": "UV index on the panel",
	"section": "wash sections", "moisture": "wood moisture", "cure": "panel while it cures", "dry_off": "time since wet",
	"block": "time left", "haze": "time to wipe", "rain_free": "time to rain", "dew_free": "time to dew",
}
