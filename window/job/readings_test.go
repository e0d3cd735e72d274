package job

import (
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dewgap/window/boat"
)

// sixFifteen is the clock of the morning of the readings below.
var sixFifteen = time.Date(2026, 9, 24, 10, 15, 0, 0, time.UTC)

// dockside is what the readings of an invented job are held against.
func dockside(t require.TestingT) ReadingOptions {
	return ReadingOptions{
		Location: newYork(t), Classes: catalogue(t), Now: sixFifteen,
		Zones: []boat.Zone{{Name: "port side"}, {Name: "starboard side"}, {Name: "aft deck"}},
	}
}

func readings(t require.TestingT, text string) []Reading {
	out, err := ParseReadings("dock.yaml", []byte(text), dockside(t))
	require.NoError(t, err, text)
	return out
}

func readingMistakes(t require.TestingT, text string) Errors {
	out, err := ParseReadings("dock.yaml", []byte(text), dockside(t))
	require.Error(t, err, text)
	require.Nil(t, out)
	var errs Errors
	require.ErrorAs(t, err, &errs)
	return errs
}

// The file that the answers' page shows, with true and false for its yes and no.
func TestParseReadings_AMorning(t *testing.T) {
	o := dockside(t)
	o.Now = sixFifteen.Add(6 * time.Hour)
	got, err := ParseReadings("dock.yaml", []byte(`
- {at: 2026-09-24T06:10, air_c: 12.2, humidity_pct: 93, wind_m_s: 1, sky: clear, spray: false, salt: unknown}
- {at: 2026-09-24T06:12, zone: port side, surface_c: 8.9, by: infrared, wet: true, sun: false}
- {at: 2026-09-24T09:40, zone: port side, product: polymer-sealant, haze_min: 38}
- {at: 2026-09-24T09:45, zone: aft deck, moisture_pct: 16}
`), o)
	require.NoError(t, err)
	assert.Equal(t, []Reading{
		{At: utc(2026, 9, 24, 10, 10), Line: 2, AirC: Measured{12.2, true}, HumidityPct: Measured{93, true},
			WindMS: Measured{1, true}, Sky: SkyClear, Spray: No},
		{At: utc(2026, 9, 24, 10, 12), Line: 3, Zone: "port side", SurfaceC: Measured{8.9, true}, By: Infrared, Wet: Yes, Sun: No},
		{At: utc(2026, 9, 24, 13, 40), Line: 4, Zone: "port side", Product: "polymer-sealant", HazeMin: Measured{38, true}},
		{At: utc(2026, 9, 24, 13, 45), Line: 5, Zone: "aft deck", MoisturePct: Measured{16, true}},
	}, got)
}

func TestParseReadings_FahrenheitBlocksAndOrder(t *testing.T) {
	got := readings(t, `
- at: 2026-09-24T10:12Z
  zone: aft deck
  surface_f: 50
  by: contact
  salt: true
- at: 2026-09-24 06:10
  air_f: 54
  sky: overcast
`)
	require.Len(t, got, 2)
	assert.Equal(t, utc(2026, 9, 24, 10, 10), got[0].At, "in the order of their times")
	assert.InDelta(t, 12.222, got[0].AirC.V, 1e-3)
	assert.Equal(t, SkyOvercast, got[0].Sky)
	assert.InDelta(t, 10, got[1].SurfaceC.V, 1e-9)
	assert.Equal(t, Contact, got[1].By)
	assert.Equal(t, Yes, got[1].Salt)
	assert.Equal(t, NotTold, got[1].Wet)
}

const six = "at: 2026-09-24T06:10, "

// Each slip is marked by § where the message must point.
var readingSlips = []mistake{
	{"- {at: §2026-09-24T06:20, air_c: 12}", "lies in the future: it is 2026-09-24T06:15 now", "give the time at which it was read"},
	{"- {at: §2026-09-24, air_c: 12}", "`at` has a day but no hour", "2026-09-06T10:30"},
	{"- {at: §ten, air_c: 12}", "`at` is not a time: ten", "2026-09-06T10:30"},
	{"- §{air_c: 12}", "`at` is missing", "2026-09-06T10:30"},
	{"- {" + six + "air_c: §61}", "`air_c` 61 is out of range", "degrees Celsius from -40 to 60"},
	{"- {" + six + "air_f: §142}", "`air_f` 142 is out of range", "Fahrenheit from -40 to 140"},
	{"- {" + six + "air_c: 12, air_f: §54}", "say the same thing", "keep one"},
	{"- {" + six + "humidity_pct: §0}", "`humidity_pct` 0 is out of range", "per cent from 1 to 100"},
	{"- {" + six + "humidity_pct: §101}", "out of range", ""},
	{"- {" + six + "wind_m_s: §-1}", "`wind_m_s` -1 is out of range", "from 0 to 60"},
	{"- {" + six + "air_c: §.nan}", "not a number", ""},
	{"- {" + six + "air_c: 1, sky: §claer}", "unknown sky `claer`", "did you mean `clear`?"},
	{"- {" + six + "salt: §yes}", "`salt` is neither true nor false: yes", "write true; YAML 1.2"},
	{"- {" + six + "spray: §no}", "`spray` is neither true nor false: no", "write false; YAML 1.2"},
	{"- {" + six + "zone: port side, wet: §yes}", "`wet` is neither true nor false: yes", "write true; YAML 1.2"},
	{"- {" + six + "zone: §port sied, wet: true}", "unknown zone `port sied`", "did you mean `port side`?"},
	{"- {" + six + "zone: §mast, wet: true}", "unknown zone `mast`", "the zones are port side, starboard side, aft deck"},
	{"- {" + six + "wet: §true}", "`wet` belongs to a zone", "add zone:"},
	{"- {" + six + "surface_c: §9, by: contact}", "`surface_c` belongs to a zone", "add zone:"},
	{"- {" + six + "moisture_pct: §16}", "`moisture_pct` belongs to a zone", "add zone:"},
	{"- §{" + six + "zone: port side, surface_c: 9}", "`by` is missing", "by: infrared or by: contact"},
	{"- {" + six + "zone: port side, wet: true, by: §contact}", "`by` tells how a surface was read", "surface_c"},
	{"- {" + six + "zone: port side, surface_c: 9, by: §laser}", "unknown by `laser`", "infrared, contact"},
	{"- {" + six + "zone: port side, surface_c: §96, by: contact}", "`surface_c` 96 is out of range", "-40 to 95"},
	{"- {" + six + "zone: aft deck, moisture_pct: §101}", "out of range", "wood"},
	{"- §{" + six + "zone: port side, haze_min: 38}", "`product` is missing", "test patch"},
	{"- {" + six + "zone: port side, product: §polymer-sealant}", "no time is given", "haze_min"},
	{"- {" + six + "zone: port side, product: §polymer-sealent, haze_min: 38}", "unknown product", "did you mean `polymer-sealant`?"},
	{"- {" + six + "zone: port side, product: polymer-sealant, haze_min: §0}", "out of range", "minutes"},
	{"- §{" + six + "zone: port side}", "nothing was read here", "air_c"},
	{"- {" + six + "§air: 12, salt: false}", "unknown key `air`", "did you mean `air_c`?"},
	{"- {" + six + "§hours: 12, salt: false}", "unknown key `hours`", "known here are at, zone"},
	{"- {" + six + "air_c: 12, §air_c: 13}", "stands here a second time", "keep one"},
	{"- {" + six + "air_c: §}", "`air_c` has no value", "fill it in"},
	{"- §12", "`reading` cannot be `12`", ""},
	{"- {" + six + "air_c: §&x 12}", "not read in a readings file", "write the value out"},
	{"§at: 2026-09-24T06:10", "the readings are not a list", "begin each with a dash"},
	{"§[]", "there is no reading in the file", "air_c: 12.2"},
	{"§", "the file is empty", "air_c: 12.2"},
	{"- {" + six + "air_c: 1}\n---\n§- {" + six + "air_c: 1}", "a second document", "one list"},
}

func TestParseReadings_Mistakes(t *testing.T) {
	for _, m := range readingSlips {
		before, _, marked := strings.Cut(m.block, "§")
		require.True(t, marked, m.block)
		errs := readingMistakes(t, strings.Replace(m.block, "§", "", 1))
		e := errs[0]
		assert.Contains(t, e.Message, m.message, m.block)
		assert.Contains(t, e.Fix, m.fix, m.block)
		assert.NotEmpty(t, e.Fix, m.block)
		lines := strings.Split(before, "\n")
		line, column := len(lines), len(lines[len(lines)-1])+1
		if strings.Contains(m.block, "§}") { // a key without a value is told at the key
			column = strings.Index(m.block, "air_c") + 1
		}
		assert.Equal(t, [2]int{line, column}, [2]int{e.Line, e.Column}, m.block)
		assert.Len(t, errs, 1, "%s: %v", m.block, errs)
	}
}

func TestParseReadings_AllAtOnce(t *testing.T) {
	errs := readingMistakes(t, "- {at: 2027-01-01T00:00, air_c: 99}\n- {at: 2026-09-24T06:10, zone: mast, wet: yes}\n")
	var where []string
	for _, e := range errs {
		where = append(where, e.Where())
	}
	assert.Equal(t, []string{"dock.yaml:1:8", "dock.yaml:1:33", "dock.yaml:2:32", "dock.yaml:2:43"}, where)
	assert.Contains(t, errors.Join(errs.Unwrap()...).Error(), "write true; YAML 1.2")
}

// Without a clock nothing lies in the future; without a place the clock is UTC;
// without a catalogue every product will do.
func TestParseReadings_WithoutOptions(t *testing.T) {
	o := ReadingOptions{Zones: []boat.Zone{{Name: "hull"}}}
	got, err := ParseReadings("dock.yaml", []byte("- {at: 2030-01-01T06:00, zone: hull, product: my-own, haze_min: 20}"), o)
	require.NoError(t, err)
	assert.Equal(t, utc(2030, 1, 1, 6, 0), got[0].At)
	_, err = ParseReadings("dock.yaml", []byte("- {at: 2030-01-01T06:00, zone: hull, wet: true}"), ReadingOptions{})
	require.ErrorContains(t, err, "the job has no zones")
}

func TestParseReadings_TooLargeOrNoText(t *testing.T) {
	for text, want := range map[string]string{
		strings.Repeat("#", maxBytes+1): "keep the readings of one job in a file",
		"- {at: \x00}":                  "save it as UTF-8",
		strings.Repeat("[", 100):        "close the brackets",
		strings.Repeat("k: 1\n", 20001): "more than 20000 keys and list items: keep the readings of one job in a file",
		"- {at: [":                      "",
	} {
		_, err := ParseReadings("dock.yaml", []byte(text), dockside(t))
		require.ErrorContains(t, err, want)
	}
}

// drawReading draws a reading that could be in a file.
func drawReading(t *rapid.T) Reading {
	m := Reading{At: sixFifteen.Add(-time.Duration(rapid.IntRange(0, 3000).Draw(t, "minutes")) * time.Minute), Line: 1}
	number := func(name string, lo, hi int) Measured {
		return Measured{float64(rapid.IntRange(lo*10, hi*10).Draw(t, name)) / 10, true}
	}
	told := func(name string) Told { return Told(rapid.IntRange(0, 2).Draw(t, name)) }
	m.AirC, m.Salt, m.Spray = number("air", -40, 60), told("salt"), told("spray")
	m.Sky = SkyCover(rapid.IntRange(0, 3).Draw(t, "sky"))
	if rapid.Bool().Draw(t, "damp") {
		m.HumidityPct, m.WindMS = number("humidity", 1, 100), number("wind", 0, 60)
	}
	if !rapid.Bool().Draw(t, "zone") {
		return m
	}
	m.Zone = rapid.SampledFrom([]string{"port side", "aft deck"}).Draw(t, "name")
	m.Wet, m.Sun = told("wet"), told("sun")
	if rapid.Bool().Draw(t, "surface") {
		m.SurfaceC, m.By = number("surface", -40, 95), Instrument(rapid.IntRange(1, 2).Draw(t, "by"))
	}
	if rapid.Bool().Draw(t, "patch") {
		m.Product, m.HazeMin, m.MoisturePct = "carnauba-wax", number("haze", 1, 600), number("moisture", 0, 100)
	}
	return m
}

// What is written is read back.
func TestReading_TextRoundTrip(t *testing.T) {
	o := dockside(t)
	rapid.Check(t, func(t *rapid.T) {
		m := drawReading(t)
		got, err := ParseReadings("dock.yaml", []byte(m.Text(o.Location)), o)
		require.NoError(t, err, m.Text(o.Location))
		require.Equal(t, []Reading{m}, got)
	})
}

func TestReading_Text(t *testing.T) {
	m := Reading{At: utc(2026, 9, 24, 10, 12), Zone: "port side", SurfaceC: Measured{8.9, true}, By: Infrared, Wet: Yes, Sun: No}
	assert.Equal(t, `- {at: 2026-09-24T06:12-04:00, zone: "port side", surface_c: 8.9, by: infrared, wet: true, sun: false}`,
		m.Text(newYork(t)))
}

// Whatever the bytes: no panic; either readings whose numbers hold, in order, or
// mistakes that lie in the file.
func FuzzParseReadings(f *testing.F) {
	for _, m := range readingSlips {
		f.Add([]byte(strings.Replace(m.block, "§", "", 1)))
	}
	f.Add([]byte("- {at: 2026-09-24T06:10, air_c: 12.2, humidity_pct: 93, wind_m_s: 1, sky: clear, salt: unknown}\n" +
		"- {at: 2026-09-24T06:12, zone: port side, surface_f: 48, by: infrared, wet: true, sun: false}\n"))
	o := dockside(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		got, err := ParseReadings("dock.yaml", data, o)
		if err != nil {
			checkErrors(t, err, data)
			return
		}
		require.NotEmpty(t, got)
		for i, m := range got {
			assert.False(t, m.At.After(o.Now))
			assert.True(t, i == 0 || !m.At.Before(got[i-1].At))
			assert.True(t, !m.HumidityPct.Known || m.HumidityPct.V >= 1 && m.HumidityPct.V <= 100)
			assert.True(t, !m.WindMS.Known || m.WindMS.V >= 0 && m.WindMS.V <= 60)
			assert.Equal(t, m.SurfaceC.Known, m.By != NoInstrument)
			assert.Equal(t, m.HazeMin.Known, m.Product != "")
			if m.SurfaceC.Known || m.MoisturePct.Known || m.HazeMin.Known || m.Wet != NotTold {
				assert.Contains(t, []string{"port side", "starboard side", "aft deck"}, m.Zone)
			}
		}
	})
}
