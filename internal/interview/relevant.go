package interview

import (
	"slices"

	"filmfault/internal/rulebase"
)

// Relevant reports which facts matter for the failures seen: those that a rate
// of an event under them names, and those that a finding about such events
// needs or goes by.
func Relevant(b *rulebase.Base, seen []string) map[string]bool {
	out := factsInRates(b, seen)
	for f := range factsInFindings(b, seen) {
		out[f] = true
	}
	return out
}

// factsInRates is the facts that rates of events under the failures name.
func factsInRates(b *rulebase.Base, seen []string) map[string]bool {
	r := newRelevance(b, seen)
	for _, e := range b.Events {
		if !r.below[e.ID] {
			continue
		}
		for _, row := range e.Rate {
			r.add(row.When)
		}
	}
	return r.facts
}

// factsInFindings is the facts that findings about such events need or go by.
func factsInFindings(b *rulebase.Base, seen []string) map[string]bool {
	r := newRelevance(b, seen)
	for _, f := range b.Findings {
		r.finding(f)
	}
	return r.facts
}

func newRelevance(b *rulebase.Base, seen []string) relevance {
	return relevance{base: b, seen: seen, below: under(b, seen), facts: map[string]bool{}}
}

type relevance struct {
	base  *rulebase.Base
	seen  []string
	below map[string]bool
	facts map[string]bool
}

func (r relevance) add(when []rulebase.Is) {
	for _, is := range when {
		if _, ok := r.base.Fact(is.ID); ok {
			r.facts[is.ID] = true
		}
	}
}

func (r relevance) finding(f rulebase.Finding) {
	if !r.mayBeAsked(f) || !r.tells(f) {
		return
	}
	r.add(f.Needs)
	for _, row := range f.Rows {
		if len(row.If) == 0 || r.about(row) {
			r.add(row.When)
		}
	}
}

// mayBeAsked reports whether every failure that a finding needs was seen.
func (r relevance) mayBeAsked(f rulebase.Finding) bool {
	return !slices.ContainsFunc(f.Needs, func(is rulebase.Is) bool {
		g, ok := r.base.Gate(is.ID)
		return ok && g.Failure != nil && !slices.Contains(r.seen, is.ID)
	})
}

// tells reports whether a finding speaks about anything under the failures.
func (r relevance) tells(f rulebase.Finding) bool {
	return slices.ContainsFunc(f.Rows, r.about) ||
		slices.ContainsFunc(f.AnyOf, func(in rulebase.Input) bool { return r.below[in.ID] })
}

func (r relevance) about(row rulebase.Row) bool {
	return slices.ContainsFunc(row.If, func(x rulebase.Ref) bool { return r.below[x.ID] })
}

// under is every gate and event that leads to one of the failures, and the
// failures.
func under(b *rulebase.Base, failures []string) map[string]bool {
	out := map[string]bool{}
	for _, f := range failures {
		out[f] = true
	}
	for _, g := range slices.Backward(b.Gates) { // gates come after their inputs
		if !out[g.ID] {
			continue
		}
		for _, in := range g.Inputs {
			out[in.ID] = true
		}
	}
	return out
}
