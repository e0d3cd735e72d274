package draw

import (
	"math"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// fleet are zones as the presets name them.
func fleet(bow float64) []answer.Zone {
	z := func(name string, tilt, faces float64) answer.Zone {
		out := answer.Zone{Name: name, Tilt: tilt, AreaM2: ptr(4)}
		if tilt >= levelTilt {
			out.Faces = ptr(math.Mod(faces+bow, 360))
		}
		return out
	}
	return []answer.Zone{
		z("port side", 90, 270), z("starboard side", 90, 90), z("transom", 90, 180), z("swim platform", 0, 0), z("foredeck", 0, 0),
		z("port side deck", 0, 0), z("starboard side deck", 0, 0), z("port superstructure side", 80, 270),
		z("starboard superstructure side", 80, 90), z("superstructure front", 35, 0), z("cockpit sole", 0, 0), z("helm", 0, 0), z("rails", 0, 0),
	}
}

func middleOf(p boatPlan, zone int) (vec, bool) {
	for _, c := range p.cells {
		if c.zone == zone {
			return centroid(c.poly), true
		}
	}
	return vec{}, false
}

// Wherever the bow points, each zone has its place on the plan, and only rails
// have none.
func TestPlanPlacesZones(t *testing.T) {
	for _, bow := range []float64{0, 20, 200, 359} {
		zones := fleet(bow)
		p := planOf(zones, bow, true, 16)
		require.Len(t, p.cells, len(zones)-1)
		assert.Equal(t, []int{12}, p.loose)
		at := map[string]vec{}
		for i, z := range zones[:12] {
			m, ok := middleOf(p, i)
			require.True(t, ok, z.Name)
			at[z.Name] = m
		}
		for _, pair := range []string{"side", "side deck", "superstructure side"} {
			port, starboard := at["port "+pair], at["starboard "+pair]
			assert.Negative(t, port.x, pair)
			assert.InDelta(t, -port.x, starboard.x, 1e-9, pair)
			assert.InDelta(t, port.y, starboard.y, 1e-9, pair)
		}
		assert.Less(t, at["port side"].x, at["port side deck"].x)
		assert.Less(t, at["port side deck"].x, at["port superstructure side"].x)
		order := []string{"foredeck", "superstructure front", "helm", "cockpit sole", "transom", "swim platform"}
		for i := 1; i < len(order); i++ {
			assert.Less(t, at[order[i-1]].y, at[order[i]].y, order[i])
			assert.InDelta(t, 0, at[order[i]].x, 1e-6, order[i])
		}
	}
}

// Whatever zones a boat has, the plan lies in the unit circle, each zone stands in
// it once or is loose, and no cell is without room.
func TestPlanLaws(t *testing.T) {
	names := []string{"port side", "starboard deck", "foredeck", "x", "rails", "swim platform", "port window mask", "transom", "helm", "aft deck", ""}
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.IntRange(0, 40).Draw(rt, "n")
		zones := make([]answer.Zone, n)
		for i := range zones {
			zones[i] = answer.Zone{Name: rapid.SampledFrom(names).Draw(rt, "name"), Tilt: rapid.Float64Range(0, 180).Draw(rt, "tilt")}
			if rapid.Bool().Draw(rt, "faces") {
				zones[i].Faces = ptr(rapid.Float64Range(-720, 720).Draw(rt, "bearing"))
			}
			if rapid.Bool().Draw(rt, "area") {
				zones[i].AreaM2 = ptr(rapid.Float64Range(0, 100).Draw(rt, "m2"))
			}
		}
		p := planOf(zones, rapid.Float64Range(0, 360).Draw(rt, "bow"), rapid.Bool().Draw(rt, "known"), 6)
		seen := map[int]int{}
		for _, z := range p.loose {
			seen[z]++
		}
		for _, c := range p.cells {
			seen[c.zone]++
			for _, v := range c.poly {
				assert.LessOrEqual(rt, math.Hypot(v.x, v.y), 1+1e-9)
			}
		}
		for i := range zones {
			assert.Equal(rt, 1, seen[i], "zone %d", i)
		}
	})
}

// With the bow north the plan is upright, with the bow east it lies to the right.
func TestSightTurns(t *testing.T) {
	v := sight{x: 100, y: 100, r: 50}
	for turn, want := range map[float64]vec{0: {100, 50}, 90: {150, 100}, 180: {100, 150}, 270: {50, 100}} {
		v.turn = turn
		got := v.at(vec{0, -1}) // the bow
		assert.InDelta(t, want.x, got.x, 1e-9)
		assert.InDelta(t, want.y, got.y, 1e-9)
		along := v.toward(turn, 50)
		assert.InDelta(t, want.x, along.x, 1e-9, "a bearing and the bow that points there agree")
		assert.InDelta(t, want.y, along.y, 1e-9)
	}
}

// A boat that is turned in her berth is drawn turned, and her sides look elsewhere.
func TestTurnedBoat(t *testing.T) {
	w := invented(t, "America/New_York", "2026-09-10", 48)
	later := w.From.Add(24 * time.Hour)
	w.Scene.Berths = append(w.Scene.Berths, answer.Berth{From: &later, BowDeg: 20})
	before, after := BoatAndSun(w, w.From.Add(6*time.Hour), Options{}), BoatAndSun(w, later.Add(6*time.Hour), Options{})
	assert.Contains(t, before.Description, "Bow to 200° S")
	assert.Contains(t, after.Description, "Bow to 20° N")
	assert.Equal(t, "110° E", before.Table.Rows[0][1])
	assert.Equal(t, "290° W", after.Table.Rows[0][1])
	assert.Equal(t, "up", after.Table.Rows[3][1])
}

func TestTone(t *testing.T) {
	for c, want := range map[float64]int{-30: 0, 4.9: 0, 5: 1, 14.9: 2, 20: 4, 39.9: 7, 40: 8, 90: 8} {
		assert.Equal(t, want, tone(c), "%g", c)
	}
}

// Every zone that has a place shows its temperature in figures, on a telephone too.
func TestFiguresInZones(t *testing.T) {
	w := invented(t, "America/New_York", "2026-09-10", 48)
	for _, wide := range []int{320, 360, 720, 1280} {
		n := 0
		for _, e := range parse(t, BoatAndSun(w, w.From.Add(7*time.Hour), Options{Width: wide}).SVG) {
			class := e.attrs["class"]
			if e.name == "text" && (strings.HasPrefix(class, "i") || strings.Contains(class, " i")) && strings.ContainsAny(e.text, "0123456789") {
				n++
			}
			if e.name == "tspan" && e.attrs["class"] == "b" {
				n++
			}
		}
		assert.Equal(t, len(w.Zones), n, "%d", wide)
	}
}

// Without a bow the faces stand by the compass; without wind that is said.
func TestUnknownBow(t *testing.T) {
	w := invented(t, "America/New_York", "2026-09-10", 48)
	w.Scene = nil
	p := BoatAndSun(w, w.From.Add(6*time.Hour), Options{})
	assert.Contains(t, p.Description, "Bow not known")
	assert.Contains(t, p.Description, "direction not known")
	c := compassPlan(w.Zones)
	north, _ := middleOf(c, 2) // looks to 20°
	assert.Less(t, north.y, -0.5)
}

func TestLetters(t *testing.T) {
	for i, want := range map[int]string{0: "a", 25: "z", 26: "aa", 51: "az", 52: "ba"} {
		assert.Equal(t, want, letters(i))
	}
}

// The hours of the table are those of the picture: twelve, and the large one.
func TestBoatTable(t *testing.T) {
	w := invented(t, "America/New_York", "2026-10-31", 48)
	for _, at := range []time.Time{w.From.Add(6 * time.Hour), w.From.Add(26 * time.Hour)} {
		table := BoatAndSun(w, at, Options{}).Table
		assert.Len(t, table.Head, 3+smallHours)
		require.Len(t, table.Rows, len(w.Zones)+2)
		h := hourAt(&w.Zones[0], at)
		assert.Equal(t, fixed(*h.SurfaceC, 1)+" °C", table.Rows[0][2])
		assert.Equal(t, "Sun", table.Rows[4][0])
		assert.Contains(t, table.Rows[5][2], "230° SW")
	}
}

// What the small boats show is said whole at a phone's width too.
func TestSmallBoatsAreExplained(t *testing.T) {
	w := invented(t, "America/New_York", "2026-09-10", 48)
	for _, width := range []int{320, 360, 390} {
		svg := string(BoatAndSun(w, w.From.Add(12*time.Hour), Options{Width: width}).SVG)
		assert.Contains(t, svg, "Every other hour of the day;", "%d", width)
		assert.NotContains(t, svg, "<title>Every other", "%d: it is cut", width)
	}
}
