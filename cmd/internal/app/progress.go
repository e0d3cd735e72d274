package app

import (
	"fmt"
	"io"
	"strings"
	"sync"
	"time"
)

// afterwards is how long a fetch may take before a person is told that it is
// still going on.
const afterwards = 500 * time.Millisecond

// progress is one line that says who is being asked, while that takes long. It
// is wiped off when it is over, so that nothing of it stays. It runs on the
// computer's own clock: how long a person waits is no matter of what day it is.
type progress struct {
	w       io.Writer
	mu      sync.Mutex
	service string // who is asked, "" before anybody is
	shown   int    // cells of the line that stands there
	stop    chan struct{}
	gone    chan struct{}
}

// newProgress shows the line on w from after a while on; with a nil w it shows
// nothing, to nobody.
func newProgress(w io.Writer, after time.Duration) *progress {
	p := &progress{w: w, stop: make(chan struct{}), gone: make(chan struct{})}
	if w == nil {
		close(p.gone)
		return p
	}
	go p.run(after)
	return p
}

// asks tells whom the line is to name.
func (p *progress) asks(service string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.service = service
}

// done wipes the line off and ends it.
func (p *progress) done() {
	close(p.stop)
	<-p.gone
}

func (p *progress) run(after time.Duration) {
	defer close(p.gone)
	start := time.Now()
	tick := time.NewTimer(after)
	defer tick.Stop()
	for {
		select {
		case <-p.stop:
			p.write("")
			return
		case now := <-tick.C:
			p.write(p.text(now.Sub(start)))
			tick.Reset(after)
		}
	}
}

// text is the line after so long.
func (p *progress) text(d time.Duration) string {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.service == "" {
		return ""
	}
	return fmt.Sprintf("asking %s for the weather, %d s", p.service, int(d/time.Second))
}

// write puts a line in place of the one before, in a way that any terminal
// knows.
func (p *progress) write(line string) {
	if p.shown == 0 && line == "" {
		return
	}
	blank := strings.Repeat(" ", max(0, p.shown-len(line)))
	end := ""
	if line == "" {
		end = "\r"
	}
	fmt.Fprint(p.w, "\r"+line+blank+end)
	p.shown = len(line)
}
