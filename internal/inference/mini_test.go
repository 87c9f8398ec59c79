package inference_test

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/inference"
)

// namedSpec is a spec whose nodes and findings are found by name.
type namedSpec struct {
	*spec
	node map[string]inference.Node
	ask  map[string]int // findings, and "node" for observing a node without error
}

// newNamedSpec builds events and gates, and for every node the finding that it
// holds, which never errs.
func newNamedSpec(t testing.TB, prior map[string]float64, gates map[string]gateJSON) *namedSpec {
	s := &namedSpec{&spec{}, map[string]inference.Node{}, map[string]int{}}
	for _, name := range sortedKeys(prior) {
		s.node[name] = s.event(prior[name])
	}
	var add func(name string) inference.Node
	add = func(name string) inference.Node {
		if n, ok := s.node[name]; ok {
			return n
		}
		g, ok := gates[name]
		require.True(t, ok, "no node %s", name)
		var in []inference.Node
		for _, i := range g.Inputs {
			in = append(in, add(i))
		}
		kind := map[string]inference.Kind{"or": inference.Any, "and": inference.All, "atleast": inference.AtLeast}[g.Op]
		s.node[name] = s.gate(kind, g.K, plain(in...)...)
		return s.node[name]
	}
	for _, name := range sortedKeys(gates) {
		add(name)
	}
	for _, name := range sortedKeys(s.node) {
		s.ask[name] = s.finding(yesNo(s.node[name], 1, 0))
	}
	return s
}

// observed turns {name: 1 or 0} into evidence; 1 is the first answer.
func (s *namedSpec) observed(state map[string]int) (use []int, e inference.Evidence, k known) {
	k = known{}
	for _, name := range sortedKeys(state) {
		f, w := s.ask[name], inference.Certain(1-state[name], 2)
		use, e = append(use, f), append(e, w)
		k[f] = w
	}
	return use, e, k
}

// posterior compiles with every gate asked for and evaluates.
func (s *namedSpec) posterior(t testing.TB, state map[string]int) (map[string]float64, inference.Posterior) {
	use, e, _ := s.observed(state)
	u := inference.Use{Evidence: use, Gates: s.which(false)}
	net, err := s.model().Compile(u)
	require.NoError(t, err)
	p, err := net.Evaluate(e)
	require.NoError(t, err)
	at := map[inference.Node]float64{}
	for i, g := range u.Gates {
		at[g] = p.Gate[i]
	}
	out := map[string]float64{}
	for name, n := range s.node {
		out[name] = p.Event[n]
		if !s.nodes[n].event {
			out[name] = at[n]
		}
	}
	return out, p
}

type miniJSON struct {
	Model struct {
		Prior    map[string]float64  `json:"prior"`
		Gates    map[string]gateJSON `json:"gates"`
		Findings []struct {
			ID      string  `json:"id"`
			Target  string  `json:"target"`
			IfTrue  float64 `json:"p_if_true"`
			IfFalse float64 `json:"p_if_false"`
			Minutes float64 `json:"minutes"`
		} `json:"findings"`
	} `json:"model"`
	Expected []miniRow `json:"expected"`
}

type miniRow struct {
	Evidence  map[string]int     `json:"evidence"`
	P         float64            `json:"p_evidence"`
	Posterior map[string]float64 `json:"posterior"`
	Entropy   float64            `json:"joint_entropy_bits"`
	PFinding  map[string]float64 `json:"p_finding"`
	EIG       map[string]float64 `json:"eig_bits"`
	PerMinute map[string]float64 `json:"eig_per_minute"`
	BestNext  string             `json:"best_next"`
}

func (x miniJSON) spec(t testing.TB) (s *namedSpec, minutes map[string]float64) {
	s = newNamedSpec(t, x.Model.Prior, x.Model.Gates)
	minutes = map[string]float64{}
	for _, f := range x.Model.Findings {
		s.ask[f.ID] = s.finding(yesNo(s.node[f.Target], f.IfTrue, f.IfFalse))
		minutes[f.ID] = f.Minutes
	}
	return s, minutes
}

// TestMini: the end-to-end model, nine states of the evidence: posteriors,
// probability and worth of every open finding, the best next by the minute, and
// the joint entropy (by the oracle, which this holds against the same figures).
// mini_end_to_end.json: three independent exact computations.
func TestMini(t *testing.T) {
	var x miniJSON
	load(t, "mini_end_to_end.json", &x)
	require.Len(t, x.Expected, 9)
	s, minutes := x.spec(t)
	for _, row := range x.Expected {
		got, p := s.posterior(t, row.Evidence)
		require.InEpsilon(t, row.P, math.Exp(p.LogEvidence), tolerance, "%v", row.Evidence)
		require.Len(t, row.Posterior, 11)
		for name, want := range row.Posterior {
			require.InDelta(t, want, got[name], tolerance, "%v: %s", row.Evidence, name)
		}
		s.next(t, row, minutes)
		s.byOracle(t, row)
	}
}

// next prices the findings not yet answered.
func (s *namedSpec) next(t *testing.T, row miniRow, minutes map[string]float64) {
	use, e, _ := s.observed(row.Evidence)
	u := inference.Use{Evidence: use}
	for _, name := range sortedKeys(row.PFinding) {
		u.Open = append(u.Open, s.ask[name])
	}
	net, err := s.model().Compile(u)
	require.NoError(t, err)
	p, err := net.NewPricer(e, nil)
	require.NoError(t, err)
	best, most := "", -1.0
	for _, name := range sortedKeys(row.PFinding) {
		table := p.Table(s.ask[name])
		require.InDelta(t, row.PFinding[name], table.Answer[0], tolerance, "%v: %s", row.Evidence, name)
		require.InDelta(t, row.EIG[name], table.Everything(), tolerance, "%v: %s", row.Evidence, name)
		rate := table.Everything() / minutes[name]
		require.InDelta(t, row.PerMinute[name], rate, tolerance, "%v: %s", row.Evidence, name)
		if rate > most {
			best, most = name, rate
		}
	}
	require.Equal(t, row.BestNext, best, "%v", row.Evidence)
}

// byOracle holds the oracle itself against the published figures.
func (s *namedSpec) byOracle(t *testing.T, row miniRow) {
	_, _, k := s.observed(row.Evidence)
	b := newOracle(s.spec).given(k)
	require.InEpsilon(t, row.P, b.evidence, tolerance)
	require.InDelta(t, row.Entropy, b.jointEntropy(), tolerance, "%v", row.Evidence)
	for name, want := range row.Posterior {
		require.InDelta(t, want, b.present(s.node[name]), tolerance, "%v: %s", row.Evidence, name)
	}
	for name, want := range row.EIG {
		require.InDelta(t, want, b.everything(s.ask[name]), tolerance, "%v: %s", row.Evidence, name)
	}
}

// TestMiniImpossible: top without either of its two inputs. The reference
// values ask for an error that says the findings contradict each other.
func TestMiniImpossible(t *testing.T) {
	var x miniJSON
	load(t, "mini_end_to_end.json", &x)
	s, _ := x.spec(t)
	use, e, k := s.observed(map[string]int{"top": 1, "g1": 0, "g4": 0})
	require.Zero(t, newOracle(s.spec).given(k).evidence)
	net, err := s.model().Compile(inference.Use{Evidence: use})
	require.NoError(t, err)
	_, err = net.Evaluate(e)
	require.ErrorIs(t, err, inference.ErrContradiction)
}

// UnmarshalJSON reads a gate written as an object, or as [op, k, inputs].
func (g *gateJSON) UnmarshalJSON(data []byte) error {
	if data[0] == '[' {
		return json.Unmarshal(data, &[]any{&g.Op, &g.K, &g.Inputs})
	}
	type object gateJSON
	return json.Unmarshal(data, (*object)(g))
}

type net40JSON struct {
	Prior    map[string]float64  `json:"prior"`
	Gates    map[string]gateJSON `json:"gates"`
	Findings [][4]any            `json:"findings"`
	Evidence map[string]int      `json:"evidence"`
}

func net40(t testing.TB) (*namedSpec, map[string]int) {
	var x net40JSON
	load(t, "net40.json", &x)
	require.Len(t, x.Findings, 120)
	s := newNamedSpec(t, x.Prior, x.Gates)
	for _, f := range x.Findings {
		s.ask[f[0].(string)] = s.finding(yesNo(s.node[f[1].(string)], f[2].(float64), f[3].(float64)))
	}
	return s, x.Evidence
}

// TestNet40: forty causes, nineteen gates, 120 findings, 13 observed.
// net40_expected.json: two exact solvers and a decision-diagram library.
func TestNet40(t *testing.T) {
	s, evidence := net40(t)
	var want struct {
		P         float64            `json:"p_evidence"`
		Posterior map[string]float64 `json:"posterior"`
	}
	load(t, "net40_expected.json", &want)
	got, p := s.posterior(t, evidence)
	require.InEpsilon(t, want.P, math.Exp(p.LogEvidence), tolerance)
	require.GreaterOrEqual(t, len(want.Posterior), 40)
	for name, w := range want.Posterior {
		require.InDelta(t, w, got[name], tolerance, name)
	}
}
