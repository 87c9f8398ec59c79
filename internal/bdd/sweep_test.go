package bdd_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/bdd"
)

const tolerance = 1e-12

// weights draws a probability for each level, at times a certain one.
func (p *pool) weights() []bdd.Weight {
	w := make([]bdd.Weight, levels)
	for l := range w {
		x := p.Float64()
		if p.IntN(8) == 0 {
			x = float64(p.IntN(2))
		}
		w[l] = bdd.Weight{1 - x, x}
	}
	return w
}

// prob lists all assignments that satisfy a table.
func prob(t table, w []bdd.Weight) float64 {
	sum := 0.0
	for i := range 1 << levels {
		if t>>i&1 == 0 {
			continue
		}
		p := 1.0
		for l := range w {
			p *= w[l][i>>l&1]
		}
		sum += p
	}
	return sum
}

// TestSweeps: Up, Down and Joint against listing all assignments.
func TestSweeps(t *testing.T) {
	for seed := range uint64(300) {
		p := newPool(seed, 1<<20)
		for range 60 {
			p.grow()
		}
		w := p.weights()
		d := p.m.Diagram(p.nodes...)
		value := make([]float64, d.Size())
		d.Up(w, value)
		joint := p.m.NewJoint(w)
		for i, n := range p.nodes {
			want := prob(p.truth[i], w)
			require.InDelta(t, want, value[d.Root(i)], tolerance, "seed %d Up", seed)
			require.InDelta(t, want, joint.Prob(n), tolerance, "seed %d Prob", seed)
			j := p.IntN(len(p.nodes))
			require.InDelta(t, prob(p.truth[i]&p.truth[j], w), joint.Both(n, p.nodes[j]), tolerance, "seed %d Both", seed)
			if want > 0 {
				p.down(t, d, i, w, value)
			}
		}
		p.measure(t, joint, w)
		p.late(t, joint, w)
	}
}

// measure checks all pairs of some roots and some functions, measured together;
// constants and repeats among them.
func (p *pool) measure(t *testing.T, joint *bdd.Joint, w []bdd.Weight) {
	var roots, functions []int
	for range p.IntN(5) {
		roots = append(roots, p.IntN(len(p.nodes)))
	}
	for range p.IntN(12) {
		functions = append(functions, p.IntN(len(p.nodes)))
	}
	got := joint.Measure(p.at(roots), p.at(functions))
	require.Len(t, got, len(functions))
	for i, f := range functions {
		require.Len(t, got[i], len(roots))
		for k, r := range roots {
			require.InDelta(t, prob(p.truth[f]&p.truth[r], w), got[i][k], tolerance, "function %d root %d", f, r)
		}
	}
}

func (p *pool) at(index []int) []bdd.Node {
	var out []bdd.Node
	for _, i := range index {
		out = append(out, p.nodes[i])
	}
	return out
}

// TestMeasureMany has more pairs than the first table of pairs holds: two
// functions of 24 variables, each of several hundred nodes, that hold together
// when at least 8 are true and an odd number is. The figure is the sum over
// j = 9, 11, ... of C(24,j)/2^24.
func TestMeasureMany(t *testing.T) {
	const n = 24
	m := bdd.New(n, 1<<20)
	var of []bdd.Node
	w := make([]bdd.Weight, n)
	odd := bdd.False
	for v := n - 1; v >= 0; v-- {
		odd = m.ITE(m.Var(v), m.Not(odd), odd)
		w[v] = bdd.Weight{.5, .5}
	}
	for v := range n {
		of = append(of, m.Var(v))
	}
	want, choose := 0.0, 1.0
	for j := 1; j <= n; j++ {
		choose *= float64(n-j+1) / float64(j)
		if j >= 8 && j%2 == 1 {
			want += choose / (1 << n)
		}
	}
	most := m.AtLeast(8, of)
	joint := m.NewJoint(w)
	require.InDelta(t, want, joint.Both(most, odd), tolerance)
	require.InDelta(t, want, joint.Measure([]bdd.Node{most}, []bdd.Node{odd})[0][0], tolerance)
	require.InDelta(t, want, joint.Measure([]bdd.Node{odd}, []bdd.Node{most})[0][0], tolerance)
}

// down checks the marginals given one root.
func (p *pool) down(t *testing.T, d *bdd.Diagram, i int, w []bdd.Weight, value []float64) {
	marginal, reach := make([]float64, levels), make([]float64, d.Size())
	d.Down(d.Root(i), w, value, bdd.Scratch{Reach: reach, Through: make([]float64, len(marginal))}, bdd.Marginals{True: marginal})
	for l, got := range marginal {
		want := prob(p.truth[i]&variable(l), w) / prob(p.truth[i], w)
		require.InDelta(t, want, got, 1e-9, "function %d level %d", i, l)
	}
}

// late: a Joint takes in functions made after it.
func (p *pool) late(t *testing.T, joint *bdd.Joint, w []bdd.Weight) {
	for range 20 {
		p.grow()
		last := len(p.nodes) - 1
		require.InDelta(t, prob(p.truth[last], w), joint.Prob(p.nodes[last]), tolerance)
		require.InDelta(t, prob(p.truth[last]&p.truth[9], w), joint.Both(p.nodes[last], p.nodes[9]), tolerance)
	}
}

// TestDownRare: a function of probability 1e-300 still has exact marginals, for
// they are formed as ratios.
func TestDownRare(t *testing.T) {
	m := bdd.New(levels, 1000)
	root := m.And(m.Var(0), m.And(m.Var(1), m.Or(m.Var(2), m.Var(3))))
	w := []bdd.Weight{{1, 1e-150}, {1, 1e-140}, {.5, .5}, {.75, .25}, {.9, .1}, {.9, .1}}
	d := m.Diagram(root)
	value, reach, marginal := make([]float64, d.Size()), make([]float64, d.Size()), make([]float64, levels)
	d.Up(w, value)
	require.InEpsilon(t, 6.25e-291, value[d.Root(0)], 1e-9)
	d.Down(d.Root(0), w, value, bdd.Scratch{Reach: reach, Through: make([]float64, len(marginal))}, bdd.Marginals{True: marginal})
	// Or: .5 + .25 - .125 = .625; each given it .8 and .4; the others as before.
	require.InDeltaSlice(t, []float64{1, 1, .8, .4, .1, .1}, marginal, 1e-9)
}

// TestStep: the walk turns to the true branch with the probability that the
// variable is true given that the function is: just below that number it does,
// just above it does not.
func TestStep(t *testing.T) {
	const hair = 1e-9
	for seed := range uint64(100) {
		p := newPool(seed, 1<<20)
		for range 40 {
			p.grow()
		}
		w := p.weights()
		d := p.m.Diagram(p.nodes...)
		value := make([]float64, d.Size())
		d.Up(w, value)
		for i, n := range p.nodes {
			at := d.Root(i)
			if n <= bdd.True || value[at] == 0 {
				continue
			}
			l := p.m.Level(n)
			high := prob(p.truth[i]&variable(l), w) / prob(p.truth[i], w)
			lo, hi := p.m.Branches(n)
			for _, r := range []float64{0, high - hair, high + hair, 1 - hair} {
				if r < 0 || r >= 1 || math.Abs(r-high) < hair/2 {
					continue
				}
				level, took, next := d.Step(at, w, value, r)
				require.Equal(t, l, level)
				require.Equal(t, r < high, took, "seed %d: r %v, threshold %v", seed, r, high)
				want := prob(values(p.m, lo), w)
				if took {
					want = prob(values(p.m, hi), w)
				}
				require.InDelta(t, want, value[next], tolerance)
			}
		}
	}
}

// TestWalk: walks end in True, and where they went has the right frequencies
// (five standard errors, fixed seed).
func TestWalk(t *testing.T) {
	m := bdd.New(levels, 1000)
	of := make([]bdd.Node, levels)
	w := make([]bdd.Weight, levels)
	for v := range of {
		of[v] = m.Var(v)
		w[v] = bdd.Weight{.9 - .1*float64(v), .1 + .1*float64(v)}
	}
	root := m.AtLeast(3, of)
	d := m.Diagram(root)
	value := make([]float64, d.Size())
	d.Up(w, value)
	const n = 20000
	hits, tested := make([]float64, levels), make([]float64, levels)
	r := rand.New(rand.NewPCG(5, 0))
	for range n {
		at := d.Root(0)
		for at > int(bdd.True) {
			level, high, next := d.Step(at, w, value, r.Float64())
			tested[level]++
			if high {
				hits[level]++
			}
			at = next
		}
		require.Equal(t, int(bdd.True), at)
	}
	for l := range hits {
		// levels that a walk skips are true with their own probability
		got := (hits[l] + (n-tested[l])*w[l][1]) / n
		want := prob(values(m, root)&variable(l), w) / prob(values(m, root), w)
		require.InDelta(t, want, got, 5*math.Sqrt(want*(1-want)/n), "level %d", l)
	}
}
