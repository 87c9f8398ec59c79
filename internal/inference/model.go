// Package inference turns a network of events, gates and findings into exact
// probabilities: how likely each event is given what was observed, how likely
// it is to have contributed to the failures seen, what a further answer would
// tell, which sets of events explain the failures, and what each finding
// weighed.
//
// It knows nothing of paint, files or people, does no input or output and
// reads no clock. Package diagnosis feeds it from a rule base and a case.
//
// # Meaning
//
// A Model denotes one Bayesian network. Events are independent with their
// rates. A gate holds when all, any, or at least k of its inputs do; an input
// with a chance below 1 counts only when the event holds and an independent
// draw with that chance succeeds. A finding's answer depends on the events
// through the first row whose events all hold, or on each of a few inputs by
// itself (noisy-OR; Pearl 1988). All that is returned is the exact posterior
// of that network, found by one decision diagram over the events (package bdd)
// swept with the numbers of the evidence.
package inference

import (
	"fmt"
	"math"
	"slices"
)

// Node names an event or a gate of one Model.
type Node int

// Kind is how a gate combines its inputs.
type Kind int

// The kinds of gate.
const (
	Any     Kind = iota // at least one input
	All                 // every input
	AtLeast             // at least K inputs
)

// Input is one input of a gate.
type Input struct {
	Node    Node
	Chance  float64 // that the input leads on when it holds; in (0,1]
	Negated bool    // the input counts when the node does not hold
}

// In is the plain input: the node itself, chance 1.
func In(n Node) Input { return Input{Node: n, Chance: 1} }

// Row is one row of a decision list: when all Events hold, and no row before
// it speaks, Say gives the probability of each answer. The last row has no
// Events.
type Row struct {
	Events []Node
	Say    []float64
}

// Finding is something that can be observed, with two or more answers. It has
// either Rows, or AnyOf and Background: then there are two answers, yes (0)
// and no (1), and no is seen with probability (1-Background) times the product
// of (1-chance) over the inputs that hold.
type Finding struct {
	Name       string
	Rows       []Row
	AnyOf      []Input
	Background float64
}

// Answers is the number of answers.
func (f Finding) Answers() int {
	if len(f.AnyOf) > 0 {
		return 2
	}
	return len(f.Rows[len(f.Rows)-1].Say)
}

// Model is a network under construction. The zero Model is empty and ready.
// Nodes must be added before the gates and findings that name them.
type Model struct {
	nodes    []node
	findings []Finding
	err      error
}

type node struct {
	name   string
	event  bool
	rate   float64
	kind   Kind
	k      int
	inputs []Input
}

// Event adds a basic event with its rate in [0,1].
func (m *Model) Event(name string, rate float64) Node {
	if !(rate >= 0 && rate <= 1) {
		m.fail("event %s: rate %v is outside 0 to 1", name, rate)
	}
	m.nodes = append(m.nodes, node{name: name, event: true, rate: rate})
	return Node(len(m.nodes) - 1)
}

// Gate adds a gate. k is used by AtLeast only.
func (m *Model) Gate(name string, kind Kind, k int, in ...Input) Node {
	for _, x := range in {
		m.checkNode(name, x.Node)
		if !(x.Chance > 0 && x.Chance <= 1) {
			m.fail("gate %s: chance %v is outside 0 to 1", name, x.Chance)
		}
	}
	if len(in) == 0 {
		m.fail("gate %s has no inputs", name)
	}
	if kind == AtLeast && (k < 1 || k > len(in)) {
		m.fail("gate %s: at least %d of %d inputs", name, k, len(in))
	}
	m.nodes = append(m.nodes, node{name: name, kind: kind, k: k, inputs: slices.Clone(in)})
	return Node(len(m.nodes) - 1)
}

// Finding adds a finding and returns its number.
func (m *Model) Finding(f Finding) int {
	m.checkFinding(f)
	m.findings = append(m.findings, f)
	return len(m.findings) - 1
}

// Observe adds the finding "n holds", yes (0) or no (1), that never errs.
func (m *Model) Observe(n Node) int {
	return m.Finding(Finding{Name: m.Name(n), Rows: []Row{
		{Events: []Node{n}, Say: []float64{1, 0}},
		{Say: []float64{0, 1}},
	}})
}

// Name is the name a node was added with.
func (m *Model) Name(n Node) string { return m.nodes[n].name }

// IsEvent tells a basic event from a gate.
func (m *Model) IsEvent(n Node) bool { return m.nodes[n].event }

// Nodes is the number of events and gates; they are numbered from 0.
func (m *Model) Nodes() int { return len(m.nodes) }

// Findings is the number of findings; they are numbered from 0.
func (m *Model) Findings() int { return len(m.findings) }

// FindingAt is the finding with a number.
func (m *Model) FindingAt(i int) Finding { return m.findings[i] }

// Err is the first thing wrong with what was added, or nil.
func (m *Model) Err() error { return m.err }

func (m *Model) fail(format string, args ...any) {
	if m.err == nil {
		m.err = fmt.Errorf(format, args...)
	}
}

func (m *Model) checkNode(user string, n Node) {
	if n < 0 || int(n) >= len(m.nodes) {
		m.fail("%s names a node that does not exist yet", user)
	}
}

func (m *Model) checkFinding(f Finding) {
	if len(f.AnyOf) > 0 {
		m.checkAnyOf(f)
		return
	}
	if len(f.Rows) == 0 || len(f.Rows[len(f.Rows)-1].Events) > 0 {
		m.fail("finding %s: no last row for when nothing else holds", f.Name)
		return
	}
	for _, r := range f.Rows {
		m.checkRow(f, r)
	}
}

func (m *Model) checkAnyOf(f Finding) {
	if len(f.Rows) > 0 {
		m.fail("finding %s has both rows and any-of", f.Name)
	}
	if !(f.Background >= 0 && f.Background <= 1) {
		m.fail("finding %s: background %v is outside 0 to 1", f.Name, f.Background)
	}
	for _, x := range f.AnyOf {
		m.checkNode(f.Name, x.Node)
		if !(x.Chance > 0 && x.Chance <= 1) {
			m.fail("finding %s: chance %v is outside 0 to 1", f.Name, x.Chance)
		}
	}
}

func (m *Model) checkRow(f Finding, r Row) {
	for _, n := range r.Events {
		m.checkNode(f.Name, n)
	}
	sum := 0.0
	for _, p := range r.Say {
		if !(p >= 0 && p <= 1) {
			m.fail("finding %s: likelihood %v is outside 0 to 1", f.Name, p)
		}
		sum += p
	}
	if math.Abs(sum-1) > 1e-9 {
		m.fail("finding %s: a row sums to %v, not 1", f.Name, sum)
	}
	if len(r.Say) != len(f.Rows[0].Say) || len(r.Say) < 2 {
		m.fail("finding %s: rows differ in their number of answers", f.Name)
	}
}
