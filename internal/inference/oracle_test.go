package inference_test

import (
	"filmfault/internal/inference"
)

// The oracle computes by the definition: it lists every world (which events
// hold, which chances led on), with its probability, and adds up. Findings are
// handled by formula, never by auxiliary draws. It shares no code with the
// engine. Its own figures are held against the published ones in mini_test.go
// and TestOracle.

// world is one combination of all draws of a spec.
type world struct {
	p     float64
	holds uint64 // bit per node
	led   uint64 // bit per chance draw
}

type oracle struct {
	*spec
	chance [][]int // per node and input: the bit in led, or -1
	rates  []float64
	worlds []world
}

func newOracle(s *spec) *oracle {
	o := &oracle{spec: s, chance: make([][]int, len(s.nodes))}
	for i, x := range s.nodes {
		o.chance[i] = make([]int, len(x.in))
		for j, in := range x.in {
			o.chance[i][j] = -1
			if in.Chance < 1 {
				o.chance[i][j] = len(o.rates)
				o.rates = append(o.rates, in.Chance)
			}
		}
	}
	events := s.which(true)
	for set := uint64(0); set < 1<<len(events); set++ {
		for led := uint64(0); led < 1<<len(o.rates); led++ {
			o.add(events, set, led)
		}
	}
	return o
}

// add appends the world in which exactly the numbered events hold and the
// numbered chances led on; impossible ones are left out.
func (o *oracle) add(events []inference.Node, set, led uint64) {
	p, holds := 1.0, uint64(0)
	for i, e := range events {
		if has(set, i) {
			p *= o.nodes[e].rate
			holds |= 1 << e
		} else {
			p *= 1 - o.nodes[e].rate
		}
	}
	for i, r := range o.rates {
		if has(led, i) {
			p *= r
		} else {
			p *= 1 - r
		}
	}
	if p > 0 {
		o.worlds = append(o.worlds, world{p, o.run(holds, led), led})
	}
}

func has[N ~int](set uint64, n N) bool { return set>>uint(n)&1 == 1 }

// run adds the gates to the events that hold.
func (o *oracle) run(holds, led uint64) uint64 {
	for i, x := range o.nodes {
		if x.event {
			continue
		}
		count := 0
		for j := range x.in {
			if o.leads(i, j, holds, led) {
				count++
			}
		}
		if x.holds(count) {
			holds |= 1 << i
		}
	}
	return holds
}

// holds is the definition of the gates, from the number of inputs that count.
func (x specNode) holds(count int) bool {
	switch x.kind {
	case inference.All:
		return count == len(x.in)
	case inference.Any:
		return count > 0
	}
	return count >= x.k
}

// leads is "input j of gate i counts".
func (o *oracle) leads(i, j int, holds, led uint64) bool {
	in := o.nodes[i].in[j]
	c := o.chance[i][j]
	return has(holds, in.Node) != in.Negated && (c < 0 || has(led, c))
}

// contributed is the definition: x holds, and it is a failure seen, or it leads
// on, not negated, to a gate that contributed.
func (o *oracle) contributed(x inference.Node, seen []inference.Node, w world) bool {
	if !has(w.holds, x) {
		return false
	}
	for _, s := range seen {
		if s == x {
			return true
		}
	}
	for i, g := range o.nodes {
		for j, in := range g.in {
			if in.Node == x && !in.Negated && o.leads(i, j, w.holds, w.led) &&
				o.contributed(inference.Node(i), seen, w) {
				return true
			}
		}
	}
	return false
}

// says is the distribution of a finding's answers in a world, and which row (or
// on/off pattern of the any-of's inputs) it comes from.
func says(f inference.Finding, holds uint64) (answers []float64, row int) {
	if len(f.AnyOf) == 0 {
		for i, r := range f.Rows {
			if all(r.Events, holds) {
				return r.Say, i
			}
		}
	}
	no := 1 - f.Background
	for i, in := range f.AnyOf {
		if has(holds, in.Node) != in.Negated {
			no *= 1 - in.Chance
			row |= 1 << i
		}
	}
	return []float64{1 - no, no}, row
}

func all(nodes []inference.Node, holds uint64) bool {
	for _, n := range nodes {
		if !has(holds, n) {
			return false
		}
	}
	return true
}

// known is the evidence: weights over the answers, by finding.
type known map[int][]float64

// belief is the posterior: a weight per world, summing to one.
type belief struct {
	*oracle
	evidence float64 // probability of the evidence
	weight   []float64
}

func (o *oracle) given(k known) belief {
	b := belief{oracle: o, weight: make([]float64, len(o.worlds))}
	for i, w := range o.worlds {
		b.weight[i] = w.p
	}
	for _, f := range sortedKeys(k) {
		for i, l := range o.likelihoods(f, k[f]) {
			b.weight[i] *= l
		}
	}
	b.evidence = total(b.weight)
	for i := range b.weight {
		b.weight[i] /= b.evidence
	}
	return b
}

// likelihoods is P(answer given world), per world.
func (o *oracle) likelihoods(f int, answer []float64) []float64 {
	out := make([]float64, len(o.worlds))
	for i, w := range o.worlds {
		out[i] = likelihood(o.findings[f], answer, w.holds)
	}
	return out
}

func likelihood(f inference.Finding, answer []float64, holds uint64) float64 {
	say, _ := says(f, holds)
	sum := 0.0
	for a, p := range say {
		sum += p * answer[a]
	}
	return sum
}

// prob is the probability of a set of worlds.
func (b belief) prob(in func(world) bool) float64 {
	sum := 0.0
	for i, w := range b.worlds {
		if in(w) {
			sum += b.weight[i]
		}
	}
	return sum
}

func (b belief) present(x inference.Node) float64 {
	return b.prob(func(w world) bool { return has(w.holds, x) })
}

// target turns a question's target into a set of worlds.
func (o *oracle) target(t inference.Target, seen []inference.Node) func(world) bool {
	return func(w world) bool {
		if t.Present {
			return has(w.holds, t.Node)
		}
		return o.contributed(t.Node, seen, w)
	}
}

func total(x []float64) float64 {
	s := 0.0
	for _, v := range x {
		s += v
	}
	return s
}
