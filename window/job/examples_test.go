package job

import (
	"testing"
	"time"

	"dewgap/window/boat"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func example(t *testing.T, name string) *Job {
	j, err := Parse(name, fixture(t, name), catalogue(t), Options{})
	require.NoError(t, err)
	return j
}

func TestExample_Moored(t *testing.T) {
	j := example(t, "moored.yaml")
	assert.True(t, j.Swinging)
	assert.Equal(t, "rinse", j.Place.Water)
	assert.Equal(t, "salt", j.Place.WaterKind)
	assert.InDelta(t, 10.3632, j.LengthM, 1e-9)
	assert.Equal(t, []string{"side facing N", "side facing E", "side facing S", "side facing W",
		"transom facing N", "transom facing E", "transom facing S", "transom facing W"}, zoneNames(j, j.Steps[1].On))
	assert.Equal(t, "white-non-skid", zone(t, j, "coachroof top").Finish.Name)
	assert.NotContains(t, zoneNames(j, j.Steps[3].On), "coachroof top", "no gloss wax on non-skid")
	assert.Contains(t, zoneNames(j, j.Steps[3].On), "foredeck")
	top := zone(t, j, "coachroof top")
	assert.Equal(t, []string{"coachroof side facing N", "coachroof side facing E", "coachroof side facing S",
		"coachroof side facing W"}, top.DrainsTo)
	require.Len(t, j.Warnings, 3)
	assert.Contains(t, j.Warnings[0], "moored.yaml:11:3: she swings")
	assert.Contains(t, j.Warnings[1], "moored.yaml:18:22: soap-wash needs `soap` to run off, and the place allows `rinse`")
	assert.Contains(t, j.Warnings[2], "moored.yaml:20:28: soap-wash needs")
	assert.Equal(t, "yes", j.Since.Spray)
	assert.Equal(t, utc(2026, 10, 23, 21, 0), j.Since.Rain)
	// The last Sunday of October has 25 hours in London.
	from, _ := j.Opens()
	to, _ := j.Closes()
	assert.Equal(t, 73*time.Hour, to.Sub(from))
}

func TestExample_Shed(t *testing.T) {
	j := example(t, "shed.yaml")
	assert.Empty(t, j.Kind)
	require.Len(t, j.Zones, 3, "without a kind the boat has only the zones listed")
	assert.Equal(t, WindBasin, j.Place.Wind)
	assert.Equal(t, "heated", j.Inside)
	port, boot := j.Zones[0], j.Zones[2]
	assert.Equal(t, boat.Shed, port.Shelter)
	assert.Equal(t, 1.0, port.RoofView)
	assert.Equal(t, []float64{270}, port.OpenSide)
	assert.Equal(t, 0.35, port.Finish.Absorptance)
	assert.True(t, boot.NearWater)
	assert.Equal(t, boat.WaterBehind, boot.Behind)
	assert.Equal(t, 9.0, boot.LengthM)
	assert.Equal(t, []int{0, 1}, j.Steps[1].On, "no compound on paint that nobody called buffable")
	assert.Equal(t, []int{0, 1}, j.Steps[2].On, "nobody wipes down what is not sealed")
	saturday := time.Date(2026, 11, 28, 10, 0, 0, 0, j.Location())
	assert.False(t, j.CrewHours(saturday))
	assert.True(t, j.CrewHours(saturday.AddDate(0, 0, 2)))
	assert.Empty(t, j.Warnings)
}

func TestExample_Turned(t *testing.T) {
	j := example(t, "turned.yaml")
	assert.Empty(t, j.Warnings)
	port, _ := j.Zone("port side")
	starboard, _ := j.Zone("starboard side")
	deck, _ := j.Zone("foredeck")
	morning, turned := utc(2026, 8, 12, 6, 0), utc(2026, 8, 14, 6, 0)
	assert.Equal(t, 270.0, j.Facing(j.Zones[port], morning))
	assert.Equal(t, 90.0, j.Facing(j.Zones[port], turned))
	assert.Len(t, j.ZoneAt(starboard, morning).Shade, 1, "the neighbour is there until 08:30")
	assert.Empty(t, j.ZoneAt(starboard, utc(2026, 8, 12, 6, 30)).Shade)
	assert.Equal(t, boat.Canvas, j.ZoneAt(deck, morning).Shelter)
	assert.Equal(t, boat.Open, j.ZoneAt(deck, turned).Shelter)
	assert.Equal(t, "no", j.Zones[port].Buffable)
	assert.Equal(t, []string{"wash", "hull", "topsides", "protect"}, stepNames(j))
	assert.Equal(t, []string{"port side deck", "starboard side deck"}, zoneNames(j, j.Steps[3].On))
	assert.Equal(t, 4, j.PeopleOn(utc(2026, 8, 13, 10, 0)))
	assert.Equal(t, 2, j.PeopleOn(utc(2026, 8, 14, 10, 0)))
	at := func(day, hour int) time.Time { return time.Date(2026, 8, day, hour, 0, 0, 0, j.Location()) }
	assert.True(t, j.MachineHours(at(12, 12)))
	assert.False(t, j.MachineHours(at(12, 14)), "siesta")
	assert.True(t, j.MachineHours(at(12, 19)))
	assert.False(t, j.MachineHours(at(16, 12)), "Sunday")
	assert.False(t, j.MachineHours(at(15, 12)), "a quiet day")
}

func TestExample_Ashore(t *testing.T) {
	j := example(t, "ashore.yaml")
	assert.Empty(t, j.Warnings)
	assert.False(t, j.Afloat)
	assert.Equal(t, []string{"port keel", "starboard keel"}, zoneNames(j, j.Steps[0].On))
	assert.Equal(t, []string{"port underwater body", "starboard underwater body", "port keel", "starboard keel"},
		zoneNames(j, j.Steps[1].On), "every zone of the finishes that antifouling is for")
	assert.Equal(t, 2, j.Steps[0].Coats)
	assert.Equal(t, 1, j.Steps[0].PerDay)
	assert.True(t, j.Steps[0].Sand)
	assert.Equal(t, 6.0, j.Steps[1].Hours)
	assert.Equal(t, map[string]time.Time{"launch": utc(2026, 4, 30, 12, 0)}, j.Must)
	assert.True(t, j.AcceptMargin)
	assert.False(t, j.WorksOn(utc(2026, 4, 25, 16, 0)), "a Saturday")
	assert.True(t, j.WorksOn(utc(2026, 4, 27, 16, 0)))
}

// The examples say the same each time they are read.
func TestExample_SameBytesSameJob(t *testing.T) {
	for _, name := range []string{"kittiwake.yaml", "every-key.yaml", "moored.yaml", "shed.yaml", "turned.yaml", "ashore.yaml"} {
		first := example(t, name)
		for range 5 {
			assert.Equal(t, first, example(t, name), name)
		}
	}
}
