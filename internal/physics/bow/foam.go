package bow

import (
	"math"

	"filmfault/internal/quantity"
	"filmfault/internal/uncertain"
)

// Foam gives a board of rigid closed-cell urethane of a density in kg/m3, its
// figures assumed. Stiffness: 58 MPa (density/160)^1.86, within a factor of two
// (compression of test foams, from memory; Patel and others 2008 measured 15 to
// 151 MPa over 160-320 kg/m3). Poisson's ratio .3 and expansion 5e-5 to 1e-4 per
// K, from memory. Range: 100 to 600 kg/m3.
func Foam(thickness uncertain.Input, density float64) (Board, error) {
	if err := uncertain.Within("board density", quantity.Density, density, 100, 600); err != nil {
		return Board{}, err
	}
	middle := 58e6 * math.Pow(density/160, 1.86)
	return Board{
		Thickness: thickness,
		Stiffness: uncertain.Input{ID: "board-stiffness", Low: middle / 2, High: 2 * middle, Unit: "Pa", Spread: uncertain.EvenInLog,
			Assumed: true, Source: "compression of test foams by density, from memory, within a factor of two; Patel and others 2008"},
		Poisson: uncertain.Input{ID: "board-poisson", Low: 0.25, High: 0.35, Assumed: true, Source: "judgement, no source"},
		Expansion: uncertain.Input{ID: "board-expansion", Low: 5e-5, High: 1e-4, Unit: "1/K", Spread: uncertain.EvenInLog,
			Assumed: true, Source: "general handbooks, from memory"},
	}, nil
}

// WoodAlong is the strain of wood along its grain for a moisture content that
// rises by 1 (by 0.01: a hundredth of it): 0.1-0.2 % from green to dry over 28 %
// (USDA Wood Handbook chapter 4, from memory).
func WoodAlong() uncertain.Input {
	return uncertain.Input{ID: "wood-swelling-along", Low: 0.0036, High: 0.0071, Unit: "1", Assumed: true,
		Source: "USDA Wood Handbook chapter 4, from memory"}
}

// WoodAcross is that across the grain, radial 3-5 % to tangential 6-10 % from
// green to dry over 28 % (USDA Wood Handbook chapter 4, from memory).
func WoodAcross() uncertain.Input {
	return uncertain.Input{ID: "wood-swelling-across", Low: 0.11, High: 0.36, Unit: "1", Assumed: true,
		Source: "USDA Wood Handbook chapter 4, from memory"}
}
