package cli

import (
	"flag"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// update writes the picture and the outputs of the README anew, in place of
// checking them: go test ./cmd/internal/cli -run README -update
var update = flag.Bool("update", false, "write the README's picture and outputs anew")

const (
	readmeNow   = "2026-09-08T06:00:00-04:00" // the moment that the README answers for
	pictureFile = "../../../testdata/readme/day.svg"
)

// The picture in the README is what the command beside it draws.
func TestREADMEPicture(t *testing.T) {
	r := newRun(t)
	require.Equal(t, 0, r.do("draw", "day", "--demo", "--now", readmeNow, "--at", "2026-09-12", "-o", "-").code, r.err.String())
	if *update {
		require.NoError(t, os.WriteFile(pictureFile, r.out.Bytes(), 0o644))
	}
	want, err := os.ReadFile(pictureFile)
	require.NoError(t, err)
	assert.Equal(t, string(want), r.out.String(), "the demo answers otherwise than the picture shows; run with -update and look at it")
	readme, err := os.ReadFile("../../../README.md")
	require.NoError(t, err)
	assert.Contains(t, string(readme), "(`dewgap draw day --demo --at 2026-09-12 -o day.svg`):\n\n![")
}
