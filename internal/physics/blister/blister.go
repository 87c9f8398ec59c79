// Package blister says what pressure under a film makes a weak spot of a given
// size grow.
//
// A loose round spot of film is a plate clamped at its edge while it rises less
// than half its own thickness, a membrane when it rises many times that, and
// something between otherwise. Growing takes energy for each area of bond that
// opens. That fracture energy is known to a factor of a hundred only, so the
// package refuses a yes or no: it gives ranges and the share of draws in which
// a pressure is enough. Everything is in SI.
//
// It sits on uncertain and quantity and knows nothing of where the pressure
// comes from; package sunheat computes that of the sun.
package blister

import (
	"math"

	"filmfault/internal/quantity"
	"filmfault/internal/uncertain"
)

// Film is the film over a spot.
type Film struct {
	// Stiffness is Young's modulus in Pa, 1e5 to 1e11.
	Stiffness float64
	// Poisson is Poisson's ratio, 0 to 0.49.
	Poisson float64
	// Thickness is in m, 1 um to 10 mm.
	Thickness float64
}

// Check refuses a film outside the ranges of its fields.
func (f Film) Check() error {
	if err := uncertain.Within("film stiffness", quantity.Pressure, f.Stiffness, 1e5, 1e11); err != nil {
		return err
	}
	if err := uncertain.WithinUnit("Poisson's ratio of the film", "", f.Poisson, 0, 0.49); err != nil {
		return err
	}
	return uncertain.Within("film thickness", quantity.Film, f.Thickness, 1e-6, 1e-2)
}

// check refuses a film, a spot radius in m or a pressure in Pa outside what the
// formulas are for.
func (f Film) check(radius, pressure float64) error {
	if err := f.Check(); err != nil {
		return err
	}
	if err := uncertain.Within("radius of the spot", quantity.Length, radius, 1e-4, 1); err != nil {
		return err
	}
	return uncertain.Within("pressure under the film", quantity.Pressure, pressure, 0, 1e8)
}

// Rigidity gives the bending rigidity of the film in N m: D = E t^3 / (12 (1 -
// nu^2)), E stiffness in Pa, t thickness in m, nu Poisson's ratio (theory of
// thin plates, Timoshenko and Woinowsky-Krieger, from memory; proved by
// differentiation). Range and errors: those of Film.
func (f Film) Rigidity() (float64, error) { return f.rigidity(), f.Check() }

// rigidity is Rigidity within range.
func (f Film) rigidity() float64 {
	return f.Stiffness * math.Pow(f.Thickness, 3) / (12 * (1 - f.Poisson*f.Poisson))
}

// Plate gives the rise in m of the middle of a spot and the energy in J/m2 that
// growing it would set free, for a clamped round plate: w = p a^4/(64 D), G = p
// w/2, p the pressure in Pa, a the radius in m (from memory; proved by
// differentiation). It is good while the spot rises less than half its
// thickness; beyond that it gives far too much, which Dome does not. Range: a
// 0.1 mm to 1 m, p 0 to 100 MPa.
func (f Film) Plate(radius, pressure float64) (rise, energy float64, err error) {
	if err := f.check(radius, pressure); err != nil {
		return 0, 0, err
	}
	rise = pressure * math.Pow(radius, 4) / (64 * f.rigidity())
	return rise, pressure * rise / 2, nil
}

// PlatePressure gives the pressure in Pa at which a clamped round plate sets
// free an energy in J/m2: p = sqrt(32 E t^3 G / (3 (1-nu^2) a^4)), symbols as in
// Plate, which it inverts. It holds only where the spot then rises less than
// half its thickness; Grows has no such limit. Range of the energy: 0 to 1e5
// J/m2.
func (f Film) PlatePressure(radius, energy float64) (float64, error) {
	if err := f.check(radius, 0); err != nil {
		return 0, err
	}
	if err := checkEnergy(energy); err != nil {
		return 0, err
	}
	return math.Sqrt(128 * f.rigidity() * energy / math.Pow(radius, 4)), nil
}

// checkEnergy refuses a fracture energy that no bond has.
func checkEnergy(energy float64) error {
	return uncertain.WithinUnit("energy to open the bond", "J/m2", energy, 0, 1e5)
}

// Membrane gives the rise in m and the energy in J/m2 for a film without
// bending stiffness held at its edge: w = C1 a (p a/(E t))^(1/3), G = k p w. C1
// and k follow from Poisson's ratio by the series of Hencky (1915), computed
// here: .6403 and .6503 at .35. It is good when the spot rises many times its
// thickness. Range as for Plate.
func (f Film) Membrane(radius, pressure float64) (rise, energy float64, err error) {
	if err := f.check(radius, pressure); err != nil {
		return 0, 0, err
	}
	c := hencky(f.Poisson)
	rise = c.rise * radius * math.Cbrt(pressure*radius/(f.Stiffness*f.Thickness))
	return rise, c.energy * pressure * rise, nil
}

// Regime says which of the models describes a spot.
type Regime int

// The regimes: rising less than half the thickness; so much that bending takes
// less than a tenth of the pressure; and between.
const (
	PlateLike Regime = iota
	Between
	MembraneLike
)

// String names the regime.
func (r Regime) String() string {
	return []string{"plate", "between plate and membrane", "membrane"}[min(max(r, 0), 2)]
}

// Dome is a spot raised by a pressure.
type Dome struct {
	// Rise of the middle in m.
	Rise float64
	// Energy in J/m2 set free for each area by which it grows. Low and High
	// are the bounds of the model, not percentiles: they come from the shape
	// of the dome, which is that of a plate at one end and of a membrane at
	// the other.
	Energy uncertain.Range
	Regime Regime
}

// Dome gives the rise and the energy of a spot at any rise. The rise solves p
// a^4 = 64 D w + E t w^3 / C1^3, the loads that plate and membrane take added
// (symbols as in Plate and Membrane). The energy is c (2 p w - (32 D w^2 + .75 E
// t w^4/C1^3) / a^4), from the work of the pressure at constant shape, c the
// volume under the dome over pi a^2 w; Low takes the c of a plate, 1/3, and High
// is the energy of a membrane of that rise, k p w; Mid mixes the two c by the
// load that each takes. Range as for Plate.
func (f Film) Dome(radius, pressure float64) (Dome, error) {
	if err := f.check(radius, pressure); err != nil {
		return Dome{}, err
	}
	return f.dome(hencky(f.Poisson), radius, pressure), nil
}

// dome is Dome within range.
func (f Film) dome(c membrane, radius, pressure float64) Dome {
	k := f.stiffen(c, radius)
	w := risen(k.bend, k.stretch, pressure)
	d := Dome{Rise: w, Regime: Between, Energy: k.energy(w)}
	switch {
	case w <= f.Thickness/2:
		d.Regime = PlateLike
		d.Energy.High = d.Energy.Mid
	case k.bend*w < pressure/10:
		d.Regime = MembraneLike
		d.Energy.Low = d.Energy.Mid
	}
	return d
}

// spring is how a spot resists: pressure = bend w + stretch w^3.
type spring struct {
	membrane
	bend, stretch float64
}

// stiffen gives the spring of a spot.
func (f Film) stiffen(c membrane, radius float64) spring {
	a4 := math.Pow(radius, 4)
	return spring{c, 64 * f.rigidity() / a4, f.Stiffness * f.Thickness / (math.Pow(c.rise, 3) * a4)}
}

// energy is the energy set free at a rise: with the shape of a plate, of a
// membrane and between.
func (k spring) energy(w float64) uncertain.Range {
	bent, stretched := k.bend*w, k.stretch*w*w*w
	p := bent + stretched
	if p == 0 {
		return uncertain.Range{}
	}
	work := w * (2*p - bent/2 - 0.75*stretched)
	shape := (bent/3 + stretched*k.volume) / p
	r := uncertain.Range{Mid: shape * work, Low: work / 3, High: k.membrane.energy * p * w}
	r.High = max(r.High, r.Mid)
	return r
}

// risen solves bend w + stretch w^3 = pressure for w: the one real root of a
// cubic that only rises, by Newton's method from above, where it cannot
// overshoot.
func risen(bend, stretch, pressure float64) float64 {
	w := min(pressure/bend, math.Cbrt(pressure/stretch))
	for range 60 {
		step := (bend*w + stretch*w*w*w - pressure) / (bend + 3*stretch*w*w)
		w -= step
		if math.Abs(step) <= 1e-15*w {
			break
		}
	}
	return w
}

// Grows gives the pressure in Pa at which a spot of a radius in m begins to
// grow when its bond takes an energy in J/m2 to open: the pressure at which the
// middle energy of Dome reaches it. Range: radius 0.1 mm to 1 m, energy 0 to
// 1e5 J/m2. The model's own bounds are some 20 % either way.
func (f Film) Grows(radius, energy float64) (float64, error) {
	if err := f.check(radius, 0); err != nil {
		return 0, err
	}
	if err := checkEnergy(energy); err != nil {
		return 0, err
	}
	return f.grows(hencky(f.Poisson), radius, energy), nil
}

// grows is Grows within range: the rise at which the energy is reached, by
// bisection on its logarithm, gives the pressure. The energy rises with it, at
// least as its square.
func (f Film) grows(c membrane, radius, energy float64) float64 {
	if energy == 0 {
		return 0
	}
	k := f.stiffen(c, radius)
	high := math.Sqrt(2 * energy / k.bend) // of a plate with no stretch
	low := high
	for k.energy(high).Mid < energy {
		high *= 2
	}
	for k.energy(low).Mid > energy {
		low /= 2
	}
	for high > low*(1+1e-14) {
		mid := math.Sqrt(low * high)
		if mid <= low || mid >= high {
			break
		}
		if k.energy(mid).Mid < energy {
			low = mid
		} else {
			high = mid
		}
	}
	return k.bend*high + k.stretch*high*high*high
}
