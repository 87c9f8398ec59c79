package exchange

import (
	"math"

	"filmfault/internal/quantity"
	"filmfault/internal/uncertain"
)

// Published formulas for open water, apart from the plate: what the model's
// evaporation is measured against.

// MassCoefficient gives the mass transfer coefficient in m/s from a measured
// evaporation rate in kg/(m2 s), vapour density rho at saturation in kg/m3 and
// the relative humidity rh of the air, water and air being equally warm:
// hm = n/(rho (1-rh)). Range: rate 0 to 1, rho above 0 to 0.6 (100 C), rh 0 to
// 0.99. Source: Incropera, problems 6.52 and 6.53.
func MassCoefficient(rate, rho, rh float64) (float64, error) {
	if err := uncertain.WithinUnit("evaporation rate", "kg/(s m2)", rate, 0, 1); err != nil {
		return 0, err
	}
	if err := uncertain.WithinUnit("vapour density at saturation", "kg/m3", rho, 1e-6, 0.6); err != nil {
		return 0, err
	}
	if err := uncertain.Within("relative humidity", quantity.Humidity, rh, 0, 0.99); err != nil {
		return 0, err
	}
	return rate / (rho * (1 - rh)), nil
}

// FilmSherwood gives the Sherwood number of a wet film in blown air by the
// fitted correlation 0.43 Re^0.58 Sc^0.4 (Incropera, problems 6.61 and 6.62).
// Range: re 1 to 1e8, sc 0.5 to 60.
func FilmSherwood(re, sc float64) (float64, error) {
	if err := uncertain.WithinUnit("Reynolds number of the air along the panel", "", re, 1, mostReynolds); err != nil {
		return 0, err
	}
	if err := checkPrandtl(sc); err != nil {
		return 0, err
	}
	return 0.43 * math.Pow(re, 0.58) * math.Pow(sc, 0.4), nil
}

// PoolRate gives the evaporation of an open pool in kg/(m2 s) with air at v in
// m/s, from the humidity ratios of saturated air at the water's temperature and
// of the air: (25 + 19 v)(xs - x)/3600. Range: v 0 to 5, xs and x 0 to 0.2. A
// formula of practice; formulas like it scatter by 18 to 26 % (Shah 2002).
func PoolRate(v, xs, x float64) (float64, error) {
	if err := uncertain.Within("air speed", quantity.AirSpeed, v, 0, 5); err != nil {
		return 0, err
	}
	for _, ratio := range []float64{xs, x} {
		if err := uncertain.WithinUnit("humidity ratio", "kg/kg", ratio, 0, 0.2); err != nil {
			return 0, err
		}
	}
	return (25 + 19*v) * (xs - x) / 3600, nil
}

// PoolRateASHRAE gives the evaporation of an open pool in use in kg/(m2 s) with
// air at v in m/s, vapour pressures over the water and in the air in Pa, and
// the latent heat in J/kg: (0.0885 + 0.0779 v) dp/L with dp in kPa and L in
// kJ/kg, which is (95 + 0.425 V)(pw - pa)/Y in lb/(h ft2), ft/min, in Hg and
// Btu/lb. Range: v 0 to 5, pressures 0 to 20 kPa, latent 2.2e6 to 2.6e6.
// Undisturbed pools measured about 74 % of it (ASHRAE Transactions 1998, paper
// 4146, abstract).
func PoolRateASHRAE(v, water, air, latent float64) (float64, error) {
	if err := uncertain.Within("air speed", quantity.AirSpeed, v, 0, 5); err != nil {
		return 0, err
	}
	for _, p := range []float64{water, air} {
		if err := uncertain.Within("vapour pressure", quantity.Pressure, p, 0, 20e3); err != nil {
			return 0, err
		}
	}
	if err := uncertain.WithinUnit("latent heat", "J/kg", latent, 2.2e6, 2.6e6); err != nil {
		return 0, err
	}
	return (0.0885 + 0.0779*v) * (water - air) / latent, nil
}
