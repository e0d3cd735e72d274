package answer

import (
	"slices"
	"strings"

	"dewgap/products"
)

// OwnLimits are, of the warnings of an answer, those of a limit of a person's own label that
// is looser than the hard bound of its class, for the products that used picks: the words,
// without the place in the file. They stay on every verdict made with it.
func OwnLimits(warnings []string, used func(product string) bool) []string {
	var out []string
	for _, w := range warnings {
		w, ok := strings.CutSuffix(w, products.Outranked)
		if !ok {
			continue
		}
		w = w[strings.LastIndex(w, ": ")+1:]
		w = strings.TrimSpace(w) + ": your label outranks it"
		if id, _, _ := strings.Cut(w, " "); used(id) && !slices.Contains(out, w) {
			out = append(out, w)
		}
	}
	return out
}

// OwnLimits are those of the products that the week was asked for.
func (w *Week) OwnLimits() []string {
	return OwnLimits(w.Warnings, func(id string) bool {
		return slices.ContainsFunc(w.Windows, func(x Window) bool { return x.Product == id }) ||
			slices.ContainsFunc(w.Refusals, func(x Refusal) bool { return x.Product == id })
	})
}

// OwnLimits are those of the products of the plan's blocks.
func (p *Plan) OwnLimits(warnings []string) []string {
	return OwnLimits(warnings, func(id string) bool {
		return slices.ContainsFunc(p.Blocks, func(x PlanBlock) bool { return x.Product == id })
	})
}
