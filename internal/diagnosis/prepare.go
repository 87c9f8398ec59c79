// Package diagnosis joins a rule base and a case: it builds the network that
// both denote, evaluates it, and answers the questions a person asks of the
// result: what is the likeliest cause, what acted together, what each finding
// weighed, what to ask or measure next, what would overturn the first place.
//
// All numbers come from package inference and are exact; nothing is scored by
// hand here. It does no input or output. Packages interview and report use it.
package diagnosis

import (
	"fmt"

	"filmfault/internal/inference"
	"filmfault/internal/rulebase"
)

// Rules is a rule base made ready for evaluating cases: the shares of
// unlisted causes are turned into rates once.
type Rules struct {
	Base     *rulebase.Base
	unlisted map[string]float64 // gate id -> rate of its unlisted cause
}

// Prepare turns each gate's unlisted share q into the rate u of an independent
// unlisted cause: of the times the gate holds, a share q has no listed cause,
// so (1-p)u = q(p + (1-p)u) and u = q p / ((1-q)(1-p)), p being the
// probability of the listed causes over all jobs.
func Prepare(b *rulebase.Base) (*Rules, error) {
	r := &Rules{Base: b, unlisted: map[string]float64{}}
	for _, g := range b.Gates {
		if g.Unlisted == 0 {
			continue
		}
		p, err := r.prior(g.ID)
		if err != nil {
			return nil, fmt.Errorf("gate %s: %w", g.ID, err)
		}
		q := g.Unlisted
		if q*p >= (1-q)*(1-p) {
			return nil, fmt.Errorf("gate %s (%s): its listed causes make it hold on %.0f %% of jobs, so that an unlisted share of %g cannot be; write a smaller share or smaller rates", g.ID, g.Span, 100*p, q)
		}
		r.unlisted[g.ID] = q * p / ((1 - q) * (1 - p))
	}
	return r, nil
}

// prior is the probability that a gate holds through listed causes, over all
// jobs.
func (r *Rules) prior(gate string) (float64, error) {
	n := r.structure(rulebase.Facts{}, gate, nil)
	net, err := n.model.Compile(inference.Use{Gates: []inference.Node{n.node[gate]}})
	if err != nil {
		return 0, err
	}
	p, err := net.Evaluate(nil)
	if err != nil {
		return 0, err
	}
	return p.Gate[0], nil
}

// network is the model of a case with the way from ids to its numbers.
type network struct {
	model    inference.Model
	node     map[string]inference.Node
	id       map[inference.Node]string
	unlisted map[inference.Node]string // node of an unlisted cause -> its gate
	failure  map[string]int            // failure id -> its inspection finding
	finding  map[string]int
	entered  []entered
	leads    map[string]inference.Node // cause blamed -> that it made a computed event
	causes   []inference.Node          // gates that stand for causes
}

// structure builds events and gates under the facts known, up to the gate
// named (all when last is empty): the gate itself then without its unlisted
// cause, which is being worked out.
func (r *Rules) structure(facts rulebase.Facts, last string, computed []Computed) *network {
	n := &network{
		node: map[string]inference.Node{}, id: map[inference.Node]string{}, leads: map[string]inference.Node{},
		unlisted: map[inference.Node]string{}, failure: map[string]int{}, finding: map[string]int{},
	}
	for _, e := range r.Base.Events {
		if !replaced(e.ID, computed) {
			n.name(e.ID, n.model.Event(e.ID, e.Rate.For(facts)))
		}
	}
	for _, c := range computed {
		r.enter(n, c, facts)
	}
	for _, g := range r.Base.Gates {
		r.addGate(n, g)
		if g.ID == last {
			break
		}
	}
	return n
}

func (n *network) name(id string, x inference.Node) {
	n.node[id] = x
	n.id[x] = id
}

// addGate adds a gate and, where its rate is known, the unlisted cause beside
// the listed ones.
func (r *Rules) addGate(n *network, g rulebase.Gate) {
	kind := map[rulebase.GateKind]inference.Kind{
		rulebase.AnyOf: inference.Any, rulebase.AllOf: inference.All, rulebase.AtLeast: inference.AtLeast,
	}[g.Kind]
	inputs := n.computedInputs(g)
	u, known := r.unlisted[g.ID]
	if !known {
		n.name(g.ID, n.model.Gate(g.ID, kind, g.Count, inputs...))
		return
	}
	other := n.model.Event("unlisted: "+g.ID, u)
	n.unlisted[other] = g.ID
	if kind != inference.Any {
		inputs = []inference.Input{inference.In(n.model.Gate(g.ID+" (listed)", kind, g.Count, inputs...))}
	}
	inputs = append(inputs, inference.In(other))
	n.name(g.ID, n.model.Gate(g.ID, inference.Any, 0, inputs...))
}

func (n *network) inputs(list []rulebase.Input) []inference.Input {
	out := make([]inference.Input, len(list))
	for i, in := range list {
		out[i] = inference.Input{Node: n.node[in.ID], Chance: in.Chance}
	}
	return out
}

// addFailure adds the inspection of a failure: seen (0) or absent (1).
func (n *network) addFailure(g rulebase.Gate) {
	n.failure[g.ID] = n.model.Finding(inference.Finding{Name: g.ID, Rows: []inference.Row{
		{Events: []inference.Node{n.node[g.ID]}, Say: []float64{g.Failure.Shows, 1 - g.Failure.Shows}},
		{Say: []float64{g.Failure.ClaimedInError, 1 - g.Failure.ClaimedInError}},
	}})
}

// addFinding adds a finding with the rows that the facts leave in force.
func (n *network) addFinding(f rulebase.Finding, facts rulebase.Facts) {
	x := inference.Finding{Name: f.ID}
	if len(f.AnyOf) > 0 {
		x.AnyOf, x.Background = n.inputs(f.AnyOf), f.Background
		n.finding[f.ID] = n.model.Finding(x)
		return
	}
	for _, r := range f.Rows {
		if !rulebase.Hold(r.When, facts) {
			continue
		}
		row := inference.Row{Say: r.Say}
		for _, e := range r.If {
			row.Events = append(row.Events, n.node[e.ID])
		}
		x.Rows = append(x.Rows, row)
		if len(row.Events) == 0 {
			break // a row on facts alone that holds: nothing below is reached
		}
	}
	n.finding[f.ID] = n.model.Finding(x)
}
