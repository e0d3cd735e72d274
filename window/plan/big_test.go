package plan

import (
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
	"testing"
)

func TestTmpBig(t *testing.T) {
	f, n := 0, 0
	plans := 0
	rapid.Check(t, func(t *rapid.T) {
		in := drawInput(t, size{zones: 3, steps: 2, people: 2, days: 3, slots: 6, members: 6})
		if len(in.Tasks) > 5 {
			in.Tasks = in.Tasks[:5]
			in.Apart = nil
		}
		got, err := Solve(*in)
		require.NoError(t, err)
		if got.Steps > 600000 {
			t.Logf("steps %d", got.Steps)
		}
		want := bruteForce(in)
		plans += want.plans
		require.Equal(t, want.found, got.Found)
		if want.found {
			f++
			require.Equal(t, want.best, got.Score)
			require.Equal(t, 5, got.Proven)
			holdRules(t, in, got)
		} else {
			n++
		}
	})
	t.Logf("found %d none %d plans %d", f, n, plans)
}
