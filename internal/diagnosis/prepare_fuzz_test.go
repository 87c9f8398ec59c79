package diagnosis_test

import (
	"errors"
	"math"
	"os"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"filmfault/internal/bdd"
	"filmfault/internal/diagnosis"
	"filmfault/internal/rulebase"
)

// FuzzPrepare replaces a part of the sound base by any text. Whatever rules are
// taken can be made ready and used on a case of every failure: nothing panics
// and every number is one.
func FuzzPrepare(f *testing.F) {
	data, err := os.ReadFile("../../testdata/bad/rules/sound/sound.yaml")
	if err != nil {
		f.Fatal(err)
	}
	whole := string(data)
	for _, word := range []string{"0", "1", "0.5", "1e-300", "[dust]", "any: [damp]", "at-least: {count: 1, of: [damp, dust]}", "definition", "always"} {
		for at := 0; at < len(whole); at += len(whole) / 11 {
			f.Add(word, at, 4)
		}
	}
	f.Fuzz(func(t *testing.T, text string, at, length int) {
		at = min(max(at, 0), len(whole))
		end := min(at+max(length, 0), len(whole))
		folder := fstest.MapFS{"r.yaml": &fstest.MapFile{Data: []byte(whole[:at] + text + whole[end:])}}
		l, err := rulebase.Load(rulebase.Layer{FS: folder})
		if err != nil || l.Base == nil {
			return
		}
		r, err := diagnosis.Prepare(l.Base)
		require.NoError(t, err)
		for _, failure := range l.Base.Failures() {
			requireUsable(t, r, failure.ID)
		}
		_, err = r.Width(diagnosis.WidthLimits{Nodes: 10_000})
		require.NoError(t, err)
	})
}

// requireUsable works out a case with one failure seen and every finding that
// makes sense answered with its first answer.
func requireUsable(t *testing.T, r *diagnosis.Rules, failure string) {
	t.Helper()
	s := diagnosis.Sheet{Facts: rulebase.Facts{}, Failures: map[string]string{failure: rulebase.StateSeen}}
	for _, f := range r.Base.Findings {
		w := make([]float64, len(f.Answers))
		w[0] = 1
		if diagnosis.Applies(f, s) == diagnosis.Yes {
			s.Answers = append(s.Answers, diagnosis.Answered{Finding: f.ID, Answer: f.Answers[0].ID, Sure: 1, Weights: w})
		}
	}
	e, err := r.Evaluate(s)
	var contradiction *diagnosis.ContradictionError
	if errors.As(err, &contradiction) || errors.Is(err, bdd.ErrTooWide) {
		return
	}
	require.NoError(t, err)
	leader := e.Leader()
	require.False(t, math.IsNaN(leader.Contributed))
	accounts, err := e.Accounts([]string{leader.Cause.ID})
	require.NoError(t, err)
	for _, a := range accounts {
		for _, w := range a.Weights {
			require.False(t, math.IsNaN(w.LogOdds) || math.IsInf(w.LogOdds, 0))
		}
	}
	_, err = e.Stories()
	require.NoError(t, err)
	_, err = e.Price(nil)
	require.NoError(t, err)
	e.Overturning(true)
}
