package window_test

import (
	"math/bits"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/forecast"
	"dewgap/window"
	"dewgap/window/boat"
	"dewgap/window/job"
	"dewgap/window/verdict"
)

// blowing has every member's wind come from a bearing, and three hours of it blow.
func blowing(f *forecast.Forecast, at time.Time, speed, from float64, members ...int) {
	k, _ := f.Index(at)
	for i := range f.Members {
		m := &f.Members[i]
		if len(m.Columns[forecast.WindFrom].Known) == 0 {
			m.Columns[forecast.WindFrom] = forecast.NewColumn(f.N)
			for h := range f.N {
				m.Columns[forecast.WindFrom].Set(h, 250)
				m.Columns[forecast.WindSpeed].Set(h, 2)
			}
		}
	}
	for _, i := range members {
		for h := k; h < k+3; h++ {
			f.Members[i].Columns[forecast.WindSpeed].Set(h, speed)
			f.Members[i].Columns[forecast.WindFrom].Set(h, from)
		}
	}
}

func offTheSea(j *job.Job) {
	j.Place.OnshoreFrom, j.Place.OnshoreTo, j.Place.HasOnshore = 60, 150, true
}

// Wind off the sea of 8 m/s or more within 48 h leaves salt on what lies open to it,
// and no pad or product touches that before it is washed (common practice, no source).
// The person's own word outranks the forecast's past.
func TestOnshoreWind_Past(t *testing.T) {
	type wind struct{ before, speed, from float64 }
	storm := wind{20, 10, 100}
	for name, c := range map[string]struct {
		wind   wind
		change func(j *job.Job, now time.Time)
		read   []job.Told // of salt, at now
		salty  bool
	}{
		"a blow":              {wind: storm, salty: true},
		"no more than 8":      {wind: wind{20, 8, 100}, salty: true},
		"less":                {wind: wind{20, 7.9, 100}},
		"off the land":        {wind: wind{20, 10, 280}},
		"at the sector's end": {wind: wind{20, 10, 150}, salty: true},
		"more than 48 h ago":  {wind: wind{52, 10, 100}},
		"across north": {wind: wind{20, 10, 5}, salty: true, change: func(j *job.Job, _ time.Time) {
			j.Place.OnshoreFrom, j.Place.OnshoreTo = 330, 20
		}},
		"winds that bring spray": {wind: wind{20, 10, 280}, salty: true, change: func(j *job.Job, _ time.Time) {
			j.Place.ExposedFrom, j.Place.ExposedTo, j.Place.HasExposed = 260, 300, true
		}},
		"a lake":                {wind: storm, change: func(j *job.Job, _ time.Time) { j.Place.WaterKind = "fresh" }},
		"nobody named a sector": {wind: storm, change: func(j *job.Job, _ time.Time) { j.Place.HasOnshore = false }},
		"in a shed":             {wind: storm, change: func(j *job.Job, _ time.Time) { j.Zones[0].Shelter = boat.Shed }},
		"under a hardtop":       {wind: storm, salty: true, change: func(j *job.Job, _ time.Time) { j.Zones[0].Shelter = boat.Hardtop }},
		"canvas was up": {wind: storm, change: func(j *job.Job, now time.Time) {
			j.Covers = []job.Cover{{Zones: []string{"port side"}, Kind: boat.Canvas, To: now.Add(-12 * time.Hour)}}
		}},
		"she says none came":  {wind: storm, change: func(j *job.Job, _ time.Time) { j.Since.Spray = "no" }},
		"she says some came":  {wind: wind{20, 2, 100}, salty: true, change: func(j *job.Job, _ time.Time) { j.Since.Spray = "yes" }},
		"washed since":        {wind: storm, change: func(j *job.Job, now time.Time) { j.Zones[0].Done = done("wash", now.Add(-time.Hour)) }},
		"washed before":       {wind: storm, salty: true, change: func(j *job.Job, now time.Time) { j.Zones[0].Done = done("wash", now.Add(-30*time.Hour)) }},
		"washed, as she says": {wind: storm, change: func(j *job.Job, now time.Time) { j.Since.Wash, j.Since.HasWash = now.Add(-2*time.Hour), true }},
		"read to be clean":    {wind: storm, read: []job.Told{job.No}},
		"read to be salty":    {wind: wind{20, 2, 100}, read: []job.Told{job.Yes}, salty: true},
		"a wash comes first":  {wind: storm, change: func(j *job.Job, _ time.Time) { washFirst(nil)(j); j.Steps[0].On = []int{0} }},
	} {
		f := calm(6)
		now := f.Start.Add(74 * time.Hour)
		blowing(f, now.Add(-time.Duration(c.wind.before)*time.Hour), c.wind.speed, c.wind.from, 0)
		j := smallJob(t, "polymer-sealant")
		offTheSea(j)
		if c.change != nil {
			c.change(j, now)
		}
		var read []job.Reading
		for _, told := range c.read {
			read = append(read, job.Reading{At: now, Salt: told})
		}
		r := with(t, f, j, now, read...)
		_, l := stateAt(r, len(r.Rows)-1, now.Add(34*time.Hour))
		assert.Equal(t, c.salty, l == verdict.Salt, name)
		assert.Equal(t, c.salty && j.Since.Spray == "" || name == "a wash comes first", len(r.Salted) > 0, name)
	}
}

// Where neither the forecast's past nor a word reaches two days back, the salt is a
// question, and no verdict hangs on it (common practice, no source).
func TestOnshoreWind_Unknown(t *testing.T) {
	for name, c := range map[string]struct {
		past   time.Duration
		change func(j *job.Job)
		read   []job.Reading
		asks   bool
	}{
		"six hours of past": {past: 6 * time.Hour, asks: true},
		"three days":        {past: 72 * time.Hour},
		"no such wind":      {past: 6 * time.Hour, change: func(j *job.Job) { j.Place.HasOnshore = false }},
		"none, she says":    {past: 6 * time.Hour, change: func(j *job.Job) { j.Since.Spray = "no" }},
		"a wipe was clean":  {past: 6 * time.Hour, read: []job.Reading{{Salt: job.No}}},
	} {
		f := calm(6)
		blowing(f, f.Start, 2, 100)
		now := f.Start.Add(c.past)
		j := smallJob(t, "polymer-sealant")
		offTheSea(j)
		if c.change != nil {
			c.change(j)
		}
		for i := range c.read {
			c.read[i].At = now
		}
		r := with(t, f, j, now, c.read...)
		assert.Equal(t, c.asks, r.SprayUnknown, name)
		assert.Empty(t, r.Salted, name)
		for _, x := range r.Rows[0].Refusals {
			assert.NotEqual(t, verdict.Salt, x.Limit, name)
		}
	}
}

// In the members in which it blows tomorrow morning, and only there, the panel is
// salty from then on; with a wash still to come it is so until it could have been
// washed once more and dried as long as the class cannot do without (an hour for a
// polymer sealant; common practice). Washing itself minds no salt.
func TestOnshoreWind_MemberByMember(t *testing.T) {
	f := ensemble(5, 5)
	for i := range f.Members {
		for h := range f.N {
			f.Members[i].Columns[forecast.Precipitation].Set(h, 0)
			f.Members[i].Columns[forecast.CloudCover].Set(h, 100)
		}
	}
	now := f.Start.Add(48 * time.Hour)
	blow := f.Start.Add(80 * time.Hour) // 08:00
	blowing(f, blow, 8.5, 100, 1, 3)
	members := func(r *window.Result, row int, at time.Time) int {
		n := 0
		s := r.Rows[row].Slots
		for _, w := range s.Marginal[r.Grid.Index(at)-r.From:][:len(s.Voters)] {
			n += bits.OnesCount64(w)
		}
		return n
	}
	alone := smallJob(t, "polymer-sealant")
	offTheSea(alone)
	r := evaluate(t, f, alone, now)
	assert.Equal(t, 5, members(r, 0, blow.Add(-30*time.Minute)), "before")
	assert.Equal(t, 3, members(r, 0, blow.Add(time.Hour)), "while it blows")
	assert.Equal(t, 3, members(r, 0, blow.Add(7*time.Hour)), "nobody washes it")

	washed := smallJob(t, "polymer-sealant")
	offTheSea(washed)
	washFirst(nil)(washed)
	washed.Steps[0].On = []int{0}
	r = evaluate(t, f, washed, now)
	assert.Equal(t, 3, members(r, 1, blow.Add(time.Hour)), "while it blows")
	assert.Equal(t, 3, members(r, 1, blow.Add(3*time.Hour+50*time.Minute)), "not washed and dry so soon")
	assert.Equal(t, 5, members(r, 1, blow.Add(4*time.Hour+20*time.Minute)), "washed anew")
	assert.Equal(t, 5, members(r, 0, blow.Add(time.Hour)), "the wash")
	assert.NotContains(t, strings.Join(r.Warnings, "\n"), "onshore", "not in the member that is shown")
}

// The plan washes after the salt has come, not before: a wash on the eve of a night's
// onshore blow is worth nothing to the morning's seal (common practice, no source).
func TestPlanWashesAfterTheSalt(t *testing.T) {
	f := calm(5)
	night := f.Start.Add(21 * time.Hour)
	blowing(f, night, 9, 100, 0)
	j := smallJob(t, "polymer-sealant")
	washFirst(nil)(j)
	j.Steps[0].On = []int{0}
	j.ShortestH = 0.3
	j.Place.Washing = job.Schedule{Set: true, Default: []job.ClockSpan{{From: 16 * 60, To: 18 * 60}}}
	for _, onshore := range []bool{false, true} {
		if onshore {
			offTheSea(j)
		}
		b := planned(t, f, j)
		require.True(t, b.Found, "%+v", b.Refusal)
		wash, seal := b.one(t, "wash", "port side"), b.one(t, "seal", "port side")
		assert.Greater(t, seal.From, wash.To)
		assert.Equal(t, onshore, b.at(wash.From).After(night), "washed %s", b.at(wash.From))
	}
	r := evaluate(t, f, j, f.Start)
	assert.Contains(t, strings.Join(r.Warnings, "\n"),
		"onshore wind of 8 m/s or more is forecast Tue 1 Sep 21:00 to Wed 2 Sep 00:00")
}

// With dust upwind the bounds of the wind are one class lower: for a polymer sealant
// (ideal 3 m/s, usual 6, hard 9) 5 m/s out of the yard are marginal and 7 too many,
// while the same wind from elsewhere is go and marginal (common practice, no source).
// Wind from nobody knows where may bring it.
func TestDust(t *testing.T) {
	const unknown = -1
	for _, c := range []struct {
		speed, from float64
		state       verdict.State
		limit       verdict.Limit
	}{
		{1, 180, verdict.Ideal, 0},
		{2, 180, verdict.Go, verdict.DustWind},
		{2, 20, verdict.Ideal, 0},
		{5, 180, verdict.Marginal, verdict.DustWind},
		{5, 20, verdict.Go, verdict.WindMax},
		{7, 180, verdict.NoGo, verdict.DustWind},
		{7, 20, verdict.Marginal, verdict.WindMax},
		{5, unknown, verdict.Marginal, verdict.DustWind},
	} {
		f := calm(4)
		m := &f.Members[0]
		for _, q := range []forecast.Quantity{forecast.WindFrom, forecast.Gust} {
			m.Columns[q] = forecast.NewColumn(f.N)
		}
		for h := range f.N {
			m.Columns[forecast.AirTemperature].Set(h, 20)
			m.Columns[forecast.DewPoint].Set(h, 9)
			m.Columns[forecast.CloudCover].Set(h, 100)
			m.Columns[forecast.WindSpeed].Set(h, c.speed)
			m.Columns[forecast.Gust].Set(h, c.speed)
			if c.from != unknown {
				m.Columns[forecast.WindFrom].Set(h, c.from)
			}
		}
		j := smallJob(t, "polymer-sealant")
		j.Place.Wind = job.WindAtWork
		j.Place.DustFrom, j.Place.DustTo, j.Place.HasDust = 150, 210, true
		r := evaluate(t, f, j, f.Start.Add(24*time.Hour))
		s, l := stateAt(r, 0, f.Start.Add(34*time.Hour))
		assert.Equal(t, c.state, s, "%+v", c)
		if c.limit != 0 {
			assert.Equal(t, c.limit, l, "%+v", c)
		}
		assert.Equal(t, c.from == unknown, strings.Contains(strings.Join(r.Warnings, "\n"), "dust is, in any wind"), "%+v", c)
	}
}

// Pollen comes with any wind, in its hours; nobody need know from where it blows. In an hour
// that is none of them the bounds are the usual ones.
func TestDust_InItsHours(t *testing.T) {
	f := calm(4)
	for h := range f.N {
		f.Members[0].Columns[forecast.WindSpeed].Set(h, 5)
	}
	j := smallJob(t, "polymer-sealant")
	j.Place.Wind, j.Place.DustTo, j.Place.HasDust = job.WindAtWork, 360, true
	j.Place.DustHours = job.Schedule{Set: true, Default: []job.ClockSpan{{From: 10 * 60, To: 15 * 60}}}
	in := window.Input{Forecast: f, Job: j, Classes: catalogue(t), Location: eastern, Now: f.Start}
	for hour, dusty := range map[int]bool{9: false, 10: true, 14: true, 15: false} {
		x, err := window.Explain(in, 0, "polymer-sealant", on(2, hour, 0))
		require.NoError(t, err)
		at := slices.IndexFunc(x.Limits, func(h verdict.Held) bool { return h.Limit == verdict.DustWind })
		assert.Equal(t, dusty, x.Limits[at].Value > 0, "%d:00", hour)
	}
	r := evaluate(t, f, j, f.Start)
	assert.NotContains(t, strings.Join(r.Warnings, "\n"), "dust")
}

// Spray that came over lies where it fell: a sheet put up this morning takes none of it
// off, and one taken down last night kept the panel clean no longer than that. Only what
// was covered all through the two days is free of it (common practice, no source).
func TestSprayTold_ASheetTakesOffNoSalt(t *testing.T) {
	const h = time.Hour
	for name, c := range map[string]struct {
		up, down time.Duration // from now; 0 of down: it is still up
		salty    bool
	}{
		"put up now":               {up: 0, salty: true},
		"put up last night":        {up: -10 * h, salty: true},
		"put up two days ago":      {up: -48 * h},
		"taken down last night":    {up: -60 * h, down: -10 * h, salty: true},
		"up, and to come down":     {up: -60 * h, down: 5 * h},
		"gone before the two days": {up: -90 * h, down: -60 * h, salty: true},
	} {
		f := calm(6)
		now := f.Start.Add(96 * h)
		j := smallJob(t, "polymer-sealant")
		j.Since.Spray = "yes"
		cover := job.Cover{Zones: []string{"port side"}, Kind: boat.Canvas, From: now.Add(c.up)}
		if c.down != 0 {
			cover.To = now.Add(c.down)
		}
		j.Covers = []job.Cover{cover}
		r := evaluate(t, f, j, now)
		_, l := stateAt(r, 0, now.Add(12*h))
		assert.Equal(t, c.salty, l == verdict.Salt, name)
		assert.Equal(t, c.salty, len(r.Salty) > 0, name)
	}
}

// Salt lies on a panel whoever says so, until a wash of it is done (common practice,
// no source).
func TestSalty(t *testing.T) {
	f := calm(5)
	now := f.Start.Add(72 * time.Hour)
	for name, c := range map[string]struct {
		change func(j *job.Job)
		salty  bool
	}{
		"nobody says so":             {change: func(*job.Job) {}},
		"spray came over":            {change: func(j *job.Job) { j.Since.Spray = "yes" }, salty: true},
		"the zone is said to be":     {change: func(j *job.Job) { j.Zones[0].Salt = true }, salty: true},
		"it was washed":              {change: func(j *job.Job) { j.Zones[0].Salt, j.Zones[0].Done = true, done("wash", now) }},
		"it was washed, nobody when": {change: func(j *job.Job) { j.Zones[0].Salt, j.Zones[0].Done = true, done("wash", time.Time{}) }},
		"half of it was washed": {change: func(j *job.Job) {
			j.Zones[0].Salt, j.Zones[0].Done = true, map[string]boat.Done{"wash": {At: now, Share: 0.5}}
		}, salty: true},
	} {
		j := smallJob(t, "polymer-sealant")
		c.change(j)
		assert.Equal(t, c.salty, len(evaluate(t, f, j, now).Salty) > 0, name)
	}
}
