package pages

import (
	"flag"
	"os"
	"runtime/debug"
)

// The properties are drawn from one seed, so that a test run says the same twice;
// RAPID_SEED, or -rapid.seed, draws others.
func init() {
	if os.Getenv("RAPID_SEED") == "" {
		_ = flag.Set("rapid.seed", "1")
	}
}

// The collector runs seldom unless GOGC says otherwise: what a page is made of is soon let go
// of, and the tests took a fifth less time so.
func init() {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(400)
	}
}
