package browser

import (
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What a page may cost on a dock with one bar of reception.
const (
	mostBytes    = 150_000 // of all it needs, before compression
	mostRequests = 6
)

// everyPage are the paths of all pages of a job, after something was written down.
func everyPage(job string) []string {
	return []string{
		"/", "/week/" + job, "/day/" + job + "/2026-09-10", "/day/" + job + "/2026-09-07?hour=9", "/day/" + job + "/2026-09-10/sheet",
		"/why/" + job + "?zone=port+side&product=polymer-sealant&at=2026-09-10T09:00:00-04:00",
		"/morning/" + job, "/job/" + job, "/job/" + job + "/products/polymer-sealant", "/move/" + job, "/log/" + job,
		"/places", "/settings", "/offline", "/no-such-page",
	}
}

// looks are the two themes; the system's own is one of them.
var looks = []string{"bright", "night"}

// Every page in both looks and at both widths: axe-core finds nothing, nothing sticks
// out to the side, every target is large enough for a thumb, the page is light, and
// the browser has nothing to complain of.
func TestEveryPage(t *testing.T) {
	s := serveJob(t, demoJob(t))
	written(t, s)
	axe := axeCore(t)
	for _, path := range everyPage("job") {
		s.alike(t, path)
	}
	atWidths(t, func(t *testing.T, width int) {
		x := open(t, s, width)
		x.goTo("/places")
		x.press(`button[value="` + looks[0] + `"]`)
		x.until(`document.documentElement.dataset.theme === "` + looks[0] + `" && document.readyState === "complete"`)
		x.call("Network.setCacheDisabled", map[string]any{"cacheDisabled": true})
		x.call("Network.setBypassServiceWorker", map[string]any{"bypass": true})
		for _, path := range everyPage("job") {
			x.inspect(path, axe)
		}
	})
}

// alike wants a page to be the same in both looks but for the name of the look, so that to
// change it in the browser shows what another request would.
func (s *server) alike(t testing.TB, path string) {
	t.Helper()
	var pages []string
	for _, look := range looks {
		r, err := http.NewRequestWithContext(t.Context(), http.MethodGet, s.base+path, nil)
		require.NoError(t, err)
		r.AddCookie(&http.Cookie{Name: "dewgap_theme", Value: look})
		res, err := http.DefaultClient.Do(r)
		require.NoError(t, err)
		body, err := io.ReadAll(res.Body)
		require.NoError(t, err)
		require.NoError(t, res.Body.Close())
		page := string(body)
		named, button := `data-theme="`+look+`"`, `value="`+look+`" aria-pressed=`
		require.Equal(t, 1, strings.Count(page, named), "%s: %s", path, named)
		require.Equal(t, strings.Count(page, button), strings.Count(page, button+`"true"`), "%s: %s", path, look)
		page = strings.Replace(page, named, `data-theme=""`, 1)
		pages = append(pages, pressed.ReplaceAllString(page, `aria-pressed=""`))
	}
	require.Equal(t, pages[0], pages[1], "%s by its look", path)
}

// pressed is whether a button of the looks is that of the look.
var pressed = regexp.MustCompile(`aria-pressed="(true|false)"`)

// wear changes the look of the page that is open, as the server would have sent it.
func (x *tab) wear(look string) {
	x.t.Helper()
	x.do(chromedp.Evaluate[chromedp.Void](`{
		document.documentElement.dataset.theme = ` + quoted(look) + `;
		for (const b of document.querySelectorAll("[name=theme]")) b.setAttribute("aria-pressed", b.value === ` + quoted(look) + `);
	}`))
}

// written writes into the book of a server, so that its pages have something to show:
// readings, work, and a plan that was moved after rain.
func written(t *testing.T, s *server) {
	x := open(t, s, laptop)
	x.goTo("/morning/job")
	x.fill("#air", "14.5")
	x.fill("#humidity", "88")
	x.send(`form[action="/morning/job"]`)
	x.goTo("/log/job")
	x.choose("#step", "wash")
	x.press("#z0")
	x.send(`form[action="/log/job"]`)
	x.goTo("/move/job")
	x.choose("#from", "04:00")
	x.choose("#to", "05:00")
	x.fill("#mm", "1.5")
	x.send(`form[action="/move/job"]`)
}

// send sends a form by its last button and waits for what comes of it.
func (x *tab) send(form string) {
	x.t.Helper()
	x.do(chromedp.Evaluate[chromedp.Void](`document.querySelector("main").id = "old"`))
	x.press(form + " p:last-of-type > button")
	x.until(`document.querySelector("main#main") && document.readyState === "complete" && !document.querySelector("button:disabled")`)
}

// inspect opens a page and looks at all that every page is held to.
func (x *tab) inspect(path, axe string) {
	x.t.Helper()
	x.forget()
	x.goTo(path)
	x.until(`document.readyState === "complete"`)
	x.light(path)
	if path != "/no-such-page" { // whose 404 stands on the console
		x.quiet()
	}
	for _, look := range looks {
		x.wear(look)
		x.fits(path + ", " + look)
	}
	x.unfold()
	for i, look := range looks {
		x.wear(look)
		name, rules := path+", "+look+", unfolded", allRules
		if i > 0 {
			rules = lookRules
		}
		x.fits(name)
		assert.Empty(x.t, x.parted(), "%s parts hours or a long word at %d px", name, x.width)
		x.targets(name)
		x.accessible(name, axe, rules)
	}
	if path != "/no-such-page" {
		x.quiet()
	}
	for _, look := range looks {
		x.shoot(path, look)
	}
	x.forget()
}

// unfold opens all that a person may open.
func (x *tab) unfold() {
	x.do(chromedp.Evaluate[chromedp.Void](`document.querySelectorAll("details").forEach(d => { d.open = true; })`))
}

// light wants a page to be light, by what the browser asked for and was sent.
func (x *tab) light(path string) {
	x.t.Helper()
	var sum float64
	var asked []string
	for _, e := range x.events("network.EventRequestWillBeSent") {
		var r struct{ Request struct{ URL string } }
		require.NoError(x.t, json.Unmarshal(e.data, &r))
		if !strings.HasPrefix(r.Request.URL, "data:") { // the browser's own: its pickers
			asked = append(asked, strings.TrimPrefix(r.Request.URL, x.base))
		}
	}
	for _, e := range x.events("network.EventLoadingFinished") {
		var f struct{ EncodedDataLength float64 }
		require.NoError(x.t, json.Unmarshal(e.data, &f))
		sum += f.EncodedDataLength
	}
	assert.LessOrEqual(x.t, len(asked), mostRequests, "%s asks for too much: %v", path, asked)
	require.GreaterOrEqual(x.t, len(asked), 3, "%s: its style and script are asked for: %v", path, asked)
	whole := eval[float64](x, `performance.getEntries().filter(e => "decodedBodySize" in e).reduce((n, e) => n + e.decodedBodySize, 0)`)
	assert.Greater(x.t, sum, 0.0, "%s", path)
	assert.LessOrEqual(x.t, sum, whole+2000*mostRequests, "%s: nothing is sent twice", path)
	assert.LessOrEqual(x.t, whole, float64(mostBytes), "%s is too heavy, %.0f bytes over the network", path, sum)
	if x.width == laptop {
		x.t.Logf("%-60s %d requests, %.0f bytes, %.0f over the network", path, len(asked), whole, sum)
	}
}

// fits wants nothing to stick out to the side.
func (x *tab) fits(path string) {
	x.t.Helper()
	assert.Empty(x.t, x.wide(), "%s sticks out at %d px", path, x.width)
}

// wide are the elements that stick out.
func (x *tab) wide() []string {
	x.t.Helper()
	const wider = `(() => {
		const w = document.documentElement.clientWidth, out = [];
		if (document.documentElement.scrollWidth <= w) return out;
		for (const e of document.body.querySelectorAll("*")) {
			if (e.closest(".scroll,.sr,textarea") && !e.matches(".scroll,textarea")) continue;
			if (e.getBoundingClientRect().right > w + 0.5) out.push(e.tagName + "." + e.getAttribute("class") + " " + e.textContent.slice(0, 60));
		}
		return out.length ? out : ["something"];
	})()`
	return eval[[]string](x, wider)
}

// parted are hours that stand on two lines, and the long word of the boat's tiles where it is
// broken without its hyphen.
func (x *tab) parted() []string {
	x.t.Helper()
	const parted = `(() => {
		const out = [], texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT), range = document.createRange();
		const lines = (n, from, to) => { range.setStart(n, from); range.setEnd(n, to); return new Set([...range.getClientRects()].map(r => Math.round(r.top))).size; };
		for (let n; (n = texts.nextNode());) {
			if (n.parentElement.closest("svg,textarea,script,style")) continue;
			for (const m of n.data.matchAll(/\d\d:\d\d[\u2013-]\u2060?\d\d:\d\d/g)) if (lines(n, m.index, m.index + m[0].length) > 1) out.push(n.parentElement.tagName + " " + n.data.trim().slice(0, 120));
			for (const m of n.data.matchAll(/structure/g)) if (n.parentElement.closest(".boat") && lines(n, m.index + 1, m.index + m[0].length) > 1) out.push(n.data);
		}
		return out;
	})()`
	return eval[[]string](x, parted)
}

// targets wants everything that is pressed to be at least 44 pixels high and wide, its
// label included, but for links within a sentence.
func (x *tab) targets(path string) {
	x.t.Helper()
	assert.Empty(x.t, x.small(), "%s has targets too small for a thumb, at %d px", path, x.width)
}

// small are the targets that are too small.
func (x *tab) small() []string {
	x.t.Helper()
	const small = `(() => {
		const out = [];
		const words = (n) => [...n.childNodes].filter(c => c.nodeType === 3).map(c => c.textContent).join("").replace(/[\s·,.;:]+/g, "");
		const inText = (a) => { // a link with words of the same line beside it
			for (let p = a.parentElement; p && getComputedStyle(p).display.startsWith("inline"); p = p.parentElement) if (words(p)) return true;
			return getComputedStyle(a).display === "inline" && words(a.closest("p,li,dd,div,td,figcaption") || a.parentElement) !== "";
		};
		for (const e of document.querySelectorAll("a[href],button,summary,input:not([type=hidden]),select,textarea")) {
			if (e.closest("[hidden],.skip") || !e.checkVisibility() || e.disabled) continue;
			let r = e.getBoundingClientRect(), w = r.width, h = r.height;
			if (e.matches("input[type=checkbox],input[type=radio]")) {
				for (const l of e.labels) { const b = l.getBoundingClientRect(); h = Math.max(h, b.height); w = Math.max(w, b.right - r.left); }
			}
			if (e.matches("a") && inText(e)) continue;
			if (w < 43.9 || h < 43.9) out.push(e.tagName.toLowerCase() + " " + w.toFixed(1) + "×" + h.toFixed(1) + ": " + (e.textContent.trim() || e.id).slice(0, 60));
		}
		return [...new Set(out)];
	})()`
	return eval[[]string](x, small)
}

// axeCore is the text of axe-core, "" where .ci/axe has not fetched it.
func axeCore(t testing.TB) string {
	data, err := os.ReadFile("../../../../.ci/bin/axe/axe.min.js")
	if err != nil {
		t.Log("axe-core is not there, so that its checks are left out: .ci/axe fetches it")
		return ""
	}
	return string(data)
}

// Rules of axe-core, as it is asked for them: all that we keep to, and those that go by more
// than elements, roles and words, which are the same in every look.
const (
	allRules  = `{type: "tag", values: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}`
	lookRules = `{type: "rule", values: ["color-contrast", "link-in-text-block", "target-size", "scrollable-region-focusable"]}`
)

// accessible wants axe-core to find nothing.
func (x *tab) accessible(path, axe, rules string) {
	x.t.Helper()
	if axe != "" {
		assert.Empty(x.t, x.violations(axe, rules), "%s, at %d px", path, x.width)
	}
}

// violations are what axe-core finds.
func (x *tab) violations(axe, rules string) []string {
	x.t.Helper()
	if !eval[bool](x, `"axe" in window`) {
		x.do(chromedp.Evaluate[chromedp.Void](axe + ";0"))
	}
	ask := `axe.run(document, {resultTypes: ["violations"], runOnly: ` + rules + `})
		.then(r => r.violations.map(v => v.id + " (" + v.impact + "): " + v.help + ": " + v.nodes.slice(0, 4).map(n => n.html.slice(0, 200) + " " + n.failureSummary).join(" | ")))`
	return eval[[]string](x, ask)
}

// Each of the rulers shows what is wrong where something is.
func TestRulers(t *testing.T) {
	s := serveDemo(t)
	x := open(t, s, phone)
	x.busy = true // which the last of them is to show
	put := func(html string) {
		x.goTo("/log/demo")
		x.do(chromedp.Evaluate[chromedp.Void](`document.querySelector("main").insertAdjacentHTML("beforeend", ` + quoted(html) + `)`))
	}
	put(`<pre>` + strings.Repeat("wide", 90) + `</pre>`)
	assert.NotEmpty(t, x.wide())
	put(`<p><a href="/">small</a></p>`)
	assert.Equal(t, []string{"a"}, firstWords(x.small()))
	put(`<p>Words <a href="/">and a link</a> within a line</p>`)
	assert.Empty(t, x.small())
	for dash, broken := range map[string]bool{"–": true, "-": true, "–\u2060": false} {
		words := ""
		for i := range 40 {
			words += strings.Repeat("x", i%9) + " 13:00" + dash + "15:00 "
		}
		put(`<p>` + words + `</p>`)
		assert.Equal(t, broken, len(x.parted()) > 0, dash)
	}
	put(`<p class="boat">` + strings.Repeat("superstructure", 20) + `</p>`)
	assert.NotEmpty(t, x.parted())
	put(`<p onclick="x()">wild</p>`)
	assert.Equal(t, []string{"P onclick=x()"}, x.wild())
	if axe := axeCore(t); axe != "" {
		put(`<input><p class="fine"><img src="/favicon.ico"></p>`)
		assert.Contains(t, strings.Join(x.violations(axe, allRules), "\n"), "image-alt")
		put(`<p id="pale">pale</p>`)
		x.do(chromedp.Evaluate[chromedp.Void](`Object.assign(document.querySelector("#pale").style, {color: "#777", background: "#888"}); 0`))
		assert.Contains(t, strings.Join(x.violations(axe, lookRules), "\n"), "color-contrast")
	}
	x.forget()
	put(`<p>nothing yet</p>`)
	x.quiet()
	x.do(chromedp.Evaluate[chromedp.Void](`{ const s = document.createElement("script"); s.textContent = "window.ran = true"; document.body.append(s); }`))
	x.until(`!window.ran`)
	require.NotEmpty(t, x.events("log.EventEntryAdded"))
	assert.Contains(t, string(x.events("log.EventEntryAdded")[0].data), "Content Security Policy")
}

func firstWords(list []string) []string {
	var out []string
	for _, s := range list {
		word, _, _ := strings.Cut(s, " ")
		out = append(out, word)
	}
	return out
}

// shotsEnv names a folder to which pictures of all pages are written, for a person to
// look at.
const shotsEnv = "DEWGAP_TEST_SCREENSHOTS"

// shoot takes a picture of a page, if somebody wants them.
func (x *tab) shoot(path, look string) {
	x.t.Helper()
	if os.Getenv(shotsEnv) == "" {
		return
	}
	x.do(chromedp.Reload())
	x.until(`document.readyState === "complete"`)
	if look != "auto" {
		x.wear(look)
	}
	png, err := chromedp.Run(x.ctx, chromedp.FullScreenshot(100))
	require.NoError(x.t, err)
	x.keep(path+" "+look, "png", png)
}

// keep writes a file for a person to look at, if somebody wants them.
func (x *tab) keep(name, kind string, data []byte) {
	x.t.Helper()
	folder := os.Getenv(shotsEnv)
	if folder == "" {
		return
	}
	name = strings.Trim(unfit.ReplaceAllString(name, "-"), "-")
	require.NoError(x.t, os.WriteFile(filepath.Join(folder, fmt.Sprintf("%s-%d.%s", name, x.width, kind)), data, 0o600))
}

// unfit is what does not belong into a file's name.
var unfit = regexp.MustCompile(`[^\w.]+`)

// The icons are PNG files of the size that the manifest says, and the manifest is one
// that a phone takes.
func TestInstallable(t *testing.T) {
	s := serveDemo(t)
	x := open(t, s, phone)
	x.goTo("/week/demo")
	type size struct{ W, H int }
	var got struct {
		Icons []struct{ Src, Sizes, Type string }
	}
	text := eval[string](x, `fetch(document.querySelector("link[rel=manifest]").href).then(r => r.text())`)
	require.NoError(t, json.Unmarshal([]byte(text), &got))
	require.NotEmpty(t, got.Icons)
	for _, icon := range got.Icons {
		res, err := http.Get(s.base + icon.Src)
		require.NoError(t, err)
		assert.Equal(t, icon.Type, res.Header.Get("Content-Type"))
		require.NoError(t, res.Body.Close())
		if icon.Sizes == "any" {
			continue
		}
		is := eval[size](x, `new Promise((yes, no) => { const i = new Image(); i.onload = () => yes({W: i.naturalWidth, H: i.naturalHeight}); i.onerror = no; i.src = `+quoted(icon.Src)+`; })`)
		assert.Equal(t, icon.Sizes, fmt.Sprintf("%dx%d", is.W, is.H))
	}
}

// The word of every verdict has room at a phone's width, and with a forecast that is too old
// the week says why it is unknown before anything else.
func TestVerdictsFit(t *testing.T) {
	s := serveJob(t, demoJob(t))
	s.turn(t, "2026-09-10T06:00:00-04:00")
	x := open(t, s, phone)
	for old := false; !old; old = strings.Contains(x.says(), "UNKNOWN") {
		require.NoError(t, t.Context().Err())
		x.goTo("/morning/job") // that of before is shown until the new one is made
	}
	x.fits("/morning/job")
	for _, word := range []string{"ideal", "go", "marginal", "no-go", "wait", "unknown"} {
		x.do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(
			`document.querySelector(".verdict").className = "verdict s-%[1]s"; document.querySelector(".verdict .word").textContent = %[1]q`, word)))
		x.fits(word)
	}
	for old := false; !old; old = strings.Contains(x.says(), "Mostly because: the forecast is 3 days old") {
		require.NoError(t, t.Context().Err())
		x.goTo("/week/job") // likewise
	}
	x.fits("/week/job")
}
