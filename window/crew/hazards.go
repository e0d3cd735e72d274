package crew

import "strings"

// hazard is one hazard of the weather: how a slot is judged, and the words.
type hazard struct {
	kind, unit, source string
	// word is what a person calls it, for the unknown.
	word string
	// lower is true where a lower value is the worse one.
	lower bool
	// judge gives the level of a slot, "" for none, and the value behind it.
	judge func(Job, Slot) (level string, v Value)
	// words are the text for a level other than unknown.
	words func(level string) string
	// needs are what it is judged by, for the unknown.
	needs []need
}

// need is a value that a hazard is judged by, as a person calls it.
type need struct {
	name string
	in   func(Slot) bool // whether the slot has it
}

var (
	needAir      = need{"air temperature", func(s Slot) bool { return s.AirC.Known }}
	needHumidity = need{"humidity", func(s Slot) bool { return s.HumidityPct.Known }}
	needWind     = need{"wind", func(s Slot) bool { return s.WindDeckMS.Known }}
	needGust     = need{"wind and gusts", func(s Slot) bool { return s.GustMS.Known || s.WindDeckMS.Known }}
	needSun      = need{"sunlight and cloud", func(s Slot) bool { return s.SunlightWM2.Known && s.CosZenith.Known }}
	needUV       = need{"the UV index", func(s Slot) bool { return s.UVIndex.Known }}
	needThunder  = need{"any word of thunder", func(s Slot) bool { return s.ThunderKnown }}
)

// unjudged says why a slot cannot be judged: what the forecast lacks there.
func (h hazard) unjudged(s Slot) Unjudged {
	u := Unjudged{Hazard: h.word, Why: s.Unseen}
	if u.Why != "" {
		return u
	}
	var lacks []string
	for _, n := range h.needs {
		if !n.in(s) {
			lacks = append(lacks, n.name)
		}
	}
	if u.Why = "such weather lies outside what the formula holds for"; len(lacks) > 0 {
		u.Lacks = and(lacks)
		u.Why = "the forecast lacks " + u.Lacks
	}
	return u
}

// and joins words as a sentence does.
func and(words []string) string {
	last := len(words) - 1
	if last < 1 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:last], ", ") + " and " + words[last]
}

// hazards are the hazards of the weather in the order of the Kind constants.
func hazards() []hazard {
	return []hazard{
		{kind: KindWBGT, word: "heat in the sun", unit: "°C", judge: judgeWBGT, words: wordsWBGT,
			source: "NIOSH 2016-106 (alert limit from memory); WBGT after Liljegren 2008",
			needs:  []need{needAir, needHumidity, needWind, needSun}},
		{kind: KindHeatIndex, word: "heat in the shade", unit: "°C", judge: judgeHeatIndex, words: wordsHeat,
			source: "NWS heat index; screening line of CDC MMWR 67(26), 2018",
			needs:  []need{needAir, needHumidity}},
		{kind: KindThunder, word: "thunder", judge: judgeThunder, words: always(textThunder),
			source: "OSHA/NOAA fact sheet 3863",
			needs:  []need{needThunder}},
		{kind: KindGust, word: "gusts", unit: "m/s", judge: judgeGust, words: wordsGust,
			source: "common practice (ladders, harness); OSHA note on high wind",
			needs:  []need{needGust}},
		{kind: KindWind, word: "wind", unit: "m/s", judge: judgeWind, words: always(textWind),
			source: "common practice", needs: []need{needWind}},
		{kind: KindFloat, word: "wakes", unit: "m/s", judge: judgeFloat, words: always(textFloatWind),
			source: "common practice; Beaufort scale", needs: []need{needWind}},
		{kind: KindCold, word: "cold", unit: "°C", lower: true, judge: judgeCold, words: wordsCold,
			source: "wind chill index of 2001; its lines from memory",
			needs:  []need{needAir, needWind}},
		{kind: KindIce, word: "ice", unit: "°C", lower: true, judge: judgeIce, words: always(textIce),
			source: "common practice", needs: []need{needAir}},
		{kind: KindUV, word: "ultraviolet", judge: judgeUV, words: wordsUV,
			source: "WHO/WMO Global Solar UV Index, 2002", needs: []need{needUV}},
	}
}

// runs joins adjoining slots of one level into cautions, and of those not judged the
// ones that lack the same.
func (h hazard) runs(in Input) []Caution {
	var out []Caution
	for _, s := range in.Slots {
		level, v := h.judge(in.Job, s)
		if level == "" {
			continue
		}
		var why Unjudged
		if level == LevelUnknown {
			why = h.unjudged(s)
		}
		if n := len(out); n > 0 && out[n-1].Level == level && out[n-1].Unjudged == why && out[n-1].To.Equal(s.At) {
			out[n-1].To = s.At.Add(in.Step)
			h.worsen(&out[n-1], v)
			continue
		}
		c := Caution{Kind: h.kind, Level: level, From: s.At, To: s.At.Add(in.Step), Unjudged: why, Source: h.source}
		h.worsen(&c, v)
		out = append(out, c)
	}
	for i := range out {
		if out[i].Text = out[i].text(); out[i].Level != LevelUnknown {
			out[i].Text = h.words(out[i].Level) + deferral
		}
	}
	return out
}

// worsen takes the value into the caution where it is the first or a worse one.
func (h hazard) worsen(c *Caution, v Value) {
	if !v.Known {
		return
	}
	if !c.HasValue || (h.lower && v.V < c.Value) || (!h.lower && v.V > c.Value) {
		c.Value, c.HasValue, c.Unit = v.V, true, h.unit
	}
}

// atLeast gives the level of the highest bound that v reaches; the bounds rise.
func atLeast(v, caution, warning, danger float64) string {
	switch {
	case v >= danger:
		return LevelDanger
	case v >= warning:
		return LevelWarning
	case v >= caution:
		return LevelCaution
	}
	return ""
}

// unlessCool is unknown, except where the air is known to be too cool for heat.
func unlessCool(s Slot) string {
	const cool = 10 // °C; below it full sun reaches no heat line, unless in dead calm
	if s.AirC.Known && s.AirC.V < cool {
		return ""
	}
	return LevelUnknown
}

func judgeWBGT(j Job, s Slot) (string, Value) {
	if !s.AirC.Known || !s.HumidityPct.Known || !s.WindDeckMS.Known ||
		!s.SunlightWM2.Known || !s.CosZenith.Known {
		return unlessCool(s), Value{}
	}
	pressure := 1013.25
	if s.PressureHPa.Known {
		pressure = s.PressureHPa.V
	}
	r := WBGT(WBGTInput{
		AirC: s.AirC.V, HumidityPct: s.HumidityPct.V, PressureHPa: pressure,
		SolarWM2: s.SunlightWM2.V, CosZenith: s.CosZenith.V,
		DirectFraction: s.DirectFraction.V, HasDirectFraction: s.DirectFraction.Known,
		WindMS: s.WindDeckMS.V, WindHeightM: deckHeightM, Inversion: true,
	})
	if !r.Known {
		return LevelUnknown, Value{}
	}
	work := j.WorkW
	if work == 0 {
		work = PolishW
	}
	return atLeast(r.WBGT, AlertLimit(work), ExposureLimit(work), ExposureLimit(RestW)), Some(r.WBGT)
}

// deckHeightM is the height at which WindDeckMS blows, m.
const deckHeightM = 3

func judgeHeatIndex(_ Job, s Slot) (string, Value) {
	if !s.AirC.Known || !s.HumidityPct.Known {
		return unlessCool(s), Value{}
	}
	hi := HeatIndex(s.AirC.V, s.HumidityPct.V)
	return atLeast(hi, HeatScreenC, celsius(heatExtremeCautionF), celsius(heatDangerF)), Some(hi)
}

func judgeThunder(_ Job, s Slot) (string, Value) {
	switch {
	case !s.ThunderKnown:
		return LevelUnknown, Value{}
	case s.Thunder:
		return LevelDanger, Value{}
	}
	return "", Value{}
}

// atHeight reports whether somebody works where a gust can throw them.
func (j Job) atHeight() bool { return j.Ladder || j.Harness }

func judgeGust(j Job, s Slot) (string, Value) {
	v := s.GustMS
	if !v.Known && s.WindDeckMS.Known {
		v = Some(1.5 * s.WindDeckMS.V)
	}
	switch {
	case !v.Known:
		return LevelUnknown, v
	case j.atHeight():
		return atLeast(v.V, AccessGustMS*0.75, AccessGustMS, HighGustMS), v
	}
	return atLeast(v.V, HandlingGustMS, HighGustMS, strongGaleMS), v
}

func judgeWind(j Job, s Slot) (string, Value) {
	switch {
	case !j.atHeight():
		return "", Value{}
	case !s.WindDeckMS.Known:
		return LevelUnknown, Value{}
	case s.WindDeckMS.V >= AccessWindMS:
		return LevelWarning, s.WindDeckMS
	}
	return "", Value{}
}

func judgeFloat(j Job, s Slot) (string, Value) {
	switch {
	case !j.Float:
		return "", Value{}
	case !s.WindDeckMS.Known:
		return LevelUnknown, Value{}
	case s.WindDeckMS.V/DeckShare >= FloatWindMS:
		return LevelWarning, s.WindDeckMS
	}
	return "", Value{}
}

// judgeCold takes the wind at the deck up to the 10 m of the index as in an
// open berth, so that a lee counts as the shelter it is.
func judgeCold(_ Job, s Slot) (string, Value) {
	if s.AirC.Known && s.AirC.V > chillMaxC {
		return "", Value{}
	}
	if !s.AirC.Known || !s.WindDeckMS.Known {
		return LevelUnknown, Value{}
	}
	chill := WindChill(s.AirC.V, s.WindDeckMS.V/DeckShare)
	return atLeast(-chill, -ChillCautionC, -ChillWarningC, -ChillDangerC), Some(chill)
}

func judgeIce(_ Job, s Slot) (string, Value) {
	switch {
	case !s.AirC.Known:
		return LevelUnknown, Value{}
	case s.AirC.V < IceC:
		return LevelCaution, s.AirC
	}
	return "", Value{}
}

func judgeUV(_ Job, s Slot) (string, Value) {
	if !s.UVIndex.Known {
		return LevelUnknown, Value{}
	}
	switch UVBand(s.UVIndex.V) {
	case "extreme":
		return LevelDanger, s.UVIndex
	case "very high":
		return LevelWarning, s.UVIndex
	case "high", "moderate":
		return LevelCaution, s.UVIndex
	}
	return "", Value{}
}
