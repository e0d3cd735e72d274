package window_test

import (
	"bufio"
	"fmt"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"dewgap/forecast"
	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/surface"
	"dewgap/window/verdict"
)

// scenario is one file of testdata/scenarios; its README tells the format.
type scenario struct {
	lat, lon float64
	loc      *time.Location
	day      time.Time // local midnight of day 1
	anchors  map[int][]anchor
	days     int
	rain     []spell
	gusts    []spell
	machines string
	zones    []boat.Zone
	expects  []expect
}

type anchor struct{ hour, air, dew, wind, cloud float64 }

type spell struct {
	day      int // 0: every day
	from, to int // minutes
	value    float64
}

type expect struct {
	class, zone string
	day         int
	lines       []line
}

type line struct {
	text        string
	never       bool
	state       verdict.State
	first, last int // minutes, −1 open
	limits      []string
	off         surface.Model // terms of the full model that move this edge
}

func readScenario(t *testing.T, file string) *scenario {
	t.Helper()
	f, err := os.Open(file)
	require.NoError(t, err)
	defer f.Close()
	s := &scenario{anchors: map[int][]anchor{}}
	in := bufio.NewScanner(f)
	for n := 1; in.Scan(); n++ {
		text, _, _ := strings.Cut(in.Text(), "#")
		if strings.TrimSpace(text) == "" {
			continue
		}
		require.NoError(t, s.read(text), "%s:%d", file, n)
	}
	require.NoError(t, in.Err())
	return s
}

func (s *scenario) read(text string) error {
	if strings.HasPrefix(text, "  ") {
		return s.line(strings.TrimSpace(text))
	}
	word, rest, _ := strings.Cut(text, " ")
	switch word {
	case "place":
		return nil
	case "at":
		return s.at(rest)
	case "weather":
		return s.weather(rest)
	case "rain":
		return s.spell(&s.rain, rest)
	case "gust":
		return s.spell(&s.gusts, rest)
	case "machines":
		s.machines = rest
		return nil
	case "zone":
		return s.zone(rest)
	case "expect":
		return s.expect(rest)
	}
	return fmt.Errorf("unknown word %q", word)
}

func (s *scenario) at(rest string) error {
	var utc float64
	var day int
	if _, err := fmt.Sscanf(rest, "%f %f utc %f day %d", &s.lat, &s.lon, &utc, &day); err != nil {
		return err
	}
	s.loc = time.FixedZone("", int(utc*3600))
	s.day = time.Date(2026, 1, day, 0, 0, 0, 0, s.loc)
	return nil
}

func (s *scenario) weather(rest string) error {
	rest = strings.ReplaceAll(strings.ReplaceAll(rest, ":", " "), "/", " ")
	w := strings.Fields(rest)
	day := 1
	if len(w) == 6 {
		day, _ = strconv.Atoi(w[0])
		w = w[1:]
	}
	if len(w) != 5 {
		return fmt.Errorf("want HOUR: AIR/DEW/WIND/CLOUD, got %q", rest)
	}
	var v [5]float64
	for i := range v {
		x, err := strconv.ParseFloat(w[i], 64)
		if err != nil {
			return err
		}
		v[i] = x
	}
	s.anchors[day] = append(s.anchors[day], anchor{v[0], v[1], v[2], v[3], v[4]})
	s.days = max(s.days, day)
	return nil
}

func (s *scenario) spell(to *[]spell, rest string) error {
	w := strings.Fields(rest)
	x := spell{}
	if !strings.Contains(w[0], ":") {
		x.day, _ = strconv.Atoi(w[0])
		w = w[1:]
	}
	a, b, _ := strings.Cut(w[0], "-")
	x.from, x.to = clock(a), clock(b)
	if len(w) > 1 {
		x.value, _ = strconv.ParseFloat(w[1], 64)
	}
	*to = append(*to, x)
	return nil
}

// clock turns HH:MM into minutes, "-" or "" into −1.
func clock(s string) int {
	h, m, ok := strings.Cut(s, ":")
	if !ok {
		return -1
	}
	a, _ := strconv.Atoi(h)
	b, _ := strconv.Atoi(m)
	return a*60 + b
}

var zoneLine = regexp.MustCompile(`^(.+): tilt (\S+) faces (\S+) alpha (\S+)(?: finish (\S+))?(?: roof (\S+))?$`)

func (s *scenario) zone(rest string) error {
	m := zoneLine.FindStringSubmatch(rest)
	if m == nil {
		return fmt.Errorf("want NAME: tilt T faces B alpha A, got %q", rest)
	}
	name := m[5]
	if name == "" {
		name = "white-gelcoat"
	}
	f, ok := boat.FinishByName(name)
	if !ok {
		return fmt.Errorf("no finish %q", name)
	}
	z := boat.Zone{Name: m[1], Finish: f, Skin: f.Skin, FacesTrue: true, Buffable: "unknown"}
	z.Tilt, _ = strconv.ParseFloat(m[2], 64)
	z.Faces, _ = strconv.ParseFloat(m[3], 64)
	z.Finish.Absorptance, _ = strconv.ParseFloat(m[4], 64)
	z.Shelter = map[string]boat.Shelter{
		"": boat.Open, "hardtop": boat.Hardtop, "canvas": boat.Canvas, "shed": boat.Shed,
	}[m[6]]
	s.zones = append(s.zones, z)
	return nil
}

var expectLine = regexp.MustCompile(`^(\S+) on (.+?)(?: day (\d+))?$`)

func (s *scenario) expect(rest string) error {
	m := expectLine.FindStringSubmatch(strings.TrimSpace(rest))
	if m == nil {
		return fmt.Errorf("want CLASS on ZONE, got %q", rest)
	}
	e := expect{class: m[1], zone: m[2], day: 1}
	if m[3] != "" {
		e.day, _ = strconv.Atoi(m[3])
	}
	s.expects = append(s.expects, e)
	return nil
}

var states = map[string]verdict.State{
	"ideal": verdict.Ideal, "go": verdict.Go, "marginal": verdict.Marginal, "no-go": verdict.NoGo,
	"unknown": verdict.Unknown,
}

func (s *scenario) line(text string) error {
	e := &s.expects[len(s.expects)-1]
	body, off, _ := strings.Cut(text, " without ")
	body, by, _ := strings.Cut(body, " by ")
	w := strings.Fields(body)
	l := line{text: text, limits: strings.Fields(by), first: -1, last: -1}
	for _, term := range strings.Fields(off) {
		switch term {
		case "anisotropy":
			l.off.IsotropicSky = true
		case "convection":
			l.off.LinearConvection = true
		case "longwave":
			l.off.PlainLongwave = true
		case "conduction":
			l.off.Insulated = true
		case "capacity":
			l.off.Steady = true
		default:
			return fmt.Errorf("no term %q", term)
		}
	}
	if w[0] == "never" {
		l.never = true
		w = w[1:]
	}
	state, ok := states[w[0]]
	if !ok {
		return fmt.Errorf("no state %q", w[0])
	}
	l.state = state
	if len(w) > 1 {
		a, b, _ := strings.Cut(w[1], "-")
		l.first, l.last = clock(a), clock(b)
	}
	e.lines = append(e.lines, l)
	return nil
}

const minutesADay = 24 * 60

// days that the forecast has, and the day of the grid that is day 1: one day of
// past, so that the surfaces have settled and the dry-off clock knows.
const (
	dataDays = 6
	dayOne   = 1
)

// forecast spreads the anchors over ten-minute steps, as the hand checks do.
func (s *scenario) forecast(step time.Duration) *forecast.Forecast {
	perDay := int(24 * time.Hour / step)
	n := dataDays * perDay
	f := &forecast.Forecast{
		Service: "scenario", Start: s.day.AddDate(0, 0, -dayOne).UTC(), Step: step, N: n,
		Members: make([]forecast.Member, 1),
	}
	m := &f.Members[0]
	for _, q := range []forecast.Quantity{
		forecast.AirTemperature, forecast.DewPoint, forecast.WindSpeed, forecast.CloudCover,
		forecast.Precipitation, forecast.Gust,
	} {
		m.Columns[q] = forecast.NewColumn(n)
	}
	for i := range n {
		day, minute := i/perDay, (i%perDay)*minutesADay/perDay
		a := s.between(day-dayOne+1, float64(minute)/60)
		m.Columns[forecast.AirTemperature].Set(i, a.air)
		m.Columns[forecast.DewPoint].Set(i, a.dew)
		m.Columns[forecast.WindSpeed].Set(i, a.wind)
		m.Columns[forecast.CloudCover].Set(i, 100*a.cloud)
		mm := 0.0
		if _, ok := during(s.rain, day-dayOne+1, minute, s.days); ok {
			mm = 2 * step.Hours()
		}
		m.Columns[forecast.Precipitation].Set(i, mm)
		if g, ok := during(s.gusts, day-dayOne+1, minute, s.days); ok {
			m.Columns[forecast.Gust].Set(i, g)
		}
	}
	return f
}

// during finds a spell that holds the minute of a day; the last day repeats.
func during(spells []spell, day, minute, days int) (float64, bool) {
	for _, x := range spells {
		if x.day != 0 && x.day != day && !(day > days && x.day == days) {
			continue
		}
		if minute >= x.from && minute < x.to {
			return x.value, true
		}
	}
	return 0, false
}

// between is the weather of a day (1-based; the first and the last repeat
// outwards) at an hour, on the line between anchors.
func (s *scenario) between(day int, hour float64) anchor {
	list := s.anchors[min(max(day, 1), s.days)]
	for i := 1; i < len(list); i++ {
		a, b := list[i-1], list[i]
		if hour < b.hour || i == len(list)-1 {
			x := (hour - a.hour) / (b.hour - a.hour)
			return anchor{
				hour, a.air + (b.air-a.air)*x, a.dew + (b.dew-a.dew)*x,
				a.wind + (b.wind-a.wind)*x, a.cloud + (b.cloud-a.cloud)*x,
			}
		}
	}
	// A file that ends before 24:00 goes back to its beginning.
	return list[len(list)-1]
}

// job puts one class on one zone, with nobody's hours in the way.
func (s *scenario) job(e expect) *job.Job {
	j := &job.Job{
		Place: job.Place{Latitude: s.lat, Longitude: s.lon, Location: s.loc, Wind: job.WindAtWork},
		Zones: s.zones, People: 2, Lamps: true, Towel: true, Sure: 0.8, ShortestH: 2, Rinse: "tap",
	}
	for i, z := range s.zones {
		if z.Name == e.zone {
			j.Steps = []job.Step{{Name: "work", Do: "seal", With: e.class, On: []int{i}}}
		}
	}
	j.Place.Machines = machineHours(s.machines)
	return j
}

func machineHours(text string) job.Schedule {
	if text == "" {
		return job.Schedule{}
	}
	out := job.Schedule{Set: true}
	for _, part := range strings.Split(text, ",") {
		a, b, _ := strings.Cut(strings.TrimSpace(part), "-")
		out.Default = append(out.Default, job.ClockSpan{From: job.Minutes(clock(a)), To: job.Minutes(clock(b))})
	}
	return out
}
