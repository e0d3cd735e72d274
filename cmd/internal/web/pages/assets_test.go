package pages

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image/png"
	"math"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestAssetsAreKeptForEverUnderTheirHash(t *testing.T) {
	one, err := newAssets("1")
	require.NoError(t, err)
	two, err := newAssets("2")
	require.NoError(t, err)
	assert.NotEqual(t, one.hash, two.hash, "a new program has new addresses")
	ask := func(path string) *httptest.ResponseRecorder {
		w := httptest.NewRecorder()
		one.ServeHTTP(w, httptest.NewRequest(http.MethodGet, path, nil))
		return w
	}
	for name := range one.files {
		w := ask(one.path(name))
		assert.Equal(t, http.StatusOK, w.Code, name)
		assert.Contains(t, w.Header().Get("Cache-Control"), "immutable")
		assert.NotEmpty(t, w.Header().Get("Content-Type"), name)
		assert.LessOrEqual(t, w.Body.Len(), 50_000, name)
	}
	for _, path := range []string{two.path("app.css"), one.path("../pages.go"), one.path("sw.js"), "/assets/", one.path("")} {
		assert.Equal(t, http.StatusNotFound, ask(path).Code, path)
	}
}

func TestServiceWorkerKnowsTheShell(t *testing.T) {
	s := standing(t, nil)
	w := s.get("/sw.js")
	assert.Equal(t, "no-cache", w.Header().Get("Cache-Control"))
	js := w.Body.String()
	assert.NotContains(t, js, "VERSION")
	assert.Contains(t, js, s.pages.assets.hash)
	list := regexp.MustCompile(`const shell = (\[.*\]);`).FindStringSubmatch(js)
	require.NotNil(t, list)
	var shell []string
	require.NoError(t, json.Unmarshal([]byte(list[1]), &shell))
	for _, path := range shell {
		assert.Equal(t, http.StatusOK, s.get(path).Code, path)
	}
}

func TestManifestMakesItInstallable(t *testing.T) {
	s := standing(t, nil)
	var m struct {
		Name, Display string
		StartURL      string `json:"start_url"`
		Icons         []struct{ Src, Sizes, Type, Purpose string }
	}
	w := s.get("/manifest.webmanifest")
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &m))
	assert.Equal(t, "application/manifest+json", w.Header().Get("Content-Type"))
	assert.Equal(t, "standalone", m.Display)
	assert.Equal(t, http.StatusOK, s.get(m.StartURL).Code)
	sizes := map[string]bool{}
	for _, icon := range m.Icons {
		w := s.get(icon.Src)
		require.Equal(t, http.StatusOK, w.Code, icon.Src)
		assert.Equal(t, icon.Type, w.Header().Get("Content-Type"))
		if icon.Type == "image/png" {
			im, err := png.Decode(w.Body)
			require.NoError(t, err)
			assert.Equal(t, icon.Sizes, fmt.Sprintf("%dx%d", im.Bounds().Dx(), im.Bounds().Dy()))
		}
		sizes[icon.Sizes+icon.Purpose] = true
	}
	assert.True(t, sizes["192x192any"] && sizes["512x512any"] && sizes["512x512maskable"], "the sizes that browsers ask for before they offer to install")
	assert.Equal(t, http.StatusOK, s.get("/favicon.ico").Code)
}

func TestIconIsADropOverALine(t *testing.T) {
	data, err := iconPNG(64)
	require.NoError(t, err)
	im, err := png.Decode(bytes.NewReader(data))
	require.NoError(t, err)
	white := func(x, y int) bool {
		r, g, b, _ := im.At(x, y).RGBA()
		return r == 0xffff && g == 0xffff && b == 0xffff
	}
	assert.True(t, white(32, 28), "the drop")
	assert.True(t, white(20, 48), "the line")
	assert.False(t, white(32, 42), "the gap between the two")
	assert.False(t, white(2, 2), "the ground")
	for _, p := range [][2]int{{32, 9}, {49, 51}} { // a mask takes the corners: what counts lies within 40 % of the side
		assert.LessOrEqual(t, math.Hypot(float64(p[0])-32, float64(p[1])-32), 0.4*64)
	}
}

func TestThemeIsKeptAndLeadsNowhereElse(t *testing.T) {
	s := standing(t, nil)
	w := s.post("/theme", url.Values{"theme": {"night"}, "back": {"/week/kittiwake?x=1"}})
	require.Equal(t, http.StatusSeeOther, w.Code)
	assert.Equal(t, "/week/kittiwake?x=1", w.Header().Get("Location"))
	c := w.Result().Cookies()[0]
	assert.True(t, c.HttpOnly)
	assert.Equal(t, http.SameSiteLaxMode, c.SameSite)
	s.headers.Set("Cookie", c.Name+"="+c.Value)
	root := parsePage(t, s.get("/").Body.String())
	assert.Equal(t, "night", root.named("html")[0].attr["data-theme"])
	s.headers.Set("Cookie", c.Name+`="><script>`)
	assert.NotContains(t, s.get("/").Body.String(), "data-theme")
	assert.Equal(t, http.StatusUnprocessableEntity, s.post("/theme", url.Values{"theme": {"pink"}}).Code)
}

func TestLocalPathStaysHere(t *testing.T) {
	for _, bad := range []string{"", "//evil.example", "https://evil.example/", `/\evil.example`, "evil", "/a\r\nSet-Cookie: x", "javascript:alert(1)", "/%zz"} {
		assert.Equal(t, "/", localPath(bad), bad)
	}
	assert.Equal(t, "/day/a/2026-09-11?zone=port+side", localPath("/day/a/2026-09-11?zone=port+side"))
	rapid.Check(t, func(t *rapid.T) {
		u, err := url.Parse(localPath(rapid.String().Draw(t, "back")))
		if err != nil || u.Host != "" || u.Scheme != "" || !strings.HasPrefix(u.Path, "/") {
			t.Fatalf("led to %v, %v", u, err)
		}
	})
}

// luminance is the relative luminance of a colour, WCAG 2.2.
func luminance(t *testing.T, hex string) float64 {
	if len(hex) == 4 {
		hex = "#" + strings.Repeat(hex[1:2], 2) + strings.Repeat(hex[2:3], 2) + strings.Repeat(hex[3:4], 2)
	}
	var c [3]float64
	for i := range c {
		n, err := strconv.ParseUint(hex[1+2*i:3+2*i], 16, 8)
		require.NoError(t, err, hex)
		c[i] = float64(n) / 255
		if c[i] <= 0.04045 {
			c[i] /= 12.92
		} else {
			c[i] = math.Pow((c[i]+0.055)/1.055, 2.4)
		}
	}
	return 0.2126*c[0] + 0.7152*c[1] + 0.0722*c[2]
}

// WCAG 2.2 asks for 4.5 to 1 (1.4.3) and, better, 7 to 1 (1.4.6).
func TestContrast(t *testing.T) {
	data, err := assetFiles.ReadFile("assets/app.css")
	require.NoError(t, err)
	css := string(data)
	themes := map[string]string{}
	for name, start := range map[string]string{"bright": ":root{", "night": ":root[data-theme=night]{", "dark": ":root:not([data-theme=bright]){"} {
		i := strings.Index(css, start)
		require.GreaterOrEqual(t, i, 0, name)
		rest := css[i+len(start):]
		themes[name] = rest[:strings.Index(rest, "}")]
	}
	assert.Equal(t, themes["night"], themes["dark"], "the night that is chosen and the one that the system asks for")
	pairs := [][2]string{{"ink", "ground"}, {"soft", "ground"}, {"ink", "wash"}, {"link", "ground"}, {"ideal", "ground"}, {"go", "ground"}, {"marginal", "ground"},
		{"no-go", "ground"}, {"unknown", "ground"}, {"wait", "ground"}, {"on", "go-bg"}, {"on", "no-go-bg"}, {"on", "wait-bg"}, {"on-marginal", "marginal-bg"}, {"on-unknown", "unknown-bg"}, {"ground", "ink"}}
	for name, body := range themes {
		colours := map[string]float64{}
		for _, m := range regexp.MustCompile(`--([\w-]+):(#[0-9a-f]{3,6})`).FindAllStringSubmatch(body, -1) {
			colours[m[1]] = luminance(t, m[2])
		}
		for _, p := range pairs {
			a, b := colours[p[0]], colours[p[1]]
			ratio := (max(a, b) + 0.05) / (min(a, b) + 0.05)
			assert.GreaterOrEqual(t, ratio, 7.0, "%s: %s on %s", name, p[0], p[1])
		}
		line := (max(colours["line"], colours["ground"]) + 0.05) / (min(colours["line"], colours["ground"]) + 0.05)
		assert.GreaterOrEqual(t, line, 3.0, "%s: the edges of fields (1.4.11)", name)
	}
}

// ratio is the contrast of two colours, WCAG 2.2.
func ratio(t *testing.T, a, b string) float64 {
	x, y := luminance(t, a), luminance(t, b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

// The pictures stand on the pages' own ground by night, and as the style sheet is served
// their words reach 4.5 to 1 there (WCAG 2.2, 1.4.3) and their marks 3 to 1 (1.4.11).
func TestPicturesAndPagesShareTheNight(t *testing.T) {
	a, err := newAssets("1")
	require.NoError(t, err)
	css := string(a.files["app.css"])
	block := func(selector string) map[string]string {
		_, rest, ok := strings.Cut(css, selector+"{")
		require.True(t, ok, selector)
		body, _, _ := strings.Cut(rest, "}")
		out := map[string]string{}
		for _, m := range regexp.MustCompile(`--([\w-]+):(#[0-9a-f]{3,6})`).FindAllStringSubmatch(body, -1) {
			out[m[1]] = m[2]
		}
		return out
	}
	page := block(":root[data-theme=night]")
	for _, selector := range []string{"[data-theme=night] .dg", "@media (prefers-color-scheme:dark){.dg"} {
		picture := block(selector)
		assert.Equal(t, page["ground"], picture["dg-page"], selector)
		assert.Equal(t, page["ink"], picture["dg-ink"], selector)
		for _, words := range []string{"ink", "soft", "unknown", "l0", "l1", "l2", "l3", "l4", "l5"} {
			assert.GreaterOrEqual(t, ratio(t, picture["dg-"+words], page["ground"]), 4.5, "%s: %s", selector, words)
		}
		for _, mark := range []string{"ideal", "go", "marginal", "nogo", "unknown", "water", "sun", "plan", "m1", "m2", "m3", "m4"} {
			assert.GreaterOrEqual(t, ratio(t, picture["dg-"+mark], page["ground"]), 3.0, "%s: %s", selector, mark)
		}
	}
	assert.InDelta(t, 21, ratio(t, "#000", "#ffffff"), 1e-9, "black on white, by the definition")
}
