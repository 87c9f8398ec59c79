package inference

import "filmfault/internal/bdd"

// An event contributed when it holds and gates that hold join it to a failure
// seen. Events that feed one gate only, as most do, share that gate's diagram:
// "the gate holds and leads to a failure seen, and the evidence". Their own part
// of the way, the event and its chance, is read off it in one sweep. An event
// that feeds several gates has a diagram of its own.

// pathGroup is the events that lead to a failure seen through one gate alone.
type pathGroup struct {
	gate    Node
	diagram *bdd.Diagram // of the gate leading on, and the evidence
	members []member
}

// member is an event of a group; chance says that the level after the event's
// is that of its input's chance.
type member struct {
	event  Node
	chance bool
}

// findPaths builds, for every node below a failure seen, the function "it
// holds, and gates that hold join it to a failure seen".
func (n *Network) findPaths() {
	n.paths = map[Node]bdd.Node{}
	for _, f := range n.use.Seen {
		n.paths[f] = n.function(f)
	}
	for x := len(n.model.nodes) - 1; x >= 0; x-- { // inputs come before their gates
		f, ok := n.paths[Node(x)]
		if !ok {
			continue
		}
		for i, in := range n.model.nodes[x].inputs {
			if !in.Negated {
				n.paths[in.Node] = n.dd.Or(n.paths[in.Node], n.dd.And(n.lead(Node(x), i), f))
			}
		}
	}
}

// packPaths adds to roots the diagrams of events with ways of their own and
// groups the others.
func (n *Network) packPaths(roots []bdd.Node) []bdd.Node {
	n.pathRoot = make([]int, len(n.model.nodes))
	group := map[int]int{} // gate -> index into groups
	ways := n.waysUp()
	for x, nd := range n.model.nodes {
		if !nd.event || len(ways[x]) == 0 {
			continue
		}
		if len(ways[x]) > 1 || n.isSeen(Node(x)) || !n.adjacent(Node(x), ways[x][0]) {
			n.pathRoot[x] = len(roots)
			roots = append(roots, n.dd.And(n.evidence, n.paths[Node(x)]))
			continue
		}
		w := ways[x][0]
		i, ok := group[w.gate]
		if !ok {
			i = len(n.groups)
			group[w.gate] = i
			n.groups = append(n.groups, pathGroup{gate: Node(w.gate), diagram: n.dd.Diagram(n.dd.And(n.evidence, n.paths[Node(w.gate)]))})
		}
		chance := n.model.nodes[w.gate].inputs[w.input].Chance < 1
		n.groups[i].members = append(n.groups[i].members, member{Node(x), chance})
	}
	for _, g := range n.use.Causes {
		if len(ways[g]) > 0 && n.pathRoot[g] == 0 {
			n.pathRoot[g] = len(roots)
			roots = append(roots, n.dd.And(n.evidence, n.paths[g]))
		}
	}
	return roots
}

// adjacent reports whether the chance of an event's input, if it has one, stands
// right after the event, so that a sweep can read both at once.
func (n *Network) adjacent(x Node, w use) bool {
	l := n.layout.chance[w.gate][w.input]
	return l < 0 || l == n.layout.event[x]+1
}

// waysUp lists, per node, the inputs by which it leads to a failure seen. An
// event without parents that is itself a failure seen has the way "itself".
func (n *Network) waysUp() [][]use {
	ways := make([][]use, len(n.model.nodes))
	for x, nd := range n.model.nodes {
		if _, leads := n.paths[Node(x)]; !leads {
			continue
		}
		if nd.event && n.isSeen(Node(x)) {
			ways[x] = append(ways[x], use{x, 0})
		}
		for i, in := range nd.inputs {
			if !in.Negated {
				ways[in.Node] = append(ways[in.Node], use{x, i})
			}
		}
	}
	return ways
}

func (n *Network) isSeen(x Node) bool {
	for _, f := range n.use.Seen {
		if f == x {
			return true
		}
	}
	return false
}

// contributed fills in the events of the groups. total is the probability of
// the evidence under the weights w.
func (n *Network) contributed(w []bdd.Weight, total float64, out []float64) {
	s := &n.scratch
	for _, g := range n.groups {
		g.diagram.Up(w, s.leanValue)
		root := g.diagram.Root(0)
		gate := s.leanValue[root] / total
		out[g.gate] = min(1, gate)
		if gate <= 0 {
			continue
		}
		g.diagram.Down(root, w, s.leanValue, bdd.Scratch{Reach: s.reach, Through: s.through}, bdd.Marginals{True: s.marginal, Pair: s.pair})
		for _, m := range g.members {
			l := n.layout.event[m.event]
			p := s.marginal[l]
			if m.chance {
				p = s.pair[l]
			}
			out[m.event] = min(1, p*gate)
		}
	}
}
