package inference_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/inference"
)

// What is hoped for, on one core of a small server: forty causes (net40.json)
// compile in 0.5 ms and give all posteriors in 5 us; 3,000 causes with 6,000
// findings and one input in a hundred shared compile in 0.3 s and give all
// posteriors in 3 ms.

// forty is net40 with its thirteen answers.
func forty(b *testing.B, gates bool) (*inference.Model, inference.Use, inference.Evidence) {
	s, state := net40(b)
	var u inference.Use
	var e inference.Evidence
	u.Evidence, e, _ = s.observed(state)
	if gates {
		u.Gates = s.which(false)
	}
	return s.model(), u, e
}

func BenchmarkNet40Compile(b *testing.B) {
	m, u, _ := forty(b, false)
	benchCompile(b, m, u)
}

func BenchmarkNet40CompileGates(b *testing.B) {
	m, u, _ := forty(b, true)
	benchCompile(b, m, u)
}

func BenchmarkNet40Posteriors(b *testing.B) {
	m, u, e := forty(b, false)
	benchEvaluate(b, m, u, e)
}

// BenchmarkNet40PosteriorsGates has every gate as a further root.
func BenchmarkNet40PosteriorsGates(b *testing.B) {
	m, u, e := forty(b, true)
	benchEvaluate(b, m, u, e)
}

// large is a tree of causes, 3,000 of them, with gates of three to five inputs up to one top,
// one leaf in a hundred taken from anywhere instead of a new cause, and two
// findings to each cause, or in one case of ten to a gate. The top and one
// finding in twenty are observed.
func large(share float64, causes int) (*inference.Model, inference.Use, inference.Evidence) {
	findings, answered := 2*causes, causes/10
	r := rand.New(rand.NewPCG(40, 0))
	s := &spec{}
	var layer, events, gates []inference.Node
	for len(events) < causes {
		if len(events) > 0 && r.Float64() < share {
			layer = append(layer, events[r.IntN(len(events))])
			continue
		}
		events = append(events, s.event(.01+.04*r.Float64()))
		layer = append(layer, events[len(events)-1])
	}
	for len(layer) > 1 {
		var next []inference.Node
		for at := 0; at < len(layer); {
			n := min(3+r.IntN(3), len(layer)-at)
			next = append(next, s.over(r, layer[at:at+n]))
			at += n
		}
		gates, layer = append(gates, next...), next
	}
	u := inference.Use{Evidence: []int{s.finding(yesNo(layer[0], 1, 0))}, Gates: layer}
	e := inference.Evidence{inference.Certain(0, 2)}
	for i := range findings {
		on := events[i/2]
		if r.IntN(10) == 0 {
			on = gates[r.IntN(len(gates))]
		}
		f := s.finding(yesNo(on, .5+.4*r.Float64(), .05+.25*r.Float64()))
		if i%(findings/answered) == 0 {
			u.Evidence = append(u.Evidence, f)
			e = append(e, inference.Certain(r.IntN(2), 2))
		}
	}
	return s.model(), u, e
}

// over joins nodes by a gate: mostly any, at times all or at least two.
func (s *spec) over(r *rand.Rand, nodes []inference.Node) inference.Node {
	if x := r.Float64(); len(nodes) > 1 && x < .1 {
		return s.gate(inference.All, 0, plain(nodes[:2]...)...)
	} else if len(nodes) > 1 && x < .25 {
		return s.gate(inference.AtLeast, 2, plain(nodes...)...)
	}
	return s.gate(inference.Any, 0, plain(nodes...)...)
}

func BenchmarkLargeCompile(b *testing.B) {
	m, u, _ := large(.01, 3000)
	benchCompile(b, m, u)
}

func BenchmarkLargePosteriors(b *testing.B) {
	m, u, e := large(.01, 3000)
	benchEvaluate(b, m, u, e)
}

// BenchmarkLargeContributed asks for the contribution of every cause to the top,
// a root to each: that takes causes times evidence nodes, so a tenth of the size.
func BenchmarkLargeContributed(b *testing.B) {
	m, u, e := large(.01, 300)
	u.Seen = u.Gates
	u.Gates = nil
	benchEvaluate(b, m, u, e)
}

func BenchmarkLargeTree(b *testing.B) {
	m, u, e := large(0, 3000)
	benchEvaluate(b, m, u, e)
}

// BenchmarkShop is the base of the calibration test, 48 causes with chances,
// every question answered, the first two failures seen.
func BenchmarkShopCompile(b *testing.B) {
	h := newShop(20250101, 48, 4, 40)
	benchCompile(b, h.model(), inference.Use{Evidence: h.questions(), Seen: h.failures[:2]})
}

func BenchmarkShopPosteriors(b *testing.B) {
	h := newShop(20250101, 48, 4, 40)
	var e inference.Evidence
	for _, f := range h.questions() {
		e = append(e, inference.Certain(0, h.findings[f].Answers()))
	}
	benchEvaluate(b, h.model(), inference.Use{Evidence: h.questions(), Seen: h.failures[:2]}, e)
}

func benchCompile(b *testing.B, m *inference.Model, u inference.Use) {
	b.ReportAllocs()
	for b.Loop() {
		net, err := m.Compile(u)
		require.NoError(b, err)
		b.ReportMetric(float64(net.Size()), "nodes")
	}
}

func benchEvaluate(b *testing.B, m *inference.Model, u inference.Use, e inference.Evidence) {
	net, err := m.Compile(u)
	require.NoError(b, err)
	b.ReportMetric(float64(net.Size()), "nodes")
	b.ReportAllocs()
	for b.Loop() {
		if _, err := net.Evaluate(e); err != nil {
			b.Fatal(err)
		}
	}
}
