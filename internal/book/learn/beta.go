package learn

import "gonum.org/v1/gonum/mathext"

// The ends of a 90 % interval.
const (
	lowEnd  = 0.05
	highEnd = 0.95
)

// quantile is the value that a share p of the Beta distribution with shapes a and
// b, both above 0, lies below.
func quantile(a, b, p float64) float64 {
	low, high := 0.0, 1.0
	for range 200 { // each step halves it; small shapes have their low end near nothing
		mid := (low + high) / 2
		if high-low <= 1e-13*high || mid == low || mid == high {
			break
		}
		if below(a, b, mid) < p {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}

// below is the share of the Beta distribution with shapes a and b that lies below
// x, the regularised incomplete beta function.
func below(a, b, x float64) float64 {
	switch {
	case x <= 0:
		return 0
	case x >= 1:
		return 1
	}
	return mathext.RegIncBeta(a, b, x)
}
