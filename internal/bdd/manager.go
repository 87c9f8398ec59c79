// Package bdd holds reduced ordered binary decision diagrams: shared graphs
// of yes/no decisions, built once for a structure and then swept with numbers
// as often as wanted.
//
// It knows nothing of causes or findings. It sits at the bottom: package
// inference builds its network here. It refuses to grow past a stated number
// of nodes: after that every operation answers False and Err tells why, so
// that a caller checks once, after building.
//
// The representation follows Bryant (IEEE Trans. Computers 35(8), 1986): a
// fixed order of variables (levels), no node with two equal branches, no two
// nodes alike. Edges carry no complement mark: with complements the
// probability of rare evidence would be formed as one minus nearly one.
package bdd

import (
	"errors"
	"fmt"
)

// Node names a function in one Manager. Nodes of different managers must not
// be mixed. A node's number is larger than those of the nodes below it.
type Node int32

// The two constant functions.
const (
	False Node = 0
	True  Node = 1
)

// ErrTooWide is the error (wrapped) after the limit of nodes was passed.
var ErrTooWide = errors.New("decision diagram too wide")

type cell struct {
	level  int32
	lo, hi Node
}

type memo struct {
	op   op
	a, b Node
	out  Node
}

type op int32

const (
	opNone op = iota
	opAnd
	opOr
	opNot
)

// Manager owns the nodes of one order of variables.
type Manager struct {
	cells  []cell
	unique []Node // open addressing; 0 is empty since False is never stored
	cache  []memo // direct mapped: a lost entry costs time, never truth
	levels int32
	limit  int
	err    error
}

const firstSize = 1 << 12

// New makes a manager for variables at levels 0 to levels-1 (0 is tested
// first) that may hold at most limit nodes.
func New(levels, limit int) *Manager {
	m := &Manager{
		cells:  make([]cell, 2, firstSize/2),
		unique: make([]Node, firstSize),
		cache:  make([]memo, firstSize),
		levels: int32(levels),
		limit:  limit,
	}
	m.cells[False].level = m.levels
	m.cells[True].level = m.levels
	return m
}

// Err is nil while all operations so far stayed within the limit.
func (m *Manager) Err() error { return m.err }

// Size is the number of nodes made so far, the two constants included.
func (m *Manager) Size() int { return len(m.cells) }

// Level is the level of the variable that n tests; the number of levels for a
// constant.
func (m *Manager) Level(n Node) int { return int(m.cells[n].level) }

// Branches are the functions left when n's variable is false and when it is true.
func (m *Manager) Branches(n Node) (lo, hi Node) { return m.cells[n].lo, m.cells[n].hi }

// Var is the function that is true when the variable at level is.
func (m *Manager) Var(level int) Node { return m.node(int32(level), False, True) }

// node finds or makes the node (level, lo, hi).
func (m *Manager) node(level int32, lo, hi Node) Node {
	if lo == hi {
		return lo
	}
	mask := uint32(len(m.unique) - 1)
	at := mix(uint32(level), uint32(lo), uint32(hi)) & mask
	for m.unique[at] != 0 {
		n := m.unique[at]
		if c := m.cells[n]; c.level == level && c.lo == lo && c.hi == hi {
			return n
		}
		at = (at + 1) & mask
	}
	if len(m.cells) >= m.limit {
		m.fail()
		return False
	}
	n := Node(len(m.cells))
	m.cells = append(m.cells, cell{level, lo, hi})
	m.unique[at] = n
	if 2*len(m.cells) > len(m.unique) {
		m.grow()
	}
	return n
}

func (m *Manager) fail() {
	if m.err == nil {
		m.err = fmt.Errorf("%w: more than %d nodes", ErrTooWide, m.limit)
	}
}

// grow enlarges the table fourfold and the cache with it, so that the cache stays in
// proportion to the work.
func (m *Manager) grow() {
	size := 4 * len(m.unique)
	m.unique = make([]Node, size)
	mask := uint32(size - 1)
	for n := 2; n < len(m.cells); n++ {
		c := m.cells[n]
		at := mix(uint32(c.level), uint32(c.lo), uint32(c.hi)) & mask
		for m.unique[at] != 0 {
			at = (at + 1) & mask
		}
		m.unique[at] = Node(n)
	}
	old := m.cache
	m.cache = make([]memo, size)
	for _, e := range old {
		if e.op != opNone {
			m.cache[e.slot(mask)] = e
		}
	}
}

func (e memo) slot(mask uint32) uint32 {
	return mix(uint32(e.op), uint32(e.a), uint32(e.b)) & mask
}

// mix spreads three words over 32 bits (multipliers from the golden ratio and
// two odd primes; any odd constants serve).
func mix(a, b, c uint32) uint32 {
	h := a*0x9E3779B1 ^ b*0x85EBCA77 ^ c*0xC2B2AE3D
	h ^= h >> 15
	h *= 0x2C1B3C6D
	return h ^ h>>13
}
