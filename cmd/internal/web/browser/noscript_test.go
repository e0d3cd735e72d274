package browser

import (
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Without scripts everything works by links, forms and a new page.
func TestWithoutScripts(t *testing.T) {
	atWidths(t, func(t *testing.T, width int) {
		s := serveJob(t, demoJob(t))
		x := open(t, s, width)
		x.call("Emulation.setScriptExecutionDisabled", map[string]any{"value": true})

		x.goTo("/")
		x.press(link("/week/job"))
		x.until(loaded("/week/job"))
		assert.Contains(t, x.says(), "Tuesday 15 September")
		x.press(".days " + link("/day/job/2026-09-10"))
		x.until(loaded("/day/job/2026-09-10"))
		before := eval[string](x, `document.querySelector("#boat-at svg title").textContent`)
		x.choose("#hour", "9")
		x.press(".hour button")
		x.until(`location.search.includes("hour=9") && document.readyState === "complete"`)
		assert.NotEqual(t, before, eval[string](x, `document.querySelector("#boat-at svg title").textContent`))

		x.press(link("/morning/job"))
		x.until(loaded("/morning/job"))
		x.fill("#air", "14.5")
		x.fill("#humidity", "88")
		x.press("form.readings .button.main")
		x.until(`location.search.includes("saved") && document.querySelector(".taken")`)
		assert.Contains(t, x.says(), "air 14.5 °C")
		assert.Contains(t, x.says(), "Written down")

		x.press(link("/job/job"))
		x.until(loaded("/job/job"))
		tile := eval[string](x, `[...document.querySelectorAll(".boat a")].find(a => a.innerText === "foredeck").getAttribute("href")`)
		x.press(`.boat a[href="` + tile + `"]`)
		x.until(`document.querySelector("` + tile + `").checkVisibility()`) // the browser opens what holds the aim of a link
		x.choose(tile+" select[name=finish]", "navy-gelcoat")
		x.press(tile + " .button")
		x.until(`location.search === "?saved=1" && document.readyState === "complete"`)
		assert.Contains(t, x.says(), "Saved")
		text, err := os.ReadFile(s.file)
		require.NoError(t, err)
		assert.Contains(t, string(text), "navy-gelcoat")

		x.press(link("/move/job"))
		x.until(loaded("/move/job"))
		x.choose("#from", "04:00")
		x.choose("#to", "05:00")
		x.press(`form[action="/move/job"] .button.main`)
		x.until(`document.querySelector("#answer")`)
		assert.Regexp(t, `Moved \d+ of \d+ blocks`, x.says())

		x.press(`button[value="night"]`)
		x.until(`document.documentElement.dataset.theme === "night"`)
		assert.Equal(t, "/move/job", x.where(), "the look leaves a person where they were")
		assert.Zero(t, eval[int](x, `[...document.querySelectorAll("[data-print],[data-copy]")].filter(e => e.checkVisibility()).length`), "no button that does nothing")
	})
}
