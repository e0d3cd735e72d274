package browser

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// Widths of the window: a small phone's and a laptop's.
const (
	phone  = 360
	laptop = 1280
)

// patience is how long a condition is waited for. It is long, for the machine may be
// busy; a condition that comes true is seen within a few hundredths of a second.
const patience = 30 * time.Second

// chrome is the one browser of all tests; nil where none is installed.
var chrome context.Context

func TestMain(m *testing.M) { os.Exit(run(m)) }

// run has a home folder and a browser for the tests, and takes both away again.
func run(m *testing.M) int {
	home, err := os.MkdirTemp("", "dewgap-browser-")
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	defer func() { _ = os.RemoveAll(home) }()
	if err := os.Setenv("DEWGAP_HOME", home); err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	path := installed()
	if path == "" {
		return m.Run()
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.DisableGPU, chromedp.CombinedOutput(io.Discard),
		chromedp.Flag("mute-audio", true), chromedp.Flag("lang", "en-GB"),
		// No process for a page that nobody has asked for: to start one takes a third of a second.
		chromedp.Flag("disable-features", "Translate,BlinkGenPropertyTrees,SpareRendererForSitePerProcess"),
	)
	all, end := chromedp.NewExecAllocator(context.Background(), options...)
	defer end()
	ctx, stop := chromedp.NewContext(all, chromedp.WithErrorf(func(string, ...any) {}))
	defer stop()
	if err := chromedp.Do(ctx); err != nil {
		fmt.Fprintln(os.Stderr, path, "does not start:", err)
		return 1
	}
	chrome = ctx
	return m.Run()
}

// installed is where a Chromium lies, "" where there is none. That without windows of its own
// is asked first: the tests take two thirds of the time in it.
func installed() string {
	for _, name := range []string{"chromium-headless-shell", "chrome-headless-shell", "chromium", "chromium-browser", "google-chrome", "chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	return ""
}

// event is something that the browser told, by the protocol's name of its type.
type event struct {
	kind string // such as network.EventRequestWillBeSent
	data []byte // JSON
}

// hear takes down what the tests ask about.
func (x *tab) hear(ev any) {
	kind := strings.TrimPrefix(fmt.Sprintf("%T", ev), "*")
	switch kind {
	case "network.EventRequestWillBeSent", "network.EventLoadingFinished", "network.EventResponseReceived", "network.EventLoadingFailed",
		"runtime.EventConsoleAPICalled", "runtime.EventExceptionThrown", "log.EventEntryAdded",
		"page.EventJavascriptDialogOpening":
	default:
		return
	}
	data, err := json.Marshal(ev)
	if err != nil {
		data = []byte(`{}`)
	}
	x.mu.Lock()
	defer x.mu.Unlock()
	x.heard = append(x.heard, event{kind, data})
}

// events are what was heard of some kinds.
func (x *tab) events(kinds ...string) []event {
	x.mu.Lock()
	defer x.mu.Unlock()
	var out []event
	for _, e := range x.heard {
		for _, k := range kinds {
			if e.kind == k {
				out = append(out, e)
			}
		}
	}
	return out
}

// forget begins to listen anew.
func (x *tab) forget() {
	x.mu.Lock()
	defer x.mu.Unlock()
	x.heard = nil
}

// quiet wants that the browser had nothing to complain of: no error or warning on the
// console, which is where a breach of the Content-Security-Policy stands, no
// exception, and no dialog.
func (x *tab) quiet() {
	x.t.Helper()
	for _, e := range x.events("runtime.EventConsoleAPICalled", "runtime.EventExceptionThrown", "log.EventEntryAdded", "page.EventJavascriptDialogOpening") {
		x.t.Errorf("the browser complains: %s: %s", e.kind, e.data)
	}
}

// do does steps, or fails the test.
func (x *tab) do(steps ...chromedp.Action[chromedp.Void]) {
	x.t.Helper()
	ctx, cancel := context.WithTimeout(x.ctx, patience)
	defer cancel()
	if err := chromedp.Do(ctx, steps...); err != nil {
		require.NoError(x.t, err, "at %s", x.where())
	}
}

// where is the address that the window shows, for messages.
func (x *tab) where() string {
	ctx, cancel := context.WithTimeout(x.ctx, time.Second)
	defer cancel()
	at, err := chromedp.Run(ctx, chromedp.Location())
	if err != nil {
		return "an unknown page"
	}
	return strings.TrimPrefix(at, x.base)
}

// goTo opens a page by its path.
func (x *tab) goTo(path string) {
	x.t.Helper()
	x.do(chromedp.Navigate(x.base + path))
}

// call sends a command of the protocol that chromedp has no action for. No other test
// has the window after that.
func (x *tab) call(method string, params map[string]any) {
	x.t.Helper()
	x.spoilt = true
	x.do(command(method, params))
}

// command is a command of the protocol, whose answer nobody asks about.
func command(method string, params map[string]any) chromedp.Action[chromedp.Void] {
	return chromedp.Func(func(ctx context.Context, to *chromedp.Target) error {
		var none struct{}
		return to.Call(ctx, method, params, &none)
	})
}

// eval is the value of an expression in the page. A promise is waited for.
func eval[T any](x *tab, expression string) T {
	x.t.Helper()
	ctx, cancel := context.WithTimeout(x.ctx, patience)
	defer cancel()
	v, err := chromedp.Run(ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	require.NoError(x.t, err, "at %s: %.200s", x.where(), expression)
	return v
}

// until waits until an expression is true in the page that is then open. A page that
// is just being left does no harm.
func (x *tab) until(expression string) {
	x.t.Helper()
	ctx, cancel := context.WithTimeout(x.ctx, patience)
	defer cancel()
	for wait := 5 * time.Millisecond; ; wait = min(2*wait, 40*time.Millisecond) { // asking takes the processor too
		if yes, err := chromedp.Run(ctx, chromedp.Evaluate[bool]("!!("+expression+")")); err == nil && yes {
			return
		}
		select {
		case <-time.After(wait):
		case <-ctx.Done():
			require.FailNow(x.t, "waited in vain", "at %s for %s; the page says: %.2000s", x.where(), expression, x.says())
		}
	}
}

// says is what a person can read on the page, with plain spaces and dashes.
func (x *tab) says() string {
	ctx, cancel := context.WithTimeout(x.ctx, 5*time.Second)
	defer cancel()
	text, err := chromedp.Run(ctx, chromedp.Evaluate[string]("document.body.innerText"))
	if err != nil {
		return "nothing: " + err.Error()
	}
	return strings.NewReplacer("\u00a0", " ", "\u2060", "").Replace(text)
}

// press presses what a CSS selector finds: by finger on a phone, else by mouse.
func (x *tab) press(selector string) {
	x.t.Helper()
	if x.width == phone {
		x.do(chromedp.ScrollIntoView(chromedp.CSS(selector)), chromedp.Tap(chromedp.CSS(selector), chromedp.NodeVisible))
		return
	}
	x.do(chromedp.Click(chromedp.CSS(selector), chromedp.NodeVisible))
}

// link is the selector of a link of the main part or the navigation, by its path.
func link(path string) string { return fmt.Sprintf("a[href=%q]", path) }

// fill writes into a field.
func (x *tab) fill(selector, text string) {
	x.t.Helper()
	x.do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`document.querySelector(%s).value = ""`, quoted(selector))), chromedp.SendKeys(chromedp.CSS(selector), text))
}

// choose sets a field that is not typed into: a list, a day, a time.
func (x *tab) choose(selector, value string) {
	x.t.Helper()
	const set = `(() => { const e = document.querySelector(%s); e.value = %s; e.dispatchEvent(new Event("input", {bubbles: true})); e.dispatchEvent(new Event("change", {bubbles: true})); return e.value; })()`
	require.Equal(x.t, value, eval[string](x, fmt.Sprintf(set, quoted(selector), quoted(value))), "%s takes it", selector)
}

// atWidths runs a journey on a phone and on a laptop.
func atWidths(t *testing.T, journey func(t *testing.T, width int)) {
	for _, width := range []int{phone, laptop} {
		t.Run(fmt.Sprint(width), func(t *testing.T) {
			t.Parallel()
			journey(t, width)
		})
	}
}

// quoted is a text as JavaScript has it.
func quoted(s string) string {
	data, err := json.Marshal(s)
	if err != nil {
		return `""`
	}
	return string(data)
}
