package inference_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/inference"
)

// Shards of the random models run side by side.
const (
	shards    = 4
	firstSeed = 1
)

// scenes is how many random models are compared.
func scenes() int {
	if underRace {
		return 800
	}
	return 4000
}

// eachScene runs check on random scenes. A failure prints the scene's seed and
// the whole model; seed n is always the same scene.
func eachScene(t *testing.T, check func(c *comparison)) {
	t.Helper()
	t.Parallel()
	for shard := range shards {
		t.Run(fmt.Sprint("shard", shard), func(t *testing.T) {
			t.Parallel()
			for i := shard; i < scenes(); i += shards {
				seed := uint64(firstSeed + i)
				s := generate(rand.New(rand.NewPCG(seed, 0)))
				c := newComparison(t, s, seed)
				check(c)
			}
		})
	}
}

// comparison holds the oracle and the engine on one scene.
type comparison struct {
	*scene
	t      *testing.T
	seed   uint64
	oracle *oracle
	belief belief
	net    *inference.Network
}

func newComparison(t *testing.T, s *scene, seed uint64) *comparison {
	c := &comparison{scene: s, t: t, seed: seed, oracle: newOracle(s.spec)}
	c.belief = c.oracle.given(s.known())
	c.net = c.compile(s.asUse())
	return c
}

func (c *comparison) compile(u inference.Use) *inference.Network {
	m := c.spec.model()
	c.require(m.Err() == nil, "model: %v", m.Err())
	net, err := m.Compile(u)
	c.require(err == nil, "compile: %v", err)
	return net
}

func (c *comparison) require(ok bool, format string, args ...any) {
	if !ok {
		c.t.Helper()
		c.t.Fatalf("seed %d: %s\n%s", c.seed, fmt.Sprintf(format, args...), c.scene)
	}
}

// equal holds two figures to 1e-9; NaN is never equal.
func (c *comparison) equal(want, got float64, format string, args ...any) {
	if !(math.Abs(want-got) <= tolerance) {
		c.t.Helper()
		c.require(false, "%s: oracle %v, engine %v", fmt.Sprintf(format, args...), want, got)
	}
}

func (c *comparison) contradictory() bool { return c.belief.evidence == 0 }

// TestPosteriors: probability of the evidence, events, gates and contributions.
func TestPosteriors(t *testing.T) {
	eachScene(t, func(c *comparison) {
		p, err := c.net.Evaluate(c.evidence)
		if c.contradictory() {
			c.require(err == inference.ErrContradiction, "evidence is impossible, got %v", err)
			_, err = c.net.LogEvidence(c.evidence)
			c.require(err == inference.ErrContradiction, "evidence is impossible, got %v", err)
			return
		}
		c.require(err == nil, "%v", err)
		c.equal(1, math.Exp(p.LogEvidence)/c.belief.evidence, "P(evidence), ratio")
		log, err := c.net.LogEvidence(c.evidence)
		c.require(err == nil && log == p.LogEvidence, "log P(evidence): %v, %v, %v", log, p.LogEvidence, err)
		c.posterior(p)
	})
}

func (c *comparison) posterior(p inference.Posterior) {
	for i := range c.nodes {
		n := inference.Node(i)
		if !c.nodes[i].event {
			c.require(math.IsNaN(p.Event[i]), "gate %d among the events", i)
			continue
		}
		c.equal(c.belief.present(n), p.Event[i], "event %d", i)
		in := c.oracle.target(inference.Target{Node: n}, c.seen)
		c.equal(c.belief.prob(in), p.Contributed[i], "contributed %d", i)
	}
	for i, g := range c.gates {
		c.equal(c.belief.present(g), p.Gate[i], "gate %d", g)
	}
}

// TestLeftOut: a finding left out of an evaluation is as good as one left out
// of the network.
func TestLeftOut(t *testing.T) {
	eachScene(t, func(c *comparison) {
		u := c.asUse()
		u.Evidence = nil
		var e inference.Evidence
		for i, f := range c.use {
			if c.evidence[i] != nil {
				u.Evidence = append(u.Evidence, f)
				e = append(e, c.evidence[i])
			}
		}
		with, err := c.net.Evaluate(c.evidence)
		without, other := c.compile(u).Evaluate(e)
		c.require(err == other, "%v, %v", err, other)
		if err != nil {
			return
		}
		c.equal(with.LogEvidence, without.LogEvidence, "log P(evidence)")
		for i := range c.nodes {
			if c.nodes[i].event {
				c.equal(with.Event[i], without.Event[i], "event %d", i)
				c.equal(with.Contributed[i], without.Contributed[i], "contributed %d", i)
			}
		}
	})
}

// TestWorth: what the answers to open questions are, go with, and tell.
func TestWorth(t *testing.T) {
	eachScene(t, func(c *comparison) {
		p, err := c.net.NewPricer(c.evidence, c.targets)
		if c.contradictory() {
			c.require(err == inference.ErrContradiction, "evidence is impossible, got %v", err)
			return
		}
		c.require(err == nil, "%v", err)
		for i, x := range c.targets {
			c.equal(c.belief.prob(c.oracle.target(x, c.seen)), p.TargetProb(i), "target %d", i)
		}
		together := p.Tables(c.open)
		for i, f := range c.open {
			c.table(f, p.Table(f))
			c.table(f, together[i])
			for _, g := range c.open[i+1:] {
				c.pairs(f, g, p.Pair(f, g))
			}
		}
	})
}

func (c *comparison) table(f int, got inference.Table) {
	c.require(got.Finding == f, "table of %d, not %d", got.Finding, f)
	c.equalAll(c.belief.answers(f, always), got.Answer, "answers of %d", f)
	c.equal(c.belief.spread(f), got.Spread, "spread of %d", f)
	c.equal(c.belief.everything(f), got.Everything(), "I(%d; everything)", f)
	for i, x := range c.targets {
		in := c.oracle.target(x, c.seen)
		c.equalAll(c.belief.answers(f, in), got.With[i], "answers of %d with %v", f, x)
		c.equal(c.belief.about(f, in), got.About(i), "I(%d; %v)", f, x)
	}
}

func (c *comparison) pairs(f, g int, got inference.PairTable) {
	want := c.belief.pair(f, g, always)
	c.require(got.Answers == [2]int{len(want), len(want[0])}, "answers of pair %v", got.Answers)
	for a := range want {
		c.equalAll(want[a], got.Prob[a], "pair %d %d", f, g)
	}
	for i, x := range c.targets {
		want := c.belief.pair(f, g, c.oracle.target(x, c.seen))
		for a := range want {
			c.equalAll(want[a], got.With[i][a], "pair %d %d with %v", f, g, x)
		}
	}
}

func (c *comparison) equalAll(want, got []float64, format string, args ...any) {
	c.require(len(want) == len(got), "%s: %d, %d", fmt.Sprintf(format, args...), len(want), len(got))
	for i := range want {
		c.equal(want[i], got[i], format, args...)
	}
}

// TestStories: minimal cut sets of all failures seen, with their probability.
func TestStories(t *testing.T) {
	eachScene(t, func(c *comparison) {
		if c.contradictory() {
			return
		}
		p, err := c.net.Evaluate(c.evidence)
		c.require(err == nil, "%v", err)
		got, err := c.net.Stories(c.evidence, p, 0)
		if c.negatedBelow(c.seen) {
			c.require(err == inference.ErrNotCoherent, "negated input below a failure, got %v", err)
			return
		}
		c.require(err == nil, "%v", err)
		if len(c.seen) == 0 {
			c.require(len(got) == 0, "stories of nothing")
			return
		}
		want := c.belief.stories(c.seen)
		c.stories(want, got)
		c.limited(p, got)
	})
}

// stories: none is missing but what is impossible, none is made up.
func (c *comparison) stories(want map[string]float64, got []inference.Story) {
	for _, s := range got {
		p, ok := want[name(s.Events)]
		c.require(ok, "%v is no minimal cut set", s.Events)
		c.equal(p, s.Probability, "story %v", s.Events)
		delete(want, name(s.Events))
	}
	for s, p := range want {
		c.require(p == 0, "story %s of probability %v is missing", s, p)
	}
}

// limited: a threshold drops the stories below it and no others.
func (c *comparison) limited(p inference.Posterior, full []inference.Story) {
	const least = .05
	got, err := c.net.Stories(c.evidence, p, least)
	c.require(err == nil, "%v", err)
	count := 0
	for i, s := range full {
		c.require(i == 0 || full[i-1].Probability >= s.Probability-tolerance, "stories out of order")
		if s.Probability >= least {
			c.require(count < len(got), "story %v is missing", s)
			c.equal(s.Probability, got[count].Probability, "story %d", count)
			count++
		}
	}
	c.require(count == len(got), "%d stories, not %d", len(got), count)
}

// TestHittingSets: by trying every set of candidates.
func TestHittingSets(t *testing.T) {
	eachScene(t, func(c *comparison) {
		if c.negatedBelow(c.seen) {
			return
		}
		sets, err := c.spec.model().CutSets(c.seen, nil)
		c.require(err == nil, "%v", err)
		var may []inference.Node
		for _, e := range c.which(true) {
			if (c.seed+uint64(e)*7)%3 > 0 { // the others are conditions
				may = append(may, e)
			}
		}
		want := hittingSets(sets, may)
		for _, limit := range []int{1000, 1} {
			want = want[:min(limit, len(want))]
			got := inference.HittingSets(sets, func(n inference.Node) bool { return has(spread(^uint64(0), may), n) }, limit)
			c.require(fmt.Sprint(want) == fmt.Sprint(got), "hitting sets: oracle %v, engine %v", want, got)
		}
	})
}

// TestOracle: the two Shapley formulas agree, so that one may stand for the other.
func TestOracle(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 0))
	for range 20 {
		g := game{5, make([]float64, 32)}
		for i := range g.value {
			g.value[i] = r.NormFloat64()
		}
		require.InDeltaSlice(t, g.byOrders(), g.bySubsets(), 1e-12)
	}
}
