package text

import (
	"strings"
	"testing"

	"dewgap/cmd/internal/answer"

	"github.com/stretchr/testify/assert"
)

// A warning in force stands among the cautions by its gravity, with its times
// once and its sender, and without the words that stand over them all.
func TestWarningInForceOnTheScreen(t *testing.T) {
	p := newPage(Options{Width: 100})
	p.cautions([]answer.Caution{
		{Kind: "slips", Level: "note", Text: "Soap is slippery."},
		{Kind: answer.KindInForce, Level: "warning", Text: `Gale Warning from Thu 10 Sep 14:00 until Fri 11 Sep 02:00, by NWS Otter Quay: "Gales".` + answer.Deferral,
			Source: "NWS Otter Quay, passed on by NWS"},
	})
	var out strings.Builder
	assert.NoError(t, p.writeTo(&out))
	flat := strings.Join(strings.Fields(out.String()), " ")
	assert.Contains(t, flat, `WARNING: Gale Warning from Thu 10 Sep 14:00 until Fri 11 Sep 02:00, by NWS Otter Quay: "Gales". [NWS Otter Quay, passed on by NWS]`)
	assert.Less(t, strings.Index(flat, "Gale"), strings.Index(flat, "Soap"))
	assert.Equal(t, 1, strings.Count(flat, "14:00"))
	assert.Equal(t, 1, strings.Count(flat, "local rules"))
}
