package answer

import (
	"testing"

	"dewgap/products"
	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/verdict"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A last start is the end of hours in which one may begin all the while: a person
// who reads it at breakfast begins at any of them. What comes after a gap, or only
// with a yes, is named apart.
func TestLastStart(t *testing.T) {
	for name, c := range map[string]struct {
		now, row               string
		accept                 bool
		first, state, last     string
		again, againYes, early string
		change                 string
	}{
		"rain between two windows": {"07:00", night + "g none 09:00;x rain_free 15:00;i none 18:00" + tomorrow, false,
			"07:00", "go", "08:50", "from 15:00, last start 17:50", "15:00", "", "rain less than 4 h after the work, from 09:00"},
		"marginal before and after the rain": {"07:00", night + "g none 09:00;m rain_free 10:00;x film 15:00;m dry_off 16:00;i none 18:00" + tomorrow, false,
			"07:00", "go", "08:50", "from 15:00 with your yes, last start 15:50; from 16:00, last start 17:50", "16:00", "",
			"rain less than 4 h after the work, from 09:00; with your yes until 09:50"},
		"the same with the yes in the job": {"07:00", night + "g none 08:00;m rain_free 10:00;x film 15:00;m dry_off 16:00;i none 18:00" + tomorrow, true,
			"07:00", "go", "09:50", "from 15:00, last start 17:50", "15:00", "", "water on the panel, from 10:00"},
		"ideal and go are one stretch": {"09:00", night + "i none 10:00;g surface_min 16:00;m dew_free 18:00" + tomorrow, false,
			"09:00", "ideal", "15:50", "", "", "", "dew less than 4 h after the work, from 16:00; with your yes until 17:50"},
		"marginal before go": {"06:00", night + "m spread_min 07:30;g none 08:00;i none 12:00" + tomorrow, false,
			"07:30", "go", "11:50", "", "", "with your yes from 07:00", ""},
		"marginal before go, now": {"07:10", night + "m spread_min 07:30;g none 08:00;i none 12:00" + tomorrow, false,
			"07:30", "go", "11:50", "", "", "with your yes from 07:10", ""},
		"marginal before go, with the yes in the job": {"06:00", night + "m spread_min 07:30;g none 08:00;i none 12:00" + tomorrow, true,
			"07:00", "marginal", "11:50", "", "", "", ""},
		"marginal, rain, marginal again and then go": {"06:00", night + "m rain_free 10:00;x film 15:00;m dry_off 16:00;g none 18:00" + tomorrow, false,
			"16:00", "go", "17:50", "", "", "with your yes from 07:00, last start 09:50, and from 15:00", ""},
		"marginal, rain and then go": {"06:00", night + "m rain_free 10:00;x film 16:00;g none 18:00" + tomorrow, false,
			"16:00", "go", "17:50", "", "", "with your yes from 07:00, last start 09:50", ""},
		"only marginal, twice": {"06:00", night + "m wind_max 08:00;x film 10:00;m wind_max 12:00" + tomorrow, false,
			"07:00", "marginal", "07:50", "from 10:00 with your yes, last start 11:50", "10:00", "", "water on the panel, from 08:00"},
		"a quiet hour of the marina at noon": {"08:00", night + "g none 12:00;x machines 14:00;g none 17:00" + tomorrow, false,
			"08:00", "go", "11:50", "from 14:00, last start 16:50", "14:00", "", "the marina allows no machines then, from 12:00"},
		"the day's end goes without saying": {"08:00", night + "g none 12:00" + tomorrow, false,
			"08:00", "go", "11:50", "", "", "", ""},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBoard(t, "seal")
			b.f.Now, b.f.Job.AcceptMargin = clock(t, "2026-09-10 "+c.now), c.accept
			b.row("seal", "port side", c.row)
			m := NewMorning(b.f)
			s := m.Steps[0]
			require.NotNil(t, s.First)
			assert.Equal(t, []string{c.first, c.state, c.last}, []string{s.First.Format("15:04"), s.FirstState, s.Last.Format("15:04")})
			assert.Equal(t, c.again, s.Again())
			if c.againYes == "" {
				assert.Nil(t, s.AgainFrom())
			} else {
				assert.Equal(t, c.againYes, s.AgainFrom().Format("15:04"))
			}
			assert.Equal(t, c.early, s.Early())
			assert.Equal(t, c.change, s.Change)
			if m.Verdict == Wait {
				assert.Equal(t, s.First, m.WaitUntil, "the line says what the verdict says")
			}
		})
	}
}

// What ends the good hours is what stands against the first of those that follow,
// though a later one be worse by another limit.
func TestLastStartNamesWhatEndsIt(t *testing.T) {
	b := newBoard(t, "seal")
	r := b.row("seal", "port side", night+"g none 09:00;m sunlight_max 11:00;x film 18:00"+tomorrow)
	n := b.f.Result.To - b.f.Result.From
	r.Slots = &window.Slots{State: make([]verdict.State, n), Limit: make([]verdict.Limit, n)}
	for i := b.slot("09:00"); i < b.slot("11:00"); i++ {
		r.Slots.State[i-b.f.Result.From], r.Slots.Limit[i-b.f.Result.From] = verdict.Marginal, verdict.RainFree
	}
	assert.Equal(t, "rain follows too soon, from 09:00; with your yes until 10:50", NewMorning(b.f).Steps[0].Change)
	r.Slots.Limit[b.slot("09:00")-b.f.Result.From] = verdict.SunlightMax
	assert.Contains(t, NewMorning(b.f).Steps[0].Change, "sunlight on the panel over 4 W/m², from 09:00", "with its bound where it is the same")
}

// The figures of a run are those of its worst hour. Beside a clock time stands only what
// is true of that time: rain at three leaves three hours fifty at ten past eleven, and not
// the two hours of one o'clock. Of hours that are one slot alone the figure is their own.
func TestLastStart_TellsNoFigureOfAnotherHour(t *testing.T) {
	for row, want := range map[string]string{
		"g none 11:00;m rain_free 13:00;x film 18:00":         "rain less than 4 h after the work, from 11:00; with your yes until 12:50",
		"g none 11:00;m rain_free 11:10;x film 18:00":         "rain 3 h after the work, needs 4 h, from 11:00; with your yes until 11:00",
		"g none 11:00;m wind_max 13:00;x film 18:00":          "wind over 4 m/s at the panel, from 11:00; with your yes until 12:50",
		"g none 11:00;m spread_min 13:00;x film 18:00":        "panel under 4 K over dew point, from 11:00; with your yes until 12:50",
		"g none 11:00;m cure 13:00;x film 18:00":              "panel under 4 °C while it cures, from 11:00; with your yes until 12:50",
		"g none 11:00;x cure 18:00":                           "panel under 4 °C for most of its cure, from 11:00",
		"g none 11:00;m section 13:00;x film 18:00":           "less than 4 m² can be washed before it dries, from 11:00; with your yes until 12:50",
		"g none 11:00;m uv_max 13:00;x film 18:00":            "UV index on the panel over 4, from 11:00; with your yes until 12:50",
		"g none 11:00;x film 13:00;g none 15:00;x film 18:00": "water on the panel, from 11:00",
	} {
		b := newBoard(t, "seal")
		b.row("seal", "port side", night+row+tomorrow)
		assert.Equal(t, want, NewMorning(b.f).Steps[0].Change, row)
	}
}

// A wash minds no rain of the evening; a seal does within the hours that its class wants
// dry, and no longer. Rain that itself ends the work is told of both.
func TestLastStart_TellsOfWaterThatBearsOnTheWork(t *testing.T) {
	rain := products.Clock{Given: true, Ideal: 8, Default: 4, Hard: 2}
	dew := products.Clock{Given: true, Ideal: 8, Default: 6, Hard: 3}
	for name, c := range map[string]struct {
		class   products.Class
		by, wet string
		want    bool
	}{
		"a wash, rain five hours on":        {products.Class{Do: "wash"}, "rain", "17:00", false},
		"a wash, rain at once":              {products.Class{Do: "wash"}, "rain", "12:00", true},
		"a seal, rain just outside":         {products.Class{Do: "seal", RainFree: rain, DewFree: dew}, "rain", "16:00", true},
		"a seal, rain five days on":         {products.Class{Do: "seal", RainFree: rain, DewFree: dew}, "rain", "+23:00", false},
		"a seal, dew in the evening":        {products.Class{Do: "seal", RainFree: rain, DewFree: dew}, "dew", "18:00", true},
		"a seal, dew at night":              {products.Class{Do: "seal", RainFree: rain, DewFree: dew}, "dew", "23:00", false},
		"a seal that minds rain alone, dew": {products.Class{Do: "seal", RainFree: rain}, "dew", "15:00", false},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBoard(t, "seal")
			c.class.ID, c.class.People = "seal-class", 1
			b.f.Classes = classes{"seal-class": c.class}
			r := b.row("seal", "port side", night+"g none 12:00"+tomorrow)
			r.Windows[0].WetAt, r.Windows[0].WetBy = b.slot(c.wet), c.by
			s := NewMorning(b.f).Steps[0]
			assert.Equal(t, "11:50", s.Last.Format("15:04"))
			assert.Equal(t, c.want, s.WetAt != nil)
			assert.Equal(t, c.want, s.WetBy != "")
		})
	}
}

// Hours that need a yes and end before the good ones come say what water ends them, as the
// last start of the day does.
func TestEarly_NamesTheRainThatEndsIt(t *testing.T) {
	b := newBoard(t, "seal")
	b.f.Now = clock(t, "2026-09-10 06:00")
	b.f.Classes = classes{"seal-class": {ID: "seal-class", Do: "seal", People: 1, RainFree: products.Clock{Given: true, Ideal: 8, Default: 4, Hard: 2}}}
	r := b.row("seal", "port side", night+"m rain_free 10:00;x film 15:00;m dry_off 16:00;g none 18:00"+tomorrow)
	r.Windows[0].WetAt, r.Windows[0].WetBy = b.slot("12:00"), "rain"
	s := NewMorning(b.f).Steps[0]
	assert.Equal(t, "with your yes from 07:00, last start 09:50 (rain 12:00), and from 15:00", s.Early())
	require.Len(t, s.Chances, 3)
	assert.Equal(t, "rain", s.Chances[0].WetBy)
	assert.Nil(t, s.Chances[1].WetAt)
	r.Windows[0].WetAt = b.slot("14:00")
	assert.Contains(t, NewMorning(b.f).Steps[0].Early(), "(rain 14:00)")
	r.Windows[0].WetAt = b.slot("14:20") // past the hours that the class wants dry
	assert.NotContains(t, NewMorning(b.f).Steps[0].Early(), "(rain")
}

// Forty good minutes in a windy morning are no go for work of hours: whoever begins in them
// works on in the wind, and is asked first. A small panel that is done in them may begin.
func TestMorning_GoodHoursTooFewForTheWorkNeedAYes(t *testing.T) {
	const windy = night + "m wind_max 08:40;g none 09:20;m wind_max 13:00;x gust_max 18:00" + tomorrow
	for name, c := range map[string]struct {
		now            string
		area           float64
		accept         bool
		verdict, state string
		last, change   string
	}{
		"before them": {"07:00", 20, false, Marginal, "marginal", "12:50", "gusts over 4 m/s, from 13:00"},
		"in them": {"08:50", 20, false, Marginal, "marginal", "12:50",
			"wind over 4 m/s at the panel, from 09:20; gusts over 4 m/s, from 13:00"},
		"in them, with the yes in the job": {"08:50", 20, true, Go, "go", "12:50", "gusts over 4 m/s, from 13:00"},
		"a panel done in half an hour": {"08:50", 2, false, Go, "go", "09:10",
			"wind over 4 m/s at the panel, from 09:20; with your yes until 12:50"},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBoard(t, "seal")
			b.f.Classes = classes{"seal-class": products.Class{ID: "seal-class", Do: "seal", People: 1, RateUnit: "m2",
				RateM2H: products.Range{Given: true, Min: 4, Max: 4}}}
			b.f.Now, b.f.Job.AcceptMargin, b.f.Job.Zones[0].AreaM2 = clock(t, "2026-09-10 "+c.now), c.accept, c.area
			b.row("seal", "port side", windy)
			m := NewMorning(b.f)
			s := m.Steps[0]
			assert.Equal(t, []string{c.verdict, c.state, c.last}, []string{m.Verdict, s.State, s.Last.Format("15:04")})
			assert.Equal(t, c.verdict == Marginal, s.NeedsConsent)
			assert.Equal(t, c.change, s.Change)
			if c.now == "08:50" && c.verdict == Marginal {
				assert.Equal(t, "only 40 min in one stretch, needs 2 h (common practice)", s.Binding.Text)
				assert.Equal(t, "marginal", s.Best)
			}
		})
	}
}

// Before work begins, a day of which nothing is known is not a bad one: each line says what
// the headline says. Closed hours of a day that is known to be wet stay a no, for the
// water, and those of a day with good hours a wait.
func TestMorning_BeforeTheHoursOfADayThatIsNotKnown(t *testing.T) {
	for row, want := range map[string][2]string{
		night + "u data 18:00" + tomorrow:               {"unknown", "data"},
		night + "x film 18:00" + tomorrow:               {"no-go", "film"},
		night + "x water 10:00;x film 18:00" + tomorrow: {"no-go", "film"},
		night + "x water 16:00;x film 18:00" + tomorrow: {"no-go", "water"},
		"x hours 18:00" + tomorrow:                      {"no-go", "hours"},
		night + "x film 12:00;u data 18:00" + tomorrow:  {"unknown", "data"},
		night + "g none 12:00;u data 18:00" + tomorrow:  {"no-go", "hours"},
	} {
		b := newBoard(t, "seal")
		b.row("seal", "port side", row)
		s := NewMorning(b.f).Steps[0]
		assert.Equal(t, want, [2]string{s.State, s.Binding.Limit}, row)
		if want[0] == "unknown" {
			assert.Equal(t, Unknown, NewMorning(b.f).Verdict)
			assert.NotContains(t, s.Change, "not known", "what is missing is told once")
		}
	}
}

// What stands against today is told once: beside the step now, or with the next window.
func TestChange_TellsAReasonOnce(t *testing.T) {
	b := newBoard(t, "seal")
	b.f.Now = clock(t, "2026-09-10 08:00")
	b.row("seal", "port side", night+"x film 18:00;x hours +07:00;g none end")
	b.row("seal", "foredeck", night+"x spread_min 09:00;x film 18:00;x hours +07:00;g none end")
	steps := NewMorning(b.f).Steps
	assert.Equal(t, "next window Fri 11 Sep 07:00, go", steps[0].Change)
	assert.Equal(t, "next window Fri 11 Sep 07:00, go; today water on the panel", steps[1].Change)
}

// The water named beside a last start is the one that comes after it, not the dew of
// the evening when there is a shower at noon.
func TestLastStartNamesTheWaterAfterIt(t *testing.T) {
	b := newBoard(t, "seal")
	b.f.Classes = classes{"seal-class": products.Class{ID: "seal-class", Do: "seal", People: 1, RainFree: products.Clock{Given: true, Default: 4}}}
	r := b.row("seal", "port side", night+"g none 09:00;x rain_free 15:00;g none 18:00"+tomorrow)
	r.Windows[0].WetAt, r.Windows[0].WetBy = b.slot("12:00"), "rain"
	r.Windows[1].WetAt, r.Windows[1].WetBy = b.slot("22:00"), "dew"
	s := NewMorning(b.f).Steps[0]
	assert.Equal(t, "rain", s.WetBy)
	assert.Equal(t, "12:00", s.WetAt.Format("15:04"))
	require.NotNil(t, s.Rain(b.f.Now), "a person who begins now is told of the shower")
	assert.Equal(t, "12:00", s.Rain(b.f.Now).Format("15:04"))
	assert.Nil(t, s.Rain(b.f.Now.AddDate(0, 0, -1)), "that of another day bears on no work of this one")
}

const tomorrow = ";x hours +07:00;g none +12:00;x hours end"

func TestMorning(t *testing.T) {
	for name, c := range map[string]struct {
		now, row string
		accept   bool
		want     string
		wait     string
		state    string
		first    string
		last     string
		best     string
	}{
		"now": {"2026-09-10 09:00", night + "g surface_min 12:00" + tomorrow, false,
			Go, "", "go", "09:00", "11:50", "go"},
		"in the last slot": {"2026-09-10 11:59", night + "g surface_min 12:00" + tomorrow, false,
			Go, "", "go", "11:50", "11:50", "go"},
		"later": {"2026-09-10 06:10", night + "x film 08:40;i none 12:00" + tomorrow, false,
			Wait, "08:40", "no-go", "08:40", "11:50", "ideal"},
		"two windows": {"2026-09-10 06:10", night + "m wind_max 08:40;x film 10:00;g none 12:00" + tomorrow, false,
			Wait, "10:00", "no-go", "10:00", "11:50", "go"},
		"marginal now": {"2026-09-10 09:00", night + "m wind_max 12:00" + tomorrow, false,
			Marginal, "", "marginal", "09:00", "11:50", "marginal"},
		"marginal now, with consent": {"2026-09-10 09:00", night + "m wind_max 12:00" + tomorrow, true,
			Go, "", "marginal", "09:00", "11:50", "marginal"},
		"marginal later, with consent": {"2026-09-10 06:00", night + "m wind_max 12:00" + tomorrow, true,
			Wait, "07:00", "no-go", "07:00", "11:50", "marginal"},
		"only tomorrow": {"2026-09-10 06:10", night + "x film 18:00" + tomorrow, false,
			NoGo, "", "no-go", "", "", ""},
		"too late today": {"2026-09-10 12:00", night + "g none 12:00" + tomorrow, false,
			NoGo, "", "no-go", "", "", ""},
		"not known": {"2026-09-10 06:10", night + "u data 12:00" + tomorrow, false,
			Unknown, "", "unknown", "", "", ""},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBoard(t, "seal")
			b.f.Now, b.f.Job.AcceptMargin = clock(t, c.now), c.accept
			b.row("seal", "port side", c.row)
			m := NewMorning(b.f)
			assert.Equal(t, c.want, m.Verdict)
			if c.wait == "" {
				assert.Nil(t, m.WaitUntil)
			} else {
				require.NotNil(t, m.WaitUntil)
				assert.Equal(t, c.wait, m.WaitUntil.Format("15:04"))
			}
			s := m.Steps[0]
			assert.Equal(t, c.state, s.State)
			assert.Equal(t, c.best, s.Best)
			if c.first == "" {
				assert.Nil(t, s.First)
				assert.Nil(t, s.Last)
				return
			}
			assert.Equal(t, c.first, s.First.Format("15:04"))
			assert.Equal(t, c.last, s.Last.Format("15:04"))
		})
	}
}

// What is asked of each zone is its first step that is not done.
func TestAsked(t *testing.T) {
	done := boat.Done{Share: 1}
	for name, c := range map[string]struct {
		port, foredeck map[string]boat.Done
		want           []string
	}{
		"nothing done":       {nil, nil, []string{"wash port side", "wash foredeck"}},
		"washed":             {map[string]boat.Done{"wash": done}, nil, []string{"wash foredeck", "correct port side"}},
		"half washed":        {map[string]boat.Done{"wash": {Share: 0.5}}, nil, []string{"wash port side", "wash foredeck"}},
		"out of order":       {map[string]boat.Done{"correct": done}, nil, []string{"wash port side", "wash foredeck"}},
		"one zone all done":  {map[string]boat.Done{"wash": done, "correct": done, "seal": done}, nil, []string{"wash foredeck"}},
		"by what it does":    {map[string]boat.Done{"wash": done, "correct": done}, nil, []string{"wash foredeck", "seal port side"}},
		"of no step's name":  {map[string]boat.Done{"coat": done}, nil, []string{"wash port side", "wash foredeck"}},
		"all done, all over": {map[string]boat.Done{"wash": done, "correct": done, "seal": done}, map[string]boat.Done{"wash": done, "correct": done, "seal": done}, nil},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBoard(t, "wash", "correct", "seal")
			b.f.Job.Steps[2].Name = "top coat" // done by what it does, seal
			b.f.Job.Zones[0].Done, b.f.Job.Zones[1].Done = c.port, c.foredeck
			for _, s := range []string{"wash", "correct", "seal"} {
				for _, z := range []string{"port side", "foredeck"} {
					b.row(s, z, night+"g none 12:00;x hours end")
				}
			}
			m := NewMorning(b.f)
			var got []string
			for _, s := range m.Steps {
				if s.Asked {
					got = append(got, s.Do+" "+s.Zone)
				}
			}
			assert.Equal(t, c.want, got)
			assert.Len(t, m.Steps, 6, "the other lines follow")
			if c.want == nil {
				assert.Equal(t, Go, m.Verdict)
				assert.Contains(t, m.Warnings, "every step is marked as done: nothing is asked today")
			}
		})
	}
}

// A step's own name outranks what it does: a wash that is done is not the
// second wash.
func TestDoneByName(t *testing.T) {
	b := newBoard(t, "wash", "strip wash")
	b.f.Job.Steps[1].Do, b.f.Job.Steps[1].Name = "wash", "second wash"
	b.f.Job.Zones[0].Done = map[string]boat.Done{"wash": {Share: 1}}
	x := newBuilder(b.f)
	assert.True(t, x.done(0, 0))
	assert.False(t, x.done(0, 1))
}

// After the day's hours a forecast that is too old to be judged by is no no-go: what comes
// is not known. A day ahead that is known, good or bad, makes it one again.
func TestMorning_AfterTheHoursWithNothingKnown(t *testing.T) {
	const over = "x hours +07:00;"
	for row, want := range map[string]string{
		over + "u data +18:00;x hours end":                   Unknown,
		over + "u data +12:00;x machines +18:00;x hours end": Unknown,
		over + "x film +12:00;u data +18:00;x hours end":     NoGo,
		over + "g none +12:00;u data +18:00;x hours end":     NoGo,
		"x hours end": NoGo,
	} {
		b := newBoard(t, "seal")
		b.f.Now = clock(t, "2026-09-10 18:00")
		b.row("seal", "port side", row)
		m := NewMorning(b.f)
		assert.Equal(t, want, m.Verdict, row)
		s := m.Steps[0]
		assert.Equal(t, want == Unknown, s.Binding.Limit == "data", row)
		if want == Unknown {
			assert.Equal(t, Unknown, s.State)
			assert.Empty(t, s.Change, "it does not say that no window comes")
		}
	}
}

func TestMorningBeforeTheJob(t *testing.T) {
	b := newBoard(t, "seal")
	b.f.Now = clock(t, "2026-09-09 06:00")
	b.f.Job.From = job.Date{Year: 2026, Month: 9, Day: 10}
	b.row("seal", "port side", night+"g none 12:00;x hours end")
	m := NewMorning(b.f)
	assert.Equal(t, NoGo, m.Verdict)
	assert.Equal(t, "the job begins later", m.Steps[0].Binding.Text)
	assert.Nil(t, m.Steps[0].First)
}

func TestChange(t *testing.T) {
	for row, want := range map[string]string{
		night + "g none 12:00;x rain_free 18:00;x hours end": "rain less than 4 h after the work, from 12:00",
		night + "g none 18:00;x hours end":                   "",
		night + "x film 18:00;x hours +07:00;g none end":     "next window Fri 11 Sep 07:00, go",
		night + "x film 18:00;x hours end":                   "no window within 42 hours",
		"x hours end":                                        "no window within 42 hours",
	} {
		b := newBoard(t, "seal")
		b.row("seal", "port side", row)
		assert.Equal(t, want, NewMorning(b.f).Steps[0].Change, row)
	}
}

func TestMeasureAndReadAgain(t *testing.T) {
	b := newBoard(t, "seal")
	b.f.Now = clock(t, "2026-09-10 07:10")
	b.row("seal", "port side", night+"x spread_min 08:40;g none 12:00;x hours end")
	b.row("seal", "foredeck", night+"x wind_max 08:40;x hours end")
	m := NewMorning(b.f)
	assert.Equal(t, []string{"port side"}, m.Measure, "no thermometer tells the wind")
	require.NotNil(t, m.NextReading)
	assert.Equal(t, "08:10", m.NextReading.Format("15:04"), "half an hour before 08:40")

	b.f.Now = clock(t, "2026-09-10 08:20")
	assert.Equal(t, "08:20", NewMorning(b.f).NextReading.Format("15:04"), "never in the past")
	b.f.Result.Readings = []window.ReadingUse{{Kind: window.ReadSurface, Used: true, At: clock(t, "2026-09-10 08:16")}}
	assert.Equal(t, "08:40", NewMorning(b.f).NextReading.Format("15:04"), "read a moment ago: again when work may begin")
	b.f.Result.Readings[0].At = clock(t, "2026-09-10 07:40")
	assert.Equal(t, "08:20", NewMorning(b.f).NextReading.Format("15:04"), "that was too long ago")
	b.f.Now = clock(t, "2026-09-10 09:07")
	assert.Equal(t, "10:00", NewMorning(b.f).NextReading.Format("15:04"), "hourly while it goes on")
	b.f.Now = clock(t, "2026-09-10 13:00")
	assert.Nil(t, NewMorning(b.f).NextReading)
}

func TestStop(t *testing.T) {
	band := func(least, most float64) products.Band {
		return products.Band{Min: least, Max: most, HasMin: true, HasMax: true}
	}
	limits := classes{
		"correct-class": {ID: "correct-class", People: 1, Source: "common practice",
			SpreadK: products.Limit{Given: true, Default: products.Band{Min: 1.5, HasMin: true}, Hard: products.Band{Min: 0.5, HasMin: true}}},
		"seal-class": {ID: "seal-class", People: 1, Source: "common practice",
			SpreadK:  products.Limit{Given: true, Default: products.Band{Min: 3, HasMin: true}, Hard: products.Band{Min: 2, HasMin: true}},
			SurfaceC: products.Limit{Given: true, Default: band(10, 32), Hard: band(8, 36), Source: "your label"},
			WindMS:   products.Limit{Given: true, Default: products.Band{Max: 6, HasMax: true}}},
	}
	texts := func(accept bool, zones ...map[string]boat.Done) []string {
		b := newBoard(t, "correct", "seal")
		b.f.Classes, b.f.Job.AcceptMargin = limits, accept
		for i, done := range zones {
			b.f.Job.Zones[i].Done = done
			for _, s := range []string{"correct", "seal"} {
				b.row(s, b.f.Job.Zones[i].Name, night+"g none 12:00;x hours end")
			}
		}
		var out []string
		for _, s := range NewMorning(b.f).Stop {
			assert.Nil(t, s.Value)
			out = append(out, s.Text+" ["+s.Source+"]")
		}
		return out
	}
	corrected := map[string]boat.Done{"correct": {Share: 1}}
	thunder, water := "thunder, and 30 minutes after it [OSHA/NOAA fact sheet 3863]", "water on the panel [common practice]"
	assert.Equal(t, []string{"panel under 1.5 K over dew point [common practice]", water, thunder}, texts(false, nil))
	assert.Equal(t, []string{
		"panel under 3 K over dew point [common practice]", "panel under 10 °C [your label]",
		"panel over 32 °C [your label]", "wind over 6 m/s at the panel [common practice]", water, thunder,
	}, texts(false, nil, corrected), "the strictest of what is asked")
	assert.Equal(t, []string{
		"panel under 2 K over dew point [common practice]", "panel under 8 °C [your label]",
		"panel over 36 °C [your label]", water, thunder,
	}, texts(true, corrected), "the hard ones where marginal work is accepted")
	seal := limits["seal-class"]
	seal.WindMS.Ideal = products.Band{Max: 3, HasMax: true}
	limits["seal-class"] = seal
	b := newBoard(t, "seal")
	b.f.Classes, b.f.Job.Place.HasDust = limits, true
	b.row("seal", "port side", night+"g none 12:00;x hours end")
	stop := NewMorning(b.f).Stop
	assert.Equal(t, "wind over 3 m/s with dust upwind", stop[len(stop)-3].Text, "one class lower out of the yard")
	for id, c := range limits {
		c.Surface = products.SurfaceWet
		limits[id] = c
	}
	assert.NotContains(t, texts(false, nil), water, "water stops no work that is wet")
}

// Rain that falls while today's windows last is told by its hour, on the zones
// that it wets.
func TestMorningRainAt(t *testing.T) {
	b := newBoard(t, "wash")
	b.row("wash", "port side", night+"g none 18:00;x hours end")
	b.row("wash", "foredeck", night+"g none 12:00;x hours end")
	rain := 13 - 6 // the hour from 13:00, the hours begin at 06:00
	b.f.Result.Weather[rain].Rain, b.f.Result.Weather[rain+1].Rain = known(0.4), known(2)
	b.f.Result.Weather[2].Rain = known(0.05) // not measurable
	steps := func() []MorningStep { return NewMorning(b.f).Steps }
	assert.Nil(t, steps()[0].RainAt, "a zone under a roof stays dry")
	for z := range b.f.Result.Zones {
		for h := range b.f.Result.Zones[z].Hours {
			b.f.Result.Zones[z].Hours[h].Film = known(40)
		}
	}
	require.NotNil(t, steps()[0].RainAt)
	assert.Equal(t, "13:00", steps()[0].RainAt.Format("15:04"))
	assert.Nil(t, steps()[1].RainAt, "its window is over by then")
	b.f.Result.Weather[rain].Rain = window.Value{}
	assert.Equal(t, "14:00", steps()[0].RainAt.Format("15:04"), "what is not known is no rain")
}
