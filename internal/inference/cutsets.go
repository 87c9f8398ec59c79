package inference

import (
	"errors"
	"slices"

	"filmfault/internal/bdd"
)

// ErrNotCoherent says that cut sets were asked of a network with negated inputs.
var ErrNotCoherent = errors.New("minimal cut sets need a tree without negated inputs")

// CutSet is a set of events, ascending.
type CutSet []Node

// CutSets lists the minimal cut sets of the tops jointly: the smallest sets of
// events that, all chances leading on, make every top hold. Only events for
// which keep is true are used (a nil keep keeps all), which bounds the work.
// They come sorted by size, then by node.
//
// The method expands gates downward (MOCUS; Fussell and Vesely 1972, also
// NUREG-0492 ch. VII) one gate at a time from the bottom up, with absorption
// after each.
func (m *Model) CutSets(tops []Node, keep func(Node) bool) ([]CutSet, error) {
	c := cutter{m: m, keep: keep, done: map[Node][]CutSet{}}
	all := []CutSet{{}}
	for _, t := range tops {
		all = absorb(product(all, c.of(t)))
	}
	if c.negated {
		return nil, ErrNotCoherent
	}
	return all, nil
}

type cutter struct {
	m       *Model
	keep    func(Node) bool
	done    map[Node][]CutSet
	negated bool
}

func (c *cutter) of(n Node) []CutSet {
	if s, ok := c.done[n]; ok {
		return s
	}
	s := c.expand(n)
	c.done[n] = s
	return s
}

func (c *cutter) expand(n Node) []CutSet {
	x := c.m.nodes[n]
	if x.event {
		if c.keep != nil && !c.keep(n) {
			return nil
		}
		return []CutSet{{n}}
	}
	inputs := make([][]CutSet, len(x.inputs))
	for i, in := range x.inputs {
		c.negated = c.negated || in.Negated
		inputs[i] = c.of(in.Node)
	}
	switch x.kind {
	case All:
		return atLeastSets(len(inputs), inputs)
	case Any:
		return atLeastSets(1, inputs)
	default:
		return atLeastSets(x.k, inputs)
	}
}

// atLeastSets is the cut sets of "at least k of the inputs".
func atLeastSets(k int, inputs [][]CutSet) []CutSet {
	need := make([][]CutSet, k+1) // need[j]: at least j of those seen so far
	need[0] = []CutSet{{}}
	for _, in := range inputs {
		for j := k; j >= 1; j-- {
			need[j] = absorb(append(slices.Clone(need[j]), product(need[j-1], in)...))
		}
	}
	return need[k]
}

func product(a, b []CutSet) []CutSet {
	out := make([]CutSet, 0, len(a)*len(b))
	for _, x := range a {
		for _, y := range b {
			u := append(slices.Clone(x), y...)
			slices.Sort(u)
			out = append(out, slices.Compact(u))
		}
	}
	return out
}

// absorb sorts the sets and drops those that contain another.
func absorb(sets []CutSet) []CutSet {
	slices.SortFunc(sets, func(a, b CutSet) int {
		if len(a) != len(b) {
			return len(a) - len(b)
		}
		return slices.Compare(a, b)
	})
	var kept []CutSet
	masks := make([]uint64, 0, len(sets)) // a quick no: a subset's mask is a subset
	for _, s := range sets {
		mask := s.mask()
		if !containsAny(s, mask, kept, masks) {
			kept = append(kept, s)
			masks = append(masks, mask)
		}
	}
	return kept
}

func (s CutSet) mask() uint64 {
	var m uint64
	for _, n := range s {
		m |= 1 << (uint(n) % 64)
	}
	return m
}

func containsAny(s CutSet, mask uint64, kept []CutSet, masks []uint64) bool {
	for i, k := range kept {
		if masks[i]&^mask == 0 && subset(k, s) {
			return true
		}
	}
	return false
}

func subset(a, b CutSet) bool {
	j := 0
	for _, x := range a {
		for j < len(b) && b[j] < x {
			j++
		}
		if j == len(b) || b[j] != x {
			return false
		}
	}
	return true
}

// Story is a minimal cut set of the failures seen and the probability, given
// the evidence, that its members all hold and by themselves make every one of
// those failures (their chances having led on).
type Story struct {
	Events      CutSet
	Probability float64
}

// Stories lists the stories of at least the given probability, the likeliest
// first. p must be the posterior of the same evidence.
func (n *Network) Stories(e Evidence, p Posterior, least float64) ([]Story, error) {
	keep := func(x Node) bool { return p.Event[x] >= least }
	sets, err := n.model.CutSets(n.use.Seen, keep)
	if err != nil || len(n.use.Seen) == 0 {
		return nil, err
	}
	sets = n.pairwise(e, p, sets, least)
	functions := make([]bdd.Node, len(sets))
	for i, s := range sets {
		functions[i] = n.alone(s)
	}
	if err := n.dd.Err(); err != nil {
		return nil, err
	}
	w, _ := n.weights(e)
	joint := n.dd.NewJoint(slices.Clone(w))
	total := joint.Prob(n.evidence)
	var out []Story
	for i, row := range joint.Measure([]bdd.Node{n.evidence}, functions) {
		if v := row[0] / total; v >= least && functions[i] != bdd.False {
			out = append(out, Story{sets[i], v})
		}
	}
	slices.SortStableFunc(out, func(a, b Story) int { return descending(a.Probability, b.Probability) })
	return out, nil
}

// pairwise drops the sets of which two members hold together less often than
// the least wanted: then all of them do. It costs a sweep per event, far less
// than measuring every set.
func (n *Network) pairwise(e Evidence, p Posterior, sets []CutSet, least float64) []CutSet {
	given := map[Node][]float64{} // per event: marginals of all levels given that it holds
	together := func(x, y Node) float64 {
		if given[x] == nil {
			given[x] = n.marginalsGiven(e, x)
		}
		return p.Event[x] * given[x][n.layout.event[y]]
	}
	var kept []CutSet
	for _, s := range sets {
		likely := true
		for i := 0; i < len(s) && likely; i++ {
			for j := i + 1; j < len(s) && likely; j++ {
				likely = together(s[i], s[j]) >= least*(1-1e-9)
			}
		}
		if likely {
			kept = append(kept, s)
		}
	}
	return kept
}

// marginalsGiven is each level's probability of true given the evidence and
// that an event holds.
func (n *Network) marginalsGiven(e Evidence, x Node) []float64 {
	w, _ := n.weights(e)
	w[n.layout.event[x]] = bdd.Weight{0, 1}
	s := &n.scratch
	marginal := make([]float64, n.layout.levels)
	n.lean.Up(w, s.leanValue)
	if root := n.lean.Root(0); s.leanValue[root] > 0 {
		n.lean.Down(root, w, s.leanValue, bdd.Scratch{Reach: s.reach, Through: s.through}, bdd.Marginals{True: marginal})
	}
	return marginal
}

// alone is the function "the members hold and make every failure seen by
// themselves".
func (n *Network) alone(s CutSet) bdd.Node {
	in := map[Node]bdd.Node{}
	for _, x := range s {
		in[x] = n.function(x)
	}
	out := bdd.True
	for _, x := range s {
		out = n.dd.And(out, in[x])
	}
	for _, f := range n.use.Seen {
		out = n.dd.And(out, n.restricted(f, in))
	}
	return out
}

// restricted is a node's function when no event outside in holds.
func (n *Network) restricted(x Node, in map[Node]bdd.Node) bdd.Node {
	if f, ok := in[x]; ok {
		return f
	}
	nd := n.model.nodes[x]
	if nd.event {
		return bdd.False
	}
	inputs := make([]bdd.Node, len(nd.inputs))
	for i, input := range nd.inputs {
		inputs[i] = n.restricted(input.Node, in)
		if l := n.layout.chance[x][i]; l >= 0 {
			inputs[i] = n.dd.And(inputs[i], n.dd.Var(l))
		}
	}
	k := nd.k
	switch nd.kind {
	case All:
		k = len(inputs)
	case Any:
		k = 1
	}
	in[x] = n.dd.AtLeast(k, inputs)
	return in[x]
}

// descending orders numbers from large to small on their value rounded to
// 1e-9, so that noise in the last digits never decides an order.
func descending(a, b float64) int {
	const grain = 1e-9
	ra, rb := int64(a/grain+0.5), int64(b/grain+0.5)
	switch {
	case ra > rb:
		return -1
	case ra < rb:
		return 1
	}
	return 0
}

// HittingSets lists the smallest sets of candidates that meet every story that
// has a candidate in it, all of the least size, in ascending order, at most
// limit of them.
func HittingSets(stories []CutSet, candidate func(Node) bool, limit int) []CutSet {
	var need []CutSet
	for _, s := range stories {
		var members CutSet
		for _, x := range s {
			if candidate(x) {
				members = append(members, x)
			}
		}
		if len(members) > 0 {
			need = append(need, members)
		}
	}
	need = absorb(need)
	if len(need) == 0 {
		return nil
	}
	for size := 1; ; size++ {
		h := hitter{need: need, size: size}
		h.extend(nil)
		if len(h.found) > 0 {
			return firstFew(h.found, limit)
		}
	}
}

type hitter struct {
	need  []CutSet
	size  int
	found []CutSet
}

// extend branches on the first story not yet met.
func (h *hitter) extend(chosen CutSet) {
	for _, s := range h.need {
		if slices.ContainsFunc(s, func(x Node) bool { return slices.Contains(chosen, x) }) {
			continue
		}
		if len(chosen) == h.size {
			return
		}
		for _, x := range s {
			h.extend(append(slices.Clone(chosen), x))
		}
		return
	}
	slices.Sort(chosen)
	h.found = append(h.found, chosen)
}

func firstFew(sets []CutSet, limit int) []CutSet {
	slices.SortFunc(sets, func(a, b CutSet) int { return slices.Compare(a, b) })
	sets = slices.CompactFunc(sets, func(a, b CutSet) bool { return slices.Equal(a, b) })
	return sets[:min(limit, len(sets))]
}
