package text

import "dewgap/cmd/internal/answer"

// early is a Thursday at ten past six on the dock: dew on the sides, the helm
// under its roof dry, the transom not to be sealed today.
func early() *answer.Morning {
	step := func(zone, state, limit string, panel, over float64) answer.MorningStep {
		return answer.MorningStep{Step: "seal", Do: "seal", Product: "polymer-sealant", Zone: zone, State: state,
			Binding: bind(limit), SurfaceC: &panel, SpreadK: &over}
	}
	port := step("port side", "no-go", "spread_min 1.2/2", 13.4, 1.2)
	port.First, port.Last, port.Best = ptr(at("10 08:40")), ptr(at("10 15:10")), "go"
	port.WetAt, port.WetBy = ptr(at("10 21:00")), "dew"
	port.Change = "a breeze over 6 m/s after 14:00"
	starboard := port
	starboard.Zone, starboard.SurfaceC, starboard.SpreadK, starboard.Binding = "starboard side", ptr(12.1), ptr(-0.4), bind("spread_min -0.4/2")
	helm := step("helm", "go", "humidity_max 78/70", 15.2, 4.1)
	helm.First, helm.Last, helm.Best = ptr(at("10 06:10")), ptr(at("10 16:00")), "go"
	foredeck := step("foredeck", "no-go", "film 98/1", 9.8, -2.2)
	foredeck.First, foredeck.Last, foredeck.Best, foredeck.WetAt, foredeck.WetBy = ptr(at("10 09:20")), ptr(at("10 13:50")), "marginal", ptr(at("10 20:10")), "dew"
	transom := step("transom", "no-go", "rain_free 1.33/2", 11.0, 0.6)
	wash := answer.MorningStep{
		Step:    "wash",
		Do:      "wash",
		Product: "soap-wash",
		Zone:    "transom",
		State:   "unknown",
		Binding: bind("data"),
	}
	w := emptyWeek()
	return &answer.Morning{
		Format:       answer.MorningFormat,
		Job:          w.Job,
		Boat:         w.Boat,
		Now:          at("10 06:10"),
		Place:        w.Place,
		Source:       w.Source,
		Verdict:      "wait",
		WaitUntil:    ptr(at("10 08:40")),
		Steps:        []answer.MorningStep{port, starboard, helm, foredeck, transom, wash},
		ReadingsUsed: []string{"port side 13.4 °C at 06:10 by infrared (forecast said 15.1 °C)", "air 15 °C, humidity 91 %"},
		Measure:      []string{"port side", "foredeck"},
		NextReading:  ptr(at("10 08:00")),
		Stop: []answer.Binding{{Limit: "spread_min", Bound: ptr(3.0)}, {Limit: "wind_max", Bound: ptr(6.0)}, {Limit: "surface_max", Bound: ptr(32.0)},
			{Limit: "film", Text: "water on the panel"}},
		Cautions: w.Cautions[:1],
		Warnings: w.Warnings[:1],
	}
}
