package moistair

import (
	"math"

	"filmfault/internal/quantity"
	"filmfault/internal/uncertain"
)

// ratioOfMasses is the molar mass of water over that of dry air (ASHRAE
// Handbook of Fundamentals 2017, chapter 1).
const ratioOfMasses = 0.621945

// Limits of the air these formulas are for: a shop, a truck or a yard, from
// sea level to the highest town.
const (
	coldestAir, hottestAir = 233.15, 373.15
	thinnest, densest      = 50e3, 110e3
)

// checkAir refuses a temperature or pressure that no shop has.
func checkAir(t, p float64) error {
	if err := uncertain.Within("air temperature", quantity.Temperature, t, coldestAir, hottestAir); err != nil {
		return err
	}
	return checkPressure(p)
}

// checkPressure refuses an air pressure that no place has.
func checkPressure(p float64) error {
	return uncertain.Within("air pressure", quantity.Pressure, p, thinnest, densest)
}

// PressureAt gives the standard air pressure in Pa at a height z in m above the
// sea: 101325 (1 - 2.25577e-5 z)^5.2559 (ASHRAE Handbook of Fundamentals 2017,
// chapter 1, equation 3). Range: -500 to 5,000 m; weather adds 3 % either way.
func PressureAt(z float64) (float64, error) {
	if err := uncertain.Within("height above the sea", quantity.Length, z, -500, 5000); err != nil {
		return 0, err
	}
	return StandardPressure * math.Pow(1-2.25577e-5*z, 5.2559), nil
}

// HumidityRatio gives the mass of vapour over that of dry air, for vapour at pv
// in air at p, both in Pa: 0.621945 pv/(p-pv) (ASHRAE Handbook of Fundamentals
// 2017, chapter 1, equation 20). Range: p 50 to 110 kPa, pv from 0 to 95 % of
// p. Real saturated air holds up to .6 % more at 50 C (enhancement factor, not
// included).
func HumidityRatio(pv, p float64) (float64, error) {
	if err := checkPressure(p); err != nil {
		return 0, err
	}
	if err := uncertain.Within("vapour pressure", quantity.Pressure, pv, 0, 0.95*p); err != nil {
		return 0, err
	}
	return ratioOfMasses * pv / (p - pv), nil
}

// VapourFromRatio gives the vapour pressure in Pa of air with humidity ratio w
// at p in Pa: the inverse of HumidityRatio. Range: p 50 to 110 kPa, w 0 to 10.
func VapourFromRatio(w, p float64) (float64, error) {
	if err := checkPressure(p); err != nil {
		return 0, err
	}
	if err := uncertain.WithinUnit("humidity ratio", "kg/kg", w, 0, 10); err != nil {
		return 0, err
	}
	return p * w / (ratioOfMasses + w), nil
}

// AbsoluteHumidity gives the mass of vapour in a volume of air, in kg/m3, for
// vapour at pv in Pa and a temperature t in K: pv/(461.523 t), the ideal gas.
// Range: t 233.15 to 373.15 K, pv 0 to StandardPressure.
func AbsoluteHumidity(t, pv float64) (float64, error) {
	if err := checkAir(t, StandardPressure); err != nil {
		return 0, err
	}
	if err := checkVapour(pv); err != nil {
		return 0, err
	}
	return pv / (GasConstantVapour * t), nil
}

// Density gives the density of moist air in kg/m3 at t in K, with vapour at pv
// in air at p, both in Pa: (1+W) p / (287.042 t (1+1.607858 W)) (ASHRAE Handbook
// of Fundamentals 2017, chapter 1, equations 9 and 26). Range: t 233.15 to
// 373.15 K, and that of HumidityRatio.
func Density(t, pv, p float64) (float64, error) {
	w, err := HumidityRatio(pv, p)
	if err != nil {
		return 0, err
	}
	v, err := SpecificVolume(t, w, p)
	if err != nil {
		return 0, err
	}
	return (1 + w) / v, nil
}

// SpecificVolume gives the volume of moist air for each kg of dry air, in
// m3/kg, at t in K, humidity ratio w and p in Pa: 287.042 t (1+1.607858 w)/p
// (ASHRAE Handbook of Fundamentals 2017, chapter 1, equation 26). Range: t
// 233.15 to 373.15 K, p 50 to 110 kPa, w 0 to 10.
func SpecificVolume(t, w, p float64) (float64, error) {
	if err := checkAir(t, p); err != nil {
		return 0, err
	}
	if err := uncertain.WithinUnit("humidity ratio", "kg/kg", w, 0, 10); err != nil {
		return 0, err
	}
	return GasConstantAir * t * (1 + 1.607858*w) / p, nil
}

// Enthalpy gives the enthalpy of moist air in J for each kg of dry air, 0 for
// dry air at 0 C, at t in K and humidity ratio w: 1006 tc + w (2501e3 + 1860
// tc), tc in C (ASHRAE Handbook of Fundamentals 2017, chapter 1, equation 30).
// Range: t 233.15 to 373.15 K, w 0 to 10.
func Enthalpy(t, w float64) (float64, error) {
	if err := checkAir(t, StandardPressure); err != nil {
		return 0, err
	}
	if err := uncertain.WithinUnit("humidity ratio", "kg/kg", w, 0, 10); err != nil {
		return 0, err
	}
	tc := t - ZeroCelsius
	return 1006*tc + w*(2501e3+1860*tc), nil
}

// LatentHeat gives the heat of evaporation of water in J/kg at t in K: 2501e3 -
// 2326 tc, tc in C, the difference of vapour and liquid enthalpy as the wet-bulb
// equation of the ASHRAE Handbook of Fundamentals 2017, chapter 1, has them.
// Range: 233.15 to 373.15 K, below 273.15 K for undercooled water. Against the
// steam tables (IAPWS-IF97) .05 % high at 25 C, .16 % at 60 C, .5 % at 100 C.
func LatentHeat(t float64) (float64, error) {
	if err := checkAir(t, StandardPressure); err != nil {
		return 0, err
	}
	return 2501e3 - 2326*(t-ZeroCelsius), nil
}
