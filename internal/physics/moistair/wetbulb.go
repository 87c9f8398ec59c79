package moistair

import (
	"errors"
	"fmt"

	"filmfault/internal/quantity"
	"filmfault/internal/uncertain"
)

// ErrWetBulb says that a wet and a dry bulb cannot be of the same air.
var ErrWetBulb = errors.New("the wet bulb is colder than it can get in air of that temperature: read both again")

// bulb is a thermometer in the air: the heats in the wet-bulb equation, per kg
// of dry air and with temperatures in C, in kJ/kg and kJ/(kg K).
type bulb struct{ latent, latentSlope, vapour, coating float64 }

// The bulb wet with water and the bulb coated with ice (ASHRAE Handbook of
// Fundamentals 2017, chapter 1, equations 33 and 35).
func wetBulb() bulb   { return bulb{latent: 2501, latentSlope: 2.326, vapour: 1.86, coating: 4.186} }
func frostBulb() bulb { return bulb{latent: 2830, latentSlope: 0.24, vapour: 1.86, coating: 2.1} }

// convention of the saturation over the bulb's coating.
func (b bulb) convention() Convention {
	if b == frostBulb() {
		return IceBelowFreezing
	}
	return OverWater
}

// ratio is the humidity ratio of air at t in K and p in Pa in which the bulb
// settles at wet in K. It is below 0 where no air is dry enough, and rises with
// wet.
func (b bulb) ratio(t, wet, p float64) float64 {
	ps := saturation(wet, b.convention())
	atBulb := ratioOfMasses * ps / (p - ps)
	tc, wc := t-ZeroCelsius, wet-ZeroCelsius
	return ((b.latent-b.latentSlope*wc)*atBulb - 1.006*(tc-wc)) / (b.latent + b.vapour*tc - b.coating*wc)
}

// settle finds the temperature in K at which the bulb settles in air at t in K
// with humidity ratio w at p in Pa. The ratio rises with the bulb temperature,
// is below 0 for a bulb 75 K colder (or at -60 C, in the coldest air) than the air, and meets saturation at t,
// so halving the interval always ends.
func (b bulb) settle(t, w, p float64) float64 {
	low, high := max(t-75, coldestWater), t
	for range 60 {
		mid := (low + high) / 2
		if b.ratio(t, mid, p) < w {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}

// The range of WetBulb in K: -40 to 80 C.
const hottestBulb = 353.15

// WetBulb gives the thermodynamic wet-bulb temperature in K of air at t in K,
// relative humidity rh as a fraction and pressure p in Pa: the temperature at
// which W(t, wet) of the ASHRAE Handbook of Fundamentals 2017, chapter 1,
// equation 33 meets the humidity ratio of the air. With IceBelowFreezing a bulb
// that would settle at or below the triple point is coated with ice (equation
// 35); with OverWater it stays wet with undercooled water, as a wet film does. Range: t 233.15 to
// 353.15 K, rh 0 to 1, p 50 to 110 kPa.
func WetBulb(t, rh, p float64, c Convention) (float64, error) {
	if err := checkBulbs(t, t, p); err != nil {
		return 0, err
	}
	pv, err := VapourPressure(t, rh, c)
	if err != nil {
		return 0, err
	}
	w, err := HumidityRatio(pv, p)
	if err != nil {
		return 0, err
	}
	wet := wetBulb().settle(t, w, p)
	if c == IceBelowFreezing && wet <= TriplePoint {
		return frostBulb().settle(t, w, p), nil
	}
	return wet, nil
}

// HumidityFromWetBulb gives the relative humidity, as a fraction, of air in
// which a dry bulb reads t and a wet bulb reads wet, both in K, at p in Pa: the
// inverse of WetBulb. Range: that of WetBulb, wet not above t. A wet bulb that
// even bone-dry air could not cool so far is ErrWetBulb.
func HumidityFromWetBulb(t, wet, p float64, c Convention) (float64, error) {
	if err := checkBulbs(t, wet, p); err != nil {
		return 0, err
	}
	b := wetBulb()
	if c == IceBelowFreezing && wet <= TriplePoint {
		b = frostBulb()
	}
	w := b.ratio(t, wet, p)
	if w < 0 {
		return 0, fmt.Errorf("dry bulb %s, wet bulb %s: %w", quantity.Format(quantity.Temperature, t, quantity.US),
			quantity.Format(quantity.Temperature, wet, quantity.US), ErrWetBulb)
	}
	pv, err := VapourFromRatio(w, p)
	if err != nil {
		return 0, err
	}
	return RelativeHumidity(t, pv, c)
}

// checkBulbs refuses bulbs and pressures out of range.
func checkBulbs(t, wet, p float64) error {
	if err := uncertain.Within("air temperature", quantity.Temperature, t, coldestAir, hottestBulb); err != nil {
		return err
	}
	if err := uncertain.Within("wet bulb temperature", quantity.Temperature, wet, coldestWater, t); err != nil {
		return err
	}
	return checkPressure(p)
}
