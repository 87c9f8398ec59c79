package bdd

// Weight is the pair of numbers of one variable: the probability that it is
// false and that it is true. The two must sum to one: only then does a level
// that a path skips cost nothing.
type Weight [2]float64

// Diagram is the part of a manager's graph below some roots, packed for
// sweeping: nodes in order, children before parents.
type Diagram struct {
	nodes []packed
	roots []int32
}

type packed struct {
	level  int32
	lo, hi int32
}

// Diagram packs all that lies below the roots.
func (m *Manager) Diagram(roots ...Node) *Diagram {
	found := m.below(roots)
	d := &Diagram{
		nodes: make([]packed, len(found)),
		roots: make([]int32, len(roots)),
	}
	index := make([]int32, found[len(found)-1]+1)
	for i, n := range found {
		index[n] = int32(i)
	}
	for i, n := range found {
		c := m.cells[n]
		d.nodes[i] = packed{c.level, index[c.lo], index[c.hi]}
	}
	for i, r := range roots {
		d.roots[i] = index[r]
	}
	return d
}

// below lists the nodes reachable from the roots in ascending order, the two
// constants first. Since children have smaller numbers than their parents, one
// pass down the numbers finds them all.
func (m *Manager) below(roots []Node) []Node {
	top := True
	for _, r := range roots {
		top = max(top, r)
	}
	seen := make([]bool, top+1)
	seen[False], seen[True] = true, true
	for _, r := range roots {
		seen[r] = true
	}
	count := 2
	for n := top; n > True; n-- {
		if seen[n] {
			count++
			seen[m.cells[n].lo], seen[m.cells[n].hi] = true, true
		}
	}
	found := make([]Node, 0, count)
	for n := range seen {
		if seen[n] {
			found = append(found, Node(n))
		}
	}
	return found
}

// Size is the number of nodes, the two constants included.
func (d *Diagram) Size() int { return len(d.nodes) }

// Root is the place of the i-th root, to read its value after Up.
func (d *Diagram) Root(i int) int { return int(d.roots[i]) }

// Up fills value (length Size) with the probability that each node's function
// is true, given independent variables with these weights.
func (d *Diagram) Up(w []Weight, value []float64) {
	value[False], value[True] = 0, 1
	for i := 2; i < len(d.nodes); i++ {
		n := d.nodes[i]
		p := w[n.level]
		value[i] = p[0]*value[n.lo] + p[1]*value[n.hi]
	}
}

// Marginals takes what Down finds, a number per level. True is the probability
// that the variable is true. Pair, unless nil, is the probability that it and
// the variable of the next level both are; it holds for a next variable that
// matters only where this one is true.
type Marginals struct{ True, Pair []float64 }

// Scratch is room for Down: Reach of length Size, Through a number per level.
type Scratch struct{ Reach, Through []float64 }

// Down fills out with probabilities given that the function of a root is true.
// value must come from Up with the same weights, and value[root] must not be 0.
func (d *Diagram) Down(root int, w []Weight, value []float64, room Scratch, out Marginals) {
	reach, through := room.Reach[:len(d.nodes)], room.Through
	clear(reach)
	clear(through) // mass that tests the level at all
	clear(out.True)
	clear(out.Pair)
	reach[root] = 1 / value[root]
	for i := root; i >= 2; i-- {
		if reach[i] == 0 {
			continue
		}
		n := d.nodes[i]
		p := w[n.level]
		lo, hi := reach[i]*p[0], reach[i]*p[1]
		reach[n.lo] += lo
		reach[n.hi] += hi
		high := hi * value[n.hi]
		out.True[n.level] += high
		through[n.level] += lo*value[n.lo] + high
		if out.Pair != nil {
			out.Pair[n.level] += hi * d.both(n, w, value)
		}
	}
	for l := range out.True {
		rest := max(0, 1-through[l])
		out.True[l] = min(1, out.True[l]+rest*w[l][1])
		if out.Pair != nil && l+1 < len(w) {
			out.Pair[l] = min(1, out.Pair[l]+rest*w[l][1]*w[l+1][1])
		}
	}
}

// both is the value of a node's true branch with the next level's variable true
// as well, its weight included.
func (d *Diagram) both(n packed, w []Weight, value []float64) float64 {
	next := n.level + 1
	if int(next) >= len(w) {
		return 0
	}
	if h := d.nodes[n.hi]; n.hi >= 2 && h.level == next {
		return w[next][1] * value[h.hi]
	}
	return w[next][1] * value[n.hi]
}

// Step goes one node down from place at (not a constant) as a random walk does
// that ends in True: to the true branch with the probability that the variable
// at this level is true given that the node's function is. r is a number drawn
// evenly from [0,1).
func (d *Diagram) Step(at int, w []Weight, value []float64, r float64) (level int, high bool, next int) {
	n := d.nodes[at]
	p := w[n.level]
	high = r*value[at] < p[1]*value[n.hi]
	if high {
		return int(n.level), true, int(n.hi)
	}
	return int(n.level), false, int(n.lo)
}
