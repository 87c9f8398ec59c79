package inference_test

import (
	"fmt"
	"math/bits"
	"slices"

	"filmfault/internal/inference"
)

// cutSets lists, as bit sets over the nodes, the minimal sets of events that
// make all tops hold when every chance leads on: by trying every set.
func (o *oracle) cutSets(tops []inference.Node) []uint64 {
	events := o.which(true)
	var found []uint64
	for _, small := range bySize(len(events)) {
		set := spread(small, events)
		if all(tops, o.run(set, ^uint64(0))) && !containsOne(set, found) {
			found = append(found, set)
		}
	}
	return found
}

// bySize lists the subsets of n things, smaller ones first.
func bySize(n int) []uint64 {
	var out []uint64
	for size := 0; size <= n; size++ {
		for set := uint64(0); set < 1<<n; set++ {
			if bits.OnesCount64(set) == size {
				out = append(out, set)
			}
		}
	}
	return out
}

// spread turns a set of positions into a set of nodes.
func spread(set uint64, nodes []inference.Node) uint64 {
	out := uint64(0)
	for i, n := range nodes {
		if has(set, i) {
			out |= 1 << n
		}
	}
	return out
}

func containsOne(set uint64, of []uint64) bool {
	for _, s := range of {
		if s&^set == 0 {
			return true
		}
	}
	return false
}

func members(set uint64) inference.CutSet {
	out := inference.CutSet{}
	for n := range 64 {
		if has(set, n) {
			out = append(out, inference.Node(n))
		}
	}
	return out
}

func name(s inference.CutSet) string { return fmt.Sprint([]inference.Node(s)) }

// stories: per minimal cut set, the probability that its members hold and that
// they alone, all other events being false and the chances as drawn, make every
// failure seen.
func (b belief) stories(seen []inference.Node) map[string]float64 {
	out := map[string]float64{}
	for _, set := range b.cutSets(seen) {
		out[name(members(set))] = b.prob(func(w world) bool {
			return w.holds&set == set && all(seen, b.run(set, w.led))
		})
	}
	return out
}

// hittingSets: the smallest sets of candidates that meet every story in which
// there is a candidate, by trying every set.
func hittingSets(stories []inference.CutSet, candidates []inference.Node) []inference.CutSet {
	var need []uint64
	may := spread(^uint64(0), candidates)
	for _, s := range stories {
		set := uint64(0)
		for _, n := range s {
			set |= 1 << n
		}
		if set&may != 0 {
			need = append(need, set&may)
		}
	}
	if len(need) == 0 {
		return nil
	}
	var found []inference.CutSet
	for _, small := range bySize(len(candidates)) {
		set := spread(small, candidates)
		if len(found) > 0 && bits.OnesCount64(set) > len(found[0]) {
			break
		}
		if meets(set, need) {
			found = append(found, members(set))
		}
	}
	slices.SortFunc(found, func(a, b inference.CutSet) int { return slices.Compare(a, b) })
	return found
}

// negatedBelow is true when a negated input lies somewhere below the tops.
func (s *spec) negatedBelow(tops []inference.Node) bool {
	for _, t := range tops {
		for _, in := range s.nodes[t].in {
			if in.Negated || s.negatedBelow([]inference.Node{in.Node}) {
				return true
			}
		}
	}
	return false
}

func meets(set uint64, need []uint64) bool {
	for _, n := range need {
		if n&set == 0 {
			return false
		}
	}
	return true
}
