package blister

import "math"

// membrane is what Poisson's ratio makes of a round membrane under pressure.
type membrane struct {
	rise   float64 // C1: rise of the middle over a (p a/(E t))^(1/3)
	volume float64 // volume under the dome over pi a^2 rise
	energy float64 // k: energy set free over p times the rise, 5/4 volume
}

// terms is how many terms of the series are taken: the last is below 1e-9.
const terms = 24

// hencky solves the round membrane held at its edge under even pressure by the
// power series of Hencky (1915): with N = (E t/4) q^(2/3) f(x) the tension, x =
// (r/a)^2 and q = p a/(E t), equilibrium and compatibility give f^2 sum k (k+1)
// b_k x^(k-1) = -2 for f = sum b_k x^k, and no movement of the edge gives sum
// (2k + 1 - nu) b_k = 0. The energy factor follows from the volume: at constant
// pressure it grows as a^(10/3), and three quarters of p V are set free.
func hencky(nu float64) membrane {
	slope := inverse(tension(clamped(nu)))
	// dw/dr = -p r/(2 N): the rise is the integral of 2 r/f, and the volume
	// that of r^2 times it.
	var rise, volume float64
	for k, s := range slope {
		n := float64(k)
		rise += s / (n + 1)
		volume += s / (n + 2)
	}
	c := membrane{rise: rise, volume: volume / rise}
	c.energy = 1.25 * c.volume
	return c
}

// tension gives the coefficients b of f from the first one, term by term.
func tension(first float64) [terms]float64 {
	var b, square [terms]float64 // square is f^2
	b[0], square[0] = first, first*first
	for k := 1; k < terms; k++ {
		// The coefficient of x^(k-1) of f^2 times the sum of n (n+1) b_n x^(n-1)
		// is -2 for k = 1 and 0 beyond.
		known := 0.0
		if k == 1 {
			known = -2
		}
		for n := 1; n < k; n++ {
			known -= square[k-n] * float64(n*(n+1)) * b[n]
		}
		b[k] = known / (square[0] * float64(k*(k+1)))
		for n := 0; n <= k; n++ {
			square[k] += b[n] * b[k-n]
		}
	}
	return b
}

// clamped finds the b_0 at which the edge does not move, by the secant rule. The
// condition is nearly straight in b_0 from 1.6 to 1.9, where the solutions for
// all Poisson's ratios lie.
func clamped(nu float64) float64 {
	before, now := 1.6, 1.8
	off := edge(tension(before), nu)
	for range 30 {
		miss := edge(tension(now), nu)
		if math.Abs(miss) < 1e-13 || miss == off {
			break
		}
		before, now, off = now, now-miss*(now-before)/(miss-off), miss
	}
	return now
}

// edge is the movement of the edge, but for a factor.
func edge(b [terms]float64, nu float64) float64 {
	sum := 0.0
	for k, v := range b {
		sum += (2*float64(k) + 1 - nu) * v
	}
	return sum
}

// inverse gives the coefficients of 1/f.
func inverse(b [terms]float64) [terms]float64 {
	var s [terms]float64
	s[0] = 1 / b[0]
	for k := 1; k < terms; k++ {
		for n := 1; n <= k; n++ {
			s[k] -= b[n] * s[k-n]
		}
		s[k] /= b[0]
	}
	return s
}
