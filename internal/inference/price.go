package inference

import (
	"math"
	"slices"

	"filmfault/internal/bdd"
)

// Target is what a question is priced for: that an event contributed to a
// failure seen, or that a node holds.
type Target struct {
	Node    Node
	Present bool // the node holds; otherwise it contributed
}

// Table says how the answers to an open question go with the targets, given
// the evidence.
type Table struct {
	Finding int
	Answer  []float64   // probability of each answer
	With    [][]float64 // per target and answer: probability of both
	// Spread is the expected entropy, in bits, of the answer once everything
	// that it depends on is known: what asking can never remove.
	Spread float64
}

// Pricer prices open questions against one state of the evidence. It belongs
// to one goroutine.
type Pricer struct {
	n       *Network
	joint   *bdd.Joint
	total   float64
	targets []bdd.Node
	rows    map[int][]bdd.Node
}

// NewPricer prepares pricing for the targets. The findings to be priced must
// be in Use.Open or Use.Evidence.
func (n *Network) NewPricer(e Evidence, targets []Target) (*Pricer, error) {
	p := &Pricer{n: n, targets: make([]bdd.Node, len(targets)), rows: map[int][]bdd.Node{}}
	for i, t := range targets {
		p.targets[i] = n.dd.And(n.evidence, n.target(t))
	}
	for _, f := range slices.Concat(n.use.Open, n.use.Evidence) {
		p.rows[f] = n.firstHolds(f)
	}
	if err := n.dd.Err(); err != nil {
		return nil, err
	}
	w, scale := n.weights(e)
	p.joint = n.dd.NewJoint(slices.Clone(w))
	p.total = p.joint.Prob(n.evidence)
	if p.total <= 0 || math.IsInf(scale, -1) {
		return nil, ErrContradiction
	}
	return p, nil
}

func (n *Network) target(t Target) bdd.Node {
	if t.Present {
		return n.function(t.Node)
	}
	return n.paths[t.Node] // False when nothing seen lies above it
}

// TargetProb is the probability of the i-th target given the evidence.
func (p *Pricer) TargetProb(i int) float64 { return p.joint.Prob(p.targets[i]) / p.total }

// Tables prices open findings, in the order given.
func (p *Pricer) Tables(findings []int) []Table {
	var functions []bdd.Node
	for _, f := range findings {
		functions = append(functions, p.rows[f][:len(p.rows[f])-1]...)
	}
	roots := append([]bdd.Node{p.n.evidence}, p.targets...)
	joint := p.joint.Measure(roots, functions)
	out := make([]Table, len(findings))
	for i, f := range findings {
		k := len(p.rows[f]) - 1
		out[i] = p.table(f, roots, joint[:k])
		joint = joint[k:]
	}
	return out
}

// table turns the probabilities of a finding's rows with each root into those
// of its answers. The last row takes the rest: rows are exhaustive and exclude
// each other.
func (p *Pricer) table(f int, roots []bdd.Node, joint [][]float64) Table {
	t := Table{Finding: f}
	for r, root := range roots {
		rows := make([]float64, len(joint)+1)
		rest := p.joint.Prob(root) / p.total
		for i := range joint {
			rows[i] = joint[i][r] / p.total
			rest -= rows[i]
		}
		rows[len(joint)] = max(0, rest)
		answers := p.n.model.answers(f, rows)
		if r == 0 {
			t.Answer, t.Spread = answers, p.spread(f, rows)
			continue
		}
		t.With = append(t.With, answers)
	}
	return t
}

// Table prices one open finding.
func (p *Pricer) Table(f int) Table { return p.Tables([]int{f})[0] }

// answers turns row probabilities into answer probabilities.
func (m *Model) answers(f int, rows []float64) []float64 {
	x := m.findings[f]
	if len(x.AnyOf) > 0 {
		return rows
	}
	out := make([]float64, x.Answers())
	for i, r := range x.Rows {
		for a, s := range r.Say {
			out[a] += rows[i] * s
		}
	}
	return out
}

// spread is sum_r P(r) H(s_r), over rows of a decision list or over the
// patterns of a noisy-OR's inputs.
func (p *Pricer) spread(f int, rows []float64) float64 {
	x := p.n.model.findings[f]
	if len(x.AnyOf) > 0 {
		return p.patterns(x, 0, p.n.evidence, 1-x.Background)
	}
	sum := 0.0
	for i, r := range x.Rows {
		sum += rows[i] * Entropy(r.Say)
	}
	return sum
}

// patterns walks the on/off patterns of a noisy-OR's inputs from input i on,
// root being the evidence and the pattern so far, no the chance of "no" so far.
func (p *Pricer) patterns(x Finding, i int, root bdd.Node, no float64) float64 {
	if root == bdd.False {
		return 0
	}
	if i == len(x.AnyOf) {
		return p.joint.Prob(root) / p.total * Entropy([]float64{1 - no, no})
	}
	holds := p.n.input(x.AnyOf[i].Node, x.AnyOf[i].Negated)
	on := p.n.dd.And(root, holds)
	off := p.n.dd.And(root, p.n.dd.Not(holds))
	return p.patterns(x, i+1, on, no*(1-x.AnyOf[i].Chance)) + p.patterns(x, i+1, off, no)
}

// Entropy is the entropy of a distribution in bits; zero entries add nothing.
func Entropy(p []float64) float64 {
	h := 0.0
	for _, x := range p {
		if x > 0 {
			h -= x * math.Log2(x)
		}
	}
	return h
}

// Everything is the information, in bits, that the answer carries about all
// events together: H(answer) less the spread.
func (t Table) Everything() float64 { return max(0, Entropy(t.Answer)-t.Spread) }

// About is the information, in bits, that the answer carries about the i-th
// target alone.
func (t Table) About(i int) float64 {
	on := sum(t.With[i])
	if on <= 0 || on >= 1 {
		return 0
	}
	yes, no := make([]float64, len(t.Answer)), make([]float64, len(t.Answer))
	for a, p := range t.Answer {
		yes[a] = t.With[i][a] / on
		no[a] = max(0, p-t.With[i][a]) / (1 - on)
	}
	return max(0, Entropy(t.Answer)-on*Entropy(yes)-(1-on)*Entropy(no))
}

func sum(x []float64) float64 {
	s := 0.0
	for _, v := range x {
		s += v
	}
	return s
}

// PairTable is the joint behaviour of two open questions: per pair of answers
// its probability, and with each target.
type PairTable struct {
	Answers [2]int
	Prob    [][]float64   // [answer of first][answer of second]
	With    [][][]float64 // [target][first][second]
}

// Pair prices two open findings asked together.
func (p *Pricer) Pair(f, g int) PairTable {
	m := p.n.model
	t := PairTable{Answers: [2]int{m.findings[f].Answers(), m.findings[g].Answers()}}
	t.Prob = p.pairWith(f, g, p.n.evidence)
	for _, root := range p.targets {
		t.With = append(t.With, p.pairWith(f, g, root))
	}
	return t
}

func (p *Pricer) pairWith(f, g int, root bdd.Node) [][]float64 {
	byRow := make([][]float64, 0, len(p.rows[f])) // row of f -> answers of g
	for _, r := range p.rows[f] {
		both := p.n.dd.And(r, root)
		rows := make([]float64, len(p.rows[g]))
		for j, s := range p.rows[g] {
			rows[j] = p.joint.Both(s, both) / p.total
		}
		byRow = append(byRow, p.n.model.answers(g, rows))
	}
	out := make([][]float64, p.n.model.findings[f].Answers())
	for a := range out {
		out[a] = make([]float64, p.n.model.findings[g].Answers())
	}
	for b := range out[0] {
		column := make([]float64, len(byRow))
		for i := range byRow {
			column[i] = byRow[i][b]
		}
		for a, v := range p.n.model.answers(f, column) {
			out[a][b] = v
		}
	}
	return out
}
