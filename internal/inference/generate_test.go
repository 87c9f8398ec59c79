package inference_test

import (
	"fmt"
	"math/rand/v2"

	"filmfault/internal/inference"
)

// scene is a random model with a random state of the evidence and everything
// that can be asked of it.
type scene struct {
	*spec
	seen     []inference.Node
	use      []int // findings with evidence
	evidence inference.Evidence
	open     []int
	gates    []inference.Node
	targets  []inference.Target
}

func (s *scene) String() string {
	return fmt.Sprintf("%sseen %v use %v evidence %v open %v gates %v targets %v",
		s.spec, s.seen, s.use, s.evidence, s.open, s.gates, s.targets)
}

// known is the evidence by finding, for the oracle; nil entries say nothing.
func (s *scene) known() known {
	k := known{}
	for i, f := range s.use {
		if s.evidence[i] != nil {
			k[f] = s.evidence[i]
		}
	}
	return k
}

func (s *scene) asUse() inference.Use {
	return inference.Use{Evidence: s.use, Open: s.open, Seen: s.seen, Gates: s.gates}
}

// maker draws scenes. All choices come from one source of random numbers.
type maker struct {
	*rand.Rand
	s        *scene
	coherent bool
	draws    int // chances that may still be given out
}

func generate(r *rand.Rand) *scene {
	m := &maker{Rand: r, s: &scene{spec: &spec{}}, coherent: r.IntN(2) == 0, draws: r.IntN(6)}
	m.structure(2 + r.IntN(4))
	for range 1 + r.IntN(3) {
		m.failure()
	}
	for range 1 + r.IntN(5) {
		m.question()
	}
	for _, g := range m.s.which(false) {
		if m.chance(.5) {
			m.s.gates = append(m.s.gates, g)
		}
	}
	m.target()
	return m.s
}

func (m *maker) chance(p float64) bool { return m.Float64() < p }

// structure adds events and gates over them in mixed order.
func (m *maker) structure(events int) {
	m.s.event(m.rate())
	for left := events - 1; left > 0; {
		if m.chance(.6) {
			m.s.event(m.rate())
			left--
		} else {
			m.gate()
		}
	}
	for range m.IntN(3) {
		m.gate()
	}
}

// rate is mostly small, at times a matter of definition.
func (m *maker) rate() float64 {
	switch {
	case m.chance(.05):
		return float64(m.IntN(2))
	case m.chance(.5):
		return .01 + .1*m.Float64()
	}
	return m.Float64()
}

func (m *maker) node() inference.Node { return inference.Node(m.IntN(len(m.s.nodes))) }

func (m *maker) input() inference.Input {
	in := inference.In(m.node())
	in.Negated = !m.coherent && m.chance(.25)
	if m.draws > 0 && m.chance(.4) {
		m.draws--
		in.Chance = .05 + .9*m.Float64()
	}
	return in
}

func (m *maker) gate() inference.Node {
	in := make([]inference.Input, 1+m.IntN(4))
	for i := range in {
		in[i] = m.input()
	}
	kind := inference.Kind(m.IntN(3))
	k := 0
	if kind == inference.AtLeast {
		k = 1 + m.IntN(len(in))
	}
	return m.s.gate(kind, k, in...)
}

// failure adds a top gate, usually with an unlisted cause of its own, and the
// finding that it shows (.8) or is claimed in error (.01); seen, looked for and
// not there, or not looked for, the last written either way.
func (m *maker) failure() {
	in := []inference.Input{m.input(), m.input()}
	if m.chance(.7) {
		in = append(in, inference.In(m.s.event(.001+.02*m.Float64())))
	}
	top := m.s.gate(inference.Any, 0, in...)
	f := m.s.finding(yesNo(top, .8, .01))
	if m.chance(.15) {
		f = m.s.finding(yesNo(top, 1, 0)) // by definition
	}
	switch m.IntN(4) {
	case 0, 1:
		m.s.seen = append(m.s.seen, top)
		m.observe(f, inference.Certain(0, 2))
	case 2:
		m.observe(f, inference.Certain(1, 2))
	default:
		if m.chance(.5) {
			m.observe(f, nil)
		}
	}
}

func (m *maker) observe(f int, w []float64) {
	m.s.use = append(m.s.use, f)
	m.s.evidence = append(m.s.evidence, w)
}

// question adds a finding: answered, open, left out of this evaluation, or both.
func (m *maker) question() {
	of := 2
	var f int
	if m.chance(.35) {
		f = m.s.finding(m.anyOf())
	} else {
		of = 2 + m.IntN(3)
		f = m.s.finding(m.rows(of))
	}
	switch m.IntN(5) {
	case 0, 1:
		m.observe(f, m.answer(of))
	case 2:
		m.observe(f, nil)
		if m.chance(.5) {
			m.s.open = append(m.s.open, f)
		}
	default:
		m.s.open = append(m.s.open, f)
	}
}

// answer is certain, held with a confidence, or any weights at all.
func (m *maker) answer(of int) []float64 {
	a := m.IntN(of)
	switch m.IntN(3) {
	case 0:
		return inference.Certain(a, of)
	case 1:
		return inference.Held(a, of, 1/float64(of)+(1-1/float64(of))*m.Float64())
	}
	w := make([]float64, of)
	for i := range w {
		w[i] = m.Float64()
	}
	return w
}

func (m *maker) anyOf() inference.Finding {
	f := inference.Finding{Name: "any", Background: m.Float64() * .3}
	if m.chance(.4) {
		f.Background = 0
	}
	for range 1 + m.IntN(6) {
		in := inference.Input{Node: m.node(), Chance: 1 - m.Float64(), Negated: m.chance(.2)}
		if m.chance(.1) {
			in.Chance = 1
		}
		f.AnyOf = append(f.AnyOf, in)
	}
	return f
}

// rows is up to four rows of one or two events or gates, and "otherwise"; with
// no other row, as when all the others' facts fail, the answer tells nothing.
func (m *maker) rows(of int) inference.Finding {
	f := inference.Finding{Name: "rows"}
	for range m.IntN(5) {
		r := inference.Row{Events: []inference.Node{m.node()}, Say: m.say(of)}
		if m.chance(.4) {
			r.Events = append(r.Events, m.node())
		}
		f.Rows = append(f.Rows, r)
	}
	f.Rows = append(f.Rows, inference.Row{Say: m.say(of)})
	return f
}

// say is a distribution; at times one answer is a matter of definition.
func (m *maker) say(of int) []float64 {
	if m.chance(.2) {
		return inference.Certain(m.IntN(of), of)
	}
	p := make([]float64, of)
	sum := 0.0
	for i := range p {
		p[i] = .02 + m.Float64()
		sum += p[i]
	}
	for i := range p {
		p[i] /= sum
	}
	return p
}

// target asks after some nodes, whether they hold or contributed.
func (m *maker) target() {
	for range 1 + m.IntN(4) {
		present := m.chance(.5)
		n := m.node()
		if present || m.s.nodes[n].event {
			m.s.targets = append(m.s.targets, inference.Target{Node: n, Present: present})
		}
	}
}
