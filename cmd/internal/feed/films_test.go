package feed

import (
	"strings"
	"testing"

	"dewgap/cmd/internal/answer"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// sealed is a seal of a zone on Friday from eight to nine.
func sealed(t testing.TB, zone string) answer.PlanBlock {
	b := block(t, "seal", zone, fri)
	b.Product = "polymer-sealant"
	return b
}

// dried are the entries to keep dry of versions of a plan.
func dried(t testing.TB, versions ...answer.PlanVersion) (out []Event) {
	for _, e := range Of(Job{Versions: versions, Classes: catalogue(t)}).Events {
		if e.Free {
			out = append(out, e)
		}
	}
	return out
}

// Films that have to stay dry in the same hours are one entry that names their zones; other
// hours, another step or a yes that is open stand alone.
func TestFilmsAreOneEntry(t *testing.T) {
	port, star := sealed(t, "port side"), sealed(t, "starboard side")
	list := dried(t, version(t, tue, port, star))
	require.Len(t, list, 1)
	assert.Equal(t, "Kittiwake: keep port side and starboard side dry until Fri 12:50, and free of dew and wash water until Fri 14:50 (seal)", list[0].Summary)
	alone := dried(t, version(t, tue, port))
	assert.Equal(t, alone[0].Description, list[0].Description)
	assert.Equal(t, "Kittiwake: keep port side dry until Fri 12:50, and free of dew and wash water until Fri 14:50 (seal)", alone[0].Summary)

	for name, change := range map[string]func(b *answer.PlanBlock){
		"later":         func(b *answer.PlanBlock) { b.WorkTo = b.To },
		"another step":  func(b *answer.PlanBlock) { b.Step = "wax" },
		"a yes is open": func(b *answer.PlanBlock) { b.NeedsConsent = true },
	} {
		other := star
		change(&other)
		assert.Len(t, dried(t, version(t, tue, port, other)), 2, name)
	}

	zones := []string{"port side", "starboard side", "transom", "foredeck"}
	blocks := make([]answer.PlanBlock, len(zones))
	for i, z := range zones {
		blocks[i] = sealed(t, z)
	}
	list = dried(t, version(t, tue, blocks...))
	require.Len(t, list, 1)
	assert.Contains(t, list[0].Summary, "keep 4 zones dry until")
	assert.True(t, strings.HasPrefix(list[0].Description, "port side, starboard side, transom and foredeck.\n"), list[0].Description)
}

// The entry keeps its name while the order of its zones changes, and counts that it has another
// zone; where one of them goes to other hours each is told, and nobody is told twice.
func TestFilmsKeepTheirName(t *testing.T) {
	port, star, stern := sealed(t, "port side"), sealed(t, "starboard side"), sealed(t, "transom")
	first := dried(t, version(t, tue, port, star))
	turned := dried(t, version(t, tue, port, star), version(t, wed, star, port))
	require.Len(t, turned, 1)
	assert.Equal(t, first[0].UID, turned[0].UID)

	late := star
	late.WorkTo = late.To
	held := func(list []Event) (uids map[string]string) {
		uids = map[string]string{}
		for _, e := range list {
			if !e.Cancelled {
				uids[e.UID] = e.Summary
			}
		}
		return uids
	}
	apart := held(dried(t, version(t, tue, port, star), version(t, wed, port, late)))
	require.Len(t, apart, 2)
	assert.Contains(t, apart, first[0].UID, "one goes on under the name of both")
	for uid, summary := range apart {
		assert.Equal(t, 1, strings.Count(summary, " side"), uid)
	}
	assert.Len(t, held(dried(t, version(t, tue, port, late), version(t, wed, port, star))), 1)

	more := dried(t, version(t, tue, port, star), version(t, wed, port, star, stern))
	for _, e := range more {
		if e.UID == first[0].UID && !e.Cancelled {
			assert.Equal(t, 1, e.Sequence)
		}
	}
	again := dried(t, version(t, tue, port, star), version(t, wed, star, port))
	assert.Equal(t, 1, again[0].Sequence, "its words have changed")
	assert.Equal(t, 0, dried(t, version(t, tue, port, star), version(t, wed, port, star))[0].Sequence)
}
