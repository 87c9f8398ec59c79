package moistair

import "filmfault/internal/uncertain"

// Reading is the air at one moment as a person or a logger gives it.
type Reading struct {
	// Temperature in K, Humidity as a fraction, Pressure in Pa.
	Temperature, Humidity, Pressure uncertain.Input
	// Surface is the temperature of the piece in K; without an ID it was not
	// taken.
	Surface uncertain.Input
	// Below is the convention of Humidity, and of the dew point given.
	Below Convention
}

// The origins of the formulas, as results state them.
const (
	sourceSaturation = "Hyland and Wexler 1983, as in ASHRAE Handbook of Fundamentals 2017, chapter 1"
	sourceMixture    = "ASHRAE Handbook of Fundamentals 2017, chapter 1"
)

// hasSurface says that the temperature of the piece was taken.
func (r Reading) hasSurface() bool { return r.Surface.ID != "" }

// Results gives what the reading implies, each with its range over the draws:
// vapour pressure (Pa), dew point (K), wet bulb (K), absolute humidity (kg/m3)
// and, where the surface was read, its margin over the dew point (K). Errors
// are those of the functions of the same names and of uncertain.Draws.Run.
func (r Reading) Results(d uncertain.Draws) ([]uncertain.Result, error) {
	var results []uncertain.Result
	for _, f := range r.formulas() {
		result, err := d.Run(f, r.Temperature, r.Humidity, r.Pressure)
		if err != nil {
			return nil, err
		}
		results = append(results, result)
	}
	if !r.hasSurface() {
		return results, nil
	}
	margin, err := d.Run(r.margin(), r.Surface, r.Temperature, r.Humidity)
	return append(results, margin), err
}

// formulas are the calculations from temperature, humidity and pressure.
func (r Reading) formulas() []uncertain.Formula {
	return []uncertain.Formula{
		{Name: "vapour pressure", Unit: "Pa", Source: sourceSaturation, Of: func(v []float64) (float64, error) {
			return VapourPressure(v[0], v[1], r.Below)
		}},
		{Name: "dew point", Unit: "K", Source: sourceSaturation, Of: func(v []float64) (float64, error) {
			return DewPointOf(v[0], v[1], r.Below)
		}},
		{Name: "wet bulb", Unit: "K", Source: sourceMixture, Of: func(v []float64) (float64, error) {
			return WetBulb(v[0], v[1], v[2], r.Below)
		}},
		{Name: "absolute humidity", Unit: "kg/m3", Source: "ideal gas", Of: func(v []float64) (float64, error) {
			pv, err := VapourPressure(v[0], v[1], r.Below)
			if err != nil {
				return 0, err
			}
			return AbsoluteHumidity(v[0], pv)
		}},
	}
}

// margin is the calculation from surface, temperature and humidity.
func (r Reading) margin() uncertain.Formula {
	return uncertain.Formula{
		Name: "margin of surface over dew point", Unit: "K", Source: sourceSaturation,
		Of: func(v []float64) (float64, error) { return Margin(v[0], v[1], v[2], r.Below) },
	}
}

// DewCheck is one rule held against a reading.
type DewCheck struct {
	Rule DewRule
	// Met is the share of the draws that pass the rule.
	Met float64
}

// Checks holds the reading against both rules of DewRules: the share of the
// draws in which each is met. A reading without a surface gives none.
func (r Reading) Checks(d uncertain.Draws) ([]DewCheck, error) {
	if !r.hasSurface() {
		return nil, nil
	}
	var checks []DewCheck
	for _, rule := range DewRules() {
		margin := r.margin()
		share := uncertain.Formula{Name: rule.Name, Of: margin.Of}
		met, err := d.Share(share, rule.Met, r.Surface, r.Temperature, r.Humidity)
		if err != nil {
			return nil, err
		}
		checks = append(checks, DewCheck{Rule: rule, Met: met})
	}
	return checks, nil
}
