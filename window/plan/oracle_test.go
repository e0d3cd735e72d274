package plan

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// oracle solves a job with CBC, criterion by criterion. It skips the test where
// CBC is not installed.
func oracle(t *testing.T, in *Input, seconds int) Score {
	t.Helper()
	cbc, err := exec.LookPath("cbc")
	if err != nil {
		t.Skip("cbc is not installed: apt-get install coinor-cbc")
	}
	var best Score
	for stage := range Criteria {
		file := filepath.Join(t.TempDir(), fmt.Sprintf("%s.lp", lpNames[stage]))
		f, err := os.Create(file)
		require.NoError(t, err)
		require.NoError(t, writeLP(f, in, stage, best))
		require.NoError(t, f.Close())
		out, err := exec.Command(cbc, file, "sec", fmt.Sprint(seconds), "ratio", "0", "solve", "solu", file+".sol").CombinedOutput()
		require.NoError(t, err, string(out))
		v := readSolution(t, file+".sol")
		t.Logf("%s %d", lpNames[stage], v)
		switch stage {
		case 0:
			best.Consents = int(v)
		case 1:
			best.FivePoints = int(v)
		case 2:
			best.Days = int(v)
		case 3:
			best.Finish = int(v)
		case 4:
			best.Heat = v
		}
	}
	return best
}

// readSolution reads the objective's value from CBC's solution file, which says
// on its first line how it ended.
func readSolution(t *testing.T, file string) int64 {
	t.Helper()
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	first, _, _ := strings.Cut(string(data), "\n")
	how, value, ok := strings.Cut(first, "objective value")
	require.True(t, ok, first)
	require.Contains(t, how, "Optimal", first)
	var v float64
	_, err = fmt.Sscan(value, &v)
	require.NoError(t, err)
	if v < 0 {
		v = -v // CBC turns a maximum round
	}
	return int64(v + 0.5)
}
