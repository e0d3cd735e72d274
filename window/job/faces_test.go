package job

import (
	"testing"

	"dewgap/window/boat"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// bowless is a job without a bow over some zones.
func bowless(t require.TestingT, zones string) *Job {
	return parse(t, jobWith("boat: {name: Teal}", "zones:\n"+zones))
}

func both(port, starboard string) string {
	return "  - {name: port side, faces: 270, tilt: 90, finish: white-gelcoat, " + port + "}\n" +
		"  - {name: starboard side, faces: 90, tilt: 90, finish: white-gelcoat, " + starboard + "}"
}

// What both sides share is kept, what one has alone is not known of a face.
func TestFaces_WhatIsKnownOfBoth(t *testing.T) {
	washed := "done: {wash: 2026-09-06T10:30}"
	j := bowless(t, both(washed, washed))
	require.Len(t, j.Zones, 4)
	assert.Len(t, j.Zones[2].Done, 1, "both are washed")

	j = bowless(t, both(washed, "salt: false"))
	assert.Empty(t, j.Zones[2].Done)

	shade := "shade: [{from: 60, to: 130, up_to: 25}]"
	assert.Len(t, bowless(t, both(shade, shade)).Zones[0].Shade, 1)
	assert.Empty(t, bowless(t, both(shade, "salt: false")).Zones[0].Shade)

	reach := "reach: [{from: 2026-09-07}]"
	assert.Len(t, bowless(t, both(reach, reach)).Zones[0].Reach, 1)
	assert.Empty(t, bowless(t, both(reach, "salt: false")).Zones[0].Reach)

	assert.True(t, bowless(t, both("salt: false", "salt: true")).Zones[3].Salt, "salt on any is salt on all")
}

// Sides of unlike build are not one face.
func TestFaces_GroupsByBuild(t *testing.T) {
	for _, key := range []string{"shelter: hardtop", "skin: solid", "behind: tank", "access: float", "absorptance: 0.5",
		"buffable: no", "near_water: true", "roof_view: 0.5", "parts: [{name: a, finish: teak}]"} {
		j := bowless(t, both(key, "salt: false"))
		assert.Len(t, j.Zones, 8, key)
		seen := map[string]bool{}
		for _, z := range j.Zones {
			assert.False(t, seen[z.Name], "%s: %s twice", key, z.Name)
			seen[z.Name] = true
		}
	}
	assert.Len(t, bowless(t, both("area_m2: 3", "area_m2: 4")).Zones, 4, "size alone does not tell them apart")
}

func TestFaces_StepsFollowTheirZones(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kind := rapid.SampledFrom(boat.Kinds()).Draw(t, "kind")
		head := "boat: {kind: " + kind + ", length_m: 12, afloat: false"
		with := parse(t, jobWith(head+", bow: 0}", "zones:!"))
		i := rapid.IntRange(0, len(with.Zones)-1).Draw(t, "zone")
		z := with.Zones[i]
		j := parse(t, jobWith(head+"}", "zones:!", "steps:\n  - {do: wash, with: soap-wash, on: ["+z.Name+"]}"))
		on := j.Steps[0].On
		if z.Tilt < levelTilt {
			require.Len(t, on, 1)
			assert.Equal(t, z.Name, j.Zones[on[0]].Name)
			return
		}
		require.Len(t, on, 4)
		for k, q := range quarters {
			face := j.Zones[on[k]]
			assert.Equal(t, q, face.Faces)
			assert.True(t, face.FacesTrue && face.Quarter)
			assert.Equal(t, z.Tilt, face.Tilt)
			assert.Equal(t, z.Finish, face.Finish)
			assert.Equal(t, z.Skin, face.Skin)
		}
	})
}

// The bow once known, the same file answers by port and starboard again.
func TestFaces_BowKnownAgain(t *testing.T) {
	zones := "zones:\n" + both("area_m2: 18", "area_m2: 18")
	known := parse(t, jobWith("boat: {bow: 200}", zones))
	assert.Equal(t, []string{"port side", "starboard side"}, zoneNames(known, []int{0, 1}))
	assert.Equal(t, 18.0, known.Zones[0].AreaM2)
	assert.Empty(t, known.Warnings)
}

// Facings by the compass need no bow, and stay where they are when she turns
// only in name: a face NW of a boat without a bow is NW for good.
func TestFaces_CompassFacesNeedNoBow(t *testing.T) {
	j := bowless(t, "  - {name: quay side, faces: NW, tilt: 90, finish: white-gelcoat, area_m2: 9}")
	require.Len(t, j.Zones, 1)
	assert.Equal(t, "quay side", j.Zones[0].Name)
	assert.Equal(t, 9.0, j.Zones[0].AreaM2)
	assert.Equal(t, 315.0, j.Facing(j.Zones[0], utc(2026, 9, 7, 0, 0)))
	assert.Empty(t, j.Warnings, "there is nothing to guess")
}

// Without a bow nothing of the boat's own structure can shade.
func TestFaces_OwnShadeIsToldOncePerZone(t *testing.T) {
	own := "shade: [{from: 170, to: 190, up_to: 20, relative: true}, {from: 0, to: 9, up_to: 5, relative: true}]"
	j := bowless(t, both(own, own))
	require.Len(t, j.Warnings, 3, "%v", j.Warnings)
	assert.Contains(t, j.Warnings[1], "own shade on `port side` is left out")
	assert.Contains(t, j.Warnings[2], "own shade on `starboard side` is left out")
	shared := "{from: 60, to: 90, up_to: 25}"
	j = bowless(t, both("shade: ["+shared+"]", "shade: ["+shared+", {from: 0, to: 9, up_to: 5, relative: true}]"))
	assert.Len(t, j.Zones[0].Shade, 1, "the quay's shade lies on both")
	level := bowless(t, "  - {name: deck, tilt: 0, finish: teak, "+own+"}")
	require.Len(t, level.Warnings, 1)
	assert.Contains(t, level.Warnings[0], "the boat's own shade on `deck` is left out")
}

// Water that runs from port to starboard runs nowhere once the two are one.
func TestFaces_DrainsWithinAGroup(t *testing.T) {
	j := bowless(t, both("drains_to: [starboard side]", "salt: false"))
	for _, z := range j.Zones {
		assert.Empty(t, z.DrainsTo)
	}
}

// A preset knows where its water runs, on the sides that its faces turn into too. Who
// says where water goes from a zone says all of it.
func TestZones_RunsOnto(t *testing.T) {
	read := func(boat, zones string) *Job {
		return parse(t, jobWith("boat: {kind: express-cruiser, length_m: 10, "+boat+"}", "zones:\n  - {name: foredeck"+zones+"}"))
	}
	deck := zone(t, read("bow: N", ""), "foredeck")
	assert.Equal(t, []string{"port side", "starboard side"}, deck.RunsOnto)
	deck = zone(t, read("bow: swinging", ""), "foredeck")
	assert.Equal(t, []string{"side facing N", "side facing E", "side facing S", "side facing W"}, deck.RunsOnto)
	deck = zone(t, read("bow: N", ", drains_to: [starboard side]"), "foredeck")
	assert.Equal(t, []string{"starboard side"}, deck.DrainsTo)
	assert.Empty(t, deck.RunsOnto)
}

// A circle of three is told at each of its links.
func TestZones_WaterInACircle(t *testing.T) {
	errs := mistakes(t, jobWith("zones:\n  - {name: a, tilt: 0, finish: teak, drains_to: [b]}\n"+
		"  - {name: b, tilt: 0, finish: teak, drains_to: [c, a]}\n  - {name: c, tilt: 0, finish: teak}"))
	require.Len(t, errs, 2)
	assert.Equal(t, []int{4, 5}, []int{errs[0].Line, errs[1].Line})
	assert.Contains(t, errs[0].Message, "the water of `a` runs back to it from `b`")
	assert.Contains(t, errs[1].Message, "the water of `b` runs back to it from `a`")
}
