package diagnosis_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"filmfault/internal/diagnosis"
	"filmfault/internal/rulebase"
)

// BenchmarkQuestionOrder compares the order in which the interview asks (the
// most telling per minute first) with the best policy there is, found by trying
// every order of questions after every answer, on random rule bases small
// enough for that: five causes of one failure and six yes/no questions. It
// reports the expected minutes to the stop of both, and their ratio.
func BenchmarkQuestionOrder(b *testing.B) {
	const bases = 8
	var greedy, best float64
	for b.Loop() {
		greedy, best = 0, 0
		for seed := range bases {
			g, o := policies(b, uint64(seed))
			greedy += g / bases
			best += o / bases
		}
	}
	b.ReportMetric(greedy, "min/asked")
	b.ReportMetric(best, "min/best")
	b.ReportMetric(greedy/best, "ratio")
}

// TestQuestionOrder: no policy beats the best, and asking the most telling per
// minute stays within half as much again of it on average.
func TestQuestionOrder(t *testing.T) {
	var greedy, best float64
	for seed := range uint64(3) {
		g, o := policies(t, seed)
		require.GreaterOrEqual(t, g, o-1e-9, "seed %d", seed)
		greedy, best = greedy+g, best+o
	}
	require.Less(t, greedy, 1.5*best)
}

// policies is the expected minutes to the stop, asking as the interview does
// and asking as well as can be.
func policies(tb testing.TB, seed uint64) (greedy, best float64) {
	p := &planner{tb: tb, rules: smallRules(tb, seed), memo: map[string]state{}}
	return p.expected(nil, true), p.expected(nil, false)
}

type planner struct {
	tb    testing.TB
	rules *diagnosis.Rules
	memo  map[string]state
}

// state is what may be asked after some answers: nothing once the rule says
// stop.
type state struct {
	open []diagnosis.Question // the most telling per minute first
}

func (p *planner) expected(answers []diagnosis.Answered, greedy bool) float64 {
	s := p.state(answers)
	if len(s.open) == 0 {
		return 0
	}
	least := math.Inf(1)
	for _, q := range s.open {
		minutes := q.Finding.Minutes
		for a, chance := range q.Answer {
			minutes += chance * p.expected(append(answers[:len(answers):len(answers)], said(q.Finding, a)), greedy)
		}
		if least = min(least, minutes); greedy {
			break
		}
	}
	return least
}

func said(f rulebase.Finding, answer int) diagnosis.Answered {
	w := make([]float64, len(f.Answers))
	w[answer] = 1
	return diagnosis.Answered{Finding: f.ID, Answer: f.Answers[answer].ID, Weights: w, Sure: 1}
}

func (p *planner) state(answers []diagnosis.Answered) state {
	key := make([]string, len(answers))
	for i, a := range answers {
		key[i] = a.Finding + "=" + a.Answer
	}
	id := fmt.Sprint(slices.Sorted(slices.Values(key)))
	if s, ok := p.memo[id]; ok {
		return s
	}
	e, err := p.rules.Evaluate(diagnosis.Sheet{
		Facts: rulebase.Facts{}, Failures: map[string]string{"blisters": rulebase.StateSeen}, Answers: answers,
	})
	require.NoError(p.tb, err)
	prices, err := e.Price(nil)
	require.NoError(p.tb, err)
	stop, err := prices.Stop()
	require.NoError(p.tb, err)
	s := state{}
	if !stop.Stop {
		s.open = prices.Questions
	}
	p.memo[id] = s
	return s
}

// smallRules writes a random rule base and loads it.
func smallRules(tb testing.TB, seed uint64) *diagnosis.Rules {
	r := rand.New(rand.NewPCG(seed, 7))
	var y strings.Builder
	y.WriteString("schema: 1\ntitle: small\ncauses:\n")
	inputs := make([]string, 5)
	for i := range inputs {
		fmt.Fprintf(&y, "  - {id: c%d, title: c, tree: t, mechanism: m, rate: %.3f, basis: judgement, repair: r, prevent: p, confirm: [{measurement: m0, answer: \"yes\"}]}\n", i, 0.02+0.1*r.Float64())
		inputs[i] = fmt.Sprintf("{event: c%d, chance: %.2f}", i, 0.5+0.5*r.Float64())
	}
	fmt.Fprintf(&y, "failures:\n  - {id: blisters, title: b, question: q, make-safe: s, temporary: t, never: n, unlisted: 0.05, any: [%s]}\nmeasurements:\n", strings.Join(inputs, ", "))
	for i := range 6 {
		method := fmt.Sprintf("  - {id: m%d, question: q, why: w, method: m, decides: d, stage: look, where: sign, minutes: %d, basis: judgement, rows: [", i, 1+r.IntN(6))
		y.WriteString(method)
		fmt.Fprintf(&y, "{if: c%d, say: {\"yes\": %.2f}}, ", r.IntN(5), 0.6+0.35*r.Float64())
		fmt.Fprintf(&y, "{otherwise: {\"yes\": %.2f}}]}\n", 0.05+0.25*r.Float64())
	}
	l, err := rulebase.Load(rulebase.Layer{Name: "small", FS: fstest.MapFS{"a.yaml": {Data: []byte(y.String())}}})
	require.NoError(tb, err)
	require.NotNil(tb, l.Base, "%v", l.Diagnostics)
	rules, err := diagnosis.Prepare(l.Base)
	require.NoError(tb, err)
	return rules
}
