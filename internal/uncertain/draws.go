package uncertain

import "math/bits"

// Draws is a fixed set of draws of any number of inputs. Draw i of one input
// belongs with draw i of every other.
//
// Each input has a sequence of its own, chosen by its id and the seed: the
// radical inverse in base 2 with its digits scrambled by nested random flips
// (Owen 1995, "Randomly permuted (t,m,s)-nets and (t,s)-sequences"), and with
// the order of the draws 2^k to 2^(k+1)-1 shuffled for every k. The first 2^k
// draws of an input hold exactly one value in each of 2^k equal slices of its
// range, which is what makes a few hundred draws enough; between inputs the
// order is as good as random. Adding an input changes no other, and more draws
// only append. A number of draws that is a power of two is best.
type Draws struct {
	n    int
	seed uint64
}

// NewDraws gives n draws; n below 1 gives one, the middle not being special.
func NewDraws(n int, seed uint64) Draws { return Draws{n: max(n, 1), seed: seed} }

// Len is the number of draws.
func (d Draws) Len() int { return d.n }

// Value gives one draw of an input. The input must pass its Check; the draw
// counts from 0, and one beyond Len continues the sequence.
func (d Draws) Value(in Input, draw int) float64 {
	if in.IsExact() {
		return in.Low
	}
	return in.At(d.Unit(in.ID, draw))
}

// Unit gives the draw on the scale from 0 to 1, both excluded, for a spread
// that Input cannot state.
func (d Draws) Unit(id string, draw int) float64 {
	key := named(d.seed, id)
	order := shuffle(uint32(draw), key)
	digits := scramble(bits.Reverse32(order), mixed(key))
	return (float64(digits) + 0.5) / (1 << 32)
}

// shuffle permutes the numbers 2^k to 2^(k+1)-1 for every k. Each of its rounds
// is made of steps that can be undone within k binary digits: an addition, a
// multiplication by an odd number and an exclusive or with higher digits.
//
// Shuffling by nested flips as well would keep neighbours together in every
// input, and make chance correlations between inputs a third larger.
func shuffle(i uint32, key uint64) uint32 {
	if i < 2 {
		return i
	}
	k := bits.Len32(i) - 1
	within := uint32(1)<<k - 1
	low := i & within
	for round := range uint64(4) {
		r := mixed(key + 1 + round)
		low = (low + uint32(r)) & within
		low = low * (uint32(r>>32) | 1) & within
		low ^= low >> (k/2 + 1)
	}
	return low | 1<<k
}

// scramble flips each binary digit of x by a coin that depends on the digits
// above it and on the key alone: Owen's nested scrambling. One hash gives the
// coins of a whole subtree of four levels, its root being coin 1 and the
// children of coin n being 2n and 2n+1.
func scramble(x uint32, key uint64) uint32 {
	const levels = 4
	var flips uint32
	for top := 0; top < 32; top += levels {
		above := uint64(x)>>(32-top) | 1<<top // the 1 tells 0 from 00
		coins := mixed(key ^ above*0x9e3779b97f4a7c15)
		digits := x >> (32 - levels - top) & (1<<levels - 1)
		for level := range levels {
			node := 1<<level | digits>>(levels-level)
			flips |= uint32(coins>>node&1) << (31 - top - level)
		}
	}
	return x ^ flips
}

// mixed is the finaliser of SplitMix64 (Steele, Lea, Flood 2014, "Fast
// splittable pseudorandom number generators").
func mixed(z uint64) uint64 {
	z += 0x9e3779b97f4a7c15
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// named makes a key of a seed and an id: FNV-1a over the id, mixed with the
// seed.
func named(seed uint64, id string) uint64 {
	h := uint64(0xcbf29ce484222325)
	for i := range len(id) {
		h = (h ^ uint64(id[i])) * 0x100000001b3
	}
	return mixed(h ^ mixed(seed))
}
