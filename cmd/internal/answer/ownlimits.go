package answer

import (
	"slices"
	"strings"
)

// OwnLimit is a limit of a person's own label that is looser than the hard bound of its
// class. It stays on every verdict made with the product.
type OwnLimit struct {
	Product string `json:"product"`
	Text    string `json:"text"` // one line, SI, that names the product
}

// ownLimits are those of the products that the job uses.
func (b *builder) ownLimits() []OwnLimit {
	var out []OwnLimit
	for _, s := range b.Job.Steps {
		c, _ := b.Classes.Class(s.With)
		for _, w := range c.Warnings {
			if x := (OwnLimit{c.ID, w}); !slices.Contains(out, x) {
				out = append(out, x)
			}
		}
	}
	return out
}

// ownLimitsIn are those that warnings tell of, each without its place in the file: "my own:
// products.yaml:2:64: my-sealant wind 14 m/s is looser …: your label outranks it, and …".
func ownLimitsIn(warnings []string) []OwnLimit {
	var out []OwnLimit
	const outranks = ": your label outranks it"
	for _, w := range warnings {
		w, ok := strings.CutSuffix(w, outranks+", and every verdict says so")
		if !ok {
			continue
		}
		w = strings.TrimSpace(w[strings.LastIndex(w, ": ")+1:])
		id, _, _ := strings.Cut(w, " ")
		out = append(out, OwnLimit{id, w + outranks})
	}
	return out
}

// OwnLimitsOf are the words on the limits of the products that used picks.
func OwnLimitsOf(list []OwnLimit, used func(product string) bool) []string {
	var out []string
	for _, x := range list {
		if used(x.Product) {
			out = append(out, x.Text)
		}
	}
	return out
}

// OwnLimits are those of the products that the week was asked for.
func (w *Week) OwnLimits() []string {
	return OwnLimitsOf(w.Own, func(id string) bool {
		return slices.ContainsFunc(w.Windows, func(x Window) bool { return x.Product == id }) ||
			slices.ContainsFunc(w.Refusals, func(x Refusal) bool { return x.Product == id })
	})
}

// OwnLimits are those of a list of the products of the plan's blocks.
func (p *Plan) OwnLimits(list []OwnLimit) []string {
	return OwnLimitsOf(list, func(id string) bool {
		return slices.ContainsFunc(p.Blocks, func(x PlanBlock) bool { return x.Product == id })
	})
}
