package inference_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/inference"
)

// TestWeigh: the pulls are the Shapley values of the log odds, by all orders up
// to five players, by the subset formula above.
func TestWeigh(t *testing.T) {
	eachScene(t, func(c *comparison) {
		if c.contradictory() {
			return
		}
		standing, players := known{}, known{}
		var at []int
		for i, f := range c.use {
			switch {
			case c.evidence[i] == nil:
			case (c.seed+uint64(i))%4 == 0:
				standing[f] = c.evidence[i]
			default:
				players[f] = c.evidence[i]
				at = append(at, i)
			}
		}
		got := c.net.Weigh(c.evidence, at, c.targets)
		for i, x := range c.targets {
			c.weighing(c.oracle.game(standing, players, c.oracle.target(x, c.seen)), got[i])
		}
	})
}

func (c *comparison) weighing(g game, got inference.Weighing) {
	if !g.finite() {
		return // what infinite odds are split into is the caller's to say
	}
	c.equal(g.value[0], got.Prior, "prior log odds")
	c.equal(g.value[len(g.value)-1], got.Posterior, "posterior log odds")
	want := g.bySubsets()
	if g.players <= 5 {
		want = g.byOrders()
	}
	c.equalAll(want, got.Pull, "pulls")
	c.equalAll(make([]float64, g.players), got.Error, "errors of exact pulls")
	c.equal(got.Posterior-got.Prior, total(got.Pull), "sum of pulls")
}

// crowd is a model of five events, a failure and many findings on shared gates.
func crowd(r *rand.Rand, findings int) (s *spec, top inference.Node, k known) {
	s = &spec{}
	var e []inference.Node
	for range 5 {
		e = append(e, s.event(.05+.3*r.Float64()))
	}
	pair := s.gate(inference.All, 0, plain(e[0], e[1])...)
	most := s.gate(inference.AtLeast, 2, plain(e[1], e[2], e[3])...)
	top = s.gate(inference.Any, 0, inference.In(pair), inference.Input{Node: most, Chance: .7}, inference.In(e[4]))
	on := append(e, pair, most, top)
	k = known{}
	for range findings {
		p := .1 + .8*r.Float64()
		q := .1 + .8*r.Float64()
		f := s.finding(yesNo(on[r.IntN(len(on))], p, q))
		k[f] = inference.Certain(r.IntN(2), 2)
	}
	return s, top, k
}

// TestWeighSampled: above ten players the pulls are estimates. They must lie
// within five of their stated standard errors of the exact Shapley value and
// sum to Posterior - Prior like exact ones.
func TestWeighSampled(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 0))
	for round := range 30 {
		players := 11 + round%2
		s, top, k := crowd(r, players)
		seen := []inference.Node{top}
		use := inference.Use{Evidence: sortedKeys(k), Seen: seen}
		net, err := s.model().Compile(use)
		require.NoError(t, err)
		var e inference.Evidence
		var at []int
		for i, f := range use.Evidence {
			e, at = append(e, k[f]), append(at, i)
		}
		targets := []inference.Target{{Node: 1}, {Node: 2, Present: true}}
		o := newOracle(s)
		for i, got := range net.Weigh(e, at, targets) {
			sampled(t, o.game(nil, k, o.target(targets[i], seen)), got, round)
		}
	}
}

func sampled(t *testing.T, g game, got inference.Weighing, round int) {
	t.Helper()
	require.True(t, g.finite(), "round %d proves nothing", round)
	require.InDelta(t, g.value[0], got.Prior, tolerance)
	require.InDelta(t, g.value[len(g.value)-1], got.Posterior, tolerance)
	require.InDelta(t, got.Posterior-got.Prior, total(got.Pull), tolerance)
	for i, want := range g.bySubsets() {
		// 1e-9 for pulls that are the same in every order: no scatter, only rounding.
		require.LessOrEqual(t, math.Abs(want-got.Pull[i]), 5*got.Error[i]+tolerance,
			"round %d: pull %d is %v, sampled %v, standard error %v", round, i, want, got.Pull[i], got.Error[i])
		require.Less(t, got.Error[i], .2, "round %d: an error that wide says nothing", round)
	}
}

// TestWeighPairs: where no more than two findings act on each other, an order and
// its reverse together give the exact pulls: no error is left. Two findings hang
// on the two inputs of a gate, nine on events that have nothing to do with it.
func TestWeighPairs(t *testing.T) {
	s := &spec{}
	a, b := s.event(.2), s.event(.3)
	top := s.gate(inference.Any, 0, plain(a, b)...)
	k := known{s.finding(yesNo(a, .9, .2)): inference.Certain(0, 2), s.finding(yesNo(b, .3, .7)): inference.Certain(0, 2)}
	for range 9 {
		k[s.finding(yesNo(s.event(.5), .9, .2))] = inference.Certain(0, 2)
	}
	use := inference.Use{Evidence: sortedKeys(k), Gates: []inference.Node{top}}
	net, err := s.model().Compile(use)
	require.NoError(t, err)
	var e inference.Evidence
	var at []int
	for i, f := range use.Evidence {
		e, at = append(e, k[f]), append(at, i)
	}
	x := inference.Target{Node: top, Present: true}
	o := newOracle(s)
	got := net.Weigh(e, at, []inference.Target{x})[0]
	want := o.game(nil, k, o.target(x, nil)).bySubsets()
	require.Greater(t, math.Abs(want[0]-math.Log(.9/.2)), .1, "they do act on each other")
	require.InDeltaSlice(t, want, got.Pull, tolerance)
	// The variance is a difference of mean squares, good to about 1e-16 of them.
	require.InDeltaSlice(t, make([]float64, len(at)), got.Error, 1e-7)
}

// TestWeighNearCertain: twelve findings of likelihood ratio 20 on one event of
// rate 1/2 multiply its odds to 20^12 (Bayes' rule in odds form); each pulls
// ln 20. The odds are far from infinite.
func TestWeighNearCertain(t *testing.T) {
	for _, players := range []int{6, 10, 12} {
		s := &spec{}
		x := s.event(.5)
		use := inference.Use{}
		var e inference.Evidence
		var at []int
		for i := range players {
			use.Evidence = append(use.Evidence, s.finding(yesNo(x, .8, .04)))
			e, at = append(e, inference.Certain(0, 2)), append(at, i)
		}
		net, err := s.model().Compile(use)
		require.NoError(t, err)
		got := net.Weigh(e, at, []inference.Target{{Node: x, Present: true}})[0]
		require.InDelta(t, float64(players)*math.Log(20), got.Posterior, tolerance, "%d players", players)
		for _, pull := range got.Pull {
			require.InDelta(t, math.Log(20), pull, tolerance, "%d players", players)
		}
	}
}
