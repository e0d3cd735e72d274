// Package plan books the whole job: when each piece of work is done, by how many
// people and by whom, in the best order that the weather, the products and the
// marina allow.
//
// It knows tasks, slots and members, nothing of weather or products: [Input]
// carries for every task the state of every slot, the members that hold there,
// and what must lie between it and other tasks. package window makes the input.
//
// # What a plan is
//
// Every task becomes one block: some people, a start, an end. A block lies in
// one local day, in slots that may be worked in, within the crew's hours less
// the time to set up and pack up; with p people it lasts ⌈work ÷ p⌉ slots and
// its tail, the haze of its last section, and its people stay to wipe off. The
// state of a block is its worst slot; it is marginal too where the wash before
// it dried for less than the usual time. A block needs the person's consent
// where it is marginal, or holds in fewer than half of the members.
//
// # What the best plan is
//
// Criterion by criterion, each one deciding only between equals of all before:
//
//  1. fewest blocks that need consent
//  2. the share of members in which every slot of every block holds, rounded
//     down to five points
//  3. fewest days
//  4. earliest finish
//  5. cooler hours: fewest kelvin of heat index above the screening line, summed
//     over slots and people
//
// # How it is found
//
// Bounds that no plan can beat come first: each chain of tasks on its own, the
// members that every task can share, the days' capacity in people, machines and machine
// time over all sets of days ([dayBound]). Where all days together have no room,
// there is no plan. Then plans are built by several rules of priority, repaired
// and improved. Where they ask for more consents than the bound, parts of them are torn
// down and built anew ([rebuilder]). A job of some dozen tasks is packed into its days ([packing]): each
// set of days is shared out among the tasks, each day held against what it alone can
// hold ([left]), and what failed is remembered; that mostly proves days and finish. A
// depth-first search proves the other criteria, one after another, as far as the
// budget of steps reaches. The budget is counted, never timed: the same input gives
// the same plan. Where the search stops early, [Result] names the first criterion
// that is not proven and the bound that it cannot beat.
package plan

import "dewgap/window/verdict"

// Input is all that a plan depends on.
type Input struct {
	Day  []int // local day of each slot of the horizon, from 0, never falling
	Days []Day // by local day
	// Voters marks the members whose share is the confidence, a bit each.
	Voters []uint64
	// MachineSlots is the most machine work of one person in a day, in slots; 0:
	// no limit.
	MachineSlots int
	// Machines is how many machines there are: in no slot do more people work at machine
	// tasks. One is free while the haze of a block's last section is waited for. 0: no limit.
	Machines int
	// Taken is when which of the people are elsewhere.
	Taken []Taken
	// Tasks in an order in which they could be done: After names earlier ones only.
	Tasks   []Task
	Apart   []Apart
	Soils   []Soil
	Downs   []Down
	Repeats []Repeat
	// Shortest is the shortest useful visit in slots. A visit is a day's blocks
	// with gaps of fewer than Gap slots; waiting for a surface to dry is no gap. A
	// job with less work than that needs no longer a visit than its work, and a
	// visit with a task that stands Alone may be of any length.
	Shortest, Gap int
	// SetUp and PackUp are the slots that a day loses at its ends.
	SetUp, PackUp int
	// Budget bounds the search, in steps; 0: [DefaultBudget].
	Budget int
	// Stay puts the fewest blocks moved in the place of the fewest consents: the
	// first criterion then counts the tasks that stand elsewhere than they are Held,
	// and no other is looked at.
	Stay bool
}

// DefaultBudget is what a search may take when nothing else is said; a job of some
// dozen tasks mostly needs a tenth of it. largeBudget is that of a job of more than
// 64 tasks, where more helps little: about a tenth of a second.
const (
	DefaultBudget = 5_000_000
	largeBudget   = 1_500_000
)

// Day is who works on a local day.
type Day struct {
	People int
	// Open and Close bound the crew's hours, in slots of the horizon, half-open.
	Open, Close int
}

// Task is one piece of work on one zone: a step, a coat of it, or a part of it.
type Task struct {
	Step, Zone, Coat, Part int // what it is; read by nobody here but to tell chains apart

	Work        int // person-slots, at least 1
	Least, Most int // people, 1 ≤ Least ≤ Most
	// Tail is, by the slot in which the last section is worked, how many slots
	// its haze takes; nil for none.
	Tail []uint8
	// State and Limit of each slot, the shortest useful block left out of account.
	State []verdict.State
	Limit []verdict.Limit
	// Go and Marginal are, per slot, the members at least that good, a bit each,
	// in as many words a slot as Input.Voters has.
	Go, Marginal []uint64
	// Heat is, per slot, what one person bears in hundredths of a kelvin of heat
	// index above the screening line; nil for none.
	Heat    []int32
	Machine bool
	// Alone: it may make a visit of its own, however short, for what lies before or
	// after it cannot be done on the same day.
	Alone bool
	After []After
	// Until bounds the block's end, in slots; 0: no bound. UntilGo is where it
	// becomes marginal, 0: nowhere.
	Until, UntilGo int
	// UntilLimit is what Until stands for, for the words.
	UntilLimit string
	// Held is where an earlier plan has it; Pinned: nowhere else may it stand.
	Held   Held
	Pinned bool
}

// Held is a start, in slots, with a number of people; nowhere with none.
type Held struct{ From, People int }

// moves reports whether a start with so many slots of work, of work in
// person-slots, is another than the one held.
func (h Held) moves(start, slots, work int) bool {
	return h.People > 0 && (start != h.From || slots != (work+h.People-1)/h.People)
}

// After says what must lie between another task and this one.
type After struct {
	// Task is the index of the earlier task; −1: something done before the
	// horizon, which ended with slot End on local day EndDay (−1: before the first).
	Task        int
	End, EndDay int
	// Hard and Go are the least slots from its end to this one's start: under Go
	// the block is marginal, under Hard there is none.
	Hard, Go int
	// Most is the most slots between them, 0: no limit; Anew, where not 0, is the
	// gap from which it may be done again.
	Most, Anew int
	// NextDay: not on the same day.
	NextDay bool
	// Since is, by the slot in which this one starts, where the earlier one may end at
	// the earliest, as a wash after the last salt; nil: anywhere.
	Since []int32
	// Overnight is the work added, in person-slots, where a night lies between
	// them: the rewash of a panel left bare. At most one of a task's After has it.
	Overnight int
	Limit     string // what it stands for, as dry_off, recoat, order
}

// Apart keeps water off a zone below: the wet task ends at least Before slots
// before the dry one starts, or starts at least Keep slots after it has ended.
type Apart struct {
	Wet, Dry     int
	Before, Keep int
}

// Soil is work that throws slurry or lets dirty water run over a panel that has been
// washed for its film: By is not to be at work between the end of Clean and the start of
// Film. Of plans that are as good in every criterion the one is taken that soils least;
// what is soiled counts as some minutes to the finish, for it has to be masked or rinsed.
type Soil struct {
	By    int
	Clean int // −1: it is clean from the beginning
	Film  int
}

// Down is a wash and that of a panel which its water runs down onto: on one day the upper
// one is to end before the lower one begins. No plan is given up for that either.
type Down struct{ Above, Below int }

// Repeat is a wash that has to be done once more where it ends before Since, by the slot in
// which the film starts that it was done for: rain has fallen on the panel since, or it has
// lain too long. That counts to the finish what the wash takes one person, for nobody has
// booked it. No plan is given up for that either.
type Repeat struct {
	Wash, Film int
	Since      []int32
}

// Block is a task booked.
type Block struct {
	Task     int
	From, To int // slots, half-open; the tail included
	WorkTo   int // where the tail begins
	People   []int
	State    verdict.State // Go or Marginal
	// Confidence is the share of voters in which every slot of the block holds.
	Confidence float64
	Consent    bool
	// Dried is the fewest slots since a wash that it had to dry after, −1 without.
	Dried int
	// Rewash: a night lay between it and the work before.
	Rewash bool
}

// Score is what plans are compared by, in the order of its fields.
type Score struct {
	Consents   int
	FivePoints int // the joint confidence, in whole five points
	Days       int
	Finish     int // slot, exclusive
	Heat       int64
}

// Less reports whether the score is better than the other in the first
// criterion in which they differ.
func (s Score) Less(o Score) bool { return s.lessIn(o, Criteria) }

// Criteria is the number of criteria of a plan.
const Criteria = 5

var criterionNames = [Criteria]string{"consent", "confidence", "days", "finish", "heat"}

// CriterionName names criterion i, from 0: consent, confidence, days, finish,
// heat.
func CriterionName(i int) string { return criterionNames[i] }

// Behind is the first criterion in which the score differs from the other, where it is
// worse there; Criteria where it is not.
func (s Score) Behind(o Score) int {
	a, b := s.parts(), o.parts()
	for i := range Criteria {
		switch {
		case a[i] > b[i]:
			return i
		case a[i] < b[i]:
			return Criteria
		}
	}
	return Criteria
}

// parts are the criteria as numbers of which less is better.
func (s Score) parts() [Criteria]int64 {
	return [Criteria]int64{int64(s.Consents), -int64(s.FivePoints), int64(s.Days), int64(s.Finish), s.Heat}
}

// lessIn compares by the first n criteria only.
func (s Score) lessIn(o Score, n int) bool {
	a, b := s.parts(), o.parts()
	for i := range n {
		if a[i] != b[i] {
			return a[i] < b[i]
		}
	}
	return false
}

// Result is the plan, or why there is none.
type Result struct {
	Found  bool
	Blocks []Block // by start, then by task
	Score  Score
	// Confidence is the share of voters in which every slot of every block holds.
	Confidence float64
	// Misses is, by voter in the order of their bits, how many blocks do not hold.
	Misses []int
	// Proven is how many criteria are proven best, 0–5: the first Proven ones.
	Proven int
	// Bound holds what no plan can beat, criterion by criterion, given the best in
	// all criteria before. Equal to Score where proven; past the first criterion
	// that is not, no more than what is true of any plan. Finish is 0 where nothing
	// is known of it.
	Bound Score
	// Later is by how many slots the plan ends later than another that is as good but for
	// that, so as not to soil what lies clean.
	Later int
	// Refusal is why no plan was found; nil where one was.
	Refusal *Refusal
	Steps   int // of the budget used
}

// Polishers is the limit of a refusal where there are too few machines; the limit machines
// is that of the hours, the marina's or a person's.
const Polishers = "polishers"

// Refusal is why there is no plan.
type Refusal struct {
	// Certain: there is none. Else the search ended before it found one.
	Certain bool
	// Task is the one that cannot be placed, −1 where each could but not all.
	Task int
	// Limit names what makes it so: a limit of the verdicts, or dry_off, recoat,
	// order, launch, people, machines, block, or [Polishers].
	Limit string
	// Share is the part of the crew's hours in which that limit binds, 0–1.
	Share float64
	// Behind is, where Limit is order, the task before it that leaves it no room: of several
	// the one that can end last. Empty where none is before it.
	Behind []int
	// Longest is the longest stretch that could be worked in and Needed the length
	// of the shortest block, in slots, where Limit is block.
	Longest, Needed int
}
