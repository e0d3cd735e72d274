package browser

import (
	"fmt"
	"net/url"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var tokenLine = regexp.MustCompile(`(?m)^[0-9a-f]{40}$`)

// serveOthers serves the demo to everybody who can reach this computer, and gives the
// token that it printed.
func serveOthers(t *testing.T) (*server, string) {
	home := t.TempDir()
	t.Setenv("DEWGAP_HOME", home)
	s := new(server).serve(t, "--demo", "--now", monday, "--listen", "0.0.0.0:0")
	token := tokenLine.FindString(s.out.String())
	require.NotEmpty(t, token, "%s", s.out)
	at, err := url.Parse(s.base)
	require.NoError(t, err)
	s.base = "http://127.0.0.1:" + at.Port()
	return s, token
}

// Others sign in with the token, are led to where they wanted to go, and out again:
// then neither a page nor its copy is to be had.
func TestSignIn(t *testing.T) {
	s, token := serveOthers(t)
	axe := axeCore(t)
	for _, width := range []int{phone, laptop} {
		t.Run(fmt.Sprint(width), func(t *testing.T) {
			x := open(t, s, width)
			x.busy = true // the 403 of a wrong token stands on the console
			x.goTo("/week/demo")
			x.until(`location.pathname === "/sign-in"`)
			assert.NotContains(t, x.says(), "Kittiwake")
			x.fits("/sign-in")
			x.targets("/sign-in")
			x.accessible("/sign-in", axe, allRules)
			x.shoot("/sign-in", "auto")

			x.fill("#token", "not the token")
			x.press("button")
			x.until(`document.querySelector("[role=alert]")`)
			assert.Contains(t, x.says(), "That is not the sign-in token.")
			x.fill("#token", token)
			x.press("button")
			x.until(loaded("/week/demo"))
			assert.Contains(t, x.says(), "Tuesday 15 September")
			assert.Empty(t, eval[string](x, `document.cookie`), "no script reads the session")

			x.goTo("/settings")
			assert.NotContains(t, x.says(), ".ics", "no address that would not hold")
			x.press(link("/calendar-link"))
			x.until(`location.pathname === "/calendar-link" && document.readyState === "complete"`)
			x.fits("/calendar-link")
			x.targets("/calendar-link")
			x.accessible("/calendar-link", axe, allRules)
			x.press(`button[value="new"]`)
			x.until(`document.querySelector("code")`)
			assert.Regexp(t, regexp.QuoteMeta(s.base)+`/calendar/[0-9a-f]{40}/demo\.ics`, x.says(), "by the address that this person uses")
			x.fits("/calendar-link, with its link")
			x.shoot("/calendar-link", "auto")

			x.goTo("/week/demo")
			x.untilTold(keptPage("/week/demo"))
			x.press(`form[action="/sign-out"] button`)
			x.until(`location.pathname === "/sign-in"`)
			assert.False(t, eval[bool](x, keptPage("/week/demo")), "the copy is still there")
			x.goTo("/week/demo")
			x.until(`location.pathname === "/sign-in"`)
		})
	}
	assert.NotContains(t, s.log.String(), token)
	assert.NotRegexp(t, `calendar/[0-9a-f]`, s.log.String())
}
