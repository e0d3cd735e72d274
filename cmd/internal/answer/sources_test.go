package answer

import (
	"testing"
	"time"

	"dewgap/window"
	"dewgap/window/verdict"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// first is a service's first window, h hours after six.
func first(t testing.TB, h float64, state string) ServiceFirst {
	at := clock(t, "2026-09-10 06:00").Add(time.Duration(h * float64(time.Hour)))
	return ServiceFirst{At: &at, State: state}
}

func TestApart(t *testing.T) {
	none := ServiceFirst{State: "no-go"}
	for name, c := range map[string]struct {
		list   []ServiceFirst
		h      float64 // -1: null
		differ bool
	}{
		"the same":             {[]ServiceFirst{first(t, 1, "go"), first(t, 1, "ideal")}, 0, false},
		"near":                 {[]ServiceFirst{first(t, 1, "go"), first(t, 2.9, "go")}, 1.9, false},
		"far":                  {[]ServiceFirst{first(t, 3, "go"), first(t, 1, "go")}, 2, true},
		"one has none":         {[]ServiceFirst{first(t, 1, "go"), none}, -1, true},
		"none has one":         {[]ServiceFirst{none, none}, -1, false},
		"one is only marginal": {[]ServiceFirst{first(t, 1, "go"), first(t, 1, "marginal")}, 0, true},
		"both are":             {[]ServiceFirst{first(t, 1, "marginal"), first(t, 1, "marginal")}, 0, false},
		"alone":                {[]ServiceFirst{first(t, 1, "go")}, 0, false},
	} {
		h, differ := apart(c.list)
		assert.Equal(t, c.differ, differ, name)
		if c.h < 0 {
			assert.Nil(t, h, name)
		} else {
			assert.InDelta(t, c.h, *h, 1e-9, name)
		}
	}
}

// dayLike is a day of 24 hours; change makes another of it.
func dayLike(change func(*ServiceDay)) ServiceDay {
	wind, rain := 3.0, 0.0
	d := ServiceDay{Hours: 24, AirC: &[2]float64{12, 20}, DewPointC: &[2]float64{8, 10}, WindMS: &wind, RainMM: &rain}
	if change != nil {
		change(&d)
	}
	return d
}

func wetFrom(t testing.TB, text string) func(*ServiceDay) {
	return func(d *ServiceDay) {
		at, mm := clock(t, "2026-09-10 "+text), 3.0
		d.RainFrom, d.RainMM = &at, &mm
	}
}

func TestDifferOn(t *testing.T) {
	plain := dayLike(nil)
	for name, c := range map[string]struct {
		list []ServiceDay
		want []string
	}{
		"nothing":               {nil, []string{}},
		"alone":                 {[]ServiceDay{plain}, []string{}},
		"alike":                 {[]ServiceDay{plain, plain}, []string{}},
		"nearly":                {[]ServiceDay{plain, dayLike(func(d *ServiceDay) { d.AirC = &[2]float64{12, 21.99} })}, []string{}},
		"warmest":               {[]ServiceDay{plain, dayLike(func(d *ServiceDay) { d.AirC = &[2]float64{12, 22} })}, []string{"air"}},
		"coldest":               {[]ServiceDay{plain, dayLike(func(d *ServiceDay) { d.AirC = &[2]float64{10, 20} })}, []string{"air"}},
		"not known":             {[]ServiceDay{dayLike(func(d *ServiceDay) { d.AirC, d.RainMM = nil, nil }), plain}, []string{}},
		"damp":                  {[]ServiceDay{plain, dayLike(func(d *ServiceDay) { d.DewPointC = &[2]float64{5, 10} })}, []string{"dew_point"}},
		"third of three":        {[]ServiceDay{plain, plain, dayLike(func(d *ServiceDay) { v := 5.0; d.WindMS = &v })}, []string{"wind"}},
		"rain and none":         {[]ServiceDay{plain, dayLike(wetFrom(t, "12:00"))}, []string{"rain"}},
		"rain about then":       {[]ServiceDay{dayLike(wetFrom(t, "13:00")), dayLike(wetFrom(t, "12:00"))}, []string{}},
		"rain at other hours":   {[]ServiceDay{dayLike(wetFrom(t, "14:00")), dayLike(wetFrom(t, "12:00"))}, []string{"rain"}},
		"ends within the day":   {[]ServiceDay{plain, dayLike(func(d *ServiceDay) { d.Hours, d.AirC = 6, &[2]float64{12, 14} })}, []string{}},
		"all end at some time":  {[]ServiceDay{dayLike(func(d *ServiceDay) { d.Hours = 6 }), dayLike(func(d *ServiceDay) { d.Hours, d.AirC = 6, &[2]float64{1, 2} })}, []string{"air"}},
		"rain against unstated": {[]ServiceDay{dayLike(func(d *ServiceDay) { d.RainMM = nil }), dayLike(wetFrom(t, "12:00"))}, []string{}},
	} {
		assert.Equal(t, c.want, differOn(c.list), name)
	}
}

// The order of the services makes no difference to where they differ.
func TestDifferInAnyOrder(t *testing.T) {
	number := rapid.Float64Range(-20, 40)
	rapid.Check(t, func(rt *rapid.T) {
		list := rapid.SliceOfN(rapid.Custom(func(r *rapid.T) ServiceDay {
			return dayLike(func(d *ServiceDay) {
				lo, hi, wind := number.Draw(r, "lo"), number.Draw(r, "hi"), number.Draw(r, "wind")
				d.AirC, d.WindMS = &[2]float64{min(lo, hi), max(lo, hi)}, &wind
				d.Hours = rapid.IntRange(22, 24).Draw(r, "hours")
			})
		}), 0, 4).Draw(rt, "days")
		other := rapid.Permutation(list).Draw(rt, "order")
		assert.Equal(rt, differOn(list), differOn(other))
	})
}

// What a day is made of: the hours that are known and young enough.
func TestDays(t *testing.T) {
	b := newBoard(t, "seal")
	w := b.f.Result.Weather
	w[3].Air = window.Value{}
	w[20].Rain, w[22].Rain, w[23].Rain = known(0.5), known(1.2), known(0.05)
	for i := range w {
		w[i].Wind = known(float64(i) / 10)
		w[i].Dew = known(5)
	}
	days := named{"nws", newBuilder(b.f), nil}.days()
	require.Len(t, days, 2)
	assert.Equal(t, "2026-09-10", days[0].date)
	assert.Equal(t, 17, days[0].Hours, "18 hours from six on, one of them not known")
	assert.Equal(t, 24, days[1].Hours)
	assert.InDelta(t, 1.7, *days[0].WindMS, 1e-9)
	assert.Equal(t, "02:00", days[1].RainFrom.Format("15:04"))
	assert.Equal(t, "05:00", days[1].RainTo.Format("15:04"), "0.05 mm is no rain")
	assert.InDelta(t, 1.75, *days[1].RainMM, 1e-9)

	b.f.Trust = Trust{Stale: true, From: clock(t, "2026-09-10 06:00"), Until: clock(t, "2026-09-11 00:00")}
	days = named{"nws", newBuilder(b.f), nil}.days()
	require.Len(t, days, 1, "today is too old")
	assert.Equal(t, "2026-09-11", days[0].date)
}

func TestNewSources(t *testing.T) {
	b := newBoard(t, "wash", "seal")
	row := window.Row{Step: 1, Zone: 1, Windows: []window.Window{
		{Run: verdict.Run{State: verdict.Marginal, From: 40, To: 60}}, {Run: verdict.Run{State: verdict.Go, From: 60, To: 90}}}}
	b.f.Result.Rows = append(b.f.Result.Rows, row)
	other := b.f
	result := *b.f.Result
	result.Rows = []window.Row{{Step: 1, Zone: 0, Windows: row.Windows[:1]}}
	other.Result = &result
	a := NewSources(b.f.Job, b.f.Now, []ServiceFacts{
		{Name: "nws", Facts: &b.f, Command: "c"}, {Name: "metnorway", Facts: &other}, {Name: "openmeteo", Why: "no", Fix: "yes"}})
	assert.Equal(t, SourcesFormat, a.Format)
	require.Len(t, a.Services, 3)
	assert.True(t, a.Services[0].Usable)
	assert.Equal(t, "c", a.Services[0].Command)
	assert.InDelta(t, 42, *a.Services[0].HorizonH, 0, "from six to the end of the second day")
	assert.Equal(t, Service{Name: "openmeteo", Why: "no", Fix: "yes", Warnings: []string{}}, a.Services[2])
	require.Len(t, a.Steps, 1, "the one that seals")
	x := a.Steps[0]
	assert.Equal(t, "10:00", x.First[0].At.Format("15:04"), "go outranks the marginal hours before it")
	assert.Equal(t, "foredeck", x.First[0].Zone)
	assert.Equal(t, "marginal", x.First[1].State)
	assert.Equal(t, "06:40", x.First[1].At.Format("15:04"))
	assert.True(t, x.Differ)
	assert.Len(t, a.Days, 2)

	empty := NewSources(b.f.Job, b.f.Now, nil)
	assert.NotNil(t, empty.Services)
	assert.NotNil(t, empty.Days)
	assert.Equal(t, "America/New_York", empty.Place.Timezone)
}

// A service that begins a day before the others does not put its day at the end, whoever
// is named first; and a day of which it knows no dew point has none.
func TestSources_DaysInTheirOrder(t *testing.T) {
	early, late := newBoard(t, "seal"), newBoard(t, "seal")
	kept := late.f.Result.Weather[:0:0]
	for _, w := range late.f.Result.Weather {
		if w.At.In(newYork(t)).Day() == 11 {
			kept = append(kept, w)
		}
	}
	result := *late.f.Result
	result.Weather = kept
	late.f.Result = &result
	for i := range early.f.Result.Weather {
		early.f.Result.Weather[i].Dew = window.Value{}
	}
	a := NewSources(early.f.Job, early.f.Now, []ServiceFacts{{Name: "late", Facts: &late.f}, {Name: "early", Facts: &early.f}})
	require.Len(t, a.Days, 2)
	assert.Equal(t, "2026-09-10", a.Days[0].Date)
	assert.Equal(t, "2026-09-11", a.Days[1].Date)
	require.Len(t, a.Days[0].Services, 1)
	assert.Equal(t, "early", a.Days[0].Services[0].Service)
	assert.Nil(t, a.Days[0].Services[0].DewPointC)
	require.Len(t, a.Days[1].Services, 2)
	assert.NotNil(t, a.Days[1].Services[0].DewPointC)
}

// A step without a window by a service is no-go by what forbids it, and unknown where
// nobody knows what the missing hours would have allowed.
func TestSources_NoFirstWindow(t *testing.T) {
	for text, want := range map[string]string{"x rain_free end": "no-go", "u data end": "unknown", "u data 12:00;x film end": "unknown"} {
		b := newBoard(t, "seal")
		b.row("seal", "port side", text)
		b.row("seal", "foredeck", text)
		a := NewSources(b.f.Job, b.f.Now, []ServiceFacts{{Name: "one", Facts: &b.f}})
		require.Len(t, a.Steps, 1)
		first := a.Steps[0].First[0]
		assert.Nil(t, first.At, text)
		assert.Empty(t, first.Zone, text)
		assert.Equal(t, want, first.State, text)
		assert.False(t, a.Steps[0].Differ, "nobody differs from himself")
	}
}

// Twenty good minutes that run on into marginal hours are no first go: work begun in them
// asks for a yes, as week says.
func TestSources_AShortGoIsNoFirstGo(t *testing.T) {
	b := newBoard(t, "seal")
	b.row("seal", "port side", "x hours 07:00;g none 07:20;m wind_max 12:00;x hours +08:00;g none +12:00;x hours end")
	b.row("seal", "foredeck", "x hours end")
	of := func() ServiceFirst {
		return NewSources(b.f.Job, b.f.Now, []ServiceFacts{{Name: "one", Facts: &b.f}}).Steps[0].First[0]
	}
	assert.Equal(t, "Fri 08:00", of().At.Format("Mon 15:04"))
	assert.Equal(t, Go, of().State)
	b.f.Job.AcceptMargin = true
	assert.Equal(t, "Thu 07:00", of().At.Format("Mon 15:04"), "the yes is given")
}

// Only what the plan may be worked by counts as a first: its first block ahead that asks
// for no yes, else the first that does; and windows outrank it.
func TestSources_FirstBlockOfThePlan(t *testing.T) {
	block := func(from string, state string, asks bool) PlanBlock {
		at := clock(t, "2026-09-10 "+from)
		return PlanBlock{Step: "seal", Zone: "port side", From: at, To: at.Add(time.Hour), State: state, NeedsConsent: asks}
	}
	for name, c := range map[string]struct {
		row, state string // of the plan
		blocks     []PlanBlock
		accept     bool
		at, want   string
	}{
		"no plan":                {"x block end", None, nil, false, "", NoGo},
		"one that asks for none": {"x block end", Marginal, []PlanBlock{block("09:00", Go, false), block("07:00", Marginal, true)}, false, "09:00", Go},
		"all ask":                {"x block end", Marginal, []PlanBlock{block("09:00", Marginal, true), block("07:00", Go, true)}, false, "07:00", Marginal},
		"the yes is given":       {"x block end", Marginal, []PlanBlock{block("09:00", Go, false), block("07:00", Marginal, true)}, true, "07:00", Marginal},
		"it holds no longer":     {"x block end", NoGo, []PlanBlock{block("09:00", Go, false)}, false, "", NoGo},
		"over":                   {"x block end", Go, []PlanBlock{block("04:00", Go, false)}, false, "", NoGo},
		"windows are earlier":    {"g none 12:00;x hours end", Go, []PlanBlock{block("05:30", Go, false)}, false, "06:00", Go},
		"better than windows":    {"m wind_max 12:00;x hours end", Go, []PlanBlock{block("09:00", Go, false)}, false, "09:00", Go},
	} {
		b := newBoard(t, "seal")
		b.row("seal", "port side", c.row)
		b.f.Job.AcceptMargin = c.accept
		got := named{"one", newBuilder(b.f), &Plan{State: c.state, Blocks: c.blocks}}.first(0)
		assert.Equal(t, c.want, got.State, name)
		if c.at == "" {
			assert.Nil(t, got.At, name)
		} else if assert.NotNil(t, got.At, name) {
			assert.Equal(t, c.at, got.At.Format("15:04"), name)
		}
	}
}
