package cli

import (
	"encoding/json"
	"flag"
	"fmt"
	"html"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// update writes the picture and the outputs of the README anew, in place of
// checking them: go test ./cmd/internal/cli -run README -update
var update = flag.Bool("update", false, "write the README's picture and outputs anew")

const (
	readmeNow   = "2026-09-08T06:00:00-04:00" // the moment that the README answers for
	pictureDay  = "2026-09-12"                // the day of the demo that is drawn
	pictureFile = "../../../testdata/readme/day.svg"
)

// The picture in the README is drawn from what the demo answers today.
func TestREADMEPicture(t *testing.T) {
	svg := drawDay(demoWeek(t), pictureDay)
	if *update {
		require.NoError(t, os.MkdirAll(filepath.Dir(pictureFile), 0o755))
		require.NoError(t, os.WriteFile(pictureFile, []byte(svg), 0o644))
	}
	want, err := os.ReadFile(pictureFile)
	require.NoError(t, err)
	assert.Equal(t, string(want), svg, "the demo answers otherwise than the picture shows; run with -update and look at it")
}

// Nothing is told by colour alone: every bar wide enough has its word, every line
// its name, and both schemes of a page have their colours.
func TestREADMEPictureIsLegible(t *testing.T) {
	svg := drawDay(demoWeek(t), pictureDay)
	for _, word := range []string{">go<", ">marginal: sun on the panel<", ">wet<", ">port side", ">starboard side", ">foredeck", ">transom", ">dew point<", "prefers-color-scheme: dark", "<title"} {
		assert.Contains(t, svg, word)
	}
	assert.NotContains(t, svg, "NaN")
}

func demoWeek(t *testing.T) answer.Week {
	t.Helper()
	r := newRun(t)
	require.Equal(t, 0, r.do("week", "--demo", "--now", readmeNow, "--json").code, r.err.String())
	var w answer.Week
	require.NoError(t, json.Unmarshal(r.out.Bytes(), &w))
	return w
}

// The sheet: hours run to the right, degrees upwards, a row for each zone below.
const (
	sheetWide, sheetHigh = 860.0, 560.0
	plotLeft, plotRight  = 150.0, 828.0
	plotTop, plotBottom  = 66.0, 346.0
	rowsTop, rowHigh     = 390.0, 34.0
	firstHour, lastHour  = 4.0, 22.0
	coldest, hottest     = 5.0, 35.0
)

func xOf(hour float64) float64 {
	hour = min(max(hour, firstHour), lastHour)
	return plotLeft + (hour-firstHour)/(lastHour-firstHour)*(plotRight-plotLeft)
}

func yOf(celsius float64) float64 {
	return plotBottom - (celsius-coldest)/(hottest-coldest)*(plotBottom-plotTop)
}

const pictureStyle = `<style>
svg{font-family:system-ui,"DejaVu Sans",sans-serif;font-size:12px}
.page{fill:#fff}.ink{fill:#1c2430}.faint{fill:#5b6675}.grid{stroke:#d5dae1}.work{fill:#eef2f6}
.line{fill:none;stroke-width:2.2}.dew{stroke:#5b6675;stroke-dasharray:2 4}.dewt{fill:#5b6675}
.z0{stroke:#b4410e}.z1{stroke:#1f4fc4;stroke-dasharray:9 3}.z2{stroke:#0b7a55;stroke-dasharray:4 3}.z3{stroke:#7430c9;stroke-dasharray:12 3 3 3}
.t0{fill:#b4410e}.t1{fill:#1f4fc4}.t2{fill:#0b7a55}.t3{fill:#7430c9}
.go{fill:#0b6b5d}.gotext{fill:#fff}.marginal{fill:#fbe3a6;stroke:#8a5a00}.marginaltext{fill:#4a3000}
.nogo{fill:none;stroke:#5b6675;stroke-dasharray:3 3}.wet{fill:#cfe0f5}.wettext{fill:#123a6b}
@media (prefers-color-scheme: dark){
.page{fill:#12171d}.ink{fill:#e8ebef}.faint{fill:#a5b0be}.grid{stroke:#2c3641}.work{fill:#1a2129}
.dew{stroke:#a5b0be}.dewt{fill:#a5b0be}
.z0{stroke:#ff9a66}.z1{stroke:#8db4ff}.z2{stroke:#5fd6a8}.z3{stroke:#c9a2ff}
.t0{fill:#ff9a66}.t1{fill:#8db4ff}.t2{fill:#5fd6a8}.t3{fill:#c9a2ff}
.go{fill:#57cdb8}.gotext{fill:#08211d}.marginal{fill:#4a3a10;stroke:#e2b648}.marginaltext{fill:#ffe3a1}
.nogo{stroke:#a5b0be}.wet{fill:#1d3656}.wettext{fill:#c5dcfa}}
</style>
`

// drawDay draws one day of a week: the temperature of each sealed zone, the dew
// point, and below them when the sealing goes.
func drawDay(w answer.Week, date string) string {
	var b strings.Builder
	day, _ := time.Parse(time.DateOnly, date)
	title := fmt.Sprintf("%s at %s, %s: sealing with a polymer sealant", w.Boat, w.Place.Name, day.Format("Mon 2 Jan"))
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %g %g" role="img" aria-labelledby="title">`+"\n", sheetWide, sheetHigh)
	fmt.Fprintf(&b, "<title id=\"title\">%s: panel temperature by zone, dew point, and the windows</title>\n", html.EscapeString(title))
	b.WriteString(pictureStyle)
	fmt.Fprintf(&b, `<rect class="page" width="%g" height="%g"/>`+"\n", sheetWide, sheetHigh)
	label(&b, 16, 28, "ink", "font-size=\"17\" font-weight=\"600\"", title)
	label(&b, 16, 48, "faint", "", "Panel temperature of each zone and the dew point, °C; below, when the work goes. Demo: invented boat, invented weather.")
	frame(&b)
	zones := sealedZones(w)
	lines(&b, zones, date)
	for i, z := range zones {
		row(&b, w, z, i, date)
	}
	label(&b, 16, sheetHigh-16, "faint", "", "Filled: go. Outlined: marginal, only with your yes. Dashed: no-go. Shaded: working hours, 07:00-18:00.")
	b.WriteString("</svg>\n")
	return b.String()
}

func label(b *strings.Builder, x, y float64, class, more, words string) {
	if more != "" {
		more = " " + more
	}
	fmt.Fprintf(b, `<text x="%.1f" y="%.1f" class="%s"%s>%s</text>`+"\n", x, y, class, more, html.EscapeString(words))
}

func box(b *strings.Builder, class string, left, right, top, high float64) {
	fmt.Fprintf(b, `<rect class="%s" x="%.1f" y="%.1f" width="%.1f" height="%.1f"/>`+"\n", class, left, top, right-left, high)
}

func frame(b *strings.Builder) {
	box(b, "work", xOf(7), xOf(18), plotTop, rowsTop+4*rowHigh-plotTop)
	for c := coldest; c <= hottest; c += 5 {
		fmt.Fprintf(b, `<path class="grid" d="M%.1f %.1fH%.1f"/>`+"\n", plotLeft, yOf(c), plotRight)
		label(b, plotLeft-8, yOf(c)+4, "faint", `text-anchor="end"`, fmt.Sprintf("%g", c))
	}
	for h := firstHour; h <= lastHour; h += 2 {
		fmt.Fprintf(b, `<path class="grid" d="M%.1f %.1fV%.1f"/>`+"\n", xOf(h), plotTop, rowsTop+4*rowHigh)
		label(b, xOf(h), plotBottom+20, "faint", `text-anchor="middle"`, fmt.Sprintf("%02.0f:00", h))
	}
}

// sealedZones are the zones that the demo seals, in the job's order.
func sealedZones(w answer.Week) []answer.Zone {
	var out []answer.Zone
	for _, z := range w.Zones {
		if slices.ContainsFunc(w.Windows, func(x answer.Window) bool { return x.Step == "seal" && x.Zone == z.Name }) {
			out = append(out, z)
		}
	}
	return out
}

// point is a mean over an hour, put at its middle.
type point struct{ hour, value float64 }

func series(z answer.Zone, date string, of func(answer.Hour) *float64) []point {
	var out []point
	for _, h := range z.Hours {
		at := float64(h.At.Hour()) + 0.5
		if v := of(h); v != nil && h.At.Format(time.DateOnly) == date && at > firstHour && at < lastHour {
			out = append(out, point{at, *v})
		}
	}
	return out
}

// lines draws the dew point and the temperature of each zone, and names each
// where it is farthest from the others.
func lines(b *strings.Builder, zones []answer.Zone, date string) {
	all := [][]point{series(zones[0], date, func(h answer.Hour) *float64 { return h.DewPointC })}
	names := []string{"dew point"}
	for _, z := range zones {
		all = append(all, series(z, date, func(h answer.Hour) *float64 { return h.SurfaceC }))
		names = append(names, zoneName(z))
	}
	for i, s := range all {
		line, words := fmt.Sprintf("line z%d", i-1), fmt.Sprintf("t%d", i-1)
		if i == 0 {
			line, words = "line dew", "dewt"
		}
		fmt.Fprintf(b, `<polyline class="%s" points="`, line)
		for _, p := range s {
			fmt.Fprintf(b, "%.1f,%.1f ", xOf(p.hour), yOf(p.value))
		}
		b.WriteString("\"/>\n")
		x, y := roomFor(all, i, 6.9*float64(len(names[i])))
		label(b, x, y, words, `text-anchor="middle" font-weight="600"`, names[i])
	}
}

// roomFor is where the name of line i, of a width in pixels, is clear of its own
// line and farthest from the others; of equals, where the line is highest.
func roomFor(all [][]point, i int, wide float64) (x, y float64) {
	best, top := -1.0, 0.0
	for _, p := range all[i] {
		for _, offset := range []float64{-9, 18} {
			cx, cy := xOf(p.hour), yOf(p.value)+offset
			if cx-wide/2 < plotLeft || cx+wide/2 > plotRight {
				continue
			}
			room := 24.0 // more is no better
			for j, line := range all {
				d := clearance(line, cx, cy, wide)
				if j == i {
					d *= 6
				}
				room = min(room, d)
			}
			if room > best || room == best && cy < top {
				best, top, x, y = room, cy, cx, cy
			}
		}
	}
	return x, y
}

// clearance is how far in pixels a line stays above or below a word.
func clearance(line []point, x, y, wide float64) float64 {
	least := math.Inf(1)
	for at := x - wide/2; at <= x+wide/2; at += 4 {
		for k := 1; k < len(line); k++ {
			from, to := xOf(line[k-1].hour), xOf(line[k].hour)
			if at < from || at > to {
				continue
			}
			share := (at - from) / (to - from)
			on := yOf(line[k-1].value + share*(line[k].value-line[k-1].value))
			least = min(least, max(on-(y+3), y-10-on))
		}
	}
	return least
}

func zoneName(z answer.Zone) string {
	if z.Faces == nil {
		return z.Name
	}
	return z.Name + " (" + []string{"N", "NE", "E", "SE", "S", "SW", "W", "NW"}[int(math.Round(*z.Faces/45))%8] + ")"
}

// row draws when one zone is wet, and when sealing it goes.
func row(b *strings.Builder, w answer.Week, z answer.Zone, i int, date string) {
	top := rowsTop + float64(i)*rowHigh + 5
	label(b, 16, top+16, fmt.Sprintf("t%d", i), `font-weight="600"`, zoneName(z))
	for _, s := range wetSpans(z, date) {
		bar(b, "wet", "wet", s, top)
	}
	for _, r := range w.Refusals {
		if r.Step == "seal" && r.Zone == z.Name && r.From.Format(time.DateOnly) == date && r.Binding.Limit != "hours" {
			box(b, "nogo", xOf(clock(r.From)), xOf(clock(r.To)), top, rowHigh-10)
		}
	}
	for _, s := range workSpans(w, z.Name, date) {
		class, _, _ := strings.Cut(s.words, ":")
		bar(b, class, s.words, s.span, top)
	}
}

type span struct{ from, to float64 }

func clock(t time.Time) float64 { return float64(t.Hour()) + float64(t.Minute())/60 }

// bar is a box with its word, where there is room for it.
func bar(b *strings.Builder, class, words string, s span, top float64) {
	left, right := xOf(s.from), xOf(s.to)
	box(b, class, left, right, top, rowHigh-10)
	short, _, _ := strings.Cut(words, ":")
	for _, words := range []string{words, short} {
		if right-left > 6.6*float64(len(words))+6 {
			label(b, (left+right)/2, top+16, class+"text", `text-anchor="middle"`, words)
			return
		}
	}
}

// wetSpans are the hours that end with more water on the zone than a sealant
// stands, 1 g/m².
func wetSpans(z answer.Zone, date string) []span {
	var out []span
	for _, h := range z.Hours {
		at := clock(h.At)
		if h.At.Format(time.DateOnly) != date || h.FilmGM2 == nil || *h.FilmGM2 <= 1 || at < firstHour || at >= lastHour {
			continue
		}
		if n := len(out); n > 0 && out[n-1].to == at {
			out[n-1].to = at + 1
			continue
		}
		out = append(out, span{at, at + 1})
	}
	return out
}

type workSpan struct {
	span
	words string // "go", or "marginal: " and why
}

// whyWords are the reasons that the picture has room for.
var whyWords = map[string]string{
	"sunlight_max": "sun on the panel", "dew_free": "dew too soon", "rain_free": "rain too soon",
	"spread_min": "near the dew point", "gust_max": "gusts", "wind_max": "wind", "humidity_max": "damp air",
	"surface_max": "hot panel", "surface_min": "cold panel", "film": "water on the panel",
}

// workSpans are the windows of a zone's sealing; ideal counts as go.
func workSpans(w answer.Week, zone, date string) []workSpan {
	var list []workSpan
	for _, x := range w.Windows {
		if x.Step != "seal" || x.Zone != zone || x.From.Format(time.DateOnly) != date {
			continue
		}
		words := "go"
		if x.State == "marginal" {
			words = "marginal"
			if why, ok := whyWords[x.Binding.Limit]; ok {
				words += ": " + why
			}
		}
		list = append(list, workSpan{span{clock(x.From), clock(x.To)}, words})
	}
	slices.SortFunc(list, func(a, b workSpan) int { return int(math.Round((a.from - b.from) * 60)) })
	var out []workSpan
	for _, s := range list {
		if n := len(out); n > 0 && out[n-1].words == s.words && math.Abs(out[n-1].to-s.from) < 0.01 {
			out[n-1].to = s.to
			continue
		}
		out = append(out, s)
	}
	return out
}
