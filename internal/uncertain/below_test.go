package uncertain

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// TestBelowUndoesAt: the share of draws below a value is where the value stands
// among them.
func TestBelowUndoesAt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		low := rapid.Float64Range(0.001, 10).Draw(t, "low")
		in := Input{ID: "x", Low: low, High: low * rapid.Float64Range(1.01, 50).Draw(t, "ratio"), Spread: Spread(rapid.IntRange(0, 1).Draw(t, "spread"))}
		u := rapid.Float64Range(0.001, 0.999).Draw(t, "u")
		require.InDelta(t, u, in.Below(in.At(u)), 1e-6)
		require.Zero(t, in.Below(in.At(0)-1))
		require.Equal(t, 1.0, in.Below(in.At(1)+1))
	})
	exact := Exact("x", 2, "m", "")
	require.Zero(t, exact.Below(1.9))
	require.Equal(t, 1.0, exact.Below(2))
}
