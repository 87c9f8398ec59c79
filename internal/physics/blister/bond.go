package blister

import (
	"math"

	"filmfault/internal/quantity"
	"filmfault/internal/uncertain"
)

// PeelEnergy gives the energy in J/m2 that pulling a strip off spends on each
// area: G = F (1 - cos angle), F the force per width in N/m, 0 to 1e6, angle
// between strip and panel in radians, 0 to pi (Rivlin 1944, from memory).
// Bending of the strip takes part of it, so the bond itself takes less.
func PeelEnergy(force, angle float64) (float64, error) {
	if err := uncertain.Within("peel force", quantity.Peel, force, 0, 1e6); err != nil {
		return 0, err
	}
	if err := uncertain.WithinUnit("peel angle", "radians", angle, 0, math.Pi); err != nil {
		return 0, err
	}
	return force * (1 - math.Cos(angle)), nil
}

// StoredEnergy gives the energy in J/m2 that a film under a stress s in Pa,
// even in all directions, holds ready to lift it: along a straight edge (1 -
// nu^2) s^2 t/(2 E), released in all directions (1 - nu) s^2 t/E, symbols as in
// Film (formulas from memory, arithmetic checked; that it rises with thickness
// until it beats adhesion: Croll, abstract). Range of s: 0 to 1 GPa.
func (f Film) StoredEnergy(stress float64) (edge, full float64, err error) {
	if err := f.Check(); err != nil {
		return 0, 0, err
	}
	if err := uncertain.Within("film stress", quantity.Pressure, stress, 0, 1e9); err != nil {
		return 0, 0, err
	}
	held := stress * stress * f.Thickness / f.Stiffness
	return (1 - f.Poisson*f.Poisson) * held / 2, (1 - f.Poisson) * held, nil
}

// FreshBond is the energy that the bond between fresh waterborne films takes to
// open. No measured figure was found.
func FreshBond() uncertain.Input {
	return uncertain.Input{ID: "bond-energy", Low: 5, High: 500, Unit: "J/m2", Spread: uncertain.EvenInLog, Assumed: true,
		Source: "order of magnitude from memory; no published number found"}
}

// Spot is a loose spot with everything that is known of it; all inputs in SI.
type Spot struct {
	// Radius in m, Thickness of the film above it in m.
	Radius, Thickness uncertain.Input
	// Stiffness in Pa, Poisson a fraction, Bond in J/m2.
	Stiffness, Poisson, Bond uncertain.Input
}

// source is where Growth's formulas come from.
const source = "clamped plate and Hencky membrane, loads added; energy release by constant shape"

// Growth is a pressure set against what a spot needs to grow.
type Growth struct {
	// Needed is the pressure in Pa at which the spot begins to grow.
	Needed uncertain.Result
	// Available is the pressure in Pa it was set against.
	Available uncertain.Range
	// Share is the share of draws in which the available pressure is enough:
	// how far the inputs allow it, not how often it happens.
	Share float64
	// Enough says it draw by draw.
	Enough []bool
}

// Verdict words the share. It never says yes or no: the bond's energy is known
// to a factor of a hundred.
func (g Growth) Verdict() string {
	switch {
	case g.Share < 0.05:
		return "cannot be said to blister by itself: nearly all of the range of bonds would hold"
	case g.Share < 0.5:
		return "may grow if the bond is weak"
	case g.Share < 0.95:
		return "may well grow unless the bond is strong"
	}
	return "is expected to grow with nearly any bond"
}

// Against sets a pressure, one value per draw in Pa, against what a spot needs.
// Errors: an input that cannot be drawn from or is outside the range of Grows.
func (s Spot) Against(available []float64, d uncertain.Draws) (Growth, error) {
	needed := make([]float64, 0, d.Len())
	result, err := d.Run(uncertain.Formula{Name: "pressure to grow", Unit: "Pa", Source: source,
		Of: func(v []float64) (float64, error) {
			f := Film{Stiffness: v[2], Poisson: v[3], Thickness: v[1]}
			p, err := f.Grows(v[0], v[4])
			needed = append(needed, p)
			return p, err
		}}, s.Radius, s.Thickness, s.Stiffness, s.Poisson, s.Bond)
	if err != nil {
		return Growth{}, err
	}
	return compare(result, needed, available)
}

// compare counts the draws in which the pressure is enough. Values for fewer
// draws than there are count on from the first again.
func compare(needed uncertain.Result, values, available []float64) (Growth, error) {
	g := Growth{Needed: needed, Available: uncertain.Summarise(available), Enough: make([]bool, len(values))}
	for i, p := range values {
		if len(available) == 0 {
			return Growth{}, uncertain.Within("pressure under the film", quantity.Pressure, math.NaN(), 0, 1e8)
		}
		here := available[i%len(available)]
		if err := uncertain.Within("pressure under the film", quantity.Pressure, here, 0, 1e8); err != nil {
			return Growth{}, err
		}
		if g.Enough[i] = here >= p; g.Enough[i] {
			g.Share += 1 / float64(len(values))
		}
	}
	return g, nil
}

// Grown gives the smallest radius in m at which a pressure in Pa makes a spot
// grow, for a bond in J/m2: the size above which blisters are to be looked for.
// Range: as for Grows; +Inf when not even a spot of 1 m radius would.
func (f Film) Grown(pressure, energy float64) (float64, error) {
	low, high := 1e-4, 1.0
	if err := f.check(high, pressure); err != nil {
		return 0, err
	}
	if err := checkEnergy(energy); err != nil {
		return 0, err
	}
	c := hencky(f.Poisson)
	if f.grows(c, high, energy) > pressure {
		return math.Inf(1), nil
	}
	for range 60 {
		mid := math.Sqrt(low * high)
		if f.grows(c, mid, energy) > pressure {
			low = mid
		} else {
			high = mid
		}
	}
	return high, nil
}
