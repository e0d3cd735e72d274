package window_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/window"
	"dewgap/window/boat"
)

// Nobody needs two good hours for a panel that is sealed in half an hour, and nobody
// makes do with less for one that takes the morning (common practice, no source).
func TestNeeded(t *testing.T) {
	j := smallJob(t, "polymer-sealant")
	white := finish(t, "white-gelcoat")
	j.Zones = []boat.Zone{
		{Name: "hatch", Finish: white, AreaM2: 1}, {Name: "helm", Finish: white, AreaM2: 5},
		{Name: "port side", Finish: white, Tilt: 90, AreaM2: 40}, {Name: "transom", Finish: white, Tilt: 90},
	}
	j.Steps[0].On = []int{0, 1, 2, 3}
	f := calm(3)
	needed := func(people int) []int {
		j.People = people
		r := evaluate(t, f, j, f.Start)
		require.Len(t, r.Rows, 4)
		needs, out := window.NewNeeds(r, j), make([]int, len(r.Rows))
		for i := range r.Rows {
			out[i] = needs.Of(i)
		}
		return out
	}
	alone := needed(1)
	assert.Less(t, alone[0], alone[1], "the smaller panel takes less")
	assert.Less(t, alone[1], 12)
	assert.Equal(t, []int{12, 12}, alone[2:], "never more than two hours, and two where the size is not known")
	assert.Less(t, needed(2)[1], alone[1], "two people are quicker")
	j.ShortestH = 1
	assert.Equal(t, 6, needed(1)[2])
}

// Of a block the work alone takes a polisher: its haze and its wiping off are no part of it.
func TestNeeds_Worked(t *testing.T) {
	f := calm(3)
	j := smallJob(t, "polymer-sealant")
	j.Zones[0].AreaM2, j.People = 4, 1
	n := window.NewNeeds(evaluate(t, f, j, f.Start), j)
	assert.Positive(t, n.Worked(0))
	assert.Less(t, n.Worked(0), n.Of(0))
	j.Zones[0].AreaM2 = 0
	n = window.NewNeeds(evaluate(t, f, j, f.Start), j)
	assert.Equal(t, n.Of(0), n.Worked(0), "where no size is known")
}
