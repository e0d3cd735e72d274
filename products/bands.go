package products

import "fmt"

// String writes the band as people read it: "10–30", "≤ 28", "≥ 3", or "any"
// where both ends are open.
func (b Band) String() string {
	switch {
	case b.HasMin && b.HasMax && b.Min == b.Max:
		return num(b.Min)
	case b.HasMin && b.HasMax:
		return num(b.Min) + "–" + num(b.Max)
	case b.HasMin:
		return "≥ " + num(b.Min)
	case b.HasMax:
		return "≤ " + num(b.Max)
	}
	return "any"
}

// Contains reports whether x lies in the band, its ends included.
func (b Band) Contains(x float64) bool {
	return !(b.HasMin && x < b.Min) && !(b.HasMax && x > b.Max)
}

// Within reports whether every value of the band lies in the outer one.
func (b Band) Within(outer Band) bool {
	low := !outer.HasMin || b.HasMin && b.Min >= outer.Min
	high := !outer.HasMax || b.HasMax && b.Max <= outer.Max
	return low && high
}

// empty reports a band that runs backwards.
func (b Band) empty() bool { return b.HasMin && b.HasMax && b.Min > b.Max }

// clip is what the band and the outer one have in common.
func (b Band) clip(outer Band) Band {
	if outer.HasMin && (!b.HasMin || b.Min < outer.Min) {
		b.Min, b.HasMin = outer.Min, true
	}
	if outer.HasMax && (!b.HasMax || b.Max > outer.Max) {
		b.Max, b.HasMax = outer.Max, true
	}
	return b
}

// fill closes the open ends of the band with those of the outer one, unless
// the band lies wholly beyond them.
func (b Band) fill(outer Band) Band {
	f := b
	if !f.HasMin {
		f.Min, f.HasMin = outer.Min, outer.HasMin
	}
	if !f.HasMax {
		f.Max, f.HasMax = outer.Max, outer.HasMax
	}
	if f.empty() {
		return b
	}
	return f
}

// hull is the smallest band that holds both; an end open in either is open.
func (b Band) hull(c Band) Band {
	h := Band{HasMin: b.HasMin && c.HasMin, HasMax: b.HasMax && c.HasMax}
	if h.HasMin {
		h.Min = min(b.Min, c.Min)
	}
	if h.HasMax {
		h.Max = max(b.Max, c.Max)
	}
	return h
}

// offer is what a file says of one limit: any of its three bands, or that the
// class has no such limit.
type offer struct {
	ideal, normal, hard *Band
	none                bool
}

// merge puts a file's bands over a base's. What the file says stands, and the
// bands that it leaves to the base make room: an inner one is clipped to what
// holds it, an outer one grows to hold what is inside. An open end of an inner
// band takes the bound of the next outer one. notes tells which bands of the
// base had to move; the error tells two of the file's own bands that do not
// nest, or a new limit without its default band.
func merge(base Limit, o offer) (out Limit, notes []string, err error) {
	if o.none {
		return Limit{}, nil, nil
	}
	if !base.Given && o.normal == nil {
		return base, nil, fmt.Errorf("has no default band")
	}
	follows := !base.Given || base.Ideal == base.Default
	out = Limit{Given: true, Ideal: base.Ideal, Default: base.Default, Hard: base.Hard}
	if o.hard != nil {
		out.Hard = *o.hard
	}
	if out, notes, err = mergeDefault(out, o); err == nil {
		out, notes, err = mergeIdeal(out, o, follows, notes)
	}
	if err != nil {
		return base, nil, err
	}
	return out, notes, nil
}

// mergeDefault settles the default band against the hard one, which it holds
// already where the file gives it.
func mergeDefault(out Limit, o offer) (Limit, []string, error) {
	switch {
	case o.normal != nil:
		out.Default = o.normal.fill(out.Hard)
		if out.Default.Within(out.Hard) {
			return out, nil, nil
		}
		if o.hard != nil {
			return out, nil, fmt.Errorf("default %v reaches outside hard %v", out.Default, out.Hard)
		}
		out.Hard = out.Hard.hull(out.Default)
		return out, []string{fmt.Sprintf("hard widened to %v to hold your default", out.Hard)}, nil
	case o.hard != nil:
		was := out.Default
		if out.Default = was.clip(out.Hard); out.Default.empty() {
			out.Default = out.Hard
		}
		if out.Default != was {
			return out, []string{fmt.Sprintf("default clipped to %v by your hard", out.Default)}, nil
		}
	}
	return out, nil, nil
}

// mergeIdeal settles the ideal band against the default one. follows says that
// the base gave no ideal of its own, so that it goes wherever default goes.
func mergeIdeal(out Limit, o offer, follows bool, notes []string) (Limit, []string, error) {
	if o.ideal == nil {
		was := out.Ideal
		if out.Ideal = was.clip(out.Default); follows || out.Ideal.empty() {
			out.Ideal = out.Default
		}
		if out.Ideal != was && !follows {
			notes = append(notes, fmt.Sprintf("ideal clipped to %v by your default", out.Ideal))
		}
		return out, notes, nil
	}
	out.Ideal = o.ideal.fill(out.Default)
	if out.Ideal.Within(out.Default) {
		return out, notes, nil
	}
	if o.normal != nil {
		return out, nil, fmt.Errorf("ideal %v reaches outside default %v", out.Ideal, out.Default)
	}
	out.Default = out.Default.hull(out.Ideal)
	notes = append(notes, fmt.Sprintf("default widened to %v to hold your ideal", out.Default))
	if out.Default.Within(out.Hard) {
		return out, notes, nil
	}
	if o.hard != nil {
		return out, nil, fmt.Errorf("ideal %v reaches outside hard %v", out.Ideal, out.Hard)
	}
	out.Hard = out.Hard.hull(out.Default)
	return out, append(notes, fmt.Sprintf("hard widened to %v to hold your ideal", out.Hard)), nil
}

// looser words each end of the new limit's hard band that reaches past the
// base's: "air minimum 2 °C is looser than the class's hard 5 °C". An end that
// the base leaves open cannot be loosened.
func looser(s spec, base, now Limit) []string {
	if !base.Given {
		return nil
	}
	var list []string
	say := func(side string, value float64, has bool, bound float64) {
		text := s.amount(value)
		if !has || !now.Given {
			text = "none"
		}
		list = append(list, fmt.Sprintf("%s%s %s is looser than the class's hard %s", s.label, side, text, s.amount(bound)))
	}
	least, most := "", ""
	if s.shape == pair {
		least, most = " minimum", " maximum"
	}
	b, h := base.Hard, now.Hard
	if b.HasMin && (!now.Given || !h.HasMin || h.Min < b.Min) {
		say(least, h.Min, h.HasMin, b.Min)
	}
	if b.HasMax && (!now.Given || !h.HasMax || h.Max > b.Max) {
		say(most, h.Max, h.HasMax, b.Max)
	}
	return list
}

// limit turns a clock into the limit that it is: a least.
func (c Clock) limit() Limit {
	if !c.Given {
		return Limit{}
	}
	least := func(x float64) Band { return Band{Min: x, HasMin: true} }
	l := Limit{Given: true, Ideal: least(c.Ideal), Default: least(c.Default), Source: c.Source, Loosened: c.Loosened}
	if c.HasHard {
		l.Hard = least(c.Hard)
	}
	return l
}

// clock is the way back from limit.
func (l Limit) clock() Clock {
	return Clock{
		Given: l.Given, Ideal: l.Ideal.Min, Default: l.Default.Min, Hard: l.Hard.Min,
		HasHard: l.Hard.HasMin, Source: l.Source, Loosened: l.Loosened,
	}
}
