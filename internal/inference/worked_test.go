package inference_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/inference"
)

// The entries of worked_examples.json that are about inference. Left out, being
// about something else: mycin (certainty factors, no probabilities), hbr (order
// of repairs by cost), huffman (code lengths), murphy and multiclass (scoring of
// forecasts), beta and dirichlet (learning).

// decibans of natural log odds (Good: 10 log10 of the odds).
func decibans(logOdds float64) float64 { return 10 * logOdds / math.Ln10 }

// odds of one node under certain yes/no answers, in decibans; also the pulls of
// all answers and the probability.
type verdict struct {
	p, prior, db float64
	pulls        []float64 // decibans, per finding
}

// judge answers findings of s with the given answers and weighs them for n.
func (s *spec) judge(t testing.TB, n inference.Node, answers map[int]int) verdict {
	t.Helper()
	var e inference.Evidence
	var at []int
	use := inference.Use{Evidence: sortedKeys(answers), Gates: []inference.Node{n}}
	for i, f := range use.Evidence {
		e, at = append(e, inference.Certain(answers[f], s.findings[f].Answers())), append(at, i)
	}
	net, err := s.model().Compile(use)
	require.NoError(t, err)
	p, err := net.Evaluate(e)
	require.NoError(t, err)
	w := net.Weigh(e, at, []inference.Target{{Node: n, Present: true}})[0]
	v := verdict{p: p.Gate[0], prior: decibans(w.Prior), db: decibans(w.Posterior)}
	for _, x := range w.Pull {
		v.pulls = append(v.pulls, decibans(x))
	}
	return v
}

// repeated is one event with the same two-answer finding n times, the first
// "yes" of them answered yes.
func repeated(t testing.TB, prior, ifTrue, ifFalse float64, n, yes int) verdict {
	s := &spec{}
	x := s.event(prior)
	answers := map[int]int{}
	for i := range n {
		answers[s.finding(yesNo(x, ifTrue, ifFalse))] = 1
		if i < yes {
			answers[i] = 0
		}
	}
	return s.judge(t, x, answers)
}

// near holds a figure of the file to 1e-9.
func near(t testing.TB, want, got float64, what string) {
	t.Helper()
	require.InDelta(t, want, got, tolerance, what)
}

// TestGoodDie (Good): a loaded die, six with 1/3 against 1/6. Turing: under the
// false hypothesis the mean likelihood ratio is 1.
func TestGoodDie(t *testing.T) {
	var x map[string]any
	worked(t, "good_die", &x)
	six := repeated(t, .5, 1./3, 1./6, 1, 1).pulls[0]
	other := repeated(t, .5, 1./3, 1./6, 1, 0).pulls[0]
	near(t, x["w_six_db"].(float64), six, "six")
	near(t, x["w_nonsix_db"].(float64), other, "other")
	near(t, x["expected_w_if_loaded"].(float64), six/3+other*2/3, "mean if loaded")
	near(t, x["expected_w_if_fair"].(float64), six/6+other*5/6, "mean if fair")
	ratio := func(db float64) float64 { return math.Pow(10, db/10) }
	near(t, x["turing_E_LR_given_false"].(float64), ratio(six)/6+ratio(other)*5/6, "Turing")
}

// worked reads one entry of the file.
func worked(t testing.TB, name string, into any) {
	t.Helper()
	var all map[string]rawJSON
	load(t, "worked_examples.json", &all)
	require.Contains(t, all, name)
	require.NoError(t, all[name].into(into))
}

// TestJaynesWidgets (Jaynes ch. 4): prior odds 1:10, bad with 1/3 against 1/6.
func TestJaynesWidgets(t *testing.T) {
	var x struct {
		Prior   float64 `json:"prior_db"`
		Three   float64 `json:"after_3_bad"`
		Twelve  float64 `json:"after_12_bad"`
		Neutral float64 `json:"neutral_bad_fraction"`
		Fifty   float64 `json:"fifty_draws_20_bad"`
	}
	worked(t, "jaynes_widgets", &x)
	test := func(n, bad int) verdict { return repeated(t, 1./11, 1./3, 1./6, n, bad) }
	three := test(3, 3)
	near(t, x.Prior, three.prior, "prior")
	near(t, x.Three, three.db, "three bad")
	near(t, x.Twelve, test(12, 12).db, "twelve bad")
	fifty := test(50, 20)
	near(t, x.Fifty, fifty.db, "fifty draws")
	near(t, fifty.db-fifty.prior, total(fifty.pulls), "fifty pulls")
	bad, good := test(1, 1).pulls[0], test(1, 0).pulls[0]
	near(t, x.Neutral, good/(good-bad), "neutral fraction")
}

// TestDecibans: the table of odds and probabilities from even odds.
func TestDecibans(t *testing.T) {
	var x map[string]struct {
		Odds float64 `json:"odds"`
		Prob float64 `json:"prob_from_even"`
	}
	worked(t, "db_table", &x)
	db := map[string]float64{"0.1": .1, "1": 1, "3": 3, "6": 6, "10": 10, "13": 13, "17": 17, "20": 20, "30": 30}
	require.Len(t, x, len(db))
	for name, row := range x {
		v := repeated(t, .5, row.Odds/(1+row.Odds), 1/(1+row.Odds), 1, 1)
		near(t, row.Prob, v.p, name)
		near(t, db[name], v.pulls[0], name)
	}
}

// TestRepeatedRatio: Bayes' side of the comparison with certainty factors
// (prior .1, likelihood ratio 8, once and twice), and Heckerman's reading of
// certainty factors, CF = (L-1)/L, for L 4 and 5 together.
func TestRepeatedRatio(t *testing.T) {
	var x struct {
		One float64 `json:"posterior_one"`
		Two float64 `json:"posterior_two_bayes"`
	}
	worked(t, "mycin_vs_bayes", &x)
	near(t, x.One, repeated(t, .1, .8, .1, 1, 1).p, "one")
	near(t, x.Two, repeated(t, .1, .8, .1, 2, 2).p, "two")
	var h struct {
		CF       []float64 `json:"cf"`
		Combined float64   `json:"combined"`
	}
	worked(t, "heckerman_cf", &h)
	s := &spec{}
	n := s.event(.3)
	v := s.judge(t, n, map[int]int{s.finding(yesNo(n, .8, .2)): 0, s.finding(yesNo(n, .5, .1)): 0})
	cf := func(db float64) float64 { return 1 - math.Pow(10, -db/10) }
	near(t, h.CF[0], cf(v.pulls[0]), "L 4")
	near(t, h.CF[1], cf(v.pulls[1]), "L 5")
	near(t, h.Combined, cf(v.db-v.prior), "together")
}

// TestDoubleCount: two findings that go together (.76 and .16 jointly where each
// has .8 and .2). Taken as independent they count twice.
func TestDoubleCount(t *testing.T) {
	var x struct {
		Naive   float64            `json:"naive_post"`
		True    float64            `json:"true_post"`
		One     float64            `json:"one_only_post"`
		Second  float64            `json:"second_given_first_LR"`
		Weights map[string]float64 `json:"weights_db"`
	}
	worked(t, "double_count", &x)
	naive := repeated(t, .1, .8, .2, 2, 2)
	near(t, x.Naive, naive.p, "naive")
	near(t, x.Weights["naive"], naive.db-naive.prior, "naive weight")
	near(t, x.Weights["each"], naive.pulls[0], "each")
	near(t, x.One, repeated(t, .1, .8, .2, 1, 1).p, "one only")

	s := &spec{} // the joint table: both, first only, second only, neither
	n := s.event(.1)
	joint := s.finding(list([][]float64{{.76, .04, .04, .16}, {.16, .04, .04, .76}}, n))
	v := s.judge(t, n, map[int]int{joint: 0})
	near(t, x.True, v.p, "joint table")
	near(t, x.Weights["true"], v.db-v.prior, "true weight")

	both, first := chained(t, true), chained(t, false)
	near(t, x.True, both.p, "second given first")
	near(t, x.One, first.p, "first alone")
	near(t, decibans(math.Log(x.Second)), both.db-first.db, "what the second adds")
}

// chained writes the same as a chain: the first answer is a gate, and the second
// finding's rows depend on the cause and on it, .76/.8, .04/.2, .16/.2, .04/.8.
func chained(t testing.TB, second bool) verdict {
	s := &spec{}
	n := s.event(.1)
	absent := s.gate(inference.All, 0, inference.Input{Node: n, Chance: 1, Negated: true})
	first := s.gate(inference.Any, 0, inference.Input{Node: n, Chance: .8}, inference.Input{Node: absent, Chance: .2})
	answers := map[int]int{s.finding(yesNo(first, 1, 0)): 0}
	f := s.finding(inference.Finding{Rows: []inference.Row{
		{Events: []inference.Node{n, first}, Say: []float64{.95, .05}},
		{Events: []inference.Node{n}, Say: []float64{.2, .8}},
		{Events: []inference.Node{first}, Say: []float64{.8, .2}},
		{Say: []float64{.05, .95}},
	}})
	if second {
		answers[f] = 0
	}
	return s.judge(t, n, answers)
}

// TestMediator: the remedy for double counting, both findings on one event
// between cause and findings. However many, they cannot pass the limit.
func TestMediator(t *testing.T) {
	var x map[string]float64
	worked(t, "mediator", &x)
	mediated := func(findings int) verdict {
		s := &spec{}
		n := s.event(.1)
		absent := s.gate(inference.All, 0, inference.Input{Node: n, Chance: 1, Negated: true})
		m := s.gate(inference.Any, 0, inference.Input{Node: n, Chance: x["P_M_H"]}, inference.Input{Node: absent, Chance: x["P_M_notH"]})
		answers := map[int]int{}
		for range findings {
			answers[s.finding(yesNo(m, x["P_f_M"], x["P_f_notM"]))] = 0
		}
		return s.judge(t, n, answers)
	}
	ratio := func(v verdict) float64 { return math.Pow(10, (v.db-v.prior)/10) }
	one, two, many := mediated(1), mediated(2), mediated(12)
	near(t, x["post_one"], one.p, "one")
	near(t, x["LR_one"], ratio(one), "one, ratio")
	near(t, x["post_two"], two.p, "two")
	near(t, x["LR_two_exact"], ratio(two), "two, ratio")
	near(t, x["post_limit"], many.p, "limit")
	near(t, x["LR_limit_many"], ratio(many), "limit, ratio")
	// P(finding | cause) with the mediating event summed out: .78 and .22.
	naive := repeated(t, .1, .85*.9+.15*.1, .15*.9+.85*.1, 2, 2)
	near(t, x["post_two_naive"], naive.p, "naive")
	near(t, x["LR_two_naive"], ratio(naive), "naive, ratio")
}
