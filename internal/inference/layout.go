package inference

// layout gives every random draw of a model its level in the decision diagram:
// events, chances of inputs, and the handles by which findings weigh.
type layout struct {
	levels int
	event  []int   // per node; -1 for gates
	chance [][]int // per gate and input; -1 where the chance is 1
	handle [][]int // per finding; meaning depends on the finding, see factor.go
}

// newLayout places events in the order found by arrange, each followed at once
// by what it completes: the chances of the inputs that are now known, the
// handles of findings that depend on nothing further. Anywhere later the
// diagram would have to remember more, anywhere earlier too.
func newLayout(m *Model, u Use, handled []int) *layout {
	order := arrange(m, u)
	p := newPlacer(m, handled)
	for _, x := range order {
		p.event(x)
	}
	for x := range m.nodes { // what nothing asked for so far rests on
		if m.nodes[x].event && !p.known[x] {
			p.event(Node(x))
		}
	}
	return p.layout
}

// placer gives out levels as nodes become known.
type placer struct {
	*layout
	m       *Model
	known   []bool
	missing []int   // per gate: inputs not yet known
	parents [][]use // per node: where it is an input
	waits   []int   // per finding: nodes of its support not yet known
	watch   [][]int // per node: findings that depend on it
}

// use is one place where a node is an input.
type use struct{ gate, input int }

func newPlacer(m *Model, handled []int) *placer {
	n := len(m.nodes)
	p := &placer{
		layout: &layout{event: make([]int, n), chance: make([][]int, n), handle: make([][]int, len(m.findings))},
		m:      m, known: make([]bool, n), missing: make([]int, n), parents: make([][]use, n),
		waits: make([]int, len(m.findings)), watch: make([][]int, n),
	}
	for x, nd := range m.nodes {
		p.layout.event[x] = -1
		p.missing[x] = len(nd.inputs)
		p.chance[x] = make([]int, len(nd.inputs))
		for i, in := range nd.inputs {
			p.chance[x][i] = -1
			p.parents[in.Node] = append(p.parents[in.Node], use{x, i})
		}
	}
	for _, f := range handled {
		for _, x := range m.support(f) {
			p.watch[x] = append(p.watch[x], f)
			p.waits[f]++
		}
	}
	return p
}

func (p *placer) level() int {
	p.levels++
	return p.levels - 1
}

func (p *placer) event(x Node) {
	p.layout.event[x] = p.level()
	p.complete(int(x))
}

// complete marks a node as known and gives out the levels that this frees.
func (p *placer) complete(x int) {
	p.known[x] = true
	for _, u := range p.parents[x] {
		if p.m.nodes[u.gate].inputs[u.input].Chance < 1 {
			p.chance[u.gate][u.input] = p.level()
		}
	}
	for _, f := range p.watch[x] {
		if p.waits[f]--; p.waits[f] == 0 {
			for range p.m.handles(f) {
				p.handle[f] = append(p.handle[f], p.level())
			}
		}
	}
	for _, u := range p.parents[x] {
		if p.missing[u.gate]--; p.missing[u.gate] == 0 {
			p.complete(u.gate)
		}
	}
}

// support lists the nodes that a finding's answer depends on; a node named
// twice is listed twice.
func (m *Model) support(f int) []Node {
	var nodes []Node
	for _, r := range m.findings[f].Rows {
		nodes = append(nodes, r.Events...)
	}
	for _, in := range m.findings[f].AnyOf {
		nodes = append(nodes, in.Node)
	}
	return nodes
}
