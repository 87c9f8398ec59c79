// Package coating turns what a shop says of a coat (paint, wet film, thinner)
// into a layer that package drying can follow, once per draw of the figures of
// the paint. It also says how much water a dried film holds when it is at rest.
//
// It computes no drying itself and knows nothing of logs or cases. It joins
// packages material, film and drying; everything is in SI.
package coating

import (
	"fmt"

	"filmfault/internal/physics/drying"
	"filmfault/internal/physics/film"
	"filmfault/internal/physics/material"
	"filmfault/internal/uncertain"
)

// waterDensity in kg/m3.
const waterDensity = 1000

// Paint is one draw of the figures of a paint.
type Paint struct {
	// Solids is the volume fraction, as delivered, that stays; Water the share of
	// the rest that is water.
	Solids, Water float64
	Material      drying.Material
}

// Draw gives one draw of a material's figures; the same draw of the same
// material is the same paint in every coat. Errors: a figure that cannot be
// drawn from, or that no coat has.
func Draw(m material.Material, d uncertain.Draws, draw int) (Paint, error) {
	for _, in := range m.Inputs() {
		if err := in.Check(); err != nil {
			return Paint{}, fmt.Errorf("%s: %w", m.Name, err)
		}
	}
	at := func(in uncertain.Input) float64 { return d.Value(in, draw) }
	at90 := at(m.Sorption)
	p := Paint{
		Solids: at(m.VolumeSolids), Water: at(m.WaterShare),
		Material: drying.Material{
			Density: at(m.DryDensity), Diffusivity: at(m.Diffusion), Activation: at(m.Activation),
			Sorption:        drying.Sorption{At50: at90 * at(m.SorptionShape), At90: at90},
			SkinDiffusivity: at(m.SkinDiffusivity), Packing: at(m.Packing), TackShare: at(m.TackShare), Closing: at(m.PoreClosing),
		},
	}
	if err := p.Material.Check(); err != nil {
		return Paint{}, fmt.Errorf("%s: %w", m.Name, err)
	}
	return p, nil
}

// Coat gives the layer that a wet film in m makes, thinned so (nil: not
// thinned). What leaves and is not water, such as solvent, is not followed: a
// coat without water counts as dry from the start, a film that closes above
// what is below. Thinner counts as water in a waterborne paint. Range: wet 5 um
// to 10 mm, thinning as its type says; errors name what is outside.
func (p Paint) Coat(wet float64, thinning film.Thinning) (drying.Layer, error) {
	dry, err := film.Dry(wet, p.Solids, thinning)
	if err != nil {
		return drying.Layer{}, err
	}
	if p.Water == 0 {
		return drying.DryFilm(p.Material, dry, restingHumidity)
	}
	share := 1.0
	if thinning != nil {
		if share, err = thinning.PaintInMix(); err != nil {
			return drying.Layer{}, err
		}
	}
	thinner := wet * (1 - share)
	l := drying.Layer{Material: p.Material, Dry: dry, Water: waterDensity * ((wet-dry-thinner)*p.Water + thinner)}
	return l, l.Check()
}

// restingHumidity is the air in which a film that was not followed is at rest.
const restingHumidity = 0.5

// Resting gives the water in kg for each kg of dry film that the film holds at
// rest in air of a relative humidity, 0 to 1.
func (p Paint) Resting(rh float64) (float64, error) { return p.Material.Sorption.Content(rh) }
