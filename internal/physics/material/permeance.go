package material

import (
	"errors"
	"fmt"

	"filmfault/internal/uncertain"
)

// Permeance units in kg/(s m2 Pa). A US perm is a grain of vapour an hour
// through a square foot for an inch of mercury; the inch of mercury depends on
// the temperature it is taken at.
const (
	// Perm is the US perm with mercury at 0 C: 64.79891e-6 kg over 3600 s,
	// 0.09290304 m2 and 3386.38 Pa.
	Perm = 57.2135e-12
	// Perm60F has mercury at 60 F (3376.85 Pa).
	Perm60F = 57.3751e-12
	// Perm23C has mercury at 23 C (NIST SP 811, appendix B.8, from memory).
	Perm23C = 57.4525e-12
	// MetricPerm is a gram a day through a m2 for a mm of mercury at 0 C:
	// 1e-3 kg over 86400 s and 133.322 Pa.
	MetricPerm = 86.8127e-12
	// PermInch is the permeability in kg/(s m Pa) of what has one perm when an
	// inch thick.
	PermInch = Perm * 0.0254
)

// largestPermeance in kg/(s m2 Pa) is far above still air a millimetre thick,
// 2e-7.
const largestPermeance = 1e-6

// checkPermeance refuses a permeance that no layer has.
func checkPermeance(p float64) error {
	return uncertain.WithinUnit("permeance", "kg/(s m2 Pa)", p, 0, largestPermeance)
}

// OfThickness gives the permeance in kg/(s m2 Pa) of a layer of a thickness in
// m from its permeability in kg/(s m Pa): permeability/thickness. Range:
// permeability 0 to 1e-9, thickness .1 um to 1 m.
func OfThickness(permeability, thickness float64) (float64, error) {
	if err := uncertain.WithinUnit("permeability", "kg/(s m Pa)", permeability, 0, 1e-9); err != nil {
		return 0, err
	}
	if err := uncertain.WithinUnit("thickness", "m", thickness, 1e-7, 1); err != nil {
		return 0, err
	}
	return permeability / thickness, nil
}

// ErrNoLayers says that nothing was given to add up.
var ErrNoLayers = errors.New("no layers to add up")

// Series gives the permeance in kg/(s m2 Pa) of layers on top of each other:
// 1/P = sum 1/Pi. It is 0 if any layer lets nothing through. Range: each 0 to
// 1e-6. Source: resistances in series, as in ASHRAE Handbook of Fundamentals,
// water-vapour transmission.
func Series(permeances ...float64) (float64, error) {
	if len(permeances) == 0 {
		return 0, ErrNoLayers
	}
	resistance := 0.0
	for i, p := range permeances {
		if err := checkPermeance(p); err != nil {
			return 0, fmt.Errorf("layer %d: %w", i+1, err)
		}
		resistance += 1 / p // +Inf for a layer that seals
	}
	return 1 / resistance, nil
}

// Flux gives the vapour in kg/(s m2) through a layer of a permeance in kg/(s m2
// Pa) for a difference of vapour pressure in Pa: their product, with the sign
// of the difference. Range: permeance 0 to 1e-6, difference within one
// atmosphere. Permeance of latex films about doubles from 25 to 75 % relative
// humidity, so that one figure for a film is good to a factor of two.
func Flux(permeance, difference float64) (float64, error) {
	if err := checkPermeance(permeance); err != nil {
		return 0, err
	}
	if err := uncertain.WithinUnit("vapour pressure difference", "Pa", difference, -101325, 101325); err != nil {
		return 0, err
	}
	return permeance * difference, nil
}

// Strain gives, for one draw, the strain by which the dried film would shrink
// if let go: the shop's Shrinkage where it was stated, else that of the stress,
// s (1-nu)/E (equal tension in both directions, Hooke). Stress is the better
// known of the two.
func (m Material) Strain(d uncertain.Draws, draw int) float64 {
	if !m.Shrinkage.Assumed {
		return d.Value(m.Shrinkage, draw)
	}
	return d.Value(m.Stress, draw) * (1 - d.Value(m.PoissonRatio, draw)) / d.Value(m.Stiffness, draw)
}
