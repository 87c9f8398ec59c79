package learn

import "math"

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
// x, the regularised incomplete beta function (NIST Digital Library of
// Mathematical Functions, 8.17.22, with 8.17.4 where the fraction converges
// slowly).
func below(a, b, x float64) float64 {
	switch {
	case x <= 0:
		return 0
	case x >= 1:
		return 1
	case x > (a+1)/(a+b+2):
		return 1 - below(b, a, 1-x)
	}
	ab, _ := math.Lgamma(a + b)
	la, _ := math.Lgamma(a)
	lb, _ := math.Lgamma(b)
	return math.Exp(a*math.Log(x)+b*math.Log1p(-x)+ab-la-lb) / a / fraction(a, b, x)
}

// fraction is 1 + d1/(1 + d2/(1 + ...)) by the method of Lentz: forward, with the
// ratios of its numerators and denominators.
func fraction(a, b, x float64) float64 {
	const tiny = 1e-300
	f, c, d := 1.0, 1.0, 0.0
	for m := 1; m < 10_000; m++ {
		n := term(a, b, x, m)
		d = 1 / nonzero(1+n*d, tiny)
		c = nonzero(1+n/c, tiny)
		f *= c * d
		if math.Abs(c*d-1) < 1e-15 {
			break
		}
	}
	return f
}

// term is the m-th coefficient of the fraction, counted from 1.
func term(a, b, x float64, m int) float64 {
	k := float64(m / 2)
	if m%2 == 0 {
		return k * (b - k) * x / ((a + 2*k - 1) * (a + 2*k))
	}
	return -(a + k) * (a + b + k) * x / ((a + 2*k) * (a + 2*k + 1))
}

func nonzero(x, tiny float64) float64 {
	if math.Abs(x) < tiny {
		return tiny
	}
	return x
}
