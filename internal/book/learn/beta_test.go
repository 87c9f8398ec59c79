package learn

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// TestBelow compares with closed forms: the Beta distribution with a shape of 1 is
// a power, with whole shapes a sum of binomial terms (NIST Digital Library of
// Mathematical Functions 8.17.5).
func TestBelow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.Float64Range(0.001, 0.999).Draw(t, "x")
		a := rapid.Float64Range(0.01, 300).Draw(t, "a")
		require.InDelta(t, math.Pow(x, a), below(a, 1, x), 1e-12)
		require.InDelta(t, 1-math.Pow(1-x, a), below(1, a, x), 1e-12)
		m, n := rapid.IntRange(1, 30).Draw(t, "m"), rapid.IntRange(1, 30).Draw(t, "n")
		sum := 0.0
		for j := m; j <= m+n-1; j++ {
			sum += choose(m+n-1, j) * math.Pow(x, float64(j)) * math.Pow(1-x, float64(m+n-1-j))
		}
		require.InDelta(t, sum, below(float64(m), float64(n), x), 1e-11)
	})
}

func choose(n, k int) float64 {
	out := 1.0
	for i := 1; i <= k; i++ {
		out *= float64(n-k+i) / float64(i)
	}
	return out
}

// TestQuantile: it is where the share lies below.
func TestQuantile(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.Float64Range(0.05, 500).Draw(t, "a"), rapid.Float64Range(1, 5000).Draw(t, "b")
		p := rapid.SampledFrom([]float64{lowEnd, 0.5, highEnd}).Draw(t, "p")
		require.InDelta(t, p, below(a, b, quantile(a, b, p)), 1e-6)
	})
	require.InDelta(t, 0.5, quantile(7, 7, 0.5), 1e-12)
	// Shapes and a point at which each tail is just the shorter one.
	require.InDelta(t, 1, below(1.2884364950896376, 45.531542066822638, 0.046875)+below(45.531542066822638, 1.2884364950896376, 1-0.046875), 1e-12)
	require.InEpsilon(t, math.Pow(0.05, 1/0.05), quantile(0.05, 1, 0.05), 1e-6, "far down, where most of it is")
}
