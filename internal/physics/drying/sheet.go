package drying

import (
	"math"

	"filmfault/internal/uncertain"
)

// SheetUptake gives the share of its final change that a plane sheet with one
// face sealed has made at tau = D t/L^2, its free face held at one content:
//
//	1 - sum over n of 8/((2n+1)^2 pi^2) exp(-(2n+1)^2 pi^2 tau/4)
//
// Below tau .05 the short-time form 2 sqrt(tau/pi) is the same to 1e-8. Range:
// tau 0 and up. Source: Crank, The Mathematics of Diffusion, 2nd ed. 1975,
// equations 4.18 and 4.20.
func SheetUptake(tau float64) (float64, error) {
	if err := checkTau(tau); err != nil {
		return 0, err
	}
	if tau < 0.02 {
		return 2 * math.Sqrt(tau/math.Pi), nil
	}
	sum := 0.0
	for n := 0; n < 60; n++ {
		odd := float64(2*n+1) * math.Pi
		sum += 8 / (odd * odd) * math.Exp(-odd*odd*tau/4)
	}
	return 1 - sum, nil
}

// SheetProfile gives the share of the final change at a depth x (0 at the sealed
// face, 1 at the free one) at tau = D t/L^2:
//
//	1 - 4/pi sum over n of (-1)^n/(2n+1) exp(-(2n+1)^2 pi^2 tau/4) cos((2n+1) pi x/2)
//
// Range: tau .001 and up, x 0 to 1. Source: Crank 1975, equation 4.17.
func SheetProfile(tau, x float64) (float64, error) {
	if err := uncertain.WithinUnit("diffusion time D t/L2", "", tau, 1e-3, math.MaxFloat64); err != nil {
		return 0, err
	}
	if err := uncertain.WithinUnit("depth in the film", "of its thickness", x, 0, 1); err != nil {
		return 0, err
	}
	sum, sign := 0.0, 1.0
	for n := 0; n < 100; n++ {
		odd := float64(2*n+1) * math.Pi / 2
		sum += sign * 2 / odd * math.Exp(-odd*odd*tau) * math.Cos(odd*x)
		sign = -sign
	}
	return 1 - sum, nil
}

// checkTau refuses a time before the start.
func checkTau(tau float64) error {
	return uncertain.WithinUnit("diffusion time D t/L2", "", tau, 0, math.MaxFloat64)
}
