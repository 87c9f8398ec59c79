// Package bow computes how far a panel bows and which way: from unequal coats,
// heat through its thickness, the cooling of a wet face, a sheet or a wooden
// backer bonded to one side, and from being held at its ends.
//
// The panel is a laminate whose layers share one curvature. The thin-film
// formula of Stoney is not used: it leaves out how far a stiff coat stiffens a
// soft board, and on foam 27-40 % of its figure is too much. Everything is in SI.
//
// Signs: curvature and deflection are positive when the panel is hollow seen
// from its front, negative when it is hollow seen from its back. A coat that
// shrinks on the front pulls the front hollow: positive. A front that is hotter
// bulges: negative. A deflection means nothing without the length it is
// measured over: a straightedge of that length, and the gap at its middle. 1/2
// in over 8 ft is the curve of 1/8 in over 4 ft.
//
// The package sits on uncertain and quantity; what made a face hot or a coat
// shrink is not its business.
package bow

import (
	"math"

	"filmfault/internal/quantity"
	"filmfault/internal/uncertain"
)

// Layer is one layer of a laminate.
type Layer struct {
	// Thickness in m, 0.1 um to 1 m.
	Thickness float64
	// Stiffness is Young's modulus in Pa, 1 Pa to 1e13.
	Stiffness float64
	// Poisson is Poisson's ratio, 0 to 0.49; 0 for a strip that bends one way
	// only.
	Poisson float64
	// FrontStrain and BackStrain are how much longer the layer would be than
	// it was when all was flat, as a fraction, if it were free, at its front
	// and its back side, with a straight line between; negative for a layer
	// that shrinks. -1 to 1; what counts is stiffness times strain, which is
	// the stress in a layer held flat.
	FrontStrain, BackStrain float64
}

// check refuses a layer outside the ranges of its fields.
func (l Layer) check() error {
	if err := uncertain.Within("layer thickness", quantity.Length, l.Thickness, 1e-7, 1); err != nil {
		return err
	}
	if err := uncertain.Within("layer stiffness", quantity.Pressure, l.Stiffness, 1, 1e13); err != nil {
		return err
	}
	if err := uncertain.WithinUnit("Poisson's ratio of a layer", "", l.Poisson, 0, 0.49); err != nil {
		return err
	}
	if err := uncertain.WithinUnit("free strain of a layer", "", l.FrontStrain, -1, 1); err != nil {
		return err
	}
	return uncertain.WithinUnit("free strain of a layer", "", l.BackStrain, -1, 1)
}

// plane is the stiffness of a layer stretched alike in all directions, in Pa.
func (l Layer) plane() float64 { return l.Stiffness / (1 - l.Poisson) }

// Curvature gives the curvature in 1/m of free layers bonded flat, listed from
// the front to the back: k = sum M int e (z-c) dz / sum M int (z-c)^2 dz, z
// the depth in m, M = E/(1-nu) in Pa, e the free strain, c the depth at which
// sum M int (z-c) dz = 0. For two layers it is the formula of Timoshenko (1925),
// for one heated on one side alpha dT / thickness. Small strains, no sliding
// between layers. Errors: no layer, or one outside the ranges of Layer.
func Curvature(layers ...Layer) (float64, error) {
	if len(layers) == 0 {
		return 0, uncertain.WithinUnit("number of layers", "", 0, 1, math.Inf(1))
	}
	for _, l := range layers {
		if err := l.check(); err != nil {
			return 0, err
		}
	}
	return newStack(layers).curvature(layers), nil
}

// stack is the stiffness of a laminate.
type stack struct {
	center  float64 // depth that does not stretch when it bends, m
	bending float64 // resistance to bending, N m
}

// newStack finds the stiffness of layers.
func newStack(layers []Layer) stack {
	var s stack
	var stretching, moment, depth float64
	for _, l := range layers {
		stretching += l.plane() * l.Thickness
		moment += l.plane() * l.Thickness * (depth + l.Thickness/2)
		depth += l.Thickness
	}
	s.center = moment / stretching
	depth = 0
	for _, l := range layers {
		arm := depth + l.Thickness/2 - s.center
		s.bending += l.plane() * l.Thickness * (l.Thickness*l.Thickness/12 + arm*arm)
		depth += l.Thickness
	}
	return s
}

// curvature is that of the free strains of layers.
func (s stack) curvature(layers []Layer) float64 {
	sum, depth := 0.0, 0.0
	for _, l := range layers {
		sum += s.share(l, depth)
		depth += l.Thickness
	}
	return sum
}

// share is the curvature that one layer adds, its front side at a depth. The
// shares of all layers and causes add up, which is what lets one say how much
// of a bow is whose.
func (s stack) share(l Layer, depth float64) float64 {
	arm := depth + l.Thickness/2 - s.center
	mean := (l.FrontStrain + l.BackStrain) / 2
	slope := (l.BackStrain - l.FrontStrain) * l.Thickness / 12
	return l.plane() * l.Thickness * (mean*arm + slope) / s.bending
}

// Shrinkage gives the free strain of a coat that would pull with a stress in Pa
// if it were held flat: -(1-nu) s/E, symbols as in Layer. Range of s: -1 to 1
// GPa, of E 1 Pa to 1e13, of nu 0 to 0.49.
func Shrinkage(stress, stiffness, poisson float64) (float64, error) {
	if err := uncertain.Within("stress in the coat", quantity.Pressure, stress, -1e9, 1e9); err != nil {
		return 0, err
	}
	if err := (Layer{Thickness: 1, Stiffness: stiffness, Poisson: poisson}).check(); err != nil {
		return 0, err
	}
	return -stress * (1 - poisson) / stiffness, nil
}

// most is the largest curvature times length that is still a bow.
const most = 1

// Deflection gives the gap in m under the middle of a straightedge of a length
// in m, for a curvature k in 1/m: k L^2/8. Range: L 1 cm to 100 m, k L -1 to 1,
// where it is up to 2.1 % more than Arc.
func Deflection(curvature, length float64) (float64, error) {
	if err := checkCurve(curvature, length); err != nil {
		return 0, err
	}
	return curvature * length * length / 8, nil
}

// Arc gives the rise in m of the middle of a circular arc whose length along
// the panel is L in m: (1 - cos(k L/2))/k. Range as for Deflection.
func Arc(curvature, length float64) (float64, error) {
	if err := checkCurve(curvature, length); err != nil {
		return 0, err
	}
	// 1 - cos x = 2 sin^2(x/2), which keeps its digits for small x.
	half := curvature * length / 4
	if half == 0 {
		return 0, nil
	}
	return 2 * math.Sin(half) * math.Sin(half) / curvature, nil
}

// checkCurve refuses a curve that is no bow.
func checkCurve(curvature, length float64) error {
	if err := checkLength(length); err != nil {
		return err
	}
	return uncertain.WithinUnit("curvature times length", "", curvature*length, -most, most)
}

// checkLength refuses a length that no panel has.
func checkLength(length float64) error {
	return uncertain.Within("length the bow is measured over", quantity.Length, length, 0.01, 100)
}

// CurvatureOf gives the curvature in 1/m of a deflection d in m over a length L
// in m: 8 d/L^2, the inverse of Deflection. Range: that of Deflection.
func CurvatureOf(deflection, length float64) (float64, error) {
	if err := checkLength(length); err != nil {
		return 0, err
	}
	curvature := 8 * deflection / (length * length)
	return curvature, checkCurve(curvature, length)
}

// Restate gives the deflection in m over another length of the same curve: d
// (to/over)^2, lengths in m. Range: that of Deflection for both lengths.
func Restate(deflection, over, to float64) (float64, error) {
	curvature, err := CurvatureOf(deflection, over)
	if err != nil {
		return 0, err
	}
	return Deflection(curvature, to)
}

// Buckled gives how far the middle of a panel held at both ends rises, in m,
// when it would grow by a strain e if free: (2 L/pi) sqrt(e - g/L - (pi t/L)^2/12),
// L in m between fixings, t its thickness in m, g the play at both ends together
// in m; 0 while that is no more than nothing (Euler's strut with ends free to
// turn and the shortening of a sine arc; textbook, from memory). Which way it
// goes is not said: the way it leaned before. Range: e 0 to 0.05, L 10 cm to 100
// m, t 0.1 mm to L/5, g 0 to L.
func Buckled(growth, length, thickness, play float64) (float64, error) {
	if err := uncertain.WithinUnit("growth of the panel", "", growth, 0, 0.05); err != nil {
		return 0, err
	}
	if err := uncertain.Within("length between fixings", quantity.Length, length, 0.1, 100); err != nil {
		return 0, err
	}
	if err := uncertain.Within("panel thickness", quantity.Length, thickness, 1e-4, length/5); err != nil {
		return 0, err
	}
	if err := uncertain.Within("play at the fixings", quantity.Length, play, 0, length); err != nil {
		return 0, err
	}
	slender := math.Pi * thickness / length
	excess := growth - play/length - slender*slender/12
	return 2 * length / math.Pi * math.Sqrt(max(excess, 0)), nil
}
