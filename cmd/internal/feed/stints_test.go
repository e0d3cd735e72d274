package feed

import (
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// washOf is ten minutes of one person's wash of a panel, on the tenth at that clock time.
func washOf(t testing.TB, zone, clock string) answer.PlanBlock {
	b := block(t, "wash", zone, "2026-09-10T"+clock+":00-04:00")
	area, rewet := 2.5, 20.0
	b.To, b.WorkTo = b.From.Add(10*time.Minute), b.From.Add(10*time.Minute)
	b.People, b.PersonHours, b.AreaM2, b.SectionM2, b.RewetMin = []int{1}, 0.2, &area, &area, &rewet
	return b
}

// history is the calendar of versions of a plan, each with its moment.
func history(versions ...answer.PlanVersion) Input { return Of(Job{Versions: versions}) }

// Panels that one pair of hands washes one after the other are one entry, each with its
// hour; other work stands alone.
func TestStintIsOneEntry(t *testing.T) {
	a, b, c := washOf(t, "rail", "08:00"), washOf(t, "helm", "08:10"), washOf(t, "foredeck", "08:30")
	small := 1.25
	b.SectionM2, b.Confidence, c.State = &small, 0.5, "ideal"
	in := history(version(t, tue, a, b, c, block(t, "seal", "port side", fri)))
	require.Equal(t, []string{
		"Kittiwake: wash, 3 zones | 0 confirmed 10 08:00-08:40", "Kittiwake: seal, port side | 0 confirmed 11 08:00-09:00",
	}, told(in))
	assert.Equal(t, strings.Join([]string{
		"Who: person 1, 0.6 person-hours", "Product: soap-wash", "In this order:",
		"08:00 rail, 2.5 m², kept wet every 20 min",
		"08:10 helm, 2.5 m², at most 1.25 m² at a time, kept wet every 20 min",
		"08:30 foredeck, 2.5 m², kept wet every 20 min",
		"State: go, confidence 50 %", deferral,
	}, "\n"), in.Events[0].Description)
	assert.Len(t, told(history(version(t, tue, a, b))), 2, "two are told by themselves")
}

// A stint keeps its name while the order of its panels changes or it moves, and counts that
// its panels changed though its hours did not.
func TestStintKeepsItsName(t *testing.T) {
	a, b, c := washOf(t, "rail", "08:00"), washOf(t, "helm", "08:10"), washOf(t, "foredeck", "08:20")
	first := history(version(t, tue, a, b, c))
	x, y := washOf(t, "helm", "08:00"), washOf(t, "rail", "08:10")
	turned := history(version(t, tue, a, b, c), version(t, wed, x, y, c))
	require.Equal(t, []string{"Kittiwake: wash, 3 zones | 1 confirmed 10 08:00-08:30"}, told(turned))
	assert.Equal(t, first.Events[0].UID, turned.Events[0].UID)
	again := history(version(t, tue, a, b, c), version(t, wed, a, b, c))
	assert.Equal(t, 0, again.Events[0].Sequence, "nothing has changed")
	d := washOf(t, "transom", "08:30")
	longer := history(version(t, tue, a, b, c), version(t, wed, a, b, c, d))
	assert.Contains(t, told(longer), "Kittiwake: wash, 4 zones | 1 confirmed 10 08:00-08:40", "unless the new panel's name is the least")
}

// Where a stint comes apart each panel has an entry of its own, and one of them the name
// that the stint had; where it comes together those of the others are called off. Nobody
// has an hour twice.
func TestStintComesApart(t *testing.T) {
	a, b, c := washOf(t, "rail", "08:00"), washOf(t, "helm", "08:10"), washOf(t, "foredeck", "08:20")
	late := c
	late.From, late.To = c.From.Add(3*time.Hour), c.To.Add(3*time.Hour)
	apart := history(version(t, tue, a, b, c), version(t, wed, a, b, late))
	sequences := map[string]int{}
	for _, e := range apart.Events {
		assert.Equal(t, "confirmed", e.Status())
		sequences[e.Summary] = e.Sequence
	}
	require.Len(t, sequences, 3)
	assert.Equal(t, 1, sequences["Kittiwake: wash, rail"]+sequences["Kittiwake: wash, helm"]+sequences["Kittiwake: wash, foredeck"], "one goes on under the name of the stint")

	together := history(version(t, tue, a, b, late), version(t, wed, a, b, c))
	var confirmed, cancelled int
	for _, e := range together.Events {
		assert.Equal(t, 1, e.Sequence)
		if e.Cancelled {
			cancelled++
		} else {
			confirmed++
			assert.Equal(t, "Kittiwake: wash, 3 zones", e.Summary)
		}
	}
	assert.Equal(t, []int{1, 2}, []int{confirmed, cancelled})
}

// What of a stint had begun when a version was made stays, with what goes on of it; what had
// not and is left out is told no longer.
func TestStintUnderWay(t *testing.T) {
	a, b, c, d := washOf(t, "rail", "08:00"), washOf(t, "helm", "08:10"), washOf(t, "foredeck", "08:20"), washOf(t, "transom", "08:30")
	const midway = "2026-09-10T08:15:00-04:00" // rail and helm are begun
	was := version(t, tue, a, b, c, d)
	done := history(was, version(t, midway, c, d)) // and written down
	require.Equal(t, []string{"Kittiwake: wash, 4 zones | 0 confirmed 10 08:00-08:40"}, told(done), "it is the same work at the same hours")
	assert.Contains(t, done.Events[0].Description, "08:00 rail, ")

	short := history(was, version(t, midway, c))
	require.Len(t, short.Events, 1+cancelledIn(short))
	assert.Contains(t, told(short), "Kittiwake: wash, 3 zones | "+sequenceOf(short, was)+" confirmed 10 08:00-08:30", "without the transom")

	rained := history(was, version(t, midway))
	for _, e := range rained.Events {
		if !e.Cancelled {
			assert.Contains(t, []string{"Kittiwake: wash, rail", "Kittiwake: wash, helm"}, e.Summary)
		}
	}
	assert.Len(t, rained.Events, 2+cancelledIn(rained))
}

func cancelledIn(in Input) int {
	n := 0
	for _, e := range in.Events {
		if e.Cancelled {
			n++
		}
	}
	return n
}

// sequenceOf is 1 where a calendar's only entry that holds has the name that the stint of the
// version before had, else 0: that of a panel which is left out ends with it.
func sequenceOf(in Input, was answer.PlanVersion) string {
	before := history(was).Events[0].UID
	for _, e := range in.Events {
		if !e.Cancelled && e.UID == before {
			return "1"
		}
	}
	return "0"
}
