package rulebase_test

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"filmfault/internal/rulebase"
)

// layered reads the sound base with layers over it, "own" and then "top".
func layered(t *testing.T, texts ...string) rulebase.Loaded {
	t.Helper()
	file := func(text string) fstest.MapFS { return fstest.MapFS{"own.yaml": {Data: []byte(text)}} }
	layers := []rulebase.Layer{{Name: "rules", FS: file(string(sound(t)))}}
	for i, text := range texts {
		layers = append(layers, rulebase.Layer{Name: []string{"own", "top"}[i], FS: file(text)})
	}
	l, err := rulebase.Load(layers...)
	require.NoError(t, err)
	return l
}

const rateFile = "schema: 1\ntitle: Our rates\nrates:\n"

// rateOf is the rate in force under some facts, and what it rests on.
func rateOf(t *testing.T, l rulebase.Loaded, cause string, f rulebase.Facts) (float64, string) {
	t.Helper()
	require.Empty(t, l.Diagnostics)
	e, ok := l.Base.Event(cause)
	require.True(t, ok)
	return e.Rate.For(f), e.Basis
}

// TestRateOfALayer: the rate alone is replaced, of causes and conditions, rows
// as well; the entry stays, and tells both places.
func TestRateOfALayer(t *testing.T) {
	l := layered(t, rateFile+`
  - {cause: dust, rate: 0.011, basis: "own cases: 2 confirmed"}
  - {cause: sun, rate: 0.4, basis: judgement}
  - cause: damp
    rate: [{when: {shade: dark}, rate: 0.09}, {otherwise: 0.02}]
    basis: common practice
`)
	r, basis := rateOf(t, l, "dust", nil)
	require.Equal(t, 0.011, r)
	require.Equal(t, "own cases: 2 confirmed, at own/own.yaml:5:13; in place of 0.03: common practice, at rules/own.yaml:25:5", basis)
	e, _ := l.Base.Event("dust")
	require.Equal(t, "Dust left on the board", e.Title)
	require.True(t, e.Learned())
	r, _ = rateOf(t, l, "sun", nil)
	require.Equal(t, 0.4, r)
	r, _ = rateOf(t, l, "damp", rulebase.Facts{"shade": "dark"})
	require.Equal(t, 0.09, r)
	r, _ = rateOf(t, l, "damp", nil)
	require.Equal(t, 0.02, r)
	lines, _ := l.Base.Describe("dust")
	require.Contains(t, lines, "base rate: 0.011 ("+basis+")")
	require.NotEqual(t, layered(t).Base.Digest, l.Base.Digest, "the rates take part in the digest")
}

// TestTheHighestRateWins: a list over a list; an entry restated above keeps the
// rate it has there.
func TestTheHighestRateWins(t *testing.T) {
	own := rateFile + "  - {cause: dust, rate: 0.011, basis: own cases}\n"
	l := layered(t, own, rateFile+"  - {cause: dust, rate: 0.012, basis: judgement}\n")
	r, basis := rateOf(t, l, "dust", nil)
	require.Equal(t, 0.012, r)
	require.Equal(t, "judgement, at top/own.yaml:4:13; in place of 0.011: own cases, at own/own.yaml:4:13; in place of 0.03: common practice, at rules/own.yaml:25:5", basis)
	l = layered(t, own, "schema: 1\ntitle: Ours\nconditions:\n  - {id: sun, replaces: yes, title: Sun, rate: 0.7, basis: judgement}\n")
	r, _ = rateOf(t, l, "dust", nil)
	require.Equal(t, 0.011, r)
	l = layered(t, rateFile+"  - {cause: sun, rate: 0.2, basis: judgement}\n", "schema: 1\ntitle: Ours\nconditions:\n  - {id: sun, replaces: yes, title: Sun, rate: 0.7, basis: judgement}\n")
	r, basis = rateOf(t, l, "sun", nil)
	require.Equal(t, 0.7, r)
	require.Equal(t, "judgement", basis)
}

// TestRateUnderAnOldName: a list written before a cause was renamed still holds.
func TestRateUnderAnOldName(t *testing.T) {
	l := layered(t, "schema: 1\ntitle: Ours\nconditions:\n  - {id: sun, was: sunshine, replaces: yes, title: Sun, rate: 0.7, basis: judgement}\n",
		rateFile+"  - {cause: sunshine, rate: 0.2, basis: judgement}\n")
	r, _ := rateOf(t, l, "sun", nil)
	require.Equal(t, 0.2, r)
}

func TestRatesRefusedOverLayers(t *testing.T) {
	above := "schema: 1\ntitle: Ours\nconditions:\n  - {id: wind, title: Wind, rate: 0.7, basis: judgement}\n"
	for text, want := range map[string]string{
		"  - {cause: wind, rate: 0.2, basis: judgement}\n":                                                 "own/own.yaml:4:13: wind stands in a layer above, at top/own.yaml:4:10 [rates]; write instead: this rate in a folder that is read after that one",
		"  - {cause: dust, rate: 0.2, basis: judgement}\n  - {cause: dust, rate: 0.3, basis: judgement}\n": "own/own.yaml:5:13: the rate of dust is set already, at own/own.yaml:4:13 [rates]; write instead: one rate for it in this layer",
		"  - {cause: dust, rate: -0.2, basis: judgement}\n":                                                "own/own.yaml:4:25: -0.2 is outside 0 to 1 [probability]; write instead: a rate between 0 and 1, such as 0.03",
		"  - {cause: dust, rate: [{when: {shad: dark}, rate: 0.1}, {otherwise: 0.2}], basis: judgement}\n": "own/own.yaml:4:34: no fact has the id shad [unknown-id]; write instead: shade",
		"  - {cause: seasoned, rate: 0.2, basis: judgement}\n":                                             "own/own.yaml:4:13: seasoned is a finding, and only causes and conditions have rates [rates]; write instead: the id of a cause or condition",
		"  - {cause: blisters, rate: 0.2, basis: judgement}\n":                                             "own/own.yaml:4:13: blisters is a failure, and only causes and conditions have rates [rates]; write instead: the id of a cause or condition",
	} {
		l := layered(t, rateFile+text, above)
		require.Nil(t, l.Base)
		require.Equal(t, want, l.Diagnostics[0].String())
	}
}

// TestWritten: rates learned from own cases are set aside, others are not.
func TestWritten(t *testing.T) {
	l := layered(t, rateFile+"  - {cause: dust, rate: 0.011, basis: judgement}\n  - {cause: sun, rate: 0.2, basis: own cases}\n",
		rateFile+"  - {cause: dust, rate: 0.012, basis: own cases}\n")
	b := l.Base.Written()
	dust, _ := b.Event("dust")
	require.Equal(t, 0.011, dust.Rate.For(nil))
	require.False(t, dust.Learned())
	sun, _ := b.Event("sun")
	require.Equal(t, 0.5, sun.Rate.For(nil))
	require.Equal(t, "judgement", sun.Basis)
	require.Nil(t, sun.Replaced)
	r, _ := rateOf(t, l, "dust", nil)
	require.Equal(t, 0.012, r, "the base itself is not changed")
}

func TestWithRates(t *testing.T) {
	b := layered(t).Base
	other := b.WithRates(map[string]rulebase.Rate{"dust": {{Rate: 0.5}}})
	e, _ := other.Event("dust")
	require.Equal(t, 0.5, e.Rate.For(nil))
	e, _ = b.Event("dust")
	require.Equal(t, 0.03, e.Rate.For(nil))
}
