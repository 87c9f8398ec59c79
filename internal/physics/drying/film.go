package drying

// segment is a run of coats without liquid between the board or a wet coat
// below and a wet coat or the air above.
type segment struct {
	first, last  int // coats
	below, above int // wet coats, -1 for board and air
}

// segments finds them, from the board up.
func (r *run) segments() {
	r.parts = r.parts[:0]
	s := segment{first: -1, below: -1, above: -1}
	r.top = -1
	for i := range r.coats {
		switch c := &r.coats[i]; {
		case c.hi == c.lo: // sanded away
		case c.wet:
			if s.first >= 0 {
				s.above = i
				r.parts = append(r.parts, s)
			}
			s = segment{first: -1, below: i, above: -1}
			r.top = i
		default:
			if s.first < 0 {
				s.first = i
			}
			s.last = i
			r.top = -1
		}
	}
	if s.first >= 0 {
		r.parts = append(r.parts, s)
	}
}

// outerSegment solves the segment that ends at the free face.
func (r *run) outerSegment(s segment, tau float64) error {
	r.assemble(s)
	c, lo := &r.coats[s.last], r.coats[s.first].lo
	last := c.hi
	r.up[last], r.add[last] = 0, 0
	r.eliminate(lo, last, tau)
	a, _ := c.activity(r.u[last-1])
	feed := supply{coat: c, alpha: r.right[last-1] * r.pivot[last-1], beta: tau * r.pivot[last-1],
		half: c.half(a, r.edge[last])}
	if err := r.face(&feed); err != nil {
		return err
	}
	r.substitute(lo, last, tau, feed.alpha-feed.beta*r.rate)
	r.flux[last] = r.rate
	return nil
}

// innerSegment solves one segment that ends under a wet coat.
func (r *run) innerSegment(s segment, tau float64) {
	r.assemble(s)
	last := r.coats[s.last].hi
	c := &r.coats[s.last]
	u := r.u[last-1]
	a, da := c.activity(u)
	g := 1 / c.half(a, 1)
	r.up[last], r.down[last], r.add[last] = g*da, 0, g*(a-da*u-1)
	lo := r.coats[s.first].lo
	r.eliminate(lo, last, tau)
	top := r.right[last-1] * r.pivot[last-1]
	r.substitute(lo, last, tau, top)
	r.flux[last] = r.up[last]*top + r.add[last]
}

// assemble sets the linear fluxes within and below a segment about the present
// contents: flux[i] = up[i] u[i-1] - down[i] u[i] + add[i], from cell i-1 to i.
func (r *run) assemble(s segment) {
	lo := r.coats[s.first].lo
	r.up[lo], r.down[lo], r.add[lo] = 0, 0, 0
	if s.below >= 0 {
		r.fed(s)
	}
	for j := s.first; j <= s.last; j++ {
		c := &r.coats[j]
		if c.hi == c.lo {
			continue
		}
		if c.lo > lo {
			r.joint(r.under(j), c)
		}
		r.within(c)
	}
}

// within sets the fluxes between the cells of one coat.
func (r *run) within(c *coat) {
	u := r.u[c.lo:c.hi]
	up, down, add := r.up[c.lo:c.hi], r.down[c.lo:c.hi], r.add[c.lo:c.hi]
	slope, constant := c.linear(u[0])
	for i := 1; i < len(u); i++ {
		up[i], add[i] = slope, constant
		slope, constant = c.linear(u[i])
		down[i] = slope
		add[i] -= constant
	}
}

// under is the coat that coat j lies on.
func (r *run) under(j int) *coat {
	for j--; r.coats[j].hi == r.coats[j].lo; j-- {
	}
	return &r.coats[j]
}

// fed sets the flux from a wet coat into the segment over it: vapour through
// that coat's own empty skin, then the lower half of the first cell.
func (r *run) fed(s segment) {
	wet, c := &r.coats[s.below], &r.coats[s.first]
	skin, _ := wet.emptySkin(wet.liquid)
	u := r.u[c.lo]
	a, da := c.activity(u)
	g := 1 / (c.half(a, r.edge[c.lo]) + skin/r.rho)
	r.edge[c.lo] = 1 - g*(1-a)*skin/r.rho
	r.down[c.lo], r.add[c.lo] = g*da, g*(1-a+da*u)
}

// joint sets the flux between two coats, their activities equal at the joint.
func (r *run) joint(lower, upper *coat) {
	i := upper.lo
	ul, uu := r.u[i-1], r.u[i]
	al, dl := lower.activity(ul)
	au, du := upper.activity(uu)
	rl, ru := lower.half(al, r.edge[i]), upper.half(au, r.edge[i])
	g := 1 / (rl + ru)
	r.edge[i] = (al*ru + au*rl) * g
	r.up[i], r.down[i] = g*dl, g*du
	r.add[i] = g * (al - dl*ul - au + du*uu)
}

// eliminate reduces the equations of cells lo to hi, mass (u - before) =
// tau (flux in - flux out), from below, so that each cell depends on the one
// above it only. The flux out of the last cell is counted as far as up and add
// there give it.
func (r *run) eliminate(lo, hi int, tau float64) {
	n := hi - lo
	mass, before := r.mass[lo:hi], r.before[lo:hi]
	up, down, add := r.up[lo:hi+1], r.down[lo:hi+1], r.add[lo:hi+1]
	pivot, right := r.pivot[lo:hi], r.right[lo:hi]
	carry, rest := 0.0, 0.0 // from the cell below
	for i := 0; i < n; i++ {
		w := tau * up[i] * carry
		d := mass[i] + tau*(down[i]+up[i+1]) - w*tau*down[i]
		e := mass[i]*before[i] + tau*(add[i]-add[i+1]) + w*rest
		carry, rest = 1/d, e
		pivot[i], right[i] = carry, rest
	}
}

// substitute gives all contents from that of the last cell, and the fluxes
// below it.
func (r *run) substitute(lo, hi int, tau, last float64) {
	up, down, add := r.up[lo:hi], r.down[lo:hi], r.add[lo:hi]
	pivot, right, flux := r.pivot[lo:hi], r.right[lo:hi], r.flux[lo:hi]
	above := last
	for i := hi - lo - 1; i > 0; i-- {
		below := (right[i-1] + tau*down[i]*above) * pivot[i-1]
		flux[i] = up[i]*below - down[i]*above + add[i]
		above = below
	}
	flux[0] = add[0] - down[0]*above
}
