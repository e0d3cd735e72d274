package job

import (
	"fmt"
	"strings"
	"time"
)

// The words of place.wind, in the order of the WindExposures.
var windWords = []string{"open", "lee", "basin", "at-work"}

// What may run off into the water, and what the water is: two answers that
// share the key place.water.
var (
	runOffWords = []string{"none", "rinse", "soap", "all"}
	waterWords  = []string{"salt", "brackish", "fresh"}
)

const feetToMetres = 0.3048

// readZone finds the time zone before anything else is read, for every local
// time of the file hangs on it.
func (r *reader) readZone(root *node, fallback string) (name string) {
	name = fallback
	p := pos{}
	if place := root.get("place"); place != nil && place.shape == mapping {
		if n := place.get("timezone"); n != nil && n.shape == scalar {
			name, p = n.text, n.pos
		}
	}
	if name == "" {
		return ""
	}
	loc, err := loadZone(name)
	if err != nil {
		whose := ""
		if p.line == 0 {
			whose = " given by --timezone"
		}
		r.fail(p, fmt.Sprintf("unknown time zone %q%s", name, whose), "use a name of the IANA list such as America/New_York")
		return ""
	}
	if stands(name, loc) {
		r.warn(p, "the time zone "+name+" keeps one clock all the year: where the clocks change in spring and autumn, every time here is "+
			"an hour off for half of it; write the zone of a city, such as America/New_York")
	}
	r.loc = loc
	return name
}

// stands reports whether a zone is an abbreviation or an offset without summer time, as
// EST is, which people take for that of their place.
func stands(name string, loc *time.Location) bool {
	if name == "UTC" || strings.Contains(name, "/") && !strings.HasPrefix(name, "Etc/GMT") || name == "Etc/GMT" {
		return false
	}
	const year = 2026 // any will do
	_, winter := time.Date(year, time.January, 1, 12, 0, 0, 0, loc).Zone()
	_, summer := time.Date(year, time.July, 1, 12, 0, 0, 0, loc).Zone()
	return winter == summer
}

// loadZone refuses the names that mean the machine's own zone.
func loadZone(name string) (*time.Location, error) {
	if name == "" || name == "Local" {
		return nil, fmt.Errorf("unknown time zone %q", name)
	}
	return time.LoadLocation(name)
}

// place reads the section place, in a time zone of that name. rinse is the water for the
// last rinse, which may be said here or for the job.
func (r *reader) place(n *node, zone string) (p Place, rinse string) {
	s, ok := r.section(n, "place")
	if !ok {
		return Place{}, ""
	}
	p.Name, _ = s.text("name")
	p.Latitude, _ = s.number("latitude", span{-90, 90, "degrees, north positive,"})
	p.Longitude, _ = s.number("longitude", span{-180, 180, "degrees, east positive, west negative,"})
	s.missing("latitude", "write it in degrees, south negative")
	s.missing("longitude", "write it in degrees, west negative")
	s.text("timezone") // read before all else by readZone
	p.Location = r.loc
	s.warnSigns(p, zone)
	p.Machines = s.quiet("quiet", s.schedule("machines"))
	p.Washing = s.schedule("wash")
	p.Sprinklers = s.schedule("sprinklers")
	s.waters(&p)
	if i, ok := s.choice("wind", windWords); ok {
		p.Wind = WindExposure(i)
	}
	p.ElevationM, p.HasElevation = s.metresOrFeet("elevation", -430, 6000)
	p.WaterC, p.HasWaterC = s.celsius("water", -2, 40)
	p.OnshoreFrom, p.OnshoreTo, p.HasOnshore = s.sector("onshore")
	p.ExposedFrom, p.ExposedTo, p.HasExposed = s.sector("exposed")
	s.dust(&p)
	rinse = s.rinse()
	s.done()
	return p, rinse
}

// dust reads which winds bring dust, and when. Pollen comes with any of them.
func (s *section) dust(p *Place) {
	if n := s.n.get("dust"); n == nil || n.get("hours") == nil {
		p.DustFrom, p.DustTo, p.HasDust = s.sector("dust")
		return
	}
	in, ok := s.section(s.take("dust"), "dust")
	if !ok {
		return
	}
	p.DustHours, p.DustTo, p.HasDust = in.schedule("hours"), 360, true
	if in.has("from") || in.has("to") {
		p.DustFrom, p.DustTo, p.HasDust = in.ends()
	}
	in.done()
}

// waters reads place.water: what may run off, what the water is, or both.
func (s *section) waters(p *Place) {
	p.Water = "all"
	for _, n := range s.each("water") {
		i, ok := s.choiceOf(n, "water", append(append([]string(nil), runOffWords...), waterWords...))
		switch {
		case !ok:
		case i < len(runOffWords):
			p.Water = runOffWords[i]
		default:
			p.WaterKind = waterWords[i-len(runOffWords)]
		}
	}
}

// metresOrFeet reads key_m or key_ft, in metres.
func (s *section) metresOrFeet(key string, lo, hi float64) (float64, bool) {
	m, okM := s.number(key+"_m", span{lo, hi, "metres"})
	ft, okFt := s.number(key+"_ft", span{lo / feetToMetres, hi / feetToMetres, "feet"})
	if s.once(key+"_m", key+"_ft"); okM {
		return m, true
	}
	return ft * feetToMetres, okFt
}

// celsius reads key_c or key_f, in °C.
func (s *section) celsius(key string, lo, hi float64) (float64, bool) {
	c, okC := s.number(key+"_c", span{lo, hi, "degrees Celsius"})
	f, okF := s.number(key+"_f", span{lo*1.8 + 32, hi*1.8 + 32, "degrees Fahrenheit"})
	if s.once(key+"_c", key+"_f"); okC {
		return c, true
	}
	return (f - 32) / 1.8, okF
}

// once reports that two keys say the same thing.
func (s *section) once(a, b string) {
	if s.has(a) && s.has(b) {
		s.fail(s.at(b), fmt.Sprintf("`%s` and `%s` say the same thing", a, b), "keep one")
	}
}

func (s *section) rinse() string {
	words := []string{"tap", "softened", "deionised"}
	i, ok := s.choice("rinse", words)
	if !ok {
		return ""
	}
	return words[i]
}
