package plot

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestRunsEndAtGapsAndEdges(t *testing.T) {
	points := []Point{{0, 0}, {10, 10}, {20, math.NaN()}, {30, 3}, {40, math.Inf(1)}, {50, 5}, {60, 6}, {90, 9}}
	got := runs(pointKnots(points), window{5, 70})
	require.Equal(t, [][]knot{
		{{5, 5, 5}, {10, 10, 10}},
		{{30, 3, 3}},
		{{50, 5, 5}, {60, 6, 6}, {70, 7, 7}},
	}, got)
}

func TestALineAcrossTheWholeWindowIsSeen(t *testing.T) {
	got := runs(pointKnots([]Point{{-10, 0}, {110, 12}}), window{0, 100})
	require.Equal(t, [][]knot{{{0, 1, 1}, {100, 11, 11}}}, got)
	back := runs(pointKnots([]Point{{110, 12}, {-10, 0}}), window{0, 100})
	require.Len(t, back, 1)
	require.InDelta(t, 11, back[0][0].low, 1e-12)
	require.Empty(t, runs(pointKnots([]Point{{-10, 0}, {-5, 1}}), window{0, 100}))
}

func TestTheWindowComesFromWhatIsThereIfNeedBe(t *testing.T) {
	c := Chart{From: 5, To: 5, Panels: []Panel{{Lines: []Line{{Points: []Point{{100, 1}, {math.NaN(), 2}, {9000, math.NaN()}, {400, 3}}}}}}, Marks: []Mark{{700, "late"}}}
	require.Equal(t, window{100, 700}, windowOf(c))
	require.Equal(t, window{0, 3600}, windowOf(Chart{From: math.NaN(), To: math.Inf(1)}))
	require.Equal(t, window{-1800, 1800}, windowOf(Chart{From: 1, Marks: []Mark{{0, "alone"}}}))
	require.Equal(t, window{3, 9}, windowOf(Chart{From: 3, To: 9}))
}

func TestBandsWithTheirEndsExchanged(t *testing.T) {
	require.Equal(t, []knot{{1, 2, 5}}, bandKnots([]Band{{1, 5, 2}}))
}

func TestKnotAt(t *testing.T) {
	knots := pointKnots([]Point{{0, 0}, {10, 20}, {20, math.NaN()}, {30, 5}})
	k, ok := knotAt(knots, 2.5)
	require.True(t, ok)
	require.InDelta(t, 5, k.low, 1e-12)
	_, ok = knotAt(knots, 15)
	require.False(t, ok)
	k, ok = knotAt(knots, 30)
	require.True(t, ok)
	require.InDelta(t, 5, k.low, 0)
}
