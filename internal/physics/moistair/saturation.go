// Package moistair computes what the air of a shop or a yard holds: saturation
// pressure, dew point, wet bulb, humidity ratio, absolute humidity, density,
// and how far a surface lies above the dew point.
//
// Everything is in SI: temperatures in K, pressures in Pa, relative humidity
// as a fraction. Functions are pure; outside the range they are good for they
// return an *uncertain.OutOfRange, never a NaN. The package refuses to guess
// whether a humidity below freezing was meant over water or over ice: every
// function that needs to know takes a Convention.
//
// It is used by every other package of internal/physics and uses only
// uncertain and quantity.
package moistair

import (
	"math"

	"filmfault/internal/quantity"
	"filmfault/internal/uncertain"
)

// Constants of water vapour and air.
const (
	// ZeroCelsius is 0 C in K.
	ZeroCelsius = 273.15
	// TriplePoint of water in K, 0.01 C.
	TriplePoint = 273.16
	// GasConstantVapour is that of water vapour in J/(kg K): 8.314462618
	// J/(mol K) over 0.01801528 kg/mol.
	GasConstantVapour = 461.523
	// GasConstantAir is that of dry air in J/(kg K) (ASHRAE Handbook of
	// Fundamentals 2017, chapter 1).
	GasConstantAir = 287.042
	// StandardPressure is the standard atmosphere at sea level in Pa.
	StandardPressure = 101325
)

// Convention says what relative humidity and dew point mean below freezing,
// where saturation over ice and over undercooled water differ, by 10 % at
// -10 C. Above the triple point the conventions agree.
type Convention int

const (
	// OverWater takes liquid water at every temperature: what electronic
	// humidity sensors indicate and WMO-No. 8 prescribes.
	OverWater Convention = iota
	// IceBelowFreezing takes ice up to the triple point at 0.01 C: the tables
	// of ASHRAE, the frost point and the frosted bulb.
	IceBelowFreezing
)

// String names the convention as a report should state it.
func (c Convention) String() string {
	if c == IceBelowFreezing {
		return "over ice below freezing"
	}
	return "over water, also below freezing"
}

// The limits of Saturation in K: -60 to 200 C over water, -100 C over ice.
const (
	coldestWater = 213.15
	coldestIce   = 173.15
	hottest      = 473.15
)

// coldest is the lower limit of a convention.
func (c Convention) coldest() float64 {
	if c == IceBelowFreezing {
		return coldestIce
	}
	return coldestWater
}

// ice says that the convention takes ice at a temperature.
func (c Convention) ice(t float64) bool { return c == IceBelowFreezing && t <= TriplePoint }

// Saturation gives the saturation pressure of water vapour in Pa at a
// temperature t in K, by Hyland and Wexler (1983) as in the ASHRAE Handbook of
// Fundamentals 2017, chapter 1, equations 5 and 6:
//
//	ln p = a/t + b + c t + d t^2 + e t^3 + f t^4 + g ln t
//
// Range: 213.15 to 473.15 K over water (below 273.15 K the water curve is
// continued to undercooled water, within .3 % of the curve of WMO-No. 8 down to
// -20 C), 173.15 to 473.15 K with ice below freezing. Within .03 % of IAPWS
// R7-97 from 0 to 100 C, and within .04 % of IAPWS R14-08 over ice from -60 to
// 0 C.
func Saturation(t float64, c Convention) (float64, error) {
	if err := uncertain.Within("temperature", quantity.Temperature, t, c.coldest(), hottest); err != nil {
		return 0, err
	}
	return saturation(t, c), nil
}

// saturation is Saturation within its range.
func saturation(t float64, c Convention) float64 {
	if c.ice(t) {
		return math.Exp(-5.6745359e3/t + 6.3925247 +
			t*(-9.677843e-3+t*(6.2215701e-7+t*(2.0747825e-9-9.484024e-13*t))) + 4.1635019*math.Log(t))
	}
	return math.Exp(-5.8002206e3/t + 1.3914993 +
		t*(-4.8640239e-2+t*(4.1764768e-5-1.4452093e-8*t)) + 6.5459673*math.Log(t))
}

// SaturationSlope gives the derivative of Saturation by temperature, in Pa/K,
// for the same range: the formula differentiated.
func SaturationSlope(t float64, c Convention) (float64, error) {
	p, err := Saturation(t, c)
	return p * logSlope(t, c), err
}

// logSlope is d ln p / dt in 1/K.
func logSlope(t float64, c Convention) float64 {
	if c.ice(t) {
		return 5.6745359e3/(t*t) - 9.677843e-3 +
			t*(2*6.2215701e-7+t*(3*2.0747825e-9-4*9.484024e-13*t)) + 4.1635019/t
	}
	return 5.8002206e3/(t*t) - 4.8640239e-2 + t*(2*4.1764768e-5-3*1.4452093e-8*t) + 6.5459673/t
}

// VapourPressure gives the partial pressure of the vapour in Pa in air at t in
// K and relative humidity rh as a fraction: rh times Saturation. Range: that of
// Saturation, and rh 0 to 1.
func VapourPressure(t, rh float64, c Convention) (float64, error) {
	if err := uncertain.Within("relative humidity", quantity.Humidity, rh, 0, 1); err != nil {
		return 0, err
	}
	p, err := Saturation(t, c)
	return rh * p, err
}

// RelativeHumidity gives the relative humidity, as a fraction, of air at t in K
// with vapour at pv in Pa: pv over Saturation. It is above 1 where the air is
// cooler than its dew point and water must come out. Range: that of Saturation,
// and pv from 0 to StandardPressure.
func RelativeHumidity(t, pv float64, c Convention) (float64, error) {
	if err := checkVapour(pv); err != nil {
		return 0, err
	}
	p, err := Saturation(t, c)
	if err != nil {
		return 0, err
	}
	return pv / p, nil
}

// checkVapour refuses a vapour pressure that no air has.
func checkVapour(pv float64) error {
	return uncertain.Within("vapour pressure", quantity.Pressure, pv, 0, StandardPressure)
}
