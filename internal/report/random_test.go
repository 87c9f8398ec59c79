package report_test

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/casefile"
	"filmfault/internal/diagnosis"
	"filmfault/internal/report"
	"filmfault/internal/rulebase"
	"filmfault/rules"
)

// shipped is the built-in rules, ready.
func shipped(t testing.TB) *diagnosis.Rules {
	t.Helper()
	l, err := rulebase.Load(rulebase.Layer{Name: "rules", FS: rules.FS})
	require.NoError(t, err)
	require.NotNil(t, l.Base, "%v", l.Diagnostics)
	r, err := diagnosis.Prepare(l.Base)
	require.NoError(t, err)
	return r
}

// randomCase answers some facts, failures and findings at random, as unlikely
// together as they may be.
func randomCase(b *rulebase.Base, random *rand.Rand) *casefile.Case {
	c := &casefile.Case{ID: "random"}
	pick := func(answers []rulebase.Answer) string { return answers[random.IntN(len(answers))].ID }
	for _, f := range b.Facts {
		if random.IntN(2) == 0 {
			c.Facts = append(c.Facts, casefile.Entry{ID: f.ID, Answer: pick(f.Answers)})
		}
	}
	failures := b.Failures()
	for _, i := range random.Perm(len(failures))[:1+random.IntN(3)] {
		state := rulebase.StateSeen
		if len(c.Failures) > 0 && random.IntN(2) == 0 {
			state = rulebase.StateAbsent
		}
		c.Failures = append(c.Failures, casefile.Entry{ID: failures[i].ID, Answer: state})
	}
	for _, i := range random.Perm(len(b.Findings))[:random.IntN(12)] {
		f := b.Findings[i]
		e := casefile.Entry{ID: f.ID, Answer: pick(f.Answers)}
		if random.IntN(4) == 0 {
			e.Sure = "probably"
		}
		c.Findings = append(c.Findings, e)
	}
	return c
}

const randomCases = 120

// TestRandomAnswers works out cases answered at random: every number is one,
// every probability lies between 0 and 1, and the weights of a cause lead from
// its prior to its posterior.
func TestRandomAnswers(t *testing.T) {
	r := shipped(t)
	random := rand.New(rand.NewPCG(7, 11))
	for range randomCases {
		c := randomCase(r.Base, random)
		s, diags := diagnosis.Resolve(r.Base, c)
		require.False(t, diags.HasErrors(), "%v", diags)
		e, err := r.Evaluate(s)
		require.NoError(t, err)
		d, err := report.Build(e, nil, c.ID, report.Everything())
		require.NoError(t, err)
		requireNumbers(t, d)
		for _, cause := range d.Ranking[:min(2, len(d.Ranking))] {
			x, err := report.Explain(e, cause.Cause)
			require.NoError(t, err)
			requireSteps(t, x)
		}
	}
}

func requireNumbers(t *testing.T, d *report.Document) {
	t.Helper()
	probability := func(n report.Number, what string) {
		require.False(t, math.IsNaN(float64(n)) || math.IsInf(float64(n), 0), what)
		require.True(t, n >= 0 && n <= 1, "%s: %v", what, n)
	}
	require.NotEmpty(t, d.Ranking)
	for i, c := range d.Ranking {
		probability(c.Contributed, c.Cause)
		probability(c.Present, c.Cause)
		require.LessOrEqual(t, float64(c.Contributed), float64(c.Present)+1e-9, c.Cause)
		if i > 0 {
			require.LessOrEqual(t, float64(c.Contributed), float64(d.Ranking[i-1].Contributed)+1e-9)
		}
		for _, m := range c.Confirm {
			if m.IfMet != nil && m.IfNot != nil {
				probability(*m.IfMet, m.Measurement)
				probability(*m.IfNot, m.Measurement)
			}
		}
	}
	for _, s := range d.Stories {
		probability(s.Probability, s.Text)
	}
	for _, u := range d.Unlisted {
		probability(u.Contributed, u.Failure)
	}
	for _, q := range d.Next {
		probability(q.ChangesLeader, q.Finding)
		require.GreaterOrEqual(t, float64(q.Worth), 0.0, q.Finding)
	}
	text, err := json.Marshal(d)
	require.NoError(t, err)
	require.NotContains(t, string(text), "NaN")
}

// requireSteps wants the pulls to lead from the prior to the posterior: to a
// millionth where they are exact, within the stated error where they are not.
func requireSteps(t *testing.T, x *report.Explanation) {
	t.Helper()
	logit := func(p report.Number) float64 { return math.Log(float64(p) / (1 - float64(p))) }
	sum, slack := 0.0, 1e-6
	for _, w := range x.Weights {
		require.False(t, math.IsNaN(float64(w.LogOdds)) || math.IsInf(float64(w.LogOdds), 0), w.Finding)
		require.InDelta(t, math.Exp(float64(w.LogOdds)), float64(w.Factor), 1e-6*float64(w.Factor), w.Finding)
		sum += float64(w.LogOdds)
		slack += float64(w.Error)
	}
	require.InDelta(t, logit(x.Posterior)-logit(x.Prior), sum, slack, "%s of %v", x.Cause, x.Seen)
}
