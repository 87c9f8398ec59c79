package inference

import (
	"fmt"
	"slices"

	"filmfault/internal/bdd"
)

// Use says what a Network is wanted for: its diagram holds only that.
type Use struct {
	Evidence []int  // findings that carry evidence
	Open     []int  // findings that will be priced
	Seen     []Node // failures seen: what an event contributes to
	Gates    []Node // gates whose probability is wanted
	Causes   []Node // gates that are told like events: whether they hold, and contributed
	Limit    int    // most nodes of the diagram; 0 means DefaultLimit
}

// DefaultLimit is the most nodes a diagram may have: some 110 MB with its tables.
const DefaultLimit = 2_000_000

// Network is a Model compiled for one Use. It is safe for use by one goroutine
// at a time.
type Network struct {
	model  *Model
	use    Use
	layout *layout
	dd     *bdd.Manager
	known  []bdd.Node // per model node: its function, False until built
	built  []bool

	evidence bdd.Node
	paths    map[Node]bdd.Node // "contributed" of each event below a failure seen
	diagram  *bdd.Diagram
	gates    []int // index into the diagram's roots, per Use.Gates
	causes   []int // the same per Use.Causes: that it holds
	pathRoot []int // per model node: index into the diagram's roots, 0 for none
	groups   []pathGroup
	// lean holds the evidence alone, for what needs no paths.
	lean *bdd.Diagram

	prior   []bdd.Weight // the weights without evidence
	scratch scratch
}

// scratch is room for one sweep, kept from one evaluation to the next.
type scratch struct {
	weights                        []bdd.Weight
	value, reach, marginal         []float64
	through, pair, leanValue, rows []float64
}

// Compile builds the diagram. It returns an error wrapping bdd.ErrTooWide when
// the network has too many loops to be solved exactly within the limit, and
// the model's own error if it has one.
func (m *Model) Compile(u Use) (*Network, error) {
	if m.err != nil {
		return nil, m.err
	}
	if u.Limit == 0 {
		u.Limit = DefaultLimit
	}
	n := &Network{model: m, use: u, known: make([]bdd.Node, len(m.nodes)), built: make([]bool, len(m.nodes))}
	n.layout = newLayout(m, u, n.handled())
	n.dd = bdd.New(n.layout.levels, u.Limit)
	n.conjoin()
	n.findPaths()
	n.pack()
	if err := n.dd.Err(); err != nil {
		return nil, fmt.Errorf("the network cannot be solved exactly: %w", err)
	}
	return n, nil
}

// handled lists the findings that need handles: those of one event and one
// row need none, they reweigh the event itself.
func (n *Network) handled() []int {
	var out []int
	for _, f := range n.use.Evidence {
		if n.model.single(f) < 0 && !n.model.flat(f) {
			out = append(out, f)
		}
	}
	for _, f := range n.use.Open {
		if !slices.Contains(n.use.Evidence, f) && len(n.model.findings[f].AnyOf) > 0 {
			out = append(out, f)
		}
	}
	return out
}

// single is the one event that a two-row finding hangs on, or -1.
func (m *Model) single(f int) Node {
	x := &m.findings[f]
	if len(x.AnyOf) > 0 || len(x.Rows) != 2 || len(x.Rows[0].Events) != 1 {
		return -1
	}
	if n := x.Rows[0].Events[0]; m.nodes[n].event {
		return n
	}
	return -1
}

// flat reports whether a finding says the same whatever holds: it has its last
// row only, and needs no handle.
func (m *Model) flat(f int) bool {
	x := &m.findings[f]
	return len(x.AnyOf) == 0 && len(x.Rows) == 1
}

// function is the diagram of an event or a gate.
func (n *Network) function(x Node) bdd.Node {
	if n.built[x] {
		return n.known[x]
	}
	f := n.build(n.model.nodes[x], x)
	n.known[x], n.built[x] = f, true
	return f
}

func (n *Network) build(x node, at Node) bdd.Node {
	if x.event {
		return n.dd.Var(n.layout.event[at])
	}
	inputs := make([]bdd.Node, len(x.inputs))
	for i := range x.inputs {
		inputs[i] = n.lead(at, i)
	}
	slices.SortStableFunc(inputs, func(a, b bdd.Node) int { return n.dd.Level(b) - n.dd.Level(a) })
	switch x.kind {
	case All:
		return n.fold(inputs, bdd.True, n.dd.And)
	case Any:
		return n.fold(inputs, bdd.False, n.dd.Or)
	default:
		return n.dd.AtLeast(x.k, inputs)
	}
}

// fold joins functions from the deepest up, so that each step adds at the top.
func (n *Network) fold(of []bdd.Node, start bdd.Node, join func(a, b bdd.Node) bdd.Node) bdd.Node {
	for _, f := range of {
		start = join(start, f)
	}
	return start
}

// lead is "input i of the gate holds and leads on".
func (n *Network) lead(gate Node, i int) bdd.Node {
	in := n.model.nodes[gate].inputs[i]
	f := n.input(in.Node, in.Negated)
	if l := n.layout.chance[gate][i]; l >= 0 {
		f = n.dd.And(f, n.dd.Var(l))
	}
	return f
}

func (n *Network) input(x Node, negated bool) bdd.Node {
	f := n.function(x)
	if negated {
		return n.dd.Not(f)
	}
	return f
}

// conjoin joins the factors of all evidence, the deepest first.
func (n *Network) conjoin() {
	var factors []bdd.Node
	for _, f := range n.use.Evidence {
		if n.model.single(f) < 0 && !n.model.flat(f) {
			factors = append(factors, n.factor(f))
		}
	}
	slices.SortStableFunc(factors, func(a, b bdd.Node) int { return n.dd.Level(b) - n.dd.Level(a) })
	n.evidence = bdd.True
	for _, f := range factors {
		n.evidence = n.dd.And(n.evidence, f)
	}
}

// pack lays the roots out for sweeping.
func (n *Network) pack() {
	roots := []bdd.Node{n.evidence}
	for _, g := range n.use.Gates {
		n.gates = append(n.gates, len(roots))
		roots = append(roots, n.dd.And(n.evidence, n.function(g)))
	}
	for _, g := range n.use.Causes {
		n.causes = append(n.causes, len(roots))
		roots = append(roots, n.dd.And(n.evidence, n.function(g)))
	}
	roots = n.packPaths(roots)
	n.diagram = n.dd.Diagram(roots...)
	n.lean = n.dd.Diagram(n.evidence)
	n.prior = n.priors()
	n.scratch = n.newScratch()
}

// newScratch is room for the widest of the diagrams.
func (n *Network) newScratch() scratch {
	widest := n.lean.Size()
	for _, g := range n.groups {
		widest = max(widest, g.diagram.Size())
	}
	return scratch{
		weights: make([]bdd.Weight, n.layout.levels),
		value:   make([]float64, n.diagram.Size()), reach: make([]float64, widest),
		marginal: make([]float64, n.layout.levels), through: make([]float64, n.layout.levels),
		pair: make([]float64, n.layout.levels), leanValue: make([]float64, widest),
	}
}

// Err is not nil when something asked for after compiling passed the limit of
// nodes: figures obtained since are not to be used.
func (n *Network) Err() error { return n.dd.Err() }

// Size is the number of nodes of the diagram that is swept.
func (n *Network) Size() int { return n.diagram.Size() }
