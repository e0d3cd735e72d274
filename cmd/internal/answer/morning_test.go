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
		"rain between two windows": {"07:00", night + "g none 08:00;x rain_free 15:00;i none 18:00" + tomorrow, false,
			"07:00", "go", "07:50", "from 15:00, last start 17:50", "15:00", "", "rain 3 h after the work, needs 4 h, from 08:00"},
		"marginal before and after the rain": {"07:00", night + "g none 08:00;m rain_free 10:00;x film 15:00;m dry_off 16:00;i none 18:00" + tomorrow, false,
			"07:00", "go", "07:50", "from 15:00 with your yes, last start 15:50; from 16:00, last start 17:50", "16:00", "",
			"rain 3 h after the work, needs 4 h, from 08:00; with your yes until 09:50"},
		"the same with the yes in the job": {"07:00", night + "g none 08:00;m rain_free 10:00;x film 15:00;m dry_off 16:00;i none 18:00" + tomorrow, true,
			"07:00", "go", "09:50", "from 15:00, last start 17:50", "15:00", "", "water on the panel, from 10:00"},
		"ideal and go are one stretch": {"09:00", night + "i none 10:00;g surface_min 16:00;m dew_free 18:00" + tomorrow, false,
			"09:00", "ideal", "15:50", "", "", "", "dew 3 h after the work, needs 4 h, from 16:00; with your yes until 17:50"},
		"marginal before go": {"06:00", night + "m spread_min 07:30;g none 08:00;i none 12:00" + tomorrow, false,
			"07:30", "go", "11:50", "", "", "with your yes from 07:00", ""},
		"marginal before go, now": {"07:10", night + "m spread_min 07:30;g none 08:00;i none 12:00" + tomorrow, false,
			"07:30", "go", "11:50", "", "", "with your yes from 07:10", ""},
		"marginal before go, with the yes in the job": {"06:00", night + "m spread_min 07:30;g none 08:00;i none 12:00" + tomorrow, true,
			"07:00", "marginal", "11:50", "", "", "", ""},
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
	r := b.row("seal", "port side", night+"g none 08:00;m sunlight_max 10:00;x film 18:00"+tomorrow)
	n := b.f.Result.To - b.f.Result.From
	r.Slots = &window.Slots{State: make([]verdict.State, n), Limit: make([]verdict.Limit, n)}
	for i := b.slot("08:00"); i < b.slot("10:00"); i++ {
		r.Slots.State[i-b.f.Result.From], r.Slots.Limit[i-b.f.Result.From] = verdict.Marginal, verdict.RainFree
	}
	assert.Equal(t, "rain follows too soon, from 08:00; with your yes until 09:50", NewMorning(b.f).Steps[0].Change)
	r.Slots.Limit[b.slot("08:00")-b.f.Result.From] = verdict.SunlightMax
	assert.Contains(t, NewMorning(b.f).Steps[0].Change, "sunlight on the panel 3 W/m²", "with its figure where it is the same")
}

// The water named beside a last start is the one that comes after it, not the dew of
// the evening when there is a shower at noon.
func TestLastStartNamesTheWaterAfterIt(t *testing.T) {
	b := newBoard(t, "seal")
	r := b.row("seal", "port side", night+"g none 08:00;x rain_free 15:00;g none 18:00"+tomorrow)
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
			Unknown, "", "no-go", "", "", ""},
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
		night + "g none 12:00;x rain_free 18:00;x hours end": "rain 3 h after the work, needs 4 h, from 12:00",
		night + "g none 18:00;x hours end":                   "",
		night + "x film 18:00;x hours +07:00;g none end":     "next window Fri 11 Sep 07:00, go; today water on the panel",
		night + "x film 18:00;x hours end":                   "no window within 42 hours; today water on the panel",
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
	thunder := "thunder, and 30 minutes after it [OSHA/NOAA fact sheet 3863]"
	assert.Equal(t, []string{"panel under 1.5 K over dew point [common practice]", thunder}, texts(false, nil))
	assert.Equal(t, []string{
		"panel under 3 K over dew point [common practice]", "panel under 10 °C [your label]",
		"panel over 32 °C [your label]", "wind over 6 m/s at the panel [common practice]", thunder,
	}, texts(false, nil, corrected), "the strictest of what is asked")
	assert.Equal(t, []string{
		"panel under 2 K over dew point [common practice]", "panel under 8 °C [your label]",
		"panel over 36 °C [your label]", thunder,
	}, texts(true, corrected), "the hard ones where marginal work is accepted")
	seal := limits["seal-class"]
	seal.WindMS.Ideal = products.Band{Max: 3, HasMax: true}
	limits["seal-class"] = seal
	b := newBoard(t, "seal")
	b.f.Classes, b.f.Job.Place.HasDust = limits, true
	b.row("seal", "port side", night+"g none 12:00;x hours end")
	stop := NewMorning(b.f).Stop
	assert.Equal(t, "wind over 3 m/s with dust upwind", stop[len(stop)-2].Text, "one class lower out of the yard")
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
