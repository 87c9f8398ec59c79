package bdd

// And is true when a and b both are.
func (m *Manager) And(a, b Node) Node {
	switch {
	case a == b, b == True:
		return a
	case a == True:
		return b
	case a == False, b == False, m.err != nil:
		return False
	}
	return m.binary(opAnd, a, b)
}

// Or is true when a or b is.
func (m *Manager) Or(a, b Node) Node {
	switch {
	case a == b, b == False:
		return a
	case a == False:
		return b
	case a == True, b == True:
		return True
	case m.err != nil:
		return False
	}
	return m.binary(opOr, a, b)
}

func (m *Manager) apply(o op, a, b Node) Node {
	if o == opAnd {
		return m.And(a, b)
	}
	return m.Or(a, b)
}

// binary is And or Or of two functions neither of which is constant.
func (m *Manager) binary(o op, a, b Node) Node {
	if a > b {
		a, b = b, a
	}
	key := memo{op: o, a: a, b: b}
	if e := m.cache[key.slot(m.mask())]; e.op == o && e.a == a && e.b == b {
		return e.out
	}
	ca, cb := m.cells[a], m.cells[b]
	var lo, hi Node
	level := ca.level
	switch {
	case ca.level == cb.level:
		lo, hi = m.apply(o, ca.lo, cb.lo), m.apply(o, ca.hi, cb.hi)
	case ca.level < cb.level:
		lo, hi = m.apply(o, ca.lo, b), m.apply(o, ca.hi, b)
	default:
		level = cb.level
		lo, hi = m.apply(o, a, cb.lo), m.apply(o, a, cb.hi)
	}
	key.out = m.node(level, lo, hi)
	m.remember(key)
	return key.out
}

// Not is true when a is false.
func (m *Manager) Not(a Node) Node {
	if a <= True {
		return 1 - a
	}
	key := memo{op: opNot, a: a}
	if e := m.cache[key.slot(m.mask())]; e.op == opNot && e.a == a {
		return e.out
	}
	if m.err != nil {
		return False
	}
	c := m.cells[a]
	key.out = m.node(c.level, m.Not(c.lo), m.Not(c.hi))
	m.remember(key)
	return key.out
}

// ITE is b where a is true and c where it is false.
func (m *Manager) ITE(a, b, c Node) Node {
	return m.Or(m.And(a, b), m.And(m.Not(a), c))
}

// AtLeast is true when k or more of the functions are. k of 0 or less is
// True, k above their number is False.
func (m *Manager) AtLeast(k int, of []Node) Node {
	if k <= 0 {
		return True
	}
	if k > len(of) {
		return False
	}
	// need[j] is "at least j of those looked at so far", from the last up.
	need := make([]Node, k+1)
	need[0] = True
	for i := len(of) - 1; i >= 0; i-- {
		for j := k; j >= 1; j-- {
			need[j] = m.Or(need[j], m.And(of[i], need[j-1]))
		}
	}
	return need[k]
}

func (m *Manager) mask() uint32 { return uint32(len(m.cache) - 1) }

func (m *Manager) remember(e memo) {
	if m.err == nil { // a result cut short by the limit is not the truth
		m.cache[e.slot(m.mask())] = e
	}
}
