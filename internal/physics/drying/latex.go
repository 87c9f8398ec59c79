package drying

import (
	"filmfault/internal/quantity"
	"filmfault/internal/uncertain"
)

// LatexCoat is a coat of latex in air that does not change, for TwoStage.
type LatexCoat struct {
	// Wet film in m, 5e-6 to .01, and volume solids, .05 to .95.
	Wet, Solids float64
	// Packing is the volume fraction of solids at which the liquid starts to draw
	// back, above Solids and up to .99; .74 by Kiil 2006.
	Packing float64
	// SkinDiffusivity of vapour in the emptied skin in m2/s; 7e-7 by Kiil 2006.
	SkinDiffusivity float64
	// Rate of evaporation of the open wet film in kg/(m2 s), and the resistance
	// of the air to vapour 1/hm in s/m.
	Rate, Air float64
}

// Stages are the two stages in which a coat loses its liquid water.
type Stages struct {
	// Water in the wet coat, and what leaves in each stage, in kg/m2.
	Water, Constant, Falling float64
	// Transition is the thickness of the film between them in m.
	Transition float64
	// ConstantTime and FallingTime in s.
	ConstantTime, FallingTime float64
}

// TwoStage gives the drying of a latex coat by Kiil (2006, Progress in Organic
// Coatings 57, 236-250): all water above the packing of the particles leaves at
// the rate of the open film; the rest through a skin that grows to the whole dry
// film, its vapour density difference unchanged, so that the mean resistance is
// that of the air and half the full skin. It is the closed form against which
// Simulate is tested, and good for a quick answer; it removes liquid water only.
// Kiil fitted it to wet films of 89 to 1322 um with 19 to 47 % polymer by volume
// at 19 to 24 C; for pigmented primers no source was found: a factor of two.
func TwoStage(c LatexCoat) (Stages, error) {
	if err := c.check(); err != nil {
		return Stages{}, err
	}
	dry := c.Wet * c.Solids
	s := Stages{Water: (c.Wet - dry) * waterDensity, Transition: dry / c.Packing}
	s.Constant = (c.Wet - s.Transition) * waterDensity
	s.Falling = s.Water - s.Constant
	s.ConstantTime = s.Constant / c.Rate
	s.FallingTime = s.Falling / c.Rate * (1 + dry/c.SkinDiffusivity/2/c.Air)
	return s, nil
}

// check refuses values outside the ranges stated at the fields.
func (c LatexCoat) check() error {
	if err := uncertain.Within("wet film", quantity.Film, c.Wet, 5e-6, 0.01); err != nil {
		return err
	}
	if err := uncertain.Within("volume solids", quantity.Share, c.Solids, 0.05, 0.95); err != nil {
		return err
	}
	if err := uncertain.Within("share of solids at which the particles touch", quantity.Share, c.Packing, c.Solids, 0.99); err != nil {
		return err
	}
	if err := uncertain.WithinUnit("diffusivity of vapour in the skin", "m2/s", c.SkinDiffusivity, 1e-9, 2.6e-5); err != nil {
		return err
	}
	if err := uncertain.WithinUnit("evaporation rate", "kg/(s m2)", c.Rate, 1e-9, 1); err != nil {
		return err
	}
	return uncertain.WithinUnit("resistance of the air to vapour", "s/m", c.Air, 1, 1e5)
}
