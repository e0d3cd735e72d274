package crew

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

var eight = utc(2026, 9, 7, 8, 0)

// mild is a slot in which nothing of the weather deserves a caution.
func mild(at time.Time) Slot {
	return Slot{At: at, AirC: Some(17), HumidityPct: Some(60), PressureHPa: Some(1015),
		WindDeckMS: Some(3), GustMS: Some(5), SunlightWM2: Some(300), CosZenith: Some(0.6),
		UVIndex: Some(2), ThunderKnown: true}
}

// hours are n hourly slots from eight, each changed by f.
func hours(n int, f func(i int, s *Slot)) Input {
	in := Input{Step: time.Hour}
	for i := range n {
		s := mild(eight.Add(time.Duration(i) * time.Hour))
		if f != nil {
			f(i, &s)
		}
		in.Slots = append(in.Slots, s)
	}
	return in
}

// only keeps the cautions of one kind.
func only(cs []Caution, kind string) []Caution {
	var out []Caution
	for _, c := range cs {
		if c.Kind == kind {
			out = append(out, c)
		}
	}
	return out
}

func TestCautions_Nothing(t *testing.T) {
	assert.Empty(t, Cautions(Input{}), "no slots")
	assert.Empty(t, Cautions(Input{Slots: []Slot{mild(eight)}}), "no step")
	assert.Empty(t, Cautions(hours(4, nil)), "a mild morning and a job without hazards")
}

func TestCautions_HeatLeadsWithTheSun(t *testing.T) {
	in := hours(3, func(_ int, s *Slot) {
		s.AirC, s.HumidityPct, s.SunlightWM2, s.CosZenith = Some(32), Some(65), Some(900), Some(0.97)
	})
	got := Cautions(in)
	require.NotEmpty(t, got)
	assert.Equal(t, KindWBGT, got[0].Kind)
	assert.Equal(t, LevelWarning, got[0].Level, "about 32 °C WBGT is past the 28.2 of machine polishing")
	assert.InDelta(t, 32, got[0].Value, 0.3)
	assert.Equal(t, "°C", got[0].Unit)
	assert.Equal(t, eight, got[0].From)
	assert.Equal(t, eight.Add(3*time.Hour), got[0].To)
	hi := only(got, KindHeatIndex)
	require.Len(t, hi, 1)
	assert.InDelta(t, HeatIndex(32, 65), hi[0].Value, 1e-12)
	assert.Equal(t, LevelWarning, hi[0].Level, "NWS extreme caution")
}

func TestCautions_HeatDependsOnTheWork(t *testing.T) {
	in := hours(1, func(_ int, s *Slot) { s.AirC, s.HumidityPct = Some(29), Some(65) })
	level := func(watts float64) string {
		in.Job.WorkW = watts
		if c := only(Cautions(in), KindWBGT); len(c) > 0 {
			return c[0].Level
		}
		return ""
	}
	assert.Empty(t, level(RestW))
	assert.Equal(t, LevelCaution, level(PolishW))
	assert.Equal(t, LevelCaution, level(0), "the work is machine polishing unless the job says")
	assert.Equal(t, LevelWarning, level(415), "heavy compounding overhead")
}

func TestCautions_HeatWithoutSunlight(t *testing.T) {
	in := hours(1, func(_ int, s *Slot) {
		s.AirC, s.HumidityPct, s.SunlightWM2 = Some(33), Some(60), Value{}
	})
	got := Cautions(in)
	require.Len(t, only(got, KindWBGT), 1)
	assert.Equal(t, LevelUnknown, only(got, KindWBGT)[0].Level)
	assert.False(t, only(got, KindWBGT)[0].HasValue)
	require.Len(t, only(got, KindHeatIndex), 1, "the heat index still can")
	assert.NotEqual(t, LevelUnknown, only(got, KindHeatIndex)[0].Level)
	cold := hours(1, func(_ int, s *Slot) { s.AirC, s.SunlightWM2 = Some(5), Value{} })
	assert.Empty(t, only(Cautions(cold), KindWBGT), "too cool for heat whatever the sun")
}

func TestCautions_Merge(t *testing.T) {
	uv := []float64{2, 3.2, 6.4, 7.1, 8.6, 9.3, 6, 2}
	in := hours(len(uv), func(i int, s *Slot) { s.UVIndex = Some(uv[i]) })
	got := only(Cautions(in), KindUV)
	require.Len(t, got, 3)
	h := func(n int) time.Time { return eight.Add(time.Duration(n) * time.Hour) }
	assert.Equal(t, []time.Time{h(1), h(4), h(4), h(6), h(6), h(7)},
		[]time.Time{got[0].From, got[0].To, got[1].From, got[1].To, got[2].From, got[2].To})
	assert.Equal(t, []string{LevelCaution, LevelWarning, LevelCaution},
		[]string{got[0].Level, got[1].Level, got[2].Level})
	assert.Equal(t, []float64{7.1, 9.3, 6}, []float64{got[0].Value, got[1].Value, got[2].Value})
	assert.Empty(t, got[0].Unit)
}

func TestCautions_BreaksDoNotMerge(t *testing.T) {
	in := hours(3, func(i int, s *Slot) {
		s.UVIndex = Some(9)
		if i == 2 {
			s.At = s.At.Add(21 * time.Hour) // next morning
		}
	})
	assert.Len(t, only(Cautions(in), KindUV), 2)
}

func TestCautions_WorstOfTheCold(t *testing.T) {
	chill := []float64{2, -3, 1}
	in := hours(3, func(i int, s *Slot) { s.AirC = Some(chill[i]) })
	got := only(Cautions(in), KindCold)
	require.Len(t, got, 1)
	assert.InDelta(t, WindChill(-3, 3/DeckShare), got[0].Value, 1e-12, "the coldest hour")
	ice := only(Cautions(in), KindIce)
	require.Len(t, ice, 1)
	assert.Equal(t, -3.0, ice[0].Value)
}

func TestCautions_ColdLevels(t *testing.T) {
	for air, want := range map[float64]string{-2: LevelCaution, -9: LevelWarning, -30: LevelDanger} {
		in := hours(1, func(_ int, s *Slot) { s.AirC = Some(air) })
		got := only(Cautions(in), KindCold)
		require.Len(t, got, 1, "%v °C", air)
		assert.Equal(t, want, got[0].Level, "%v °C", air)
	}
}

func TestCautions_Thunder(t *testing.T) {
	in := hours(4, func(i int, s *Slot) {
		s.Thunder = i == 1 || i == 2
		s.ThunderKnown = i < 3
	})
	got := only(Cautions(in), KindThunder)
	require.Len(t, got, 2)
	assert.Equal(t, LevelDanger, got[0].Level)
	assert.Equal(t, eight.Add(3*time.Hour), got[0].To)
	assert.Contains(t, got[0].Text, "30 minutes")
	assert.Equal(t, LevelUnknown, got[1].Level)
}

func TestCautions_GustsAtHeight(t *testing.T) {
	level := func(gust float64, job Job) string {
		in := hours(1, func(_ int, s *Slot) { s.GustMS = Some(gust) })
		in.Job = job
		if c := only(Cautions(in), KindGust); len(c) > 0 {
			return c[0].Level
		}
		return ""
	}
	ladder := Job{Ladder: true}
	assert.Empty(t, level(8.9, ladder))
	assert.Equal(t, LevelCaution, level(9, ladder))
	assert.Equal(t, LevelWarning, level(AccessGustMS, Job{Harness: true}), "common practice: 12 m/s")
	assert.Equal(t, LevelDanger, level(18, ladder))
	assert.Empty(t, level(12.9, Job{}), "from the deck")
	assert.Equal(t, LevelCaution, level(13, Job{}), "OSHA note: 30 mph with material")
	assert.Equal(t, LevelWarning, level(18, Job{}), "OSHA note: 40 mph")
}

func TestCautions_DerivedGust(t *testing.T) {
	in := hours(1, func(_ int, s *Slot) { s.GustMS, s.WindDeckMS = Value{}, Some(8) })
	in.Job.Ladder = true
	gust := only(Cautions(in), KindGust)
	require.Len(t, gust, 1)
	assert.Equal(t, 12.0, gust[0].Value, "1.5 × the wind")
	require.Len(t, only(Cautions(in), KindWind), 1, "8 m/s sustained")
	in.Job.Ladder = false
	assert.Empty(t, only(Cautions(in), KindWind))
}

func TestCautions_Float(t *testing.T) {
	in := hours(2, func(i int, s *Slot) { s.WindDeckMS = Some([]float64{4.8, 5}[i]) })
	assert.Empty(t, only(Cautions(in), KindFloat))
	in.Job.Float = true
	got := only(Cautions(in), KindFloat)
	require.Len(t, got, 1)
	assert.Equal(t, eight.Add(time.Hour), got[0].From, "5 m/s at the deck is Beaufort 4 at 10 m")
}

func TestCautions_MissingIsSaid(t *testing.T) {
	in := Input{Step: time.Hour, Slots: []Slot{{At: eight}, {At: eight.Add(time.Hour)}}}
	in.Job = Job{Ladder: true, Float: true}
	kinds := map[string]bool{}
	for _, c := range Cautions(in) {
		if c.Level == LevelUnknown {
			assert.False(t, c.HasValue)
			assert.Contains(t, c.Text, "Not judged")
			assert.Equal(t, eight.Add(2*time.Hour), c.To, "one run of both hours")
			kinds[c.Kind] = true
		}
	}
	for _, k := range []string{KindWBGT, KindHeatIndex, KindThunder, KindGust, KindWind, KindFloat, KindCold, KindIce, KindUV} {
		assert.True(t, kinds[k], k)
	}
}

// What was not judged is named, with the values that are missing and no others; what
// needs only values that are there is judged.
func TestCautions_OnlyWhatIsMissingIsNamed(t *testing.T) {
	lacks := func(change func(*Slot)) map[string]string {
		out := map[string]string{}
		for _, c := range Cautions(hours(2, func(_ int, s *Slot) { change(s) })) {
			if c.Level == LevelUnknown {
				out[c.Kind] = c.Text
			}
		}
		return out
	}
	assert.Equal(t, map[string]string{
		KindWBGT:      "Not judged, heat in the sun: the forecast lacks humidity. Judge it on the spot.",
		KindHeatIndex: "Not judged, heat in the shade: the forecast lacks humidity. Judge it on the spot.",
	}, lacks(func(s *Slot) { s.HumidityPct = Value{} }), "frost, wind and the sun's burn need no humidity")
	assert.Equal(t, map[string]string{
		KindWBGT: "Not judged, heat in the sun: the forecast lacks wind and sunlight and cloud. Judge it on the spot.",
	}, lacks(func(s *Slot) { s.SunlightWM2, s.WindDeckMS, s.GustMS = Value{}, Value{}, Some(4) }))
	assert.Equal(t, "Not judged, thunder: the forecast lacks any word of thunder. Judge it on the spot.",
		lacks(func(s *Slot) { s.ThunderKnown = false })[KindThunder])
}

// Hours that the forecast does not reach are told by that, apart from those in which
// it lacks a value.
func TestCautions_BeforeTheForecastBegins(t *testing.T) {
	got := only(Cautions(hours(3, func(i int, s *Slot) {
		s.UVIndex = Value{}
		if i == 0 {
			s.Unseen = "the forecast begins Mon 7 Sep 09:00"
		}
	})), KindUV)
	require.Len(t, got, 2)
	assert.Equal(t, "Not judged, ultraviolet: the forecast begins Mon 7 Sep 09:00. Judge it on the spot.", got[0].Text)
	assert.Equal(t, Unjudged{Hazard: "ultraviolet", Why: "the forecast begins Mon 7 Sep 09:00"}, got[0].Unjudged)
	assert.Equal(t, Unjudged{Hazard: "ultraviolet", Why: "the forecast lacks the UV index", Lacks: "the UV index"}, got[1].Unjudged)
	assert.Equal(t, eight.Add(time.Hour), got[0].To)
	assert.Equal(t, "Not judged, ultraviolet: the forecast lacks the UV index. Judge it on the spot.", got[1].Text)
	assert.Equal(t, eight.Add(3*time.Hour), got[1].To)
}

func TestCautions_OfTheJob(t *testing.T) {
	in := hours(2, nil)
	in.Job = Job{Machine: true, Wash: true, Soap: true, Ladder: true, Float: true, Afloat: true,
		Alone: true, Enclosed: true, Salt: true, WaterC: Some(12), Products: []Product{
			{Name: "topcoat", Cautions: []string{"isocyanate", "solvent"}},
			{Name: "cleaner", Cautions: []string{"Acid: never on bare aluminium", "alkali"}},
			{Name: "oil", Cautions: []string{"oily-rags", "epoxy", "dust"}},
		}}
	got := Cautions(in)
	for _, k := range []string{KindColdWater, KindOverWater, KindHeight, KindElectricity,
		KindCarbonMonoxide, KindEnclosed, KindIsocyanate, KindSolvent, KindAcid, KindAlkali,
		KindSensitiser, KindOilyRags, KindDust, KindVibration, KindSlips, KindSalt, KindRunOff, KindProduct} {
		found := only(got, k)
		require.NotEmpty(t, found, k)
		assert.Equal(t, eight, found[0].From, k)
		assert.Equal(t, eight.Add(2*time.Hour), found[0].To, k)
	}
	assert.Equal(t, 12.0, only(got, KindColdWater)[0].Value)
	assert.Equal(t, LevelWarning, only(got, KindEnclosed)[0].Level, "vapour under a canopy with sides")
	words := only(got, KindProduct)
	require.Len(t, words, 1, "only the sentence is passed on")
	assert.Equal(t, "cleaner: Acid: never on bare aluminium", words[0].Text)
}

func TestCautions_OfNoHazard(t *testing.T) {
	in := hours(1, nil)
	in.Job = Job{Products: []Product{{Name: "wax", Cautions: []string{"keep off warm glass", "", "keep off warm glass"}}}}
	got := Cautions(in)
	require.Len(t, got, 1, "said once")
	assert.Equal(t, KindProduct, got[0].Kind)
	assert.Equal(t, "wax: keep off warm glass", got[0].Text)
	in.Job = Job{Afloat: true, WaterC: Some(15)}
	assert.Empty(t, only(Cautions(in), KindColdWater), "15 °C is not below 15 °C")
	in.Job = Job{WaterC: Some(4)}
	assert.Empty(t, only(Cautions(in), KindColdWater), "ashore")
	in.Job = Job{Products: []Product{{Cautions: []string{"placid"}}}}
	assert.Empty(t, only(Cautions(in), KindAcid), "a word, not a part of one")
}

var kindOrder = []string{KindWBGT, KindHeatIndex, KindThunder, KindGust, KindWind, KindFloat, KindCold,
	KindIce, KindUV, KindColdWater, KindOverWater, KindHeight, KindElectricity, KindCarbonMonoxide,
	KindEnclosed, KindIsocyanate, KindSolvent, KindAcid, KindAlkali, KindSensitiser, KindOilyRags,
	KindDust, KindVibration, KindSlips, KindSalt, KindRunOff, KindProduct}

func anyValue(t *rapid.T, lo, hi float64, name string) Value {
	if !rapid.Bool().Draw(t, name+" known") {
		return Value{}
	}
	return Some(rapid.Float64Range(lo, hi).Draw(t, name))
}

func anyWork(t *rapid.T) Input {
	in := Input{Step: time.Duration(rapid.SampledFrom([]int{10, 60}).Draw(t, "step")) * time.Minute}
	at := eight
	for range rapid.IntRange(1, 12).Draw(t, "slots") {
		at = at.Add(in.Step * time.Duration(rapid.IntRange(1, 2).Draw(t, "gap")))
		in.Slots = append(in.Slots, Slot{At: at,
			AirC: anyValue(t, -40, 50, "air"), HumidityPct: anyValue(t, 0, 100, "rh"),
			PressureHPa: anyValue(t, 900, 1050, "p"), WindDeckMS: anyValue(t, 0, 30, "wind"),
			GustMS: anyValue(t, 0, 45, "gust"), SunlightWM2: anyValue(t, 0, 1200, "sun"),
			CosZenith: anyValue(t, -1, 1, "cosz"), DirectFraction: anyValue(t, 0, 1, "share"),
			UVIndex: anyValue(t, 0, 14, "uv"), Thunder: rapid.Bool().Draw(t, "thunder"),
			ThunderKnown: rapid.Bool().Draw(t, "thunder known")})
	}
	b := func(name string) bool { return rapid.Bool().Draw(t, name) }
	in.Job = Job{Machine: b("machine"), Mains: b("mains"), Wash: b("wash"), Soap: b("soap"),
		Ladder: b("ladder"), Harness: b("harness"), Float: b("float"), Afloat: b("afloat"),
		Alone: b("alone"), Enclosed: b("enclosed"), Salt: b("salt"), WaterC: anyValue(t, 0, 30, "water"),
		Products: []Product{{Name: "p", Cautions: rapid.SliceOfN(rapid.SampledFrom([]string{
			"acid", "solvent", "isocyanate", "epoxy resin", "rags", "keep dry"}), 0, 4).Draw(t, "cautions")}}}
	return in
}

// Whatever comes in: the order of kinds and times, no overlap within a weather
// hazard, no adjoining pair left unmerged, the deferral on every text of ours,
// and the same answer twice.
func TestCautions_Properties(t *testing.T) {
	rank := map[string]int{}
	for i, k := range kindOrder {
		rank[k] = i
	}
	rapid.Check(t, func(t *rapid.T) {
		in := anyWork(t)
		got := Cautions(in)
		_, err := json.Marshal(got)
		require.NoError(t, err, "no NaN anywhere")
		for i, c := range got {
			require.True(t, c.From.Before(c.To))
			require.NotEmpty(t, c.Text)
			require.NotEmpty(t, c.Source)
			require.Contains(t, []string{LevelNote, LevelCaution, LevelWarning, LevelDanger, LevelUnknown}, c.Level)
			if c.Level != LevelUnknown && c.Kind != KindProduct {
				require.True(t, strings.HasSuffix(c.Text, deferral))
			}
			if i == 0 {
				continue
			}
			p := got[i-1]
			require.LessOrEqual(t, rank[p.Kind], rank[c.Kind])
			if p.Kind == c.Kind && rank[c.Kind] <= rank[KindUV] {
				require.False(t, c.From.Before(p.To))
				require.False(t, c.From.Equal(p.To) && c.Level == p.Level && c.Text == p.Text, "left unmerged")
			}
		}
		require.Equal(t, got, Cautions(in))
	})
}

// Every slot is spoken for: a slot alone gives the level of the run it is in.
func TestCautions_SlotBySlot(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := anyWork(t)
		all := Cautions(in)
		for _, s := range in.Slots {
			one := in
			one.Slots = []Slot{s}
			for _, c := range Cautions(one) {
				held := false
				for _, a := range all {
					held = held || a.Kind == c.Kind && a.Level == c.Level &&
						!a.From.After(c.From) && !a.To.Before(c.To)
				}
				require.True(t, held, "%s %s at %v", c.Kind, c.Level, s.At)
			}
		}
	})
}

// The texts name no number in a unit that screens turn into another, and no two
// levels of a hazard say the same.
func TestWords(t *testing.T) {
	for _, h := range hazards() {
		seen := map[string]bool{}
		for _, level := range []string{LevelCaution, LevelWarning, LevelDanger} {
			text := h.words(level)
			require.NotEmpty(t, text, h.kind)
			for _, unit := range []string{"°", " m/s", " mph", " km/h", " litre", " ml"} {
				assert.NotContains(t, text, unit, h.kind)
			}
			seen[text] = true
		}
		if h.kind == KindWBGT || h.kind == KindHeatIndex || h.kind == KindUV || h.kind == KindCold || h.kind == KindGust {
			assert.Len(t, seen, 3, h.kind)
		}
		assert.NotEmpty(t, h.source, h.kind)
		assert.NotEmpty(t, h.needs, h.kind)
		assert.NotEmpty(t, h.word, h.kind)
	}
}

func TestAtLeast(t *testing.T) {
	for v, want := range map[float64]string{
		0.9: "", 1: LevelCaution, 1.9: LevelCaution, 2: LevelWarning, 2.9: LevelWarning, 3: LevelDanger, 99: LevelDanger} {
		assert.Equal(t, want, atLeast(v, 1, 2, 3), "%v", v)
	}
}

// One hazard of the work at a time: exactly the cautions that it brings.
func TestStanding_OneByOne(t *testing.T) {
	with := func(c string) Job { return Job{Products: []Product{{Name: "p", Cautions: []string{c}}}} }
	rows := []struct {
		name string
		job  Job
		want []string
	}{
		{"hand work ashore", Job{}, nil},
		{"machine", Job{Machine: true}, []string{KindElectricity, KindCarbonMonoxide, KindDust, KindVibration, KindSlips}},
		{"mains", Job{Mains: true}, []string{KindElectricity}},
		{"plain water", Job{Wash: true}, []string{KindSlips, KindRunOff}},
		{"soap", Job{Wash: true, Soap: true}, []string{KindSlips, KindRunOff}},
		{"ladder", Job{Ladder: true}, []string{KindHeight}},
		{"harness", Job{Harness: true}, []string{KindHeight}},
		{"float", Job{Float: true}, []string{KindOverWater, KindOverWater}},
		{"afloat", Job{Afloat: true}, []string{KindOverWater, KindCarbonMonoxide}},
		{"afloat in spring", Job{Afloat: true, WaterC: Some(9)}, []string{KindColdWater, KindOverWater, KindCarbonMonoxide}},
		{"tent", Job{Enclosed: true}, []string{KindCarbonMonoxide, KindEnclosed}},
		{"salt", Job{Salt: true}, []string{KindSalt}},
		{"isocyanate", with("isocyanate"), []string{KindIsocyanate}},
		{"solvent", with("solvent"), []string{KindSolvent, KindRunOff}},
		{"acid", with("acid"), []string{KindAcid, KindRunOff}},
		{"caustic", with("caustic"), []string{KindAlkali, KindRunOff}},
		{"epoxy", with("epoxy"), []string{KindSensitiser}},
		{"oil", with("oil"), []string{KindOilyRags}},
		{"dust", with("toxic-dust"), []string{KindDust}},
		{"slips", with("slippery"), []string{KindSlips}},
		{"a slug of no known hazard", with("stains-teak"), []string{KindProduct}},
		{"a sentence with a hazard", with("no solvent on vinyl"), []string{KindSolvent, KindRunOff, KindProduct}},
	}
	for _, r := range rows {
		var got []string
		for _, c := range standing(r.job) {
			got = append(got, c.Kind)
		}
		assert.Equal(t, r.want, got, r.name)
	}
}

func TestStanding_Levels(t *testing.T) {
	level := func(j Job, kind string) string {
		c := only(standing(j), kind)
		require.NotEmpty(t, c, kind)
		return c[0].Level
	}
	assert.Equal(t, LevelNote, level(Job{Afloat: true}, KindOverWater))
	assert.Equal(t, LevelCaution, level(Job{Afloat: true, Alone: true}, KindOverWater), "nobody to pull you out")
	assert.Equal(t, LevelNote, level(Job{Enclosed: true}, KindEnclosed))
	assert.Equal(t, LevelNote, level(Job{Wash: true}, KindRunOff))
	assert.Equal(t, LevelCaution, level(Job{Wash: true, Soap: true}, KindRunOff))
}

// A caution in the plan of the sun: an hour that was not judged splits a run, and
// is said, for it must not read as part of the hours beside it.
func TestCautions_GapInTheData(t *testing.T) {
	in := hours(3, func(i int, s *Slot) {
		s.UVIndex = Some(9)
		if i == 1 {
			s.UVIndex = Value{}
		}
	})
	got := only(Cautions(in), KindUV)
	require.Len(t, got, 3)
	assert.Equal(t, []string{LevelWarning, LevelUnknown, LevelWarning},
		[]string{got[0].Level, got[1].Level, got[2].Level})
	assert.Contains(t, got[1].Text, "UV index")
}

// A number under a false flag is never read: the answer is the same whatever it is.
func TestCautions_NeverReadsTheAbsent(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := anyWork(t)
		want := Cautions(in)
		junk := func(v *Value) {
			if !v.Known {
				v.V = 1e9
			}
		}
		for i := range in.Slots {
			s := &in.Slots[i]
			for _, v := range []*Value{&s.AirC, &s.HumidityPct, &s.PressureHPa, &s.WindDeckMS,
				&s.GustMS, &s.SunlightWM2, &s.CosZenith, &s.DirectFraction, &s.UVIndex} {
				junk(v)
			}
			if !s.ThunderKnown {
				s.Thunder = true
			}
		}
		junk(&in.Job.WaterC)
		require.Equal(t, want, Cautions(in))
	})
}

// Warmer, damper or sunnier hours never lower the level of heat.
func TestCautions_HeatRises(t *testing.T) {
	rank := map[string]int{"": 0, LevelCaution: 1, LevelWarning: 2, LevelDanger: 3}
	rapid.Check(t, func(t *rapid.T) {
		s := mild(eight)
		s.AirC = Some(rapid.Float64Range(15, 42).Draw(t, "air"))
		s.HumidityPct = Some(rapid.Float64Range(10, 90).Draw(t, "rh"))
		s.SunlightWM2 = Some(rapid.Float64Range(0, 800).Draw(t, "sun"))
		s.DirectFraction = Some(0.6)
		level := func(s Slot) int {
			l, _ := judgeWBGT(Job{}, s)
			return rank[l]
		}
		warmer, damper := s, s
		warmer.AirC.V += 2
		damper.HumidityPct.V += 10
		require.GreaterOrEqual(t, level(warmer), level(s))
		require.GreaterOrEqual(t, level(damper), level(s))
	})
}
