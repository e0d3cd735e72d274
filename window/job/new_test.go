package job

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"dewgap/window/boat"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

var update = flag.Bool("update", false, "write the golden job files anew")

// What dewgap new writes for each kind. On a mismatch that is meant, run
// go test ./window/job -run Golden -update and look at the difference.
func TestNew_Golden(t *testing.T) {
	for _, kind := range boat.Kinds() {
		got, err := New(NewOptions{Kind: kind, LengthM: 13})
		require.NoError(t, err)
		path := filepath.Join("..", "..", "testdata", "jobs", "new-"+kind+".yaml")
		if *update {
			require.NoError(t, os.WriteFile(path, got, 0o644))
		}
		want, err := os.ReadFile(path)
		require.NoError(t, err)
		assert.Equal(t, string(want), string(got), kind)
	}
}

func TestNew_ParsesForEveryKind(t *testing.T) {
	for _, kind := range boat.Kinds() {
		for _, length := range []float64{5, 8.53, 13, 24} {
			data, err := New(NewOptions{Kind: kind, LengthM: length})
			require.NoError(t, err)
			j, err := Parse("job.yaml", data, catalogue(t), Options{})
			require.NoError(t, err, kind)
			assert.Equal(t, kind, j.Kind)
			assert.Equal(t, length, j.LengthM)
			assert.Equal(t, []string{"wash", "correct", "strip wash", "seal"}, stepNames(j))
			assert.Empty(t, j.Warnings, kind)
			assert.True(t, j.HasBow)
			assert.Contains(t, zoneNames(j, j.Steps[3].On), "foredeck")
		}
	}
}

// Every key that the file shows in a comment is one that Parse reads: take the
// marks away and it still parses.
func TestNew_CommentsAreKeys(t *testing.T) {
	for _, kind := range boat.Kinds() {
		data, err := New(NewOptions{Kind: kind, LengthM: 13})
		require.NoError(t, err)
		j, err := Parse("job.yaml", uncomment(data), catalogue(t), Options{})
		require.NoError(t, err, kind)
		assert.Equal(t, WindLee, j.Place.Wind)
		assert.True(t, j.AcceptMargin && j.Lamps)
		assert.Equal(t, "navy-gelcoat", zone(t, j, "port side").Finish.Name)
		assert.Len(t, j.Covers, 1)
		assert.Len(t, j.Berths, 2)
		assert.Equal(t, Date{2026, 9, 7}, j.From)
	}
}

func TestNew_OwnValues(t *testing.T) {
	o := NewOptions{Kind: "sailing-yacht", LengthM: 11.2, Boat: "No: 7 #2", Place: "true", Latitude: -36.84, Longitude: 174.76,
		Timezone: "Pacific/Auckland", Bow: "SW", From: Date{2026, 12, 1}, By: Date{2026, 12, 5}}
	data, err := New(o)
	require.NoError(t, err)
	j, err := Parse("job.yaml", data, catalogue(t), Options{})
	require.NoError(t, err)
	assert.Equal(t, "No: 7 #2", j.Boat)
	assert.Equal(t, "true", j.Place.Name)
	assert.Equal(t, -36.84, j.Place.Latitude)
	assert.Equal(t, 174.76, j.Place.Longitude)
	assert.Equal(t, "Pacific/Auckland", j.Place.Timezone)
	assert.Equal(t, 225.0, j.Berths[0].Bow)
	assert.Equal(t, o.From, j.From)
	assert.Equal(t, o.By, j.By)
	assert.NotContains(t, string(data), "invented")
}

func TestNew_OwnPlaceWithoutZone(t *testing.T) {
	data, err := New(NewOptions{Kind: "catamaran", LengthM: 12, Latitude: 50, Longitude: -4})
	require.NoError(t, err)
	j, err := Parse("job.yaml", data, catalogue(t), Options{})
	require.NoError(t, err)
	assert.Empty(t, j.Place.Timezone, "no zone of another place is put in")
}

func TestNew_Errors(t *testing.T) {
	for _, o := range []NewOptions{
		{Kind: "gondola", LengthM: 12},
		{Kind: "catamaran", LengthM: 1},
		{Kind: "catamaran", LengthM: 12, Bow: "left"},
		{Kind: "catamaran", LengthM: 12, Latitude: 95},
		{Kind: "catamaran", LengthM: 12, Timezone: "Mars/Olympus"},
		{Kind: "catamaran", LengthM: 12, From: Date{2026, 9, 9}, By: Date{2026, 9, 8}},
	} {
		_, err := New(o)
		assert.Error(t, err, "%+v", o)
	}
}

// Whatever a boat is called, her job file can be read back.
func TestNew_AnyName(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.StringMatching(`[ -~éß日]{1,12}`).Filter(func(s string) bool { return s != "" }).Draw(t, "name")
		data, err := New(NewOptions{Kind: "catamaran", LengthM: 12, Boat: "x" + name})
		require.NoError(t, err)
		j, err := Parse("job.yaml", data, nil, Options{})
		require.NoError(t, err)
		want, _ := (&reader{}).textOf(&node{text: "x" + name}, "name")
		assert.Equal(t, want, j.Boat)
	})
}

func TestQuick(t *testing.T) {
	o := QuickOptions{Latitude: 43.07, Longitude: -70.74, Kind: "flybridge-cruiser", LengthM: 13, Bow: "200", Timezone: "America/New_York"}
	j, err := Quick(o, catalogue(t))
	require.NoError(t, err)
	assert.Equal(t, []string{"wash", "correct", "strip wash", "seal"}, stepNames(j))
	assert.Equal(t, "polymer-sealant", j.Steps[3].With)
	assert.Equal(t, 43.07, j.Place.Latitude)
	assert.Equal(t, []Berth{{Bow: 200}}, j.Berths)
	assert.True(t, j.Hours.Set)
	require.Len(t, j.Warnings, 1)
	assert.Contains(t, j.Warnings[0], "taken for granted")
	assert.NoError(t, j.CheckTimezone())
}

func TestQuick_EverySealAndKind(t *testing.T) {
	set := catalogue(t)
	seals := sealing(set)
	assert.Contains(t, seals, "professional-ceramic")
	assert.NotContains(t, seals, "soap-wash")
	for _, kind := range boat.Kinds() {
		j, err := Quick(QuickOptions{Kind: kind, LengthM: 12, Seal: "spray-sealant", Bow: "NW"}, set)
		require.NoError(t, err, kind)
		assert.NotEmpty(t, j.Steps[3].On)
		assert.Nil(t, j.Place.Location)
		assert.False(t, j.NeedsTimezone)
		assert.Error(t, j.CheckTimezone())
	}
}

func TestQuick_WithoutABow(t *testing.T) {
	j, err := Quick(QuickOptions{Kind: "centre-console", LengthM: 8}, catalogue(t))
	require.NoError(t, err)
	assert.False(t, j.HasBow)
	require.Len(t, j.Warnings, 2)
	assert.True(t, strings.HasPrefix(j.Warnings[0], "the bow is not given"), "%s: nobody wrote a file with lines", j.Warnings[0])
}

func TestQuick_WarnsOfAForgottenMinus(t *testing.T) {
	j, err := Quick(QuickOptions{Kind: "centre-console", LengthM: 8, Bow: "N", Latitude: 43.07, Longitude: 70.74, Timezone: "America/New_York"}, catalogue(t))
	require.NoError(t, err)
	require.Len(t, j.Warnings, 2)
	assert.True(t, strings.HasPrefix(j.Warnings[0], "the clocks of America/New_York are 10 h off the sun at longitude 70.74"))
}

func TestQuick_Errors(t *testing.T) {
	good := QuickOptions{Latitude: 43, Longitude: -70, Kind: "catamaran", LengthM: 12, Bow: "N", Seal: "carnauba-wax"}
	for want, spoil := range map[string]func(*QuickOptions){
		"no place on earth": func(o *QuickOptions) { o.Latitude = 91 },
		"no preset":         func(o *QuickOptions) { o.Kind = "raft" },
		"4 to 40 m":         func(o *QuickOptions) { o.LengthM = 0 },
		"no bearing":        func(o *QuickOptions) { o.Bow = "up" },
		"no product that seals: \"soap-wash\": use one of": func(o *QuickOptions) { o.Seal = "soap-wash" },
		"unknown time zone": func(o *QuickOptions) { o.Timezone = "Mars/Olympus" },
	} {
		o := good
		spoil(&o)
		_, err := Quick(o, catalogue(t))
		require.Error(t, err, want)
		assert.Contains(t, err.Error(), want)
	}
	_, err := Quick(good, nil)
	require.Error(t, err)
	_, err = Quick(good, catalogue(t))
	require.NoError(t, err)
}

// A length given in feet is written in feet and read as such; one in metres to
// the millimetre. 36 ft are 10.9728 m (exact by definition of the foot).
func TestNewLengthInItsUnit(t *testing.T) {
	m, ft, err := ParseLengthAs("36ft")
	require.NoError(t, err)
	assert.InDelta(t, 10.9728, m, 1e-12)
	assert.InDelta(t, 36, ft, 0)
	data, err := New(NewOptions{Kind: "sailing-yacht", LengthM: m, LengthFt: ft})
	require.NoError(t, err)
	assert.Contains(t, string(data), "\n  length_ft: 36 ")
	j, err := Parse("", data, nil, Options{})
	require.NoError(t, err)
	assert.InDelta(t, 36, j.LengthFt, 0)
	assert.InDelta(t, 10.9728, j.LengthM, 1e-12)

	_, ft, err = ParseLengthAs("13m")
	require.NoError(t, err)
	assert.Zero(t, ft)
	data, err = New(NewOptions{Kind: "sailing-yacht", LengthM: 36 * 0.3048})
	require.NoError(t, err)
	assert.Contains(t, string(data), "\n  length_m: 10.973 ")
}

// The unit of every way to write a length is kept.
func TestLengthFt(t *testing.T) {
	for text, want := range map[string]float64{
		"length_ft: 36": 36, "length_ft: 34.5": 34.5, "length: 36ft": 36, "length: 36'": 36,
		"length_m: 11": 0, "length: 11m": 0,
	} {
		j, err := Parse("", []byte(jobWith("boat: {bow: 200, "+text+"}")), nil, Options{})
		require.NoError(t, err, text)
		assert.Equal(t, want, j.LengthFt, text)
	}
}
