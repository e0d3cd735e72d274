package browser

import (
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// loaded is true once the page at a path is there.
func loaded(path string) string {
	return `location.pathname === ` + quoted(path) + ` && document.readyState === "complete" && document.querySelector("h1")`
}

// A person chooses a day to seal a week ahead: from the boats to the week, whose
// answer stands in the first screen, to the day, and to every limit of an hour.
func TestChooseADay(t *testing.T) {
	s := serveDemo(t)
	atWidths(t, func(t *testing.T, width int) {
		x := open(t, s, width)
		x.goTo("/")
		x.press(link("/week/demo"))
		x.until(loaded("/week/demo"))
		assert.Equal(t, "Tuesday 15 September", eval[string](x, `document.querySelector("h1").innerText`))
		const bottom = `Math.min(innerHeight, ...[...document.querySelectorAll(".tabs")].filter(n => getComputedStyle(n).position === "fixed").map(n => n.getBoundingClientRect().top)) - document.querySelector(".stretches li").getBoundingClientRect().bottom`
		assert.Positive(t, eval[float64](x, bottom), "the answer is not in the first screen")
		assert.Contains(t, x.says(), "14:50–17:00 starboard side")

		x.press(".days " + link("/day/demo/2026-09-15"))
		x.until(loaded("/day/demo/2026-09-15"))
		assert.Contains(t, x.says(), "When each step may be done")
		x.press(`.rank[open] .spans a[href*="polymer-sealant"]`)
		x.until(loaded("/why/demo"))
		assert.Greater(t, eval[int](x, `document.querySelectorAll(".limits > li").length`), 10)
		x.press(".kicker a")
		x.until(loaded("/day/demo/2026-09-15"))
	})
}

// The hour of the boat under the sun is chosen without a new page.
func TestChooseAnHour(t *testing.T) {
	s := serveDemo(t)
	x := open(t, s, laptop)
	x.goTo("/day/demo/2026-09-10?hour=12")
	before := eval[string](x, `document.querySelector("#boat-at svg title").textContent`)
	x.do(chromedp.Evaluate[chromedp.Void](`window.same = true`))
	x.choose("#hour", "9")
	x.until(`document.querySelector("#boat-at svg title").textContent !== ` + quoted(before))
	assert.Equal(t, "09:00", eval[string](x, `document.querySelector("output").textContent`))
	assert.True(t, eval[bool](x, `window.same`), "the page was loaded anew")
}

// Readings are entered on the dock and count at once; a slip of the finger is told
// before anything is sent.
func TestMorning(t *testing.T) {
	atWidths(t, func(t *testing.T, width int) {
		s := serveJob(t, demoJob(t))
		x := open(t, s, width)
		x.goTo("/morning/job")
		x.until(loaded("/morning/job"))
		assert.Contains(t, eval[string](x, `document.querySelector("h1").innerText`), "WAIT")
		assert.NotContains(t, x.says(), "Read so far")

		x.fill("#air", "14,5o")
		assert.Equal(t, "true", eval[string](x, `document.querySelector("#air").getAttribute("aria-invalid")`))
		x.press("form.readings .button.main")
		assert.NotEmpty(t, eval[string](x, `document.querySelector("#air").validationMessage`))
		assert.Equal(t, "/morning/job", x.where())

		x.fill("#air", "14,5")
		x.fill("#humidity", "88")
		x.press(".panel:not([open]) > summary")
		x.fill(`.panel[open] input[inputmode=decimal]`, "12.2")
		x.press("form.readings .button.main")
		x.until(`location.search.includes("saved") && document.querySelector(".taken")`)
		x.until(`document.querySelector("#said").textContent.includes("Written down")`)
		says := x.says()
		assert.Contains(t, says, "air 14.5 °C")
		assert.Contains(t, says, "humidity 88 %")
		assert.Contains(t, says, "12.2")
		assert.Empty(t, eval[string](x, `document.querySelector("#air").value`), "it would be sent twice")

		x.goTo("/log/job")
		assert.Contains(t, x.says(), "air 14.5 °C")
	})
}

// A reading that cannot be is refused with words, and what was filled in stays.
func TestMorningRefused(t *testing.T) {
	s := serveJob(t, demoJob(t))
	x := open(t, s, phone)
	x.busy = true // the answer's 422 stands on the console
	x.goTo("/morning/job")
	x.fill("#air", "345")
	x.fill("#humidity", "80")
	x.press("form.readings .button.main")
	x.until(`document.querySelector("#problem")`)
	assert.True(t, eval[bool](x, `document.activeElement.closest("#problem") !== null`), "the focus goes to what is wrong")
	assert.Equal(t, "345", eval[string](x, `document.querySelector("#air").value`))
	assert.Equal(t, "80", eval[string](x, `document.querySelector("#humidity").value`))
}

// It rained into the work: a few fields later the plan has moved, with before and
// after and the message for the owner.
func TestMoveAfterRain(t *testing.T) {
	atWidths(t, func(t *testing.T, width int) {
		s := serveJob(t, demoJob(t))
		x := open(t, s, width)
		x.goTo("/week/job")
		assert.Contains(t, x.says(), "The plan")
		s.turn(t, "2026-09-07T11:00:00-04:00")
		x.goTo("/move/job")
		x.until(loaded("/move/job"))
		x.choose("#from", "10:00")
		x.choose("#to", "10:40")
		x.fill("#mm", "2,5")
		x.press(`form[action="/move/job"] .button.main`)
		x.until(`document.querySelector("#answer") && document.querySelector("#said").textContent.trim() !== "One moment …"`)
		says := x.says()
		assert.Regexp(t, `Moved \d+ of \d+ blocks`, says)
		assert.Contains(t, says, "Mon 7 Sep 10:00–10:40, 2.5 mm")
		assert.Contains(t, says, "Before and after")
		assert.Contains(t, eval[string](x, `document.querySelector("#message").value`), "Rain fell on Kittiwake")

		x.goTo("/log/job")
		assert.Contains(t, x.says(), "rain until Mon 7 Sep 10:40, 2.5 mm")

		// The moved plan is the one that the week shows too, until it is planned anew.
		s.turn(t, "2026-09-07T11:40:00-04:00")
		s.prepare(t, "/week/job")
		x.goTo("/week/job")
		assert.Contains(t, x.says(), "Agreed 11:00. This plan stands until it is moved or planned anew.")
		x.press(`form[action="/plan/job"] .button`)
		x.until(`location.hash === "#plan" && document.readyState === "complete" && !document.body.innerText.includes("Agreed 11:00")`)
		s.prepare(t, "/move/job")
		x.goTo("/move/job")
		assert.Contains(t, x.says(), "When did it rain?")
	})
}

// A zone is touched on the boat, changed, and saved into the file, whose remarks and
// order stay as they were.
func TestEditAZone(t *testing.T) {
	atWidths(t, func(t *testing.T, width int) {
		s := serveJob(t, demoJob(t))
		x := open(t, s, width)
		x.goTo("/job/job")
		x.until(loaded("/job/job"))
		tile := eval[string](x, `[...document.querySelectorAll(".boat a")].find(a => a.innerText === "foredeck").getAttribute("href")`)
		x.do(chromedp.Evaluate[chromedp.Void](`window.same = true`))
		x.press(`.boat a[href="` + tile + `"]`)
		x.until(`document.querySelector("` + tile + `").checkVisibility()`)
		x.until(`(r => r.top >= 0 && r.top < innerHeight)(document.querySelector("` + tile + `").getBoundingClientRect())`)
		assert.True(t, eval[bool](x, `window.same`), "a step within the page loads nothing")
		x.choose(tile+" select[name=finish]", "navy-gelcoat")
		x.fill(tile+" input[name=area]", "8.5")
		x.press(tile + " .button")
		x.until(`location.search === "?saved=1" && document.querySelector("#said").textContent.includes("Saved")`)
		assert.True(t, eval[bool](x, `document.querySelector("`+tile+`").checkVisibility()`), "the form that was sent is open again")
		assert.Contains(t, x.says(), "navy gelcoat, 8.5 m²")
		text, err := os.ReadFile(s.file)
		require.NoError(t, err)
		assert.True(t, strings.HasPrefix(string(text), demoJob(t)), "what was there stays")
		assert.Regexp(t, `(?s)zones:.*foredeck.*navy-gelcoat`, string(text))

		x.do(chromedp.Evaluate[chromedp.Void](`history.back()`))
		x.until(`location.search === "" && !window.same && document.readyState === "complete"`)
		assert.Contains(t, x.says(), "navy gelcoat, 8.5 m²", "back shows the page as it is now")

		x.goTo("/week/job")
		assert.Contains(t, x.says(), "foredeck")
	})
}

// A tilt that no panel has is told beside its field, in the form that stays open, and the
// days of the job are changed by their own.
func TestAWrongTilt(t *testing.T) {
	axe := axeCore(t)
	s := serveJob(t, demoJob(t))
	x := open(t, s, phone)
	x.busy = true // the answer's 422 stands on the console
	x.goTo("/job/job")
	x.press(`.boat a[href="#zone-0"]`)
	x.until(`document.querySelector("#zone-0").checkVisibility()`)
	x.fill("#tilt0", "190")
	x.press("#zone-0 .button")
	x.until(`document.querySelector("#tilt0-wrong")`)
	assert.Contains(t, eval[string](x, `document.querySelector("#tilt0-wrong").innerText`), "180")
	assert.Equal(t, "190", eval[string](x, `document.querySelector("#tilt0").value`))
	assert.True(t, eval[bool](x, `document.querySelector("#zone-0").checkVisibility()`))
	x.fits("/job, with a wrong tilt")
	x.accessible("/job, with a wrong tilt", axe, allRules)

	x.choose("#by", "2026-09-12")
	x.press("#dates .button")
	x.until(`location.search === "?saved=1" && document.querySelector("#by").value === "2026-09-12"`)
	text, err := os.ReadFile(s.file)
	require.NoError(t, err)
	assert.Equal(t, demoJob(t), strings.Replace(string(text), "by: 2026-09-12\n", "", 1))
}

// The text of the job is checked while it is typed, and a wrong one is not saved.
func TestEditTheFile(t *testing.T) {
	s := serveJob(t, demoJob(t))
	x := open(t, s, laptop)
	x.busy = true // the answer's 422 stands on the console
	x.goTo("/job/job")
	x.choose("#text", demoJob(t, "people: 2", "people: many"))
	x.until(`document.querySelector("#checked").innerText.includes("1 mistake")`)
	assert.Contains(t, x.says(), "Line 21, column 9")
	x.press("#file .button.main")
	x.until(`document.querySelector("#problem")`)
	text, err := os.ReadFile(s.file)
	require.NoError(t, err)
	assert.Equal(t, demoJob(t), string(text))
	assert.Contains(t, eval[string](x, `document.querySelector("#text").value`), "people: many", "the work is not lost")

	x.choose("#text", demoJob(t, "people: 2", "people: 3"))
	x.until(`document.querySelector("#checked").innerText.includes("No mistakes")`)
	x.press("#file .button.main")
	x.until(`location.search === "?saved=1"`)
	text, err = os.ReadFile(s.file)
	require.NoError(t, err)
	assert.Equal(t, demoJob(t, "people: 2", "people: 3"), string(text))
}

// onPaper finds the pages of a PDF file of Chromium.
var onPaper = regexp.MustCompile(`/Type\s*/Page\b`)

// The sheet of a day fits on one page of either paper, black on white by any look.
func TestPrintTheSheet(t *testing.T) {
	s := serveDemo(t)
	atWidths(t, func(t *testing.T, width int) {
		x := open(t, s, width)
		x.goTo("/day/demo/2026-09-16") // on which the plan has work
		x.press(`button[value="night"]`)
		x.until(`document.documentElement.dataset.theme === "night" && document.readyState === "complete"`)
		x.press(".doors a[href$='/sheet']")
		x.until(loaded("/day/demo/2026-09-16/sheet"))
		assert.True(t, eval[bool](x, `document.querySelector("[data-print]").checkVisibility()`))
		assert.Positive(t, eval[int](x, `document.querySelectorAll(".tasks tbody tr").length`))
		for _, line := range eval[[]string](x, `[...document.querySelectorAll(".suit dd p")].map(p => p.innerText.trim())`) {
			assert.Regexp(t, `\d\d:\d\d$|: none$|^As `, line, "each zone has its hours, or none")
		}
		for name, paper := range map[string]chromedp.PaperSize{"A4": chromedp.PaperA4, "Letter": chromedp.PaperLetter} {
			pdf := x.pdf(paper)
			assert.Len(t, onPaper.FindAllString(pdf, -1), 1, "pages of %s", name)
		}
		x.call("Emulation.setEmulatedMedia", map[string]any{"media": "print"})
		assert.Equal(t, "rgb(255, 255, 255)", eval[string](x, `getComputedStyle(document.documentElement).backgroundColor`), "ink is not for backgrounds")
		assert.Equal(t, "rgb(0, 0, 0)", eval[string](x, `getComputedStyle(document.querySelector(".tasks td")).color`))
		assert.False(t, eval[bool](x, `document.querySelector("[data-print]").checkVisibility()`))
	})
}

// pdf prints a page as a person would.
func (x *tab) pdf(paper chromedp.PaperSize) string {
	x.t.Helper()
	data, err := chromedp.Run(x.ctx, chromedp.PrintToPDF(chromedp.PDFPaper(paper)))
	require.NoError(x.t, err)
	x.keep("sheet", "pdf", data)
	return string(data)
}

// A page is gone through by keys alone: the first of them leads past the navigation.
func TestByKeys(t *testing.T) {
	s := serveDemo(t)
	x := open(t, s, laptop)
	x.goTo("/week/demo")
	x.do(chromedp.KeyEvent("\t"))
	assert.Equal(t, "Skip to the answer", eval[string](x, `document.activeElement.innerText`))
	assert.GreaterOrEqual(t, eval[float64](x, `document.activeElement.getBoundingClientRect().top`), 0.0, "it is seen")
	x.do(chromedp.KeyEvent("\r"))
	x.until(`document.activeElement.id === "main"`)
	x.do(chromedp.KeyEvent("\t"))
	assert.True(t, eval[bool](x, `document.activeElement.closest("main") !== null`), "the next key is in the answer")
	assert.NotEqual(t, "none", eval[string](x, `getComputedStyle(document.activeElement).outlineStyle`), "the focus is seen")
}
