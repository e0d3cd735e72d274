package window

import (
	"fmt"
	"slices"
	"time"

	"dewgap/forecast"
	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/surface"
	"dewgap/window/verdict"
)

// onshoreMS is the wind, m/s as it is forecast, from which it carries spray and salt
// over a berth (common practice, no source; Beaufort 5, many white horses).
const onshoreMS = 8

// saltyWinds reports whether a job names winds that bring salt.
func saltyWinds(p *job.Place) bool {
	return (p.HasOnshore || p.HasExposed) && p.WaterKind != "fresh"
}

// bringsSalt reports whether a wind from a true bearing brings salt to a place.
func bringsSalt(p *job.Place, from float64) bool {
	return p.HasOnshore && (boat.Sector{From: p.OnshoreFrom, To: p.OnshoreTo}).Contains(from) ||
		p.HasExposed && (boat.Sector{From: p.ExposedFrom, To: p.ExposedTo}).Contains(from)
}

// blow tells whether salt comes over in interval k of a member; ok is false where
// its wind is not known.
func (e *evaluation) blow(m *forecast.Member, k int) (blows, ok bool) {
	v, ok := m.Columns[forecast.WindSpeed].At(k)
	if !ok || v < onshoreMS {
		return false, ok
	}
	from, ok := m.Columns[forecast.WindFrom].At(k)
	return ok && bringsSalt(&e.Job.Place, from), ok
}

// winds works out the salt that the wind brings: from the forecast's past the zones
// that are salty now, and for each member the slots in which more comes over.
func (e *evaluation) winds() {
	e.sprayTold()
	if !saltyWinds(&e.Job.Place) {
		return
	}
	now := int(e.Now.Sub(e.Forecast.Start) / e.Forecast.Step)
	e.blown(now)
	e.blows = make([][]bool, len(e.members))
	for i, m := range e.members {
		e.blows[i] = e.blowsOf(m, now)
	}
	e.warnOfWind()
}

// sprayTold makes every zone open to spray salty where the job says that it has come.
func (e *evaluation) sprayTold() {
	if e.Job.Since.Spray != "yes" || e.Job.Place.WaterKind == "fresh" {
		return
	}
	var salty []int
	e.Job.Zones = slices.Clone(e.Job.Zones)
	for z := range e.Job.Zones {
		if e.openOfLate(e.Job.Zones[z]) {
			e.Job.Zones[z].Salt = true
			salty = append(salty, z)
		}
	}
	e.warnOfSalt("the job says that spray has come over", salty)
}

// openOfLate reports whether a zone lay open to spray at any time of the last two
// days: nobody said when it came, and a sheet put up since takes off none of it.
func (e *evaluation) openOfLate(z boat.Zone) bool {
	since := e.Now.Add(-saltLasts)
	if e.sprayed(z, since) {
		return true
	}
	return slices.ContainsFunc(e.Job.Covers, func(c job.Cover) bool {
		return c.To.After(since) && c.To.Before(e.Now) && e.sprayed(z, c.To)
	})
}

// sprayed reports whether spray gets at a zone: not under a sheet or in a shed, but
// under a hardtop, for its sides are open.
func (e *evaluation) sprayed(z boat.Zone, t time.Time) bool {
	roof, _ := roofAt(e.Job, &z, t)
	return roof <= surface.Hardtop
}

// blown finds the zones that the wind of the last two days has made salty. The
// person's own word outranks it.
func (e *evaluation) blown(now int) {
	f, known, last := e.Forecast, true, -1
	first := max(0, int(e.Now.Add(-saltLasts).Sub(f.Start)/f.Step))
	deciding := e.members[:e.deciding()]
	for k := first; k < min(now, f.N); k++ {
		blows := 0
		for _, m := range deciding {
			b, ok := e.blow(m, k)
			if known = known && ok; b {
				blows++
			}
		}
		if 2*blows >= len(deciding) {
			last = k
		}
	}
	told := e.Job.Since.Spray != "" || e.saltRead()
	e.result.SprayUnknown = !told && (!known || f.Start.After(e.Now.Add(-saltLasts)))
	until := f.Start.Add(time.Duration(last+1) * f.Step)
	if last < 0 || e.Job.Since.Spray == "no" || e.Job.Since.HasWash && e.Job.Since.Wash.After(until) {
		return
	}
	var salty []int
	for z := range e.Job.Zones {
		_, read := e.salt[z]
		zone := e.Job.Zones[z]
		if !read && !zone.Salt && e.sprayed(zone, until.Add(-f.Step)) && !rinsedAfter(e.Job, z, until) && !e.readClean(z, until) {
			salty = append(salty, z)
		}
	}
	e.saltedBy(salty, until)
}

// saltedBy makes zones salty since a moment.
func (e *evaluation) saltedBy(zones []int, until time.Time) {
	if len(zones) == 0 {
		return
	}
	e.Job.Zones = slices.Clone(e.Job.Zones)
	e.result.Blown = until
	for _, z := range zones {
		e.Job.Zones[z].Salt, e.salt[z] = true, until
		e.result.Salted = append(e.result.Salted, z)
	}
	slices.Sort(e.result.Salted)
	e.warnOfSalt(fmt.Sprintf("onshore wind of %d m/s or more until %s has brought salt to", onshoreMS, e.stamp(until)), zones)
}

func (e *evaluation) stamp(t time.Time) string { return t.In(e.Location).Format("Mon 2 Jan 15:04") }

// saltRead reports whether somebody has looked for salt or spray of late.
func (e *evaluation) saltRead() bool {
	return slices.ContainsFunc(e.result.Readings, func(u ReadingUse) bool {
		return (u.Kind == ReadSalt || u.Kind == ReadSpray) && e.Now.Sub(u.At) <= saltLasts
	})
}

// readClean reports whether a zone was read to be free of salt after a moment.
func (e *evaluation) readClean(z int, after time.Time) bool {
	if e.reads == nil {
		return false
	}
	for u, use := range e.reads.uses {
		if use.Kind == ReadSalt && use.At.After(after) && e.reads.list[e.reads.of[u]].Salt == job.No &&
			(use.Zone == "" || use.Zone == e.Job.Zones[z].Name) {
			return true
		}
	}
	return false
}

// blowsOf are the slots, from now on, in which a member's wind brings salt, one more
// in front: whether it does before the grid begins. nil where none.
func (e *evaluation) blowsOf(m *forecast.Member, now int) []bool {
	f := e.Forecast
	out, some := make([]bool, 1+e.grid.N), false
	for k := max(now, 0); k < f.N && f.Start.Add(time.Duration(k)*f.Step).Before(e.grid.Start); k++ {
		b, _ := e.blow(m, k)
		out[0] = out[0] || b
	}
	for i := range e.grid.N {
		k, ok := f.Index(e.grid.Middle(i))
		if !ok || k < now || i < e.now || i >= e.last && i < e.again {
			continue
		}
		out[1+i], _ = e.blow(m, k)
		some = some || out[1+i]
	}
	if !some && !out[0] {
		return nil
	}
	return out
}

// warnOfWind says when salt is forecast to come over, by the member that is shown.
func (e *evaluation) warnOfWind() {
	b := e.blows[0]
	if b == nil {
		return
	}
	var spells []string
	for i := 0; i < e.grid.N; i++ {
		if !b[1+i] {
			continue
		}
		from := i
		for i < e.grid.N && b[1+i] {
			i++
		}
		spells = append(spells, e.stamp(e.grid.At(from))+" to "+e.stamp(e.grid.At(i)))
	}
	if len(spells) == 0 {
		return
	}
	more := ""
	if len(spells) > 3 {
		spells, more = spells[:3], fmt.Sprintf(" and %d times more", len(spells)-3)
	}
	e.result.Warnings = append(e.result.Warnings, fmt.Sprintf(
		"onshore wind of %d m/s or more is forecast %s%s: what lies open to it is salty from then until it is washed",
		onshoreMS, andAll(spells), more))
}

// salts is where member m's salt lies on a zone: in the slots in which it comes over,
// and in those since the first of them, for what nobody washes first. nil where none.
func (w *zoneWork) salts(m int) (falls, lies []bool) {
	if w.blows == nil || w.blows[m] == nil {
		return nil, nil
	}
	b := w.blows[m]
	falls, lies = make([]bool, w.grid.N), make([]bool, w.grid.N)
	salty := b[0] && w.sprayed(w.zone, w.grid.Start)
	for i := range falls {
		falls[i] = b[1+i] && w.sprayed(w.zone, w.grid.Middle(i))
		salty = salty || falls[i]
		lies[i] = salty
	}
	return falls, lies
}

// saltRule is what of the salt to come a step has to mind: a wash none, what comes
// after a wash that is still to do only what has come since, all else all of it.
func (w *zoneWork) saltRule(step int) verdict.SaltRule {
	if w.blows == nil || washes(w.Job.Steps[step]) {
		return verdict.SaltWashed
	}
	for _, s := range w.Job.Steps[:step] {
		if washes(s) && slices.Contains(s.On, w.z) && !doneBefore(w.Job, w.z, s, w.Now) {
			return verdict.SaltFalls
		}
	}
	return verdict.SaltLies
}

// saltSince is, per slot of the horizon, how many slots of it are over
// before a wash may end that serves work beginning there: in as many of the deciding
// members as must agree no salt has come over since. nil where it never comes.
func (w *zoneWork) saltSince() []int32 {
	if w.blows == nil {
		return nil
	}
	deciding := w.deciding()
	may := deciding - max(1, int(w.sure()*float64(deciding)+0.999999))
	from, to := w.result.From, w.result.To
	last, ends := make([]int32, deciding), make([]int32, deciding)
	falls := make([][]bool, deciding)
	some := false
	for m := range falls {
		falls[m] = w.falls[m]
		some = some || falls[m] != nil
	}
	if !some {
		return nil
	}
	out := make([]int32, to-from)
	for i := range out {
		copy(ends, last)
		slices.Sort(ends)
		out[i] = ends[deciding-1-may]
		for m, f := range falls {
			if f != nil && f[from+i] {
				last[m] = int32(i + 1)
			}
		}
	}
	return out
}
