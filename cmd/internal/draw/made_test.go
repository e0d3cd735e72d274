package draw

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// made draws a week as the program could give it: any place and season, one hour to
// sixteen days, one zone to twenty, the coldest and the hottest that people work near
// (−40 and 55 °C), calm and hurricane (70 m/s), values that are missing here and there.
// Windows and refusals of a row follow one another without a gap, as slots do.
type made struct {
	*answer.Week
	rt *rapid.T
}

func madeWeek(t testing.TB, rt *rapid.T) *answer.Week {
	c := rapid.SampledFrom(changes).Draw(rt, "change")
	n := rapid.SampledFrom([]int{1, 5, 24, 49, 97, 16 * 24}).Draw(rt, "hours")
	w := invented(t, c.zone, c.day, 24)
	m := made{w, rt}
	w.To = w.From.Add(time.Duration(n) * time.Hour)
	w.Now = w.From.Add(time.Duration(rapid.IntRange(0, 60).Draw(rt, "now")) * time.Minute)
	w.Place.Latitude = rapid.Float64Range(-70, 70).Draw(rt, "latitude")
	w.Place.Longitude = rapid.Float64Range(-180, 180).Draw(rt, "longitude")
	w.Zones, w.Windows, w.Refusals, w.Plan, w.Headline = nil, nil, nil, nil, nil
	for i := range rapid.SampledFrom([]int{1, 2, 6, 7, 20}).Draw(rt, "zones") {
		w.Zones = append(w.Zones, m.zone(i, n))
	}
	w.Scene = sceneOf(w.From.Truncate(time.Hour), n+1)
	w.Scene.Berths[0].BowDeg = rapid.Float64Range(0, 360).Draw(rt, "bow")
	for i := range w.Scene.Wind {
		w.Scene.Wind[i].FromDeg = m.maybe(rapid.Float64Range(0, 360), "wind from")
	}
	for i := range w.Scene.Classes {
		w.Scene.Classes[i].Zones = namesOf(w.Zones)
	}
	for _, step := range []string{"wash", "seal"} {
		for _, z := range w.Zones {
			m.slots(step, z.Name)
		}
	}
	m.plan()
	return w
}

func namesOf(zones []answer.Zone) []string {
	var out []string
	for _, z := range zones {
		out = append(out, z.Name)
	}
	return out
}

// maybe is a value, and in one of eight nothing.
func (m made) maybe(g *rapid.Generator[float64], name string) *float64 {
	if rapid.IntRange(0, 7).Draw(m.rt, name+"?") == 0 {
		return nil
	}
	v := g.Draw(m.rt, name)
	return &v
}

var zoneNames = []string{
	"port side", "starboard side", "transom", "foredeck", "helm", "cockpit sole", "swim platform", "port side deck", "superstructure front",
}

func (m made) zone(i, n int) answer.Zone {
	z := answer.Zone{Name: zoneNames[i%len(zoneNames)], Tilt: rapid.SampledFrom([]float64{0, 35, 80, 90}).Draw(m.rt, "tilt")}
	if i >= len(zoneNames) {
		z.Name += " " + strconv.Itoa(i)
	}
	if z.Tilt >= levelTilt {
		z.Faces = ptr(rapid.Float64Range(0, 359).Draw(m.rt, "faces"))
	}
	// One draw for a zone and a few for gaps keep sixteen days of twenty zones quick.
	mean := rapid.SampledFrom([]float64{-40, -3, 12, 30, 55}).Draw(m.rt, "mean")
	swing := rapid.SampledFrom([]float64{0, 0.4, 15}).Draw(m.rt, "swing")
	wind := rapid.SampledFrom([]float64{0, 3, 70}).Draw(m.rt, "wind")
	rain := rapid.SampledFrom([]float64{0, 0.2, 3, 60}).Draw(m.rt, "rain")
	gap := rapid.IntRange(0, 30).Draw(m.rt, "gap")
	first := m.From.Truncate(time.Hour)
	for k := range n + 1 {
		h := answer.Hour{At: first.Add(time.Duration(k) * time.Hour).In(m.From.Location())}
		if gap == 0 || k%(gap+3) != gap {
			v := mean + swing*math.Sin(float64(k)*math.Pi/12)
			h.SurfaceC, h.AirC, h.DewPointC, h.SpreadK = &v, ptr(v-2), ptr(mean-swing-1), ptr(v-mean+swing+1)
			h.WindMS, h.GustMS, h.SunlightWM2, h.FilmGM2 = &wind, ptr(1.5*wind), ptr(max(0, 900*math.Sin(float64(k)*math.Pi/12))), ptr(float64(k%5)*10)
		}
		if gap != 7 {
			h.RainMM = ptr(rain * float64(k%3) / 2)
		}
		z.Hours = append(z.Hours, h)
	}
	return z
}

// slots give a row stretches of states from the beginning to the end.
func (m made) slots(step, zone string) {
	product := map[string]string{"wash": "soap-wash", "seal": "polymer-sealant"}[step]
	for at := m.From; at.Before(m.To); {
		to := at.Add(time.Duration(rapid.IntRange(1, 200).Draw(m.rt, "slots")) * 10 * time.Minute)
		if to.After(m.To) {
			to = m.To
		}
		state := rapid.SampledFrom([]string{"ideal", "go", "marginal", "no-go", "unknown", "closed"}).Draw(m.rt, "state")
		b := answer.Binding{Limit: "surface_max", Text: "panel 24 °C, ideal up to 27 °C"}
		switch state {
		case "ideal", "go", "marginal":
			m.Windows = append(m.Windows, answer.Window{Step: step, Do: step, Product: product, Zone: zone, From: at, To: to, State: state,
				Confidence: rapid.Float64Range(0, 1).Draw(m.rt, "sure"), Binding: b, RainFreeH: ptr(4), DewFreeH: ptr(6)})
		case "closed":
			b.Limit, state = "hours", "no-go"
			fallthrough
		default:
			m.Refusals = append(m.Refusals, answer.Refusal{Step: step, Do: step, Product: product, Zone: zone, From: at, To: to, State: state, Binding: b})
		}
		at = to
	}
}

// plan books a few blocks into windows, and tells the best.
func (m made) plan() {
	if len(m.Windows) == 0 {
		return
	}
	m.Headline = &answer.Headline{Step: "seal", Best: m.Windows[:1]}
	m.Plan = &answer.Plan{State: "go", Confidence: rapid.Float64Range(0, 1).Draw(m.rt, "plan"), Ends: &m.Windows[0].To}
	for i := range rapid.IntRange(0, 3).Draw(m.rt, "blocks") {
		x := m.Windows[i*7%len(m.Windows)]
		m.Plan.Blocks = append(m.Plan.Blocks, answer.PlanBlock{From: x.From, To: x.To, Step: x.Step, Product: x.Product, Zone: x.Zone, State: x.State})
	}
}

// madeOptions are any that a page or a person gives.
func madeOptions(rt *rapid.T) Options {
	return Options{
		Width: rapid.SampledFrom([]int{0, 320, 412, 560, 800, 1280, 1920}).Draw(rt, "width"), Bare: rapid.Bool().Draw(rt, "bare"),
		Units: rapid.SampledFrom([]string{"metric", "us"}).Draw(rt, "units"),
	}
}

// cornersOf are the corners of a path of any kind that the package writes, in the
// places that they have on the sheet.
func cornersOf(t require.TestingT, d string) []vec {
	var out []vec
	var at, first vec
	rest := d
	figure := func() float64 {
		rest = strings.TrimLeft(rest, " ")
		n := 0
		for n < len(rest) && strings.ContainsRune("-.0123456789", rune(rest[n])) {
			n++
		}
		v := number(t, rest[:n])
		require.NotZero(t, n, d)
		rest = rest[n:]
		return v
	}
	for rest != "" {
		op := rest[0]
		rest = rest[1:]
		switch op {
		case 'M', 'L':
			x := figure()
			at = vec{x, figure()}
			if op == 'M' {
				first = at
			}
		case 'h':
			at.x += figure()
		case 'v':
			at.y += figure()
		case 'z', 'Z':
			at = first
		default:
			require.Fail(t, "what is "+string(op)+" in a path?", d)
		}
		out = append(out, at)
	}
	return out
}

// inked is where the letters of a label are: figures do not reach under their line, and
// half a pixel is less than the widths of letters are reckoned too wide.
func (l label) inked() box {
	const spare = 0.5
	b := box{l.left + spare, l.top + spare, l.right - spare, l.bottom - spare}
	if strings.Trim(l.words, "−0123456789°") == "" {
		b.bottom -= (l.bottom - l.top) * 0.2 / 0.94
	}
	return b
}

// onSheet checks that each mark, of whatever kind, is within the picture.
func onSheet(t require.TestingT, all []*element) {
	wide, high := number(t, all[0].attrs["width"]), number(t, all[0].attrs["height"])
	require.Equal(t, fmt.Sprintf("0 0 %s %s", all[0].attrs["width"], all[0].attrs["height"]), all[0].attrs["viewBox"])
	within := func(e *element, x, y float64) {
		require.True(t, insideOf(x, wide) && insideOf(y, high), "%s %s at %g, %g of %g × %g: %q", e.name, e.attrs["class"], x, y, wide, high, e.text)
	}
	for _, e := range all {
		switch e.name {
		case "rect":
			x, y := number(t, e.attrs["x"]), number(t, e.attrs["y"])
			within(e, x, y)
			within(e, x+number(t, e.attrs["width"]), y+number(t, e.attrs["height"]))
		case "circle":
			x, y, r := number(t, e.attrs["cx"]), number(t, e.attrs["cy"]), number(t, e.attrs["r"])
			require.Positive(t, r)
			within(e, x-r, y-r)
			within(e, x+r, y+r)
		case "path":
			for _, p := range cornersOf(t, e.attrs["d"]) {
				within(e, p.x, p.y)
			}
		}
	}
	for _, l := range labelsOf(t, all) {
		require.True(t, insideOf(l.left, wide) && insideOf(l.right, wide) && insideOf(l.bottom, high) && l.top > -1, "%q %v of %g × %g", l.words, l.box, wide, high)
	}
}
