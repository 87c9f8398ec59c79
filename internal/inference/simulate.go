package inference

import (
	"math"
	"math/rand/v2"
	"slices"

	"filmfault/internal/bdd"
)

// World is one draw from the model: which nodes hold, and which answer each
// finding of Use.Evidence gives.
type World struct {
	Holds       []bool
	Contributed []bool // per node: it holds and gates that hold join it to a failure of Use.Seen
	Answer      []int  // per Use.Evidence
}

// Worlds draws from the model given the evidence e: the events from their
// exact joint posterior (a walk down the diagram), the answers of all findings
// from the events. Findings that are nil in e do not bind the draw.
func (n *Network) Worlds(e Evidence, count int, random *rand.Rand) ([]World, error) {
	s, err := n.newSampler(e, random)
	if err != nil {
		return nil, err
	}
	out := make([]World, count)
	for i := range out {
		out[i] = s.draw()
	}
	return out, nil
}

type sampler struct {
	n      *Network
	random *rand.Rand
	weight []bdd.Weight
	value  []float64
}

func (n *Network) newSampler(e Evidence, random *rand.Rand) (*sampler, error) {
	w, scale := n.weights(e)
	value := make([]float64, n.lean.Size())
	n.lean.Up(w, value)
	if value[n.lean.Root(0)] <= 0 || math.IsInf(scale, -1) {
		return nil, ErrContradiction
	}
	return &sampler{n: n, random: random, value: value, weight: slices.Clone(w)}, nil
}

func (s *sampler) draw() World {
	truth := make([]bool, len(s.weight))
	for l, p := range s.weight {
		truth[l] = s.random.Float64() < p[1]
	}
	for at := s.n.lean.Root(0); at > 1; {
		level, high, next := s.n.lean.Step(at, s.weight, s.value, s.random.Float64())
		truth[level], at = high, next
	}
	return s.world(truth)
}

func (s *sampler) world(truth []bool) World {
	m, l := s.n.model, s.n.layout
	w := World{
		Holds: make([]bool, len(m.nodes)), Contributed: make([]bool, len(m.nodes)),
		Answer: make([]int, len(s.n.use.Evidence)),
	}
	for x, nd := range m.nodes {
		if nd.event {
			w.Holds[x] = truth[l.event[x]]
			continue
		}
		count := 0
		for i, in := range nd.inputs {
			if w.Holds[in.Node] != in.Negated && l.led(x, i, truth) {
				count++
			}
		}
		w.Holds[x] = count >= nd.need()
	}
	s.trace(w, truth)
	for i, f := range s.n.use.Evidence {
		w.Answer[i] = m.findings[f].sample(w.Holds, s.random)
	}
	return w
}

// led reports whether the chance of an input succeeded.
func (l *layout) led(gate, input int, truth []bool) bool {
	at := l.chance[gate][input]
	return at < 0 || truth[at]
}

// trace marks what contributed, from the failures seen down.
func (s *sampler) trace(w World, truth []bool) {
	for _, f := range s.n.use.Seen {
		w.Contributed[f] = w.Holds[f]
	}
	for x := len(w.Holds) - 1; x >= 0; x-- {
		if !w.Contributed[x] {
			continue
		}
		for i, in := range s.n.model.nodes[x].inputs {
			if !in.Negated && w.Holds[in.Node] && s.n.layout.led(x, i, truth) {
				w.Contributed[in.Node] = true
			}
		}
	}
}

// need is how many inputs must count for the gate to hold.
func (x node) need() int {
	switch x.kind {
	case All:
		return len(x.inputs)
	case Any:
		return 1
	}
	return x.k
}

// sample draws an answer given which nodes hold.
func (f Finding) sample(holds []bool, random *rand.Rand) int {
	say := f.Given(holds)
	r := random.Float64()
	for a, p := range say {
		if r -= p; r < 0 {
			return a
		}
	}
	return len(say) - 1
}

// Given is the probability of each answer when exactly these nodes hold.
func (f Finding) Given(holds []bool) []float64 {
	if len(f.AnyOf) > 0 {
		no := 1 - f.Background
		for _, in := range f.AnyOf {
			if holds[in.Node] != in.Negated {
				no *= 1 - in.Chance
			}
		}
		return []float64{1 - no, no}
	}
	for _, r := range f.Rows {
		all := true
		for _, n := range r.Events {
			all = all && holds[n]
		}
		if all {
			return r.Say
		}
	}
	return nil // not reached: the last row has no events
}
