package products

// Line is one bound of a class for a person to read, with where it is from.
type Line struct {
	Key   string // as in the file: "surface_c", "rain_free", "haze_min"
	Label string // in words
	Unit  string // SI, "" where there is none

	// Graded lines have three bands; the others only Default, which holds a
	// plain least-to-most value.
	Graded               bool
	Ideal, Default, Hard Band
	Source               string
	Loosened             bool // looser than the hard bound of the class
}

// Explain lists every bound of the class with its provenance: the limits while
// applying, the clocks around it, the cure, working times, labour and lifetime.
// What the class does not limit is left out.
func (c Class) Explain() []Line {
	var list []Line
	for _, s := range limitSpecs() {
		list = appendLimit(list, s, *s.field(&c))
	}
	if c.HasFilmMax {
		b := Band{Max: c.FilmMaxGM2, HasMax: true}
		list = append(list, Line{
			Key: "film_max_g_m2", Label: "water on the panel", Unit: "g/m²",
			Graded: true, Ideal: b, Default: b, Hard: b, Source: c.FilmSource,
		})
	}
	for _, s := range clockSpecs() {
		list = appendLimit(list, s.spec, s.clock(&c).limit())
	}
	for i := range list {
		if c.Equivalent && equivalentKey(list[i].Key) {
			list[i].Unit = "h at 20 °C"
		}
	}
	list = append(list, c.explainCure()...)
	for _, s := range append(rangeSpecs(), lifeSpecs()...) {
		if r := *s.field(&c); r.Given {
			list = append(list, c.explainRange(s, r))
		}
	}
	return list
}

// equivalentKey reports a clock that runs in equivalent hours where the class
// says so.
func equivalentKey(key string) bool {
	return key == "rain_free" || key == "dew_free" || key == "launch"
}

func appendLimit(list []Line, s spec, l Limit) []Line {
	if !l.Given {
		return list
	}
	return append(list, Line{
		Key: s.key, Label: s.label, Unit: s.unit, Graded: true,
		Ideal: l.Ideal, Default: l.Default, Hard: l.Hard, Source: l.Provenance(), Loosened: l.Loosened,
	})
}

// explainCure lists what the film needs to cure.
func (c Class) explainCure() []Line {
	var list []Line
	if c.HasCureMin {
		b := Band{Min: c.CureMinC, HasMin: true}
		list = append(list, Line{Key: "min_c", Label: "surface while it cures", Unit: "°C", Default: b, Source: c.CureSource})
	}
	if c.CureHumid != (Band{}) {
		list = append(list, Line{Key: "cure_humidity_pct", Label: "humidity while it cures", Unit: "%", Default: c.CureHumid, Source: c.CureSource})
	}
	if c.FullCureH.Given {
		list = append(list, c.explainRange(rangeSpec{key: "full_h", label: "full cure", unit: "h at 20 °C"}, c.FullCureH))
	}
	return list
}

// explainRange is a plain least-to-most value; what the class calls it and the
// unit of its rate come from the class.
func (c Class) explainRange(s rangeSpec, r Range) Line {
	label, unit := s.label, s.unit
	switch s.key {
	case "haze_min":
		label = orWord(c.HazeWord, label)
	case "flash_min":
		label = orWord(c.FlashWord, label)
	case "rate_m2_h":
		unit = map[string]string{"m": "m/h and person", "count": "repairs a day"}[c.RateUnit]
		if unit == "" {
			unit = "m²/h and person"
		}
	}
	b := Band{Min: r.Min, HasMin: true}
	if !r.NoMax {
		b.Max, b.HasMax = r.Max, true
	}
	return Line{Key: s.key, Label: label, Unit: unit, Default: b, Source: r.Source}
}

func orWord(word, instead string) string {
	if word == "" {
		return instead
	}
	return word
}
