package browser

import (
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
)

// keptPage is true once the copy of a page is on the device.
func keptPage(path string) string {
	return `caches.open("dewgap-pages").then(c => c.match(` + quoted(path) + `)).then(r => !!r)`
}

// untilTold waits until a promise gives true.
func (x *tab) untilTold(promise string) {
	x.t.Helper()
	x.do(chromedp.Evaluate[chromedp.Void](`window.told = false; (async () => { while (!(await (` + promise + `))) await new Promise(d => setTimeout(d, 10)); window.told = true; })(); 0`))
	x.until(`window.told`)
}

// Whoever has looked once reads the answer again where there is no reception, with its
// age; what was never opened says so; what cannot be sent is not lost; and with
// reception all is as before.
func TestOffline(t *testing.T) {
	atWidths(t, func(t *testing.T, width int) {
		s := serveJob(t, demoJob(t))
		x := open(t, s, width)
		x.busy = true // failed requests stand on the console
		x.goTo("/week/job")
		x.untilTold(keptPage("/week/job")) // the first page of all, opened before there was a worker
		x.goTo("/morning/job")
		x.untilTold(keptPage("/morning/job"))
		answer := eval[string](x, `document.querySelector("h1").innerText`)
		assert.False(t, eval[bool](x, `document.querySelector("#stale").checkVisibility()`))
		s.stop()

		x.fill("#air", "14.5")
		x.press("form.readings .button.main")
		x.until(`document.querySelector("#said").textContent.includes("No connection")`)
		assert.Equal(t, "14.5", eval[string](x, `document.querySelector("#air").value`))

		x.goTo("/morning/job")
		x.until(`document.querySelector("#stale").checkVisibility()`)
		assert.Contains(t, x.says(), "No connection. This is the copy of 1 min ago")
		assert.Equal(t, answer, eval[string](x, `document.querySelector("h1").innerText`))
		assert.NotEqual(t, "none", eval[string](x, `getComputedStyle(document.querySelector(".verdict")).display`))
		assert.Positive(t, eval[int](x, `document.styleSheets[0].cssRules.length`), "the copy has its style")

		x.press(link("/week/job"))
		x.until(`location.pathname === "/week/job" && document.querySelector("#stale").checkVisibility()`)
		assert.Contains(t, x.says(), "Tuesday 15 September")

		x.press(link("/log/job"))
		x.until(`location.pathname === "/log/job" && document.querySelector("h1").innerText === "No connection"`)
		assert.Contains(t, x.says(), "never opened on this device")

		s.again(t, "/week/job")
		x.goTo("/week/job")
		x.until(loaded("/week/job"))
		assert.False(t, eval[bool](x, `document.querySelector("#stale").checkVisibility()`))
	})
}

// The age of a copy is that of its answer, in words.
func TestOfflineAge(t *testing.T) {
	s := serveDemo(t)
	x := open(t, s, phone)
	x.busy = true
	x.goTo("/week/demo")
	x.untilTold(keptPage("/week/demo"))
	for kept, want := range map[string]string{"5 * 60e3": "5 min", "7.2 * 3600e3": "7 h", "3 * 86400e3": "3 days"} {
		x.untilTold(`(async () => {
			const c = await caches.open("dewgap-pages"), r = await c.match("/week/demo"), h = new Headers(r.headers);
			h.set("X-Kept", new Date(Date.now() - ` + kept + `).toISOString());
			await c.put("/week/demo", new Response(await r.text(), {headers: h}));
			return true;
		})()`)
		s.stop()
		x.goTo("/week/demo")
		x.until(`document.querySelector("#stale").checkVisibility()`)
		assert.Contains(t, x.says(), "the copy of "+want+" ago")
	}
}
