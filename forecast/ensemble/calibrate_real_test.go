package ensemble

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dewgap/forecast"
	"dewgap/forecast/score"
)

// recorded reads a table of forecasts and measurements that lies beside the
// repository, without its head.
func recorded(t *testing.T, name string) [][]string {
	t.Helper()
	path := filepath.Join("..", "..", "..", "shared", "recordings", "verification", name)
	f, err := os.Open(path)
	if os.IsNotExist(err) {
		t.Skip("skipped: the recorded forecasts and measurements are not beside the repository: " + path)
	}
	require.NoError(t, err)
	defer func() { _ = f.Close() }()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	return rows[1:]
}

func num(t *testing.T, s string) float64 {
	v, err := strconv.ParseFloat(strings.TrimSpace(s), 64)
	require.NoError(t, err)
	return v
}

// dated is a case, its day and where it was.
type dated struct {
	Past
	day time.Time
	at  forecast.Place
}

const kelvin = 273.15

// coast are 48-hour forecasts of eight models for 2 m temperature on the US
// Pacific coast, January 2004, and what stations measured, in °C.
func coast(t *testing.T) []dated {
	var out []dated
	for _, r := range recorded(t, "coastal-48h-temperature-8-members-2004.csv") {
		day, err := time.Parse("2006010215", r[9])
		require.NoError(t, err)
		c := dated{Past{Place: strings.TrimSpace(r[10]), Observed: num(t, r[8]) - kelvin}, day,
			forecast.Place{Latitude: num(t, r[11]), Longitude: num(t, r[12])}}
		for _, m := range r[:8] {
			c.Members = append(c.Members, num(t, m)-kelvin)
		}
		out = append(out, c)
	}
	return out
}

// days are the days of a list, each once, in its order.
func days(list []dated) []time.Time {
	var out []time.Time
	for _, c := range list {
		if len(out) == 0 || !out[len(out)-1].Equal(c.day) {
			out = append(out, c.day)
		}
	}
	return out
}

// before are the cases of the days [day − from, day − to].
func before(list []dated, day time.Time, from, to int) []Past {
	var out []Past
	for _, c := range list {
		if ago := int(day.Sub(c.day).Hours() / 24); ago >= to && ago <= from {
			out = append(out, c.Past)
		}
	}
	return out
}

func shareBelow(x []float64, limit float64) float64 {
	var n float64
	for _, v := range x {
		if v < limit {
			n += 1 / float64(len(x))
		}
	}
	return n
}

// thresholds are the temperatures, °C, of which it is asked how sure it is said
// that it will be cooler.
var thresholds = []float64{2.5, 5, 7.5, 10}

// scored adds up how a kind of forecast did.
type scored struct {
	n     int
	sum   float64
	cases []score.Case
}

func (s *scored) add(crps float64, below func(limit float64) float64, y float64) {
	s.n++
	s.sum += crps
	for _, limit := range thresholds {
		s.cases = append(s.cases, score.Case{P: below(limit), Came: y < limit})
	}
}

func (s *scored) addMembers(x []float64, y float64) {
	crps, _ := score.CRPS(y, x)
	s.add(crps, func(limit float64) float64 { return shareBelow(x, limit) }, y)
}

func (s *scored) crps() float64 { return s.sum / float64(s.n) }

func (s *scored) ece() float64 {
	e, _ := score.CalibrationError(s.cases, 10)
	return e
}

// verified are the kinds of forecast that are held against each other.
type verified struct {
	raw, climate, members, normal scored
	ranksRaw, ranksOwn            *score.Ranks
}

// verify scores every case of the later half of the days with a calibration and a
// climate that learn from the past that pastOf gives for the day.
func verify(t *testing.T, list []dated, pastOf func(day time.Time) []Past) *verified {
	v := &verified{ranksRaw: score.NewRanks(8), ranksOwn: score.NewRanks(8)}
	all := days(list)
	for _, day := range all[len(all)/2:] {
		past := pastOf(day)
		c, err := Calibrate(past)
		require.NoError(t, err)
		var measured []float64
		for _, p := range past {
			measured = append(measured, p.Observed)
		}
		for _, x := range list {
			if !x.day.Equal(day) {
				continue
			}
			own := c.Members(x.Place, x.Members)
			mean, sd := c.Normal(x.Place, x.Members)
			v.raw.addMembers(x.Members, x.Observed)
			v.climate.addMembers(measured, x.Observed)
			v.members.addMembers(own, x.Observed)
			v.normal.add(score.CRPSNormal(x.Observed, mean, sd),
				func(limit float64) float64 { return c.Below(x.Place, x.Members, limit) }, x.Observed)
			v.ranksRaw.Add(x.Observed, x.Members)
			v.ranksOwn.Add(x.Observed, own)
		}
	}
	return v
}

func (v *verified) gain(s *scored) float64 { return 1 - s.crps()/v.raw.crps() }

func (v *verified) log(t *testing.T, what string) {
	climate, _ := score.Skill(v.members.crps(), v.climate.crps())
	rawOut, _ := v.ranksRaw.Outside()
	ownOut, _ := v.ranksOwn.Outside()
	t.Logf("%s: %d forecasts; CRPS raw %.3f, climate %.3f, members %.3f, normal %.3f K", what, v.raw.n,
		v.raw.crps(), v.climate.crps(), v.members.crps(), v.normal.crps())
	t.Logf("  gain over raw: members %.1f %%, normal %.1f %%; over climate: raw %.1f %%, members %.1f %%",
		100*v.gain(&v.members), 100*v.gain(&v.normal), 100*(1-v.raw.crps()/v.climate.crps()), 100*climate)
	t.Logf("  calibration error: raw %.3f, members %.3f, normal %.3f; outside all members: raw %.0f %% (fair: 22), calibrated %.0f %% (fair: 12.5)",
		v.raw.ece(), v.members.ece(), v.normal.ece(), 100*rawOut, 100*ownOut)
}

// The calibration learns from the ten days before each day of the later half, and
// is scored on that day. A 48-hour forecast is made two days ahead, when only what
// was measured by then is known: the second run learns from ten days that end there.
func TestCalibrate_OnTheCoast(t *testing.T) {
	t.Parallel()
	list := coast(t)
	for what, ends := range map[string]int{"ten days before the day": 1, "ten days before the forecast was made": 2} {
		v := verify(t, list, func(day time.Time) []Past { return before(list, day, 9+ends, ends) })
		v.log(t, what)
		assert.GreaterOrEqual(t, v.gain(&v.members), 0.15, what)
		assert.GreaterOrEqual(t, v.gain(&v.normal), 0.15, what)
		assert.LessOrEqual(t, v.normal.ece(), 0.05, what)
		assert.LessOrEqual(t, v.members.ece(), 0.05, what)
		assert.Less(t, v.members.crps(), v.climate.crps(), what)
		assert.Greater(t, v.raw.ece(), 0.05, "there was something to gain")
	}
}

// One fit on the first half, for all of the second, gains less than half of that:
// the weather of a fortnight has its own errors.
func TestCalibrate_OnTheCoastOnce(t *testing.T) {
	t.Parallel()
	list := coast(t)
	all := days(list)
	first := all[len(all)/2]
	v := verify(t, list, func(time.Time) []Past { return before(list, first, 99, 1) })
	v.log(t, "fitted once, on the first half")
	assert.Greater(t, v.gain(&v.members), 0.0)
	assert.Less(t, v.gain(&v.members), 0.15)
}

// TestDress_OnTheCoast asks whether the futures that a single forecast is dressed
// into hold in as many cases as they say, with each of eight models as the single
// forecast of a service, as it comes. Errors.Place was chosen on half of this, GFS at
// every other station on every other day; all that is asserted is of the rest.
func TestDress_OnTheCoast(t *testing.T) {
	t.Parallel()
	list := coast(t)
	all := days(list)
	asked := []float64{0.5, 0.8, 0.95}
	type held struct {
		n      int
		inside [3]int
	}
	add := func(h *held, futures []float64, y float64) {
		h.n++
		for k, share := range asked {
			if lo, hi, _ := score.Between(futures, share); lo <= y && y <= hi {
				h.inside[k]++
			}
		}
	}
	share := func(h held, k int) float64 { return float64(h.inside[k]) / float64(h.n) }
	names := []string{"CMCG", "ETA", "GASP", "GFS", "JMA", "NGPS", "TCWB", "UKMO"}
	var chosen, apart, early, late, others held
	var models [8]held
	for _, x := range list {
		day := slices.IndexFunc(all, x.day.Equal)
		for m := range x.Members {
			futures := dressedAt(x, x.Members[m])
			own := m == 3 && day%2 == 0 && evenName(x.Place)
			switch {
			case own:
				add(&chosen, futures, x.Observed)
			case m == 3 && day%2 != 0 && !evenName(x.Place):
				add(&apart, futures, x.Observed)
			}
			if !own {
				add(&models[m], futures, x.Observed)
			}
			if m != 3 {
				add(&others, futures, x.Observed)
			}
			if h := &early; m == 3 {
				if day >= len(all)/2 {
					h = &late
				}
				add(h, futures, x.Observed)
			}
		}
	}
	say := func(what string, h held) {
		t.Logf("%s: of %d forecasts 50 / 80 / 95 %% held %.1f / %.1f / %.1f %%", what, h.n, 100*share(h, 0), 100*share(h, 1), 100*share(h, 2))
	}
	say("GFS, where the figure was chosen", chosen)
	say("GFS, other stations on other days", apart)
	say("the seven other models", others)
	say("GFS, first half of the month (a cold spell)", early)
	say("GFS, second half", late)
	for m, h := range models {
		say(names[m]+" without what was chosen on", h)
		assert.InDelta(t, 0.8, share(h, 1), 0.05, names[m])
	}
	assert.InDelta(t, 0.8, share(apart, 1), 0.05)
	assert.InDelta(t, 0.8, share(others, 1), 0.05)
	assert.InDelta(t, 0.95, share(others, 2), 0.025, "the tails")
	assert.Greater(t, share(late, 1), share(early, 1), "one spread for all weathers is too narrow in some and too wide in others")
}

// evenName parts the stations in two, whatever their order.
func evenName(station string) bool {
	sum := 0
	for _, r := range station {
		sum += int(r)
	}
	return sum%2 == 0
}

// dressedAt are the futures, in °C, of a 48-hour forecast of one temperature.
func dressedAt(x dated, value float64) []float64 {
	f := singleAt(x, value)
	return at48(Dress(f, 30, f.Issued, Options{}))
}

// Rain or not in three days, eleven members of a re-forecast and one gauge, seven
// winters and summers: fitted on the first half, scored on the second.
func TestCalibrateRain_OnTheGauge(t *testing.T) {
	var all []RainPast
	for _, r := range recorded(t, "rain-3day-11-members-2000-2006.csv") {
		c := RainPast{Rained: num(t, r[1]) >= wetMM}
		for _, m := range r[2:] {
			c.Members = append(c.Members, num(t, m))
		}
		all = append(all, c)
	}
	first, second := all[:len(all)/2], all[len(all)/2:]
	c, err := CalibrateRain(first)
	require.NoError(t, err)
	wet := 0.0
	for _, x := range first {
		if x.Rained {
			wet += 1 / float64(len(first))
		}
	}
	kinds := make([][]score.Case, 3)
	for _, x := range second {
		p, ok := c.Probability(x.Members)
		require.True(t, ok)
		for k, p := range []float64{1 - shareBelow(x.Members, wetMM), p, wet} {
			kinds[k] = append(kinds[k], score.Case{P: p, Came: x.Rained})
		}
	}
	var ece, brier []float64
	for k, name := range []string{"raw", "calibrated", "climate"} {
		e, _ := score.CalibrationError(kinds[k], 10)
		p, _ := score.Decompose(kinds[k], 10)
		t.Logf("rain, %s: %d forecasts, calibration error %.3f, Brier %.3f (reliability %.3f, resolution %.3f, uncertainty %.3f)",
			name, len(second), e, p.Brier, p.Reliability, p.Resolution, p.Uncertainty)
		ece, brier = append(ece, e), append(brier, p.Brier)
	}
	assert.LessOrEqual(t, ece[1], 0.05)
	assert.Greater(t, ece[0], 0.05, "there was something to gain")
	assert.Less(t, brier[1], brier[0])
	assert.Less(t, brier[1], brier[2], "it tells more than how often it rains")
}

// TestLearned_OnTheCoast asks whether what a place has taught of its forecasts makes
// their futures better there: GFS at each station on each day of the later half, with
// what all of its own days up to when that forecast was made have taught.
func TestLearned_OnTheCoast(t *testing.T) {
	t.Parallel()
	list := coast(t)
	all := days(list)
	const model = 3 // GFS
	taught := map[string][]Miss{}
	var plain, learned, factors float64
	var n, used int
	var inside [2]int
	for _, x := range list { // by day
		made := x.day.Add(-48 * time.Hour)
		f := singleAt(x, x.Members[model])
		if slices.IndexFunc(all, x.day.Equal) >= len(all)/2 {
			l := Learn(taught[x.Place], made)
			dressed := Dress(f, 30, made, Options{})
			_, out := l.Correct(f, dressed, made)
			n++
			if factor := l.Spreads[AirError].Factor(); factor != 1 {
				used++
				factors += factor
			}
			for k, futures := range [][]forecast.Member{dressed, out} {
				values := at48(futures)
				if lo, hi, _ := score.Between(values, 0.8); lo <= x.Observed && x.Observed <= hi {
					inside[k]++
				}
				crps, _ := score.CRPS(x.Observed, values)
				if k == 0 {
					plain += crps
				} else {
					learned += crps
				}
			}
		}
		taught[x.Place] = append(taught[x.Place], Misses(f, []Observed{{At: x.day, AirC: x.Observed, HasAir: true}})...)
	}
	plain, learned = plain/float64(n), learned/float64(n)
	t.Logf("%d forecasts: CRPS dressed %.3f, with what was learned %.3f K (%.1f %% less); 80 %% held %.1f, learned %.1f %%; a spread was used in %d, %.2f times as far apart",
		n, plain, learned, 100*(1-learned/plain), 100*float64(inside[0])/float64(n), 100*float64(inside[1])/float64(n), used, factors/float64(max(used, 1)))
	assert.Less(t, learned, plain)
	assert.Positive(t, used)
}

// singleAt is the hour of a 48-hour forecast, its temperature and a cloudy sky.
func singleAt(x dated, value float64) *forecast.Forecast {
	f := &forecast.Forecast{Place: x.at, Issued: x.day.Add(-48 * time.Hour), Start: x.day, Step: time.Hour, N: 1, Members: make([]forecast.Member, 1)}
	for q, v := range map[forecast.Quantity]float64{forecast.AirTemperature: value, forecast.CloudCover: 100} {
		column := forecast.NewColumn(f.N)
		for i := range f.N {
			column.Set(i, v)
		}
		f.Members[0].Columns[q] = column
	}
	return f
}

func at48(futures []forecast.Member) (out []float64) {
	for _, m := range futures {
		out = append(out, m.Columns[forecast.AirTemperature].Values[0])
	}
	return out
}
