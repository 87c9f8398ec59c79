package inference_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/inference"
)

// TestContradiction: evidence that cannot be true is refused by every call,
// whether it meets on one event, on a gate or through an any-of.
func TestContradiction(t *testing.T) {
	s := &spec{}
	a, b := s.event(.1), s.event(.2)
	top := s.gate(inference.Any, 0, plain(a, b)...)
	sees := func(n inference.Node) int { return s.finding(yesNo(n, 1, 0)) }
	anyOf := s.finding(inference.Finding{AnyOf: plain(a, b)})
	for _, use := range [][]int{
		{sees(a), sees(a)},          // one event, no diagram needed
		{sees(top), sees(top)},      // one gate
		{sees(a), sees(top)},        // an event and the gate above it: a yes, top no
		{sees(a), anyOf},            // an any-of without background
		{sees(top), anyOf},          // and through a gate
		{sees(b), sees(a), sees(a)}, // beside evidence that is possible
	} {
		yes, no := inference.Certain(0, 2), inference.Certain(1, 2)
		e := inference.Evidence{yes, no}
		if len(use) == 3 {
			e = inference.Evidence{yes, yes, no}
		}
		require.Zero(t, newOracle(s).given(known{use[len(use)-2]: yes, use[len(use)-1]: no}).evidence)
		net, err := s.model().Compile(inference.Use{Evidence: use, Seen: []inference.Node{top}, Gates: []inference.Node{top}})
		require.NoError(t, err)
		_, err = net.Evaluate(e)
		require.ErrorIs(t, err, inference.ErrContradiction)
		_, err = net.NewPricer(e, nil)
		require.ErrorIs(t, err, inference.ErrContradiction)
		_, err = net.Worlds(e, 1, rand.New(rand.NewPCG(1, 0)))
		require.ErrorIs(t, err, inference.ErrContradiction)
		p, err := net.Evaluate(inference.Evidence{nil, no, nil}[:len(use)])
		require.NoError(t, err, "the same network serves other evidence")
		require.False(t, math.IsNaN(p.LogEvidence))
	}
}

// TestManyFindings: two hundred findings of likelihood .01 against .02 on one
// gate make the probability of the evidence about 1e-341, below what a float64
// holds. By Bayes' rule the odds of the gate are its prior odds times 2^200:
// the evidence is improbable, not contradictory.
func TestManyFindings(t *testing.T) {
	const findings = 200
	for _, inputs := range []int{1, 2} {
		s := &spec{}
		var in []inference.Node
		for range inputs {
			in = append(in, s.event(.5))
		}
		top := in[0]
		if inputs > 1 {
			top = s.gate(inference.All, 0, plain(in...)...)
		}
		use := inference.Use{Gates: []inference.Node{top}}
		var e inference.Evidence
		for range findings {
			use.Evidence = append(use.Evidence, s.finding(yesNo(top, .02, .01)))
			e = append(e, inference.Certain(0, 2))
		}
		net, err := s.model().Compile(use)
		require.NoError(t, err)
		p, err := net.Evaluate(e)
		require.NoError(t, err, "%d inputs", inputs)
		prior := math.Pow(.5, float64(inputs))
		want := findings*math.Log(.01) + math.Log(prior*math.Pow(2, findings)+1-prior)
		require.InEpsilon(t, want, p.LogEvidence, tolerance)
		require.InDelta(t, 1, p.Gate[0], tolerance)
		require.InDelta(t, 1, p.Event[in[0]], tolerance)
	}
}

// TestOneRow: a finding of which only "otherwise" is left, its other rows' facts
// having failed, tells nothing: the evidence is as probable as the row says.
func TestOneRow(t *testing.T) {
	s := &spec{}
	a := s.event(.1)
	f := s.finding(inference.Finding{Rows: []inference.Row{{Say: []float64{.3, .7}}}})
	var net *inference.Network
	var err error
	require.NotPanics(t, func() { net, err = s.model().Compile(inference.Use{Evidence: []int{f}, Open: []int{f}}) })
	require.NoError(t, err)
	require.NotPanics(t, func() {
		p, err := net.Evaluate(inference.Evidence{inference.Certain(0, 2)})
		require.NoError(t, err)
		require.InDelta(t, math.Log(.3), p.LogEvidence, tolerance)
		require.InDelta(t, .1, p.Event[a], tolerance)
		pricer, err := net.NewPricer(inference.Evidence{nil}, []inference.Target{{Node: a, Present: true}})
		require.NoError(t, err)
		table := pricer.Table(f)
		require.InDelta(t, .3, table.Answer[0], tolerance)
		require.InDelta(t, 0, table.About(0), tolerance)
		require.InDelta(t, 0, table.Everything(), tolerance)
	})
}

// TestPriceAnswered: NewPricer says that a finding of Use.Evidence can be
// priced without standing in Use.Open; here it is left out of the evidence.
func TestPriceAnswered(t *testing.T) {
	s := &spec{}
	a := s.event(.1)
	f := s.finding(yesNo(a, .9, .2))
	net, err := s.model().Compile(inference.Use{Evidence: []int{f}})
	require.NoError(t, err)
	p, err := net.NewPricer(inference.Evidence{nil}, nil)
	require.NoError(t, err)
	require.NotPanics(t, func() {
		require.InDelta(t, .27, p.Table(f).Answer[0], tolerance)
	})
}

// TestBadModels: numbers that are no probabilities, and structures without
// meaning, are refused.
func TestBadModels(t *testing.T) {
	nan := math.NaN()
	in := func(c float64) inference.Input { return inference.Input{Chance: c} }
	row := func(p ...float64) inference.Row { return inference.Row{Say: p} }
	on := func(n inference.Node, p ...float64) inference.Row {
		return inference.Row{Events: []inference.Node{n}, Say: p}
	}
	bad := map[string]func(m *inference.Model){
		"rate above 1":    func(m *inference.Model) { m.Event("x", 1.1) },
		"rate NaN":        func(m *inference.Model) { m.Event("x", nan) },
		"chance 0":        func(m *inference.Model) { m.Gate("g", inference.Any, 0, in(0)) },
		"chance above 1":  func(m *inference.Model) { m.Gate("g", inference.Any, 0, in(1.1)) },
		"unknown input":   func(m *inference.Model) { m.Gate("g", inference.Any, 0, inference.In(7)) },
		"gate on itself":  func(m *inference.Model) { m.Gate("g", inference.Any, 0, inference.In(1)) },
		"no inputs":       func(m *inference.Model) { m.Gate("g", inference.Any, 0) },
		"at least 0":      func(m *inference.Model) { m.Gate("g", inference.AtLeast, 0, in(1)) },
		"at least 2 of 1": func(m *inference.Model) { m.Gate("g", inference.AtLeast, 2, in(1)) },
		"no rows":         func(m *inference.Model) { m.Finding(inference.Finding{}) },
		"no otherwise":    func(m *inference.Model) { m.Finding(inference.Finding{Rows: []inference.Row{on(0, .5, .5)}}) },
		"row not 1":       func(m *inference.Model) { m.Finding(inference.Finding{Rows: []inference.Row{row(.5, .4)}}) },
		"row NaN":         func(m *inference.Model) { m.Finding(inference.Finding{Rows: []inference.Row{row(nan, 1)}}) },
		"one answer":      func(m *inference.Model) { m.Finding(inference.Finding{Rows: []inference.Row{row(1)}}) },
		"uneven rows": func(m *inference.Model) {
			m.Finding(inference.Finding{Rows: []inference.Row{on(0, .5, .5), row(.5, .3, .2)}})
		},
		"unknown event": func(m *inference.Model) {
			m.Finding(inference.Finding{Rows: []inference.Row{on(9, .5, .5), row(.5, .5)}})
		},
		"any-of unknown":    func(m *inference.Model) { m.Finding(inference.Finding{AnyOf: []inference.Input{inference.In(9)}}) },
		"any-of chance":     func(m *inference.Model) { m.Finding(inference.Finding{AnyOf: []inference.Input{in(1.5)}}) },
		"any-of chance NaN": func(m *inference.Model) { m.Finding(inference.Finding{AnyOf: []inference.Input{in(nan)}}) },
		"any-of background": func(m *inference.Model) {
			m.Finding(inference.Finding{AnyOf: []inference.Input{in(1)}, Background: 1.2})
		},
		"any-of background NaN": func(m *inference.Model) {
			m.Finding(inference.Finding{AnyOf: []inference.Input{in(1)}, Background: nan})
		},
		"any-of and rows": func(m *inference.Model) {
			m.Finding(inference.Finding{AnyOf: []inference.Input{in(1)}, Rows: []inference.Row{row(.5, .5)}})
		},
		"any-of negative": func(m *inference.Model) { m.Finding(inference.Finding{AnyOf: []inference.Input{in(-.5)}}) },
		"any-of background below 0": func(m *inference.Model) {
			m.Finding(inference.Finding{AnyOf: []inference.Input{in(1)}, Background: -.1})
		},
	}
	for _, name := range sortedKeys(bad) {
		t.Run(name, func(t *testing.T) {
			m := &inference.Model{}
			m.Event("e", .5)
			require.NoError(t, m.Err())
			bad[name](m)
			require.Error(t, m.Err())
			_, err := m.Compile(inference.Use{})
			require.Error(t, err)
		})
	}
}

// TestHeld: Pearl's virtual evidence as the design writes it, c for the answer
// and (1-c)/(k-1) for each other; c = 1 is certainty.
func TestHeld(t *testing.T) {
	require.Equal(t, []float64{0, 1, 0}, inference.Certain(1, 3))
	require.InDeltaSlice(t, []float64{.1, .8, .1}, inference.Held(1, 3, .8), 1e-15)
	require.Equal(t, inference.Certain(2, 4), inference.Held(2, 4, 1))
}
