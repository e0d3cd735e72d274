package window

import (
	"cmp"
	"fmt"
	"slices"
	"sync"
	"time"

	"dewgap/forecast"
	"dewgap/window/job"
	"dewgap/window/surface"
	"dewgap/window/verdict"
)

// evaluation is one run of Evaluate.
type evaluation struct {
	Input
	members   []*forecast.Member
	grid      surface.Grid
	sky       *surface.Sky
	weather   []*surface.Weather
	known     []knowledge
	outdoors  []*verdict.Outdoors // per member
	result    *Result
	now       int // slot of Now
	last      int // slots from here on are unknown: too old to be trusted …
	again     int // … up to here
	waterC    float64
	heatIndex []float32
	sunny     [][]bool // per deciding member and hour: sunlight is known throughout
	burning   [][]bool // and the UV index
	days      *calendar
	asked     *verdict.Asked // slots of the horizon within the crew's hours
	idle      *idle
	courses   *courses
	level     []int             // per zone: how many overhangs drain onto it one after the other
	needed    []bool            // per zone: work hangs on it
	twin      []int             // per zone: the one that is worked out for it, itself or one alike; see twins
	reads     *readings         // nil where nothing was read
	drips     [][][]bool        // per zone and member: rain water still runs off it; nil where nothing lies below
	against   compared          // empty where nothing was learned
	salt      map[int]time.Time // by zone: since when it is salty, as was read or by the wind, and nothing has washed it off
	dusty     []dusty           // per member; nil where no wind brings dust
	blows     [][]bool          // per member, see blowsOf; nil where no wind brings salt
	told      *heard            // of rain; nil where nothing was
}

// newEvaluation prepares the answer, and beside it those that it is held against
// where something was learned.
func newEvaluation(in Input) (*evaluation, error) {
	e, err := newVariant(in)
	if err != nil || in.Learned.Empty() {
		return e, err
	}
	return e, e.compare(in)
}

func newVariant(in Input) (*evaluation, error) {
	f := in.Forecast
	switch {
	case f == nil || len(f.Members) == 0 || f.N == 0 || f.Step <= 0:
		return nil, ErrNoForecast
	case in.Location == nil:
		return nil, ErrNoLocation
	}
	if err := checkElsewhere(in.Elsewhere); err != nil {
		return nil, err
	}
	if !in.Learned.Empty() {
		in.Forecast, in.Dressed = in.Learned.Weather.Correct(f, in.Dressed, in.Now)
	}
	reads := newReadings(&in)
	reads.correct(&in)
	f = in.Forecast
	e := &evaluation{Input: in, reads: reads, salt: map[int]time.Time{}}
	j := *in.Job
	j.Place.Location = in.Location // one clock for the job's days and the answer's
	e.Job = &j
	for i := range f.Members {
		e.members = append(e.members, &f.Members[i])
	}
	if len(f.Members) == 1 {
		for i := range in.Dressed {
			e.members = append(e.members, &in.Dressed[i])
		}
	}
	from, to := e.horizon()
	if !to.After(from) {
		return nil, ErrNoHorizon
	}
	e.grid = e.span(from, to)
	e.sky = in.Skies.Over(e.grid, in.Job.Place.Latitude, in.Job.Place.Longitude, in.Model)
	e.now, e.days = e.grid.Index(in.Now), e.newCalendar()
	dark := e.dark()
	e.drips, e.level = make([][][]bool, len(in.Job.Zones)), levels(in.Job.Zones)
	e.needed, e.twin = e.needs(), make([]int, len(in.Job.Zones))
	for z := range e.twin {
		e.twin[z] = z
	}
	e.last, e.again = e.grid.N, e.grid.N
	if !in.UnknownFrom.IsZero() {
		e.last = e.grid.Index(in.UnknownFrom)
	}
	if !in.UnknownUntil.IsZero() {
		e.again = e.grid.Index(in.UnknownUntil)
	}
	e.result = &Result{
		Grid: e.grid, From: e.grid.Index(from), To: e.grid.Index(to), Location: in.Location,
		Members: len(f.Members), Dressed: len(e.members) - len(f.Members), Elsewhere: in.Elsewhere,
		Dark: dark,
	}
	e.idle, e.courses = &idle{}, &courses{}
	e.asked = verdict.NewAsked(e.days.crew, e.result.From, e.result.To)
	e.read()
	return e, nil
}

// span is the grid: up to three days of past before the horizon, for the surfaces
// to settle and the clocks to look back, and as far after it as the longest clock
// looks, where the forecast reaches.
func (e *evaluation) span(from, to time.Time) surface.Grid {
	start := e.Forecast.Start
	if back := from.Add(-pastHours * time.Hour); start.Before(back) {
		start = back
	}
	if start.After(from) {
		start = from
	}
	end := to.Add(e.lookAhead())
	if end.After(e.Forecast.End()) {
		end = e.Forecast.End()
	}
	if end.Before(to) {
		end = to
	}
	return surface.NewGrid(start, end)
}

// horizon is [slot of max(now, from), 24:00 of by), at most 16 days; without a
// "by" to the forecast's end.
func (e *evaluation) horizon() (from, to time.Time) {
	from = e.Now.UTC().Truncate(surface.Slot)
	if d := e.Job.From; d != (job.Date{}) {
		if t := d.Begins(e.Location); t.After(from) {
			from = t
		}
	}
	to = e.Forecast.End()
	if d := e.Job.By; d != (job.Date{}) {
		to = d.Next().Begins(e.Location)
	}
	days := e.HorizonDays
	if days <= 0 {
		days = horizonDays
	}
	if most := from.Add(time.Duration(days) * 24 * time.Hour); to.After(most) {
		to = most
	}
	return from, to
}

// lookAhead is how far past the horizon the longest after-clock looks.
func (e *evaluation) lookAhead() time.Duration {
	h := 0.0
	for _, s := range e.Job.Steps {
		if c, ok := e.Classes.Class(s.With); ok {
			ideal := max(c.RainFree.Ideal, c.RainFree.Default, c.DewFree.Ideal, c.DewFree.Default)
			if c.Equivalent {
				ideal *= 4 // they run at a quarter at 0 °C
			}
			h = max(h, ideal)
		}
	}
	return time.Duration(h+1) * time.Hour
}

// each is sideBySide on the workers of the input.
func (e *evaluation) each(n int, f func(i int)) { sideBySide(e.Workers, n, f) }

// sideBySide runs f for 0..n−1 on so many workers, at least one; the order of the answers
// does not depend on how many there are.
func sideBySide(workers, n int, f func(i int)) {
	workers = max(1, min(workers, n))
	if workers == 1 {
		for i := range n {
			f(i)
		}
		return
	}
	var wg sync.WaitGroup
	next := make(chan int)
	for range workers {
		wg.Go(func() {
			for i := range next {
				f(i)
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	wg.Wait()
}

// knowledge is what of one member's weather is known, as the judge reads it.
type knowledge struct {
	air, wind, uv, rain []bool
	thunder, fog        []bool
	sun, amount         []bool // of sunlight and cloud; of rain as an amount
	temperature         []bool // of the air, with or without its humidity
}

func (e *evaluation) weathers() {
	site := surface.Site{
		WindShare: e.Job.Place.Wind.Share(), Members: len(e.Forecast.Members) > 1, Now: e.Now,
	}
	e.weather = make([]*surface.Weather, len(e.members))
	e.known = make([]knowledge, len(e.members))
	frame := surface.NewFrame(e.Forecast, e.sky, site, e.Model)
	e.told = e.listen()
	e.each(len(e.members), func(i int) {
		w := frame.Weather(e.members[i])
		for k := e.last; k < e.again; k++ {
			w.Flags[k] = 0
		}
		if e.told != nil {
			e.told.over(w)
		}
		e.weather[i], e.known[i] = w, know(w)
	})
	e.result.Derived, e.result.Slots = e.weather[0].Derived, e.grid.N
	e.rainies()
	e.water()
	e.winds()
	e.salty()
	e.dust()
	e.outdoors = make([]*verdict.Outdoors, len(e.members))
	e.each(len(e.members), func(m int) { e.outdoors[m] = e.outdoor(m) })
	e.warnOfBearings()
	for _, o := range e.others() {
		o.weathers()
	}
}

// outdoor is one member's weather as the judge reads it on all zones.
func (e *evaluation) outdoor(m int) *verdict.Outdoors {
	x, k := e.weather[m], e.known[m]
	var d dusty
	if e.dusty != nil {
		d = e.dusty[m]
	}
	o := &verdict.Outdoors{
		Air: x.Air, Humidity: x.Humidity, Wind: x.Wind, Gust: x.Gust, GustHigh: x.GustHigh, DustWind: d.wind, DustGust: d.gust,
		Thunder: k.thunder, Fog: k.fog, KnownAir: k.air, KnownWind: k.wind, KnownUV: k.uv, KnownRain: k.rain,
		KnownTemperature: k.temperature,
	}
	o.Prepare(e.asked)
	return o
}

func know(w *surface.Weather) knowledge {
	n := w.Grid.N
	block := make([]bool, 9*n)
	column := func(c int) []bool { return block[c*n : (c+1)*n : (c+1)*n] }
	k := knowledge{column(0), column(1), column(2), column(3), column(4), column(5), column(6), column(7), column(8)}
	for i, f := range w.Flags {
		k.air[i] = f&surface.KnownAir != 0
		k.wind[i] = f&surface.KnownWind != 0
		k.uv[i] = f&surface.KnownUV != 0
		k.rain[i] = f&surface.KnownRain != 0
		k.thunder[i] = f&surface.Thunder != 0
		k.fog[i] = f&surface.Fog != 0
		k.sun[i] = f&surface.KnownSun != 0
		k.amount[i] = f&surface.KnownAmount != 0
		k.temperature[i] = f&surface.KnownTemperature != 0
	}
	return k
}

// water is the temperature of the water behind a hull afloat: the job's, else
// the mean air of the past week.
func (e *evaluation) water() {
	if e.Job.Place.HasWaterC {
		e.waterC = e.Job.Place.WaterC
		return
	}
	e.waterC = e.weekMean()
	for _, z := range e.Job.Zones {
		if e.Job.Afloat && followsWater(z) {
			e.result.Warnings = append(e.result.Warnings, fmt.Sprintf(
				"the water's temperature is not known: %.0f °C, the mean of the air, is used; say place.water_c", e.waterC))
			return
		}
	}
}

// weekMean is the mean air temperature, °C, of the week before now; where the
// data hold less than a day of it, of the first week that they hold.
func (e *evaluation) weekMean() float64 {
	f := e.Forecast
	now := int(e.Now.Sub(f.Start) / f.Step)
	week, day := int(7*24*time.Hour/f.Step), int(24*time.Hour/f.Step)
	from, to := max(0, now-week), min(now, f.N)
	if to-from < day {
		from, to = 0, min(week, f.N)
	}
	sum, n := 0.0, 0
	for i := from; i < to; i++ {
		if t, ok := f.Members[0].Columns[forecast.AirTemperature].At(i); ok {
			sum += t
			n++
		}
	}
	return sum / float64(max(n, 1))
}

// needs tells on which zones the work hangs: it is to be done or was done there, something
// was read there, or water runs from there onto one of them.
func (e *evaluation) needs() []bool {
	needed := make([]bool, len(e.Job.Zones))
	for z, zone := range e.Job.Zones {
		needed[z] = len(zone.Done) > 0 ||
			slices.ContainsFunc(e.Job.Steps, func(s job.Step) bool { return slices.Contains(s.On, z) }) ||
			slices.ContainsFunc(e.Readings, func(r job.Reading) bool { return r.Zone == zone.Name })
	}
	for range needed { // the longest chain of overhangs settles within as many rounds
		for z := range needed {
			for above := range needed {
				needed[above] = needed[above] || needed[z] && e.dripsOn(above, z)
			}
		}
	}
	return needed
}

// fromTheTop works out the zones side by side, the upper ones first: a zone below an
// overhang waits until the overhang's water is known, which work tells by drained.
func (e *evaluation) fromTheTop(work func(z int, drained func())) {
	zones := e.Job.Zones
	e.twin = e.twins()
	var order []int
	known := make([]chan struct{}, len(zones))
	for z, needed := range e.needed {
		known[z] = make(chan struct{})
		switch {
		case !needed && e.WorkAlone:
			e.result.Zones[z].Name = zones[z].Name
			close(known[z])
		case e.twin[z] == z:
			order = append(order, z)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(e.level[a], e.level[b]) })
	e.each(len(order), func(k int) {
		z := order[k]
		for i := range zones {
			if e.dripsOn(i, z) {
				<-known[i] // somebody is at it already
			}
		}
		work(z, func() { e.stands(z, func(z int) { close(known[z]) }) })
	})
}

// zones works out every zone: tracks of the members, then every step on it.
func (e *evaluation) zones() {
	r := e.result
	r.Zones = make([]Zone, len(e.Job.Zones))
	rows := make([][]Row, len(e.Job.Zones))
	r.saltSince, r.Dewy = make([][]int32, len(e.Job.Zones)), make([][]Wet, len(e.Job.Zones))
	r.lain, r.foggy = make([][]bool, len(e.Job.Zones)), e.fogs()
	judge := func(zw *zoneWork) {
		if e.needed[zw.z] {
			own := zw.rows()
			lain, since, dewy := zw.lain(own), zw.saltSince(), zw.dewy()
			e.stands(zw.z, func(z int) {
				rows[z], r.lain[z], r.saltSince[z], r.Dewy[z] = rowsOn(z, own), lain, since, dewy
			})
		}
		zw.leave()
	}
	if e.films() {
		all := e.panels()
		e.each(len(all), func(z int) {
			if all[z] != nil {
				judge(all[z])
			}
		})
	} else { // a zone's memory goes on to the next
		e.fromTheTop(func(z int, drained func()) { judge(e.panel(z, drained)) })
	}
	for s, step := range e.Job.Steps {
		for _, z := range step.On {
			for _, row := range rows[z] {
				if row.Step == s {
					r.Rows = append(r.Rows, row)
				}
			}
		}
	}
}

// rowsOn are rows of one zone as those of a twin of it. Each has its own windows, for it
// is ranked by itself.
func rowsOn(z int, rows []Row) []Row {
	if len(rows) == 0 || rows[0].Zone == z {
		return rows
	}
	out := slices.Clone(rows)
	for i := range out {
		out[i].Zone, out[i].Windows = z, slices.Clone(out[i].Windows)
	}
	return out
}

// panel works out one zone, tells when its water is known, and notes its hours.
func (e *evaluation) panel(z int, drained func()) *zoneWork {
	zw := newZoneWork(e, z)
	zw.drain()
	drained()
	hours := zw.hours()
	e.stands(z, func(z int) { e.result.Zones[z] = Zone{e.Job.Zones[z].Name, hours} })
	return zw
}

// panels works out all zones before any is judged, by zone: nil for one that is left out
// or that another is worked out for.
func (e *evaluation) panels() []*zoneWork {
	all := make([]*zoneWork, len(e.Job.Zones))
	e.fromTheTop(func(z int, drained func()) { all[z] = e.panel(z, drained) })
	for _, o := range e.others() { // one film cures in one way
		o.result.Zones, o.result.Weather = e.result.Zones, e.result.Weather
	}
	return all
}

// shortest is the shortest useful block in slots.
func (e *evaluation) shortest() int {
	h := e.Job.ShortestH
	if h <= 0 {
		h = defaultShortestH
	}
	return int(h/verdict.SlotHours + 0.999)
}

// defaultShortestH is the shortest useful block in hours (common practice).
const defaultShortestH = 2
