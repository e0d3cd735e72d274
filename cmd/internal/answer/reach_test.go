package answer

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"dewgap/window/boat"
)

// What a zone is reached by is told where it has to be brought.
func TestReach(t *testing.T) {
	for want, zones := range map[string][]boat.Zone{
		"":        {{}, {Access: boat.Ashore}},
		"ladder":  {{Access: boat.Ladder}, {Access: boat.Ladder, Climbed: true}},
		"harness": {{Access: boat.Harness}},
		"float":   {{Access: boat.Float}},
		"climb":   {{Climbed: true}, {Access: boat.Ashore, Climbed: true}},
	} {
		for _, z := range zones {
			assert.Equal(t, want, reach(&z), "%+v", z)
		}
	}
}
