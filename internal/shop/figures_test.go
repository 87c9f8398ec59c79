package shop

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"filmfault/internal/physics/material"
	"filmfault/internal/uncertain"
)

func figureNamed(t testing.TB, id, name string) figure {
	t.Helper()
	m, ok := material.Generic(id)
	require.True(t, ok)
	for _, g := range figures(m) {
		if g.name == name {
			return g
		}
	}
	require.Fail(t, "no figure "+name)
	return figure{}
}

// TestEveryExampleIsReadAsTheGenericFigure: what a remedy tells a shop to write
// is read, and as what it stands for.
func TestEveryExampleIsReadAsTheGenericFigure(t *testing.T) {
	for _, id := range material.IDs() {
		m, _ := material.Generic(id)
		for _, g := range figures(m) {
			in, wrong := g.read(g.example())
			require.Nil(t, wrong, "%s %s: %v", g.generic.ID, g.example(), wrong)
			require.InDelta(t, g.generic.Low, in.Low, 0.01*g.generic.Low, g.generic.ID)
			require.InDelta(t, g.generic.High, in.High, 0.01*g.generic.High, g.generic.ID)
			require.Equal(t, g.generic.Spread, in.Spread, g.generic.ID)
			require.Equal(t, g.generic.IsExact(), in.IsExact(), g.generic.ID)
		}
	}
}

// TestTheLimitsOfARemedyAreAccepted at both ends, whatever they were rounded to.
func TestTheLimitsOfARemedyAreAccepted(t *testing.T) {
	m, _ := material.Generic(material.HighBuildPrimer)
	for _, g := range figures(m) {
		_, err := m.With(map[string]uncertain.Input{g.name: {Low: 1e40, High: 1e40}})
		var out *uncertain.OutOfRange
		require.True(t, errors.As(err, &out), g.name)
		low, high := g.inside(out.Low, out.High)
		for _, end := range []float64{low, high} {
			_, wrong := g.read(g.words(end, end))
			require.Nil(t, wrong, "%s: %s: %v", g.name, g.words(end, end), wrong)
		}
		require.InDelta(t, out.High, high, 0.02*out.High, "%s: no more is cut off than three digits need", g.name)
	}
}

// TestAnyIntervalReadsBack within the three digits it is written in, keeps the
// spread of the generic figure and takes the name of the material.
func TestAnyIntervalReadsBack(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		m, _ := material.Generic(rapid.SampledFrom(material.IDs()).Draw(r, "material"))
		names, _ := material.Properties()
		g := figureNamed(t, m.ID, rapid.SampledFrom(names).Draw(r, "figure"))
		a := g.generic.At(rapid.Float64Range(0.05, 0.95).Draw(r, "low"))
		b := g.generic.At(rapid.Float64Range(0.05, 0.95).Draw(r, "high"))
		text := g.words(min(a, b), max(a, b))
		s, diags, err := Parse("shop.yaml", []byte("schema: 1\nmaterials: [{id: ours, like: "+m.ID+", "+g.name+": "+text+"}]\n"))
		require.NoError(r, err)
		require.Empty(r, diags, text)
		in, _ := s.Materials["ours"].Property(g.name)
		require.Equal(r, "ours-"+g.name, in.ID)
		require.False(r, in.Assumed)
		require.InDelta(r, min(a, b), in.Low, 0.01*min(a, b), text)
		require.InDelta(r, max(a, b), in.High, 0.01*max(a, b), text)
		if in.Low != in.High && in.Low > 0 {
			require.Equal(r, g.generic.Spread, in.Spread)
		}
	})
}

// TestUnits holds what is not read by package quantity against figures that are
// arithmetic or by definition (NIST SP 811, appendix B.8).
func TestUnits(t *testing.T) {
	for _, c := range []struct {
		name, text string
		low, high  float64
	}{
		{"diffusion", "5E-13", 5e-13, 5e-13},
		{"diffusion", "5e-13-2e-12 m2/s", 5e-13, 2e-12},
		{"diffusion", "5e\u221213 \u2013 2e\u221212 m\u00b2/s", 5e-13, 2e-12},
		{"diffusion", "5e-9 to 2e-8 cm^2/s", 5e-13, 2e-12},
		{"diffusion", "5e-7 mm2/s", 5e-13, 5e-13},
		{"skin-diffusivity", "0.0000007", 7e-7, 7e-7},
		{"activation", "23000-28000", 23e3, 28e3},
		{"activation", "25 J/mol", 25, 25},
		{"activation", "23 to 28 kJ/mol", 23e3, 28e3},
		{"activation", "0", 0, 0},
		{"poisson-ratio", "0,3 to 0,4", 0.3, 0.4},
		{"permeance", "1 US perm", 57.2135e-12, 57.2135e-12},
		{"permeance", "2 metric perms", 173.6254e-12, 173.6254e-12},
		{"permeance", "about 10 perm", 543.52825e-12, 600.74175e-12},
		{"permeance", "300 ng/(s m2 Pa)", 300e-12, 300e-12},
		{"permeance", "3e-10 kg/(m2 s Pa)", 300e-12, 300e-12},
		{"permeance", "3e-10", 300e-12, 300e-12},
		{"stiffness", "1500 MPa", 1.5e9, 1.5e9},
		{"stiffness", "1-1,5 GPa", 1e9, 1.5e9},
		{"stiffness", "30-60 ksi", 206842718.8, 413685437.6},
		{"stiffness", "150000 psi", 1034213594, 1034213594},
		{"stress", "0.5 N/mm2", 5e5, 5e5},
		{"sorption-shape", "0.25 fraction", 0.25, 0.25},
		{"pore-closing", "overnight", 36000, 50400},
		{"density", "1.2 kg/l", 1200, 1200},
		{"water-share", "0-100 %", 0, 1},
	} {
		in, wrong := figureNamed(t, material.HighBuildPrimer, c.name).read(c.text)
		require.Nil(t, wrong, "%s: %v", c.text, wrong)
		require.InDelta(t, c.low, in.Low, 1e-9*c.low, c.text)
		require.InDelta(t, c.high, in.High, 1e-9*c.high, c.text)
	}
}

// TestWhatBeginsAtNothingIsSpreadEvenly: orders of magnitude have no 0.
func TestWhatBeginsAtNothingIsSpreadEvenly(t *testing.T) {
	g := figureNamed(t, material.HighBuildPrimer, "stress")
	require.Equal(t, uncertain.EvenInLog, g.generic.Spread)
	in, wrong := g.read("0-1 MPa")
	require.Nil(t, wrong)
	require.Equal(t, uncertain.Even, in.Spread)
}

// TestDigits: three that count, in a form that is read back.
func TestDigits(t *testing.T) {
	diffusion, density := figureNamed(t, material.Filler, "diffusion"), figureNamed(t, material.Filler, "density")
	for v, want := range map[float64]string{0: "0", 52: "52", 33.3333: "33.3", 1500: "1500", 10000.4: "10000", 2.5e-13: "2.5e-13", 1e-8: "1e-8", 0.00035: "0.00035"} {
		require.Equal(t, want, diffusion.digits(v))
	}
	require.Equal(t, "0.0000123", density.digits(1.234e-5), "package quantity reads no exponents")
}
