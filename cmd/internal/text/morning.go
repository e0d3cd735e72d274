package text

import (
	"io"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
)

// Morning writes the answer of dewgap morning: the verdict in one line, then
// each step on each zone with its last start and what would change it, what to
// measure first, what stops the work, and the cautions. The error is w's own.
func Morning(w io.Writer, a *answer.Morning, o Options) error {
	p := newPage(o)
	if a.Done {
		p.allDone(a.KeepDry, a.Care, a.Lasts, a.Now)
	} else {
		p.verdict(a)
		p.keepDry(a.KeepDry, a.Care, a.Now)
		p.crew(a.CrewLines())
	}
	p.title(a.Boat, a.Place, a.Source, a.Now)
	p.readings(a)
	p.inserted(a)
	p.today(a)
	like := map[string]string{}
	for _, s := range morningZones(a.Steps) {
		p.morningStep(a, s, like)
	}
	p.panels(a.Steps)
	if !a.Done {
		p.blank()
		p.stops(a)
	}
	p.cautions(a.Cautions)
	p.warnings(a.Warnings)
	p.credit(a.Source)
	return p.writeTo(w)
}

// allDone says that nothing is left, what is to be kept dry, and what is due when again.
func (p *page) allDone(list []answer.KeepDry, care []answer.Care, lasts []answer.Lasts, now time.Time) {
	p.para("", 2, p.o.prose(strings.Join(append([]string{"Everything is done."}, answer.KeepDryLines(list, now)...), " ")))
	p.keepDry(nil, care, now)
	for _, line := range answer.LastsLines(lasts, now) {
		p.para("", 2, p.o.prose(line))
	}
}

// keepDry says which films want to stay dry, and what rain would do to them, and which are
// to be spared touch or soap.
func (p *page) keepDry(list []answer.KeepDry, care []answer.Care, now time.Time) {
	for _, line := range append(answer.KeepDryLines(list, now), answer.CareLines(care, false, now)...) {
		p.para("", 2, p.o.prose(line))
	}
}

// verdict writes the first line: go, wait until, marginal, no-go or unknown,
// with what and why.
func (p *page) verdict(a *answer.Morning) {
	var s string
	switch a.Verdict {
	case "go":
		s = p.verdictGo(a)
	case "wait":
		s = p.verdictWait(a)
	case "marginal":
		s = p.verdictMarginal(a)
	case "no-go":
		if held := a.Crew.HeldBy(a.Now); held != "" {
			s = " today: " + p.o.prose(held) + "."
			break
		}
		pick := func(x answer.MorningStep) bool { return x.State != "unknown" }
		why, limit := p.stands(a, pick)
		s = " today: " + why + a.SpellOf(limit, pick).Words(a.Now, hours, when) + "."
	default:
		s = ": " + p.mainReason(a, func(x answer.MorningStep) bool { return x.State == "unknown" }) + "."
	}
	if none := a.Unplanned(); none != "" {
		s = strings.TrimSuffix(s, ".") + "; " + none + "."
	}
	lead := loud(a.Verdict) + " "
	if rest, ok := strings.CutPrefix(s, ":"); ok {
		lead, s = loud(a.Verdict)+": ", rest
	}
	p.para(lead, 2, s)
}

func (p *page) verdictGo(a *answer.Morning) string {
	if what := p.what(a, answer.MorningStep.Able); what != "" {
		return " now: " + what + lastStart(a, answer.MorningStep.Able) + rainFrom(a, answer.MorningStep.Able) + "."
	}
	if what := p.what(a, func(x answer.MorningStep) bool { return x.State == "marginal" && !x.Lacks() }); what != "" {
		return " now with your yes: " + what + "."
	}
	return " now."
}

// lastStart is the earliest of the last starts of the steps that pick chooses, and
// when those that end then may begin again today.
func lastStart(a *answer.Morning, pick func(answer.MorningStep) bool) string {
	last, again := a.LastStart(pick)
	if last == nil {
		return ""
	}
	s := "; last start " + when(a.Now, *last)
	if again != nil {
		s += ", again from " + when(a.Now, *again)
	}
	return s
}

// rainFrom is when rain first bears on the work of the steps that pick chooses.
func rainFrom(a *answer.Morning, pick func(answer.MorningStep) bool) string {
	first := a.FirstRain(pick)
	if first == nil {
		return ""
	}
	return "; " + answer.RainWords(a.Now, *first, when)
}

func (p *page) verdictWait(a *answer.Morning) string {
	if a.WaitUntil == nil {
		return ": " + p.mainReason(a, func(answer.MorningStep) bool { return true }) + "."
	}
	t := *a.WaitUntil
	s := " until " + when(a.Now, t)
	then := a.Then
	if what := p.what(a, then); what != "" {
		s += ", then " + what + rainFrom(a, then)
	}
	if held := a.Crew.HeldBy(a.Now); held != "" {
		s += "; " + p.o.prose(held)
	}
	return s + "."
}

func (p *page) verdictMarginal(a *answer.Morning) string {
	s := ": needs your yes"
	if what := p.what(a, answer.MorningStep.Soft); what != "" {
		s += " for " + what
	}
	if from := a.YesFrom(); from != nil {
		return s + ", from " + when(a.Now, *from) + "."
	}
	return s + ", because " + p.mainReason(a, func(x answer.MorningStep) bool { return x.State == "marginal" }) + "."
}

// what names the steps, each with its zones and first hour, that pick chooses:
// "seal port side (from 08:40), foredeck".
func (p *page) what(a *answer.Morning, pick func(answer.MorningStep) bool) string {
	zones, order := map[string][]string{}, []string{}
	all := map[string][]string{} // that are left to do, asked today or not: "all but" leaves none of them out unsaid
	for _, x := range a.Steps {
		if !x.Done {
			all[x.Step] = append(all[x.Step], x.Zone)
		}
	}
	for _, x := range a.AskedSteps() {
		if !pick(x) {
			continue
		}
		if zones[x.Step] == nil {
			order = append(order, x.Step)
		}
		zones[x.Step] = append(zones[x.Step], x.Zone)
	}
	parts := make([]string, len(order))
	for i, s := range order {
		parts[i] = stepWord(s) + " " + some(zones[s], all[s], 48)
	}
	return strings.Join(parts, "; ")
}

// mainReason is stands without its limit.
func (p *page) mainReason(a *answer.Morning, pick func(answer.MorningStep) bool) string {
	why, _ := p.stands(a, pick)
	return why
}

// stands is what stands against most of the steps that pick chooses, hours and days off
// last of all, in words, and its limit.
func (p *page) stands(a *answer.Morning, pick func(answer.MorningStep) bool) (why, limit string) {
	n, order := map[string]int{}, []string{}
	worst := map[string]answer.Binding{}
	for _, x := range a.AskedSteps() {
		if !pick(x) {
			continue
		}
		against, _ := x.Stands()
		l := against.Limit
		if n[l]++; n[l] == 1 {
			order, worst[l] = append(order, l), against
			continue
		}
		worst[l] = worst[l].Worse(against)
	}
	best := ""
	for _, l := range order {
		if best == "" || scheduled(best) && !scheduled(l) || scheduled(best) == scheduled(l) && n[l] > n[best] {
			best = l
		}
	}
	switch {
	case len(order) == 0 && a.Verdict == "unknown":
		return "today's hours cannot be judged by this forecast", ""
	case len(order) == 0:
		return "nothing left to do today", ""
	}
	return because(worst[best], p.o), best
}

// morningGroup is one step's zones that read the same.
type morningGroup struct {
	zones []answer.MorningStep
}

// morningZones keeps the steps in order and joins the zones of one that agree in
// state, hours and reason.
func morningZones(list []answer.MorningStep) [][]morningGroup {
	var out [][]morningGroup
	at := map[string]int{}
	for _, x := range list {
		i, ok := at[x.Step]
		if !ok {
			i = len(out)
			at[x.Step], out = i, append(out, nil)
		}
		joined := false
		for k := range out[i] {
			if alike(out[i][k].zones[0], x) {
				out[i][k].zones, joined = append(out[i][k].zones, x), true
				break
			}
		}
		if !joined {
			out[i] = append(out[i], morningGroup{[]answer.MorningStep{x}})
		}
	}
	return out
}

func alike(a, b answer.MorningStep) bool {
	return a.State == b.State && a.Done == b.Done && a.Waits == b.Waits &&
		(a.Able() && b.Able() || a.Best == b.Best && a.Binding.Limit == b.Binding.Limit) && a.Change == b.Change && a.WetBy == b.WetBy &&
		same(a.First, b.First) && same(a.Last, b.Last) && same(a.LastSection, b.LastSection) && same(a.WipeBy, b.WipeBy) && same(a.WetAt, b.WetAt) && same(a.RainAt, b.RainAt) &&
		firstState(a) == firstState(b) && (a.TowelGM2 == nil) == (b.TowelGM2 == nil) && a.Early() == b.Early() && a.FirstBecause == b.FirstBecause && a.Again() == b.Again() && a.Mind == b.Mind
}

func same(a, b *time.Time) bool { return a == b || a != nil && b != nil && a.Equal(*b) }

// morningStep writes a step and its zones. One that waits and reads like an earlier one, as a
// strip wash does like a wash, says only so; like has the earlier ones by what they say.
func (p *page) morningStep(a *answer.Morning, groups []morningGroup, like map[string]string) {
	first := groups[0].zones[0]
	p.blank()
	head := heading(stepWord(first.Step))
	if first.Product != "" {
		head += " with " + name(first.Product, nameCells)
	}
	var all []string
	for _, g := range groups {
		for _, z := range g.zones {
			all = append(all, z.Zone)
		}
	}
	later := waiting(a, groups)
	if later {
		head += onceBefore
	}
	p.para("", 2, head) // on a narrow screen it goes on in the next line
	body, bare := newPage(p.o), newPage(p.o)
	for _, g := range groups {
		where := every(g.names(), all)
		bare.morningGroup(a, g, where)
		if x := g.zones[0]; !x.Done {
			where += forToday(a, first.Step, g.names())
			if x.Waits && !later { // it has to say that the step before is not done
				where += onceBefore
			}
		}
		body.morningGroup(a, g, where)
	}
	said := bare.b.String()
	if earlier, ok := like[said]; ok && later {
		p.line("  The same as " + earlier + ".")
		return
	}
	like[said] = stepWord(first.Step)
	p.b.WriteString(body.b.String())
}

// names are those of the zones.
func (g morningGroup) names() []string {
	out := make([]string, len(g.zones))
	for i, z := range g.zones {
		out[i] = z.Zone
	}
	return out
}

// morningGroup writes zones that read the same, under the words for where they are: state and
// hours, what decides, and what would change it.
func (p *page) morningGroup(a *answer.Morning, g morningGroup, where string) {
	x := g.zones[0]
	worst := x.Binding
	for _, z := range g.zones {
		worst = worst.Worse(z.Binding)
	}
	state := x.State
	if !answer.Workable(state) && x.First != nil {
		state = "wait"
	}
	if x.Done {
		p.para("  "+pad("done", 12), 14, where)
		return
	}
	why := because(worst, p.o)
	if len(g.zones) > 1 && why != because(x.Binding, p.o) {
		why = "at worst " + why
	}
	text, change := p.when(a, x, why), p.o.prose(x.Ends())
	switch {
	case change == "":
	case x.First == nil && scheduled(x.Binding.Limit): // the clock says little: what comes next says more
		text = stop(change)
	case x.First == nil && !answer.Workable(x.State):
		text += " " + stop(answer.Capital(change))
	default:
		text += " What changes it: " + stop(change)
	}
	if x.Mind != "" {
		text += " " + stop(answer.Capital(p.o.prose(x.Mind)))
	}
	p.para("  "+pad(loud(state), 12), 14, where+": "+text)
}

// when gives the hours in which today's work may begin, with the last start and
// when the panel is wet after it, and what stands against now.
func (p *page) when(a *answer.Morning, x answer.MorningStep, why string) string {
	var s string
	switch {
	case x.First == nil && !answer.Workable(x.State):
		return why + "."
	case !answer.Workable(x.State):
		s = p.from(a, x)
		if early := x.Early(); early != "" {
			s += ", " + p.o.prose(early)
		}
		if !scheduled(x.Binding.Limit) {
			if x.Binding.Limit == "data" {
				why = "not known: " + why
			}
			s += "; now " + why
		}
	case x.State == "marginal" && a.Begins(x) != "":
		s = a.Begins(x) + towel(x) + ": " + why
	case x.State == "marginal":
		s = "needs your yes: " + why
		if x.First != nil && !x.First.After(a.Now) {
			s = "needs your yes" + towel(x) + ": " + why
		} else if x.First != nil {
			s += "; " + p.from(a, x)
		}
	default:
		s = a.Begins(x) + towel(x)
	}
	if x.Last != nil {
		s += ". " + lastOn(a.Now, x)
		if x.WetAt != nil && x.WetBy != "" {
			s += " (" + name(x.WetBy, 12) + nbsp + when(a.Now, *x.WetAt) + ")"
		}
		if x.RainAt != nil {
			s += "; " + answer.RainWords(a.Now, *x.RainAt, when)
		}
	}
	if again := x.Again(); again != "" {
		s += ". Again " + again
	}
	return s + "."
}

// lastOn is the last start or, where a section put on then could not be wiped off in time,
// the last one that can.
func lastOn(now time.Time, x answer.MorningStep) string {
	if x.LastSection != nil && x.WipeBy != nil {
		return "Last section on " + when(now, *x.LastSection) + ", wiped by " + when(*x.LastSection, *x.WipeBy)
	}
	return "Last start " + when(now, *x.Last)
}

// from is when a step may first begin, with the state of that hour and why it is no better
// than marginal.
func (p *page) from(a *answer.Morning, x answer.MorningStep) string {
	state, yes := orGo(firstState(x)), ""
	if x.FirstBecause != "" {
		yes = ", " + p.o.prose(x.FirstBecause)
	}
	if x.NeedsConsent || x.FirstState == "" && state == "marginal" {
		yes += ": needs your yes"
	}
	return "from " + when(a.Now, *x.First) + " (" + tag(state) + yes + ")" + towel(x)
}

// towel says that there is water to towel off before a step begins.
func towel(x answer.MorningStep) string {
	if x.TowelGM2 == nil {
		return ""
	}
	return ", once its water is towelled off"
}

func orGo(state string) string {
	if state == "" {
		return "go"
	}
	return state
}

// firstState is the state of a step's first hour; of answers that do not tell it,
// the best of the day.
func firstState(x answer.MorningStep) string {
	if x.FirstState == "" {
		return x.Best
	}
	return x.FirstState
}
