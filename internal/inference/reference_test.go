package inference_test

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/inference"
)

// Tolerances: 1e-9 absolute on posteriors and relative on probabilities of
// evidence, as far as the published files were cross-checked.
const tolerance = 1e-9

func load(t testing.TB, name string, into any) {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "testdata", "inference", name))
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(data, into))
}

// named is a model whose nodes are found by name.
type named struct {
	inference.Model
	node map[string]inference.Node
}

func newNamed() *named { return &named{node: map[string]inference.Node{}} }

func (m *named) event(name string, rate float64) { m.node[name] = m.Event(name, rate) }

type gateJSON struct {
	Op     string   `json:"op"`
	K      int      `json:"k"`
	Inputs []string `json:"inputs"`
}

// gates adds gates in an order in which every input exists already.
func (m *named) gates(t testing.TB, gates map[string]gateJSON) {
	t.Helper()
	var add func(name string)
	add = func(name string) {
		if _, ok := m.node[name]; ok {
			return
		}
		g, ok := gates[name]
		require.True(t, ok, "no node %s", name)
		var in []inference.Input
		for _, i := range g.Inputs {
			add(i)
			in = append(in, inference.In(m.node[i]))
		}
		kind := map[string]inference.Kind{"or": inference.Any, "and": inference.All, "atleast": inference.AtLeast}[g.Op]
		m.node[name] = m.Gate(name, kind, g.K, in...)
	}
	for _, name := range sortedKeys(gates) {
		add(name)
	}
}

type bayesJSON struct {
	Nodes []struct {
		ID      string   `json:"id"`
		Parents []string `json:"parents"`
		CPT     []struct {
			Given []int   `json:"given"`
			P1    float64 `json:"p1"`
		} `json:"cpt"`
	} `json:"nodes"`
	Expected []struct {
		Evidence  map[string]int     `json:"evidence"`
		P         float64            `json:"p_evidence"`
		Posterior map[string]float64 `json:"posterior"`
	} `json:"expected"`
}

// bayes writes a Bayesian network as gates: a node is any of its table rows, a
// row is all of its parents' states (negated where 0), led on with the row's chance.
func bayes(t testing.TB, n bayesJSON) *named {
	m := newNamed()
	for _, x := range n.Nodes {
		if len(x.Parents) == 0 {
			m.event(x.ID, x.CPT[0].P1)
			continue
		}
		var rows []inference.Input
		for _, r := range x.CPT {
			if r.P1 == 0 {
				continue
			}
			var in []inference.Input
			for i, g := range r.Given {
				in = append(in, inference.Input{Node: m.node[x.Parents[i]], Chance: 1, Negated: g == 0})
			}
			row := m.Gate(x.ID+" row", inference.All, 0, in...)
			rows = append(rows, inference.Input{Node: row, Chance: r.P1})
		}
		m.node[x.ID] = m.Gate(x.ID, inference.Any, 0, rows...)
	}
	require.NoError(t, m.Err())
	return m
}

// TestNetworks: parameters from the literature, posteriors from two exact
// solvers; see testdata/inference/README.md.
func TestNetworks(t *testing.T) {
	var all map[string]bayesJSON
	load(t, "networks.json", &all)
	sets := 0
	for _, name := range sortedKeys(all) {
		for _, x := range all[name].Expected {
			m := bayes(t, all[name])
			p := m.given(t, x.Evidence)
			require.InEpsilon(t, x.P, math.Exp(p.log), tolerance, "%s %v", name, x.Evidence)
			for node, want := range x.Posterior {
				require.InDelta(t, want, p.of(node), tolerance, "%s %v: %s", name, x.Evidence, node)
			}
			sets++
		}
	}
	require.Equal(t, 57, sets)
}

// TestAsiaAsFaultTree runs the thirteen Asia rows on a coherent tree of
// independent events.
func TestAsiaAsFaultTree(t *testing.T) {
	var tree struct {
		Prior map[string]float64  `json:"prior"`
		Gates map[string]gateJSON `json:"gates"`
	}
	load(t, "asia_as_fault_tree.json", &tree)
	var all map[string]bayesJSON
	load(t, "networks.json", &all)
	for _, x := range all["asia"].Expected {
		m := newNamed()
		for _, e := range sortedKeys(tree.Prior) {
			m.event(e, tree.Prior[e])
		}
		m.gates(t, tree.Gates)
		p := m.given(t, x.Evidence)
		require.InEpsilon(t, x.P, math.Exp(p.log), tolerance)
		for node, want := range x.Posterior {
			require.InDelta(t, want, p.of(node), tolerance, "%v: %s", x.Evidence, node)
		}
	}
}

// answer is a posterior looked up by name.
type answer struct {
	log float64
	at  map[string]float64
}

func (a answer) of(node string) float64 { return a.at[node] }

// given observes nodes without error and returns every node's posterior.
func (m *named) given(t testing.TB, evidence map[string]int) answer {
	t.Helper()
	use := inference.Use{}
	var e inference.Evidence
	for _, name := range sortedKeys(evidence) {
		use.Evidence = append(use.Evidence, m.Observe(m.node[name]))
		e = append(e, inference.Certain(1-evidence[name], 2))
	}
	names := m.asked(&use)
	net, err := m.Compile(use)
	require.NoError(t, err)
	p, err := net.Evaluate(e)
	require.NoError(t, err)
	return m.read(p, names)
}

// asked puts every gate into use and returns their names in order.
func (m *named) asked(use *inference.Use) []string {
	var names []string
	for _, name := range sortedKeys(m.node) {
		if !m.IsEvent(m.node[name]) {
			names = append(names, name)
			use.Gates = append(use.Gates, m.node[name])
		}
	}
	return names
}

func (m *named) read(p inference.Posterior, gates []string) answer {
	a := answer{log: p.LogEvidence, at: map[string]float64{}}
	for name, n := range m.node {
		if m.IsEvent(n) {
			a.at[name] = p.Event[n]
		}
	}
	for i, name := range gates {
		a.at[name] = p.Gate[i]
	}
	return a
}
