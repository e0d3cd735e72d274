package answer

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/plan"
	"dewgap/window/verdict"
)

// NewPlan makes the plan of the answer from what the planner found; nil where
// nothing was planned.
func NewPlan(f Facts, p *window.Planned) *Plan {
	if p == nil {
		return nil
	}
	b := newBuilder(f)
	out := &Plan{State: None, Blocks: []PlanBlock{}, Why: []string{}, Proven: []string{}}
	if !p.Found {
		out.Why = append(append(out.Why, b.whyNoPlan(p)), p.Notes...)
		if window.LacksHands(p.Refusal) {
			out.ForOwner = []string{b.noHands(p.Refusal, true)}
		}
		return out
	}
	out.State, out.Accepted, out.Confidence = Go, f.Job.AcceptMargin, share(p.Confidence)
	out.Consents, out.Days, out.WashDays, out.Misses = p.Score.Consents, p.Score.Days, p.Trips(), missesOf(p)
	if out.Consents > 0 {
		out.State = Marginal
	}
	for _, x := range p.Blocks {
		out.Blocks = append(out.Blocks, b.planBlock(p, x))
	}
	if n := len(p.Blocks); n > 0 {
		end := b.at(b.Result.From + p.Score.Finish)
		out.Ends = &end
	}
	for i := range p.Proven {
		out.Proven = append(out.Proven, plan.CriterionName(i))
	}
	if p.Proven < plan.Criteria {
		out.Open, out.Bound = plan.CriterionName(p.Proven), b.planBound(p)
	}
	out.Why = append(b.whyPlan(p, out), p.Notes...)
	if s := restWords(out.Blocks, b.Crew); s != "" {
		out.Why = append(out.Why, s)
	}
	return out
}

// everythingDone is why a plan has no block.
const everythingDone = "everything is done"

// None is the state of a plan that could not be made.
const None = "none"

// planBlock makes one block of the answer.
func (b *builder) planBlock(p *window.Planned, x plan.Block) PlanBlock {
	t := p.Tasks[x.Task]
	r := &b.Result.Rows[t.Row]
	s := b.step(r)
	from, to, work := b.Result.From+x.From, b.Result.From+x.To, b.Result.From+x.WorkTo
	out := PlanBlock{
		From: b.at(from), To: b.at(to), WorkTo: b.at(work), Step: s.Name, Do: s.Do, Product: r.Class.ID,
		People: slices.Clone(x.People), State: x.State.String(), Confidence: share(x.Confidence), NeedsConsent: x.Consent,
		Coat: t.Coat, Coats: t.Coats, Part: t.Part, Parts: t.Parts, PersonHours: round(t.PersonHours, cent), Rewash: x.Rewash,
	}
	out.Zone, out.Redo = b.Part(r.Zone)
	out.FloodRinse = b.rinseFirst(t.Step, r.Zone)
	if t.AreaM2 > 0 {
		out.AreaM2 = some(t.AreaM2, tenth)
	}
	out.Reach = reach(&b.Job.Zones[r.Zone])
	at := window.Window{Run: verdict.Run{From: from, To: to}, BestFrom: from, BestTo: to}
	var w Window
	b.wash(&w, r, &at)
	out.SectionM2, out.RewetMin = w.SectionM2, w.RewetMin
	if out.HazeMin = b.haze(r, &at); out.HazeMin != nil {
		out.WipeBy = b.planWipe(r, work, b.hazing(r, *out.HazeMin))
	}
	panel := b.panelIn(r, from, to)
	out.SurfaceC, out.SpreadK = panel.surface, panel.spread
	out.ConsentFor = b.consentFor(p, x)
	out.RainBefore, out.StaleWash, out.WashAgain = b.rainBefore(p, x), b.staleWash(p, x), b.rainWords(p, x)
	out.Mind = joined(b.mind(r, out.From, p.Soiled[x.Task], b.filmsBefore(p, x)...), b.washedFirst(p, x, &out), b.sandFirst(t), b.tape(p, x, &out))
	out.Reason = b.planReason(x, t, panel, reasonFor{out.ConsentFor, out.WashAgain, dryWords(p, x), out.Mind})
	if gap, ok := sinceCoat(p, x); ok {
		out.Reason += fmt.Sprintf(", %s after coat %d", hoursOf(gap), t.Coat-1)
	}
	return out
}

// reach is what whoever works on a zone has to bring to get there.
func reach(z *boat.Zone) string {
	switch {
	case z.Access == boat.Ladder, z.Access == boat.Harness, z.Access == boat.Float:
		return z.Access.String()
	case z.Climbed:
		return "climb"
	default:
		return ""
	}
}

// planWipe is when the last section, worked by slot i, must be wiped: after its
// longest haze, never after the panel is wet again or the crew has gone home.
func (b *builder) planWipe(r *window.Row, i int, haze hazing) *time.Time {
	_, most := haze.from(i)
	t := b.at(i).Add(minutes(most))
	for _, w := range r.Windows {
		if w.From < i && i <= w.To && w.WetBy != "" && b.at(w.WetAt).Before(t) {
			t = b.at(w.WetAt)
		}
	}
	t = b.crewLeaves(i, t)
	return &t
}

// panelIn is what a panel is like in some slots, as their own verdicts saw it; where
// that was not kept, and for the sunlight, from the hours they touch.
type panelIn struct {
	surface, spread *[2]float64
	sunlight        mean
}

func (b *builder) panelIn(r *window.Row, from, to int) panelIn {
	var p panelIn
	var surface, spread window.Extent
	first, end := b.hours(from, to)
	for h := first; h < end; h++ {
		z := b.Result.Zones[r.Zone].Hours[h]
		widen(&surface, z.Surface)
		widen(&spread, z.Spread)
		p.sunlight.add(z.Sunlight)
	}
	if own, over := r.Panel.Extents(from-b.Result.From, to-b.Result.From); own.Known {
		surface, spread = own, over
	}
	p.surface, p.spread = extent(surface), extent(spread)
	return p
}

func widen(x *window.Extent, v window.Value) {
	switch {
	case !v.Known:
	case !x.Known:
		*x = window.Extent{Least: v.V, Most: v.V, Known: true}
	default:
		x.Least, x.Most = min(x.Least, v.V), max(x.Most, v.V)
	}
}

// sunnyWM2 is the mean sunlight on a panel above which it counts as in the sun.
const sunnyWM2 = 250

// reasonFor are parts of a block's reason in words, "" where there is nothing to say.
type reasonFor struct{ consent, rain, dry, mind string }

// planReason says in one line why a block lies where it lies. What makes it marginal
// comes first, for a yes hangs on it; rain on the bare panel stands in the place of how
// long it has dried.
func (b *builder) planReason(x plan.Block, t window.PlanTask, panel panelIn, say reasonFor) string {
	zone, _ := b.Part(t.Zone)
	var words []string
	switch {
	case x.State == verdict.Marginal:
		words = append(words, "marginal: "+say.consent)
	case x.Consent:
		words = append(words, say.consent)
	}
	if sun := panel.sunlight.value(); sun.Known {
		side := "in the shade"
		if sun.V > sunnyWM2 {
			side = "in the sun"
		}
		words = append(words, side+" of the "+zone)
	}
	if panel.surface != nil {
		words = append(words, "panel "+degrees(*panel.surface)+" °C")
	}
	if panel.spread != nil {
		words = append(words, overDew(panel.spread[0]))
	}
	if say.rain != "" {
		words = append(words, say.rain)
	}
	if say.dry != "" {
		words = append(words, say.dry)
	}
	if x.Rewash {
		words = append(words, "it lay bare overnight: wash and dry it first, the time is in the block")
	}
	if say.mind != "" {
		words = append(words, say.mind)
	}
	return strings.Join(words, ", ")
}

// sinceCoat is the slots from the end of the coat before to a block, in this plan or
// as it was logged; false where it follows no coat.
func sinceCoat(p *window.Planned, x plan.Block) (slots int, ok bool) {
	t := p.Tasks[x.Task]
	for _, a := range p.Input.Tasks[x.Task].After {
		end := a.End
		switch {
		case t.Coat < 2 || t.Part > 1 || a.NextDay:
			continue
		case a.Task < 0:
			if a.Limit != verdict.Recoat.String() {
				continue
			}
		default:
			k := slices.IndexFunc(p.Blocks, func(y plan.Block) bool { return y.Task == a.Task })
			if of := p.Tasks[a.Task]; k < 0 || of.Step != t.Step || of.Zone != t.Zone || of.Coat != t.Coat-1 {
				continue
			}
			end = p.Blocks[k].To
		}
		if gap := x.From - end; !ok || gap < slots {
			slots, ok = gap, true
		}
	}
	return slots, ok
}

// overDew words how far a panel is over the dew point, or under it, in tenths to the
// strict side: whole kelvins would be off by nearly two degrees Fahrenheit.
func overDew(k float64) string {
	if k < 0 {
		return measure{digits: 1}.number(-k) + " K below dew point"
	}
	m := measures[verdict.SpreadMin]
	return m.number(k) + m.after
}

func degrees(x [2]float64) string {
	a, z := strconv.FormatFloat(math.Floor(x[0]), 'f', 0, 64), strconv.FormatFloat(math.Ceil(x[1]), 'f', 0, 64)
	if a == z {
		return a
	}
	return a + " to " + z
}

// hoursOf words slots as hours.
func hoursOf(slots int) string {
	h := math.Floor(float64(slots)*verdict.SlotHours*10) / 10
	return strconv.FormatFloat(h, 'f', -1, 64) + " h"
}

// Extent is how many blocks a plan has and on how many days somebody comes, in words.
func (p *Plan) Extent() string {
	text := countOf(len(p.Blocks), "block") + " on " + countOf(p.Days, "day")
	if p.WashDays > 0 {
		text += ", and a wash alone on " + strconv.Itoa(p.WashDays) + " more"
	}
	return text
}

// whyPlan says what the plan comes to and how good it is.
func (b *builder) whyPlan(p *window.Planned, out *Plan) []string {
	if len(p.Blocks) == 0 {
		return []string{everythingDone}
	}
	why := []string{out.Extent() + ", done " + out.Ends.Format(stamp)}
	if out.Consents > 0 {
		need := " need your yes"
		switch {
		case out.Accepted:
			need = " with the yes that the job gives"
		case out.Consents == 1:
			need = " needs your yes"
		}
		why = append(why, countOf(out.Consents, "block")+need+": marginal, or sure in fewer than half of the forecasts")
		if text := lookFirst(p); text != "" {
			why = append(why, text)
		}
	}
	if m := out.Misses; m != nil && *m > 0 {
		why = append(why, fmt.Sprintf("in half of the %s %s or more would have to move", b.kinds(), countOf(*m, "block")))
	}
	switch {
	case out.Open == "":
		why = append(why, "no plan is better: proven")
	case len(out.Proven) > 0:
		why = append(why, "proven best in "+strings.Join(out.Proven, ", ")+"; not proven in "+out.Open+": "+out.Bound)
	default:
		why = append(why, "not proven best in "+out.Open+": "+out.Bound)
	}
	if text := b.whyHands(p); text != "" {
		why = append(why, text)
	}
	return append(why, b.planHabits(p)...)
}

// missesOf is how many blocks of a plan do not hold in half of the forecasts, or more than
// that; nil where there is but one forecast.
func missesOf(p *window.Planned) *int {
	n := len(p.Misses)
	if n < 2 || len(p.Blocks) == 0 {
		return nil
	}
	sorted := slices.Sorted(slices.Values(p.Misses))
	return &sorted[n/2]
}

// planHabits are the rules that take time and are not seen in the blocks.
func (b *builder) planHabits(p *window.Planned) []string {
	var out []string
	if b.Job.Hours.Set && p.Input.SetUp+p.Input.PackUp > 0 {
		out = append(out, fmt.Sprintf("each day leaves %d min to set up and %d min to pack up within the crew's hours",
			p.Input.SetUp*minutesASlot, p.Input.PackUp*minutesASlot))
	}
	if !slices.ContainsFunc(p.Input.Tasks, func(t plan.Task) bool { return t.Machine }) {
		return out
	}
	if p.Input.MachineSlots > 0 {
		out = append(out, "nobody works a machine for more than "+hoursOf(p.Input.MachineSlots)+" a day (hand-arm vibration)")
	}
	if n := p.Input.Machines; n > 0 {
		out = append(out, atOnce(n))
	}
	return out
}

// atOnce says what so many polishers, at least 1, are for a crew of more people.
func atOnce(polishers int) string {
	if polishers == 1 {
		return "there is one polisher: " + AtOnce(polishers)
	}
	return fmt.Sprintf("there are %d polishers: %s", polishers, AtOnce(polishers))
}

// AtOnce says how many people at a time so many polishers, at least 1, let work.
func AtOnce(polishers int) string {
	if polishers == 1 {
		return "no more than one person at a time works a machine"
	}
	return fmt.Sprintf("no more than %d people at a time work a machine", polishers)
}

const minutesASlot = 10

func countOf(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return strconv.Itoa(n) + " " + what + "s"
}

// planBound words what no plan can beat in the first criterion not proven.
func (b *builder) planBound(p *window.Planned) string {
	least := p.Bound
	switch p.Proven {
	case 0:
		return "at least " + countOf(least.Consents, "block") + " must need a yes"
	case 1:
		if least.FivePoints >= 20 {
			return "whether another holds in more of the forecasts is not known"
		}
		return fmt.Sprintf("no plan holds in %d %% of the forecasts or more", 5*(least.FivePoints+1))
	case 2:
		return "it takes at least " + countOf(least.Days, "day")
	case 3:
		if least.Finish == 0 {
			return "no bound is known"
		}
		return "no plan ends before " + b.at(b.Result.From+least.Finish).Format(stamp)
	default:
		return "a cooler plan was not looked for to the end"
	}
}

// whyNoPlan says which limit of which step leaves no plan.
func (b *builder) whyNoPlan(p *window.Planned) string {
	r := p.Refusal
	if r.Limit == window.NoBow {
		return b.noBow()
	}
	if window.LacksHands(r) {
		return b.noHands(r, false)
	}
	what := planWords[r.Limit]
	if what == "" {
		what = r.Limit
	}
	if r.Limit == plan.Polishers {
		what = fewPolishers(p.Input.Machines)
	}
	if n := p.Input.MachineSlots; r.Limit == verdict.Machines.String() && r.Share == 0 && n > 0 {
		what = "the hours at the machine do not suffice, at most " + hoursOf(n) + " a day for each person"
	}
	if r.Task < 0 {
		text := "every step has a place alone, but not all together: " + what
		if !r.Certain {
			text = "no plan was found, which does not prove that there is none: " + what
		}
		return text
	}
	t := p.Tasks[r.Task]
	who := b.Job.Steps[t.Step].Name + " on " + b.Job.Zones[t.Zone].Name
	longest := fmt.Sprintf("the longest stretch that can be worked in is %s, %s", clocked(r.Longest), blockTakes(p, r))
	switch {
	case r.Limit == "block":
		return who + " has no place: " + longest
	case r.Limit == plan.Polishers && r.Needed > r.Longest:
		return who + " has no place: " + what + "; " + longest
	case r.Limit == verdict.Recoat.String() && r.Share > 0: // since a coat that is logged
		return who + " has no place: " + what + "; sand_between: true has the film abraded before the next coat"
	case r.Limit == verdict.Hours.String():
		return who + " has no place: the crew has no hours"
	case r.Limit == verdict.Order.String():
		return who + " has no place: " + b.behind(p, what)
	case r.Share > 0:
		return who + " has no place: " + b.inHours(p, what)
	}
	if r.Limit == "recoat" {
		what += "; " + b.recoatHelp(t)
	}
	return who + " has no place: " + what
}

// noBow says what a plan lacks, and how to give it.
func (b *builder) noBow() string {
	const needs = "a plan needs the bow's bearing, to know which side lies in the sun and when"
	if b.Job.Swinging {
		return needs + ", and she swings: give the one at which she will lie for the work, as bow: NW under boat: in the job, or --bow NW beside --at"
	}
	return needs + ": give it as bow: NW under boat: in the job, or --bow NW beside --at"
}

// recoatHelp says what would let work follow what came before it in time.
func (b *builder) recoatHelp(t window.PlanTask) string {
	s := b.Job.Steps[t.Step]
	if t.Coats < 2 {
		return "more people or longer hours let it follow sooner on the step before it"
	}
	help := "longer hours or more people let the coats follow each other"
	if s.PerDay > 0 && s.PerDay < t.Coats {
		help = fmt.Sprintf("let more coats go on in a day (per_day: %d, or leave it out)", t.Coats)
	}
	if !s.Sand {
		help += ", or sand_between: true, which has the film abraded before the next coat"
	}
	return help
}

// planWords are limits as they stand against a whole plan.
var planWords = map[string]string{
	"hours": "outside the crew's hours", "away": "nobody works", "daylight": "too dark without lamps",
	"machines": "no machine noise is allowed", "reach": "the zone cannot be reached", "people": "there are too few people",
	"water": "the place does not allow this water to run off", "order": "what must come before it leaves no room",
	"finish": "the product does not suit the finish", "thunder": "thunder", "salt": "salt on the panel", "fog": "fog",
	"film": "water on the panel", "dry_off": "it has not dried long enough", "rain_free": "rain follows too soon",
	"dew_free": "dew follows too soon", "spread_min": "too near the dew point", "recoat": "the time to recoat is missed",
	"launch": "the launch comes too soon", "data": "a needed value is missing",
	"moisture": "the wood is too wet",
	"block":    "the visits would be shorter than the shortest useful one",
	"wind_max": "too windy", "gust_max": "too gusty", "dust_wind": "too windy with dust upwind",
	"dust_gust": "too gusty with dust upwind", "access": "too gusty at that height", "cure": "too cold or too dry to cure",
	"air_min": "the air is too cold", "air_max": "the air is too warm", "surface_min": "the panel is too cold",
	"surface_max": "the panel is too hot", "humidity_min": "the air is too dry", "humidity_max": "the air is too damp",
	"sunlight_max": "too much sun", "uv_max": "too much UV", "section": "it dries faster than it can be towelled",
	window.NoHands: "the crew is elsewhere", window.NoPolishers: "polishers are elsewhere",
}
