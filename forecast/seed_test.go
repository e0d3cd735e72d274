package forecast

import (
	"flag"
	"os"
)

// The properties are drawn from one seed, so that a test run says the same twice;
// RAPID_SEED, or -rapid.seed, draws others.
func init() {
	if os.Getenv("RAPID_SEED") == "" {
		_ = flag.Set("rapid.seed", "1")
	}
}
