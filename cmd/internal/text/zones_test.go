package text

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/cmd/internal/answer"
)

func TestCompass(t *testing.T) {
	for deg, want := range map[float64]string{
		0: "N", 22.4: "N", 22.6: "NE", 45: "NE", 90: "E", 135: "SE", 180: "S", 225: "SW",
		270: "W", 315: "NW", 337.6: "N", 359.9: "N", 360: "N", 450: "E", -90: "W", -360: "N",
	} {
		assert.Equal(t, want, compass(deg), "%v°", deg)
	}
}

func TestZoneBookSorts(t *testing.T) {
	b := newZoneBook([]answer.Zone{{Name: "port side"}, {Name: "foredeck"}, {Name: "transom"}})
	got := b.sorted([]string{"transom", "unknown b", "port side", "transom", "unknown a"})
	assert.Equal(t, []string{"port side", "transom", "unknown a", "unknown b"}, got, "the boat's order, each once, strangers last")
	assert.Empty(t, b.sorted(nil))
}

// A level zone faces nowhere, and neither does one whose facing is not known.
func TestZoneBookFaces(t *testing.T) {
	b := newZoneBook([]answer.Zone{
		{Name: "side", Tilt: 90, Faces: ptr(290.0)},
		{Name: "deck", Tilt: 3, Faces: ptr(10.0)},
		{Name: "swinging", Tilt: 90},
	})
	assert.Equal(t, "W", b.face["side"])
	assert.Empty(t, b.face["deck"])
	assert.Empty(t, b.face["swinging"])
}

func TestZoneBookAll(t *testing.T) {
	b := newZoneBook([]answer.Zone{{Name: "a"}, {Name: "b"}, {Name: "c"}})
	assert.Equal(t, []string{"a", "b", "c"}, b.all([]answer.Window{{Zone: "c"}, {Zone: "a"}, {Zone: "b"}, {Zone: "a"}}))
	assert.Nil(t, b.all([]answer.Window{{Zone: "c"}, {Zone: "a"}}), "not all of the boat: named one by one")
}

func letters(s string) []string { return strings.Split(s, "") }

func TestWhole(t *testing.T) {
	for _, c := range []struct{ names, all, want string }{
		{"abc", "abc", "all zones"},
		{"ab", "ab", ""}, // two are named
		{"a", "a", ""},
		{"ab", "abc", ""}, // of three, two are named
		{"abc", "abcd", "all but d"},
		{"ab", "abcd", ""},
		{"abd", "abcd", "all but c"},
		{"abcd", "abcdef", "all but e and f"},
		{"abc", "abcdef", ""},
		{"abcdefg", "abcdefghij", "all but h, i and j"},
		{"abcdef", "abcdefghij", ""},
	} {
		assert.Equal(t, c.want, untie(whole(letters(c.names), letters(c.all))), "%s of %s", c.names, c.all)
	}
}

func TestSome(t *testing.T) {
	three := []string{"port side", "foredeck", "transom"}
	assert.Equal(t, "port side, foredeck, transom", untie(some(three, nil, 40)))
	assert.Equal(t, "port side, foredeck +1", untie(some(three, nil, 25)))
	assert.Equal(t, "port side +2", untie(some(three, nil, 20)))
	assert.Equal(t, "port… +2", untie(some(three, nil, 9)), "the first is cut before the count goes")
	assert.Equal(t, "all zones", untie(some(three, three, 40)))
	assert.Equal(t, "port…", untie(some(three[:1], nil, 6)))
}

func TestEvery(t *testing.T) {
	assert.Equal(t, "port side, foredeck", untie(every([]string{"port side", "foredeck"}, nil)))
	assert.Equal(t, "all zones", untie(every(letters("abc"), letters("abc"))))
	assert.NotContains(t, every([]string{"port side"}, nil), " ", "a name is not broken over two lines")
}

func TestSomeFits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		names := rapid.SliceOfNDistinct(rapid.StringMatching(`[a-z船 ]{1,40}`), 1, 12, rapid.ID[string]).Draw(t, "names")
		room := rapid.IntRange(6, 90).Draw(t, "room")
		got := some(names, names, room)
		require.LessOrEqual(t, cells(got), room)
		require.NotEmpty(t, got)
	})
}

// "all but" names exactly those that are missing.
func TestWholeIsTrue(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		all := letters("abcdefghijklmn")[:rapid.IntRange(1, 14).Draw(t, "n")]
		var names, missing []string
		for _, z := range all {
			if rapid.IntRange(0, 4).Draw(t, z) > 0 {
				names = append(names, z)
			} else {
				missing = append(missing, z)
			}
		}
		got := untie(whole(names, all))
		if got == "" {
			return
		}
		if len(missing) == 0 {
			require.Equal(t, "all zones", got)
			return
		}
		said := strings.FieldsFunc(strings.TrimPrefix(strings.ReplaceAll(got, " and ", ", "), "all but "), func(r rune) bool {
			return r == ',' || r == ' '
		})
		require.True(t, slices.Equal(missing, said), "%q for %v", got, missing)
	})
}

func TestShorten(t *testing.T) {
	all := []string{"port side", "foredeck", "transom"}
	assert.Equal(t, "rain (all zones)", Shorten("rain (port side, foredeck, transom)", all))
	assert.Equal(t, "rain (port side, foredeck)", Shorten("rain (port side, foredeck)", all))
	assert.Equal(t, "rain (a, b)", Shorten("rain (a, b)", []string{"a", "b"}), "two are no crowd")
	assert.Equal(t, "rain", Shorten("rain", nil))
	all = append(all, "helm")
	assert.Equal(t, "rain (all but helm)", untie(Shorten("rain (port side, foredeck, transom)", all)))
	assert.Equal(t, "rain (port side, mast, transom)", Shorten("rain (port side, mast, transom)", all), "who is mast?")
	assert.Equal(t, "rain (port side, foredeck, transom) soon", Shorten("rain (port side, foredeck, transom) soon", all))
	assert.Equal(t, "wet (50 g/m², at most 1)", Shorten("wet (50 g/m², at most 1)", all))
	assert.Equal(t, ")", Shorten(")", all))
}

// Two panels that differ in the last word of a long name are told apart wherever they stand.
func TestZones_LongNamesAreToldApart(t *testing.T) {
	const side = "starboard superstructure side, upper "
	b := builder{t, emptyWeek()}
	b.line("seal | " + side + "forward part | 10 07:00 + 0.9; 12:00 ! 0.9 sunlight_max 400/250; 13:00")
	b.line("seal | " + side + "after part | 10 08:00 + 0.9; 14:00 x film 9/1; 15:00")
	a := b.finish()
	a.Plan = &answer.Plan{State: "go", Days: 1, Blocks: []answer.PlanBlock{
		{Step: "seal", Zone: side + "forward part", From: at("10 07:00"), To: at("10 09:00"), State: "go", People: []int{1}},
		{Step: "seal", Zone: side + "after part", From: at("10 09:00"), To: at("10 11:00"), State: "go", People: []int{1}},
	}}
	for _, width := range []int{40, 60, 80} {
		var out bytes.Buffer
		require.NoError(t, Week(&out, a, Options{Width: width}))
		_, rest, ok := strings.Cut(out.String(), "THE PLAN")
		require.True(t, ok)
		rest = strings.Join(strings.Fields(rest), " ")
		for _, part := range []string{"forward part", "after part"} {
			assert.GreaterOrEqual(t, strings.Count(rest, side+part), 4, "in the plan, the ranking and the day, %d wide", width)
		}
		assert.NotContains(t, rest, "upper…")
		assert.NotContains(t, rest, "side…")
	}
}
