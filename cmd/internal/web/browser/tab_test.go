package browser

import (
	"context"
	"sync"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// window is one of the browser's, with cookies and stores of its own. To open it and to show
// the first page in it takes as long as fifteen pages more, so that tests have it one after the
// other; between them it is emptied.
type window struct {
	ctx context.Context
	end func()

	mu  sync.Mutex
	tab *tab // which it is for now; nil between tests
}

// spare are the windows that no test has now, by their width.
var spare = struct {
	sync.Mutex
	of map[int][]*window
}{of: map[int][]*window{}}

// tab is a window while a test has it.
type tab struct {
	t      testing.TB
	window *window
	ctx    context.Context
	base   string
	width  int
	busy   bool // what is heard may be wrong: a test without a connection
	spoilt bool // the window is set as no other test wants it

	mu    sync.Mutex
	heard []event
}

// open opens a window on a server's pages.
func open(t testing.TB, s *server, width int) *tab {
	t.Helper()
	if chrome == nil {
		t.Skip("no chromium is installed here: .ci/browser installs one")
	}
	w := spareWindow(width)
	if w == nil {
		w = newWindow(t, width)
	}
	x := &tab{t: t, window: w, ctx: w.ctx, base: s.base, width: width}
	w.isFor(x)
	t.Cleanup(func() {
		if !x.busy && !t.Failed() {
			x.quiet()
		}
		w.isFor(nil)
		if t.Failed() || x.spoilt || len(x.events("page.EventJavascriptDialogOpening")) > 0 || x.empty() != nil {
			w.end()
			return
		}
		spare.Lock()
		defer spare.Unlock()
		spare.of[width] = append(spare.of[width], w)
	})
	return x
}

// spareWindow is a window that another test is done with, nil where there is none.
func spareWindow(width int) *window {
	spare.Lock()
	defer spare.Unlock()
	list := spare.of[width]
	if len(list) == 0 {
		return nil
	}
	w := list[len(list)-1]
	spare.of[width] = list[:len(list)-1]
	return w
}

// newWindow opens one of a width.
func newWindow(t testing.TB, width int) *window {
	t.Helper()
	w := &window{}
	w.ctx, w.end = chromedp.NewContext(chrome, chromedp.WithNewBrowserContext(), chromedp.WithListener(w.hear))
	size := chromedp.EmulateViewport(int64(width), 800)
	if width == phone {
		size = chromedp.EmulateViewport(int64(width), 740, chromedp.EmulateMobile, chromedp.EmulateTouch, chromedp.EmulatePortrait)
	}
	require.NoError(t, chromedp.Do(w.ctx, size)) // by a context with an end it would end with that
	return w
}

// isFor says whose window it is.
func (w *window) isFor(x *tab) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.tab = x
}

// hear hands on what the browser tells.
func (w *window) hear(ev any) {
	w.mu.Lock()
	x := w.tab
	w.mu.Unlock()
	if x != nil {
		x.hear(ev)
	}
}

// empty leaves the window as it was when it was new: on no page, and with nothing kept for the
// server of this test. Another test's server has another port, so that the stores, caches and
// workers of the two are apart anyhow; cookies know no ports.
func (x *tab) empty() error {
	ctx, cancel := context.WithTimeout(x.ctx, patience)
	defer cancel()
	return chromedp.Do(ctx,
		chromedp.Navigate("about:blank"),
		command("Page.resetNavigationHistory", nil),
		command("Network.clearBrowserCookies", nil),
		command("Storage.clearDataForOrigin", map[string]any{"origin": x.base, "storageTypes": "all"}),
	)
}
