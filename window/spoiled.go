package window

import (
	"fmt"
	"math"
	"slices"
	"time"

	"dewgap/products"
	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/surface"
)

// Fate is what rain makes of work that was done before it.
type Fate uint8

// The fates, worst last.
const (
	Good    Fate = iota // nothing is lost
	Inspect             // wetted between the hard and the usual hours: dry it, look at it in the sun
	Rewash              // bare or clean for the next step: wash and dry it anew, nothing else is lost
	Redo                // wetted too soon: strip it and do it again
)

var fateNames = [...]string{"good", "inspect", "rewash", "redo"}

// String is the fate's name, as the JSON answer promises it.
func (f Fate) String() string { return fateNames[f] }

// Left is how sections were left when rain came, as the person saw it.
type Left uint8

// How work is left. Where nobody says, the clock of the class decides.
const (
	LeftUnsaid  Left = iota
	LeftHazing       // on the panel and not wiped off, levelled or rinsed
	LeftBuffed       // wiped off, still curing
	LeftUncured      // laid on to stay, still curing
)

var leftNames = [...]string{"", "hazing", "buffed", "uncured"}

// MarshalText writes how work was left as a word, for whoever keeps it.
func (l Left) MarshalText() ([]byte, error) {
	if int(l) >= len(leftNames) {
		return nil, fmt.Errorf("no way to leave work: %d", l)
	}
	return []byte(leftNames[l]), nil
}

// UnmarshalText reads that word.
func (l *Left) UnmarshalText(text []byte) error {
	i := slices.Index(leftNames[:], string(text))
	if i < 0 {
		return fmt.Errorf("no way to leave work: %q", text)
	}
	*l = Left(i)
	return nil
}

// Worked is work that was done: a step on a part of a zone, its sections put on
// one after the other.
type Worked struct {
	Step, Zone int // indices into the job's steps and zones
	// From and To are when the first section was put on and when the last one was.
	// A zero From: all at To, which is the strict side.
	From, To time.Time
	Share    float64 // of the zone, 0 < share ≤ 1
	Left     Left    // of all of it
}

// Rain is a spell of rain.
type Rain struct {
	From, To time.Time // half-open
	MM       float64   // in all, where HasMM
	HasMM    bool
	Observed bool // somebody saw it; else it is the forecast's
}

// SpoilInput is what the fate of work depends on.
type SpoilInput struct {
	Job     *job.Job
	Classes Classes
	Worked  []Worked
	Rain    []Rain
	// Result tells temperature, humidity, wind and water from the work's beginning
	// on. Without one, haze runs as at 20 °C, clocks in equivalent hours have no
	// time in them, and nothing is said of drying.
	Result *Result
}

// ZoneFate is what became of a part of a zone.
type ZoneFate struct {
	Zone, Step int // the step whose work lies open there
	Fate       Fate
	Hazing     bool // still hazing: rinse it, never wipe it
	Share      float64
	AreaM2     float64   // 0 where the zone's is not known
	From, To   time.Time // when its first section was put on and its last
	Rain       int       // the spell that decides, −1 where none reached it
	// LeastH and MostH are the hours from putting on to that rain: of the last
	// section and of the first; in equivalent hours where the class counts so.
	LeastH, MostH float64
	WantH, HardH  float64 // what the class asks for: usual and hard
	Roofed        bool    // rain came and did not reach it
	Driven        bool    // under a roof, but the wind was strong enough to drive the rain
	Rinsed        bool    // enough rain to rinse loose salt off an open deck
	// Towel and Unaided are when it is dry again, with a towel and by itself; zero
	// where the data do not show it or it is not allowed.
	Towel, Unaided time.Time
}

// Figures of common practice, no source.
const (
	rinseMM      = 3   // rain that rinses an open deck
	drivenMS     = 5   // wind that drives rain under a roof
	deckTilt     = 45  // degrees below which a panel is a deck
	wipingMin    = 10  // what a section takes to be wiped once its haze is over
	usualSpreadK = 3.0 // over dew point for a towel, where no class says
	dryFilmGM2   = 1.0 // a dry panel, where no class says
	unstatedRain = 0.5 // mm an hour where nobody measured
)

// Spoil tells what rain makes of the work done before it, part by part of each
// zone: by the rule that nothing is lost after the usual rain-free hours of the
// class, that what was wetted between the hard and the usual ones is looked at,
// that what was wetted sooner, or before it was wiped off, is done again, and
// that a bare or freshly stripped panel is washed anew.
func Spoil(in SpoilInput) []ZoneFate {
	s := spoiler{in}
	var out []ZoneFate
	for z := range in.Job.Zones {
		out = append(out, s.zone(z)...)
	}
	return out
}

type spoiler struct{ SpoilInput }

// zone goes through the steps on a zone in their order. What a later step covers
// no longer lies open.
func (s *spoiler) zone(z int) []ZoneFate {
	var out []ZoneFate
	covered := 0.0
	for step := len(s.Job.Steps) - 1; step >= 0; step-- {
		if s.Job.Steps[step].Do == "inspect" {
			continue
		}
		var parts []ZoneFate
		done := 0.0
		for _, w := range s.Worked {
			if w.Zone == z && w.Step == step && w.Share > 0 {
				done += w.Share
				parts = append(parts, s.work(w)...)
			}
		}
		if open := min(done, 1) - covered; open > 1e-9 {
			out = append(openParts(parts, open/done), out...)
			covered += open
		}
	}
	return out
}

// openParts scales the parts of a step to the share that lies open.
func openParts(parts []ZoneFate, by float64) []ZoneFate {
	for i := range parts {
		parts[i].Share *= by
		parts[i].AreaM2 *= by
	}
	return parts
}

// work tells the fates of one stretch of work.
func (s *spoiler) work(w Worked) []ZoneFate {
	if w.From.IsZero() || w.From.After(w.To) {
		w.From = w.To
	}
	c, _ := s.Classes.Class(s.Job.Steps[w.Step].With)
	if !c.RainFree.Given {
		return []ZoneFate{s.bare(w, c)}
	}
	var out []ZoneFate
	n := max(1, int(math.Ceil(w.To.Sub(w.From).Minutes()/surface.SlotMinutes)))
	for i := range n {
		x := s.section(w, c, i, n)
		if k := len(out) - 1; k >= 0 && out[k].Fate == x.Fate && out[k].Hazing == x.Hazing && out[k].Rain == x.Rain {
			out[k].To, out[k].LeastH = x.To, x.LeastH
			out[k].Share += x.Share
			out[k].AreaM2 += x.AreaM2
			continue
		}
		out = append(out, x)
	}
	for i := range out {
		s.after(&out[i], c)
	}
	return out
}

// bare is the fate of work that leaves no film: a washed panel only gets wet, one
// that lies bare or stripped is washed anew before the next step.
func (s *spoiler) bare(w Worked, c products.Class) ZoneFate {
	x := s.fate(w, w.From, w.To, w.Share)
	if s.rain(&x, s.washed(w)); x.Rain >= 0 && rainUndoes(s.Job.Steps[w.Step].Do) {
		x.Fate = Rewash
	}
	s.after(&x, c)
	return x
}

// rainUndoes reports whether work leaves a panel bare or stripped, to be washed anew after rain.
func rainUndoes(do string) bool { return do == "correct" || do == "wipe down" || do == "strip wash" }

// washed is when a panel was last washed since work on it ended, else when that
// ended: rain before it has been washed off.
func (s *spoiler) washed(w Worked) time.Time {
	last := w.To
	for _, x := range s.Worked {
		if do := s.Job.Steps[x.Step].Do; x.Zone == w.Zone && (do == "wash" || do == "strip wash") && x.Share >= w.Share && x.To.After(last) {
			last = x.To
		}
	}
	return last
}

func (s *spoiler) fate(w Worked, from, to time.Time, share float64) ZoneFate {
	return ZoneFate{
		Zone: w.Zone, Step: w.Step, Share: share, AreaM2: s.Job.Zones[w.Zone].AreaM2 * share, From: from, To: to, Rain: -1,
	}
}

// section is the fate of section i of n: put on by its end, held against the
// first rain that was not over when it was begun.
func (s *spoiler) section(w Worked, c products.Class, i, n int) ZoneFate {
	d := w.To.Sub(w.From) / time.Duration(n)
	from, to := w.From.Add(time.Duration(i)*d), w.From.Add(time.Duration(i+1)*d)
	x := s.fate(w, from, to, w.Share/float64(n))
	x.WantH, x.HardH = c.RainFree.Default, c.RainFree.Hard
	if !c.RainFree.HasHard {
		x.HardH = c.RainFree.Default
	}
	if s.rain(&x, from); x.Rain < 0 {
		return x
	}
	r := s.Rain[x.Rain].From
	x.MostH, x.LeastH = s.hours(w.Zone, c, from, r), s.hours(w.Zone, c, to, r)
	x.Hazing = s.hazing(w, c, to, r)
	switch {
	case x.Hazing, x.LeastH < x.HardH-1e-9:
		x.Fate = Redo
	case x.LeastH < x.WantH-1e-9:
		x.Fate = Inspect
	}
	if x.Driven && x.Fate == Redo && !x.Hazing {
		x.Fate = Inspect // it may have stayed dry
	}
	return x
}

// rain finds the first rain after a moment that reaches a zone.
func (s *spoiler) rain(x *ZoneFate, after time.Time) {
	first := func(i int) bool {
		return s.Rain[i].To.After(after) && (x.Rain < 0 || s.Rain[i].From.Before(s.Rain[x.Rain].From))
	}
	for i := range s.Rain {
		if !first(i) {
			continue
		}
		if !rainReaches(s.Job, x.Zone, s.Rain[i].From) {
			if x.Roofed = true; !s.drives(x.Zone, s.Rain[i]) {
				continue
			}
			x.Driven = true
		}
		x.Rain = i
	}
	x.Roofed = x.Roofed && x.Rain < 0
}

// drives reports whether the wind in a spell may drive its rain under the roof over a
// zone; none drives it up under one that faces down.
func (s *spoiler) drives(zone int, r Rain) bool {
	if s.Result == nil || !surface.RainFalls(s.Job.Zones[zone].Tilt, surface.NoRoof) {
		return false
	}
	for _, h := range s.Result.Weather {
		if h.At.Before(r.To) && h.At.Add(time.Hour).After(r.From) && h.Wind.Known && h.Wind.V >= drivenMS {
			return true
		}
	}
	return false
}

// hazing reports whether a section put on at a moment was not wiped off when the
// rain came: as the person says, else by the class's shortest haze and the time
// that wiping takes.
func (s *spoiler) hazing(w Worked, c products.Class, on, rain time.Time) bool {
	switch {
	case w.Left != LeftUnsaid:
		return w.Left == LeftHazing
	case !rain.After(on):
		return true
	case !c.HazeMin.Given:
		return false
	}
	haze := ownHaze(s.Result, s.Job, w.Step, w.Zone, &c)
	if haze <= 0 {
		haze = c.HazeMin.Min
		if s.Result != nil {
			if slot, ok := s.slot(on); ok {
				p := planner{r: s.Result}
				haze = p.hazeMin(&work{zone: w.Zone, class: c}, slot)
			}
		}
	}
	return rain.Sub(on).Minutes() < haze+wipingMin
}

// slot of the result's horizon that holds a moment.
func (s *spoiler) slot(t time.Time) (int, bool) {
	g := s.Result.Grid
	i := int(math.Floor(t.Sub(g.At(s.Result.From)).Minutes() / surface.SlotMinutes))
	return i, i >= 0 && i < s.Result.To-s.Result.From
}

// hours between two moments as a class counts them, see [standing].
func (s *spoiler) hours(zone int, c products.Class, from, to time.Time) float64 {
	return standing{s.Result, c, zone, from}.hours(to)
}

// after says when a wetted part is dry again and whether the rain rinsed it.
func (s *spoiler) after(x *ZoneFate, c products.Class) {
	if x.Rain < 0 {
		return
	}
	z := s.Job.Zones[x.Zone]
	end, total := s.Rain[x.Rain].To, 0.0
	for _, r := range s.Rain {
		if !r.From.Before(s.Rain[x.Rain].From) {
			if r.To.After(end) {
				end = r.To
			}
			total += r.MM
		}
	}
	x.Rinsed = total >= rinseMM && z.Tilt < deckTilt && s.Job.ZoneAt(x.Zone, s.Rain[x.Rain].From).Shelter == boat.Open
	if s.Result == nil {
		return
	}
	if x.Fate != Good {
		c = s.next(x)
	}
	x.Towel, x.Unaided = s.dry(x.Zone, c, end)
}

// next is the class that the panel must be dry for: of the first step from the
// work on that is held off the dew point.
func (s *spoiler) next(x *ZoneFate) products.Class {
	for step := x.Step; step < len(s.Job.Steps); step++ {
		c, ok := s.Classes.Class(s.Job.Steps[step].With)
		if ok && c.SpreadK.Given && slices.Contains(s.Job.Steps[step].On, x.Zone) {
			return c
		}
	}
	return products.Class{Towel: true}
}

// dry finds the first hour after a moment from which a towel dries a panel for a
// class, its spread at least the usual one and rising, and the one by which the
// water is gone by itself.
func (s *spoiler) dry(zone int, c products.Class, after time.Time) (towel, unaided time.Time) {
	need, film := usualSpreadK, dryFilmGM2
	if c.SpreadK.Given {
		need = c.SpreadK.Default.Min
	}
	if c.HasFilmMax {
		film = c.FilmMaxGM2
	}
	hours := s.Result.Zones[zone].Hours
	for h := 1; h < len(hours); h++ {
		at := s.Result.Weather[h].At
		was, is := hours[h-1].Spread, hours[h].Spread
		if towel.IsZero() && s.Job.Towel && c.Towel && !at.Before(after) && was.Known && is.Known && is.V >= need && is.V > was.V {
			towel = at
		}
		if end := at.Add(time.Hour); unaided.IsZero() && !end.Before(after) && hours[h].Film.Known && hours[h].Film.V <= film {
			unaided = end
		}
	}
	if !unaided.IsZero() && (towel.IsZero() || unaided.Before(towel)) && c.Towel && s.Job.Towel {
		towel = unaided // it was dry before anybody could have towelled it
	}
	return towel, unaided
}
