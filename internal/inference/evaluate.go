package inference

import (
	"errors"
	"math"
	"slices"

	"filmfault/internal/bdd"
)

// ErrContradiction says that the evidence cannot all be true.
var ErrContradiction = errors.New("the findings contradict each other")

// Evidence gives, for each finding of Use.Evidence, the weights over its
// answers: 1 for the answer seen and 0 for the others when it is certain,
// Pearl's virtual evidence when it is not. A nil entry means that the finding
// is left out this time.
type Evidence [][]float64

// Certain is the weights of one answer held for certain.
func Certain(answer, of int) []float64 {
	w := make([]float64, of)
	w[answer] = 1
	return w
}

// Held is the weights of one answer held with confidence c over the number of
// answers: c for it, (1-c)/(of-1) for each other. c must be above 1/of.
func Held(answer, of int, c float64) []float64 {
	w := make([]float64, of)
	for i := range w {
		w[i] = (1 - c) / float64(of-1)
	}
	w[answer] = c
	return w
}

// Posterior is what the evidence makes of the model.
type Posterior struct {
	LogEvidence float64   // natural logarithm of the probability of the evidence
	Event       []float64 // per model node: probability that the event holds; NaN for gates but Use.Causes
	Gate        []float64 // per Use.Gates
	// Contributed is, per model node, the probability that it holds and gates
	// that hold join it to a failure seen; 0 where none lies above it. Of gates
	// only those that events feed which feed nothing else are worked out.
	Contributed []float64
}

// Evaluate is the exact posterior. It returns ErrContradiction when the
// evidence has probability 0.
func (n *Network) Evaluate(e Evidence) (Posterior, error) {
	w, scale := n.weights(e)
	value := n.scratch.value
	n.diagram.Up(w, value)
	total := value[n.diagram.Root(0)]
	if total <= 0 || math.IsInf(scale, -1) {
		return Posterior{}, ErrContradiction
	}
	p := Posterior{
		LogEvidence: math.Log(total) + scale,
		Event:       n.events(w),
		Gate:        make([]float64, len(n.gates)),
		Contributed: make([]float64, len(n.model.nodes)),
	}
	for i, r := range n.gates {
		p.Gate[i] = min(1, value[n.diagram.Root(r)]/total)
	}
	for i, r := range n.causes {
		p.Event[n.use.Causes[i]] = min(1, value[n.diagram.Root(r)]/total)
	}
	for x, r := range n.pathRoot {
		if r > 0 {
			p.Contributed[x] = min(1, value[n.diagram.Root(r)]/total)
		}
	}
	n.contributed(w, total, p.Contributed)
	return p, nil
}

func (n *Network) events(w []bdd.Weight) []float64 {
	s := &n.scratch
	n.lean.Up(w, s.leanValue)
	n.lean.Down(n.lean.Root(0), w, s.leanValue, bdd.Scratch{Reach: s.reach, Through: s.through}, bdd.Marginals{True: s.marginal})
	out := make([]float64, len(n.model.nodes))
	for x := range out {
		out[x] = math.NaN()
		if l := n.layout.event[x]; l >= 0 {
			out[x] = s.marginal[l]
		}
	}
	return out
}

// weights lays the numbers of the evidence on the levels; they stand until the
// next call. scale is the logarithm of what was divided out to make each pair
// sum to one.
func (n *Network) weights(e Evidence) (w []bdd.Weight, scale float64) {
	w = n.scratch.weights
	copy(w, n.prior)
	for i, f := range n.use.Evidence {
		if e[i] == nil {
			continue // left out: its handles stand at "always"
		}
		rows := n.model.rowLikelihoods(f, e[i], n.scratch.rows[:0])
		n.scratch.rows = rows
		if x := n.model.single(f); x >= 0 {
			l := n.layout.event[x]
			w[l] = bdd.Weight{w[l][0] * rows[1], w[l][1] * rows[0]}
			scale += normalise(&w[l])
			continue
		}
		// The largest is divided out: many findings would else multiply to nothing.
		most := slices.Max(rows)
		scale += math.Log(most)
		for r, l := range n.weighing(f) {
			if most > 0 {
				w[l] = bdd.Weight{1 - rows[r]/most, rows[r] / most}
			}
		}
	}
	return w, scale
}

func normalise(p *bdd.Weight) float64 {
	sum := p[0] + p[1]
	if sum <= 0 {
		return math.Inf(-1)
	}
	p[0], p[1] = p[0]/sum, p[1]/sum
	return math.Log(sum)
}

// priors is the weights without evidence. A handle starts at "always", which
// leaves its finding out.
func (n *Network) priors() []bdd.Weight {
	w := make([]bdd.Weight, n.layout.levels)
	for l := range w {
		w[l] = bdd.Weight{0, 1}
	}
	for x, nd := range n.model.nodes {
		if l := n.layout.event[x]; l >= 0 {
			w[l] = bdd.Weight{1 - nd.rate, nd.rate}
		}
		for i, l := range n.layout.chance[x] {
			if l >= 0 {
				w[l] = bdd.Weight{1 - nd.inputs[i].Chance, nd.inputs[i].Chance}
			}
		}
	}
	for f, h := range n.layout.handle {
		x := n.model.findings[f]
		for i := range min(len(h), len(x.AnyOf)) {
			w[h[i]] = bdd.Weight{1 - x.AnyOf[i].Chance, x.AnyOf[i].Chance}
		}
		if k := len(x.AnyOf); k > 0 && len(h) > k {
			w[h[k]] = bdd.Weight{1 - x.Background, x.Background}
		}
	}
	return w
}

// LogEvidence is the natural logarithm of the probability of the evidence
// alone, cheaper than Evaluate.
func (n *Network) LogEvidence(e Evidence) (float64, error) {
	w, scale := n.weights(e)
	value := n.scratch.leanValue
	n.lean.Up(w, value)
	total := value[n.lean.Root(0)]
	if total <= 0 || math.IsInf(scale, -1) {
		return 0, ErrContradiction
	}
	return math.Log(total) + scale, nil
}
