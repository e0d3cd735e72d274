package plan

import (
	"fmt"
	"io"
	"slices"
	"strings"
)

// lp writes a job as a mixed integer program in the CPLEX LP format: for every
// task one of its bookings, each in time or late, in the criterion that is asked
// with all before it held at their best. It knows everything that a plan knows
// but visits, and which person works a machine.
type lp struct {
	in    *Input
	m     *model
	w     *strings.Builder
	rows  int
	stage int
}

// writeLP writes the program of criterion stage, from 0, with the criteria
// before it held at best.
func writeLP(out io.Writer, in *Input, stage int, best Score) error {
	m := newModel(in)
	if t := m.propagate(); t >= 0 {
		return fmt.Errorf("task %d has no place", t)
	}
	p := &lp{in: in, m: m, w: &strings.Builder{}, stage: stage}
	p.objective()
	p.w.WriteString("Subject To\n")
	p.assign()
	p.order()
	p.capacity()
	p.measures()
	p.hold(best)
	p.ends()
	_, err := io.WriteString(out, p.w.String())
	return err
}

var lpNames = [Criteria]string{"consents", "points", "days", "finish", "heat"}

func (p *lp) objective() {
	sense := "Minimize"
	if p.stage == 1 {
		sense = "Maximize"
	}
	fmt.Fprintf(p.w, "%s\n obj: %s\n", sense, lpNames[p.stage])
}

// name of a booking; late ones have waited for less than they should.
func name(t, i int, late bool) string {
	if late {
		return fmt.Sprintf("l%d_%d", t, i)
	}
	return fmt.Sprintf("x%d_%d", t, i)
}

// each calls f for every booking of a task.
func (p *lp) each(t int, f func(name string, o *option, late bool)) {
	for i := range p.m.options[t] {
		o := &p.m.options[t][i]
		f(name(t, i, false), o, false)
		if p.mayBeLate(t) {
			f(name(t, i, true), o, true)
		}
	}
}

func (p *lp) mayBeLate(t int) bool {
	return slices.ContainsFunc(p.m.preds[t], func(a arc) bool { return a.Go > a.Hard })
}

// row writes one constraint; none where it has no terms.
func (p *lp) row(terms []string, sense string) {
	if len(terms) == 0 {
		return
	}
	p.rows++
	fmt.Fprintf(p.w, " c%d:", p.rows)
	for i, t := range terms {
		if i%8 == 7 {
			p.w.WriteString("\n ")
		}
		p.w.WriteString(" " + t)
	}
	p.w.WriteString(" " + sense + "\n")
}

func (p *lp) assign() {
	for t := range p.m.options {
		var terms []string
		p.each(t, func(n string, _ *option, _ bool) { terms = append(terms, "+ "+n) })
		p.row(terms, "= 1")
	}
}

// clash forbids two sets of bookings together.
func (p *lp) clash(a, b func(o *option, late bool) bool, s, t int) {
	var terms []string
	n := 0
	p.each(s, func(name string, o *option, late bool) {
		if a(o, late) {
			terms = append(terms, "+ "+name)
		}
	})
	n = len(terms)
	p.each(t, func(name string, o *option, late bool) {
		if b(o, late) {
			terms = append(terms, "+ "+name)
		}
	})
	if n > 0 && len(terms) > n {
		p.row(terms, "<= 1")
	}
}

func (p *lp) order() {
	for t := range p.m.options {
		for _, a := range p.m.preds[t] {
			p.after(a, t)
		}
		for _, a := range p.m.apart[t] {
			if a.wet {
				p.apart(a, t)
			}
		}
	}
}

func (p *lp) after(a arc, t int) {
	ends := map[int32]bool{}
	p.each(a.other, func(_ string, o *option, _ bool) { ends[o.end] = true })
	var at []int32
	for e := range ends {
		at = append(at, e)
	}
	slices.Sort(at)
	for _, e := range at {
		from := func(o *option, _ bool) bool { return o.end >= e }
		p.clash(from, func(o *option, late bool) bool {
			return o.start < e+int32(a.Hard) || (!late && o.start < e+int32(a.Go))
		}, a.other, t)
		if a.Since != nil {
			p.clash(func(o *option, _ bool) bool { return o.end <= e },
				func(o *option, _ bool) bool { return e < a.Since[o.start] }, a.other, t)
		}
		if a.Most > 0 {
			p.clash(func(o *option, _ bool) bool { return o.end == e }, func(o *option, _ bool) bool {
				gap := int(o.start - e)
				return gap > a.Most && (a.Anew == 0 || gap < a.Anew)
			}, a.other, t)
		}
	}
	for d := range p.in.Days {
		on := int32(d)
		if a.NextDay {
			p.clash(func(o *option, _ bool) bool { return o.day == on },
				func(o *option, _ bool) bool { return o.day <= on }, a.other, t)
		}
		if a.Overnight > 0 {
			p.clash(func(o *option, _ bool) bool { return o.day == on },
				func(o *option, _ bool) bool { return o.night != (o.day > on) }, a.other, t)
		}
	}
}

func (p *lp) apart(a arc2, t int) {
	for i := range p.m.options[t] {
		wet := &p.m.options[t][i]
		p.clash(func(o *option, _ bool) bool { return o == wet },
			func(o *option, _ bool) bool { return !a.apart(wet, o) }, t, a.other)
	}
}

func (p *lp) capacity() {
	for s := range p.m.n {
		var terms []string
		for t := range p.m.options {
			p.each(t, func(n string, o *option, _ bool) {
				if int(o.start) <= s && s < int(o.end) {
					terms = append(terms, fmt.Sprintf("+ %d %s", o.people, n))
				}
			})
		}
		p.row(terms, fmt.Sprintf("<= %d", p.in.Days[p.in.Day[s]].People))
	}
	p.machines()
	if p.in.MachineSlots == 0 {
		return
	}
	for d, day := range p.in.Days {
		var terms []string
		for t := range p.m.options {
			if !p.in.Tasks[t].Machine {
				continue
			}
			p.each(t, func(n string, o *option, _ bool) {
				if int(o.day) == d {
					terms = append(terms, fmt.Sprintf("+ %d %s", (o.workTo-o.start)*o.people, n))
				}
			})
		}
		p.row(terms, fmt.Sprintf("<= %d", day.People*p.in.MachineSlots))
	}
}

// machines are no more at work in a slot than there are.
func (p *lp) machines() {
	if p.in.Machines == 0 {
		return
	}
	for s := range p.m.n {
		var terms []string
		for t := range p.m.options {
			p.each(t, func(n string, o *option, _ bool) {
				if p.in.Tasks[t].Machine && int(o.start) <= s && s < int(o.workTo) {
					terms = append(terms, fmt.Sprintf("+ %d %s", o.people, n))
				}
			})
		}
		p.row(terms, fmt.Sprintf("<= %d", p.in.Machines))
	}
}

// measures defines the five criteria.
func (p *lp) measures() {
	var consents, heat, days []string
	for t := range p.m.options {
		finish := []string{"+ finish"}
		p.each(t, func(n string, o *option, late bool) {
			if p.m.consents(o, late) {
				consents = append(consents, "- "+n)
			}
			if o.heat > 0 {
				heat = append(heat, fmt.Sprintf("- %d %s", o.heat, n))
			}
			finish = append(finish, fmt.Sprintf("- %d %s", o.end, n))
		})
		p.row(finish, ">= 0")
		for d := range p.in.Days {
			on := []string{fmt.Sprintf("- d%d", d)}
			p.each(t, func(n string, o *option, _ bool) {
				if int(o.day) == d {
					on = append(on, "+ "+n)
				}
			})
			if len(on) > 1 {
				p.row(on, "<= 0")
			}
		}
	}
	for d := range p.in.Days {
		days = append(days, fmt.Sprintf("- d%d", d))
	}
	p.row(append([]string{"+ consents"}, consents...), "= 0")
	p.row(append([]string{"+ heat"}, heat...), "= 0")
	p.row(append([]string{"+ days"}, days...), "= 0")
	p.members()
}

func (p *lp) members() {
	points := []string{fmt.Sprintf("+ %d points", p.m.voters)}
	for k := range 64 * p.m.words {
		if p.in.Voters[k/64]>>(k%64)&1 == 0 {
			continue
		}
		points = append(points, fmt.Sprintf("- 20 m%d", k))
		for t := range p.m.options {
			holds := []string{fmt.Sprintf("+ m%d", k)}
			all := true
			p.each(t, func(n string, o *option, late bool) {
				set, _ := p.m.members(o, late)
				if set[k/64]>>(k%64)&1 == 1 {
					holds = append(holds, "- "+n)
				} else {
					all = false
				}
			})
			if !all {
				p.row(holds, "<= 0")
			}
		}
	}
	p.row(points, "<= 0")
}

// hold keeps the criteria before the stage at their best.
func (p *lp) hold(best Score) {
	values := []int64{int64(best.Consents), int64(best.FivePoints), int64(best.Days), int64(best.Finish)}
	for i := range p.stage {
		sense := "<="
		if i == 1 {
			sense = ">="
		}
		p.row([]string{"+ " + lpNames[i]}, fmt.Sprintf("%s %d", sense, values[i]))
	}
}

func (p *lp) ends() {
	p.w.WriteString("Bounds\n points <= 20\nGenerals\n points\nBinaries\n")
	for t := range p.m.options {
		p.each(t, func(n string, _ *option, _ bool) { fmt.Fprintf(p.w, " %s\n", n) })
	}
	for d := range p.in.Days {
		fmt.Fprintf(p.w, " d%d\n", d)
	}
	for k := range 64 * p.m.words {
		if p.in.Voters[k/64]>>(k%64)&1 == 1 {
			fmt.Fprintf(p.w, " m%d\n", k)
		}
	}
	p.w.WriteString("End\n")
}
