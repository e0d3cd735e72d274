package app

import (
	"bytes"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
)

// terminal is what was written, for one that writes and one that looks.
type terminal struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (t *terminal) Write(data []byte) (int, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	return t.b.Write(data)
}

func (t *terminal) String() string {
	t.mu.Lock()
	defer t.mu.Unlock()
	return t.b.String()
}

// screenOf is what a terminal's line shows after text was written to it.
func screenOf(text string) string {
	line, at := []rune{}, 0
	for _, r := range text {
		switch {
		case r == '\r':
			at = 0
		case at < len(line):
			line[at] = r
			at++
		default:
			line, at = append(line, r), at+1
		}
	}
	return strings.TrimRight(string(line), " ")
}

// The line comes after half a second, names who is asked, counts, and leaves
// nothing behind.
func TestProgress(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var b terminal
		p := newProgress(&b, afterwards)
		p.asks("MET Norway")
		at := func(d time.Duration) string {
			time.Sleep(d)
			synctest.Wait()
			return screenOf(b.String())
		}
		assert.Empty(t, at(499*time.Millisecond))
		assert.Equal(t, "asking MET Norway for the weather, 0 s", at(2*time.Millisecond))
		p.asks("NWS")
		assert.Equal(t, "asking NWS for the weather, 12 s", at(12*time.Second))
		p.done()
		assert.Empty(t, screenOf(b.String()))
		assert.True(t, strings.HasSuffix(b.String(), "\r"), "what comes next begins at the margin")
		assert.NotContains(t, b.String(), "\n")
	})
}

// What is quick, or asks nobody, or has no terminal, shows nothing.
func TestProgressOfWhatIsQuick(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var b terminal
		quick := newProgress(&b, afterwards)
		quick.asks("NWS")
		time.Sleep(afterwards - time.Millisecond)
		quick.done()
		nobody := newProgress(&b, afterwards)
		time.Sleep(time.Minute)
		nobody.done()
		assert.Empty(t, b.String())
		unseen := newProgress(nil, afterwards)
		unseen.asks("NWS")
		time.Sleep(time.Minute)
		unseen.done()
	})
}
