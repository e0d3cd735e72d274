package answer

import (
	"fmt"
	"math"

	"dewgap/window"
	"dewgap/window/plan"
)

// rainBefore is the rain forecast on the bare panel of a block before it; nil without.
func (b *builder) rainBefore(p *window.Planned, x plan.Block) *RainBefore {
	w, ok := p.Wetted[x.Task]
	if !ok || w.Told {
		return nil
	}
	return &RainBefore{
		From: b.moment(w.Rain.From), To: b.moment(w.Rain.To), After: b.Job.Steps[w.After].Name, WashMin: washMin(w),
	}
}

// dryWords say how long a block's panel has dried since the last water on it, be that
// the wash or rain; "" where it had no wash to dry after, or is washed anew for the rain.
func dryWords(p *window.Planned, x plan.Block) string {
	if _, wetted := p.Wetted[x.Task]; wetted || x.Dried < 0 {
		return ""
	}
	if n, ok := p.SinceRain[x.Task]; ok {
		return "dry " + hoursOf(n) + " since the rain"
	}
	return "dry " + hoursOf(x.Dried) + " since the wash"
}

// washMin is the minutes of one person that washing anew takes, in whole slots.
func washMin(w window.Wetting) float64 {
	return math.Ceil(w.WashH*60/minutesASlot-0.05) * minutesASlot
}

// rainWords says of a block that rain is forecast on its bare panel and what it will
// ask for; "" where none is.
func (b *builder) rainWords(p *window.Planned, x plan.Block) string {
	w, ok := p.Wetted[x.Task]
	if !ok || w.Told {
		return ""
	}
	from, to := b.moment(w.Rain.From), b.moment(w.Rain.To)
	end := to.Format("15:04")
	if !sameDate(from, to) {
		end = to.Format(stamp)
	}
	when := " " + from.Format(stamp) + " to " + end
	if w.Often {
		when = ", the first " + from.Format(stamp) + " and the last until " + end
	}
	took := ""
	if m := washMin(w); m > 0 {
		took = ", " + duration(m)
	}
	if b.Job.Steps[w.After].Do == "strip wash" {
		return fmt.Sprintf("rain is likely on the stripped panel%s: strip wash it once more%s", when, took)
	}
	if took != "" {
		took += " more"
	}
	return fmt.Sprintf("rain is likely on the bare panel%s: wash and dry it first%s", when, took)
}
