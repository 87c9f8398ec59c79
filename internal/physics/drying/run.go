package drying

import (
	"fmt"
	"math"

	"filmfault/internal/physics/drying/exchange"
)

// run is one computation under way.
type run struct {
	options Options
	panel   exchange.Face
	air     Air
	hint    int // where the last mean of the air ended
	mask    *Mask

	coats []coat
	parts []segment
	top   int // wet coat at the free face, or -1

	now     float64
	ambient exchange.Ambient
	surface float64 // film temperature, K
	rho     float64 // vapour density at saturation there, kg/m3
	heat    float64 // coefficient of convection, W/(m2 K)
	outer   float64 // resistance of the air to vapour, s/m
	over    float64 // vapour pressure over the film, Pa, that the coefficient is for
	tried   float64 // temperature that it is for, K
	rate    float64 // out of the free face, kg/(m2 s)
	rate1   float64 // the same in the first stage
	middle  float64 // of the step, s
	care    float64 // 1, or less where the iteration must be strict
	round   int     // of the iteration of a stage
	part    float64 // of the way an iteration goes
	settled bool    // the iteration has

	cells
	trace Trace
}

// cells holds what there is for each cell, and for each edge below one and at
// the face.
type cells struct {
	u, mass, before, next, pivot, right []float64
	edge, flux, up, down, add           []float64
	begin, first                        []float64 // contents and fluxes kept over a step
}

// Simulate follows the water in a stack along the air and the events.
//
// Errors: a value outside the range stated at its field, an event that cannot
// be (a coat over a mask, more sanded off than there is), air not known all the
// time, a film colder than -40 C or hotter than 100 C.
//
// Accuracy: second order in cells and steps; water is conserved to round-off;
// with the usual options a week of changing air comes within 1 % of one
// computed in one-minute steps. Against nature: a factor of two (see the
// package comment).
func Simulate(s Stack, air Air, events []Event, o Options) (Trace, error) {
	o, err := o.filled()
	if err != nil {
		return Trace{}, err
	}
	if err := s.Check(); err != nil {
		return Trace{}, err
	}
	events, err = orderly(events, o)
	if err != nil {
		return Trace{}, err
	}
	if err := air.covers(o.From, o.To); err != nil {
		return Trace{}, err
	}
	r := newRun(s, air, o)
	if err := r.all(events); err != nil {
		return Trace{}, err
	}
	return r.finished(), nil
}

// covers refuses a log that does not reach as far as the computation.
func (a Air) covers(from, to float64) error {
	first, last := a.Span()
	if from >= first && to <= last {
		return nil
	}
	return fmt.Errorf("the air is known from %g to %g s, and was asked for from %g to %g s", first, last, from, to)
}

// newRun makes ready.
func newRun(s Stack, air Air, o Options) *run {
	r := &run{options: o, panel: s.Face, air: air, mask: s.Mask, now: o.From}
	r.grow(0)
	for i := range s.Layers {
		r.lay(s.Layers[i])
		r.trace.Balance.Start += s.Layers[i].Water
	}
	r.trace.reserve(int((o.To-o.From)/o.MaxStep)+100, len(s.Layers)+4)
	return r
}

// all runs from the first event to the end.
func (r *run) all(events []Event) error {
	if err := r.peek(true); err != nil {
		return err
	}
	jumps := r.air.log.jumps
	for len(events) > 0 || r.now < r.options.To {
		for len(jumps) > 0 && jumps[0] <= r.now {
			jumps = jumps[1:]
		}
		stop := r.options.To
		if len(jumps) > 0 {
			stop = min(stop, jumps[0])
		}
		if len(events) > 0 {
			stop = min(stop, events[0].Time)
		}
		if err := r.advance(stop); err != nil {
			return err
		}
		for len(events) > 0 && events[0].Time <= r.now {
			if err := r.happen(events[0]); err != nil {
				return fmt.Errorf("at %g s: %w", events[0].Time, err)
			}
			events = events[1:]
		}
	}
	return nil
}

// happen does what an event says and records the face after it.
func (r *run) happen(e Event) error {
	switch {
	case e.Coat != nil:
		if r.mask != nil {
			return fmt.Errorf("a coat cannot be applied while the mask is on: take it off first")
		}
		r.lay(*e.Coat)
		r.trace.Balance.Applied += e.Coat.Water
	case e.Mask != nil:
		if r.mask != nil {
			return fmt.Errorf("a mask cannot be laid over a mask: take the first one off")
		}
		mask := *e.Mask
		r.mask = &mask
	case e.MaskOff:
		if r.mask == nil {
			return fmt.Errorf("there is no mask to take off")
		}
		r.mask = nil
	default:
		if err := r.sand(e.Sanded); err != nil {
			return err
		}
	}
	r.close()
	return r.peek(false)
}

// lay puts a coat on top.
func (r *run) lay(l Layer) {
	c := newCoat(l)
	n := len(r.u)
	c.lo, c.hi = n, n+r.options.Cells
	c.mass = c.dryMass() / float64(r.options.Cells)
	r.coats = append(r.coats, c)
	r.trace.Coats = append(r.trace.Coats, CoatTimes{Applied: r.now, TackFree: math.NaN(), Emptied: math.NaN()})
	last := &r.trace.Coats[len(r.trace.Coats)-1]
	if !c.wet {
		last.TackFree, last.Emptied = r.now, r.now
	}
	r.grow(c.hi)
	for i := c.lo; i < c.hi; i++ {
		r.u[i], r.mass[i] = c.content(), c.mass
	}
}

// grow makes room for n cells and forgets the edges, whose activities are
// guesses to start from.
func (r *run) grow(n int) {
	for _, s := range []*[]float64{&r.u, &r.mass} {
		*s = append(*s, make([]float64, max(n-len(*s), 0))...)[:n]
	}
	for _, s := range []*[]float64{&r.before, &r.next, &r.pivot, &r.right, &r.begin} {
		*s = make([]float64, n)
	}
	for _, s := range []*[]float64{&r.edge, &r.flux, &r.up, &r.down, &r.add, &r.first} {
		*s = make([]float64, n+1)
	}
	for i := range r.edge {
		r.edge[i] = 0.5
	}
}

// sand takes a dry thickness off the top, with the water it holds.
func (r *run) sand(depth float64) error {
	var all float64
	for i := range r.coats {
		all += r.coats[i].dry
	}
	if depth > all*(1+1e-9) {
		return fmt.Errorf("%.3g mm cannot be sanded off a film of %.3g mm", depth*1e3, all*1e3)
	}
	for i := len(r.coats) - 1; i >= 0 && depth > 0; i-- {
		before := r.coatWater(i)
		part := min(depth, r.coats[i].dry)
		r.thin(i, part)
		r.trace.Balance.Sanded += before - r.coatWater(i)
		depth -= part
	}
	return nil
}

// thin takes a dry thickness off one coat and spreads its profile over the same
// number of cells, or none when all is gone.
func (r *run) thin(j int, depth float64) {
	c := &r.coats[j]
	n := c.hi - c.lo
	left := c.dry - depth
	if left < 1e-9*c.dry || left <= 1e-9 {
		c.dry, c.liquid, c.wet = 0, 0, false
		r.remove(j)
		return
	}
	share := left / c.dry
	old := append([]float64(nil), r.u[c.lo:c.hi]...)
	for i := range n {
		r.u[c.lo+i] = meanOf(old, float64(i)*share, float64(i+1)*share)
	}
	c.dry, c.liquid, c.pores, c.skin = left, c.liquid*share, c.pores*share, c.skin*share
	c.mass = c.dryMass() / float64(n)
	c.start, c.tack = c.start*share, c.tack*share
	for i := c.lo; i < c.hi; i++ {
		r.mass[i] = c.mass
	}
}

// meanOf is the mean of steps of length 1 between two places.
func meanOf(steps []float64, from, to float64) float64 {
	var sum float64
	for i := int(from); i < len(steps) && float64(i) < to; i++ {
		sum += steps[i] * (min(to, float64(i+1)) - max(from, float64(i)))
	}
	return sum / (to - from)
}

// remove takes the cells of a coat that is gone out; coats above it are gone
// already.
func (r *run) remove(j int) {
	r.coats[j].hi = r.coats[j].lo
	r.grow(r.coats[j].lo)
	for i := j + 1; i < len(r.coats); i++ {
		r.coats[i].lo, r.coats[i].hi = r.coats[j].lo, r.coats[j].lo
	}
}

// coatWater is the water in a coat in kg/m2.
func (r *run) coatWater(j int) float64 {
	c := &r.coats[j]
	water := c.liquid
	for i := c.lo; i < c.hi; i++ {
		water += r.u[i] * r.mass[i]
	}
	return water
}
