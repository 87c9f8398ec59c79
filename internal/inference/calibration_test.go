package inference_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/inference"
)

// shop is a random rule base of the intended shape: causes in branches under
// failures, chances, conditions, events shared between trees, decision lists,
// any-ofs, and for each failure the finding that it shows.
type shop struct {
	*spec
	causes   []inference.Node
	failures []inference.Node
	shows    []int // per failure
	asks     []int // the other findings
	*rand.Rand
}

func newShop(seed uint64, causes, failures, asks int) *shop {
	h := &shop{spec: &spec{}, Rand: rand.New(rand.NewPCG(seed, 0))}
	for range causes {
		h.causes = append(h.causes, h.event(.02+.08*h.Float64()))
	}
	share := causes / failures
	for f := range failures {
		h.failure(h.causes[f*share : (f+1)*share])
	}
	for range asks {
		h.asks = append(h.asks, h.finding(h.ask()))
	}
	return h
}

// failure is any of its branches or an unlisted cause. A branch joins three
// causes of its own, and at times one of another tree or a condition.
func (h *shop) failure(own []inference.Node) {
	var branches []inference.Input
	for len(own) > 0 {
		n := min(3, len(own))
		in := h.inputs(own[:n])
		own = own[n:]
		if h.Float64() < .2 {
			in = append(in, h.inputs([]inference.Node{h.causes[h.IntN(len(h.causes))]})...)
		}
		branches = append(branches, inference.In(h.branch(in)))
	}
	branches = append(branches, inference.In(h.event(.003)))
	top := h.gate(inference.Any, 0, branches...)
	h.failures = append(h.failures, top)
	h.shows = append(h.shows, h.finding(yesNo(top, .8, .01)))
}

func (h *shop) inputs(nodes []inference.Node) []inference.Input {
	in := plain(nodes...)
	for i := range in {
		if h.Float64() < .4 {
			in[i].Chance = .3 + .6*h.Float64()
		}
	}
	return in
}

// branch: mostly any of the inputs; at times only under a condition (a frequent
// event), or two of them together.
func (h *shop) branch(in []inference.Input) inference.Node {
	some := h.gate(inference.Any, 0, in...)
	switch r := h.Float64(); {
	case r < .25:
		return h.gate(inference.All, 0, inference.In(some), inference.In(h.event(.4)))
	case r < .4 && len(in) > 2:
		return h.gate(inference.AtLeast, 2, in...)
	}
	return some
}

// ask is a finding about causes that lie near each other, rarely far apart: a
// real finding tells rivals for the same symptom apart.
func (h *shop) ask() inference.Finding {
	first := h.IntN(len(h.causes))
	near := func() inference.Node {
		if h.Float64() < .1 {
			return h.causes[h.IntN(len(h.causes))]
		}
		return h.causes[min(len(h.causes)-1, first+h.IntN(6))]
	}
	if h.Float64() < .2 {
		in := h.inputs([]inference.Node{near(), near(), near()})
		return inference.Finding{AnyOf: in, Background: .05}
	}
	return list([][]float64{{.7, .2, .1}, {.2, .6, .2}, {.1, .2, .7}}, near(), near())
}

// unfolded is the same model with an event of its own for every chance: then
// which inputs led on can be read from a drawn world.
func (s *spec) unfolded() (out *spec, at []inference.Node) {
	out = &spec{}
	for _, x := range s.nodes {
		if x.event {
			at = append(at, out.event(x.rate))
			continue
		}
		var in []inference.Input
		for _, i := range x.in {
			leads := inference.Input{Node: at[i.Node], Chance: 1, Negated: i.Negated}
			if i.Chance < 1 {
				leads = inference.In(out.gate(inference.All, 0, leads, inference.In(out.event(i.Chance))))
			}
			in = append(in, leads)
		}
		at = append(at, out.gate(x.kind, x.k, in...))
	}
	for _, f := range s.findings {
		out.finding(moved(f, at))
	}
	return out, at
}

func moved(f inference.Finding, at []inference.Node) inference.Finding {
	g := inference.Finding{Background: f.Background}
	for _, r := range f.Rows {
		row := inference.Row{Say: r.Say}
		for _, e := range r.Events {
			row.Events = append(row.Events, at[e])
		}
		g.Rows = append(g.Rows, row)
	}
	for _, in := range f.AnyOf {
		g.AnyOf = append(g.AnyOf, inference.Input{Node: at[in.Node], Chance: in.Chance, Negated: in.Negated})
	}
	return g
}

// tally counts how often what was given a probability came true, by decile.
type tally struct {
	n, hits   [10]int
	predicted [10]float64
}

func (y *tally) add(p float64, came bool) {
	d := min(9, int(10*p))
	y.n[d]++
	y.predicted[d] += p
	if came {
		y.hits[d]++
	}
}

// check holds each decile to three standard errors of its mean prediction.
func (y *tally) check(t *testing.T, what string) {
	for d := range y.n {
		require.Greater(t, y.n[d], 20, "%s: decile %d is empty, nothing is proved", what, d)
		n := float64(y.n[d])
		p, came := y.predicted[d]/n, float64(y.hits[d])/n
		deviation := math.Sqrt(p * (1 - p) / n)
		t.Logf("%-12s %3d-%d %%: %7d times, predicted %.5f, came true %.5f (%+.2f standard errors)",
			what, 10*d, 10*d+10, y.n[d], p, came, (came-p)/deviation)
		require.LessOrEqual(t, math.Abs(came-p), 3*deviation, "%s, decile %d", what, d)
	}
}

// clinic diagnoses simulated cases; networks are compiled once for each set of
// failures seen, and evaluated with the evidence of each case.
type clinic struct {
	*shop
	nets                 map[string]*inference.Network
	present, contributed tally
}

// TestCalibration draws 20,000 cases from a random base of 48 causes, lets some
// questions go unasked, diagnoses each, and checks that what was said with
// probability p came true in the share p of the cases, for "holds" and for
// "contributed". It proves the code, not the rules: the cases come from the same
// base that judges them. The draws come from the unfolded model, so chances and
// their stand-ins are held against each other too.
func TestCalibration(t *testing.T) {
	t.Parallel()
	cases := 20000
	if underRace {
		cases = 3000
	}
	h := newShop(20250101, 48, 4, 40)
	mirror, at := h.unfolded()
	k := &clinic{shop: h, nets: map[string]*inference.Network{}}
	net, err := mirror.model().Compile(inference.Use{Evidence: h.questions()})
	require.NoError(t, err)
	for done := 0; done < cases; {
		worlds, err := net.Worlds(make(inference.Evidence, len(h.questions())), 1000, h.Rand)
		require.NoError(t, err)
		for _, w := range worlds {
			if done < cases && k.judge(t, mirror, at, w) {
				done++
			}
		}
	}
	k.present.check(t, "holds")
	k.contributed.check(t, "contributed")
}

func (h *shop) questions() []int { return append(append([]int{}, h.shows...), h.asks...) }

// judge diagnoses one case and tallies every cause; false if no failure was
// seen, for then nobody asks. (Which failures are seen is part of the evidence,
// so leaving such cases out does not bend the others.)
func (k *clinic) judge(t *testing.T, mirror *spec, at []inference.Node, w inference.World) bool {
	var seen, tops []inference.Node
	e := make(inference.Evidence, len(w.Answer))
	for i, f := range k.questions() {
		if i < len(k.shows) && w.Answer[i] == 0 {
			seen = append(seen, k.failures[i])
			tops = append(tops, at[k.failures[i]])
		}
		if i < len(k.shows) || k.Float64() < .6 {
			e[i] = inference.Certain(w.Answer[i], k.findings[f].Answers())
		}
	}
	if len(seen) == 0 {
		return false
	}
	p, err := k.net(t, seen).Evaluate(e)
	require.NoError(t, err)
	joined := mirror.joined(w.Holds, tops)
	for _, c := range k.causes {
		k.present.add(p.Event[c], w.Holds[at[c]])
		k.contributed.add(p.Contributed[c], joined[at[c]])
	}
	return true
}

func (k *clinic) net(t *testing.T, seen []inference.Node) *inference.Network {
	key := fmt.Sprint(seen)
	if k.nets[key] == nil {
		net, err := k.model().Compile(inference.Use{Evidence: k.questions(), Seen: seen})
		require.NoError(t, err)
		k.nets[key] = net
	}
	return k.nets[key]
}

// joined marks, in a world without chances, the nodes that hold and are joined
// by gates that hold to a failure seen.
func (s *spec) joined(holds []bool, seen []inference.Node) []bool {
	out := make([]bool, len(s.nodes))
	for _, f := range seen {
		out[f] = holds[f]
	}
	for i := len(s.nodes) - 1; i >= 0; i-- {
		for _, in := range s.nodes[i].in {
			if out[i] && !in.Negated && holds[in.Node] {
				out[in.Node] = true
			}
		}
	}
	return out
}
