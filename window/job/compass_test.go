package job

import (
	"testing"

	"dewgap/window/boat"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestBow_Forms(t *testing.T) {
	for text, want := range map[string]float64{
		"200": 200, "0": 0, "360": 0, "NW": 315, "nne": 22.5, "S": 180, "12.5": 12.5,
		"{magnetic: 190, variation: -14}": 176, "{magnetic: 5, variation: -14}": 351, "{magnetic: 355, variation: 10}": 5,
	} {
		j := parse(t, jobWith("boat: {bow: "+text+"}"))
		require.True(t, j.HasBow, text)
		assert.InDelta(t, want, j.Berths[0].Bow, 1e-9, text)
	}
}

func TestParseBow(t *testing.T) {
	deg, swings, ok, err := ParseBow(" NW ")
	require.NoError(t, err)
	assert.True(t, ok && !swings)
	assert.Equal(t, 315.0, deg)
	_, swings, ok, err = ParseBow("swinging")
	require.NoError(t, err)
	assert.True(t, swings && !ok)
	_, swings, ok, err = ParseBow("")
	require.NoError(t, err)
	assert.False(t, swings || ok)
	for _, bad := range []string{"361", "-1", "north", "0x10", "nan"} {
		_, _, _, err = ParseBow(bad)
		assert.Error(t, err, bad)
	}
}

func TestCompassPoint(t *testing.T) {
	for bearing, want := range map[float64]string{0: "N", 11: "N", 12: "NNE", 315: "NW", 348.8: "N", 359: "N", 720: "N", -90: "W"} {
		assert.Equal(t, want, CompassPoint(bearing), "%v", bearing)
	}
	for i, p := range points {
		deg, ok := parsePoint(p)
		require.True(t, ok)
		assert.Equal(t, float64(i)*22.5, deg)
		assert.Equal(t, p, CompassPoint(deg))
	}
}

func TestParseLength(t *testing.T) {
	for text, want := range map[string]float64{"13m": 13, "13 m": 13, "43ft": 13.1064, "43'": 13.1064, "12.5m": 12.5} {
		got, err := ParseLength(text)
		require.NoError(t, err, text)
		assert.InDelta(t, want, got, 1e-9, text)
	}
	for _, bad := range []string{"", "13", "m", "-13m", "1m", "600ft", "1e3m"} {
		_, err := ParseLength(bad)
		assert.Error(t, err, bad)
	}
}

func TestParseAt(t *testing.T) {
	lat, lon, err := ParseAt("43.07, -70.74")
	require.NoError(t, err)
	assert.Equal(t, [2]float64{43.07, -70.74}, [2]float64{lat, lon})
	for _, bad := range []string{"", "43", "43;-70", "91,0", "0,181", "a,b", "1,2,3", "NaN,0"} {
		_, _, err := ParseAt(bad)
		require.Error(t, err, bad)
		assert.Contains(t, err.Error(), "43.07,-70.74")
	}
}

func TestFaces_CompassPointWithABow(t *testing.T) {
	j := parse(t, jobWith("zones:\n  - {name: port side, faces: NW, tilt: 90, finish: white-gelcoat}"))
	z := j.Zones[0]
	assert.False(t, z.FacesTrue)
	assert.Equal(t, 115.0, z.Faces)
	assert.Equal(t, 315.0, j.Facing(z, utc(2026, 9, 7, 12, 0)))
}

const bothSides = "zones:\n" +
	"  - {name: port side, faces: 270, tilt: 90, finish: white-gelcoat, area_m2: 18, done: {wash: 2026-09-06T10:30}}\n" +
	"  - {name: starboard side, faces: 90, tilt: 90, finish: white-gelcoat, area_m2: 18, salt: true}\n" +
	"  - {name: foredeck, tilt: 0, finish: white-gelcoat, area_m2: 8, drains_to: [port side, starboard side]}\n" +
	"  - {name: transom, faces: S, tilt: 90, finish: white-gelcoat}"

func TestFaces_WithoutABow(t *testing.T) {
	j := parse(t, jobWith("boat: {name: Teal}", bothSides,
		"steps:\n  - {do: wash, with: soap-wash, on: [starboard side]}\n  - {do: seal, with: polymer-sealant}",
		"covers: [{zones: [port side, foredeck], kind: canvas, to: 2026-09-08}]"))
	assert.False(t, j.HasBow)
	assert.Nil(t, j.Berths)
	assert.Equal(t, []string{"side facing N", "side facing E", "side facing S", "side facing W", "foredeck", "transom"},
		zoneNames(j, []int{0, 1, 2, 3, 4, 5}))
	assert.Len(t, j.Zones, 6)
	for i, q := range []float64{0, 90, 180, 270} {
		z := j.Zones[i]
		assert.True(t, z.FacesTrue)
		assert.Equal(t, q, j.Facing(z, utc(2026, 9, 7, 12, 0)))
		assert.Zero(t, z.AreaM2, "which side looks that way is not known")
		assert.True(t, z.Salt, "any side's salt may be on it")
		assert.Empty(t, z.Done, "only one of the sides is washed")
	}
	assert.Equal(t, 8.0, j.Zones[4].AreaM2)
	assert.Equal(t, []string{"side facing N", "side facing E", "side facing S", "side facing W"}, j.Zones[4].DrainsTo)
	assert.Equal(t, 180.0, j.Facing(j.Zones[5], utc(2026, 9, 7, 12, 0)))
	assert.Equal(t, []int{0, 1, 2, 3}, j.Steps[0].On)
	assert.Equal(t, []int{0, 1, 2, 3, 4, 5}, j.Steps[1].On)
	assert.Equal(t, []string{"side facing N", "side facing E", "side facing S", "side facing W", "foredeck"}, j.Covers[0].Zones)
	require.Len(t, j.Warnings, 2)
	assert.Contains(t, j.Warnings[0], "the bow is not given, so port and starboard cannot be told from sun and shade")
	assert.Contains(t, j.Warnings[0], "port side, starboard side")
	assert.Contains(t, j.Warnings[1], "no step before `seal` washes foredeck, transom: ", "what was washed of the sides is not known of a face, and is not complained of")
}

func TestFaces_Swinging(t *testing.T) {
	j := parse(t, jobWith("boat: {kind: sailing-yacht, length_m: 11, bow: swinging}", "zones:!"))
	assert.True(t, j.Swinging)
	assert.False(t, j.HasBow)
	for _, z := range j.Zones {
		if z.Tilt < levelTilt {
			continue // the sun shines on a level deck whichever side it is on
		}
		assert.NotContains(t, z.Name, "port")
		assert.NotContains(t, z.Name, "starboard")
		assert.True(t, z.FacesTrue, z.Name)
	}
	require.NotEmpty(t, j.Warnings)
	assert.Contains(t, j.Warnings[0], "she swings")
}

func TestFaces_SidesThatDifferStayApart(t *testing.T) {
	j := parse(t, jobWith("boat: {name: Teal}", "zones:\n"+
		"  - {name: port side, faces: 270, tilt: 90, finish: white-gelcoat}\n"+
		"  - {name: starboard side, faces: 90, tilt: 90, finish: navy-gelcoat, shade: [{from: 80, to: 100, up_to: 30, relative: true}]}"))
	require.Len(t, j.Zones, 8)
	seen := map[string]bool{}
	for _, z := range j.Zones {
		assert.False(t, seen[z.Name], "%s twice", z.Name)
		seen[z.Name] = true
		assert.Empty(t, z.Shade)
	}
	assert.True(t, seen["side facing N, white-gelcoat"] && seen["side facing W, navy-gelcoat"])
	require.Len(t, j.Warnings, 2)
	assert.Contains(t, j.Warnings[1], "the boat's own shade on `starboard side` is left out")
}

func TestFaces_EveryKindWithoutABow(t *testing.T) {
	for _, kind := range boat.Kinds() {
		for _, afloat := range []string{"true", "false"} {
			j := parse(t, jobWith("boat: {kind: "+kind+", length_m: 12, afloat: "+afloat+"}", "zones:!"))
			seen := map[string]bool{}
			for _, z := range j.Zones {
				assert.False(t, seen[z.Name], "%s twice", z.Name)
				seen[z.Name] = true
			}
		}
	}
}

func TestSideless(t *testing.T) {
	for name, want := range map[string]string{"port side": "side", "starboard superstructure side": "superstructure side",
		"port": "side", "transom": "transom", "side deck port": "side deck"} {
		assert.Equal(t, want, sideless(name), name)
	}
}
