package job

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"dewgap/window/boat"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// drawZone makes a zone and the line that a person would write for it.
func drawZone(t *rapid.T, name string) (boat.Zone, string) {
	z := boat.Zone{Name: name, Buffable: "unknown"}
	z.Tilt = float64(rapid.IntRange(0, 180).Draw(t, "tilt"))
	z.Faces = float64(rapid.IntRange(0, 360).Draw(t, "faces"))
	z.Finish = rapid.SampledFrom(boat.Finishes()).Draw(t, "finish")
	z.Skin, z.Behind = z.Finish.Skin, z.Finish.Behind
	z.Shelter = boat.Shelter(rapid.IntRange(0, 3).Draw(t, "shelter"))
	z.RoofView = z.Shelter.RoofView()
	z.Access = boat.Access(rapid.IntRange(0, 3).Draw(t, "access"))
	z.AreaM2 = float64(rapid.IntRange(1, 4000).Draw(t, "area")) / 8
	z.Salt = rapid.Bool().Draw(t, "salt")
	line := fmt.Sprintf("{name: %s, tilt: %g, faces: %g, finish: %s, shelter: %s, access: %s, area_m2: %g, salt: %t}",
		name, z.Tilt, z.Faces, z.Finish.Name, z.Shelter, z.Access, z.AreaM2, z.Salt)
	return z, line
}

func TestZones_RoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var want []boat.Zone
		text := "zones:"
		for i := range rapid.IntRange(1, 6).Draw(t, "zones") {
			z, line := drawZone(t, fmt.Sprintf("zone %d", i))
			want = append(want, z)
			text += "\n  - " + line
		}
		bow := rapid.IntRange(0, 359).Draw(t, "bow")
		j := parse(t, jobWith(fmt.Sprintf("boat: {bow: %d}", bow), text))
		assert.Equal(t, want, j.Zones)
		for i := range want {
			at := j.ZoneAt(i, time.Time{})
			assert.InDelta(t, boat.Turn(float64(bow)+want[i].Faces), at.Faces, 1e-9)
		}
	})
}

// A zone that names a zone of the preset and one key leaves all else alone.
func TestZones_OverrideKeyByKey(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kind := rapid.SampledFrom(boat.Kinds()).Draw(t, "kind")
		head := fmt.Sprintf("boat: {kind: %s, length_m: 13, bow: 0, afloat: false}", kind)
		plain := parse(t, jobWith(head, "zones:!"))
		i := rapid.IntRange(0, len(plain.Zones)-1).Draw(t, "zone")
		want := plain.Zones[i]
		key := rapid.SampledFrom([]string{"area_m2: 7", "tilt: 77", "faces: 33", "salt: true", "absorptance: 0.5", "access: float",
			"count: 3", "behind: tank"}).Draw(t, "key")
		switch strings.Fields(key)[0] {
		case "area_m2:":
			want.AreaM2 = 7
		case "tilt:":
			want.Tilt = 77
		case "faces:":
			want.Faces = 33
		case "salt:":
			want.Salt = true
		case "absorptance:":
			want.Finish.Absorptance, want.Finish.Source = 0.5, ownFile
		case "access:":
			want.Access, want.Climbed = boat.Float, false
		case "count:":
			want.Count = 3
		case "behind:":
			want.Behind = boat.Tank
		}
		j := parse(t, jobWith(head, fmt.Sprintf("zones:\n  - {name: %s, %s}", want.Name, key)))
		require.Len(t, j.Zones, len(plain.Zones))
		for k := range j.Zones {
			if k == i {
				assert.Equal(t, want, j.Zones[k])
			} else {
				assert.Equal(t, plain.Zones[k], j.Zones[k])
			}
		}
	})
}

// Whatever moment, written with an offset or by the clock of the place, is read
// as itself; only the earlier of two equal clock times cannot be said without
// an offset.
func TestMoment_RoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.SampledFrom(zones).Draw(t, "zone")
		loc := location(t, name)
		moment := time.Unix(rapid.Int64Range(1577836800, 2524608000).Draw(t, "unix")/60*60, 0).UTC()
		local := moment.In(loc)
		r := &reader{loc: loc}
		got, ok := r.momentOf(&node{text: local.Format("2006-01-02T15:04Z07:00")}, "at", needsClock)
		require.True(t, ok, "%v", r.errs)
		assert.Equal(t, moment, got)
		got, ok = r.momentOf(&node{text: local.Format("2006-01-02T15:04")}, "at", needsClock)
		require.True(t, ok, "%v", r.errs)
		assert.Equal(t, local.Format("2006-01-02T15:04"), got.In(loc).Format("2006-01-02T15:04"))
		assert.False(t, got.Before(moment), "the later of two")
	})
}

func drawClock(t *rapid.T) ([]ClockSpan, string) {
	var spans []ClockSpan
	var words []string
	at := 0
	for range rapid.IntRange(1, 3).Draw(t, "spans") {
		from := at + rapid.IntRange(0, 200).Draw(t, "from")
		to := from + rapid.IntRange(1, 200).Draw(t, "long")
		spans = append(spans, ClockSpan{Minutes(from), Minutes(to)})
		words = append(words, fmt.Sprintf("%02d:%02d-%02d:%02d", from/60, from%60, to/60, to%60))
		at = to
	}
	return spans, strings.Join(words, ", ")
}

// A schedule is open exactly in its spans, half-open.
func TestSchedule_RoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		spans, text := drawClock(t)
		j := parse(t, jobWith(`hours: "`+text+`"`))
		require.Equal(t, spans, j.Hours.Default)
		minute := rapid.IntRange(0, 24*60-1).Draw(t, "minute")
		inside := false
		for _, s := range spans {
			inside = inside || Minutes(minute) >= s.From && Minutes(minute) < s.To
		}
		at := time.Date(2026, 9, 7, 0, minute, 0, 0, j.Location())
		assert.Equal(t, inside, j.CrewHours(at))
	})
}

// Lengths in metres, feet or with their unit are one.
func TestLength_RoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		feet := float64(rapid.IntRange(70, 4800).Draw(t, "tenths")) / 10
		for _, text := range []string{
			fmt.Sprintf("length_ft: %g", feet), fmt.Sprintf("length: %gft", feet),
			"length_m: " + decimal(feet*feetToMetres), "length: " + decimal(feet*feetToMetres) + "m",
		} {
			j := parse(t, jobWith("boat: {bow: 0, "+text+"}"))
			assert.InDelta(t, feet*feetToMetres, j.LengthM, 1e-9, text)
		}
	})
}

// Fahrenheit and Celsius are one.
func TestWater_RoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := float64(rapid.IntRange(-20, 400).Draw(t, "tenths")) / 10
		j := parse(t, jobWith(fmt.Sprintf(strings.Replace(inPlace, "%s", "water_f: %.4f", 1), c*1.8+32)))
		assert.True(t, j.Place.HasWaterC)
		assert.InDelta(t, c, j.Place.WaterC, 1e-3)
	})
}

// The true bow is the magnetic one plus the variation, east positive.
func TestBow_MagneticRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, v := rapid.IntRange(0, 360).Draw(t, "magnetic"), rapid.IntRange(-90, 90).Draw(t, "variation")
		j := parse(t, jobWith(fmt.Sprintf("boat: {bow: {magnetic: %d, variation: %d}}", m, v)))
		assert.InDelta(t, float64(((m+v)%360+360)%360), j.Berths[0].Bow, 1e-9)
	})
}

// However many slips a file has, each is told once, and mending one takes away
// that one only.
func TestErrors_MendingOneLeavesTheOthers(t *testing.T) {
	slips := []string{"people: 0", "sure: 7", "rinse: rain", "lamps: on", "from: 2026-02-30", "accept: all", "hours: 7", "zone: 1"}
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, len(slips)).Draw(t, "n")
		chosen := rapid.Permutation(slips).Draw(t, "order")[:n]
		errs := mistakes(t, jobWith(chosen...))
		require.Len(t, errs, n)
		mended := mistakes(t, jobWith(chosen[:n-1]...))
		assert.Equal(t, errs[:n-1], mended, "the last line was the mended one")
	})
}
