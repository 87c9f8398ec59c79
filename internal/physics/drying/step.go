package drying

import (
	"math"
)

// gamma makes the two-stage method of Alexander (1977, SIAM Journal on
// Numerical Analysis 14, 1006-1021) second order and free of ringing: 1 - 1/sqrt 2.
const gamma = 1 - 0.70710678118654752440

// firstStep after anything sudden, and the step below which none is made shorter
// for the sake of its error, in s.
const firstStep, leastStep = 20, 1

// advance computes up to a time.
func (r *run) advance(stop float64) error {
	step := min(firstStep, r.options.MaxStep)
	if r.options.Fixed {
		step = r.options.MaxStep
	}
	for r.now < stop {
		dt := min(step, stop-r.now)
		if left := stop - r.now - dt; left > 0 && left < 0.5*dt && !r.options.Fixed {
			dt = (stop - r.now) / 2 // rather two equal steps than a stub
		}
		next, err := r.step(dt, stop)
		if err != nil {
			return err
		}
		step = next
	}
	return nil
}

// step takes one step of dt or, where a coat runs dry or the error is too
// large, a shorter one. It gives the length for the next.
func (r *run) step(dt, stop float64) (next float64, err error) {
	r.keep()
	for try := 0; ; try++ {
		wrong, err := r.attempt(dt)
		if err != nil {
			return 0, err
		}
		if shorter := r.untilEmpty(dt); shorter < dt && try < 8 {
			dt = shorter
			r.restore()
			continue
		}
		if wrong > 4 && dt > leastStep && try < 8 && !r.options.Fixed {
			dt *= max(0.9/math.Sqrt(wrong), 0.2)
			r.restore()
			continue
		}
		next = max(dt*min(max(0.9/math.Sqrt(max(wrong, 1e-9)), 0.3), 2), leastStep)
		break
	}
	if r.now+dt >= stop-1e-9*max(1, math.Abs(stop)) {
		r.now = stop
	} else {
		r.now += dt
	}
	r.account(dt)
	if r.drain() {
		next = firstStep
	}
	if r.options.Fixed {
		next = r.options.MaxStep
	}
	return min(next, r.options.MaxStep), nil
}

// keep remembers the state before a step.
func (r *run) keep() {
	copy(r.begin, r.u)
	for j := range r.coats {
		r.coats[j].kept = r.coats[j].liquid
	}
}

// restore goes back to it.
func (r *run) restore() {
	copy(r.u, r.begin)
	for j := range r.coats {
		r.coats[j].liquid = r.coats[j].kept
	}
}

// attempt computes both stages of a step and gives the estimate of its error
// over what is allowed. The estimate is what a first-order method would be out
// by, which is more than this one is.
func (r *run) attempt(dt float64) (wrong float64, err error) {
	if err := r.breathe(r.now, r.now+dt); err != nil {
		return 0, err
	}
	r.segments()
	r.stageFrom(0, gamma*dt)
	if err := r.stage(gamma * dt); err != nil {
		return 0, err
	}
	r.rate1 = r.rate
	copy(r.first, r.flux)
	for j := range r.coats {
		c := &r.coats[j]
		c.lost1 = c.lost
	}
	r.stageFrom((1-gamma)*dt, gamma*dt)
	if err := r.stage(gamma * dt); err != nil {
		return 0, err
	}
	return r.estimate(dt), nil
}

// breathe takes the mean air of a step in.
func (r *run) breathe(from, to float64) error {
	air, hint := r.air.mean(from, to, r.hint)
	r.hint = hint
	ambient, err := r.panel.In(air)
	if err != nil {
		return err
	}
	if r.heat > 0 { // guess that the film follows the air
		r.surface = min(max(r.surface+air.Temperature-r.ambient.Air.Temperature, coldestFilm), hottestFilm)
	}
	r.ambient = ambient
	if r.heat > 0 {
		r.convect(r.surface, r.over)
	}
	r.middle = (from + to) / 2
	return nil
}

// stageFrom sets the state a stage of tau starts from - that before the step and
// the first stage's fluxes for a time - and guesses where it ends: as if the
// latest fluxes went on.
func (r *run) stageFrom(past, tau float64) {
	for j := range r.coats {
		c := &r.coats[j]
		if c.wet {
			c.base = c.kept - past*c.lost1
			c.liquid = c.base - tau*c.lost
			continue
		}
		by, on := past/c.mass, tau/c.mass
		for i := c.lo; i < c.hi; i++ {
			r.before[i] = r.begin[i] + by*(r.first[i]-r.first[i+1])
			r.u[i] = r.before[i] + on*(r.flux[i]-r.flux[i+1])
		}
	}
}

// How little contents (as a share of the saturated one) and temperature (K) must
// move in the last iteration of a stage. The next one would move them by a tenth
// of it or less. While vapour passes open pores all conductances go with its
// density, and the iteration has to be strict.
const (
	settledContent = 0.02
	settledFilm    = 0.2
	strict         = 0.03
)

// stage solves an implicit step of tau from the state before it.
func (r *run) stage(tau float64) error {
	r.settled = false
	for r.round = 0; r.round < 20 && !r.settled; r.round++ {
		clear(r.flux)
		r.part = 1
		if r.round > 3 {
			r.part = 0.5 // it goes to and fro across the kink of saturation
		}
		warm := r.surface
		r.warm()
		if err := r.solve(tau); err != nil {
			return err
		}
		r.settled = math.Abs(r.surface-warm) < settledFilm*r.care
		for j := range r.coats {
			r.move(&r.coats[j], tau)
		}
	}
	r.round = 0
	for j := range r.coats {
		if c := &r.coats[j]; !c.wet {
			copy(r.u[c.lo:c.hi], r.next[c.lo:c.hi])
		}
	}
	return nil
}

// warm sets all coats' conductances, and the care the stage needs.
func (r *run) warm() {
	r.care = 1
	activation, quickening := math.NaN(), 0.0 // most coats share them
	for j := range r.coats {
		c := &r.coats[j]
		if c.wet || c.hi == c.lo {
			continue
		}
		if c.Activation != activation {
			activation, quickening = c.Activation, c.quickening(r.surface)
		}
		c.warm(quickening, r.rho, r.middle)
		if c.pore > 0 {
			r.care = strict
		}
	}
}

// solve solves all parts of the stack once, the free face among them.
func (r *run) solve(tau float64) error {
	exposed := true // the face is not yet solved
	for _, s := range r.parts {
		if s.above >= 0 {
			r.innerSegment(s, tau)
			continue
		}
		exposed = false
		if err := r.outerSegment(s, tau); err != nil {
			return err
		}
	}
	if !exposed {
		return nil
	}
	feed := supply{tau: tau}
	if r.top >= 0 {
		feed.wet = &r.coats[r.top]
	}
	err := r.face(&feed)
	r.flux[len(r.flux)-1] = r.rate
	return err
}

// move takes a coat's new state from the fluxes, so that what leaves one place
// arrives at another whether or not the iteration has settled. The next
// iteration starts a part of the way there.
func (r *run) move(c *coat, tau float64) {
	if c.wet {
		c.lost = r.flux[c.hi] - r.flux[c.lo]
		left := c.base - tau*c.lost
		if math.Abs(left-c.liquid) > settledContent*c.pores*r.care {
			r.settled = false
		}
		c.liquid = left
		return
	}
	by, most := tau/c.mass, 0.0
	for i := c.lo; i < c.hi; i++ {
		u := r.before[i] + by*(r.flux[i]-r.flux[i+1])
		most = max(most, math.Abs(u-r.u[i]))
		r.next[i] = u
		r.u[i] += r.part * (u - r.u[i])
	}
	if most > settledContent*c.saturated*r.care {
		r.settled = false
	}
}

// estimate is the error of a step over what is allowed.
func (r *run) estimate(dt float64) float64 {
	var moved, water float64
	dried := false
	for j := range r.coats {
		c := &r.coats[j]
		water += 0.2 * c.saturated * c.dryMass()
		if c.wet {
			moved += math.Abs(c.lost - c.lost1)
			water += c.kept
			continue
		}
		for i := c.lo; i < c.hi; i++ {
			moved += math.Abs(r.flux[i] - r.flux[i+1] - r.first[i] + r.first[i+1])
			water += r.begin[i] * r.mass[i]
			dried = dried || r.u[i] < -1e-3*c.saturated
		}
	}
	if !r.settled || dried { // a step so long that it took more than there was
		return 100
	}
	if water == 0 {
		return 0
	}
	return gamma * dt * moved / (r.options.Tolerance * water)
}

// untilEmpty gives the step after which the first coat's liquid is just gone, or
// dt when none runs out.
func (r *run) untilEmpty(dt float64) float64 {
	shortest := dt
	for j := range r.coats {
		c := &r.coats[j]
		if c.wet && c.liquid < -1e-5*c.pores {
			shortest = min(shortest, dt*c.kept/(c.kept-c.liquid))
		}
	}
	return shortest
}

// drain turns coats whose liquid is gone into films. The rest, a ten-thousandth
// of the pores at most, goes to or comes from what is dissolved.
func (r *run) drain() (any bool) {
	for j := range r.coats {
		c := &r.coats[j]
		if !c.wet || c.liquid > 1e-4*c.pores {
			continue
		}
		for i := c.lo; i < c.hi; i++ {
			r.u[i] += c.liquid / (c.dryMass())
		}
		c.wet, c.liquid, any = false, 0, true
		times := &r.trace.Coats[j]
		times.Emptied = r.now
		if math.IsNaN(times.TackFree) {
			times.TackFree = r.now
		}
	}
	if any {
		clear(r.flux) // nothing to guess from
		r.close()
	}
	return any
}

// close lets the pores of emptied coats begin to close where nothing below
// keeps them open.
func (r *run) close() {
	for j := range r.coats {
		c := &r.coats[j]
		if !c.wet && math.IsInf(c.closes, 1) && !r.draining(j) {
			c.closes = r.now
		}
	}
}

// account records a step that has been taken.
func (r *run) account(dt float64) {
	r.trace.Balance.Evaporated += dt * ((1-gamma)*r.rate1 + gamma*r.rate)
	for j := range r.coats {
		c := &r.coats[j]
		if !c.wet || !math.IsNaN(r.trace.Coats[j].TackFree) {
			continue
		}
		dissolved := c.saturated * c.dryMass()
		if total := dissolved + c.liquid; total <= c.tack {
			back := 0.0
			if c.kept > c.liquid {
				back = min(max((c.tack-total)/(c.kept-c.liquid), 0), 1)
			}
			r.trace.Coats[j].TackFree = r.now - back*dt
		}
	}
	r.record()
}

// peek finds the film's temperature and rate as things are, moving nothing, and
// records the face.
func (r *run) peek(fresh bool) error {
	r.keep()
	if fresh {
		r.surface = r.air.Mean(r.now, r.now).Temperature
	}
	if err := r.breathe(r.now, r.now); err != nil {
		return err
	}
	if fresh {
		r.rho = r.ambient.Vapour
		r.convect(r.surface, 0)
	}
	r.segments()
	r.stageFrom(0, 0)
	if err := r.stage(1e-6); err != nil {
		return err
	}
	r.restore()
	r.record()
	return nil
}
