package inference_test

import (
	"math"
	"math/bits"
)

// bits of entropy, by definition; 0 log 0 is 0.
func entropyBits(p []float64) float64 {
	h := 0.0
	for _, x := range p {
		if x > 0 {
			h += x * math.Log2(1/x)
		}
	}
	return h
}

// answers is the probability of each answer to f together with a set of worlds.
func (b belief) answers(f int, in func(world) bool) []float64 {
	sum := make([]float64, b.findings[f].Answers())
	for i, w := range b.worlds {
		if !in(w) {
			continue
		}
		say, _ := says(b.findings[f], w.holds)
		for a, p := range say {
			sum[a] += b.weight[i] * p
		}
	}
	return sum
}

// pair is the probability of each pair of answers together with a set of worlds.
func (b belief) pair(f, g int, in func(world) bool) [][]float64 {
	sum := make([][]float64, b.findings[f].Answers())
	for a := range sum {
		sum[a] = make([]float64, b.findings[g].Answers())
	}
	for i, w := range b.worlds {
		if !in(w) {
			continue
		}
		first, _ := says(b.findings[f], w.holds)
		second, _ := says(b.findings[g], w.holds)
		for a, p := range first {
			for c, q := range second {
				sum[a][c] += b.weight[i] * p * q
			}
		}
	}
	return sum
}

func always(world) bool { return true }

// about is I(F;T) = H(F) - sum_t P(t) H(F|t), bits.
func (b belief) about(f int, in func(world) bool) float64 {
	h := entropyBits(b.answers(f, always))
	for _, side := range []func(world) bool{in, func(w world) bool { return !in(w) }} {
		p := b.prob(side)
		if p == 0 {
			continue
		}
		cond := b.answers(f, side)
		for a := range cond {
			cond[a] /= p
		}
		h -= p * entropyBits(cond)
	}
	return h
}

// spread is sum_r P(r) H(s_r), r being the row or the any-of's pattern.
func (b belief) spread(f int) float64 {
	prob, say := map[int]float64{}, map[int][]float64{}
	for i, w := range b.worlds {
		s, r := says(b.findings[f], w.holds)
		prob[r] += b.weight[i]
		say[r] = s
	}
	sum := 0.0
	for _, r := range sortedKeys(prob) {
		sum += prob[r] * entropyBits(say[r])
	}
	return sum
}

// everything is I(F; all events) = H(sum_r P(r) s_r) - sum_r P(r) H(s_r), bits.
func (b belief) everything(f int) float64 {
	return entropyBits(b.answers(f, always)) - b.spread(f)
}

// eventStates is the posterior over the joint states of the events.
func (b belief) eventStates() map[uint64]float64 {
	mask := uint64(0)
	for _, e := range b.which(true) {
		mask |= 1 << e
	}
	prob := map[uint64]float64{}
	for i, w := range b.worlds {
		prob[w.holds&mask] += b.weight[i]
	}
	return prob
}

// jointEntropy is the entropy of all events together, bits.
func (b belief) jointEntropy() float64 {
	prob := b.eventStates()
	var p []float64
	for _, set := range sortedKeys(prob) {
		p = append(p, prob[set])
	}
	return entropyBits(p)
}

// game is the log odds of a target by which players' findings are known.
type game struct {
	players int
	value   []float64 // per set of players
}

func (o *oracle) game(standing, players known, in func(world) bool) game {
	base := o.given(standing).weight
	var factor [][]float64
	for _, f := range sortedKeys(players) {
		factor = append(factor, o.likelihoods(f, players[f]))
	}
	side := make([]int, len(o.worlds))
	for i, w := range o.worlds {
		if in(w) {
			side[i] = 1
		}
	}
	g := game{len(factor), make([]float64, 1<<len(factor))}
	for set := range g.value {
		var mass [2]float64
		for i, p := range base {
			for j := range factor {
				if set>>j&1 == 1 {
					p *= factor[j][i]
				}
			}
			mass[side[i]] += p
		}
		g.value[set] = math.Log(mass[1]) - math.Log(mass[0])
	}
	return g
}

// byOrders is the Shapley value as defined: the mean, over all orders of the
// players, of what each adds when it comes (Shapley 1953).
func (g game) byOrders() []float64 {
	pull := make([]float64, g.players)
	orders := 0
	var come func(set int, added []float64)
	come = func(set int, added []float64) {
		if set == 1<<g.players-1 {
			orders++
			for i := range pull {
				pull[i] += added[i]
			}
			return
		}
		for i := range g.players {
			if set>>i&1 == 0 {
				added[i] = g.value[set|1<<i] - g.value[set]
				come(set|1<<i, added)
			}
		}
	}
	come(0, make([]float64, g.players))
	for i := range pull {
		pull[i] /= float64(orders)
	}
	return pull
}

// bySubsets is the same by the subset formula, weight |S|!(n-|S|-1)!/n!.
func (g game) bySubsets() []float64 {
	pull := make([]float64, g.players)
	for i := range pull {
		for set := range g.value {
			if set>>i&1 == 0 {
				s := bits.OnesCount(uint(set))
				share := math.Gamma(float64(s+1)) * math.Gamma(float64(g.players-s)) / math.Gamma(float64(g.players+1))
				pull[i] += share * (g.value[set|1<<i] - g.value[set])
			}
		}
	}
	return pull
}

// finite is true when no set of players makes the target certain either way.
func (g game) finite() bool {
	for _, v := range g.value {
		if math.IsInf(v, 0) || math.IsNaN(v) {
			return false
		}
	}
	return true
}
