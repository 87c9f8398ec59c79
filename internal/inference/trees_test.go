package inference_test

import (
	"cmp"
	"maps"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/inference"
)

func sortedKeys[K cmp.Ordered, V any](m map[K]V) []K { return slices.Sorted(maps.Keys(m)) }

type treeJSON struct {
	Tree struct {
		Top   string              `json:"top"`
		Gates map[string]gateJSON `json:"gates"`
		Basic map[string]float64  `json:"basic"`
		House map[string]int      `json:"house"`
	} `json:"tree"`
	Expected struct {
		PTop       float64    `json:"p_top"`
		MCS        [][]string `json:"mcs"`
		Importance map[string]struct {
			Birnbaum float64 `json:"birnbaum"`
			RAW      float64 `json:"RAW"`
			FV       float64 `json:"fv_union"`
			Given    float64 `json:"posterior_given_top"`
		} `json:"importance"`
		Gate      map[string]float64 `json:"p_gate"`
		GateGiven map[string]float64 `json:"gate_posterior_given_top"`
	} `json:"expected"`
}

func (x treeJSON) model(t testing.TB) *named {
	m := newNamed()
	for _, e := range sortedKeys(x.Tree.Basic) {
		m.event(e, x.Tree.Basic[e])
	}
	for _, h := range sortedKeys(x.Tree.House) {
		m.event(h, float64(x.Tree.House[h]))
	}
	m.gates(t, x.Tree.Gates)
	require.NoError(t, m.Err())
	return m
}

// TestSmallTrees: thirteen published trees (NUREG-0492, NASA 2002 and others,
// named in the file): top probability, gates, posteriors given the top, minimal cut sets.
func TestSmallTrees(t *testing.T) {
	var all map[string]treeJSON
	load(t, "small_trees.json", &all)
	require.Len(t, all, 13)
	for _, name := range sortedKeys(all) {
		x := all[name]
		t.Run(name, func(t *testing.T) {
			m := x.model(t)
			top := m.node[x.Tree.Top]
			prior := x.model(t).given(t, nil)
			require.InEpsilon(t, x.Expected.PTop, prior.of(x.Tree.Top), tolerance)
			for g, want := range x.Expected.Gate {
				require.InDelta(t, want, prior.of(g), tolerance, g)
			}
			given := x.model(t).given(t, map[string]int{x.Tree.Top: 1})
			require.InEpsilon(t, x.Expected.PTop, math.Exp(given.log), tolerance)
			for e, want := range x.Expected.Importance {
				require.InDelta(t, want.Given, given.of(e), tolerance, e)
				require.InEpsilon(t, want.RAW, given.of(e)/x.Tree.Basic[e], tolerance, e)
			}
			for g, want := range x.Expected.GateGiven {
				require.InDelta(t, want, given.of(g), tolerance, g)
			}
			sets, err := m.CutSets([]inference.Node{top}, m.not(x.Tree.House))
			require.NoError(t, err)
			require.Equal(t, sortSets(x.Expected.MCS), m.names(sets, x.Tree.House))
		})
	}
}

// not keeps everything but house events that are off.
func (m *named) not(house map[string]int) func(inference.Node) bool {
	return func(n inference.Node) bool {
		v, ok := house[m.Name(n)]
		return !ok || v == 1
	}
}

// names writes cut sets by name, house events that are on being no members.
func (m *named) names(sets []inference.CutSet, house map[string]int) [][]string {
	var out [][]string
	for _, s := range sets {
		names := []string{}
		for _, n := range s {
			if _, ok := house[m.Name(n)]; !ok {
				names = append(names, m.Name(n))
			}
		}
		out = append(out, names)
	}
	return sortSets(minimal(out))
}

// minimal drops sets that contain another: needed only after house events left.
func minimal(sets [][]string) [][]string {
	contains := func(big, small []string) bool {
		for _, s := range small {
			if !slices.Contains(big, s) {
				return false
			}
		}
		return true
	}
	var out [][]string
	for i, s := range sets {
		redundant := false
		for j, o := range sets {
			redundant = redundant || j != i && contains(s, o) && (len(o) < len(s) || j < i)
		}
		if !redundant {
			out = append(out, s)
		}
	}
	return out
}

func sortSets(sets [][]string) [][]string {
	for _, s := range sets {
		slices.Sort(s)
	}
	slices.SortFunc(sets, func(a, b []string) int { return slices.Compare(a, b) })
	return sets
}

// TestChineseTree: published with open fault-tree inputs: P(top) 0.0045691,
// 392 minimal cut sets (12 of 2, 24 of 4, 188 of 5, 168 of 6), and for e1, e4
// and e8 the probability given the top .339805, .257604, .0207792.
func TestChineseTree(t *testing.T) {
	var x struct {
		Top   string              `json:"top"`
		P     float64             `json:"p"`
		Gates map[string]gateJSON `json:"gates"`
	}
	load(t, "chinese_tree.json", &x)
	var want struct {
		PTop       float64 `json:"p_top"`
		Importance []struct {
			Event string  `json:"event"`
			Post  float64 `json:"post"`
		} `json:"importance"`
	}
	load(t, "chinese_p002_importance.json", &want)
	m := newNamed()
	for _, i := range want.Importance {
		m.event(i.Event, x.P)
	}
	m.gates(t, x.Gates)
	sets, err := m.CutSets([]inference.Node{m.node[x.Top]}, nil)
	require.NoError(t, err)
	sizes := map[int]int{}
	for _, s := range sets {
		sizes[len(s)]++
	}
	require.Equal(t, map[int]int{2: 12, 4: 24, 5: 188, 6: 168}, sizes)
	p := m.given(t, map[string]int{x.Top: 1})
	require.InEpsilon(t, want.PTop, math.Exp(p.log), tolerance)
	for _, i := range want.Importance {
		require.InDelta(t, i.Post, p.of(i.Event), 5e-10, i.Event)
	}
	require.InDelta(t, 0.339805, p.of("e1"), 5e-7)
	require.InDelta(t, 0.257604, p.of("e4"), 5e-7)
	require.InDelta(t, 0.0207792, p.of("e8"), 5e-8)
}
