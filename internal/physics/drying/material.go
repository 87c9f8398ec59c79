package drying

import (
	"math"

	"filmfault/internal/quantity"
	"filmfault/internal/uncertain"
)

// Physical constants and reference states.
const (
	waterDensity = 1000.0      // kg/m3
	gasConstant  = 8.314462618 // J/(mol K), CODATA 2018
	// reference is the temperature in K that diffusivities are stated for.
	reference = 296.15
)

// Material is what a coat is made of, as far as its water goes. Every value may
// be a draw from a range; package coating draws them from the figures of a
// paint.
type Material struct {
	// Density of the dry film in kg/m3, 800 to 3000.
	Density float64
	// Diffusivity of water in the closed film at 23 C in m2/s, 1e-15 to 1e-9.
	Diffusivity float64
	// Activation energy of the diffusivity in J/mol, 0 to 100e3: D = D23
	// exp(-E/R (1/T - 1/296.15)).
	Activation float64
	// Sorption of the dry film.
	Sorption Sorption
	// SkinDiffusivity is that of water vapour in the open pores of an emptied
	// coat, in m2/s, 1e-9 to 2.6e-5 (free air).
	SkinDiffusivity float64
	// Packing is the volume fraction of solids at which the particles touch and
	// the liquid starts to draw back, .3 to .99.
	Packing float64
	// TackShare is the share of the solids piled up under the face at which the
	// coat no longer takes the print of a finger, 0 to 1.
	TackShare float64
	// Closing is the time in s in which the open pores of an emptied coat close
	// to 1/e: 0 is at once, infinite is never. It runs from when the coat, and
	// all coats of the same paint that were still wet beneath it, are empty.
	Closing float64
}

// Sorption is the water a dry film holds in humid air: kg for each kg of film,
// at 50 and at 90 % relative humidity. Between, below and above it is k a/(1-ba)
// with a the humidity as a fraction (the GAB isotherm with C = 1, the simplest
// that bends upwards as those of latex films do). At50 1e-9 to .1; At90 1.2 to
// 8 times it.
type Sorption struct{ At50, At90 float64 }

// parameters gives k and b.
func (s Sorption) parameters() (k, b float64) {
	ratio := s.At90 / s.At50
	b = (ratio - 1.8) / (0.9 * (ratio - 1))
	return 2 * s.At50 * (1 - b/2), b
}

// Content gives the water in kg for each kg of dry film at equilibrium with air
// of a relative humidity, 0 to 1.
func (s Sorption) Content(rh float64) (float64, error) {
	if err := s.check(); err != nil {
		return 0, err
	}
	if err := uncertain.Within("relative humidity", quantity.Humidity, rh, 0, 1); err != nil {
		return 0, err
	}
	k, b := s.parameters()
	return k * rh / (1 - b*rh), nil
}

// check refuses a film that holds what none does.
func (s Sorption) check() error {
	if err := uncertain.Within("water held by the dry film at 50 % humidity", quantity.Share, s.At50, 1e-9, 0.1); err != nil {
		return err
	}
	return uncertain.WithinUnit("water held by the dry film at 90 % humidity over that at 50 %", "",
		s.At90/s.At50, 1.2, 8)
}

// Check refuses values outside the ranges stated at the fields.
func (m Material) Check() error {
	for _, c := range []struct {
		name, unit       string
		value, low, high float64
	}{
		{"diffusivity of water in the film", "m2/s", m.Diffusivity, 1e-15, 1e-9},
		{"activation energy of the diffusivity", "J/mol", m.Activation, 0, 100e3},
		{"diffusivity of vapour in the skin", "m2/s", m.SkinDiffusivity, 1e-9, 2.6e-5},
		{"closing time of the pores", "s", m.Closing, 0, math.Inf(1)},
	} {
		if err := uncertain.WithinUnit(c.name, c.unit, c.value, c.low, c.high); err != nil {
			return err
		}
	}
	if err := uncertain.Within("density of the dry film", quantity.Density, m.Density, 800, 3000); err != nil {
		return err
	}
	if err := uncertain.Within("share of solids at which the particles touch", quantity.Share, m.Packing, 0.3, 0.99); err != nil {
		return err
	}
	if err := uncertain.Within("share of the coat that is skin when tack free", quantity.Share, m.TackShare, 0, 1); err != nil {
		return err
	}
	return m.Sorption.check()
}

// Layer is one coat on the board.
type Layer struct {
	Material Material
	// Dry is its thickness once dry, in m, 1e-6 to 5e-3.
	Dry float64
	// Water in it now, in kg/m2: liquid and dissolved together.
	Water float64
}

// Check refuses a coat that cannot be.
func (l Layer) Check() error {
	if err := uncertain.Within("dry thickness of the coat", quantity.Film, l.Dry, 1e-6, 5e-3); err != nil {
		return err
	}
	most := 20 * l.Dry * waterDensity
	if err := uncertain.WithinUnit("water in the coat", "kg/m2", l.Water, 0, most); err != nil {
		return err
	}
	return l.Material.Check()
}

// WetCoat gives a coat just applied: wet film in m (5e-6 to .01) and volume
// solids of the paint as applied, thinner included (.05 to .95). Everything
// volatile is counted as water; the coalescent, a few percent, stays longer.
func WetCoat(m Material, wet, solids float64) (Layer, error) {
	if err := uncertain.Within("wet film", quantity.Film, wet, 5e-6, 0.01); err != nil {
		return Layer{}, err
	}
	if err := uncertain.Within("volume solids", quantity.Share, solids, 0.05, 0.95); err != nil {
		return Layer{}, err
	}
	l := Layer{Material: m, Dry: wet * solids, Water: wet * (1 - solids) * waterDensity}
	return l, l.Check()
}

// DryFilm gives a coat of a dry thickness in m that has come to rest in air of a
// relative humidity (0 to 1), its pores closed.
func DryFilm(m Material, dry, rh float64) (Layer, error) {
	content, err := m.Sorption.Content(rh)
	if err != nil {
		return Layer{}, err
	}
	l := Layer{Material: m, Dry: dry, Water: content * m.Density * dry}
	return l, l.Check()
}

// Mask is a film laid over the face.
type Mask struct {
	// Permeance of film and adhesive together, in kg/(s m2 Pa), 1e-15 to 1e-8.
	// 1 US perm is 5.72135e-11.
	Permeance float64
}

// Check refuses a mask that cannot be.
func (m Mask) Check() error {
	return uncertain.WithinUnit("permeance of the mask", "kg/(s m2 Pa)", m.Permeance, 1e-15, 1e-8)
}
