package similar_test

import (
	"context"
	"math"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"filmfault/internal/book/similar"
	"filmfault/internal/diagnosis"
	"filmfault/internal/rulebase"
)

// small is a base whose worlds can be counted by hand: two causes of one failure,
// a fact that sets a rate and a row, a finding that tells and one that does not.
const small = `schema: 1
title: Two causes
cautions:
  - {id: wiring, text: Treat it as live.}
facts:
  - id: colour
    question: How dark is it?
    stage: start
    answers: [{id: light, text: Light}, {id: dark, text: Dark}]
  - id: tool
    question: How was it put on?
    stage: start
    answers: [{id: brush, text: Brushed}, {id: spray, text: Sprayed}]
causes:
  - id: damp
    title: Damp
    tree: vapour-drive
    mechanism: It pushes.
    rate: [{when: {colour: dark}, rate: 0.3}, {otherwise: 0.1}]
    basis: judgement
    confirm: [{measurement: coupon, answer: "yes"}]
    repair: Strip it.
    prevent: Wait.
  - id: dust
    title: Dust
    tree: adhesion
    mechanism: It parts.
    rate: 0.2
    basis: judgement
    confirm: [{measurement: coupon, answer: "no"}]
    repair: Strip it.
    prevent: Wipe.
failures:
  - id: blistering
    title: Blisters
    any: [{event: damp, chance: 0.8}, dust]
    question: Are there blisters?
    how: Look.
    unlisted: 0.1
    make-safe: Shade it.
    temporary: Shade it.
    never: Do not press them.
findings:
  - id: inside
    question: What is inside?
    why: Water is damp.
    stage: cut
    where: [sign]
    minutes: 2
    damage: pin-hole
    needs: {blistering: seen}
    basis: judgement
    answers: [{id: water, text: Water}, {id: powder, text: Powder}, {id: nothing, text: Nothing}]
    rows:
      - {if: damp, when: {colour: dark}, say: {water: 0.7, powder: 0.1}}
      - {if: damp, say: {water: 0.5, powder: 0.1}}
      - {otherwise: {water: 0.1, powder: 0.4}}
  - id: smell
    question: Does it smell?
    why: To be sure.
    stage: look
    where: [sign]
    minutes: 1
    basis: judgement
    rows:
      - {if: blistering, say: {"yes": 0.6}}
      - {otherwise: {"yes": 0.1}}
measurements:
  - id: coupon
    question: Does the coupon lose weight?
    why: It weighs.
    stage: log
    where: [desk]
    minutes: 20
    basis: judgement
    method: Shop practice
    decides: 2 percent
    rows:
      - {if: damp, say: {"yes": 0.9}}
      - {otherwise: {"yes": 0.1}}
`

func smallRules(t *testing.T) *diagnosis.Rules { return rulesOf(t, small) }

func rulesOf(t *testing.T, text string) *diagnosis.Rules {
	t.Helper()
	loaded, err := rulebase.Load(rulebase.Layer{Name: "small", FS: fstest.MapFS{"small.yaml": {Data: []byte(text)}}})
	require.NoError(t, err)
	require.False(t, loaded.Diagnostics.HasErrors(), "%v", loaded.Diagnostics)
	r, err := diagnosis.Prepare(loaded.Base)
	require.NoError(t, err)
	return r
}

// worlds counts every world of the small base: damp, whether it led on, dust, and
// the unlisted cause, whose rate is q p / ((1-q)(1-p)). visit is given what
// contributed if the failure is there, and the weight of the world with the
// failure seen.
func worlds(rateDamp, rateDust float64, visit func(damp, led, dust, other bool, weight float64)) {
	p := 1 - (1-0.1*0.8)*(1-rateDust) // listed causes over all jobs
	rates := []float64{rateDamp, 0.8, rateDust, 0.1 * p / (0.9 * (1 - p))}
	for bits := range 16 {
		on := [4]bool{}
		weight := 1.0
		for i, r := range rates {
			on[i] = bits>>i&1 == 1
			if on[i] {
				weight *= r
			} else {
				weight *= 1 - r
			}
		}
		shows := 0.01
		if on[0] && on[1] || on[2] || on[3] {
			shows = 0.8
		}
		visit(on[0], on[1], on[2], on[3], weight*shows)
	}
}

// sharesOf is how the contributions are shared when an answer is weighed with say.
func sharesOf(rateDamp float64, say func(damp bool) float64) [3]float64 {
	return sharesAmong(rateDamp, rareDust, say)
}

// rareDust is the rate of dust in the small base.
const rareDust = 0.2

// sharesAmong counts each world for every cause that contributed in it, so that
// where several did the shares are of more than all worlds.
func sharesAmong(rateDamp, rateDust float64, say func(damp bool) float64) [3]float64 {
	var s [3]float64
	worlds(rateDamp, rateDust, func(damp, led, dust, other bool, w float64) {
		w *= say(damp)
		for i, contributed := range []bool{damp && led, dust, other} {
			if contributed {
				s[i] += w
			}
		}
	})
	sum := s[0] + s[1] + s[2]
	return [3]float64{s[0] / sum, s[1] / sum, s[2] / sum}
}

func information(before, after [3]float64) float64 {
	sum := 0.0
	for i := range after {
		sum += after[i] * math.Log(after[i]/before[i])
	}
	return sum
}

func always(bool) float64 { return 1 }

func given(d, otherwise float64) func(bool) float64 {
	return func(damp bool) float64 {
		if damp {
			return d
		}
		return otherwise
	}
}

func held(id string, of, answer int, sure float64) diagnosis.Answered {
	w := make([]float64, of)
	for i := range w {
		w[i] = (1 - sure) / float64(of-1)
	}
	w[answer] = sure
	return diagnosis.Answered{Finding: id, Weights: w, Sure: sure}
}

func sheet(facts rulebase.Facts, answers ...diagnosis.Answered) diagnosis.Sheet {
	return diagnosis.Sheet{Facts: facts, Failures: map[string]string{"blistering": "seen"}, Answers: answers}
}

// TestWeightsAreThoseOfEveryWorldCounted compares the weights with a count of all
// worlds, which shares nothing with the engine.
func TestWeightsAreThoseOfEveryWorldCounted(t *testing.T) {
	r := smallRules(t)
	dark := sharesOf(0.3, always)
	for answer, say := range []func(bool) float64{given(0.7, 0.1), given(0.1, 0.4), given(0.2, 0.5)} {
		a, err := similar.Prepare(context.Background(), r, sheet(rulebase.Facts{"colour": "dark", "tool": "spray"}, held("inside", 3, answer, 1)), nil)
		require.NoError(t, err)
		fact := information(sharesOf(0.1, always), dark)
		require.InDelta(t, information(dark, sharesOf(0.3, say))+fact, a.Total, 1e-9, "the tool sets no rate and weighs nothing")
	}
}

// TestTwoCausesContribute: where damp and dust are often both at work, what the
// causes contributed adds up to more than 1, and each sum is divided out.
func TestTwoCausesContribute(t *testing.T) {
	const often = 0.7
	r := rulesOf(t, strings.Replace(small, "    rate: 0.2\n", "    rate: 0.7\n", 1))
	seen, contributed := 0.0, 0.0
	worlds(0.3, often, func(damp, led, dust, other bool, w float64) {
		seen += w
		for _, c := range []bool{damp && led, dust, other} {
			if c {
				contributed += w
			}
		}
	})
	require.Greater(t, contributed, 1.2*seen)
	for answer, say := range []func(bool) float64{given(0.7, 0.1), given(0.1, 0.4), given(0.2, 0.5)} {
		a, err := similar.Prepare(context.Background(), r, sheet(rulebase.Facts{"colour": "dark"}, held("inside", 3, answer, 1)), nil)
		require.NoError(t, err)
		dark := sharesAmong(0.3, often, always)
		want := information(dark, sharesAmong(0.3, often, say)) + information(sharesAmong(0.1, often, always), dark)
		require.InDelta(t, want, a.Total, 1e-9)
	}
}

// TestADifferenceWeighsTheSmallerOfTwo: water here and powder there.
func TestADifferenceWeighsTheSmallerOfTwo(t *testing.T) {
	r := smallRules(t)
	a, err := similar.Prepare(context.Background(), r, sheet(nil, held("inside", 3, 0, 1)), nil)
	require.NoError(t, err)
	before := sharesOf(0.1, always)
	water, powder := information(before, sharesOf(0.1, given(0.5, 0.1))), information(before, sharesOf(0.1, given(0.1, 0.4)))
	require.Greater(t, water, powder)

	m := a.Compare(sheet(nil, held("inside", 3, 1, 1)))
	require.InDelta(t, -powder/water, m.Nearness, 1e-9)
	require.Len(t, m.Different, 1)
	require.Equal(t, "water", m.Different[0].Here)
	require.Equal(t, "powder", m.Different[0].There)
	require.Empty(t, m.Shared)

	m = a.Compare(sheet(nil, held("inside", 3, 0, 0.6)))
	require.InDelta(t, 0.6, m.Nearness, 1e-9, "held with .6 it counts .6")
	require.Zero(t, a.Compare(sheet(nil)).Nearness, "what was not asked neither agrees nor differs")
}

// TestIdleAnswersCountNothing: the smell goes with the blisters and not with
// their cause.
func TestIdleAnswersCountNothing(t *testing.T) {
	r := smallRules(t)
	inside, smell := held("inside", 3, 0, 1), held("smell", 2, 0, 1)
	plain, err := similar.Prepare(context.Background(), r, sheet(nil, inside), nil)
	require.NoError(t, err)
	more, err := similar.Prepare(context.Background(), r, sheet(nil, inside, smell), nil)
	require.NoError(t, err)
	require.InDelta(t, plain.Total, more.Total, 1e-6)
	require.InDelta(t, 0, more.Compare(sheet(nil, smell)).Nearness, 1e-6)
}

func TestNothingSeenIsRefused(t *testing.T) {
	s := sheet(nil)
	s.Failures["blistering"] = "absent"
	_, err := similar.Prepare(context.Background(), smallRules(t), s, nil)
	require.ErrorIs(t, err, diagnosis.ErrNothingSeen)
}
