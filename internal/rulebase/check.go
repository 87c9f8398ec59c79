package rulebase

import (
	"fmt"
	"strings"

	"filmfault/internal/source"
)

// check compares the entries with one another. It runs only on a base whose
// entries could all be read, and puts the gates in order.
func check(b *Base, d *source.List) {
	c := checker{b: b, d: d}
	c.nodes = append(keys(b.event), keys(b.gate)...)
	c.references()
	if d.HasErrors() {
		return // what follows walks the references
	}
	if !c.orderGates() {
		return
	}
	b.sortFailures()
	b.findTrees()
	c.inTrees()
	c.findings()
}

type checker struct {
	b     *Base
	d     *source.List
	nodes []string
}

func keys(m map[string]int) []string {
	out := make([]string, 0, len(m))
	for k := range m {
		out = append(out, k)
	}
	return out
}

// known complains about an id that is not among those of its kind.
func (c *checker) known(id string, span source.Span, what string, ids []string) {
	for _, k := range ids {
		if k == id {
			return
		}
	}
	remedy := "the id of " + what
	if near, ok := source.Nearest(id, ids); ok {
		remedy = near
	}
	c.d.Error(span, "unknown-id", fmt.Sprintf("no %s has the id %s", strings.TrimPrefix(strings.TrimPrefix(what, "a "), "an "), id), remedy)
}

func (c *checker) references() {
	b := c.b
	for _, e := range b.Events {
		c.event(e)
	}
	for _, g := range b.Gates {
		for _, in := range g.Inputs {
			c.known(in.ID, in.Span, "a cause, condition or gate", c.nodes)
		}
		c.inputsOnce(g)
		if len(g.Inputs) == 0 {
			c.d.Error(g.Span, "gate", fmt.Sprintf("gate %s has no inputs", g.ID), "at least one input")
		}
	}
	for _, f := range b.Findings {
		c.finding(f)
	}
	for _, x := range b.Calculations {
		c.calculation(x)
	}
	c.calculationsOnce()
	for _, x := range b.Cautions {
		c.facts(x.Unless)
	}
	for _, f := range b.Facts {
		for _, a := range f.Answers {
			c.cautions(a.cautions)
		}
	}
}

// inputsOnce: an input that stands twice would count twice in "at least".
func (c *checker) inputsOnce(g Gate) {
	seen := map[string]bool{}
	for _, in := range g.Inputs {
		if seen[in.ID] {
			c.d.Error(in.Span, "input-twice", fmt.Sprintf("%s is an input of %s already", in.ID, g.ID), "each input once")
		}
		seen[in.ID] = true
	}
}

func (c *checker) event(e Event) {
	for _, r := range e.Rate {
		c.facts(r.When)
	}
	c.cautions(e.cautions)
	for _, x := range e.Confirm {
		c.confirmation(x)
	}
	for _, x := range e.Inseparable {
		c.known(x.From, x.Span, "a cause", keys(c.b.event))
	}
}

func (c *checker) confirmation(x Confirmation) {
	var measurements []string
	for _, f := range c.b.Findings {
		if f.Measurement != nil {
			measurements = append(measurements, f.ID)
		}
	}
	c.known(x.Measurement, x.Span, "a measurement", measurements)
	f, ok := c.b.Finding(x.Measurement)
	if !ok {
		return
	}
	for _, a := range x.Answers {
		c.known(a, x.answerSpan, "an answer of "+f.ID, answerIDs(f.Answers))
	}
}

func answerIDs(answers []Answer) []string {
	ids := make([]string, len(answers))
	for i, a := range answers {
		ids[i] = a.ID
	}
	return ids
}

// facts checks requirements on facts.
func (c *checker) facts(when []Is) {
	for _, w := range when {
		c.known(w.ID, w.Span, "a fact", keys(c.b.fact))
		f, ok := c.b.Fact(w.ID)
		for _, a := range w.Answers {
			if ok {
				c.known(a, w.answerSpan, "an answer of the fact "+w.ID, answerIDs(f.Answers))
			}
		}
	}
}

// needs checks a precondition, which may name failures besides facts.
func (c *checker) needs(needs []Is) {
	for _, w := range needs {
		g, isGate := c.b.Gate(w.ID)
		if !isGate || g.Failure == nil {
			c.facts([]Is{w})
			continue
		}
		for _, a := range w.Answers {
			c.known(a, w.answerSpan, "a state of a failure", []string{StateSeen, StateAbsent})
		}
	}
}

func (c *checker) failures() []string {
	var out []string
	for _, g := range c.b.Gates {
		if g.Failure != nil {
			out = append(out, g.ID)
		}
	}
	return out
}

// The states of a failure, besides not looked for.
const (
	StateSeen   = "seen"
	StateAbsent = "absent"
)

func (c *checker) cautions(refs []Ref) {
	for _, r := range refs {
		c.known(r.ID, r.Span, "a caution", keys(c.b.caution))
	}
}

func (c *checker) finding(f Finding) {
	c.cautions(f.cautions)
	for _, a := range f.Answers {
		c.cautions(a.cautions)
	}
	c.needs(f.Needs)
	for _, id := range f.NeedsAny {
		c.known(id, f.Span, "a failure", c.failures())
	}
	for _, r := range f.Rows {
		for _, e := range r.If {
			c.known(e.ID, e.Span, "a cause, condition or gate", c.nodes)
		}
		c.facts(r.When)
	}
	for _, in := range f.AnyOf {
		c.known(in.ID, in.Span, "a cause, condition or gate", c.nodes)
	}
}

// orderGates sorts the gates so that inputs come first; it reports a cycle
// with the ids along it.
func (c *checker) orderGates() bool {
	s := sorter{b: c.b, state: map[string]int{}}
	for _, g := range c.b.Gates {
		if cycle := s.visit(g.ID, nil); cycle != nil {
			c.d.Error(g.Span, "cycle", "gates stand in a circle: "+strings.Join(cycle, " -> "), "inputs that do not lead back to their own gate")
			return false
		}
	}
	c.b.Gates = s.sorted
	for i, g := range s.sorted {
		c.b.gate[g.ID] = i
	}
	return true
}

type sorter struct {
	b      *Base
	state  map[string]int // 1 being visited, 2 done
	sorted []Gate
}

func (s *sorter) visit(id string, path []string) []string {
	path = append(path, id)
	g, ok := s.b.Gate(id)
	switch {
	case !ok || s.state[id] == 2:
		return nil
	case s.state[id] == 1:
		return path
	}
	s.state[id] = 1
	for _, in := range g.Inputs {
		if cycle := s.visit(in.ID, path); cycle != nil {
			return cycle
		}
	}
	s.state[id] = 2
	s.sorted = append(s.sorted, g)
	return nil
}

// haveCauses reports failures that no cause leads to: nothing could be ranked.
func (c *checker) haveCauses() {
	led := map[string]bool{}
	for _, e := range c.b.Events {
		for _, t := range c.b.Trees(e.ID) {
			led[t] = led[t] || e.Cause
		}
	}
	for _, g := range c.b.Failures() {
		if !led[g.ID] {
			c.d.Error(g.Span, "no-cause", fmt.Sprintf("no cause leads to %s, so there is nothing to rank", g.ID), "a cause among its inputs, or below one of them")
		}
	}
}

// inTrees reports events and gates that no failure rests on.
func (c *checker) inTrees() {
	used := map[string]bool{}
	for i := len(c.b.Gates) - 1; i >= 0; i-- {
		g := c.b.Gates[i]
		if g.Failure == nil && !used[g.ID] {
			continue
		}
		for _, in := range g.Inputs {
			used[in.ID] = true
		}
	}
	c.haveCauses()
	for _, e := range c.b.Events {
		if !used[e.ID] {
			c.d.Error(e.Span, "no-tree", fmt.Sprintf("%s stands in no fault tree, so it could never be found", e.ID), "an input of a gate or failure that names it")
		}
	}
	for _, g := range c.b.Gates {
		if g.Failure == nil && !used[g.ID] {
			c.d.Warn(g.Span, "no-tree", fmt.Sprintf("gate %s leads to no failure", g.ID), "an input of a failure that names it, unless only findings need it")
		}
	}
}

// findTrees notes, for every event and gate, the failures it leads to: a walk
// from each failure down.
func (b *Base) findTrees() {
	b.trees = map[string][]string{}
	for _, f := range b.Failures() {
		below := map[string]bool{}
		var walk func(id string)
		walk = func(id string) {
			if below[id] {
				return
			}
			below[id] = true
			b.trees[id] = append(b.trees[id], f.ID)
			g, _ := b.Gate(id)
			for _, in := range g.Inputs {
				walk(in.ID)
			}
		}
		walk(f.ID)
	}
}

// Trees lists the failures that an event or gate leads to, in base order. The
// list is shared and not to be changed.
func (b *Base) Trees(id string) []string { return b.trees[id] }
