package plot

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The expected axes are worked out by hand.
func TestScaleIsRound(t *testing.T) {
	for _, c := range []struct {
		low, high float64
		most      int
		want      []string
	}{
		{0, 58, 5, []string{"0", "20", "40", "60"}},
		{42.5, 76, 5, []string{"40", "50", "60", "70", "80"}},
		{0, 0.9, 5, []string{"0.0", "0.2", "0.4", "0.6", "0.8", "1.0"}},
		{-3, 3, 4, []string{"-4", "-2", "0", "2", "4"}},
		{0, 0, 5, []string{"0.0", "0.2", "0.4", "0.6", "0.8", "1.0"}},
		{0.11, 0.24, 4, []string{"0.10", "0.15", "0.20", "0.25"}},
	} {
		s := scaleOf(c.low, c.high, c.most, 0)
		var got []string
		for _, v := range s.values() {
			got = append(got, s.text(v))
		}
		require.Equal(t, c.want, got, "%v to %v", c.low, c.high)
	}
}

// TestScalePrefersWholeRows: 0 to 24 on nine rows is best cut in fives without
// rows, but in four with them, for then each number has a row of its own.
func TestScalePrefersWholeRows(t *testing.T) {
	require.Equal(t, 5, scaleOf(0, 24.5, 5, 0).intervals)
	require.Equal(t, 4, scaleOf(0, 19, 5, 9).intervals)
	require.Equal(t, 4, scaleOf(0, 38, 5, 9).intervals)
}

func TestScaleHoldsItsValues(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := bounded(rapid.Float64().Draw(t, "a"))
		b := bounded(rapid.Float64().Draw(t, "b"))
		low, high := math.Min(a, b), math.Max(a, b)
		most := rapid.IntRange(2, 10).Draw(t, "most")
		s := scaleOf(low, high, most, rapid.IntRange(0, 20).Draw(t, "rows"))
		require.GreaterOrEqual(t, s.intervals, 1)
		require.LessOrEqual(t, s.intervals, most)
		require.GreaterOrEqual(t, s.share(low), -1e-6)
		require.LessOrEqual(t, s.share(high), 1+1e-6)
		require.Less(t, s.low, s.high)
	})
}

func TestNumbersAreShort(t *testing.T) {
	require.Equal(t, "0", short(-0.001))
	require.Equal(t, "12.5", short(12.5))
	require.Equal(t, "12", short(12))
	require.Equal(t, "100", short(100))
	require.Equal(t, "0.33", short(1.0/3))
	require.Equal(t, "1e+12", short(1e12))
	require.Equal(t, "0", fixed(-0.2, 0))
}
