package inference

import (
	"math"
	"math/bits"
	"math/rand/v2"

	"filmfault/internal/bdd"
)

// Weighing says how far each finding pulled one target, in natural log odds.
// The pulls sum to Posterior - Prior: each is the mean, over the orders in
// which the findings could have come, of what the finding added (Shapley 1953;
// single weights do not add up when findings share an event).
type Weighing struct {
	Prior, Posterior float64   // log odds without and with the players
	Pull             []float64 // per player
	Error            []float64 // standard error of each pull; 0 when exact
}

// exactPlayers is the most players for which all 2^n subsets are tried.
const exactPlayers = 10

// antitheticPairs is how many random orders, each taken forward and backward,
// stand in for all orders beyond that.
const antitheticPairs = 48

// Seed starts every random draw of this package, so that the same case gives
// the same figures.
const Seed = 20250101

// Change is a player that is no finding: events whose rates are With when it is
// in the game and Without when it is not.
type Change struct {
	Events        []Node
	With, Without []float64
}

// Weigh splits the evidence's effect on each target over the players: indices
// into Use.Evidence, then the changes. The rest of the evidence stands
// throughout. A target whose odds are 0 or infinite under some subset gets
// infinities or NaN; the caller decides what to say of it.
func (n *Network) Weigh(e Evidence, players []int, targets []Target, changes ...Change) []Weighing {
	s := n.newSubsets(e, players, targets)
	s.changes = changes
	if s.count() <= exactPlayers {
		return s.exact()
	}
	return s.sampled()
}

// subsets evaluates the targets' log odds with some of the players left out.
type subsets struct {
	n       *Network
	e       Evidence
	players []int
	changes []Change
	diagram *bdd.Diagram
	targets int
	against []int // per target: the root of its other side, 0 where it is not needed
	value   []float64
}

func (n *Network) newSubsets(e Evidence, players []int, targets []Target) *subsets {
	roots := []bdd.Node{n.evidence}
	for _, t := range targets {
		roots = append(roots, n.dd.And(n.evidence, n.target(t)))
	}
	s := &subsets{n: n, e: e, players: players, targets: len(targets), against: make([]int, len(targets))}
	s.lay(roots)
	w, _ := n.weights(e)
	s.diagram.Up(w, s.value)
	total := s.value[s.diagram.Root(0)]
	for i, t := range targets {
		if s.value[s.diagram.Root(i+1)] > nearCertain*total {
			s.against[i] = len(roots)
			roots = append(roots, n.dd.And(n.evidence, n.dd.Not(n.target(t))))
		}
	}
	s.lay(roots)
	return s
}

// nearCertain is the probability from which a target's odds are formed from both
// sides: one minus nearly one would lose all digits.
const nearCertain = 0.9

// count is the number of players.
func (s *subsets) count() int { return len(s.players) + len(s.changes) }

func (s *subsets) lay(roots []bdd.Node) {
	s.diagram = s.n.dd.Diagram(roots...)
	s.value = make([]float64, s.diagram.Size())
}

// odds is the log odds of each target with the players for which in is true.
func (s *subsets) odds(in func(int) bool) []float64 {
	e := make(Evidence, len(s.e))
	copy(e, s.e)
	for i, p := range s.players {
		if !in(i) {
			e[p] = nil
		}
	}
	w, _ := s.n.weights(e)
	s.change(w, in)
	s.diagram.Up(w, s.value)
	total := s.value[s.diagram.Root(0)]
	out := make([]float64, s.targets)
	for t := range out {
		yes := s.value[s.diagram.Root(t+1)]
		no := max(0, total-yes)
		if r := s.against[t]; r > 0 {
			no = s.value[s.diagram.Root(r)]
		}
		out[t] = math.Log(yes) - math.Log(no)
	}
	return out
}

// change turns the weights of changed events from one rate to another. A weight
// may carry evidence on its event besides, so that it is scaled and not set.
func (s *subsets) change(w []bdd.Weight, in func(int) bool) {
	for i, c := range s.changes {
		for j, x := range c.Events {
			l := s.n.layout.event[x]
			if l < 0 {
				continue
			}
			now, p := s.n.prior[l], c.Without[j]
			if in(len(s.players) + i) {
				p = c.With[j]
			}
			w[l] = bdd.Weight{ratio(w[l][0], now[0]) * (1 - p), ratio(w[l][1], now[1]) * p}
			normalise(&w[l])
		}
	}
}

// ratio is a/b, 1 where b says nothing.
func ratio(a, b float64) float64 {
	if b == 0 {
		return 1
	}
	return a / b
}

func (s *subsets) exact() []Weighing {
	k := s.count()
	table := make([][]float64, 1<<k)
	for set := range table {
		table[set] = s.odds(func(i int) bool { return set>>i&1 == 1 })
	}
	out := s.frame(table[0], table[len(table)-1])
	for i := range k {
		for set := range table {
			if set>>i&1 == 1 {
				continue
			}
			share := 1 / (float64(k) * binomial(k-1, bits.OnesCount(uint(set))))
			for t := range out {
				out[t].Pull[i] += share * (table[set|1<<i][t] - table[set][t])
			}
		}
	}
	return out
}

func (s *subsets) frame(prior, posterior []float64) []Weighing {
	out := make([]Weighing, s.targets)
	for t := range out {
		out[t] = Weighing{
			Prior: prior[t], Posterior: posterior[t],
			Pull: make([]float64, s.count()), Error: make([]float64, s.count()),
		}
	}
	return out
}

// sampled takes random orders in pairs, each with its reverse: a finding late
// in one is early in the other, which cancels much of the scatter.
func (s *subsets) sampled() []Weighing {
	k := s.count()
	none := s.odds(func(int) bool { return false })
	all := s.odds(func(int) bool { return true })
	out := s.frame(none, all)
	squares := make([][]float64, s.targets)
	for t := range squares {
		squares[t] = make([]float64, k)
	}
	random := rand.New(rand.NewPCG(Seed, uint64(k)))
	for range antitheticPairs {
		order := random.Perm(k)
		s.addPair(order, none, out, squares)
	}
	for t := range out {
		for i := range k {
			mean := out[t].Pull[i] / antitheticPairs
			variance := squares[t][i]/antitheticPairs - mean*mean
			out[t].Pull[i] = mean
			out[t].Error[i] = math.Sqrt(max(0, variance) / antitheticPairs)
		}
	}
	return out
}

// addPair adds the pulls along one order and its reverse, averaged.
func (s *subsets) addPair(order []int, none []float64, out []Weighing, squares [][]float64) {
	k := len(order)
	pull := make([][]float64, s.targets)
	for t := range pull {
		pull[t] = make([]float64, k)
	}
	for _, forward := range []bool{true, false} {
		in := make([]bool, k)
		before := none
		for j := range order {
			i := order[j]
			if !forward {
				i = order[k-1-j]
			}
			in[i] = true
			after := s.odds(func(x int) bool { return in[x] })
			for t := range pull {
				pull[t][i] += (after[t] - before[t]) / 2
			}
			before = after
		}
	}
	for t := range pull {
		for i, v := range pull[t] {
			out[t].Pull[i] += v
			squares[t][i] += v * v
		}
	}
}

func binomial(n, k int) float64 {
	b := 1.0
	for i := range k {
		b = b * float64(n-i) / float64(i+1)
	}
	return b
}
