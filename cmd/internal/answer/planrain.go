package answer

import (
	"fmt"
	"math"
	"slices"
	"time"

	"dewgap/window"
	"dewgap/window/plan"
)

// rainBefore is the rain forecast on the bare panel of a block before it; nil without.
func (b *builder) rainBefore(p *window.Planned, x plan.Block) *RainBefore {
	w, ok := p.Wetted[x.Task]
	if !ok || w.Told || w.Waits > 0 {
		return nil
	}
	return &RainBefore{
		From: b.moment(w.Rain.From), To: b.moment(w.Rain.To), After: b.Job.Steps[w.After].Name, WashMin: washMin(w),
		WashBy: b.moment(w.By), NoTime: w.NoTime,
	}
}

// staleWash is the wash before a block that is too old by then; nil without.
func (b *builder) staleWash(p *window.Planned, x plan.Block) *StaleWash {
	w, ok := p.Wetted[x.Task]
	if !ok || w.Waits == 0 {
		return nil
	}
	return &StaleWash{
		After: b.Job.Steps[w.After].Name, WaitsH: round(w.Waits.Hours(), tenth), WashMin: washMin(w),
		WashBy: b.moment(w.By), NoTime: w.NoTime,
	}
}

// dryWords say how long a block's panel has dried since the last water on it, be that
// the wash, rain, fog or, where the class minds it, dew: the hours by which the block was
// judged. "" where it had no wash to dry after, or is washed anew for the rain.
func dryWords(p *window.Planned, x plan.Block) string {
	if _, wetted := p.Wetted[x.Task]; wetted || x.Dried < 0 {
		return ""
	}
	n, rained := p.SinceRain[x.Task]
	if d, ok := p.SinceDamp[x.Task]; ok && (!rained || d.Slots < n) {
		if d.Fog {
			return "dry " + hoursOf(d.Slots) + " since the fog"
		}
		return "dry " + hoursOf(d.Slots) + " since water lay on it"
	}
	if rained {
		return "dry " + hoursOf(n) + " since the rain"
	}
	return "dry " + hoursOf(x.Dried) + " since the wash"
}

// washMin is the minutes of one person that washing anew takes, in whole slots.
func washMin(w window.Wetting) float64 {
	return math.Ceil(w.WashH*60/minutesASlot-0.05) * minutesASlot
}

// rainWords says of a block why its panel is to be washed anew before it and what that
// asks for: rain that is forecast on it, or too long a wait; "" where it is not.
func (b *builder) rainWords(p *window.Planned, x plan.Block) string {
	w, ok := p.Wetted[x.Task]
	if !ok || w.Told {
		return ""
	}
	took := ""
	if m := washMin(w); m > 0 {
		took = ", " + duration(m)
	}
	panel, wash := "bare", "wash and dry it first"
	switch b.Job.Steps[w.After].Do {
	case "strip wash":
		panel, wash = "stripped", "strip wash it once more"
	case "wash":
		panel, wash = "washed", "wash it once more"
	default:
		if took != "" {
			took += " more"
		}
	}
	text := "rain is likely on the " + panel + " panel" + b.rainWhen(w)
	if w.Waits > 0 {
		text = panel + " " + hoursOf(int(w.Waits/(minutesASlot*time.Minute))) + " before"
	}
	return text + ": " + wash + took + b.washBy(w, x) + b.spared(p, x, w)
}

// spared says which wash of the plan is for nothing where a whole panel is washed anew before
// its block, in hours that allow it; "" where that is done already, or of parts.
func (b *builder) spared(p *window.Planned, x plan.Block, w window.Wetting) string {
	zone := p.Tasks[x.Task].Zone
	k := slices.IndexFunc(p.Blocks, func(y plan.Block) bool {
		t := p.Tasks[y.Task]
		return t.Step == w.After && t.Zone == zone
	})
	if do := b.Job.Steps[w.After].Do; k < 0 || w.NoTime || p.Tasks[x.Task].Parts > 1 || do != "wash" && do != "strip wash" {
		return ""
	}
	return "; then leave out the " + b.Job.Steps[w.After].Name + " of " + b.at(b.Result.From+p.Blocks[k].From).Format(stamp)
}

// rainWhen is from when to when it rains on a panel, in words.
func (b *builder) rainWhen(w window.Wetting) string {
	from, to := b.moment(w.Rain.From), b.moment(w.Rain.To)
	end := to.Format("15:04")
	if !sameDate(from, to) {
		end = to.Format(stamp)
	}
	if w.Often {
		return ", the first " + from.Format(stamp) + " and the last until " + end
	}
	return " " + from.Format(stamp) + " to " + end
}

// washBy is until when a panel is to be washed anew for a block to begin in time.
func (b *builder) washBy(w window.Wetting, x plan.Block) string {
	begins := b.at(b.Result.From + x.From)
	by, dry := b.moment(w.By), begins.Sub(w.By)
	switch {
	case w.NoTime && dry > 0:
		return fmt.Sprintf("; no hours before this block allow that: begin it %s after that wash", duration(dry.Minutes()))
	case w.NoTime:
		return "; no hours before this block allow that: begin it once that is done"
	case dry == 0:
		return ""
	case sameDate(by, begins):
		return ", by " + by.Format("15:04")
	}
	return ", by " + by.Format(stamp)
}
