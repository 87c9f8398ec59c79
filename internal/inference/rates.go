package inference

import (
	"fmt"
	"slices"

	"filmfault/internal/bdd"
)

// Rates gives events of a network rates other than those of its model: what a
// calculation found for one case, or one draw of it.
type Rates struct {
	Events []Node
	Rate   []float64
}

// WithRates gives the network with some rates replaced. It shares the diagrams
// with the one it comes from: two goroutines may call Evaluate and LogEvidence on
// the two, and nothing else, since all the rest may add to the diagrams. Errors: a node that is no event, a rate outside 0 to 1.
func (n *Network) WithRates(r Rates) (*Network, error) {
	out := *n
	out.prior = slices.Clone(n.prior)
	out.scratch = n.newScratch()
	if err := out.SetRates(r); err != nil {
		return nil, err
	}
	return &out, nil
}

// SetRates replaces some rates of the network itself. Errors: those of
// WithRates; the rates before the one refused are set.
func (n *Network) SetRates(r Rates) error {
	for i, x := range r.Events {
		p := r.Rate[i]
		if !n.model.nodes[x].event || !(p >= 0 && p <= 1) {
			return fmt.Errorf("%s cannot have the rate %v", n.model.Name(x), p)
		}
		if l := n.layout.event[x]; l >= 0 {
			n.prior[l] = bdd.Weight{1 - p, p}
		}
	}
	return nil
}
