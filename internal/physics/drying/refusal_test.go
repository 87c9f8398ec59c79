package drying

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/physics/drying/exchange"
)

func TestRefusalsOfAStack(t *testing.T) {
	air := steady(t, 20, 0.5, 1)
	for text, change := range map[string]func(*Stack){
		"dry thickness":        func(s *Stack) { s.Layers[0].Dry = 0 },
		"water in the coat":    func(s *Stack) { s.Layers[0].Water = math.NaN() },
		"density":              func(s *Stack) { s.Layers[0].Material.Density = 1.5 },
		"diffusivity of water": func(s *Stack) { s.Layers[0].Material.Diffusivity = 1 },
		"activation":           func(s *Stack) { s.Layers[0].Material.Activation = -1 },
		"vapour in the skin":   func(s *Stack) { s.Layers[0].Material.SkinDiffusivity = 0 },
		"particles touch":      func(s *Stack) { s.Layers[0].Material.Packing = 1 },
		"tack free":            func(s *Stack) { s.Layers[0].Material.TackShare = 2 },
		"closing time":         func(s *Stack) { s.Layers[0].Material.Closing = -1 },
		"at 50 % humidity":     func(s *Stack) { s.Layers[0].Material.Sorption.At50 = 0 },
		"over that at 50 %":    func(s *Stack) { s.Layers[0].Material.Sorption.At90 = 0 },
		"permeance":            func(s *Stack) { s.Mask = &Mask{} },
		"length of the panel":  func(s *Stack) { s.Face.Along = -1 },
	} {
		s := Stack{Face: panel(), Layers: []Layer{wetCoat(t, 10, 0.5)}}
		change(&s)
		_, err := Simulate(s, air, nil, Options{To: hour})
		require.ErrorContains(t, err, text)
	}
}

func TestRefusalsOfEventsAndOptions(t *testing.T) {
	s := Stack{Face: panel(), Layers: []Layer{wetCoat(t, 10, 0.5)}}
	coat, mask := wetCoat(t, 5, 0.5), Mask{Permeance: 1e-11}
	for text, events := range map[string][]Event{
		"while the mask is on":   {MaskOn(1, mask), CoatOn(2, coat)},
		"over a mask":            {MaskOn(1, mask), MaskOn(2, mask)},
		"no mask to take off":    {MaskOff(1)},
		"cannot be sanded off":   {SandOff(1, 1e-3)},
		"must be one thing":      {{Time: 1}},
		"it has no time":         {{Time: math.NaN(), MaskOff: true}},
		"outside the time":       {CoatOn(2*hour, coat)},
		"thickness sanded off":   {SandOff(1, -1e-6)},
		"dry thickness of the c": {CoatOn(1, Layer{})},
		"permeance of the mask":  {MaskOn(1, Mask{})},
	} {
		_, err := Simulate(s, steady(t, 20, 0.5, 1), events, Options{To: hour})
		require.ErrorContains(t, err, text)
	}
	for text, o := range map[string]Options{
		"must not be before": {From: 2, To: 1},
		"longest step":       {To: 1, MaxStep: -1},
		"tolerance":          {To: 1, Tolerance: math.NaN()},
		"cells":              {To: 1, Cells: 1},
	} {
		_, err := Simulate(s, steady(t, 20, 0.5, 1), nil, o)
		require.ErrorContains(t, err, text)
	}
	_, err := Simulate(s, Air{}, nil, Options{To: hour})
	require.ErrorContains(t, err, "the air is known from")
	short, err := NewAir([]Reading{{Air: exchange.Air{Temperature: 290}}, {Time: 60, Air: exchange.Air{Temperature: 290}}})
	require.NoError(t, err)
	_, err = Simulate(s, short, nil, Options{To: hour})
	require.ErrorContains(t, err, "the air is known from")
	hot, err := Steady(exchange.Air{Temperature: 340, Radiation: 1500})
	require.NoError(t, err)
	_, err = Simulate(Stack{Face: panel()}, hot, nil, Options{To: hour})
	require.ErrorIs(t, err, errAstray)
}

func TestEmptyOrNeverAnswers(t *testing.T) {
	s := Stack{Face: panel(), Layers: []Layer{wetCoat(t, 30, 0.4)}}
	never, err := TimeToFraction(s, steady(t, 10, 1, 0), 0.05, 0, day)
	require.NoError(t, err)
	require.True(t, math.IsInf(never, 1))
	never, err = TackFreeTime(s.Face, s.Layers[0], steady(t, 10, 1, 0), 0, day)
	require.NoError(t, err)
	require.True(t, math.IsInf(never, 1))
	_, ok := Trace{}.TimeTo(1, 0)
	require.False(t, ok)
	require.Zero(t, Trace{}.At(3).Water)
	trace := simulate(t, s, steady(t, 10, 0.5, 0), nil, Options{From: hour, To: hour})
	require.InDelta(t, s.Layers[0].Water, trace.At(0).Water, 1e-12)
}
