package answer

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"dewgap/window"
	"dewgap/window/job"
	"dewgap/window/verdict"
)

// MoveFormat is the format of the answer of dewgap move.
const MoveFormat = "dewgap.move.v1"

// Move is the answer of dewgap move: what rain or a lost day has made of the work,
// and the plan moved the least that it can be.
type Move struct {
	Format   string        `json:"format"` // dewgap.move.v1
	Job      string        `json:"job"`
	Boat     string        `json:"boat"`
	Now      time.Time     `json:"now"`
	Place    Place         `json:"place"`
	Source   Source        `json:"source"`
	Verdict  string        `json:"verdict"` // go, marginal (waits for consent), none, or unknown: only missing data is in the way of a plan
	Rain     []Rain        `json:"rain"`
	RainMM   *float64      `json:"rain_mm"` // of all spells; null where one was not measured
	Zones    []Fate        `json:"zones"`
	Blocks   int           `json:"blocks"` // of the old plan that are still to be done
	Moved    int           `json:"moved"`  // of them, how many stand elsewhere
	Proven   bool          `json:"proven"` // no plan moves fewer
	Least    int           `json:"least"`  // no plan moves fewer than this
	Handover Handover      `json:"handover"`
	Changes  []BlockChange `json:"changes"`
	AddedH   float64       `json:"hours_added"` // person-hours
	Plan     *Plan         `json:"plan"`
	Ladder   []Rung        `json:"ladder"`  // ways to get on where there is no plan; else empty
	Owner    []string      `json:"owner"`   // a message in plain words, a sentence or two each
	TellBy   *time.Time    `json:"tell_by"` // when the owner should know at the latest; null where nothing changes
	Undone   []Undone      `json:"undone"`  // work that counts as done no longer
	Cautions []Caution     `json:"cautions"`
	Warnings []string      `json:"warnings"`
	Own      []OwnLimit    `json:"own_limits,omitempty"` // looser than the hard bounds of their class, of the products that the job uses
	Crew     *Crew         `json:"crew,omitempty"`       // where its people are besides; absent where all are here
	Care     []Care        `json:"care,omitempty"`       // films put on, or planned, that are to be spared touch or soap
}

// Rain is a spell of rain.
type Rain struct {
	From     time.Time `json:"from"`
	To       time.Time `json:"to"`
	MM       *float64  `json:"mm"`
	Observed bool      `json:"observed"` // somebody saw it; else it is the forecast's
}

// Fate is what became of a part of a zone.
type Fate struct {
	Zone     string     `json:"zone"`
	Step     string     `json:"step"`
	Product  string     `json:"product"`
	Fate     string     `json:"fate"`   // good, inspect, rewash or redo
	Hazing   bool       `json:"hazing"` // rinse, never wipe
	Share    float64    `json:"share"`  // of the zone
	AreaM2   *float64   `json:"area_m2"`
	From     *time.Time `json:"from"`        // its first section was put on
	To       *time.Time `json:"to"`          // and its last
	HoursMin *float64   `json:"hours_least"` // from the last section to the rain
	HoursMax *float64   `json:"hours_most"`  // from the first
	WantH    *float64   `json:"want_h"`      // hours without rain: usual
	HardH    *float64   `json:"hard_h"`      // and least
	DryTowel *time.Time `json:"dry_towel"`   // dry again by towel
	Dry      *time.Time `json:"dry"`         // and by itself
	Rinsed   bool       `json:"rinsed"`      // the rain rinsed loose salt off
	Text     string     `json:"text"`        // what to do, SI
}

// Handover is what became of the promised date.
type Handover struct {
	By       *time.Time `json:"by"`       // end of the promised day, else of the old plan's last; null: neither
	Promised bool       `json:"promised"` // the job says it
	Kept     bool       `json:"kept"`
	Days     int        `json:"days_later"`
	Must     string     `json:"must"`   // what else has to move, "" if nothing
	Proven   bool       `json:"proven"` // kept, or no plan keeps it
	Ends     *time.Time `json:"ends"`   // of the new plan
	Text     string     `json:"text"`
}

// BlockChange is what became of one block: before and after, and why.
type BlockChange struct {
	Change string     `json:"change"` // kept, moved, added, done, dropped, none, or unknown: it stands, and nothing is known of its hours
	Reason string     `json:"reason"` // stands, lost, under_way, weather, clock, order, room, less_sure, redo, rewash, new, stale_wash, early_wash, short_visit, rain_between, order_after, unlogged, polishers, covered or not_known
	Limit  string     `json:"limit"`  // for weather and clock
	Text   string     `json:"text"`   // the reason in words
	Before *PlanBlock `json:"before"`
	After  *PlanBlock `json:"after"`
}

// Stays reports whether the block is where it was, be it that nothing is known there.
func (c *BlockChange) Stays() bool { return c.Change == "kept" || c.Change == Unknown }

// Duties are what the block asks for beyond its own work, in words: a wash anew until
// some hour, always, and what is to be minded of other work where the plan before did not
// tell of it.
func (c *BlockChange) Duties() []string {
	var out []string
	if c.After == nil {
		return nil
	}
	if s := c.After.WashAgain; s != "" {
		out = append(out, s)
	}
	if s := c.After.Mind; s != "" && (!c.Stays() || c.Before == nil || c.Before.Mind != s) {
		out = append(out, s)
	}
	return out
}

// Undone is work that counts as done no longer.
type Undone struct {
	Step  string  `json:"step"`
	Zone  string  `json:"zone"`
	Share float64 `json:"share"` // of the zone, to be done again
}

// MoveFacts is what the answer of dewgap move is made from. The Facts are those of
// the moved plan: its job, result and plan.
type MoveFacts struct {
	Facts
	Given *job.Job // as it was asked about
	Moved *window.Moved
	Old   []PlanBlock // in the order of window.MoveInput.Old
	// Standing is what Left names of the old plan, held against what is known, where there
	// is no new plan, or where only missing data would move it: with state unknown nothing
	// else speaks against it. Else nil.
	Standing *Plan
	Part     *Part // what of the job was planned, and is moved; nil: all of it
}

// Left are the changes, by index, of old blocks that are still to be done, wherever a new
// plan has them.
func (f *MoveFacts) Left() []int {
	var out []int
	for i, c := range f.Moved.Changes {
		if c.Became == window.Homeless || c.Became == window.Shifted || c.Became == window.Kept && c.New >= 0 {
			out = append(out, i)
		}
	}
	return out
}

// Later are the facts of the moved plan: its job, result and what is left to do.
func (f *MoveFacts) Later() Facts {
	out := f.Facts
	out.Job, out.Result, out.Planned, out.Stock = f.Moved.Job, f.Moved.Result, f.Moved.Planned, f.Moved.Stock
	return out
}

// NewMove makes the answer of dewgap move, without the ways to get on.
func NewMove(f MoveFacts) *Move {
	m := f.Moved
	f.Facts = f.Later()
	b := moveBuilder{newBuilder(f.Facts), f}
	out := &Move{
		Format: MoveFormat, Job: b.Job.Name, Boat: b.Job.Boat, Now: b.moment(b.Now), Place: b.place(), Source: b.source(),
		Rain: []Rain{}, Zones: []Fate{}, Blocks: m.Blocks, Moved: m.Moved, Proven: m.Proven, Least: m.Least,
		Changes: []BlockChange{}, AddedH: round(m.AddedH, tenth), Ladder: []Rung{}, Undone: []Undone{},
		Cautions: b.cautions(b.Result.From, b.Result.To), Warnings: b.warnings(), Own: b.ownLimits(), Crew: b.Crew,
	}
	if out.Plan = b.plan(); f.Part != nil && out.Plan.State != None {
		out.Plan.Of(f.Part)
	}
	out.Verdict = out.Plan.Verdict()
	b.rain(out)
	for _, x := range m.Fates {
		out.Zones = append(out.Zones, b.fate(x))
	}
	for _, c := range m.Changes {
		out.Changes = append(out.Changes, b.change(c, out.Plan))
	}
	for _, u := range m.Undone {
		out.Undone = append(out.Undone, Undone{f.Given.Steps[u.Step].Name, f.Given.Zones[u.Zone].Name, round(u.Share, cent)})
	}
	out.Handover = b.handover()
	b.notKnown(out)
	b.keepUnlogged(out)
	out.Care = b.care(out.Plan)
	out.Owner, out.TellBy = b.owner(out), b.tellBy(out)
	return out
}

type moveBuilder struct {
	*builder
	in MoveFacts
}

// plan is the new plan.
func (b *moveBuilder) plan() *Plan {
	out := NewPlan(b.Facts, b.in.Moved.Planned)
	for _, c := range b.in.Moved.Changes {
		if c.Became != window.Kept || c.Why != window.WhyUnderWay {
			continue
		}
		// It was planned from now on, for what is left of it; it stands as it was agreed.
		x, was := &out.Blocks[c.New], b.in.Old[c.Old]
		x.From, x.To, x.WorkTo = was.From.In(b.loc), was.To.In(b.loc), was.WorkTo.In(b.loc)
		x.AreaM2, x.PersonHours, x.Part, x.Parts, x.Rewash = was.AreaM2, was.PersonHours, was.Part, was.Parts, was.Rewash
	}
	for i, w := range out.Why {
		if w == everythingDone && slices.ContainsFunc(b.in.Moved.Changes, isUnlogged) {
			out.Why[i] = "all that is left is to log what is done"
		}
		if strings.HasPrefix(w, "no plan is better") || strings.HasPrefix(w, "proven best") || strings.HasPrefix(w, "not proven") {
			out.Why[i] = "given what stays, " + w
		}
	}
	return out
}

func isUnlogged(c window.Change) bool { return c.Why == window.WhyUnlogged }

// keepUnlogged leaves what is over and taken to be done in the plan: nobody logged it,
// and the next answer asks for it again.
func (b *moveBuilder) keepUnlogged(out *Move) {
	for i, c := range b.in.Moved.Changes {
		if !isUnlogged(c) {
			continue
		}
		x := *out.Changes[i].Before
		out.Changes[i].After = &x
		at := slices.IndexFunc(out.Plan.Blocks, func(y PlanBlock) bool { return y.From.After(x.From) })
		if at < 0 {
			at = len(out.Plan.Blocks)
		}
		out.Plan.Blocks = slices.Insert(out.Plan.Blocks, at, x)
	}
}

func (b *moveBuilder) rain(out *Move) {
	sum, measured := 0.0, len(b.in.Moved.Rain) > 0
	for _, r := range b.in.Moved.Rain {
		x := Rain{From: b.moment(r.From), To: b.moment(r.To), Observed: r.Observed}
		if r.HasMM {
			x.MM = some(r.MM, tenth)
		}
		sum, measured = sum+r.MM, measured && r.HasMM
		out.Rain = append(out.Rain, x)
	}
	if measured {
		out.RainMM = some(sum, tenth)
	}
}

// fate is one part of a zone.
func (b *moveBuilder) fate(x window.ZoneFate) Fate {
	s := b.in.Given.Steps[x.Step]
	out := Fate{
		Zone: b.in.Given.Zones[x.Zone].Name, Step: s.Name, Product: s.With, Fate: x.Fate.String(), Hazing: x.Hazing,
		Share: round(x.Share, cent), From: b.timeOf(x.From), To: b.timeOf(x.To), DryTowel: b.timeOf(x.Towel),
		Dry: b.timeOf(x.Unaided), Rinsed: x.Rinsed, Text: b.fateText(x),
	}
	if x.AreaM2 > 0 {
		out.AreaM2 = some(x.AreaM2, tenth)
	}
	if x.WantH > 0 {
		out.WantH, out.HardH = some(x.WantH, tenth), some(x.HardH, tenth)
		if x.Rain >= 0 {
			out.HoursMin, out.HoursMax = some(math.Floor(x.LeastH*10)/10, tenth), some(math.Floor(x.MostH*10+dust)/10, tenth)
		}
	}
	return out
}

// timeOf is a moment, nil where it is not known.
func (b *moveBuilder) timeOf(t time.Time) *time.Time {
	if t.IsZero() {
		return nil
	}
	t = b.moment(t)
	return &t
}

// fateText says what to do with a part of a zone.
func (b *moveBuilder) fateText(x window.ZoneFate) string {
	switch {
	case x.Roofed:
		return "under a roof: the rain did not reach it"
	case x.Rain < 0:
		return "no rain since"
	}
	var text string
	switch x.Fate {
	case window.Good:
		if text = "nothing lost"; x.WantH > 0 {
			text = fmt.Sprintf("on for %s before the rain, %s wanted: nothing lost", hoursIn(x.LeastH), hoursIn(x.WantH))
		}
	case window.Inspect:
		look := "dry it with a clean towel, look at it in the sun"
		if !window.Stripped(b.in.Given.Steps[x.Step].Do) {
			look = "let it dry untouched, look at it in the sun"
		}
		text = fmt.Sprintf("on for %s before the rain (at least %s, want %s): %s",
			hourSpan(x.LeastH, x.MostH), hoursIn(x.HardH), hoursIn(x.WantH), look)
	case window.Rewash:
		text = "bare or clean when wetted: wash and dry it before the next step, nothing else is lost"
	case window.Redo:
		if text = b.redoText(x); x.Hazing && window.Stripped(b.in.Given.Steps[x.Step].Do) {
			text = "still hazing when wetted: do not wipe it; rinse these sections only and keep the run-off off the buffed ones; then strip and do it again"
		}
	}
	if x.Driven {
		text += "; under a roof, but the wind may have driven the rain in"
	}
	if x.Rinsed {
		text += "; the rain rinsed loose salt off"
	}
	return text
}

func (b *moveBuilder) redoText(x window.ZoneFate) string {
	if !window.Stripped(b.in.Given.Steps[x.Step].Do) {
		return b.recoatText(x)
	}
	text := fmt.Sprintf("on for %s before the rain, at least %s wanted: blot it, rinse, strip and do it again; what is not wiped off yet is rinsed, never wiped",
		hourSpan(x.LeastH, x.MostH), hoursIn(x.HardH))
	if c, ok := b.Classes.Class(b.in.Given.Steps[x.Step].With); ok && c.Own && c.IfViolated != "" {
		text += " (" + c.IfViolated + ")"
	}
	return text
}

// recoatText says what to do with a spoiled coat or bead, in the words of its class.
func (b *moveBuilder) recoatText(x window.ZoneFate) string {
	text := fmt.Sprintf("on for %s before the rain, at least %s wanted", hourSpan(x.LeastH, x.MostH), hoursIn(x.HardH))
	if x.Hazing {
		text = "still fresh when wetted"
	}
	text += ": do it again"
	if c, ok := b.Classes.Class(b.in.Given.Steps[x.Step].With); ok && c.IfViolated != "" {
		text += " (" + c.IfViolated + ")"
	}
	return text + "; " + notBooked
}

// notBooked is what no plan counts of the repair of a coat.
const notBooked = "to sand or take off what is spoiled is not in the plan: book the time for it"

func hourSpan(least, most float64) string {
	a, z := hoursIn(least), hoursIn(most)
	if a == z {
		return a
	}
	return a + " to " + z
}

// hoursIn words hours to a tenth, rounded down: it is the strict side of time
// passed.
func hoursIn(h float64) string { return fmt.Sprintf("%g h", math.Floor(h*10+dust)/10) }

func (b *moveBuilder) handover() Handover {
	h := b.in.Moved.Handover
	out := Handover{
		By: b.timeOf(h.By), Promised: h.Promised, Kept: h.Kept, Days: h.Days, Must: h.Must, Proven: h.Proven, Ends: b.timeOf(h.Ends),
	}
	last := lastDay(h.By, b.loc)
	switch {
	case b.in.Part != nil && b.in.Moved.Planned.Found:
		out.Kept, out.Proven, out.Text = out.Kept && !h.Promised, out.Proven && !h.Promised, b.handoverOfPart(last)
	case !b.in.Moved.Planned.Found:
		out.Text = "no plan was found, whatever day the work may end"
		if h.Proven {
			out.Text = "there is no plan, whatever day the work may end"
		}
	case h.By.IsZero():
		out.Text = "no day was promised"
	case h.Kept && h.Ends.IsZero():
		out.Text = "everything is done"
	case h.Kept && h.Promised:
		out.Text = "hand-over " + last + " stands"
	case h.Kept:
		out.Text = "done by " + last + " as before"
	case h.Promised:
		out.Text = fmt.Sprintf("hand-over %s cannot be kept: done %s", last, h.Ends.In(b.loc).Format(stamp))
		if !h.Proven {
			out.Text = fmt.Sprintf("no plan was found that keeps the hand-over %s: done %s", last, h.Ends.In(b.loc).Format(stamp))
		}
		if h.Must != "" {
			out.Text += "; the " + h.Must + " has to move as well"
		}
	default:
		out.Text = fmt.Sprintf("done %s, not %s; no day was promised", h.Ends.In(b.loc).Format(stamp), last)
	}
	return out
}

// lastDay is the day that ends at a moment.
func lastDay(end time.Time, loc *time.Location) string {
	return end.Add(-time.Second).In(loc).Format("Mon 2 Jan")
}

// change is one block before and after.
func (b *moveBuilder) change(c window.Change, plan *Plan) BlockChange {
	out := BlockChange{Change: c.Became.String(), Reason: c.Why.String(), Text: b.whyText(c, plan)}
	if c.Why == window.WhyWeather {
		out.Limit = c.Limit.String()
	}
	if c.Clock != "" {
		out.Limit = c.Clock
	}
	if c.Old >= 0 {
		x := b.in.Old[c.Old]
		x.From, x.To, x.WorkTo = x.From.In(b.loc), x.To.In(b.loc), x.WorkTo.In(b.loc)
		out.Before = &x
	}
	if c.New >= 0 {
		x := plan.Blocks[c.New]
		out.After = &x
	}
	return out
}

// whyText is the reason for a change in words.
func (b *moveBuilder) whyText(c window.Change, plan *Plan) string {
	switch c.Became {
	case window.Kept:
		if c.Why == window.WhyUnderWay {
			return "presumed under way since its time has come and nobody logged it: log it when it is done"
		}
		if isUnlogged(c) {
			return "its time is over and nobody logged it: taken as done for now, log it or it is asked for again"
		}
		return "nothing forces it away"
	case window.Done:
		return "done"
	case window.Dropped:
		switch c.Why {
		case window.WhyRedo:
			return "rain spoiled the coat under it: booked anew with the part to be redone"
		case window.WhyCovered:
			return "a later step was logged over it: it is not asked any longer"
		}
		return "the job has no such work any longer"
	case window.Homeless:
		return "no plan has a place for it"
	}
	if text := plainWhys[c.Why]; text != "" {
		if c.Why == window.WhyPolishers && c.Old >= 0 {
			text += b.Crew.lentThen(&b.in.Old[c.Old])
		}
		return text
	}
	switch c.Why {
	case window.WhyWeather:
		return "its old hours do not allow it: " + planWord(c.Limit)
	case window.WhyClock:
		return "too soon after what is done: " + clockWord(c.Clock)
	case window.WhyOrder:
		o := plan.Blocks[c.Other]
		return fmt.Sprintf("after %s on %s, %s to %s", o.Step, o.Zone, o.From.Format(stamp), o.To.Format("15:04"))
	case window.WhyAhead:
		o := plan.Blocks[c.Other]
		return fmt.Sprintf("before %s on %s, %s", o.Step, o.Zone, o.From.Format(stamp))
	case window.WhyDrier:
		o := plan.Blocks[c.Other]
		return fmt.Sprintf("where it stood the panel would have to be washed again before %s on %s, %s", o.Step, o.Zone, o.From.Format(stamp))
	}
	if c.Old >= 0 {
		if on := b.Crew.On(&b.in.Old[c.Old]); on != "" {
			return "its people are on " + on + " then, or on the way"
		}
	}
	return "others take its hours or its people"
}

// plainWhys are the reasons that are the same words for every block.
var plainWhys = map[window.Why]string{
	window.WhyLost:      "it was due before now and nobody logged it as done",
	window.WhyUnderWay:  "it was stopped unfinished: the rest goes on here",
	window.WhyWeak:      "far less sure at its old hours than it was",
	window.WhyRedo:      "spoiled by rain: to be done again",
	window.WhyRewash:    "wetted by rain: washed anew before the next step",
	window.WhyStale:     "its wash is more than two days old: washed anew before the next step",
	window.WhyEarly:     "done before the machine was last at it: done anew",
	window.WhyPolishers: "at its old hours there are too few polishers",
	window.WhyVisit:     "alone there it would be too short to come for: what stood beside it is done or elsewhere",
	window.WhyNew:       "left to do, and the old plan had no block for it",
}

func planWord(l verdict.Limit) string { return clockWord(l.String()) }

func clockWord(limit string) string {
	if w := planWords[limit]; w != "" {
		return w
	}
	return limit
}
