package plan

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func fixtures(t *testing.T) []string {
	files, err := filepath.Glob("../../testdata/plan/*.txt")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	return files
}

// TestFixtures holds the plans of jobs on paper against the best that CBC, an
// open solver of integer programs, found for them. Whether CBC is installed or
// not, the recorded scores count.
func TestFixtures(t *testing.T) {
	for _, file := range fixtures(t) {
		t.Run(filepath.Base(file), func(t *testing.T) {
			x := readFixture(t, file)
			got, err := Solve(x.Input)
			require.NoError(t, err)
			require.True(t, got.Found)
			assert.Equal(t, x.best, got.Score)
			assert.Equal(t, Criteria, got.Proven, "%d steps", got.Steps)
			holdRules(t, &x.Input, got)
		})
	}
}

// TestOracle solves the same jobs anew with CBC, where it is installed.
func TestOracle(t *testing.T) {
	for _, file := range fixtures(t) {
		t.Run(filepath.Base(file), func(t *testing.T) {
			x := readFixture(t, file)
			assert.Equal(t, x.best, oracle(t, &x.Input, 60))
		})
	}
}
