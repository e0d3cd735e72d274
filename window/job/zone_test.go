package job

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// EST has no summer time: whoever writes it for New York is an hour off from March to
// November, and told so with the line. Cities, whether their clocks change or not, and UTC
// are what they say.
func TestParse_ZoneThatKeepsOneClock(t *testing.T) {
	for zone, warned := range map[string]bool{
		"EST": true, "MST": true, "HST": true, "Etc/GMT+5": true, "GMT": true,
		"EST5EDT": false, "America/New_York": false, "America/Phoenix": false, "Asia/Dubai": false, "Pacific/Honolulu": false, "UTC": false, "Etc/UTC": false,
	} {
		j, err := Parse("job.yaml", []byte("place: {name: Q, latitude: 43.07, longitude: -70.74, timezone: "+zone+"}\n"+
			"boat: {name: T, bow: 200}\nzones: [{name: deck, tilt: 0, finish: white-gelcoat}]\nsteps: [{do: wash, with: soap-wash}]\n"), catalogue(t), Options{})
		require.NoError(t, err, zone)
		all := strings.Join(j.Warnings, "\n")
		assert.Equal(t, warned, strings.Contains(all, "job.yaml:1:64: the time zone "+zone+" keeps one clock all the year"), "%s: %s", zone, all)
	}
}

// What she has not of her kind is left out, a pair by the name that its halves share, and so
// is the water that would run onto it.
func TestZones_Lacks(t *testing.T) {
	text := func(lacks string) string {
		return jobWith("boat: {kind: centre-console, length_m: 7, bow: 0, lacks: "+lacks+"}", "zones:!", "steps:\n  - {do: wash, with: soap-wash}")
	}
	j := parse(t, text("[gunwale, hardtop top, port underwater body]"))
	for _, z := range j.Zones {
		assert.NotContains(t, []string{"port gunwale", "starboard gunwale", "hardtop top"}, z.Name)
		assert.NotContains(t, z.RunsOnto, "hardtop top")
	}
	whole := parse(t, text("rails"))
	assert.Len(t, j.Zones, len(whole.Zones)+1-3)
	for lacks, message := range map[string]string{
		"[hardtopp]":        "her kind has no zone `hardtopp`: did you mean `hardtop top`?",
		"[teak deck]":       "her kind has no zone `teak deck`: her zones are port side, starboard side",
		"[rails, rails]":    "`lacks` takes `rails` out twice: keep one",
		"[side, port side]": "`lacks` takes `port side` out twice: keep one",
	} {
		errs := mistakes(t, text(lacks))
		require.Len(t, errs, 1, lacks)
		assert.Contains(t, errs[0].Error(), message)
	}
	listed := func(zone string) string {
		return jobWith("boat: {kind: centre-console, length_m: 7, bow: 0, lacks: [side]}", "zones:\n  - {name: port side, "+zone+"}",
			"steps:\n  - {do: wash, with: soap-wash, on: [port side]}")
	}
	errs := mistakes(t, listed("salt: true"))
	require.Len(t, errs, 1)
	assert.Contains(t, errs[0].Error(), "`lacks` takes zone `port side` out: delete it here, or take it out of lacks")
	parse(t, listed("tilt: 60, faces: 270, finish: grey-tube-fabric")) // one of her own instead
	errs = mistakes(t, jobWith("boat: {bow: 0, lacks: [rails]}"))
	require.Len(t, errs, 1)
	assert.Contains(t, errs[0].Error(), "`lacks` needs a kind")
}
