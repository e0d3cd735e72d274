package text

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Runs of months, over the turn of the year too.
func TestMonths(t *testing.T) {
	of := func(is ...int) []bool {
		out := make([]bool, 12)
		for _, m := range is {
			out[m-1] = true
		}
		return out
	}
	for want, is := range map[string][]bool{
		"":             of(),
		"Jul":          of(7),
		"Apr-Jun, Sep": of(4, 5, 6, 9),
		"May, Nov-Feb": of(11, 12, 1, 2, 5),
		"Jan-Feb":      of(1, 2),
		"Dec":          of(12),
		"all year":     of(1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12),
		"Feb-Dec":      of(2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12),
		"Aug-Jun":      of(1, 2, 3, 4, 5, 6, 8, 9, 10, 11, 12),
		"Mar, Dec-Jan": of(12, 1, 3),
	} {
		assert.Equal(t, want, months(is))
	}
}

func TestInOne(t *testing.T) {
	assert.Empty(t, inOne(nil))
	assert.Equal(t, "helm", inOne([]string{"helm"}))
	assert.Equal(t, "helm, rails and mast", inOne([]string{"helm", "rails", "mast"}))
}
