package exchange

import (
	"math"

	"filmfault/internal/uncertain"
)

// transition is the Reynolds number at which the layer of air along a smooth
// plate turns turbulent.
const transition = 5e5

// Limits of the plate correlations.
const (
	mostReynolds = 1e8
	mostRayleigh = 1e13
)

// Flow says how the air runs along a plate.
type Flow int

const (
	// Smooth is laminar to Re 5e5 and turbulent beyond it.
	Smooth Flow = iota
	// Tripped is turbulent from the leading edge: a fan's jet, a frame, a
	// rough edge.
	Tripped
)

// ForcedPlate gives the mean Nusselt number of a plate along which air is
// blown, or the Sherwood number when pr is the Schmidt number:
//
//	laminar 0.664 Re^1/2 Pr^1/3, to Re 5e5; beyond it (0.037 Re^0.8 - 871) Pr^1/3
//	tripped 0.037 Re^0.8 Pr^1/3
//
// Re is speed times length over kinematic viscosity. Range: Re 0 to 1e8, pr 0.5
// to 60. Source: Incropera, Fundamentals of Heat and Mass Transfer, chapter 7.
// Tripped below about Re 2e4, where it falls under the laminar value, gives the
// laminar one.
func ForcedPlate(re, pr float64, flow Flow) (float64, error) {
	if err := uncertain.WithinUnit("Reynolds number of the air along the panel", "", re, 0, mostReynolds); err != nil {
		return 0, err
	}
	if err := checkPrandtl(pr); err != nil {
		return 0, err
	}
	return forcedPlate(re, flow) * math.Cbrt(pr), nil
}

// forcedPlate is ForcedPlate over Pr^1/3, within its range.
func forcedPlate(re float64, flow Flow) float64 {
	laminar := 0.664 * math.Sqrt(re)
	switch {
	case flow == Tripped:
		return max(laminar, 0.037*math.Pow(re, 0.8))
	case re > transition:
		return 0.037*math.Pow(re, 0.8) - 871
	}
	return laminar
}

// checkPrandtl refuses what is no Prandtl or Schmidt number of a gas or water.
func checkPrandtl(pr float64) error {
	return uncertain.WithinUnit("Prandtl or Schmidt number", "", pr, 0.5, 60)
}

// VerticalPlate gives the mean Nusselt number of a standing plate in still air:
//
//	(0.825 + 0.387 Ra^1/6 / (1 + (0.492/Pr)^9/16)^8/27)^2
//
// Ra is the Rayleigh number with the height. Range: Ra 0 to 1e13, pr 0.5 to 60.
// Source: Churchill and Chu 1975, as in Incropera, chapter 9.
func VerticalPlate(ra, pr float64) (float64, error) {
	if err := checkRayleigh(ra, pr); err != nil {
		return 0, err
	}
	return verticalPlate(ra, verticalFactor(pr)), nil
}

// verticalFactor is what the Prandtl number does to VerticalPlate.
func verticalFactor(pr float64) float64 {
	return 0.387 / math.Pow(1+math.Pow(0.492/pr, 9.0/16), 8.0/27)
}

// verticalPlate is VerticalPlate within its range.
func verticalPlate(ra, factor float64) float64 {
	root := 0.825 + factor*math.Cbrt(math.Sqrt(ra))
	return root * root
}

// LyingPlate gives the mean Nusselt number of a lying plate in still air. When
// the air at the face can get away - lighter air above a face that looks up,
// heavier air below one that looks down - it is 0.54 Ra^1/4 to Ra 1e7 and 0.15
// Ra^1/3 beyond, otherwise 0.27 Ra^1/4. Ra has the length area over perimeter.
// Range: Ra 0 to 1e13. Source: Incropera, chapter 9 (McAdams; Lloyd and Moran).
func LyingPlate(ra float64, escapes bool) (float64, error) {
	if err := checkRayleigh(ra, 0.7); err != nil {
		return 0, err
	}
	return lyingPlate(ra, escapes), nil
}

// lyingPlate is LyingPlate within its range.
func lyingPlate(ra float64, escapes bool) float64 {
	quarter := math.Sqrt(math.Sqrt(ra))
	switch {
	case !escapes:
		return 0.27 * quarter
	case ra > 1e7:
		return 0.15 * math.Cbrt(ra)
	}
	return 0.54 * quarter
}

// checkRayleigh refuses what the correlations of free convection are not for.
func checkRayleigh(ra, pr float64) error {
	if err := uncertain.WithinUnit("Rayleigh number of the still air", "", ra, 0, mostRayleigh); err != nil {
		return err
	}
	return checkPrandtl(pr)
}
