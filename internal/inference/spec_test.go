package inference_test

import (
	"fmt"
	"strings"

	"filmfault/internal/inference"
)

// spec is a model as plain data. The engine's Model is built from it and the
// oracle reads it, so that neither depends on the other.
type spec struct {
	nodes    []specNode
	findings []inference.Finding
}

type specNode struct {
	event bool
	rate  float64
	kind  inference.Kind
	k     int
	in    []inference.Input
}

func (s *spec) event(rate float64) inference.Node {
	s.nodes = append(s.nodes, specNode{event: true, rate: rate})
	return inference.Node(len(s.nodes) - 1)
}

func (s *spec) gate(kind inference.Kind, k int, in ...inference.Input) inference.Node {
	s.nodes = append(s.nodes, specNode{kind: kind, k: k, in: in})
	return inference.Node(len(s.nodes) - 1)
}

func (s *spec) finding(f inference.Finding) int {
	s.findings = append(s.findings, f)
	return len(s.findings) - 1
}

// model builds the engine's model: nodes and findings keep their numbers.
func (s *spec) model() *inference.Model {
	m := &inference.Model{}
	for i, x := range s.nodes {
		if x.event {
			m.Event(fmt.Sprint("e", i), x.rate)
		} else {
			m.Gate(fmt.Sprint("g", i), x.kind, x.k, x.in...)
		}
	}
	for _, f := range s.findings {
		m.Finding(f)
	}
	return m
}

func (s *spec) which(event bool) []inference.Node {
	var out []inference.Node
	for i, x := range s.nodes {
		if x.event == event {
			out = append(out, inference.Node(i))
		}
	}
	return out
}

// String lists the model, to be read beside a failure.
func (s *spec) String() string {
	var b strings.Builder
	for i, x := range s.nodes {
		if x.event {
			fmt.Fprintf(&b, "%d event %v\n", i, x.rate)
		} else {
			fmt.Fprintf(&b, "%d gate kind %d k %d %+v\n", i, x.kind, x.k, x.in)
		}
	}
	for i, f := range s.findings {
		fmt.Fprintf(&b, "finding %d %+v\n", i, f)
	}
	return b.String()
}

// plain turns nodes into inputs without chance or negation.
func plain(nodes ...inference.Node) []inference.Input {
	var in []inference.Input
	for _, n := range nodes {
		in = append(in, inference.In(n))
	}
	return in
}

// list is a decision list on single nodes: answers per node, the last
// distribution being "otherwise".
func list(say [][]float64, nodes ...inference.Node) inference.Finding {
	var f inference.Finding
	for i, s := range say {
		r := inference.Row{Say: s}
		if i < len(nodes) {
			r.Events = []inference.Node{nodes[i]}
		}
		f.Rows = append(f.Rows, r)
	}
	return f
}

// yesNo is a two-answer finding on one node: P(yes) when it holds and when not.
func yesNo(n inference.Node, ifTrue, ifFalse float64) inference.Finding {
	return list([][]float64{{ifTrue, 1 - ifTrue}, {ifFalse, 1 - ifFalse}}, n)
}
