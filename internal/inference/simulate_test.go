package inference_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/inference"
)

// TestWorlds: drawn worlds follow the exact joint posterior of the events, and
// their gates, contributions and answers what follows from it.
func TestWorlds(t *testing.T) {
	t.Parallel()
	const count = 20000
	for seed := uint64(1); seed <= 40; seed++ {
		s := generate(rand.New(rand.NewPCG(seed, 0)))
		c := newComparison(t, s, seed)
		if c.contradictory() {
			continue
		}
		worlds, err := c.net.Worlds(c.evidence, count, rand.New(rand.NewPCG(seed, 1)))
		c.require(err == nil, "%v", err)
		c.require(len(worlds) == count, "%d worlds", len(worlds))
		c.states(worlds)
		c.gatesAndAnswers(worlds)
	}
}

// frequency: that many hits or more, or that few or fewer, would come by chance
// at most once in 1e9 (Chernoff's bound, exp(-n KL(hits/n, p)); it holds for
// rare and impossible things too).
func (c *comparison) frequency(p float64, hits, of int, what string, args ...any) {
	got := float64(hits) / float64(of)
	apart := float64(of) * (relative(got, p) + relative(1-got, 1-p))
	c.require(apart < math.Log(1e9), what+": %d of %d, expected %v", append(args, hits, of, p)...)
}

// relative is x ln(x/y).
func relative(x, y float64) float64 {
	const rounding = 1e-12 // what the oracle's sums may be off from 0 or 1
	switch {
	case x == 0:
		return 0
	case y < rounding:
		return math.Inf(1)
	}
	return x * math.Log(x/y)
}

// states counts the joint states of the events.
func (c *comparison) states(worlds []inference.World) {
	count := map[uint64]int{}
	for _, w := range worlds {
		set := uint64(0)
		for _, e := range c.which(true) {
			if w.Holds[e] {
				set |= 1 << e
			}
		}
		count[set]++
	}
	want := c.belief.eventStates()
	for set, hits := range count {
		c.frequency(want[set], hits, len(worlds), "state %b", set)
	}
}

func (c *comparison) gatesAndAnswers(worlds []inference.World) {
	c.given(worlds[:100])
	for i := range c.nodes {
		hits, contributed := 0, 0
		for _, w := range worlds {
			if w.Holds[i] {
				hits++
			}
			if w.Contributed[i] {
				contributed++
			}
		}
		n := inference.Node(i)
		c.frequency(c.belief.present(n), hits, len(worlds), "node %d", i)
		c.frequency(c.belief.prob(c.oracle.target(inference.Target{Node: n}, c.seen)), contributed, len(worlds), "contributed %d", i)
	}
	for i, f := range c.use {
		hits := make([]int, c.findings[f].Answers())
		for _, w := range worlds {
			hits[w.Answer[i]]++
		}
		for a, p := range c.belief.answers(f, always) {
			c.frequency(p, hits[a], len(worlds), "finding %d answer %d", f, a)
		}
	}
}

// given: what the model says of a world's answers is what the tables say.
func (c *comparison) given(worlds []inference.World) {
	m := c.spec.model()
	for _, w := range worlds {
		holds := uint64(0)
		for i, h := range w.Holds {
			if h {
				holds |= 1 << i
			}
		}
		for f := range c.findings {
			want, _ := says(c.findings[f], holds)
			c.equalAll(want, m.FindingAt(f).Given(w.Holds), "answers of %d in world %b", f, holds)
		}
	}
}

// TestWorldsRepeat: the same source of random numbers gives the same worlds.
func TestWorldsRepeat(t *testing.T) {
	s, top, k := crowd(rand.New(rand.NewPCG(3, 0)), 6)
	use := inference.Use{Evidence: sortedKeys(k), Seen: []inference.Node{top}}
	net, err := s.model().Compile(use)
	require.NoError(t, err)
	e := make(inference.Evidence, len(use.Evidence))
	first, err := net.Worlds(e, 50, rand.New(rand.NewPCG(1, 2)))
	require.NoError(t, err)
	second, err := net.Worlds(e, 50, rand.New(rand.NewPCG(1, 2)))
	require.NoError(t, err)
	require.Equal(t, first, second)
}
