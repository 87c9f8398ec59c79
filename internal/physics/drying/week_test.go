package drying

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/physics/drying/exchange"
)

const (
	minute = 60.0
	hour   = 3600.0
	day    = 24 * hour
	mil    = 25.4e-6
	fpm    = 0.3048 / 60
)

// springWeek is one-minute readings of a shop that is not heated, invented: warm
// days, cold damp nights, a fan from eight to five, its weather changing from day
// to day and a little noise from minute to minute.
func springWeek(t testing.TB) Air {
	t.Helper()
	air, err := Sampled(func(s float64) exchange.Air {
		hours := s / hour
		swing := math.Sin(2 * math.Pi * (hours - 1) / 24) // starts at eight in the morning
		drift := math.Sin(2 * math.Pi * hours / 97)
		noise := math.Sin(s/minute*12.9898) * math.Sin(s/minute*78.233)
		a := exchange.Air{
			Temperature: 286 + 7*swing + 2*drift + 0.3*noise,
			RH:          min(max(0.68-0.2*swing+0.06*drift+0.02*noise, 0.1), 0.98),
			Speed:       0.05,
		}
		if math.Mod(hours, 24) < 9 {
			a.Speed = 2 + 0.5*noise
		}
		return a
	}, 0, 7*day, minute)
	require.NoError(t, err)
	return air
}

// panel is a board of 4 by 2 ft, standing.
func panel() exchange.Face { return exchange.Face{Along: 1.2, Across: 0.6, Emissivity: 0.9} }

// wetCoat is a coat of generic primer.
func wetCoat(t testing.TB, mils, solids float64) Layer {
	t.Helper()
	l, err := WetCoat(HighBuildPrimer(), mils*mil, solids)
	require.NoError(t, err)
	return l
}

// steady is air that does not change.
func steady(t testing.TB, celsius, rh, speed float64) Air {
	t.Helper()
	air, err := Steady(exchange.Air{Temperature: celsius + 273.15, RH: rh, Speed: speed})
	require.NoError(t, err)
	return air
}

// jobWeek is four coats in that week: three of primer and, after sanding and a
// night, one of paint; a mask for a day.
func jobWeek(t testing.TB) (Stack, []Event) {
	t.Helper()
	primer := wetCoat(t, 10, 0.5)
	paint, err := WetCoat(AcrylicPaint(), 5*mil, 0.4)
	require.NoError(t, err)
	return Stack{Face: panel(), Layers: []Layer{primer}}, []Event{
		CoatOn(0.5*hour, primer), CoatOn(1*hour, primer), SandOff(25*hour, 2*mil),
		MaskOn(26*hour, Mask{Permeance: 5e-11}), MaskOff(48 * hour), CoatOn(49*hour, paint),
	}
}

// simulate must succeed.
func simulate(t testing.TB, s Stack, air Air, events []Event, o Options) Trace {
	t.Helper()
	trace, err := Simulate(s, air, events, o)
	require.NoError(t, err)
	return trace
}

func TestAWeekWithinOnePercentOfMinuteSteps(t *testing.T) {
	// Tolerance: 1 % of the water then left, as the model promises; the steps are
	// those of the log's readings.
	air := springWeek(t)
	s, events := jobWeek(t)
	usual := simulate(t, s, air, events, Options{To: 7 * day})
	fine := simulate(t, s, air, events, Options{To: 7 * day, MaxStep: minute, Fixed: true})
	worst, at, layer := 0.0, 0.0, 0.0
	for h := 0.25; h <= 168; h += 0.25 {
		a, b := usual.At(h*hour), fine.At(h*hour)
		if off := math.Abs(a.Water/b.Water - 1); off > worst {
			worst, at = off, h
		}
		for i := range b.Layers {
			layer = max(layer, math.Abs(a.Layers[i]-b.Layers[i])/b.Layers[i])
		}
	}
	t.Logf("%d steps; worst %.3f %% at %.2f h; in one coat %.3f %%", len(usual.Points), 100*worst, at, 100*layer)
	require.Less(t, worst, 0.01)
	require.Less(t, len(usual.Points), 1000)
}

func BenchmarkWeek(b *testing.B) {
	air := springWeek(b)
	s, events := jobWeek(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Simulate(s, air, events, Options{To: 7 * day}); err != nil {
			b.Fatal(err)
		}
	}
}
