package draw

import (
	"math"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"

	"github.com/stretchr/testify/require"
)

// The invented setting: Kittiwake at Otter Quay, three days, four zones, two steps.
// Its numbers are a sine and a step or two, so that the pictures hang on this
// package alone and not on the physics.
func zoneOf(t testing.TB, name string) *time.Location {
	loc, err := time.LoadLocation(name)
	require.NoError(t, err)
	return loc
}

func ptr(v float64) *float64 { return &v }

// invented is the week from 06:00 of a day on, n hours long.
func invented(t testing.TB, zone, day string, n int) *answer.Week {
	loc := zoneOf(t, zone)
	from, err := time.ParseInLocation("2006-01-02 15:04", day+" 06:00", loc)
	require.NoError(t, err)
	w := &answer.Week{
		Format: answer.WeekFormat, Job: "Clean and seal", Boat: "Kittiwake", Now: from, Verdict: answer.Go,
		Place:   answer.Place{Name: "Otter Quay", Latitude: 43.07, Longitude: -70.74, Timezone: zone},
		Source:  answer.Source{Name: "invented", Members: 11},
		SlotMin: 10, From: from, To: from.Add(time.Duration(n) * time.Hour),
		Scene: sceneOf(from, n),
	}
	w.Zones = []answer.Zone{
		hoursFor("port side", ptr(110), 90, from, n, 10), hoursFor("starboard side", ptr(290), 90, from, n, 16),
		hoursFor("transom", ptr(20), 90, from, n, 13), hoursFor("foredeck", nil, 0, from, n, 13),
	}
	for d := 0; d*24 < n; d++ {
		for _, step := range []string{"wash", "seal"} {
			for i, z := range w.Zones {
				addDay(w, step, z.Name, from.Add(time.Duration(24*d)*time.Hour), i)
			}
		}
	}
	w.Headline = &answer.Headline{Step: "seal", Best: w.Windows[4:6]}
	w.Plan = &answer.Plan{State: answer.Go, Confidence: 0.9, Blocks: []answer.PlanBlock{
		{From: from.Add(2 * time.Hour), To: from.Add(3 * time.Hour), Step: "wash", Product: "soap-wash", Zone: "port side", State: "go"},
		{From: from.Add(3 * time.Hour), To: from.Add(5 * time.Hour), Step: "seal", Product: "polymer-sealant", Zone: "port side", State: "ideal"},
	}}
	return w
}

func sceneOf(from time.Time, n int) *answer.Scene {
	s := &answer.Scene{Kind: "flybridge-cruiser", LengthM: ptr(13), Berths: []answer.Berth{{BowDeg: 200}}}
	for i := range n {
		s.Wind = append(s.Wind, answer.WindFrom{At: from.Add(time.Duration(i) * time.Hour), FromDeg: ptr(230)})
	}
	names := []string{"port side", "starboard side", "transom", "foredeck"}
	band := func(a, b float64) [2]*float64 { return [2]*float64{ptr(a), ptr(b)} }
	least := func(a float64) [2]*float64 { return [2]*float64{ptr(a), nil} }
	s.Classes = []answer.ClassBands{
		{Product: "soap-wash", Name: "soap wash", Zones: names, SurfaceC: &answer.Bands{Ideal: band(3, 28), Default: band(3, 35), Hard: band(3, 45)}},
		{Product: "polymer-sealant", Name: "polymer sealant", Zones: names,
			SurfaceC:  &answer.Bands{Ideal: band(15, 27), Default: band(10, 32), Hard: band(8, 36)},
			SpreadK:   &answer.Bands{Ideal: least(4), Default: least(3), Hard: least(2)},
			FullCureH: ptr(12), HalvesPerK: ptr(10)},
	}
	return s
}

// hoursFor is a zone that is warmest at an hour.
func hoursFor(name string, faces *float64, tilt float64, from time.Time, n int, warmest float64) answer.Zone {
	z := answer.Zone{Name: name, Faces: faces, Tilt: tilt, AreaM2: ptr(12), Finish: "white-gelcoat", Shelter: "open"}
	for i := range n {
		at := from.Add(time.Duration(i) * time.Hour)
		swing := math.Cos((float64(at.Hour()) + 0.5 - warmest) * math.Pi / 12)
		surface := math.Round((17+10*swing)*100) / 100
		h := answer.Hour{At: at, AirC: ptr(17 + 4*swing), DewPointC: ptr(9), HumidityPct: ptr(70), WindMS: ptr(3), GustMS: ptr(5),
			RainMM: ptr(0), CloudPct: ptr(30), SunlightWM2: ptr(max(0, 600*swing)), SurfaceC: &surface, SpreadK: ptr(surface - 9),
			FilmGM2: ptr(0), UVIndex: ptr(max(0, 5*swing))}
		if at.Hour() < 5 {
			h.FilmGM2 = ptr(30)
		}
		if i >= 30 && i < 33 {
			h.RainMM = ptr(1.5)
		}
		z.Hours = append(z.Hours, h)
	}
	return z
}

// addDay gives a step on a zone a day with all five states.
func addDay(w *answer.Week, step, zone string, six time.Time, i int) {
	product := map[string]string{"wash": "soap-wash", "seal": "polymer-sealant"}[step]
	at := func(h float64) time.Time { return six.Add(time.Duration(h * float64(time.Hour))) }
	win := func(a, b float64, state string, sure float64) {
		x := answer.Window{Step: step, Do: step, Product: product, Zone: zone, From: at(a), To: at(b), State: state, Confidence: sure,
			Binding: answer.Binding{Limit: "surface_max", Text: "panel 24 °C, ideal up to 27 °C"}}
		if step == "seal" {
			x.RainFreeH, x.DewFreeH = ptr(4), ptr(6)
		}
		w.Windows = append(w.Windows, x)
	}
	no := func(a, b float64, state, limit, text string) {
		w.Refusals = append(w.Refusals, answer.Refusal{Step: step, Do: step, Product: product, Zone: zone, From: at(a), To: at(b), State: state,
			Binding: answer.Binding{Limit: limit, Text: text}})
	}
	shift := float64(i) * 0.5
	no(0, 1, "no-go", "hours", "outside working hours")
	no(1, 2+shift, "no-go", "film", "water on the panel, 30 g/m², at most 1")
	win(5+shift, 8, "ideal", 1) // ranked before what comes earlier
	win(2+shift, 5+shift, "go", 0.9)
	win(8, 10, "marginal", 0.4)
	no(10, 12, "unknown", "data", "the forecast lacks wind")
	no(12, 24, "no-go", "hours", "outside working hours")
}

// hostile are names that break what is careless with them.
var hostile = []string{
	`"><script>alert(1)</script>`, "ميناء القضاعة", "\u202egniht yna\u202c", "🚤👩‍🔧 deck", "", "a\x00b\x1b[31mred", "]]>&amp;<!--",
	string(make([]rune, 0)) + "x", "tab\tand\nline",
}

// named is a week with other names of boat, place and zones.
func named(t testing.TB, names ...string) *answer.Week {
	w := invented(t, "America/New_York", "2026-09-10", 72)
	w.Boat, w.Place.Name, w.Job = names[0], names[0], names[0]
	for i := range w.Zones {
		old, fresh := w.Zones[i].Name, names[i%len(names)]
		w.Zones[i].Name = fresh
		for k := range w.Windows {
			if w.Windows[k].Zone == old {
				w.Windows[k].Zone = fresh
			}
		}
		for k := range w.Refusals {
			if w.Refusals[k].Zone == old {
				w.Refusals[k].Zone = fresh
			}
		}
	}
	return w
}

// drawings are the three pictures.
var drawings = []struct {
	kind string
	of   func(w *answer.Week, o Options) Picture
}{
	{"week", WeekStrip},
	{"day", func(w *answer.Week, o Options) Picture { return DayCurves(w, "", o) }},
	{"boat", func(w *answer.Week, o Options) Picture { return BoatAndSun(w, time.Time{}, o) }},
}
