package drying

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"filmfault/internal/physics/drying/exchange"
)

func TestMeanAirIsTheIntegralOverTime(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		air := someLog(t)
		from := rapid.Float64Range(0, 40).Draw(t, "from") * hour
		to := from + rapid.Float64Range(0.1, 8).Draw(t, "length")*hour
		const parts = 4000
		var want [4]float64
		for i := range parts {
			middle := from + (float64(i)+0.5)/parts*(to-from)
			a := air.Mean(middle, middle)
			for k, v := range []float64{a.Temperature, a.RH, math.Sqrt(a.Speed), a.Radiation} {
				want[k] += v / parts
			}
		}
		got := air.Mean(from, to)
		require.InDelta(t, want[0], got.Temperature, 0.01)
		require.InDelta(t, want[1], got.RH, 1e-3)
		require.InDelta(t, want[2], math.Sqrt(got.Speed), 1e-3)
		require.InDelta(t, want[3], got.Radiation, 0.1)
		from2, _ := air.mean(from, to, 9)
		require.Equal(t, got, from2, "whatever the hint")
	})
}

func TestCorrectionsOfTheReadings(t *testing.T) {
	air, err := Steady(exchange.Air{Temperature: 290, RH: 0.95, Speed: 2, Radiation: 100})
	require.NoError(t, err)
	got := air.Warmer(1).Damper(0.1).Faster(1.5).Sunnier(0.3).Mean(0, hour)
	require.InDelta(t, 291, got.Temperature, 1e-9)
	require.InDelta(t, 1, got.RH, 0, "no more than damp air can be")
	require.InDelta(t, 3, got.Speed, 1e-9)
	require.InDelta(t, 30, got.Radiation, 1e-9)
	require.InDelta(t, 290, air.Mean(0, hour).Temperature, 1e-9, "the log itself is as it was")
}

func TestAirRefusals(t *testing.T) {
	good := exchange.Air{Temperature: 290, RH: 0.5}
	bad := good
	bad.RH = 50
	for text, readings := range map[string][]Reading{
		"no reading":        nil,
		"before that of":    {{Time: 2, Air: good}, {Time: 1, Air: good}},
		"third at the same": {{Air: good}, {Air: good}, {Air: good}},
		"no time":           {{Time: math.NaN(), Air: good}},
		"relative humidity": {{Air: good}, {Time: 1, Air: bad}},
	} {
		_, err := NewAir(readings)
		require.ErrorContains(t, err, text)
	}
	_, err := Sampled(func(float64) exchange.Air { return good }, 0, 1, 0)
	require.ErrorContains(t, err, "cannot be read every")
	from, _ := Air{}.Span()
	require.True(t, math.IsNaN(from))
}
