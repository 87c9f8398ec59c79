package bdd

import "slices"

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
	index := make([]int32, len(m.cells))
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
// constants first.
func (m *Manager) below(roots []Node) []Node {
	seen := make([]bool, len(m.cells))
	seen[False], seen[True] = true, true
	found := []Node{False, True}
	stack := slices.Clone(roots)
	for len(stack) > 0 {
		n := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if seen[n] {
			continue
		}
		seen[n] = true
		found = append(found, n)
		stack = append(stack, m.cells[n].lo, m.cells[n].hi)
	}
	slices.Sort(found)
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

// Down fills marginal (length: number of levels) with the probability that
// each variable is true and the function of the given root too, divided by the
// probability of that root. value must come from Up with the same weights, and
// value[root] must not be 0. reach is scratch of length Size.
func (d *Diagram) Down(root int, w []Weight, value, reach, marginal []float64) {
	clear(reach)
	reach[root] = 1 / value[root]
	through := make([]float64, len(marginal)) // mass that tests the level at all
	clear(marginal)
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
		marginal[n.level] += high
		through[n.level] += lo*value[n.lo] + high
	}
	for l := range marginal {
		if rest := 1 - through[l]; rest > 0 {
			marginal[l] += rest * w[l][1]
		}
		marginal[l] = min(marginal[l], 1)
	}
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
