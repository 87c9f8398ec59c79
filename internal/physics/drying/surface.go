package drying

import (
	"errors"
	"math"

	"filmfault/internal/physics/moistair"
)

// errAstray says that the balance of the face has no solution in range.
var errAstray = errors.New("the film would be colder than -40 F or hotter than 212 F, which this computation is not for: check air temperature, sun and air speed")

// Limits of the film's temperature in K.
const coldestFilm, hottestFilm = 233.15, 373.15

// supply is how the film feeds its face: the activity there and the resistance
// before it, as functions of the rate n that leaves.
type supply struct {
	// of a film without liquid: content of the last cell less tau n, then half
	// that cell
	coat        *coat
	alpha, beta float64
	half        float64
	// of a wet coat
	wet *coat
	tau float64
}

// at gives activity and resistance in s/m at a rate, with their derivatives.
func (s *supply) at(n float64) (a, da, resistance, dr float64) {
	if s.wet != nil {
		resistance, slope := s.wet.emptySkin(s.wet.base - s.tau*n)
		return 1, 0, resistance, slope * s.tau
	}
	if s.coat == nil {
		return 0, 0, 0, 0
	}
	u := s.alpha - s.beta*n
	if u <= 0 { // an iteration that went too far from saturation
		return -s.half * n, -s.half, 0, 0
	}
	a, slope := s.coat.activity(u)
	return a - s.half*n, -slope*s.beta - s.half, 0, 0
}

// face solves mass and heat of the free face together: the vapour that leaves
// is what the film feeds and what the heat can evaporate. What is missing changes
// sign once, so that every step tells on which side of it the film's temperature
// lies; where Newton's step leads out of what is left or gets
// nowhere, as it may at the kink of saturation, the middle is taken.
func (r *run) face(s *supply) error {
	if s.coat == nil && s.wet == nil {
		return r.bare()
	}
	t, low, high := r.surface, coldestFilm, hottestFilm
	for try := range 150 {
		step, n, slope, err := r.newton(s, t)
		if err != nil {
			return err
		}
		if step > 0 {
			low = t
		} else {
			high = t
		}
		moved := t + step
		if !(moved >= low && moved <= high) || try > 8 && try%2 == 0 {
			moved = (low + high) / 2
		}
		change := moved - t
		r.rate, t = n+slope*change, moved
		if math.Abs(change) < 1e-4 { // the next step would be its square
			if t < coldestFilm+1e-3 || t > hottestFilm-1e-3 {
				return errAstray
			}
			r.settle(s, t)
			return nil
		}
	}
	return errAstray
}

// newton gives the step towards the film's temperature from t, the rate that the
// heat at t evaporates, and the rate's derivative; it leaves the vapour density at
// t.
func (r *run) newton(s *supply, t float64) (step, n, slope float64, err error) {
	rho, err := vapourDensity(t)
	if err != nil {
		return 0, 0, 0, err
	}
	r.rho = rho
	latent, err := moistair.LatentHeat(t)
	if err != nil {
		return 0, 0, 0, err
	}
	heat, dheat := r.ambient.Heat(t, r.heat)
	n, slope = heat/latent, dheat/latent
	a, da, own, down := s.at(n)
	resistance := r.outer + own
	if r.mask != nil {
		resistance += 1 / (r.mask.Permeance * moistair.GasConstantVapour * t)
	}
	miss := a*rho - r.ambient.Vapour - n*resistance
	drho := rho * (latent/(moistair.GasConstantVapour*t) - 1) / t // Clausius and Clapeyron
	rise := da*slope*rho + a*drho - slope*(resistance+n*down)
	if rise <= 0 { // far too cold, where the film could not feed the heat: only the side is known
		return math.Copysign(math.Inf(1), -miss), n, slope, nil
	}
	return -miss / rise, n, slope, nil
}

// settle takes a solution over and gives the coefficients at it.
func (r *run) settle(s *supply, t float64) {
	rho := r.rho
	r.surface = t
	a, _, own, _ := s.at(r.rate)
	r.edge[len(r.edge)-1] = a
	outside := a
	if own > 0 || r.mask != nil { // what the air meets lies outside skin and mask
		outside = (r.ambient.Vapour + r.rate*r.outer) / rho
	}
	r.convect(t, outside*rho*moistair.GasConstantVapour*t)
}

// convect sets the coefficients for a face at t with vapour at pv over it. Later
// iterations of a stage go half way, since free convection may swing, and the
// last ones, and those that hardly moved, leave them.
func (r *run) convect(t, pv float64) {
	if r.round > 3 || r.round > 0 && math.Abs(t-r.tried) < 0.02 && math.Abs(pv-r.over) < 0.002*r.over {
		return
	}
	r.over, r.tried = pv, t
	c := r.ambient.Coefficients(t, pv)
	if r.round > 0 {
		c.Heat, c.Mass = math.Sqrt(c.Heat*r.heat), math.Sqrt(c.Mass/r.outer)
	}
	r.heat, r.outer = c.Heat, 1/c.Mass
}

// bare settles a board with nothing on it: no vapour, only heat.
func (r *run) bare() error {
	r.rate = 0
	for range 60 {
		heat, slope := r.ambient.Heat(r.surface, r.heat)
		step := -heat / slope
		r.surface += step
		r.convect(r.surface, 0)
		if math.Abs(step) < 1e-6 {
			break
		}
	}
	if !(r.surface >= coldestFilm && r.surface <= hottestFilm) {
		return errAstray
	}
	var err error
	r.rho, err = vapourDensity(r.surface)
	return err
}
