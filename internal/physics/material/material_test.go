package material

import (
	"math"
	"strings"
	"testing"

	"filmfault/internal/uncertain"
	"filmfault/internal/uncertain/checkrows"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func generic(t testing.TB, id string) Material {
	t.Helper()
	m, ok := Generic(id)
	require.True(t, ok, id)
	return m
}

func TestEveryGenericFigureIsStatedAssumedAndPossible(t *testing.T) {
	ids := map[string]bool{}
	names, units := Properties()
	for _, id := range IDs() {
		m := generic(t, id)
		require.Equal(t, id, m.ID)
		require.NotEmpty(t, m.Name)
		for i, in := range m.Inputs() {
			require.Equal(t, id+"-"+names[i], in.ID)
			require.Equal(t, units[i], in.Unit, in.ID)
			require.False(t, ids[in.ID], "two inputs named %s would share their draws", in.ID)
			ids[in.ID] = true
			require.NoError(t, in.Check())
			require.True(t, in.Assumed, in.ID)
			require.NotEmpty(t, in.Source, in.ID)
			if in.IsExact() {
				require.Contains(t, []string{"exact", "commo"}, in.Source[:5], "%s: only what follows from the kind of material is exact", in.ID)
			}
			require.NoError(t, properties()[i].check(in.Low), in.ID)
			require.NoError(t, properties()[i].check(in.High), in.ID)
		}
	}
	_, ok := Generic("varnish")
	require.False(t, ok)
}

// TestGenericFiguresAgainstTheirSources: the ends that were published or are
// common practice. Every other end is a judgement that no row can check.
func TestGenericFiguresAgainstTheirSources(t *testing.T) {
	primer, acrylic, enamel := generic(t, HighBuildPrimer), generic(t, AcrylicPaint), generic(t, AlkydEnamel)
	require.InDelta(t, 8, primer.RecommendedWetFilm.Low/0.0254e-3, 1e-9, "common practice: 8-12 mils a pass is normal")
	require.InDelta(t, 12, primer.RecommendedWetFilm.High/0.0254e-3, 1e-9)
	require.InDelta(t, 0.03, primer.MaximumThinning.High, 1e-12, "common practice: spraying 1-3 %")
	for _, m := range []Material{primer, acrylic} {
		require.Equal(t, [2]float64{1e-13, 1e-11}, [2]float64{m.Diffusion.Low, m.Diffusion.High})
		require.InEpsilon(t, 1e-12, m.Diffusion.Mid(), 1e-9, "the middle of an order of magnitude")
	}
	// permeance.csv: tests of latex paint lie within the range; those of enamel
	// within theirs.
	for _, row := range checkrows.Read(t, "permeance.csv") {
		p := row.Float(t, "permeance_SI") * 1e-12
		switch {
		case strings.HasPrefix(row["item"], "latex paint"):
			require.True(t, acrylic.Permeance.Low < p && p < acrylic.Permeance.High, row["item"])
		case strings.HasPrefix(row["item"], "ASHRAE enamel"):
			require.True(t, 0.999*enamel.Permeance.Low < p && p < enamel.Permeance.High, row["item"])
		}
	}
	// USDA Wood Handbook table 16-3, moisture excluded after 14 days, 3 coats:
	// acrylic 4-16 %, alkyd 60 %, two-part urethane 74 %: the order of the films.
	urethane := generic(t, TwoPartUrethane)
	require.Greater(t, acrylic.Permeance.Mid(), enamel.Permeance.Mid())
	require.Greater(t, enamel.Permeance.Mid(), urethane.Permeance.Mid())
}

// TestWitnessWeight: one 10 mil coat of primer on 6 x 6 in is about 4 g dry
// (common practice, no source), here within a third.
func TestWitnessWeight(t *testing.T) {
	m := generic(t, HighBuildPrimer)
	grams := 1000 * 10 * 0.0254e-3 * math.Pow(6*0.0254, 2) * m.VolumeSolids.Mid() * m.DryDensity.Mid()
	require.InEpsilon(t, 4, grams, 1.0/3)
}

// TestDensityAgreesWithSolids: what the can weighs is what stays and what
// leaves, 1000 kg/m3 of water (definition), within the ranges stated.
func TestDensityAgreesWithSolids(t *testing.T) {
	for _, id := range []string{HighBuildPrimer, AcrylicPaint, Filler} {
		m := generic(t, id)
		s := m.VolumeSolids.Mid()
		wet := s*m.DryDensity.Mid() + (1-s)*1000
		require.True(t, m.Density.Low < wet && wet < m.Density.High, "%s %g", id, wet)
	}
}

func TestWithTakesAShopsOwnFigures(t *testing.T) {
	m := generic(t, HighBuildPrimer)
	before := m
	own, err := m.With(map[string]uncertain.Input{
		"volume-solids": {ID: "anything", Low: 0.52, High: 0.52, Source: "data sheet"},
		"stiffness":     {Low: 1e8, High: 3e8, Unit: "Pa", Assumed: true, Source: "supplier's guess"},
	})
	require.NoError(t, err)
	require.Equal(t, uncertain.Input{ID: "high-build-primer-volume-solids", Low: 0.52, High: 0.52, Unit: uncertain.Share, Source: "data sheet"}, own.VolumeSolids)
	require.True(t, own.Stiffness.Assumed)
	require.Equal(t, m.Diffusion, own.Diffusion)
	require.Equal(t, before, m, "the generic material stays")
	got, ok := own.Property("volume-solids")
	require.True(t, ok)
	require.Equal(t, own.VolumeSolids, got)
	_, ok = own.Property("colour")
	require.False(t, ok)
}

func TestWithReportsEveryFigureItCannotTake(t *testing.T) {
	m := generic(t, AcrylicPaint)
	_, err := m.With(map[string]uncertain.Input{
		"colour":               {Low: 1, High: 1},
		"volume-solids":        {Low: 45, High: 45},
		"recommended-wet-film": {Low: 5, High: 5, Unit: "mil"},
		"stiffness":            {Low: 3e8, High: 1e8},
		"diffusion":            {Low: 0, High: 1e-12, Spread: uncertain.EvenInLog},
	})
	require.ErrorIs(t, err, ErrNoSuchProperty)
	require.Equal(t, []string{
		`acrylic paint: "colour": a material has no such figure; the figures are volume-solids, density, dry-density, water-share, recommended-wet-film, maximum-thinning, diffusion, activation, packing, skin-diffusivity, pore-closing, tack-share, sorption, sorption-shape, stiffness, poisson-ratio, stress, shrinkage, permeance`,
		"acrylic paint: acrylic-paint-diffusion runs from 0 to 1e-12 over orders of magnitude, and must be above 0",
		"acrylic paint: recommended-wet-film is in mil, and must be in m",
		"acrylic paint: acrylic-paint-stiffness runs from 3e+08 to 1e+08: the smaller number goes first",
		"acrylic paint: volume solids is 4500 %, and this can be computed from 5 % to 100 % only",
	}, strings.Split(err.Error(), "\n"))
}

func TestStrainIsThatOfTheStressUnlessTheShopStatesIt(t *testing.T) {
	m := generic(t, HighBuildPrimer)
	d := uncertain.NewDraws(8, 1)
	own, err := m.With(map[string]uncertain.Input{
		"stress": {Low: 0.5e6, High: 0.5e6}, "stiffness": {Low: 500e6, High: 500e6}, "poisson-ratio": {Low: 0.35, High: 0.35},
	})
	require.NoError(t, err)
	require.InEpsilon(t, 6.5e-4, own.Strain(d, 3), 1e-12, "arithmetic: .5 (1-.35)/500")
	own, err = own.With(map[string]uncertain.Input{"shrinkage": {Low: 0.002, High: 0.002}})
	require.NoError(t, err)
	require.InEpsilon(t, 0.002, own.Strain(d, 3), 1e-12)
}

// TestPermeanceRows holds all rows of permeance.csv: the units to their last
// digit but one (the inch of mercury is itself rounded), the films as the
// conversion of the figure in perms, to the last digit printed.
func TestPermeanceRows(t *testing.T) {
	rows := checkrows.Read(t, "permeance.csv")
	require.Len(t, rows, 22)
	units := map[string]float64{
		"unit: US perm (0 C)": Perm, "unit: US perm (60 F mercury)": Perm60F, "unit: US perm (23 C mercury)": Perm23C,
		"unit: metric perm": MetricPerm, "unit: perm-inch": PermInch,
	}
	for _, row := range rows {
		si := row.Float(t, "permeance_SI")
		if unit, ok := units[row["item"]]; ok {
			require.InDelta(t, si, unit*1e12, 1e-5*si, row["item"])
			continue
		}
		require.InDelta(t, si, row.Float(t, "perm_US")*Perm*1e12, max(1e-3*si, 0.006), row["item"])
	}
	// By definition, with the grain and foot of 1959; .001 ng/(s m2 Pa) is the
	// rounding of the mercury.
	require.InDelta(t, 64.79891e-6/3600/0.09290304/3386.38, Perm, 1e-15)
	require.InDelta(t, 1e-3/86400/133.322, MetricPerm, 1e-15)
	require.InEpsilon(t, 1.51735, MetricPerm/Perm, 1e-5, "published: encyclopedia article on the perm")
}

// TestFluxAndSeries: 5 perm at 17.607 kPa (saturation at 60 less 20 C) pass
// 18.13 g/m2h, 1 perm 3.63 (arithmetic).
func TestFluxAndSeries(t *testing.T) {
	for perms, want := range map[float64]float64{5: 18.13, 1: 3.63} {
		flux, err := Flux(perms*Perm, 17607)
		require.NoError(t, err)
		require.InDelta(t, want, flux*3.6e6, 0.005)
	}
	half, err := Series(4*Perm, 4*Perm)
	require.NoError(t, err)
	require.InEpsilon(t, 2*Perm, half, 1e-12, "two equal layers pass half")
	sealed, err := Series(4*Perm, 0)
	require.NoError(t, err)
	require.Zero(t, sealed)
	_, err = Series()
	require.ErrorIs(t, err, ErrNoLayers)
	_, err = Series(Perm, -Perm)
	require.ErrorContains(t, err, "layer 2: permeance is -5.721e-11 kg/(s m2 Pa)")

	inch, err := OfThickness(PermInch, 0.0254)
	require.NoError(t, err)
	require.InEpsilon(t, Perm, inch, 1e-12)
	_, err = OfThickness(PermInch, 0)
	require.ErrorContains(t, err, "thickness is 0 m")
	_, err = Flux(Perm, math.NaN())
	require.ErrorContains(t, err, "is not known")
}

func TestALayerMoreNeverPassesMore(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		layers := rapid.SliceOfN(rapid.Float64Range(0, 1e-8), 1, 6).Draw(r, "layers")
		more := rapid.Float64Range(0, 1e-8).Draw(r, "more")
		a, err := Series(layers...)
		require.NoError(r, err)
		b, err := Series(append(layers, more)...)
		require.NoError(r, err)
		require.LessOrEqual(r, b, a)
		for _, p := range layers {
			require.LessOrEqual(r, a, p*(1+1e-12))
		}
	})
}

// TestUptakeOfAcrylicFilms: .3-1.5 % at 50 % and 1.5-6 % at 90 % relative
// humidity (order of magnitude from memory): the generic range at 50 % must
// cover it.
func TestUptakeOfAcrylicFilms(t *testing.T) {
	m := generic(t, AcrylicPaint)
	f := uncertain.Formula{Name: "uptake", Of: func(v []float64) (float64, error) { return v[0] * v[1], nil }}
	r, err := uncertain.NewDraws(1024, 1).Run(f, m.Sorption, m.SorptionShape)
	require.NoError(t, err)
	require.InDelta(t, 0.009, r.Value.Mid, 0.002)
	require.True(t, 0.003 < r.Value.Low && r.Value.Low < 0.006, r.Value.Low)
	require.True(t, 0.013 < r.Value.High && r.Value.High < 0.02, r.Value.High)
}
