package learn

import (
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"filmfault/internal/rulebase"
)

// smallRules is a base of the intended shape, small enough to check by hand: a
// gate with a condition, chances, a cause of two failures, a rate on a fact.
const smallRules = `schema: 1
title: Small
facts:
  - {id: shade, question: How dark, answers: [{id: light, text: Light}, {id: dark, text: Dark}]}
conditions:
  - {id: heat, title: Heat on it, rate: 0.6, basis: judgement}
causes:
  - {id: wet, title: Wet primer, tree: vapour-drive, mechanism: M., rate: 0.06, basis: judgement, confirm: [{measurement: weight, answer: "yes"}], repair: R., prevent: P.}
  - {id: thick, title: Thick primer, tree: vapour-drive, mechanism: M., rate: 0.04, basis: judgement, confirm: [{measurement: weight, answer: "yes"}], repair: R., prevent: P.}
  - {id: dusty, title: Dust, tree: adhesion, mechanism: M., rate: 0.05, basis: judgement, confirm: [{measurement: weight, answer: "yes"}], repair: R., prevent: P.}
  - {id: sunny, title: Sun too early, tree: vapour-drive, mechanism: M., rate: [{when: {shade: dark}, rate: 0.12}, {otherwise: 0.08}], basis: judgement, confirm: [{measurement: weight, answer: "yes"}], repair: R., prevent: P.}
  - {id: greasy, title: Grease, tree: adhesion, mechanism: M., rate: 0.07, basis: judgement, confirm: [{measurement: weight, answer: "yes"}], repair: R., prevent: P.}
  - {id: late, title: Recoated late, tree: adhesion, mechanism: M., rate: 0.03, basis: judgement, confirm: [{measurement: weight, answer: "yes"}], repair: R., prevent: P.}
gates:
  - {id: damp, title: Damp, any: [wet, {event: thick, chance: 0.7}]}
  - {id: push, title: Push, all: [damp, {event: heat, chance: 0.9}]}
failures:
  - {id: blisters, title: Blisters, any: [push, {event: dusty, chance: 0.5}, {event: sunny, chance: 0.6}], unlisted: 0.08, shows: 0.8, claimed-in-error: 0.01, question: Q, make-safe: S., temporary: T., never: N.}
  - {id: peeling, title: Peeling, any: [{event: dusty, chance: 0.6}, {event: greasy, chance: 0.8}, {event: late, chance: 0.5}], unlisted: 0.06, shows: 0.9, claimed-in-error: 0.02, question: Q, make-safe: S., temporary: T., never: N.}
measurements:
  - id: weight
    question: Does it lose weight?
    why: W.
    method: M.
    decides: D.
    stage: cut
    where: [sign]
    minutes: 5
    basis: judgement
    rows: [{if: wet, say: {"yes": usually}}, {otherwise: {"yes": seldom}}]
`

// single is a base of one failure, its causes each with the same chance.
const singleRules = `schema: 1
title: Single
causes:
  - {id: one, title: One, tree: adhesion, mechanism: M., rate: 0.10, basis: judgement, confirm: [{measurement: weight, answer: "yes"}], repair: R., prevent: P.}
  - {id: two, title: Two, tree: adhesion, mechanism: M., rate: 0.06, basis: judgement, confirm: [{measurement: weight, answer: "yes"}], repair: R., prevent: P.}
  - {id: three, title: Three, tree: adhesion, mechanism: M., rate: 0.04, basis: judgement, confirm: [{measurement: weight, answer: "yes"}], repair: R., prevent: P.}
  - {id: four, title: Four, tree: adhesion, mechanism: M., rate: 0.05, basis: judgement, confirm: [{measurement: weight, answer: "yes"}], repair: R., prevent: P.}
failures:
  - {id: peeling, title: Peeling, any: [{event: one, chance: 0.6}, {event: two, chance: 0.6}, {event: three, chance: 0.6}, {event: four, chance: 0.6}], unlisted: 0.06, shows: 0.9, claimed-in-error: 0.002, question: Q, make-safe: S., temporary: T., never: N.}
measurements:
  - {id: weight, question: Does it, why: W., method: M., decides: D., stage: cut, where: [sign], minutes: 5, basis: judgement, rows: [{if: one, say: {"yes": usually}}, {otherwise: {"yes": seldom}}]}
`

// tester is a test, or one round of a property.
type tester interface {
	require.TestingT
	Helper()
}

// base reads rules, and layers over them.
func base(t tester, texts ...string) *rulebase.Base {
	t.Helper()
	var layers []rulebase.Layer
	for i, text := range texts {
		layers = append(layers, rulebase.Layer{Name: []string{"rules", "own"}[i], FS: fstest.MapFS{"r.yaml": {Data: []byte(text)}}})
	}
	l, err := rulebase.Load(layers...)
	require.NoError(t, err)
	require.Empty(t, l.Diagnostics)
	return l.Base
}

// judged writes verdicts: "+wet" confirmed by opinion, "-wet" ruled out; a "*" at
// the end says by a measurement.
func judged(words ...string) []Judged {
	var out []Judged
	for _, w := range words {
		j := Judged{Confirmed: w[0] == '+', Cause: w[1:]}
		if n := len(j.Cause) - 1; j.Cause[n] == '*' {
			j.Cause, j.Measured = j.Cause[:n], true
		}
		out = append(out, j)
	}
	sortJudged(out)
	return out
}

// settled is a settled case of a failure.
func settled(failure string, words ...string) Case {
	return Case{ID: "c", Settled: true, Seen: []string{failure}, Judged: judged(words...)}
}

// many repeats a case.
func many(n int, c Case) []Case {
	out := make([]Case, n)
	for i := range out {
		out[i] = c
	}
	return out
}

// moveOf finds a move.
func moveOf(t tester, l *Learned, cause string) Move {
	t.Helper()
	for _, m := range l.Moves {
		if m.Cause.ID == cause {
			return m
		}
	}
	require.Fail(t, "no move of "+cause)
	return Move{}
}
