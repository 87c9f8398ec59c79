package inference

import "filmfault/internal/bdd"

// A finding enters the diagram as a factor: a function of the events and of
// handles, independent draws whose weights carry the likelihoods of the answer
// given. The probability of the factor, given the events, is then the
// likelihood of the answer. Decision lists become a chain of if-then-else
// with one handle per row. A noisy-OR first becomes the gate it is (one draw
// per input below chance 1, one for the background) and then a two-row list on
// that gate.

// handles is the number of handles of a finding.
func (m *Model) handles(f int) int {
	x := m.findings[f]
	if len(x.AnyOf) > 0 {
		return len(x.AnyOf) + 1 + 2 // inputs, background, yes and no
	}
	return len(x.Rows)
}

// firstHolds lists, per row, the function "this row is the first whose events
// all hold". For a noisy-OR: "shown" and "not shown".
func (n *Network) firstHolds(f int) []bdd.Node {
	x := n.model.findings[f]
	if len(x.AnyOf) > 0 {
		shown := n.shown(f)
		return []bdd.Node{shown, n.dd.Not(shown)}
	}
	rows := make([]bdd.Node, len(x.Rows))
	earlier := bdd.False
	for i, r := range x.Rows {
		holds := bdd.True
		for _, e := range r.Events {
			holds = n.dd.And(holds, n.function(e))
		}
		rows[i] = n.dd.And(holds, n.dd.Not(earlier))
		earlier = n.dd.Or(earlier, holds)
	}
	return rows
}

// shown is the noisy-OR as a gate over its inputs and the background.
func (n *Network) shown(f int) bdd.Node {
	x := n.model.findings[f]
	h := n.layout.handle[f]
	shown := n.dd.Var(h[len(x.AnyOf)])
	for i, in := range x.AnyOf {
		holds := n.input(in.Node, in.Negated)
		if in.Chance < 1 {
			holds = n.dd.And(holds, n.dd.Var(h[i]))
		}
		shown = n.dd.Or(shown, holds)
	}
	return shown
}

// factor is the function whose probability, given the events, is the
// likelihood of the answer observed.
func (n *Network) factor(f int) bdd.Node {
	rows := n.firstHolds(f)
	weigh := n.weighing(f)
	out := bdd.False
	for i, r := range rows {
		out = n.dd.Or(out, n.dd.And(r, n.dd.Var(weigh[i])))
	}
	return out
}

// weighing lists the levels of the handles that carry the answer's likelihood,
// one per row of firstHolds.
func (n *Network) weighing(f int) []int {
	if n.model.flat(f) {
		return nil
	}
	h := n.layout.handle[f]
	if k := len(n.model.findings[f].AnyOf); k > 0 {
		return h[k+1:]
	}
	return h
}

// rowLikelihoods appends to out the likelihood of a virtual answer (weights
// over the answers, Pearl 1988) under each row of firstHolds.
func (m *Model) rowLikelihoods(f int, answer, out []float64) []float64 {
	x := &m.findings[f]
	if len(x.AnyOf) > 0 {
		return append(out, answer...)
	}
	for i := range x.Rows {
		sum := 0.0
		for a, p := range x.Rows[i].Say {
			sum += p * answer[a]
		}
		out = append(out, sum)
	}
	return out
}
