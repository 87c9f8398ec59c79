package cli

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"filmfault/internal/physics/material"
	"filmfault/internal/quantity"
	"filmfault/internal/uncertain"
)

// A mil is 25.4 um (exact).
func TestReadCoat(t *testing.T) {
	for _, c := range []struct {
		text, material string
		mils           float64
		count          int
		dry            bool
	}{
		{"high-build-primer 10 mil x2", material.HighBuildPrimer, 10, 2, false},
		{"High-Build Primer, 10 mil x 2", material.HighBuildPrimer, 10, 2, false},
		{"high_build_primer 10mil \u00d72", material.HighBuildPrimer, 10, 2, false},
		{"acrylic-paint 4 mil", material.AcrylicPaint, 4, 1, false},
		{"acrylic paint: 4", material.AcrylicPaint, 4, 1, false},
		{"acrylic-paint 2 mil dry", material.AcrylicPaint, 2, 1, true},
		{"acrylic-paint 2 mil dry x3", material.AcrylicPaint, 2, 3, true},
		{"acrylic-paint 2 mil x3 dry", material.AcrylicPaint, 2, 3, true},
		{"acrylic-paint 2 mil dry film, 3 coats", material.AcrylicPaint, 2, 3, true},
		{"two-part-urethane 0.254 mm wet", material.TwoPartUrethane, 10, 1, false},
		{"filler 1/8 in", material.Filler, 125, 1, false},
		{"filler \u215b in", material.Filler, 125, 1, false},
		{"alkyd-enamel about 4 mil", material.AlkydEnamel, 4, 1, false},
		{"alkyd-enamel ~4 mil", material.AlkydEnamel, 4, 1, false},
		{"alkyd-enamel between 3 and 5 mil", material.AlkydEnamel, 4, 1, false},
	} {
		got, err := readCoat(c.text)
		require.NoError(t, err, c.text)
		assert.Equal(t, c.material, got.material.ID, c.text)
		assert.InDelta(t, c.mils, got.film.Mid()/25.4e-6, 1e-9, c.text)
		assert.Equal(t, c.count, got.count, c.text)
		assert.Equal(t, c.dry, got.dry, c.text)
	}
	for text, says := range map[string]string{
		"": "write material and wet film", "acrylic-paint": "how thick is it?", "acrylic-pain 4 mil": "did you mean acrylic-paint?",
		"blast-mask 20 mil": "a mask comes off again", "acrylic-paint 4 mil x0": "write x1 to x50", "acrylic-paint 4 mil x99": "write x1 to x50",
		"acrylic-paint 0 mil": "no thickness", "acrylic-paint 4 F": "unit of temperature", "4 mil": "write material", "acrylic-paint 4 mil glossy": "coats go behind",
		"acrylic-paint 4 mil x2 x3": "coats go behind", "acrylic-paint x2": "how thick is it?", "acrylic-paint dry": "how thick is it?",
	} {
		_, err := readCoat(text)
		require.ErrorContains(t, err, says, text)
	}
}

// 1 K is 1.8 F: growth for each F is 1/1.8 of that for each K.
func TestReadExpansion(t *testing.T) {
	for text, want := range map[string][2]float64{
		"6e-5/K": {6e-5, 6e-5}, "6e-5 per C": {6e-5, 6e-5}, "0.00006 / K": {6e-5, 6e-5}, "3.5e-5 in/in/F": {6.3e-5, 6.3e-5},
		"5e-5 - 1e-4 /K": {5e-5, 1e-4}, "3.5e-5/deg F": {6.3e-5, 6.3e-5},
	} {
		got, err := readExpansion(text)
		require.NoError(t, err, text)
		assert.InDelta(t, want[0], got.Low, 1e-12, text)
		assert.InDelta(t, want[1], got.High, 1e-12, text)
		assert.False(t, got.Assumed)
	}
	for _, text := range []string{"", "6e-5", "6/K", "1e-9/K", "1e-4-5e-5/K", "1.2.3/K", "-6e-5/K"} {
		_, err := readExpansion(text)
		require.ErrorContains(t, err, "write it as", text)
	}
}

// The words follow the sign: positive is hollow seen from the front (the sign of
// package bow).
func TestDirection(t *testing.T) {
	words, r := direction(uncertain.Range{Mid: -2, Low: -3, High: 1})
	assert.Equal(t, "hollow towards the back", words)
	assert.Equal(t, uncertain.Range{Mid: 2, Low: -1, High: 3}, r)
	words, _ = direction(uncertain.Range{Mid: 1e-3, Low: 1e-4, High: 2e-3})
	assert.Equal(t, "hollow towards the front", words)
	words, r = direction(uncertain.Range{Mid: -1e-18, Low: -2e-18, High: 1e-18})
	assert.Equal(t, "flat", words)
	assert.Zero(t, r)
	words, _ = direction(uncertain.Range{Mid: 1e-5, Low: -1e-3, High: 1e-3})
	assert.Contains(t, words, "either way")
}

func TestTwoDigits(t *testing.T) {
	r := twoDigits(uncertain.Range{Mid: .12345 * .0254, Low: 0, High: -98.7 * .0254}, quantity.US)
	assert.InDelta(t, .12*.0254, r.Mid, 1e-12)
	assert.Zero(t, r.Low)
	assert.InDelta(t, -99*.0254, r.High, 1e-12)
	assert.InDelta(t, .0017, twoDigits(uncertain.Range{Mid: .00165001}, quantity.SI).Mid, 1e-12)
}
