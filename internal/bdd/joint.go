package bdd

// Joint answers, for functions of one manager, how probable it is that a
// function and a root both hold. It exists for pricing questions: there are
// hundreds of small functions and a handful of large roots, and building each
// conjunction would cost far more than measuring it.
//
// A Joint belongs to one set of weights; make a new one when they change.
type Joint struct {
	m     *Manager
	w     []Weight
	value []float64 // probability of each node's function
	pairs map[pair]float64
}

type pair struct{ a, b Node }

// NewJoint prepares measuring with the weights w (one per level).
func (m *Manager) NewJoint(w []Weight) *Joint {
	j := &Joint{m: m, w: w, value: make([]float64, 2, len(m.cells)), pairs: map[pair]float64{}}
	j.value[True] = 1
	j.grow()
	return j
}

// Prob is the probability of one function.
func (j *Joint) Prob(a Node) float64 {
	j.grow()
	return j.value[a]
}

// Both is the probability that a and b hold together.
func (j *Joint) Both(a, b Node) float64 {
	j.grow()
	return j.both(a, b)
}

func (j *Joint) both(a, b Node) float64 {
	switch {
	case a == False || b == False:
		return 0
	case a == True:
		return j.value[b]
	case b == True || a == b:
		return j.value[a]
	}
	if a > b {
		a, b = b, a
	}
	key := pair{a, b}
	if v, ok := j.pairs[key]; ok {
		return v
	}
	v := j.split(a, b)
	j.pairs[key] = v
	return v
}

func (j *Joint) split(a, b Node) float64 {
	ca, cb := j.m.cells[a], j.m.cells[b]
	level := min(ca.level, cb.level)
	alo, ahi, blo, bhi := a, a, b, b
	if ca.level == level {
		alo, ahi = ca.lo, ca.hi
	}
	if cb.level == level {
		blo, bhi = cb.lo, cb.hi
	}
	p := j.w[level]
	return p[0]*j.both(alo, blo) + p[1]*j.both(ahi, bhi)
}

// grow extends the values to nodes made since.
func (j *Joint) grow() {
	for i := len(j.value); i < len(j.m.cells); i++ {
		c := j.m.cells[i]
		p := j.w[c.level]
		j.value = append(j.value, p[0]*j.value[c.lo]+p[1]*j.value[c.hi])
	}
}
