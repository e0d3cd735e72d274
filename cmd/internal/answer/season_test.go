package answer

import (
	"strings"
	"testing"

	"dewgap/products"
	"dewgap/window"
	"dewgap/window/boat"

	"github.com/stretchr/testify/assert"
)

// Why a product does not go on a zone: paint is told from what no word of anybody's changes.
func TestSeasonRow_WhyNot(t *testing.T) {
	class := products.Class{ID: "compound", Allowed: []string{"white-gelcoat"}, Conditional: []string{"navy-paint"}, Never: []string{"teak"}}
	why := func(finish, buffable string, parts ...boat.Part) string {
		row := seasonRow(&window.SeasonRow{Class: class}, boat.Zone{Finish: boat.Finish{Name: finish}, Buffable: buffable, Parts: parts})
		assert.Nil(t, row.Months[6])
		return row.Why
	}
	assert.Equal(t, "it does not suit the finish", why("teak", "unknown"))
	assert.Equal(t, "it does not suit the finish", why("stainless", "yes"), "not forbidden, and not what it is for")
	assert.Equal(t, "the paint is not known to stand buffing (zone key buffable)", why("navy-paint", "unknown"))
	assert.Equal(t, "the paint must not be buffed, says the job", why("navy-paint", "no"))
	assert.Equal(t, "it does not suit the finish", why("white-gelcoat", "yes", boat.Part{Finish: boat.Finish{Name: "teak"}}))
	row := seasonRow(&window.SeasonRow{Class: class, Suits: true}, boat.Zone{Name: "foredeck"})
	assert.Empty(t, row.Why)
	assert.NotNil(t, row.Months[6])
}

// The zones that a product is not for are named, those of the usual reason last; where they
// are more than those that it is for, they are all others.
func TestNotFor(t *testing.T) {
	const paint = "the paint must not be buffed, says the job"
	rails, seats, mask := SeasonRow{Zone: "rails"}, SeasonRow{Zone: "seats", Why: doesNotSuit}, SeasonRow{Zone: "mask", Why: paint}
	deck := SeasonRow{Zone: "foredeck", Suits: true}
	not := func(rows ...SeasonRow) []string { return NotFor(rows, strings.ToUpper) }
	assert.Equal(t, []string{"Not for MASK: " + paint + ".", "Not for RAILS and SEATS: it does not suit the finish."}, not(rails, mask, deck, deck, seats))
	assert.Equal(t, []string{"Not for MASK: " + paint + ".", "Not for any other zone: it does not suit the finish."}, not(rails, mask, deck, seats))
	assert.Equal(t, []string{"Not for any zone: it does not suit the finish."}, not(rails, seats))
	assert.Empty(t, not(deck))
}
