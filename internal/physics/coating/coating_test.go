package coating_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/physics/coating"
	"filmfault/internal/physics/film"
	"filmfault/internal/physics/material"
	"filmfault/internal/uncertain"
)

const mil = 25.4e-6

// stated is generic primer of which the shop knows everything that counts here.
func stated(t *testing.T, solids, water float64) coating.Paint {
	t.Helper()
	m, ok := material.Generic(material.HighBuildPrimer)
	require.True(t, ok)
	m, err := m.With(map[string]uncertain.Input{
		"volume-solids": {Low: solids, High: solids}, "water-share": {Low: water, High: water},
	})
	require.NoError(t, err)
	p, err := coating.Draw(m, uncertain.NewDraws(1, 1), 0)
	require.NoError(t, err)
	return p
}

func TestWaterAndFilmOfACoat(t *testing.T) {
	// 250 um wet at 45 % solids holds 137.5 g/m2 of water: worked two-stage latex
	// example (Kiil 2006 model).
	l, err := stated(t, 0.45, 1).Coat(250e-6, film.Unthinned)
	require.NoError(t, err)
	require.InDelta(t, 0.1375, l.Water, 1e-9)
	require.InDelta(t, 112.5e-6, l.Dry, 1e-12)
	// 8 mil at 35 % thinned 10 % of the paint is 2.545 mil dry (published film
	// tables); a tenth of a part in eleven of the wet film is added water, the rest
	// of what leaves is .9 water.
	l, err = stated(t, 0.35, 0.9).Coat(8*mil, film.OfPaint(0.1))
	require.NoError(t, err)
	require.InDelta(t, 2.545, l.Dry/mil, 5e-4)
	wet := 8 * mil
	require.InDelta(t, 1000*(wet/11+0.9*0.65*wet/1.1), l.Water, 1e-9)
}

func TestASolventCoatHoldsNoLiquidWater(t *testing.T) {
	m, _ := material.Generic(material.AlkydEnamel)
	p, err := coating.Draw(m, uncertain.NewDraws(8, 1), 3)
	require.NoError(t, err)
	l, err := p.Coat(3*mil, film.Unthinned)
	require.NoError(t, err)
	rest, err := p.Resting(0.5)
	require.NoError(t, err)
	require.InEpsilon(t, rest*p.Material.Density*l.Dry, l.Water, 1e-9, "only what its film holds in ordinary air")
}

// TestEveryDrawOfEveryGenericMaterialCanDry draws far more often than any
// command does, so that the tails of the ranges are inside what drying takes.
func TestEveryDrawOfEveryGenericMaterialCanDry(t *testing.T) {
	d := uncertain.NewDraws(4096, 1)
	for _, id := range material.IDs() {
		m, ok := material.Generic(id)
		require.True(t, ok)
		for i := range d.Len() {
			p, err := coating.Draw(m, d, i)
			require.NoError(t, err)
			if p.Solids < 0.95 {
				_, err = p.Coat(10*mil, film.Unthinned)
				require.NoError(t, err, "%s draw %d", id, i)
			}
		}
	}
}

// TestWhateverAMaterialTakesCanBeDrawn: the limits of package material lie within
// those of package drying, so that a shop's figure is refused where it is read.
func TestWhateverAMaterialTakesCanBeDrawn(t *testing.T) {
	m, _ := material.Generic(material.HighBuildPrimer)
	for name, ends := range map[string][2]float64{
		"dry-density": {800, 3000}, "diffusion": {1e-15, 1e-9}, "sorption": {1e-6, 0.18}, "sorption-shape": {0.125, 0.5 / 0.9},
		"packing": {0.3, 0.99}, "skin-diffusivity": {1e-9, 2.6e-5}, "activation": {0, 100e3}, "tack-share": {0, 1}, "pore-closing": {0, 100 * 86400},
	} {
		for _, v := range ends {
			own, err := m.With(map[string]uncertain.Input{name: {Low: v, High: v}})
			require.NoError(t, err, name)
			_, err = coating.Draw(own, uncertain.NewDraws(1, 1), 0)
			require.NoError(t, err, "%s %g", name, v)
		}
	}
}

func TestRefusals(t *testing.T) {
	_, err := stated(t, 0.5, 1).Coat(-1, film.Unthinned)
	require.ErrorContains(t, err, "wet film")
	_, err = stated(t, 0.5, 1).Coat(10*mil, film.OfPaint(5))
	require.Error(t, err)
	m, _ := material.Generic(material.HighBuildPrimer)
	m.Sorption.Low, m.Sorption.High = 3, 2
	_, err = coating.Draw(m, uncertain.NewDraws(1, 1), 0)
	require.ErrorContains(t, err, "smaller number goes first")
}
