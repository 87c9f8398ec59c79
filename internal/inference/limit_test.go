package inference_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"filmfault/internal/bdd"
	"filmfault/internal/inference"
)

// narrow runs check on networks that were compiled with every limit from the
// smallest up to those that leave room for most of what may be asked. Whatever is answered
// under a limit must be the truth.
func narrow(t *testing.T, check func(c *comparison, net *inference.Network)) {
	t.Helper()
	t.Parallel()
	for seed := uint64(1); seed <= 25; seed++ {
		s := generate(rand.New(rand.NewPCG(seed, 0)))
		c := newComparison(t, s, seed)
		if c.contradictory() {
			continue
		}
		refused, compiled := 0, 0
		for limit := 2; compiled < 50; limit++ {
			u := c.asUse()
			u.Limit = limit
			net, err := c.spec.model().Compile(u)
			if err != nil {
				c.require(errors.Is(err, bdd.ErrTooWide), "limit %d: %v", limit, err)
				refused++
				continue
			}
			compiled++
			check(c, net)
		}
		c.require(refused > 0, "no limit was too small")
	}
}

// outgrown is true when something asked of a network after it was compiled
// passed the limit and the network says so: then nothing is claimed.
func outgrown(net *inference.Network) bool {
	says, ok := any(net).(interface{ Err() error })
	return ok && errors.Is(says.Err(), bdd.ErrTooWide)
}

// TestLimit: a network that compiles under a limit is right.
func TestLimit(t *testing.T) {
	narrow(t, func(c *comparison, net *inference.Network) {
		p, err := net.Evaluate(c.evidence)
		c.require(err == nil, "%v", err)
		c.equal(1, math.Exp(p.LogEvidence)/c.belief.evidence, "P(evidence), ratio")
		c.posterior(p)
	})
}

// TestLimitStories: stories build functions after compiling.
func TestLimitStories(t *testing.T) {
	narrow(t, func(c *comparison, net *inference.Network) {
		if c.negatedBelow(c.seen) || len(c.seen) == 0 {
			return
		}
		p, err := net.Evaluate(c.evidence)
		c.require(err == nil, "%v", err)
		got, err := net.Stories(c.evidence, p, 0)
		if errors.Is(err, bdd.ErrTooWide) {
			return
		}
		c.require(err == nil, "%v", err)
		c.stories(c.belief.stories(c.seen), got)
	})
}

// TestLimitTable: a price is right or refused. Pricing an any-of builds
// functions when the table is asked for, after the last check for the limit.
func TestLimitTable(t *testing.T) {
	narrow(t, func(c *comparison, net *inference.Network) {
		p, err := net.NewPricer(c.evidence, c.targets)
		if err != nil {
			c.require(errors.Is(err, bdd.ErrTooWide), "%v", err)
			return
		}
		for _, f := range c.open {
			if table := p.Table(f); !outgrown(net) {
				c.table(f, table)
			}
		}
	})
}

// TestLimitPair: the same for two questions together.
func TestLimitPair(t *testing.T) {
	narrow(t, func(c *comparison, net *inference.Network) {
		p, err := net.NewPricer(c.evidence, c.targets)
		if err != nil {
			c.require(errors.Is(err, bdd.ErrTooWide), "%v", err)
			return
		}
		for i, f := range c.open {
			for _, g := range c.open[i+1:] {
				if pair := p.Pair(f, g); !outgrown(net) {
					c.pairs(f, g, pair)
				}
			}
		}
	})
}

// TestLimitWeigh: the same for weights.
func TestLimitWeigh(t *testing.T) {
	narrow(t, func(c *comparison, net *inference.Network) {
		got := net.Weigh(c.evidence, nil, c.targets)
		if outgrown(net) {
			return
		}
		for i, x := range c.targets {
			c.weighing(c.oracle.game(c.known(), nil, c.oracle.target(x, c.seen)), got[i])
		}
	})
}
