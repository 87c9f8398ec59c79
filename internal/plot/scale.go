package plot

import (
	"math"
	"strconv"
	"strings"
)

// scale is an axis of values. Its ends are whole multiples of step.
type scale struct {
	low, high float64
	step      float64
	intervals int
	decimals  int
}

// share is 0 at the low end of the scale and 1 at the high end.
func (s scale) share(v float64) float64 { return (v - s.low) / (s.high - s.low) }

// values are where the axis has a number, from low to high.
func (s scale) values() []float64 {
	out := make([]float64, 0, s.intervals+1)
	for i := range s.intervals + 1 {
		out = append(out, blend(s.low, s.high, float64(i)/float64(s.intervals)))
	}
	return out
}

// text writes a number of the axis.
func (s scale) text(v float64) string { return fixed(v, s.decimals) }

// fixed writes v with so many decimals, very large numbers shorter, and never
// a zero with a sign.
func fixed(v float64, decimals int) string {
	if math.Abs(v) >= 1e7 {
		return strconv.FormatFloat(v, 'g', 4, 64)
	}
	out := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.Trim(out, "-0.") == "" {
		return strings.TrimPrefix(out, "-")
	}
	return out
}

// short writes v with at most two decimals and no more than it needs.
func short(v float64) string {
	out := fixed(v, 2)
	if !strings.Contains(out, ".") || strings.Contains(out, "e") {
		return out
	}
	return strings.TrimRight(strings.TrimRight(out, "0"), ".")
}

// decimalsFor is how many decimals tell values apart within a span.
func decimalsFor(span float64) int {
	switch {
	case span >= 10:
		return 0
	case span >= 1:
		return 1
	}
	return 2
}

// scaleOf chooses round numbers around low and high with at most so many
// intervals, of which two are always allowed: zero may lie between. Where the
// axis is drawn in rows (0 for none), it prefers numbers that fall on whole
// rows.
func scaleOf(low, high float64, most, rows int) scale {
	low, high = spread(low, high)
	var best scale
	least := math.Inf(1)
	power := int(math.Floor(math.Log10(high - low)))
	for e := power - 2; e <= power+2; e++ {
		for _, m := range []float64{1, 2, 2.5, 5} {
			s := around(low, high, m, e)
			if s.intervals > max(most, 2) {
				continue
			}
			if c := cost(s, high-low, rows); c < least {
				best, least = s, c
			}
		}
	}
	return best
}

// spread widens a range that is too narrow to draw.
func spread(low, high float64) (float64, float64) {
	size := math.Max(math.Abs(low), math.Abs(high))
	if high-low > size*1e-6 && high-low > 1e-6 {
		return low, high
	}
	by := math.Max(1, size*0.05)
	if low == 0 {
		return 0, by
	}
	return low - by, high + by
}

// around is the scale with steps of m times ten to the power e.
func around(low, high, m float64, e int) scale {
	step := m * math.Pow10(e)
	first := math.Floor(low/step + 1e-6)
	last := math.Ceil(high/step - 1e-6)
	s := scale{low: float64(first * step), high: float64(last * step), step: step, intervals: int(last - first)}
	if e < 0 {
		s.decimals = -e
	}
	if m == 2.5 && e <= 0 {
		s.decimals++
	}
	return s
}

// cost weighs what of the axis stays empty, how few numbers it has and
// whether they fall between rows.
func cost(s scale, span float64, rows int) float64 {
	out := 1 - span/(s.high-s.low)
	switch s.intervals {
	case 1:
		out += 0.4
	case 2:
		out += 0.1
	}
	if rows > 1 && (rows-1)%s.intervals != 0 {
		out += 0.1
	}
	if s.decimals > 0 && span >= 2 {
		out += 0.1
	}
	return out
}
