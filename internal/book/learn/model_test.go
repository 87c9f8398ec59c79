package learn

import (
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/diagnosis"
	"filmfault/internal/rulebase"
	"filmfault/rules"
)

// TestTotalsByHand: how frequent the failures of the small base are, by the rules
// of probability.
func TestTotalsByHand(t *testing.T) {
	m := newModel(base(t, smallRules))
	total, err := m.totals()
	require.NoError(t, err)
	got, err := total.of(m.rates())
	require.NoError(t, err)
	damp := 1 - (1-0.06)*(1-0.04*0.7)
	blisters := 1 - (1-damp*0.6*0.9)*(1-0.05*0.5)*(1-0.08*0.6)
	peeling := 1 - (1-0.05*0.6)*(1-0.07*0.8)*(1-0.03*0.5)
	require.InDelta(t, blisters/(1-0.08), got["blisters"], 1e-12)
	require.InDelta(t, peeling/(1-0.06), got["peeling"], 1e-12)
}

// TestComesInByHand: the share of the jobs with a cause that come in because of it.
func TestComesInByHand(t *testing.T) {
	got, err := comesIn(base(t, smallRules))
	require.NoError(t, err)
	require.InDelta(t, 0.6*0.9*0.8, got["wet"], 1e-12)
	require.InDelta(t, 0.7*0.6*0.9*0.8, got["thick"], 1e-12)
	require.InDelta(t, 1-(1-0.5*0.8)*(1-0.6*0.9), got["dusty"], 1e-12)
	require.InDelta(t, 0.5*0.9, got["late"], 1e-12)
}

// innerRules is a base in which a gate with an unlisted share feeds a failure that
// takes two causes.
const innerRules = `schema: 1
title: Inner
causes:
  - {id: one, title: One, tree: adhesion, mechanism: M., rate: 0.2, basis: judgement, confirm: [{measurement: weight, answer: "yes"}], repair: R., prevent: P.}
  - {id: two, title: Two, tree: adhesion, mechanism: M., rate: 0.3, basis: judgement, confirm: [{measurement: weight, answer: "yes"}], repair: R., prevent: P.}
gates:
  - {id: inner, title: Inner, any: [one], unlisted: 0.1}
failures:
  - {id: peeling, title: Peeling, all: [inner, two], unlisted: 0.06, shows: 0.9, claimed-in-error: 0.01, question: Q, make-safe: S., temporary: T., never: N.}
measurements:
  - {id: weight, question: Does it, why: W., method: M., decides: D., stage: cut, where: [sign], minutes: 5, basis: judgement, rows: [{if: one, say: {"yes": usually}}, {otherwise: {"yes": seldom}}]}
`

// TestUnlistedBelow: an unlisted cause of an inner gate makes way for others too.
func TestUnlistedBelow(t *testing.T) {
	b := base(t, innerRules)
	m := newModel(b)
	total, err := m.totals()
	require.NoError(t, err)
	got, err := total.of(m.rates())
	require.NoError(t, err)
	require.InDelta(t, 0.2/0.9*0.3/0.94, got["peeling"], 1e-12)
	in, err := comesIn(b)
	require.NoError(t, err)
	require.InDelta(t, 0.2/0.9*0.9, in["two"], 1e-12, "the other half of it, listed or not")
	require.InDelta(t, 0.3*0.9, in["one"], 1e-12)
}

// TestTotalsAgreeWithDiagnosis: on the shipped rules, the share of an unlisted
// cause among the cases of a failure is what the total says it must be.
func TestTotalsAgreeWithDiagnosis(t *testing.T) {
	loaded, err := rulebase.Load(rulebase.Layer{Name: "rules", FS: rules.FS})
	require.NoError(t, err)
	r, err := diagnosis.Prepare(loaded.Base)
	require.NoError(t, err)
	m := newModel(loaded.Base)
	total, err := m.totals()
	require.NoError(t, err)
	there, err := total.of(m.rates())
	require.NoError(t, err)
	for _, g := range loaded.Base.Failures() {
		e, err := r.Evaluate(diagnosis.Sheet{Facts: rulebase.Facts{}, Failures: map[string]string{g.ID: rulebase.StateSeen}})
		require.NoError(t, err)
		all, q := there[g.ID], g.Unlisted
		p := all * (1 - q)
		shown := g.Failure.Shows*all + g.Failure.ClaimedInError*(1-all)
		want := g.Failure.Shows * q * p / ((1 - q) * (1 - p)) / shown
		for _, u := range e.Unlisted() {
			if u.Gate == g.ID {
				require.InDelta(t, want, u.Contributed, 1e-9, g.ID)
			}
		}
	}
}
