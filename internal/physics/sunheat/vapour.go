package sunheat

import (
	"fmt"

	"filmfault/internal/physics/moistair"
	"filmfault/internal/quantity"
	"filmfault/internal/uncertain"
)

// The temperatures between which water under a film is followed, in K.
const (
	coldest = 253.15
	hottest = 372.15
)

// checkSpan refuses temperatures at which there is no water to speak of.
func checkSpan(from, to float64) error {
	if err := uncertain.Within("temperature before heating", quantity.Temperature, from, coldest, hottest); err != nil {
		return err
	}
	return uncertain.Within("temperature under the film", quantity.Temperature, to, coldest, hottest)
}

// VapourRise gives by how much the pressure of vapour over damp material rises
// from one temperature to another, both in K, in Pa: the difference of the
// saturation pressures over water. 17.6 kPa from 20 to 60 C. It drives vapour
// through the film. Range: 253.15 to 372.15 K.
func VapourRise(from, to float64) (float64, error) {
	if err := checkSpan(from, to); err != nil {
		return 0, err
	}
	cold, err := moistair.Saturation(from, moistair.OverWater)
	if err != nil {
		return 0, err
	}
	hot, err := moistair.Saturation(to, moistair.OverWater)
	return hot - cold, err
}

// PocketPressure gives the pressure above that of the air outside, in Pa, in a
// sealed pocket of damp air that was closed at one temperature and heated to
// another without growing, both in K: (p - p1) T2/T1 + p2 - p, p the air's
// pressure in Pa, p1 and p2 the saturation pressures over water. 31.1 kPa from 20
// to 60 C. It is an upper bound: a blister grows and leaks. Negative when the
// pocket is colder than it was. Range: 253.15 to 372.15 K, p 50 to 110 kPa.
func PocketPressure(from, to, air float64) (float64, error) {
	if err := uncertain.Within("air pressure", quantity.Pressure, air, 50e3, 110e3); err != nil {
		return 0, err
	}
	rise, err := VapourRise(from, to)
	if err != nil {
		return 0, err
	}
	cold, err := moistair.Saturation(from, moistair.OverWater)
	if err != nil {
		return 0, err
	}
	return rise + (air-cold)*(to-from)/from, nil
}

// Pressures is what heat makes under a film.
type Pressures struct {
	// Vapour and Pocket are those of VapourRise and PocketPressure, in Pa.
	Vapour, Pocket uncertain.Range
	// VapourValues and PocketValues are those of each draw, 0 where negative:
	// what a spot can be set against.
	VapourValues, PocketValues []float64
}

// Under computes the pressures under a film that was closed at a temperature in
// K and is heated to one of hot in K in each draw, at standard air pressure.
// Errors: those of PocketPressure, and an input that cannot be drawn from.
func Under(closed uncertain.Input, hot []float64, d uncertain.Draws) (Pressures, error) {
	if err := closed.Check(); err != nil {
		return Pressures{}, fmt.Errorf("pressure under the film: %w", err)
	}
	var p Pressures
	vapour, pocket := make([]float64, len(hot)), make([]float64, len(hot))
	for i, to := range hot {
		from := d.Value(closed, i)
		var err error
		if vapour[i], err = VapourRise(from, to); err != nil {
			return Pressures{}, err
		}
		if pocket[i], err = PocketPressure(from, to, moistair.StandardPressure); err != nil {
			return Pressures{}, err
		}
		p.VapourValues = append(p.VapourValues, max(vapour[i], 0))
		p.PocketValues = append(p.PocketValues, max(pocket[i], 0))
	}
	p.Vapour, p.Pocket = uncertain.Summarise(vapour), uncertain.Summarise(pocket)
	return p, nil
}
