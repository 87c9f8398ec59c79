package review

import "math"

// z90 is the point of the normal distribution that 95 % lie below: the two of
// them hold 90 % between them.
const z90 = 1.6448536269514722

// Wilson gives the interval of E. B. Wilson (1927) for the probability behind k
// of n, at z standard deviations: the probabilities p for which k lies within z
// sqrt(n p (1-p)) of n p. It lies in [0,1]; of no trials it is all of it.
func Wilson(k, n int, z float64) (low, high float64) {
	if n <= 0 {
		return 0, 1
	}
	share, m := float64(k)/float64(n), float64(n)
	z2 := z * z
	middle := (share + z2/(2*m)) / (1 + z2/m)
	half := z / (1 + z2/m) * math.Sqrt(share*(1-share)/m+z2/(4*m*m))
	low, high = max(0, middle-half), min(1, middle+half)
	// The ends are met exactly; the sums above leave them by a rounding.
	if k == 0 {
		low = 0
	}
	if k == n {
		high = 1
	}
	return low, high
}

// BinomialRange gives the numbers of hits of n at a probability p that bound the
// middle 90 % at least: the smallest that at least 5 %, and at least 95 %, of the
// distribution lie at or below.
func BinomialRange(n int, p float64) (low, high int) {
	switch {
	case n <= 0 || p <= 0:
		return 0, 0
	case p >= 1:
		return n, n
	}
	const tail = 0.05
	all, _ := math.Lgamma(float64(n + 1))
	sum := 0.0
	low = -1
	for k := 0; k <= n; k++ {
		a, _ := math.Lgamma(float64(k + 1))
		c, _ := math.Lgamma(float64(n - k + 1))
		sum += math.Exp(all - a - c + float64(k)*math.Log(p) + float64(n-k)*math.Log1p(-p))
		if low < 0 && sum >= tail {
			low = k
		}
		if sum >= 1-tail {
			return low, k
		}
	}
	return max(low, 0), n
}

// shareOf is so many of so many with their interval.
func shareOf(k, n int) Share {
	out := Share{Cases: k, Of: n}
	if n > 0 {
		low, high := Wilson(k, n, z90)
		out.Share, out.Low, out.High = number(float64(k)/float64(n)), number(low), number(high)
	}
	return out
}
