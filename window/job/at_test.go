package job

import (
	"testing"
	"time"

	"dewgap/window/boat"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestBowAt_Berths(t *testing.T) {
	j := everyKey(t)
	turned := utc(2026, 9, 9, 16, 0)
	for _, c := range []struct {
		at   time.Time
		want float64
	}{{turned.AddDate(0, -1, 0), 200}, {turned.Add(-1), 200}, {turned, 20}, {utc(2026, 9, 11, 4, 0), 90}, {utc(2027, 1, 1, 0, 0), 90}} {
		got, ok := j.BowAt(c.at)
		assert.True(t, ok)
		assert.Equal(t, c.want, got, "%v", c.at)
	}
	port := zone(t, j, "port side")
	assert.Equal(t, 110.0, j.Facing(port, turned.Add(-1)))
	assert.Equal(t, 290.0, j.Facing(port, turned))
}

func TestBowAt_Unknown(t *testing.T) {
	j := parse(t, jobWith("boat: {bow: swinging}"))
	_, ok := j.BowAt(utc(2026, 9, 7, 0, 0))
	assert.False(t, ok)
}

func TestFacing_TurnsWithTheBow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		bow := rapid.Float64Range(0, 359.9).Draw(t, "bow")
		j := &Job{HasBow: true, Berths: []Berth{{Bow: bow}}}
		z := boat.Zone{Faces: rapid.Float64Range(0, 360).Draw(t, "faces")}
		got := j.Facing(z, time.Time{})
		assert.True(t, got >= 0 && got < 360)
		assert.InDelta(t, 0, boat.Turn(got-z.Faces-bow+180)-180, 1e-9)
	})
}

func TestZoneAt_Covers(t *testing.T) {
	j := everyKey(t)
	i, ok := j.Zone("port side")
	require.True(t, ok)
	before, under, after := utc(2026, 9, 8, 12, 59), utc(2026, 9, 8, 13, 0), utc(2026, 9, 8, 21, 0)
	assert.Equal(t, boat.Open, j.ZoneAt(i, before).Shelter)
	assert.Equal(t, boat.Canvas, j.ZoneAt(i, under).Shelter)
	assert.Equal(t, boat.Canvas.RoofView(), j.ZoneAt(i, under).RoofView)
	assert.Equal(t, boat.Open, j.ZoneAt(i, after).Shelter)
	assert.Equal(t, boat.Open, j.Zones[i].Shelter, "the job itself is left as it is")

	shed, _ := j.Zone("shelter deck")
	j.Covers = append(j.Covers, Cover{Zones: []string{"shelter deck"}, Kind: boat.Canvas})
	assert.Equal(t, boat.Shed, j.ZoneAt(shed, under).Shelter, "a sheet in a shed is less than the shed")
	assert.Equal(t, 0.8, j.ZoneAt(shed, under).RoofView)
}

func TestZoneAt_Shade(t *testing.T) {
	j := everyKey(t)
	i, _ := j.Zone("port side")
	z := j.ZoneAt(i, utc(2026, 9, 8, 12, 0))
	require.Len(t, z.Shade, 2)
	assert.True(t, z.Shade[1].Hides(10, 20), "what is astern of a bow at 200")
	assert.True(t, z.FacesTrue)
	assert.Equal(t, 110.0, z.Faces)
	z = j.ZoneAt(i, utc(2026, 9, 10, 4, 0))
	require.Len(t, z.Shade, 1, "the neighbour has left")
	assert.True(t, z.Shade[0].Hides(10, 200), "turned with the boat, to 20")
}

func TestReachable(t *testing.T) {
	j := everyKey(t)
	i, _ := j.Zone("port side")
	assert.False(t, j.Reachable(i, utc(2026, 9, 7, 11, 59)))
	assert.True(t, j.Reachable(i, utc(2026, 9, 7, 12, 0)))
	assert.False(t, j.Reachable(i, utc(2026, 9, 7, 20, 0)))
	assert.True(t, j.Reachable(i, utc(2026, 10, 1, 0, 0)))
	rail, _ := j.Zone("grab rail")
	assert.True(t, j.Reachable(rail, utc(2020, 1, 1, 0, 0)))
}

func TestWorksOn_PeopleOn(t *testing.T) {
	j := everyKey(t)
	noon := func(day int) time.Time { return utc(2026, 9, day, 16, 0) }
	assert.True(t, j.WorksOn(noon(7)))
	assert.False(t, j.WorksOn(noon(10)), "away")
	assert.False(t, j.WorksOn(noon(6)), "Sunday is none of the days")
	assert.True(t, j.WorksOn(utc(2026, 9, 6, 4, 0).Add(-time.Minute)), "23:59 on Saturday, there")
	assert.Equal(t, 2, j.PeopleOn(noon(7)))
	assert.Equal(t, 1, j.PeopleOn(noon(12)))
	assert.Equal(t, 3, j.PeopleOn(noon(9)))
	j.PeopleDates[Date{2026, 9, 7}] = 0
	assert.False(t, j.WorksOn(noon(7)), "nobody comes")
}

func TestHours_OfThePlace(t *testing.T) {
	j := everyKey(t)
	assert.True(t, j.Sprinkled(utc(2026, 9, 7, 8, 45)))
	assert.False(t, j.Sprinkled(utc(2026, 9, 7, 9, 0)))
	assert.True(t, j.WashHours(utc(2026, 9, 7, 12, 0)))
	assert.False(t, j.WashHours(utc(2026, 9, 8, 0, 0)))
	plain := parse(t, jobWith())
	assert.False(t, plain.Sprinkled(utc(2026, 9, 7, 8, 45)))
	assert.True(t, plain.WashHours(utc(2026, 9, 7, 3, 0)))
	assert.True(t, plain.MachineHours(utc(2026, 9, 7, 3, 0)))
}

func TestOpens_Closes(t *testing.T) {
	j := everyKey(t)
	from, ok := j.Opens()
	require.True(t, ok)
	assert.Equal(t, utc(2026, 9, 7, 4, 0), from)
	to, ok := j.Closes()
	require.True(t, ok)
	assert.Equal(t, utc(2026, 9, 15, 4, 0), to, "the last day is included")
	plain := parse(t, jobWith())
	_, ok = plain.Opens()
	assert.False(t, ok)
	_, ok = plain.Closes()
	assert.False(t, ok)
}

func TestTentAt(t *testing.T) {
	j := everyKey(t)
	transom, ok := j.Zone("transom")
	require.True(t, ok)
	deck, _ := j.Zone("foredeck")
	up := utc(2026, 9, 10, 4, 0)
	assert.False(t, j.TentAt(transom, up.Add(-1)))
	assert.True(t, j.TentAt(transom, up))
	assert.True(t, j.TentAt(transom, up.AddDate(1, 0, 0)), "nobody said when it comes down")
	assert.False(t, j.TentAt(deck, utc(2026, 9, 8, 15, 0)), "a sheet has no sides")
}

// What a job is at a time does not change the job.
func TestZoneAt_LeavesTheJobAlone(t *testing.T) {
	j, same := everyKey(t), everyKey(t)
	rapid.Check(t, func(t *rapid.T) {
		at := time.Unix(rapid.Int64Range(1788000000, 1790000000).Draw(t, "unix"), 0).UTC()
		for i := range j.Zones {
			z := j.ZoneAt(i, at)
			assert.GreaterOrEqual(t, z.Shelter, j.Zones[i].Shelter, "a cover never takes shelter away")
			assert.GreaterOrEqual(t, z.RoofView, j.Zones[i].RoofView)
			assert.LessOrEqual(t, len(z.Shade), len(j.Zones[i].Shade))
			for _, s := range z.Shade {
				assert.False(t, s.Relative)
			}
			z.Name = "changed"
		}
		assert.Equal(t, same, j)
	})
}

// Zones and steps are found by their names, each by its own.
func TestZone_Step(t *testing.T) {
	j := everyKey(t)
	for i, z := range j.Zones {
		got, ok := j.Zone(z.Name)
		assert.True(t, ok)
		assert.Equal(t, i, got)
	}
	for i, s := range j.Steps {
		got, ok := j.Step(s.Name)
		assert.True(t, ok)
		assert.Equal(t, i, got)
	}
	_, ok := j.Zone("crow's nest")
	assert.False(t, ok)
	_, ok = j.Step("varnish")
	assert.False(t, ok)
}
