package crew

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestUVBand(t *testing.T) {
	// WHO/WMO categories; the index is a whole number when it is reported.
	for index, want := range map[float64]string{
		0: "low", 2: "low", 2.49: "low", 2.5: "moderate", 3: "moderate", 5: "moderate",
		6: "high", 7: "high", 8: "very high", 10: "very high", 11: "extreme", 14: "extreme",
	} {
		assert.Equal(t, want, UVBand(index), "%v", index)
	}
}

func TestDeckShare(t *testing.T) {
	// The log law from 10 m to 3 m over water: 0.88872.
	assert.InDelta(t, 0.88872, DeckShare, 0.002)
}
