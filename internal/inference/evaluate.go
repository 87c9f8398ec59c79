package inference

import (
	"errors"
	"math"

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
	Event       []float64 // per model node: probability that the event holds; NaN for gates
	Gate        []float64 // per Use.Gates
	Contributed []float64 // per model node: that the event contributed; 0 where nothing seen lies above it
}

// Evaluate is the exact posterior. It returns ErrContradiction when the
// evidence has probability 0.
func (n *Network) Evaluate(e Evidence) (Posterior, error) {
	w, scale := n.weights(e)
	value := make([]float64, n.diagram.Size())
	n.diagram.Up(w, value)
	total := value[n.diagram.Root(0)]
	if total <= 0 || math.IsInf(scale, -1) {
		return Posterior{}, ErrContradiction
	}
	p := Posterior{
		LogEvidence: math.Log(total) + scale,
		Event:       n.events(w, value),
		Gate:        make([]float64, len(n.gates)),
		Contributed: make([]float64, len(n.model.nodes)),
	}
	for i, r := range n.gates {
		p.Gate[i] = min(1, value[n.diagram.Root(r)]/total)
	}
	for x, r := range n.pathRoot {
		p.Contributed[x] = min(1, value[n.diagram.Root(r)]/total)
	}
	return p, nil
}

func (n *Network) events(w []bdd.Weight, value []float64) []float64 {
	marginal := make([]float64, n.layout.levels)
	reach := make([]float64, n.diagram.Size())
	n.diagram.Down(n.diagram.Root(0), w, value, reach, marginal)
	out := make([]float64, len(n.model.nodes))
	for x := range out {
		out[x] = math.NaN()
		if l := n.layout.event[x]; l >= 0 {
			out[x] = marginal[l]
		}
	}
	return out
}

// weights lays the numbers of the evidence on the levels. scale is the
// logarithm of what was divided out to make each pair sum to one.
func (n *Network) weights(e Evidence) (w []bdd.Weight, scale float64) {
	w = n.priors()
	for i, f := range n.use.Evidence {
		rows := n.rowsOf(f, e, i)
		if x := n.model.single(f); x >= 0 {
			l := n.layout.event[x]
			w[l] = bdd.Weight{w[l][0] * rows[1], w[l][1] * rows[0]}
			scale += normalise(&w[l])
			continue
		}
		for r, l := range n.weighing(f) {
			w[l] = bdd.Weight{1 - rows[r], rows[r]}
		}
	}
	return w, scale
}

// rowsOf is the likelihood under each row; 1 for a finding left out.
func (n *Network) rowsOf(f int, e Evidence, i int) []float64 {
	if e[i] != nil {
		return n.model.rowLikelihoods(f, e[i])
	}
	ones := make([]float64, max(2, len(n.model.findings[f].Rows)))
	for j := range ones {
		ones[j] = 1
	}
	return ones
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
	value := make([]float64, n.lean.Size())
	n.lean.Up(w, value)
	total := value[n.lean.Root(0)]
	if total <= 0 || math.IsInf(scale, -1) {
		return 0, ErrContradiction
	}
	return math.Log(total) + scale, nil
}
