package window

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"dewgap/window/job"
)

// What a reading is of.
const (
	ReadAir      = "air"      // °C
	ReadHumidity = "humidity" // %
	ReadWind     = "wind"     // m/s at hand height
	ReadSalt     = "salt"
	ReadSpray    = "spray"
	ReadSurface  = "surface" // °C
	ReadWet      = "wet"
	ReadMoisture = "moisture" // % of the wood's dry weight
	ReadHaze     = "haze"     // minutes
)

// ReadingUse tells what became of one thing that was read.
type ReadingUse struct {
	At   time.Time
	Zone string // "" for the place
	Kind string // ReadAir and its like
	// Value is the number that was read, in the kind's unit; Forecast what was
	// expected there and then, the median over the members, of humidity the dew
	// point. Not known for salt, spray and wet.
	Value, Forecast Value
	// Dew is the dew point of a humidity reading, DewError how far it may be off,
	// either way, with a hygrometer that is 3 % off.
	Dew, DewError Value

	Text   string // what was read and what was expected, SI, with the clock time
	Used   bool
	Reason string // why it was not used, or what to mind; "" where there is nothing to say
}

// Patch is the test patch of one class on one zone.
type Patch struct {
	Zone  int // index into the job's zones
	Class string
}

// readings is what was read on the dock while an answer is made from it.
type readings struct {
	list  []job.Reading // in the order of their times
	uses  []ReadingUse
	of    []int          // per use: its reading
	zones map[string]int // by name
	wood  map[int]int    // by zone: the use of its latest moisture reading
	loc   *time.Location
	now   time.Time
}

// newReadings lists everything that was read. It is nil where nothing was.
func newReadings(in *Input) *readings {
	if len(in.Readings) == 0 {
		return nil
	}
	r := &readings{
		list: slices.Clone(in.Readings), zones: map[string]int{}, wood: map[int]int{},
		loc: in.Location, now: in.Now,
	}
	slices.SortStableFunc(r.list, func(a, b job.Reading) int { return a.At.Compare(b.At) })
	for i, z := range in.Job.Zones {
		r.zones[z.Name] = i
	}
	for k, m := range r.list {
		r.add(k, ReadAir, m.AirC)
		r.add(k, ReadHumidity, m.HumidityPct)
		r.add(k, ReadWind, m.WindMS)
		r.tell(k, ReadSpray, m.Spray)
		r.tell(k, ReadSalt, m.Salt)
		r.add(k, ReadSurface, m.SurfaceC)
		r.tell(k, ReadWet, m.Wet)
		r.add(k, ReadHaze, m.HazeMin)
		r.add(k, ReadMoisture, m.MoisturePct)
	}
	for u := range r.uses {
		r.uses[u].Text = r.text(u)
	}
	r.late()
	return r
}

// add lists one number, where it was read.
func (r *readings) add(k int, kind string, v job.Measured) {
	if v.Known {
		r.tell(k, kind, job.Yes)
		r.uses[len(r.uses)-1].Value = Value(v)
	}
}

// tell lists one thing that was seen, where it was told.
func (r *readings) tell(k int, kind string, t job.Told) {
	if t != job.NotTold {
		m := r.list[k]
		r.uses = append(r.uses, ReadingUse{At: m.At, Zone: m.Zone, Kind: kind})
		r.of = append(r.of, k)
	}
}

// late refuses what was read after now, or on a zone that is not there.
func (r *readings) late() {
	for u := range r.uses {
		use := &r.uses[u]
		_, there := r.zones[use.Zone]
		switch {
		case use.At.After(r.now):
			use.Reason = "it lies in the future"
		case use.Zone != "" && !there:
			use.Reason = "the job has no such zone"
		case use.Zone == "" && slices.Contains(onAZone, use.Kind):
			use.Reason = "no zone is named"
		}
	}
}

// onAZone are the kinds that say nothing without a zone.
var onAZone = []string{ReadSurface, ReadWet, ReadMoisture, ReadHaze}

// each calls f for every use of a kind that is not refused yet, in the order of
// their times.
func (r *readings) each(kind string, f func(u int, use *ReadingUse, m job.Reading)) {
	for u := range r.uses {
		if use := &r.uses[u]; use.Kind == kind && use.Reason == "" {
			f(u, use, r.list[r.of[u]])
		}
	}
}

// clock is a moment as the texts write it: the day only where it is not today's.
func (r *readings) clock(t time.Time) string {
	t = t.In(r.loc)
	if job.DateOf(t) == job.DateOf(r.now.In(r.loc)) {
		return t.Format("15:04")
	}
	return t.Format("Mon 2 Jan 15:04")
}

// text is what was read, in words.
func (r *readings) text(u int) string {
	use, m := &r.uses[u], r.list[r.of[u]]
	where := ""
	if use.Zone != "" {
		where = use.Zone + " "
	}
	v := use.Value.V
	var what string
	switch use.Kind {
	case ReadAir:
		what = fmt.Sprintf("air %.1f °C", v)
	case ReadHumidity:
		what = fmt.Sprintf("humidity %.0f %%", v)
	case ReadWind:
		what = fmt.Sprintf("wind %.1f m/s", v)
	case ReadSurface:
		what = fmt.Sprintf("%.1f °C by %s", v, [...]string{"hand", "infrared", "contact probe"}[m.By])
	case ReadWet:
		what = wordOf(m.Wet, "wet", "dry")
	case ReadSalt:
		what = wordOf(m.Salt, "salt", "no salt")
	case ReadSpray:
		what = wordOf(m.Spray, "spray", "no spray")
	case ReadMoisture:
		what = fmt.Sprintf("wood moisture %.0f %%", v)
	case ReadHaze:
		what = fmt.Sprintf("%s hazed in %.0f min", m.Product, v)
	}
	return r.clock(use.At) + " " + where + what
}

func wordOf(t job.Told, yes, no string) string {
	if t == job.Yes {
		return yes
	}
	return no
}

// foresaw notes what was expected where something was read.
func (use *ReadingUse) foresaw(v float64, unit string) {
	use.Forecast = Value{v, true}
	use.Text += fmt.Sprintf(" (forecast %.1f%s)", v, unit)
}

// slot is the slot of a reading; ok is false, and the reason noted, where it lies
// before the hours that are looked at.
func (e *evaluation) readSlot(use *ReadingUse) (slot int, ok bool) {
	if use.At.Before(e.grid.Start) || !use.At.Before(e.grid.End()) {
		use.Reason = "it lies outside the hours that are looked at"
		return 0, false
	}
	return e.grid.Index(use.At), true
}

// read brings what holds for whole zones into the job and the result: salt, test
// patches and the moisture of wood.
func (e *evaluation) read() {
	r := e.reads
	if r == nil {
		return
	}
	e.Job.Zones = slices.Clone(e.Job.Zones)
	r.salts(e)
	e.patches()
	r.each(ReadMoisture, func(u int, use *ReadingUse, _ job.Reading) {
		z := r.zones[use.Zone]
		if !wooden(e.Job.Zones[z].Finish) {
			use.Reason = e.Job.Zones[z].Finish.Name + " is not wood"
			return
		}
		if _, ok := e.readSlot(use); !ok {
			return
		}
		if before, ok := r.wood[z]; ok {
			r.supersede(before)
		}
		r.wood[z], use.Used = u, true
	})
	e.result.Readings = r.uses
}

// laterCounts is the reason of a reading that a later one of the same outdates.
const laterCounts = "a later reading counts"

// supersede takes back the use of a reading for a later one of the same.
func (r *readings) supersede(u int) {
	r.uses[u].Used, r.uses[u].Reason = false, laterCounts
}

// patches gathers the measured test patches, the latest of each.
func (e *evaluation) patches() {
	e.result.HazeMin = map[Patch]float64{}
	last := map[Patch]int{}
	e.reads.each(ReadHaze, func(u int, use *ReadingUse, m job.Reading) {
		p := Patch{e.reads.zones[use.Zone], m.Product}
		if before, ok := last[p]; ok {
			e.reads.supersede(before)
		}
		last[p], use.Used = u, true
		e.result.HazeMin[p] = use.Value.V
	})
}

// names joins the names of zones.
func (e *evaluation) names(zones []int) string {
	var out []string
	for _, z := range zones {
		out = append(out, e.Job.Zones[z].Name)
	}
	return strings.Join(out, ", ")
}
