package browser

import (
	"encoding/json"
	"fmt"
	"net/url"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// wicked are names as nobody should give them, three to a job: each is only a name.
var wicked = map[string][3]string{
	"markup":   {`"><script>alert(1)</script>`, `'><img src=x onerror=alert(2)>`, `&lt;b&gt; &amp;amp; </title></textarea></script><b>`},
	"code":     {`" onmouseover="alert(3)" autofocus onfocus="alert(4)" x="`, `{{.Token}} ${alert(5)} <%= 1 %>`, `javascript:alert(6)`},
	"sql":      {`'; DROP TABLE answers; --`, strings.Repeat("Kittiwake-", 1000), "1e999"},
	"writings": {"\u202eקרן \u200fסירה", "⛵🧽👩🏽‍🔧 boat", "a" + strings.Repeat("\u0301", 300)},
}

// called is a job in which all that a person may name has one of three names.
func called(t *testing.T, names [3]string) string {
	var q [3]string
	for i, name := range names {
		data, err := json.Marshal(name) // JSON is YAML
		require.NoError(t, err)
		q[i] = string(data)
	}
	return fmt.Sprintf(`job: %[1]s
place: {name: %[2]s, latitude: 43.07, longitude: -70.74, timezone: America/New_York}
boat: {name: %[3]s, bow: 200, afloat: true}
zones:
  - {name: %[1]s, faces: 270, tilt: 90, finish: white-gelcoat, area_m2: 9}
  - {name: %[2]s, faces: 90, tilt: 90, finish: white-gelcoat, area_m2: 9}
  - {name: %[3]s, tilt: 0, finish: white-gelcoat, area_m2: 4}
steps:
  - {do: wash, name: %[2]s, with: soap-wash}
  - {do: seal, name: %[3]s, with: polymer-sealant}
hours: "07:00-18:00"
people: 2
`, q[0], q[1], q[2])
}

// Whatever a boat, a place, a zone, a step and a note are called, it is shown as text:
// no dialog opens, no script runs, no element appears, and nothing sticks out.
func TestWickedNames(t *testing.T) {
	for what, names := range wicked {
		t.Run(what, func(t *testing.T) {
			t.Parallel()
			s := serveJob(t, called(t, names))
			x := open(t, s, phone)
			x.goTo("/log/job")
			x.choose("#by", short(names[0], 200))
			x.choose("#note", short(names[1], 500))
			x.press("#z0")
			x.send(`form[action="/log/job"]`)
			x.until(`document.querySelector("section .entries")`)
			for _, path := range everyPage("job") {
				path = strings.ReplaceAll(path, "port+side", url.QueryEscape(names[0]))
				if path == "/no-such-page" {
					x.noPage("/week/" + url.PathEscape(short(names[0], 500)))
					continue
				}
				x.goTo(path)
				x.tame(path)
				x.fits(path)
				if strings.Contains(path, "/job") {
					x.shows(path, names[1], names[2]) // where and which boat, at the head of every page
				}
				for _, of := range []string{"/job/job", "/log/", "/sheet", "/why/"} {
					if strings.Contains(path, of) && !strings.Contains(path, "products") {
						x.shows(path, names[0])
					}
				}
			}
		})
	}
}

// shows wants a person to be able to read the beginning of words.
func (x *tab) shows(path string, words ...string) {
	x.t.Helper()
	all := eval[string](x, `[document.body.innerText, ...[...document.querySelectorAll("textarea,input")].map(e => e.value)].join("\n")`)
	for _, w := range words {
		assert.Contains(x.t, all, short(w, 20), "%s does not show it", path)
	}
}

// short is the beginning of a name, by characters.
func short(s string, most int) string {
	r := []rune(s)
	return string(r[:min(most, len(r))])
}

// noPage opens a page that is not there; its 404 stands on the console.
func (x *tab) noPage(path string) {
	x.t.Helper()
	x.goTo(path)
	x.tame(path)
	x.forget()
}

// tame wants only those elements and attributes that the pages themselves have.
func (x *tab) tame(path string) {
	x.t.Helper()
	assert.Empty(x.t, x.wild(), "%s at %.60q", path, x.where())
	assert.Empty(x.t, x.events("page.EventJavascriptDialogOpening"), "%s", path)
}

// wild are the elements and attributes that no page of ours has.
func (x *tab) wild() []string {
	x.t.Helper()
	const wild = `[
		...[...document.scripts].filter(e => !e.src.startsWith(location.origin + "/assets/")).map(e => e.outerHTML),
		...[...document.querySelectorAll("img,iframe,object,embed,base,link[rel=import],style,body body")].map(e => e.outerHTML),
		...[...document.querySelectorAll("*")].flatMap(e => [...e.attributes].filter(a => a.name.startsWith("on") || a.name === "style" || a.name === "autofocus" ||
			/^(href|src|action|formaction)$/.test(a.name) && /^\s*(javascript|data|vbscript):/i.test(a.value)).map(a => e.tagName + " " + a.name + "=" + a.value)),
	].map(s => s.slice(0, 200))`
	return eval[[]string](x, wild)
}

// Parameters that lead to a page are no better than names.
func TestWickedAddresses(t *testing.T) {
	s := serveDemo(t)
	x := open(t, s, laptop)
	x.busy = true // errors stand on the console
	for _, names := range wicked {
		name := names[0]
		bad := url.QueryEscape(short(name, 1000))
		for _, path := range []string{
			"/why/demo?zone=" + bad + "&product=" + bad + "&at=" + bad, "/day/demo/2026-09-10?zone=" + bad + "&hour=" + bad,
			"/day/demo/" + url.PathEscape(short(name, 200)), "/job/demo/products/" + url.PathEscape(short(name, 200)), "/morning/demo?saved=" + bad,
			"/job/demo?saved=" + bad, "/sign-in?next=" + bad, "/log/demo?saved=" + bad + "#" + bad,
		} {
			x.do(chromedp.Navigate(s.base + path))
			x.tame(path)
			assert.True(t, strings.HasPrefix(eval[string](x, `location.href`), s.base+"/"), "%s leads astray", path)
		}
	}
	assert.Empty(t, x.events("runtime.EventExceptionThrown"))
	for _, e := range x.events("log.EventEntryAdded") {
		assert.NotContains(t, string(e.data), "Content Security Policy", "%s", e.data)
	}
}
