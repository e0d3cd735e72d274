package answer

import (
	"math"
	"strings"
	"testing"
	"time"

	"dewgap/forecast"
	"dewgap/products"
	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/surface"
	"dewgap/window/verdict"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestRound(t *testing.T) {
	for _, c := range []struct{ v, step, want float64 }{
		{34.2049999, 0.01, 34.2}, {34.206, 0.01, 34.21}, {-0.001, 0.01, 0}, {0.1 + 0.2, 0.01, 0.3},
		{727.25, 0.1, 727.3}, {43.0712345678, 1e-6, 43.071235}, {41.6, 1, 42}, {-0.4, 1, 0},
	} {
		got := round(c.v, c.step)
		assert.Equal(t, c.want, got, "%+v", c)
		assert.False(t, got == 0 && 1/got < 0, "no negative zero: %+v", c)
	}
}

func TestWindow(t *testing.T) {
	b := newBoard(t, "seal")
	classes := b.f.Classes.(classes)
	class, _ := classes.Class("seal-class")
	class.RainFree = products.Clock{Given: true, Default: 4}
	class.DewFree = products.Clock{Given: true, Default: 6}
	class.HazeMin = products.Range{Given: true, Min: 30, Max: 240}
	class.HalvesPerK = 10
	classes["seal-class"] = class
	row := b.row("seal", "port side", night+"g surface_min 10:30;x hours end")
	row.Windows[0].WetAt, row.Windows[0].WetBy = b.slot("20:50"), "dew"
	hours := b.f.Result.Zones[0].Hours
	hours[1].Surface, hours[4].Surface = known(11.234), known(24.5) // 07:00 and 10:00
	first := &row.Windows[0]
	first.Panel = window.Extent{Least: 11.234, Most: 24.5, Known: true}
	first.OverDew, first.Sunlit = window.Extent{Least: 8, Most: 8, Known: true}, true

	w := newBuilder(b.f).windows()[0]
	at := func(text string) time.Time { return clock(t, "2026-09-10 "+text) }
	assert.Equal(t, 1, w.Rank)
	assert.True(t, at("07:00").Equal(w.From))
	assert.True(t, at("10:30").Equal(w.To))
	assert.True(t, at("10:20").Equal(w.LastStart))
	assert.Equal(t, "go", w.State)
	assert.Equal(t, &Block{From: at("07:00"), To: at("09:00"), State: "go"}, w.Best)
	assert.InDelta(t, 4, *w.RainFreeH, 0)
	assert.InDelta(t, 6, *w.DewFreeH, 0)
	assert.True(t, at("20:50").Equal(*w.WetAt))
	assert.Equal(t, "dew", w.WetBy)
	assert.Equal(t, &[2]float64{11.23, 24.5}, w.SurfaceC)
	assert.Equal(t, &[2]float64{8, 8}, w.SpreadK)
	assert.True(t, *w.Sunlit)
	// The best block's surface: 11.234 and 20 °C, so 15.617; 2^0.4383 = 1.3550.
	assert.Equal(t, &[2]float64{41, 325}, w.HazeMin)
	// Put on in the last slot: half an hour at 24.5 °C does 30·2^0.45 = 40.98 of the 240.
	assert.True(t, at("10:30").Add((30+199)*time.Minute).Equal(*w.WipeBy), "hazed to the full, at what the panel is then")
	assert.Nil(t, w.SectionM2)
	assert.Nil(t, w.RewetMin)
}

// The last wipe comes no later than the water, whatever the clock allows.
func TestWipeBy(t *testing.T) {
	to := clock(t, "2026-09-10 12:00")
	wet := to.Add(time.Hour)
	hours := func(from, to int) job.Schedule {
		return job.Schedule{Set: true, Default: []job.ClockSpan{{From: job.Minutes(from * 60), To: job.Minutes(to * 60)}}}
	}
	for name, c := range map[string]struct {
		haze     *[2]float64
		wet      *time.Time
		crew     job.Schedule
		last, by string // "": none
	}{
		"no haze":                     {nil, &wet, job.Schedule{}, "", ""},
		"time enough":                 {&[2]float64{10, 30}, &wet, job.Schedule{}, "11:50", "12:30"},
		"nothing ends it":             {&[2]float64{10, 240}, nil, job.Schedule{}, "11:50", "16:00"},
		"the water comes first":       {&[2]float64{30, 240}, &wet, job.Schedule{}, "11:50", "13:00"},
		"it must haze till then":      {&[2]float64{75, 240}, &wet, job.Schedule{}, "11:30", "13:00"},
		"the crew goes home":          {&[2]float64{24, 240}, &wet, hours(7, 12), "11:20", "12:00"},
		"the haze is over before":     {&[2]float64{24, 26}, nil, hours(7, 12), "11:20", "11:56"},
		"the crew stays longer":       {&[2]float64{24, 240}, nil, hours(7, 14), "11:50", "14:00"},
		"no section is wiped by then": {&[2]float64{90, 240}, nil, hours(7, 12), "", "12:00"},
	} {
		b := newBoard(t, "seal")
		b.f.Job.Hours = c.crew
		w := Window{From: to.Add(-time.Hour), To: to, HazeMin: c.haze, WetAt: c.wet}
		b.f.Job.Steps[0].HazeMin = 1 // a measured clock runs alike in all hours
		newBuilder(b.f).wipe(&w, &window.Row{}, &windowOf{Run: verdict.Run{From: b.slot("11:00"), To: b.slot("12:00")}})
		told := func(at *time.Time) string {
			if at == nil {
				return ""
			}
			return at.Format("15:04")
		}
		assert.Equal(t, c.last, told(w.LastSection), name)
		assert.Equal(t, c.by, told(w.WipeBy), name)
	}
}

// On a day on which nobody works any more the last section waits for nobody.
func TestCrewLeavesWithTheDay(t *testing.T) {
	b := newBoard(t, "seal")
	b.f.Job.Away = map[job.Date]bool{{Year: 2026, Month: 9, Day: 11}: true}
	until := clock(t, "2026-09-11 02:00")
	assert.Equal(t, clock(t, "2026-09-11 00:00"), newBuilder(b.f).crewLeaves(b.slot("23:00"), until))
	b.f.Job.Away = nil
	assert.Equal(t, until, newBuilder(b.f).crewLeaves(b.slot("23:00"), until))
	b.f.Result.Dark = make([]bool, b.slot("23:40")+1)
	b.f.Result.Dark[b.slot("23:40")] = true
	assert.Equal(t, clock(t, "2026-09-10 23:40"), newBuilder(b.f).crewLeaves(b.slot("23:00"), until), "nobody wipes in the dark")
}

// Hours that nobody knows are left out of what a window says of its surface.
func TestWindowWithoutSurface(t *testing.T) {
	b := newBoard(t, "seal")
	b.row("seal", "port side", night+"g none 09:00;x hours end")
	for h := range b.f.Result.Zones[0].Hours {
		b.f.Result.Zones[0].Hours[h] = window.ZoneHour{}
	}
	w := newBuilder(b.f).windows()[0]
	assert.Nil(t, w.SurfaceC)
	assert.Nil(t, w.SpreadK)
	assert.Nil(t, w.Sunlit)
	assert.Nil(t, w.HazeMin)
	assert.Nil(t, w.WetAt)
	hour := newBuilder(b.f).zones()[0].Hours[0]
	assert.Nil(t, hour.SurfaceC)
	assert.NotNil(t, hour.AirC)
}

func TestSection(t *testing.T) {
	b := newBoard(t, "wash")
	row := b.row("wash", "port side", night+"g none 09:00;x hours end")
	row.Section = make([]float32, b.f.Result.To-b.f.Result.From)
	for i := range row.Section {
		row.Section[i] = 30
	}
	assert.InDelta(t, 18, *newBuilder(b.f).windows()[0].SectionM2, 0, "no larger than the zone")
	b.f.Job.Zones[0].AreaM2, b.f.Job.Zones[0].LengthM = 0, 24
	assert.InDelta(t, 2.4, *newBuilder(b.f).windows()[0].SectionM2, 0, "nor than what there is of a rail")
	b.f.Job.Zones[0].AreaM2 = 18
	assert.InDelta(t, 45, *newBuilder(b.f).windows()[0].RewetMin, 0, "the film lasts for all that: 30 m² at 40 an hour")
	row.Section[b.slot("08:10")-b.f.Result.From] = 7.19
	assert.InDelta(t, 7.1, *newBuilder(b.f).windows()[0].SectionM2, 0, "the smallest, rounded down")
	assert.InDelta(t, 10, *newBuilder(b.f).windows()[0].RewetMin, 0, "7.19 m² at 40 an hour take 10.8 minutes")
	row.Section[b.slot("09:00")-b.f.Result.From] = 1
	assert.InDelta(t, 7.1, *newBuilder(b.f).windows()[0].SectionM2, 0, "what comes after does not count")
}

func TestRefusals(t *testing.T) {
	b := newBoard(t, "seal")
	b.row("seal", "port side", night+"x film 09:00;g none 12:00;x hours end")
	list := newBuilder(b.f).refusals()
	require.Len(t, list, 3)
	assert.Equal(t, "hours", list[0].Binding.Limit)
	assert.Equal(t, "no-go", list[0].State)
	assert.Equal(t, "09:00", list[0].Clears.Format("15:04"))
	assert.Equal(t, "09:00", list[1].Clears.Format("15:04"))
	assert.Nil(t, list[2].Clears)
	assert.Equal(t, "seal-class", list[2].Product)
}

func TestZones(t *testing.T) {
	b := newBoard(t, "seal")
	b.f.Job.Zones[1].Tilt = 4
	zones := newBuilder(b.f).zones()
	require.Len(t, zones, 2)
	assert.InDelta(t, 110, *zones[0].Faces, 0, "270 from a bow at 200")
	assert.InDelta(t, 18, *zones[0].AreaM2, 0)
	assert.Nil(t, zones[1].Faces, "a deck faces nowhere")
	assert.Nil(t, zones[1].AreaM2)
	h := zones[0].Hours[0]
	assert.InDelta(t, 40, *h.CloudPct, 0)
	assert.InDelta(t, 3, *h.WindMS, 0, "at the deck")
	assert.InDelta(t, 5, *h.GustMS, 0, "at the deck, not at 10 m")
	assert.Equal(t, "2026-09-10T06:00:00-04:00", h.At.Format(time.RFC3339))

	b.f.Job.HasBow = false
	assert.Nil(t, newBuilder(b.f).zones()[0].Faces, "nobody knows where she points")
	b.f.Job.Zones[0].FacesTrue = true
	assert.InDelta(t, 270, *newBuilder(b.f).zones()[0].Faces, 0)
}

func TestSource(t *testing.T) {
	b := newBoard(t, "seal")
	s := newBuilder(b.f).source()
	assert.Nil(t, s.Issued)
	assert.Nil(t, s.AgeS)
	b.f.Forecast.Issued = b.f.Now.Add(-40*time.Minute - 300*time.Millisecond)
	b.f.Trust = Trust{Age: 40*time.Minute + 300*time.Millisecond, AgeKnown: true, Stale: true}
	s = newBuilder(b.f).source()
	assert.Equal(t, int64(2400), *s.AgeS)
	assert.True(t, s.Stale)
	assert.Zero(t, s.Issued.Nanosecond())
}

func TestWarnings(t *testing.T) {
	b := newBoard(t, "seal", "wash")
	b.f.Trust.Why = "the forecast is 14 h old"
	b.f.Warnings = []string{"of the settings", "twice"}
	b.f.Job.Warnings = []string{"of the job", "twice"}
	b.f.Forecast.Warnings = []string{"of the forecast"}
	b.f.Result.Warnings = []string{"of the result", ""}
	b.f.Classes = classes{"seal-class": {ID: "seal-class", Remarks: []string{"own.yaml:5:18: seal-class air minimum 2 °C is looser"}}}
	b.f.Result.Slots = 288
	b.f.Result.Derived = surface.Derived{Gust: 288, UV: 60, Rain: 6}
	assert.Equal(t, []string{
		"the forecast is 14 h old", "of the settings", "twice", "of the job", "of the forecast", "of the result",
		"gusts are taken as 1.5 times the wind: the forecast does not give it there",
		"the UV index is worked out from a clear sky, cloud and 300 DU of ozone in 10 of 48 hours: the forecast does not give it there",
		"own.yaml:5:18: seal-class air minimum 2 °C is looser",
	}, newBuilder(b.f).warnings(), "each once; the last hour of a forecast is not worth one")

	told := func() string { return strings.Join(newBuilder(b.f).warnings(), "\n") }
	b.f.Result.Derived, b.f.Forecast.Members = surface.Derived{Rain: 144}, []forecast.Member{{}, {}}
	assert.Contains(t, told(), "rain is stated for several hours at once in 24 of 48 hours: where some falls, each of them counts as wet")
	likely := forecast.NewColumn(2)
	likely.Set(1, 0.4)
	b.f.Forecast.Members[1].Columns[forecast.PrecipitationProbability] = likely
	assert.Contains(t, told(), "rain is told by its probability, 30 % counting as rain in 24 of 48 hours: the forecast does not give it there")

	b.f.Job.Steps = b.f.Job.Steps[1:]
	assert.NotContains(t, told(), "is looser", "the job does not use it")
}

// A caution on what could not be judged says so in data as well as in words.
func TestCautionsNotJudged(t *testing.T) {
	b := newBoard(t, "seal")
	for i := range b.f.Result.Weather {
		b.f.Result.Weather[i].UV = window.Value{}
	}
	n := 0
	for _, c := range newBuilder(b.f).cautions(b.f.Result.From, b.f.Result.To) {
		if c.Level != "unknown" {
			assert.Nil(t, c.Unjudged, c.Text)
			continue
		}
		require.NotNil(t, c.Unjudged, c.Text)
		if c.Kind == "uv" {
			assert.Equal(t, Unjudged{Hazard: "ultraviolet", Why: "the forecast lacks the UV index", Lacks: "the UV index"}, *c.Unjudged)
			n++
		}
	}
	assert.Positive(t, n)
}

func TestCautionsKeepToWorkingHours(t *testing.T) {
	b := newBoard(t, "seal")
	for i := range b.f.Result.Weather {
		b.f.Result.Weather[i].GustHigh = known(20)
		if i < 3 || i > 30 {
			b.f.Result.Weather[i].SunElevation = -20
		}
	}
	var gust []Caution
	for _, c := range newBuilder(b.f).cautions(b.f.Result.From, b.f.Result.To) {
		if c.Kind == "gust" {
			gust = append(gust, c)
		}
	}
	require.Len(t, gust, 1, "the sun is up from the third hour to the thirtieth")
	assert.Equal(t, "09:00", gust[0].From.Format("15:04"))
	assert.Equal(t, "2026-09-11 13:00", gust[0].To.Format("2006-01-02 15:04"))
	assert.InDelta(t, 20, *gust[0].Value, 0)
	b.f.Job.Lamps = true
	list := newBuilder(b.f).cautions(b.f.Result.From, b.f.Result.From+6)
	require.NotEmpty(t, list)
	assert.Equal(t, "06:00", list[0].From.Format("15:04"))
	assert.Equal(t, "07:00", list[0].To.Format("15:04"))
}

// The UV index is told in whole numbers, by which its bands are cut.
func TestCautionOfUVIsWhole(t *testing.T) {
	b := newBoard(t, "seal")
	b.f.Job.Lamps = true
	for h := range b.f.Result.Weather {
		b.f.Result.Weather[h].UV = known(5.46)
	}
	for _, c := range newBuilder(b.f).cautions(b.f.Result.From, b.f.Result.To) {
		if c.Kind == "uv" {
			assert.Equal(t, "caution", c.Level, "5 and not 6")
			assert.InDelta(t, 5, *c.Value, 0)
			return
		}
	}
	assert.Fail(t, "no word of UV")
}

// What the work brings along comes from steps, zones and job.
func TestHazards(t *testing.T) {
	b := newBoard(t, "wash", "correct")
	b.f.Classes = classes{
		"wash-class":    {Name: "soap", Water: products.WaterSoap, Cautions: []string{"soap makes decks slippery"}},
		"correct-class": {Name: "compound", Machine: true},
	}
	b.f.Job.Afloat = true
	h := newBuilder(b.f).hazards()
	assert.True(t, h.Afloat && h.Alone && h.Machine && h.Mains && h.Wash && h.Soap)
	assert.False(t, h.Ladder || h.Harness || h.Float || h.Salt || h.Enclosed)
	assert.Len(t, h.Products, 2)
	b.f.Job.Zones[0].Access, b.f.Job.Zones[0].Salt = boat.Float, true
	b.f.Job.Zones[1].Access, b.f.Job.Zones[1].Shelter = boat.Harness, boat.Shed
	h = newBuilder(b.f).hazards()
	assert.True(t, h.Float && h.Harness && h.Salt && h.Enclosed)
	assert.False(t, h.Mains, "no lead on a float")
}

func TestThunderIsUnknownWithoutACode(t *testing.T) {
	b := newBoard(t, "seal")
	m := &b.f.Forecast.Members[0]
	slot := newBuilder(b.f).crewSlot(b.f.Result.Weather[0])
	assert.True(t, slot.ThunderKnown)
	for _, q := range thunderColumns {
		m.Columns[q].Known[6] = false
	}
	assert.False(t, newBuilder(b.f).crewSlot(b.f.Result.Weather[0]).ThunderKnown)
	assert.True(t, newBuilder(b.f).crewSlot(b.f.Result.Weather[1]).ThunderKnown)
}

func TestNewWeek(t *testing.T) {
	b := newBoard(t, "seal")
	b.row("seal", "port side", night+"g none 09:00;x hours end")
	b.row("seal", "foredeck", night+"u data 09:00;x hours end")
	w := NewWeek(b.f)
	assert.Equal(t, WeekFormat, w.Format)
	assert.Equal(t, Go, w.Verdict)
	assert.Equal(t, 10, w.SlotMin)
	assert.Nil(t, w.Plan)
	assert.Equal(t, "America/New_York", w.Place.Timezone)
	assert.Equal(t, "2026-09-10T06:00:00-04:00", w.From.Format(time.RFC3339))
	assert.Equal(t, "2026-09-12T00:00:00-04:00", w.To.Format(time.RFC3339))
	states := map[string]int{}
	for _, r := range w.Refusals {
		states[r.State]++
	}
	assert.Equal(t, map[string]int{"no-go": 4, "unknown": 1}, states)
}

func TestNewWhy(t *testing.T) {
	b := newBoard(t, "seal")
	class, _ := b.f.Classes.Class("seal-class")
	class.Source = "common practice"
	inf := float32(math.Inf(1))
	x := &window.Explanation{Class: class, Zone: 1, At: b.f.Result.Grid.At(60), State: verdict.Marginal,
		Binding: verdict.Binding{Limit: verdict.WindMax, Value: 7, Bound: 6, HasValue: true},
		Limits: []verdict.Held{
			{Limit: verdict.Hours, State: verdict.NoGo},
			{Limit: verdict.WindMax, State: verdict.Marginal, Value: 7, Known: true, Ideal: 3, Default: 6, Hard: 9, HasHard: true},
			{Limit: verdict.SunlightMax, State: verdict.Ideal, Value: 700, Known: true, Ideal: 100, Default: 250, Waived: true},
			{Limit: verdict.AirMax, State: verdict.Go, Value: 26, Known: true, Ideal: 25, Default: inf},
			{Limit: verdict.RainFree, State: verdict.Go, Value: 7, Known: true, Ideal: 8, Default: 4, Hard: 2, HasHard: true},
			{Limit: verdict.RainFree, State: verdict.Go, Value: 7, Known: true, Ideal: 8, Default: 4},
			{Limit: verdict.DryOff, State: verdict.Unknown, Ideal: 4, Default: 2},
		}}
	w := NewWhy(b.f, x)
	assert.Equal(t, "foredeck", w.Zone)
	assert.Equal(t, "marginal", w.State)
	assert.Equal(t, "wind 7 m/s at the panel, at most 6 (common practice)", w.Binding.Text)
	require.Len(t, w.Limits, 6, "the two clocks that agree are one line")
	assert.Equal(t, "outside working hours", w.Limits[0].Text)
	assert.Nil(t, w.Limits[0].Default)
	assert.InDelta(t, 9, *w.Limits[1].Hard, 0)
	assert.InDelta(t, 6, *w.Limits[1].Bound, 0)
	assert.True(t, w.Limits[2].Waived)
	assert.Nil(t, w.Limits[2].Hard)
	assert.Nil(t, w.Limits[3].Default, "an open band has no bound")
	assert.Equal(t, "not known: the forecast does not show when it was last wet", w.Limits[5].Text)
	assert.Nil(t, w.Limits[5].Value)
}
