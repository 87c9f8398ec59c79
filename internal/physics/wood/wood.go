// Package wood computes how much moisture the wooden frames and backers of
// signs hold in given air. The board itself takes up none.
//
// Everything is in SI: temperature in K, humidity and moisture content as
// fractions. It refuses to say how fast wood gets there (days for a thin
// batten, months for a post) and how the moisture is spread in it.
//
// It uses uncertain and quantity and nothing else.
package wood

import (
	"filmfault/internal/quantity"
	"filmfault/internal/uncertain"
)

// The range of EquilibriumMoisture in K: 30 to 210 F.
const (
	coldest = 272.0388888888889
	hottest = 372.0388888888889
)

// Source is the origin of the formula, as results state it.
const Source = "USDA Wood Handbook, chapter 4, equations 4-5 (Hailwood and Horrobin 1946, two hydrates)"

// EquilibriumMoisture gives the moisture content at which wood comes to rest,
// as a mass of water over the mass of dry wood, in air at t in K and relative
// humidity rh as a fraction. With tc in C and h = rh:
//
//	M = 18/W [Kh/(1-Kh) + (K1 Kh + 2 K1 K2 K^2 h^2)/(1 + K1 Kh + K1 K2 K^2 h^2)]
//	W  = 349 + 1.29 tc + .0135 tc^2      K  = .805 + .000736 tc - .00000273 tc^2
//	K1 = 6.27 - .00938 tc - .000303 tc^2 K2 = 1.91 + .0407 tc - .000293 tc^2
//
// Range: t 272.04 to 372.04 K (30 to 210 F), rh 0 to 1; the handbook's table
// ends at .95, and beyond it the curve is continued to about the fibre
// saturation point. Species and past wetting shift it by .01 to .02. The curve
// is a mean of both directions; wood that is drying holds more than wood that
// is taking up.
func EquilibriumMoisture(t, rh float64) (float64, error) {
	if err := uncertain.Within("wood temperature", quantity.Temperature, t, coldest, hottest); err != nil {
		return 0, err
	}
	if err := uncertain.Within("relative humidity", quantity.Humidity, rh, 0, 1); err != nil {
		return 0, err
	}
	c := t - 273.15
	w := 349 + c*(1.29+0.0135*c)
	kh := (0.805 + c*(0.000736-0.00000273*c)) * rh
	k1 := 6.27 - c*(0.00938+0.000303*c)
	k2 := 1.91 + c*(0.0407-0.000293*c)
	hydrated := (k1*kh + 2*k1*k2*kh*kh) / (1 + k1*kh + k1*k2*kh*kh)
	return 18 / w * (kh/(1-kh) + hydrated), nil
}

// Moisture gives EquilibriumMoisture as a range over the draws of a
// temperature in K and a humidity as a fraction.
func Moisture(d uncertain.Draws, temperature, humidity uncertain.Input) (uncertain.Result, error) {
	return d.Run(uncertain.Formula{
		Name: "wood moisture at rest", Unit: uncertain.Share, Source: Source,
		Of: func(v []float64) (float64, error) { return EquilibriumMoisture(v[0], v[1]) },
	}, temperature, humidity)
}
