// Package exchange computes how a face of a panel trades heat and vapour with
// the air of a shop or a yard: coefficients of forced and free convection,
// radiation, and the energy balance of a wet face, which runs colder than the
// air because evaporation costs heat.
//
// Everything is in SI; relative humidity is a fraction over liquid water, also
// below freezing, as sensors show it. Functions are pure; outside the range a
// formula is good for they return an *uncertain.OutOfRange. The package
// refuses to take a wet film for as warm as the air: at 23 C and 50 % that
// would give 2 to 3.3 times the evaporation. The formulas themselves are no
// better than published ones are: they scatter by 18 to 26 % about measured
// evaporation (Shah 2002, ASHRAE Transactions, 11 data sets).
//
// It uses moistair, uncertain and quantity; the drying model stands on it.
package exchange

import (
	"math"

	"filmfault/internal/physics/moistair"
	"filmfault/internal/quantity"
	"filmfault/internal/uncertain"
)

// Constants of air as a carrier of heat.
const (
	gravity         = 9.80665
	stefanBoltzmann = 5.670374419e-8 // W/(m2 K4), CODATA 2018
	heatOfAir       = 1006.0         // J/(kg K), ASHRAE Handbook of Fundamentals 2017, chapter 1
)

// Limits of the air this package is for.
const (
	coldest, hottest = 243.15, 343.15 // K, -30 to 70 C
	fastest          = 30.000001      // m/s; a root squared may be over 30 by rounding
	leastHeat        = -200.0         // W/m2, a clear night sky
	mostHeat         = 1500.0         // W/m2, sun, lamps
)

// Air is what the air is and does at one time, or on average over a time.
type Air struct {
	// Temperature in K, 243.15 to 343.15.
	Temperature float64
	// RH is the relative humidity as a fraction over liquid water, 0 to 1.
	RH float64
	// Speed along the face in m/s, 0 to 30; 0 is still.
	Speed float64
	// Radiation is the heat the face takes up in W/m2 besides what it trades
	// with surroundings at air temperature: sun or lamp times the absorptance
	// of the face, less what it loses to the sky; or the heat of a blast. From
	// -200 to 1500.
	Radiation float64
}

// Check refuses air that these formulas are not for.
func (a Air) Check() error {
	if err := uncertain.Within("air temperature", quantity.Temperature, a.Temperature, coldest, hottest); err != nil {
		return err
	}
	if err := uncertain.Within("relative humidity", quantity.Humidity, a.RH, 0, 1); err != nil {
		return err
	}
	if err := uncertain.Within("air speed", quantity.AirSpeed, a.Speed, 0, fastest); err != nil {
		return err
	}
	return uncertain.WithinUnit("heat taken up by the face", "W/m2", a.Radiation, leastHeat, mostHeat)
}

// Vapour is the vapour pressure of the air in Pa.
func (a Air) Vapour() (float64, error) {
	return moistair.VapourPressure(a.Temperature, a.RH, moistair.OverWater)
}

// viscosity of air in Pa s at t in K: Sutherland, 1.716e-5 (t/273.15)^1.5
// (273.15+110.4)/(t+110.4) (White, Viscous Fluid Flow; from memory). Within
// 2 % from 170 to 1900 K.
func viscosity(t float64) float64 {
	r := t / 273.15
	return 1.716e-5 * r * math.Sqrt(r) * (273.15 + 110.4) / (t + 110.4)
}

// conductivity of air in W/(m K) at t in K: 0.0241 (t/273.15)^0.82, a fit to
// handbook values within 1 % from 240 to 350 K (from memory).
func conductivity(t float64) float64 { return 0.0241 * math.Pow(t/273.15, 0.82) }

// diffusivity of water vapour in air in m2/s at t in K and atmospheric
// pressure: 0.26e-4 (t/298)^1.5 (Incropera, Fundamentals of Heat and Mass
// Transfer, table A.8 and problem 6.63). Other correlations are 4 % lower at
// 23 C.
func diffusivity(t float64) float64 {
	r := t / 298
	return 0.26e-4 * r * math.Sqrt(r)
}

// densityDry is the density of dry air at sea level in kg/m3.
func densityDry(t float64) float64 {
	return moistair.StandardPressure / (moistair.GasConstantAir * t)
}
