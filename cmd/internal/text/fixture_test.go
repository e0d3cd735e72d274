package text

import (
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"dewgap/cmd/internal/answer"
)

// zone of the invented place, without a time zone database.
var eastern = time.FixedZone("EDT", -4*3600)

// at reads a local time of September 2026: "10 08:20".
func at(s string) time.Time {
	d, clock, _ := strings.Cut(s, " ")
	n, err := strconv.Atoi(d)
	h, err2 := strconv.Atoi(clock[:2])
	m, err3 := strconv.Atoi(clock[3:])
	if err != nil || err2 != nil || err3 != nil {
		panic("no time: " + s)
	}
	return time.Date(2026, time.September, n, h, m, 0, 0, eastern)
}

func ptr[T any](x T) *T { return &x }

// bind is a binding: "surface_max 31.2/30", or a yes/no limit alone.
func bind(s string) answer.Binding {
	limit, numbers, ok := strings.Cut(s, " ")
	b := answer.Binding{Limit: limit, Source: "common practice"}
	if ok {
		v, bound, _ := strings.Cut(numbers, "/")
		x, err := strconv.ParseFloat(v, 64)
		y, err2 := strconv.ParseFloat(bound, 64)
		if err != nil || err2 != nil {
			panic("no numbers: " + s)
		}
		b.Value, b.Bound = &x, &y
	}
	return b
}

// builder makes a week from lines such as
//
//	seal | port side | 10 07:00 x film 82/1; 08:20 + 0.87; 11:40 ! surface_max 31.2/30; 12:30 end
//
// each stretch lasting to the next one's time.
type builder struct {
	t *testing.T
	a *answer.Week
}

func (b builder) line(s string) {
	part := strings.Split(s, " | ")
	require.Len(b.t, part, 3, s)
	d, rest, _ := strings.Cut(part[2], " ")
	stretches := strings.Split(rest, "; ")
	for i := 0; i < len(stretches)-1; i++ {
		from := at(d + " " + stretches[i][:5])
		to := at(d + " " + stretches[i+1][:5])
		b.stretch(part[0], part[1], from, to, stretches[i][6:])
	}
}

func (b builder) stretch(step, zone string, from, to time.Time, s string) {
	do, product := step, map[string]string{
		"wash":    "soap-wash",
		"correct": "compound-dual-action",
		"seal":    "polymer-sealant",
	}[step]
	mark, rest, _ := strings.Cut(s, " ")
	state := map[string]string{"*": "ideal", "+": "go", "!": "marginal", "x": "no-go", "?": "unknown"}[mark]
	require.NotEmpty(b.t, state, s)
	if !answer.Workable(state) {
		b.a.Refusals = append(b.a.Refusals, answer.Refusal{Step: step, Do: do, Product: product, Zone: zone,
			From: from, To: to, State: state, Binding: bind(rest)})
		return
	}
	sure, limit, _ := strings.Cut(rest, " ")
	c, err := strconv.ParseFloat(sure, 64)
	require.NoError(b.t, err, s)
	w := answer.Window{Step: step, Do: do, Product: product, Zone: zone, From: from, To: to, State: state,
		Confidence: c, Binding: bind(limit), LastStart: to.Add(-10 * time.Minute),
		SurfaceC: &[2]float64{15.1, 20.4}, SpreadK: &[2]float64{3.4, 8.9}, Sunlit: ptr(zone == "starboard side")}
	switch step {
	case "wash":
		w.SectionM2, w.RewetMin = ptr(7.3), ptr(8.4)
	case "seal":
		w.RainFreeH, w.DewFreeH = ptr(4.0), ptr(6.0)
		w.WipeBy, w.WetAt, w.WetBy = ptr(to.Add(30*time.Minute)), ptr(at(strconv.Itoa(to.Day())+" 20:50")), "dew"
	}
	b.a.Windows = append(b.a.Windows, w)
}

// finish ranks the windows of every step in order, gives each refusal the time
// at which it clears, and sets the headline.
func (b builder) finish() *answer.Week {
	rank := map[string]int{}
	for i := range b.a.Windows {
		rank[b.a.Windows[i].Step]++
		b.a.Windows[i].Rank = rank[b.a.Windows[i].Step]
	}
	for i := range b.a.Refusals {
		r := &b.a.Refusals[i]
		for _, w := range b.a.Windows {
			if w.Step == r.Step && w.Zone == r.Zone && !w.From.Before(r.To) && (r.Clears == nil || w.From.Before(*r.Clears)) {
				r.Clears = ptr(w.From)
			}
		}
	}
	return b.a
}

// lateSummer is a week as a person meets it: three steps, four zones, a wet
// Wednesday, a good Thursday, a Saturday that needs a yes, a Sunday that nobody
// knows.
func lateSummer(t *testing.T) *answer.Week {
	b := builder{t, emptyWeek()}
	for _, s := range lateSummerLines {
		b.line(s)
	}
	a := b.finish()
	a.Headline = &answer.Headline{
		Step:   "seal",
		Best:   pick(a, "seal", 10),
		Next:   pick(a, "seal", 12),
		Breaks: []string{"rain before 19:30 (1 in 7)", "dew point +2 K makes the last start 13:50", "wind +2 m/s"},
		WhyNot: []string{"Wed 9 Sep: water on the sides until 10:50, then rain 16:00, 2 h short of the 4 h without rain"},
	}
	return a
}

var lateSummerLines = []string{
	"wash | port side | 8 00:00 x hours; 07:00 * 0.9 wind_max 3/5; 12:00 + 0.83 sunlight_max 340/300; 18:00 x hours; 23:50",
	"wash | starboard side | 8 00:00 x hours; 07:00 ! 0.7 sunlight_max 640/600; 10:00 * 0.9 wind_max 3/5; 18:00 x hours; 23:50",
	"wash | foredeck | 8 00:00 x hours; 07:00 x section 0.9/2; 16:00 + 0.9 wind_max 5.5/5; 18:00 x hours; 23:50",
	"wash | teak deck | 8 00:00 x hours; 07:00 x finish; 18:00 x hours; 23:50",
	"correct | port side | 9 00:00 x hours; 07:00 x film 212/5; 08:00 x dry_off 0.16/0.5; 08:30 + 0.6 humidity_max 82/75; 16:00 x thunder; 17:00 x machines; 18:00 x hours; 23:50",
	"correct | starboard side | 9 00:00 x hours; 07:00 x film 212/5; 09:10 x block 0.67/2; 09:50 x wind_max 10.6/10; 17:00 x machines; 18:00 x hours; 23:50",
	"correct | foredeck | 9 00:00 x hours; 07:00 x film 250/5; 17:00 x machines; 18:00 x hours; 23:50",
	"correct | teak deck | 9 00:00 x hours; 07:00 x finish; 17:00 x machines; 18:00 x hours; 23:50",
	"seal | port side | 10 00:00 x hours; 07:00 x film 82/1; 08:20 * 0.8 spread_min 8.4/4; 10:10 + 0.87 humidity_max 72/70; 11:40 ! 0.9 surface_max 31.2/30; 12:30 x dew_free 5/6; 18:00 x hours; 23:50",
	"seal | starboard side | 10 00:00 x hours; 07:00 x film 82/1; 13:10 + 0.87 sunlight_max 240/200; 15:20 x dew_free 1.8/2; 18:00 x hours; 23:50",
	"seal | foredeck | 10 00:00 x hours; 07:00 x film 98/1; 08:00 + 0.87 spread_min 3.1/4; 09:30 x spread_min 1.2/2; 13:50 x dew_free 1.5/2; 18:00 x hours; 23:50",
	"seal | teak deck | 10 00:00 x hours; 07:00 x finish; 18:00 x hours; 23:50",
	"seal | port side | 11 00:00 x hours; 07:00 x rain_free 1.33/4; 18:00 x hours; 23:50",
	"seal | starboard side | 11 00:00 x hours; 07:00 x rain_free 1.33/4; 18:00 x hours; 23:50",
	"seal | foredeck | 11 00:00 x hours; 07:00 x rain_free 1.33/4; 18:00 x hours; 23:50",
	"seal | teak deck | 11 00:00 x hours; 07:00 x finish; 18:00 x hours; 23:50",
	"seal | port side | 12 00:00 x hours; 07:00 x air_min 9.1/10; 08:10 ! 0.5 gust_max 9.8/9; 11:30 x cure 6.4/8; 18:00 x hours; 23:50",
	"seal | starboard side | 12 00:00 x hours; 07:00 x air_min 9.1/10; 09:00 x cure 6.4/8; 18:00 x hours; 23:50",
	"seal | foredeck | 12 00:00 x hours; 07:00 x air_min 9.1/10; 09:00 x cure 6.4/8; 18:00 x hours; 23:50",
	"seal | teak deck | 12 00:00 x hours; 07:00 x finish; 18:00 x hours; 23:50",
	"seal | port side | 13 00:00 x away; 23:50",
	"seal | port side | 14 00:00 x hours; 07:00 ? data; 18:00 x hours; 23:50",
	"seal | starboard side | 14 00:00 x hours; 07:00 ? data; 18:00 x hours; 23:50",
	"seal | foredeck | 14 00:00 x hours; 07:00 ? data; 18:00 x hours; 23:50",
}

func pick(a *answer.Week, step string, day int) []answer.Window {
	var out []answer.Window
	for _, w := range a.Windows {
		if w.Step == step && w.From.Day() == day {
			out = append(out, w)
		}
	}
	return out
}

func emptyWeek() *answer.Week {
	return &answer.Week{
		Format: answer.WeekFormat,
		Job:    "Late-summer clean and seal",
		Boat:   "Kittiwake",
		Now:    at("8 06:10"),
		Place:  answer.Place{Name: "Otter Quay", Latitude: 43.07, Longitude: -70.74, Timezone: "America/New_York"},
		Source: answer.Source{
			Name:        "NWS",
			Issued:      ptr(at("8 05:30")),
			AgeS:        ptr(int64(2400)),
			Members:     1,
			Dressed:     30,
			Licence:     "public domain",
			Attribution: "Weather data: National Weather Service",
		},
		From:    at("8 06:10"),
		To:      at("15 00:00"),
		SlotMin: 10,
		Zones: []answer.Zone{
			zoneOf("port side", 290, 90), zoneOf("starboard side", 110, 90), zoneOf("foredeck", 0, 3), zoneOf("teak deck", 0, 0),
		},
		Cautions: []answer.Caution{
			{
				Kind:   "wbgt",
				From:   ptr(at("10 11:00")),
				To:     ptr(at("10 15:00")),
				Level:  "caution",
				Value:  ptr(26.2),
				Unit:   "°C",
				Source: "NIOSH 2016-106",
				Text:   "Heat in the sun above the limit for people not yet used to it: shade for the breaks, watch one another." + answer.Deferral,
			},
			{
				Kind:   "wbgt",
				From:   ptr(at("11 12:00")),
				To:     ptr(at("11 14:30")),
				Level:  "caution",
				Value:  ptr(25.9),
				Unit:   "°C",
				Source: "NIOSH 2016-106",
				Text:   "Heat in the sun above the limit for people not yet used to it: shade for the breaks, watch one another." + answer.Deferral,
			},
			{
				Kind:   "thunder",
				From:   ptr(at("9 15:30")),
				To:     ptr(at("9 17:00")),
				Level:  "danger",
				Source: "weather services' practice",
				Text:   "Thunder: stop, switch off and unplug, leave dock and masts." + answer.Deferral,
			},
			{
				Kind:   "slips",
				From:   ptr(at("8 07:00")),
				To:     ptr(at("14 18:00")),
				Level:  "note",
				Source: "common practice",
				Text:   "Slips: soap, polish dust and sealer underfoot." + answer.Deferral,
			},
		},
		Warnings: []string{"gusts are derived: 1.5 × wind", "the surface may be 1.7 K off on a clear night"},
	}
}

func zoneOf(named string, faces, tilt float64) answer.Zone {
	z := answer.Zone{Name: named, Tilt: tilt, Finish: "white-gelcoat", Shelter: "open", AreaM2: ptr(18.0)}
	if tilt > 20 {
		z.Faces = &faces
	}
	for h := 7; h < 10; h++ {
		z.Hours = append(z.Hours, answer.Hour{
			At:          time.Date(2026, 9, 8, h, 0, 0, 0, eastern),
			AirC:        ptr(15.2),
			DewPointC:   ptr(11.4),
			HumidityPct: ptr(78.0),
			WindMS:      ptr(2.4),
			RainMM:      ptr(0.2),
			SurfaceC:    ptr(16.1),
			SpreadK:     ptr(4.7),
			FilmGM2:     ptr(0.0),
			UVIndex:     ptr(0.4),
			SunlightWM2: ptr(90.0),
		})
	}
	return z
}
