package pages

import (
	"crypto/tls"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"dewgap/cmd/internal/text"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// voices are all ways in which a page may speak.
func voices() (out []voice) {
	for _, units := range []string{"", "metric", "us"} {
		for _, wind := range []string{"", "m/s", "mph", "kn"} {
			out = append(out, voice{text.Options{Units: units, Wind: wind}})
		}
	}
	return out
}

// A form reads a figure in the unit that stands beside its field, in every way in which
// a page may speak.
func TestFormsReadInTheUnitTheyShow(t *testing.T) {
	for _, v := range voices() {
		assert.Equal(t, v.unit("m/s"), v.windUnit().name, "%+v", v.units)
		freezing, err := v.degrees("", "", v.bare(f(0), 1, "°C"))
		require.NoError(t, err)
		assert.InDelta(t, 0, freezing.V, 1e-9, "%+v", v.units)
	}
}

// What a page shows may be typed back: it is the same wind and the same temperature, but
// for the rounding of what is shown.
func TestWhatIsShownMayBeTyped(t *testing.T) {
	all := voices()
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.SampledFrom(all).Draw(t, "voice")
		air, wind := float64(rapid.IntRange(-300, 450).Draw(t, "air"))/10, float64(rapid.IntRange(0, 250).Draw(t, "wind"))/10
		m, err := v.ofPlace(url.Values{"air": {v.bare(&air, 1, "°C")}, "wind": {v.bare(&wind, 1, "m/s")}})
		require.NoError(t, err)
		require.InDelta(t, air, m.AirC.V, 0.3)
		require.InDelta(t, wind, m.WindMS.V, 0.3)
	})
}

// The labels of the forms name the units that are read.
func TestLabelsNameTheUnits(t *testing.T) {
	for units, want := range map[string][]string{"metric": {"Air, °C", "Wind, m/s", "Surface, °C", "How much, mm if measured"}, "us": {"Air, °F", "Wind, mph", "Surface, °F", "How much, in if measured"}} {
		s := small(t, func(c *Config) { c.Units = units })
		var labels []string
		for _, path := range []string{"/morning/kittiwake", "/move/kittiwake"} {
			for _, n := range decent(t, path, s.get(path).Body.String()).named("label") {
				labels = append(labels, n.text())
			}
		}
		for _, w := range want {
			assert.Contains(t, labels, w)
		}
	}
	s := small(t, func(c *Config) { c.Units, c.Wind = "us", "kn" })
	says(t, s.main("/morning/kittiwake", http.StatusOK), "Wind, kn")
}

// The same week in either unit has the same states, hours and plan: units change words,
// never answers.
func TestUnitsChangeNoAnswer(t *testing.T) {
	seen := map[string][]string{}
	for _, units := range []string{"metric", "us"} {
		s := standing(t, nil, func(c *Config) { c.Units = units })
		for _, path := range []string{"/week/kittiwake", "/day/kittiwake/2026-09-11/sheet"} {
			root := decent(t, path, s.get(path).Body.String())
			for _, n := range root.all(func(n *node) bool { return n.attr["class"] == "nowrap" || strings.HasPrefix(n.attr["class"], "state ") }) {
				seen[units] = append(seen[units], path+": "+n.text())
			}
		}
	}
	assert.Greater(t, len(seen["us"]), 100)
	assert.Equal(t, seen["metric"], seen["us"])
}

// The look's cookie goes by TLS only where the page came by it, lasts, and is out of
// reach of scripts.
func TestTheCookieOfTheLook(t *testing.T) {
	s := small(t)
	for _, secure := range []bool{false, true} {
		r := httptest.NewRequest(http.MethodPost, "/theme", strings.NewReader("theme=night&back=%2Fsettings"))
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		if secure {
			r.TLS = &tls.ConnectionState{}
		}
		w := s.do(r)
		require.Equal(t, http.StatusSeeOther, w.Code)
		assert.Equal(t, "/settings", w.Header().Get("Location"))
		list := w.Result().Cookies()
		require.Len(t, list, 1)
		assert.Equal(t, secure, list[0].Secure)
		assert.True(t, list[0].HttpOnly)
		assert.Greater(t, list[0].MaxAge, 30*24*3600)
	}
}

// Which of the three looks is chosen is told by a pressed button, not by its colour.
func TestTheLookIsToldByItsButton(t *testing.T) {
	s := small(t)
	for cookie, want := range map[string]string{"": "auto", "dewgap_theme=bright": "bright", "dewgap_theme=night": "night", "dewgap_theme=pink": "auto"} {
		r := httptest.NewRequest(http.MethodGet, "/settings", nil)
		r.Header.Set("Cookie", cookie)
		root := decent(t, "/settings", s.do(r).Body.String())
		pressed := map[string]string{}
		for _, b := range root.all(func(n *node) bool { return n.attr["name"] == "theme" }) {
			pressed[b.attr["value"]] = b.attr["aria-pressed"]
		}
		require.Len(t, pressed, 3)
		for value, is := range pressed {
			assert.Equal(t, fmt.Sprint(value == want), is, "%s where %q", value, cookie)
		}
	}
}
