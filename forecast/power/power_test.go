package power

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The standard library is what a table is held against.
func TestPower(t *testing.T) {
	for _, p := range []float64{0.78, 3.4, -1, -0.5, 4, 1, 0} {
		w := New(p)
		rapid.Check(t, func(t *rapid.T) {
			x := math.Ldexp(rapid.Float64Range(1, 2).Draw(t, "x"), rapid.IntRange(-70, 70).Draw(t, "order"))
			require.InEpsilon(t, math.Pow(x, p), w.Of(x), 1e-10)
		})
		for k := range 1 << 12 { // the ends of each part, and its middle
			x := 1 + float64(k)/(1<<12)
			require.InEpsilon(t, math.Pow(x, p), w.Of(x), 1e-10)
			require.InEpsilon(t, math.Pow(x, p), w.Of(math.Nextafter(x, 0)), 1e-10)
		}
		for _, x := range []float64{0, -2, 1e-300, 1e300, 5e-324, math.Inf(1), math.Inf(-1), math.Copysign(0, -1)} {
			assert.Equal(t, math.Float64bits(math.Pow(x, p)), math.Float64bits(w.Of(x)), "%v to %v", x, p)
		}
		assert.Equal(t, p != 0, math.IsNaN(w.Of(math.NaN())), "as math.Pow has it")
	}
}

// What is more is more, across the ends of parts and orders too.
func TestPower_Rises(t *testing.T) {
	w := New(0.78)
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.Float64Range(1e-6, 100).Draw(t, "x")
		require.Less(t, w.Of(x), w.Of(x*(1+1e-9)))
	})
}

func BenchmarkPower(b *testing.B) {
	w, x, sum := New(0.78), 0.1, 0.0
	for name, of := range map[string]func(float64) float64{
		"table": w.Of, "exp of log": func(x float64) float64 { return math.Exp(0.78 * math.Log(x)) },
		"math.Pow": func(x float64) float64 { return math.Pow(x, 0.78) },
	} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if x += 0.1; x > 60 {
					x = 0.1
				}
				sum += of(x)
			}
		})
	}
	require.Positive(b, sum)
}
