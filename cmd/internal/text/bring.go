package text

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"dewgap/cmd/internal/answer"
)

// One dry towel for so much of what was washed, and one more for seams and rails: common
// practice.
const towelM2 = 15

// reaches are what zones are reached by, and what is brought for one and for several who are
// there at once: two stand on one float, and one ladder takes all up to her deck.
var reaches = [...]struct{ by, one, several string }{
	{by: "climb", one: "boarding ladder"}, {by: "ladder", one: "ladder", several: "ladders"},
	{by: "harness", one: "harness", several: "harnesses"}, {by: "float", one: "work float"},
}

// bring is what the crew takes along, a line for each day of a plan: products and for how
// much of her, machines at work at once, what some zones are reached by, dry towels. How much
// of a product that takes is on its label.
func (o Options) bring(blocks []answer.PlanBlock) []string {
	var out []string
	for len(blocks) > 0 {
		n := slices.IndexFunc(blocks, func(b answer.PlanBlock) bool { return !sameDay(b.From, blocks[0].From) })
		if n < 0 {
			n = len(blocks)
		}
		out = append(out, "Bring "+day(blocks[0].From)+": "+o.dayNeeds(blocks[:n])+".")
		blocks = blocks[n:]
	}
	return out
}

// dayNeeds is what one day's blocks ask for.
func (o Options) dayNeeds(blocks []answer.PlanBlock) string {
	var products []string
	area, unsized := map[string]float64{}, map[string][]string{}
	washed, wet := 0.0, false
	for _, b := range blocks {
		product := tidy(b.Product)
		if !slices.Contains(products, product) {
			products = append(products, product)
		}
		m2 := 0.0
		if b.AreaM2 != nil {
			m2 = *b.AreaM2
		} else if zone := tie(tidy(b.Zone)); !slices.Contains(unsized[product], zone) {
			unsized[product] = append(unsized[product], zone)
		}
		area[product] += m2
		if strings.HasSuffix(b.Do, "wash") || b.Rewash {
			washed, wet = washed+m2, true
		}
	}
	var list []string
	for _, product := range products {
		var on []string
		if area[product] > 0 {
			on = append(on, o.area().show(area[product], nearest))
		}
		list = append(list, product+" for "+answer.Listed(append(on, unsized[product]...)))
	}
	if n := atOnce(blocks, func(b answer.PlanBlock) bool { return b.Do == "correct" }); n > 0 {
		list = append(list, counted(n, "polisher"))
	}
	for _, x := range reaches {
		switch n := atOnce(blocks, func(b answer.PlanBlock) bool { return b.Reach == x.by }); {
		case n > 1 && x.several != "":
			list = append(list, strconv.Itoa(n)+nbsp+x.several)
		case n > 0:
			list = append(list, "1"+nbsp+x.one)
		}
	}
	if wet {
		list = append(list, counted(1+max(1, int(math.Ceil(washed/towelM2))), "dry towel"))
	}
	return strings.Join(list, "; ")
}

// atOnce is how many people are at some work at once, at most.
func atOnce(blocks []answer.PlanBlock, some func(answer.PlanBlock) bool) int {
	most := 0
	for _, at := range blocks {
		n := 0
		for _, b := range blocks {
			if some(b) && !b.From.After(at.From) && b.WorkTo.After(at.From) {
				n += len(b.People)
			}
		}
		most = max(most, n)
	}
	return most
}
