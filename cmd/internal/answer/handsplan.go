package answer

import (
	"fmt"
	"slices"
	"time"

	"dewgap/window"
	"dewgap/window/plan"
)

// takesPeople and takesPolishers report whether a block elsewhere has people of this job, or
// polishers of the crew that it counts.
func takesPeople(x *Away) bool    { return len(x.People) > 0 }
func takesPolishers(x *Away) bool { return x.atMachines() > 0 }

// others names the other jobs that take something of the crew within the horizon, and says
// when the last of that ends.
func (b *builder) others(takes ...func(*Away) bool) (names string, until time.Time) {
	var words []string
	if b.Crew != nil {
		for i := range b.Crew.Away {
			x := &b.Crew.Away[i]
			if !x.From.Before(b.at(b.Result.To)) || !slices.ContainsFunc(takes, func(some func(*Away) bool) bool { return some(x) }) {
				continue
			}
			if on := x.On(); !slices.Contains(words, on) {
				words = append(words, on)
			}
			if x.To.After(until) {
				until = x.To
			}
		}
	}
	return Listed(words), until
}

// polisherWords are what the polishers of the crew are called, and what stands for them in
// "…, with … here".
func (b *builder) polisherWords() (polishers, are, them string) {
	if b.Job.Polishers == 1 {
		return "the polisher", "is", "it"
	}
	return "polishers", "are", "them"
}

// whyHands says what it costs a plan that people or polishers are elsewhere; "" where it costs
// nothing.
func (b *builder) whyHands(p *window.Planned) string {
	all := p.AllHands
	if all == nil || !all.Found || !all.Score.Less(p.Score) {
		return ""
	}
	return b.elsewhereCounts(p.Input.Machines > 0) + b.cost(p, all)
}

// elsewhereCounts says what is elsewhere that a plan minds: the polishers only where they are
// a limit to it.
func (b *builder) elsewhereCounts(limited bool) string {
	crew, _ := b.others(takesPeople)
	tools := ""
	if limited {
		tools, _ = b.others(takesPolishers)
	}
	polishers, _, them := b.polisherWords()
	count := "s"
	if them == "them" {
		count = ""
	}
	switch {
	case tools == "":
		return "the crew's hours on " + crew + " count: with all of it here, "
	case crew == "":
		return fmt.Sprintf("%s on %s count%s: with %s here, ", polishers, tools, count, them)
	}
	on, _ := b.others(takesPeople, takesPolishers)
	return "the crew's hours and " + polishers + " on " + on + " count: with all of that here, "
}

// cost says in which criterion a plan falls short of the one with all of the crew here.
func (b *builder) cost(p, all *window.Planned) string {
	switch p.Score.Behind(all.Score) {
	case 0:
		return countOf(all.Score.Consents, "block") + " would need your yes"
	case 1:
		return fmt.Sprintf("the plan would hold in %.0f %% of the forecasts", 100*all.Confidence)
	case 2:
		return "it would take " + countOf(all.Score.Days, "day")
	case 3:
		return "it would be done " + b.at(b.Result.From+all.Score.Finish).Format(stamp)
	}
	return "the hours would be cooler"
}

// allHere is the crew with nobody elsewhere, or its polishers where it is they alone that are.
func (b *builder) allHere() string {
	on, _ := b.others(takesPeople, takesPolishers)
	if on == "" {
		return "the whole crew here, nobody elsewhere"
	}
	if crew, _ := b.others(takesPeople); crew != "" {
		return "the whole crew here, nobody on " + on
	}
	polishers, _, _ := b.polisherWords()
	return polishers + " here, not on " + on
}

// noHands says that there is no plan around what of the crew is elsewhere, though there is one
// with all of it here; to the owner without the names of the other boats.
func (b *builder) noHands(r *plan.Refusal, toOwner bool) string {
	who, hours, are, them, takes := "the crew is", "the crew's hours elsewhere", "it is", "all of it", takesPeople
	if r.Limit == window.NoPolishers {
		polishers, is, it := b.polisherWords()
		who, hours, takes = polishers+" "+is, "the hours of "+polishers+" elsewhere", takesPolishers
		if are, them = "it is", it; is == "are" {
			are = "they are"
		}
	}
	text := "there is no plan while " + who + " elsewhere"
	if !r.Certain {
		text = "no plan was found around " + hours + ", which does not prove that there is none"
	}
	if on, until := b.others(takes); on != "" {
		if toOwner {
			on = AnotherBoat
		}
		text += ": " + are + " on " + on + " until " + until.Format(stamp)
	}
	return text + "; with " + them + " here there is a plan"
}
