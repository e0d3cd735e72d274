package window

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"time"

	"dewgap/products"
	"dewgap/window/boat"
	"dewgap/window/crew"
	"dewgap/window/job"
	"dewgap/window/plan"
	"dewgap/window/surface"
	"dewgap/window/verdict"
)

// Labour beyond the classes' rates (common practice, from memory): factors on
// the hours by how a zone is reached, the middles of 1.3–1.6 and 1.5–2, for
// machine work on a dark hull, and m² an hour of sanding, inspecting and of
// washing a panel that lay bare overnight.
const (
	ladderFactor  = 1.45
	harnessFactor = 1.75
	floatFactor   = 1.45
	darkFactor    = 1.3
	darkFrom      = 0.7 // absorptance of a dark finish
	sandM2H       = 8
	inspectM2H    = 60
	rewashM2H     = 40
	assumedH      = 2 // of a zone without a size
	repairDayH    = 8 // rates of repairs are by the day
	// What there is to wash on a metre of rail, toe rail or joint, and round one repair, m²:
	// a tube of 3 cm all round, and two hands' breadths. Two hours for twenty metres of rail,
	// as of a zone without a size, had a day of a boat planned for what takes ten minutes.
	m2AMetre  = 0.1
	m2ARepair = 0.1
)

// accessFactor is what the way to a zone adds to the hours.
func accessFactor(a boat.Access) float64 {
	switch a {
	case boat.Ladder:
		return ladderFactor
	case boat.Harness:
		return harnessFactor
	case boat.Float:
		return floatFactor
	default:
		return 1
	}
}

// size of a zone in the unit of a class's rate; 0 where it is not known.
func size(z boat.Zone, unit string) float64 {
	switch {
	case unit == "m":
		return z.LengthM
	case unit == "count":
		return float64(z.Count)
	case z.AreaM2 > 0:
		return z.AreaM2
	}
	return max(m2AMetre*z.LengthM, m2ARepair*float64(z.Count))
}

// WashM2 is what there is to wash on a zone, m²: its area, else that of what counts by the
// metre or by number; 0 where no size is known.
func WashM2(z boat.Zone) float64 { return size(z, "m2") }

// hours is what one coat of a step takes one person on a zone, and what to say
// of it. The person's own hours for the step are split by size.
func (p *planner) hours(step int, zone int, c products.Class) PlanTask {
	s, z := p.j.Steps[step], p.j.Zones[zone]
	t := PlanTask{Step: step, Zone: zone, AreaM2: z.AreaM2, Access: accessFactor(z.Access)}
	rate, unit := rateOf(c)
	n := size(z, unit)
	switch {
	case s.Hours > 0:
		t.PersonHours, t.Access = s.Hours*p.shareOf(step, zone, unit)/float64(max(1, s.Coats)), 1
	case n > 0 && rate > 0:
		if c.Do == "correct" && z.Finish.Absorptance >= darkFrom {
			t.Access *= darkFactor
		}
		t.Rate = rate / t.Access
		t.PersonHours = n / t.Rate
	default:
		t.PersonHours, t.Access, t.Assumed = assumedH, 1, true
	}
	return t
}

// rateOf is the middle of a class's rate per hour, and its unit.
func rateOf(c products.Class) (rate float64, unit string) {
	switch {
	case c.ID == "":
		return inspectM2H, "m2"
	case !c.RateM2H.Given:
		return 0, c.RateUnit
	case c.RateUnit == "count":
		return (c.RateM2H.Min + c.RateM2H.Max) / 2 / repairDayH, c.RateUnit
	}
	return (c.RateM2H.Min + c.RateM2H.Max) / 2, c.RateUnit
}

// shareOf is a zone's share of a step's zones by size; alike where a size is
// missing.
func (p *planner) shareOf(step, zone int, unit string) float64 {
	on := p.j.Steps[step].On
	sum := 0.0
	for _, z := range on {
		n := size(p.j.Zones[z], unit)
		if n <= 0 {
			return 1 / float64(len(on))
		}
		sum += n
	}
	return size(p.j.Zones[zone], unit) / sum
}

// add makes the works of one row: a coat each, less what is done.
func (p *planner) add(row int) {
	r := &p.r.Rows[row]
	s := p.j.Steps[r.Step]
	coats := max(1, s.Coats)
	said := p.hours(r.Step, r.Zone, r.Class)
	left := float64(coats) * (1 - p.doneShare(r.Zone, s))
	for c := 1; c <= coats; c++ {
		part := min(1, left-float64(coats-c))
		if part <= 1e-9 {
			continue
		}
		w := work{row: row, step: r.Step, zone: r.Zone, coat: c, coats: coats, class: r.Class, task: said}
		w.task.Row, w.task.Coat, w.task.Coats = row, c, coats
		w.task.AreaM2 *= part
		h := said.PersonHours * part
		if c > 1 && s.Sand && said.AreaM2 > 0 {
			h += said.AreaM2 * part / sandM2H
		}
		w.person = max(1, slotsOfHours(h))
		p.works = append(p.works, w)
	}
}

// unsized notes in one sentence of which zones no size is known, and what that
// makes of the work left there: zones may be many, and the words are the same.
func (p *planner) unsized() {
	var zones, steps []string
	for _, w := range p.works {
		if !w.task.Assumed {
			continue
		}
		if z := p.j.Zones[w.zone].Name; !slices.Contains(zones, z) {
			zones = append(zones, z)
		}
		if s := p.j.Steps[w.step].Name; !slices.Contains(steps, s) {
			steps = append(steps, s)
		}
	}
	p.slender()
	if len(zones) == 0 {
		return
	}
	if more := len(zones) - unsizedNamed; more > 1 {
		zones = append(zones[:unsizedNamed:unsizedNamed], fmt.Sprintf("%d more zones", more))
	}
	where, each := "there", ""
	if len(zones) > 1 {
		where = "on each"
	}
	if len(steps) > 1 {
		each = "each step: "
	}
	p.notes = append(p.notes, fmt.Sprintf("no %s is known of %s: %d h of work assumed %s for %s%s",
		p.lacking(), andAll(zones), assumedH, where, each, andAll(steps)))
}

// lacking is what of the zones without a size the rates of their products count by: who
// has given the area of one that is polished by the metre is told to give its length.
func (p *planner) lacking() string {
	word := ""
	for _, w := range p.works {
		if !w.task.Assumed {
			continue
		}
		by := "size"
		switch _, unit := rateOf(w.class); unit {
		case "m":
			by = "length"
		case "count":
			by = "number"
		}
		if word != "" && word != by {
			return "size"
		}
		word = by
	}
	return word
}

// slender notes of which zones an area was taken for their length or number. It names no
// figure, which the reader's units would round away.
func (p *planner) slender() {
	var zones []string
	for _, w := range p.works {
		z := p.j.Zones[w.zone]
		_, unit := rateOf(w.class)
		if w.task.Assumed || p.j.Steps[w.step].Hours > 0 || unit == "m" || unit == "count" || z.AreaM2 > 0 || slices.Contains(zones, z.Name) {
			continue
		}
		zones = append(zones, z.Name)
	}
	if len(zones) == 0 {
		return
	}
	if more := len(zones) - unsizedNamed; more > 1 {
		zones = append(zones[:unsizedNamed:unsizedNamed], fmt.Sprintf("%d more zones", more))
	}
	p.notes = append(p.notes, fmt.Sprintf("on %s, without an area, the work is that of a narrow strip along the length, or of a patch for each repair", andAll(zones)))
}

// unsizedNamed is how many zones without a size are named where there are more.
const unsizedNamed = 3

// andAll joins words as a sentence does.
func andAll(words []string) string {
	last := len(words) - 1
	if last < 1 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:last], ", ") + " and " + words[last]
}

// doneOf is what the job says is done of a step on a zone, by its name or, where
// no step has that name, by what it does.
func (p *planner) doneOf(zone int, s job.Step) (boat.Done, bool) {
	d, ok := p.j.Zones[zone].Done[s.Name]
	if !ok {
		if _, named := p.j.Step(s.Do); !named {
			d, ok = p.j.Zones[zone].Done[s.Do]
		}
	}
	return d, ok
}

func (p *planner) doneShare(zone int, s job.Step) float64 {
	d, ok := p.doneOf(zone, s)
	if !ok {
		return 0
	}
	return min(max(d.Share, 0), 1)
}

// tail is, per slot, how many slots the haze of a section worked there takes
// until it may be wiped off; nil where it takes none to speak of. What a test
// patch took outranks the class.
func (p *planner) tail(w *work) []uint8 {
	if t, ok := p.tails[w.row]; ok {
		return t
	}
	var out []uint8
	own := ownHaze(p.r, p.j, w.step, w.zone, &w.class)
	if own > 0 || (w.class.HazeMin.Given && w.class.HazeMin.Min > 0) {
		out = make([]uint8, p.n)
		most := uint8(0)
		hour, minutes := -2, own // the answer's hour that minutes are of
		for i := range out {
			if own <= 0 {
				if h := p.hour(i); h != hour {
					hour, minutes = h, p.hazeIn(w, h)
				}
			}
			if minutes >= leastHazeMin {
				out[i] = uint8(min(250, math.Ceil(minutes/surface.SlotMinutes-1e-9)))
			}
			most = max(most, out[i])
		}
		if most == 0 {
			out = nil
		}
	}
	p.tails[w.row] = out
	return out
}

// leastHazeMin is the shortest haze that is not part of the work itself.
const leastHazeMin = 5

// hazeMin is the least haze of a class in the air of a slot.
func (p *planner) hazeMin(w *work, slot int) float64 { return p.hazeIn(w, p.hour(slot)) }

// hazeIn is hazeMin for an hour of the answer, as given where that is −1 for none.
func (p *planner) hazeIn(w *work, h int) float64 {
	if h < 0 {
		return w.class.HazeMin.Min
	}
	air := p.r.Weather[h]
	return w.class.HazeMin.Min * HazeFactor(&w.class, p.r.Zones[w.zone].Hours[h].Surface, air.Humidity, air.Wind)
}

// hour is the hour of the answer that a slot of the horizon lies in, −1 if none.
func (p *planner) hour(slot int) int {
	if len(p.r.Weather) == 0 {
		return -1
	}
	h := int(p.r.Grid.At(p.r.From+slot).Sub(p.r.Weather[0].At) / time.Hour)
	if h < 0 || h >= len(p.r.Weather) {
		return -1
	}
	return h
}

// heats is, per slot, the heat index above the screening line in hundredths of a
// kelvin.
func (p *planner) heats() []int32 {
	if p.heat == nil {
		p.heat = make([]int32, p.n)
		for i := range p.heat {
			if h := p.hour(i); h >= 0 && p.r.Weather[h].Air.Known && p.r.Weather[h].Humidity.Known {
				hi := crew.HeatIndex(p.r.Weather[h].Air.V, p.r.Weather[h].Humidity.V)
				p.heat[i] = int32(math.Round(100 * max(0, hi-screeningHeatC)))
			}
		}
	}
	return p.heat
}

// musts bounds a task by the moments that the job must meet: work ends by each,
// antifouling has dried long enough before the launch, and a film that is not
// cured through by then makes the block marginal.
func (p *planner) musts(w *work, t *plan.Task) {
	for _, name := range slices.Sorted(maps.Keys(p.j.Must)) {
		at := p.j.Must[name]
		slot := int(math.Floor(at.Sub(p.r.Grid.At(p.r.From)).Minutes() / surface.SlotMinutes))
		if slot <= 0 {
			continue // it is over
		}
		hard, normal := slot, slot
		if name == "launch" && w.class.LaunchH.Given {
			hard, normal = p.curedBy(w.zone, slot, w.class.LaunchH.Hard), p.curedBy(w.zone, slot, w.class.LaunchH.Default)
		}
		if w.class.FullCureH.Given {
			normal = min(normal, p.curedBy(w.zone, slot, w.class.FullCureH.Min))
		}
		if t.Until == 0 || hard < t.Until {
			t.Until, t.UntilLimit = max(1, hard), "launch"
			if name != "launch" {
				t.UntilLimit = name
			}
		}
		if t.UntilGo == 0 || normal < t.UntilGo {
			t.UntilGo = max(1, normal)
		}
	}
}

// curedBy is the latest slot from which so many hours as at 20 °C pass on a zone
// until a slot, Σ 2^((T−20)/10)·Δt; past the horizon the last hour goes on.
func (p *planner) curedBy(zone, slot int, need float64) int {
	hours := p.r.Zones[zone].Hours
	for i := slot - 1; i >= 0 && need > 1e-9; i-- {
		slot = i
		h := p.hour(min(i, p.n-1))
		t := 20.0
		if h >= 0 && h < len(hours) && hours[h].Surface.Known {
			t = hours[h].Surface.V
		}
		need -= math.Exp2((t-20)/10) * verdict.SlotHours
	}
	if need > 1e-9 {
		return 0
	}
	return slot
}
