package inference_test

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/inference"
)

// The polybox (de Kleer and Williams 1987): three multipliers and two adders,
// A=3 B=2 C=2 D=3 E=3, F = AC + BD and G = BD + CE, observed F=10 and G=12. Each
// part is faulty with .01 and then gives any of 32 values alike. The likelihoods
// of the fault patterns come from listing those values; the engine does the rest.

var parts = []string{"A1", "A2", "M1", "M2", "M3"} // adders, multipliers

const values = 32 // a faulty part gives 0 to 31

// polybox is P(F=10, G=12, multiplier m gives v) per v, for one fault
// pattern (a bit per part).
func polybox(pattern, m int) []float64 {
	out := make([]float64, values)
	faulty := func(part int) bool { return pattern>>part&1 == 1 }
	gives := func(part int) []int {
		if !faulty(part) {
			return []int{6}
		}
		all := make([]int, values)
		for v := range all {
			all[v] = v
		}
		return all
	}
	adds := func(part, sum, observed int) float64 {
		switch {
		case faulty(part):
			return 1. / values
		case sum == observed:
			return 1
		}
		return 0
	}
	x, y, z := gives(2), gives(3), gives(4)
	each := 1 / float64(len(x)*len(y)*len(z))
	for _, vx := range x {
		for _, vy := range y {
			for _, vz := range z {
				out[[]int{vx, vy, vz}[m]] += each * adds(0, vx+vy, 10) * adds(1, vy+vz, 12)
			}
		}
	}
	return out
}

// box is the model: events, a gate per fault pattern, the observation, and the
// three probes given the observation.
type box struct {
	*spec
	part, pattern []inference.Node
	observed      int
	probe         []int
}

func newBox() *box {
	b := &box{spec: &spec{}}
	for range parts {
		b.part = append(b.part, b.event(.01))
	}
	for p := range 1 << len(parts) {
		var in []inference.Input
		for i, n := range b.part {
			in = append(in, inference.Input{Node: n, Chance: 1, Negated: p>>i&1 == 0})
		}
		b.pattern = append(b.pattern, b.gate(inference.All, 0, in...))
	}
	var see [][]float64
	for p := range b.pattern {
		l := total(polybox(p, 0))
		see = append(see, []float64{l, 1 - l})
	}
	last := len(b.pattern) - 1
	b.observed = b.finding(list(see, b.pattern[:last]...))
	for m := range 3 {
		var say [][]float64
		for p := range b.pattern {
			say = append(say, shares(polybox(p, m)))
		}
		b.probe = append(b.probe, b.finding(list(say, b.pattern[:last]...)))
	}
	return b
}

// shares scales to a sum of one; what is impossible anyway says 0 for certain.
func shares(p []float64) []float64 {
	sum := total(p)
	if sum == 0 {
		return inference.Certain(0, len(p))
	}
	for i := range p {
		p[i] /= sum
	}
	return p
}

// TestPolybox: worked_examples.json, by enumeration.
func TestPolybox(t *testing.T) {
	var x struct {
		Diagnoses []string           `json:"minimal_diagnoses"`
		PObs      float64            `json:"p_obs"`
		Component map[string]float64 `json:"component_posterior"`
		Top       [][2]any           `json:"top_candidates"`
		H         float64            `json:"H_bits"`
		After     map[string]float64 `json:"expected_H_after"`
	}
	worked(t, "polybox", &x)
	b := newBox()
	net, err := b.model().Compile(inference.Use{Evidence: []int{b.observed}, Open: b.probe, Gates: b.pattern})
	require.NoError(t, err)
	e := inference.Evidence{inference.Certain(0, 2)}
	p, err := net.Evaluate(e)
	require.NoError(t, err)
	require.InEpsilon(t, x.PObs, math.Exp(p.LogEvidence), tolerance)
	for i, name := range parts {
		near(t, x.Component[name], p.Event[b.part[i]], name)
	}
	given := map[string]float64{}
	for i, v := range p.Gate {
		given[faults(i)] = v
	}
	for _, row := range x.Top {
		near(t, row[1].(float64), given[row[0].(string)], row[0].(string))
	}
	near(t, x.H, entropyBits(p.Gate), "entropy")
	require.Equal(t, x.Diagnoses, diagnoses(p.Gate))
	pricer, err := net.NewPricer(e, nil)
	require.NoError(t, err)
	for m, name := range []string{"X", "Y", "Z"} {
		near(t, x.After[name], x.H-pricer.Table(b.probe[m]).Everything(), "after "+name)
	}
}

// faults writes a pattern as the file does.
func faults(pattern int) string {
	var names []string
	for i, name := range parts {
		if pattern>>i&1 == 1 {
			names = append(names, name)
		}
	}
	return "{" + strings.Join(names, ",") + "}"
}

// diagnoses lists the patterns that are possible and contain no smaller one, the
// smallest first.
func diagnoses(p []float64) []string {
	var found []uint64
	var out []string
	for _, set := range bySize(len(parts)) {
		if p[set] > 0 && !containsOne(set, found) {
			found = append(found, set)
			out = append(out, faults(int(set)))
		}
	}
	slices.SortFunc(out, func(a, b string) int { return cmp.Or(len(a)-len(b), strings.Compare(a, b)) })
	return out
}
