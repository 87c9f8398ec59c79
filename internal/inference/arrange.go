package inference

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
)

// arrange orders the events that the evidence rests on so that the diagram
// stays narrow. While a gate, or a finding on several nodes, has some inputs
// known and others not, the diagram must tell its states apart: it is open. The
// cost of an order is the sum over positions of 2^(open); it bounds the size
// of the diagram up to a factor.
//
// Events that feed one gate only stay together with the others of that gate: a
// unit. The units start in depth-first order, are pulled towards what they
// belong to (FORCE; Aloul, Markov and Sakallah, GLSVLSI 2003), and then each in
// turn is moved to where it costs least (sifting; Rudell, ICCAD 1993, on this
// cost in place of the diagram itself).
func arrange(m *Model, u Use) []Node {
	a := newArranger(m, u)
	if len(a.units) <= mostSifted {
		a.pull()
		a.improve()
	}
	var order []Node
	for _, i := range a.order {
		order = append(order, a.units[i]...)
	}
	return order
}

// narrow is a mean width at which an order is good enough as it is.
const narrow = 6

// wide is a cost from which other starts are tried too, and otherStarts is how
// many: a good order then saves more than it takes to find.
const (
	wide        = 40_000
	otherStarts = 4
)

// mostSifted bounds the work of sifting, which grows with the square of the
// number of units; larger models keep the depth-first order.
const mostSifted = 400

// sifts is how often every unit is moved at most, pulls how often all are
// pulled.
const (
	sifts = 2
	pulls = 10
)

type arranger struct {
	m     *Model
	units [][]Node // events that stay together
	order []int    // units, first to last
	spans []span
	at    []int32 // per node: position at which it is known
	delta []int32
}

// span is a gate or a finding that can be open.
type span struct {
	owner Node // the gate; -1 for a finding
	waits []Node
}

func newArranger(m *Model, u Use) *arranger {
	a := &arranger{m: m, at: make([]int32, len(m.nodes))}
	events, seen := m.below(u)
	var findings []span
	tied := make([]bool, len(m.nodes)) // named by a finding on several nodes
	for _, f := range u.Evidence {
		if s := m.support(f); len(s) > 1 {
			findings = append(findings, span{-1, s})
			for _, x := range s {
				tied[x] = true
			}
		}
	}
	parents := make([][]Node, len(m.nodes))
	for x, nd := range m.nodes { // inputs come before gates
		if !seen[x] || nd.event {
			continue
		}
		s := span{owner: Node(x)}
		for _, in := range nd.inputs {
			s.waits = append(s.waits, in.Node)
			parents[in.Node] = append(parents[in.Node], Node(x))
		}
		a.spans = append(a.spans, s)
	}
	a.spans = append(a.spans, findings...)
	a.gather(events, parents, tied)
	a.delta = make([]int32, len(a.units)+1)
	return a
}

// gather puts events with the same single parent into one unit.
func (a *arranger) gather(events []Node, parents [][]Node, tied []bool) {
	unit := map[Node]int{}
	for _, x := range events {
		if len(parents[x]) == 1 && !tied[x] {
			p := parents[x][0]
			if i, ok := unit[p]; ok {
				a.units[i] = append(a.units[i], x)
				continue
			}
			unit[p] = len(a.units)
		}
		a.order = append(a.order, len(a.units))
		a.units = append(a.units, []Node{x})
	}
}

// below lists the events that the use rests on, depth first, and marks all
// nodes on the way.
func (m *Model) below(u Use) (events []Node, seen []bool) {
	seen = make([]bool, len(m.nodes))
	var walk func(x Node)
	walk = func(x Node) {
		if seen[x] {
			return
		}
		seen[x] = true
		if m.nodes[x].event {
			events = append(events, x)
		}
		for _, in := range m.nodes[x].inputs {
			walk(in.Node)
		}
	}
	for _, x := range slices.Concat(u.Seen, u.Gates) {
		walk(x)
	}
	for _, f := range u.Evidence {
		for _, x := range m.support(f) {
			walk(x)
		}
	}
	return events, seen
}

// cost is the sum over positions of 2^(open).
func (a *arranger) cost() float64 {
	for i, u := range a.order {
		for _, x := range a.units[u] {
			a.at[x] = int32(i)
		}
	}
	clear(a.delta)
	for _, s := range a.spans {
		first, last := int32(math.MaxInt32), int32(0)
		for _, x := range s.waits {
			first, last = min(first, a.at[x]), max(last, a.at[x])
		}
		if s.owner >= 0 {
			a.at[s.owner] = last
		}
		a.delta[first]++
		a.delta[last]--
	}
	open, sum := int32(0), 0.0
	for _, d := range a.delta[:len(a.order)] {
		open += d
		sum += float64(uint64(1) << min(open, 60))
	}
	return sum
}

// improve sifts, and where the order stays wide sifts from shuffled starts too;
// the best order met is kept.
func (a *arranger) improve() {
	best := a.sift()
	if best <= wide {
		return
	}
	kept := slices.Clone(a.order)
	random := rand.New(rand.NewPCG(Seed, uint64(len(a.order))))
	for range otherStarts {
		random.Shuffle(len(a.order), func(i, j int) { a.order[i], a.order[j] = a.order[j], a.order[i] })
		a.pull()
		if c := a.sift(); c < best {
			best, kept = c, slices.Clone(a.order)
		}
	}
	a.order = kept
}

// sift moves each unit to its cheapest place, until a round gains little; it
// returns the cost.
func (a *arranger) sift() float64 {
	best := a.cost()
	if best <= narrow*float64(len(a.order)) {
		return best
	}
	for range sifts {
		before := best
		for _, u := range slices.Clone(a.order) {
			best = a.moveBest(u, best)
		}
		if best > 0.8*before {
			break
		}
	}
	return best
}

func (a *arranger) moveBest(u int, best float64) float64 {
	from := slices.Index(a.order, u)
	bestAt := from
	copy(a.order[1:], a.order[:from])
	for to := range a.order {
		if to > 0 {
			a.order[to-1] = a.order[to]
		}
		a.order[to] = u
		if c := a.cost(); c < best {
			best, bestAt = c, to
		}
	}
	copy(a.order[bestAt+1:], a.order[bestAt:len(a.order)-1])
	a.order[bestAt] = u
	return best
}

// pull moves every unit to the mean of the centres of the gates it belongs to,
// again and again, and keeps the best order met.
func (a *arranger) pull() {
	best, bestCost := slices.Clone(a.order), a.cost()
	place := make([]float64, len(a.m.nodes))
	for i := range place {
		place[i] = float64(a.at[i])
	}
	where := make([]float64, len(a.units))
	for range pulls {
		a.pullOnce(place)
		for i, u := range a.units {
			where[i] = 0
			for _, x := range u {
				where[i] += place[x] / float64(len(u))
			}
		}
		slices.SortStableFunc(a.order, func(i, j int) int { return cmp.Compare(where[i], where[j]) })
		for at, i := range a.order {
			for _, x := range a.units[i] {
				place[x] = float64(at)
			}
		}
		if c := a.cost(); c < bestCost {
			best, bestCost = slices.Clone(a.order), c
		}
	}
	a.order = best
}

func (a *arranger) pullOnce(place []float64) {
	sum, count := make([]float64, len(place)), make([]float64, len(place))
	for _, s := range a.spans {
		centre, members := 0.0, float64(len(s.waits))
		for _, x := range s.waits {
			centre += place[x]
		}
		if s.owner >= 0 {
			centre, members = centre+place[s.owner], members+1
			sum[s.owner] += centre / members
			count[s.owner]++
		}
		for _, x := range s.waits {
			sum[x] += centre / members
			count[x]++
		}
	}
	for x := range place {
		if count[x] > 0 {
			place[x] = sum[x] / count[x]
		}
	}
}
