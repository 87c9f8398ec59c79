package bdd_test

import (
	"errors"
	"math/bits"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/bdd"
)

const levels = 6

// table is a function of six variables as its 64 values: bit i is the value
// where variable v is bit v of i. It shares nothing with the diagrams.
type table uint64

func variable(v int) table {
	t := table(0)
	for i := range 1 << levels {
		if i>>v&1 == 1 {
			t |= 1 << i
		}
	}
	return t
}

func atLeast(k int, of []table) table {
	t := table(0)
	for i := range 1 << levels {
		count := 0
		for _, f := range of {
			count += int(f >> i & 1)
		}
		if count >= k {
			t |= 1 << i
		}
	}
	return t
}

// values walks a diagram down for every assignment.
func values(m *bdd.Manager, n bdd.Node) table {
	t := table(0)
	for i := range 1 << levels {
		at := n
		for at > bdd.True {
			lo, hi := m.Branches(at)
			if i>>m.Level(at)&1 == 1 {
				at = hi
			} else {
				at = lo
			}
		}
		if at == bdd.True {
			t |= 1 << i
		}
	}
	return t
}

// pool holds functions both ways.
type pool struct {
	*rand.Rand
	m     *bdd.Manager
	nodes []bdd.Node
	truth []table
}

func newPool(seed uint64, limit int) *pool {
	p := &pool{Rand: rand.New(rand.NewPCG(seed, 0)), m: bdd.New(levels, limit)}
	p.keep(bdd.False, 0)
	p.keep(bdd.True, ^table(0))
	for v := range levels {
		p.keep(p.m.Var(v), variable(v))
	}
	return p
}

func (p *pool) keep(n bdd.Node, t table) {
	p.nodes = append(p.nodes, n)
	p.truth = append(p.truth, t)
}

// grow joins functions of the pool by a random operation.
func (p *pool) grow() {
	a, b, c := p.IntN(len(p.nodes)), p.IntN(len(p.nodes)), p.IntN(len(p.nodes))
	x, y, z := p.nodes[a], p.nodes[b], p.nodes[c]
	tx, ty, tz := p.truth[a], p.truth[b], p.truth[c]
	switch p.IntN(5) {
	case 0:
		p.keep(p.m.And(x, y), tx&ty)
	case 1:
		p.keep(p.m.Or(x, y), tx|ty)
	case 2:
		p.keep(p.m.Not(x), ^tx)
	case 3:
		p.keep(p.m.ITE(x, y, z), tx&ty|^tx&tz)
	default:
		k := p.IntN(6) - 1 // from below nothing to above all
		p.keep(p.m.AtLeast(k, []bdd.Node{x, y, z}), atLeast(k, []table{tx, ty, tz}))
	}
}

// TestOperations: random functions against truth tables; and, the diagrams being
// reduced and ordered (Bryant 1986), equal functions are one node.
func TestOperations(t *testing.T) {
	for seed := range uint64(200) {
		p := newPool(seed, 1<<20)
		for range 150 {
			p.grow()
		}
		require.NoError(t, p.m.Err())
		node := map[table]bdd.Node{}
		for i, n := range p.nodes {
			require.Equal(t, p.truth[i], values(p.m, n), "seed %d function %d", seed, i)
			if first, ok := node[p.truth[i]]; ok {
				require.Equal(t, first, n, "seed %d: one function, two nodes", seed)
			}
			node[p.truth[i]] = n
		}
		p.ordered(t)
	}
}

// ordered: branches lie below, have smaller numbers, and differ.
func (p *pool) ordered(t *testing.T) {
	for _, n := range p.nodes {
		if n <= bdd.True {
			require.Equal(t, levels, p.m.Level(n))
			continue
		}
		lo, hi := p.m.Branches(n)
		require.NotEqual(t, lo, hi)
		require.Less(t, max(lo, hi), n)
		require.Less(t, p.m.Level(n), min(p.m.Level(lo), p.m.Level(hi)))
	}
}

// TestAtLeastMany: k of n variables has C(n,k)+C(n,k+1)+... true rows, and needs
// no more than k(n-k+1) inner nodes (Bryant 1986, symmetric functions).
func TestAtLeastMany(t *testing.T) {
	for k := 1; k <= levels; k++ {
		m := bdd.New(levels, 1000)
		var of []bdd.Node
		for v := range levels {
			of = append(of, m.Var(v))
		}
		n := m.AtLeast(k, of)
		want := 0
		for i := range 1 << levels {
			if bits.OnesCount(uint(i)) >= k {
				want++
			}
		}
		require.Equal(t, want, bits.OnesCount64(uint64(values(m, n))))
		require.Equal(t, k*(levels-k+1)+2, m.Diagram(n).Size())
	}
}

// TestLimit: under every limit a pool of functions is either right or refused,
// and once refused it stays so: a new function is never claimed.
func TestLimit(t *testing.T) {
	refused := 0
	for seed := range uint64(40) {
		for limit := 2; limit < 200; limit++ {
			p := newPool(seed, limit)
			for range 60 {
				p.grow()
				if p.m.Err() != nil {
					break
				}
				last := len(p.nodes) - 1
				require.Equal(t, p.truth[last], values(p.m, p.nodes[last]), "seed %d limit %d", seed, limit)
			}
			require.LessOrEqual(t, p.m.Size(), limit)
			if p.m.Err() != nil {
				refused++
				p.staysRefused(t)
			}
		}
	}
	require.Greater(t, refused, 1000)
}

func (p *pool) staysRefused(t *testing.T) {
	require.True(t, errors.Is(p.m.Err(), bdd.ErrTooWide))
	size := p.m.Size()
	for range 50 {
		p.grow()
		require.True(t, errors.Is(p.m.Err(), bdd.ErrTooWide))
	}
	require.Equal(t, size, p.m.Size(), "it grew past its limit")
}

// TestVariables asks for 5,000 variables twice: the table of nodes, which grows
// several times on the way, finds every one again.
func TestVariables(t *testing.T) {
	const n = 5000
	m := bdd.New(n, 1<<20)
	var first []bdd.Node
	for v := range n {
		first = append(first, m.Var(v))
	}
	size := m.Size()
	for v := range n {
		require.Equal(t, first[v], m.Var(v))
	}
	require.Equal(t, size, m.Size())
}

// TestMany makes more nodes than the first tables hold: both must grow and keep
// every node one of a kind. The odd-or-even function of n variables has 2n-1
// inner nodes in any order.
func TestMany(t *testing.T) {
	const n = 3000
	m := bdd.New(n, 1<<20)
	odd := bdd.False
	for v := n - 1; v >= 0; v-- {
		odd = m.ITE(m.Var(v), m.Not(odd), odd)
	}
	require.NoError(t, m.Err())
	require.Equal(t, 2*n-1+2, m.Diagram(odd).Size())
	other := bdd.False // the same by other steps: even, from the last variable up
	for v := n - 1; v >= 0; v-- {
		even := m.Not(other)
		x := m.Var(v)
		other = m.Or(m.And(m.Not(x), other), m.And(even, x))
	}
	require.Equal(t, odd, other, "one function, two nodes")
	require.Equal(t, odd, m.Not(m.Not(odd)))
}
