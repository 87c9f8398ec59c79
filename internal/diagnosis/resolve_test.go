package diagnosis_test

import (
	"errors"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/bdd"
	"filmfault/internal/casefile"
	"filmfault/internal/diagnosis"
)

// soundRules is the small rule base of testdata/bad, with nothing wrong in it.
func soundRules(t testing.TB) *diagnosis.Rules {
	t.Helper()
	data, err := os.ReadFile("../../testdata/bad/rules/sound/sound.yaml")
	require.NoError(t, err)
	return prepared(t, map[string]string{"sound.yaml": string(data)})
}

func resolved(t testing.TB, r *diagnosis.Rules, text string) (diagnosis.Sheet, []string) {
	t.Helper()
	c, diags, err := casefile.Parse("case.yaml", []byte(text))
	require.NoError(t, err)
	require.Empty(t, diags)
	s, diags := diagnosis.Resolve(r.Base, c)
	var told []string
	for _, d := range diags {
		told = append(told, d.String())
	}
	return s, told
}

func TestResolveTellsEachThingOnce(t *testing.T) {
	_, told := resolved(t, soundRules(t), `schema: 1
facts: {shad: dark, shade: drak}
failures: {blister: seen, blisters: maybe}
findings:
  wieght: losing
  weight: loosing
  warm-side: {answer: "yes", sure: 0.4}
  tape: {value: 3 mil}
verdict:
  causes:
    - {cause: dmap, state: confirmed, by: wieght}
`)
	require.Equal(t, []string{
		`case.yaml:2:9: the rules have no fact "shad" [unknown-id]; write instead: shade`,
		`case.yaml:2:28: "drak" is no answer to shade [unknown-answer]; write instead: dark`,
		`case.yaml:3:12: the rules have no failure "blister" [unknown-id]; write instead: blisters`,
		`case.yaml:3:37: "maybe" is no state of a failure [state]; write instead: seen, absent (looked for and not there) or not-checked`,
		`case.yaml:5:3: the rules have no finding "wieght" [unknown-id]; write instead: weight`,
		`case.yaml:6:11: "loosing" is no answer to weight [unknown-answer]; write instead: losing`,
		`case.yaml:7:23: a confidence of 0.4 among 2 answers says nothing [sure]; write instead: a confidence above 0.5, or not-checked`,
		`case.yaml:8:17: tape takes an answer, not a figure [value]; write instead: one of: powder, clean`,
		`case.yaml:11:15: the rules have no cause "dmap" [unknown-id]; write instead: damp`,
		`case.yaml:11:43: the rules have no measurement "wieght" [unknown-id]; write instead: weight`,
	}, told)
}

// TestResolveRefusesOneQuestionAnsweredTwice gives an answer under an old name
// and under the new one: it would count as two observations.
func TestResolveRefusesOneQuestionAnsweredTwice(t *testing.T) {
	data, err := os.ReadFile("../../testdata/bad/rules/sound/sound.yaml")
	require.NoError(t, err)
	more := `schema: 1
title: Renamed
findings:
  - id: gloss
    was: shine
    question: Is it glossy?
    why: It tells.
    stage: look
    where: sign
    minutes: 1
    basis: judgement
    rows:
      - {if: damp, say: {"yes": often}}
      - {otherwise: {"yes": seldom}}
`
	r := prepared(t, map[string]string{"sound.yaml": string(data), "more.yaml": more})
	s, told := resolved(t, r, "schema: 1\nfailures: {blisters: seen}\nfindings: {shine: \"yes\"}\n")
	require.Empty(t, told)
	require.Len(t, s.Answers, 1)
	_, told = resolved(t, r, "schema: 1\nfailures: {blisters: seen}\nfindings: {shine: \"yes\", gloss: \"no\"}\n")
	require.Equal(t, []string{"case.yaml:3:26: shine and gloss are one question under an old and a new name [answered-twice]; write instead: one of the two answers"}, told)
}

// FuzzResolve resolves any case by a small rule base. What is told has a place
// and a remedy; what is taken is a probability, and can be worked out to one.
func FuzzResolve(f *testing.F) {
	for _, pattern := range []string{"../../testdata/bad/cases/*.yaml", "../../casebook/*.yaml"} {
		names, err := filepath.Glob(pattern)
		if err != nil {
			f.Fatal(err)
		}
		for _, name := range names {
			data, err := os.ReadFile(name)
			if err != nil {
				f.Fatal(err)
			}
			f.Add(string(data))
		}
	}
	for _, findings := range []string{
		"weight: losing", "weight: {answer: losing, sure: 0.7}", "warm-side: \"yes\", tape: powder", "seasoned: \"no\"",
		"weight: {answer: steady, source: assumed}", "tape: {answer: clean, source: remembered}",
	} {
		f.Add("schema: 1\nfacts: {shade: dark}\nfailures: {blisters: seen}\nfindings: {" + findings + "}\n")
	}
	r := soundRules(f)
	f.Fuzz(func(t *testing.T, text string) {
		c, diags, err := casefile.Parse("case.yaml", []byte(text))
		if err != nil || diags.HasErrors() {
			return
		}
		s, diags := diagnosis.Resolve(r.Base, c)
		for _, d := range diags {
			require.Positive(t, d.Span.Start.Line, d.String())
			require.NotEmpty(t, d.Summary)
			require.NotEmpty(t, d.Remedy)
		}
		if !diags.HasErrors() {
			requireSheet(t, s)
			requireWorkedOut(t, r, s)
		}
	})
}

// requireSheet wants weights that are probabilities, one set for a finding.
func requireSheet(t *testing.T, s diagnosis.Sheet) {
	t.Helper()
	seen := map[string]bool{}
	for _, a := range s.Answers {
		require.False(t, seen[a.Finding], "%s twice", a.Finding)
		seen[a.Finding] = true
		sum := 0.0
		for _, w := range a.Weights {
			require.True(t, w >= 0 && w <= 1, "%v", a.Weights)
			sum += w
		}
		require.InDelta(t, 1, sum, 1e-9)
	}
}

func requireWorkedOut(t *testing.T, r *diagnosis.Rules, s diagnosis.Sheet) {
	t.Helper()
	e, err := r.Evaluate(s)
	var contradiction *diagnosis.ContradictionError
	switch {
	case errors.Is(err, diagnosis.ErrNothingSeen), errors.Is(err, bdd.ErrTooWide), errors.As(err, &contradiction):
		return
	}
	require.NoError(t, err)
	for _, c := range e.Ranking() {
		for _, p := range []float64{c.Contributed, c.Present} {
			require.False(t, math.IsNaN(p))
			require.True(t, p >= 0 && p <= 1, "%s %v", c.Cause.ID, p)
		}
		require.LessOrEqual(t, c.Contributed, c.Present+1e-9, c.Cause.ID)
	}
}
