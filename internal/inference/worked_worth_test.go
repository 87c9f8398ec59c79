package inference_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/inference"
)

// rawJSON is an entry of a file, read when its shape is known.
type rawJSON []byte

func (r *rawJSON) UnmarshalJSON(data []byte) error { *r = append(rawJSON{}, data...); return nil }

func (r rawJSON) into(v any) error { return json.Unmarshal(r, v) }

// asked prices one finding of s without evidence, for the targets present.
func (s *spec) asked(t testing.TB, f int, targets ...inference.Node) inference.Table {
	t.Helper()
	net, err := s.model().Compile(inference.Use{Open: []int{f}})
	require.NoError(t, err)
	var present []inference.Target
	for _, n := range targets {
		present = append(present, inference.Target{Node: n, Present: true})
	}
	p, err := net.NewPricer(nil, present)
	require.NoError(t, err)
	return p.Table(f)
}

// TestBinaryWorth: prior .1, hit .9, false alarm .2.
func TestBinaryWorth(t *testing.T) {
	var x map[string]float64
	worked(t, "eig_binary", &x)
	s := &spec{}
	n := s.event(x["prior"])
	table := s.asked(t, s.finding(yesNo(n, x["sens"], x["false_pos"])), n)
	near(t, x["p_pos"], table.Answer[0], "P(+)")
	near(t, x["post_pos"], table.With[0][0]/table.Answer[0], "given +")
	near(t, x["post_neg"], table.With[0][1]/table.Answer[1], "given -")
	near(t, x["EIG"], table.About(0), "about the event")
	near(t, x["EIG"], table.Everything(), "about everything, the event being all there is")
	near(t, x["H_before"]-x["H_after"], table.About(0), "entropy before and after")
}

// exclusive writes hypotheses of which exactly one is true: the first event that
// holds is the one, an event's rate being its share of what is left.
func exclusive(s *spec, prior []float64) []inference.Node {
	left := 1.0
	var nodes []inference.Node
	for _, p := range prior[:len(prior)-1] {
		nodes = append(nodes, s.event(p/left))
		left -= p
	}
	return nodes
}

// hypotheses gives each hypothesis as a gate of its own.
func hypotheses(s *spec, first []inference.Node) []inference.Node {
	var out []inference.Node
	for i := range len(first) + 1 {
		var in []inference.Input
		for _, n := range first[:i] {
			in = append(in, inference.Input{Node: n, Chance: 1, Negated: true})
		}
		if i < len(first) {
			in = append(in, inference.In(first[i]))
		}
		out = append(out, s.gate(inference.All, 0, in...))
	}
	return out
}

// TestThreeHypotheses: .6, .3, .1 and three tests; t1 tells most, t3 most per minute.
func TestThreeHypotheses(t *testing.T) {
	var x map[string]rawJSON
	worked(t, "three_hypotheses", &x)
	var prior []float64
	require.NoError(t, x["prior"].into(&prior))
	rate := map[string]float64{}
	gain := map[string]float64{}
	for _, name := range []string{"t1", "t2", "t3"} {
		var test struct {
			Likelihood []float64 `json:"likelihood"`
			EIG        float64   `json:"EIG_bits"`
			Minutes    float64   `json:"minutes"`
			PerMinute  float64   `json:"per_minute"`
		}
		require.NoError(t, x[name].into(&test))
		s := &spec{}
		var say [][]float64
		for _, p := range test.Likelihood {
			say = append(say, []float64{p, 1 - p})
		}
		table := s.asked(t, s.finding(list(say, exclusive(s, prior)...)))
		gain[name], rate[name] = table.Everything(), table.Everything()/test.Minutes
		near(t, test.EIG, gain[name], name)
		near(t, test.PerMinute, rate[name], name)
	}
	require.Greater(t, gain["t1"], max(gain["t2"], gain["t3"]))
	require.Greater(t, rate["t3"], max(rate["t1"], rate["t2"]))
}

// TestOilWildcatter (Raiffa): dry .5, wet .3, soaking .2, paying -70, 50, 200; a
// seismic test with answers none .6 .3 .1, open .3 .4 .4, closed .1 .3 .5 (as in
// a decision-network manual). The values follow from the joint table.
func TestOilWildcatter(t *testing.T) {
	var x map[string]float64
	worked(t, "oil_wildcatter", &x)
	prior, pay := []float64{.5, .3, .2}, []float64{-70, 50, 200}
	s := &spec{}
	first := exclusive(s, prior)
	states := hypotheses(s, first)
	f := s.finding(list([][]float64{{.6, .3, .1}, {.3, .4, .3}, {.1, .4, .5}}, first...))
	table := s.asked(t, f, states...)
	near(t, x["MI_bits"], table.Everything(), "mutual information")
	drill, perfect, tested := 0.0, 0.0, 0.0
	for i := range states {
		drill += pay[i] * total(table.With[i])
		perfect += max(0, pay[i]) * total(table.With[i])
	}
	for a := range table.Answer {
		worth := 0.0
		for i := range states {
			worth += pay[i] * table.With[i][a]
		}
		tested += max(0, worth)
	}
	near(t, x["EMV_drill"], drill, "drill")
	near(t, x["EVPI"], perfect-drill, "perfect information")
	near(t, x["EV_with_test"], tested, "with test")
	near(t, x["EVSI"], tested-drill, "the test")
}

// TestAsiaExplained: tuberculosis by four findings, in decibans: alone, one after
// the other, leaving one out, and the Shapley means over 24 orders.
func TestAsiaExplained(t *testing.T) {
	var x struct {
		Evidence map[string]int     `json:"evidence"`
		Prior    float64            `json:"prior_db"`
		Post     float64            `json:"posterior_db"`
		Total    float64            `json:"total_db"`
		Alone    map[string]float64 `json:"alone"`
		InOrder  map[string]float64 `json:"sequential_in_order_A_X_D_S"`
		LeaveOut map[string]float64 `json:"leave_one_out"`
		Shapley  map[string]float64 `json:"shapley"`
	}
	worked(t, "asia_explain_T", &x)
	var nets map[string]bayesJSON
	load(t, "networks.json", &nets)
	m := bayes(t, nets["asia"])
	order := []string{"A", "X", "D", "S"}
	use := inference.Use{Gates: []inference.Node{m.node["T"]}}
	var e inference.Evidence
	for _, name := range order {
		use.Evidence = append(use.Evidence, m.Observe(m.node[name]))
		e = append(e, inference.Certain(1-x.Evidence[name], 2))
	}
	net, err := m.Compile(use)
	require.NoError(t, err)
	target := []inference.Target{{Node: m.node["T"], Present: true}}
	weigh := func(e inference.Evidence, players ...int) inference.Weighing { return net.Weigh(e, players, target)[0] }
	whole := weigh(e, 0, 1, 2, 3)
	near(t, x.Prior, decibans(whole.Prior), "prior")
	near(t, x.Post, decibans(whole.Posterior), "posterior")
	near(t, x.Total, decibans(total(whole.Pull)), "total")
	for i, name := range order {
		near(t, x.Shapley[name], decibans(whole.Pull[i]), name+" Shapley")
		near(t, x.LeaveOut[name], decibans(weigh(e, i).Pull[0]), name+" leaving it out")
		alone := make(inference.Evidence, 4)
		alone[i] = e[i]
		near(t, x.Alone[name], decibans(weigh(alone, i).Pull[0]), name+" alone")
		soFar := append(append(inference.Evidence{}, e[:i+1]...), make(inference.Evidence, 3-i)...)
		near(t, x.InOrder[name], decibans(weigh(soFar, i).Pull[0]), name+" in order")
	}
}

// TestWeightsDoNotAdd: burglary in Pearl's alarm network, the two calls alone and
// together. The figures follow from the posteriors of networks.json (two exact
// solvers); alone they would sum to 29.921950.
func TestWeightsDoNotAdd(t *testing.T) {
	var nets map[string]bayesJSON
	load(t, "networks.json", &nets)
	m := bayes(t, nets["alarm5"])
	net, err := m.Compile(inference.Use{Evidence: []int{m.Observe(m.node["J"]), m.Observe(m.node["M"])}})
	require.NoError(t, err)
	target := []inference.Target{{Node: m.node["B"], Present: true}}
	yes := inference.Certain(0, 2)
	pull := func(e inference.Evidence) float64 { return decibans(total(net.Weigh(e, []int{0, 1}, target)[0].Pull)) }
	const half = 5e-7 // half a unit in the last printed digit
	require.InDelta(t, 12.184495, pull(inference.Evidence{yes, nil}), half)
	require.InDelta(t, 17.737455, pull(inference.Evidence{nil, yes}), half)
	require.InDelta(t, 25.983377, pull(inference.Evidence{yes, yes}), half)
}
