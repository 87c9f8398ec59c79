package exchange

import (
	"math"

	"filmfault/internal/physics/moistair"
	"filmfault/internal/uncertain"
)

// Evaporation is what a wet face does once it has settled.
type Evaporation struct {
	// Temperature of the face in K.
	Temperature float64
	// Rate in kg/(m2 s); negative where dew forms.
	Rate float64
	// Coefficients at that temperature.
	Coefficients Coefficients
}

// Wet gives the evaporation of a wet face whose back is insulated, the vapour
// passing a resistance r in s/m (0 for open water) before it reaches the air:
//
//	n (1/hm + r) = rho_sat(Ts) - rho_air,  n L(Ts) = h (Ta - Ts) + e s (Ta^4 - Ts^4) + Q
//
// with n the rate, hm and h the coefficients, rho vapour densities in kg/m3, L
// the latent heat, Q the air's Radiation. Range: that of Face.In; a face
// between -40 and 100 C. The film's own small store of heat is left out: it
// settles within a minute or two. Formulas: Incropera, chapter 6; published
// formulas of this kind scatter by 18 to 26 % about measurements (Shah 2002).
func (m Ambient) Wet(r float64) (Evaporation, error) {
	if err := uncertain.WithinUnit("resistance to vapour", "s/m", r, 0, 1e12); err != nil {
		return Evaporation{}, err
	}
	t := m.Air.Temperature
	var e Evaporation
	for range 200 {
		sat, err := moistair.Saturation(t, moistair.OverWater)
		if err != nil {
			return Evaporation{}, err
		}
		now := m.Coefficients(t, sat)
		if e.Coefficients.Heat > 0 { // half way, lest it go to and fro
			now.Heat = math.Sqrt(now.Heat * e.Coefficients.Heat)
			now.Mass = math.Sqrt(now.Mass * e.Coefficients.Mass)
		}
		e.Coefficients = now
		next, rate, err := m.balance(t, e.Coefficients, r)
		if err != nil {
			return Evaporation{}, err
		}
		done := math.Abs(next-t) < 1e-9
		t, e.Temperature, e.Rate = next, next, rate
		if done {
			break
		}
	}
	return e, nil
}

// balance solves the energy balance at fixed coefficients by Newton's method
// from t: the balance is convex in the temperature, so it cannot run astray.
func (m Ambient) balance(t float64, c Coefficients, r float64) (ts, rate float64, err error) {
	for range 100 {
		sat, err := moistair.Saturation(t, moistair.OverWater)
		if err != nil {
			return 0, 0, err
		}
		latent, err := moistair.LatentHeat(t)
		if err != nil {
			return 0, 0, err
		}
		slope, err := moistair.SaturationSlope(t, moistair.OverWater)
		if err != nil {
			return 0, 0, err
		}
		rho := sat / (moistair.GasConstantVapour * t)
		heat, heatSlope := m.Heat(t, c.Heat)
		resistance := 1/c.Mass + r
		step := (heat/latent*resistance - (rho - m.Vapour)) / (rho*(slope/sat-1/t) - heatSlope/latent*resistance)
		t += step
		rate = heat / latent
		if math.Abs(step) < 1e-10 {
			break
		}
	}
	return t, rate, nil
}

// Isothermal gives the evaporation in kg/(m2 s) of a wet face held at the air's
// temperature, hm (rho_sat(Ta) - rho_air): an upper bound that foam board never
// reaches, 2 times the true one at 23 C and 50 %. It is here to show the size
// of that mistake.
func (m Ambient) Isothermal() (float64, error) {
	sat, err := moistair.Saturation(m.Air.Temperature, moistair.OverWater)
	if err != nil {
		return 0, err
	}
	rho := sat / (moistair.GasConstantVapour * m.Air.Temperature)
	return m.Coefficients(m.Air.Temperature, sat).Mass * (rho - m.Vapour), nil
}
