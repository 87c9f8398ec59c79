package bdd

import (
	"math"
	"slices"
)

// Joint answers, for functions of one manager, how probable it is that several
// hold together. It exists for pricing questions: there are hundreds of small
// functions and a handful of large roots, and building each conjunction would
// cost far more than measuring it.
//
// A Joint belongs to one set of weights; make a new one when they change.
type Joint struct {
	m     *Manager
	w     []Weight
	value []float64 // probability of each node's function
	pairs pairTable
}

// NewJoint prepares measuring with the weights w (one per level).
func (m *Manager) NewJoint(w []Weight) *Joint {
	j := &Joint{m: m, w: w, value: make([]float64, 2, len(m.cells))}
	j.value[True] = 1
	j.pairs.clear()
	j.grow()
	return j
}

// grow extends the values to nodes made since.
func (j *Joint) grow() {
	for i := len(j.value); i < len(j.m.cells); i++ {
		c := j.m.cells[i]
		p := j.w[c.level]
		j.value = append(j.value, p[0]*j.value[c.lo]+p[1]*j.value[c.hi])
	}
}

// Prob is the probability of one function.
func (j *Joint) Prob(a Node) float64 {
	j.grow()
	return j.value[a]
}

// Both is the probability that a and b hold together.
func (j *Joint) Both(a, b Node) float64 {
	j.grow()
	j.pairs.clear()
	return j.both(a, b)
}

func (j *Joint) both(a, b Node) float64 {
	switch {
	case a == False || b == False:
		return 0
	case a == True:
		return j.value[b]
	case b == True || a == b:
		return j.value[a]
	}
	if a > b {
		a, b = b, a
	}
	key := uint64(a)<<32 | uint64(b)
	if v, ok := j.pairs.get(key); ok {
		return v
	}
	v := j.split(a, b)
	j.pairs.put(key, v)
	return v
}

func (j *Joint) split(a, b Node) float64 {
	ca, cb := j.m.cells[a], j.m.cells[b]
	level := min(ca.level, cb.level)
	alo, ahi, blo, bhi := a, a, b, b
	if ca.level == level {
		alo, ahi = ca.lo, ca.hi
	}
	if cb.level == level {
		blo, bhi = cb.lo, cb.hi
	}
	p := j.w[level]
	return p[0]*j.both(alo, blo) + p[1]*j.both(ahi, bhi)
}

// Measure is, for every function and root, the probability that they hold
// together, indexed [function][root]. The roots are walked down level by level
// once; at each level the mass that arrives there is weighed with the functions
// that begin there, so that a function costs only the levels it spans.
func (j *Joint) Measure(roots, functions []Node) [][]float64 {
	j.grow()
	out := make([][]float64, len(functions))
	byLevel := make([][]int, j.m.levels+1)
	for i, f := range functions {
		out[i] = make([]float64, len(roots))
		l := j.m.cells[f].level
		byLevel[l] = append(byLevel[l], i)
	}
	front := newFrontier(j, roots)
	for l := range byLevel {
		front.advance(int32(l))
		for _, i := range byLevel[l] {
			front.weigh(functions[i], out[i])
		}
	}
	return out
}

// frontier is the set of nodes that paths from the roots have reached, with the
// mass of each root that arrives there.
type frontier struct {
	j       *Joint
	roots   int
	active  []Node
	mass    map[Node][]float64
	byLevel [][]Node
}

func newFrontier(j *Joint, roots []Node) *frontier {
	f := &frontier{j: j, roots: len(roots), mass: map[Node][]float64{}, byLevel: make([][]Node, j.m.levels+1)}
	for i, r := range roots {
		f.arrive(r)[i]++
	}
	return f
}

// arrive is the mass at a node, which becomes part of the frontier.
func (f *frontier) arrive(n Node) []float64 {
	m, ok := f.mass[n]
	if !ok {
		m = make([]float64, f.roots)
		f.mass[n] = m
		f.active = append(f.active, n)
		l := f.j.m.cells[n].level
		f.byLevel[l] = append(f.byLevel[l], n)
	}
	return m
}

// advance moves the mass of nodes above level l down, so that the frontier
// lies at l and below.
func (f *frontier) advance(l int32) {
	if l == 0 {
		return
	}
	for _, n := range f.byLevel[l-1] {
		c, from := f.j.m.cells[n], f.mass[n]
		p := f.j.w[c.level]
		for i, child := range []Node{c.lo, c.hi} {
			if child == False || p[i] == 0 {
				continue
			}
			for k, x := range f.arrive(child) {
				f.mass[child][k] = x + p[i]*from[k]
			}
		}
		delete(f.mass, n)
	}
	if len(f.byLevel[l-1]) > 0 {
		f.active = slices.DeleteFunc(f.active, func(n Node) bool { return f.j.m.cells[n].level < l })
	}
}

func (f *frontier) weigh(function Node, out []float64) {
	f.j.pairs.clear()
	for _, n := range f.active {
		v := f.j.both(n, function)
		for k, x := range f.mass[n] {
			out[k] += x * v
		}
	}
}

// pairTable remembers values of pairs of nodes: open addressing with a stamp
// per slot, so that clearing it costs nothing.
type pairTable struct {
	slots []pairSlot
	stamp uint32
	count int
}

type pairSlot struct {
	key   uint64
	value float64
	stamp uint32
}

const firstPairs = 1 << 15

func (t *pairTable) clear() {
	if t.slots == nil {
		t.slots = make([]pairSlot, firstPairs)
	}
	t.stamp++
	t.count = 0
}

func (t *pairTable) find(key uint64) *pairSlot {
	mask := uint64(len(t.slots) - 1)
	// Neighbours of a large diagram stay neighbours here: they are asked for in
	// turn. The function, made later and so of the larger number, is spread.
	at := (key>>32 + (key&math.MaxUint32*0x9E3779B97F4A7C15)>>24) & mask
	for t.slots[at].stamp == t.stamp && t.slots[at].key != key {
		at = (at + 1) & mask
	}
	return &t.slots[at]
}

func (t *pairTable) get(key uint64) (float64, bool) {
	s := t.find(key)
	return s.value, s.stamp == t.stamp
}

func (t *pairTable) put(key uint64, v float64) {
	if 2*t.count > len(t.slots) {
		t.grow()
	}
	*t.find(key) = pairSlot{key, v, t.stamp}
	t.count++
}

func (t *pairTable) grow() {
	old := t.slots
	t.slots = make([]pairSlot, 2*len(old))
	for _, s := range old {
		if s.stamp == t.stamp {
			*t.find(s.key) = s
		}
	}
}
